"""How much there is: lines, modules, folders."""

import ast
import io
import tokenize
from collections import Counter
from pathlib import Path

PACKAGE = "hvaccalc"
LARGEST = 4
BLANK = {
    *(tokenize.NL, tokenize.NEWLINE, tokenize.COMMENT),
    *(tokenize.INDENT, tokenize.DEDENT, tokenize.ENDMARKER),
}


def texts(tree: Path) -> dict[str, str]:
    """Text of every module by its dotted name within the package; a package's own ends in ``__init__``."""
    folder = tree / PACKAGE
    files = sorted(folder.rglob("*.py"))
    return {
        ".".join(file.relative_to(folder).with_suffix("").parts): file.read_text("utf-8") for file in files
    }


def rooms(tree: Path) -> dict[str, str]:
    """The modules that are not a package's ``__init__``."""
    return {name: text for name, text in texts(tree).items() if not name.endswith("__init__")}


def code_lines(text: str) -> int:
    """Lines that are neither blank nor comment nor docstring."""
    lines: set[int] = set()
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type not in BLANK:
            lines.update(range(token.start[0], token.end[0] + 1))
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            lines.difference_update(range(node.lineno, (node.end_lineno or node.lineno) + 1))
    return len(lines)


def rows(tree: Path) -> dict[str, object]:
    """The counts of a tree."""
    every = texts(tree)
    lines = {name: code_lines(text) for name, text in every.items()}
    folders = Counter(name.rpartition(".")[0] or PACKAGE for name in rooms(tree))
    return {
        "lines": sum(text.count("\n") for text in every.values()),
        "lines of code": sum(lines.values()),
        "lines of code in words": sum(count for name, count in lines.items() if name.startswith("words")),
        "modules without __init__": len(rooms(tree)),
        "largest folders": dict(folders.most_common(LARGEST)),
    }
