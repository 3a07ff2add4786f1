"""Do the stated 95 % bands hold the truth? Synthetic jobs with known truth, through the whole line.

True states are drawn over what a service engineer meets; `hvaccalc.diagnosis.readings.instruments.read`
makes readings of them with the package's own stated accuracies; the readings are typed into a job file,
loaded and analysed. The share of jobs whose band holds the truth is the result. Supply air above 88 %
relative humidity, where draws with the wet bulb above the dry bulb are masked, is counted apart.

The study tests the handling of uncertainty (reading, calibration shared, masking, percentiles), not the
physics: truth and kit share the property formulas, which have published checks of their own.
"""

import math
from collections.abc import Iterator

import numpy as np

from hvaccalc import units as u
from hvaccalc.analysis import Analysis, analyse
from hvaccalc.diagnosis.air.air_states import AirStream, air_states, coil_duty
from hvaccalc.diagnosis.air.airflow import airflow
from hvaccalc.diagnosis.circuits.circuit_readings import circuit_as_read
from hvaccalc.diagnosis.readings import instruments
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import NOT_KNOWN, Z95, Band, band
from hvaccalc.job.accuracy import InstrumentKind
from hvaccalc.job.load import job_from_text
from hvaccalc.physics import moist_air
from hvaccalc.physics.refrigerant import refrigerant

JOBS = 1000
CLAIM = 0.95
TOLERANCE = {"up to 88 %": 0.02, "above 88 %": 0.05}
RESULTS = (
    *("subcooling", "superheat", "return_dew_point", "supply_dew_point"),
    *("condensate", "capacity"),
)
HUMID = ("supply_dew_point", "condensate", "capacity")
"""Results that rest on the supply humidity; the others are counted once, over all jobs."""


def true_state(generator: np.random.Generator) -> dict[str, float]:
    """One true state [SI] with the results that follow from it."""
    fluid = refrigerant("R-410A")
    error = generator.normal(0.0, fluid.saturation_band / Z95)
    between = generator.uniform
    state = {"barometer": between(83e3, 102e3), "airflow": between(1.5, 5.0)}
    state["return_dry_bulb"] = u.degF(between(67.0, 82.0))
    return_humidity = between(0.40, 0.60)
    # Air that leaves a wet coil is near saturation; a drier coil or bypassed air is further from it.
    state["supply_dry_bulb"] = state["return_dry_bulb"] - u.delta_degF(between(14.0, 26.0))
    pressure = state["barometer"]
    w_return = moist_air.humidity_ratio_from_relative_humidity(
        state["return_dry_bulb"], return_humidity, pressure
    )
    highest = moist_air.relative_humidity(state["supply_dry_bulb"], 0.97 * w_return, pressure)
    supply_humidity = between(0.70, min(0.97, float(highest))) if highest > 0.72 else float(highest) * 0.97
    w_supply = moist_air.humidity_ratio_from_relative_humidity(
        state["supply_dry_bulb"], supply_humidity, pressure
    )
    for stream, w in (("return", w_return), ("supply", w_supply)):
        state[f"{stream}_wet_bulb"] = float(moist_air.wet_bulb(state[f"{stream}_dry_bulb"], w, pressure))
        state[f"{stream}_dew_point"] = float(moist_air.dew_point(w, pressure))
    liquid, suction = u.degF(between(85.0, 120.0)), u.degF(between(28.0, 50.0))
    state["liquid_pressure"] = float(fluid.bubble_pressure(liquid - error))
    state["suction_pressure"] = float(fluid.dew_pressure(suction - error))
    state["subcooling"] = u.delta_degF(between(0.0, 20.0))
    state["superheat"] = u.delta_degF(between(4.0, 20.0))
    state["liquid_temperature"] = liquid - state["subcooling"]
    state["suction_temperature"] = suction + state["superheat"]
    state["supply_humidity"] = supply_humidity
    return state | _duty(state, float(w_return), float(w_supply))


def _duty(state: dict[str, float], w_return: float, w_supply: float) -> dict[str, float]:
    """True condensate [kg/s] and capacity [W] by a balance of mass and enthalpy."""
    volume = moist_air.specific_volume(state["return_dry_bulb"], w_return, state["barometer"])
    dry_air = state["airflow"] / float(volume)
    water = dry_air * (w_return - w_supply)
    drop = moist_air.enthalpy(state["return_dry_bulb"], w_return) - moist_air.enthalpy(
        state["supply_dry_bulb"], w_supply
    )
    leaving = water * moist_air.liquid_water_enthalpy(state["supply_dry_bulb"])
    return {"condensate": water, "capacity": dry_air * float(drop) - float(leaving)}


READ = {
    "air": {
        "barometer": "inHg",
        "airflow": "cfm",
        "return_dry_bulb": "degF",
        "return_wet_bulb": "degF",
        "supply_dry_bulb": "degF",
        "supply_wet_bulb": "degF",
    },
    "circuit": {
        "suction_pressure": "psig",
        "suction_temperature": "degF",
        "liquid_pressure": "psig",
        "liquid_temperature": "degF",
    },
}
KITS: tuple[dict[str, str], ...] = (
    {},
    {"return_wet_bulb": "psychrometer", "supply_wet_bulb": "psychrometer"},
    {"suction_pressure": "gauges", "liquid_pressure": "gauges", "suction_temperature": "clamp"},
)
INSTRUMENTS = {
    "psychrometer": InstrumentKind.PSYCHROMETER,
    "gauges": InstrumentKind.GAUGE_ANALOG,
    "clamp": InstrumentKind.PIPE_CLAMP,
}


def job_text(state: dict[str, float], generator: np.random.Generator, seed: int) -> str:
    """The job file that an engineer would type from instruments reading that state."""
    kit = KITS[generator.integers(len(KITS))]
    plan = {}
    for table in READ.values():
        for key, unit in table.items():
            named = instruments.Instrument(kit[key], INSTRUMENTS[kit[key]]) if key in kit else None
            plan[key] = instruments.Planned(key, unit, named)
    shown = instruments.read(state, plan, generator, state["barometer"])
    rows = {name: [_row(key, shown[key].text, kit.get(key)) for key in table] for name, table in READ.items()}
    kinds = [f'{name} = {{ kind = "{kind}" }}' for name, kind in INSTRUMENTS.items()]
    return "\n".join(
        [
            "format = 1",
            f'[job]\ntitle = "coverage"\nseed = {seed}',
            '[unit]\nrated_capacity = "240 kBtu/h"\nrated_airflow = "8000 cfm"',
            '[circuit.1]\nrefrigerant = "R-410A"',
            "[instruments]",
            *kinds,
            "[[visit]]\n[[visit.condition]]\ncompressors_running = []",
            "[visit.condition.air]",
            *rows["air"],
            "[visit.condition.circuit.1]",
            *rows["circuit"],
            "",
        ]
    )


def _row(key: str, text: str, instrument: str | None) -> str:
    return (
        f'{key} = {{ value = "{text}", instrument = "{instrument}" }}' if instrument else f'{key} = "{text}"'
    )


def _dew_point(stream: AirStream | None) -> tuple[np.ndarray | None, np.ndarray | None]:
    return (None, None) if stream is None else (stream.dew_point, stream.possible)


def bands(analysis: Analysis) -> dict[str, Band]:
    """The kit's bands for the one condition of a job; the freeze forecast, the slow part, is left out."""
    draws, where = analysis.draws, Where(1, 1)
    air = air_states(draws, where)
    flow = airflow(draws, air)
    circuit = circuit_as_read(draws, where.at("1"))
    duty = coil_duty(air, flow.dry_air_flow)
    found = {
        "subcooling": (circuit.subcooling.draws if circuit.subcooling else None, None),
        "superheat": (circuit.superheat.draws if circuit.superheat else None, None),
        "return_dew_point": _dew_point(air.return_air),
        "supply_dew_point": _dew_point(air.supply_air),
        "condensate": (duty.condensate, duty.possible),
        "capacity": (duty.total, duty.possible),
    }
    return {
        name: NOT_KNOWN if column is None else band(column, mask) for name, (column, mask) in found.items()
    }


def outcomes(seed: int, jobs: int) -> Iterator[tuple[float, dict[str, bool]]]:
    """For each job the true supply humidity and whether each band holds the truth.

    A result is absent where the kit gave no band: readings that it flagged as contradicting each other.
    """
    generator = np.random.default_rng(seed)
    for number in range(jobs):
        state = true_state(generator)
        given = bands(analyse(job_from_text(job_text(state, generator, number))))
        yield (
            state["supply_humidity"],
            {name: b.low <= state[name] <= b.high for name, b in given.items() if b.known},
        )


def run(seed: int, jobs: int = JOBS) -> dict:
    """Share of bands that hold the truth, by result and by supply humidity."""
    rows = list(outcomes(seed, jobs))
    result: dict = {"jobs": jobs, "claim": CLAIM, "shares": {}}
    for name in RESULTS:
        groups = {"all": rows}
        if name in HUMID:
            groups = {
                "up to 88 %": [r for r in rows if r[0] <= 0.88],
                "above 88 %": [r for r in rows if r[0] > 0.88],
            }
        for group, members in groups.items():
            told = [held[name] for _, held in members if name in held]
            row = {"jobs": len(members), "no band": len(members) - len(told), "share": np.mean(told).round(4)}
            result["shares"][f"{name}, {group}"] = row
    return result


def allowed(group: str, jobs: int) -> float:
    """Half width of the band around the claim: the stated tolerance, or three sampling errors if wider."""
    stated = TOLERANCE.get(group.rsplit(", ", 1)[1], TOLERANCE["up to 88 %"])
    return max(stated, 3.0 * math.sqrt(CLAIM * (1.0 - CLAIM) / jobs))
