"""The command line: plain verbs over a job file.

Exit status: 0 fine, 1 where ``findings --fail-on`` found something that severe or ``selfcheck`` a difference,
2 bad input, 3 could not compute (of ``what-if`` one row or more). No traceback ever reaches a user, and text
from a job is printed as it stands: it is no markup, and its control characters are spelled out, so that they
work on no terminal.
"""

from __future__ import annotations

import contextlib
import json
import re
import secrets
import subprocess
import sys
import tempfile
import textwrap
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hvaccalc.errors import FileChanged, HvacCalcError, InputError
from hvaccalc.severity import Severity

if TYPE_CHECKING:
    from hvaccalc.analysis import Analysis
    from hvaccalc.diagnosis.unit.what_if import Answer
    from hvaccalc.findings import Finding
    from hvaccalc.job.schema import Job, Notice
    from hvaccalc.second_opinion import SelfCheck

BAD_INPUT, NOT_COMPUTED = 2, 3

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Why an air handler wets the space below: readings, findings and a root-cause memo.",
)


class Audience(StrEnum):
    """Who reads the memo."""

    CUSTOMER = "customer"
    FILE = "file"


class Display(StrEnum):
    """Units shown."""

    US = "us"
    SI = "si"


JobPath = Annotated[Path, typer.Argument(metavar="JOB", help="The job file (TOML).")]
DisplayOption = Annotated[
    Display | None, typer.Option("--display", help="Units shown, instead of the job's.")
]


@app.command()
def new(job: JobPath) -> None:
    """Write a starter job file, with comments; never over an existing file."""
    from hvaccalc.job.starter import starter_text

    if not job.parent.is_dir():
        raise InputError("no such folder", found=str(job.parent), allowed="an existing folder", file=str(job))
    try:
        with job.open("x", encoding="utf-8") as out:
            out.write(starter_text(job.stem.replace("_", " ").capitalize()))
    except FileExistsError:
        raise InputError(
            "this file exists and was left as it is", found=str(job), allowed="a new name"
        ) from None
    _say(f"Wrote {job}. Fill in what you know, then: hvaccalc check {job}")


@app.command()
def check(job: JobPath, display: DisplayOption = None) -> None:
    """Read a job file and say how it was taken: assumptions, contradictions, what is not used yet."""
    analysis = _analyse(job, display)
    _print_notices(analysis.notices)
    visits = len(analysis.job.visit)
    conditions = sum(len(visit.condition) for visit in analysis.job.visit)
    doubts = sum(notice.code.startswith(("unusual", "contradiction")) for notice in analysis.notices)
    out = [n.where for n in analysis.notices if n.code == "refrigerant_not_carried"]
    told = [f"look again at {_counted(doubts, 'value')} above"] * bool(doubts)
    told += [f"left out, for its refrigerant is not carried: {', '.join(out)}"] * bool(out)
    verdict = "; ".join(("can be read", *told)) if told else "fine"
    _say(f"{job}: {verdict}; {_counted(visits, 'visit')}, {_counted(conditions, 'condition')}.")


@app.command()
def findings(
    job: JobPath,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON alone on standard output.")] = False,
    fail_on: Annotated[
        Severity | None, typer.Option("--fail-on", help="Exit 1 when a finding is this severe, or more.")
    ] = None,
    display: DisplayOption = None,
) -> None:
    """Print what the readings mean, each with its band."""
    analysis = _analyse(job, display)
    if as_json:
        _print_json(analysis.as_dict())
    else:
        _print_findings(analysis)
    _print_notices(analysis.notices, err=True)
    if fail_on is not None and any(f.severity.rank >= fail_on.rank for f in analysis.findings):
        raise typer.Exit(1)


@app.command()
def memo(
    job: JobPath,
    out: Annotated[Path, typer.Option("-o", "--out", metavar="DIR", help="Folder to write into.")] = Path(),
    formats: Annotated[str, typer.Option("--as", help="html, the only form so far.")] = "html",
    audience: Annotated[Audience, typer.Option("--for", help="Who reads it.")] = Audience.FILE,
    display: DisplayOption = None,
) -> None:
    """Write the root-cause memo."""
    from hvaccalc.report import memo as report

    unknown = [name for name in formats.split(",") if name.strip() != "html"]
    if unknown:
        raise InputError(
            "a form of memo that is not there", found=", ".join(unknown), allowed="html", key="--as"
        )
    path = report.write(_analyse(job, display), out, audience.value)
    _say(f"Wrote {path}")


@app.command("what-if")
def what_if(
    job: JobPath,
    settings: Annotated[
        list[str] | None, typer.Option("--set", metavar='KEY="VALUE"', help="An air reading to change.")
    ] = None,
    calls: Annotated[str | None, typer.Option("--calls", help="Calls, several separated by ;")] = None,
    faults: Annotated[
        list[str] | None, typer.Option("--fault", metavar='NAME:CIRCUIT="20 %"', help="A fault to add.")
    ] = None,
    rows: Annotated[Path | None, typer.Option("--rows", help="A csv file of changes, a row each.")] = None,
    calibrate_on: Annotated[
        str | None, typer.Option("--calibrate-on", help="Labels of conditions, separated by commas.")
    ] = None,
    draws: Annotated[
        int | None, typer.Option("--draws", min=40, help="Draws behind each band, 40 where not said.")
    ] = None,
    no_bands: Annotated[
        bool, typer.Option("--no-bands", help="The central value alone: much faster for many rows.")
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON alone on standard output.")] = False,
    display: DisplayOption = None,
) -> None:
    """Ask the unit, calibrated on the job's own conditions, what it would do at changed ones.

    Up to 100,000 rows, answered one after another as they are solved. A processor takes about 5 s for 1,000
    of them with 40 draws, 30 s with 512, 3 s without bands.
    """
    from hvaccalc.diagnosis.unit import what_if as ask
    from hvaccalc.diagnosis.unit import what_if_typed as typed
    from hvaccalc.findings.forecast import head, lines, state

    analysis = _analyse(job, display)
    if rows is not None and (settings or calls):
        raise InputError("rows and single changes together", allowed="either --rows or --set and --calls")

    def changes() -> Iterable[typed.Change]:
        return [typed.read_change(_settings(settings, calls))] if rows is None else typed.read_rows(rows)

    # The whole file is read before anything is solved, and again as it is answered: it is never held.
    total = sum(1 for _ in changes())
    typed.faults_of(analysis.job.circuit, faults or ())
    typed.possible(analysis.job.unit, changes())
    few = analysis.few(draws or ask.DRAWS)
    labels = None if calibrate_on is None else ask.labels_in(calibrate_on, few.draws)
    ask.known_labels(few.draws, labels or ())
    typer.echo("calibrating the unit on the job's conditions ...", err=True)
    unit = ask.ready(few.draws, few.conditions, faults or (), labels)
    unit.faults_run(changes())
    refused = 0
    if not as_json:
        for line in head(unit):
            _say(line)
    with _json_list({"format": 1}, "states") if as_json else contextlib.nullcontext() as printed:
        for one in _in_time(unit.answers(changes(), not no_bands), total):
            refused += not one.converged
            if printed is not None:
                printed(state(one))
            else:
                for line in lines(one, analysis.job.display):
                    _say(line)
    if refused:
        _say(f"{_counted(refused, 'row')} refused, with the reason beside it", err=True)
        raise typer.Exit(NOT_COMPUTED)


def _in_time(answers: Iterable[Answer], total: int) -> Iterator[Answer]:
    """The same answers; how many of them are there after a second, and ever less often, on standard error."""
    start = time.monotonic()
    due = 1.0
    for done, one in enumerate(answers):
        if done and (spent := time.monotonic() - start) > due:
            typer.echo(f"{done:,} of {total:,} rows after {spent:.0f} s ...", err=True)
            due = spent + min(spent, 30.0)
        yield one


def _settings(settings: list[str] | None, calls: str | None) -> dict[str, str]:
    typed = {} if calls is None else {"calls": calls}
    for text in settings or ():
        key, equals, value = text.partition("=")
        if not equals:
            raise InputError(
                "a setting without a value", found=f'"{text}"', allowed='KEY="VALUE"', key="--set"
            )
        typed[key.strip()] = value.strip().strip('"')
    return typed


@app.command()
def selfcheck(
    states: Annotated[
        int, typer.Option("--states", min=1, help="Random states of moist air and of each refrigerant.")
    ] = 5000,
    seed: Annotated[int, typer.Option("--seed", min=0, help="Of the random states.")] = 1,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON alone on standard output.")] = False,
) -> None:
    """Compare moist air and every refrigerant with psychrolib and CoolProp over random states."""
    from hvaccalc.physics.refrigerant import NAMES
    from hvaccalc.second_opinion import self_check

    with _progress(states * (1 + len(NAMES))) as advance:
        result = self_check(states, seed, advance)
    if as_json:
        _print_json(result.as_dict())
    else:
        _print_checks(result)
    if not result.ok:
        raise typer.Exit(1)


@app.command()
def notebooks(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder to copy them into.")] = Path(
        "hvaccalc-notebooks"
    ),
    show: Annotated[bool, typer.Option("--open", help="Open the folder in JupyterLab.")] = False,
) -> None:
    """Copy the notebooks into a folder; a copy that you changed is never written over."""
    from hvaccalc.resources import copy_notebooks

    copies = copy_notebooks(folder)
    told = (("Wrote", copies.written), ("Brought up to date", copies.updated), ("Already there", copies.same))
    for word, names in told:
        for name in names:
            _say(f"{word}: {folder / name}")
    for name in copies.kept:
        _say(f"Kept, for it was changed: {folder / name}. Move it away to get a fresh one.", err=True)
    if show:
        _open_lab(folder)


LOCAL_AND_QUIET = (
    "--ServerApp.ip=127.0.0.1",
    "--ServerApp.allow_remote_access=False",
    "--LabApp.news_url=None",
    "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
)
"""For this computer alone, whatever the settings say; no pop-up asks for news, nothing is looked up."""


def _open_lab(folder: Path) -> None:
    """JupyterLab on a folder, until the user stops it.

    Its token stands in a file that nobody else may read: among the arguments every user of this computer
    could see it.
    """
    with tempfile.TemporaryDirectory() as own, contextlib.suppress(KeyboardInterrupt):
        settings = Path(own) / "hvaccalc.json"
        settings.write_text(json.dumps({"IdentityProvider": {"token": secrets.token_hex(24)}}), "utf-8")
        lab = [sys.executable, "-m", "jupyterlab", str(folder), f"--config={settings}", *LOCAL_AND_QUIET]
        code = subprocess.run(lab).returncode
        if code:
            raise HvacCalcError(f"JupyterLab ended with status {code}")


def main() -> None:
    """Entry point: every error becomes a sentence and an exit status."""
    try:
        app()
    except InputError as error:
        for one in (error, *error.others):
            _say(str(one), err=True)
        sys.exit(BAD_INPUT)
    except FileChanged as error:
        _say(str(error), err=True)
        sys.exit(BAD_INPUT)
    except OSError as error:
        _say(f"{error.filename or 'file'}: {error.strerror or error}", err=True)
        sys.exit(BAD_INPUT)
    except HvacCalcError as error:
        _say(f"could not compute: {error}", err=True)
        sys.exit(NOT_COMPUTED)
    except Exception as error:
        _say(f"could not compute: {type(error).__name__}: {error}", err=True)
        sys.exit(NOT_COMPUTED)


def _analyse(path: Path, display: Display | None) -> Analysis:
    from hvaccalc.analysis import analyse
    from hvaccalc.job.load import load_job

    job: Job = load_job(path)
    if display is not None:
        job = job.model_copy(update={"display": display.value})
    return analyse(job)


def _print_findings(analysis: Analysis) -> None:
    """Findings by place, in each what needs doing first."""
    _say(analysis.job.job.title)
    labels: dict[tuple[int | None, int | None], str] = {
        (r.where.visit, r.where.condition): r.label for r in analysis.conditions
    }
    for place, group in _grouped(analysis.findings):
        _say("")
        visit, condition = place
        head = "The job" if visit is None else f"Visit {visit}"
        head += f", condition {condition}: {labels[place]}" if condition is not None else ""
        _say(head)
        for finding in sorted(group, key=lambda one: -one.severity.rank):
            lead = f"  {finding.severity:<6}"
            _say(finding.statement, indents=(lead, " " * 8))


def _grouped(all_findings: Iterable[Finding]) -> list[tuple[tuple[int | None, int | None], list[Finding]]]:
    groups: dict[tuple[int | None, int | None], list[Finding]] = {}
    for finding in all_findings:
        groups.setdefault((finding.visit, finding.condition), []).append(finding)
    return sorted(groups.items(), key=lambda item: (item[0][0] or 0, item[0][1] or 0))


def _print_notices(notices: Iterable[Notice], err: bool = False) -> None:
    for notice in notices:
        text = f"notice {notice.code} ({notice.where}): {notice.text}"
        _say(text, err=err, indents=("", "    "))


@contextmanager
def _progress(total: int) -> Iterator[Callable[[str, int], None]]:
    """A bar on standard error, told the subject and how much of it was just done."""
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("loading the libraries", total=total)
        yield lambda subject, done: bar.update(task, advance=done, description=subject)


def _print_checks(result: SelfCheck) -> None:
    libraries = ", ".join(f"{name} {release}" for name, release in result.versions.items())
    _say(f"{_counted(result.states, 'random state')} each, seed {result.seed}, against {libraries}")
    measure = {"K": " K", "relative": " of the value", "latent": " of the latent heat"}
    for check in result.checks:
        largest = "no answer" if check.largest is None else f"{check.largest:.1e}"
        verdict = "within" if check.ok else "BEYOND"
        line = f"  {check.substance:<10} {check.quantity:<19} {largest:>9} {verdict} {check.limit:.0e}"
        lacking = f", {check.unanswered} without the library's answer" if check.unanswered else ""
        lacking += f", {check.unanswered_here} without this package's" if check.unanswered_here else ""
        _say(f"{line}{measure[check.measure]}{lacking}")
        if not check.ok and check.at:
            _say("      at " + ", ".join(f"{name} {value:.6g}" for name, value in check.at.items()))
    _say("All agree." if result.ok else "Not all agree.")


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


ACTIVE = re.compile(r"[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
"""What works on a terminal instead of being shown: control characters, changes of writing direction."""


def _print_json(data: object) -> None:
    """JSON alone on standard output."""
    typer.echo(_json(data))


def _json(data: object) -> str:
    """JSON, what would work on a terminal spelled out."""
    text = json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)
    return re.sub(r"(?!\n)" + ACTIVE.pattern, lambda found: f"\\u{ord(found[0]):04x}", text)


@contextmanager
def _json_list(head: dict[str, object], name: str) -> Iterator[Callable[[object], None]]:
    """JSON alone on standard output: an object whose last entry is a list, printed as its entries come."""
    between = json.dumps(head)[:-1] + f', "{name}": ['

    def printed(entry: object) -> None:
        nonlocal between
        typer.echo(between)
        typer.echo(_json(entry), nl=False)
        between = ","

    yield printed
    typer.echo("\n]}" if between == "," else f"{between}]}}")


def _say(text: str, err: bool = False, indents: tuple[str, str] | None = None) -> None:
    """Print one paragraph, folded where indents are given, with control characters spelled out."""
    plain = ACTIVE.sub(lambda found: repr(found[0])[1:-1], text)
    if indents is not None:
        plain = textwrap.fill(plain, 100, initial_indent=indents[0], subsequent_indent=indents[1])
    typer.echo(plain, err=err)
