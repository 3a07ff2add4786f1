"""Changes and faults as typed for a what-if: read, and refused by name before anything is solved."""

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.call import Call
from hvaccalc.equipment.unit.unit_state import Faults
from hvaccalc.errors import InputError

KINDS = {
    "return_dry_bulb": "temperature",
    "return_wet_bulb": "temperature",
    "return_dew_point": "temperature",
    "return_relative_humidity": "fraction",
    "outdoor_dry_bulb": "temperature",
    "barometer": "absolute_pressure",
    "airflow": "airflow",
    "fan_frequency": "frequency",
    "fan_speed": "fan_speed",
    "fan_power": "power",
}
"""Keys that a change may set, with their kinds."""

COOLING = (Call.COOL_1, Call.COOL_2)
KNOWN_CALLS = (Call.FAN, *COOLING)

FAULTS = {
    "low_charge": ("charge", -1.0),
    "overcharge": ("charge", 1.0),
    "condenser_air": ("condenser_air", -1.0),
    "restriction": ("restriction", 1.0),
    "starved_valve": ("valve_capacity", -1.0),
    "overfeeding_valve": ("valve_overfeed", 1.0),
    "compressor_wear": ("compressor_wear", -1.0),
}
"""Fault by name: the unit's field and the direction in which a percentage moves it."""

FREQUENCY_DRIVES = ("variable frequency",)
"""Drives whose speed is set as a frequency."""

MOST_ROWS = 100_000


@dataclass(frozen=True)
class Change:
    """One row: what differs from the condition it starts from.

    Attributes
    ----------
    values : dict of str to Quantity
    calls : tuple of Call or None
        None: as in the starting condition.
    """

    values: dict[str, units.Quantity] = field(default_factory=dict)
    calls: tuple[Call, ...] | None = None


def read_change(typed: Mapping[str, str], file: str | None = None, line: int | None = None) -> Change:
    """A change from text by key; ``calls`` holds several separated by ``;``.

    Raises
    ------
    InputError
        With file, line, key, what was found and what is allowed.
    """
    values: dict[str, units.Quantity] = {}
    calls = None
    for key, text in typed.items():
        if not (text or "").strip():
            continue
        if key == "calls":
            calls = _calls(text, file, line)
            continue
        if key not in KINDS:
            raise InputError(
                "no such thing to change", f'"{key}"', ", ".join((*KINDS, "calls")), file, line, key
            )
        try:
            values[key] = units.parse(text.strip(), KINDS[key])
        except InputError as error:
            error.file, error.line, error.key = file, line, key
            raise
    humid = [key for key in values if key in HUMIDITY]
    if len(humid) > 1:
        raise InputError("the humidity is said twice", ", ".join(humid), "one of them", file, line, humid[1])
    return Change(values, calls)


HUMIDITY = ("return_wet_bulb", "return_dew_point", "return_relative_humidity")


def _calls(text: str, file: str | None, line: int | None) -> tuple[Call, ...]:
    calls = tuple(part.strip() for part in text.split(";") if part.strip())
    for call in calls:
        if call not in KNOWN_CALLS:
            raise InputError(
                "no such call of cooling", f'"{call}"', ", ".join(KNOWN_CALLS), file, line, "calls"
            )
    return tuple(Call(call) for call in calls)


def read_rows(path: Path) -> list[Change]:
    """Changes from a csv file whose head names the keys; values carry their units.

    Raises
    ------
    InputError
        With the file's line and key.
    """
    with path.open(encoding="utf-8-sig", newline="") as lines:
        table = csv.DictReader(lines)
        if not table.fieldnames:
            raise InputError("an empty file", allowed="a head line of keys, then rows", file=str(path))
        changes = []
        for row in table:
            if None in row or None in row.values():
                raise InputError(
                    "a row of another length than the head", allowed="one value for each key", file=str(path),
                    line=table.line_num,
                )  # fmt: skip
            changes.append(read_change({k.strip(): v for k, v in row.items()}, str(path), table.line_num))
            if len(changes) > MOST_ROWS:
                raise InputError("too many rows", f"over {MOST_ROWS}", f"{MOST_ROWS} at most", str(path))
    return changes


def read_fault(text: str, circuits: Iterable[str]) -> tuple[str, str, float]:
    """Name, circuit and share of a fault typed as ``low_charge:1="20 %"``.

    Raises
    ------
    InputError
    """
    name, _, share = text.partition("=")
    name, _, circuit = name.strip().partition(":")
    known = list(circuits)
    if name not in FAULTS:
        raise InputError("no such fault", f'"{name}"', ", ".join(FAULTS), key="--fault")
    if circuit not in known:
        raise InputError(
            "no such circuit", f'"{circuit}"', f"after a colon, one of {', '.join(known)}", key="--fault"
        )
    try:
        value = units.parse(share.strip().strip('"'), "fraction").value
    except InputError as error:
        error.key = "--fault"
        raise
    if not 0.0 <= value <= 0.9:
        raise InputError("a share that no unit runs with", f'"{share}"', "0 % to 90 %", key="--fault")
    return name, circuit, value


def faulted(circuits: Iterable[str], typed: Iterable[str]) -> tuple[str, ...]:
    """Circuits that carry a fault, each once."""
    names = list(circuits)
    return tuple(
        dict.fromkeys(circuit for _, circuit, share in (read_fault(t, names) for t in typed) if share)
    )


def possible(drive: str | None, changes: Iterable[Change]) -> None:
    """Refuse what this unit's drive cannot do; costs nothing.

    Raises
    ------
    InputError
        A frequency where the drive has none.
    """
    if drive in FREQUENCY_DRIVES or drive is None:
        return
    for change in changes:
        if (typed := change.values.get("fan_frequency")) is not None:
            raise InputError(
                f'this unit\'s fan has no frequency to set: its drive is "{drive}"',
                f'"{typed.text}"',
                "airflow, or fan_speed in per cent of the speed it has",
                key="fan_frequency",
            )


def faults_of(circuits: Iterable[str], typed: Iterable[str]) -> Faults:
    """Faults of the unit, by circuit."""
    names = list(circuits)
    fields: dict[str, Array] = {}
    for text in typed:
        name, circuit, share = read_fault(text, names)
        where, direction = FAULTS[name]
        sound = 0.0 if where in ("restriction", "valve_overfeed") else 1.0
        column = fields.setdefault(where, np.full(len(names), sound))
        column[names.index(circuit)] = sound + direction * share
    return Faults(**fields)
