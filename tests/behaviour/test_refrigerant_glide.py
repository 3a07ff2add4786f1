"""Blends with glide say which edge a reading is held against; mildly flammable refrigerants are cautioned.

Glide of R-407C about 11 °F at freezing: printed pressures of 32 °F, 52 psig dew and 68 psig bubble, on
cards from memory; safety groups: ASHRAE Standard 34, from memory.
"""

from pathlib import Path

import pytest

from hvaccalc.physics.refrigerant import NAMES
from hvaccalc.report import memo
from hvaccalc.report.blocks import Caution, Items
from tests.behaviour.jobs import analysed, one

GLIDING = {"R-407C", "R-448A", "R-449A", "R-452B", "R-454B"}
MILDLY_FLAMMABLE = {"R-32", "R-452B", "R-454B"}
# R-407C card: 40 °F dew 63 psig, 100 °F bubble 226 psig.
READINGS = {
    "circuit.1.refrigerant": "R-407C",
    "1.suction_pressure": "63.2 psig",
    "1.liquid_pressure": "225.5 psig",
}


def notices(analysis, code: str) -> list:
    return [notice for notice in analysis.notices if notice.code == code]


def test_readings_of_a_glide_blend_name_their_edge(tmp_path):
    """Suction at 50 °F and liquid at 88 °F: 10 °F above dew, 12 °F below bubble."""
    analysis = analysed(tmp_path, READINGS)
    superheat, subcooling = (one(analysis, f"circuit.{key}", "1") for key in ("superheat", "subcooling"))
    assert " above dew" in superheat.statement and " below bubble" in subcooling.statement
    assert superheat.value * 1.8 == pytest.approx(10.0, abs=0.3)
    assert subcooling.value * 1.8 == pytest.approx(12.0, abs=0.3)
    for key in ("superheat", "subcooling"):  # R-410A in the other circuit
        statement = one(analysis, f"circuit.{key}", "2").statement
        assert "dew" not in statement and "bubble" not in statement


def test_glide_is_explained_once_with_its_size(tmp_path: Path) -> None:
    analysis = analysed(tmp_path, READINGS)
    (notice,) = notices(analysis, "refrigerant_glide")
    assert notice.where == "circuit.1"
    assert "R-407C is a blend with glide, dew 11.0 °F above bubble at 32.0 °F" in notice.text
    assert (
        "liquid readings are held against bubble, suction and discharge readings against dew" in notice.text
    )
    told = [item.text for b in memo.blocks(analysis, "file") if isinstance(b, Items) for item in b.items]
    assert sum("blend with glide" in text for text in told) == 1


@pytest.mark.parametrize("name", NAMES)
def test_each_refrigerant_brings_what_belongs_to_it(name: str, tmp_path: Path) -> None:
    analysis = analysed(tmp_path, {"circuit.1.refrigerant": name})
    assert bool(notices(analysis, "refrigerant_glide")) == (name in GLIDING)
    assert not notices(analysis, "refrigerant_not_carried")
    box = next(b for b in memo.blocks(analysis, "file") if isinstance(b, Caution))
    assert any("flammable" in item.lead for item in box.items) == (name in MILDLY_FLAMMABLE)


def test_mildly_flammable_without_properties_is_cautioned_too(tmp_path: Path) -> None:
    analysis = analysed(tmp_path, {"circuit.1.refrigerant": "R-454C"})
    (notice,) = notices(analysis, "refrigerant_not_carried")
    assert "R-454C is not carried" in notice.text and "R-513A" in notice.text
    box = next(b for b in memo.blocks(analysis, "file") if isinstance(b, Caution))
    assert any("flammable" in item.lead for item in box.items)
