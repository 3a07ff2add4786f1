"""Job files of units solved with a known fault: every fault with every circuiting, refrigerants in turn."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np

from hvaccalc import units as u
from hvaccalc.diagnosis.unit.readings_of_state import Level, readings, true_state
from hvaccalc.equipment.unit.unit_model import UnitModel
from hvaccalc.equipment.unit.unit_state import Circuit, Conditions, Faults, UnitRating
from hvaccalc.physics import moist_air
from tests.behaviour.jobs import SOUND, job_text

SEA_LEVEL = 101325.0
FAN = 3.2e3
"""Of the rating, as in `SOUND` [W]."""

FAULTS: dict[str, dict[str, float]] = {
    "sound": {},
    "low_charge": {"charge": 0.75},
    "overcharge": {"charge": 1.15},
    "restriction": {"restriction": 0.25},
    "condenser_air": {"condenser_air": 0.55},
    "weak_compressor": {"compressor_wear": 0.75},
    "overfeeding_valve": {"valve_overfeed": 1.1},
    "low_airflow": {"airflow": 0.6},
}
"""Faults of circuit 2; the last is the unit's, its fan at a share of the full speed."""

CIRCUITINGS = ("interlaced", "face split", "row split")
KITS = (
    ("R-410A", Level.USUAL),
    ("R-22", Level.GAUGES),
    ("R-407C", Level.FULL),
    ("R-454B", Level.USUAL),
    ("R-134a", Level.FULL),
    ("R-32", Level.GAUGES),
)
OUTDOORS = (95.0, 72.0, 85.0, 64.0, 102.0)
"""Taken in turn [°F]."""

RETURN_AIR = ((75.0, 63.0), (78.0, 67.0), (72.0, 59.0))
"""Dry and wet bulb, in turn [°F]."""


@dataclass(frozen=True)
class Case:
    """One unit on one day.

    Attributes
    ----------
    fault, circuiting, refrigerant : str
    level : Level
    outdoor : float
        [°F]
    air : tuple of float
        Return dry and wet bulb [°F].
    speed : float
        Of the fan, over full speed.
    seed : int
        Of the instruments' errors.
    """

    fault: str
    circuiting: str = "interlaced"
    refrigerant: str = "R-410A"
    level: Level = Level.USUAL
    outdoor: float = 85.0
    air: tuple[float, float] = RETURN_AIR[0]
    speed: float = 1.0
    seed: int = 1


@cache
def unit(circuiting: str, refrigerant: str) -> UnitModel:
    """The unit of `SOUND`, calibrated on its rating."""
    back = u.degF(80.0)
    moisture = float(moist_air.humidity_ratio_from_wet_bulb(back, u.degF(67.0), SEA_LEVEL))
    rating = UnitRating(
        net_capacity=u.si(240.0, "kBtu/h", "heat"),
        sensible_ratio=0.72,
        dry_air_flow=rated_flow(),
        fan_power=FAN,
        dry_bulb=back,
        humidity_ratio=moisture,
        pressure=SEA_LEVEL,
        outdoor_dry_bulb=u.degF(95.0),
        suction_saturation=u.degF(45.0),
        circuits=(Circuit(refrigerant), Circuit(refrigerant)),
        circuiting=circuiting,
    )
    return UnitModel.from_rating(rating)


def rated_flow() -> float:
    """Of the rating [kg/s dry air]."""
    back = u.degF(80.0)
    moisture = moist_air.humidity_ratio_from_wet_bulb(back, u.degF(67.0), SEA_LEVEL)
    return u.cfm(8000.0) / float(moist_air.specific_volume(back, moisture, SEA_LEVEL))


def entries(case: Case) -> dict[str, object]:
    """What the job file says of the unit on that day, by the short places of `tests.behaviour.jobs`."""
    wrong = dict(FAULTS[case.fault])
    share = case.speed * wrong.pop("airflow", 1.0)
    dry, wet = (u.degF(t) for t in case.air)
    conditions = Conditions(
        return_dry_bulb=dry,
        return_humidity_ratio=float(moist_air.humidity_ratio_from_wet_bulb(dry, wet, SEA_LEVEL)),
        barometer=SEA_LEVEL,
        outdoor_dry_bulb=u.degF(case.outdoor),
        dry_air_flow=rated_flow() * share,
        fan_power=FAN * share**3,
    )
    faults = Faults(**{name: np.array([getattr(Faults, name), size]) for name, size in wrong.items()})
    states = unit(case.circuiting, case.refrigerant).solve(conditions, faults)
    truth = true_state(dict.fromkeys(("1", "2"), case.refrigerant), conditions, states)
    read = readings(truth, case.level, np.random.default_rng(case.seed))
    unread = {key: None for key in SOUND if key.split(".")[0] in ("air", "1", "2")}
    typed: dict[str, object] = {
        f"{place}.{key}": f"{u.to(q.value, q.unit, q.kind, barometer=0.0):.1f} {q.unit}"
        for place, table in read.items()
        for key, q in table.items()
        if key != "barometer"
    }
    for name, bubbles in truth.bubbles.items():
        typed |= {
            f"{name}.sight_glass": "bubbles" if bubbles else "clear",
            f"{name}.suction_measured_at": "coil",
        }
        typed[f"circuit.{name}.refrigerant"] = case.refrigerant
    typed |= {
        "job.title": f"{case.fault}, {case.circuiting}, {case.refrigerant}",
        "job.water_seen": "1 to 4 gal/day",
        "unit.circuiting": case.circuiting,
        "air.supply_measured_at": "unit",
        "air.fan_frequency": f"{60.0 * share:.0f} Hz",
        "condition.label": "as found",
    }
    return unread | typed


def cases() -> dict[str, Case]:
    """Forty-eight: eight faults, three circuitings, and two of the kits in turn."""
    made = {}
    for n, ((fault, circuiting), again) in enumerate(product(product(FAULTS, CIRCUITINGS), range(2))):
        refrigerant, level = KITS[(n + n // len(KITS)) % len(KITS)]
        case = Case(
            fault,
            circuiting,
            refrigerant,
            level,
            OUTDOORS[n % len(OUTDOORS)],
            RETURN_AIR[(n + again) % len(RETURN_AIR)],
            seed=n,
        )
        made[f"{fault}-{circuiting.replace(' ', '_')}-{refrigerant}-{level}"] = case
    return made


def generated_jobs() -> dict[str, str]:
    """TOML of every case by its name."""
    return {name: job_text(entries(case)) for name, case in cases().items()}
