"""A heat pump heating: the simple balance against published curves of heat pumps, and against physics.

Curves: residential single-speed heat pumps, Cutler et al., NREL/TP-5500-56354 (2013), heating sets, written
here from memory; that they come to 1 at their rated point is checked. No measurement at low indoor air while
heating was at hand, so that the head itself is held by physics alone: conservation, order of temperatures,
and rising as the air falls. A 20-ton unit rated in cooling stands for all; superheat and subcooling given.
"""

from functools import cache

import numpy as np
import pytest

from hvaccalc.equipment.unit import heating
from hvaccalc.equipment.unit.unit_state import Conditions
from hvaccalc.physics.moist_air import CP_DRY, CP_VAPOUR
from hvaccalc.physics.refrigerant import refrigerant
from tests.unit_boxes import RATED_FLOW, SEA_LEVEL, kelvin, unit

SUBCOOLING = 12.0 / 1.8
ROOM, HUMIDITY = 70.0, 0.005

# Of flow over rated; of indoor and outdoor dry bulb [°F].
CAPACITY_BY_FLOW = (0.694045465, 0.474207981, -0.168253446)
INPUT_BY_FLOW = (2.185418751, -1.942827919, 0.757409168)
CAPACITY_BY_WEATHER = (0.566333415, -0.000744164, -0.0000103, 0.009414634, 0.0000506, -0.00000675)
INPUT_BY_WEATHER = (0.718398423, 0.003498178, 0.000142202, -0.005724331, 0.00014085, -0.000215321)


def by_flow(c: tuple[float, ...], f: float) -> float:
    return c[0] + c[1] * f + c[2] * f**2


def by_weather(c: tuple[float, ...], room: float, outdoor: float) -> float:
    return c[0] + c[1] * room + c[2] * room**2 + c[3] * outdoor + c[4] * outdoor**2 + c[5] * room * outdoor


@cache
def state(airflow: float = 1.0, outdoor: float = 47.0, room: float = ROOM, running=(True, True)):
    conditions = Conditions(
        kelvin(room), HUMIDITY, SEA_LEVEL, kelvin(outdoor), RATED_FLOW * airflow, running=list(running)
    )
    return heating.solve(unit().constants, conditions, SUBCOOLING)


def test_curves_are_one_at_their_rated_point():
    """47 °F outdoors, 70 °F return, rated flow: within 1 % of 1 as printed."""
    for c in (CAPACITY_BY_FLOW, INPUT_BY_FLOW):
        assert by_flow(c, 1.0) == pytest.approx(1.0, abs=1e-4)
    for c in (CAPACITY_BY_WEATHER, INPUT_BY_WEATHER):
        assert by_weather(c, 70.0, 47.0) == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize(("airflow", "power_bar", "heat_bar"), [(0.8, 0.02, 0.03), (0.6, 0.05, 0.07)])
def test_power_rises_and_heat_falls_with_less_air(airflow, power_bar, heat_bar):
    """Compressor power +7.8 and +18.6 %, heat -3.4 and -8.2 %: the head behind them rises as it must. The
    bars grow with the cut: the balance holds subcooling, real liquid backs up."""
    low, full = state(airflow), state()
    heat, power = (
        float(getattr(low, n).sum() / getattr(full, n).sum()) for n in ("heat", "compressor_power")
    )
    published = by_flow(CAPACITY_BY_FLOW, airflow)
    assert heat == pytest.approx(published, abs=heat_bar)
    assert heat < 1.0
    assert power == pytest.approx(published * by_flow(INPUT_BY_FLOW, airflow), abs=power_bar)


def test_cold_weather_takes_heat_and_power():
    """From 47 to 17 °F outdoors heat x 0.63, power x 0.85; the balance knows no frost: 0.08."""
    cold, rated = state(outdoor=17.0), state()
    heat, power = (
        by_weather(CAPACITY_BY_WEATHER, ROOM, t) * np.array([1.0, by_weather(INPUT_BY_WEATHER, ROOM, t)])
        for t in (17.0, 47.0)
    )
    assert cold.heat.sum() / rated.heat.sum() == pytest.approx(heat[0] / power[0], abs=0.08)
    assert cold.compressor_power.sum() / rated.compressor_power.sum() == pytest.approx(
        heat[1] / power[1], abs=0.08
    )


def test_heat_for_the_power_and_for_the_cooling():
    """At 47/70 °F 3 to 4.2 W of heat for each of the compressor, 0.9 to 1.15 of the rated cooling (70 kW):
    common practice, no source."""
    rated = state()
    assert 3.0 < rated.heat.sum() / rated.compressor_power.sum() < 4.2
    assert 0.9 < rated.heat.sum() / 70.34e3 < 1.15


@pytest.mark.parametrize("outdoor", [17.0, 40.0, 47.0])
@pytest.mark.parametrize("airflow", [1.0, 0.6, 0.4])
def test_energy_closes_between_airs_and_power(airflow, outdoor):
    """First law, recomputed here: air warmed = heat + fan; heat = from outdoors + power in the gas."""
    found = state(airflow, outdoor)
    flow = RATED_FLOW * airflow
    fan = 3.2e3 * airflow
    warmed = flow * (CP_DRY + CP_VAPOUR * HUMIDITY) * (found.supply_dry_bulb - kelvin(ROOM))
    assert warmed == pytest.approx(found.heat.sum() + fan, rel=1e-9)
    assert np.abs(found.energy_residual).max() < 1e-6


def test_temperatures_stand_in_their_order():
    for airflow in (1.0, 0.6, 0.4):
        found = state(airflow)
        assert (found.suction_saturation < kelvin(47.0)).all()
        assert (found.condensing_saturation > kelvin(ROOM)).all()
        assert (found.supply_dry_bulb < found.discharge_temperature).all()
        assert (found.discharge_temperature > found.condensing_saturation).all()


def test_head_rises_as_the_air_falls_and_is_that_of_its_temperature():
    """The same heat through less air: never a lower head; the pressure is the dew pressure of the table."""
    airflow = np.linspace(1.1, 0.4, 15)
    head = np.array([float(state(float(f)).head_pressure[0, 0]) for f in airflow])
    assert (np.diff(head) > 0.0).all()
    dew = refrigerant("R-410A").dew_pressure(state(0.6).condensing_saturation[0, 0])
    assert head[np.argmin(np.abs(airflow - 0.6))] == pytest.approx(float(dew), rel=2e-3)


def test_condensing_rise_by_hand():
    """259 kBtu/h warm 8000 cfm by 30 °F and 60 % of them by 50 °F. Condensing stands 44 °F over the return:
    effectiveness 0.67, NTU 1.1. A conductance that stayed has NTU 1.9, effectiveness 0.85, 59 °F over: +15.
    An effectiveness that stayed has 44 / 0.6 = 73 °F over: +29. The film falls with the air: in between."""
    full, low = state(), state(0.6)
    rise = (low.condensing_saturation[0, 0] - full.condensing_saturation[0, 0]) * 1.8
    assert 14.0 < rise < 29.0


def test_circuits_are_alike_and_one_stage_has_all_of_the_air():
    both, one = state(), state(running=(True, False))
    assert both.condensing_saturation[0, 0] == pytest.approx(both.condensing_saturation[1, 0], abs=1e-6)
    assert np.isnan(one.condensing_saturation[1, 0])
    assert one.condensing_saturation[0, 0] < both.condensing_saturation[0, 0] - 5.0
    assert one.supply_dry_bulb[0] < both.supply_dry_bulb[0]


def test_beyond_the_critical_point_there_is_no_state():
    """A quarter of the air on a mild day: no temperature below R-410A's critical 160 °F carries the heat."""
    assert np.isnan(state(0.25, 65.0).condensing_saturation).all()
