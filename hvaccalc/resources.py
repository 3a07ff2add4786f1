"""Where the data files and the notebooks are, and what may be written into.

They live beside the package in a checkout and inside it in a wheel. An editable install leaves a copy of
``data/`` in site-packages that goes stale with the first edit, so the place is worked out from this file,
never from the installed distribution: an editable install runs this file from the checkout.
"""

from pathlib import Path

from hvaccalc.errors import InputError


def _root() -> Path:
    package = Path(__file__).resolve().parent
    checkout = package.parent
    is_checkout = (checkout / "pyproject.toml").is_file() and (checkout / "data").is_dir()
    return checkout if is_checkout else package


def data_path(*parts: str) -> Path:
    """Path below ``data/``; the file need not exist.

    >>> data_path("SOURCES.md").is_file()
    True
    """
    return _root().joinpath("data", *parts)


def notebooks_path() -> Path:
    """Path of ``notebooks/``; the directory need not exist."""
    return _root() / "notebooks"


def only_a_folder(path: Path) -> None:
    """Refuse an output folder that is a file or a device, or would stand in one.

    Raises
    ------
    InputError
        With what stands there.
    """
    there = next(one for one in (path, *path.absolute().parents) if one.exists())
    if not there.is_dir():
        raise InputError("not a folder", found=str(there), allowed="a folder, or a new name")
