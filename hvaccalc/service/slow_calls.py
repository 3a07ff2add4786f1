"""Calls at which the fan runs below its design, as read or as wired."""

from __future__ import annotations

from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.equipment.wiring.netlist import Circuit
from hvaccalc.service.diagnosed import Diagnosed


def heats_slow(of: Diagnosed) -> bool | None:
    """Whether heating calls run the fan below its design as found; None where nothing tells."""
    if any(r.staging is not None and r.staging.text.endswith("heating") for r in of.conditions):
        return True
    calls = of.calls
    if calls is None or not any(call.startswith("heat") for call in calls.calls):
        heats = [r for r in of.conditions if compressors.heating(of.draws, r.where)]
        return False if any(r.airflow and r.airflow.speed_ratio for r in heats) else None
    return _wired_slow(calls, "heat")


def cools_slow(of: Diagnosed) -> bool:
    """Whether cooling ran the fan below its design, as read or as wired."""
    read = any(r.staging is not None and "stage" in r.staging.text for r in of.conditions)
    return read or (of.calls is not None and _wired_slow(of.calls, "cool"))


def _wired_slow(calls: CallWiring, mode: str) -> bool:
    those = [call for call in calls.calls if call.startswith(mode)]
    return any(_share(calls.found, call) < _share(calls.designed, call) for call in those)


def _share(circuit: Circuit, call: str) -> float:
    speed = circuit.answer(call).speed
    return speed.share if speed is not None else 0.0
