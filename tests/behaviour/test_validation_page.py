"""The page that shows the published measurements is the one that the code of today would write."""

from tests.regenerate import validation_page, validation_page_unit


def test_validation_page_is_up_to_date() -> None:
    assert validation_page.PAGE.read_text("utf-8") == validation_page.page(), (
        "run python -m tests.regenerate validation_page"
    )


def test_pictures_of_the_unit_are_up_to_date_and_on_the_page() -> None:
    stored = {path.name: path.read_text("utf-8") for path in validation_page_unit.FOLDER.glob("*.svg")}
    assert stored == validation_page_unit.pictures()
    text = validation_page.PAGE.read_text("utf-8")
    assert all(f"](validation/{name})" in text for name in stored)


def test_every_published_test_file_is_on_the_page_and_says_what_it_checks() -> None:
    text = validation_page.page()
    for path in validation_page.PUBLISHED.glob("test_*.py"):
        _, _, section = text.partition(f"### `{path.name}`\n\n")
        assert section.strip(), path.name
        assert not section.startswith(("\n", "*")), f"{path.name} has no docstring of its own"
