"""Readings of a leaking air handler, explained.

    >>> import hvaccalc
    >>> sorted(hvaccalc.__all__)
    ['Analysis', 'Finding', 'Job', 'UnitModel', 'analyse', 'errors', 'load_job', 'units']

Each public name is loaded when it is first used, so that ``import hvaccalc`` stays as quick in a script,
a notebook or a worker process as the work that it is imported for.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hvaccalc import errors, units
    from hvaccalc.analysis import Analysis, analyse
    from hvaccalc.equipment.unit.unit_model import UnitModel
    from hvaccalc.findings import Finding
    from hvaccalc.job.load import load_job
    from hvaccalc.job.schema import Job

__version__ = "0.1.0"

__all__ = ["Analysis", "Finding", "Job", "UnitModel", "analyse", "errors", "load_job", "units"]

_HOME = {
    "Analysis": "hvaccalc.analysis",
    "Finding": "hvaccalc.findings",
    "Job": "hvaccalc.job.schema",
    "UnitModel": "hvaccalc.equipment.unit.unit_model",
    "analyse": "hvaccalc.analysis",
    "load_job": "hvaccalc.job.load",
}


def __getattr__(name: str) -> object:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    if name in __all__:
        return import_module(f"{__name__}.{name}")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])
