"""Decisions that are read back out of English, and severities compared where only words should be chosen."""

import ast
from collections import Counter
from pathlib import Path

from tests.structure.size import texts

SENTENCES = ("text", "why", "note", "statement", "title", "label", "lead")
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


def _sentence(node: ast.AST) -> bool:
    """Whether an expression is a sentence of a result, perhaps made small."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        return node.func.attr in ("lower", "casefold", *READ_BACK) and _sentence(node.func.value)
    return isinstance(node, ast.Attribute) and node.attr in SENTENCES


def _words(node: ast.AST) -> bool:
    """Whether an expression is a piece of text written in the code, or several."""
    if isinstance(node, ast.Tuple | ast.List | ast.Set):
        return any(map(_words, node.elts))
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def branches(text: str) -> list[int]:
    """Lines of a module that look for words in a sentence of a result."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Compare) and isinstance(node.ops[0], COMPARISONS):
            sides = (node.left, node.comparators[0])
            if any(map(_sentence, sides)) and any(map(_words, sides)):
                found.append(node.lineno)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            if node.func.attr in READ_BACK and _sentence(node.func.value):
                found.append(node.lineno)
    return sorted(found)


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
