"""Broken job files: keys and tables, formats, TOML, encoding, size, nesting."""

from hvaccalc.errors import InputError, MissingReading, OutOfRange, UnknownUnit, WrongKind
from tests.behaviour.broken_jobs import AIR, CIRCUIT, Expected, add, line_in, swap
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB

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
    swap(f"keys_{number}", SMALL_JOB, old, new, InputError, key, (near,), at=piece)

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
    swap(f"keys_twice_{number}", SMALL_JOB, old, f"{old}\n{again}", InputError, key, ("twice",), at=again)

for number, header in enumerate(["[job]", "[unit]", "[circuit.1]", "[instruments]", "[visit.condition.air]"]):
    text = SMALL_JOB + f"\n{header} # again\n"
    key = header.strip("[]").replace("visit.condition", "visit[1].condition[1]")
    add(f"keys_table_twice_{number}", text, Expected(InputError, key, line_in(text, "# again"), ("twice",)))
swap(
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
    add(f"missing_{name}", SMALL_JOB.replace(old, ""), Expected(MissingReading, key, line))
swap(
    "missing_value",
    SMALL_JOB,
    'suction_pressure = "118 psig"',
    'suction_pressure = {note = "x"}',
    MissingReading,
    f"{CIRCUIT}.suction_pressure.value",
)
swap(
    "missing_chart_pressure",
    FULL_JOB,
    ', liquid_pressure = "284 psig"} ]',
    "} ]",
    MissingReading,
    "circuit.north.chart[1].liquid_pressure",
    at='chart = [ {liquid_temperature = "80 degF"} ]',
)
swap(
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
    swap(
        f"files_{number}",
        FULL_JOB,
        'file = "photos/pan.jpg"',
        f'file = "{name}"',
        WrongKind if not name else InputError,
        "visit[1].photo[1].file",
    )

# Format: newer, older, not a number.
for number, typed in enumerate(["2", "99", "0", "-1", '"1"', "1.0", "true", "[1]"]):
    swap(
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
    add(f"toml_{number}", text, Expected(kind, key, SMALL_JOB[: SMALL_JOB.index(old)].count("\n") + 1))

# Encoding, size, nesting.
GOOD = SMALL_JOB.encode()
add("encoding_latin", GOOD.replace(b"Water", b"W\xe4ter"), Expected(InputError, None, 4, ("UTF-8",)))
add("encoding_utf16", SMALL_JOB.encode("utf-16"), Expected(InputError, None, 1, ("UTF-8",)))
add(
    "encoding_surrogate",
    GOOD.replace(b"Water", b"W\xed\xa0\x80ter"),
    Expected(InputError, None, 4, ("UTF-8",)),
)
add("encoding_nul", GOOD.replace(b"Water", b"W\x00ter"), Expected(InputError, "job.title", 4))
add(
    "encoding_bare_return",
    GOOD.replace(b"format = 1\n", b"format\r = 1\n"),
    Expected(InputError, "format", 1),
)
add("size_comment", GOOD + b"#" * 1_000_000, Expected(InputError, None, None, ("large",)))
add("size_blank", GOOD + b"\n" * 1_000_000, Expected(InputError, None, None, ("large",)))
LAST = SMALL_JOB.count("\n") + 1
for name, tail in {
    "lists": "x = " + "[" * 5000,
    "closed_lists": "x = " + "[" * 5000 + "]" * 5000,
    "tables": "x = " + "{a=" * 5000,
    "dotted": "a" + ".a" * 200_000 + " = 1",
    "header": "[a" + ".a" * 200_000 + "]",
}.items():
    add(f"nesting_{name}", SMALL_JOB + tail, Expected(InputError, None, LAST, ("deep",)))
add("numbers_endless", SMALL_JOB + "x = " + "1" * 5000, Expected(InputError, None, None, ("long",)))
add("empty", b"", Expected(MissingReading, "format", None))
add("only_bom", b"\xef\xbb\xbf", Expected(MissingReading, "format", None))

# Values over several lines before or around the fault.
NOTE = '"""\nfirst\n# no comment\n[no.table]\n"quoted" \\"""\nlast"""'
LITERAL = "'''\nit's\n[[visit]]\n'''"
for name, note in {"basic": NOTE, "literal": LITERAL}.items():
    text = SMALL_JOB.replace('by = "first technician"', f"by = {note}").replace('"118 psig"', '"118 furlong"')
    line = line_in(text, "118 furlong")
    add(f"lines_{name}", text, Expected(UnknownUnit, f"{CIRCUIT}.suction_pressure", line))
    twice = SMALL_JOB.replace('by = "first technician"', f"by = {note}").replace(
        'trap = "dry"', 'trap = "dry"\ntrap = "none"'
    )
    key = "visit[1].condition[1].signs.trap"
    add(f"lines_twice_{name}", twice, Expected(InputError, key, line_in(twice, 'trap = "none"'), ("twice",)))
swap(
    "lines_inside_a_list",
    SMALL_JOB,
    'calls = ["cool 1", "cool 2"]',
    'calls = [  # two\n  "cool 1",\n\n  "cool 9",\n]',
    InputError,
    "visit[1].condition[1].calls[2]",
    at="cool 9",
)
