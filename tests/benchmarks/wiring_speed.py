"""All calls of a large wiring (500 terminals, 2,000 wires), and one change in the wiring panel."""

from collections.abc import Iterator

import numpy as np

from hvaccalc import load_job
from hvaccalc.call import CALLS
from hvaccalc.equipment.wiring.netlist import Circuit, Contact, Load, Netlist, Supply
from hvaccalc.panels import WiringPanel
from hvaccalc.resources import data_path
from tests.benchmarks.timing import best_seconds


def large(terminals: int = 500, wires: int = 2000) -> Netlist:
    """A random wiring with a load and a contact on every tenth terminal."""
    random = np.random.default_rng(1)
    names = [f"device_{n // 10}.{n % 10}" for n in range(terminals)]
    ends = [(names[a], names[b]) for a, b in random.integers(10, terminals, (wires, 2)) if a // 50 == b // 50]
    while len(ends) < wires:
        a, b = random.integers(10, terminals, 2)
        if a // 50 == b // 50:
            ends.append((names[a], names[b]))
    return Netlist(
        wires=tuple(ends),
        supplies=(Supply(names[0], names[1]),),
        loads=tuple(Load(f"load {n}", (names[n], names[1])) for n in range(10, terminals, 10)),
        contacts=tuple(
            Contact((names[0], names[n]), frozenset({CALLS[1 + n % 6]})) for n in range(15, terminals, 10)
        ),
    )


def rows() -> Iterator[tuple[str, str, str, str]]:
    """All calls on a fresh circuit, beside one pass over its wires."""
    netlist = large()
    measured = best_seconds(lambda: Circuit(netlist).answers())
    baseline = best_seconds(lambda: [frozenset(wire) for wire in netlist.wires])
    name = f"wiring, {len(netlist.wires)} wires, all calls"
    yield name, f"{1e3 * measured:.1f} ms", f"{1e3 * baseline:.1f} ms", "target 200 ms"
    yield _panel()


def _panel() -> tuple[str, str, str, str]:
    """A wire unticked and ticked again in the panel, with its new picture, beside drawing alone."""
    panel = WiringPanel.from_job(load_job(data_path("jobs", "heat_pump_school.toml")))
    box = next(iter(panel.landed.values()))

    def toggle() -> None:
        box.value = not box.value

    measured, baseline = best_seconds(toggle), best_seconds(panel.draw)
    return "wiring panel, one wire", f"{1e3 * measured:.1f} ms", f"{1e3 * baseline:.1f} ms", "aim 50 ms"
