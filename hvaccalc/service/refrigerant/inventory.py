"""Refrigerant on board of each circuit: by its label, else from volumes and densities; by component.

The label rules. Where the label leaves the field line out, the printed adder of that line is put on top.
Where there is no label, volumes that nobody knows are drawn about usual ones: the band from tonnage alone is
wide and says so. A measured subcooling under met gates tells how far the charge on board lies from what it
should be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where, outdoor_read
from hvaccalc.ensemble import NOT_KNOWN, Band, band, beyond
from hvaccalc.equipment.circuit.charge_inventory import (
    Closures,
    State,
    Volumes,
    charges_of,
    component_charges,
    component_densities,
)
from hvaccalc.job.unit_tables import Circuit
from hvaccalc.physics.refrigerant import Refrigerant
from hvaccalc.practice.refrigerant import (
    INCLUDED_LINE,
    LIQUID_LINE_TEMPERATURE,
    OUTDOOR_VALVE_SHARE,
    SIBLING_SD,
    WIDE_CHARGE,
)
from hvaccalc.service.refrigerant import inventory_draws
from hvaccalc.service.refrigerant.cylinder import CylinderChoice, Gas, choose, gas
from hvaccalc.service.refrigerant.pump_down import PumpDown, pump_down

LABEL, FULL, LABEL_AND_LINE = "label", "full charge", "label and line"
VOLUMES, SIBLING, TONNAGE = "volumes", "other circuit", "tonnage"


@dataclass(frozen=True, slots=True)
class OnBoard:
    """What a circuit held when it was read.

    Attributes
    ----------
    charge : Datum
        [kg].
    short : ndarray
        Lacking over the full charge, negative where there is too much.
    where : Where
    at_most : bool
        No subcooling was left in part of the draws: less than this may be on board.
    """

    charge: Datum
    short: Array
    where: Where
    at_most: bool


@dataclass(frozen=True, slots=True)
class CircuitInventory:
    """One circuit's refrigerant.

    Attributes
    ----------
    name, refrigerant : str
    fluid : Refrigerant or None
        None where the package carries no properties.
    full : Datum or None
        What it should hold [kg]; None where nothing tells.
    parts : dict of str to ndarray
        The same by component [kg]; empty without properties.
    method : str
        label, full charge, label and line, volumes, other circuit or tonnage.
    notes : tuple of str
        What was taken how, for a reader.
    missing : tuple of str
        Keys that would narrow the band most.
    on_board : OnBoard or None
    per_metre : Band
        What a metre more of its liquid line holds [kg/m].
    pump_down : PumpDown
    cylinder : CylinderChoice or None
    gas : Gas or None
    """

    name: str
    refrigerant: str
    fluid: Refrigerant | None
    full: Datum | None
    parts: dict[str, Array]
    method: str
    notes: tuple[str, ...]
    missing: tuple[str, ...]
    on_board: OnBoard | None
    per_metre: Band
    pump_down: PumpDown
    cylinder: CylinderChoice | None
    gas: Gas | None


@dataclass(frozen=True, slots=True)
class Model:
    """A circuit's volumes and what closes them, its coils scaled to a charge that is known."""

    fluid: Refrigerant
    volumes: Volumes
    state: State
    closures: Closures
    densities: dict[str, Array]

    def parts(self, state: State | None = None) -> dict[str, Array]:
        """Charge of each component, at the rating where no other state is named [kg]."""
        if state is None:
            return charges_of(self.volumes, self.densities)
        return component_charges(self.fluid, self.volumes, state, self.closures)

    def total(self, state: State | None = None) -> Array:
        """Charge of them all [kg]."""
        return np.sum(list(self.parts(state).values()), axis=0)

    def scaled_to(self, charge: Array) -> Model:
        """The same with all volumes but the lines scaled so that the charge is met: the first known point.

        Where the lines alone would hold more than the charge, they are scaled as well.
        """
        parts = self.parts()
        lines = parts["liquid line"] + parts["suction line"]
        rest = sum(parts.values()) - lines
        whole = lines > 0.5 * charge
        factor = np.where(whole, charge / (lines + rest), (charge - lines) / rest)
        line = np.where(whole, factor, 1.0)
        held = self.volumes
        return replace(
            self,
            volumes=Volumes(
                condenser=held.condenser * factor,
                evaporator=held.evaporator * factor,
                liquid_line=held.liquid_line * line,
                suction_line=held.suction_line * line,
                receiver=held.receiver * factor,
                oil_charge=held.oil_charge * factor,
            ),
        )


def inventory(draws: Draws, results: Sequence[ConditionResult]) -> dict[str, CircuitInventory]:
    """Refrigerant of each circuit by its name.

    Parameters
    ----------
    draws : Draws
        With contradicting readings left out.
    results : sequence of ConditionResult
    """
    return {name: circuit_inventory(draws, name, results) for name in draws.job.circuit}


def circuit_inventory(
    draws: Draws, name: str, results: Sequence[ConditionResult], ambient: float | None = None
) -> CircuitInventory:
    """One circuit; `ambient` asks about a pump-down at another outdoor temperature [K]."""
    circuit, fluid = draws.job.circuit[name], draws.refrigerant(name)
    known = inventory_draws.volumes(draws, name)
    model = None
    if fluid is not None:
        state, closures = inventory_draws.rated_state(draws, name), inventory_draws.closures(draws, name)
        densities = component_densities(fluid, state, closures)
        model = Model(fluid, known.volumes, state, closures, densities)
    full, method, notes = _full(draws, name, model, known)
    if model is not None and full is not None and method not in (VOLUMES, TONNAGE):
        model = model.scaled_to(full.draws)
    on_board = _on_board(draws, name, model, full, results) if model is not None else None
    choice = quoted = None
    amount = band(full.draws) if full is not None else NOT_KNOWN
    if fluid is not None and full is not None and amount.known:
        # Where the charge is hardly known, what is brought has to take the most that it may be.
        sized_for = amount.high if amount.high > WIDE_CHARGE * amount.value else amount.value
        choice = choose(fluid, sized_for, amount.high)
        quoted = gas(draws, fluid, full.draws, None if on_board is None else on_board.charge.draws)
    return CircuitInventory(
        name=name,
        refrigerant=fluid.name if fluid is not None else circuit.refrigerant,
        fluid=fluid,
        full=full,
        parts=model.parts() if model is not None else {},
        method=method,
        notes=(*notes, *known.notes),
        missing=_missing(name, circuit, method),
        on_board=on_board,
        per_metre=_per_metre(draws, name),
        pump_down=pump_down(draws, name, fluid, None if full is None else full.draws, results, ambient),
        cylinder=choice,
        gas=quoted,
    )


def _full(
    draws: Draws, name: str, model: Model | None, known: inventory_draws.Known
) -> tuple[Datum | None, str, tuple[str, ...]]:
    """What the circuit should hold, by which way, and what a reader has to know of it."""
    circuit = draws.job.circuit[name]
    if circuit.full_charge is not None or circuit.nameplate_charge is not None:
        return _full_as_typed(draws, name)
    if model is None:
        return None, TONNAGE, ("no properties of this refrigerant are carried and no label charge is typed",)
    method = VOLUMES if "condenser" in known.typed else TONNAGE
    if method == TONNAGE and (like := _by_sibling(draws, name)) is not None:
        return like
    return Datum(model.total(), "computed" if method == VOLUMES else "rule of thumb"), method, ()


def _full_as_typed(draws: Draws, name: str) -> tuple[Datum, str, tuple[str, ...]]:
    """The charge as noted when it was charged, else by the label."""
    noted = draws.job.circuit[name].full_charge
    if noted is None:
        return _by_label(draws, name)
    return Datum(inventory_draws.measured(draws, f"{name}/full", noted), "nameplate"), FULL, ()


def _by_sibling(draws: Draws, name: str) -> tuple[Datum, str, tuple[str, ...]] | None:
    """By another circuit of the same refrigerant whose charge is known, in proportion to capacity."""
    own = draws.job.circuit[name]
    for other, circuit in draws.job.circuit.items():
        known = circuit.full_charge or circuit.nameplate_charge
        if other == name or known is None or circuit.refrigerant != own.refrigerant:
            continue
        full, _, _ = _full_as_typed(draws, other)
        ratio = inventory_draws.capacity(draws, name) / inventory_draws.capacity(draws, other)
        spread = draws.ensemble.normal(f"inventory/{name} like {other}", 1.0, SIBLING_SD)
        note = f"its own label was not typed: circuit {other}'s charge was scaled by capacity; read the label"
        return Datum(full.draws * ratio * spread, "rule of thumb"), SIBLING, (note,)
    return None


def _by_label(draws: Draws, name: str) -> tuple[Datum, str, tuple[str, ...]]:
    circuit = draws.job.circuit[name]
    assert circuit.nameplate_charge is not None
    label = inventory_draws.measured(draws, f"{name}/label", circuit.nameplate_charge)
    volume = inventory_draws.line_volume(draws, name, "liquid")
    if volume.basis != "nameplate":
        return Datum(label, "nameplate"), LABEL, ()
    more, notes = _field_line(draws, name, volume)
    return Datum(label + more, "computed"), LABEL_AND_LINE, notes


def _field_line(draws: Draws, name: str, volume: Datum) -> tuple[Array, tuple[str, ...]]:
    """Charge that the field line asks for beyond the factory's [kg], and how it was come by."""
    lines = draws.job.circuit[name].lines
    length = inventory_draws.line_length(draws, name, lines.liquid_length)
    included = draws.ensemble.uniform("inventory/included length", *INCLUDED_LINE, central=INCLUDED_LINE[1])
    if lines.included_length is not None:
        included = np.full_like(length, lines.included_length.value)
    adder, how = _adder(draws, name, volume.draws / length)
    more = inventory_draws.added_charge(adder, length, included)
    taken = "; 15 to 25 ft" if draws.job.display == "us" else "; 4.6 to 7.6 m"
    taken = "" if lines.included_length is not None else f"{taken} taken as covered by the label"
    return more, (f"line adder {how}{taken}",)


def _per_metre(draws: Draws, name: str) -> Band:
    length = inventory_draws.line_length(draws, name, draws.job.circuit[name].lines.liquid_length)
    section = inventory_draws.line_volume(draws, name, "liquid").draws / length
    return band(_adder(draws, name, section)[0])


def _adder(draws: Draws, name: str, section: Array) -> tuple[Array, str]:
    """Charge of a metre of the liquid line [kg/m]."""
    fluid, size = draws.refrigerant(name), draws.job.circuit[name].lines.liquid_size
    if fluid is None:
        return np.full_like(section, np.nan), "not known for this refrigerant"
    outside = size.value if size is not None else np.nan
    indoors = inventory_draws.printed_adder(fluid.name, outside, inventory_draws.INDOORS)
    outdoors = inventory_draws.printed_adder(fluid.name, outside, inventory_draws.OUTDOORS)
    behind = inventory_draws.valve_outdoors(draws, name)
    if indoors.sources and (outdoors.sources or not behind.any()):
        column = draws.ensemble.uniform(f"inventory/adder/{name}")
        taken = np.where(behind, _between(outdoors, column), _between(indoors, column))
        count = len(indoors.sources)
        return taken, f"as printed for this size in {count} table{'s' if count > 1 else ''} of makers"
    warm = draws.ensemble.uniform("inventory/line temperature", *LIQUID_LINE_TEMPERATURE)
    full = section * fluid.saturated_liquid(warm).density
    return np.where(behind, OUTDOOR_VALVE_SHARE * full, full), "of the tube full of liquid"


def _between(adder: inventory_draws.Adder, column: Array) -> Array:
    """Uniform from the least to the most that is printed, row 0 the middle one [kg/m]."""
    drawn = adder.low + (adder.high - adder.low) * column
    drawn[0] = adder.likely
    return drawn


def _on_board(
    draws: Draws, name: str, model: Model | None, full: Datum | None, results: Sequence[ConditionResult]
) -> OnBoard | None:
    """The charge when last read with a verdict; only where subcooling tells charge at all."""
    if model is None or full is None or draws.job.circuit[name].metering not in ("TXV", "EEV"):
        return None
    for result in reversed(results):
        charge = result.charges.get(name)
        if charge is not None and charge.verdict.row.settled and charge.deviation is not None:
            return _read(draws, model, full, result, charge)
    return None


def _read(
    draws: Draws, model: Model, full: Datum, result: ConditionResult, charge: CircuitCharge
) -> OnBoard | None:
    state = charge.state
    condensing, suction = state.condensing_saturation, state.coil_suction_saturation
    outdoor = outdoor_read(draws, result.where)
    if condensing is None or suction is None or outdoor is None or state.subcooling is None:
        return None
    assert charge.deviation is not None
    read = state.subcooling.draws
    rated = model.state
    # Readings of a moment lie within a draw's errors of what the model can be: its own approach at least.
    here = replace(
        rated,
        condensing=np.maximum(condensing, outdoor + 3.0),
        suction=suction,
        outdoor=outdoor,
        subcooling=np.clip(read, 0.0, 29.0),
    )
    meant = replace(here, subcooling=np.clip(read - charge.deviation, 0.0, 29.0))
    change = model.total(here) - model.total(meant)
    held = np.maximum(full.draws + change, 0.0)
    return OnBoard(
        Datum(held, "computed", "by subcooling"),
        -change / full.draws,
        result.where.at(charge.state.where.circuit),
        not beyond(read),
    )


def _missing(name: str, circuit: Circuit, method: str) -> tuple[str, ...]:
    """Keys that would narrow the band, the most telling first."""
    lines = [
        f"circuit.{name}.lines.{key}"
        for key in ("liquid_size", "liquid_length", "included_length")
        if getattr(circuit.lines, key) is None
    ]
    if method in (TONNAGE, SIBLING, VOLUMES):
        return (f"circuit.{name}.nameplate_charge", *lines[:2])
    return tuple(lines) if method in (LABEL, LABEL_AND_LINE) else ()
