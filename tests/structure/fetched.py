"""Who fetches a reading, traced while three jobs are analysed and told; who makes a saturation of one."""

import ast
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

from tests.structure.size import PACKAGE, texts

DEMOS = ("library_hall", "swim_club", "heat_pump_school")
AUDIENCES = ("customer", "file")
READ = ("suction_pressure", "liquid_pressure", "outdoor_dry_bulb")
SATURATIONS = ("dew_temperature", "bubble_temperature")
PRINTS_THEM = f"{PACKAGE}.report.readings"
"""The memo's table of readings as they were typed."""
LAWS = ("physics.", "equipment.")
"""What a model asks of its own state is no reading."""


def caller(passed_over: str) -> str:
    """The nearest module of the package that is not the one passed over."""
    frame = sys._getframe(2)
    while frame is not None:
        name = frame.f_globals.get("__name__", "")
        if name.startswith(PACKAGE) and name != passed_over:
            return name
        frame = frame.f_back
    return "outside the package"


@contextmanager
def watched(owner: type, method: str, seen: Callable[[str, tuple[Any, ...]], None]) -> Iterator[None]:
    """Report the calling module and the arguments of each call of a method."""
    original = getattr(owner, method)

    def call(*arguments: Any, **named: Any) -> Any:
        seen(caller(owner.__module__), arguments)
        return original(*arguments, **named)

    setattr(owner, method, call)
    try:
        yield
    finally:
        setattr(owner, method, original)


def saturating(text: str) -> bool:
    """Whether a module asks for the dew or the bubble temperature of a pressure."""
    return any(
        isinstance(node, ast.Attribute) and node.attr in SATURATIONS for node in ast.walk(ast.parse(text))
    )


def fetching(tree: Path) -> dict[str, list[str]]:
    """Modules that fetch each reading over the three jobs: findings and both memos."""
    analysis = import_module(f"{PACKAGE}.analysis")
    memo = import_module(f"{PACKAGE}.report.memo")
    page = import_module(f"{PACKAGE}.report.html").page
    load_job = import_module(f"{PACKAGE}.job.load").load_job
    fetched: dict[str, set[str]] = defaultdict(set)

    def seen(module: str, arguments: tuple[Any, ...]) -> None:
        if module != PRINTS_THEM:
            fetched[arguments[2]].add(module.removeprefix(f"{PACKAGE}."))

    with watched(analysis.Draws, "reading", seen):
        for demo in DEMOS:
            told = analysis.analyse(load_job(tree / "data" / "jobs" / f"{demo}.toml"))
            told.as_dict()
            for audience in AUDIENCES:
                page(memo.blocks(told, audience), "memo")
    return {key: sorted(fetched[key]) for key in READ}


def rows(tree: Path) -> dict[str, object]:
    """The counts of a tree."""
    fetched = fetching(tree)
    saturations = [
        name for name, text in texts(tree).items() if not name.startswith(LAWS) and saturating(text)
    ]
    return {
        **{f"modules that fetch {key}": len(names) for key, names in fetched.items()},
        "they are": fetched,
        "modules that make a dew or bubble temperature": len(saturations),
        "these": saturations,
    }
