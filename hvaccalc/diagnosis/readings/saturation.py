"""Every refrigerant pressure that was read, once: absolute, with its saturation and the property's error.

The only module that asks a refrigerant for dew or bubble of a pressure read or typed. A pressure left out
of inference is masked; nothing is computed again for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, TypeVar

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where
from hvaccalc.physics.refrigerant import Properties, Refrigerant, refrigerant
from hvaccalc.practice.circuits import LIQUID_SHARE_OF_DISCHARGE

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Sides(Generic[T]):
    """What was read at the three gauges of a circuit; None where it was not."""

    suction: T | None = None
    liquid: T | None = None
    discharge: T | None = None

    @property
    def head(self) -> T | None:
        """Liquid where it was read, else discharge."""
        return self.discharge if self.liquid is None else self.liquid

    @property
    def outlet(self) -> T | None:
        """Discharge where it was read, else liquid."""
        return self.liquid if self.discharge is None else self.discharge

    def read(self) -> Iterator[tuple[str, T]]:
        """Key of each reading that is there, with what it gives, suction first."""
        for side in ("suction", "liquid", "discharge"):
            if (found := getattr(self, side)) is not None:
                yield f"{side}_pressure", found


@dataclass(frozen=True)
class Saturated:
    """A pressure with the saturation of a refrigerant at it.

    Attributes
    ----------
    fluid : Refrigerant
    pressure : ndarray, shape (N + 1,)
        Absolute [Pa].
    error : ndarray, shape (N + 1,)
        Of the property's saturation temperature [K]; one column for all pressures of a refrigerant.
    """

    fluid: Refrigerant
    pressure: Array
    error: Array

    @cached_property
    def dew(self) -> Array:
        """Dew temperature [K], NaN outside the tables."""
        return _locked(self.fluid.dew_temperature(self.pressure) + self.error)

    @cached_property
    def bubble(self) -> Array:
        """Bubble temperature [K], NaN outside the tables."""
        return _locked(self.fluid.bubble_temperature(self.pressure) + self.error)

    def moved(self, by: Array | float) -> Saturated:
        """The same at a pressure that is higher by so much [Pa]."""
        return Saturated(self.fluid, self.pressure + by, self.error)

    def scaled(self, by: Array | float) -> Saturated:
        """The same at a pressure that is so many times as high."""
        return Saturated(self.fluid, self.pressure * by, self.error)

    def vapour(self, temperature: Array) -> Properties:
        """Gas of a temperature [K] at this pressure: by its superheat, which the error shifts."""
        return self.fluid.vapour(self.pressure, temperature - self.error)

    def liquid(self, temperature: Array) -> Properties:
        """Liquid of a temperature [K] at this pressure: by its subcooling, never above its bubble."""
        return self.fluid.liquid(self.pressure, np.minimum(temperature, self.bubble) - self.error)


def _locked(values: Array) -> Array:
    values = np.asarray(values)
    values.flags.writeable = False
    return values


def pressures(draws: Draws, where: Where) -> Sides[Array]:
    """Draws of the pressures of one circuit [Pa absolute]."""
    return Sides(
        draws.column(where, "suction_pressure"),
        draws.column(where, "liquid_pressure"),
        draws.column(where, "discharge_pressure"),
    )


def saturations(draws: Draws, where: Where) -> Sides[Saturated]:
    """The pressures of one circuit with their saturation; all None where its refrigerant is not carried."""
    fluid = draws.refrigerant(where.circuit)
    if fluid is None:
        return Sides()
    error = draws.saturation_error(fluid.name)

    def once(side: str, pressure: Array | None) -> Saturated | None:
        if pressure is None:
            return None
        return draws.once(f"saturation/{where.path}/{side}", lambda: Saturated(fluid, pressure, error))

    read = pressures(draws, where)
    return Sides(
        once("suction", read.suction), once("liquid", read.liquid), once("discharge", read.discharge)
    )


def standing_saturation(draws: Draws, where: Where) -> Saturated | None:
    """Of the mean of all gauges of a circuit, for one that stands; None where none was read."""
    fluid = draws.refrigerant(where.circuit)
    read = [column for _, column in pressures(draws, where).read()]
    if fluid is None or not read:
        return None
    return Saturated(fluid, np.mean(read, axis=0), draws.saturation_error(fluid.name))


def of_refrigerant(draws: Draws, name: str, pressure: Array) -> Saturated:
    """A pressure as another refrigerant of that name would have it."""
    return Saturated(refrigerant(name), pressure, draws.saturation_error(name))


def liquid_or_assumed(draws: Draws, where: Where) -> tuple[Saturated, Datum] | None:
    """Liquid side of a circuit, with the pressure's basis: read, else by its share of the discharge's."""
    sides = saturations(draws, where)
    if sides.liquid is not None:
        return sides.liquid, Datum(sides.liquid.pressure, "measured")
    if sides.discharge is None:
        return None
    found, share = sides.discharge.scaled(_liquid_share(draws, where)), sum(LIQUID_SHARE_OF_DISCHARGE) / 2.0
    note = f"liquid pressure taken as {share:.2f} of the discharge pressure"
    return found, Datum(found.pressure, "assumed", note)


def discharge_or_assumed(draws: Draws, where: Where) -> Saturated | None:
    """Discharge side of a circuit: read, else by the liquid's share of it."""
    sides = saturations(draws, where)
    if sides.discharge is not None or sides.liquid is None:
        return sides.discharge
    return sides.liquid.scaled(1.0 / _liquid_share(draws, where))


def _liquid_share(draws: Draws, where: Where) -> Array:
    return draws.ensemble.uniform(f"liquid share/{where.path}", *LIQUID_SHARE_OF_DISCHARGE)


@dataclass(frozen=True, slots=True)
class Chart:
    """Points of a unit's own charging chart, by rising pressure; shape (points,).

    Attributes
    ----------
    pressure, temperature : ndarray
        As typed [Pa absolute, K].
    subcooling : ndarray
        What each point asks for [K]; without the property's error, for the chart is exact.
    """

    pressure: Array
    temperature: Array
    subcooling: Array


def chart(draws: Draws, circuit: str, barometer: float) -> Chart | None:
    """Chart of a circuit at a barometer [Pa]; None where none was typed or its refrigerant is not carried."""
    fluid, typed = draws.refrigerant(circuit), draws.job.circuit[circuit].chart
    if fluid is None or not typed:
        return None
    points = sorted((p.liquid_pressure.absolute(barometer), p.liquid_temperature.value) for p in typed)
    pressure, temperature = np.array(points).T
    return Chart(pressure, temperature, fluid.bubble_temperature(pressure) - temperature)
