"""The process that asks psychrolib and CoolProp; run by its path, it needs nothing else of the package.

Usage: ``python worker.py LIBRARY …``. It loads the libraries, then answers each line of standard input
with one of standard output, both JSON, until the input ends. A question names a function below with plain
numbers; the answer holds numbers, and for each question without one the reason. SI, temperatures in K,
pressures absolute.
"""

from __future__ import annotations

import json
import math
import os
import sys
from collections.abc import Callable, Iterator
from importlib import metadata
from typing import Any, ParamSpec, TypeVar

State = dict[str, float]
Column = list[float | None]
P = ParamSpec("P")
Value = TypeVar("Value")

ZERO = 273.15
WATER_HEAT = 4186.0
"""Heat capacity of liquid water in the handbook's wet-bulb equation [J/(kg K)]; psychrolib offers none."""

IIR_ENTHALPY = 200e3
COLDER, STEPS = 10.0, 20
"""A flash that fails is walked to from so much colder [K], in so many steps."""

libraries: dict[str, Any] = {}
_fluids: dict[str, Fluid] = {}


def _psychrolib() -> Any:
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    return psychrolib


def _coolprop() -> Any:
    import CoolProp

    return CoolProp


_LOADERS: dict[str, Callable[[], Any]] = {"psychrolib": _psychrolib, "CoolProp": _coolprop}


def _or_none(function: Callable[P, Value], *arguments: P.args, **named: P.kwargs) -> Value | None:
    try:
        return function(*arguments, **named)
    except ValueError:
        return None


# --- moist air: psychrolib ---------------------------------------------------------------------------


def _air(function: str, *arguments: float) -> float:
    value: float = getattr(libraries["psychrolib"], function)(*arguments)
    return value


def _humidity(pressure: float, dry_bulb: float, **humidity: float) -> float:
    """Humidity ratio from whichever humidity was read."""
    celsius = dry_bulb - ZERO
    ((kind, value),) = humidity.items()
    if kind == "wet_bulb":
        return _air("GetHumRatioFromTWetBulb", celsius, value - ZERO, pressure)
    if kind == "dew_point":
        if value > dry_bulb:
            raise ValueError("dew point above dry bulb")
        return _air("GetHumRatioFromTDewPoint", value - ZERO, pressure)
    if kind == "relative_humidity":
        return _air("GetHumRatioFromRelHum", celsius, value, pressure)
    return value


def barometer(elevation: float) -> float:
    """Standard atmosphere [Pa]."""
    return _air("GetStandardAtmPressure", elevation)


def humidity_ratio(**state: float) -> float:
    """[kg/kg dry air]."""
    return _humidity(**state)


def dew_point(**state: float) -> float:
    """[K]."""
    ratio = _humidity(**state)
    celsius = state["dry_bulb"] - ZERO
    return _air("GetTDewPointFromHumRatio", celsius, ratio, state["pressure"]) + ZERO


def wet_bulb(**state: float) -> float:
    """[K]."""
    ratio = _humidity(**state)
    celsius = state["dry_bulb"] - ZERO
    return _air("GetTWetBulbFromHumRatio", celsius, ratio, state["pressure"]) + ZERO


def enthalpy(**state: float) -> float:
    """[J/kg dry air]."""
    return _air("GetMoistAirEnthalpy", state["dry_bulb"] - ZERO, _humidity(**state))


def specific_volume(**state: float) -> float:
    """[m3/kg dry air]."""
    return _air("GetMoistAirVolume", state["dry_bulb"] - ZERO, _humidity(**state), state["pressure"])


def airflow(dry_air_flow: float, entering: State) -> float:
    """Volume of a flow of dry air at the return state [m3/s]."""
    return dry_air_flow * specific_volume(**entering)


def _dry(flow: State, entering: State) -> float:
    """Flow of dry air [kg/s], where it is given, else from the volume at the return state."""
    return flow["dry_air"] if "dry_air" in flow else flow["volume"] / specific_volume(**entering)


def sensible(flow: State, entering: State, leaving: State) -> float:
    """Heat taken from the air at constant humidity, the supply's where it is known [W]."""
    known = leaving if len(leaving) > 2 else entering
    ratio = _humidity(**known) if len(known) > 2 else 0.0
    first, last = (
        _air("GetMoistAirEnthalpy", state["dry_bulb"] - ZERO, ratio) for state in (entering, leaving)
    )
    return _dry(flow, entering) * (first - last)


def total(flow: State, entering: State, leaving: State) -> float:
    """Enthalpy that the air loses less that of the condensate at the supply dry bulb [W]."""
    carried = (_humidity(**entering) - _humidity(**leaving)) * WATER_HEAT * (leaving["dry_bulb"] - ZERO)
    return _dry(flow, entering) * (enthalpy(**entering) - enthalpy(**leaving) - carried)


def condensate(flow: State, entering: State, leaving: State) -> float:
    """Water that the air loses, not below zero [kg/s]."""
    return max(0.0, _dry(flow, entering) * (_humidity(**entering) - _humidity(**leaving)))


def air_states(
    dry_bulb: list[float], relative_humidity: list[float], elevation: list[float]
) -> dict[str, Column]:
    """Properties of many states by column; None where the library has none."""
    pressures = [barometer(height) for height in elevation]
    states: list[State] = [
        {"pressure": pressure, "dry_bulb": kelvin, "relative_humidity": share}
        for pressure, kelvin, share in zip(pressures, dry_bulb, relative_humidity, strict=True)
    ]
    functions = (humidity_ratio, dew_point, wet_bulb, enthalpy, specific_volume)
    columns = {f.__name__: [_or_none(f, **state) for state in states] for f in functions}
    return {"barometer": [*pressures], **columns}


# --- refrigerants: CoolProp --------------------------------------------------------------------------


class Fluid:
    """One refrigerant by its CoolProp string, ``R22`` or ``R32[0.5]&R125[0.5]`` in mole fractions."""

    def __init__(self, fluid: str) -> None:
        library = libraries["CoolProp"]
        components, fractions = library.CoolProp.extract_fractions(fluid)
        self.is_mixture = len(components) > 1
        self.state = library.AbstractState("HEOS", "&".join(components))
        if self.is_mixture:
            self.state.set_mole_fractions(fractions)
        self.shift = 0.0
        self.shift = self.saturated(ZERO, 0)["enthalpy"] - IIR_ENTHALPY

    def saturation_temperature(self, pressure: float, quality: int) -> float:
        """Bubble (quality 0) or dew (1) temperature [K]."""
        try:
            self.state.update(libraries["CoolProp"].PQ_INPUTS, pressure, quality)
        except ValueError:
            return self._by_secant(pressure, quality)
        kelvin: float = self.state.T()
        return kelvin

    def _by_secant(self, pressure: float, quality: int) -> float:
        """Where the library's own search fails: ln p against 1/T is nearly straight."""

        def miss(inverse: float) -> float:
            return math.log(self.saturated(1.0 / inverse, quality)["pressure"] / pressure)

        first, last = 1.0 / 280.0, 1.0 / 300.0
        was, now = miss(first), miss(last)
        for _ in range(20):
            first, last, was = last, last - now * (last - first) / (now - was), now
            now = miss(last)
            if abs(now) < 1e-10:
                return 1.0 / last
        raise ValueError("no saturation temperature found")

    def saturated(self, temperature: float, quality: int) -> State:
        """State on one edge of the two-phase region."""
        try:
            self.state.update(libraries["CoolProp"].QT_INPUTS, quality, temperature)
        except ValueError:
            if not self.is_mixture:
                raise
            self._walk(temperature, quality)
        return self._row()

    def _walk(self, temperature: float, quality: int) -> None:
        """Reach a flash that a mixture refuses from a colder one, each step guessed from the last."""
        library = libraries["CoolProp"]
        self.state.update(library.QT_INPUTS, quality, temperature - COLDER)
        for step in range(1, STEPS + 1):
            kelvin = temperature - COLDER * (1.0 - step / STEPS)
            self.state.update_with_guesses(library.QT_INPUTS, quality, kelvin, self._guess())
        if abs(self.state.T() - temperature) > 1e-6:
            raise ValueError("the library settled on another state")

    def _guess(self) -> Any:
        library, state = libraries["CoolProp"], self.state
        guess = library.CoolProp.PyGuessesStructure()
        guess.T, guess.p = state.T(), state.p()
        guess.rhomolar_liq = state.saturated_liquid_keyed_output(library.iDmolar)
        guess.rhomolar_vap = state.saturated_vapor_keyed_output(library.iDmolar)
        guess.x, guess.y = state.mole_fractions_liquid(), state.mole_fractions_vapor()
        return guess

    def single_phase(self, pressure: float, temperature: float, phase: str) -> State:
        """State away from saturation."""
        library = libraries["CoolProp"]
        self.state.specify_phase(library.iphase_gas if phase == "vapour" else library.iphase_liquid)
        try:
            self.state.update(library.PT_INPUTS, pressure, temperature)
            return self._row()
        finally:
            self.state.unspecify_phase()

    def _row(self) -> State:
        state = self.state
        enthalpy = state.hmass() - self.shift
        return {"pressure": state.p(), "density": state.rhomass(), "enthalpy": enthalpy}


def _fluid(name: str) -> Fluid:
    if name not in _fluids:
        _fluids[name] = Fluid(name)
    return _fluids[name]


def dew(fluid: str, pressure: float, above: float = 0.0) -> float:
    """Dew temperature, or so much above it [K]."""
    return _fluid(fluid).saturation_temperature(pressure, 1) + above


def bubble(fluid: str, pressure: float) -> float:
    """Bubble temperature [K]."""
    return _fluid(fluid).saturation_temperature(pressure, 0)


def superheat(fluid: str, pressure: float, temperature: float) -> float:
    """Vapour above its dew temperature [K]."""
    return temperature - dew(fluid, pressure)


def subcooling(fluid: str, pressure: float, temperature: float) -> float:
    """Liquid below its bubble temperature [K]."""
    return bubble(fluid, pressure) - temperature


def chart_offset(fluid: str, pressure: float, temperature: float, chart: list[list[float]]) -> float:
    """Liquid above a chart whose points (pressure, temperature) are joined by their subcooling [K]."""
    points = sorted((p, subcooling(fluid, p, t)) for p, t in chart)
    charted = points[0][1]
    for (low, first), (high, last) in zip(points, points[1:], strict=False):
        if low <= pressure <= high:
            charted = first + (last - first) * (pressure - low) / (high - low)
    return charted - subcooling(fluid, pressure, temperature)


def cylinder_fill(fluid: str, temperature: float, volume: float, share: float) -> float:
    """Liquid that fills so much of a cylinder's volume at a temperature [kg]."""
    return share * volume * _fluid(fluid).saturated(temperature, 0)["density"]


def refrigerant_states(
    fluid: str, saturation: list[float], subcooling: list[float], superheat: list[float]
) -> dict[str, Column]:
    """Both edges at many temperatures, and the phases beside them, by column; None without an answer."""
    asked = _fluid(fluid)
    rows = [
        _state_row(asked, kelvin, below, above)
        for kelvin, below, above in zip(saturation, subcooling, superheat, strict=True)
    ]
    return {name: [row.get(name) for row in rows] for name in _STATE_COLUMNS}


_STATE_COLUMNS = (
    "bubble_pressure",
    "dew_pressure",
    "latent_heat",
    "liquid_density",
    "liquid_enthalpy",
    "vapour_density",
    "vapour_enthalpy",
)


def _state_row(asked: Fluid, kelvin: float, below: float, above: float) -> State:
    row: State = {}
    edges = [_or_none(asked.saturated, kelvin, quality) for quality in (0, 1)]
    for edge, name, phase, temperature in zip(
        edges, ("bubble", "dew"), ("liquid", "vapour"), (kelvin - below, kelvin + above), strict=True
    ):
        if edge is None:
            continue
        row[f"{name}_pressure"] = edge["pressure"]
        state = _or_none(asked.single_phase, edge["pressure"], temperature, phase)
        if state is not None:
            row |= {f"{phase}_{name}": state[name] for name in ("density", "enthalpy")}
    bubble, dew = edges
    if bubble is not None and dew is not None:
        row["latent_heat"] = dew["enthalpy"] - bubble["enthalpy"]
    return row


# --- questions and answers ---------------------------------------------------------------------------

_ANSWERS: dict[str, Callable[..., Any]] = {
    function.__name__: function
    for function in (
        barometer, humidity_ratio, dew_point, wet_bulb, airflow, sensible, total, condensate, air_states,
        dew, bubble, superheat, subcooling, chart_offset, cylinder_fill, refrigerant_states,
    )
}  # fmt: skip


def answer(questions: dict[str, dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """Values of the questions by their names, and why those without one have none."""
    values: dict[str, Any] = {}
    why: dict[str, str] = {}
    for name, question in questions.items():
        try:
            value = _ANSWERS[question["ask"]](**question["of"])
        except Exception as error:
            why[name] = f"{type(error).__name__}: {error}"
            continue
        if isinstance(value, float) and not math.isfinite(value):
            why[name] = "no number"
        else:
            values[name] = value
    return {"values": values, "why": why}


def load(names: list[str]) -> dict[str, dict[str, str]]:
    """Load libraries; their releases, and why those that are not there are missing."""
    versions: dict[str, str] = {}
    missing: dict[str, str] = {}
    for name in names:
        try:
            libraries[name] = _LOADERS[name]()
            versions[name] = _version(name)
        except (Exception, SystemExit) as error:
            missing[name] = f"{type(error).__name__}: {error}"
    return {"versions": versions, "missing": missing}


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return "of unknown release"


def _lines() -> Iterator[dict[str, Any]]:
    for line in sys.stdin:
        yield json.loads(line)


def main() -> None:
    """Answer until the input ends."""
    # Whatever a library prints goes to standard error: standard output holds answers alone.
    out = os.fdopen(os.dup(1), "w", encoding="ascii")
    os.dup2(2, 1)
    loaded = load(sys.argv[1:])
    for questions in _lines():
        out.write(json.dumps({**loaded, **answer(questions)}) + "\n")
        out.flush()


if __name__ == "__main__":
    main()
