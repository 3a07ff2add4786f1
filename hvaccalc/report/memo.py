"""The root-cause memo: an analysis as blocks for one reader, and as a file.

The memo prints findings and draws typed results; it computes nothing. Sections follow the same
order for both readers: the customer gets plain words on two pages, the file gets everything.
"""

import os
import secrets
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path

from hvaccalc import second_opinion
from hvaccalc.analysis import Analysis
from hvaccalc.errors import FileChanged, InputError
from hvaccalc.report import html
from hvaccalc.report.blocks import Block, Heading, KeyValues
from hvaccalc.report.found import Found
from hvaccalc.report.method import method
from hvaccalc.report.readings import readings
from hvaccalc.report.sections import (
    fan,
    permanent_repair,
    refrigerant,
    story,
    today,
    water,
    what_was_found,
    wiring,
)
from hvaccalc.report.sections.cautions import cautions
from hvaccalc.resources import only_a_folder
from hvaccalc.words.said import date_text

AUDIENCES = ("customer", "file")


def blocks(
    analysis: Analysis, audience: str = "file", libraries: second_opinion.Process | None = None
) -> tuple[Block, ...]:
    """The memo as blocks.

    Parameters
    ----------
    analysis : Analysis
    audience : str
        ``customer``: at most two pages of plain words; ``file``: everything.
    libraries : second_opinion.Process, optional
        Asked for a second opinion, last of all; it loads while the memo is drawn. Without it the file copy
        says that none was asked for.

    Raises
    ------
    InputError
        Another audience.
    """
    if audience not in AUDIENCES:
        raise InputError("no such reader of a memo", found=repr(audience), allowed=", ".join(AUDIENCES))
    found = Found(analysis, plain=audience == "customer")
    first = [*_head(found), *today.alarm(found), *story.reported(found)]
    opinion = second_opinion.compare(analysis, libraries) if libraries is not None else None
    last = [] if found.plain else method(found, opinion)
    last.append(KeyValues((("Signed", f"{LINE} (name) {LINE} (date)"),)))
    parts = _of_a_call(found) if not found.visits else _of_visits(found)
    return (*first, *(block for part in parts for block in part), *last)


def _of_a_call(found: Found) -> Iterator[list[Block]]:
    """Sections where nobody has been there: what papers and telephone tell, and no more."""
    yield today.of_a_call(found)
    if not found.plain:
        yield wiring.calls_and_wiring(found)
    yield wiring.jumper(found)
    if found.analysis.repairs.called:
        yield permanent_repair.permanent(found)
    if not found.plain:
        yield refrigerant.on_board(found)
    yield cautions(found)


def _of_visits(found: Found) -> Iterable[list[Block]]:
    return (
        what_was_found.what_was_found(found),
        story.why(found),
        water.water(found),
        wiring.calls_and_wiring(found),
        story.looked_at(found),
        story.unexplained(found),
        today.done(found),
        today.today(found),
        wiring.jumper(found),
        permanent_repair.permanent(found),
        fan.fan(found),
        refrigerant.refrigerant(found),
        refrigerant.how_charge_was_judged(found),
        refrigerant.on_board(found),
        permanent_repair.return_visit(found),
        cautions(found),
        readings(found),
    )


LINE = "_" * 24
"""To write on."""


def _head(found: Found) -> list[Block]:
    job = found.job
    visits = [visit for number in found.visits if (visit := job.visit[number - 1]).date]
    who, unit = job.job, job.unit
    rows = [
        ("Customer", who.customer),
        ("Work order", who.work_order),
        ("Site", who.site or "not noted"),
        ("Unit", _parts(unit.name, unit.location, _plate(unit.model, unit.serial)) or "not noted"),
        *(
            (f"Outdoor unit, circuit {name}", _plate(c.outdoor_model, c.outdoor_serial))
            for name, c in job.circuit.items()
        ),
        ("Visits", ", ".join(date_text(visit.date) for visit in visits) or "none dated"),
        (
            "Prepared by",
            _parts(who.prepared_by, who.company, who.licence and f"licence {who.licence}") or "not noted",
        ),
    ]
    if not found.plain:
        rows.append(("Copy", "for the file"))
    return [Heading(job.job.title, 1), KeyValues(tuple((name, text) for name, text in rows if text))]


def _plate(model: str | None, serial: str | None) -> str:
    return _parts(model and f"model {model}", serial and f"serial {serial}")


def _parts(*parts: str | None) -> str:
    return ", ".join(part for part in parts if part)


def write(analysis: Analysis, directory: str | Path, audience: str = "file") -> Path:
    """Write the memo as one HTML file beside its job's name.

    Parameters
    ----------
    analysis : Analysis
    directory : path
        Made where it is missing.
    audience : str

    Returns
    -------
    Path
        ``library_hall.memo.html``, ``library_hall.memo.customer.html``.

    Raises
    ------
    InputError
        What is named as the folder is none.
    FileChanged
        The file there is not a memo as this package wrote it (it is somebody's own, or somebody has written
        into it): it was left alone and nothing was written.
    """
    only_a_folder(Path(directory))
    with _beside(analysis, audience) as libraries:
        text = html.page(blocks(analysis, audience, libraries), f"{analysis.job.job.title} - memo")
    job = analysis.job.path
    stem = job.stem if job is not None else "job"
    target = Path(directory) / f"{stem}.memo{'.customer' if audience == 'customer' else ''}.html"
    target.parent.mkdir(parents=True, exist_ok=True)
    _keep_what_is_not_ours(target)
    _replace(target, text.encode("utf-8"))
    return target


def _beside(analysis: Analysis, audience: str) -> second_opinion.Process | AbstractContextManager[None]:
    """The property libraries, loading from now on; nothing for the customer, who reads no second opinion."""
    process = second_opinion.beside(analysis.job) if audience == "file" else None
    return process if process is not None else nullcontext()


def _keep_what_is_not_ours(target: Path) -> None:
    """Only a memo that nobody has touched may be replaced."""
    if not (target.exists() or target.is_symlink()):
        return
    try:
        ours = (
            target.is_file()
            and not target.is_symlink()
            and html.untouched(target.read_bytes().decode("utf-8"))
        )
    except UnicodeDecodeError:
        ours = False
    if not ours:
        raise FileChanged(
            f"{target}: this file was not written by the memo, or was changed since; it was left as it is "
            "and nothing was written. Move it away, or write into another folder."
        )


def _replace(target: Path, raw: bytes) -> None:
    """Write beside the target, put it on the disk, rename."""
    beside = target.with_name(f".{target.name}.{secrets.token_hex(4)}")
    try:
        with beside.open("xb") as out:
            out.write(raw)
            out.flush()
            os.fsync(out.fileno())
        beside.replace(target)
    finally:
        beside.unlink(missing_ok=True)
