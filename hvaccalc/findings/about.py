"""Which cause, or which way of the water, a finding speaks of: by its key and its verdict."""

from __future__ import annotations

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

_BY_VERDICT: dict[str, dict[str, Cause | Way]] = {
    "staging.fault": {
        "fan low with second stage": Cause.FAN_STUCK_LOW,
        "fan low while heating": Cause.FAN_STUCK_LOW,
        "cooling without fan": Cause.COOLING_WITHOUT_FAN,
        "heating without fan": Cause.COOLING_WITHOUT_FAN,
    },
    "circuit.charge": {"low": Cause.LOW_CHARGE, "high": Cause.OVERCHARGE},
    "circuit.contrast": {
        "short of charge": Cause.LOW_CHARGE,
        "short of charge or restriction": Cause.LOW_CHARGE,
        "restriction": Cause.RESTRICTION,
        "overfeeding valve": Cause.OVERFEEDING_VALVE,
        "overfed": Cause.OVERFEEDING_VALVE,
        "overcharged": Cause.OVERCHARGE,
    },
    "circuit.standing_pressure": {"above ambient": Cause.NON_CONDENSABLES},
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
