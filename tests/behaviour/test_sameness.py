"""What the comparer takes for the same, and what not."""

import base64
import sys

import pytest

from hvaccalc import load_job
from tests.outputs import DATA, shown
from tests.sameness import data_differences, notebook_differences, page_differences, text_differences


def picture(inner: str) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 400">{inner}</svg>'


SAME = [
    ("Supply air dew point 47.1 °F (46.7 to 47.6).", "Supply air dew point 47.2 °F (46.7 to 47.5)."),
    ("Total capacity 207 kBtu/h (180 to 234)", "Total capacity 208 kBtu/h (179 to 233)"),
    ("Airflow 4,999 cfm, 60 %", "Airflow 5,000 cfm, 59 %"),
    ("6 gal/day (0.99 to 10)", "5.9 gal/day (1 to 11)"),
    ("95 %: 113 to 149", "95 %: 112 to 148"),
    ("14 to 15 Hz", "15 to 16 Hz"),
    ("at an airflow of 4,990\n  cfm", "at an airflow of 4,991\n  cfm"),
    ("-0.0 °F", "-0.1 °F"),
]
CHANGED = [
    ("dew point 47.1 °F", "dew point 47.3 °F"),
    ("capacity 207 kBtu/h", "capacity 209 kBtu/h"),
    ("circuit 1 of 2", "circuit 2 of 2"),
    ("cool 1 and cool 2", "cool 1 and cool 1"),
    ("visits 1 to 3", "visits 1 to 4"),
    ("charge: low", "charge: high"),
    ("18 June 2026, 10:32", "19 June 2026, 10:32"),
    ("2026-06-18", "2026-06-19"),
    ("R-410A", "R-411A"),
    ("47.1 °F (46.7 to 47.6)", "47.1 °F"),
    ("0.41", "not known"),
    ("12.0 °F", "-12.0 °F"),
]


@pytest.mark.parametrize(("was", "now"), SAME)
def test_a_number_may_differ_by_one_in_its_last_place(was: str, now: str) -> None:
    assert text_differences(was, now) == []
    assert page_differences(f"<p>{was}</p>", f"<p>{now}</p>") == []
    assert data_differences({"statement": was}, {"statement": now}) == []


@pytest.mark.parametrize(("was", "now"), CHANGED)
def test_words_names_counts_and_larger_steps_may_not(was: str, now: str) -> None:
    assert text_differences(was, now)
    assert page_differences(f"<p>{was}</p>", f"<p>{now}</p>")
    assert data_differences({"statement": was}, {"statement": now})


@pytest.mark.parametrize(
    ("was", "now", "same"),
    [
        ('<circle cx="383.8" cy="20.0"/>', '<circle cx="383.7" cy="20.0"/>', True),
        ('<circle cx="383.8" cy="20.0"/>', '<circle cx="384.4" cy="20.0"/>', False),
        ('<polyline points="1.0,2.0 3.0,4.0"/>', '<polyline points="1.4,2.0 3.0,3.6"/>', True),
        ('<polyline points="1.0,2.0 3.0,4.0"/>', '<polyline points="1.0,2.0 3.0,4.0 5.0,6.0"/>', False),
        ('<path d="M 0 0 L 9 0 L 9 9"/>', '<path d="M 0 0 L 4 0.1 L 9 0 L 9 9"/>', True),
        ('<path d="M 0 0 L 9 0 L 9 9"/>', '<path d="M 0 0 L 4 2 L 9 0 L 9 9"/>', False),
        ('<path d="M 0 0 H 9"/>', '<path d="M 0 0 V 9"/>', False),
        (
            '<g transform="translate(3.2 4) scale(0.085)"/>',
            '<g transform="translate(3.1 4) scale(0.085)"/>',
            True,
        ),
        (
            '<g transform="translate(3.2 4) scale(0.085)"/>',
            '<g transform="translate(3.2 4) scale(0.095)"/>',
            False,
        ),
        ('<path stroke="#0072b2"/>', '<path stroke="#c04f00"/>', False),
        ('<text x="1.0">low</text>', '<text x="1.0">high</text>', False),
        ('<path id="p0123456789" clip-path="url(#p0123456789)"/>',) * 2 + (True,),
        (
            '<path id="p0123456789"/><path clip-path="url(#p0123456789)"/>',
            '<path id="paaaaaaaaaa"/><path clip-path="url(#paaaaaaaaaa)"/>',
            True,
        ),
        (
            '<path id="p0123456789"/><path id="p1"/><path clip-path="url(#p0123456789)"/>',
            '<path id="paaaaaaaaaa"/><path id="p1"/><path clip-path="url(#pbbbbbbbbbb)"/>',
            False,
        ),
    ],
)
def test_places_in_a_picture_may_differ_by_half_a_pixel(was: str, now: str, same: bool) -> None:
    """Also inside a picture that a page holds as an image."""
    assert (page_differences(picture(was), picture(now)) == []) is same
    held = [
        f'<img alt="x" src="data:image/svg+xml;base64,{base64.b64encode(picture(one).encode()).decode()}">'
        for one in (was, now)
    ]
    assert (page_differences(*held) == []) is same


def lettered(*glyphs: str) -> str:
    drawn = "".join(f'<defs><path id="DejaVuSans-{g}" d="M 0 0"/></defs>' for g in dict.fromkeys(glyphs))
    return picture(drawn + "".join(f'<use xlink:href="#DejaVuSans-{g}"/>' for g in glyphs))


def test_lettering_drawn_as_outlines_is_read_as_words() -> None:
    seven, eight, point = "37", "38", "2e"
    assert page_differences(lettered(seven, point, seven), lettered(seven, point, eight)) == []
    assert page_differences(lettered(seven, point, seven), lettered(eight, point, seven))


def test_raw_floats_are_the_same_to_eight_digits() -> None:
    was = {"value": 292.38461538461536, "low": None, "ids": ["a"]}
    assert data_differences(was, was | {"value": 292.3846153846159}) == []
    assert data_differences(was, was | {"value": 292.3846}) == [
        ".value: was: 292.38461538461536 | now: 292.3846"
    ]
    assert data_differences(was, was | {"low": 0.0}) and data_differences(was, was | {"ids": ["a", "b"]})
    assert data_differences(was, was | {"more": 1}) and data_differences(was | {"more": 1}, was)


def test_a_cell_that_shows_less_or_another_form_is_named() -> None:
    said = {"output_type": "stream", "name": "stdout", "text": "Condensate 8.5 gal/h\n"}
    drawn = {"output_type": "display_data", "data": {"image/svg+xml": picture("")}}
    assert notebook_differences([said], [dict(said, text="Condensate 8.6 gal/h\n")]) == []
    assert notebook_differences([said], []) and notebook_differences([said], [drawn])
    assert "stdout" in notebook_differences([said], [dict(said, text="Condensate 8.7 gal/h\n")])[0]


CONSTANTS = [
    ("physics.water_vapour", "LATENT_HEAT_0C"),
    ("physics.moist_air_properties", "GAS_CONSTANT_DRY"),
    ("physics.adiabatic_saturation", "RATIO"),
    ("equipment.circuit.compressor", "VOLUMETRIC_AT_EQUAL_PRESSURE"),
    ("equipment.drain.trap", "SPECIFIC_WEIGHT"),
]


@pytest.fixture(scope="module")
def sound() -> dict[str, str]:
    return shown(load_job(DATA / "jobs" / "swim_club.toml"), 64)


@pytest.mark.parametrize(("module", "name"), CONSTANTS)
def test_a_constant_off_by_one_percent_changes_the_memo(module, name, sound, monkeypatch) -> None:
    """Wherever the constant was imported to. Pages alone: raw floats have more digits than any reader."""
    value = getattr(sys.modules[f"hvaccalc.{module}"], name)
    holders = [
        m for key, m in sys.modules.items() if key.startswith("hvaccalc.") and vars(m).get(name) == value
    ]
    for holder in holders:
        monkeypatch.setattr(holder, name, value * 1.01)
    broken = shown(load_job(DATA / "jobs" / "swim_club.toml"), 64)
    assert page_differences(sound["memo, file"], broken["memo, file"])
