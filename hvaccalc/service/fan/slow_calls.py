"""Calls at which the fan runs below its design, as read or as wired."""

from __future__ import annotations

from hvaccalc.call import Call, Mode
from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.equipment.wiring.netlist import Circuit
from hvaccalc.equipment.wiring.wiring_calls import Mismatch
from hvaccalc.service.diagnosed import Diagnosed


def heats_slow(of: Diagnosed) -> bool | None:
    """Whether heating calls run the fan below its design as found; None where nothing tells."""
    if any(_reads(r, Mismatch.FAN_LOW_WHILE_HEATING) for r in of.conditions):
        return True
    calls = of.calls
    if calls is None or not any(call.mode is Mode.HEAT for call in calls.calls):
        heats = [r for r in of.conditions if compressors.heating(of.draws, r.where)]
        return False if any(r.airflow and r.airflow.speed_ratio for r in heats) else None
    return _wired_slow(calls, Mode.HEAT)


def cools_slow(of: Diagnosed) -> bool:
    """Whether cooling ran the fan below its design, as read or as wired."""
    read = any(_reads(r, Mismatch.FAN_LOW_WITH_SECOND_STAGE) for r in of.conditions)
    return read or (of.calls is not None and _wired_slow(of.calls, Mode.COOL))


def _reads(result: ConditionResult, mismatch: Mismatch) -> bool:
    return result.staging is not None and result.staging.text is mismatch


def _wired_slow(calls: CallWiring, mode: Mode) -> bool:
    those = [call for call in calls.calls if call.mode is mode]
    return any(_share(calls.found, call) < _share(calls.designed, call) for call in those)


def _share(circuit: Circuit, call: Call) -> float:
    speed = circuit.answer(call).speed
    return speed.share if speed is not None else 0.0
