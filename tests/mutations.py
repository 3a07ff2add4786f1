"""Single mutations of the package's code, drawn by a seed from every place where one can be made.

Four kinds, each drawn as often as the others: a constant moved, a comparison turned round, a sign changed,
two arguments swapped. A module is rewritten from its syntax tree: its comments and line breaks go.
"""

import ast
import copy
import hashlib
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from tests.discovery import ROOT

TURNED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    **{ast.Lt: ast.Gt, ast.LtE: ast.GtE, ast.Gt: ast.Lt, ast.GtE: ast.LtE},
    **{ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.Is: ast.IsNot, ast.IsNot: ast.Is},
    **{ast.In: ast.NotIn, ast.NotIn: ast.In},
}
ORDER_IS_NO_MATTER = {
    "max",
    "min",
    "maximum",
    "minimum",
    "hypot",
    "isclose",
    "allclose",
    "gcd",
    "zip",
    "print",
}
LARGER = 1.1
"""A constant that is no whole number becomes a tenth larger."""


@dataclass(frozen=True)
class Mutant:
    """One mutation of one module."""

    kind: str
    file: str
    line: int
    place: int
    before: str
    after: str

    @property
    def name(self) -> str:
        """Where it is and what it does."""
        return f"{self.file}:{self.line} {self.before} → {self.after}"

    @property
    def does(self) -> str:
        """What it does to its module, on whichever line that stands."""
        return f"{self.file} {self.before} → {self.after}"


OF_PRACTICE = ("number", "span", "spread", "factor")
"""What makes a number of practice from a text."""


def _practice(node: ast.Call) -> ast.AST | None:
    """A number of practice, moved where it is typed."""
    first = node.args[0] if node.args else None
    if not (isinstance(first, ast.Constant) and isinstance(first.value, str)):
        return None
    number, _, unit = first.value.partition(" ")
    moved = f"{_as_float(number) * LARGER:.9g} {unit}".rstrip()
    return ast.Call(node.func, [ast.Constant(moved), *node.args[1:]], node.keywords)


def _as_float(number: str) -> float:
    """A number as typed: with commas, or in inches and their fractions."""
    parts = number.split("-") if "/" in number else [number]
    return float(sum(Fraction(part.replace(",", "")) for part in parts))


def _constant(node: ast.AST) -> ast.AST | None:
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in OF_PRACTICE:
        return _practice(node)
    if not (isinstance(node, ast.Constant) and type(node.value) in (int, float)):
        return None
    value = node.value
    return ast.Constant(value + 1 if isinstance(value, int) else value * LARGER if value else 1.0)


def _comparison(node: ast.AST) -> ast.AST | None:
    if not isinstance(node, ast.Compare):
        return None
    return ast.Compare(node.left, [TURNED[type(node.ops[0])](), *node.ops[1:]], node.comparators)


def _sign(node: ast.AST) -> ast.AST | None:
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
        text = (ast.JoinedStr, ast.Tuple, ast.List)
        if any(isinstance(part, text) or _is_text(part) for part in (node.left, node.right)):
            return None
        return ast.BinOp(node.left, ast.Sub() if isinstance(node.op, ast.Add) else ast.Add(), node.right)
    return node.operand if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub) else None


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def _swap(node: ast.AST) -> ast.AST | None:
    if not (isinstance(node, ast.Call) and len(node.args) >= 2):
        return None
    first, second, *rest = node.args
    called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    same = ast.dump(first) == ast.dump(second)
    if same or called in ORDER_IS_NO_MATTER or any(isinstance(one, ast.Starred) for one in (first, second)):
        return None
    return ast.Call(node.func, [second, first, *rest], node.keywords)


KINDS: dict[str, Callable[[ast.AST], ast.AST | None]] = {
    "constant": _constant,
    "comparison": _comparison,
    "sign": _sign,
    "swapped arguments": _swap,
}


def _computed(tree: ast.AST) -> Iterator[ast.AST]:
    """Every part of a tree that gives a result when it runs: no annotation, nothing for the type checker."""
    left = [tree]
    while left:
        node = left.pop()
        yield node
        if not (isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"):
            for field, value in ast.iter_fields(node):
                if field not in ("annotation", "returns"):
                    parts = value if isinstance(value, list) else [value]
                    left += [part for part in parts if isinstance(part, ast.AST)]


def mutants(tree: Path = ROOT) -> Iterator[Mutant]:
    """All mutations of all kinds, a module after the other."""
    for path in sorted((tree / "hvaccalc").rglob("*.py")):
        file = str(path.relative_to(tree))
        for place, node in enumerate(_computed(ast.parse(path.read_text("utf-8")))):
            for kind, mutation in KINDS.items():
                if (other := mutation(node)) is not None:
                    yield Mutant(kind, file, node.lineno, place, ast.unparse(node), ast.unparse(other))


def drawn(seed: int, count: int, tree: Path = ROOT) -> list[Mutant]:
    """Mutations drawn without repeats, the kinds in turn.

    Each has a lot of its own, by what it does and the number of its like in its module, not by where it
    stands: code that changes elsewhere leaves the rest of a draw as it was.
    """
    alike: Counter[tuple[str, ...]] = Counter()
    lots: dict[str, dict[bytes, Mutant]] = {kind: {} for kind in KINDS}
    for one in mutants(tree):
        does = (one.kind, one.file, one.before, one.after)
        alike[does] += 1
        lots[one.kind][_lot(seed, *does, alike[does])] = one
    kinds = sorted(KINDS, key=lambda kind: _lot(seed, kind))
    shares = {kind: count // len(kinds) + (number < count % len(kinds)) for number, kind in enumerate(kinds)}
    return [lots[kind][lot] for kind, share in shares.items() for lot in sorted(lots[kind])[:share]]


def _lot(seed: int, *words: object) -> bytes:
    return hashlib.sha256(repr((seed, *words)).encode()).digest()


def mutated(text: str, mutant: Mutant) -> str:
    """Text of a module with its mutation made."""
    tree = ast.parse(text)
    nodes = list(_computed(tree))
    node = nodes[mutant.place]
    other = KINDS[mutant.kind](copy.deepcopy(node))
    assert other is not None and ast.unparse(node) == mutant.before

    class Replaced(ast.NodeTransformer):
        def visit(self, visited: ast.AST) -> ast.AST:
            return other if visited is node else self.generic_visit(visited)

    return ast.unparse(ast.fix_missing_locations(Replaced().visit(tree))) + "\n"
