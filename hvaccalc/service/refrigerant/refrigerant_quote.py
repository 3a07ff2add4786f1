"""How much refrigerant to carry and to quote, what hoses lose, what purging them brings back."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.ensemble import Band, band
from hvaccalc.physics.refrigerant import Refrigerant
from hvaccalc.practice.refrigerant import GUIDELINE_TEMPERATURE, HOOK_UPS, HOSE_BORE, HOSE_LENGTH, MACHINE


@dataclass(frozen=True, slots=True)
class Gas:
    """Refrigerant for a repair that empties the circuit [kg].

    Attributes
    ----------
    quote : Band
        Low, likely, high of what a full weigh-in takes, hoses included.
    carry : float
        To have on the truck: the high end.
    hoses : Band
        Lost with the hoses.
    purged : Band
        Brought back by purging machine and liquid hose into the cylinder.
    missing : Band or None
        What is lacking where all that is recovered is clean and goes back.
    """

    quote: Band
    carry: float
    hoses: Band
    purged: Band
    missing: Band | None


def hose_loss(draws: Draws, fluid: Refrigerant) -> np.ndarray:
    """What stays in hoses that are taken off full of liquid [kg]."""
    each = (
        np.pi
        / 4.0
        * HOSE_BORE**2
        * HOSE_LENGTH
        * float(fluid.saturated_liquid(GUIDELINE_TEMPERATURE).density)
    )
    return draws.ensemble.uniform("inventory/hose", *HOOK_UPS) * each


def gas(draws: Draws, fluid: Refrigerant, full: np.ndarray, on_board: np.ndarray | None) -> Gas:
    """What to carry and to quote for one circuit.

    Parameters
    ----------
    draws : Draws
    fluid : Refrigerant
    full, on_board : ndarray
        What the circuit should hold, and what it holds where that is known [kg].
    """
    lost = hose_loss(draws, fluid)
    quote = band(full + lost)
    machine = draws.ensemble.uniform("inventory/recovery machine", *MACHINE)
    return Gas(
        quote=quote,
        carry=quote.high,
        hoses=band(lost),
        purged=band(machine + lost / 2.0),
        missing=None if on_board is None else band(np.maximum(full - on_board, 0.0) + lost),
    )
