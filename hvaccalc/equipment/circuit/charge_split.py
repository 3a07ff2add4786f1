"""Refrigerant on board, by where it lies: condenser, liquid line, evaporator and the rest.

Relative to the rated charge. Two-phase parts hold liquid by Zivi's void fraction averaged over the quality
they run through, with heat flux uniform along them. The split at rating is an assumption (`RATED_SPLIT`): a
first-principles model of a 3-ton split unit with 7.6 m of liquid line has 63 % in the condenser, 18 % in the
liquid line, 15 % in the evaporator, 3 % in the suction line; long lines or a receiver change it. The choice
among void fractions alone changes an inventory by large factors (Rice 1987): what follows from this is "low"
or "high", never a weight.

Source: Zivi, Journal of Heat Transfer 86, 1964, from memory.
"""

import numpy as np

from hvaccalc.arrays import Array

RATED_SPLIT = {"condenser": 0.58, "liquid line": 0.20, "evaporator": 0.17}
"""Share of the rated charge; what is missing to 1 stays where it is (suction line, oil, shell)."""


def slip_factor(liquid: Array, vapour: Array) -> Array:
    """What Zivi's slip makes of the densities: (vapour / liquid)^(2/3)."""
    return (vapour / liquid) ** (2.0 / 3.0)


def mean_void_fraction(one_quality: Array, other_quality: Array, slip: Array) -> Array:
    """Share of a two-phase part's volume filled by vapour, averaged between two qualities.

    Parameters
    ----------
    one_quality, other_quality : ndarray
        Vapour by mass at either end, 0-1.
    slip : ndarray
        `slip_factor` of the two phases.

    Examples
    --------
    From gas to liquid with vapour a tenth as dense:

    >>> round(float(mean_void_fraction(1.0, 0.0, slip_factor(1000.0, 100.0))), 3)
    0.737
    """
    rest = 1.0 - slip
    span = one_quality - other_quality
    span = np.where(np.abs(span) < 1e-6, 1e-6, span)
    logs = np.log((slip + rest * (other_quality + span)) / (slip + rest * other_quality))
    return 1.0 / rest - slip * logs / (rest**2 * span)


def local_density(quality: Array, liquid: Array, vapour: Array, slip: Array) -> Array:
    """Density of a two-phase line with the same slip [kg/m3].

    Examples
    --------
    4 % vapour by mass, a tenth as dense, fills 16 % of a line:

    >>> round(float(local_density(0.04, 1000.0, 100.0, slip_factor(1000.0, 100.0))))
    854
    """
    void = quality / (quality + (1.0 - quality) * slip)
    return liquid + (vapour - liquid) * void


def two_phase_density(
    one_quality: Array, other_quality: Array, liquid: Array, vapour: Array, slip: Array
) -> Array:
    """Mean density of a part between two qualities [kg/m3]."""
    void = mean_void_fraction(one_quality, other_quality, slip)
    return liquid + (vapour - liquid) * void
