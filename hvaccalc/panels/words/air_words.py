"""The air panel's result in words: what the readings mean, with bands, and where they cannot be."""

from __future__ import annotations

from hvaccalc import units
from hvaccalc.diagnosis.trials.air_balance import AirBalance
from hvaccalc.ensemble import Band, band
from hvaccalc.panels.look import card, cards, text
from hvaccalc.words.said import banded, joined

BASES = {"rule of thumb": "a rule of thumb"}
"""Words for a basis where its name alone does not read in a sentence."""


def flow_read(balance: AirBalance) -> float:
    """Airflow at the return state [m3/s]; NaN where none is known."""
    return band(balance.airflow.flow).value if balance.airflow else float("nan")


def humidity_read(balance: AirBalance) -> float:
    """Relative humidity of the return air, 0-1; NaN where it is not known."""
    air = balance.states.return_air
    return band(air.relative_humidity, air.possible).value if air is not None else float("nan")


def numbers(now: AirBalance) -> dict[str, tuple[Band, str]]:
    """Condensate, total and sensible capacity, each with its band and kind."""
    return {
        "Condensate": (now.condensate, "water_flow"),
        "Total capacity": (now.total, "heat"),
        "Sensible capacity": (now.sensible, "heat"),
    }


def slider_words(now: AirBalance, display: str) -> tuple[str, str]:
    """What stands at the two sliders."""
    flow = units.value_text(flow_read(now), "airflow", display)
    humidity = units.value_text(humidity_read(now), "fraction", display)
    if "airflow" in now.varied:
        said = f"set to {flow}"
    elif now.airflow is None:
        said = "not known: the fan stands still, or nothing tells"
    else:
        said = f"{flow}, {now.airflow.note}"
    set_here = "return_relative_humidity" in now.varied
    return said, f"set to {humidity}" if set_here else f"{humidity}, as read"


def sentences(now: AirBalance, display: str) -> list[str]:
    """What the readings mean, then what contradicts."""
    told = [_verdict(now, display)]
    if now.airflow is not None and "airflow" not in now.varied:
        told.append(f"The airflow is {BASES.get(now.airflow.basis, now.airflow.basis)}: {now.airflow.note}.")
    if now.varied:
        told.append(
            "This is arithmetic with the supply air held as read, no forecast: in the unit the supply air "
            "would change too."
        )
    return [*told, *(flag.text for flag in now.flags)]


def _verdict(now: AirBalance, display: str) -> str:
    shown = {name: banded(value, kind, display) for name, (value, kind) in numbers(now).items()}
    if now.supply_wetter:
        return _wetter(now, display)
    if now.duty.missing:
        return _incomplete(now, shown["Sensible capacity"])
    if now.no_air:
        return (
            f"The readings of the {joined(now.no_air)} air are no state of air: more water than "
            "saturated air holds, or less than none. Its dry bulb or its humidity is wrong."
        )
    at = f"With {units.value_text(flow_read(now), 'airflow', display)} and return air at "
    at += units.value_text(humidity_read(now), "fraction", display)
    place = "after the fan, so net of its heat" if now.states.after_fan else "before the fan's heat"
    if now.heated:
        return f"{at}, the supply air is warmer than the return air: the air is heated, not cooled."
    if now.duty.dry:
        return f"{at}, no water leaves the air beyond the readings' error: the coil is dry. " + (
            f"It takes {shown['Sensible capacity']} of heat ({place})."
        )
    return (
        f"{at}, air that leaves as read has lost {shown['Condensate']} of water, and "
        f"{shown['Total capacity']} of heat ({place})."
    )


def _incomplete(now: AirBalance, sensible: str) -> str:
    """What is still to be read, or was read and contradicts."""
    missing = joined(now.duty.missing)
    told = f"Nothing to reckon the water with yet: type {missing}."
    if now.flags:
        told = f"The readings contradict each other, see below; what they leave unknown: {missing}."
    return told + (f" Sensible capacity is {sensible}." if now.duty.sensible is not None else "")


def _wetter(now: AirBalance, display: str) -> str:
    """Why these states cannot stand on the two sides of a cooling coil."""
    entering, leaving = now.states.return_air, now.states.supply_air
    assert entering is not None and leaving is not None
    held = [
        units.value_text(band(air.humidity_ratio, air.possible).value, "humidity_ratio", display)
        for air in (leaving, entering)
    ]
    return (
        f"This cannot be: the supply air holds {held[0]} of water, the return air only {held[1]}. A cooling "
        "coil takes water out of air and adds none. Either a humidity is wrong, or water gets into the air "
        "on the way: a wet duct, carry-over, a humidifier, outdoor air behind the return probe."
    )


def lines(now: AirBalance, display: str) -> list[str]:
    """Numbers with their 95 % bands, then the sentences."""
    shown = [f"{name}: {banded(value, kind, display)}" for name, (value, kind) in numbers(now).items()]
    return [*shown, *sentences(now, display)]


def html(now: AirBalance, display: str) -> str:
    """Numbers side by side, then the sentences."""
    shown = []
    for name, (value, kind) in numbers(now).items():
        number, _, ends = banded(value, kind, display).partition(" (")
        shown.append(card(name, number, f"95 %: {ends.rstrip(')')}" if ends else ""))
    said = "".join(f"<p>{text(sentence)}</p>" for sentence in sentences(now, display))
    return f'{cards(shown)}<div class="hvac-say" role="status">{said}</div>'
