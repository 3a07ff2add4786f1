"""A duct's surface as read against the dew point of the air round it: it beats every assumed insulation."""

import psychrolib
import pytest

from hvaccalc import units as u
from hvaccalc.diagnosis.water.mechanisms_around import surface_rates
from hvaccalc.severity import Severity
from tests.behaviour.jobs import HUMID, analysis_of, blocks_of, found, job_text

DAMP = HUMID | {"air.space_dry_bulb": "84 degF", "air.space_relative_humidity": "65 %"}
WATER = {"visit.signs.water_on": "duct"}


def read(surface: str, **more: object):
    return analysis_of(job_text(DAMP | WATER | {"air.duct_surface_temperature": surface} | more))


@pytest.mark.parametrize(("surface", "says"), [(62.0, "it sweats"), (80.0, "stays dry"), (71.0, "too close")])
def test_the_margin_is_the_surface_less_the_dew_point(surface, says):
    psychrolib.SetUnitSystem(psychrolib.SI)
    dew = psychrolib.GetTDewPointFromRelHum((84.0 - 32.0) / 1.8, 0.65)
    analysis = read(f"{surface} degF")
    (finding,) = found(analysis, "air.duct_surface_over_dew_point")
    assert u.to(finding, "degF") == pytest.approx(surface - (dew * 1.8 + 32.0), abs=0.1)
    assert says in finding.statement
    assert (finding.severity is Severity.WATCH) is (says == "it sweats")
    assert ("it sweats" in str(blocks_of(analysis, "customer"))) is (says == "it sweats")


def test_the_reading_beats_the_insulation():
    """A bare duct in damp air sweats and one in R-12 does not, whatever was assumed, where it was read."""
    bare = {"unit.cabinet.duct_insulation": "R-0.1", "unit.cabinet.insulation": "3 in"}
    thick = {"unit.cabinet.duct_insulation": "R-12", "unit.cabinet.insulation": "3 in"}
    chances = {}
    for name, typed, surface in (("bare", bare, "80 degF"), ("thick", thick, "62 degF")):
        changes = DAMP | WATER | typed
        for reading in (None, surface):
            analysis = analysis_of(job_text(changes | {"air.duct_surface_temperature": reading}))
            assert analysis.water is not None
            wet = surface_rates(analysis.water.case)["duct"] > 0.0
            chances[name, reading is not None] = float(wet[1:].mean())
    assert chances["bare", False] > 0.9 > 0.1 > chances["bare", True]
    assert chances["thick", False] < 0.1 < 0.9 < chances["thick", True]


def test_without_the_air_round_it_nothing_is_said_of_it():
    alone = analysis_of(job_text(HUMID | {"air.duct_surface_temperature": "62 degF"}))
    assert not found(alone, "air.duct_surface_over_dew_point")
