"""Picture: the circuit as found at one call, a row for each conductor of the design, rails above and below.

Line style and words carry everything: a full line is landed as designed, a dashed one with a cross is
missing, a double one is not in the design, dots and dashes are a jumper, an arrowed band is a back-feed.
A filled terminal is hot, an open one is not. Plain SVG, so that a slider can redraw it at once.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.equipment.wiring.netlist import Circuit, Contact, Ends, device_of
from hvaccalc.findings.wiring import inputs_on
from hvaccalc.pictures.canvas import COLOURS, FAINT, INK, QUIET, Picture
from hvaccalc.words.said import cut, escaped

Place = tuple[float, float]

CLEAR = 11.0
"""Least distance from another terminal's middle; its circle has a radius of 4.5."""

BULGES = (26.0, -26.0, 45.0, -45.0, 65.0, -65.0, 90.0, -90.0)
"""How far a line may be bent aside, tried in this order."""


def legs(places: Mapping[str, Place], wires: Sequence[Ends]) -> Iterator[tuple[Ends, str, Place]]:
    """Each wire with its path and the place for its words."""
    for wire in wires:
        if wire[0] in places and wire[1] in places:
            yield wire, *_leg(places, wire)


def _leg(places: Mapping[str, Place], wire: Ends) -> tuple[str, Place]:
    (x1, y1), (x2, y2) = places[wire[0]], places[wire[1]]
    if x1 == x2:
        bulge = x1 - 26.0
        line = f"M{x1:.1f} {y1:.1f}C{bulge:.1f} {y1:.1f} {bulge:.1f} {y2:.1f} {x2:.1f} {y2:.1f}"
        # Words stand between two rows, not on one.
        return line, (bulge + 6.0, y1 + 0.26 * (y2 - y1))
    start, end = np.array((x1, y1)), np.array((x2, y2))
    control = _control(places, wire, start, end)
    words = _between_rows(places, _curve(start, control, end, np.linspace(0.5, 0.7, 21)))
    if np.allclose(control, (start + end) / 2):
        return f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}", words
    return f"M{x1:.1f} {y1:.1f}Q{control[0]:.1f} {control[1]:.1f} {x2:.1f} {y2:.1f}", words


def _between_rows(places: Mapping[str, Place], points: Array) -> Place:
    """The point farthest from the rows of terminals, so that its words cross no line."""
    rows = np.array(sorted({y for _, y in places.values()}))
    x, y = points[int(np.argmax(np.abs(points[:, 1:] - rows).min(axis=1)))]
    return float(x), float(y)


def _control(places: Mapping[str, Place], wire: Ends, start: Array, end: Array) -> Array:
    """Control point of the first curve that keeps clear of other terminals; within a row it is straight."""
    middle = (start + end) / 2
    others = np.array([p for t, p in places.items() if t not in wire])
    if start[1] == end[1] or not len(others):
        return middle
    along = (end - start) / np.linalg.norm(end - start)
    aside = np.array((-along[1], along[0]))
    tried = [middle + 2.0 * bulge * aside for bulge in (0.0, *BULGES)]
    room = [_room(start, control, end, others) for control in tried]
    return next((c for c, r in zip(tried, room, strict=True) if r >= CLEAR), tried[int(np.argmax(room))])


def _room(start: Array, control: Array, end: Array, others: Array) -> float:
    """Distance of a curve from the nearest other terminal."""
    points = _curve(start, control, end, np.linspace(0.0, 1.0, 41))
    return float(np.linalg.norm(points[:, None, :] - others[None, :, :], axis=2).min())


def _curve(start: Array, control: Array, end: Array, at: Array) -> Array:
    """Points of a quadratic Bézier curve."""
    t = at[:, None]
    return (1.0 - t) ** 2 * start + 2.0 * t * (1.0 - t) * control + t**2 * end


WIDTH = 740.0
LEFT, RIGHT, BOX = 190.0, 457.0, 500.0
BOX_WIDTH = 168.0
TOP, ROW, GAP = 58.0, 30.0, 18.0
MOST_TERMINALS = 70
"""More do not fit a page; words have to do then."""

BACK_FEED = COLOURS[1]


def picture(calls: CallWiring, call: str, name: str = "wiring") -> Picture | None:
    """The circuit as it is now with one call on; None where it has too many terminals for a page.

    Parameters
    ----------
    calls : CallWiring
    call : str
    name : str
        Of the picture's own ids; one page needs different ones.
    """
    plan = _plan(calls)
    if not 0 < len(plan.places) <= MOST_TERMINALS:
        return None
    title = f"The control circuit with {'no call' if call == 'none' else call} on"
    title += ", the temporary jumper landed" if _jumpers(calls) else ""
    description = described(calls, call)
    parts = [
        *_columns(plan),
        *_rails(calls.designed, plan),
        *_feeds(calls, call, plan),
        *_wires(calls, plan),
        *_contacts(calls, call, plan),
        *_loads(calls, call, plan),
        *_terminals(calls.now, call, plan),
        *_legend(plan.height - 18.0),
    ]
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {plan.height:.0f}" role="img" '
        f'aria-labelledby="{name}-title {name}-text" font-family="Arial, sans-serif" font-size="11" '
        f'fill="{INK}" style="background:#fff"><title id="{name}-title">{escaped(title)}</title>'
        f'<desc id="{name}-text">{escaped(description)}</desc>'
    )
    return Picture(head + "".join(parts) + "</svg>", title, description)


def described(calls: CallWiring, call: str) -> str:
    """The picture in words."""
    answer = calls.now.answer(call)
    told = [
        f"On: {', '.join(answer.loads) or 'no load'}; fan {answer.speed.text if answer.speed else 'off'}."
    ]
    rungs = "; ".join(" - ".join(rung) for rung in _rungs(calls.designed, calls.now) if len(rung) > 1)
    told.append(f"Rows: {rungs}.")
    told += [f"Nothing assigned to {i.terminal}." for i in calls.now.netlist.inputs if i.speed is None]
    told += [f"Missing: {a} to {b}." for a, b in _missing(calls)]
    told += [f"Not in the design: {a} to {b}." for a, b in _extra(calls)]
    told += [f"Jumper: {a} to {b}." for a, b in _jumpers(calls)]
    told += [f"Back-feed to {f.load}: {' - '.join(f.path)}." for f in calls.back_feeds if call in f.calls]
    told += [f"The way to {stop.load} ends at {stop.last}." for stop in calls.unreached if stop.call == call]
    return " ".join(told)


# --- where everything stands ------------------------------------------------------------------------------


@dataclass(frozen=True)
class Plan:
    """Places of terminals, columns and the height of the picture."""

    places: dict[str, tuple[float, float]]
    columns: dict[str, float]
    height: float


def _plan(calls: CallWiring) -> Plan:
    rungs = _rungs(calls.designed, calls.now)
    devices = dict.fromkeys(device_of(t) for rung in rungs for t in rung)
    driven = {device_of(i.terminal) for i in calls.designed.netlist.inputs}
    order = sorted(devices, key=lambda d: (d != "thermostat", d == "outdoor", d != "handler" and d in driven))
    step = (RIGHT - LEFT) / max(len(order) - 1, 1)
    columns = {device: LEFT + n * step for n, device in enumerate(order)}
    ends = {load.ends[0] for load in calls.designed.netlist.loads}
    ends |= {i.terminal for i in calls.designed.netlist.inputs}
    places: dict[str, tuple[float, float]] = {}
    y = TOP
    for rung in rungs:
        lines: list[set[str]] = []
        for terminal in sorted(rung, key=lambda t: columns[device_of(t)]):
            line = _line(lines, terminal, terminal in ends)
            places[terminal] = (columns[device_of(terminal)], y + ROW * line)
        y += ROW * len(lines) + GAP
    return Plan(places, columns, y + 30.0)


def _line(lines: list[set[str]], terminal: str, ends_here: bool) -> int:
    """Line of a terminal within its row: a column once a line, and a load's end has a line of its own."""
    mark = {device_of(terminal)} | ({"end"} if ends_here else set())
    for n, taken in enumerate(lines):
        if not mark & taken:
            taken |= mark
            return n
    lines.append(mark)
    return len(lines) - 1


def _rungs(designed: Circuit, now: Circuit) -> list[list[str]]:
    """Terminals that the design joins, hot rails first and commons last; rails of no device left out."""
    terminals = dict.fromkeys(
        end
        for pair in (*designed.netlist.wires, *now.netlist.wires, *(c.ends for c in now.netlist.contacts))
        for end in pair
    )
    terminals |= dict.fromkeys(load.ends[0] for load in designed.netlist.loads)
    terminals |= dict.fromkeys(i.terminal for i in designed.netlist.inputs)
    metal = designed.metal
    groups: dict[str, list[str]] = {}
    for terminal in terminals:
        if "." in terminal:
            groups.setdefault(metal.of(terminal), []).append(terminal)
    return [groups[net] for net in sorted(groups, key=lambda net: _order(designed, net))]


def _order(designed: Circuit, net: str) -> tuple[int, int]:
    """Supply that a net belongs to, and its place in that supply's ladder: hot rail, rungs, common."""
    metal, supplies = designed.metal, designed.netlist.supplies
    for n, supply in enumerate(supplies):
        if net == metal.of(supply.hot):
            return n, 0
        if net == metal.of(supply.common) and all(net != metal.of(s.common) for s in supplies[n + 1 :]):
            return n, 2
        for contact in designed.netlist.contacts:
            nets = {metal.of(end) for end in contact.ends}
            if nets == {net, metal.of(supply.hot)}:
                return n, 1
    return len(supplies) - 1, 1


# --- what is drawn ----------------------------------------------------------------------------------------


def _words(x: float, y: float, text: str, anchor: str = "start", **more: object) -> str:
    halo = {"paint_order": "stroke", "stroke": "#ffffff", "stroke_width": 3}
    given = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in (halo | more).items())
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}"{given}>{escaped(text)}</text>'


def _stroke(path: str, width: float = 1.6, colour: str = INK, dashes: str = "", **more: object) -> str:
    given = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in more.items())
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{width}"{dashed}{given}/>'


def _columns(plan: Plan) -> Iterator[str]:
    for n, (device, x) in enumerate(plan.columns.items()):
        yield _stroke(f"M{x:.1f} {TOP - 12:.1f}V{plan.height - 44:.1f}", 1.0, FAINT)
        # Neighbours' names stand on two lines, so that they never touch.
        yield _words(x, 18.0 + 14.0 * (n % 2), cut(device, 16), "middle", font_weight="bold")


def _rails(designed: Circuit, plan: Plan) -> Iterator[str]:
    """Names of the rails at their left ends."""
    metal = designed.metal
    for supply in designed.netlist.supplies:
        for side, name in ((supply.hot, f"{supply.voltage:.0f} V"), (supply.common, "common")):
            ends = [p for t, p in plan.places.items() if metal.same(t, side)]
            if ends:
                x, y = min(ends)
                yield _words(x - 12.0, y + 3.5, name, "end", font_weight="bold")


def _jumpers(calls: CallWiring) -> tuple[Ends, ...]:
    return calls.measure.jumpers if calls.measure is not None else ()


def _keys(wires: Sequence[Ends]) -> set[frozenset[str]]:
    return {frozenset(wire) for wire in wires}


def _missing(calls: CallWiring) -> list[Ends]:
    there = _keys(calls.found.netlist.wires)
    return [w for w in calls.designed.netlist.wires if frozenset(w) not in there]


def _extra(calls: CallWiring) -> list[Ends]:
    wanted = _keys(calls.designed.netlist.wires)
    return [w for w in calls.found.netlist.wires if frozenset(w) not in wanted]


def _wires(calls: CallWiring, plan: Plan) -> Iterator[str]:
    extra = _extra(calls)
    landed = [w for w in calls.found.netlist.wires if w not in extra]
    for _, line, _ in legs(plan.places, landed):
        yield _stroke(line)
    for _, line, (x, y) in legs(plan.places, _missing(calls)):
        yield _stroke(line, 1.4, INK, "5 4")
        yield _words(x, y + 13.0, "✕ not landed", "middle")
    for _, line, (x, y) in legs(plan.places, extra):
        yield _stroke(line, 4.2) + _stroke(line, 1.8, "#ffffff")
        yield _words(x, y - 3.0, "not in the design", "middle")
    for _, line, (x, y) in legs(plan.places, _jumpers(calls)):
        yield _stroke(line, 2.8, INK, "8 3 2 3")
        yield _words(x - 4.0, y + 3.0, "jumper", "end", font_weight="bold")


def _feeds(calls: CallWiring, call: str, plan: Plan) -> Iterator[str]:
    """The way of a back-feed as a band below the wires."""
    for feed in calls.back_feeds:
        if call in feed.calls:
            path = list(legs(plan.places, list(zip(feed.path, feed.path[1:], strict=False))))
            for _, line, _ in path:
                yield _stroke(line, 10.0, BACK_FEED, stroke_opacity=0.35, stroke_linecap="round")
            if path:
                x, y = plan.places[feed.path[-1]]
                yield _words(x, y + 17.0, "▸ back-feed", "middle", font_weight="bold")


def _contacts(calls: CallWiring, call: str, plan: Plan) -> Iterator[str]:
    """Contacts beside what they feed: left of a row's first terminal, below any other."""
    feeding: dict[str, list[Contact]] = {}
    for contact in calls.now.netlist.contacts:
        feed = next((end for end in contact.ends[::-1] if end in plan.places), "")
        if feed:
            feeding.setdefault(feed, []).append(contact)
    for feed, contacts in feeding.items():
        x, y = plan.places[feed]
        loads = calls.now.answer(call).loads
        closed = any(call in c.calls or c.coil in loads for c in contacts)
        first = all(other[0] >= x for other in plan.places.values() if other[1] == y)
        yield from (_at_left if first else _below)(x, y, closed, _closers(calls, contacts))


def _at_left(x: float, y: float, closed: bool, label: str) -> Iterator[str]:
    """A flat lever is closed, a raised one open."""
    lever = y if closed else y - 9.0
    line = f"M{x - 58:.1f} {y:.1f}H{x - 44:.1f}L{x - 24:.1f} {lever:.1f}M{x - 24:.1f} {y:.1f}H{x:.1f}"
    yield _stroke(line) + _words(x - 62.0, y + 3.5, cut(label, 22), "end", fill=QUIET)


def _below(x: float, y: float, closed: bool, label: str) -> Iterator[str]:
    lever = x if closed else x - 7.0
    yield _stroke(
        f"M{x:.1f} {y + 4:.1f}V{y + 8:.1f}M{x:.1f} {y + 24:.1f}V{y + 20:.1f}L{lever:.1f} {y + 8:.1f}"
    )
    yield _words(x - 8.0, y + 22.0, cut(label, 22), "end", fill=QUIET)


def _closers(calls: CallWiring, contacts: Sequence[Contact]) -> str:
    """What closes contacts that feed one terminal."""
    coils = [c.coil for c in contacts if c.coil]
    on = set().union(*(c.calls for c in contacts))
    names: list[str] = [call for call in calls.calls if call in on]
    if len(names) == len(calls.calls) > 1:
        names = ["every call"]
    for mode in ("cool", "heat"):
        if {f"{mode} 1", f"{mode} 2"} <= set(names):
            names[names.index(f"{mode} 1")] = mode
            names.remove(f"{mode} 2")
    relays = [f"{len(coils)} relays"] if len(coils) > 1 else coils
    return ", ".join([*names, *relays])


def _loads(calls: CallWiring, call: str, plan: Plan) -> Iterator[str]:
    """A box at the end of each row; a load and a fan input on one terminal share it.

    An input that is on beside a faster one is overruled.
    """
    answer = calls.now.answer(call)
    names: dict[str, list[str]] = {}
    states = _input_states(calls.now, call)
    for load in calls.now.netlist.loads:
        names.setdefault(load.ends[0], []).append(load.name)
        if load.name in answer.loads:
            states[load.ends[0]] = "ON"
    for fan in calls.now.netlist.inputs:
        speed = f"fan {fan.speed.text}" if fan.speed else "fan: not assigned"
        known = names.setdefault(fan.terminal, [])
        known += [speed] if speed not in known else []
    for terminal, told in names.items():
        if terminal in plan.places:
            yield from _box(plan.places[terminal], ", ".join(told), states.get(terminal, "off"))


def _input_states(now: Circuit, call: str) -> dict[str, str]:
    """Fan inputs that see voltage: the one whose speed is taken is on."""
    answer = now.answer(call)
    states = dict.fromkeys(answer.inputs, "no speed")
    highest = answer.speed.share if answer.speed is not None else 0.0
    for fan in inputs_on(now, call):
        slower = fan.speed is not None and fan.speed.share < highest
        states[fan.terminal] = "overruled" if slower else "ON"
    return states


def _box(place: tuple[float, float], name: str, state: str) -> Iterator[str]:
    x, y = place
    on = state != "off"
    yield _stroke(f"M{x:.1f} {y:.1f}H{BOX:.1f}", 1.0, QUIET)
    border = 2.6 if on else 0.8
    yield (
        f'<rect x="{BOX:.1f}" y="{y - 9:.1f}" width="{BOX_WIDTH:.0f}" height="18" fill="#fff" stroke="{INK}" '
        f'stroke-width="{border}"/>'
    )
    yield _words(BOX + 5.0, y + 3.5, cut(name, 28))
    weight = "bold" if on else "normal"
    yield _words(BOX + BOX_WIDTH + 5.0, y + 3.5, state, font_weight=weight)


def _terminals(now: Circuit, call: str, plan: Plan) -> Iterator[str]:
    nets = now.nets(call)
    for terminal, (x, y) in plan.places.items():
        hot = any(
            nets.same(terminal, s.hot) and s not in now.answer(call).shorted for s in now.netlist.supplies
        )
        fill = INK if hot else "#ffffff"
        yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4.5" fill="{fill}" stroke="{INK}" stroke-width="1.5"/>'
        yield _words(x + 6.0, y - 6.0, cut(terminal.partition(".")[2], 12))


def _legend(y: float) -> Iterator[str]:
    yield f'<circle cx="14" cy="{y - 4:.1f}" r="4.5" fill="{INK}" stroke="{INK}"/>' + _words(24.0, y, "hot")
    yield f'<circle cx="64" cy="{y - 4:.1f}" r="4.5" fill="#fff" stroke="{INK}" stroke-width="1.5"/>'
    yield _words(74.0, y, "not hot")
    for x, dashes, text in ((136.0, "", "landed"), (222.0, "5 4", "missing"), (314.0, "8 3 2 3", "jumper")):
        yield _stroke(f"M{x:.1f} {y - 4:.1f}h28", 2.0, INK, dashes) + _words(x + 34.0, y, text)
    line = f"M400 {y - 4:.1f}h28"
    yield _stroke(line, 4.2) + _stroke(line, 1.8, "#ffffff") + _words(434.0, y, "not in the design")
    yield _stroke(f"M548 {y - 4:.1f}h28", 10.0, BACK_FEED, stroke_opacity=0.35) + _words(
        582.0, y, "back-feed"
    )
