"""A corpus of broken job files, each one fault away from a good one.

`CASES` maps a name to (text or bytes, what the error must tell). An expectation names the kind of
error, the key and the line where they exist, and words that `found` or the message must hold. The
line is that of the edited text, counted here by searching the text, not by the code under test.
"""

from __future__ import annotations

from dataclasses import dataclass

from hvaccalc.errors import InputError, MissingReading, OutOfRange, UnknownUnit, WrongKind
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB


@dataclass(frozen=True)
class Expected:
    """What the error of a broken file must tell."""

    kind: type[InputError]
    key: str | None
    line: int | None
    words: tuple[str, ...] = ()


CASES: dict[str, tuple[bytes, Expected]] = {}


def _add(name: str, text: str | bytes, expected: Expected) -> None:
    assert name not in CASES, name
    CASES[name] = (text if isinstance(text, bytes) else text.encode(), expected)


def _line(text: str, piece: str) -> int:
    assert text.count(piece) == 1, (piece, text.count(piece))
    return text[: text.index(piece)].count("\n") + 1


def _swap(name, base, old, new, kind, key, words=(), at=None) -> None:
    """Replace one line of a good file; the error must stand on it."""
    assert base.count(old) == 1, (name, old, base.count(old))
    text = base.replace(old, new)
    line = _line(text, at if at is not None else new) if new or at else None
    _add(name, text, Expected(kind, key, line, tuple(words)))


def _air(name, typed, kind, words=(), inner="") -> None:
    """Another key of the air table in place of the good reading."""
    key = typed.partition("=")[0].strip()
    good = 'return_dry_bulb = "74.5 ± 0.5 degF"'
    _swap(f"{name}", SMALL_JOB, good, typed, kind, f"visit[1].condition[1].air.{key}{inner}", words)


AIR = "visit[1].condition[1].air"
CIRCUIT = "visit[1].condition[1].circuit.1"

# Units: unknown ones, ones of another kind, decimal commas.
for number, (typed, kind) in enumerate(
    {
        'return_dry_bulb = "74 degQ"': UnknownUnit,
        'return_dry_bulb = "74 degrees"': UnknownUnit,
        'return_dry_bulb = "74 Fahrenheit"': UnknownUnit,
        'return_dry_bulb = "74 psig"': WrongKind,
        'return_dry_bulb = "74 %"': WrongKind,
        'return_dry_bulb = "74,5 degF"': InputError,
        'return_wet_bulb = "62 cfm"': WrongKind,
        'outdoor_dry_bulb = "82 inHg"': WrongKind,
        'return_relative_humidity = "52 degF"': WrongKind,
        'supply_relative_humidity = "52 percents"': UnknownUnit,
        'airflow = "8000 ton"': WrongKind,
        'airflow = "8000 cfmm"': UnknownUnit,
        'airflow = "8000 lb/h"': WrongKind,
        'coil_pressure_drop = "0.3 psig"': WrongKind,
        'coil_pressure_drop = "0.3 inHg"': WrongKind,
        'external_static = "1 inH20"': UnknownUnit,
        'fan_frequency = "36 rpm"': WrongKind,
        'fan_frequency = "36 Hertz"': UnknownUnit,
        'fan_speed = "36 A"': WrongKind,
        'fan_current = "8 V"': WrongKind,
        'fan_voltage = "460 A"': WrongKind,
        'fan_power = "4 kBtu/h"': WrongKind,
        'condensate_rate = "2 gal"': WrongKind,
        'barometer = "29.9 psig"': WrongKind,
        'barometer = "29.9 in"': WrongKind,
        'damper_position = "20 deg"': WrongKind,
        'duct_area = "15 ft"': WrongKind,
        'electric_heat = "10 A"': WrongKind,
        'traverse = ["500 ft/min", "510 cfm"]': WrongKind,
    }.items()
):
    _air(f"units_air_{number}", typed, kind, inner=".velocities[2]" if "traverse" in typed else "")

for number, (old, new, key, kind) in enumerate(
    [
        ('elevation = "640 ft"', 'elevation = "640 miles"', "job.elevation", UnknownUnit),
        ('elevation = "640 ft"', 'elevation = "640 in"', "job.elevation", WrongKind),
        ('rated_capacity = "240 kBtu/h"', 'rated_capacity = "240 BTU"', "unit.rated_capacity", UnknownUnit),
        ('rated_capacity = "240 kBtu/h"', 'rated_capacity = "20 hp"', "unit.rated_capacity", WrongKind),
        ('rated_airflow = "8000 cfm"', 'rated_airflow = "8000 ft/min"', "unit.rated_airflow", WrongKind),
        (
            'running_for = "25 min"',
            'running_for = "25 minute"',
            "visit[1].condition[1].running_for",
            UnknownUnit,
        ),
        ('running_for = "25 min"', 'running_for = "25 Hz"', "visit[1].condition[1].running_for", WrongKind),
        (
            'suction_pressure = "118 psig"',
            'suction_pressure = "118 inH2O"',
            f"{CIRCUIT}.suction_pressure",
            WrongKind,
        ),
        (
            'suction_pressure = "118 psig"',
            'suction_pressure = "118 psid"',
            f"{CIRCUIT}.suction_pressure",
            WrongKind,
        ),
        (
            'suction_pressure = "118 psig"',
            'suction_pressure = "118 psgi"',
            f"{CIRCUIT}.suction_pressure",
            UnknownUnit,
        ),
    ]
):
    _swap(f"units_{number}", SMALL_JOB, old, new, kind, key)

for number, (old, new, key, kind) in enumerate(
    [
        (
            'target_subcooling = "12 degF"',
            'target_subcooling = "12 psi"',
            "circuit.north.target_subcooling",
            WrongKind,
        ),
        (
            'nameplate_charge = "34 lb"',
            'nameplate_charge = "34 stone"',
            "circuit.north.nameplate_charge",
            UnknownUnit,
        ),
        (
            'nameplate_charge = "34 lb"',
            'nameplate_charge = "34 gal"',
            "circuit.north.nameplate_charge",
            WrongKind,
        ),
        ('duct_insulation = "R-6"', 'duct_insulation = "6 in"', "unit.cabinet.duct_insulation", WrongKind),
        ('motor_speed = "1750 rpm"', 'motor_speed = "1750 Hz"', "unit.fan.motor_speed", WrongKind),
        ('volume = "0.4 ft3"', 'volume = "0.4 lb"', "circuit.north.condenser.volume", WrongKind),
        ('reached = "500 micron"', 'reached = "500 psig"', "visit[1].work[1].reached", WrongKind),
        ('amount = "2 lb"', 'amount = "2 psi"', "visit[1].work[1].amount", WrongKind),
        ('price = "0.21 USD/kWh"', 'price = "0.21 USD/MWh"', "electricity.price", WrongKind),
        ('price = "0.21 USD/kWh"', 'price = "cheap USD/kWh"', "electricity.price", InputError),
        ('hours_fan = "4000 h"', 'hours_fan = "4000 min"', "electricity.hours_fan", WrongKind),
        ('water_seen = "1 to 4 gal/day"', 'water_seen = "1 to 4 gal"', "job.water_seen", WrongKind),
        ('water_seen = "1 to 4 gal/day"', 'water_seen = "1 gal/h to 4 gal/day"', "job.water_seen", WrongKind),
        ('water_seen = "1 to 4 gal/day"', 'water_seen = "4 to 1 gal/day"', "job.water_seen", OutOfRange),
        ('size = "1-1/4 in"', 'size = "1-1/0 in"', "unit.drain.size", OutOfRange),
        (
            'low_pressure_cutout = "50 psig"',
            'low_pressure_cutout = "nonne"',
            "unit.protection.low_pressure_cutout",
            InputError,
        ),
    ]
):
    _swap(f"units_full_{number}", FULL_JOB, old, new, kind, key, at=new)

# Kinds: a bare number, a list, a table or a truth value where something else stands.
for number, (old, new, key) in enumerate(
    [
        ('title = "Water over the reading hall"', "title = 5", "job.title"),
        ('title = "Water over the reading hall"', "title = ['a']", "job.title"),
        ('title = "Water over the reading hall"', "title = 2026-01-01", "job.title"),
        ('elevation = "640 ft"', "elevation = 640", "job.elevation"),
        ('elevation = "640 ft"', "elevation = true", "job.elevation"),
        ('elevation = "640 ft"', 'elevation = ["640 ft"]', "job.elevation"),
        ('elevation = "640 ft"', 'elevation = "640"', "job.elevation"),
        ('rated_capacity = "240 kBtu/h"', "rated_capacity = 240.0", "unit.rated_capacity"),
        ('rated_capacity = "240 kBtu/h"', "rated_capacity = {}", "unit.rated_capacity"),
        ('rated_airflow = "8000 cfm"', "rated_airflow = '8000'", "unit.rated_airflow"),
        ('calls = ["cool 1", "cool 2"]', "calls = 2", "visit[1].condition[1].calls"),
        ('calls = ["cool 1", "cool 2"]', "calls = ['cool 1', 2]", "visit[1].condition[1].calls[2]"),
        ('calls = ["cool 1", "cool 2"]', "calls = true", "visit[1].condition[1].calls"),
        (
            'compressors_running = ["1", "2"]',
            "compressors_running = [1, 2]",
            "visit[1].condition[1].compressors_running[1]",
        ),
        (
            'compressors_running = ["1", "2"]',
            "compressors_running = 2",
            "visit[1].condition[1].compressors_running",
        ),
        ("time = 10:32:00", 'time = "10:32"', "visit[1].condition[1].time"),
        ("time = 10:32:00", "time = 2026-06-18T10:32:00", "visit[1].condition[1].time"),
        ("date = 2026-06-18", 'date = "2026-06-18"', "visit[1].date"),
        ("date = 2026-06-18", "date = 2026-06-18T10:00:00", "visit[1].date"),
        ("date = 2026-06-18", "date = 20260618", "visit[1].date"),
        ('by = "first technician"', "by = ['a', 'b']", "visit[1].by"),
        ('trap = "dry"', "trap = 1", "visit[1].condition[1].signs.trap"),
        ('trap = "dry"', "trap = ['dry', 2]", "visit[1].condition[1].signs.trap[2]"),
        ('suction_pressure = "118 psig"', "suction_pressure = 118", f"{CIRCUIT}.suction_pressure"),
        (
            'suction_pressure = "118 psig"',
            "suction_pressure = {value = 118}",
            f"{CIRCUIT}.suction_pressure.value",
        ),
        (
            'suction_pressure = "118 psig"',
            "suction_pressure = {value = '118 psig', note = 4}",
            f"{CIRCUIT}.suction_pressure.note",
        ),
        (
            'suction_pressure = "118 psig"',
            "suction_pressure = {value = '118 psig', at = 1041}",
            f"{CIRCUIT}.suction_pressure.at",
        ),
        (
            'refrigerant = "R-410A"\n\n[circuit.2]',
            "refrigerant = 410\n\n[circuit.2]",
            "circuit.1.refrigerant",
        ),
    ]
):
    _swap(f"kinds_{number}", SMALL_JOB, old, new, WrongKind, key, at=new)

for number, (old, new, key) in enumerate(
    [
        ("rows = 4", "rows = 4.5", "unit.coil.rows"),
        ("rows = 4", 'rows = "4"', "unit.coil.rows"),
        ("rows = 4", "rows = true", "unit.coil.rows"),
        ("seed = 7", 'seed = "7"', "job.seed"),
        ("stage = 1\n", "stage = 1.0\n", "circuit.north.stage"),
        ("phases = 3", 'phases = "3"', "unit.fan.phases"),
        ("mass_flow = [1, 2.5,", 'mass_flow = ["1", 2.5,', "circuit.north.compressor_map.mass_flow[1]"),
        ("fins_per_inch = 12", 'fins_per_inch = "12 in"', "unit.coil.fins_per_inch"),
        (
            'condenser_fans_running = "1 of 2"',
            "condenser_fans_running = 1.5",
            "visit[1].condition[1].circuit.north.condenser_fans_running",
        ),
        ('accuracy = "±2 % of reading + 5 ft/min"', "accuracy = 2", "instruments.vane.accuracy"),
        ("installed = 2019-04-01", 'installed = "spring 2019"', "service.installed"),
        ('dry_contact = ["drive.input_2"]', 'dry_contact = ["input 2"]', "wiring.dry_contact[1]"),
        (
            'temporary = [ ["handler.R", "handler.G"] ]',
            'temporary = [ ["handler.R"] ]',
            "wiring.temporary[1]",
        ),
        (
            'temporary = [ ["handler.R", "handler.G"] ]',
            'temporary = ["handler.R", "handler.G"]',
            "wiring.temporary[1]",
        ),
        (
            'temporary = [ ["handler.R", "handler.G"] ]',
            'temporary = [ ["handler.R", "G"] ]',
            "wiring.temporary[1][2]",
        ),
        ('voltage = "24 V"', "voltage = 24", "wiring.supply[1].voltage"),
    ]
):
    _swap(
        f"kinds_full_{number}",
        FULL_JOB,
        old,
        new,
        WrongKind,
        key,
        at=new.split("\n")[0] if "\n" not in new else new,
    )

for name, old, new, key in [
    ("visit_single_brackets", "[[visit]]", "[visit]", "visit"),
    ("unit_double_brackets", "[unit]", "[[unit]]", "unit"),
    ("circuit_without_name", "[circuit.2]", "[circuit]", "circuit.refrigerant"),
]:
    text = SMALL_JOB.replace(old, new)
    if name == "visit_single_brackets":
        text = text.replace("[[visit.condition]]", "[visit.condition]")
    line = _line(text, f"\n{new}\n") + 1 + (name == "circuit_without_name")
    _add(f"kinds_{name}", text, Expected(WrongKind, key, line))

# Numbers: not finite, negative, zero ratings, out of what can be.
for number, (old, new, key, kind) in enumerate(
    [
        ('elevation = "640 ft"', 'elevation = "16001 ft"', "job.elevation", OutOfRange),
        ('elevation = "640 ft"', 'elevation = "-1501 ft"', "job.elevation", OutOfRange),
        ('elevation = "640 ft"', 'elevation = "6 km"', "job.elevation", UnknownUnit),
        ('elevation = "640 ft"', 'elevation = "nan ft"', "job.elevation", InputError),
        ('elevation = "640 ft"', 'elevation = "inf ft"', "job.elevation", InputError),
        ('elevation = "640 ft"', 'elevation = "1e999 ft"', "job.elevation", OutOfRange),
        ('elevation = "640 ft"', "elevation = nan", "job.elevation", WrongKind),
        ('elevation = "640 ft"', "elevation = inf", "job.elevation", WrongKind),
        ('elevation = "640 ft"', "elevation = -0.0", "job.elevation", WrongKind),
        ('rated_capacity = "240 kBtu/h"', 'rated_capacity = "0 kBtu/h"', "unit.rated_capacity", OutOfRange),
        ('rated_capacity = "240 kBtu/h"', 'rated_capacity = "-5 ton"', "unit.rated_capacity", OutOfRange),
        ('rated_airflow = "8000 cfm"', 'rated_airflow = "0 cfm"', "unit.rated_airflow", OutOfRange),
        ('rated_airflow = "8000 cfm"', 'rated_airflow = "-1 m3/s"', "unit.rated_airflow", OutOfRange),
        (
            'running_for = "25 min"',
            'running_for = "-25 min"',
            "visit[1].condition[1].running_for",
            OutOfRange,
        ),
        (
            'suction_pressure = "118 psig"',
            'suction_pressure = "-- psig"',
            f"{CIRCUIT}.suction_pressure",
            InputError,
        ),
        ('suction_pressure = "118 psig"', 'suction_pressure = ""', f"{CIRCUIT}.suction_pressure", InputError),
        (
            'suction_pressure = "118 psig"',
            'suction_pressure = "about 118 psig"',
            f"{CIRCUIT}.suction_pressure",
            InputError,
        ),
        (
            'suction_pressure = "118 psig"',
            'suction_pressure = "118 ± -1 psig"',
            f"{CIRCUIT}.suction_pressure",
            OutOfRange,
        ),
        (
            'suction_pressure = "118 psig"',
            'suction_pressure = "1/0 psig"',
            f"{CIRCUIT}.suction_pressure",
            OutOfRange,
        ),
    ]
):
    _swap(f"numbers_{number}", SMALL_JOB, old, new, kind, key)

for number, typed in enumerate(
    [
        'return_dry_bulb = "-460 degF"',
        'return_dry_bulb = "-274 degC"',
        'return_dry_bulb = "-1 K"',
        'airflow = "-5 cfm"',
        'airflow = "\u22125 cfm"',
        'fan_frequency = "-1 Hz"',
        'fan_speed = "-1 %"',
        'fan_current = "-2 A"',
        'condensate_rate = "-1 gal/h"',
        'return_relative_humidity = "101 %"',
        'return_relative_humidity = "-1 %"',
        'damper_position = "120 %"',
        'barometer = "0 inHg"',
        'barometer = "101.3 Pa"',
        'electric_heat = "-2 kBtu/h"',
        'duct_area = "0 ft2"',
    ]
):
    _air(f"numbers_air_{number}", typed, OutOfRange)

for number, (old, new, key) in enumerate(
    [
        (
            "rated_sensible_heat_ratio = 0.72",
            "rated_sensible_heat_ratio = 7.2",
            "unit.rated_sensible_heat_ratio",
        ),
        (
            "rated_sensible_heat_ratio = 0.72",
            "rated_sensible_heat_ratio = 0.39",
            "unit.rated_sensible_heat_ratio",
        ),
        (
            "rated_sensible_heat_ratio = 0.72",
            "rated_sensible_heat_ratio = nan",
            "unit.rated_sensible_heat_ratio",
        ),
        (
            "rated_sensible_heat_ratio = 0.72",
            "rated_sensible_heat_ratio = -inf",
            "unit.rated_sensible_heat_ratio",
        ),
        ('slope = "80 deg"', 'slope = "81 deg"', "unit.coil.slope"),
        ('slope = "80 deg"', 'slope = "-1 deg"', "unit.coil.slope"),
        ('slope = "80 deg"', 'slope = "90 deg"', "unit.coil.slope"),
        ("capacity_share = 0.5", "capacity_share = 1.2", "circuit.north.capacity_share"),
        ("rows = 4", "rows = 0", "unit.coil.rows"),
        ("stage = 1\n", "stage = 0\n", "circuit.north.stage"),
        ("seed = 7", "seed = -1", "job.seed"),
        ("seed = 7", "seed = 99999999999999999999", "job.seed"),
        ('full_speed = "60 Hz"', 'full_speed = "0 Hz"', "unit.fan.full_speed"),
        ('motor_power = "7.5 hp"', 'motor_power = "0 hp"', "unit.fan.motor_power"),
        ('face_area = "22.5 ft2"', 'face_area = "0 ft2"', "unit.coil.face_area"),
        ('nameplate_charge = "34 lb"', 'nameplate_charge = "-34 lb"', "circuit.north.nameplate_charge"),
        ('liquid_length = "50 ft"', 'liquid_length = "-50 ft"', "circuit.north.lines.liquid_length"),
        (
            'chart = [ {liquid_temperature = "80 degF", liquid_pressure = "284 psig"} ]',
            "chart = []",
            "circuit.north.chart",
        ),
        (
            "power = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]",
            "power = [1, 2, 3]",
            "circuit.north.compressor_map.power",
        ),
        (
            'condenser_fans_running = "1 of 2"',
            'condenser_fans_running = "3 of 2"',
            "visit[1].condition[1].circuit.north.condenser_fans_running",
        ),
        (
            'condenser_fans_running = "1 of 2"',
            "condenser_fans_running = -1",
            "visit[1].condition[1].circuit.north.condenser_fans_running",
        ),
        ('price = "0.21 USD/kWh"', 'price = "-0.21 USD/kWh"', "electricity.price"),
    ]
):
    _swap(f"numbers_full_{number}", FULL_JOB, old, new, OutOfRange, key, at=new)

# Choices: a word that is not listed is told with the nearest.
for number, (old, new, key, near) in enumerate(
    [
        ('calls = ["cool 1", "cool 2"]', 'calls = ["cool 3"]', "visit[1].condition[1].calls[1]", "cool 1"),
        ('calls = ["cool 1", "cool 2"]', 'calls = "cooling 1"', "visit[1].condition[1].calls[1]", "cool 1"),
        (
            'supply_measured_at = "unit"',
            'supply_measured_at = "grill"',
            f"{AIR}.supply_measured_at",
            "grille",
        ),
        ('trap = "dry"', 'trap = "dy"', "visit[1].condition[1].signs.trap", "dry"),
        ('trap = "dry"', 'trap = ["dry", "seald"]', "visit[1].condition[1].signs.trap[2]", "sealed"),
        ('trap = "dry"', 'trap = {value = "sealled"}', "visit[1].condition[1].signs.trap.value", "sealed"),
        ('trap = "dry"', "trap = []", "visit[1].condition[1].signs.trap", "unknown"),
        ('trap = "dry"', 'trap = {by = "x"}', "visit[1].condition[1].signs.trap.value", "sealed"),
        ('trap = "dry"', 'trap = {value = "dry", who = "x"}', "visit[1].condition[1].signs.trap.who", "by"),
    ]
):
    kind = MissingReading if new == 'trap = {by = "x"}' else InputError
    _swap(f"choices_{number}", SMALL_JOB, old, new, kind, key, (near,))

for number, (old, new, key, near) in enumerate(
    [
        ('display = "si"', 'display = "SI"', "display", "si"),
        ('kind = "cooling"', 'kind = "cool"', "unit.kind", "cooling"),
        ('circuiting = "interlaced"', 'circuiting = "interlace"', "unit.circuiting", "interlaced"),
        ('air_path = "draw through"', 'air_path = "drawthrough"', "unit.air_path", "draw through"),
        ('fin_surface = "coated"', 'fin_surface = "coted"', "unit.coil.fin_surface", "coated"),
        ('drive = "belt, fixed"', 'drive = "belt"', "unit.fan.drive", "belt, fixed"),
        ("phases = 3", "phases = 2", "unit.fan.phases", "3"),
        ("level = true", 'level = "maybe"', "unit.pan.level", "unknown"),
        ('material = "PVC"', 'material = "pvc"', "unit.drain.material", "PVC"),
        (
            'head_control = "fan cycling"',
            'head_control = "cycling"',
            "unit.protection.head_control",
            "fan cycling",
        ),
        ('metering = "TXV"', 'metering = "TEV"', "circuit.north.metering", "TXV"),
        ('at = "sight glass"', 'at = "sightglass"', "circuit.north.leak.at", "sight glass"),
        (
            'sight_glass = "bubbles"',
            'sight_glass = "bubbling"',
            "visit[1].condition[1].circuit.north.sight_glass",
            "bubbles",
        ),
        ('kind = "pressure test"', 'kind = "presure test"', "visit[1].work[1].kind", "pressure test"),
        ('role = "verifier"', 'role = "verify"', "rules.role", "verifier"),
        (
            'input_status = "off"',
            "input_status = false",
            "visit[1].condition[1].voltage[2].input_status",
            "off",
        ),
        ('found = "not assigned"', 'found = "not asigned"', "wiring.fan_speed[1].found", "not assigned"),
        (
            'units = "degF lb/h W"',
            'units = "degF lb/h kW"',
            "circuit.north.compressor_map.units",
            "degF lb/h W",
        ),
        (
            'water_when = ["while cooling", "mild days"]',
            'water_when = ["mild day"]',
            "job.water_when[1]",
            "mild days",
        ),
    ]
):
    kind = WrongKind if new == "input_status = false" else InputError
    _swap(
        f"choices_full_{number}", FULL_JOB, old, new, kind, key, (near,), at=new if "phases" in new else None
    )

# Keys: unknown, in the wrong table, twice, missing, names that are not defined.
for number, (old, new, key, near) in enumerate(
    [
        ('title = "Water', 'titel = "Water', "job.titel", "title"),
        ('elevation = "640 ft"', 'elevation = "640 ft"\nelevatoin = "1 ft"', "job.elevatoin", "elevation"),
        (
            'rated_airflow = "8000 cfm"',
            'rated_airflow = "8000 cfm"\nrated_air_flow = "1 cfm"',
            "unit.rated_air_flow",
            "rated_airflow",
        ),
        ('label = "as found"', 'by = "me"\nlabel = "as found"', "visit[1].condition[1].by", "[[visit]]"),
        ('label = "as found"', 'note = "me"\nlabel = "as found"', "visit[1].condition[1].note", "[[visit]]"),
        (
            'label = "as found"',
            'date = 2026-06-19\nlabel = "as found"',
            "visit[1].condition[1].date",
            "[[visit]]",
        ),
        (
            'supply_measured_at = "unit"',
            'supply_measured_at = "unit"\nsteady = "yes"',
            f"{AIR}.steady",
            "[[visit.condition]]",
        ),
        ('supply_measured_at = "unit"', 'supply_measured_at = "unit"\nby = "me"', f"{AIR}.by", "[[visit]]"),
        (
            'supply_measured_at = "unit"',
            'supply_measured_at = "unit"\nsuction_pressure = "1 psig"',
            f"{AIR}.suction_pressure",
            "",
        ),
        ('trap = "dry"', 'trap = "dry"\ntrapp = "dry"', "visit[1].condition[1].signs.trapp", "trap"),
        (
            'instrument = "gauge_a"',
            'instument = "gauge_a"',
            f"{CIRCUIT}.liquid_pressure.instument",
            "instrument",
        ),
        (
            'instrument = "gauge_a"',
            'instrument = "gauge_b"',
            f"{CIRCUIT}.liquid_pressure.instrument",
            "gauge_a",
        ),
        (
            'compressors_running = ["1", "2"]',
            'compressors_running = ["1", "3"]',
            "visit[1].condition[1].compressors_running[2]",
            "3",
        ),
        (
            "[visit.condition.circuit.1]",
            "[visit.condition.circuit.3]",
            "visit[1].condition[1].circuit.3",
            "3",
        ),
        ("[circuit.2]", "[circuit.'north 2']", "circuit.north 2", "letters"),
        ("[circuit.2]", "[circuit.'']", "circuit.", "letters"),
        ("[instruments]\n", "[instruments]\n'ga uge' = {}\n", "instruments.ga uge", "letters"),
        ("[instruments]", "[instrument]", "instrument", "instruments"),
        ("[visit.condition.signs]", "[visit.condition.sings]", "visit[1].condition[1].sings", "signs"),
        ("format = 1\n", "format = 1\nversion = 2\n", "version", "version"),
    ]
):
    piece = (
        new.split("\n")[1]
        if "\n" in new and new.split("\n")[1] and not new.startswith(("by", "note", "date"))
        else new.split("\n")[0]
    )
    _swap(f"keys_{number}", SMALL_JOB, old, new, InputError, key, (near,), at=piece)

for number, (old, again, key) in enumerate(
    [
        ('title = "Water over the reading hall"', 'title = "again"', "job.title"),
        ('rated_airflow = "8000 cfm"', 'rated_airflow = "9000 cfm"', "unit.rated_airflow"),
        ("date = 2026-06-18", "date = 2026-06-19", "visit[1].date"),
        ("time = 10:32:00", "time = 11:00:00", "visit[1].condition[1].time"),
        ('suction_pressure = "118 psig"', 'suction_pressure = "119 psig"', f"{CIRCUIT}.suction_pressure"),
        ('trap = "dry"', 'trap = "sealed"', "visit[1].condition[1].signs.trap"),
        ("format = 1", "format =  1", "format"),
    ]
):
    _swap(f"keys_twice_{number}", SMALL_JOB, old, f"{old}\n{again}", InputError, key, ("twice",), at=again)

for number, header in enumerate(["[job]", "[unit]", "[circuit.1]", "[instruments]", "[visit.condition.air]"]):
    text = SMALL_JOB + f"\n{header} # again\n"
    key = header.strip("[]").replace("visit.condition", "visit[1].condition[1]")
    _add(f"keys_table_twice_{number}", text, Expected(InputError, key, _line(text, "# again"), ("twice",)))
_swap(
    "keys_twice_inline",
    SMALL_JOB,
    'at = "10:41"',
    'at = "10:41", at = "10:42"',
    InputError,
    f"{CIRCUIT}.liquid_pressure.at",
    ("twice",),
)

for name, old, key, line in [
    ("format", "format = 1\n", "format", None),
    ("title", 'title = "Water over the reading hall"\n', "job.title", 3),
    ("capacity", 'rated_capacity = "240 kBtu/h"\n', "unit.rated_capacity", 7),
    ("airflow", 'rated_airflow = "8000 cfm"\n', "unit.rated_airflow", 7),
    ("elevation", 'elevation = "640 ft"\n', "job.elevation", 3),
    (
        "refrigerant",
        'refrigerant = "R-410A"\n\n[circuit.2]\nrefrigerant = "R-410A"\n',
        "circuit.1.refrigerant",
        11,
    ),
    ("unit", '[unit]\nrated_capacity = "240 kBtu/h"\nrated_airflow = "8000 cfm"\n', "unit", None),
]:
    assert SMALL_JOB.count(old) == 1
    _add(f"missing_{name}", SMALL_JOB.replace(old, ""), Expected(MissingReading, key, line))
_swap(
    "missing_value",
    SMALL_JOB,
    'suction_pressure = "118 psig"',
    'suction_pressure = {note = "x"}',
    MissingReading,
    f"{CIRCUIT}.suction_pressure.value",
)
_swap(
    "missing_chart_pressure",
    FULL_JOB,
    ', liquid_pressure = "284 psig"} ]',
    "} ]",
    MissingReading,
    "circuit.north.chart[1].liquid_pressure",
    at='chart = [ {liquid_temperature = "80 degF"} ]',
)
_swap(
    "missing_photo",
    FULL_JOB,
    'file = "photos/pan.jpg"\n',
    "",
    MissingReading,
    "visit[1].photo[1].file",
    at="[[visit.photo]]",
)

# Files that leave the folder of the job.
for number, name in enumerate(
    ["../pan.jpg", "/tmp/pan.jpg", "a/../../pan.jpg", "C:\\\\pan.jpg", "~/pan.jpg", ""]
):
    _swap(
        f"files_{number}",
        FULL_JOB,
        'file = "photos/pan.jpg"',
        f'file = "{name}"',
        WrongKind if not name else InputError,
        "visit[1].photo[1].file",
    )

# Format: newer, older, not a number.
for number, typed in enumerate(["2", "99", "0", "-1", '"1"', "1.0", "true", "[1]"]):
    _swap(
        f"format_{number}",
        SMALL_JOB,
        "format = 1\n",
        f"format = {typed}\n",
        InputError,
        "format",
        ("1",),
        at=f"format = {typed}",
    )

# TOML that is not: the line, and the key where the line has one.
for number, (old, new, key, kind) in enumerate(
    [
        ('elevation = "640 ft"', "elevation = 640 ft", "job.elevation", InputError),
        ('elevation = "640 ft"', 'elevation = "640 ft', "job.elevation", InputError),
        ('elevation = "640 ft"', "elevation = '640 ft", "job.elevation", InputError),
        ('elevation = "640 ft"', "elevation = “640 ft”", "job.elevation", InputError),
        ('elevation = "640 ft"', "elevation =", "job.elevation", InputError),
        ('elevation = "640 ft"', "elevation = high", "job.elevation", InputError),
        ('elevation = "640 ft"', "elevation = True", "job.elevation", InputError),
        ('elevation = "640 ft"', "elevation = null", "job.elevation", InputError),
        ('elevation = "640 ft"', "elevation = 01", "job.elevation", InputError),
        ('elevation = "640 ft"', 'elevation = "640 ft" "x"', "job.elevation", InputError),
        ('elevation = "640 ft"', 'elevation = "640 \\x ft"', "job.elevation", InputError),
        ('elevation = "640 ft"', 'elevation : "640 ft"', "job.elevation", InputError),
        ('elevation = "640 ft"', "elevation", "job.elevation", InputError),
        ('elevation = "640 ft"', '= "640 ft"', None, InputError),
        ('elevation = "640 ft"', "höhe = 1", "job.höhe", InputError),
        ("[unit]", "[unit", "unit", InputError),
        ("[unit]", "[]", None, InputError),
        ("[[visit]]", "[[visit]", "visit[1]", InputError),
        (
            'calls = ["cool 1", "cool 2"]',
            'calls = ["cool 1" "cool 2"]',
            "visit[1].condition[1].calls",
            InputError,
        ),
        ("time = 10:32:00", "time = 25:32:00", "visit[1].condition[1].time", OutOfRange),
        ("time = 10:32:00", "time = 10:32", "visit[1].condition[1].time", OutOfRange),
        ("date = 2026-06-18", "date = 2026-02-30", "visit[1].date", OutOfRange),
        ("date = 2026-06-18", "date = 2025-02-29", "visit[1].date", OutOfRange),
        ("date = 2026-06-18", "date = 2026-13-01", "visit[1].date", OutOfRange),
        ("date = 2026-06-18", "date = 2026-6-18", "visit[1].date", OutOfRange),
        ("date = 2026-06-18", "date = 6/18/2026", "visit[1].date", OutOfRange),
    ]
):
    text = SMALL_JOB.replace(old, new)
    _add(f"toml_{number}", text, Expected(kind, key, SMALL_JOB[: SMALL_JOB.index(old)].count("\n") + 1))

# Encoding, size, nesting.
GOOD = SMALL_JOB.encode()
_add("encoding_latin", GOOD.replace(b"Water", b"W\xe4ter"), Expected(InputError, None, 4, ("UTF-8",)))
_add("encoding_utf16", SMALL_JOB.encode("utf-16"), Expected(InputError, None, 1, ("UTF-8",)))
_add(
    "encoding_surrogate",
    GOOD.replace(b"Water", b"W\xed\xa0\x80ter"),
    Expected(InputError, None, 4, ("UTF-8",)),
)
_add("encoding_nul", GOOD.replace(b"Water", b"W\x00ter"), Expected(InputError, "job.title", 4))
_add(
    "encoding_bare_return",
    GOOD.replace(b"format = 1\n", b"format\r = 1\n"),
    Expected(InputError, "format", 1),
)
_add("size_comment", GOOD + b"#" * 1_000_000, Expected(InputError, None, None, ("large",)))
_add("size_blank", GOOD + b"\n" * 1_000_000, Expected(InputError, None, None, ("large",)))
LAST = SMALL_JOB.count("\n") + 1
for name, tail in {
    "lists": "x = " + "[" * 5000,
    "closed_lists": "x = " + "[" * 5000 + "]" * 5000,
    "tables": "x = " + "{a=" * 5000,
    "dotted": "a" + ".a" * 200_000 + " = 1",
    "header": "[a" + ".a" * 200_000 + "]",
}.items():
    _add(f"nesting_{name}", SMALL_JOB + tail, Expected(InputError, None, LAST, ("deep",)))
_add("numbers_endless", SMALL_JOB + "x = " + "1" * 5000, Expected(InputError, None, None, ("long",)))
_add("empty", b"", Expected(MissingReading, "format", None))
_add("only_bom", b"\xef\xbb\xbf", Expected(MissingReading, "format", None))
