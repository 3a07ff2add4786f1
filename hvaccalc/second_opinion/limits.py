"""How far apart two reckonings of one number may be; the one table for the memo and the self-check."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array


@dataclass(frozen=True, slots=True)
class Limit:
    """Largest usual difference of one kind of number.

    Attributes
    ----------
    label : str
        The kind for a reader.
    measure : str
        ``K``: a difference in kelvin; ``relative``: a share of the number; ``latent``: a share of the
        latent heat.
    usual : float
    glide : float
        The same for a blend with glide, where it is more.
    floor : float
        A relative difference is taken of at least this much, so that a number near zero has one.
    """

    label: str
    measure: str
    usual: float
    glide: float = 0.0
    floor: float = 0.0

    def of(self, glide: bool = False) -> float:
        """The limit that holds."""
        return max(self.usual, self.glide) if glide else self.usual

    def difference(self, ours: ArrayLike, theirs: ArrayLike, latent: ArrayLike = 1.0) -> Array:
        """Distance of two reckonings in this measure; broadcasts."""
        first, second = np.asarray(ours, dtype=float), np.asarray(theirs, dtype=float)
        apart = np.abs(first - second)
        if self.measure == "relative":
            return np.asarray(apart / np.maximum(np.abs(second), self.floor))
        return np.asarray(apart / np.asarray(latent) if self.measure == "latent" else apart)


LIMITS = {
    "barometer": Limit("barometer", "relative", 1e-6),
    "humidity_ratio": Limit("humidity ratio", "relative", 1e-5),
    "dew_point": Limit("dew point", "K", 1e-3),
    "wet_bulb": Limit("wet bulb", "K", 1e-3),
    "enthalpy": Limit("enthalpy of moist air", "relative", 1e-5, floor=1e5),
    "specific_volume": Limit("specific volume of moist air", "relative", 1e-5),
    "airflow": Limit("airflow from standard air", "relative", 1e-5),
    "capacity": Limit("capacity of the air side", "relative", 1e-4, floor=100.0),
    "condensate": Limit("condensate", "relative", 1e-4, floor=1e-4),
    "saturation": Limit("saturation temperature", "K", 0.01, glide=0.05),
    "difference": Limit("superheat, subcooling, chart offset", "K", 0.01, glide=0.05),
    "density": Limit("density", "relative", 1e-3),
    "refrigerant_enthalpy": Limit("enthalpy of refrigerant", "latent", 1e-3),
    "latent_heat": Limit("latent heat", "relative", 1e-3),
}
"""Moist air: what the two solvers' own tolerances leave. Refrigerants: what the fit promises."""

TWO_CURVES = (273.15, 273.16)
"""Between these the library takes vapour over ice, this package over water, 1e-4 apart [K]."""

EITHER_BULB = 0.8
"""So near 0 °C a bulb may carry ice or water, up to 0.6 K apart, and each may be found [K]."""
