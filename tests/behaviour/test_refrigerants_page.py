"""The page on refrigerants is the one that the coefficient file of today would write."""

from hvaccalc.physics.refrigerant import NAMES, refrigerant
from tests.regenerate import refrigerants_page


def test_refrigerants_page_is_up_to_date() -> None:
    assert refrigerants_page.PAGE.read_text("utf-8") == refrigerants_page.page(), (
        "run python -m tests.regenerate refrigerants_page"
    )


def test_page_lists_every_refrigerant_with_its_composition_and_holes() -> None:
    text = refrigerants_page.PAGE.read_text("utf-8")
    for name in NAMES:
        kit = refrigerant(name)
        assert f"| {name} | {kit.composition} | {kit.safety_class} |" in text
        assert all(f"{low - 273.15:.1f} to {high - 273.15:.1f}" in text for low, high in kit.holes["dew"])
