"""The ways of the water in words, one row each: what it is, where to look, what mends and what proves it.

Looks, repairs and proofs are common practice, without a source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.job.causes import Way
from hvaccalc.rows import complete
from hvaccalc.words.said import NOT_TOLD, Rows, Said, alike

NOT_SAID = Said(NOT_TOLD, NOT_TOLD)

PAN_FULL = Said(
    "Keep the cooling off while the pan stands full: lock out and prove dead before it is emptied. Catch "
    "what runs over and move what stands below.",
    "keep the cooling off while the drain pan is full. Catch what runs over and move what stands below.",
)
"""Today, where the pan was seen full, whatever the way."""

CATCH = Said(
    "Until it has stopped: catch the water, move what stands below, and switch the unit off where water "
    "comes near live parts.",
    "catch the water and move what stands below; have the unit switched off where water comes near its "
    "wiring.",
)
"""Today, where the way is not shown or not mended."""

UNDER_THE_COIL = "Bring the drain pan under the whole cooling coil."


@dataclass(frozen=True, slots=True)
class WayWords:
    """Words of one way; a text that is not told is a written choice.

    Attributes
    ----------
    title : Said
        Its name in a sentence; for the customer short, in a list.
    label : str
        Beside its bar in the picture.
    plain : str
        What it is, for the customer.
    look : Said
        What to read or look at to decide.
    look_otherwise : Said
        The same where the coil is under pressure.
    repair : Said
        What mends it.
    repair_otherwise : Said
        The same in the way's other case (`WayRow.otherwise`).
    proof : tuple of Said
        Steps of the return visit; none where the usual steps prove it.
    today : Said
        What to do at once, where it is the way at work.
    """

    title: Said
    label: str
    plain: str
    look: Said
    look_otherwise: Said
    repair: Said
    repair_otherwise: Said
    proof: tuple[Said, ...]
    today: Said


def _carry_over(no_drain_work: str, no_drain_work_plain: str) -> Said:
    return Said(
        "Bring the air through the coil below 500 ft/min (2.5 m/s): fan speed or sheave of the data sheet"
        f"{no_drain_work}. Prove it by a dry duct on a humid day and by the water at the drain against what "
        "the air loses.",
        f"Bring the air through the coil back to what it can hold{no_drain_work_plain}.",
    )


WAYS: dict[Way, WayWords] = complete(
    Way,
    {
        Way.CONDENSATE: WayWords(
            title=Said("ordinary condensate", NOT_TOLD),
            label="ordinary condensate",
            plain="the unit's ordinary condensate at the end of its drain",
            look=Said("read return and supply air with their humidity", NOT_TOLD),
            look_otherwise=NOT_SAID,
            repair=NOT_SAID,
            repair_otherwise=NOT_SAID,
            proof=(),
            today=CATCH,
        ),
        Way.MELT: WayWords(
            title=Said("melting ice", "ice"),
            label="melting ice",
            plain="ice on the cooling coil that melts",
            look=Said(
                "look at the coil at the end of a long run with all stages on, and while it thaws",
                "look at the coil after a long run",
            ),
            look_otherwise=NOT_SAID,
            repair=NOT_SAID,
            repair_otherwise=NOT_SAID,
            proof=(),
            today=CATCH,
        ),
        Way.PAN_OVERFLOW: WayWords(
            title=Said("pan running over", "a blocked drain"),
            label="pan running over",
            plain="a drain pan that runs over because its drain takes too little",
            look=Said(
                "pour a known amount into the pan with the fan at full speed and the door closed",
                "pour water into the pan with the fan at full speed",
            ),
            look_otherwise=NOT_SAID,
            repair=Said(
                "Open the drain over its whole length, see that it falls 1 % and is as large as the pan's "
                "outlet, and prove it with the fan at full speed and the door closed.",
                "Open the drain line over its whole length and prove it with the unit running.",
            ),
            repair_otherwise=NOT_SAID,
            proof=(
                Said(
                    "Drain: pour a known amount into the pan with the fan at full speed and the door "
                    "closed; the pan empties and stays so over a long run.",
                    "Water is poured into the pan while the unit runs at full fan speed, and must run off.",
                ),
            ),
            today=CATCH,
        ),
        Way.TRAP: WayWords(
            title=Said("trap", "the trap"),
            label="trap",
            plain="a drain trap that cannot hold against the fan, so that the pan cannot empty while it runs",
            look=Said(
                "read the suction at the pan with all panels on, measure the trap's heights, look for water "
                "in it while the fan runs",
                "look for water in it while the fan runs",
            ),
            look_otherwise=Said(
                "feel for air at the drain's end with the fan on; read the pressure at the pan",
                "look for water in it while the fan runs",
            ),
            repair=Said(
                "Rebuild the trap for the suction with loaded filters, with a plug for filling and "
                "cleaning; fill it, and prove the pan dry with the fan at full speed and all panels on.",
                "Rebuild the drain's water trap so that it holds against the fan, and fill it.",
            ),
            repair_otherwise=Said(
                "Rebuild the trap so that its seal holds the fan's pressure at full speed with clean "
                "filters, with a plug for filling and cleaning; fill it, and prove that no air blows out "
                "and the pan is dry.",
                "Rebuild the drain's water trap so that it holds against the fan, and fill it.",
            ),
            proof=(
                Said(
                    "Trap: a start with the trap freshly filled, then a long run at full fan speed with the "
                    "door closed and all panels on, {time}; look at the pan after it: a film at most, the "
                    "trap still sealed.{film}",
                    "The unit is started with the drain's trap freshly filled and runs at full fan speed "
                    "with its door closed, {time}; the pan is looked at after it and must not fill.{film}",
                ),
            ),
            today=CATCH,
        ),
        Way.CARRY_OVER: WayWords(
            title=Said("water blown off the coil", "water blown off the coil"),
            label="blown off the coil",
            plain="drops that too fast air blows off the cooling coil into the duct",
            look=Said(
                "measure the coil's face and the airflow; catch the water at the drain and compare with "
                "what the air loses",
                "measure the air and look into the duct",
            ),
            look_otherwise=NOT_SAID,
            repair=_carry_over("; no drain work", "; the drain needs no work"),
            repair_otherwise=_carry_over("", ""),
            proof=(
                Said(
                    "Carry-over: fan speed and motor current read, air through the coil below 500 ft/min "
                    "(2.5 m/s); the duct dry inside after two hours of cooling on a humid day, and the "
                    "water at the drain against what the air loses.",
                    "The fan's speed is read, and the duct must stay dry inside over hours of cooling on a "
                    "humid day; the drain needs no work.",
                ),
            ),
            today=CATCH,
        ),
        Way.COIL_DRIP: WayWords(
            title=Said("drip off the coil without ice", "drip off the coil"),
            label="drip without ice",
            plain="water that drips off the slanted cooling coil beside its pan",
            look=Said(
                "look below the coil's slanted face with a light, after half an hour of cooling; measure "
                "how far its low edge stands inside the pan",
                "look below the coil while it cools",
            ),
            look_otherwise=NOT_SAID,
            repair=Said(
                "Bring the pan, or a lip on it, under the whole slanted face of the coil.",
                UNDER_THE_COIL,
            ),
            repair_otherwise=NOT_SAID,
            proof=(
                Said(
                    "Drip: look below the coil's slanted face with a light after half an hour of cooling: "
                    "nothing falls beside the pan.",
                    "While it cools, nothing may drip beside the pan.",
                ),
            ),
            today=CATCH,
        ),
        Way.SWEATING: WayWords(
            title=alike("sweating"),
            label="sweating",
            plain="room air that sweats on cold surfaces of the unit or its duct",
            look=Said(
                "read dry bulb and dew point of the air round the unit; touch cabinet, duct and suction line",
                "touch cabinet and duct on a humid day",
            ),
            look_otherwise=NOT_SAID,
            repair=Said(
                "Insulate what sweats, joints and hangers too, with its vapour retarder closed and no gap; "
                "then see whether the air inside is colder than it should be.",
                "Insulate the cold surfaces that sweat, without gaps.",
            ),
            repair_otherwise=NOT_SAID,
            proof=(
                Said(
                    "Sweating: the surfaces that sweated, joints and hangers too, dry to the hand on a "
                    "humid day after hours of cooling, with the dew point round them read.",
                    "On a humid day, after hours of cooling, the surfaces that sweated must be dry.",
                ),
            ),
            today=CATCH,
        ),
        Way.PAN_LEAK: WayWords(
            title=Said("cracked or unlevel pan", "the pan itself"),
            label="pan leaks, unlevel",
            plain="a cracked or crooked drain pan",
            look=Said(
                "dry the floor below, pour water into the pan with the unit off, and look for an hour",
                "let water stand in it for an hour",
            ),
            look_otherwise=NOT_SAID,
            repair=Said(
                "Level the pan or replace it; prove it with water standing for an hour.",
                "Level or replace the drain pan.",
            ),
            repair_otherwise=NOT_SAID,
            proof=(
                Said(
                    "Pan: water standing in it for an hour with the unit off, the floor below dry.",
                    "The pan must hold water for an hour with the floor below it dry.",
                ),
            ),
            today=CATCH,
        ),
        Way.PUMP: WayWords(
            title=Said("condensate pump", "the pump"),
            label="condensate pump",
            plain="the condensate pump",
            look=Said(
                "see whether there is a pump; pour water into its tank until it starts",
                "see whether there is one and make it start",
            ),
            look_otherwise=NOT_SAID,
            repair=Said(
                "Mend or replace the condensate pump, with its alarm wired to stop the cooling.",
                "Mend or replace the condensate pump.",
            ),
            repair_otherwise=NOT_SAID,
            proof=(
                Said(
                    "Pump: fill its tank until it starts, and until its alarm stops the cooling.",
                    "The pump is made to start, and its alarm to stop the cooling.",
                ),
            ),
            today=CATCH,
        ),
        Way.HOT_WATER_COIL: WayWords(
            title=Said("hot-water coil", "the heating coil"),
            label="hot-water coil",
            plain="a leaking heating coil",
            look=Said(
                "look at its headers and valves with the cooling off; watch the heating circuit's pressure",
                "look at its joints with the cooling off",
            ),
            look_otherwise=NOT_SAID,
            repair=Said(
                "Isolate the heating coil, find the joint or tube that leaks, mend it and prove it under "
                "pressure.",
                "Mend the leaking heating coil.",
            ),
            repair_otherwise=NOT_SAID,
            proof=(
                Said(
                    "Heating coil: under its pressure for an hour with the cooling off, its joints dry.",
                    "The heating coil must stay dry under pressure.",
                ),
            ),
            today=CATCH,
        ),
        Way.OUTSIDE: WayWords(
            title=alike("water from outside the unit"),
            label="outside the unit",
            plain="water from outside the unit, such as a pipe or the roof",
            look=alike("look above the unit while it is wet, in rain and with the cooling off"),
            look_otherwise=NOT_SAID,
            repair=Said(
                "No work on the unit: open what lies above it and find the pipe, drain or roof that leaks, "
                "with its owner. Cover the unit's electrical parts until then.",
                "No work on the unit: the pipe, drain or roof above it has to be found and mended.",
            ),
            repair_otherwise=NOT_SAID,
            proof=(
                Said(
                    "Pipe, drain or roof above the unit mended, by its owner; note what was found and when.",
                    "The pipe, drain or roof above the unit has been mended; what was found is written down.",
                ),
                Said(
                    "Unit left off over a weekend, cooling and fan, or for as long as it was off when the "
                    "water came.",
                    "The unit is left off over a weekend, or for as long as it was off when the water came.",
                ),
                Said(
                    "Then look above the unit and at the pipe, after rain too: everything dry. Everything "
                    "below dry, and again after a day of cooling.",
                    "Then the place above the unit is looked at, after rain too, and everything below it: "
                    "all must be dry.",
                ),
            ),
            today=Said(
                "Call the owner of the pipe, drain or roof above now: close its valve or stop what feeds "
                "it. Move what stands below and catch the water. Where it reaches the unit: off at the "
                "disconnect and isolated by a qualified person, nobody reaching over wet parts; then cover "
                "its electrical parts. Back on only once it is dry and was looked at.",
                "call the owner of the pipe, drain or roof above now, so that the water is turned off. Move "
                "what stands below and catch the water. Where it reaches the unit, have a qualified person "
                "switch it off, isolate and cover it; touch nothing that is wet.",
            ),
        ),
        Way.SHUT_DOWN_DRAIN: WayWords(
            title=Said(
                "water that falls at shut-down",
                "the film of water that clings to the coil until the unit stops",
            ),
            label="falls at shut-down",
            plain="water that the coil lets go when the unit stops",
            look=Said(
                "watch the coil for a quarter of an hour after the fan stops",
                "look below the coil right after it stops",
            ),
            look_otherwise=NOT_SAID,
            repair=Said(
                "Bring the pan under all of the coil, so that what it lets go at a stop falls into it.",
                UNDER_THE_COIL,
            ),
            repair_otherwise=NOT_SAID,
            proof=(),
            today=CATCH,
        ),
    },
)

SAID: dict[type[StrEnum], Rows] = {Way: {way: words.title for way, words in WAYS.items()}}
