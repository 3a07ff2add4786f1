"""Airflow by several methods that share instruments: do reconciled bands hold the truth, are outliers named?

Each synthetic job has one known point (airflow by traverse, coil and filter drop, drive frequency) and one
condition read with a traverse, one manometer for both drops, and the drive's display. Truth follows the
package's own stated spreads: exponents of the drops, changes since the known point, accuracies.
The readings are typed into a job file, loaded and analysed. The same readings are also combined with weights
that take the methods for independent, to show what that costs.

In a second run over the same truths one method, whose own 95 % band is within ± 16 %, is made to come out
30 % off the truth: it should be named, the others not.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from hvaccalc import units as u
from hvaccalc.analysis import analyse
from hvaccalc.diagnosis.air import airflow_methods as ways
from hvaccalc.diagnosis.air.air_states import air_states
from hvaccalc.diagnosis.air.airflow import Airflow, airflow
from hvaccalc.diagnosis.readings import instruments
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import Z95, band
from hvaccalc.job.accuracy import InstrumentKind
from hvaccalc.job.load import job_from_text

JOBS = 2000
CLAIM, TOLERANCE = 0.95, 0.02
OFF, WITHIN = 0.30, 0.16
NAMED_AT_LEAST, ACCUSED_AT_MOST = 0.95, 0.05

READ = {
    "airflow": "cfm",
    "coil_pressure_drop": "inH2O",
    "filter_pressure_drop": "inH2O",
    "fan_frequency": "Hz",
}
PARTS = {
    "coil_drop": ("coil_pressure_drop", ways.COIL_EXPONENT),
    "filter_drop": ("filter_pressure_drop", ways.FILTER_EXPONENT),
}
MANOMETER = instruments.Instrument("manometer", InstrumentKind.MANOMETER)
KITS = (tuple(READ), ("airflow", "coil_pressure_drop", "fan_frequency"), tuple(READ)[1:])
"""Readings of the condition: all four methods, no filter drop, no airflow read."""


@dataclass(frozen=True)
class Synthetic:
    """One truth with its readings [SI of each key]: at the known point and now."""

    flow: float
    known: dict[str, float]
    now: dict[str, float]
    kit: tuple[str, ...]


def synthetic(generator: np.random.Generator, kit: tuple[str, ...]) -> Synthetic:
    """A truth, and what instruments show of it."""
    between, normal = generator.uniform, generator.normal
    flow = between(1.5, 5.0)
    then = {
        "airflow": flow / between(0.75, 1.3),
        "coil_pressure_drop": between(60.0, 150.0),
        "filter_pressure_drop": between(40.0, 110.0),
        "fan_frequency": between(35.0, 50.0),
    }
    ratio = flow / then["airflow"]
    now = {"airflow": flow}
    for key, exponents in PARTS.values():
        now[key] = then[key] * ratio ** between(*exponents) * math.exp(normal(0.0, ways.CLEAN_CHANGE))
    now["fan_frequency"] = then["fan_frequency"] * ratio / normal(1.0, ways.SYSTEM_CHANGE)
    return Synthetic(
        flow, _shown(then, generator, None, ("fan_frequency",)), _shown(now, generator, MANOMETER), kit
    )


def _shown(
    truth: dict[str, float],
    generator: np.random.Generator,
    manometer: instruments.Instrument | None,
    exact: tuple[str, ...] = (),
) -> dict[str, float]:
    plan = {
        key: instruments.Planned(key, unit, manometer if "drop" in key else None)
        for key, unit in READ.items()
        if key not in exact
    }
    read = instruments.read(truth, plan, generator, 101325.0)
    return truth | {key: quantity.value for key, quantity in read.items()}


def job_text(job: Synthetic, seed: int) -> str:
    """The job file that an engineer would type."""
    known = {key if key != "fan_frequency" else "fan_speed": value for key, value in job.known.items()}
    units_of = READ | {"fan_speed": "Hz"}
    point = ", ".join(f'{key} = "{_text(value, units_of[key])}"' for key, value in known.items())
    rows = []
    for key in job.kit:
        text = _text(job.now[key], READ[key])
        rows.append(f'{key} = {{ value = "{text}", instrument = "manometer" }}' if "drop" in key else "")
        rows[-1] = rows[-1] or f'{key} = "{text}"'
    return "\n".join(
        [
            f'format = 1\n[job]\ntitle = "airflow"\nelevation = "0 ft"\nseed = {seed}',
            '[unit]\nrated_capacity = "240 kBtu/h"\nrated_airflow = "8000 cfm"',
            f'[unit.fan]\ndrive = "variable frequency"\nfull_speed = "60 Hz"\nknown = [{{{point}}}]',
            '[circuit.1]\nrefrigerant = "R-410A"',
            '[instruments]\nmanometer = { kind = "manometer" }',
            '[[visit]]\n[[visit.condition]]\nfilters_clean = "yes"\ncompressors_running = []',
            '[visit.condition.air]\nreturn_dry_bulb = "75 degF"\nreturn_wet_bulb = "63 degF"',
            *rows,
            "",
        ]
    )


def _text(value: float, unit: str) -> str:
    kinds = {"cfm": "airflow", "inH2O": "air_pressure", "Hz": "frequency"}
    return f"{float(u.to(value, unit, kinds[unit])):.10g} {unit}"


def analysed(job: Synthetic, seed: int) -> Airflow:
    """Airflow of the job's one condition by the whole line."""
    draws = analyse(job_from_text(job_text(job, seed))).draws
    flow = airflow(draws, air_states(draws, Where(1, 1)))
    assert flow is not None
    return flow


def independent(flow: Airflow) -> tuple[float, float]:
    """95 % band of the methods combined as if their errors were independent."""
    logs = np.log([m.flow for m in flow.methods])
    weights = 1.0 / np.var(logs[:, 1:], axis=1)
    middle, half = weights @ logs[:, 0] / weights.sum(), Z95 / math.sqrt(weights.sum())
    return math.exp(middle - half), math.exp(middle + half)


def own_half_width(flow: Airflow, name: str) -> float:
    """Half of a method's 95 % band over its value."""
    result = band(next(m.flow for m in flow.methods if m.name == name))
    return (result.high - result.low) / 2.0 / result.value


def put_off(job: Synthetic, name: str, factor: float) -> Synthetic:
    """The same job with one method's reading such that it comes out at `factor` of the truth."""
    wanted = factor * job.flow
    now = dict(job.now)
    if name == "reading":
        now["airflow"] = wanted
    elif name == "fan_law":
        now["fan_frequency"] = job.known["fan_frequency"] * wanted / job.known["airflow"]
    else:
        key, exponents = PARTS[name]
        now[key] = job.known[key] * (wanted / job.known["airflow"]) ** (sum(exponents) / 2.0)
    return Synthetic(job.flow, job.known, now, job.kit)


def outcomes(seed: int, jobs: int) -> Iterator[dict]:
    """For each job whether the bands hold, and who is accused with and without a wrong method."""
    generator = np.random.default_rng(seed)
    for number in range(jobs):
        job = synthetic(generator, KITS[number % len(KITS)])
        flow = analysed(job, number)
        given, (low, high) = band(flow.flow), independent(flow)
        row = {
            "holds": given.low <= job.flow <= given.high,
            "independent holds": low <= job.flow <= high,
            "known point alone": "airflow" not in job.kit,
            "accused": bool(flow.disagreeing),
        }
        narrow = [m.name for m in flow.methods if own_half_width(flow, m.name) <= WITHIN]
        name = narrow[generator.integers(len(narrow))]
        wrong = put_off(job, name, 1.0 + OFF * generator.choice((-1.0, 1.0)))
        named = [d.name for d in analysed(wrong, number).disagreeing]
        yield row | {"method": name, "named": name in named, "good accused": bool(set(named) - {name})}


def run(seed: int, jobs: int = JOBS) -> dict:
    """Shares over all jobs."""
    rows = list(outcomes(seed, jobs))

    def share(key: str) -> float:
        return round(float(np.mean([row[key] for row in rows])), 4)

    shared = [row["independent holds"] for row in rows if row["known point alone"]]
    by_method = {
        name: {
            "jobs": len(members),
            "named": round(float(np.mean([row["named"] for row in members])), 4),
            "another accused": round(float(np.mean([row["good accused"] for row in members])), 4),
        }
        for name in sorted({row["method"] for row in rows})
        if (members := [row for row in rows if row["method"] == name])
    }
    return {
        "jobs": jobs,
        "claim": CLAIM,
        "reconciled band holds": share("holds"),
        "band of independent weights holds": share("independent holds"),
        "same, all methods from one known point": round(float(np.mean(shared)), 4),
        "accused with nothing wrong": share("accused"),
        "wrong method named": share("named"),
        "good method accused beside a wrong one": share("good accused"),
        "wrong method": by_method,
    }
