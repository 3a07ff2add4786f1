"""Panel: a call, the wires that are landed, a jumper; who is energised, and what a meter should show."""

from __future__ import annotations

import ipywidgets as widgets

from hvaccalc.analysis import analyse
from hvaccalc.call import Call, Mode
from hvaccalc.diagnosis.calls.call_wiring import CallWiring, wires_landed, wiring_as_found, wiring_trial
from hvaccalc.ensemble import Band
from hvaccalc.equipment.wiring.netlist import Ends
from hvaccalc.equipment.wiring.voltage_ladder import Expected
from hvaccalc.equipment.wiring.wiring_faults import shown
from hvaccalc.findings.wiring import (
    WIRING,
    call_key,
    ends_told,
    fault_sentence,
    measure_sentence,
    safer_told,
    told,
    untyped_told,
    winning_told,
)
from hvaccalc.job.schema import Job
from hvaccalc.panels.base import Panel
from hvaccalc.panels.unit_field import choice, part
from hvaccalc.pictures.wiring_drawing import picture
from hvaccalc.report.blocks import Caution, Item
from hvaccalc.words.said import escaped

NO_JUMPER = "no jumper"
NO_WIRING = "Calls and wiring: the job lists no terminals ([wiring] terminals), so no call can be followed"

CAUTION = Caution(
    "Before a meter or a jumper goes near a terminal",
    (
        Item(
            "Reading the ladder is live work: control side only, power section covered, out of the "
            "line-voltage compartment, protective equipment on.",
            "Live readings.",
        ),
        Item(
            "Landing or lifting a wire is dead work: lock out, prove dead, wait for the drive's capacitors.",
            "Wires.",
        ),
        Item("Never over a safety. One supply, tagged, dated, removable.", "Jumper."),
    ),
)


NO_FINDING = (
    "Calls and wiring: nothing is wrong with the terminals as typed, no jumper and no voltage to judge"
)
TOLD_ABOVE = frozenset(map(call_key, Call))
"""What each call does is told by the panel itself."""


def findings_told(job: Job) -> list[str]:
    """What the findings say on the wiring of a job; why they say nothing, where they do not."""
    analysis = analyse(job)
    of_wiring = [f for f in analysis.findings if f.key.startswith(WIRING) and f.key not in TOLD_ABOVE]
    said = [f"{f.severity}: {f.statement}" for f in of_wiring]
    silence = NO_WIRING if analysis.calls is None else NO_FINDING
    return said or [f"{silence}."]


class WiringPanel(Panel):
    """Call, wires and a jumper in; loads, fan speed, expected voltages and the jumper's judgement out.

    The boxes start as the job found its wiring; `result` is the `CallWiring` of what is ticked.

    Parameters
    ----------
    job : Job
        With a wiring table.
    call : str
        Call shown first; the highest cooling call where none is named, or where the job has no such call.
    """

    title = "Calls and wiring"
    caution = CAUTION

    def __init__(self, job: Job, call: str = "") -> None:
        self.job = job
        start = wiring_as_found(job)
        calls = start.calls if start is not None else ()
        if start is None:
            self.title = NO_WIRING
        self.call = choice("Call", [Call.NONE, *calls], call if call in calls else _highest(calls))
        self.landed = (
            {wire: _box(shown(wire), landed) for wire, landed in wires_landed(job).items()}
            if start is not None
            else {}
        )
        self.assigned = {
            row.input: _box(f"{row.input} assigned", row.found != "not assigned")
            for row in job.wiring.fan_speed
            if row.input
        }
        terminals = [NO_JUMPER, *dict.fromkeys(end for wire in self.landed for end in wire)]
        first = (job.wiring.temporary or ((NO_JUMPER, NO_JUMPER),))[0]
        terminals += [end for end in first if end not in terminals]
        self.jumper = (choice("Jumper from", terminals, first[0]), choice("to", terminals, first[1]))
        super().__init__([], self._controls())
        # On a narrow page it takes a row of its own, so that its letters stay legible.
        self.picture.layout.flex, self.picture.layout.max_width = "1 1 50em", "68em"
        for control in (self.call, *self.landed.values(), *self.assigned.values(), *self.jumper):
            control.observe(lambda _: self.refresh(), "value")

    @classmethod
    def from_job(cls, job: Job, call: str = "") -> WiringPanel:
        """Panel with the wiring of a job as found."""
        return cls(job, call)

    def _controls(self) -> list[widgets.Widget]:
        wires = widgets.VBox(list(self.landed.values()), layout={"max_height": "16em", "overflow": "auto"})
        return [
            self.call,
            part("Wires landed; what is loose or not in the design stands first"),
            wires,
            *([part("Presets of the drive"), *self.assigned.values()] if self.assigned else []),
            part("Jumper, judged before it is landed"),
            *self.jumper,
        ]

    @property
    def jumpers(self) -> tuple[Ends, ...]:
        """The jumper as a pair, none where an end is missing."""
        a, b = (control.value for control in self.jumper)
        return ((a, b),) if NO_JUMPER not in (a, b) and a != b else ()

    def solve(self) -> CallWiring | None:
        """The wiring as ticked, at every call; None where the job has none."""
        if not self.landed:
            return None
        wires = [wire for wire, box in self.landed.items() if box.value]
        silent = [terminal for terminal, box in self.assigned.items() if not box.value]
        return wiring_trial(self.job, wires, self.jumpers, silent)

    def draw(self) -> str:
        """The circuit at the call as SVG."""
        drawn = picture(self.result, self.call.value, f"wiring-{self.call.value.replace(' ', '-')}")
        return drawn.svg if drawn is not None else ""

    def tell(self) -> list[str]:
        """Loads and fan, what is wrong, the jumper's judgement, the ladder of voltages."""
        return [*self._said(), *(_rung(rung) for rung in self.ladder())]

    def tell_html(self) -> str:
        """Sentences, then the ladder as a table."""
        said = "".join(f"<p>{escaped(line)}</p>" for line in self._said())
        rows = "".join(
            f"<tr><td>{escaped(r.terminal)}</td><td>{_volts(r.designed)}</td><td>{_volts(r.now)}</td></tr>"
            for r in self.ladder()
        )
        head = "<tr><th>terminal against common</th><th>as designed</th><th>as ticked</th></tr>"
        table = f'<table class="hvac-note">{head}{rows}</table>' if rows else ""
        return f'<div class="hvac-say">{said}</div>{table}'

    def ladder(self) -> tuple[Expected, ...]:
        """Voltages to expect at the call's terminals."""
        rungs: tuple[Expected, ...] = self.result.expected(self.call.value)
        return rungs

    def _said(self) -> list[str]:
        result, call = self.result, self.call.value
        with_call = "With no call" if call is Call.NONE else f"With {call} on"
        lines = [f"{with_call}: {told(result.now, call)}; as designed: {told(result.designed, call)}."]
        lines += [*winning_told(result, call), *untyped_told(result, call), *ends_told(result, call)]
        lines += [f"That is {one.name}." for one in result.combinations if one.call == call]
        lines += [
            f"Back-feed: {feed.load} by {' - '.join(feed.path)}."
            for feed in result.back_feeds
            if call in feed.calls
        ]
        lines += [fault_sentence(fault) for fault in result.faults if not fault.for_measure]
        if result.measure is None:
            return lines
        return [*lines, *safer_told(result), measure_sentence(result)]


def _box(label: str, ticked: bool) -> widgets.Checkbox:
    return widgets.Checkbox(value=ticked, description=label, indent=False, layout={"width": "auto"})


def _highest(calls: tuple[Call, ...]) -> Call:
    cooling = [call for call in calls if call.mode is Mode.COOL]
    return (cooling or list(calls) or [Call.NONE])[-1]


def _volts(volts: Band | None) -> str:
    if volts is None:
        return "open: nothing, or a ghost of 10 to 20 V"
    shown_as = f"{volts.value:.1f} V ({volts.low:.1f} to {volts.high:.1f})"
    return "0 V" if volts.value < 1.0 else shown_as


def _rung(rung: Expected) -> str:
    return (
        f"Meter at {rung.terminal} against common: {_volts(rung.now)}; as designed {_volts(rung.designed)}."
    )
