"""Readings as taken and the results from them, condition by condition, with their bands."""

import math
from collections.abc import Iterator, Sequence

from hvaccalc import units
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import band
from hvaccalc.findings import Finding
from hvaccalc.findings.air import Told
from hvaccalc.findings.finding import shown_band
from hvaccalc.job.fields import Reading
from hvaccalc.job.visit_tables import Air, CircuitReadings, VoltageSeen
from hvaccalc.report import plain
from hvaccalc.report.blocks import Block, Heading, Paragraph, Table
from hvaccalc.report.found import RANGES, Found, where_of
from hvaccalc.words.said import date_text, joined

FLAG = "left out: contradicts other readings"
SIDE_BY_SIDE = 3
"""Conditions in one table of results."""

NAMES = {
    "site.barometer": ("barometer", "absolute_pressure"),
    "air.return.humidity_ratio": ("return air, humidity ratio", "humidity_ratio"),
    "air.return.dew_point": ("return air, dew point", "temperature"),
    "air.return.wet_bulb": ("return air, wet bulb", "temperature"),
    "air.supply.humidity_ratio": ("supply air, humidity ratio", "humidity_ratio"),
    "air.supply.dew_point": ("supply air, dew point", "temperature"),
    "airflow.reconciled": ("airflow", "airflow"),
    "airflow.split_excess": ("air's drop less the target split", "temperature_difference"),
    "capacity.sensible": ("sensible capacity", "heat"),
    "capacity.total": ("total capacity", "heat"),
    "condensate.rate": ("condensate", "water_flow"),
    "water.drain_balance": ("condensate that did not come out of the drain", "water_flow"),
    "circuit.suction_saturation": ("suction saturation as read", "temperature"),
    "circuit.liquid_saturation": ("liquid saturation", "temperature"),
    "circuit.condensing_saturation": ("condensing saturation", "temperature"),
    "circuit.subcooling": ("subcooling", "temperature_difference"),
    "circuit.superheat": ("superheat", "temperature_difference"),
    "circuit.discharge_superheat": ("discharge superheat", "temperature_difference"),
    "circuit.chart_offset": ("liquid warmer than the chart", "temperature_difference"),
    "circuit.condensing_over_outdoor": ("condensing over outdoor air", "temperature_difference"),
    "circuit.suction_line_drop": ("suction line's loss of saturation", "temperature_difference"),
    "circuit.flash_margin": ("liquid at the device short of its bubble point", "temperature_difference"),
    "circuit.standing_excess": ("standing saturation over outdoor air", "temperature_difference"),
    "coil.suction_saturation": ("suction saturation at the coil", "temperature"),
    "coil.coldest_surface": ("coldest metal of the coil", "temperature"),
    "freeze.probability.fin": ("metal below freezing, chance", "probability"),
    "freeze.probability.suction": ("suction below freezing, chance", "probability"),
    "freeze.threshold_airflow.fin": ("airflow at which the metal reaches freezing", "airflow"),
    "freeze.threshold_airflow.suction": ("airflow at which the suction reaches freezing", "airflow"),
    "freeze.forecast.mild_morning": ("metal below freezing on a mild morning, chance", "probability"),
    "freeze.forecast.hot_afternoon": ("metal below freezing on a hot afternoon, chance", "probability"),
    "forecast.coldest_surface_full_speed": ("coldest metal at full fan speed", "temperature"),
    "heating.condensing_saturation": ("heating: condensing by the balance", "temperature"),
    "heating.condensing_full_speed": ("heating: condensing at full fan speed", "temperature"),
    "heating.supply_dry_bulb": ("heating: supply air by the balance", "temperature"),
    "heating.supply_full_speed": ("heating: supply air at full fan speed", "temperature"),
}
"""Words and kind of each result with a number; an airflow by one way is named after it."""


def readings(found: Found) -> list[Block]:
    """Tables of every condition, then of the results side by side."""
    results = found.by_time
    if found.plain:
        return _for_the_customer(found)
    blocks: list[Block] = [Heading("Readings as found and as left")]
    if not results:
        return [*blocks, Paragraph("No readings yet.")]
    blocks.append(
        Paragraph(
            "In the order in which they were taken, by date and time: the first stands for as found, the "
            "last for as left. The band holds 95 % of what the instrument and the way of reading allow."
        )
    )
    for result in results:
        blocks += _condition(found, result)
    for start in range(0, len(results), SIDE_BY_SIDE):
        blocks.append(_results(found, results[start : start + SIDE_BY_SIDE]))
    return blocks


def _condition(found: Found, result: ConditionResult) -> list[Block]:
    where = result.where
    condition = found.analysis.draws.condition(where)
    day = found.job.visit[where.visit - 1].date
    calls = "not noted" if condition.calls is None else joined(condition.calls) if condition.calls else "none"
    running = joined(condition.compressors_running) if condition.compressors_running else "not noted"
    told = [
        date_text(day) + (f", {condition.time:%H:%M}" if condition.time else ""),
        f"calls: {calls}",
        f"compressors running: {running}",
        f"running for: {condition.running_for.text if condition.running_for else 'not noted'}",
        f"coil thawed: {condition.coil_thawed or 'not noted'}",
        f"filters clean: {condition.filters_clean or 'not noted'}",
    ]
    rows = [*_rows(found, where, "air", condition.air)]
    for name, table in condition.circuit.items():
        rows += _rows(found, where.at(name), f"circuit {name}", table)
    rows += [_voltage(seen) for seen in condition.voltage]
    title = f"{where.visit}.{where.condition} {result.label}"
    blocks: list[Block] = [Heading(title, 3), Paragraph("; ".join(told) + ".")]
    if rows:
        blocks.append(
            Table(
                ("Reading", "As read", "Band, 95 %", "Remark"),
                tuple(rows),
                f"Readings {where.visit}.{where.condition}",
            )
        )
    return blocks


def _rows(found: Found, where: Where, side: str, table: Air | CircuitReadings) -> Iterator[tuple[str, ...]]:
    for key in type(table).model_fields:
        value = getattr(table, key)
        name = f"{side}, {key.replace('_', ' ')}"
        if value is None:
            continue
        if isinstance(value, Reading):
            yield (name, value.quantity.text, *_banded(found, where, key, value))
        elif key == "traverse":
            yield (name, value.counted, "–", "")
        elif key == "condenser_fans_running":
            yield (
                name,
                f"{value.running} of {value.of}" if value.of is not None else str(value.running),
                "–",
                "",
            )
        else:
            yield (name, str(value), "–", "")


def _banded(found: Found, where: Where, key: str, reading: Reading) -> tuple[str, str]:
    """Band and remark of a reading."""
    draws = found.analysis.draws
    remark = "; ".join(
        part
        for part in (
            reading.instrument or "", f"by {reading.by}" if reading.by else "",
            f"at {reading.at}" if reading.at else "", reading.note or "",
        )
        if part
    )  # fmt: skip
    if (where, key) in draws.excluded:
        return "–", f"† {FLAG}" + (f"; {remark}" if remark else "")
    column = draws.column(where, key)
    quantity = reading.quantity
    if column is None:
        return "–", remark
    barometer = float(draws.barometer(Where(where.visit, where.condition)).draws[0])
    spread = band(column)
    name, standard = _shown_unit(quantity, found.display)
    ends = [float(units.to(v, name, quantity.kind, barometer)) for v in (spread.low, spread.high)]
    half = 0.5 * abs(ends[1] - ends[0])
    decimals = min(max(-math.floor(math.log10(0.5 * half)), 0), 3) if half > 0.0 else 1
    shown = units.DISPLAY_NAMES.get(name, name)
    return f"{ends[0]:,.{decimals}f} to {ends[1]:,.{decimals}f} {shown}{standard}", remark


def _shown_unit(quantity: units.Quantity, display: str) -> tuple[str, str]:
    """Unit of a band: as typed, so that it can be held against the reading; in metric display the usual one.

    A fan's speed always stays as typed, for Hz, rpm and % do not convert.
    """
    if display == "us" or quantity.kind == "fan_speed":
        return quantity.unit, ""
    return units.display_unit(quantity.kind, display)[0], " of standard air" * (quantity.unit == "scfm")


def _voltage(seen: VoltageSeen) -> tuple[str, ...]:
    call = f" with {seen.call}" if seen.call else ""
    if seen.input:
        return (f"voltage, {seen.input}{call}", f"input shows {seen.input_status or 'not noted'}", "–", "")
    name = f"voltage, {seen.from_ or '?'} to {seen.to or '?'}{call}"
    return (name, seen.value.quantity.text if seen.value else "not noted", "–", "")


def _results(found: Found, results: Sequence[ConditionResult]) -> Table:
    """Results with a number side by side: one row for each key and circuit, one column for each condition."""
    places = [r.where for r in results]
    rows: dict[tuple[str, str | None], dict[Where, Finding]] = {}
    for finding in found.analysis.findings:
        place = where_of(finding)
        told = (
            finding.value is not None
            or finding.key.startswith("freeze.")
            or finding.text == Told.NOT_DETERMINED
        )
        # A number without a name and kind of its own would be printed in the wrong unit.
        if place in places and told and (finding.key in NAMES or finding.key.startswith("airflow.")):
            rows.setdefault((finding.key, finding.circuit), {})[place] = finding
    cells = tuple(
        (_name(key, circuit), *(_cell(found, by_place.get(place)) for place in places))
        for (key, circuit), by_place in rows.items()
    )
    header = ("Result", *(f"{r.where.visit}.{r.where.condition} {r.label}" for r in results))
    return Table(header, cells, "Results with their 95 % bands")


def _name(key: str, circuit: str | None) -> str:
    words = NAMES[key][0] if key in NAMES else f"airflow, {key.removeprefix('airflow.').replace('_', ' ')}"
    return f"circuit {circuit}: {words}" if circuit is not None else words


def _cell(found: Found, finding: Finding | None) -> str:
    if finding is None:
        return "–"
    if finding.value is None:
        return finding.text or "not known"
    kind = NAMES.get(finding.key, ("", "airflow"))[1]
    text = shown_band(finding.band, kind, found.display)
    result = found.result(finding) if finding.key == "capacity.total" else None
    if result is not None and result.duty.taken_dry:
        text += ", as read: dry, the sensible counts"
    return text if finding.basis in ("measured", "computed") else f"{text}, {finding.basis}"


def _for_the_customer(found: Found) -> list[Block]:
    """A few numbers, worst condition and last condition."""
    results = found.by_time
    if not results or found.decisive is None:
        return []
    shown = list(dict.fromkeys((found.decisive.where, results[-1].where)))
    rows = []
    for name, key, kind in (
        ("Air through the unit", "airflow.reconciled", "airflow"),
        ("Coldest part of the cooling coil", "coil.coldest_surface", "temperature"),
    ):
        told = [found.known(key, where) for where in shown]
        if any(told):
            rows.append((name, *(plain.number(f, kind, found.display) if f else "not known" for f in told)))
    if not rows:
        return []
    header = ("Reading", *(found.place(where) for where in shown))
    return [
        Heading("Readings as found and as left"),
        Table(header, tuple(rows), f"The worst reading, and the last one. {RANGES}"),
    ]
