"""Findings on the refrigerant on board: charge, pump-down, cylinder, gas to carry and to quote."""

import math
from collections.abc import Callable, Iterable, Mapping

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import NOT_KNOWN, Band, band
from hvaccalc.findings.finding import Finding, Writer, finding_id
from hvaccalc.practice.refrigerant import CAUTIOUS_TEMPERATURE
from hvaccalc.service.refrigerant.cylinder import CylinderChoice, Gas
from hvaccalc.service.refrigerant.inventory import (
    FULL,
    LABEL,
    LABEL_AND_LINE,
    SIBLING,
    TONNAGE,
    CircuitInventory,
    OnBoard,
)
from hvaccalc.service.refrigerant.pump_down import AMBIENTS, Fits, PumpDown
from hvaccalc.words.said import Reader, banded, capital
from hvaccalc.words.speak import teller

TEN_FEET = 3.048

_BY = {
    LABEL: "by its label, if that counts the whole line set",
    FULL: "as noted when it was charged",
    LABEL_AND_LINE: "by its label and its field line",
    SIBLING: "by the charge of the other circuit",
    TONNAGE: "guessed from its capacity, as the volumes of coils and lines are not known: read its label",
}

_SOURCES = {LABEL: ("nameplate",), FULL: ("nameplate",), LABEL_AND_LINE: ("nameplate", "line_adders")}


def inventory(writer: Writer, circuits: Mapping[str, CircuitInventory] | None) -> None:
    """All findings on the refrigerant on board, circuit by circuit."""
    for circuit in (circuits or {}).values():
        where = Where(circuit=circuit.name)
        _charge(writer, where, circuit)
        if circuit.on_board is not None:
            _on_board(writer, where, circuit, circuit.on_board)
        _pump_down(writer, where, circuit, circuit.pump_down)
        _cylinder(writer, where, circuit, circuit.cylinder)
        if circuit.gas is not None:
            _gas(writer, where, circuit, circuit.gas)


def inventory_findings(draws: Draws, circuits: Iterable[CircuitInventory]) -> tuple[Finding, ...]:
    """These findings alone, for one who looks at the refrigerant only."""
    writer = Writer(draws)
    inventory(writer, {circuit.name: circuit for circuit in circuits})
    return tuple(writer.found)


def _charge(writer: Writer, where: Where, circuit: CircuitInventory) -> None:
    by = _BY.get(circuit.method, "from its volumes")
    said = f"Circuit {circuit.name} should hold {{}} of {circuit.refrigerant}, {by}."
    if circuit.full is None:
        said = f"What circuit {circuit.name} should hold: {{}}."
    if circuit.method == LABEL and circuit.per_metre.known:
        more = f"each {_run(writer)} of it adds {_adder(writer, circuit)}."
        said += f" Where the label leaves a longer line out, {more}"
    said += "".join(f" {note[0].upper()}{note[1:]}." for note in circuit.notes)
    writer.number(
        "inventory.charge",
        where,
        NOT_KNOWN if circuit.full is None else circuit.full.draws,
        "mass",
        said,
        basis="assumed" if circuit.full is None else circuit.full.basis,
        sources=_SOURCES.get(circuit.method, ("charge_inventory", "coil_volumes")),
        left_out="of what the readings allow lies outside the refrigerant's tables and was left out",
    )


def _run(writer: Writer) -> str:
    return "10 ft" if writer.display == "us" else "3 m"


def _adder(writer: Writer, circuit: CircuitInventory) -> str:
    run = TEN_FEET if writer.display == "us" else 3.0
    adder = circuit.per_metre
    return units.band_text(run * adder.value, run * adder.low, run * adder.high, "mass", writer.display)


def _on_board(writer: Writer, where: Where, circuit: CircuitInventory, read: OnBoard) -> None:
    short = band(read.short)
    told = f"By its subcooling circuit {circuit.name} held {{}} when it was last read with a verdict"
    if short.low > 0.0:
        told += f": {_percent(short)} short of what it should hold"
    elif short.high < 0.0:
        told += f": {_percent(Band(-short.value, -short.high, -short.low))} more than it should hold"
    else:
        told += ", which agrees with what it should hold"
    if read.at_most:
        told += "; no subcooling may have been left, and then less is on board"
    writer.number(
        "inventory.on_board",
        where,
        read.charge.draws,
        "mass",
        f"{told}. Only weighing it out tells exactly.",
        sources=("charge_inventory",),
        inputs=(finding_id("circuit.charge", read.where), finding_id("inventory.charge", where)),
    )


def _percent(share: Band) -> str:
    return f"{100 * share.value:.0f} % ({100 * share.low:.0f} to {100 * share.high:.0f})"


def _pump_down(writer: Writer, where: Where, circuit: CircuitInventory, answer: PumpDown) -> None:
    writer.verdict(
        "inventory.pumpdown",
        where,
        answer.text,
        pump_down_text(circuit, writer.display),
        basis="computed" if answer.room is None else answer.room.basis,
        sources=("pump_down",),
        inputs=(finding_id("inventory.charge", where),),
    )


def pump_down_text(circuit: CircuitInventory, display: str) -> str:
    """The answer on a pump-down in sentences."""
    answer = circuit.pump_down
    parts = [_fits(circuit, answer, display)]
    why = teller(Reader.FILE, display).tell(answer.why)
    way = "It is the way to empty the part that leaks" if answer.advised else "Not advised"
    if answer.text is Fits.UNKNOWN and not answer.advised:
        parts.append(f"{capital(why)}.")
    else:
        parts.append(f"{way}: {why}.")
    if answer.missing:
        key = answer.missing[0].rpartition(".")[0]
        parts.append(
            "What would tell: the maker's figure for the condenser's volume or its pump-down capacity "
            f"({key})."
        )
    if math.isfinite(answer.cut_out) and (answer.text is Fits.YES or answer.advised):
        parts.append(
            f"The low-pressure cut-out stops it at {gauge_text(answer.cut_out, display)}: the rest is "
            "recovered by machine, and the cut-out is never bypassed."
        )
    return " ".join(parts)


def _fits(circuit: CircuitInventory, answer: PumpDown, display: str) -> str:
    name = circuit.name
    if answer.room is None:
        return f"Whether a pump-down of circuit {name} fits into its condenser is unknown."
    room = band(answer.room.draws)
    holds = banded(room, "mass", display)
    if answer.hottest == np.inf:
        return f"A pump-down of circuit {name} fits: the maker lets the condenser hold {holds}."
    at = units.value_text(float(answer.ambient.draws[0]), "temperature", display)
    verdict = "may or may not fit" if answer.text is Fits.UNKNOWN else answer.text
    told = f"At {at} outdoors a pump-down of circuit {name} {verdict}: four fifths full, the condenser "
    told += f"holds {holds}."
    if answer.ambient.basis == "assumed" and not answer.asked:
        told += f" ({answer.ambient.note[0].upper()}{answer.ambient.note[1:]}.)"
    if answer.hottest >= AMBIENTS[-1]:
        told += " It fits at any usual ambient."
    elif np.isfinite(answer.hottest):
        told += f" It fits up to {units.value_text(answer.hottest, 'temperature', display)}."
    elif answer.text is not Fits.YES:
        told += " It fits at no usual ambient."
    return told


def _cylinder(writer: Writer, where: Where, circuit: CircuitInventory, choice: CylinderChoice | None) -> None:
    if choice is None:
        writer.verdict(
            "inventory.cylinder",
            where,
            "unknown",
            f"Which cylinder circuit {circuit.name} needs cannot be told: its charge or the properties of "
            f"{circuit.refrigerant} are not known. Read the unit's label and the cylinder's collar.",
            basis="assumed",
        )
        return
    writer.verdict(
        "inventory.cylinder",
        where,
        f"{choice.count} x {choice.cylinder.name}",
        cylinder_text(circuit, choice, writer.display),
        sources=("cylinder_fill",),
        inputs=(finding_id("inventory.charge", where), finding_id("inventory.cylinder_fill", where)),
    )
    _cylinder_fill(writer, where, choice, circuit.refrigerant)


def _cylinder_fill(writer: Writer, where: Where, choice: CylinderChoice, refrigerant: str) -> None:
    water = units.value_text(choice.cylinder.water_capacity, "mass", writer.display)
    hot = units.value_text(CAUTIOUS_TEMPERATURE, "temperature", writer.display)
    writer.number(
        "inventory.cylinder_fill",
        where,
        Band(choice.fill.cautious, choice.fill.cautious, choice.fill.cautious),
        "mass",
        f"A {choice.cylinder.name} cylinder takes {{}} of {refrigerant} with care: liquid of {hot} in 80 % "
        f"of it (water capacity {water}).",
        sources=("cylinder_fill",),
    )


def gauge_text(pressure: float, display: str) -> str:
    """A gauge pressure in whole numbers, as stamped on cylinders and switches."""
    if not math.isfinite(pressure):
        return "not known"
    name = units.display_unit("pressure_difference", display)[0]
    number = float(units.to(pressure, name, "pressure_difference"))
    return f"{number:.0f} {'psig' if display == 'us' else 'kPa gauge'}"


def cylinder_text(circuit: CircuitInventory, choice: CylinderChoice, display: str) -> str:
    """The choice of cylinders in sentences."""
    mass = _masses(display)
    size, fill = choice.cylinder, choice.fill
    many = f"{choice.count} recovery cylinder{'s' if choice.count > 1 else ''}"
    rated = (
        f"rated {gauge_text(choice.service_pressure, display)} or more"
        if math.isfinite(choice.service_pressure)
        else "rated for this refrigerant, above the usual classes"
    )
    parts = [
        f"To empty circuit {circuit.name} bring {many} of the {size.name} size, {rated}, tested within five "
        f"years: each takes {mass(fill.cautious)} of {circuit.refrigerant} by the cautious rule "
        f"({mass(fill.guideline)} by the fill guideline is the ceiling, the law's cap {mass(fill.legal)})."
    ]
    if circuit.full is not None and choice.amount > band(circuit.full.draws).value:
        parts.append(
            f"Read the label first: the charge is hardly known, and this is for its high figure of "
            f"{mass(choice.amount)}."
        )
    if choice.count_high > choice.count:
        parts.append(f"The charge may reach {mass(choice.amount_high)}: have {choice.count_high} at hand.")
    parts.append(
        f"An empty one weighs about {mass(size.tare)} (its collar says): stop at "
        f"{mass(size.tare + fill.cautious)} on the scale, and weigh it first, as it may not be empty."
    )
    if choice.flammable:
        parts.append("Mildly flammable (A2L): cylinder and recovery machine rated for it, left-hand thread.")
    return " ".join(parts)


def _masses(display: str) -> Callable[[float], str]:
    return lambda value: units.value_text(value, "mass", display)


def _gas(writer: Writer, where: Where, circuit: CircuitInventory, gas: Gas) -> None:
    mass = _masses(writer.display)
    said = (
        f"Were circuit {circuit.name} emptied, weighing it in anew would take {{}} of {circuit.refrigerant}, "
        f"hoses included: {mass(gas.quote.low)} low, {mass(gas.quote.value)} likely, {mass(gas.quote.high)} "
        f"high; carry {mass(gas.carry)}."
    )
    if gas.missing is not None:
        said += (
            f" Where all that is recovered is clean and goes back into the same circuit, "
            f"{banded(gas.missing, 'mass', writer.display)} are missing."
        )
    said += (
        f" Hoses taken off full lose about {banded(gas.hoses, 'mass', writer.display)}; machine and liquid "
        f"hose purged back into the cylinder return about {mass(gas.purged.value)}."
    )
    writer.number(
        "inventory.gas",
        where,
        gas.quote,
        "mass",
        said,
        sources=("charge_inventory", "hoses")
        if circuit.method in (SIBLING, TONNAGE)
        else ("nameplate", "hoses"),
        inputs=(finding_id("inventory.charge", where),),
    )
