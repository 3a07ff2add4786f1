"""Refrigerant on board by itself, without the rest of a diagnosis; other data, another ambient."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from hvaccalc.diagnosis.circuits.circuit_readings import oddities
from hvaccalc.diagnosis.condition import ConditionResult, diagnose
from hvaccalc.diagnosis.contradictions.screening import screen
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.job.checks.notices import unusual
from hvaccalc.job.checks.plates import unusual_plates
from hvaccalc.job.schema import Job
from hvaccalc.service.refrigerant.inventory import CircuitInventory, inventory
from hvaccalc.service.refrigerant.pump_down import RoomOver, pump_down, room_over
from hvaccalc.units import Quantity


@dataclass(frozen=True, slots=True)
class InventoryStudy:
    """Refrigerant of a job's circuits at one ambient.

    Attributes
    ----------
    tables : dict of str to str
        Keys that may be typed anew, and the table of the circuit that holds each.
    draws : Draws
    results : tuple of ConditionResult
    circuits : dict of str to CircuitInventory
    ambient : float
        Outdoor air that the pump-down is judged at [K].
    """

    tables: ClassVar[dict[str, str]] = {
        "nameplate_charge": "",
        "liquid_size": "lines",
        "liquid_length": "lines",
        "volume": "condenser",
        "receiver_volume": "condenser",
    }

    draws: Draws
    results: tuple[ConditionResult, ...]
    circuits: dict[str, CircuitInventory]
    ambient: float

    def room_over(self, name: str) -> RoomOver | None:
        """What the outdoor side of a circuit holds over the ambient; None where that is not known."""
        return room_over(self.draws, name, self.circuits[name].fluid)

    def unusual(self, name: str) -> dict[str, str]:
        """What hardly any unit has, by its place in the job file, each with what is made of it."""
        job = self.draws.job
        lines = oddities(job.circuit[name].lines)
        said = {f"circuit.{name}.lines.{key}": f"{why}; not taken." for key, why in lines.items()}
        notices = (*unusual(job), *unusual_plates(job))
        return said | {place: notice.text for notice in notices for place in notice.where.split(", ")}


def inventory_study(job: Job, draws: int = 512) -> InventoryStudy:
    """Every circuit, with the readings of every condition: the same numbers as `analyse` has."""
    every = Draws(job, draws)
    kept = every.without(screen(every).excluded)
    results = tuple(diagnose(kept, where) for where, _ in kept.conditions())
    return _study(kept, results)


def _study(draws: Draws, results: tuple[ConditionResult, ...]) -> InventoryStudy:
    circuits = inventory(draws, results)
    ambient = next(iter(circuits.values())).pump_down.ambient.draws[0]
    return InventoryStudy(draws, results, circuits, float(ambient))


def retyped(study: InventoryStudy, name: str, typed: Mapping[str, Quantity | None]) -> InventoryStudy:
    """The same readings with other data of one circuit; None takes one out.

    Parameters
    ----------
    study : InventoryStudy
    name : str
        The circuit.
    typed : mapping
        By the keys of `InventoryStudy.tables`.
    """
    job = study.draws.job
    tables: dict[str, dict[str, Quantity | None]] = {"": {}, "lines": {}, "condenser": {}}
    circuit = job.circuit[name]
    for key, quantity in typed.items():
        tables[study.tables[key]][key] = quantity
    update = {part: getattr(circuit, part).model_copy(update=tables[part]) for part in ("lines", "condenser")}
    changed = circuit.model_copy(update=update | tables[""])
    if changed == circuit:
        return study
    other = job.model_copy(update={"circuit": {**job.circuit, name: changed}})
    if changed.lines != circuit.lines:
        return inventory_study(other, study.draws.ensemble.size)
    draws = Draws(other, study.draws.ensemble.size).without(study.draws.excluded)
    return _study(draws, study.results)


def at_ambient(study: InventoryStudy, ambient: float) -> InventoryStudy:
    """The same circuits with the pump-down judged at another outdoor temperature [K]."""
    circuits = {}
    for name, circuit in study.circuits.items():
        charge = None if circuit.full is None else circuit.full.draws
        answer = pump_down(study.draws, name, circuit.fluid, charge, (), ambient)
        circuits[name] = replace(circuit, pump_down=answer)
    return replace(study, circuits=circuits, ambient=ambient)
