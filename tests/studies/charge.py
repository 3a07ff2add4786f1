"""Charge of synthetic circuits over faults, airflow and weather: right where told, told where it can be?

And held back at low air? Truth comes from the coupled unit model: two circuits, each with its own charge and
other fault, one airflow, one weather. Instruments read it with their stated errors (gauges and clamps shared
by both circuits), the readings are typed into a job file, loaded, screened and judged. A valve unit carries
the chart that its sound model follows at 76/63 °F return; a fixed orifice the target superheat that its sound
model has in the air as read, to a degree, as off a maker's table; where that is below 5 °F a table prints a
dash, and none is typed.

"Low air" is at most 80 % of the rated airflow: seen by the drive's frequency, or by a traverse. What nobody
could see (a coil dirty inside, called clean) is not in here: the verdict then states it as its condition.

Gates count as met where the chart or table reaches as well: a dash or a pressure beyond the chart is one
unmet.

Wrong: "low" with the charge not below the rated one and nothing that holds liquid back; "high" with the
charge not above it. The units are as sound units of one design are: the chart fits them.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields

import numpy as np

from hvaccalc import units as u
from hvaccalc.analysis import analyse
from hvaccalc.diagnosis.air.air_states import air_states
from hvaccalc.diagnosis.air.airflow import airflow
from hvaccalc.diagnosis.air.sound_unit import sound_states
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge, circuit_charge
from hvaccalc.diagnosis.charge.pumping import pumping
from hvaccalc.diagnosis.circuits.circuit_readings import circuit_as_read
from hvaccalc.diagnosis.readings import instruments
from hvaccalc.diagnosis.readings.compressors import runs
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.equipment.unit.unit_model import UnitModel
from hvaccalc.equipment.unit.unit_state import Circuit, Conditions, Faults, UnitRating, UnitStates
from hvaccalc.job.accuracy import InstrumentKind
from hvaccalc.job.load import job_from_text
from hvaccalc.physics import moist_air
from hvaccalc.physics.refrigerant import refrigerant
from hvaccalc.words.said import Reader
from hvaccalc.words.speak import teller

CIRCUITS = 2000
AT_ONCE = 60
WRONG_AT_MOST, TOLD_AT_LEAST, LARGE = 0.02, 0.80, 0.20
LOW_AIR, RATED_CFM, RATED_FLOW, FAN = 0.80, 8000.0, 4.536, 3200.0
SEA_LEVEL = 101325.0
LINE_LOSS = 0.6
OTHERS = ("", "", "", "condenser_fouling", "restriction", "valve_capacity", "compressor_wear")
KINDS = tuple((m, r) for m in ("TXV", "fixed orifice") for r in ("R-410A", "R-22", "R-407C"))
CHART_OUTDOORS = (45.0, 55.0, 65.0, 75.0, 85.0, 95.0, 105.0, 115.0, 122.0)


@dataclass(frozen=True)
class Truth:
    """True state of one unit: arrays of two for what differs between its circuits."""

    metering: str
    fluid: str
    charge: np.ndarray
    other: tuple[str, str]
    size: np.ndarray
    airflow: float
    speed_known: bool
    by_speed: bool
    outdoor: float
    back: float
    humidity: float


def unit(metering: str, fluid: str) -> UnitModel:
    """A 20-ton unit of two equal circuits."""
    circuit = Circuit(refrigerant=fluid, metering=metering, suction_line_loss=LINE_LOSS)
    humidity = float(moist_air.humidity_ratio_from_wet_bulb(u.degF(80.0), u.degF(67.0), SEA_LEVEL))
    return UnitModel.from_rating(
        UnitRating(
            *(70.34e3, 0.72, RATED_FLOW, FAN, u.degF(80.0), humidity, SEA_LEVEL, u.degF(95.0), u.degF(45.0)),
            circuits=(circuit, circuit),
        )
    )


def draw(generator: np.random.Generator) -> Truth:
    """One unit with what is wrong with it."""
    metering, fluid = KINDS[generator.integers(len(KINDS))]
    amount = generator.choice(3, size=2, p=(0.4, 0.35, 0.25))
    charge = np.select(
        [amount == 0, amount == 1], [1.0, generator.uniform(0.6, 0.97, 2)], generator.uniform(1.03, 1.3, 2)
    )
    other = tuple(str(generator.choice(OTHERS)) for _ in range(2))
    low = generator.random() < 0.35
    return Truth(
        metering,
        fluid,
        charge,
        tuple("" if o == "valve_capacity" and metering != "TXV" else o for o in other),
        generator.uniform(0.05, 0.4, 2),
        float(generator.uniform(0.5, LOW_AIR) if low else generator.uniform(0.94, 1.06)),
        bool(generator.random() < 0.8),
        bool(generator.random() < 0.6),
        float(generator.uniform(58.0, 110.0)),
        float(generator.uniform(68.0, 82.0)),
        float(generator.uniform(0.40, 0.60)),
    )


def conditions(truths: list[Truth], full: bool = False) -> Conditions:
    """Where the units run; at full air where asked."""
    back = u.degF(np.array([t.back for t in truths]))
    moisture = np.array([t.humidity for t in truths]) * moist_air.saturation_humidity_ratio(back, SEA_LEVEL)
    flow = np.array([1.0 if full else t.airflow for t in truths])
    outdoor = u.degF(np.array([t.outdoor for t in truths]))
    return Conditions(back, moisture, SEA_LEVEL, outdoor, RATED_FLOW * flow, FAN * flow)


def faults(truths: list[Truth]) -> Faults:
    """What is wrong, circuits along the first axis."""
    sound = {f.name: float(f.default) for f in fields(Faults)}
    table = {name: np.full((2, len(truths)), value) for name, value in sound.items()}
    for column, truth in enumerate(truths):
        table["charge"][:, column] = truth.charge
        for row, other in enumerate(truth.other):
            if other:
                size = truth.size[row]
                table[other][row, column] = size if other == "restriction" else 1.0 - size
    return Faults(**table)


def chart(model: UnitModel, fluid: str) -> str:
    """Points of the maker's label, liquid temperature and pressure."""
    return_air = u.degF(76.0)
    humidity = float(moist_air.humidity_ratio_from_wet_bulb(return_air, u.degF(63.0), SEA_LEVEL))
    outdoor = u.degF(np.array(CHART_OUTDOORS))
    states = model.solve(Conditions(return_air, humidity, SEA_LEVEL, outdoor, RATED_FLOW, FAN))
    pressure = refrigerant(fluid).dew_pressure(states.condensing_saturation[0])
    rows = zip(states.liquid_temperature[0], pressure, strict=True)
    points = (
        f'{{ liquid_temperature = "{_text(t, "degF")}", liquid_pressure = "{_text(p, "psig")}" }}'
        for t, p in rows
    )
    return f"chart = [{', '.join(points)}]"


def _text(value: float, unit: str) -> str:
    kind = {"degF": "temperature", "psig": "pressure", "cfm": "airflow", "Hz": "frequency"}[unit]
    return f"{float(u.to(value, unit, kind, SEA_LEVEL)):.1f} {unit}"


def shown(truth: Truth, states: UnitStates, column: int, generator: np.random.Generator) -> dict[str, str]:
    """What the instruments show, by place in the job."""
    fluid, exact, plan = refrigerant(truth.fluid), {}, {}
    gauge = instruments.Instrument("gauges", InstrumentKind.GAUGE_DIGITAL)
    clamps = {side: instruments.Instrument(f"clamp {side}", InstrumentKind.PIPE_CLAMP) for side in "sl"}
    for row in range(2):
        suction = states.suction_saturation[row, column]
        gas = suction + states.superheat[row, column]
        exact |= {
            f"{row}/suction_pressure": fluid.dew_pressure(suction - LINE_LOSS),
            f"{row}/suction_temperature": gas,
            f"{row}/liquid_pressure": fluid.dew_pressure(states.condensing_saturation[row, column]),
            f"{row}/liquid_temperature": states.liquid_temperature[row, column],
        }
        for side, line in (("s", "suction"), ("l", "liquid")):
            plan[f"{row}/{line}_pressure"] = instruments.Planned(f"{line}_pressure", "psig", gauge)
            plan[f"{row}/{line}_temperature"] = instruments.Planned(
                f"{line}_temperature", "degF", clamps[side]
            )
    exact |= {
        "air/return_dry_bulb": u.degF(truth.back),
        "air/outdoor_dry_bulb": u.degF(truth.outdoor),
        "air/airflow": truth.airflow * RATED_CFM * u.cfm(1.0),
    }
    for key, unit_name in (
        ("return_dry_bulb", "degF"),
        ("outdoor_dry_bulb", "degF"),
        ("airflow", "cfm"),
    ):
        plan[f"air/{key}"] = instruments.Planned(key, unit_name)
    read = instruments.read({k: float(v) for k, v in exact.items()}, plan, generator, SEA_LEVEL)
    return {place: f"{float(q.text.split()[0]):.1f} {q.text.split()[1]}" for place, q in read.items()}


def job_text(truth: Truth, read: dict[str, str], label: list[str], seed: int) -> str:
    """The job file that an engineer would type."""
    low_by_speed = truth.airflow <= LOW_AIR and truth.by_speed
    frequency = 60.0 * truth.airflow if low_by_speed else 60.0
    rows = [
        f'format = 1\n[job]\ntitle = "charge"\nelevation = "0 ft"\nseed = {seed}',
        '[unit]\nrated_capacity = "240 kBtu/h"\nrated_airflow = "8000 cfm"',
        '[unit.fan]\ndrive = "variable frequency"\nfull_speed = "60 Hz"',
        '[unit.protection]\nhead_control = "none"',
    ]
    for number in (1, 2):
        rows.append(f'[circuit.{number}]\nrefrigerant = "{truth.fluid}"\nmetering = "{truth.metering}"')
        rows.append(label[number - 1])
    rows.append(
        '[instruments]\ngauges = { kind = "refrigerant gauge, digital" }\n'
        'clamp_s = { kind = "pipe clamp thermometer" }\nclamp_l = { kind = "pipe clamp thermometer" }'
    )
    rows.append(
        '[[visit]]\n[[visit.condition]]\ncalls = ["cool 1", "cool 2"]\nrunning_for = "30 min"\n'
        'compressors_running = ["1", "2"]\ncoil_thawed = "yes"\nfilters_clean = "yes"'
    )
    rows.append("[visit.condition.air]")
    rows += [f'{key} = "{read[f"air/{key}"]}"' for key in ("return_dry_bulb", "outdoor_dry_bulb", "airflow")]
    if truth.speed_known or low_by_speed:
        rows.append(f'fan_frequency = "{frequency:.1f} Hz"')
    for row in range(2):
        rows.append(f"[visit.condition.circuit.{row + 1}]")
        for line in ("suction", "liquid"):
            for what, tool in (("pressure", "gauges"), ("temperature", f"clamp_{line[0]}")):
                value = read[f"{row}/{line}_{what}"]
                rows.append(f'{line}_{what} = {{ value = "{value}", instrument = "{tool}" }}')
        rows.append('compressor_current = "18 A"\ncondenser_fans_running = "2 of 2"')
    return "\n".join([*rows, ""])


def judged(text: str) -> dict[str, CircuitCharge]:
    """Charge of both circuits by the whole line."""
    draws = analyse(job_from_text(text)).draws
    here = Where(1, 1)
    flow = airflow(draws, air_states(draws, here))
    states = {name: circuit_as_read(draws, here.at(name)) for name in draws.job.circuit}
    running = {
        name: state for name, state in states.items() if state is not None and runs(draws, here.at(name))
    }
    pumps = pumping(draws, running, flow, lambda: sound_states(draws, here))
    return {name: circuit_charge(draws, state, flow, pumps[name]) for name, state in running.items()}


def outcomes(seed: int, circuits: int) -> Iterator[dict]:
    """Truth and verdict of each circuit."""
    generator = np.random.default_rng(seed)
    models = {kind: unit(*kind) for kind in KINDS}
    charts = {kind: chart(models[kind], kind[1]) for kind in KINDS}
    done = 0
    while done < circuits:
        truths = [draw(generator) for _ in range(AT_ONCE)]
        for kind in KINDS:
            of_kind = [t for t in truths if (t.metering, t.fluid) == kind]
            states = models[kind].solve(conditions(of_kind), faults(of_kind))
            sound = models[kind].solve(conditions(of_kind, full=True))
            for column, truth in enumerate(of_kind):
                if done >= circuits:
                    return
                if not states.converged[column] or not sound.converged[column]:
                    continue
                label = [charts[kind]] * 2
                if truth.metering == "fixed orifice":
                    wanted = round(float(sound.superheat[0, column] + LINE_LOSS) * 1.8)
                    label = [f'target_superheat = "{wanted} degF"' if wanted >= 5 else ""] * 2
                read = shown(truth, states, column, generator)
                for row, charge in enumerate(judged(job_text(truth, read, label, done)).values()):
                    yield _row(truth, row, charge)
                    done += 1


def _row(truth: Truth, row: int, charge: CircuitCharge) -> dict:
    error = float(truth.charge[row] - 1.0)
    held_back = truth.other[row] in ("restriction", "valve_capacity")
    wrong = charge.verdict == "low" and error >= 0.0 and not held_back
    wrong |= charge.verdict == "high" and error <= 0.0
    return {
        "metering": truth.metering,
        "error": error,
        "other": truth.other[row],
        "low air": truth.airflow <= LOW_AIR,
        "verdict": charge.verdict,
        "why": teller(Reader.FILE, "us").tell(charge.reason),
        "wrong": wrong,
        "all met": all(gate.state == "met" for gate in charge.gates) and charge.held.deviation is not None,
        "right": charge.verdict == ("low" if error < 0.0 else "high"),
    }


def run(seed: int, circuits: int = CIRCUITS) -> dict:
    """Shares over all circuits."""
    rows = list(outcomes(seed, circuits))

    def share(members: list[dict], key: str) -> float | None:
        return round(float(np.mean([row[key] for row in members])), 4) if members else None

    told = [row | {"told": row["verdict"] != "cannot tell"} for row in rows]
    absolute = [row for row in told if row["verdict"] in ("low", "high")]
    low_air = [row for row in told if row["low air"]]
    large = [row for row in told if row["all met"] and abs(row["error"]) >= LARGE]
    thin = [row | {"exonerated": row["verdict"] == "as charted"} for row in low_air if row["error"] < 0.0]
    sound = [row for row in told if row["all met"] and row["error"] == 0.0 and not row["other"]]
    return {
        "circuits": len(rows),
        "verdicts low or high": len(absolute),
        "wrong of all circuits": share(told, "wrong"),
        "wrong of the verdicts low or high": share(absolute, "wrong"),
        "wrong, by the other fault": {
            other or "none": sum(row["wrong"] for row in told if row["other"] == other)
            for other in dict.fromkeys(OTHERS)
        },
        "gates met and charge off by a fifth or more": len(large),
        "of those with a verdict": share(large, "told"),
        "of those with the right verdict": share(large, "right"),
        "with a verdict, by metering": {
            kind: share([row for row in large if row["metering"] == kind], "told")
            for kind in ("TXV", "fixed orifice")
        },
        "circuits at low air": len(low_air),
        "of those with a verdict, low air": share(low_air, "told"),
        "short circuits at low air": len(thin),
        "of those called as charted": share(thin, "exonerated"),
        "sound circuits, gates met": len(sound),
        "of those called as charted, sound": share(
            [row | {"kept": row["verdict"] == "as charted"} for row in sound], "kept"
        ),
    }
