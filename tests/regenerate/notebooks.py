"""Runs every notebook and stores its outputs.

What differs from run to run is dropped: widget state and views, times, the kernel's version. Cell ids
are numbers in order. No number of a result is touched.
"""

from pathlib import Path

import nbclient
import nbformat

from tests.discovery import ROOT

NOTEBOOKS = ROOT / "notebooks"
TIMEOUT = 60
"""Longest that one cell may take [s]."""

_WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
METADATA = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def notebook_files(folder: Path = NOTEBOOKS) -> list[Path]:
    """Every notebook, in order."""
    return sorted(folder.glob("*.ipynb"))


def executed(path: Path) -> nbformat.NotebookNode:
    """A notebook after a run of all its cells."""
    notebook = nbformat.read(path, as_version=4)
    resources = {"metadata": {"path": str(path.parent)}}
    client = nbclient.NotebookClient(
        notebook, timeout=TIMEOUT, kernel_name="python3", resources=resources, store_widget_state=False
    )
    client.execute()
    return notebook


def stored(notebook: nbformat.NotebookNode) -> str:
    """Text of a notebook as it is stored."""
    notebook.metadata = nbformat.from_dict(METADATA)
    for number, cell in enumerate(notebook.cells):
        cell.id, cell.metadata = f"cell-{number}", nbformat.from_dict({})
        for output in cell.get("outputs", []):
            output.get("data", {}).pop(_WIDGET_VIEW, None)
            if "metadata" in output:
                output.metadata = nbformat.from_dict({})
    return nbformat.writes(notebook, version=nbformat.NO_CONVERT) + "\n"


def regenerate() -> None:
    """Rewrite every notebook in place."""
    for path in notebook_files():
        path.write_text(stored(executed(path)), "utf-8")
