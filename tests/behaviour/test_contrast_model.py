"""The contrast of two circuits beside what the coupled unit makes of each fault.

Signs from outside: the table of residual signs of Li and Braun (as the package cites it); for an overfeeding
valve and an overcharge, common practice, no source. Readings as in `test_contrast.py`.
"""

from functools import cache

import pytest

from hvaccalc.report.blocks import Table
from hvaccalc.report.memo import blocks
from tests.behaviour.jobs import HUMID, analysed, found, one
from tests.behaviour.test_contrast import OVERFED, RESTRICTED, SHORT

FLAT = 0.3 * 5 / 9
SUBCOOLED_LESS = {"2.liquid_temperature": "97 degF"}


@pytest.fixture(scope="module")
def modelled(tmp_path_factory):
    """Analysis of a job with changed readings, each made once."""

    @cache
    def make(changes: tuple[tuple[str, str], ...]):
        return analysed(tmp_path_factory.mktemp("contrast"), HUMID | dict(changes))

    return lambda changes: make(tuple(changes.items()))


def by(analysis, fault: str, circuit: str = "2"):
    (model,) = analysis.contrasts
    return next(e for e in model.explanations if (e.fault.name.lower(), e.circuit) == (fault, circuit))


@pytest.mark.parametrize(
    ("changes", "fault", "innocent"),
    [
        (SUBCOOLED_LESS, "low_charge", "restriction"),
        (RESTRICTED, "restriction", "low_charge"),
        (OVERFED, "overfeeding_valve", "overcharge"),
    ],
    ids=["less subcooling", "more superheat", "no superheat"],
)
def test_the_fault_with_these_signs_explains_and_another_does_not(modelled, changes, fault, innocent) -> None:
    analysis = modelled(changes)
    (model,) = analysis.contrasts
    assert (model.suspect, model.other, model.verdict) == ("2", "1", "explained")
    assert by(analysis, fault).verdict == "explains it"
    assert by(analysis, innocent).verdict == "does not"
    assert one(analysis, "circuit.contrast_explained").circuit == "2"


SIGNS = {
    "low_charge": ("subcooling", -1),
    "restriction": ("superheat", +1),
    "starved_valve": ("superheat", +1),
    "overfeeding_valve": ("superheat", -1),
    "overcharge": ("subcooling", +1),
}


@pytest.mark.parametrize("fault", SIGNS)
def test_each_fault_has_its_sign_in_the_circuit_where_it_sits(modelled, fault: str) -> None:
    """Suspect less the other: the opposite where it sits in the other circuit."""
    reading, sign = SIGNS[fault]
    for circuit, turn in (("2", 1), ("1", -1)):
        felt = by(modelled(SUBCOOLED_LESS), fault, circuit).differences[reading]
        assert felt.value * sign * turn > 1.0
        assert felt.low <= felt.value <= felt.high


def test_a_restriction_starves_and_backs_the_liquid_up(modelled) -> None:
    """Suction down, subcooling not down (Li and Braun: - and +)."""
    for fault in ("restriction", "starved_valve"):
        differences = by(modelled(RESTRICTED), fault).differences
        assert differences["suction saturation"].value < 0.0
        assert differences["subcooling"].value > -FLAT


def test_what_fails_names_the_reading_against_it(modelled) -> None:
    assert "subcooling" in by(modelled(SUBCOOLED_LESS), "restriction").against
    assert "against subcooling" in one_of(modelled(SUBCOOLED_LESS), "restriction", "2").statement


def one_of(analysis, fault: str, circuit: str):
    return next(f for f in found(analysis, f"circuit.contrast_by.{fault}") if f.circuit == circuit)


def test_a_rival_in_the_other_circuit_is_told_with_what_it_would_read_there(modelled) -> None:
    """8 °F less subcooling than the sister may be too little here or too much there: 12 °F read there is no
    overcharge, which the sentence leaves to the reader with both numbers."""
    rival = by(modelled(SUBCOOLED_LESS), "overcharge", "1")
    assert rival.verdict == "explains it"
    assert rival.own_subcooling.value * 1.8 > 17.0
    statement = one(modelled(SUBCOOLED_LESS), "circuit.contrast_explained").statement
    assert "an overcharge in circuit 1" in statement and "was read" in statement


def test_sound_circuits_of_unlike_targets_differ_by_them(tmp_path) -> None:
    """Targets of 12 and 4 °F at the rating: near it the sound unit shows some 8 °F, within 2."""
    changes = HUMID | SHORT | {"circuit.2.target_subcooling": "4 degF", "2.liquid_temperature": "99 degF"}
    (model,) = analysed(tmp_path, changes).contrasts
    assert model.sound["subcooling"].value * 1.8 == pytest.approx(-8.0, abs=2.0)


def test_a_row_split_coil_sets_the_suctions_apart(tmp_path) -> None:
    """Which circuit lies downstream is not known: the sound unit's band holds either order."""
    analysis = analysed(tmp_path, HUMID | SUBCOOLED_LESS | {"unit.circuiting": "row split"})
    suction = analysis.contrasts[0].sound["suction saturation"]
    assert suction.low < -1.0 and suction.high > 1.0


@pytest.mark.parametrize(
    "changes", [{}, SHORT | {"condition.coil_thawed": "no"}], ids=["none stands out", "gate unmet"]
)
def test_nothing_is_modelled_where_no_circuit_stands_out(tmp_path, changes) -> None:
    analysis = analysed(tmp_path, HUMID | changes)
    assert analysis.contrasts == ()
    assert not found(analysis, "circuit.contrast_explained")


def test_without_outdoor_air_the_unit_cannot_be_asked(tmp_path) -> None:
    analysis = analysed(tmp_path, HUMID | SHORT | {"air.outdoor_dry_bulb": None})
    told = one(analysis, "circuit.contrast_explained")
    assert told.text == "cannot tell"
    assert "outdoor air" in told.statement


def test_one_reading_is_too_few(tmp_path) -> None:
    """Subcooling alone, without suction and superheat of circuit 1."""
    bare = {"1.suction_pressure": None, "1.suction_temperature": None}
    analysis = analysed(tmp_path, HUMID | SUBCOOLED_LESS | bare)
    for model in analysis.contrasts:
        assert model.verdict == "cannot tell"


def test_the_file_memo_shows_the_table_and_the_customer_does_not(modelled) -> None:
    analysis = modelled(SUBCOOLED_LESS)
    (table,) = (b for b in blocks(analysis) if isinstance(b, Table) and "with one fault" in b.caption)
    assert table.header == ("", "subcooling", "superheat", "suction saturation", "verdict")
    assert [row[0] for row in table.rows][:3] == ["read", "sound unit", "circuit 2: low charge"]
    assert len(table.rows) == 2 + 2 * 5
    customer = [b for b in blocks(analysis, "customer") if isinstance(b, Table)]
    assert not [b for b in customer if "with one fault" in b.caption]


def test_a_restriction_that_backs_up_more_than_the_model_is_not_cleared(modelled) -> None:
    """More subcooling is a restriction's sign (Li and Braun, table 1-1): what the model lacks is size."""
    analysis = modelled({"2.liquid_temperature": "79 degF"})
    restriction = by(analysis, "restriction")
    assert restriction.verdict == "not in size" and "subcooling" in restriction.against
    assert by(analysis, "restriction", "1").verdict == "does not"
    said = one(analysis, "circuit.contrast_explained").statement
    assert "A restriction in circuit 2 is not cleared by that" in said
    assert by(analysis, "low_charge").verdict == "does not"


def test_contrast_and_model_tell_one_number_and_one_band(modelled) -> None:
    analysis = modelled(SHORT)
    (model,) = analysis.contrasts
    told = one(analysis, "circuit.contrast").statement
    for name, read in model.measured.items():
        turn = 1.0 if read.value >= 0.0 else -1.0
        low, high = sorted((turn * read.low * 1.8, turn * read.high * 1.8))
        assert f"{turn * read.value * 1.8:.1f} °F ({low:.1f} to {high:.1f})" in told, name
    beyond = told.split("Beyond the band: ")[1].split(".")[0]
    for name, read in model.measured.items():
        assert (name in beyond) <= (not read.low <= 0.0 <= read.high), name


def test_one_that_fails_does_not_and_two_do_not(modelled) -> None:
    for changes in (SHORT, SUBCOOLED_LESS, OVERFED, RESTRICTED):
        analysis = modelled(changes)
        (model,) = analysis.contrasts
        failing = [e for e in model.explanations if (e.circuit, e.verdict) == (model.suspect, "does not")]
        said = one(analysis, "circuit.contrast_explained").statement
        assert (" does not." in said) is (len(failing) == 1) and (" do not." in said) is (len(failing) > 1)
