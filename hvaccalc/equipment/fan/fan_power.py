"""Power of a fan over its flow: published part-load curves, and the parts that make them.

A cube law is the shaft's alone, on a system that holds no static. Drive and motor lose something that does
not fall with speed, and a held static keeps its share of the work: measured fans stand above the cube.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

PART_LOAD = {
    "90.1 method 2": (0.0013, 0.1470, 0.9506, -0.0998),
    "variable speed": (0.0015302446, 0.0052080574, 1.1086242, -0.11635563),
    "inlet vane": (0.35071223, 0.30850535, -0.54137364, 0.87198823),
    "discharge damper": (0.37073425, 0.97250253, -0.34240761, 0.0),
    "measured drive": (0.059, -0.19567, 0.766, 0.4),
}
"""Power over full power as a polynomial of flow over full flow.

``90.1 method 2``: ASHRAE 90.1, table G3.1.3.15, variable speed with reset static; its coefficients sum to
0.9991. ``variable speed``, ``inlet vane``, ``discharge damper``: DOE-2 supply fan curves. ``measured drive``:
a page on drive savings citing a maker's bulletin B-851, percent of kW over percent of flow; 1.029 at full
flow, its coefficients being rounded."""


def part_load_power(flow_fraction: ArrayLike, curve: str) -> np.ndarray:
    """Power over full power by a published curve; NaN outside 0 to 1.

    Parameters
    ----------
    flow_fraction : array_like
        Flow over full flow.
    curve : str
        A key of `PART_LOAD`.

    Examples
    --------
    >>> round(float(part_load_power(0.5, "variable speed")), 4)
    0.2667
    """
    f = np.asarray(flow_fraction, dtype=float)
    a, b, c, d = PART_LOAD[curve]
    return np.where((f >= 0.0) & (f <= 1.0), a + f * (b + f * (c + f * d)), np.nan)


def electrical_power_ratio(
    flow_fraction: ArrayLike, held_share: ArrayLike = 0.0, standing_loss: ArrayLike = 0.0
) -> np.ndarray:
    """Electrical power over full power of a fan whose speed is changed.

    Parameters
    ----------
    flow_fraction : array_like
        Flow over full flow, >= 0; on a system that holds no static also speed over full speed.
    held_share : array_like
        Share of the full static that is held whatever the flow, 0-1.
    standing_loss : array_like
        Losses that do not fall with the load, over full power.

    Returns
    -------
    ndarray
        1 at full flow; NaN where the flow is negative.

    Notes
    -----
    Air power is flow times pressure, ``f (s + (1 - s) f²)``; the fan's own efficiency stays on one system.

    Examples
    --------
    The cube, 66 % speed without losses, and with 4 % of standing losses:

    >>> round(float(electrical_power_ratio(0.66)), 4), round(float(electrical_power_ratio(0.66, 0, 0.04)), 4)
    (0.2875, 0.316)
    """
    f, held = np.asarray(flow_fraction, dtype=float), np.asarray(held_share, dtype=float)
    loss = np.asarray(standing_loss, dtype=float)
    air = np.where(f >= 0.0, f, np.nan) * (held + (1.0 - held) * f**2)
    return loss + (1.0 - loss) * air


def exponent(flow_fraction: ArrayLike, power_ratio: ArrayLike) -> np.ndarray:
    """Exponent n of ``power ~ flow^n`` between a part flow and full flow; NaN outside 0 to 1.

    Examples
    --------
    >>> round(float(exponent(0.5, 0.125)), 6)
    3.0
    """
    f, power = np.asarray(flow_fraction, dtype=float), np.asarray(power_ratio, dtype=float)
    inside = (f > 0.0) & (f < 1.0) & (power > 0.0)
    return np.log(np.where(inside, power, np.nan)) / np.log(np.where(inside, f, np.nan))
