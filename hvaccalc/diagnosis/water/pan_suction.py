"""Suction at the pan: as typed, else from the drops read before it; a sign that cannot be is asked about."""

from __future__ import annotations

from enum import StrEnum, auto

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Datum, Draws
from hvaccalc.diagnosis.readings.water_seen import WaterSeen
from hvaccalc.ensemble import Z95
from hvaccalc.practice.water import RETURN_DUCT_SUCTION, TYPED_SUCTION_LEAST, TYPED_SUCTION_SHARE
from hvaccalc.reason import Reason


class Asked(StrEnum):
    """What cannot be taken as typed and has to be asked."""

    PAN_SHOULD_BLOW_OUT = auto()
    PAN_SHOULD_DRAW_IN = auto()
    PAN_DRAWS_IN_BY_DEFAULT = auto()
    AIR_AT_THE_DRAIN = auto()
    AIR_AT_THE_DRAIN_BY_DEFAULT = auto()


def pan_suction(
    draws: Draws, result: ConditionResult | None, seen: WaterSeen
) -> tuple[Datum | None, tuple[Reason, ...]]:
    """Pressure at the pan away from the room's, >= 0 in the sense of the unit's air path [Pa].

    Returns
    -------
    suction : Datum or None
        Below the room's on a unit that draws through, above it on one that blows through; None where it is
        not known or its sign contradicts the air path.
    asked : tuple of Reason
        Questions, each naming its key.
    """
    unit = draws.job.unit
    typed, blows = unit.drain.pan_suction, unit.air_path == "blow through"
    asked = _air_at_the_drain(seen, unit.air_path)
    if typed is not None:
        value = -typed.value if blows else typed.value
        if value < 0.0:
            return None, (*asked, _sign(typed, unit.air_path))
        sd = (
            max(TYPED_SUCTION_SHARE * value, TYPED_SUCTION_LEAST) / Z95
            if typed.plus_minus is None
            else typed.plus_minus / Z95
        )
        drawn = np.maximum(draws.ensemble.normal("water/pan suction", value, sd), 0.0)
        return (None if asked else Datum(drawn, "measured", "as typed")), asked
    if result is None or blows:
        return None, asked
    parts = [draws.column(result.where, key) for key in ("coil_pressure_drop", "filter_pressure_drop")]
    if any(part is None for part in parts):
        return None, asked
    duct = draws.ensemble.uniform("water/return duct", *RETURN_DUCT_SUCTION)
    drawn = np.maximum(sum(part for part in parts if part is not None) + duct, 0.0)
    return (
        None if asked else Datum(drawn, "computed", "coil and filter drop as read, return duct assumed")
    ), (asked)


def _sign(typed: units.Quantity, path: str | None) -> Reason:
    if path == "blow through":
        return Reason(Asked.PAN_SHOULD_BLOW_OUT, {"suction": typed.text})
    return Reason(
        Asked.PAN_SHOULD_DRAW_IN if path else Asked.PAN_DRAWS_IN_BY_DEFAULT, {"suction": typed.text}
    )


def _air_at_the_drain(seen: WaterSeen, path: str | None) -> tuple[Reason, ...]:
    """Air at the drain that goes the other way than the air path says."""
    wrong = "drawn in" if path == "blow through" else "blown out"
    if not seen.has("drain_air", wrong):
        return ()
    if path is None:
        return (Reason(Asked.AIR_AT_THE_DRAIN_BY_DEFAULT, {"air": wrong}),)
    return (Reason(Asked.AIR_AT_THE_DRAIN, {"air": wrong, "path": path}),)
