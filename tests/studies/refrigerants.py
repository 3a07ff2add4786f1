"""Refrigerant tables against CoolProp over 2,000 random states each, asked without continuation.

Where the library refuses a saturation state, the state must lie in a recorded hole and is left out.
The largest difference of each quantity is the result; so are the refusals.
"""

import CoolProp
import numpy as np

from hvaccalc.physics.refrigerant import NAMES
from tests import refrigerant_library as library

STATES = 2000


def run(seed: int, states: int = STATES) -> dict:
    """Largest differences and refusals, by refrigerant."""
    return {
        "library_version": CoolProp.__version__,
        "refrigerants": {name: checked(name, states, seed) for name in NAMES},
    }


def checked(name: str, states: int, seed: int) -> dict:
    """One refrigerant: states asked, refused, refused outside the recorded holes, largest differences."""
    found = library.differences(name, states, seed)
    refused = library.refused(name, states, seed)
    return {
        "states": states,
        "refused": {edge: int(kelvin.size) for edge, kelvin in refused.items()},
        "refused_outside_holes": sum(
            int(library.outside_holes(name, edge, kelvin).size) for edge, kelvin in refused.items()
        ),
        "compared": {quantity: int(np.isfinite(values).sum()) for quantity, values in found.items()},
        "largest": {
            quantity: float(f"{np.nanmax(np.abs(values)):.1e}") for quantity, values in found.items()
        },
    }
