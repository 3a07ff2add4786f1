"""Findings of a heat pump heating: its head and supply at the air it has, and that this is no overcharge."""

from __future__ import annotations

from collections.abc import Iterable

from hvaccalc import units
from hvaccalc.diagnosis.heating_head import HeatingHead
from hvaccalc.ensemble import Band
from hvaccalc.findings.finding import Writer, finding_id

HIGHER = 5.0 * 5 / 9
"""Rise of the condensing temperature by the low fan from which the head counts as raised [K]."""

LOW_FAN_HEAD = "low fan, no overcharge"

SIMPLE = (
    "By the simple heating balance of the unit rated in cooling (superheat and subcooling given, no frost, "
    "no measured heating state behind it)"
)


def heating_heads(writer: Writer, found: Iterable[HeatingHead]) -> None:
    """Head, condensing and supply of every heating condition, and what a high head means there."""
    for one in found:
        _numbers(writer, one)
        _verdict(writer, one)


def _numbers(writer: Writer, one: HeatingHead) -> None:
    inputs = (finding_id("airflow.reconciled", one.where),)
    for key, value, sentence in (
        ("condensing_saturation", one.condensing, f"{SIMPLE} the heating unit condenses at {{}}."),
        ("supply_dry_bulb", one.supply, "By the same balance its supply air leaves at {}."),
        ("condensing_full_speed", one.full_condensing, "With the fan at full speed it would condense at {}."),
        ("supply_full_speed", one.full_supply, "With the fan at full speed the supply would leave at {}."),
    ):
        if value is not None and value.known:
            writer.number(
                f"heating.{key}", one.where, value, "temperature", sentence,
                sources=("coupled_unit",), inputs=inputs, left_out="of the draws have no such unit",
            )  # fmt: skip


def _verdict(writer: Writer, one: HeatingHead) -> None:
    full = one.full_condensing
    raised = full is not None and full.known and not one.condensing.value - full.value <= HIGHER
    if one.head.known:
        told = f"{SIMPLE}, the head stands at {_gauge(writer, one.head, one)}"
        told += f" and the supply at {_shown(writer, one.supply)}"
    else:
        told = f"{SIMPLE}, no head below the critical point carries the heat away: it would trip"
    if one.read_supply is not None and one.read_supply.known:
        told += f" ({_shown(writer, one.read_supply)} read)"
    if one.full_head is not None and one.full_supply is not None and one.full_head.known:
        told += (
            f"; at full fan speed, with the same charge, at {_gauge(writer, one.full_head, one)} and "
            f"{_shown(writer, one.full_supply)}"
        )
    told += "."
    if one.read_head is not None and one.read_head.known:
        told += f" Read: {_gauge(writer, one.read_head, one)}."
    if raised:
        told += (
            " The low fan alone raises the head so, which is no overcharge: take no refrigerant out, never "
            "bridge or raise the high-pressure cut-out, bring the fan to full speed and read again."
        )
    writer.verdict(
        "heating.high_head",
        one.where,
        LOW_FAN_HEAD if raised else "as the air asks for",
        told,
        sources=("coupled_unit",),
        inputs=(finding_id("heating.condensing_saturation", one.where),),
    )


def _shown(writer: Writer, value: Band) -> str:
    return units.band_text(value.value, value.low, value.high, "temperature", writer.display)


def _gauge(writer: Writer, value: Band, one: HeatingHead) -> str:
    """A pressure above the barometer."""
    name = "psig" if writer.display == "us" else "kPa"
    low, middle, high = (
        float(units.to(x - (0.0 if name == "psig" else one.barometer), name, "pressure", one.barometer))
        for x in (value.low, value.value, value.high)
    )
    return f"{middle:.0f} {'psig' if name == 'psig' else 'kPa gauge'} ({low:.0f} to {high:.0f})"
