"""Refrigerant tables against CoolProp asked directly, state by state, and against a fit made anew."""

import json
from functools import cache

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hvaccalc.physics.refrigerant import NAMES
from hvaccalc.resources import data_path
from tests import refrigerant_library as library
from tests.discovery import ROOT
from tests.regenerate import refrigerants as generator

STATES = 2000
SEED = 410


def stored() -> dict:
    return json.loads(data_path("refrigerants.json").read_text("utf-8"))


def states_of(name: str) -> int:
    """2,000 states; a tenth of them where a blend's flash is slow: `tests.studies.refrigerants` asks all."""
    return STATES // 10 if name in library.MIXTURES else STATES


@cache
def differences(name: str) -> dict[str, np.ndarray]:
    return library.differences(name, states_of(name), SEED)


@pytest.mark.parametrize("name", NAMES)
def test_tables_keep_the_promise_over_random_states(name: str) -> None:
    """From -40 °C to 10 K below critical against CoolProp: saturation 0.01 K both ways, density 0.1 %,
    enthalpy 0.1 % of latent heat, entropy 0.1 % of latent entropy; vapour to 80 K, liquid to 30 K."""
    found = differences(name)
    assert len(found) == 16
    for quantity, values in found.items():
        assert np.nanmax(np.abs(values)) <= library.limit(quantity), quantity


@pytest.mark.parametrize("name", NAMES)
def test_library_refuses_only_in_recorded_holes(name: str) -> None:
    """And few: nine states in ten are compared. Pure and pseudo-pure refrigerants have no holes."""
    for edge, kelvin in library.refused(name, states_of(name), SEED).items():
        assert library.outside_holes(name, edge, kelvin).size == 0
        assert kelvin.size == 0 or name in library.MIXTURES
    for quantity, values in differences(name).items():
        assert np.isfinite(values).mean() >= 0.9, quantity


@pytest.mark.parametrize("name", library.MIXTURES)
def test_stored_study_of_the_blends(name: str) -> None:
    """The 2,000 states of `tests.studies.refrigerants`, asked of the library release of the file."""
    study = json.loads((ROOT / "docs" / "studies" / "refrigerants.json").read_text("utf-8"))["result"]
    found = study["refrigerants"][name]
    assert study["library_version"] == stored()["library_version"]
    assert found["states"] == STATES and found["refused_outside_holes"] == 0
    assert min(found["compared"].values()) >= 0.9 * STATES
    assert set(found["largest"]) == set(differences(name))
    assert all(value <= library.limit(quantity) for quantity, value in found["largest"].items())


def test_every_refrigerant_carried_has_its_source() -> None:
    assert NAMES == tuple(source.name for source in generator.SOURCES)


@pytest.mark.parametrize("source", generator.SOURCES, ids=lambda source: source.name)
def test_a_new_fit_gives_the_stored_coefficients(source: generator.Source) -> None:
    """Catches a hand-edited coefficient and a library that has changed its equations."""
    record = stored()["refrigerants"][source.name]
    fitted = generator.Library(source, (record["critical_temperature"], record["critical_pressure"]))
    for edge, quality in generator.EDGES.items():
        fresh = generator.fit_edge(fitted, quality)
        for curve in ("inverse_temperature", "log_pressure"):
            expected = np.array(fresh[curve]["coefficients"])
            assert_allclose(
                record[edge][curve]["coefficients"], expected, rtol=0, atol=1e-9 * abs(expected).max()
            )
    for phase, edge in (("liquid", "bubble"), ("vapour", "dew")):
        fresh = generator.fit_phase(fitted, phase, record[edge]["pressure_range"])
        for quantity in ("density", "enthalpy", "entropy"):
            expected = np.array(fresh[quantity])
            assert_allclose(record[phase][quantity], expected, rtol=0, atol=1e-9 * abs(expected).max())
