"""Units: what must hold for any number, any unit and any text."""

import math
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from hvaccalc import units as u
from hvaccalc.errors import InputError

NAMES = [(kind, name) for kind, known in u.KINDS.items() for name in known.units]
ALPHABET = st.sampled_from(
    list("0123456789.,+-/eE ±%°\u2212\"'\t\n\u00a0") + ["to", "degF", "psig", "in", "R", "deg", "ft", "+/-"]
)
barometers = st.floats(50e3, 110e3)


def is_angle(kind: str, name: str) -> bool:
    return u.unit_of(name, kind).angle


@pytest.mark.parametrize(("kind", "name"), NAMES)
@settings(max_examples=25, deadline=None)
@given(share=st.floats(-1.0, 1.0), barometer=barometers)
def test_there_and_back(kind, name, share, barometer):
    """Any unit to SI and back, number and array alike."""
    value = share * (89.0 if is_angle(kind, name) else 1e4)
    if kind == "temperature":
        value = abs(value)  # what is far colder is taken for a difference, and refused
    inside = u.si(value, name, kind, barometer)
    # Rounding is that of the largest term: an offset of 460 degrees, or the barometer in the unit.
    unit = u.unit_of(name, kind)
    largest = 460.0 + abs(value) + (barometer / unit.factor if unit.gauge else 0.0)
    assert u.to(inside, name, kind, barometer) == pytest.approx(value, abs=1e-12 * largest)
    assert np.array_equal(u.si(np.full(3, value), name, kind, barometer), np.full(3, inside))


@pytest.mark.parametrize(("kind", "name"), NAMES)
@settings(max_examples=25, deadline=None)
@given(pair=st.lists(st.floats(-80.0, 80.0), min_size=2, max_size=2, unique=True))
def test_order_is_kept(kind, name, pair):
    """A larger number in any unit is never less inside."""
    low, high = sorted(pair)
    assert u.si(low, name, kind, 1e5) <= u.si(high, name, kind, 1e5)


@pytest.mark.parametrize(("kind", "name"), NAMES)
@settings(max_examples=25, deadline=None)
@given(value=st.floats(0.0, 80.0), width=st.floats(0.0, 5.0))
def test_typed_is_converted_as_called(kind, name, value, width):
    """Reading text and converting a number are one conversion, with band and range too."""
    quantity = u.parse(f"{value!r} {name}", kind)
    assert quantity.absolute(1e5) == pytest.approx(u.si(value, name, kind, 1e5), rel=1e-12)
    banded = u.parse(f"{value!r} {name} ± {width!r} {name}", kind)
    assert banded.value == quantity.value
    if u.unit_of(name, kind).offset == 0.0 and not is_angle(kind, name):
        expected = u.si(width, name, kind, 0.0)
        assert banded.plus_minus == pytest.approx(expected, rel=1e-12)
    ranged = u.parse(f"{value!r} to {value + width!r} {name}", kind)
    assert ranged.low <= ranged.value <= ranged.high and ranged.low == quantity.value


@pytest.mark.parametrize("display", ["us", "si"])
@pytest.mark.parametrize("kind", sorted(u.KINDS))
@settings(max_examples=25, deadline=None)
@given(share=st.floats(0.0, 1.0), barometer=barometers)
def test_printed_text_reads_back(kind, display, share, barometer):
    """What the package prints it also reads: the same unit, within half a unit of the last digit."""
    name, decimals = u.display_unit(kind, display)
    value = u.si(share * 5000.0, name, kind, barometer)
    text = u.value_text(value, kind, display, barometer)
    again = u.parse(text, kind).absolute(barometer)
    step = u.to(value, name, kind, barometer) - u.to(again, name, kind, barometer)
    assert abs(step) <= 0.5 * 10.0**-decimals * (1 + 1e-6)


@pytest.mark.parametrize("kind", sorted(u.KINDS))
@settings(max_examples=40, deadline=None)
@given(text=st.one_of(st.text(max_size=60), st.lists(ALPHABET, max_size=25).map("".join)))
@example(text="1e999 deg ± 1")
@example(text="٣ degF")
@example(text="\ud800 80 °F")
def test_any_text_is_read_or_refused(kind, text):
    """No text raises anything but an input error, and what is read is finite."""
    try:
        quantity = u.parse(text, kind)
    except InputError as refusal:
        assert refusal.found and refusal.allowed
        return
    numbers = [quantity.value, quantity.plus_minus, quantity.low, quantity.high]
    assert all(math.isfinite(n) for n in numbers if n is not None)
    assert quantity.text == text
    assert quantity.plus_minus is None or quantity.plus_minus >= 0.0


@settings(max_examples=60, deadline=None)
@given(
    typed=st.one_of(
        st.integers(), st.floats(), st.booleans(), st.none(), st.binary(max_size=5), st.lists(st.text())
    )
)
@example(typed=10**5000)
@example(typed=-(10**400))
def test_anything_else_is_read_or_refused(typed):
    for kind in ("ratio", "temperature"):
        try:
            assert math.isfinite(u.parse(typed, kind).value)
        except InputError as refusal:
            assert refusal.found and refusal.allowed


@settings(max_examples=200, deadline=None)
@given(
    whole=st.integers(0, 99), top=st.integers(0, 63), bottom=st.integers(1, 64), sign=st.sampled_from("+-")
)
def test_fractions(whole, top, bottom, sign):
    expected = float(f"{sign}1") * (whole + top / bottom)
    for joint in " -":
        assert u.parse(f"{sign}{whole}{joint}{top}/{bottom}", "ratio").value == pytest.approx(
            expected, rel=1e-15
        )


@settings(max_examples=200, deadline=None)
@given(number=st.integers(0, 10**12))
def test_thousands_separators_change_nothing(number):
    assert u.parse(f"{number:,} ft", "elevation").value == u.parse(f"{number} ft", "elevation").value


# While digits and spaces could be given back one by one, some of these took seconds each.
HARD = [
    "1" * 200,
    "1" * 100 + " " * 99,
    "1" * 100 + " " * 98 + "x",
    "1" * 60 + " " * 60 + "to" + " " * 60,
    "1" * 60 + " " * 60 + "±" + " " * 60,
    "1" * 66 + " to " + "1" * 66 + " to " + "1" * 60,
    "1" * 90 + "/" + "1" * 90 + " " * 15,
    "1-" * 100,
    "1 " * 100,
    "1,111" * 40,
    "to " * 66,
    "1 " + "to " * 66,
    "1 " + "± " * 99,
    " " * 200,
    "R" + " " * 100 + "-" * 99,
]


def test_long_digits_and_spaces_end():
    """Every hard text, 200 times over every pattern; the limit only ends a hang, it measures nothing."""
    program = (
        "from hvaccalc import units\n"
        f"for text in {HARD!r} * 200:\n"
        "    for kind in ('ratio', 'length', 'thermal_resistance'):\n"
        "        try:\n"
        "            units.parse(text, kind)\n"
        "        except units.InputError:\n"
        "            pass\n"
        "print('ended')\n"
    )
    ended = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=True
    )
    assert ended.stdout == "ended\n"


@pytest.mark.parametrize("length", [201, 10**6])
def test_text_beyond_the_limit_is_never_matched(length):
    """The length is looked at first: a million characters are refused as too long, not as unreadable."""
    with pytest.raises(InputError, match="too long") as caught:
        u.parse("1" * length, "length")
    assert str(length) in caught.value.found and len(str(caught.value)) < 200
