"""Refreshes the hashes in ``data/SOURCES.md``; origin, licence and date stay as a person wrote them."""

import hashlib
from pathlib import Path

from tests.discovery import ROOT

DATA = ROOT / "data"
MANIFEST = DATA / "SOURCES.md"
COLUMNS = ["file", "origin", "licence", "date", "sha256"]


def digest(path: Path) -> str:
    """Hex sha256 of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def data_files(data: Path = DATA) -> list[str]:
    """Every file below `data` except the manifest itself, as posix paths relative to it."""
    files = (path.relative_to(data) for path in data.rglob("*") if path.is_file())
    shipped = (path.as_posix() for path in files if "__pycache__" not in path.parts)
    return sorted(name for name in shipped if name != MANIFEST.name)


def read_rows(manifest: Path = MANIFEST) -> dict[str, dict[str, str]]:
    """Rows of the manifest's table by file name."""
    lines = [line for line in manifest.read_text("utf-8").splitlines() if line.startswith("|")]
    cells = [[cell.strip().strip("`") for cell in line.strip("|").split("|")] for line in lines[2:]]
    return {row[0]: dict(zip(COLUMNS, row, strict=True)) for row in cells}


def regenerate() -> None:
    """Rewrite the table: a row for each file; a new file gets empty cells, which the test refuses."""
    known = read_rows()
    text = MANIFEST.read_text("utf-8").split("\n|", 1)[0]
    table = [f"| {' | '.join(COLUMNS)} |", "|---|---|---|---|---|"]
    for name in data_files():
        row = known.get(name, {})
        said = " | ".join(row.get(column, "") for column in COLUMNS[1:4])
        table.append(f"| `{name}` | {said} | `{digest(DATA / name)}` |")
    MANIFEST.write_text(text + "\n" + "\n".join(table) + "\n", "utf-8")
