"""No code reads a verdict out of a sentence, and the memo takes nothing of the diagnosis but result types.

None is left, a sentence or its words given a name first included.
"""

from __future__ import annotations

import ast
from collections.abc import Callable
from pathlib import Path

import hvaccalc
from tests.structure.sentences import SENTENCES, branches, severities

PACKAGE = Path(hvaccalc.__file__).parent
BELOW = ("hvaccalc.diagnosis", "hvaccalc.equipment")
PATTERNS = ("search", "match", "fullmatch", "findall", "finditer")


def patterns(source: str) -> list[int]:
    """Lines that look in a sentence of a result with a pattern."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in PATTERNS
        and any(
            isinstance(part, ast.Attribute) and part.attr in SENTENCES
            for argument in node.args
            for part in ast.walk(argument)
        )
    ]


def taken(source: str) -> list[str]:
    """What a module imports of diagnosis and equipment that is no class: functions, constants, modules."""
    return sorted(
        alias.name
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(BELOW)
        for alias in node.names
        if alias.name.isupper() or not alias.name[0].isupper()
    )


def chosen(source: str) -> list[str]:
    """Severities above a note that a module names."""
    return [
        node.attr
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and node.value.id == "Severity"
        and node.attr != "NOTE"
    ]


def counted(look: Callable[[str], list], layer: str = "") -> dict[str, int]:
    """How often something stands in each module, those without it left out."""
    files = ((path, path.read_text("utf-8")) for path in sorted((PACKAGE / layer).rglob("*.py")))
    found = {path.relative_to(PACKAGE).as_posix(): len(look(text)) for path, text in files}
    return {name: number for name, number in found.items() if number}


def test_no_code_branches_on_a_sentence_a_why_or_a_note() -> None:
    assert not counted(branches)
    assert not counted(patterns)


def test_the_memo_takes_result_types_of_the_diagnosis_alone() -> None:
    assert not counted(taken, "report")


def test_the_memo_compares_no_severity() -> None:
    assert not counted(severities, "report")


def test_findings_choose_no_severity() -> None:
    """It belongs to the typed result; a finding that only informs is a note. The memo words each severity."""
    shown = [counted(chosen, layer) for layer in ("words", "findings", "pictures", "panels")]
    assert not any(shown), shown
    assert chosen("severity=Severity.ACT if bad else Severity.NOTE") == ["ACT"]


def test_a_branch_on_a_sentence_turns_it_red() -> None:
    """A copy of a module with a verdict read back from its words, as it once stood there."""
    source = (PACKAGE / "findings/__init__.py").read_text("utf-8")
    typed = "severity=flag.severity"
    assert typed in source and not branches(source)
    assert len(branches(source.replace(typed, 'severity=STOP if "Stop" in flag.text else WATCH'))) == 1
    source = (PACKAGE / "diagnosis/charge/charge_verdict.py").read_text("utf-8")
    assert "held.is_dash" in source and not branches(source)
    assert len(branches(source.replace("held.is_dash", 'held.why.startswith("the table")'))) == 1
    source = (PACKAGE / "diagnosis/calls/measures.py").read_text("utf-8")
    assert "reads_as_bridged(work.note" in source and not patterns(source)
    assert len(patterns(source.replace("reads_as_bridged(work.note", "_DOING.search(work.note"))) == 1
    named = "from hvaccalc.findings.forecast import LIMITS\nif finding.statement == LIMITS: pass"
    assert branches(named) == [2]
    assert branches("answer = one.text or ''\nif answer in ('fits', 'unknown'): pass") == [2]
    assert branches("order = {'cannot tell': 0}\nfirst = order.get(one.text, 2)") == [2]
    assert branches("if target.why: pass") == branches("if finding.text == Verdict.LOW: pass") == []


def test_a_constant_or_a_function_in_the_memo_turns_it_red() -> None:
    source = (PACKAGE / "report/sections/refrigerant.py").read_text("utf-8")
    before = taken(source)
    more = "from hvaccalc.diagnosis.charge.gates import Gate, MOST, gates\n"
    assert taken(source + more) == sorted([*before, "MOST", "gates"])
