"""Findings of a heat pump heating: its head and supply at the air it has, and what they do not prove."""

from collections.abc import Iterable

from hvaccalc import units
from hvaccalc.diagnosis.unit.heating_head import HeadVerdict, HeatingHead
from hvaccalc.ensemble import Band
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.practice.statements import EDGE_OF_BAND
from hvaccalc.words.said import banded

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
    raised = one.verdict is HeadVerdict.LOW_FAN
    if one.head.known:
        told = f"{SIMPLE}, the head stands at {_gauge(writer, one.head, one)}"
        told += f" and the supply at {banded(one.supply, 'temperature', writer.display)}"
    else:
        told = f"{SIMPLE}, no head below the critical point carries the heat away: it would trip"
    if one.read_supply is not None and one.read_supply.known:
        told += f" ({banded(one.read_supply, 'temperature', writer.display)} read{_edge(one)})"
    if one.full_head is not None and one.full_supply is not None and one.full_head.known:
        told += (
            f"; at full fan speed, with the same charge, at {_gauge(writer, one.full_head, one)} and "
            f"{banded(one.full_supply, 'temperature', writer.display)}"
        )
    told += "."
    if one.read_head is not None and one.read_head.known:
        told += f" Read: {_gauge(writer, one.read_head, one)}."
    if raised:
        told += f" {_raised(writer, one)}"
    writer.verdict(
        "heating.high_head",
        one.where,
        one.verdict,
        told,
        sources=("coupled_unit", *(("high_pressure_cut_outs",) if raised and one.cut_out else ())),
        inputs=(finding_id("heating.condensing_saturation", one.where),),
    )


def _edge(one: HeatingHead) -> str:
    """Where a supply that was read lies in the balance's band, if not well inside."""
    read, band = one.read_supply, one.supply
    if read is None or not band.known or not band.high > band.low:
        return ""
    share = (read.value - band.low) / (band.high - band.low)
    if EDGE_OF_BAND <= share <= 1.0 - EDGE_OF_BAND:
        return ""
    side = "low" if share < 0.5 else "high"
    place = f"at the {side} edge of that band" if 0.0 <= share <= 1.0 else f"{side}er than that band"
    speaks = (
        "more air or less heat, so a lower head," if side == "low" else "less air or more heat, so more head,"
    )
    return f", {place}: it speaks for {speaks} than the balance's middle"


def _raised(writer: Writer, one: HeatingHead) -> str:
    """What a head raised by the low fan means: a likely part of a trip, and no proof of overcharge."""
    read = one.read_head is not None and one.read_head.known
    parts = ["The low fan raises the head so: a likely contributor to a trip on high pressure."]
    if one.cut_out is not None:
        unit, (low, high) = _above_barometer(writer, one, one.cut_out)
        parts.append(f"Cut-outs of this refrigerant usually open at {low:.0f} to {high:.0f} {unit}.")
        if one.trips == "no":
            head = "The head that was read" if read else "By this balance the head"
            parts.append(f"{head} stays below that, so the low fan by itself does not explain a trip.")
    wanted = "the cut-out's setting" if read else "the head while it heats and the cut-out's setting"
    parts.append(
        f"Read {wanted}. A high head with a low fan is the fan's first and no proof of overcharge: take no "
        "refrigerant out, never bridge or raise the high-pressure cut-out, bring the fan to full speed and "
        "read again."
    )
    return " ".join(parts)


def _gauge(writer: Writer, value: Band, one: HeatingHead) -> str:
    """A pressure above the barometer."""
    unit, (low, middle, high) = _above_barometer(writer, one, value.low_to_high)
    return f"{middle:.0f} {unit} ({low:.0f} to {high:.0f})"


def _above_barometer(writer: Writer, one: HeatingHead, pressures: Iterable[float]) -> tuple[str, list[float]]:
    """Unit in words, and gauge pressures in it."""
    name, words = ("psig", "psig") if writer.display == "us" else ("kPag", "kPa gauge")
    return words, [float(units.to(pressure, name, "pressure", one.barometer)) for pressure in pressures]
