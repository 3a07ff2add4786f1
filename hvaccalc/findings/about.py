"""Which cause, or which way of the water, a finding speaks of: by its key and its verdict."""

from __future__ import annotations

from collections.abc import Mapping

from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.verdicts import VERDICTS
from hvaccalc.diagnosis.circuits.standing_pressure import Rest
from hvaccalc.equipment.wiring.wiring_calls import Mismatch
from hvaccalc.job.causes import Cause, Way

_BY_KEY: dict[str, Cause | Way] = {
    "airflow.short": Cause.LOW_AIRFLOW,
    "circuit.condensing_over_outdoor": Cause.CONDENSER_AIR,
    "coil.ice_seen": Way.MELT,
    "freeze.probability.fin": Way.MELT,
    "freeze.probability.suction": Way.MELT,
    "trap.required_height": Cause.TRAP,
    "trap.standing_water": Cause.TRAP,
}

_BY_VERDICT: Mapping[str, Mapping[str, Cause | Way | None]] = {
    "staging.fault": {
        Mismatch.FAN_LOW_WITH_SECOND_STAGE: Cause.FAN_STUCK_LOW,
        Mismatch.FAN_LOW_WHILE_HEATING: Cause.FAN_STUCK_LOW,
        Mismatch.COOLING_WITHOUT_FAN: Cause.COOLING_WITHOUT_FAN,
        Mismatch.HEATING_WITHOUT_FAN: Cause.COOLING_WITHOUT_FAN,
    },
    "circuit.charge": {verdict: row.cause for verdict, row in VERDICTS.items()},
    "circuit.contrast": {look: look.cause for look in Suspicion},
    "circuit.standing_pressure": {Rest.ABOVE: Cause.NON_CONDENSABLES},
    "water.dominant": {way.value: way.cause or way for way in Way},
}


def about(key: str, verdict: str | None) -> Cause | Way | None:
    """Cause or way of the water that a finding speaks of; None where it speaks of neither.

    Examples
    --------
    >>> about("circuit.charge", "low"), about("air.return.dew_point", None)
    (<Cause.LOW_CHARGE: 'low_charge'>, None)
    """
    if key in _BY_KEY:
        return _BY_KEY[key]
    return _BY_VERDICT.get(key, {}).get(verdict or "")
