"""Twelve standard unit wirings as job texts, and the tables of what each call energises on them.

Terminal tables of thermostat instructions (R, C, G, Y1, Y2, W1, W2, O, B; split supply Rh and Rc).
Fan speeds at each call, defrost and the economizer's stages: common practice, no source.
"""

from dataclasses import dataclass, field

from hvaccalc.analysis import Analysis
from hvaccalc.job.load import job_from_text

Pair = tuple[str, str]

CALLS = ("none", "fan", "cool 1", "cool 2", "heat 1", "heat 2", "defrost")
RAILS = (("handler.R", "thermostat.R"), ("handler.C", "thermostat.C"), ("handler.C", "outdoor.C"))


@dataclass(frozen=True)
class Wiring:
    """One unit's wiring.

    Attributes
    ----------
    pairs : tuple of pairs
        As designed.
    loads : dict
        Names of the loads on, by call; a call left out energises nothing.
    fan : dict
        Fan at each call: off, low or full; a call left out: off.
    letters : dict
        Letters that are hot at the thermostat, by call.
    extra : str
        Further tables of the wiring.
    kind, drive : str
    """

    pairs: tuple[Pair, ...]
    loads: dict[str, set[str]]
    fan: dict[str, str]
    letters: dict[str, str]
    extra: str = ""
    kind: str = "cooling"
    drive: str = "variable frequency"
    apart: tuple[str, ...] = field(default=())

    @property
    def terminals(self) -> list[str]:
        """Every terminal of the design."""
        return list(dict.fromkeys([end for pair in self.pairs for end in pair] + list(self.apart)))


def chain(*terminals: str) -> tuple[Pair, ...]:
    """Wires from terminal to terminal."""
    return tuple(zip(terminals, terminals[1:], strict=False))


def through(letter: str, *devices: str) -> tuple[Pair, ...]:
    """One letter from device to device."""
    return chain(*(f"{device}.{letter}" for device in devices))


G = through("G", "thermostat", "handler")
Y1 = through("Y1", "thermostat", "handler", "outdoor")
Y2 = through("Y2", "thermostat", "handler", "outdoor")
W1 = through("W1", "thermostat", "handler")
W2 = through("W2", "thermostat", "handler")
O_VALVE = through("O", "thermostat", "handler", "outdoor")
B_VALVE = through("B", "thermostat", "handler", "outdoor")
DEFROST_HEAT = (("outdoor.W1", "handler.W1"),)
WATER = (("thermostat.W1", "water_valve.W1"), ("handler.C", "water_valve.C"))

# Mode by mode as in the instructions' tables: conventional and heat-pump rows.
COOL_1 = {"fan": "G", "cool 1": "G Y1", "cool 2": "G Y1"}
COOL_2 = {"fan": "G", "cool 1": "G Y1", "cool 2": "G Y1 Y2"}
GAS_1, GAS_2 = {"heat 1": "W1", "heat 2": "W1"}, {"heat 1": "W1", "heat 2": "W1 W2"}

C1, C2, H1, H2, VALVE = "compressor 1", "compressor 2", "heat 1", "heat 2", "reversing valve"
COOLED_1 = {"cool 1": {C1}, "cool 2": {C1}}
COOLED_2 = {"cool 1": {C1}, "cool 2": {C1, C2}}
TWO_SPEEDS = {"fan": "low", "cool 1": "low", "cool 2": "full"}
ONE_SPEED = {"fan": "full", "cool 1": "full", "cool 2": "full"}
WARM = {"heat 1": "full", "heat 2": "full"}


def presets(**inputs: str) -> str:
    """Rows of presets; ``drive__input_1="36 Hz"``, a second value after a bar is what was found."""
    rows = []
    for name, typed in inputs.items():
        designed, _, found = typed.partition("|")
        rows.append(f'[[wiring.fan_speed]]\ninput = "{name.replace("__", ".")}"\ndesigned = "{designed}"\n')
        rows.append(f'found = "{found}"\n' if found else "")
    return "".join(rows)


SPLIT = """
[[wiring.supply]]
between = ["furnace.R", "furnace.C"]
[[wiring.supply]]
between = ["handler.R", "handler.C"]
"""

RELAY = """
[[wiring.load]]
name = "fan relay"
between = ["relay.coil", "relay.C"]
[[wiring.switch]]
closed_by = "fan relay"
between = ["relay.com", "relay.no"]
[[wiring.fan_speed]]
input = "drive.run"
designed = "60 Hz"
"""

DAMPER = """
[[wiring.load]]
name = "economizer damper"
between = ["economizer.Y1", "economizer.C"]
"""

STANDARD = {
    "one stage, gas heat": Wiring(
        (*RAILS, *G, *Y1, *W1),
        COOLED_1 | {"heat 1": {H1}, "heat 2": {H1}},
        ONE_SPEED | WARM,
        COOL_1 | GAS_1,
        drive="belt, fixed",
    ),
    "one stage, water heat": Wiring(
        (*RAILS, *G, *Y1, *WATER),
        COOLED_1 | {"heat 1": {H1}, "heat 2": {H1}},
        ONE_SPEED,
        COOL_1 | GAS_1,
        drive="belt, fixed",
    ),
    "two stages, gas heat": Wiring(
        (*RAILS, *G, *Y1, *Y2, *W1, *W2),
        COOLED_2 | {"heat 1": {H1}, "heat 2": {H1, H2}},
        TWO_SPEEDS | WARM,
        COOL_2 | GAS_2,
    ),
    "two stages, water heat": Wiring(
        (*RAILS, *G, *Y1, *Y2, *W1, *WATER),
        COOLED_2 | {"heat 1": {H1}, "heat 2": {H1}},
        TWO_SPEEDS | WARM,
        COOL_2 | GAS_1,
    ),
    "heat pump with O, one stage": Wiring(
        (*RAILS, ("handler.R", "outdoor.R"), *G, *Y1, *W1, *O_VALVE, *DEFROST_HEAT),
        {
            "cool 1": {C1, VALVE},
            "cool 2": {C1, VALVE},
            "heat 1": {C1},
            "heat 2": {C1, H1},
            "defrost": {C1, VALVE, H1},
        },
        ONE_SPEED | WARM | {"defrost": "full"},
        {"fan": "G", "cool 1": "G Y1 O", "cool 2": "G Y1 O", "heat 1": "G Y1", "heat 2": "G Y1 W1"},
        kind="heat pump",
        drive="belt, fixed",
    ),
    "heat pump with B, two stages": Wiring(
        (*RAILS, ("handler.R", "outdoor.R"), *G, *Y1, *Y2, *W1, *B_VALVE, *DEFROST_HEAT),
        {
            "cool 1": {C1},
            "cool 2": {C1, C2},
            "heat 1": {C1, VALVE},
            "heat 2": {C1, C2, VALVE},
            "defrost": {C1, H1},
        },
        TWO_SPEEDS | WARM | {"defrost": "full"},
        COOL_2 | {"heat 1": "G Y1 B", "heat 2": "G Y1 Y2 B"},
        kind="heat pump",
    ),
    "heat pump with O, two stages": Wiring(
        (*RAILS, ("handler.R", "outdoor.R"), *G, *Y1, *Y2, *W1, *O_VALVE, *DEFROST_HEAT),
        {
            "cool 1": {C1, VALVE},
            "cool 2": {C1, C2, VALVE},
            "heat 1": {C1},
            "heat 2": {C1, C2},
            "defrost": {C1, VALVE, H1},
        },
        TWO_SPEEDS | WARM | {"defrost": "full"},
        {"fan": "G", "cool 1": "G Y1 O", "cool 2": "G Y1 Y2 O", "heat 1": "G Y1", "heat 2": "G Y1 Y2"},
        kind="heat pump",
    ),
    "split supply": Wiring(
        (
            ("furnace.R", "thermostat.Rh"),
            ("handler.R", "thermostat.Rc"),
            ("thermostat.W1", "furnace.W1"),
            ("handler.C", "outdoor.C"),
            *G,
            *Y1,
        ),
        COOLED_1 | {"heat 1": {H1}, "heat 2": {H1}},
        ONE_SPEED,
        COOL_1 | GAS_1,
        extra=SPLIT,
        drive="belt, fixed",
        apart=("furnace.C",),
    ),
    "two-speed motor": Wiring(
        (*RAILS, *G, *Y1, *Y2, ("handler.G", "motor.low"), ("handler.Y2", "motor.high")),
        COOLED_2,
        TWO_SPEEDS,
        COOL_2,
        extra=presets(motor__low="60 %", motor__high="100 %"),
        drive="two speed motor",
    ),
    "drive with two inputs": Wiring(
        (
            *RAILS,
            *G,
            *Y1,
            *Y2,
            ("handler.G", "drive.input_1"),
            ("handler.Y2", "drive.input_2"),
            ("handler.C", "drive.C"),
        ),
        COOLED_2,
        TWO_SPEEDS,
        COOL_2,
        extra=presets(drive__input_1="36 Hz", drive__input_2="60 Hz"),
    ),
    "fan relay": Wiring(
        (
            *RAILS,
            *G,
            *Y1,
            ("handler.G", "relay.coil"),
            ("handler.C", "relay.C"),
            ("handler.R", "relay.com"),
            ("relay.no", "drive.run"),
        ),
        {"fan": {"fan relay"}, "cool 1": {C1, "fan relay"}, "cool 2": {C1, "fan relay"}},
        ONE_SPEED,
        COOL_1,
        extra=RELAY,
    ),
    "economizer, two speeds": Wiring(
        (
            *RAILS,
            *G,
            ("thermostat.Y1", "economizer.Y1"),
            ("handler.C", "economizer.C"),
            ("thermostat.Y2", "handler.Y2"),
            ("handler.Y2", "economizer.Y2"),
            ("economizer.Y2", "outdoor.Y1"),
        ),
        {"cool 1": {"economizer damper"}, "cool 2": {"economizer damper", C1}},
        TWO_SPEEDS,
        COOL_2,
        extra=DAMPER,
    ),
}


def listed(pairs) -> str:
    """Pairs as TOML."""
    return "[" + ", ".join(f'["{a}", "{b}"]' for a, b in pairs) + "]"


def job_text(
    wiring: Wiring,
    *,
    found=None,
    temporary=(),
    extra: str = "",
    dry=(),
    visit: str = "",
    terminals=(),
    replaced: str | None = None,
) -> str:
    """Job file of a unit with this wiring; `replaced` stands in place of the wiring's further tables."""
    names = [*wiring.terminals, *terminals]
    lines = [
        'format = 1\n[job]\ntitle = "A wiring"\nelevation = "0 ft"',
        f'[unit]\nkind = "{wiring.kind}"\nrated_capacity = "240 kBtu/h"\nrated_airflow = "8000 cfm"',
        f'[unit.fan]\ndrive = "{wiring.drive}"\nfull_speed = "60 Hz"\nlow_speed = "36 Hz"',
        '[circuit.1]\nrefrigerant = "R-410A"\nstage = 1\n[circuit.2]\nrefrigerant = "R-410A"\nstage = 2',
        "[wiring]\nterminals = [" + ", ".join(f'"{name}"' for name in names) + "]",
        f"designed = {listed(wiring.pairs)}",
        f"found = {listed(found)}" if found is not None else "",
        f"temporary = {listed(temporary)}" if temporary else "",
        "dry_contact = [" + ", ".join(f'"{name}"' for name in dry) + "]" if dry else "",
        wiring.extra if replaced is None else replaced,
        extra,
        visit,
    ]
    return "\n".join(line for line in lines if line) + "\n"


def analysed(wiring: Wiring, **how) -> Analysis:
    """Analysis of a unit with this wiring."""
    return Analysis(job_from_text(job_text(wiring, **how)), 8)


def level(answer) -> str:
    """Fan in words: off, low or full."""
    share = answer.speed.share if answer.speed else 0.0
    return "full" if share > 0.97 else "low" if share > 0.0 else "off"
