"""What terminals mean where nothing else is said: their letters, and what hangs on them.

R 24 V, C common, G fan, Y1 and Y2 compressor stages, W1 and W2 heat, O and B reversing valve:
the meanings printed in thermostat instructions. Which of them a call closes follows the same
tables; that the fan's speed is low with the first stage and full above is common practice, no source.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from hvaccalc.call import TYPED, Call
from hvaccalc.equipment.wiring.netlist import Contact, Ends, FanInput, Load, Nets, Speed, Supply, device_of

HOT, COMMON = "24 V", "common"
"""Rails that no terminal stands for."""

HOT_LETTERS = ("R", "RH", "RC")
_SAME = {"Y": "Y1", "W": "W1", "COM": "C", "COMMON": "C", "O/B": "O"}


def letter(terminal: str) -> str:
    """Letter of a terminal, one spelling for each meaning.

    Examples
    --------
    >>> letter("thermostat.Y"), letter("handler.w2"), letter("drive.input_1")
    ('Y1', 'W2', 'INPUT_1')
    """
    name = terminal.partition(".")[2].upper()
    return _SAME.get(name, name)


def is_rail(terminal: str) -> bool:
    """Whether a terminal belongs to a supply's hot side or common."""
    return letter(terminal) in (*HOT_LETTERS, "C")


@dataclass(frozen=True, slots=True)
class Usual:
    """Terminals of one system, read by their letters.

    Attributes
    ----------
    terminals : tuple of str
    designed : tuple of pairs
    heat_pump : bool
    low, full : Speed
        Fan speeds; equal where the fan has one.
    """

    terminals: tuple[str, ...]
    designed: tuple[Ends, ...]
    heat_pump: bool
    low: Speed
    full: Speed

    def at(self, wanted: str, *devices: str) -> str:
        """Terminal of a letter on the first of these devices that has it; empty where none has."""
        for name in devices:
            for terminal in self.terminals:
                if device_of(terminal) == name and letter(terminal) == wanted:
                    return terminal
        return ""

    @property
    def devices(self) -> tuple[str, ...]:
        """Devices in the order of the list."""
        return tuple(dict.fromkeys(device_of(terminal) for terminal in self.terminals))

    @property
    def indoor(self) -> str:
        """The device whose letters are fan inputs: the handler, else the first with G."""
        if "handler" in self.devices:
            return "handler"
        return next((d for d in self.devices if d != "thermostat" and self.at("G", d)), "")

    @property
    def drives(self) -> tuple[str, ...]:
        """Devices that are a fan's drive or motor."""
        return tuple(d for d in self.devices if d.lower().startswith(("drive", "vfd", "motor")))

    @property
    def two_stage(self) -> bool:
        """Whether there is a second compressor stage."""
        return any(letter(terminal) == "Y2" for terminal in self.terminals)

    def fed_at(self, wanted: str) -> str:
        """Where a letter's contact lands: the thermostat, else where it first stands, handler first."""
        return self.at(wanted, "thermostat", "handler", *(d for d in self.devices if d not in self.drives))

    def common_of(self, name: str) -> str:
        """Common of a device."""
        return self.at("C", name) or COMMON


def same_letters(terminals: Sequence[str]) -> tuple[Ends, ...]:
    """Wires where only terminals are given: each letter from device to device in the list's order."""
    wires: list[Ends] = []
    last: dict[str, str] = {}
    for terminal in terminals:
        name = letter(terminal)
        if name in last:
            wires.append((last[name], terminal))
        last[name] = terminal
    return tuple(wires)


def supplies(usual: Usual, voltage: float = 24.0) -> tuple[Supply, ...]:
    """One supply for each hot group as designed; rails that nobody wired are the supply itself."""
    nets = Nets()
    nets.join(usual.designed)
    wired = {end for pair in usual.designed for end in pair}
    rank = {"handler": 0, "thermostat": 2}
    hots = [t for t in usual.terminals if letter(t) in HOT_LETTERS and t in wired]
    hots.sort(key=lambda t: rank.get(device_of(t), 1))
    groups: dict[str, str] = {}
    for terminal in hots:
        groups.setdefault(nets.of(terminal), terminal)
    commons = [t for t in usual.terminals if letter(t) == "C" and t in wired]
    commons.sort(key=lambda t: rank.get(device_of(t), 1))
    found = []
    for hot in groups.values() or [HOT]:
        own = next((c for c in commons if device_of(c) == device_of(hot)), "")
        found.append(Supply(hot, own or (commons[0] if commons else COMMON), voltage))
    return tuple(found)


def ties(usual: Usual, sources: Sequence[Supply]) -> tuple[Ends, ...]:
    """Rails that no designed wire reaches belong to the first supply."""
    wired = {end for pair in usual.designed for end in pair}
    own = {end for s in sources for end in (s.hot, s.common)}
    loose = [t for t in usual.terminals if is_rail(t) and t not in wired and t not in own]
    joined = [(t, sources[0].common if letter(t) == "C" else sources[0].hot) for t in loose]
    return (*joined, (HOT, sources[0].hot), (COMMON, sources[0].common))


def letters_of(call: Call, usual: Usual) -> tuple[str, ...]:
    """Letters that the thermostat closes in a call.

    Notes
    -----
    Terminal tables of thermostat instructions; with two compressor stages the second stage of a heat
    pump's heat is Y2, with one it is the auxiliary heat. Defrost is cooling with auxiliary heat.
    """
    if not usual.heat_pump:
        conventional = {
            Call.FAN: "G",
            Call.COOL_1: "G Y1",
            Call.COOL_2: "G Y1 Y2",
            Call.HEAT_1: "W1",
            Call.HEAT_2: "W1 W2",
        }
        return tuple(conventional.get(call, "").split())
    second = "Y2" if usual.two_stage else "W1"
    pump = {
        Call.FAN: "G",
        Call.COOL_1: "G Y1 O",
        Call.COOL_2: "G Y1 Y2 O",
        Call.HEAT_1: "G Y1 B",
        Call.HEAT_2: f"G Y1 {second} B",
        Call.DEFROST: "G Y1 O W1",
    }
    return tuple(pump.get(call, "").split())


def contacts(usual: Usual, calls: Sequence[Call] = TYPED) -> tuple[Contact, ...]:
    """The thermostat's contacts, and the outdoor board's in defrost."""
    closing: dict[str, set[Call]] = {}
    for call in calls:
        for name in letters_of(call, usual):
            feed = usual.fed_at(name)
            if call is Call.DEFROST and name in ("O", "W1"):
                feed = usual.at(name, "outdoor") or feed
            if feed:
                closing.setdefault(feed, set()).add(call)
    return tuple(Contact((_hot_for(feed, usual), feed), frozenset(on)) for feed, on in closing.items())


def _hot_for(feed: str, usual: Usual) -> str:
    """Hot terminal that a contact takes from: its own device's, by heating or cooling where split."""
    own = "RH" if letter(feed).startswith("W") else "RC"
    return usual.at(own, device_of(feed)) or usual.at("R", device_of(feed)) or HOT


def loads(usual: Usual, kinds: Sequence[str] = ("compressor", "heat", "valve")) -> tuple[Load, ...]:
    """Compressors on the outdoor unit's Y, heat on W, the reversing valve on O or B."""
    inside = (usual.indoor, "thermostat", *usual.drives)
    outside = ["outdoor"] if "outdoor" in usual.devices else [d for d in usual.devices if d not in inside]
    if not outside and usual.indoor != "handler":
        outside = [usual.indoor]
    others = [d for d in usual.devices if d not in (*inside, "outdoor")]
    wanted = [
        *(("compressor", f"Y{n}", f"compressor {n}", n, outside) for n in (1, 2, 3)),
        *(("heat", f"W{n}", f"heat {n}", n, [*others, usual.indoor]) for n in (1, 2, 3)),
        *(("valve", name, "reversing valve", 0, outside) for name in ("O", "B")),
    ]
    hung = []
    for kind, name, called, stage, places in wanted:
        terminal = usual.at(name, *places) if kind in kinds else ""
        if terminal:
            hung.append(Load(called, (terminal, usual.common_of(device_of(terminal))), kind, stage))
    return tuple(hung)


def fan_inputs(usual: Usual) -> tuple[FanInput, ...]:
    """Inputs of the indoor fan where no drive is listed: G and the first stage low, the rest full."""
    first = usual.low if usual.two_stage else usual.full
    speeds = {"G": usual.low, "Y1": first, "Y2": usual.full, "W1": usual.full, "W2": usual.full}
    common = usual.common_of(usual.indoor)
    found = [
        FanInput(terminal, common, speed)
        for name, speed in speeds.items()
        if (terminal := usual.at(name, usual.indoor))
    ]
    return (*found, *_heating_inputs(usual, common))


def _heating_inputs(usual: Usual, common: str) -> list[FanInput]:
    """A compressor that heats asks for full speed."""
    stage = usual.at("Y1", usual.indoor)
    if not (usual.heat_pump and stage):
        return []
    places = (usual.indoor, "outdoor", "thermostat")
    cooling, heating = usual.at("O", *places), usual.at("B", *places)
    if cooling:
        return [FanInput(stage, common, usual.full, unless=cooling)]
    return [FanInput(stage, common, usual.full, only_with=heating)] if heating else []


ENABLING = ("ENABLE", "RUN", "START", "FWD")
"""Letters of a drive's terminals that let it run at all, and choose no speed."""


def drive_inputs(usual: Usual, reached_by: Callable[[str], Collection[str]]) -> tuple[FanInput, ...]:
    """Inputs of a drive whose presets nobody wrote down: low where the fan call or the first stage goes.

    Parameters
    ----------
    usual : Usual
    reached_by : callable
        Calls, as designed, that make a terminal hot.
    """
    found = []
    for name in usual.drives:
        for terminal in usual.terminals:
            if device_of(terminal) == name and not is_rail(terminal):
                low = set(reached_by(terminal)) & {Call.FAN, Call.COOL_1} and usual.two_stage
                speed = usual.low if low else usual.full
                found.append(FanInput(terminal, usual.common_of(name), speed, assumed=True))
    return tuple(found)
