"""What was done, the permanent repair and the refrigerant."""

from __future__ import annotations

from datetime import date

from hvaccalc.diagnosis.calls import measures
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.readings.signs_seen import obstructions
from hvaccalc.findings.heating_head import LOW_FAN_HEAD
from hvaccalc.job.visit_tables import Work
from hvaccalc.report import endings, figures, plain, water_repair
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.contrast_table import contrast_table
from hvaccalc.report.found import Found, where_of
from hvaccalc.report.quoted import to_be_quoted
from hvaccalc.report.refrigerant_section import bring
from hvaccalc.report.today import today
from hvaccalc.report.words import date_text, terminals
from hvaccalc.service.slow_calls import heats_slow
from hvaccalc.severity import Severity
from hvaccalc.units import Quantity
from hvaccalc.words.charge import LOOKS
from hvaccalc.words.said import capital
from hvaccalc.words.water import WAYS
from hvaccalc.words.wiring import FAULTS


def done(found: Found) -> list[Block]:
    """Work of the last visit, and how long a temporary measure may stay."""
    visits = found.job.visit
    blocks: list[Block] = [Heading("What was done, and how long it may stay")]
    latest = measures.last_date(found.job)
    for number in reversed(found.visits):
        visit = visits[number - 1]
        items = tuple(Item(_work(found, work, latest), _kind(work)) for work in visit.work)
        if number == found.visits[-1] and not items:
            blocks.append(Paragraph("Nothing was noted as done on the last visit."))
        if items:
            when = f"On {date_text(visit.date)}" if visit.date else f"On visit {number}"
            blocks += [Paragraph("", f"{when}:"), Items(items)]
    if not visits:
        blocks.append(Paragraph("No visit has been made yet."))
    return blocks + today(found)


def _kind(work: Work) -> str:
    return f"{(work.kind or 'work').capitalize()}."


def _work(found: Found, work: Work, last: date | None) -> str:
    parts = [f"Circuit {work.circuit}" if work.circuit else "", work.amount.text if work.amount else ""]
    told = [", ".join(p for p in parts if p)] if any(parts) else []
    told += [work.note.strip().rstrip(".")] if work.note else []
    told += [f"Mind: {'; '.join(work.hazards)}"] if work.hazards else []
    told += [f"{name} {value.text}" for name, value in _test(work)]
    if work.removed:
        told.append(f"Removed on {date_text(work.removed)}")
    elif work.expires:
        told.append(f"Noted end: {date_text(work.expires)}, at the latest")
    text = ". ".join(told) + "." if told else ""
    return " ".join([text, *map(found.teller.tell, measures.of_work(work, last))]).strip()


def _test(work: Work) -> list[tuple[str, Quantity]]:
    names = {
        "start_pressure": "Pressure at the start", "start_temperature": "temperature at the start",
        "end_pressure": "pressure at the end", "end_temperature": "temperature at the end",
        "lasted": "lasted",
        "reached": "Vacuum reached", "after": "after", "waited": "then waited",
    }  # fmt: skip
    return [(words, value) for key, words in names.items() if (value := getattr(work, key)) is not None]


def permanent(found: Found) -> list[Block]:
    """The repair that the findings call for."""
    items = [*_fan_repair(found), *_compressor_repairs(found), *_charge_repairs(found)]
    items = [*_water_repairs(found), *items, *bring(found)]
    blocks: list[Block] = [Heading("Permanent repair")]
    if items:
        blocks.append(Items(tuple(items)))
    else:
        blocks.append(Paragraph("The findings do not call for a repair yet; the open questions come first."))
    blocks += to_be_quoted(found, items)
    return [*blocks, Paragraph("Prices are not part of this memo; scope and exclusions are to be agreed.")]


def _water_repairs(found: Found) -> list[Item]:
    """What the budget calls for; what was noted as repaired since only waits for its proof."""
    budget = found.analysis.water
    if budget is None:
        return []
    ways = {f"{capital(WAYS[way].title.file)}.": way for way in budget.weighed}
    items = []
    for item in water_repair.repairs(found):
        way = ways.get(item.lead)
        end = endings.of_water(found, way) if way is not None else None
        if end is not None:
            again = "" if found.plain else f" Should the proof fail: {item.text}"
            item = Item(end.noted + again, item.lead)
        items.append(item)
    return items


def _fan_repair(found: Found) -> list[Item]:
    worst = found.decisive
    if worst is not None and worst.staging is not None:
        if found.put_right is not None:
            return [Item(_read_right(found, found.put_right.where), "Fan.")]
        expected = worst.staging.expected
        heats = heats_slow(found.analysis)
        if found.plain:
            too = " and whenever it heats" if heats else ""
            return [
                Item(
                    f"Make the fan reach {expected} whenever the whole cooling runs{too}, and prove it."
                    f"{mends(found)}",
                    "Fan.",
                )
            ]
        how = mends(found) or (
            " Follow the call from the thermostat through the air handler's terminal to the drive's input, "
            "mend the break or assign the drive's preset (note the old value)."
        )
        too = " and at every heating call" if heats else ""
        text = f"Make the fan reach {expected} whenever all stages are called{too}, and prove it.{how}"
        before = (
            "Before the fan is sped up: motor current against the plate at the new speed, belt, filters, "
            "the coil's face velocity, and the trap: suction at the pan grows with the square of the "
            "speed."
        )
        return [Item(text, "Fan."), Item(before, "Checked first.")]
    if found.air_right is not None:
        return [Item(_read_right(found, found.air_right.where), "Air.")]
    blocked = [r for r in found.analysis.conditions if found.at("airflow.short", r.where)]
    seen = dict.fromkeys(
        s for r in found.analysis.conditions for s in obstructions(found.analysis.draws, r.where)
    )
    if blocked or seen:
        noted = f" Seen: {', '.join(seen)}." if seen else ""
        text = (
            "Clean or replace what holds the air back (filters, coil face, belt, dampers, "
            "duct), then measure "
            f"the airflow and read again.{noted}"
        )
        return [Item(text, "Air.")]
    if found.freezes:
        text = (
            "The coil freezes, or its refrigerant does, though no fault of the fan's speed "
            "was read: look for "
            "what holds the air or the refrigerant back (filters, coil face, belt, dampers, charge)."
        )
        return [Item(text, "Air.")]
    return []


def _read_right(found: Found, where: Where) -> str:
    return f"Read as put right ({found.place(where)}); the proof below still has to be given."


def mends(found: Found) -> str:
    """The jumper off, then the wire or preset that the wiring names, then the proof; empty without one."""
    calls = found.analysis.calls
    if calls is None:
        return ""
    dead: list[str] = []
    live: list[str] = []
    for one in calls.faults:
        if one.stands:
            text = found.teller.fill(FAULTS[one.kind].mend, {"place": terminals(one.place)})
            (live if one.live else dead).append(text)
    if not dead and not live:
        return ""
    if calls.measure is not None and not _taken_off(found):
        # A wire landed beside the jumper would tie its source to whatever the jumper reaches.
        dead.insert(0, "take the temporary jumper off both terminals first")
    off = f" Power off, locked out, proved dead: {'; then '.join(dead)}." if dead else ""
    return f"{off} Then, with the power on again, {'; '.join([*live, 'prove every call'])}."


def _taken_off(found: Found) -> bool:
    """Whether every temporary measure on record was removed."""
    works = [w for visit in found.job.visit for w in visit.work if w.kind == "temporary measure"]
    return bool(works) and all(work.removed for work in works)


def _compressor_repairs(found: Found) -> list[Item]:
    """Compressors that are called and stand, and liquid that may come back to them."""
    items = []
    for name in found.job.circuit:
        items += _condenser_repair(found, name)
        if any(f.circuit == name for f in found.of("circuit.compressor")):
            text = (
                "Find out which control or protection holds its compressor off (call, contactor, pressure "
                "switches, overload) and why. Never bridge one."
            )
            items.append(Item(text, f"Circuit {name}."))
        flooded = any(
            f.circuit == name and f.severity is Severity.ACT and f.key == "circuit.superheat"
            for f in found.analysis.findings
        )
        if flooded:
            valve = found.job.circuit[name].metering in ("TXV", "EEV")
            bulb = "the valve's sensing bulb" if valve else "the metering device (its kind is to be read)"
            bulb = "the orifice and its size" if found.job.circuit[name].metering == "fixed orifice" else bulb
            text = (
                "Liquid may come back to its compressor: check it first, by the discharge temperature and by "
                f"hand, then {bulb}, the airflow and the charge."
                if not found.plain
                else "Liquid may come back to its compressor: a technician has to check it first."
            )
            items.append(Item(text, f"Circuit {name}."))
    return items


def _condenser_repair(found: Found, name: str) -> list[Item]:
    """The condenser comes first where it gives its heat away at too high a temperature."""
    hot = [f for f in found.of("circuit.condensing_over_outdoor") if f.circuit == name]
    if not any(f.severity is not Severity.NOTE for f in hot):
        return []
    text = (
        "The condenser first: its face, its fans by count and direction, and air that returns to it; clean "
        "it and read again. Only if the head stays high, the standing pressure against ambient (air in the "
        "circuit), then the charge."
        if not found.plain
        else "The outdoor unit first: clean its coil, make sure that all its fans blow, then read again."
    )
    return [Item(text, f"Circuit {name}.")]


def _charge_repairs(found: Found) -> list[Item]:
    """One repair for each circuit that is off, by its verdict or else by the contrast."""
    items = []
    for name in found.job.circuit:
        charge, contrast = found.charge(name), found.contrast
        judged = found.judged(charge) if charge is not None else None
        said: str | None = judged.word if judged is not None else None
        unsettled = said in (None, "cannot tell", ChargeVerdict.LOW_OR_RESTRICTED)
        if unsettled and contrast is not None and contrast.circuit == name:
            said = _LOOKS.get(contrast.text or "", contrast.text)
        leak = found.job.circuit[name].leak
        said = "leak" if said in ("low", ChargeVerdict.LOW_OR_RESTRICTED) and leak.given else said
        text = _REPAIRS.get(said or "")
        if text is not None:
            at = f"at the {leak.at}" if leak.at and leak.at != "unknown" else "that is known"
            items.append(Item(text[found.plain].replace(HERE, at), f"Circuit {name}."))
    return items


_LOOKS = {"short of charge": "low", "short of charge or restriction": ChargeVerdict.LOW_OR_RESTRICTED}

HERE = "<where>"
"""Stands for the place of a known leak."""

_REPAIRS = {
    "low": (
        "Find the leak and repair it: recover the charge, repair, pressure test with nitrogen, evacuate and "
        "prove the vacuum holds, weigh the charge in. Topping up alone is no repair.",
        "Find the leak and repair it, then weigh the right amount of refrigerant in. Topping up alone is no "
        "repair.",
    ),
    ChargeVerdict.LOW_OR_RESTRICTED: (
        "Find the leak (or the restriction: temperature drop across the drier) and repair it: recover the "
        "charge, repair, pressure test with nitrogen, evacuate and prove the vacuum holds, weigh the "
        "charge in. Topping up alone is no repair.",
        "Find the leak (or what holds the refrigerant back) and repair it, then weigh the right amount of "
        "refrigerant in. Topping up alone is no repair.",
    ),
    "leak": (
        f"Repair the leak {HERE}: recover the charge, repair, pressure test with nitrogen (it finds the next "
        "leak too), evacuate and prove the vacuum holds, weigh the charge in. Topping up alone is no "
        "repair.",
        f"Repair the leak {HERE}, then weigh the right amount of refrigerant in. Topping up alone is no "
        "repair.",
    ),
    "high": (
        "First rule out a dirty or short-aired condenser and non-condensables, which look alike. Then weigh "
        "out what is too much into a recovery cylinder, down to the unit's own label, and read again.",
        "First make sure the outdoor unit is clean. Then take out what is too much and read again.",
    ),
    "overcharged": (
        "Compare with the label under full airflow; if confirmed, weigh out what is too much into a "
        "recovery cylinder.",
        "Check again under full airflow; if confirmed, take out what is too much.",
    ),
    "restriction": (
        "Measure the temperature drop across drier and line; replace the drier or free the valve, as proved.",
        "Find what holds the refrigerant back (drier or valve) and replace it.",
    ),
    "overfeeding valve": (
        "Check the sensing bulb (tight, in place, insulated) before the valve; confirm by superheat; "
        "replace the valve only then.",
        "Check the valve's sensing bulb first; replace the valve only if it proves faulty.",
    ),
    "overfed": (
        "Compressor first: is liquid coming back? Then the orifice (size, seat), airflow and charge.",
        "Check first that no liquid comes back to the compressor, then the metering device and the airflow.",
    ),
}
"""What a verdict calls for, for the file and for the customer; common practice, no source."""


NO_LEAK_RATE = "The leak rate was not calculated."


def refrigerant(found: Found) -> list[Block]:
    """Each circuit's charge, the circuits side by side, known leaks."""
    blocks: list[Block] = [Heading("Refrigerant")]
    if found.plain:
        blocks.append(Items(tuple(Item(_plain_circuit(found, name)) for name in found.job.circuit)))
    else:
        blocks += _verdicts(found)
    contrast = found.contrast
    if contrast is not None and not found.plain:
        blocks.append(Paragraph(f"{contrast.statement} ({found.place(where_of(contrast))})", "Side by side."))
    blocks += contrast_table(found)
    blocks += _heating(found)
    blocks += [Paragraph(text, "Known leak.") for text in _leaks(found)]
    if _leaks(found):
        text = "Other leaks may appear once the one that is known is closed and the pressure is back. "
        blocks.append(Paragraph(text + NO_LEAK_RATE))
    elif any(work.kind == "added refrigerant" for visit in found.job.visit for work in visit.work):
        blocks.append(Paragraph(NO_LEAK_RATE))
    if not found.plain and (picture := figures.circuits(found)) is not None:
        blocks.append(picture)
    return blocks


def _heating(found: Found) -> list[Block]:
    """The head of a heat pump that heats, the one with the low fan first."""
    heads = sorted(found.of("heating.high_head"), key=lambda f: f.text != LOW_FAN_HEAD)
    if not heads or found.plain:
        # The customer reads what a low fan does in heating with the reasons.
        return []
    text = f"{heads[0].statement} ({found.place(where_of(heads[0]))})"
    return [Paragraph(text, "Heating.")]


def _plain_circuit(found: Found, name: str) -> str:
    finding = found.charge(name)
    contrast = found.contrast
    text = (
        plain.charge(finding, found)
        if finding
        else f"Cooling circuit {name} was not read with its compressor running."
    )
    if finding is not None and len({r.where.visit for r in found.analysis.conditions}) > 1:
        text = f"{text.rstrip('.')} ({found.place(where_of(finding))})."
    if (
        contrast is not None
        and contrast.circuit == name
        and finding is not None
        and finding.text == "cannot tell"
    ):
        text += f" Beside the other circuit {LOOKS[Suspicion(contrast.text or '')].customer}."
    return text


def _verdicts(found: Found) -> list[Block]:
    """One row for each verdict of a circuit, conditions gathered."""
    grouped: dict[tuple[str, str, str, str], list[Where]] = {}
    for finding in found.of("circuit.charge"):
        judged = found.judged(finding)
        if judged is not None:
            why = judged.reason + (f" (holds {', '.join(judged.provisos)})" if judged.provisos else "")
            key = (finding.circuit or "", judged.word, why, judged.settle)
            grouped.setdefault(key, []).append(where_of(finding))
    if not grouped:
        return [
            Paragraph(
                "No circuit was read with its compressor running: nothing can be said of the charge yet."
            )
        ]
    order = list(found.job.circuit)
    rows = tuple(
        (f"{name} ({found.job.circuit[name].refrigerant})", verdict, why, settle or "–", found.places(places))
        for (name, verdict, why, settle), places in sorted(
            grouped.items(), key=lambda row: (order.index(row[0][0]), row[0][1] == "cannot tell")
        )
    )
    return [
        Table(
            ("Circuit", "Charge", "Because", "Read next", "In"),
            rows,
            "Charge of each circuit, verdicts first",
        )
    ]


def _leaks(found: Found) -> list[str]:
    told = []
    for name, circuit in found.job.circuit.items():
        leak = circuit.leak
        if not leak.model_fields_set:
            continue
        at = f" at the {leak.at}" if leak.at and leak.at != "unknown" else ""
        how = f", found by {leak.found_by}" if leak.found_by else ""
        note = f" {leak.note}" if leak.note else ""
        day = f" ({date_text(leak.date)})" if leak.date else ""
        told.append(f"Circuit {name}{at}{how}{day}.{note}")
    return told
