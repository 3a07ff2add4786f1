"""Voltages of a control circuit by nodal analysis (Kirchhoff's current law), with a real meter in it.

An outside check of the wiring's connectivity: resistances instead of sets. Wires and closed contacts
0.1 Ω, coils 120 Ω, drive inputs 10 kΩ, a transformer of 24 V behind 0.5 Ω, a meter of 1 MΩ; of usual
size, from memory.
"""

from collections.abc import Iterable, Mapping

import numpy as np

Pair = tuple[str, str]

WIRE, COIL, INPUT, SOURCE, METER, LEAK = 10.0, 1 / 120.0, 1e-4, 2.0, 1e-6, 1e-10
"""Conductances [S]."""


def reading(
    ends: Pair,
    *,
    wires: Iterable[Pair],
    closed: Iterable[Pair],
    supply: Pair,
    coils: Iterable[Pair] = (),
    inputs: Iterable[Pair] = (),
    voltage: float = 24.0,
) -> float:
    """What a meter shows between two terminals [V]."""
    branches = [
        *((pair, WIRE) for pair in (*wires, *closed)),
        *((pair, COIL) for pair in coils),
        *((pair, INPUT) for pair in inputs),
        (supply, SOURCE),
        (ends, METER),
    ]
    return _solve(branches, supply, voltage, ends)


def _solve(branches: list[tuple[Pair, float]], supply: Pair, voltage: float, ends: Pair) -> float:
    nodes = {name: n for n, name in enumerate(dict.fromkeys(end for pair, _ in branches for end in pair))}
    matrix = LEAK * np.eye(len(nodes))
    for (a, b), conductance in branches:
        i, j = nodes[a], nodes[b]
        matrix[[i, j], [i, j]] += conductance
        matrix[[i, j], [j, i]] -= conductance
    current = np.zeros(len(nodes))
    current[nodes[supply[0]]], current[nodes[supply[1]]] = SOURCE * voltage, -SOURCE * voltage
    solved: Mapping[int, float] = dict(enumerate(np.linalg.solve(matrix, current)))
    return float(abs(solved[nodes[ends[0]]] - solved[nodes[ends[1]]]))
