"""Properties of the diagnosis: symmetry of the circuits, bands, instruments shared."""

from dataclasses import replace

import numpy as np
import pytest

from hvaccalc.diagnosis.readings.draws import Where
from tests.behaviour.jobs import HUMID, SOUND, analysed, found, one

HERE = Where(1, 1)

UNEQUAL = HUMID | {
    "2.suction_pressure": "110 psig",
    "2.suction_temperature": "56 degF",
    "2.liquid_pressure": "305 psig",
    "2.liquid_temperature": "92 degF",
    "circuit.1.leak.at": "sight glass",
}


def swapped(changes: dict) -> dict:
    """The same job with the names of the two circuits exchanged."""
    other = {"1": "2", "2": "1"}
    entries = {}
    for key, value in (SOUND | changes).items():
        parts = key.split(".")
        if parts[0] in other:
            parts[0] = other[parts[0]]
        elif parts[0] == "circuit":
            parts[1] = other[parts[1]]
        entries[".".join(parts)] = value
    # Stage and calls belong to the name, not to the readings.
    return entries | {"circuit.1.stage": 1, "circuit.2.stage": 2}


@pytest.fixture(scope="module")
def pair(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pair")
    return analysed(folder, UNEQUAL), analysed(folder, swapped(UNEQUAL), base={})


def test_swapping_the_circuits_swaps_their_findings(pair):
    plain, turned = pair
    other = {"1": "2", "2": "1", None: None}
    turned_by_place = {(f.key, f.circuit): f for f in turned.findings}
    for finding in plain.findings:
        twin = turned_by_place[finding.key, other[finding.circuit]]
        assert twin.text == finding.text
        assert twin.severity == finding.severity
        assert (twin.value is None) is (finding.value is None)
        if finding.value is not None:
            # Readings are drawn by the circuit's name: what sums up units solved for each draw is equal but
            # for sampling.
            drawn = finding.key.startswith(("freeze.threshold", "forecast."))
            if finding.key.startswith("freeze.forecast"):
                # Three sampling errors of a difference of two shares of 512 draws: 3 sqrt(2 p (1 - p) / 512).
                assert twin.value == pytest.approx(finding.value, abs=0.09)
                continue
            assert twin.value == pytest.approx(finding.value, rel=0.01 if drawn else 1e-9)
            width = finding.high - finding.low
            # Draws carry the circuits' names: the ends agree within sampling (512 draws).
            assert twin.low == pytest.approx(finding.low, abs=0.15 * width + 1e-9)
            assert twin.high == pytest.approx(finding.high, abs=0.15 * width + 1e-9)


def test_the_contrast_follows_the_readings_not_the_names(pair):
    plain, turned = pair
    assert one(plain, "circuit.contrast").circuit == "2"
    assert one(turned, "circuit.contrast").circuit == "1"


def test_order_of_the_circuits_in_the_file_is_irrelevant(pair, tmp_path):
    """Stages are typed; tables in the other order give the very same digits."""
    plain, _ = pair
    turned = dict(reversed((SOUND | UNEQUAL).items()))
    other = {f.id: f for f in analysed(tmp_path, turned, base={}).findings}
    for finding in plain.findings:
        assert (other[finding.id].low, other[finding.id].high) == (finding.low, finding.high)
        assert other[finding.id].text == finding.text


def test_bands_contain_their_central_values(pair):
    numbers = [f for analysis in pair for f in analysis.findings if f.value is not None]
    assert len(numbers) > 40
    for finding in numbers:
        assert finding.low <= finding.value <= finding.high, finding.id


GAUGES = {
    "good": {"kind": "refrigerant gauge, digital", "accuracy": "0.5 psi", "repeatability": "0.1 psi"},
    "poor": {"kind": "refrigerant gauge, digital", "accuracy": "8 psi", "repeatability": "2 psi"},
}
CLAMPS = {
    "good": {"kind": "pipe clamp thermometer", "accuracy": "0.2 degF", "repeatability": "0.2 degF"},
    "poor": {"kind": "pipe clamp thermometer", "accuracy": "3 degF", "repeatability": "3 degF"},
}


def _width(folder, key: str, gauge: str, clamp: str) -> float:
    changes = {"instruments.gauge": GAUGES[gauge], "instruments.clamp": CLAMPS[clamp]}
    for name, value in SOUND.items():
        if name.startswith("1.") and name.endswith(("_pressure", "_temperature")):
            instrument = "gauge" if name.endswith("_pressure") else "clamp"
            changes[name] = {"value": value, "instrument": instrument}
    finding = one(analysed(folder, changes), key, "1")
    return finding.high - finding.low


@pytest.mark.parametrize("key", ["circuit.subcooling", "circuit.superheat"])
def test_better_instruments_narrow_the_band(tmp_path, key):
    widths = [
        _width(tmp_path, key, gauge, clamp)
        for gauge, clamp in (("good", "good"), ("poor", "good"), ("poor", "poor"))
    ]
    assert widths == sorted(widths)
    assert widths[0] < 0.5 * widths[2]


def test_a_pipe_clamp_alone_gives_its_own_band(tmp_path):
    """± 3 and ± 3 °F of the clamp, ± 0.5 psi of the gauge (0.15 °F): ± 4.25 °F, a width of 8.5."""
    width = 1.8 * _width(tmp_path, "circuit.subcooling", "good", "poor")
    assert width == pytest.approx(2 * np.hypot(3.0, 3.0), rel=0.06)


def _wet_bulbs(folder, names: tuple[str, str]) -> np.ndarray:
    """Draws of return less supply wet bulb, each read with a psychrometer of the given name [°F]."""
    psychrometer = {"kind": "psychrometer", "accuracy": "1.0 degF", "repeatability": "0.2 degF"}
    changes = {f"instruments.{name}": psychrometer for name in names}
    for stream, value, name in (("return", "63 degF", names[0]), ("supply", "53 degF", names[1])):
        changes[f"air.{stream}_wet_bulb"] = {"value": value, "instrument": name}
    draws = analysed(folder, changes).draws
    columns = [draws.column(HERE, f"{stream}_wet_bulb") for stream in ("return", "supply")]
    return (columns[0] - columns[1])[1:] * 1.8


def test_one_psychrometer_for_both_streams_cancels_its_calibration(tmp_path):
    """Repeatability 0.2 °F twice: ± 0.28 °F; two instruments: ± 1.44 °F (1.0 and 0.2 each, twice)."""
    shared, apart = (_wet_bulbs(tmp_path, names) for names in (("one", "one"), ("one", "two")))
    half = [np.ptp(np.percentile(rows, (2.5, 97.5))) / 2 for rows in (shared, apart)]
    assert half[0] == pytest.approx(np.sqrt(2) * 0.2, rel=0.08)
    assert half[1] == pytest.approx(np.sqrt(2 * (1.0**2 + 0.2**2)), rel=0.08)
    assert half[1] > 3.0 * half[0]


def test_a_shared_gauge_narrows_the_difference_between_circuits(tmp_path):
    gauge = {"instruments.gauge": GAUGES["poor"]}
    both = {f"{name}.liquid_pressure": {"value": "317 psig", "instrument": "gauge"} for name in ("1", "2")}
    shared = analysed(tmp_path, gauge | both)
    two = {"instruments.gauge": GAUGES["poor"], "instruments.other": GAUGES["poor"]}
    apart = analysed(
        tmp_path, two | both | {"2.liquid_pressure": {"value": "317 psig", "instrument": "other"}}
    )
    widths = []
    for analysis in (shared, apart):
        first, second = (analysis.conditions[0].circuits[name].liquid_saturation[1:] for name in ("1", "2"))
        widths.append(float(np.std(first - second)))
    # ± 2 psi each against ± sqrt(8² + 2²) each.
    assert widths[1] / widths[0] == pytest.approx(np.sqrt(68.0) / 2.0, rel=0.1)


def test_the_barometer_is_shared_by_all_gauges(tmp_path):
    """Weather moves every gauge alike: circuits do not drift apart."""
    analysis = analysed(tmp_path)
    columns = [analysis.draws.column(HERE.at(name), "suction_pressure") for name in ("1", "2")]
    weather = analysis.draws.barometer(HERE).draws
    for column in columns:
        assert np.corrcoef(column[1:] - weather[1:], weather[1:])[0, 1] == pytest.approx(0.0, abs=0.15)


def test_a_range_lies_within_its_ends(tmp_path):
    analysis = analysed(tmp_path, {"air.return_dry_bulb": "74 to 76 degF"})
    column = analysis.draws.column(HERE, "return_dry_bulb")
    fahrenheit = column * 1.8 - 459.67
    assert fahrenheit[0] == pytest.approx(75.0)
    assert fahrenheit.min() >= 74.0 - 1e-9
    assert fahrenheit.max() <= 76.0 + 1e-9


def test_the_seed_moves_the_draws_not_the_centre(tmp_path):
    first, second = (analysed(tmp_path, {"job.seed": seed}) for seed in (1, 2))
    ends = []
    for analysis in (first, second):
        finding = found(analysis, "circuit.subcooling", "1")[0]
        ends.append(replace(finding, statement=""))
    assert ends[0].value == ends[1].value
    assert ends[0].low != ends[1].low
    assert ends[0].low == pytest.approx(ends[1].low, abs=0.2)
