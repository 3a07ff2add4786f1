"""Metering devices as complementarity: a valve that holds superheat until it is wide open, and a fixed hole.

Flows are compared as squares, K^2 density drop - m^2: no square root, so a drop below zero has a value too.

Thermostatic valve: min(superheat - set, capacity - flow) = 0; where it can close no further than an opening
o, max(that, flow at o - flow) = 0. An electronic valve does the same at its own set point. A fixed orifice is
choked: its throat holds a share of the liquid's own saturation pressure (short tubes; 0.85 is from memory),
whatever the pressure behind it.

Flashing liquid: the mixture's homogeneous density takes the liquid's place.
"""

import numpy as np

from hvaccalc.arrays import Array, Mask

KINDS = ("TXV", "EEV", "fixed orifice")
# Largest flow of a valve over its rated flow at rated pressures, usual 1.1-1.5; common practice, no source.
RESERVE = 1.3
THROAT_SHARE = 0.85
# Which of two unmet conditions a Newton step works on is decided by their scales: with 8 K one row in ten of
# a wide box cycles between them, from 16 K on hardly any.
SUPERHEAT_SCALE = 30.0


def inlet_density(quality: Array, liquid: Array, vapour: Array) -> Array:
    """Density of what reaches the device [kg/m3]: liquid, or a homogeneous mixture.

    Examples
    --------
    5 % vapour by mass takes a third of the density:

    >>> round(float(inlet_density(0.05, 1000.0, 110.0)))
    712
    """
    return 1.0 / ((1.0 - quality) / liquid + quality / vapour)


def driving_pressure(inlet: Array, evaporator: Array, liquid_saturation: Array, orifice: Mask) -> Array:
    """Pressure drop that drives the flow [Pa]; of an orifice, down to its choked throat."""
    throat = np.maximum(evaporator, THROAT_SHARE * np.minimum(liquid_saturation, inlet))
    return inlet - np.where(orifice, throat, evaporator)


def valve_residual(
    superheat: Array, set_point: Array, largest: Array, smallest: Array, flow: Array, orifice: Mask
) -> Array:
    """Zero where the device is content.

    Parameters
    ----------
    superheat, set_point : ndarray
        At the coil's exit, below zero where wet; held by the valve [K].
    largest, smallest, flow : ndarray
        Squares of flow over the rated one: wide open, at its least opening, actual.
    orifice : ndarray of bool
        A fixed orifice: `largest` is its flow.

    Examples
    --------
    Superheat held, with capacity to spare:

    >>> float(valve_residual(5.6, 5.6, 1.7, 0.0, 1.0, False))
    0.0
    """
    held = np.minimum((superheat - set_point) / SUPERHEAT_SCALE, largest - flow)
    held = np.maximum(held, smallest - flow)
    return np.where(orifice, np.maximum(largest, smallest) - flow, held)
