"""Ways of water that does not come off the coil, in words, one row each, and their reasons' sentences.

Looks, repairs and proofs are common practice, without a source.
"""

from hvaccalc.diagnosis.water.mechanisms_around import AroundReason
from hvaccalc.job.causes import Way
from hvaccalc.rows import complete
from hvaccalc.words.said import Said, alike, for_file
from hvaccalc.words.ways.way_words import CATCH, Case, WayWords

WAYS = {
    Way.SWEATING: WayWords(
        title=alike("sweating"),
        label="sweating",
        plain="room air that sweats on cold surfaces of the unit or its duct",
        usual=Case(
            weather=for_file("humid air round the unit"),
            cannot=for_file(
                "it makes little: cups rather than buckets, and never inside, on filters or coil"
            ),
            look=Said(
                "read dry bulb and dew point of the air round the unit; touch cabinet, duct and suction line",
                "touch cabinet and duct on a humid day",
            ),
            repair=Said(
                "Insulate what sweats, joints and hangers too, with its vapour retarder closed and no gap; "
                "then see whether the air inside is colder than it should be.",
                "Insulate the cold surfaces that sweat, without gaps.",
            ),
        ),
        under_pressure=None,
        proof=(
            Said(
                "Sweating: the surfaces that sweated, joints and hangers too, dry to the hand on a "
                "humid day after hours of cooling, with the dew point round them read.",
                "On a humid day, after hours of cooling, the surfaces that sweated must be dry.",
            ),
        ),
        today=CATCH,
    ),
    Way.HOT_WATER_COIL: WayWords(
        title=Said("hot-water coil", "the heating coil"),
        label="hot-water coil",
        plain="a leaking heating coil",
        usual=Case(
            weather=for_file("any"),
            cannot=for_file("it does not come and go with the cooling"),
            look=Said(
                "look at its headers and valves with the cooling off; watch the heating circuit's pressure",
                "look at its joints with the cooling off",
            ),
            repair=Said(
                "Isolate the heating coil, find the joint or tube that leaks, mend it and prove it under "
                "pressure.",
                "Mend the leaking heating coil.",
            ),
        ),
        under_pressure=None,
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
        usual=Case(
            weather=for_file("any; a roof only in rain"),
            cannot=for_file("it does not come and go with the cooling"),
            look=alike("look above the unit while it is wet, in rain and with the cooling off"),
            repair=Said(
                "No work on the unit: open what lies above it and find the pipe, drain or roof that leaks, "
                "with its owner. Cover the unit's electrical parts until then.",
                "No work on the unit: the pipe, drain or roof above it has to be found and mended.",
            ),
        ),
        under_pressure=None,
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
}

REASONS = complete(
    AroundReason,
    {
        AroundReason.SWEATS: for_file(
            "film and insulation against the dew point of the air round it ({air})"
        ),
        AroundReason.SWEATS_BARE: for_file(
            "cold metal bared by gaps in its insulation; film and insulation against the dew point of the "
            "air round it ({air})"
        ),
        AroundReason.AIR_READ: for_file("read"),
        AroundReason.AIR_NOT_READ: for_file("not read, return air with a wide spread taken"),
        AroundReason.NOTHING_COLD: for_file("no surface is colder than the dew point of the air round it"),
        AroundReason.SWEATING_SEEN: for_file("sweating was seen on the {places}"),
        AroundReason.LEAKS: for_file("from a drop every few seconds to a spray, by rule of thumb"),
        AroundReason.HEATING_COIL_DRY: for_file("the hot-water coil is dry"),
        AroundReason.NO_HEATING_COIL: for_file("the hot-water coil is not there"),
        AroundReason.HEATING_COIL_WET: for_file("the hot-water coil was found wet"),
        AroundReason.STOPS_WITH_COOLING: for_file("no water comes with cooling off"),
        AroundReason.SEEN_ABOVE: for_file("water was seen above the unit"),
        AroundReason.SEEN_ABOVE_WHILE_OFF: for_file(
            "water was seen above the unit and it comes with cooling off"
        ),
        AroundReason.WITH_RAIN_ALONE: for_file("it comes with rain and nothing else"),
    },
)
