"""Typed values that a file may hold and a unit hardly can: kept as typed, and told.

Limits are common practice, no source: several times what split systems have, so that a usual job says
nothing.
"""

from collections.abc import Iterator

from hvaccalc import units
from hvaccalc.job.checks.plates import TON, share_of
from hvaccalc.job.schema import Job, Notice

VOLUME_PER_TON = float(units.si(1.0, "ft3", "volume"))
"""Most that a condenser, or a receiver, encloses for each ton [m3]; usual condensers: 0.1 to 0.2 ft3."""

CAPACITY_PER_TON = float(units.si(60.0, "lb", "mass"))
"""Most that a maker states as pump-down capacity for each ton [kg]: the volume above four fifths full."""


def unusual_circuits(job: Job) -> Iterator[Notice]:
    """Notices on condensers and receivers."""
    for name, circuit in job.circuit.items():
        for key in beyond(job, name):
            text = f"{getattr(circuit.condenser, key).text} is more than any unit of this rating has: "
            yield Notice(
                "unusual.condenser", f"circuit.{name}.condenser.{key}", text + "it is taken as not known."
            )


def beyond(job: Job, name: str) -> tuple[str, ...]:
    """Keys of a circuit's condenser whose values no unit of its rating has: they must promise nothing."""
    circuit = job.circuit[name]
    tons = job.unit.rated_capacity.value * share_of(job, name) / TON
    most = {
        "volume": VOLUME_PER_TON * tons,
        "receiver_volume": VOLUME_PER_TON * tons,
        "pumpdown_capacity": CAPACITY_PER_TON * tons,
    }
    typed = {key: getattr(circuit.condenser, key) for key in most}
    return tuple(key for key, value in typed.items() if value is not None and value.value > most[key])


ABOVE_FULL = 1.25
FIELD_LINE = float(units.si(0.1, "lb", "mass") / units.si(1.0, "ft", "length"))
LINE_WHERE_UNTYPED = float(units.si(100.0, "ft", "length"))
"""What a circuit may hold above its plate: a quarter of overcharge, and liquid in each metre of its line
[kg/m] (5/8 in of R-410A takes as much); the length where none is typed [m]."""


def unusual(job: Job) -> Iterator[Notice]:
    """Notices on condensers and recovered refrigerant."""
    yield from unusual_circuits(job)
    yield from _recovered(job)


def _recovered(job: Job) -> Iterator[Notice]:
    for v, visit in enumerate(job.visit, start=1):
        for name, circuit in job.circuit.items():
            held = circuit.full_charge or circuit.nameplate_charge
            taken = [
                (w, work.amount)
                for w, work in enumerate(visit.work, start=1)
                if work.kind == "recovered refrigerant" and work.amount is not None
                and name == (work.circuit or (name if len(job.circuit) == 1 else None))
            ]  # fmt: skip
            if held is None or not taken:
                continue
            line = circuit.lines.liquid_length
            most = ABOVE_FULL * held.value
            most += FIELD_LINE * (LINE_WHERE_UNTYPED if line is None else line.value)
            whole = sum(amount.value for _, amount in taken)
            if whole > most:
                text = (
                    f"{_mass(whole, job)} recovered from circuit {name}, which holds {held.text} when full: "
                    "it cannot have held that much. Amount, circuit or charge is typed wrong; kept and "
                    "printed, not taken into any number."
                )
                yield Notice("unusual.recovered", f"visit[{v}].work[{taken[-1][0]}].amount", text)


def _mass(value: float, job: Job) -> str:
    return units.value_text(value, "mass", job.display)
