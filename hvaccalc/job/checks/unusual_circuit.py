"""What is typed of a circuit's condenser and no unit of its rating has.

Limits are common practice, no source: several times what split systems have; a usual job says nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from hvaccalc import units
from hvaccalc.job.schema import Job, Notice

TON = float(units.si(1.0, "ton", "heat"))

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
    share = circuit.capacity_share.value if circuit.capacity_share is not None else 1.0 / len(job.circuit)
    tons = job.unit.rated_capacity.value * share / TON
    most = {
        "volume": VOLUME_PER_TON * tons,
        "receiver_volume": VOLUME_PER_TON * tons,
        "pumpdown_capacity": CAPACITY_PER_TON * tons,
    }
    typed = {key: getattr(circuit.condenser, key) for key in most}
    return tuple(key for key, value in typed.items() if value is not None and value.value > most[key])
