"""Broken job files: numbers that cannot be, words that are not listed."""

from hvaccalc.errors import InputError, MissingReading, OutOfRange, UnknownUnit, WrongKind
from tests.behaviour.broken_jobs import AIR, CIRCUIT, air, swap
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB

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
    swap(f"numbers_{number}", SMALL_JOB, old, new, kind, key)

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
    air(f"numbers_air_{number}", typed, OutOfRange)

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
    swap(f"numbers_full_{number}", FULL_JOB, old, new, OutOfRange, key, at=new)

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
    swap(f"choices_{number}", SMALL_JOB, old, new, kind, key, (near,))

for number, (old, new, key, near) in enumerate(
    [
        ('display = "si"', 'display = "SI"', "display", "si"),
        ('kind = "cooling"', 'kind = "cool"', "unit.kind", "cooling"),
        ('circuiting = "interlaced"', 'circuiting = "interlace"', "unit.circuiting", "interlaced"),
        ('air_path = "draw through"', 'air_path = "drawthrough"', "unit.air_path", "draw through"),
        ('fin_surface = "coated"', 'fin_surface = "coted"', "unit.coil.fin_surface", "coated"),
        ('drive = "belt, fixed"', 'drive = "belts"', "unit.fan.drive", "belt, fixed"),
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
    swap(
        f"choices_full_{number}", FULL_JOB, old, new, kind, key, (near,), at=new if "phases" in new else None
    )

# What a work mends: the causes' own names, each with one circuit where it sits in one.
MENDS = "visit[1].work[1].mends"
for number, (typed, place, told) in enumerate(
    [
        ('["low_charge:north", "tarp"]', f"{MENDS}[2]", "trap"),
        ('["nothing"]', f"{MENDS}[1]", "not one of the causes"),
        ('["melt"]', f"{MENDS}[1]", "fan_stuck_low"),
        ('["coil_drip"]', f"{MENDS}[1]", "low_airflow"),
        ('["condensate"]', f"{MENDS}[1]", "outdoor_air"),
        ('["low_charge:south_2"]', f"{MENDS}[1]", "circuit north"),
        ('["low_charge:south"]', f"{MENDS}[1]", "south_2"),
        ('["low_charge:"]', f"{MENDS}[1]", "no circuit"),
        ('["leak:2"]', f"{MENDS}[1]", "repaired = 2026-06-18 in [circuit.2.leak]"),
        ('["leak"]', f"{MENDS}[1]", "low_charge"),
        ('["filters"]', f"{MENDS}[1]", "low_airflow (filters, coil face"),
        ('["clogged drian"]', f"{MENDS}[1]", "drain (the drain line runs slow"),
        ('["belt tension"]', f"{MENDS}[1]", "`hvaccalc new` writes the list"),
        ('["trap:north"]', f"{MENDS}[1]", "whole unit"),
        ("[]", MENDS, "empty"),
        ("7", MENDS, "not the name of a cause"),
        ('"the trap"', MENDS, "trap"),
    ]
):
    swap(
        f"mends_{number}",
        FULL_JOB,
        'mends = ["low_charge:north", "trap"]',
        f"mends = {typed}",
        WrongKind if typed == "7" else InputError,
        place,
        (told,),
    )
swap(
    "mends_no_circuit",
    FULL_JOB.replace('circuit = "north"\namount = "2 lb"', 'amount = "2 lb"'),
    '["low_charge:north", "trap"]',
    '["low_charge"]',
    InputError,
    f"{MENDS}[1]",
    ("low_charge:north or low_charge:south_2",),
)
