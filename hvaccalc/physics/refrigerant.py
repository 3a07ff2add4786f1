"""Refrigerant properties from a coefficient file; numpy alone at run time.

The file ``data/refrigerants.json`` holds polynomials fitted to CoolProp's Helmholtz-energy
equations of state (`origin` says which release and when). Absolute pressure [Pa],
temperature [K], arrays broadcast, no warnings, NaN outside the tables (`Refrigerant.reason`).

Reference state: IIR, saturated liquid at 0 °C has h = 200 kJ/kg and s = 1 kJ/(kg K).

Accuracy against that library is promised from -40 °C to 10 K below the critical temperature,
vapour to 80 K superheat, liquid to 30 K subcooling: saturation 0.01 K both ways, density
0.1 %, enthalpy 0.1 % of the latent heat, entropy 0.1 % of the latent entropy. What was
measured is in `Refrigerant.max_error`. The library against the real refrigerant is another
matter: `Refrigerant.saturation_band`.

Near the critical point: the tables go on to 3 K below it with the larger errors listed under
``near_critical``; above that everything is NaN. Liquid and vapour become one there, and no
gauge reading distinguishes them.
"""

import json
import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaccalc.arrays import Array, Mask
from hvaccalc.resources import data_path

Phase = Literal["dew", "bubble", "liquid", "vapour"]

NAMES = (
    *("R-22", "R-32", "R-134a", "R-404A", "R-407C", "R-410A"),
    *("R-448A", "R-449A", "R-452B", "R-454B", "R-513A"),
)

FLAMMABLE_NOT_CARRIED = {
    **dict.fromkeys(("R-143a", "R-1234yf", "R-1234ze(E)", "R-444A", "R-444B", "R-446A", "R-447A"), "A2L"),
    **dict.fromkeys(("R-447B", "R-451A", "R-451B", "R-454A", "R-454C", "R-455A", "R-457A"), "A2L"),
    **dict.fromkeys(("R-459A", "R-459B", "R-516A"), "A2L"),
    **dict.fromkeys(("R-152a",), "A2"),
    **dict.fromkeys(("R-170", "R-290", "R-600", "R-600a", "R-1270", "R-1150"), "A3"),
}
"""Safety groups of flammable refrigerants without properties here: ANSI/ASHRAE 34, from memory, not
complete."""

_LETTERED = {
    "A": "404 405 406 408 412 413 416 418 420 423 424 425 426 428 429 430 431 432 434 435 437 438 439 440 "
    "441 442 443 445 446 450 453 455 456 458 461 462 463 464 465 467 469 471 473 475 476 478 479 480 481 482 "
    "483 507 509 510 511 512 514 516",
    "AB": "402 403 409 410 411 414 415 419 421 433 444 447 448 451 459 470 472 474 477 508 513 515",
    "ABC": "401 417 427 436 449 452 454 460 466 468",
    "ABCD": "457",
    "ABCDE": "422",
    "ABCDEFGHI": "407",
}
_SINGLE = (
    "11 12 13 14 21 22 23 30 31 32 40 41 50 113 114 115 116 123 124 125 134a 141b 142b 143a 152a 161 170 218 "
    "227ea 236fa 245fa 290 400 500 501 502 503 504 505 506 600 600a 601 601a 717 718 744 764 1132a 1150 "
    "1224yd(Z) 1233zd(E) 1234yf 1234ze(E) 1270 1336mzz(E) 1336mzz(Z)"
)
DESIGNATIONS = (
    *(
        f"R-{number}{letter}"
        for letters, row in _LETTERED.items()
        for number in row.split()
        for letter in letters
    ),
    *(f"R-{name}" for name in _SINGLE.split()),
)
"""Refrigerants that there are, carried or not: designations of ANSI/ASHRAE 34, from memory."""

REASONS = (
    "inside the table",
    "not a number",
    "pressure below the table",
    "pressure above the table, too near the critical point",
    "on the wrong side of saturation: the refrigerant would be two-phase or the other phase",
    "further from saturation than the table (vapour 80 K superheat, liquid 30 K subcooling)",
    "colder than the library's equation of state",
)
INSIDE, NOT_A_NUMBER, LOW_PRESSURE, NEAR_CRITICAL, WRONG_SIDE, FAR_FROM_SATURATION, TOO_COLD = range(7)

# A state meant to be on an edge of the table misses it by rounding; 0.05 K is continued smoothly.
SATURATION_SLACK = 0.05
# Shifts the square root of the departure from saturation off its branch point [K].
DEPARTURE_SHIFT = 1.0
# 64 kB a column: the working arrays of a kernel stay in the second-level cache.
CHUNK = 8192


class Properties(NamedTuple):
    """Density [kg/m3], specific enthalpy [J/kg], specific entropy [J/(kg K)]."""

    density: Array
    enthalpy: Array
    entropy: Array


@dataclass(frozen=True, eq=False)
class Curve:
    """Polynomial of one variable scaled to -1…1 over `low`…`high`; highest power first."""

    low: float
    high: float
    coefficients: Array

    def scaled(self, x: Array) -> Array:
        """Map low…high to -1…1."""
        return (x - 0.5 * (self.low + self.high)) * (2.0 / (self.high - self.low))

    def __call__(self, x: Array) -> Array:
        x = self.scaled(x)
        y = np.full_like(x, self.coefficients[0])
        for coefficient in self.coefficients[1:]:
            y *= x
            y += coefficient
        return y


@dataclass(frozen=True, eq=False)
class Saturation:
    """One edge of the two-phase region: 1/T against ln p, and ln p against 1/T."""

    inverse_temperature: Curve
    log_pressure: Curve
    temperature_range: tuple[float, float]

    def temperature(self, pressure: Array) -> Array:
        """Saturation temperature [K]."""
        return self.temperature_of_log(np.log(pressure))

    def temperature_of_log(self, log_pressure: Array) -> Array:
        """Saturation temperature where ln p is already known [K]."""
        low, high = self.inverse_temperature.low, self.inverse_temperature.high
        inside = (log_pressure >= low) & (log_pressure <= high)
        return np.where(inside, 1.0 / self.inverse_temperature(log_pressure), np.nan)

    def pressure(self, temperature: Array) -> Array:
        """Saturation pressure [Pa]."""
        low, high = self.temperature_range
        inside = (temperature >= low) & (temperature <= high)
        return np.where(inside, np.exp(self.log_pressure(1.0 / temperature)), np.nan)


@dataclass(frozen=True, eq=False)
class PhaseTable:
    """One phase: density, enthalpy, entropy against pressure and departure from saturation.

    The variables are u = sqrt(ln(pc/p)) and v = sqrt(departure + 1 K): properties near the
    critical point grow like square roots of the distance to it, so they are smooth in u and v.
    A vapour's density is fitted as p/(rho R T) and its entropy as s + R ln p.
    """

    saturation: Saturation
    is_vapour: bool
    log_critical_pressure: float
    gas_constant: float
    coldest: float
    largest_departure: float
    pressure_root: Curve
    departure_root: Curve
    coefficients: Array
    on_saturation: Array = field(init=False)

    def __post_init__(self) -> None:
        at_zero = self.departure_root.scaled(np.sqrt([DEPARTURE_SHIFT]))
        powers = at_zero ** np.arange(len(self.coefficients))[::-1]
        object.__setattr__(self, "on_saturation", np.tensordot(powers, self.coefficients, 1))

    def departure(self, log_pressure: Array, temperature: Array) -> Array:
        """Superheat of a vapour, subcooling of a liquid [K]."""
        difference = temperature - self.saturation.temperature_of_log(log_pressure)
        return difference if self.is_vapour else -difference

    def inside(self, departure: Array, temperature: Array) -> Mask:
        """Where the table holds; a pressure outside has made `departure` NaN."""
        far = self.largest_departure + SATURATION_SLACK
        return (departure >= -SATURATION_SLACK) & (departure <= far) & (temperature >= self.coldest)

    def at(self, pressure: Array, temperature: Array) -> Array:
        """Density, enthalpy, entropy in rows."""
        log_pressure = np.log(pressure)
        departure = self.departure(log_pressure, temperature)
        powers = self._pressure_powers(log_pressure)
        rows = (self.coefficients.reshape(-1, len(powers)) @ powers).reshape(-1, 3, pressure.size)
        root = self.departure_root.scaled(np.sqrt(departure + DEPARTURE_SHIFT))
        fitted = rows[0]
        for row in rows[1:]:
            fitted *= root
            fitted += row
        fitted[:, ~self.inside(departure, temperature)] = np.nan
        return self._properties(fitted, log_pressure, pressure / temperature)

    def saturated(self, temperature: Array) -> Array:
        """Density, enthalpy, entropy on the saturation curve, in rows."""
        pressure = self.saturation.pressure(temperature)
        log_pressure = np.log(pressure)
        fitted = self.on_saturation @ self._pressure_powers(log_pressure)
        return self._properties(fitted, log_pressure, pressure / temperature)

    def _pressure_powers(self, log_pressure: Array) -> Array:
        root = self.pressure_root.scaled(np.sqrt(self.log_critical_pressure - log_pressure))
        powers = np.empty((self.coefficients.shape[-1], root.size))
        powers[-1] = 1.0
        for row in range(len(powers) - 1, 0, -1):
            np.multiply(powers[row], root, out=powers[row - 1])
        return powers

    def _properties(self, fitted: Array, log_pressure: Array, pressure_over_temperature: Array) -> Array:
        if self.is_vapour:
            fitted[0] = pressure_over_temperature / (fitted[0] * self.gas_constant)
            fitted[2] -= self.gas_constant * log_pressure
        return fitted


def _in_chunks(kernel: Callable[..., Array], rows: int, *arguments: ArrayLike) -> Array:
    """Run a kernel over pieces that fit the cache; result (rows, *broadcast shape)."""
    arrays = np.broadcast_arrays(*(np.asarray(a, dtype=np.float64) for a in arguments))
    flat = [np.ravel(a) for a in arrays]
    result = np.empty((rows, flat[0].size))
    with np.errstate(all="ignore"):
        for start in range(0, flat[0].size, CHUNK):
            piece = slice(start, start + CHUNK)
            result[:, piece] = kernel(*(a[piece] for a in flat))
    return result.reshape(rows, *arrays[0].shape)


@dataclass(frozen=True, eq=False)
class Refrigerant:
    """Saturation, liquid and vapour of one refrigerant. Make it with `refrigerant`.

    Attributes
    ----------
    name, composition, safety_class
        As in ASHRAE Standard 34.
    glide : bool
        A blend whose dew and bubble temperatures differ by more than 1 K at 0 °C.
    saturation_band : float
        95 % band of a saturation temperature against the real refrigerant [K], to be carried
        into every answer; `saturation_band_basis` says where it comes from.
    temperature_range : tuple
        Coldest and hottest saturation temperature of the tables [K].
    max_error : dict
        Largest differences from the library over random states, by region and quantity [K,
        fraction of density, fraction of latent heat, fraction of latent entropy].
    failed_points : tuple
        States at which the library gave no answer and which the fit had to do without.
    holes : dict
        By edge, intervals of saturation temperature in which the library's flash fails and was
        continued from the neighbouring solution [K]. Not a gap in the tables.

    Notes
    -----
    Methods take absolute pressure [Pa] and temperature [K] of any shapes that broadcast, and
    return arrays of the common shape (a numpy scalar for scalars); NaN outside the tables.
    """

    name: str
    composition: str
    safety_class: str
    glide: bool
    saturation_band: float
    saturation_band_basis: str
    critical_temperature: float
    critical_pressure: float
    temperature_range: tuple[float, float]
    max_error: dict[str, dict[str, float]]
    failed_points: tuple[str, ...]
    holes: dict[str, list[list[float]]]
    tables: dict[str, Any] = field(repr=False)

    def dew_temperature(self, pressure: ArrayLike) -> Array:
        """Temperature at which the last liquid has boiled away [K].

        Examples
        --------
        R-410A at 118.0 psig at sea level boils at 40 °F (condensing-unit service manual
        48478A006, Table 5); the library's equation is 0.4 psi higher:

        >>> kelvin = refrigerant("R-410A").dew_temperature((118.0 + 14.696) * 6894.757)
        >>> round(float(kelvin * 1.8 - 459.67), 1)
        39.8
        """
        return _in_chunks(self.tables["dew"].temperature, 1, pressure)[0]

    def bubble_temperature(self, pressure: ArrayLike) -> Array:
        """Temperature at which the first bubble forms in the liquid [K]."""
        return _in_chunks(self.tables["bubble"].temperature, 1, pressure)[0]

    def dew_pressure(self, temperature: ArrayLike) -> Array:
        """Pressure at which the first drop forms in the vapour [Pa]."""
        return _in_chunks(self.tables["dew"].pressure, 1, temperature)[0]

    def bubble_pressure(self, temperature: ArrayLike) -> Array:
        """Pressure at which the first bubble forms in the liquid [Pa]."""
        return _in_chunks(self.tables["bubble"].pressure, 1, temperature)[0]

    def liquid(self, pressure: ArrayLike, temperature: ArrayLike) -> Properties:
        """Subcooled liquid, 0 to 30 K below its bubble temperature (0.05 K above is continued)."""
        return Properties(*_in_chunks(self.tables["liquid"].at, 3, pressure, temperature))

    def vapour(self, pressure: ArrayLike, temperature: ArrayLike) -> Properties:
        """Superheated vapour, 0 to 80 K above its dew temperature (0.05 K below is continued)."""
        return Properties(*_in_chunks(self.tables["vapour"].at, 3, pressure, temperature))

    def saturated_liquid(self, temperature: ArrayLike) -> Properties:
        """Liquid at its bubble pressure."""
        return Properties(*_in_chunks(self.tables["liquid"].saturated, 3, temperature))

    def saturated_vapour(self, temperature: ArrayLike) -> Properties:
        """Vapour at its dew pressure."""
        return Properties(*_in_chunks(self.tables["vapour"].saturated, 3, temperature))

    def latent_heat(self, temperature: ArrayLike) -> Array:
        """Vapour at dew less liquid at bubble, both at this temperature [J/kg].

        At constant temperature; a blend with glide boiling at constant pressure takes a few
        per cent less.
        """
        return self.saturated_vapour(temperature).enthalpy - self.saturated_liquid(temperature).enthalpy

    def reason(self, pressure: ArrayLike, temperature: ArrayLike, phase: Phase) -> NDArray[np.int8]:
        """Why a state has no answer: an index into `REASONS`, 0 where it has one.

        `phase` "dew" or "bubble" judges the pressure alone, "liquid" or "vapour" the state.
        """
        p, t = np.broadcast_arrays(np.asarray(pressure, float), np.asarray(temperature, float))
        if phase in ("dew", "bubble"):
            conditions = _pressure_conditions(p, self.tables[phase])
        else:
            conditions = _state_conditions(p, t, self.tables[phase])
        return np.select(list(conditions.values()), [np.int8(code) for code in conditions], np.int8(INSIDE))


def _pressure_conditions(pressure: Array, edge: Saturation) -> dict[int, Mask]:
    with np.errstate(all="ignore"):
        log_pressure = np.log(np.maximum(pressure, 0.0))
    return {
        NOT_A_NUMBER: np.isnan(pressure),
        LOW_PRESSURE: log_pressure < edge.inverse_temperature.low,
        NEAR_CRITICAL: log_pressure > edge.inverse_temperature.high,
    }


def _state_conditions(pressure: Array, temperature: Array, table: PhaseTable) -> dict[int, Mask]:
    conditions = _pressure_conditions(pressure, table.saturation)
    with np.errstate(all="ignore"):
        departure = table.departure(np.log(pressure), temperature)
    return conditions | {
        NOT_A_NUMBER: np.isnan(pressure) | np.isnan(temperature),
        WRONG_SIDE: departure < -SATURATION_SLACK,
        FAR_FROM_SATURATION: departure > table.largest_departure + SATURATION_SLACK,
        TOO_COLD: temperature < table.coldest,
    }


def _curve(record: dict[str, Any]) -> Curve:
    low, high = record["range"]
    return Curve(low, high, np.array(record.get("coefficients", [])))


def _phase_table(saturation: Saturation, is_vapour: bool, record: dict[str, Any]) -> PhaseTable:
    table = record["vapour" if is_vapour else "liquid"]
    return PhaseTable(
        saturation=saturation,
        is_vapour=is_vapour,
        log_critical_pressure=math.log(record["critical_pressure"]),
        gas_constant=record["gas_constant"],
        coldest=record["coldest"],
        largest_departure=table["largest_departure"],
        pressure_root=_curve(table["pressure_root"]),
        departure_root=_curve(table["departure_root"]),
        coefficients=np.stack([table[name] for name in Properties._fields], axis=1),
    )


def from_record(record: dict[str, Any]) -> Refrigerant:
    """Build a refrigerant from its entry in the coefficient file."""
    edges = {
        edge: Saturation(
            inverse_temperature=_curve(record[edge]["inverse_temperature"]),
            log_pressure=_curve(record[edge]["log_pressure"]),
            temperature_range=tuple(record["temperature_range"]),
        )
        for edge in ("dew", "bubble")
    }
    liquid = _phase_table(edges["bubble"], False, record)
    vapour = _phase_table(edges["dew"], True, record)
    return Refrigerant(
        name=record["name"],
        composition=record["composition"],
        safety_class=record["safety_class"],
        glide=record["glide"],
        saturation_band=record["saturation_band"],
        saturation_band_basis=record["saturation_band_basis"],
        critical_temperature=record["critical_temperature"],
        critical_pressure=record["critical_pressure"],
        temperature_range=tuple(record["temperature_range"]),
        max_error=record["max_error"],
        failed_points=tuple(record["failed_points"]),
        holes=record["holes"],
        tables={**edges, "liquid": liquid, "vapour": vapour},
    )


@cache
def _coefficient_file() -> dict[str, Any]:
    return json.loads(data_path("refrigerants.json").read_text("utf-8"))


@cache
def refrigerant(name: str) -> Refrigerant:
    """The refrigerant of that ASHRAE 34 designation; ValueError names those carried."""
    if name not in NAMES:
        raise ValueError(f"no properties for refrigerant {name!r}; carried: {', '.join(NAMES)}")
    return from_record(_coefficient_file()["refrigerants"][name])


def safety_group(name: str) -> str | None:
    """Safety group of a refrigerant (ANSI/ASHRAE 34); None where it is not known here.

    Examples
    --------
    >>> safety_group("R-454B"), safety_group("R-290"), safety_group("R-410A")
    ('A2L', 'A3', 'A1')
    """
    return refrigerant(name).safety_class if name in NAMES else FLAMMABLE_NOT_CARRIED.get(name)


def origin() -> str:
    """Library, release and date behind the coefficients, for a memo's list of sources."""
    file = _coefficient_file()
    return f"{file['library']} {file['library_version']}, fitted {file['date']}"
