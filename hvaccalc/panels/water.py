"""Panel: which way the water can come, and what fan speed, slopes and suction change of it."""

from __future__ import annotations

import ipywidgets as widgets
import numpy as np

from hvaccalc import units
from hvaccalc.analysis import analyse
from hvaccalc.diagnosis.water.budget import WaterBudget, weigh
from hvaccalc.diagnosis.water.drain_check import TrapCheck
from hvaccalc.diagnosis.water.mechanism import Ability, Met, Standing
from hvaccalc.diagnosis.water.water_case import WaterCase, changed
from hvaccalc.findings.water import amount_text, because, disagreement, look, unexplained
from hvaccalc.job.schema import Job
from hvaccalc.panels.base import Panel
from hvaccalc.panels.look import card, cards, image
from hvaccalc.panels.unit_field import Setting
from hvaccalc.pictures import trap_drawing, water_bars
from hvaccalc.report.blocks import Caution, Item
from hvaccalc.words.said import Reader, Teller, escaped, water_text
from hvaccalc.words.speak import teller
from hvaccalc.words.water import ENOUGH, LOW_FAN


def headline(budget: WaterBudget, display: str) -> str:
    """What the budget says, in one sentence, and whether of the unit as found."""
    said = _headline(budget, _teller(display))
    return f"With these settings: {said[0].lower()}{said[1:]}" if budget.case.what_if else said


def _teller(display: str) -> Teller:
    return teller(Reader.FILE, display)


def _headline(budget: WaterBudget, to: Teller) -> str:
    if not budget.matched:
        return "Neither amount nor time nor place of the water was noted: nothing to match."
    if budget.dominant is not None:
        one = budget.weighed[budget.dominant]
        nothing = "Nothing in the unit can make this water. " if budget.nothing_in_the_unit else ""
        return f"{nothing}Stands out: {to.tell(one.way)} ({because(one, to)})."
    able = [to.tell(way) for way in budget.those(Ability.CAN)]
    if not able:
        return "No way is shown to bring this water."
    return f"Can make it: {', '.join(able)}; none stands out."


def ways(budget: WaterBudget, display: str) -> list[tuple[str, str, str, str]]:
    """Title, verdict, amount and reason of each way."""
    rows, to = [], _teller(display)
    for one in budget.weighed.values():
        amount = amount_text(budget, one, display)
        low = f"; comes with {LOW_FAN}" if one.explained_by else ""
        rows.append((to.tell(one.way), one.said.value, amount, f"{because(one, to)}{low}"))
    return rows


def together(budget: WaterBudget, display: str) -> str:
    """The sum of those that can, and what is left."""
    told = []
    if budget.those(Ability.CAN) and budget.together.known:
        shown = water_text(budget.together, budget.seen.by_day, display)
        told.append(f"Together those that can make it bring {shown}.")
    if left := unexplained(budget, _teller(display)):
        told.append(f"Not explained: {left}.")
    return " ".join(told)


def drain_and_trap(budget: WaterBudget, display: str) -> list[str]:
    """Drain, trap and the water that the suction holds, and what has to be asked."""
    return [
        _drain(budget, display),
        _trap(budget.trap, display),
        _standing(budget, display),
        *map(_teller(display).tell, budget.trap.asked),
    ]


def _drain(budget: WaterBudget, display: str) -> str:
    """What the line carries by the law of a clean one, and where that law does not hold."""
    drain, seen = budget.drain, budget.seen
    half, full = (units.value_text(b.value, "water_flow", display) for b in (drain.half, drain.full))
    code, design = (units.value_text(d, "length", display) for d in (drain.code_size, drain.hydraulic_size))
    told = f"Drain: a clean line carries {half} half full and {full} just full"
    if drain.full.high <= 0.0:
        told = (
            "Drain: a line without fall carries nothing by the law of a sloping one; it runs only as far as"
        )
        told += " water standing in the pan pushes"
    held = [word for word in ("slow", "blocked") if seen.has("drain_flow", word)]
    if held or seen.has("pour_test", "backs up"):
        told += f"; it was seen {' and '.join(held) or 'to back up'}, so what it carries now is not known"
    return (
        f"{told}. Code's least size ({code}) and fall: {drain.code.value}; size of the hydraulic design "
        f"table ({design}): {drain.hydraulic.value}."
    )


def _trap(trap: TrapCheck, display: str) -> str:
    """What the trap needs and what it has."""
    need, seal = trap.required_height, trap.required_seal
    needs = "what it needs cannot be told while the suction at the pan is not known"
    if need.known:
        height, deep = (units.value_text(part.value, "length", display) for part in (need, seal))
        needs = f"at full fan speed it needs {height} of height and {deep} of seal"
    if trap.state == "none":
        return f"Trap: {needs}; there is none."
    measured = (("height", trap.height, trap.height_met), ("seal", trap.seal, trap.seal_met))
    has = [_has(*part, display) for part in measured]
    known = trap.verdict is not Met.NOT_KNOWN
    verdict = ENOUGH[trap.verdict].file if known else "Whether that is enough cannot be told yet"
    return f"Trap: {needs}. {' and '.join(has).capitalize()}; {_state(trap)}. {str(verdict).capitalize()}."


def _has(name: str, value: float, met: Met, display: str) -> str:
    if value != value:
        return f"its {name} was not noted"
    judged = f" ({ENOUGH[met].file})" if met is not Met.NOT_KNOWN else ""
    return f"its {name} is {units.value_text(value, 'length', display)}{judged}"


def _state(trap: TrapCheck) -> str:
    if trap.state == "present":
        return "water was seen in it" if trap.water_seen else "whether water stands in it was not noted"
    return "it is dry, so it holds nothing" if trap.state == "dry" else "whether there is one was not noted"


def _standing(budget: WaterBudget, display: str) -> str:
    """Water that the suction holds in the pan, beside what was seen of it."""
    trap = budget.trap
    when = "With these settings" if trap.what_if else "As found"
    if trap.blow_through:
        return "Water in the pan: the pressure of a fan that blows through holds none back."
    if not trap.standing.known:
        return "Water in the pan: how much the suction holds cannot be told."
    return f"Water in the pan: {when[0].lower()}{when[1:]} {held_text(trap, display)}{disagreement(budget)}."


def held_text(trap: TrapCheck, display: str) -> str:
    """What the suction holds, and whether the pan can hold it."""
    if trap.pan is Standing.NONE:
        return "the suction holds none"
    held, depth = (units.value_text(v, "length", display) for v in (trap.standing.value, trap.pan_depth))
    over = {
        Standing.OVER_THE_PAN: f", more than its depth of {depth}: it runs over",
        Standing.OVER_MOST_PANS: ", more than most pans are deep: it runs over",
    }
    return f"the suction holds {held} above the outlet{over.get(trap.pan, '')}"


def settle(budget: WaterBudget, display: str) -> list[str]:
    """What would decide among the ways that cannot be told."""
    to = _teller(display)
    each = [(way, look(budget.weighed[way].mechanism, to)) for way in budget.those(Ability.CANNOT_TELL)]
    return [f"To settle {to.tell(way)}: {looks}." for way, looks in each if looks]


def lines(budget: WaterBudget, display: str) -> list[str]:
    """The result in lines of plain text."""
    return [
        headline(budget, display),
        *(f"{title}: {verdict}: {amount}; {why}." for title, verdict, amount, why in ways(budget, display)),
        *([said] if (said := together(budget, display)) else []),
        *drain_and_trap(budget, display),
        *settle(budget, display),
    ]


def html(budget: WaterBudget, display: str) -> str:
    """The same with cards and a table."""
    amount = budget.seen.amount.text if budget.seen.amount is not None else "not noted"
    need = budget.trap.required_height
    able = [_teller(display).tell(way) for way in budget.those(Ability.CAN)]
    shown = [
        card(
            "Seen",
            amount,
            ", ".join(sorted(budget.seen.phases | budget.seen.places)) or "when, where: not noted",
        ),
        card("Can make it", ", ".join(able) or "none shown", ""),
        card(
            "Trap needs",
            units.value_text(need.value, "length", display) if need.known else "not known",
            "of height, at full fan speed",
        ),
    ]
    rows = "".join(
        f'<tr><td><b>{escaped(verdict)}</b></td><td style="text-align:left">{escaped(title)}</td>'
        f'<td style="text-align:left">{escaped(amount)}</td>'
        f'<td style="text-align:left">{escaped(why)}</td></tr>'
        for title, verdict, amount, why in ways(budget, display)
    )
    head = "".join(f"<th>{word}</th>" for word in ("verdict", "way", "can bring", "because, or look next"))
    said = [headline(budget, display), together(budget, display), *drain_and_trap(budget, display)]
    told = "".join(f"<p>{escaped(line)}</p>" for line in said if line)
    return (
        cards(shown)
        + f'<div class="hvac-say" role="status">{told}</div>'
        + f'<table class="hvac-note"><tr>{head}</tr>{rows}</table>'
    )


CAUTION = Caution(
    "Before anybody opens a wet unit",
    (
        Item("Lock out and prove dead; water and live parts lie close together here.", "Electricity."),
        Item(
            "Keep clear of the wheel while suction is read; put every panel back before the reading counts.",
            "Fan.",
        ),
        Item("Bridge no float switch to keep a wet unit running.", "Float switch."),
    ),
)

NOTHING = (
    "Nothing in this job speaks of water: note how much, when and where, and look at pan, trap and drain."
)

MOVE = "Move the slider to ask what if."
NO_SPEED = "Fan speed or airflow is not known: no other speed can be asked about."
NO_DRAIN_SLOPE = f"The drain's slope was not typed: half to twice the code's least is assumed. {MOVE}"
NO_COIL_SLOPE = f"The coil's slope was not typed; 0 is upright. {MOVE}"

SPEEDS, DRAIN_SLOPES, COIL_SLOPES = (30.0, 140.0), (0.0, 5.0), (0.0, 60.0)
SUCTION = {"us": ("inH2O", 0.0, 4.0, 0.1), "si": ("Pa", 0.0, 1000.0, 10.0)}


class WaterPanel(Panel):
    """The water budget with sliders; untouched it says what the findings say.

    Parameters
    ----------
    job : Job
    """

    title = "Where does the water come from?"
    caution = CAUTION
    nothing = NOTHING

    def __init__(self, job: Job) -> None:
        self.job = job
        found = analyse(job).water
        self.case: WaterCase | None = found.case if found is not None else None
        self.read = found
        self.settings = self._settings()
        self.speed, self.drain_slope, self.coil_slope, self.suction = (one.slider for one in self.settings)
        self.back = widgets.Button(description="Back to the readings", layout={"width": "auto"})
        super().__init__([], [*self.settings, self.back])
        # Beside its sliders the picture would be too small to read on a small screen.
        self.picture.layout.flex, self.picture.layout.max_width = "1 1 100%", "62em"
        self.speed.disabled = self.case is None or self.case.speed is None or self.case.flow is None
        for control in (self.speed, self.drain_slope, self.coil_slope, self.suction, self.back):
            control.disabled = control.disabled or self.case is None
        for one in self.settings:
            one.slider.observe(lambda _: self.refresh(), "value")
        self.back.on_click(lambda _: self._reset())

    @classmethod
    def from_job(cls, job: Job) -> WaterPanel:
        """Panel filled with what a job says of its water."""
        return cls(job)

    def _settings(self) -> tuple[Setting, ...]:
        """The sliders, each where the unit as found has it."""
        case, (unit, *ends, step) = self.case, SUCTION[self.job.display]
        shown = "in w.c." if unit == "inH2O" else unit
        speed, slope, coil, suction = 100.0, 1.0, 0.0, 0.0
        if case is not None:
            speed = 100.0 * float(case.speed[0]) if case.speed is not None else speed
            slope = 100.0 * float(case.drain_slope[0])
            coil = float(np.degrees(np.arctan(case.coil_slope))) if np.isfinite(case.coil_slope) else coil
            if case.suction is not None:
                suction = float(units.to(case.suction.draws[0], unit, "air_pressure"))
        untold = self._untold()
        return (
            Setting("Fan, % of full", SPEEDS, 1.0, speed, unknown=untold["speed"]),
            Setting("Drain slope, %", DRAIN_SLOPES, 0.1, slope, ".1f", untold["drain"]),
            Setting("Coil slope, °", COIL_SLOPES, 1.0, coil, unknown=untold["coil"]),
            Setting(f"Suction, {shown}", (ends[0], ends[1]), step, suction, ".1f", untold["suction"]),
        )

    def _untold(self) -> dict[str, str]:
        """What the job does not say of each slider; empty where it says it."""
        case = self.case
        if case is None:
            return dict.fromkeys(("speed", "drain", "coil", "suction"), "")
        moves = case.speed is not None and case.flow is not None
        pressure = "pressure" if case.blow_through else "suction"
        return {
            "speed": "" if moves else NO_SPEED,
            "drain": "" if self.job.unit.drain.slope is not None else NO_DRAIN_SLOPE,
            "coil": "" if np.isfinite(case.coil_slope) else NO_COIL_SLOPE,
            "suction": "" if case.suction is not None else f"The {pressure} at the pan is not known. {MOVE}",
        }

    def _reset(self) -> None:
        for one in self.settings:
            one.back()
        self.refresh()

    def solve(self) -> WaterBudget | None:
        """The budget with the sliders as they stand; a slider that was not moved changes nothing."""
        if self.case is None:
            return None
        moved = [one.moved for one in self.settings]
        if not any(moved):
            return self.read
        unit = SUCTION[self.job.display][0]
        suction = float(units.si(self.suction.value, unit, "air_pressure"))
        case = changed(
            self.case,
            drain_slope=self.drain_slope.value / 100.0 if moved[1] else None,
            coil_slope=float(np.tan(np.radians(self.coil_slope.value))) if moved[2] else None,
            suction=suction if moved[3] else None,
        )
        return weigh(changed(case, speed=self.speed.value / 100.0) if moved[0] else case)

    def draw(self) -> str:
        """The bars as SVG."""
        return water_bars.picture(self.result, self.job.display, "panel-water").svg

    def tell(self) -> list[str]:
        """The result in lines of plain text."""
        return lines(self.result, self.job.display) if self.result is not None else [NOTHING]

    def tell_html(self) -> str:
        """What stands out, what each way can bring, drain and trap with the trap's picture."""
        drawn = trap_drawing.picture(self.result.trap, self.job.display, "panel-trap")
        below = image(drawn.svg) if drawn is not None else ""
        return html(self.result, self.job.display) + below
