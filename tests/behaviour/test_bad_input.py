"""Every broken file is told in full: which file, line and key, what was found, what is allowed."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaccalc.errors import InputError
from hvaccalc.job.load import job_from_bytes, load_job
from tests.behaviour import (  # noqa: F401  (each adds its cases)
    broken_layout,
    broken_numbers_and_words,
    broken_units_and_kinds,
)
from tests.behaviour.broken_jobs import CASES
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB


def refused(raw, path):
    path.write_bytes(raw)
    with pytest.raises(InputError) as caught:
        load_job(path)
    return caught.value


def test_the_corpus_is_large_enough():
    assert len(CASES) >= 150


@pytest.mark.parametrize("name", CASES)
def test_broken_file_is_told_in_full(name, tmp_path):
    raw, expected = CASES[name]
    path = tmp_path / "broken.toml"
    error = refused(raw, path)
    told = f"{error.message} {error.found} {error.allowed}"
    assert type(error) is expected.kind, error
    assert error.file == str(path)
    assert error.key == expected.key, error
    assert error.line == expected.line, error
    assert error.message and error.found and error.allowed, error
    assert len(error.found) <= 120
    for word in expected.words:
        assert word in told, (word, told)


@pytest.mark.parametrize(
    "path, words",
    [("nowhere.toml", "no such file"), (".", "cannot be read"), ("a\0b", "cannot be read")],
)
def test_unreadable_path(path, words, tmp_path):
    with pytest.raises(InputError, match=words) as caught:
        load_job(str(tmp_path) + "/" + path)
    assert caught.value.file and caught.value.found and caught.value.allowed


def test_all_problems_of_a_file_are_told(tmp_path):
    text = (
        SMALL_JOB.replace('"640 ft"', "640").replace('"8000 cfm"', '"8000 furlong"').replace('"dry"', '"d"')
    )
    error = refused(text.encode(), tmp_path / "three.toml")
    told = [error, *error.others]
    assert [one.key for one in told] == [
        "job.elevation",
        "unit.rated_airflow",
        "visit[1].condition[1].signs.trap",
    ]
    assert all(one.file and one.line and one.found and one.allowed for one in told)


def test_a_date_that_cannot_be_read_is_told_with_the_other_refusals(tmp_path):
    """Neither a date that is none nor a value without quotes hides what else is wrong."""
    text = (
        SMALL_JOB.replace("date = 2026-06-18", "date = 7/4/2026  # the fourth")
        .replace("time = 10:32:00", "time = 10:32")
        .replace('"640 ft"', "640 ft")
        .replace('"8000 cfm"', '"8000 furlong"')
    )
    error = refused(text.encode(), tmp_path / "four.toml")
    told = [error, *error.others]
    assert [(one.key, one.line) for one in told] == [
        ("job.elevation", 5),
        ("unit.rated_airflow", 9),
        ("visit[1].date", 18),
        ("visit[1].condition[1].time", 23),
    ]
    assert "with the month first it is 2026-07-04, with the day first 2026-04-07" in told[2].allowed


@pytest.mark.parametrize("typed", ["7/14/2026", '"7/14/2026"', "14.7.2026", "14-7-26"])
def test_a_date_of_another_form_is_told_with_its_two_readings(typed, tmp_path):
    text = SMALL_JOB.replace("date = 2026-06-18", f"date = {typed}")
    error = refused(text.encode(), tmp_path / "date.toml")
    assert error.key == "visit[1].date"
    assert "2026-07-14" in error.allowed and "no day" in error.allowed


def test_newer_format_names_the_newest_readable(tmp_path):
    error = refused(SMALL_JOB.replace("format = 1", "format = 2").encode(), tmp_path / "newer.toml")
    assert "newest that this version reads is 1" in error.message


def test_message_is_never_markup_or_longer_than_a_screen(tmp_path):
    raw = SMALL_JOB.replace("[unit]", f'["{"x" * 50_000}"]').encode()
    assert len(str(refused(raw, tmp_path / "long.toml"))) < 2000


def refused_or_read(raw):
    try:
        job_from_bytes(raw)
    except InputError as error:
        assert error.message and str(error)


@given(st.binary(max_size=400))
@settings(max_examples=200, deadline=None)
def test_any_bytes_raise_nothing_but_input_errors(raw):
    refused_or_read(raw)


@given(st.text(alphabet="[]{}=.\"'#,\\\n ab1-:", max_size=120))
@settings(max_examples=300, deadline=None)
def test_any_toml_like_text_raises_nothing_but_input_errors(text):
    refused_or_read(b"format = 1\n" + text.encode())


@st.composite
def mutated(draw):
    """The full job with a few cuts, doublings, swaps or insertions."""
    text = FULL_JOB
    for _ in range(draw(st.integers(1, 3))):
        start = draw(st.integers(0, len(text) - 1))
        end = min(len(text), start + draw(st.integers(0, 40)))
        piece = draw(
            st.one_of(
                st.just(""),
                st.just(text[start:end] * 2),
                st.sampled_from(
                    ["[", "]]", "{", '"', "'''", '"""', "=", "\n", "nan", "1e400", "true", "[[visit]]\n"]
                ),
                st.text(max_size=8),
            )
        )
        text = text[:start] + piece + text[end:]
    return text


@given(mutated())
@settings(max_examples=250, deadline=None)
def test_any_mutation_raises_nothing_but_input_errors(text):
    refused_or_read(text.encode("utf-8", "replace"))


@pytest.mark.parametrize(
    ("old", "new", "allowed"),
    [
        (
            'drive = "belt, fixed"',
            'drive = "belt fixed"',
            '"variable frequency", "two speed motor", "belt, fixed"',
        ),
        ('trap = "dry"', 'trap = "dy"', '"none", "dry", "sealed"'),
    ],
)
def test_each_allowed_word_stands_in_quotes(tmp_path, old, new, allowed):
    """One of the words holds a comma: without quotes it reads as two."""
    text = FULL_JOB if old in FULL_JOB else SMALL_JOB
    error = refused(text.replace(old, new).encode(), tmp_path / "broken.toml")
    assert allowed in error.allowed
    assert 'nearest: "' in error.message
