"""Share of a two-phase tube filled by vapour, by three published correlations.

Which correlation is chosen changes a predicted charge by large factors (Rice, ASHRAE Trans. 93(1), 1987);
Baroczy's agreed best with three unitary units (Harms, Groll, Braun, HVAC&R Research 9(1), 2003). Whoever
needs a charge runs several of them and carries their spread. `equipment.charge` has Zivi's mean in closed
form for the solver; here the mean is a sum, so that any correlation fits.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.equipment.circuit.line_losses import GRAVITY

MODELS = ("Baroczy", "Zivi", "Rouhani")

GAUSS_POINTS = 4
"""Qualities of the sum; the mean void fraction of coils then lies within 0.003 of its limit."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(GAUSS_POINTS)

_RIM = 1e-6
"""Qualities nearer to 0 and 1 than this are taken so far from them: the correlations divide by both."""


def void_fraction(
    model: str,
    quality: ArrayLike,
    liquid: ArrayLike,
    vapour: ArrayLike,
    viscosity_ratio: ArrayLike = 8.0,
    surface_tension: ArrayLike = 0.006,
    mass_flux: ArrayLike = 250.0,
) -> np.ndarray:
    """Local void fraction.

    Parameters
    ----------
    model : str
        One of `MODELS`.
    quality : array_like
        Vapour by mass, 0-1.
    liquid, vapour : array_like
        Densities [kg/m3].
    viscosity_ratio : array_like
        Liquid over vapour, for Baroczy.
    surface_tension, mass_flux : array_like
        [N/m], [kg/(m2 s)], for Rouhani.

    Returns
    -------
    ndarray
        0-1; NaN for a quality or density that cannot be.

    Notes
    -----
    Zivi, J. Heat Transfer 86(2), 1964; Baroczy (1965) by the equation in Xu and Fang, Appl. Thermal Eng. 64,
    2014; Rouhani and Axelsson, Int. J. Heat Mass Transfer 13(2), 1970. Compared with the `fluids` library.

    Examples
    --------
    >>> round(float(void_fraction("Baroczy", 0.4, 800.0, 2.5, viscosity_ratio=100.0)), 4)
    0.9454
    """
    given = (quality, liquid, vapour, viscosity_ratio, surface_tension, mass_flux)
    x, rhol, rhog, ratio, sigma, flux = np.broadcast_arrays(*(np.asarray(g, dtype=float) for g in given))
    # Quality 1e-6 off its ends keeps 0 and 1 themselves within 1e-4 of the right answer.
    inside = (x >= 0.0) & (x <= 1.0) & (rhog > 0.0) & (rhol > rhog)
    x = np.where(inside, np.clip(x, _RIM, 1.0 - _RIM), 0.5)
    rhol, rhog = np.where(inside, rhol, 2.0), np.where(inside, rhog, 1.0)
    return np.where(inside, _correlated(model, x, rhol, rhog, ratio, sigma, flux), np.nan)


def _correlated(
    model: str,
    quality: np.ndarray,
    liquid: np.ndarray,
    vapour: np.ndarray,
    viscosity_ratio: np.ndarray,
    surface_tension: np.ndarray,
    mass_flux: np.ndarray,
) -> np.ndarray:
    """Baroczy's as 1/(1 + X^0.74 (ρg/ρl)^0.65 (μl/μg)^0.13), X the liquid over the vapour by mass; Zivi's as
    1/(1 + X (ρg/ρl)^(2/3)); Rouhani's drift flux of vertical flow, whose bubbles rise by themselves."""
    liquid_share = 1.0 - quality
    if model == "Baroczy":
        martinelli = (liquid_share / quality) ** 0.74 * (vapour / liquid) ** 0.65 * viscosity_ratio**0.13
        return 1.0 / (1.0 + martinelli)
    if model == "Zivi":
        return 1.0 / (1.0 + liquid_share / quality * (vapour / liquid) ** (2.0 / 3.0))
    if model == "Rouhani":
        spread = 1.0 + 0.2 * liquid_share
        rise = 1.18 * liquid_share / np.sqrt(liquid) * (GRAVITY * surface_tension * (liquid - vapour)) ** 0.25
        volume = quality / vapour + liquid_share / liquid
        return quality / (vapour * (spread * volume + rise / mass_flux))
    raise ValueError(f"no void fraction of {model!r}; there are: {', '.join(MODELS)}")


def mean_void_fraction(model: str, one_quality: ArrayLike, other_quality: ArrayLike, *state) -> np.ndarray:
    """Void fraction averaged between two qualities, heat flux uniform along the tube.

    Parameters
    ----------
    model : str
    one_quality, other_quality : array_like
        Vapour by mass at either end, 0-1.
    *state
        As of `void_fraction`: densities of liquid and vapour and so on.

    Examples
    --------
    From gas to liquid with vapour a tenth as dense, by the closed form of Zivi's mean 0.737:

    >>> round(float(mean_void_fraction("Zivi", 1.0, 0.0, 1000.0, 100.0)), 2)
    0.74
    """
    first = np.asarray(one_quality, dtype=float)[..., None]
    last = np.asarray(other_quality, dtype=float)[..., None]
    quality = first + (last - first) * (_NODES + 1.0) / 2.0
    columns = (np.asarray(value, dtype=float)[..., None] for value in state)
    return void_fraction(model, quality, *columns) @ _WEIGHTS / 2.0
