"""Decisions that are read back out of English, and severities compared where only words should be chosen."""

import ast
from collections import Counter
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

from tests.structure.size import PACKAGE, texts

SENTENCES = ("text", "why", "note", "statement", "title", "label", "lead", "verdict", "how", "reason")
READ_BACK = (
    *("startswith", "endswith", "replace", "split", "partition"),
    *("removeprefix", "removesuffix", "find", "index", "count"),
)
"""Methods of a string that look for something in it."""
COMPARISONS = (ast.Eq, ast.NotEq, ast.In, ast.NotIn)
WAYS = (
    *("condensate", "melt", "pan_overflow", "trap", "carry_over", "coil_drip", "sweating"),
    *("pan_leak", "pump", "hot_water_coil", "outside", "shut_down_drain"),
)
FEWEST = 3
"""Ways of the water that a table has to name to be one of them."""


def _named(tree: ast.Module, fits: Callable[[ast.AST], bool]) -> set[str]:
    """Names that a module gives, anywhere, to an expression that fits."""
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign | ast.AnnAssign | ast.NamedExpr) and node.value and fits(node.value):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names |= {target.id for target in targets if isinstance(target, ast.Name)}
    return names


def _texts_taken(tree: ast.Module) -> set[str]:
    """Names of texts, or of several, that a module imports from the package; members of enums are none."""
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(PACKAGE):
            taken = {one.asname or one.name: one.name for one in node.names if one.name.isupper()}
            module = import_module(node.module or "") if taken else None
            values = {name: getattr(module, own) for name, own in taken.items()}
            names |= {name for name, value in values.items() if type(value) is str or _texts(value)}
    return names


def _texts(value: object) -> bool:
    several = isinstance(value, tuple | list | set | frozenset | dict) and bool(value)
    return several and all(type(one) is str for one in value)


def branches(text: str) -> list[int]:
    """Lines of a module that look for words in a sentence of a result.

    The sentence, the words, or a table of them may have been given a name first.
    """
    tree = ast.parse(text)

    def sentence(node: ast.AST) -> bool:
        """Whether an expression is a sentence of a result, perhaps made small, or nothing in its place."""
        if isinstance(node, ast.BoolOp):
            return sentence(node.values[0])
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            return node.func.attr in ("lower", "casefold", *READ_BACK) and sentence(node.func.value)
        if isinstance(node, ast.Name):
            return node.id in sentences
        return isinstance(node, ast.Attribute) and node.attr in SENTENCES

    def words(node: ast.AST) -> bool:
        """Whether an expression is a piece of text written in the code, or several, or a table of them."""
        if isinstance(node, ast.Tuple | ast.List | ast.Set | ast.Dict):
            parts = node.keys if isinstance(node, ast.Dict) else node.elts
            return bool(parts) and all(part is not None and words(part) for part in parts)
        if isinstance(node, ast.Name):
            return node.id in written
        return isinstance(node, ast.Constant) and isinstance(node.value, str)

    sentences: set[str] = set()
    sentences = _named(tree, sentence)
    written = _texts_taken(tree)
    written |= {name for name in _named(tree, words) if name.isupper() or name in _named(tree, _table)}
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare) and isinstance(node.ops[0], COMPARISONS):
            sides = (node.left, node.comparators[0])
            if any(map(sentence, sides)) and any(map(words, sides)):
                found.append(node.lineno)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            looked_up = node.func.attr == "get" and words(node.func.value) and sentence(node.args[0])
            if looked_up or (node.func.attr in READ_BACK and sentence(node.func.value)):
                found.append(node.lineno)
        elif isinstance(node, ast.Subscript) and words(node.value) and sentence(node.slice):
            found.append(node.lineno)
    return sorted(found)


def _table(node: ast.AST) -> bool:
    return isinstance(node, ast.Dict)


def severities(text: str) -> list[int]:
    """Lines of a module that compare a severity."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Compare)
        and any(isinstance(part, ast.Attribute) and part.attr == "severity" for part in ast.walk(node))
    ]


def tables_of_ways(text: str) -> list[str]:
    """Names of a module's own tables whose keys or members are ways of the water."""
    found = []
    for node in ast.parse(text).body:
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if len({way for part in ast.walk(node.value) if (way := _way(part))}) >= FEWEST:
                found.append(ast.unparse(target))
    return found


def _way(node: ast.AST) -> str | None:
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "Way":
        return node.attr.lower()
    return node.value if isinstance(node, ast.Constant) and node.value in WAYS else None


def rows(tree: Path) -> dict[str, object]:
    """The counts of a tree."""
    every = texts(tree)
    lines = {name: found for name, text in every.items() if (found := branches(text))}
    tables = {name: found for name, text in every.items() if (found := tables_of_ways(text))}
    compared = Counter({name.split(".")[0]: 0 for name in ("report", "panels")})
    for name, text in every.items():
        compared[name.split(".")[0]] += len(severities(text))
    return {
        "branches on a sentence": sum(map(len, lines.values())),
        "they stand in": lines,
        "severity comparisons": {
            layer: count for layer, count in compared.items() if count or layer == "report"
        },
        "tables of the ways of the water": sum(map(len, tables.values())),
        "they are called": tables,
    }
