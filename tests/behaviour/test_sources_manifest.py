"""Every file that ships in data/ says where it comes from and is the file that was recorded."""

import pytest

from tests.regenerate.sources_manifest import DATA, data_files, digest, read_rows

ROWS = read_rows()


def test_every_file_is_listed_and_nothing_else() -> None:
    assert sorted(ROWS) == data_files()


@pytest.mark.parametrize("name", sorted(ROWS))
def test_row_is_complete_and_hash_is_right(name: str) -> None:
    row = ROWS[name]
    assert all(row.values()), f"an empty cell in {row}"
    assert row["sha256"] == digest(DATA / name), "run python -m tests.regenerate sources_manifest"
