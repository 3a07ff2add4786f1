"""Ways of water that leaves the pan beside its drain, in words, one row each, and their reasons' sentences.

Looks, repairs and proofs are common practice, without a source.
"""

from hvaccalc.diagnosis.water.mechanisms_pan import PanReason
from hvaccalc.job.causes import Way
from hvaccalc.rows import complete
from hvaccalc.words.said import Said, for_file
from hvaccalc.words.ways.way_words import CATCH, Case, WayWords

WAYS = {
    Way.PAN_OVERFLOW: WayWords(
        title=Said("pan running over", "a blocked drain"),
        label="pan running over",
        plain="a drain pan that runs over because its drain takes too little",
        usual=Case(
            weather=for_file("humid days: the more condensate the sooner"),
            cannot=for_file("it runs over only from a full pan, and never onto filters or into the duct"),
            look=Said(
                "pour a known amount into the pan with the fan at full speed and the door closed",
                "pour water into the pan with the fan at full speed",
            ),
            repair=Said(
                "Open the drain over its whole length, see that it falls 1 % and is as large as the pan's "
                "outlet, and prove it with the fan at full speed and the door closed.",
                "Open the drain line over its whole length and prove it with the unit running.",
            ),
        ),
        under_pressure=None,
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
        usual=Case(
            weather=for_file("any while it cools; worse with loaded filters, ice or a faster fan"),
            cannot=for_file(
                "it needs a running fan: with the fan off the same drain runs free, so a test says nothing"
            ),
            look=Said(
                "read the suction at the pan with all panels on, measure the trap's heights, look for water "
                "in it while the fan runs",
                "look for water in it while the fan runs",
            ),
            repair=Said(
                "Rebuild the trap for the suction with loaded filters, with a plug for filling and "
                "cleaning; fill it, and prove the pan dry with the fan at full speed and all panels on.",
                "Rebuild the drain's water trap so that it holds against the fan, and fill it.",
            ),
        ),
        under_pressure=Case(
            weather=for_file("any while it cools"),
            cannot=for_file(
                "a pan under pressure is emptied by it, not filled: this trap cannot make the pan run over"
            ),
            look=Said(
                "feel for air at the drain's end with the fan on; read the pressure at the pan",
                "look for water in it while the fan runs",
            ),
            repair=Said(
                "Rebuild the trap so that its seal holds the fan's pressure at full speed with clean "
                "filters, with a plug for filling and cleaning; fill it, and prove that no air blows out "
                "and the pan is dry.",
                "Rebuild the drain's water trap so that it holds against the fan, and fill it.",
            ),
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
    Way.PAN_LEAK: WayWords(
        title=Said("cracked or unlevel pan", "the pan itself"),
        label="pan leaks, unlevel",
        plain="a cracked or crooked drain pan",
        usual=Case(
            weather=for_file("any while it cools"),
            cannot=for_file("it loses no more than the pan receives, and wets nothing above the pan"),
            look=Said(
                "dry the floor below, pour water into the pan with the unit off, and look for an hour",
                "let water stand in it for an hour",
            ),
            repair=Said(
                "Level the pan or replace it; prove it with water standing for an hour.",
                "Level or replace the drain pan.",
            ),
        ),
        under_pressure=None,
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
        usual=Case(
            weather=for_file("any while it cools"),
            cannot=for_file("it loses no more than the coil makes"),
            look=Said(
                "see whether there is a pump; pour water into its tank until it starts",
                "see whether there is one and make it start",
            ),
            repair=Said(
                "Mend or replace the condensate pump, with its alarm wired to stop the cooling.",
                "Mend or replace the condensate pump.",
            ),
        ),
        under_pressure=None,
        proof=(
            Said(
                "Pump: fill its tank until it starts, and until its alarm stops the cooling.",
                "The pump is made to start, and its alarm to stop the cooling.",
            ),
        ),
        today=CATCH,
    ),
}

REASONS = complete(
    PanReason,
    {
        PanReason.PASSED_THE_PAN: for_file(
            "the pan stayed dry while the filters got wet: the water never reached the pan"
        ),
        PanReason.PAN_DRY: for_file("the pan was dry while it ran"),
        PanReason.FILM: for_file("the pan held a film while it ran, so it did not stand full then"),
        PanReason.DRAINED_AS_LEFT: for_file("as left the pan drained with {how} (visit {visit})"),
        PanReason.TRIED: for_file("with {how} (visit {visit})"),
        PanReason.AS_NOTED: for_file("as noted"),
        PanReason.LINE_CARRIES: for_file(
            "condensate less what the line carries by Manning's equation; {noted}"
        ),
        PanReason.DRAIN_NOTED: for_file("drain noted as {state}"),
        PanReason.DRAIN_NOT_TRIED: for_file("the drain was not tried"),
        PanReason.RUNS_FREE: for_file("the drain runs free and carries more than the coil makes"),
        PanReason.DRAIN_HOLDS_BACK: for_file("the drain is {state} and water stands in the pan"),
        PanReason.RAN_FREE_YET_STOOD: for_file("it ran free {tests}, yet water stood in the pan"),
        PanReason.RAN_FREE_TELLS_NOTHING: for_file("it ran free {tests}, which says nothing here"),
        PanReason.NO_SUCTION: for_file(
            "without suction or pressure at the pan nothing holds its water back or blows through the drain"
        ),
        PanReason.HIGH_ENOUGH: for_file(
            "the trap is high enough for the suction, which holds no water in the pan"
        ),
        PanReason.DRAINED_AT_FULL_SPEED: for_file(
            "the pan drained with the fan at full speed and the door closed"
        ),
        PanReason.AT_FAULT: for_file("{missing} and {shows}"),
        PanReason.NO_TRAP: for_file("there is no trap"),
        PanReason.TRAP_DRY: for_file("the trap is dry"),
        PanReason.AIR_DRAWN_IN: for_file("air is drawn in there"),
        PanReason.WATER_STANDS: for_file("water stands in the pan"),
        PanReason.MORE_THAN_IT_HOLDS: for_file(
            "the suction is more than the trap holds and water stands in the pan"
        ),
        PanReason.WEAK: for_file("{parts:clauses}"),
        PanReason.SEEN_STANDING: for_file("water was seen standing in the pan"),
        PanReason.SUCTION_HOLDS: for_file("the suction holds {held:length} of water in the pan"),
        PanReason.LACKS_HEIGHT: for_file("the trap lacks {lack:length} of height"),
        PanReason.SEAL_SHORT: for_file("its seal of {seal:length} is short of {need:length}"),
        PanReason.HEIGHT_AND_DEPTH_NOT_KNOWN: for_file(
            "neither the trap's height nor the pan's depth is known"
        ),
        PanReason.TRAP_NOT_LOOKED_AT: for_file("whether the trap is sealed is not known"),
        PanReason.LOADS_RAISE_SUCTION: for_file("loaded filters or ice raise the suction further"),
        PanReason.SUCTION_NOT_KNOWN: for_file("the suction at the pan is not known"),
        PanReason.OPEN_DRAIN: for_file(
            "suction of {suction:air_pressure} over an open drain holds that much water in the pan and "
            "throws it about"
        ),
        PanReason.SUCTION_AGAINST: for_file("suction of {suction:air_pressure}; of the trap {lacks}"),
        PanReason.TOO_LITTLE_SUCTION: for_file("too little suction to fill any pan"),
        PanReason.TRAP_STATE_NOT_KNOWN: for_file("its state is not known"),
        PanReason.TRAP_HEIGHT_NOT_TYPED: for_file("its height is not typed"),
        PanReason.SEALED_TRAP: for_file(
            "suction of {suction:air_pressure} against a sealed trap of {height}"
        ),
        PanReason.PRESSURE_NOT_KNOWN: for_file("the pressure at the pan is not known"),
        PanReason.BLOWS_THROUGH_OPEN_DRAIN: for_file("the fan blows through an open drain"),
        PanReason.PRESSURE_ON_SEAL: for_file("pressure of {pressure:air_pressure} against a seal of {seal}"),
        PanReason.SEAL_HOLDS: for_file("the seal holds the pressure"),
        PanReason.BLOWN_OUT: for_file("air and water are blown out of the drain"),
        PanReason.SEAL_OR_HEIGHT_SHORT: for_file(
            "its seal of {seal} or its height is short of {need:length}"
        ),
        PanReason.ANY_SHARE: for_file("any share of the condensate, by rule of thumb"),
        PanReason.NOT_LEVEL: for_file("the pan is not level"),
        PanReason.NO_PUMP: for_file("the unit has no condensate pump"),
        PanReason.PUMP_STANDS_STILL: for_file("the pump stands still"),
        PanReason.PUMP_RUNS: for_file("the pump runs and the pan is not full"),
        PanReason.TANK_FULL: for_file("what the coil makes, once the pump's own tank is full"),
    },
)
