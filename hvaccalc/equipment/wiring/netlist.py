"""Who is energised by which call: terminals, wires, contacts, loads and supplies as a netlist.

Pure connectivity: metal that touches is one net; a load works when its two ends lie on the two
sides of one supply. Names are labels: nothing here knows what a letter means.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from hvaccalc.call import CALLS

DANGEROUS = ("compressor", "heat")
"""Kinds of load that must never be on by a call that is not theirs."""

Ends = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Supply:
    """A source of control voltage between its hot side and its common [V]."""

    hot: str
    common: str
    voltage: float = 24.0


@dataclass(frozen=True, slots=True)
class Load:
    """Something that acts when it sees voltage.

    Attributes
    ----------
    name : str
    ends : tuple of str
    kind : str
        compressor, heat, valve or other.
    stage : int
        Of a compressor; 0 where it has none.
    """

    name: str
    ends: Ends
    kind: str = "other"
    stage: int = 0


@dataclass(frozen=True, slots=True)
class Contact:
    """Closes on calls, or while a load named `coil` is energised (a relay)."""

    ends: Ends
    calls: frozenset[str] = frozenset()
    coil: str = ""


@dataclass(frozen=True, slots=True)
class Safety:
    """Closed while all is well; conducts."""

    name: str
    ends: Ends


@dataclass(frozen=True, slots=True)
class Speed:
    """A fan speed: its share of full speed, and as typed or, where it was not, by its level in a word."""

    share: float
    text: str
    in_a_word: bool = False


@dataclass(frozen=True, slots=True)
class FanInput:
    """An input of a fan's drive, board or motor; it draws next to nothing.

    Attributes
    ----------
    terminal, common : str
        On while these see voltage.
    speed : Speed or None
        What it makes the fan do; None where nothing is assigned to it.
    unless, only_with : str
        Terminal that takes this input out of work while hot, or has to be hot with it; empty for none.
    assumed : bool
        Whether nobody typed its speed, and the usual one stands in.
    """

    terminal: str
    common: str
    speed: Speed | None
    unless: str = ""
    only_with: str = ""
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class Netlist:
    """One state of the wiring.

    Attributes
    ----------
    wires : tuple of pairs
        What an installer lands; the order in a pair and among pairs means nothing.
    ties : tuple of pairs
        Joined inside a device, not a wire that can be missing.
    """

    wires: tuple[Ends, ...]
    supplies: tuple[Supply, ...]
    loads: tuple[Load, ...] = ()
    contacts: tuple[Contact, ...] = ()
    safeties: tuple[Safety, ...] = ()
    inputs: tuple[FanInput, ...] = ()
    dry_contacts: tuple[str, ...] = ()
    ties: tuple[Ends, ...] = ()

    def without(self, wire: Ends) -> Netlist:
        """The same with one wire broken."""
        return replace(self, wires=tuple(w for w in self.wires if frozenset(w) != frozenset(wire)))

    def with_wires(self, wires: Iterable[Ends]) -> Netlist:
        """The same with wires added."""
        return replace(self, wires=(*self.wires, *wires))


@dataclass(frozen=True, slots=True)
class Answer:
    """What a call does.

    Attributes
    ----------
    loads : tuple of str
        Names of the loads on, in the netlist's order.
    inputs : tuple of str
        Terminals of the fan inputs on.
    speed : Speed or None
        The highest asked for; None where the fan stands.
    shorted : tuple of Supply
        Supplies whose two sides touch: nothing works from them.
    """

    loads: tuple[str, ...]
    inputs: tuple[str, ...]
    speed: Speed | None
    shorted: tuple[Supply, ...]

    @property
    def share(self) -> float:
        """Fan speed over full speed; 0 where the fan stands."""
        return self.speed.share if self.speed is not None else 0.0


def device_of(terminal: str) -> str:
    """Device of a terminal."""
    return terminal.partition(".")[0]


class Nets:
    """Which terminals are one piece of metal: sets that can be joined."""

    def __init__(self, parent: dict[str, str] | None = None) -> None:
        self._parent = parent if parent is not None else {}

    def copy(self) -> Nets:
        """An independent copy."""
        return Nets(dict(self._parent))

    def of(self, terminal: str) -> str:
        """Name of the net that a terminal belongs to."""
        parent = self._parent
        while (above := parent.get(terminal, terminal)) != terminal:
            parent[terminal] = parent.get(above, above)
            terminal = above
        return terminal

    def join(self, pairs: Iterable[Ends]) -> None:
        """Connect pairs."""
        for a, b in pairs:
            one, other = self.of(a), self.of(b)
            if one != other:
                self._parent[one] = other

    def same(self, a: str, b: str) -> bool:
        """Whether two terminals touch."""
        return self.of(a) == self.of(b)


class Circuit:
    """A netlist with its answers; each is found once.

    Parameters
    ----------
    netlist : Netlist
    """

    def __init__(self, netlist: Netlist) -> None:
        self.netlist = netlist
        self._states: dict[str, tuple[Nets, frozenset[int], Answer]] = {}

    @cached_property
    def metal(self) -> Nets:
        """Nets of wires and ties alone."""
        nets = Nets()
        nets.join(self.netlist.wires)
        nets.join(self.netlist.ties)
        return nets

    @cached_property
    def _at_rest(self) -> Nets:
        nets = self.metal.copy()
        nets.join(safety.ends for safety in self.netlist.safeties)
        return nets

    def answer(self, call: str) -> Answer:
        """What a call does."""
        return self._state(call)[2]

    @cached_property
    def coils(self) -> frozenset[str]:
        """Names of the loads that only pull a contact in."""
        return frozenset(contact.coil for contact in self.netlist.contacts if contact.coil)

    def works(self, call: str) -> tuple[str, ...]:
        """Names of the loads on that are no relay's coil."""
        return tuple(name for name in self.answer(call).loads if name not in self.coils)

    def answers(self) -> dict[str, Answer]:
        """What each call does."""
        return {call: self.answer(call) for call in CALLS}

    def nets(self, call: str) -> Nets:
        """Nets with the contacts of a call closed."""
        return self._state(call)[0]

    def _state(self, call: str) -> tuple[Nets, frozenset[int], Answer]:
        if call not in self._states:
            self._states[call] = self._settle(call)
        return self._states[call]

    def _settle(self, call: str) -> tuple[Nets, frozenset[int], Answer]:
        """Close the call's contacts, then the relays that it pulls in, until nothing moves."""
        contacts = self.netlist.contacts
        nets = self._at_rest.copy()
        closed = {n for n, contact in enumerate(contacts) if call in contact.calls}
        nets.join(contacts[n].ends for n in closed)
        while True:
            on = self._loads_on(nets)
            more = {n for n, contact in enumerate(contacts) if contact.coil in on} - closed
            if not more:
                break
            closed |= more
            nets.join(contacts[n].ends for n in more)
        inputs = tuple(i for i in self.netlist.inputs if self._input_on(nets, i))
        speeds = [i.speed for i in inputs if i.speed is not None and i.speed.share > 0.0]
        answer = Answer(
            loads=tuple(load.name for load in self.netlist.loads if load.name in on),
            inputs=tuple(i.terminal for i in inputs),
            speed=max(speeds, key=lambda speed: speed.share, default=None),
            shorted=tuple(s for s in self.netlist.supplies if nets.same(s.hot, s.common)),
        )
        return nets, frozenset(closed), answer

    def _loads_on(self, nets: Nets) -> set[str]:
        sides = self._sides(nets)
        return {
            load.name
            for load in self.netlist.loads
            if (nets.of(load.ends[0]), nets.of(load.ends[1])) in sides
        }

    def _sides(self, nets: Nets) -> set[Ends]:
        """Hot and common of each sound supply, either way round."""
        pairs = [(nets.of(s.hot), nets.of(s.common)) for s in self.netlist.supplies]
        return {way for hot, common in pairs if hot != common for way in ((hot, common), (common, hot))}

    def _input_on(self, nets: Nets, fan: FanInput) -> bool:
        if not self.live(nets, fan.terminal, fan.common):
            return False
        if fan.unless and self.live(nets, fan.unless, fan.common):
            return False
        return not fan.only_with or self.live(nets, fan.only_with, fan.common)

    def live(self, nets: Nets, hot: str, common: str) -> bool:
        """Whether a terminal is hot against another, from one sound supply."""
        ends = nets.of(hot), nets.of(common)
        return any(
            ends == (nets.of(s.hot), nets.of(s.common)) and ends[0] != ends[1] for s in self.netlist.supplies
        )

    def edges(self, call: str) -> Iterator[Ends]:
        """Everything that conducts in a call."""
        yield from self.netlist.wires
        yield from self.netlist.ties
        yield from (safety.ends for safety in self.netlist.safeties)
        yield from (self.netlist.contacts[n].ends for n in self._state(call)[1])

    def path(self, call: str, start: str, end: str) -> tuple[str, ...]:
        """Terminals along the shortest way from one to another; empty where there is none."""
        beside: dict[str, list[str]] = {}
        for a, b in self.edges(call):
            beside.setdefault(a, []).append(b)
            beside.setdefault(b, []).append(a)
        came: dict[str, str] = {start: ""}
        waiting = deque([start])
        while waiting and end not in came:
            here = waiting.popleft()
            for there in beside.get(here, ()):
                if there not in came:
                    came[there] = here
                    waiting.append(there)
        if end not in came:
            return ()
        back = [end]
        while back[-1] != start:
            back.append(came[back[-1]])
        return tuple(reversed(back))
