"""How the whole unit settles in boxes of conditions and faults: what is found, what refused and why."""

import numpy as np

from hvaccalc.equipment.unit.unit_state import BRANCHES, NOT_CONVERGED, REASONS
from hvaccalc.physics.refrigerant import NAMES
from tests.unit_boxes import extreme, realistic, unit, wide

COUNT = 10_000
CIRCUITINGS = ("interlaced", "face split", "row split")


def run(seed: int) -> dict:
    """Ten thousand rows of each box for three circuitings, and the extreme one for every refrigerant."""
    boxes = {box.__name__: box(COUNT, seed) for box in (extreme, wide, realistic)}
    cases = [(box, "R-410A", circuiting) for box in boxes for circuiting in CIRCUITINGS]
    cases += [("extreme", name, "interlaced") for name in NAMES if name != "R-410A"]
    return {
        f"{box}, {name}, {circuiting}": summary(unit(name, circuiting).solve(*boxes[box]))
        for box, name, circuiting in cases
    }


def summary(states) -> dict:
    """Shares of rows [%] by outcome, and the largest energy residual of the rows given."""
    codes, counts = np.unique(states.reason, return_counts=True)
    given = states.converged
    return {
        "settled": round(100.0 * float((states.reason != NOT_CONVERGED).mean()), 2),
        "given": round(100.0 * float(given.mean()), 2),
        "refused": {
            REASONS[code]: round(100.0 * count / states.reason.size, 2)
            for code, count in zip(codes.tolist(), counts.tolist(), strict=True)
            if code
        },
        "branches": {BRANCHES[b]: int((states.branch == b).sum()) for b in (1, 2)},
        "largest energy residual": float(f"{np.abs(states.energy_residual[given]).max():.1e}"),
    }
