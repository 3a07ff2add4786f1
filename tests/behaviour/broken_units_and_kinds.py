"""Broken job files: units that are unknown or of another kind, values of another kind."""

from hvaccalc.errors import InputError, OutOfRange, UnknownUnit, WrongKind
from tests.behaviour.broken_jobs import CIRCUIT, Expected, add, air, line_in, swap
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB

# Units: unknown ones, ones of another kind, decimal commas.
for number, (typed, kind) in enumerate(
    {
        'return_dry_bulb = "74 degQ"': UnknownUnit,
        'return_dry_bulb = "74 degrees"': UnknownUnit,
        'return_dry_bulb = "74 Fahrenheit"': UnknownUnit,
        'return_dry_bulb = "74 psig"': WrongKind,
        'return_dry_bulb = "74 %"': WrongKind,
        'return_dry_bulb = "74,500 ,5 degF"': InputError,
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
    air(f"units_air_{number}", typed, kind, inner=".velocities[2]" if "traverse" in typed else "")

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
    swap(f"units_{number}", SMALL_JOB, old, new, kind, key)

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
    swap(f"units_full_{number}", FULL_JOB, old, new, kind, key, at=new)

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
    swap(f"kinds_{number}", SMALL_JOB, old, new, WrongKind, key, at=new)

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
    swap(
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
    line = line_in(text, f"\n{new}\n") + 1 + (name == "circuit_without_name")
    add(f"kinds_{name}", text, Expected(WrongKind, key, line))

# Instruments: a closed list, each for its own readings, as accurate as such a reading can be.
for number, (typed, key, kind, words) in enumerate(
    [
        ('kind = ""', "kind", InputError, ("manometer",)),
        ('kind = "foo"', "kind", InputError, ("manometer",)),
        ('kind = "presure gauge"', "kind", InputError, ("refrigerant gauge, digital",)),
        ('kind = "refrigerant gauge, digital", accuracy = "±1 degF"', "accuracy", WrongKind, ("pressure",)),
        ('kind = "refrigerant gauge, digital", repeatability = "±1 %RH"', "repeatability", WrongKind, ()),
    ]
):
    swap(
        f"instruments_{number}",
        SMALL_JOB,
        'kind = "refrigerant gauge, digital", accuracy = "±1 % of reading, at least 2 psi"',
        typed,
        kind,
        f"instruments.gauge_a.{key}",
        words,
    )

for number, (typed, kind, words) in enumerate(
    [
        ('kind = "manometer"', InputError, ("refrigerant gauge, digital",)),
        ('kind = "psychrometer"', InputError, ("refrigerant gauge, digital",)),
        ('accuracy = "±1 degF"', WrongKind, ("refrigerant pressure",)),
    ]
):
    text = SMALL_JOB.replace(
        'kind = "refrigerant gauge, digital", accuracy = "±1 % of reading, at least 2 psi"', typed
    )
    line = line_in(text, 'instrument = "gauge_a"')
    add(
        f"instrument_of_a_reading_{number}",
        text,
        Expected(kind, f"{CIRCUIT}.liquid_pressure.instrument", line, words),
    )
swap(
    "instrument_manometer_on_a_speed",
    SMALL_JOB + 'dp = {kind = "manometer"}\n',
    'return_dry_bulb = "74.5 ± 0.5 degF"',
    'fan_speed = {value = "900 rpm", instrument = "dp"}',
    InputError,
    "visit[1].condition[1].air.fan_speed.instrument",
    ("tachometer", "drive display"),
)
