"""Pytest plugin: nbval runs the notebooks, and `tests.sameness` says whether what they show is the same."""

from nbval.plugin import IPyNbCell

from tests.sameness import notebook_differences


def _compare_outputs(cell: IPyNbCell, test: list, ref: list, skip_compare: object = None) -> bool:
    cell.comparison_traceback = notebook_differences(ref, test)
    return not cell.comparison_traceback


def pytest_configure() -> None:
    """Nbval has no hook for its comparison, only this method."""
    IPyNbCell.compare_outputs = _compare_outputs
