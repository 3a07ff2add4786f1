"""A good job file is read as typed: every key, its kind, its notices."""

import datetime
import hashlib
import re

import pytest

from hvaccalc import units
from hvaccalc.diagnosis.readings.instruments import Instrument, widths
from hvaccalc.errors import InputError, MissingReading, OutOfRange, WrongKind
from hvaccalc.job.accuracy import Accuracy, InstrumentKind
from hvaccalc.job.checks.notices import ALL_PRINTED, ALL_USED
from hvaccalc.job.fields import Reading
from hvaccalc.job.load import job_from_text, load_job
from hvaccalc.job.reference import schema_reference
from hvaccalc.job.schema import PriceRow
from hvaccalc.job.starter import starter_text
from hvaccalc.job.text.key_lines import key_lines, key_location, key_text
from hvaccalc.job.text.syntax import LARGEST_FILE, MIGRATIONS, migrate
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB


def codes(job):
    return [notice.code for notice in job.notices]


def test_the_least_a_job_says():
    text = "format = 1\njob = {title = 't', elevation = '0 ft'}\ncircuit.a.refrigerant = 'R-22'\n"
    job = job_from_text(text + "[unit]\nrated_capacity = '5 ton'\nrated_airflow = '2000 cfm'\n")
    assert job.display == "us" and job.job.seed == 1
    assert list(job.circuit) == ["a"]
    assert job.visit == () and job.instruments == {} and job.wiring.found is None
    assert job.unit.coil.face_area is None and not job.unit.coil.given
    assert job.notices == () and job.price_rows == () and job.path is None


def test_every_key_of_the_reference_is_read_from_the_full_job():
    typed = set(re.findall(r"([a-z_0-9]+)\s*=", FULL_JOB))
    assert {row.key for row in schema_reference()} <= typed
    assert job_from_text(FULL_JOB).job.title == "Every key"


@pytest.mark.parametrize(
    "part, expected",
    [
        (lambda job: job.unit.rated_capacity.value, 240e3 * 1055.05585262 / 3600),
        (lambda job: job.unit.rated_capacity.plus_minus, 0.03 * 240e3 * 1055.05585262 / 3600),
        (lambda job: job.unit.rated_airflow.standard, True),
        (lambda job: job.unit.coil.slope.value, 5.671281819617709),  # tan 80 deg, printed tables
        (lambda job: job.unit.fan.low_speed.unit, "%"),
        (lambda job: job.unit.pan.level, "yes"),
        (lambda job: job.unit.protection.low_pressure_cutout.gauge, True),
        (lambda job: job.unit.protection.high_pressure_cutout, "unknown"),
        (lambda job: len(job.unit.fan.curve), 2),
        (lambda job: job.circuit["north"].chart[0].liquid_pressure.text, "284 psig"),
        (lambda job: job.circuit["north"].compressor_map.mass_flow[1], 2.5),
        (lambda job: job.circuit["north"].leak.date, datetime.date(2026, 6, 18)),
        (lambda job: job.circuit["south_2"].metering, None),
        (lambda job: job.wiring.found, ()),
        (lambda job: job.wiring.temporary, (("handler.R", "handler.G"),)),
        (lambda job: job.wiring.fan_speed[0].found, "not assigned"),
        (lambda job: job.wiring.fan_speed[0].designed.value, 60.0),
        (lambda job: job.visit[0].condition[0].compressors_running, ("north",)),
        (lambda job: job.visit[0].condition[0].coil_thawed, "yes"),
        (lambda job: job.visit[0].condition[0].time, datetime.time(10, 32)),
        (lambda job: job.visit[0].condition[1].calls, ()),
        (lambda job: job.visit[0].condition[1].compressors_running, None),
        (lambda job: job.visit[0].condition[1].air.return_dry_bulb, None),
        (lambda job: job.visit[0].condition[1].air.traverse.area.unit, "ft2"),
        (lambda job: len(job.visit[0].condition[0].air.traverse.velocities), 2),
        (lambda job: job.visit[0].condition[0].air.electric_heat.quantity.kind, "heat"),
        (lambda job: job.visit[0].condition[0].voltage[0].from_, "handler.Y2"),
        (lambda job: job.visit[0].signs.coil_face.values, ("clean", "bent")),
        (lambda job: job.visit[0].signs.drain_flow.at, "10:50:00"),
        (lambda job: job.visit[0].signs.coil_thawed.values, ("yes",)),
        (lambda job: job.visit[0].work[0].expires, datetime.date(2026, 7, 18)),
        (lambda job: job.electricity.price.per_kwh, 0.21),
        (lambda job: job.electricity.price.currency, "USD"),
        (lambda job: job.electricity.hours_fan.value, 4000.0),
    ],
)
def test_values_of_the_full_job(part, expected):
    value = part(job_from_text(FULL_JOB))
    assert value == (pytest.approx(expected, rel=1e-12) if isinstance(expected, float) else expected)


def test_a_reading_is_text_or_a_table():
    condition = job_from_text(FULL_JOB).visit[0].condition[0]
    temperature = condition.air.return_dry_bulb
    assert isinstance(temperature, Reading) and temperature.instrument is None
    assert units.to(temperature.quantity.value, "degF", "temperature") == pytest.approx(74.5)
    assert temperature.quantity.plus_minus == pytest.approx(0.5 * 5 / 9)
    pressure = condition.circuit["north"].liquid_pressure
    assert (pressure.instrument, pressure.at, pressure.by, pressure.note) == (
        "gauge_a",
        "10:41:00",
        "x",
        "steady",
    )
    assert pressure.quantity.gauge and pressure.quantity.text == "301 psi"


def test_fans_running():
    fans = job_from_text(FULL_JOB).visit[0].condition[0].circuit["north"].condenser_fans_running
    assert (fans.running, fans.of) == (1, 2)
    text = FULL_JOB.replace('condenser_fans_running = "1 of 2"', "condenser_fans_running = 2")
    fans = job_from_text(text).visit[0].condition[0].circuit["north"].condenser_fans_running
    assert (fans.running, fans.of) == (2, None)


@pytest.mark.parametrize(
    "text, share, added, at_least",
    [
        ("±1 % of reading, at least 2 psi", 0.01, None, 2 * 6894.757293168),
        ("±2 % of reading + 0.01 inH2O", 0.02, 2.4908891, None),
        ("±1.0 degF", 0.0, 5 / 9, None),
        ("0.3 K", 0.0, 0.3, None),
        ("+/- 2 %", 0.02, None, None),
        ("±2.5 % RH", 0.0, 0.025, None),
        ("±0.03 inHg", 0.0, 0.03 * 3386.389, None),
        ("±0.1 Hz", 0.0, 0.1, None),
    ],
)
def test_accuracies(text, share, added, at_least):
    """Factors: NIST SP 811 (2008), appendix B.8."""
    job = job_from_text(f'{SMALL_JOB}spare = {{accuracy = "{text}"}}\n')
    accuracy = job.instruments["spare"].accuracy
    assert isinstance(accuracy, Accuracy) and accuracy.of_reading == pytest.approx(share)
    for found, expected in ((accuracy.added, added), (accuracy.at_least, at_least)):
        assert found is None if expected is None else found.value == pytest.approx(expected)


@pytest.mark.parametrize("text", ["", "good", "±-1 degF", "±1 furlong", "1 % + 2 K + 3 K", "±1 %, at least"])
def test_accuracies_refused(text):
    with pytest.raises(InputError) as caught:
        job_from_text(SMALL_JOB.replace("±1 % of reading, at least 2 psi", text))
    assert caught.value.key == "instruments.gauge_a.accuracy"


@pytest.mark.parametrize(
    "text", ["<script>alert(1)</script>", "[bold red]x[/]", "${HOME} $(x)", "% \\ ' é ☃"]
)
def test_text_is_kept_as_typed(text):
    job = job_from_text(SMALL_JOB.replace('"Water over the reading hall"', f"'''{text}'''"))
    assert job.job.title == text


def test_psig_below_vacuum_is_read_not_refused():
    job = job_from_text(SMALL_JOB.replace('"118 psig"', '"-40 psig"'))
    assert job.visit[0].condition[0].circuit["1"].suction_pressure.quantity.value < -101325.0


def test_barometer_in_every_condition_replaces_the_elevation():
    bare = SMALL_JOB.replace('elevation = "640 ft"\n', "")
    text = bare.replace('supply_measured_at = "unit"', 'barometer = "29.2 inHg"')
    assert job_from_text(text).job.elevation is None
    with pytest.raises(MissingReading) as caught:
        job_from_text(text + "[[visit]]\n[[visit.condition]]\n")
    assert caught.value.key == "job.elevation"


@pytest.mark.parametrize("typed, read", [("-1500 ft", -457.2), ("16000 ft", 4876.8), ("0 m", 0.0)])
def test_ends_of_the_elevation_are_accepted(typed, read):
    assert job_from_text(SMALL_JOB.replace("640 ft", typed)).job.elevation.value == pytest.approx(read)


def test_notices():
    job = job_from_text(FULL_JOB)
    assert codes(job).count("default_accuracy") == 1
    assert codes(job).count("unit_taken") == 1
    announced = {n.code: set(n.where.split(", ")) for n in job.notices if n.code.endswith(("_yet", "_only"))}
    tables = [(re.sub(r"[\[\]]|\.N", "", row.table), row.key) for row in schema_reference()]
    every = {key if table == "top" else f"{table}.{key}" for table, key in tables}
    # Default: a key that nobody registered is announced. The full job holds every key, each sign once.
    typed = {key for key in every if not key.startswith("visit.condition.signs.")}
    assert announced["not_used_yet"] == typed - ALL_USED - ALL_PRINTED
    assert announced["printed_only"] == set(ALL_PRINTED)
    assert every >= ALL_USED | ALL_PRINTED and not ALL_USED & ALL_PRINTED
    taken = next(notice for notice in job.notices if notice.code == "unit_taken")
    assert taken.where == "visit[1].condition[1].circuit.north.liquid_pressure" and "gauge" in taken.text


def test_no_notice_where_every_reading_names_its_instrument():
    text = re.sub(r"(return_dry_bulb|suction_pressure) = .*\n", "", SMALL_JOB)
    assert codes(job_from_text(text)) == []


def test_found_nothing_connected_is_something_said():
    job = job_from_text(SMALL_JOB + "[wiring]\nfound = []\n")
    assert job.wiring.given and job.wiring.found == ()
    assert "wiring" in [notice.where for notice in job.notices]


def test_byte_order_mark_and_line_ends(tmp_path):
    path = tmp_path / "job.toml"
    raw = b"\xef\xbb\xbf" + SMALL_JOB.replace("\n", "\r\n").encode()
    path.write_bytes(raw)
    job = load_job(path)
    assert job.path == path and job.digest == hashlib.sha256(raw).hexdigest()
    assert dict(job) == dict(job_from_text(SMALL_JOB))


def test_a_file_of_the_largest_size_is_read(tmp_path):
    path = tmp_path / "job.toml"
    path.write_bytes(SMALL_JOB.encode() + b"#" * (LARGEST_FILE - len(SMALL_JOB.encode())))
    assert load_job(str(path)).job.title


PRICES = "item,unit,low,likely,high,currency\nrefrigerant,lb,20,25.5,30,usd\n\ndrier,each,90,110,150,EUR\n"


def with_prices(folder, csv, name="prices.csv"):
    (folder / "job.toml").write_text(SMALL_JOB + f'[prices]\nfile = "{name}"\n')
    if csv is not None:
        (folder / "prices.csv").write_text(csv)
    return load_job(folder / "job.toml")


def test_prices_are_read_beside_the_job(tmp_path):
    job = with_prices(tmp_path, PRICES)
    assert job.price_rows[0] == PriceRow("refrigerant", "lb", 20.0, 25.5, 30.0, "USD")
    assert len(job.price_rows) == 2


def test_missing_files_are_notices(tmp_path):
    job = with_prices(tmp_path, None)
    assert job.price_rows == ()
    assert ("missing_file", "prices.file") in [(n.code, n.where) for n in job.notices]


@pytest.mark.parametrize(
    "csv, kind, line, key",
    [
        (PRICES.replace("likely", "usual"), MissingReading, 1, "likely"),
        (PRICES.replace("25.5", "35"), OutOfRange, 2, "likely"),
        (PRICES.replace("90", "ninety"), WrongKind, 4, "low"),
        (PRICES.replace("90", "-9"), WrongKind, 4, "low"),
        (PRICES.replace("150", "inf"), WrongKind, 4, "high"),
        (PRICES.replace("EUR", "euro"), WrongKind, 4, "currency"),
        ("", MissingReading, 1, "item"),
        (PRICES + "short,lb\n", WrongKind, 5, "low"),
    ],
)
def test_broken_prices(csv, kind, line, key, tmp_path):
    with pytest.raises(InputError) as caught:
        with_prices(tmp_path, csv)
    error = caught.value
    assert (type(error), error.line, error.key) == (kind, line, key)
    assert error.file == str(tmp_path / "prices.csv") and error.allowed


def test_a_link_out_of_the_folder_is_refused(tmp_path):
    outside, folder = tmp_path / "outside.csv", tmp_path / "jobs"
    folder.mkdir()
    outside.write_text(PRICES)
    (folder / "prices.csv").symlink_to(outside)
    with pytest.raises(InputError, match="outside the folder") as caught:
        with_prices(folder, None)
    assert caught.value.key == "prices.file" and caught.value.line == SMALL_JOB.count("\n") + 2


def test_older_formats_are_brought_up_step_by_step():
    steps = {
        1: lambda tables: {"renamed": tables["old"]},
        2: lambda tables: {**tables, "format_seen": tables["format"]},
    }
    tables = {"format": 1, "old": 5}
    assert migrate(tables, steps, newest=3) == {"format": 3, "renamed": 5, "format_seen": 2}
    assert tables == {"format": 1, "old": 5}
    with pytest.raises(InputError, match="newest that this version reads is 3"):
        migrate({"format": 4}, steps, newest=3)
    with pytest.raises(InputError, match="no such format"):
        migrate({"format": 0}, steps, newest=3)


def test_a_registered_migration_is_used_by_the_loader(monkeypatch):
    def from_zero(tables):
        return {**tables, "job": {"title": tables["title"], "elevation": "0 ft"}, "title": None}

    monkeypatch.setitem(
        MIGRATIONS, 0, lambda tables: {k: v for k, v in from_zero(tables).items() if k != "title"}
    )
    old = SMALL_JOB.replace("format = 1", 'format = 0\ntitle = "old"')
    old = old.replace('[job]\ntitle = "Water over the reading hall"\nelevation = "640 ft"\n', "")
    job = job_from_text(old)
    assert job.format == 1 and job.job.title == "old"


def test_the_starter_is_accepted_as_it_is():
    job = job_from_text(starter_text('a "new" <job>\\'))
    assert job.job.title == 'a "new" <job>\\'
    assert job.notices == ()


def test_every_line_of_the_starter_is_accepted_when_its_sign_is_taken_away():
    text = re.sub(r"(?m)^#(?! |$)", "", starter_text())
    job = job_from_text(text)
    assert len(job.circuit["1"].chart) == 2 and job.visit[0].work[0].hazards == ("wet floor",)
    assert job.visit[0].signs.oil_trace.by


def test_reference_names_kinds_and_words():
    rows = {(row.table, row.key): row for row in schema_reference()}
    assert rows["[unit]", "rated_capacity"].required and rows["[unit]", "rated_capacity"].kinds == ("heat",)
    assert rows["[unit.drain]", "trap"].words == ("none", "present", "dry", "unknown")
    assert "sealed" in rows["[visit.signs]", "trap"].words
    assert rows["[visit.condition.circuit.N]", "suction_pressure"].kinds == ("pressure",)
    assert rows["[[visit.condition.voltage]]", "from"].key == "from"
    assert rows["[job]", "seed"].default == "1"
    assert all(row.accepts for row in rows.values())


@pytest.mark.parametrize("text", ["visit[1].condition[2].air.airflow", "circuit.north.chart[1]", "format"])
def test_key_text_and_location(text):
    assert key_text(key_location(text)) == text


def test_lines_agree_with_the_text():
    """Each line found is the one where the last name of the key is typed, or its table's header."""
    rows = FULL_JOB.split("\n")
    for location, line in key_lines(FULL_JOB).lines.items():
        names = [part for part in location if isinstance(part, str)]
        assert names[-1] in rows[line - 1] or isinstance(location[-1], int), (location, line)


def test_an_instrument_shows_a_reading_beside_its_own():
    """A humidity probe's dry bulb is as sure as an air thermometer's, ±0.9 °F, not ±2.5 %."""
    typed = 'return_dry_bulb = {value = "74 degF", instrument = "probe"}'
    job = job_from_text(
        SMALL_JOB.replace('return_dry_bulb = "74.5 ± 0.5 degF"', typed)
        + 'probe = {kind = "Humidity probe", accuracy = "±2 % RH"}\n'
    )
    reading = job.visit[0].condition[0].air.return_dry_bulb
    kind = job.instruments["probe"].kind
    assert kind is InstrumentKind.HUMIDITY_PROBE
    probe = Instrument("probe", kind, job.instruments["probe"].accuracy)
    assert widths("return_dry_bulb", reading.quantity, probe).calibration == pytest.approx(0.9 * 5 / 9)
