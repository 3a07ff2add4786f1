"""The published measurements in ``data/measured`` as conditions and readings of a unit model."""

import numpy as np
from scipy.constants import zero_Celsius

from hvaccalc import units
from hvaccalc.equipment.unit.unit_model import Measured
from hvaccalc.equipment.unit.unit_state import Circuit, Conditions, UnitRating
from hvaccalc.job.visit_tables import Condition
from hvaccalc.physics import moist_air
from hvaccalc.physics.refrigerant import refrigerant
from tests.measured_sets import BTU_PER_HOUR, conditions, outcome

R410A = refrigerant("R-410A")
SEA_LEVEL = 101325.0


def kelvin(fahrenheit: float) -> float:
    """Temperature [K]."""
    return (fahrenheit - 32.0) / 1.8 + zero_Celsius


def by_label(name: str, labels: tuple[str, ...]) -> list[Condition]:
    """Conditions of a set in the order of their labels."""
    known = {condition.label: condition for _, condition in conditions(name)}
    return [known[label] for label in labels]


def air(rows: list[Condition], key: str) -> np.ndarray:
    """An air reading of each row [SI]; NaN where it was not taken."""
    readings = [getattr(row.air, key) for row in rows]
    return np.array([np.nan if reading is None else reading.quantity.value for reading in readings])


def circuit(rows: list[Condition], key: str) -> np.ndarray:
    """A reading of circuit 1 of each row [SI]."""
    return np.array([getattr(row.circuit["1"], key).quantity.value for row in rows])


# --- chamber -----------------------------------------------------------------------------------------------
def chamber_rating() -> UnitRating:
    """The rating that the job file of the chamber set gives; assumptions for the rest."""
    state = kelvin(80.0), kelvin(67.0), SEA_LEVEL
    return UnitRating(
        net_capacity=28.5e3 * BTU_PER_HOUR,
        sensible_ratio=0.77,
        dry_air_flow=float(units.cfm(1010.0)) * units.STANDARD_AIR_DENSITY,
        fan_power=418.0,
        dry_bulb=state[0],
        humidity_ratio=float(moist_air.humidity_ratio_from_wet_bulb(*state)),
        pressure=SEA_LEVEL,
        outdoor_dry_bulb=kelvin(95.0),
        suction_saturation=kelvin(52.1),
        circuits=(Circuit(refrigerant="R-410A", capacity_share=1.0),),
    )


def chamber(labels: tuple[str, ...]) -> Measured:
    """Conditions and readings; a dry coil's supply humidity is the return's."""
    rows = by_label("chamber", labels)
    barometer = air(rows, "barometer")
    entering, leaving = (
        moist_air.saturation_humidity_ratio(air(rows, f"{place}_dew_point"), barometer)
        for place in ("return", "supply")
    )
    suction, discharge = circuit(rows, "suction_pressure"), circuit(rows, "discharge_pressure")
    reported = [outcome("chamber")[label] for label in labels]
    net, sensible = (
        np.array([row[f"{key}_capacity_btu_per_hour"] for row in reported]) * BTU_PER_HOUR
        for key in ("net_total", "sensible")
    )
    dew = R410A.dew_temperature(suction)
    readings = {
        "suction_saturation": dew,
        "condensing_saturation": R410A.dew_temperature(discharge),
        "superheat": circuit(rows, "suction_temperature") - dew,
        "subcooling": R410A.bubble_temperature(circuit(rows, "liquid_pressure"))
        - circuit(rows, "liquid_temperature"),
        "refrigerant_mass_flow": circuit(rows, "refrigerant_mass_flow"),
        "compressor_power": circuit(rows, "compressor_power"),
    }
    return Measured(
        Conditions(
            return_dry_bulb=air(rows, "return_dry_bulb"),
            return_humidity_ratio=entering,
            barometer=barometer,
            outdoor_dry_bulb=air(rows, "outdoor_dry_bulb"),
            dry_air_flow=air(rows, "airflow") * units.STANDARD_AIR_DENSITY,
            fan_power=air(rows, "fan_power"),
        ),
        {name: value[None] for name, value in readings.items()}
        | {
            "supply_dry_bulb": air(rows, "supply_dry_bulb"),
            "supply_humidity_ratio": np.minimum(leaving, entering),
            "total_capacity": net,
            "sensible_capacity": np.minimum(sensible, net),
        },
    )


# --- rooftop unit ------------------------------------------------------------------------------------------
def field_rating(metering: str) -> UnitRating:
    """The rating of the job file of the field set; suction saturation and circuiting assumed."""
    state = kelvin(80.0), kelvin(67.0), SEA_LEVEL
    return UnitRating(
        net_capacity=41.8e3,
        sensible_ratio=0.72,
        dry_air_flow=float(units.cfm(4350.0)) * units.STANDARD_AIR_DENSITY,
        fan_power=2150.0,
        dry_bulb=state[0],
        humidity_ratio=float(moist_air.humidity_ratio_from_wet_bulb(*state)),
        pressure=SEA_LEVEL,
        outdoor_dry_bulb=kelvin(95.0),
        suction_saturation=kelvin(47.0),
        circuits=(Circuit(refrigerant="R-410A", metering=metering, suction_line_loss=0.0),) * 2,
    )


def field(labels: tuple[str, ...]) -> Measured:
    """Circuit 1 loaded, circuit 2 off; subcooling by bubble at 0.96 of the discharge pressure, an
    estimate."""
    rows = by_label("field", labels)
    dry_bulb, flow = air(rows, "return_dry_bulb"), air(rows, "airflow")
    # One row logs neither airflow nor barometer of its own; the campaign's are nearly constant.
    barometer = np.where(np.isnan(air(rows, "barometer")), 97906.0, air(rows, "barometer"))
    flow = np.where(np.isnan(flow), np.nanmean(flow), flow)
    suction, discharge = circuit(rows, "suction_pressure"), circuit(rows, "discharge_pressure")
    dew = R410A.dew_temperature(suction)
    readings = {
        "suction_saturation": dew,
        "condensing_saturation": R410A.dew_temperature(discharge),
        "superheat": circuit(rows, "suction_temperature") - dew,
        "subcooling": R410A.bubble_temperature(0.96 * discharge) - circuit(rows, "liquid_temperature"),
        "refrigerant_mass_flow": circuit(rows, "refrigerant_mass_flow"),
        "compressor_power": circuit(rows, "compressor_power"),
    }
    idle = np.full(len(labels), np.nan)
    cooling = [outcome("field")[label].get("air_side_cooling_kw", np.nan) for label in labels]
    humidity = air(rows, "return_relative_humidity")
    return Measured(
        Conditions(
            return_dry_bulb=dry_bulb,
            return_humidity_ratio=moist_air.humidity_ratio_from_relative_humidity(
                dry_bulb, humidity, barometer
            ),
            barometer=barometer,
            outdoor_dry_bulb=air(rows, "outdoor_dry_bulb"),
            dry_air_flow=flow * units.STANDARD_AIR_DENSITY,
            fan_power=np.full(len(labels), 2150.0),
            running=np.array([[True], [False]]) & np.ones((2, len(labels)), bool),
        ),
        {name: np.stack([value, idle]) for name, value in readings.items()}
        | {
            "total_capacity": 1000.0 * np.array(cooling),
            "supply_dry_bulb": air(rows, "supply_dry_bulb"),
        },
    )
