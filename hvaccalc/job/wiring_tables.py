"""``[wiring]``: which terminals are connected, as designed and as found."""

from __future__ import annotations

from typing import Annotated

from hvaccalc.job.fields import Pair, Pairs, Rows, Table, Terminal, Terminals, TypedCall, Value, Voltage
from hvaccalc.units import Quantity

PresetSpeed = Annotated[Quantity | str, Value(("fan_speed",), words=("not assigned", "unknown"))]


class Supply(Table):
    """``[[wiring.supply]]``: a source of control voltage."""

    between: Pair
    voltage: Voltage | None = None


class Load(Table):
    """``[[wiring.load]]``: something that acts when it sees voltage."""

    name: str | None = None
    between: Pair


class Switch(Table):
    """``[[wiring.switch]]``: closes on a call, or (a relay) while a load named in the table is energised."""

    call: TypedCall | None = None
    closed_by: str | None = None
    between: Pair


class Safety(Table):
    """``[[wiring.safety]]``: opens when something is wrong."""

    name: str | None = None
    between: Pair


class FanSpeedInput(Table):
    """``[[wiring.fan_speed]]``: the speed that a drive's input should give, and gives."""

    input: Terminal | None = None
    designed: PresetSpeed | None = None
    found: PresetSpeed | None = None


class Wiring(Table):
    """``[wiring]``; `found` is None where it is as designed, empty where nothing is connected."""

    terminals: Terminals | None = None
    designed: Pairs | None = None
    found: Pairs | None = None
    temporary: Pairs | None = None
    dry_contact: Terminals | None = None
    supply: Annotated[tuple[Supply, ...], Rows] = ()
    load: Annotated[tuple[Load, ...], Rows] = ()
    switch: Annotated[tuple[Switch, ...], Rows] = ()
    safety: Annotated[tuple[Safety, ...], Rows] = ()
    fan_speed: Annotated[tuple[FanSpeedInput, ...], Rows] = ()
