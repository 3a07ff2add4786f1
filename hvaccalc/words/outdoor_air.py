"""Outdoor air in words."""

from enum import StrEnum

from hvaccalc.diagnosis.air.mixed_air import By, OutdoorAir, Outdoors
from hvaccalc.reason import Amount, Reason, Value
from hvaccalc.rows import complete
from hvaccalc.words.said import Rows, Said, alike, for_file

OUTDOORS: dict[Outdoors, Said] = complete(
    Outdoors,
    {
        Outdoors.USUAL: for_file("Outdoor air in the mixed air: {share:list}."),
        Outdoors.MUCH: Said(
            "Outdoor air in the mixed air: {share:list}, while a compressor runs: more than a coil is chosen "
            "for. It brings water on humid days, keeps the cooling running on mild mornings, and makes cold "
            "surfaces sweat. Look at damper, actuator, linkage and the economizer's setting. The coil meets "
            "the mixed air, not the return air that capacity is reckoned from.",
            "More outdoor air is drawn in than the unit is chosen for ({share:list}): it brings in water on "
            "humid days and keeps the cooling running on mild mornings.",
        ),
        Outdoors.FREE_COOLING: for_file(
            "Outdoor air in the mixed air: {share:list}, and no compressor runs: cooling by outdoor air."
        ),
        Outdoors.UNSURE: for_file(
            "Outdoor air in the mixed air: {share:list}, too close to tell from too much."
        ),
        Outdoors.CLOSE: for_file(
            "Return and outdoor air lie too close together to tell the outdoor fraction from them: read all "
            "three again on a hotter or a colder day."
        ),
        Outdoors.OUTSIDE: Said(
            "The mixed air lies outside both return and outdoor air, which no mixing makes: a probe is "
            "wrong, not in the mixed stream, or sees the cold coil.",
            "How much outdoor air is drawn in cannot be told: one of its readings has to be taken again.",
        ),
        Outdoors.DISAGREE: Said(
            "Dry bulbs and humidity give outdoor fractions that do not agree ({share:list}): read the mixed "
            "air at several points of the section, it is seldom well mixed.",
            "How much outdoor air is drawn in has to be read again: two ways of reading it do not agree.",
        ),
    },
)
"""With ``{share:list}``."""

BY: dict[By, Said] = complete(
    By,
    {
        By.DRY_BULBS: Said("{share} by dry bulbs", "{share} by temperature"),
        By.HUMIDITY: alike("{share} by humidity"),
    },
)

SAID: dict[type[StrEnum], Rows] = {By: BY}


def share_values(air: OutdoorAir) -> dict[str, Value]:
    """The known fractions, each with its band."""
    dry, wet = air.by_dry_bulb, air.by_humidity
    by_dry = Reason(By.DRY_BULBS, {"share": Amount(dry, "fraction")})
    by_wet = Reason(By.HUMIDITY, {"share": Amount(wet, "fraction")})
    return {"share": tuple(one for one, value in ((by_dry, dry), (by_wet, wet)) if value.known)}
