"""Sentences and reasons fit: each slot is given, no value goes unused, no thing is without its words."""

import ast
import importlib
import inspect
import pkgutil
from enum import Enum, StrEnum
from pathlib import Path

import pytest

import hvaccalc
from hvaccalc import units, words
from hvaccalc.ensemble import Band
from hvaccalc.reason import Reason
from hvaccalc.rows import complete
from hvaccalc.words.said import BARE, LIMIT, NOT_TOLD, Reader, Said, Teller, alike

PACKAGE = Path(hvaccalc.__file__).parent
NUMBERS = ("chance", *units.KINDS, "water_day", "whole_mass", "two_digits")


class Fall(StrEnum):
    NONE = "none"
    SHORT = "short"


ROWS = {
    Fall.NONE: Said("it is level", NOT_TOLD),
    Fall.SHORT: Said("it falls {fall:slope} over {run:length}", "it falls too little"),
}


def test_a_table_with_a_gap_is_refused() -> None:
    with pytest.raises(TypeError, match="Fall: no row for NONE"):
        complete(Fall, {Fall.SHORT: 1.0})
    other = Enum("Other", ["LONG"])
    with pytest.raises(TypeError, match="no such member: Other.LONG"):
        complete(Fall, {**ROWS, other.LONG: 1.0})
    assert list(complete(Fall, dict(reversed(ROWS.items())))) == list(Fall)


def test_slots_are_shown_in_the_readers_units() -> None:
    short = Reason(Fall.SHORT, {"fall": 0.01, "run": 0.508})
    file, customer, metric = (
        Teller(reader, display, {Fall: ROWS})
        for reader, display in ((Reader.FILE, "us"), (Reader.CUSTOMER, "us"), (Reader.FILE, "si"))
    )
    assert file.tell(short) == "it falls 0.120 in/ft over 20.00 in"
    assert metric.tell(short) == "it falls 1.0 % over 508.0 mm"
    assert customer.tell(short) == "it falls too little"
    assert customer.tell(Fall.NONE) == NOT_TOLD
    several = alike("{why:clauses}; {seen:water_flow}, {times:two_digits} times, {names}")
    seen = Band(1.0515e-3, 5.2574e-4, 2.103e-3)
    values = {"why": (Fall.NONE, short), "seen": seen, "times": 1.234, "names": ("a", "b", "c")}
    assert file.fill(several, values) == (
        "it is level; it falls 0.120 in/ft over 20.00 in; 1.0 gal/h (0.5 to 2.0), 1.2 times, a, b and c"
    )
    with pytest.raises(KeyError, match="run"):
        file.tell(Reason(Fall.SHORT, {"fall": 0.01}))


def modules() -> list[object]:
    return [importlib.import_module(m.name) for m in pkgutil.walk_packages(words.__path__, "hvaccalc.words.")]


def said(thing: object) -> list[Said]:
    """Every sentence in a table of a table of rows."""
    if isinstance(thing, Said):
        return [thing]
    parts = thing.values() if isinstance(thing, dict) else ()
    if hasattr(type(thing), "__dataclass_fields__"):
        parts = [getattr(thing, name) for name in type(thing).__dataclass_fields__]
    return [one for part in parts for one in said(part)]


def test_every_slot_has_a_format_that_is_known() -> None:
    for module in modules():
        for _, table in inspect.getmembers(module):
            for one in said(table):
                for name, spec in one.slots.items():
                    known = (
                        spec in ("", "clauses", "list", "terminals", *NUMBERS)
                        or spec.startswith(".")
                        or spec.removeprefix(BARE).removeprefix(LIMIT) in units.KINDS
                    )
                    assert known, f"{module.__name__}: {one.file}: {name}:{spec}"


TRADE = (
    "superheat", "subcooling", "saturation", "floodback", "evacuat", "restrict", "condensables", "overfe",
    "service factor", "static", "belt wrap", "velocity", "retarder", "energised", "headers",
)  # fmt: skip
"""Words of the trade that an owner does not know."""


def test_a_text_for_the_owner_has_no_word_of_the_trade() -> None:
    """Where it has a text of its own: what is alike for both may stand in what the file alone shows."""
    for module in modules():
        for _, table in inspect.getmembers(module):
            for one in said(table):
                if one.customer != one.file:
                    assert [word for word in TRADE if word in one.customer.lower()] == [], one


def reasons_given() -> dict[tuple[str, str], set[frozenset[str]]]:
    """Names of the values given with each code, by class and member, as the source has them."""
    given: dict[tuple[str, str], set[frozenset[str]]] = {}
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not (isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Reason"):
                continue
            values = node.args[1] if len(node.args) > 1 else ast.Dict([], [])
            place = f"{path.name}:{node.lineno}"
            assert isinstance(values, ast.Dict), f"{place}: values of a reason stand where it is made"
            names = frozenset(ast.literal_eval(key) for key in values.keys if key is not None)
            codes = [one for one in ast.walk(node.args[0]) if isinstance(one, ast.Attribute)]
            codes = [one for one in codes if isinstance(one.value, ast.Name) and one.attr.isupper()]
            assert codes, f"{place}: the code of a reason is named where it is made"
            for code in codes:
                given.setdefault((code.value.id, code.attr), set()).add(names)
    return given


def test_every_slot_is_given_and_no_value_goes_unused() -> None:
    texts = {
        (keys.__name__, key.name): one
        for module in modules()
        for keys, rows in getattr(module, "SAID", {}).items()
        for key, one in rows.items()
    }
    for code, alternatives in reasons_given().items():
        assert code in texts, f"no words for {code}"
        for names in alternatives:
            assert names == set(texts[code].slots), f"{code}: {sorted(names)}, {texts[code].slots}"
