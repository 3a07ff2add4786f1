"""Readings that cannot be true together: flagged by name, kept, and left out of inference.

Nothing is repaired. A contradiction is named only beyond the combined 95 % band of the readings.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.air.air_states import stream
from hvaccalc.diagnosis.air.airflow import speed_ratio
from hvaccalc.diagnosis.contradictions.circuit_screening import below_outdoors, blamed, cold_liquid, hot_gas
from hvaccalc.diagnosis.contradictions.fan_screening import Contradiction, impossible
from hvaccalc.diagnosis.contradictions.mistyped import Slip
from hvaccalc.diagnosis.readings import compressors, saturation
from hvaccalc.diagnosis.readings.compressors import RunState
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.saturation import Saturated
from hvaccalc.ensemble import beyond
from hvaccalc.physics import moist_air
from hvaccalc.practice.circuits import (
    BELOW_SATURATION,
    LEVEL_RATIO,
    LIQUID_ABOVE_BUBBLE,
    MOST_SUBCOOLING,
    MOST_SUPERHEAT,
)
from hvaccalc.severity import Severity

_HUMIDITY = ("_wet_bulb", "_dew_point", "_relative_humidity")


@dataclass(frozen=True, slots=True)
class Flag:
    """A contradiction among readings.

    Attributes
    ----------
    code : Contradiction
    where : Where
    keys : tuple of str
        Readings left out of inference; those that may be mistyped are used as they are.
    text : str
        One sentence for the reader.
    severity : Severity
    """

    code: Contradiction
    where: Where
    keys: tuple[str, ...]
    text: str
    severity: Severity = Severity.WATCH

    @property
    def left_out(self) -> bool:
        """Whether its readings are left out of inference."""
        return self.code is not Contradiction.MISTYPED_MAYBE


@dataclass(frozen=True, slots=True)
class Screening:
    """All flags of a job, and the readings that may be mistyped: used as they are, and nothing is charged or
    repaired on them."""

    flags: tuple[Flag, ...]
    doubted: frozenset[tuple[Where, str]] = frozenset()

    @property
    def excluded(self) -> frozenset[tuple[Where, str]]:
        """Readings left out of inference."""
        return frozenset((flag.where, key) for flag in self.flags if flag.left_out for key in flag.keys)

    def with_mistyped(self, slips: Iterable[tuple[Slip, str]]) -> "Screening":
        """The same with readings that do not belong to their neighbours, each with its sentence.

        One that is sure is flagged at each of its places; one that may be, once.
        """
        flags, doubted = list(self.flags), set(self.doubted)
        for slip, text in slips:
            code = Contradiction.MISTYPED if slip.sure else Contradiction.MISTYPED_MAYBE
            keys: dict[Where, tuple[str, ...]] = {}
            for where, key in slip.places:
                keys[where] = (*keys.get(where, ()), key)
            found = [Flag(code, where, of_place, text) for where, of_place in keys.items()]
            flags += found if slip.sure else found[:1]
            doubted |= set() if slip.sure else set(slip.places)
        return Screening(tuple(flags), frozenset(doubted))


def screen(draws: Draws) -> Screening:
    """Screen every condition of a job.

    Parameters
    ----------
    draws : Draws
        With nothing excluded yet.
    """
    flags: list[Flag] = []
    for where, _ in draws.conditions():
        flags += _air_flags(draws, where) + _fan_flags(draws, where)
        for circuit in draws.condition(where).circuit:
            flags += _dead_channels(draws, where.at(circuit))
    # Pressures that are no pressures must not take part in the rules that follow.
    alive = draws.without(Screening(tuple(flags)).excluded)
    for where, condition in draws.conditions():
        for circuit in condition.circuit:
            flags += _circuit_flags(alive, where.at(circuit))
    sound = draws.without(Screening(tuple(flags)).excluded)
    for where, _ in draws.conditions():
        flags += _supply_flags(sound, where)
        # An outdoor probe or a gauge already blamed is no measure for the lines.
        flags += _head_flags(sound, where) or _line_flags(sound, where)
    return Screening(tuple(flags))


def _air_flags(draws: Draws, where: Where) -> list[Flag]:
    flags = []
    for name in ("return", "supply", "mixed", "outdoor"):
        for humid, word in (("wet_bulb", "wet bulb"), ("dew_point", "dew point")):
            keys = (f"{name}_dry_bulb", f"{name}_{humid}")
            if not all(hasattr(draws.condition(where).air, key) for key in keys):
                continue
            dry, wet = (draws.column(where, key) for key in keys)
            if dry is not None and wet is not None and humid == "wet_bulb":
                # Moistened air without any water cannot be colder.
                least = moist_air.wet_bulb(dry, 0.0, draws.barometer(where).draws)
                if beyond(least - wet):
                    text = (
                        f"{name} wet bulb ({_typed(draws, where, keys[1])}) lies below that of air without "
                        f"any water at the dry bulb ({_typed(draws, where, keys[0])}): one of them is wrong."
                    )
                    flags.append(Flag(Contradiction.WET_BELOW_DRY_AIR, where, keys, text))
            if dry is not None and wet is not None and beyond(wet - dry):
                flags.append(
                    Flag(
                        Contradiction.WET_ABOVE_DRY,
                        where,
                        keys,
                        f"{name} {word} ({_typed(draws, where, keys[1])}) stands above the dry bulb "
                        f"({_typed(draws, where, keys[0])}): probes swapped, or one of them wrong.",
                    )
                )
    return flags


def _dead_channels(draws: Draws, where: Where) -> list[Flag]:
    flags = []
    for key, column in saturation.pressures(draws, where).read():
        if column[0] <= 0.0:
            text = (
                f"{_name(key)} of circuit {where.circuit} reads {_typed(draws, where, key)}, "
                "below zero absolute: a dead channel."
            )
            flags.append(Flag(Contradiction.DEAD_CHANNEL, where, (key,), text))
    return flags


def _circuit_flags(draws: Draws, where: Where) -> list[Flag]:
    flags = []
    read = dict(saturation.pressures(draws, where).read())
    suction = read.pop("suction_pressure", None)
    proof = compressors.compressor(draws, where)
    for key, head in read.items():
        if suction is None:
            continue
        pair = ("suction_pressure", key)
        if beyond(suction - head):
            text = (
                f"Suction pressure of circuit {where.circuit} "
                f"({_typed(draws, where, pair[0])}) stands above its "
                f"{_name(key).lower()} ({_typed(draws, where, key)}): hoses swapped, or a gauge wrong."
            )
            flags.append(Flag(Contradiction.SUCTION_ABOVE_HEAD, where, pair, text))
        elif proof.by_current and proof.state is RunState.YES and head[0] < LEVEL_RATIO * suction[0]:
            text = (
                f"Circuit {where.circuit} shows no pressure difference ({_typed(draws, where, pair[0])} and "
                f"{_typed(draws, where, key)}) though {proof.how}: a gauge or a valve is "
                "shut, or the compressor does not pump."
            )
            flags.append(Flag(Contradiction.NO_RATIO_WHILE_RUNNING, where, pair, text))
    if not flags:
        flags += _temperature_flags(draws, where)
    return flags


def _temperature_flags(draws: Draws, where: Where) -> list[Flag]:
    fluid = draws.refrigerant(where.circuit)
    if fluid is None:
        return []
    flags = []
    lowest = fluid.dew_pressure(fluid.temperature_range[0])
    for key, found in saturation.saturations(draws, where).read():
        if 0.0 < found.pressure[0] < lowest:
            flags.append(_vacuum(draws, where, key))
        elif not np.isfinite(found.dew[0]):
            text = (
                f"{_name(key)} of circuit {where.circuit} ({_typed(draws, where, key)}) lies "
                "outside the saturation "
                f"range of {fluid.name}: wrong unit, wrong refrigerant, or above the critical point."
            )
            flags.append(Flag(Contradiction.OUTSIDE_SATURATION, where, (key,), text))
    if compressors.stands(draws, where):
        return flags
    read = saturation.saturations(draws, where)
    if swapped := _swapped_clamps(draws, where, read.suction, read.liquid):
        return [*flags, swapped]
    flags += _suction_temperature(draws, where, read.suction)
    flags += _liquid_temperature(draws, where, read.liquid)
    return flags or _shown_otherwise(draws, where, read.suction, read.liquid)


def _shown_otherwise(
    draws: Draws, where: Where, suction: Saturated | None, liquid: Saturated | None
) -> list[Flag]:
    """A superheat or subcooling as a manifold showed it that its own pair of readings does not give."""
    gas, cold = (draws.column(where, f"{side}_temperature") for side in ("suction", "liquid"))
    pairs = {
        "superheat": None if suction is None or gas is None else gas - suction.dew,
        "subcooling": None if liquid is None or cold is None else liquid.bubble - cold,
    }
    flags = []
    for key, pair in pairs.items():
        shown = draws.column(where, key)
        if shown is None or pair is None or not (beyond(shown - pair) or beyond(pair - shown)):
            continue
        text = (
            f"{_name(key)} of circuit {where.circuit} was shown as {_typed(draws, where, key)}, and pressure "
            f"and temperature give {_kelvin(draws, pair[0])}: the manifold may be set to another "
            "refrigerant, or one of the three is typed wrong. The pair is used."
        )
        flags.append(Flag(Contradiction.SHOWN_OTHERWISE, where, (key,), text))
    return flags


def _vacuum(draws: Draws, where: Where, key: str) -> Flag:
    """A pressure below all that the tables know: about the atmosphere's, or less."""
    proof = compressors.compressor(draws, where)
    text = (
        f"{_name(key)} of circuit {where.circuit} ({_typed(draws, where, key)}) is near or below the "
        "atmosphere's"
    )
    runs = proof.state in (RunState.YES, RunState.SAID)
    if runs:
        text += (
            " while its compressor runs. Stop it and find out: a shut valve, a blocked line, an empty "
            "circuit, or a gauge that is off."
        )
    else:
        text += ": an empty circuit, or a gauge that is off."
    return Flag(Contradiction.VACUUM, where, (key,), text, Severity.STOP if runs else Severity.WATCH)


def _swapped_clamps(
    draws: Draws, where: Where, suction: Saturated | None, liquid: Saturated | None
) -> Flag | None:
    """Suction and liquid temperature that make sense only the other way round."""
    keys = ("suction_temperature", "liquid_temperature")
    warm, cold = (draws.column(where, key) for key in keys)
    if suction is None or liquid is None or warm is None or cold is None:
        return None
    dew, bubble = suction.dew, liquid.bubble
    if not (beyond(warm - dew - MOST_SUPERHEAT) and beyond(bubble - cold - MOST_SUBCOOLING)):
        return None
    other_way = 0.0 < cold[0] - dew[0] < MOST_SUPERHEAT and bubble[0] - warm[0] > -LIQUID_ABOVE_BUBBLE
    if not other_way:
        return None
    text = (
        f"Suction ({_typed(draws, where, keys[0])}) and liquid temperature "
        f"({_typed(draws, where, keys[1])}) of "
        f"circuit {where.circuit} make sense only the other way round: clamps swapped."
    )
    return Flag(Contradiction.CLAMPS_SWAPPED, where, keys, text)


def _suction_temperature(draws: Draws, where: Where, suction: Saturated | None) -> list[Flag]:
    keys = ("suction_pressure", "suction_temperature")
    temperature = draws.column(where, "suction_temperature")
    if suction is None or temperature is None:
        return []
    below = suction.dew - temperature - BELOW_SATURATION
    if not beyond(below):
        return []
    text = (
        f"Suction gas of circuit {where.circuit} at {_typed(draws, where, keys[1])} stands "
        f"{_kelvin(draws, below[0] + BELOW_SATURATION)} below its saturation at "
        f"{_typed(draws, where, keys[0])}: it cannot. A gauge, a clamp or the "
        "refrigerant typed is wrong."
    )
    reading = draws.quantity(where, keys[0])
    if reading is not None and reading.gauge:
        taken = (temperature - suction.moved(-draws.barometer(where).draws).dew)[0]
        if 0.0 < taken < 20.0:
            text += (
                f" Taken as absolute (psia) the superheat would be {_kelvin(draws, taken)}: "
                "perhaps psia typed as psig."
            )
    return [Flag(Contradiction.BELOW_SATURATION, where, keys, text)]


def _liquid_temperature(draws: Draws, where: Where, liquid: Saturated | None) -> list[Flag]:
    keys = ("liquid_pressure", "liquid_temperature")
    temperature = draws.column(where, "liquid_temperature")
    if liquid is None or temperature is None:
        return []
    above = temperature - liquid.bubble - LIQUID_ABOVE_BUBBLE
    if not beyond(above):
        return []
    text = (
        f"Liquid of circuit {where.circuit} at {_typed(draws, where, keys[1])} stands "
        f"{_kelvin(draws, above[0] + LIQUID_ABOVE_BUBBLE)} above its bubble temperature at "
        f"{_typed(draws, where, keys[0])}: "
        "it cannot be liquid: probe, gauge or refrigerant is wrong, or the circuit is all but empty."
    )
    return [Flag(Contradiction.LIQUID_ABOVE_BUBBLE, where, keys, text)]


def _supply_flags(draws: Draws, where: Where) -> list[Flag]:
    condition = draws.condition(where)
    # A heat pump whose calls were not noted may be heating.
    open_question = draws.job.unit.kind == "heat pump" and condition.calls is None
    if compressors.heating(draws, where) or open_question or condition.air.electric_heat is not None:
        return []
    proofs = [compressors.compressor(draws, where.at(name)) for name in draws.job.circuit]
    proved = next((p for p in proofs if p.state is RunState.YES), None)
    if proved is None:
        return []
    return _warmer_supply(draws, where, proved.how) or _more_humid_supply(draws, where, proved.how)


def _warmer_supply(draws: Draws, where: Where, how: str) -> list[Flag]:
    name = _entering(draws, where)
    supply, back = draws.column(where, "supply_dry_bulb"), draws.column(where, f"{name}_dry_bulb")
    if supply is None or back is None or not beyond(supply - back):
        return []
    text = (
        f"Supply air ({_typed(draws, where, 'supply_dry_bulb')}) is warmer than {name} air "
        f"({_typed(draws, where, f'{name}_dry_bulb')}) while a compressor runs ({how}) "
        "and nothing heats: "
        "probes swapped, or one of them wrong."
    )
    return [
        Flag(
            Contradiction.SUPPLY_ABOVE_RETURN,
            where,
            _read_of_both(draws, where, name, ("_dry_bulb", *_HUMIDITY)),
            text,
        )
    ]


def _more_humid_supply(draws: Draws, where: Where, how: str) -> list[Flag]:
    """A coil that cools gives no water to the air."""
    barometer = draws.barometer(where).draws
    name = _entering(draws, where)
    supply, back = (stream(draws, where, air, barometer) for air in ("supply", name))
    if supply is None or back is None or not beyond(supply.humidity_ratio - back.humidity_ratio):
        return []
    told = [
        f"{_words(air.humidity_from)} {_typed(draws, where, air.humidity_from)}" for air in (supply, back)
    ]
    text = (
        f"Supply air ({told[0]}) holds more water than {name} air ({told[1]}) while a compressor runs "
        f"({how}) and nothing humidifies: probes swapped, or one of them wrong."
    )
    return [Flag(Contradiction.SUPPLY_MORE_HUMID, where, _read_of_both(draws, where, name, _HUMIDITY), text)]


def _entering(draws: Draws, where: Where) -> str:
    """The air that enters the coil: mixed air where it was read, whose outdoor air the return lacks."""
    return "return" if draws.column(where, "mixed_dry_bulb") is None else "mixed"


def _read_of_both(draws: Draws, where: Where, name: str, endings: tuple[str, ...]) -> tuple[str, ...]:
    """Keys of readings of the entering and the supply air with these endings."""
    keys = (air + ending for air in (name, "supply") for ending in endings)
    return tuple(key for key in keys if draws.reading(where, key) is not None)


def _fan_flags(draws: Draws, where: Where) -> list[Flag]:
    flags = [Flag(code, where, keys, text) for code, keys, text in impossible(draws, where)]
    flow, ratio = draws.column(where, "airflow"), speed_ratio(draws, where)
    if flow is None or ratio is None or ratio.draws[0] > 0.0 or flow[0] <= 0.0:
        return flags
    keys = [key for key in ("fan_frequency", "fan_speed") if draws.reading(where, key) is not None]
    text = (
        f"An airflow of {_typed(draws, where, 'airflow')} was read while the fan shows "
        f"{_typed(draws, where, keys[0])}: one of the two is wrong."
    )
    return [*flags, Flag(Contradiction.AIR_WITHOUT_FAN, where, ("airflow", *keys), text)]


def _head_flags(draws: Draws, where: Where) -> list[Flag]:
    """A running condenser below the outdoor air."""
    below = below_outdoors(draws, where)
    if not below:
        return []
    name, (key, by) = max(below.items(), key=lambda item: item[1][1])
    text = (
        f"Circuit {name} would condense {_kelvin(draws, by)} below the outdoor air "
        f"({_typed(draws, where, 'outdoor_dry_bulb')}; {_name(key).lower()} "
        f"{_typed(draws, where.at(name), key)}) while it runs, and heat does not flow that way: the outdoor "
        "probe or the gauge is wrong, or the refrigerant typed."
    )
    return [
        Flag(Contradiction.BELOW_OUTDOORS, place, keys, text) for place, keys in blamed(draws, where, below)
    ]


def _line_flags(draws: Draws, where: Where) -> list[Flag]:
    """Pipes far colder or hotter than any air around them."""
    flags = []
    for name, by in hot_gas(draws, where).items():
        text = (
            f"Suction gas of circuit {name} at {_typed(draws, where.at(name), 'suction_temperature')} stands "
            f"{_kelvin(draws, by)} above the hottest air that was read "
            f"(return {_typed(draws, where, 'return_dry_bulb')}, outdoors "
            f"{_typed(draws, where, 'outdoor_dry_bulb')}): "
            "nothing around it is that warm. The clamp sits on another pipe or is wrong."
        )
        flags.append(Flag(Contradiction.GAS_ABOVE_AIR, where.at(name), ("suction_temperature",), text))
    cold = cold_liquid(draws, where)
    if not cold:
        return flags
    name, (key, by) = max(cold.items(), key=lambda item: item[1][1])
    text = (
        f"Liquid of circuit {name} at {_typed(draws, where.at(name), key)} stands {_kelvin(draws, by)} below "
        f"the outdoor air ({_typed(draws, where, 'outdoor_dry_bulb')}), and an air-cooled condenser cannot "
        "cool it that far: the clamp or the outdoor probe is wrong, or the clamp sits behind a restriction "
        "that chills the line. Feel the line for a cold spot, then read both again."
    )
    return [
        *flags,
        *(
            Flag(Contradiction.LIQUID_BELOW_AIR, place, keys, text)
            for place, keys in blamed(draws, where, cold)
        ),
    ]


def _words(key: str) -> str:
    return key.split("_", 1)[1].replace("_", " ")


def _typed(draws: Draws, where: Where, key: str) -> str:
    quantity = draws.quantity(where, key)
    return quantity.text if quantity else "not read"


def _name(key: str) -> str:
    return key.replace("_", " ").capitalize()


def _kelvin(draws: Draws, value: float) -> str:
    return units.value_text(value, "temperature_difference", draws.job.display)
