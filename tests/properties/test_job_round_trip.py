"""Whatever is typed comes back: read, written, edited; the order of keys does not matter."""

import tomllib

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaccalc.errors import InputError
from hvaccalc.job.load import job_from_text
from hvaccalc.job.save import JobFile, plain
from hvaccalc.job.text.key_lines import key_lines
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB

FULL = job_from_text(FULL_JOB)
TEXT = st.text(st.characters(exclude_categories=("Cs",)), max_size=40)
NAME = st.from_regex(r"[A-Za-z0-9_-]{1,8}", fullmatch=True)


def shuffled(draw, table):
    """The same table with its keys in another order, at every depth."""
    if isinstance(table, dict):
        keys = draw(st.permutations(list(table)))
        return {key: shuffled(draw, table[key]) for key in keys}
    return [shuffled(draw, entry) for entry in table] if isinstance(table, list) else table


@given(st.data())
@settings(max_examples=25, deadline=None)
def test_order_of_keys_does_not_matter(data):
    tables = shuffled(data.draw, tomllib.loads(FULL_JOB))
    assert dict(job_from_text(tomlkit.dumps(tables))) == dict(FULL)


def test_the_plain_form_reads_as_the_same_job():
    assert dict(job_from_text(tomlkit.dumps(plain(FULL)))) == dict(FULL)


@given(TEXT)
@settings(max_examples=50, deadline=None)
def test_any_text_comes_back_as_typed(text):
    file = JobFile(FULL_JOB.encode())
    file.set("job.title", text)
    job = file.job()
    assert job.job.title == text
    assert dict(job.unit) == dict(FULL.unit)


@given(
    st.sampled_from(["return_dry_bulb", "outdoor_dry_bulb", "supply_wet_bulb"]),
    st.floats(-60, 160).map(lambda value: round(value, 1)),
    st.sampled_from(["", "\r"]),
)
@settings(max_examples=50, deadline=None)
def test_a_reading_set_comes_back_and_nothing_else_changes(key, value, end):
    text = SMALL_JOB.replace("\n", end + "\n")
    file = JobFile(text.encode())
    file.set(("visit", 0, "condition", 0, "air", key), f"{value} degF")
    air = file.job().visit[0].condition[0].air
    assert getattr(air, key).quantity.text == f"{value} degF"
    rest = [row for row in file.text.splitlines() if not row.startswith(key)]
    assert rest == [row for row in text.splitlines() if not row.startswith(key)]


@given(NAME, NAME)
@settings(max_examples=50, deadline=None)
def test_circuits_may_have_any_name_of_letters_digits_and_signs(first, second):
    text = SMALL_JOB.replace("circuit.1]", f"circuit.{first}]").replace('["1", "2"]', f'["{first}"]')
    text = text.replace("[circuit.2]", f"[circuit.{second}]")
    try:
        job = job_from_text(text)
    except InputError as error:
        assert first == second and "twice" in error.message
    else:
        assert list(job.circuit) == [first, second]


def places(value, place=()):
    yield place
    entries = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    for key, entry in entries:
        yield from places(entry, (*place, key))


@given(st.sampled_from(sorted(places(tomllib.loads(FULL_JOB)), key=str)[1:]))
@settings(max_examples=80, deadline=None)
def test_lines_agree_with_a_mark_put_in_the_written_document(place):
    """A mark in place of the value shows its line when the document is written again."""
    document = tomlkit.parse(FULL_JOB)
    holder = document
    for part in place[:-1]:
        holder = holder[part]
    if isinstance(holder[place[-1]], (dict, list)):
        return
    holder[place[-1]] = "mark of this test"
    written = tomlkit.dumps(document)
    expected = written[: written.index("mark of this test")].count("\n") + 1
    assert key_lines(FULL_JOB).lines[place] == expected
