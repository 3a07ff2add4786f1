"""Picture of the trap, drawn to scale: as found, and as the suction at full fan speed asks for it.

Heights are true to one scale, widths are not. The water is drawn where the suction holds it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.water.drain_check import TrapCheck
from hvaccalc.equipment.drain.trap import SPECIFIC_WEIGHT
from hvaccalc.pictures.canvas import COLOURS, FAINT, INK, QUIET, Picture, lettered

WIDTH, HEIGHT = 700.0, 330.0
TOP, BOTTOM = 60.0, 290.0
PIPE, PAN, APART = 22.0, 110.0, 62.0
WATER = COLOURS[0]
TEXT = 12.0
"""Least size of letters: 11 px and more on a screen 1024 px wide, where the panel gives it 700 px."""

PAN_DEPTH = 0.05
"""Drawn where none was typed [m]."""

_STATES = {"present": "a trap", "dry": "a trap without water", "none": "no trap", None: "not noted"}


@dataclass(frozen=True, slots=True)
class Drawn:
    """One trap: heights below the pan's outlet and the head on it [m]; no legs where there is no trap."""

    height: float
    seal: float
    head: float
    title: str
    trapped: bool
    seal_note: str = ""
    dry: bool = False


def picture(trap: TrapCheck, display: str, name: str = "trap") -> Picture | None:
    """The trap; None where nothing of it is known."""
    those = _those(trap)
    if not those:
        return None
    rim = trap.pan_depth if np.isfinite(trap.pan_depth) else PAN_DEPTH
    above = max(rim, *(one.head if np.isfinite(one.head) and one.dry else 0.0 for one in those)) + 0.01
    below = max(0.04, *((one.height + one.seal if one.trapped else 0.05) + 0.02 for one in those))
    scale = (BOTTOM - TOP) / (above + below)
    zero = TOP + above * scale
    title = "The trap to scale, and the water that the fan holds"
    told = described(trap, display)
    parts = [
        f'<path d="M14 {zero:.1f}H{WIDTH - 14:.0f}" stroke="{FAINT}" stroke-dasharray="4 3"/>',
        lettered(WIDTH - 14.0, zero - 4.0, "pan outlet", TEXT, "end", QUIET),
        *_ruler(scale, zero, display),
        *(
            part
            for n, one in enumerate(those)
            for part in _trap(one, 70.0 + 320.0 * n, zero, scale, trap, display)
        ),
    ]
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}" role="img" '
        f'aria-labelledby="{name}-title {name}-text" font-family="Arial, sans-serif" font-size="{TEXT:g}" '
        f'fill="{INK}" style="background:#fff"><title id="{name}-title">{escape(title)}</title>'
        f'<desc id="{name}-text">{escape(told)}</desc>'
    )
    return Picture(head + "".join(parts) + "</svg>", title, told)


def _those(trap: TrapCheck) -> list[Drawn]:
    """As found, and as needed."""
    head, full = (band.value / SPECIFIC_WEIGHT for band in (trap.suction, trap.full_suction))
    when = "as set" if trap.what_if else "as found"
    those = []
    if trap.state in ("none", "dry"):
        word = "no trap" if trap.state == "none" else "trap dry"
        seal = trap.seal if np.isfinite(trap.seal) else 0.0
        height = trap.height if np.isfinite(trap.height) and trap.state == "dry" else 0.0
        dry = trap.state == "dry"
        those.append(Drawn(height, seal, head, f"{when}: {word}", dry and height > 0.0, dry=dry))
    elif np.isfinite(trap.height):
        typed = bool(np.isfinite(trap.seal))
        seal = trap.seal if typed else 0.5 * trap.height
        those.append(Drawn(trap.height, seal, head, when, True, "" if typed else "not noted"))
    if trap.required_height.known:
        need = trap.required_height.value, trap.required_seal.value
        those.append(Drawn(*need, full, "needed at full fan speed", True))
    return those


def _level(one: Drawn, blows: bool) -> float:
    """Water on the pan's side above the outlet [m], below it where negative; a dry trap holds none down."""
    head = one.head if np.isfinite(one.head) else 0.0
    if one.dry or not one.trapped:
        return 0.0 if blows else head
    return -one.height - head if blows else head - one.height


def described(trap: TrapCheck, display: str) -> str:
    """The picture in words."""

    def length(value: float) -> str:
        return units.value_text(value, "length", display)

    when = "With these settings" if trap.what_if else "As found"
    told = [f"Pan outlet, legs and water of the trap to one scale. {when}: {_STATES[trap.state]}."]
    if np.isfinite(trap.height):
        told.append(f"Height {length(trap.height)}.")
    if trap.suction.known:
        shown = units.value_text(trap.suction.value, "air_pressure", display)
        told.append(f"{'Pressure' if trap.blow_through else 'Suction'} at the pan {shown.rstrip('.')}.")
    else:
        told.append("The suction at the pan was not read, so what the trap needs cannot be told.")
    if trap.standing.known:
        told.append(f"Water standing above the outlet {length(trap.standing.value)}.")
    if trap.required_height.known:
        told.append(
            f"Needed at full fan speed: height {length(trap.required_height.value)}, seal "
            f"{length(trap.required_seal.value)}."
        )
    return " ".join(told)


def _ruler(scale: float, zero: float, display: str) -> Iterator[str]:
    """A scale of one unit: an inch, or 20 mm."""
    step, word = (0.0254, "1 in") if display == "us" else (0.02, "20 mm")
    x, bottom = 28.0, BOTTOM
    yield f'<path d="M{x} {bottom:.1f}v{-step * scale:.1f}" stroke="{INK}" stroke-width="2"/>'
    yield f'<path d="M{x - 4} {bottom:.1f}h8M{x - 4} {bottom - step * scale:.1f}h8" stroke="{INK}"/>'
    yield lettered(x, bottom + 14.0, word, TEXT, "middle", QUIET)


def _trap(one: Drawn, left: float, zero: float, scale: float, trap: TrapCheck, display: str) -> Iterator[str]:
    """Pan, legs, water and heads of one trap; `left` is the pan's left side."""

    def length(value: float) -> str:
        return units.value_text(value, "length", display)

    yield lettered(left, TOP - 40.0, one.title, 13, "start", INK)
    level, blows, right = _level(one, trap.blow_through), trap.blow_through, left + PAN
    bottom, over = zero + (one.height + one.seal) * scale, zero + one.height * scale
    rim = trap.pan_depth if np.isfinite(trap.pan_depth) else PAN_DEPTH
    stands = min(level, rim)
    if stands > 0.0:
        yield _box(left, zero - stands * scale, PAN, stands * scale)
        told = f"{length(level)} held: runs over" if level > rim else f"{length(level)} stands"
        yield lettered(left, zero - rim * scale - 6.0, told, TEXT, "start", WATER)
    beside = right + APART + 74.0
    if one.trapped:
        yield from _legs(right, zero, over, bottom)
        if one.dry:
            yield from _air_in(one, right + APART, over, bottom + 26.0, blows)
        else:
            yield from _sealed(right, max(zero - level * scale, zero), over, bottom)
        yield from _measure(beside, zero, over, length(one.height))
        yield from _measure(beside, over, bottom, one.seal_note or length(one.seal))
    else:
        yield (
            f'<path d="M{right:.1f} {zero:.1f}h{APART:.1f}v26" fill="none" stroke="{INK}" stroke-width="2"/>'
        )
        yield from _air_in(one, right + APART, zero + 26.0, zero + 60.0, blows)
    wall = zero - rim * scale
    yield (
        f'<path d="M{left:.1f} {wall:.1f}V{zero:.1f}H{right:.1f}M{right:.1f} {zero - 8:.1f}V{wall:.1f}" '
        f'fill="none" stroke="{INK}" stroke-width="2"/>'
    )
    if np.isfinite(one.head) and one.head > 0.0 and not blows:
        foot = over if one.trapped and not one.dry else zero
        yield from _measure(left - 12.0, foot - one.head * scale, foot, "", colour=WATER)
        yield lettered(left, TOP - 25.0, f"suction head {length(one.head)} (blue bar)", TEXT, "start", WATER)


def _legs(x: float, zero: float, over: float, bottom: float) -> Iterator[str]:
    """Both legs of the trap as pipe walls."""
    outer = x + APART
    yield (
        f'<path d="M{x:.1f} {zero:.1f}h{PIPE / 2:.1f}V{bottom + 12:.1f}H{outer + PIPE:.1f}V{over + 8:.1f}h26'
        f'M{x:.1f} {zero - 8:.1f}h{PIPE * 1.5:.1f}V{bottom:.1f}H{outer:.1f}V{over:.1f}h48" fill="none" '
        f'stroke="{INK}" stroke-width="1.6"/>'
    )


def _sealed(x: float, surface: float, over: float, bottom: float) -> Iterator[str]:
    half = 0.5 * PIPE
    yield _box(x + half, surface, PIPE, bottom + 12.0 - surface)
    yield _box(x + half + PIPE, bottom, APART - half - PIPE, 12.0)
    yield _box(x + APART, over, PIPE, bottom + 12.0 - over)


def _air_in(one: Drawn, x: float, y: float, below: float, blows: bool) -> Iterator[str]:
    """Air through an open drain, told `below` the pipe; none without suction or pressure."""
    if one.head <= 0.0:
        return
    turn = "M{0:.1f} {1:.1f}h30l-6 -4m6 4l-6 4" if blows else "M{2:.1f} {1:.1f}h-30l6 -4m-6 4l6 4"
    yield (
        f'<path d="{turn.format(x + 16.0, y + 16.0, x + 46.0)}" fill="none" stroke="{COLOURS[1]}" '
        'stroke-width="1.6"/>'
    )
    word = "air blows out" if blows else "air rushes in"
    yield lettered(x + 22.0, below, word, TEXT, "start", COLOURS[1])


def _measure(x: float, top: float, foot: float, said: str, colour: str = QUIET) -> Iterator[str]:
    wide = 5.0 if colour == WATER else 1.2
    yield f'<path d="M{x:.1f} {top:.1f}V{foot:.1f}" stroke="{colour}" stroke-width="{wide}"/>'
    yield f'<path d="M{x - 5:.1f} {top:.1f}h10M{x - 5:.1f} {foot:.1f}h10" stroke="{colour}"/>'
    if said:
        yield lettered(x + 8.0, 0.5 * (top + foot) + 4.0, said, TEXT, "start", INK)


def _box(x: float, y: float, width: float, height: float) -> str:
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{max(height, 0.0):.1f}" fill="{WATER}" '
        'fill-opacity=".35"/>'
    )
