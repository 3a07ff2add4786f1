"""Warnings that belong to this job: only those for work that it calls for or has seen."""

from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.physics.refrigerant import safety_group
from hvaccalc.report.blocks import Block, Caution, Heading, Item
from hvaccalc.report.found import Found
from hvaccalc.report.sections.today import alarm

LAST = "Local code, the unit's own label and licensed practice come before anything written here."


def cautions(found: Found) -> list[Block]:
    """The box of cautions."""
    items = _for_the_customer(found) if found.plain else _for_the_file(found)
    return [
        Heading("Cautions"),
        Caution("Before anybody works on this", (*items, Item(LAST, "First of all."))),
    ]


def _iced(found: Found) -> bool:
    thawed = any(work.kind == "thawed" for visit in found.job.visit for work in visit.work)
    signs = [s for visit in found.job.visit for s in (visit.signs, *(c.signs for c in visit.condition))]
    frost = any(s.frost_on is not None and "none" not in s.frost_on.values for s in signs)
    return thawed or frost or found.freezes


def _for_the_customer(found: Found) -> tuple[Item, ...]:
    items = [
        Item(
            "Keep people and buckets away from wet panels and wiring; have the unit switched off if water "
            "reaches them.",
            "Water.",
        ),
        Item(
            "Leave covers on; what is behind them can kill, also some minutes after switching off.",
            "Electricity.",
        ),
    ]
    if _iced(found):
        items.append(
            Item("Ice on the coil is thawed by the fan alone; nobody should chip or scrape it.", "Ice.")
        )
    if _charge_work(found):
        items.append(
            Item(
                "Only licensed people may add or take out refrigerant; it must never be let off.",
                "Refrigerant.",
            )
        )
    if not alarm(found):
        items += [Item(LEAK_INDOORS, title) for title in _flammable(found)]
    return tuple(items)


def _for_the_file(found: Found) -> tuple[Item, ...]:
    items = [
        Item(
            "Lock out, tag, prove dead before hands go in; a drive's capacitors stay charged for minutes. "
            "Keep water away from live parts: cover them or switch off before pouring, thawing or opening "
            "a full pan.",
            "Electricity and water.",
        )
    ]
    if _at_the_wiring(found) or (found.staged_wrong and found.fan_read_right is None):
        items.append(
            Item(
                "Following the call with a voltmeter is live work: control side only, power section "
                "covered, out of the line-voltage compartment, protective equipment on.",
                "Live readings.",
            )
        )
        items.append(
            Item(
                "Check motor current, belt, filters, face velocity and trap before raising the speed.", "Fan."
            )
        )
    if found.job.wiring.temporary:
        items += [_JUMPER, *([_BACK_FEED] if _may_feed_back(found) else [])]
    if _iced(found):
        items.append(
            Item(
                "Thaw with the fan, cooling off; never chip, scrape or use a flame. Catch the water.", "Ice."
            )
        )
    if found.job.circuit and (_charge_work(found) or any(r.charges for r in found.analysis.conditions)):
        items.append(
            Item(
                "Licensed handling; recover, never vent; eye and hand protection at every hose.",
                "Refrigerant.",
            )
        )
    if _charge_work(found):
        items += _REPAIR
    indoors = "" if alarm(found) else f" {LEAK_INDOORS}"
    items += [Item(f"{_FLAMMABLE_WORK}{indoors}", title) for title in _flammable(found)]
    if _charge_work(found) or found.staged_wrong:
        items.append(
            Item(
                "Crankcase heat on, for the time the label gives, before a compressor that stood off "
                "starts again.",
                "Restart.",
            )
        )
    items.append(Item("Ladders footed, roof edges and lifting planned, nobody alone at height.", "Access."))
    return tuple(items)


def _charge_work(found: Found) -> bool:
    """Whether a circuit has to be opened, emptied or filled."""
    contrast = found.contrast
    verdicts = [
        ChargeVerdict(f.text or "") for name in found.job.circuit if (f := found.charge(name)) is not None
    ]
    leak = any(circuit.leak.model_fields_set for circuit in found.job.circuit.values())
    handled = any("refrigerant" in (w.kind or "") for visit in found.job.visit for w in visit.work)
    return (
        leak
        or handled
        or any(verdict.row.weigh for verdict in verdicts)
        or (contrast is not None and contrast.circuit is not None)
    )


def _flammable(found: Found) -> list[str]:
    """What the job's flammable refrigerants are called, a name each."""
    groups = {safety_group(circuit.refrigerant) for circuit in found.job.circuit.values()}
    return [title for group, title in FLAMMABLE.items() if group in groups]


def _at_the_wiring(found: Found) -> bool:
    """Whether somebody has to go to the control wiring with a meter or a jumper."""
    calls = found.analysis.calls
    return calls is not None and bool(calls.back_feeds or calls.measure)


def _may_feed_back(found: Found) -> bool:
    """Whether this jumper starts a load by a wrong call, or would with a conductor left on its terminal."""
    calls = found.analysis.calls
    measure = calls.measure if calls is not None else None
    return measure is None or bool(measure.fed or measure.lifted)


_JUMPER = Item(
    "A jumper stays within one supply, tagged, dated, removable, and never across a safety (high or low "
    "pressure, freezestat, float, smoke).",
    "Jumper.",
)
_BACK_FEED = Item(
    "A jumper from the fan call to the second stage feeds back to the outdoor unit unless the outdoor "
    "second-stage conductor is moved off that terminal: spliced straight to the thermostat's wire, or "
    "lifted, capped and said aloud. Then prove at fan alone, cool 1 and cool 2 which compressor runs and at "
    "what frequency.",
    "Back-feed.",
)

_REPAIR = (
    Item(
        "Regulator and relief, never oxygen; respect the low side's test pressure; let it flow while "
        "brazing.",
        "Nitrogen.",
    ),
    Item(
        "Only where the leak lies downstream of the liquid valve and the condenser holds the charge; "
        "never below atmospheric pressure, never with a bypassed cut-out.",
        "Pump-down.",
    ),
)

FLAMMABLE = {
    "A2L": "Mildly flammable refrigerant.",
    "A2": "Flammable refrigerant.",
    "A3": "Highly flammable refrigerant.",
}
"""What a safety group of ANSI/ASHRAE 34 is called here."""

_FLAMMABLE_WORK = (
    "Detector and ventilation, no ignition source, tools and recovery machine rated for it, left-hand "
    "cylinder thread."
)

LEAK_INDOORS = (
    "If it may be leaking indoors: no flame, no spark, touch no switch, let fresh air in, leave, and call "
    "from outside. The gas is heavier than air and gathers low, in a basement, a pit or a shaft: nobody "
    "goes down there before it is aired and a detector shows it clear."
)
