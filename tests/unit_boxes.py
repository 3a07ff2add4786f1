"""Boxes of conditions and faults for the whole unit: one as met in practice, one wide, one beyond both.

No source: common practice for the ranges, made wide on purpose. Every row of the wide and the extreme box has
most faults at once, in both circuits.
"""

import dataclasses

import numpy as np

from hvaccalc.equipment.unit.unit_model import UnitModel
from hvaccalc.equipment.unit.unit_state import Circuit, Conditions, Faults, UnitRating
from hvaccalc.physics.moist_air import humidity_ratio_from_wet_bulb, saturation_humidity_ratio

SEA_LEVEL = 101325.0
RATED_FLOW = 4.53
SEED = 1848


def kelvin(fahrenheit):
    """Temperature [K]."""
    return (np.asarray(fahrenheit) - 32.0) / 1.8 + 273.15


def rating(name: str = "R-410A", circuiting: str = "interlaced", metering: str = "TXV") -> UnitRating:
    """A 20-ton unit of two circuits: 80/67/95 °F, 8000 cfm, 45 °F suction saturation."""
    circuit = Circuit(refrigerant=name, metering=metering, condensing_saturation=float(kelvin(118.0)))
    return UnitRating(
        net_capacity=70.34e3,
        sensible_ratio=0.72,
        dry_air_flow=RATED_FLOW,
        fan_power=3.2e3,
        dry_bulb=float(kelvin(80.0)),
        humidity_ratio=float(humidity_ratio_from_wet_bulb(kelvin(80.0), kelvin(67.0), SEA_LEVEL)),
        pressure=SEA_LEVEL,
        outdoor_dry_bulb=float(kelvin(95.0)),
        suction_saturation=float(kelvin(45.0)),
        circuits=(circuit, circuit),
        circuiting=circuiting,
    )


def unit(name: str = "R-410A", circuiting: str = "interlaced", metering: str = "TXV") -> UnitModel:
    """The unit of `rating`."""
    return UnitModel.from_rating(rating(name, circuiting, metering))


def wide(count: int, seed: int = SEED) -> tuple[Conditions, Faults]:
    """Return 60-90 °F and 20-80 %, outdoors 55-115 °F, airflow 30-110 %, five to seven faults a circuit."""
    return many_faults(count, seed, (55.0, 115.0), (0.3, 1.1))


def extreme(count: int, seed: int = SEED) -> tuple[Conditions, Faults]:
    """As `wide` with outdoors 45-125 °F and airflow 25-120 %."""
    return many_faults(count, seed, (45.0, 125.0), (0.25, 1.2))


def many_faults(
    count: int, seed: int, outdoors: tuple[float, float], airflow: tuple[float, float]
) -> tuple[Conditions, Faults]:
    """Rows between these ends of outdoor dry bulb [°F] and share of the rated airflow."""
    draw = np.random.default_rng(seed).uniform
    dry_bulb, barometer = kelvin(draw(60.0, 90.0, count)), draw(80e3, 103e3, count)
    conditions = Conditions(
        return_dry_bulb=dry_bulb,
        return_humidity_ratio=draw(0.2, 0.8, count) * saturation_humidity_ratio(dry_bulb, barometer),
        barometer=barometer,
        outdoor_dry_bulb=kelvin(draw(*outdoors, count)),
        dry_air_flow=RATED_FLOW * draw(*airflow, count),
    )
    both = (2, count)
    faults = Faults(
        charge=draw(0.6, 1.3, both),
        condenser_air=draw(0.4, 1.0, both),
        condenser_fouling=draw(0.5, 1.0, both),
        restriction=draw(0.0, 1.0, both) * (draw(size=both) < 0.5),
        valve_capacity=draw(0.3, 1.0, both),
        valve_overfeed=draw(0.0, 1.3, both) * (draw(size=both) < 0.3),
        compressor_wear=draw(0.7, 1.0, both),
    )
    return conditions, faults


def realistic(count: int, seed: int = SEED) -> tuple[Conditions, Faults]:
    """Return 65-82 °F and 30-65 %, outdoors 60-110 °F, airflow 40-110 %, at most one fault a circuit."""
    generator = np.random.default_rng(seed)
    draw = generator.uniform
    dry_bulb, barometer = kelvin(draw(65.0, 82.0, count)), draw(90e3, 103e3, count)
    conditions = Conditions(
        return_dry_bulb=dry_bulb,
        return_humidity_ratio=draw(0.3, 0.65, count) * saturation_humidity_ratio(dry_bulb, barometer),
        barometer=barometer,
        outdoor_dry_bulb=kelvin(draw(60.0, 110.0, count)),
        dry_air_flow=RATED_FLOW * draw(0.4, 1.1, count),
    )
    kind = generator.integers(0, 8, (2, count))
    ranges = {
        "charge": (0.6, 1.2),
        "condenser_air": (0.4, 1.0),
        "condenser_fouling": (0.5, 1.0),
        "restriction": (0.0, 0.8),
        "valve_capacity": (0.45, 1.0),
        "valve_overfeed": (0.8, 1.3),
        "compressor_wear": (0.75, 1.0),
    }
    sound = Faults()
    values = {
        name: np.where(kind == i, draw(*limits, (2, count)), getattr(sound, name))
        for i, (name, limits) in enumerate(ranges.items(), 1)
    }
    return conditions, Faults(**values)


def rows(box: tuple[Conditions, Faults], chosen: np.ndarray) -> tuple[Conditions, Faults]:
    """Some rows of a box, in the order given."""
    conditions, faults = (
        {name: value for name, value in vars(part).items() if np.ndim(value)} for part in box
    )
    return (
        dataclasses.replace(box[0], **{name: value[..., chosen] for name, value in conditions.items()}),
        dataclasses.replace(box[1], **{name: value[..., chosen] for name, value in faults.items()}),
    )


def swapped(faults: Faults) -> Faults:
    """The faults of circuit 1 in circuit 2 and the other way round."""
    return Faults(**{name: value[::-1] if np.ndim(value) else value for name, value in vars(faults).items()})
