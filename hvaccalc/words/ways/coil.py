"""Ways of water off the coil, in words, one row each, and their reasons' sentences.

Looks, repairs and proofs are common practice, without a source.
"""

from hvaccalc.diagnosis.water.mechanisms_coil import CoilReason
from hvaccalc.job.causes import Way
from hvaccalc.rows import complete
from hvaccalc.words.said import NOT_SAID, NOT_TOLD, Said, for_file
from hvaccalc.words.ways.way_words import CATCH, Case, WayWords

UNDER_THE_COIL = "Bring the drain pan under the whole cooling coil."

WAYS = {
    Way.CONDENSATE: WayWords(
        title=Said("ordinary condensate", NOT_TOLD),
        label="ordinary condensate",
        plain="the unit's ordinary condensate at the end of its drain",
        usual=Case(
            weather=for_file("more in humid air, none in dry"),
            cannot=for_file(
                "by itself it runs off through pan and drain: it wets nothing but the drain's outlet"
            ),
            look=Said("read return and supply air with their humidity", NOT_TOLD),
            repair=NOT_SAID,
        ),
        under_pressure=None,
        proof=(),
        today=CATCH,
    ),
    Way.MELT: WayWords(
        title=Said("melting ice", "ice"),
        label="melting ice",
        plain="ice on the cooling coil that melts",
        usual=Case(
            weather=for_file("mild days, little air, all stages on"),
            cannot=for_file("without ice there is none; it does not come before the coil warms up"),
            look=Said(
                "look at the coil at the end of a long run with all stages on, and while it thaws",
                "look at the coil after a long run",
            ),
            repair=NOT_SAID,
        ),
        under_pressure=None,
        proof=(),
        today=CATCH,
    ),
    Way.CARRY_OVER: WayWords(
        title=Said("water blown off the coil", "water blown off the coil"),
        label="blown off the coil",
        plain="drops that too fast air blows off the cooling coil into the duct",
        usual=Case(
            weather=for_file("humid days, full air"),
            cannot=for_file(
                "it needs fast air over a wet coil and lands behind it, never on the filters before it"
            ),
            look=Said(
                "measure the coil's face and the airflow; catch the water at the drain and compare with "
                "what the air loses",
                "measure the air and look into the duct",
            ),
            repair=Said(
                "Bring the air through the coil below 500 ft/min (2.5 m/s): fan speed or sheave of the data "
                "sheet{no_drain_work}. Prove it by a dry duct on a humid day and by the water at the drain "
                "against what the air loses.",
                "Bring the air through the coil back to what it can hold{no_drain_work}.",
            ),
        ),
        under_pressure=None,
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
        usual=Case(
            weather=for_file("humid air, little air: more water for each pound of it and less shear"),
            cannot=for_file("it needs a wet coil and does not reach the duct behind the fan"),
            look=Said(
                "look below the coil's slanted face with a light, after half an hour of cooling; measure "
                "how far its low edge stands inside the pan",
                "look below the coil while it cools",
            ),
            repair=Said(
                "Bring the pan, or a lip on it, under the whole slanted face of the coil.", UNDER_THE_COIL
            ),
        ),
        under_pressure=None,
        proof=(
            Said(
                "Drip: look below the coil's slanted face with a light after half an hour of cooling: "
                "nothing falls beside the pan.",
                "While it cools, nothing may drip beside the pan.",
            ),
        ),
        today=CATCH,
    ),
    Way.SHUT_DOWN_DRAIN: WayWords(
        title=Said(
            "water that falls at shut-down", "the film of water that clings to the coil until the unit stops"
        ),
        label="falls at shut-down",
        plain="water that the coil lets go when the unit stops",
        usual=Case(
            weather=for_file("any with a wet coil; more after humid days"),
            cannot=for_file("it comes only when the air stops, for minutes, and no more than the coil holds"),
            look=Said(
                "watch the coil for a quarter of an hour after the fan stops",
                "look below the coil right after it stops",
            ),
            repair=Said(
                "Bring the pan under all of the coil, so that what it lets go at a stop falls into it.",
                UNDER_THE_COIL,
            ),
        ),
        under_pressure=None,
        proof=(),
        today=CATCH,
    ),
}

REASONS = complete(
    CoilReason,
    {
        CoilReason.MADE_READ: for_file("from drop in humidity over the coil, times the airflow"),
        CoilReason.MADE_RATED: for_file("from the rating's latent heat, for dry to very humid days"),
        CoilReason.COIL_DRY: for_file("the coil was dry"),
        CoilReason.MELTS: for_file(
            "heat that the air brings to ice, with part of its contact; ice of one run by rule of thumb"
        ),
        CoilReason.ABOVE_FREEZING: for_file(
            "the coil stays above freezing in every condition found and forecast"
        ),
        CoilReason.ICE_SEEN: for_file("ice was seen on the coil"),
        CoilReason.BLOWN_OFF: for_file("{air}; {share}"),
        CoilReason.FACE_NOT_KNOWN: for_file("the coil's face or the airflow is not known"),
        CoilReason.FACE_VELOCITY: for_file(
            "face velocity {velocity:velocity}; a drop of 1 to 2 mm falling 0.3 m ({fall:length}) lands "
            "{near:length} to {far:length} behind the coil"
        ),
        CoilReason.SHARE_BY_DRAIN: for_file("the amount is what the coil makes less what the drain brings"),
        CoilReason.SHARE_BY_RULE: for_file(
            "the share blown off by rule of thumb above 500 to 600 ft/min (2.5 to 3.0 m/s)"
        ),
        CoilReason.AIR_TOO_SLOW: for_file("the air is too slow to blow drops off the coil"),
        CoilReason.BLOWN_INTO_DUCT: for_file("{shows:clauses}"),
        CoilReason.DUCT_WET_AIR_FAST: for_file(
            "the duct is wet and the air crosses the coil at {velocity:velocity}"
        ),
        CoilReason.LOST_AT_THE_DRAIN: for_file(
            "{lost:water_flow} of what the coil makes does not come out of the drain"
        ),
        CoilReason.DRIPS: for_file("{leave}; the share that misses the pan by rule of thumb"),
        CoilReason.EDGE_OUTSIDE: for_file("the coil's low edge stands {edge} outside the pan"),
        CoilReason.EDGE_INSIDE: for_file("the low edge stands inside the pan"),
        CoilReason.SLOPE_NOT_TYPED: for_file("slope not typed"),
        CoilReason.UPRIGHT: for_file("the coil stands upright"),
        CoilReason.SLANTED: for_file(
            "weight across a face slanted by {degrees:.0f}° against the air's push and what the fins hold"
        ),
        CoilReason.RUNS_DOWN: for_file("{kept}, drops run down into it"),
        CoilReason.FALLS_INTO_PAN: for_file("{kept}, what it lets go falls into it"),
        CoilReason.EDGE_OVER_PAN: for_file("the coil's low edge stands inside its pan"),
        CoilReason.UPRIGHT_OVER_PAN: for_file("the coil stands upright over its pan"),
        CoilReason.SLANTED_OVER_PAN: for_file("the coil stands {degrees:.0f}° off upright over its pan"),
        CoilReason.HELD_THEN_FALLS: for_file(
            "water that a wet coil holds (to a factor of two), part of which falls; {leave}"
        ),
    },
)
