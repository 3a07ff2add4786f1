"""Refrigerant on board as volumes times densities, by component.

Condenser and evaporator are split into their zones: gas, two-phase, liquid. A zone's share of the tube
follows from its heat: a single-phase zone that carries the heat q1 with the effectiveness e against the air
takes, beside a two-phase zone of the heat q2,

    share1 / share2 = (q1 / q2) (dTm / dT1) NTU(e) / r,        NTU(e) = -ln(1 - e)

where dTm is the mean difference of the two-phase zone to its air, dT1 the refrigerant's own change and r the
transmittance of the single-phase zone over that of the two-phase zone. The air of a zone counts as having a
large heat capacity beside the refrigerant's. Two-phase zones hold liquid by a void fraction averaged over
their quality. The receiver is filled to a share that nobody sees; oil holds what it dissolved.

Held against the first-principles model of a 3-ton R-410A split unit (`tests/published/test_inventory.py`).

The share of a two-phase tube that vapour fills follows one of three published correlations. Which is chosen
changes a predicted charge by large factors (Rice, ASHRAE Trans. 93(1), 1987); Baroczy's agreed best with
three unitary units (Harms, Groll, Braun, HVAC&R Research 9(1), 2003). Whoever needs a charge runs several of
them and carries their spread. `balance_terms` has Zivi's mean in closed form for the solver;
here the mean is a sum, so that any correlation fits.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Indices, Mask
from hvaccalc.equipment.circuit.refrigerant_lines import GRAVITY
from hvaccalc.physics.refrigerant import Properties, Refrigerant

MODELS = ("Baroczy", "Zivi", "Rouhani")

GAUSS_POINTS = 4
"""Qualities of the sum; the mean void fraction of coils then lies within 0.003 of its limit."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(GAUSS_POINTS)

_RIM = 1e-6
"""Qualities nearer to 0 and 1 than this are taken so far from them: the correlations divide by both."""


def void_fraction(
    model: str,
    quality: ArrayLike,
    liquid: ArrayLike,
    vapour: ArrayLike,
    viscosity_ratio: ArrayLike = 8.0,
    surface_tension: ArrayLike = 0.006,
    mass_flux: ArrayLike = 250.0,
) -> Array:
    """Local void fraction.

    Parameters
    ----------
    model : str
        One of `MODELS`.
    quality : array_like
        Vapour by mass, 0-1.
    liquid, vapour : array_like
        Densities [kg/m3].
    viscosity_ratio : array_like
        Liquid over vapour, for Baroczy.
    surface_tension, mass_flux : array_like
        [N/m], [kg/(m2 s)], for Rouhani.

    Returns
    -------
    ndarray
        0-1; NaN for a quality or density that cannot be.

    Notes
    -----
    Zivi, J. Heat Transfer 86(2), 1964; Baroczy (1965) by the equation in Xu and Fang, Appl. Thermal Eng. 64,
    2014; Rouhani and Axelsson, Int. J. Heat Mass Transfer 13(2), 1970. Compared with the `fluids` library.

    Examples
    --------
    >>> round(float(void_fraction("Baroczy", 0.4, 800.0, 2.5, viscosity_ratio=100.0)), 4)
    0.9454
    """
    given = (quality, liquid, vapour, viscosity_ratio, surface_tension, mass_flux)
    x, rhol, rhog, ratio, sigma, flux = np.broadcast_arrays(*(np.asarray(g, dtype=float) for g in given))
    # Quality 1e-6 off its ends keeps 0 and 1 themselves within 1e-4 of the right answer.
    inside = (x >= 0.0) & (x <= 1.0) & (rhog > 0.0) & (rhol > rhog)
    x = np.where(inside, np.clip(x, _RIM, 1.0 - _RIM), 0.5)
    rhol, rhog = np.where(inside, rhol, 2.0), np.where(inside, rhog, 1.0)
    return np.where(inside, _correlated(model, x, rhol, rhog, ratio, sigma, flux), np.nan)


def _correlated(
    model: str,
    quality: Array,
    liquid: Array,
    vapour: Array,
    viscosity_ratio: Array,
    surface_tension: Array,
    mass_flux: Array,
) -> Array:
    """Baroczy's as 1/(1 + X^0.74 (ρg/ρl)^0.65 (μl/μg)^0.13), X the liquid over the vapour by mass; Zivi's as
    1/(1 + X (ρg/ρl)^(2/3)); Rouhani's drift flux of vertical flow, whose bubbles rise by themselves."""
    liquid_share = 1.0 - quality
    if model == "Baroczy":
        martinelli = (liquid_share / quality) ** 0.74 * (vapour / liquid) ** 0.65 * viscosity_ratio**0.13
        return 1.0 / (1.0 + martinelli)
    if model == "Zivi":
        return 1.0 / (1.0 + liquid_share / quality * (vapour / liquid) ** (2.0 / 3.0))
    if model == "Rouhani":
        spread = 1.0 + 0.2 * liquid_share
        rise = 1.18 * liquid_share / np.sqrt(liquid) * (GRAVITY * surface_tension * (liquid - vapour)) ** 0.25
        volume = quality / vapour + liquid_share / liquid
        return quality / (vapour * (spread * volume + rise / mass_flux))
    raise ValueError(f"no void fraction of {model!r}; there are: {', '.join(MODELS)}")


def mean_void_fraction(
    model: str, one_quality: ArrayLike, other_quality: ArrayLike, *state: ArrayLike
) -> Array:
    """Void fraction averaged between two qualities, heat flux uniform along the tube.

    Parameters
    ----------
    model : str
    one_quality, other_quality : array_like
        Vapour by mass at either end, 0-1.
    *state
        As of `void_fraction`: densities of liquid and vapour and so on.

    Examples
    --------
    From gas to liquid with vapour a tenth as dense, by the closed form of Zivi's mean 0.737:

    >>> round(float(mean_void_fraction("Zivi", 1.0, 0.0, 1000.0, 100.0)), 2)
    0.74
    """
    first = np.asarray(one_quality, dtype=float)[..., None]
    last = np.asarray(other_quality, dtype=float)[..., None]
    quality = first + (last - first) * (_NODES + 1.0) / 2.0
    columns = (np.asarray(value, dtype=float)[..., None] for value in state)
    return void_fraction(model, quality, *columns) @ _WEIGHTS / 2.0


COMPONENTS = ("condenser", "receiver", "liquid line", "evaporator", "suction line", "compressor and oil")

HIGHEST_EFFECTIVENESS = 0.97
"""Liquid leaves no nearer to the air than this share of its way; a draw that asks for more is held here."""


@dataclass(frozen=True, slots=True)
class Volumes:
    """Inside volumes [m3], and refrigerant dissolved in oil [kg]; arrays broadcast, 0 where there is none."""

    condenser: Array
    evaporator: Array
    liquid_line: Array
    suction_line: Array
    receiver: Array
    oil_charge: Array


@dataclass(frozen=True, slots=True)
class State:
    """One steady state of a circuit [K].

    Attributes
    ----------
    condensing, suction : ndarray
        Dew temperatures.
    outdoor, indoor : ndarray
        Air on condenser and evaporator.
    subcooling, superheat, discharge_superheat : ndarray
    """

    condensing: Array
    suction: Array
    outdoor: Array
    indoor: Array
    subcooling: Array
    superheat: Array
    discharge_superheat: Array


@dataclass(frozen=True, slots=True)
class Closures:
    """What closes the model and is never read; arrays broadcast.

    Attributes
    ----------
    void_model : ndarray of int
        Index into `MODELS`.
    liquid_film, gas_film : ndarray
        Transmittance of the zone over that of the two-phase one.
    mean_difference : ndarray
        Mean difference of a two-phase zone to its air over that at the air's entrance.
    viscosity_ratio : ndarray
        Liquid over vapour.
    mass_flux : ndarray
        In coil tubes [kg/(m2 s)].
    receiver_filled : ndarray
        Share of the receiver filled by liquid.
    valve_outdoors : ndarray of bool
        Whether the metering device stands outdoors: the "liquid line" then carries a two-phase mixture.
    """

    void_model: Indices
    liquid_film: Array
    gas_film: Array
    mean_difference: Array
    viscosity_ratio: Array
    mass_flux: Array
    receiver_filled: Array
    valve_outdoors: Mask


SURFACE_TENSION = 0.006
"""Of refrigerants between evaporator and condenser [N/m], from memory: 3 to 10 mN/m; enters to the 1/4."""


def zone_ratio(
    heat_ratio: Array, own_change: Array, difference: Array, mean_difference: Array, film: Array
) -> Array:
    """Tube of a single-phase zone over that of the two-phase zone beside it.

    Parameters
    ----------
    heat_ratio : array_like
        Heat of the single-phase zone over that of the two-phase one.
    own_change : array_like
        How much the refrigerant's temperature changes in it, >= 0 [K].
    difference : array_like
        Refrigerant to entering air at the zone's warm or cold end [K].
    mean_difference : array_like
        Two-phase zone to its air, mean [K].
    film : array_like
        Transmittance over that of the two-phase zone.

    Examples
    --------
    A tenth of the heat, 7 of 9.2 K used, 5.6 K in the mean, four tenths of the transmittance:

    >>> round(float(zone_ratio(0.1, 7.0, 9.2, 5.6, 0.4)), 3)
    0.286
    """
    effectiveness = np.clip(own_change / difference, 0.0, HIGHEST_EFFECTIVENESS)
    # NTU / change goes to 1 / difference where there is no change.
    small = effectiveness < 1e-6
    units = np.where(small, effectiveness, -np.log1p(-effectiveness))
    per_kelvin = np.where(small, 1.0 / difference, units / np.where(small, 1.0, own_change))
    return heat_ratio * mean_difference * per_kelvin / film


def component_densities(fluid: Refrigerant, state: State, closures: Closures) -> dict[str, Array]:
    """Mean density of each component that has a volume.

    Parameters
    ----------
    fluid : Refrigerant
    state : State
    closures : Closures

    Returns
    -------
    dict of str to ndarray
        Keys of `COMPONENTS` but the last [kg/m3]; NaN where a state lies outside the refrigerant's tables.
    """
    high, low = fluid.dew_pressure(state.condensing), fluid.dew_pressure(state.suction)
    bubble = fluid.bubble_temperature(high)
    liquid = fluid.liquid(high, bubble - state.subcooling)
    gas = fluid.vapour(low, state.suction + state.superheat)
    line = liquid.density
    if np.any(closures.valve_outdoors):
        mixture = _mixture(fluid, state, liquid.enthalpy, closures)
        line = np.where(closures.valve_outdoors, mixture, line)
    return {
        "condenser": _condenser_density(fluid, high, bubble, state, closures),
        "receiver": _receiver_density(fluid, state, bubble, closures),
        "liquid line": line,
        "evaporator": _evaporator_density(fluid, liquid.enthalpy, gas, state, closures),
        "suction line": gas.density,
    }


def charges_of(volumes: Volumes, densities: dict[str, Array]) -> dict[str, Array]:
    """Charge of each component: volume times density, and what the oil holds [kg]."""
    found = {name: getattr(volumes, name.replace(" ", "_")) * density for name, density in densities.items()}
    return found | {"compressor and oil": volumes.oil_charge + 0.0 * densities["liquid line"]}


def component_charges(
    fluid: Refrigerant, volumes: Volumes, state: State, closures: Closures
) -> dict[str, Array]:
    """Charge of each component in one state: keys of `COMPONENTS` [kg]; as `component_densities`."""
    return charges_of(volumes, component_densities(fluid, state, closures))


def condenser_zones(fluid: Refrigerant, state: State, closures: Closures) -> tuple[Array, Array, Array]:
    """Shares of the condenser's tube that hold gas, both phases and liquid; they sum to 1."""
    high = fluid.dew_pressure(state.condensing)
    bubble = fluid.bubble_temperature(high)
    edge, dew = fluid.saturated_liquid(bubble), fluid.saturated_vapour(state.condensing)
    cold = fluid.liquid(high, bubble - state.subcooling)
    hot = fluid.vapour(high, state.condensing + state.discharge_superheat)
    latent = dew.enthalpy - edge.enthalpy
    mean = closures.mean_difference * (state.condensing - state.outdoor)
    liquid = zone_ratio(
        (edge.enthalpy - cold.enthalpy) / latent,
        state.subcooling,
        bubble - state.outdoor,
        mean,
        closures.liquid_film,
    )
    gas = zone_ratio(
        (hot.enthalpy - dew.enthalpy) / latent,
        state.discharge_superheat,
        state.condensing + state.discharge_superheat - state.outdoor,
        mean,
        closures.gas_film,
    )
    whole = 1.0 + liquid + gas
    return gas / whole, 1.0 / whole, liquid / whole


def _condenser_density(
    fluid: Refrigerant, high: Array, bubble: Array, state: State, closures: Closures
) -> Array:
    """Mean density of the condenser [kg/m3]."""
    edge, dew = fluid.saturated_liquid(bubble).density, fluid.saturated_vapour(state.condensing).density
    cold = fluid.liquid(high, bubble - state.subcooling).density
    hot = fluid.vapour(high, state.condensing + state.discharge_superheat).density
    both = edge + (dew - edge) * _mean_void(1.0, 0.0, edge, dew, closures)
    gas_share, both_share, liquid_share = condenser_zones(fluid, state, closures)
    return gas_share * (hot + dew) / 2.0 + both_share * both + liquid_share * (edge + cold) / 2.0


def _evaporator_density(
    fluid: Refrigerant, entering: Array, gas: Properties, state: State, closures: Closures
) -> Array:
    """Mean density of the evaporator [kg/m3]; `entering` is the enthalpy at the valve."""
    edge, dew = _evaporating(fluid, state)
    latent = dew.enthalpy - edge.enthalpy
    quality = np.clip((entering - edge.enthalpy) / latent, 0.0, 0.95)
    difference = state.indoor - state.suction
    ratio = zone_ratio(
        (gas.enthalpy - dew.enthalpy) / (latent * (1.0 - quality)),
        state.superheat,
        difference,
        closures.mean_difference * difference,
        closures.gas_film,
    )
    void = _mean_void(quality, 1.0, edge.density, dew.density, closures)
    both = edge.density + (dew.density - edge.density) * void
    return (both + ratio * (dew.density + gas.density) / 2.0) / (1.0 + ratio)


def _evaporating(fluid: Refrigerant, state: State) -> tuple[Properties, Properties]:
    """Liquid and vapour of the evaporator's pressure."""
    bubble = fluid.bubble_temperature(fluid.dew_pressure(state.suction))
    return fluid.saturated_liquid(bubble), fluid.saturated_vapour(state.suction)


def _mixture(fluid: Refrigerant, state: State, entering: Array, closures: Closures) -> Array:
    """Density of a line after the valve [kg/m3]."""
    edge, dew = _evaporating(fluid, state)
    quality = np.clip((entering - edge.enthalpy) / (dew.enthalpy - edge.enthalpy), 0.0, 1.0)
    columns = (edge.density, dew.density, closures.viscosity_ratio, SURFACE_TENSION, closures.mass_flux)
    void = _by_model(void_fraction, closures.void_model, quality, *columns)
    return edge.density + (dew.density - edge.density) * void


def _receiver_density(fluid: Refrigerant, state: State, bubble: Array, closures: Closures) -> Array:
    edge, dew = fluid.saturated_liquid(bubble).density, fluid.saturated_vapour(state.condensing).density
    return dew + (edge - dew) * closures.receiver_filled


def _mean_void(first: ArrayLike, last: ArrayLike, liquid: Array, vapour: Array, closures: Closures) -> Array:
    return _by_model(
        mean_void_fraction,
        closures.void_model,
        first,
        last,
        liquid,
        vapour,
        closures.viscosity_ratio,
        SURFACE_TENSION,
        closures.mass_flux,
    )


def _by_model(function: Callable[..., Array], models: Indices, *columns: ArrayLike) -> Array:
    """A void fraction, each row by the correlation that it drew."""
    rows = np.broadcast_arrays(*np.atleast_1d(models, *columns))
    found = np.full(rows[0].shape, np.nan)
    for number, name in enumerate(MODELS):
        here = rows[0] == number
        if np.any(here):
            found[here] = function(name, *(row[here] for row in rows[1:]))
    return found


def tuned(model: Array, model_points: Array, known_points: Array) -> Array:
    """Two-point tuning: a modelled charge moved and stretched so that two known charges are met.

    Parameters
    ----------
    model : array_like
        Modelled charge at the state asked about [kg].
    model_points, known_points : array_like, shape (2, ...)
        Modelled and known charges at two states [kg].

    Returns
    -------
    ndarray
        [kg]; NaN where the model tells the two states apart by less than 0.1 % of the charge.

    Notes
    -----
    The accepted correction of charge models: the errors of volumes and void fraction are nearly the same
    offset and the same factor in every state (Shen, Braun, Groll, ASHRAE RP-1173).

    Examples
    --------
    >>> float(tuned(1.5, [1.0, 2.0], [1.2, 2.6]))
    1.9
    """
    first, second = np.asarray(model_points, dtype=float)
    low, high = np.asarray(known_points, dtype=float)
    apart = np.abs(second - first) > 1e-3 * np.abs(first)
    slope = (high - low) / np.where(apart, second - first, np.nan)
    return low + (np.asarray(model, dtype=float) - first) * slope
