"""Lines between the parts: pressure lost along them.

Liquid: quadratic in the mass flow, dp = k m^2 / density; the chamber unit of NISTIR 7350 follows it within
3 % over sixteen conditions. A restriction (drier, kink, solenoid) is one more k.

Suction: the saturation temperature lost is dT = dp / (dp/dT). A compressor draws nearly the same volume V
always, so dp = k density V^2; dp/dT = h_fg density / T up to the liquid's volume, so that density cancels and
dT = (k V^2 / h_fg) T, nearly constant for one compressor. It follows the square of the volume drawn.
"""

from __future__ import annotations

import numpy as np

# A line never loses more than this share of its pressure; the curve bends towards it beyond half of it.
LARGEST_LOSS = 0.8


def liquid_line_outlet(pressure: np.ndarray, loss: np.ndarray) -> np.ndarray:
    """Pressure before the metering device [Pa], always above zero.

    Parameters
    ----------
    pressure, loss : ndarray
        At the condenser's outlet, and lost by friction and restriction, >= 0 [Pa].

    Examples
    --------
    >>> float(liquid_line_outlet(2.5e6, 0.1e6))
    2400000.0
    """
    share = loss / pressure
    half = 0.5 * LARGEST_LOSS
    return pressure * (1.0 - np.where(share < half, share, LARGEST_LOSS - half**2 / share))


def suction_saturation_loss(rated_loss: np.ndarray, volume_ratio: np.ndarray) -> np.ndarray:
    """Saturation temperature lost between coil and compressor [K].

    Parameters
    ----------
    rated_loss : ndarray
        At the rating [K].
    volume_ratio : ndarray
        Volume of gas drawn over that at the rating.

    Examples
    --------
    >>> float(suction_saturation_loss(0.6, 0.5))
    0.15
    """
    return rated_loss * volume_ratio**2
