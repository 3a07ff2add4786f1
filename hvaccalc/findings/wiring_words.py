"""What a panel and the findings say alike of a wiring: speeds that nobody typed, inputs overruled, the
safer choice before a jumper."""

from __future__ import annotations

from collections.abc import Sequence

from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.equipment.wiring.netlist import Circuit, FanInput

LOCK_OUT = "lock the second stage out at the thermostat (or take its cooling call off) until the repair"


def untyped_told(result: CallWiring, call: str) -> list[str]:
    """A sentence for each fan input that is on by a call and whose speed nobody typed."""
    on = {*result.designed.answer(call).inputs, *result.now.answer(call).inputs}
    return [
        f"No speed typed for {fan.terminal}: {fan.speed.text} is assumed; type it, or read what the drive "
        "gives there."
        for fan in result.designed.netlist.inputs
        if fan.assumed and fan.terminal in on and fan.speed is not None
    ]


def winning_told(result: CallWiring, call: str) -> list[str]:
    """Which of several fan inputs on at once sets the speed, as things stand."""
    on = inputs_on(result.now, call)
    if len({fan.speed.share for fan in on if fan.speed is not None}) < 2:
        return []
    winner, *others = on
    assert winner.speed is not None
    told = " and ".join(f"{o.terminal} ({o.speed.text})" for o in others if o.speed is not None)
    return [
        f"{winner.terminal} ({winner.speed.text}) sets the fan's speed over {told}: the higher one is taken "
        "(common practice, no source); read the drive's frequency."
    ]


def inputs_on(circuit: Circuit, call: str) -> Sequence[FanInput]:
    """Fan inputs on by a call that have a speed, the fastest first."""
    on = circuit.answer(call).inputs
    given = [fan for fan in circuit.netlist.inputs if fan.terminal in on and fan.speed is not None]
    return sorted(given, key=lambda fan: -(fan.speed.share if fan.speed is not None else 0.0))


def safer_told(result: CallWiring) -> list[str]:
    """The choice that asks for no jumper, to be read before one is landed; empty with a single stage."""
    if not any(load.stage > 1 for load in result.designed.netlist.loads):
        return []
    told = (
        f"Safer first, without a jumper: {LOCK_OUT}, once the first stage alone at the low fan was read to "
        "keep the coil above freezing."
    )
    if result.heat_pump:
        told += (
            " That protects cooling alone: keep the heat pump's heating off while its calls run the fan slow."
        )
    return [told]
