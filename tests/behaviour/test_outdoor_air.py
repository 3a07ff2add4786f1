"""Outdoor air in the mixed air: from dry bulbs, and apart from it from humidity ratios.

The mixed air is made by a reference library, psychrolib: enthalpy and humidity ratio of two streams by mass.
Above which share outdoor air is too much is common practice, without a source.
"""

import psychrolib
import pytest

from hvaccalc.diagnosis.air.mixed_air import Outdoors
from hvaccalc.panels import FanPanel
from hvaccalc.report import memo
from hvaccalc.service.may_run.concern import Do
from hvaccalc.service.repair.repair_rows import Repair
from tests.behaviour.jobs import analysed, one

SEA_LEVEL = 14.696
RETURN, HOT = (75.0, 63.0), (95.0, 78.0)
"""Dry and wet bulb [°F]."""


def mixed(share: float, back=RETURN, outdoors=HOT) -> tuple[float, float]:
    """Dry and wet bulb [°F] of return air with a share of outdoor air, by psychrolib."""
    psychrolib.SetUnitSystem(psychrolib.IP)
    moist = [psychrolib.GetHumRatioFromTWetBulb(*air, SEA_LEVEL) for air in (back, outdoors)]
    heat = [psychrolib.GetMoistAirEnthalpy(air[0], w) for air, w in zip((back, outdoors), moist, strict=True)]
    ratio, enthalpy = ((1.0 - share) * a + share * b for a, b in (moist, heat))
    dry = psychrolib.GetTDryBulbFromEnthalpyAndHumRatio(enthalpy, ratio)
    return dry, psychrolib.GetTWetBulbFromHumRatio(dry, ratio, SEA_LEVEL)


def read(share: float, outdoors=HOT, wet: bool = True) -> dict:
    streams = {"return": RETURN, "outdoor": outdoors, "mixed": mixed(share, outdoors=outdoors)}
    keys = {"dry_bulb": 0, "wet_bulb": 1} if wet else {"dry_bulb": 0}
    return {
        f"air.{name}_{key}": f"{air[n]:.3f} degF" for name, air in streams.items() for key, n in keys.items()
    }


@pytest.mark.parametrize(
    ("share", "says"), [(0.15, Outdoors.USUAL), (0.45, Outdoors.MUCH), (0.30, Outdoors.UNSURE)]
)
def test_both_fractions_are_those_that_were_mixed(tmp_path, share, says):
    analysis = analysed(tmp_path, read(share))
    (result,) = analysis.conditions
    for value in (result.outdoors.by_dry_bulb, result.outdoors.by_humidity):
        assert value.value == pytest.approx(share, abs=0.005)
        assert value.low < share < value.high
    assert result.outdoors.text is says or (share == 0.15 and result.outdoors.text is Outdoors.UNSURE)
    finding = one(analysis, "air.outdoor_fraction")
    assert (finding.kind, finding.value) == ("fraction", result.outdoors.by_dry_bulb.value)


def test_too_much_is_an_item_of_the_memo_and_a_repair(tmp_path):
    analysis = analysed(tmp_path, read(0.45, wet=False))
    assert Repair.OUTDOOR_DAMPER in {one.repair for one in analysis.repairs.called}
    assert any(step.what.code is Do.OUTDOOR_AIR for way in analysis.today for step in way.do)
    for audience in ("file", "customer"):
        assert "outdoor air" in str(memo.blocks(analysis, audience)[5]).lower()
    rest = {f"{name}.{key}": None for name in "12" for key in ("compressor_current", "liquid_pressure")}
    off = read(0.45) | rest | {"condition.calls": ["fan"], "condition.compressors_running": []}
    assert analysed(tmp_path, off).conditions[0].outdoors.text is Outdoors.FREE_COOLING


@pytest.mark.parametrize(
    ("outdoors", "mix", "says"),
    [
        ("77 degF", "76 degF", Outdoors.CLOSE),
        ("95 degF", "68 degF", Outdoors.OUTSIDE),
        ("95 degF", "99 degF", Outdoors.OUTSIDE),
    ],
)
def test_where_no_number_can_be_said_it_says_so(tmp_path, outdoors, mix, says):
    """2 °F apart with probes of about 1 °F; colder than both or warmer than both is no mixture."""
    finding = one(
        analysed(tmp_path, {"air.outdoor_dry_bulb": outdoors, "air.mixed_dry_bulb": mix}),
        "air.outdoor_fraction",
    )
    assert (finding.text, finding.value) == (says, None)


def test_two_ways_that_disagree_are_named(tmp_path):
    """Dry bulbs of 15 %, a wet bulb of half outdoor air: not well mixed, or a wet wick."""
    wrong = read(0.15) | {"air.mixed_wet_bulb": f"{mixed(0.5)[1]:.2f} degF"}
    assert analysed(tmp_path, wrong).conditions[0].outdoors.text is Outdoors.DISAGREE


def test_supply_and_sound_unit_are_judged_at_the_mixed_air(tmp_path):
    """With much humid outdoor air the supply may hold more water than the return: the coil met neither."""
    humid = read(0.6) | {"air.supply_dry_bulb": "66 degF", "air.supply_wet_bulb": "64.5 degF"}
    warm = humid | {
        key: value
        for name in "12"
        for key, value in {
            f"{name}.suction_pressure": "148 psig",
            f"{name}.suction_temperature": "62 degF",
            f"{name}.liquid_pressure": "395 psig",
            f"{name}.liquid_temperature": "102 degF",
        }.items()
    }
    analysis = analysed(tmp_path, warm)
    assert not [n for n in analysis.notices if "supply_more_humid" in n.code]
    (result,) = analysis.conditions
    assert not any(charge.pumping.weak for charge in result.charges.values())
    without = {f"air.mixed_{key}": None for key in ("dry_bulb", "wet_bulb")}
    told = analysed(tmp_path, {key: value for key, value in (warm | without).items() if value is not None})
    assert [n for n in told.notices if "supply_more_humid" in n.code]


@pytest.mark.parametrize("wet", [True, False])
def test_the_coil_works_on_the_air_that_enters_it(tmp_path, wet):
    """The total is that of psychrolib from the mixed air on; its water, where nobody read it, is mixed."""
    air = read(0.45) | {"air.supply_dry_bulb": "57 degF", "air.supply_wet_bulb": "56 degF"}
    air |= {} if wet else {"air.mixed_wet_bulb": None}
    (result,) = analysed(tmp_path, air | {"air.supply_measured_at": "coil"}).conditions
    dry, wet_bulb = mixed(0.45)
    psychrolib.SetUnitSystem(psychrolib.IP)
    ratios = [psychrolib.GetHumRatioFromTWetBulb(*one, SEA_LEVEL) for one in ((dry, wet_bulb), (57.0, 56.0))]
    first, last = (psychrolib.GetMoistAirEnthalpy(t, w) for t, w in zip((dry, 57.0), ratios, strict=True))
    gone = first - last - (ratios[0] - ratios[1]) * (57.0 - 32.0)
    pounds = (
        7600.0
        * 60.0
        / psychrolib.GetMoistAirVolume(
            75.0, psychrolib.GetHumRatioFromTWetBulb(*RETURN, SEA_LEVEL), SEA_LEVEL
        )
    )
    # 0.5 %: ideal gas against the library's own constants.
    assert result.duty.total[0] * 3.412142 == pytest.approx(gone * pounds, rel=0.006)
    assert result.air.entering is result.air.mixed_air and result.air.entering_name == "mixed"


def test_outdoor_air_keeps_metal_warm_that_the_return_alone_would_freeze(tmp_path):
    cool = read(0.6) | {f"{name}.suction_pressure": "92 psig" for name in "12"}
    alone = {key: value for key, value in cool.items() if "mixed" not in key}
    warm, cold = (analysed(tmp_path, one).conditions[0].freeze for one in (cool, alone))
    assert warm.coldest[0] > cold.coldest[0] + 1.0


def test_the_fan_panel_says_the_outdoor_fraction(tmp_path):
    panel = FanPanel.from_job(analysed(tmp_path, read(0.45)).job)
    assert panel.result.outdoors.by_dry_bulb.value == pytest.approx(0.45, abs=0.005)
    for told in (" ".join(panel.tell()), panel.tell_html()):
        assert "Outdoor air in the mixed air: 45 %" in told
    assert "outdoor air" not in " ".join(FanPanel.from_job(analysed(tmp_path).job).tell()).lower()
