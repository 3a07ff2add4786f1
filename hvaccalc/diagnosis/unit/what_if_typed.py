"""Changes and faults as typed for a what-if: read, and refused by name before anything is solved."""

import csv
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.call import Call
from hvaccalc.equipment.unit.unit_state import Faults
from hvaccalc.errors import InputError, OutOfRange, WrongKind
from hvaccalc.job.fields import shown
from hvaccalc.job.load import no_other_than_a_file
from hvaccalc.job.reference import read_as
from hvaccalc.job.unit_tables import Unit
from hvaccalc.job.visit_tables import Air
from hvaccalc.practice.air import LINE_FREQUENCY, MOST_AIRFLOW, MOST_FAN_POWER, MOST_SPEED

HUMIDITY = ("return_wet_bulb", "return_dew_point", "return_relative_humidity")
SETTINGS = (
    *("return_dry_bulb", *HUMIDITY, "outdoor_dry_bulb", "barometer"),
    *("airflow", "fan_frequency", "fan_speed", "fan_power"),
)
"""Readings of the air table that a change may set."""

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
    if not isinstance(typed, Mapping):
        allowed = 'text by key, such as {"fan_frequency": "36 Hz"}'
        raise WrongKind("not a change", shown(typed), allowed, file, line)
    values: dict[str, units.Quantity] = {}
    calls = None
    for key, text in typed.items():
        if not isinstance(text, str):
            allowed = "text with its unit, as in the file"
            raise WrongKind("a value that is not text", shown(text), allowed, file, line, shown(key))
        if not text.strip():
            continue
        if key == "calls":
            calls = _calls(text, file, line)
            continue
        if key not in SETTINGS:
            raise InputError(
                "no such thing to change", f'"{key}"', ", ".join((*SETTINGS, "calls")), file, line, key
            )
        try:
            values[key] = read_as(Air, key, text.strip()).quantity
        except InputError as error:
            error.file, error.line, error.key = file, line, key
            raise
    humid = [key for key in values if key in HUMIDITY]
    if len(humid) > 1:
        raise InputError("the humidity is said twice", ", ".join(humid), "one of them", file, line, humid[1])
    return Change(values, calls)


def _calls(text: str, file: str | None, line: int | None) -> tuple[Call, ...]:
    calls = tuple(part.strip() for part in text.split(";") if part.strip())
    for call in calls:
        if call not in KNOWN_CALLS:
            raise InputError(
                "no such call of cooling", f'"{call}"', ", ".join(KNOWN_CALLS), file, line, "calls"
            )
    return tuple(Call(call) for call in calls)


def read_rows(path: Path) -> Iterator[Change]:
    """Changes from a csv file whose head names the keys, one by one; values carry their units.

    Raises
    ------
    InputError
        With the file's line and key.
    """
    no_other_than_a_file(path, "a csv file")
    with path.open(encoding="utf-8-sig", newline="") as lines:
        table = csv.reader(lines)
        try:
            head = [name.strip() for name in next(table, [])]
            if doubled := sorted({name for name in head if head.count(name) > 1}):
                raise InputError("a column stands twice", shown(", ".join(doubled)), "each key once", line=1)
            if not head:
                raise InputError("an empty file", allowed="a head line of keys, then rows")
            count = 0
            for cells in table:
                if not cells:
                    continue
                if len(cells) != len(head):
                    allowed = "one value for each key"
                    raise InputError("a row of another length than the head", allowed=allowed)
                yield read_change(dict(zip(head, cells, strict=True)), str(path), table.line_num)
                count += 1
                if count > MOST_ROWS:
                    raise InputError("too many rows", f"over {MOST_ROWS}", f"{MOST_ROWS} at most")
        except InputError as error:
            error.file, error.line = str(path), error.line or table.line_num
            raise
        except csv.Error as error:
            allowed = f"cells of at most {csv.field_size_limit():,} characters, each quote closed"
            raise InputError(f"not readable as csv: {error}", allowed=allowed, file=str(path),
                             line=table.line_num) from None  # fmt: skip
        except UnicodeDecodeError as error:
            found = f"byte 0x{error.object[error.start]:02x}"
            raise InputError("the file is not UTF-8 text", found, "text saved as UTF-8", str(path)) from None


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


def impossible(unit: Unit, change: Change) -> InputError | None:
    """Why this unit cannot run at a change, by its drive and its rating; None where it may. Costs nothing."""
    values = change.values
    drive = unit.fan.drive
    typed = values.get("fan_frequency")
    if typed is not None and drive is not None and drive not in FREQUENCY_DRIVES:
        return InputError(
            f'this unit\'s fan has no frequency to set: its drive is "{drive}"',
            f'"{typed.text}"',
            "airflow, or fan_speed in per cent of the speed it has",
            key="fan_frequency",
        )
    try:
        speed = speed_share(unit, change)
    except InputError as error:
        return error
    key = "fan_speed" if typed is None else "fan_frequency"
    most = {
        "airflow": (MOST_AIRFLOW, unit.rated_airflow.value, "the rated airflow"),
        "fan_power": (MOST_FAN_POWER, unit.rated_capacity.value, "the rated capacity"),
    }
    asked = [(name, values[name], values[name].value / rated, of, what)
             for name, (of, rated, what) in most.items() if name in values]  # fmt: skip
    if speed is not None:
        asked.append((key, values[key], speed, MOST_SPEED, "the fan's full speed"))
    for name, value, share, limit, what in asked:
        if not 0.0 <= share <= limit:
            allowed = f"up to {100 * limit:.0f} % of {what} (common practice, no source)"
            return OutOfRange("more than this unit can be", f'"{value.text}"', allowed, key=name)
    return None


def possible(unit: Unit, changes: Iterable[Change]) -> None:
    """Refuse changes of which the unit can be none; costs nothing.

    Raises
    ------
    InputError
        The first of the reasons.
    """
    first = None
    for change in changes:
        error = impossible(unit, change)
        if error is None:
            return
        first = first or error
    if first is not None:
        raise first


def speed_share(unit: Unit, change: Change) -> float | None:
    """Fan speed of a change over the unit's full speed; None where it sets none.

    Raises
    ------
    InputError
        A speed in another unit than the full speed.
    """
    full = unit.fan.full_speed
    if (typed := change.values.get("fan_frequency")) is not None:
        return typed.value / (full.value if full is not None and full.unit == "Hz" else LINE_FREQUENCY)
    if (typed := change.values.get("fan_speed")) is None:
        return None
    if typed.unit == "%":
        return typed.value / (full.value if full is not None and full.unit == "%" else 1.0)
    if full is None or full.unit != typed.unit:
        raise InputError(
            "a speed in another unit than the full speed of the unit's table",
            found=f'"{typed.text}"',
            allowed=full.text if full is not None else "%, or [unit.fan] full_speed in that unit",
            key="fan_speed",
        )
    return typed.value / full.value


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
