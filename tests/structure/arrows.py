"""Who imports whom: floors, circles, small modules with one importer, what the report takes from below."""

import ast
import inspect
from collections import Counter
from collections.abc import Container
from importlib import import_module
from pathlib import Path

import grimp

from tests.structure.size import PACKAGE, rooms, texts

SMALL = 120
SMALL_BY_DESIGN = ("words", "findings", "panels", "report.sections")
"""One wing, one finding, one panel or one section a module, however small."""
LOWER = tuple(f"{PACKAGE}.{layer}" for layer in ("diagnosis", "equipment"))

Imports = dict[str, set[str]]


def imports_of(tree: Path) -> Imports:
    """Modules that each module imports itself; a package stands for its ``__init__``."""
    graph = grimp.build_graph(PACKAGE, cache_dir=None)
    short = {name: name.removeprefix(PACKAGE).removeprefix(".") for name in graph.modules}
    return {
        short[name]: {short[other] for other in graph.find_modules_directly_imported_by(name)}
        for name in short
    }


def reached(name: str, imports: Imports) -> set[str]:
    """All that a module imports, itself or through others."""
    found: set[str] = set()
    waiting = [*imports[name]]
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.add(one)
            waiting += imports.get(one, ())
    return found


def circles(imports: Imports) -> list[tuple[str, ...]]:
    """Groups of modules that reach each other."""
    reach = {name: reached(name, imports) for name in imports}
    groups = {
        tuple(sorted({name} | {other for other in reach[name] if name in reach.get(other, ())}))
        for name in imports
        if name in reach[name]
    }
    return sorted(groups)


def floors(imports: Imports) -> int:
    """Modules on the longest chain of imports; a circle counts as one."""
    together = {name: group for group in circles(imports) for name in group}
    heights: dict[str, int] = {}

    def height(name: str) -> int:
        group = together.get(name, (name,))
        if name not in heights:
            below = {other for one in group for other in imports[one] if other in imports} - set(group)
            heights.update(dict.fromkeys(group, 1 + max(map(height, below), default=0)))
        return heights[name]

    return max(map(height, imports))


def side_by_side(folder: str, imports: Imports) -> Imports:
    """Imports between what lies in one folder, each subfolder as one."""
    start = f"{folder}." if folder else ""
    side = {name: name.removeprefix(start).split(".")[0] for name in imports if name.startswith(start)}
    between: Imports = {name: set() for name in side.values() if name}
    for name, own in side.items():
        if own:
            between[own] |= {side[other] for other in imports[name] if side.get(other)} - {own}
    return between


def taken(tree: Path, user: str) -> Counter[str]:
    """Names that the modules of a package take from diagnosis and equipment, by kind, once a module."""
    kinds: Counter[str] = Counter()
    known = rooms(tree)
    for room, text in known.items():
        if room.startswith(f"{user}."):
            for module, name in _names_from_below(ast.parse(text), known):
                value = getattr(import_module(module), name)
                kinds[
                    "class" if inspect.isclass(value) else "function" if callable(value) else "constant"
                ] += 1
    return kinds


def _names_from_below(module: ast.Module, known: Container[str]) -> set[tuple[str, str]]:
    """(module, name) of what is imported from the lower layers, also by way of a module's name."""
    names: set[tuple[str, str]] = set()
    for node in ast.walk(module):
        if not (isinstance(node, ast.ImportFrom) and (node.module or "").startswith(LOWER)):
            continue
        for alias in node.names:
            whole = f"{node.module}.{alias.name}"
            if whole.removeprefix(f"{PACKAGE}.") in known:
                names |= {(whole, name) for name in _attributes(module, alias.asname or alias.name)}
            else:
                names.add((node.module or "", alias.name))
    return names


def _attributes(module: ast.Module, called: str) -> set[str]:
    return {
        node.attr
        for node in ast.walk(module)
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == called
    }


def rows(tree: Path) -> dict[str, object]:
    """The counts of a tree."""
    imports = imports_of(tree)
    packages = [name.removesuffix("__init__").removesuffix(".") for name in texts(tree) if "__init__" in name]
    modules = {name: others for name, others in imports.items() if name not in packages}
    lonely = {
        name: importers
        for name, text in rooms(tree).items()
        if text.count("\n") < SMALL and not name.startswith(SMALL_BY_DESIGN)
        if len(importers := [other for other, others in modules.items() if name in others]) == 1
    }
    layers = {name.split(".")[0] for name in modules if "." in name}
    return {
        f"modules under {SMALL} lines with one importer": len(lonely),
        "they are": {name: importer for name, (importer,) in lonely.items()},
        "floors": {
            layer: floors({name: others for name, others in modules.items() if name.startswith(f"{layer}.")})
            for layer in sorted(layers)
        },
        "circles of modules": circles(modules),
        "circles side by side": {
            folder or PACKAGE: found
            for folder in packages
            if (found := circles(side_by_side(folder, imports)))
        },
        **{
            f"{user} takes from diagnosis and equipment": dict(taken(tree, user))
            for user in ("report", "panels")
        },
    }
