"""Direct-expansion cooling coil: dry, wet and below freezing, one or more circuits on one set of fins.

The coil is cut into segments along the air path. In each, heat crosses a chain of resistances ::

    refrigerant --inside film, wall-- fin root --fin-- mean fin surface --air film-- air

and the mean fin surface drives heat and moisture alike (Lewis number 1)::

    m cp e (T - Ts) + m e h max(0, W - Wsat(Ts)) = (Ts - Tref) / R,    e = 1 - exp(-NTU)

with the condensate leaving at the surface temperature, h = 2501e3 + 1860 t' - 4186 ts (t' of the air behind
the segment, ts of the surface, both in °C). Below freezing, saturation is over ice and h grows to the heat of
sublimation. The fin root is the tube wall, the coldest metal in the air: frost starts there.

The refrigerant of a circuit has one temperature. Superheat, pressure drop and uneven air are not in here; a
mean of inlet and exit saturation stands for a pressure drop. Fog is not settled: near saturation air may
leave supersaturated (3 % from a return at 70 % relative humidity); mass and energy still close. Total
capacity against airflow at a given saturation is steeper than that of a unit, whose compressor lets the
saturation fall with the airflow.

Sources: Threlkeld, Thermal Environmental Engineering (wet surface driven by its mean temperature); Braun,
Klein, Mitchell, ASHRAE Transactions 95(2), 1989 (closed form); Incropera and DeWitt, Fundamentals of Heat and
Mass Transfer, chapter 11 (dry effectiveness), all from memory. Held against the chamber tests of NISTIR 7350
(2006), appendix D.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.physics.moist_air import (
    CP_DRY,
    CP_ICE,
    CP_VAPOUR,
    CP_WATER,
    FREEZING_POINT,
    LATENT_HEAT_0C,
    RATIO,
    SUBLIMATION_HEAT,
    enthalpy,
    heat_capacity,
    saturation_humidity_ratio,
)
from hvaccalc.physics.water_vapour import ICE, TRIPLE_POINT, WATER, log_pressure_and_slope

NO_AIRFLOW, NOT_IN_RANGE, SUPERSATURATED, NO_SOLUTION, NO_INSIDE_FILM, DRY_RATING = 1, 2, 3, 4, 5, 6
REASONS = {
    0: "",
    NO_AIRFLOW: "no airflow over the coil",
    NOT_IN_RANGE: "an input is missing or outside the range of the coil model",
    SUPERSATURATED: "the entering air holds more water than saturated air",
    NO_SOLUTION: "no coil has this capacity and sensible heat ratio at this suction saturation",
    NO_INSIDE_FILM: "the fins alone resist more than the whole coil: no refrigerant film is left",
    DRY_RATING: "a dry rating does not tell the air film from the refrigerant side",
}

SEGMENTS = 8
# Five steps from the neighbour's tangent close energy to 0.1 % on every row of a wide box (four miss it on 4
# rows in 10,000). The count is the same for all, so that a row does not depend on the batch it is in.
INNER_STEPS = 5
MATCH_STEPS = 25
# Frost and water coexist over this half width, so that the heat of fusion is not a jump [K].
FREEZING_BLEND = 0.25
FUSION_HEAT = SUBLIMATION_HEAT - LATENT_HEAT_0C
# Temperatures a coil may meet [K]; the property curves reach further.
LOWEST, HIGHEST = 223.15, 353.15
# Saturated air read with an ideal-gas humidity ratio may exceed saturation by the real-gas difference.
SATURATION_MARGIN = 1.005

Air = tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]


@dataclass(frozen=True)
class Rating:
    """A rated point of the coil; every field a number or an array of shape (N,).

    Attributes
    ----------
    total : array_like
        Heat taken up by the refrigerant, gross: without the fan's heat taken off [W].
    sensible_ratio : array_like
        Sensible part of `total` 0-1.
    dry_air_flow : array_like
        [kg/s dry air]
    dry_bulb, humidity_ratio, pressure : array_like
        Entering air [K], [kg/kg dry air], total [Pa].
    suction_saturation : array_like
        Of every circuit, at the coil [K].
    """

    total: ArrayLike
    sensible_ratio: ArrayLike
    dry_air_flow: ArrayLike
    dry_bulb: ArrayLike
    humidity_ratio: ArrayLike
    pressure: ArrayLike
    suction_saturation: ArrayLike


@dataclass(frozen=True)
class Coil:
    """A calibrated coil; arrays of shape (N,), NaN where `reason` is not 0.

    Attributes
    ----------
    ntu : ndarray
        Transfer units of the air film at the rated airflow.
    resistance : ndarray
        From the refrigerant to the mean fin surface, all circuits together [K/W].
    fin_resistance : ndarray
        The part of `resistance` between fin root and mean fin surface [K/W].
    rated_dry_air_flow : ndarray
        [kg/s dry air]
    film_exponent : ndarray
        Air film ∝ airflow to this power.
    reason : ndarray
        Key of `REASONS`.
    """

    ntu: np.ndarray
    resistance: np.ndarray
    fin_resistance: np.ndarray
    rated_dry_air_flow: np.ndarray
    film_exponent: np.ndarray
    reason: np.ndarray


@dataclass(frozen=True)
class CoilState:
    """What the coil does; arrays of shape (N,), `root` and `circuit_total` (circuits, N).

    Attributes
    ----------
    leaving_dry_bulb, leaving_humidity_ratio : ndarray
        Mixed air behind the coil, before a fan [K], [kg/kg dry air].
    total, sensible, latent : ndarray
        Heat into the refrigerant and its parts, with total = sensible + latent [W].
    circuit_total : ndarray
        `total` by circuit, 0 where a circuit does not run [W].
    condensate : ndarray
        Water or frost taken from the air [kg/s].
    surface : ndarray
        Coldest mean fin surface [K].
    root, coldest_root : ndarray
        Coldest fin root of each circuit, NaN where it does not run; and of all, the surface where none
        runs [K].
    wet_share, frosted_share : ndarray
        Share of the fins whose mean surface condenses; of tubes that run below freezing and the dew point.
    energy_residual : ndarray
        (air side - condensate - total) / total; near no load, over what warms the air by 0.1 K.
    reason : ndarray
        Key of `REASONS`; every other field is NaN where it is not 0.
    """

    leaving_dry_bulb: np.ndarray
    leaving_humidity_ratio: np.ndarray
    total: np.ndarray
    sensible: np.ndarray
    latent: np.ndarray
    circuit_total: np.ndarray
    condensate: np.ndarray
    surface: np.ndarray
    root: np.ndarray
    coldest_root: np.ndarray
    wet_share: np.ndarray
    frosted_share: np.ndarray
    energy_residual: np.ndarray
    reason: np.ndarray


class March(NamedTuple):
    """One stream of air through the segments; `surface` and `air_humidity_ratio` are (segments, ...)."""

    dry_bulb: np.ndarray
    humidity_ratio: np.ndarray
    total: np.ndarray
    sensible: np.ndarray
    latent: np.ndarray
    condensate: np.ndarray
    condensate_enthalpy: np.ndarray
    surface: np.ndarray
    air_humidity_ratio: np.ndarray


@np.errstate(all="ignore")
def march(
    dry_bulb: np.ndarray,
    humidity_ratio: np.ndarray,
    pressure: np.ndarray,
    dry_air_flow: np.ndarray,
    ntu: np.ndarray,
    resistance: np.ndarray,
    refrigerant: np.ndarray,
    segments: int = SEGMENTS,
) -> March:
    """Lead air through the segments of a coil (or of a part of one), without any check of range.

    Parameters
    ----------
    dry_bulb, humidity_ratio, pressure, dry_air_flow : ndarray
        Entering air [K], [kg/kg dry air], total [Pa], [kg/s dry air].
    ntu, resistance : ndarray
        Of the air film; from the refrigerant to the mean fin surface, infinite where idle [K/W].
    refrigerant : ndarray
        Saturation temperature; finite also where idle [K].
    segments : int
        Number of segments.

    Returns
    -------
    March
        Leaving air, heat by segment summed [W], condensate [kg/s] and its enthalpy [W].

    Notes
    -----
    The equation in the module's head. `total` is the refrigerant's side of it, so that an air-side balance
    tests the solution.
    """
    temperature, moisture = dry_bulb, humidity_ratio
    effectiveness = -np.expm1(-ntu / segments)
    conductance = 1.0 / (resistance * segments * dry_air_flow)
    anchor = (refrigerant, *_saturation_and_slope(refrigerant, pressure))
    total = sensible = latent = condensate = drained = np.zeros(())
    surfaces, moistures = [], []
    for _ in range(segments):
        air = (temperature, moisture, pressure, effectiveness, conductance, refrigerant)
        surface, saturated, slope = anchor = _surface_temperature(air, anchor)
        moistures.append(moisture)
        surfaces.append(surface)
        sensible_drop = effectiveness * (temperature - surface)
        condensed = effectiveness * np.maximum(0.0, moisture - saturated)
        total = total + dry_air_flow * conductance * (surface - refrigerant)
        sensible = sensible + dry_air_flow * (CP_DRY + CP_VAPOUR * moisture) * sensible_drop
        temperature, moisture = temperature - sensible_drop, moisture - condensed
        water = _condensate_enthalpy(surface)[0]
        latent = latent + dry_air_flow * condensed * (_vapour_enthalpy(temperature) - water)
        condensate = condensate + dry_air_flow * condensed
        drained = drained + dry_air_flow * condensed * water
    stacked = np.stack(np.broadcast_arrays(*surfaces)), np.stack(np.broadcast_arrays(*moistures))
    return March(temperature, moisture, total, sensible, latent, condensate, drained, *stacked)


def _surface_temperature(air: tuple, anchor: tuple) -> tuple:
    """Mean surface temperature of a segment, with saturation humidity ratio and slope there.

    Newton from the anchor's tangent, inside a bracket that shrinks by the sign of the residual: the jump of
    slope at freezing makes plain Newton cycle. A step below 1e-6 K is accepted even if it leaves the bracket.
    """
    temperature, moisture, pressure, effectiveness, conductance, refrigerant = air
    surface = anchor[0] + _newton_step(air, *anchor)[0]
    # Supersaturated air may hold its surface above its own temperature, by its excess of water.
    low = np.minimum(refrigerant, temperature)
    high = np.maximum(refrigerant, temperature) + 10.0
    surface = np.clip(surface, low, high)
    for _ in range(INNER_STEPS):
        step, residual = _newton_step(air, surface, *_saturation_and_slope(surface, pressure))
        low, high = np.where(residual > 0.0, surface, low), np.where(residual > 0.0, high, surface)
        trial = surface + step
        accepted = ((trial > low) & (trial < high)) | (np.abs(step) < 1e-6)
        surface = np.where(accepted, trial, 0.5 * (low + high))
    return (surface, *_saturation_and_slope(surface, pressure))


def _newton_step(air: tuple, surface: np.ndarray, saturated: np.ndarray, slope: np.ndarray) -> tuple:
    """Newton step [K] and residual [J/kg dry air] of a segment's heat balance."""
    temperature, moisture, _, effectiveness, conductance, refrigerant = air
    leaving = temperature - effectiveness * (temperature - surface)
    condensate, condensate_slope = _condensate_enthalpy(surface)
    heat_of_change = _vapour_enthalpy(leaving) - condensate
    excess = moisture - saturated
    wet = excess > 0.0
    excess = np.where(wet, excess, 0.0)
    capacity = CP_DRY + CP_VAPOUR * moisture
    residual = effectiveness * (capacity * (temperature - surface) + excess * heat_of_change)
    residual = residual - conductance * (surface - refrigerant)
    fall = capacity + np.where(wet, slope * heat_of_change, 0.0)
    fall = effectiveness * (fall + excess * (condensate_slope - CP_VAPOUR * effectiveness)) + conductance
    return residual / fall, residual


def _vapour_enthalpy(temperature: np.ndarray) -> np.ndarray:
    """Enthalpy of water vapour [J/kg], 0 for liquid at 0 °C."""
    return LATENT_HEAT_0C + CP_VAPOUR * (temperature - FREEZING_POINT)


def _condensate_enthalpy(surface: np.ndarray) -> tuple:
    """Enthalpy of water or frost at the surface [J/kg] and its slope [J/(kg K)], blended about 0 °C."""
    celsius = surface - FREEZING_POINT
    if np.all(celsius > FREEZING_BLEND):
        return CP_WATER * celsius, CP_WATER
    ice = np.clip(0.5 - celsius / (2.0 * FREEZING_BLEND), 0.0, 1.0)
    difference = (CP_ICE - CP_WATER) * celsius - FUSION_HEAT
    ramp = np.where(np.abs(celsius) < FREEZING_BLEND, -0.5 / FREEZING_BLEND, 0.0)
    slope = CP_WATER + ice * (CP_ICE - CP_WATER) + ramp * difference
    return CP_WATER * celsius + ice * difference, slope


def _saturation_and_slope(temperature: np.ndarray, pressure: np.ndarray) -> tuple:
    """Saturation humidity ratio [kg/kg dry air] and its slope [1/K]; over ice up to the triple point."""
    log_pressure, slope = log_pressure_and_slope(WATER, temperature)
    icy = temperature <= TRIPLE_POINT
    if np.any(icy):
        ice_log_pressure, ice_slope = log_pressure_and_slope(ICE, temperature)
        log_pressure, slope = np.where(icy, ice_log_pressure, log_pressure), np.where(icy, ice_slope, slope)
    vapour = np.exp(log_pressure)
    ratio = RATIO * vapour / (pressure - vapour)
    return ratio, ratio * slope * (1.0 + ratio / RATIO)


@np.errstate(all="ignore")
def calibrate(rating: Rating, fin_efficiency: ArrayLike = 0.83, film_exponent: ArrayLike = 0.6) -> Coil:
    """Find the coil that returns a rating.

    Parameters
    ----------
    rating : Rating
        Gross total, sensible ratio, airflow, entering air and suction saturation.
    fin_efficiency : array_like
        Of the whole dry air-side surface at the rated airflow, root to air, 0-1 (common practice, no source).
    film_exponent : array_like
        Air film ∝ airflow to this power; 0.45-0.8 covers plain and louvred fins (common practice, no source).

    Returns
    -------
    Coil
        NaN with a reason where no coil has this rating, or where the fin would leave no inside film.

    Notes
    -----
    Two conductances for two numbers, total and sensible ratio, within 1e-6: started from bypass factor and
    apparatus dew point, then Newton in the logarithms. The fin's resistance, (1/efficiency - 1)/(hA), is
    conduction and stays as it is when airflow or moisture change.

    Examples
    --------
    70 kW with 72 % sensible, 4.5 kg/s of air at 26.7 °C and 0.0112 kg/kg, suction saturation 7.2 °C:

    >>> coil = calibrate(Rating(70e3, 0.72, 4.5, 299.8, 0.0112, 101325.0, 280.4))
    >>> state = solve(coil, 299.8, 0.0112, 101325.0, 4.5, [280.4], [1.0])
    >>> round(float(state.total[0])), round(float(state.sensible[0]))
    (70000, 50400)
    """
    fields = [getattr(rating, name) for name in Rating.__dataclass_fields__]
    arrays = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(x, float)) for x in (*fields, fin_efficiency, film_exponent))
    )
    total, ratio, flow, dry_bulb, moisture, pressure, suction, efficiency, exponent = arrays
    reason = _air_reason(dry_bulb, moisture, pressure, flow)
    known = (total > 0.0) & (ratio > 0.0) & (efficiency > 0.0) & (efficiency <= 1.0) & np.isfinite(exponent)
    reason = _first(reason, ~(known & (suction > LOWEST) & (suction < HIGHEST)), NOT_IN_RANGE)
    reason = _first(reason, ratio >= 1.0, DRY_RATING)
    flow = np.where(reason == 0, flow, np.nan)
    air = (dry_bulb, moisture, pressure, flow)
    ntu, resistance, solved = _match(air, suction, total, ratio)
    reason = _first(reason, ~solved, NO_SOLUTION)
    fin_resistance = (1.0 / efficiency - 1.0) / (ntu * flow * heat_capacity(moisture))
    reason = _first(reason, ~(fin_resistance < resistance), NO_INSIDE_FILM)
    ntu, resistance, fin_resistance, flow = (
        np.where(reason == 0, x, np.nan) for x in (ntu, resistance, fin_resistance, flow)
    )
    return Coil(ntu, resistance, fin_resistance, flow, np.array(exponent), reason)


def _match(air: Air, suction: np.ndarray, total: np.ndarray, ratio: np.ndarray) -> tuple:
    """Transfer units and resistance that return total and sensible ratio, and whether they do."""
    best = _first_guess(air, suction, total, ratio)
    step, norm = np.zeros_like(best), np.full(total.shape, np.inf)
    rows = np.arange(total.size)
    for _ in range(MATCH_STEPS):
        trial = best[:, rows] + step
        given = (*(x[rows] for x in air), suction[rows], total[rows], ratio[rows])
        error, newton = _mismatch_and_step(trial, *given)
        new_norm = np.abs(error).max(axis=0)
        better = new_norm < norm[rows]
        best[:, rows] = np.where(better, trial, best[:, rows])
        norm[rows] = np.where(better, new_norm, norm[rows])
        step = np.where(better, newton, 0.5 * step)
        going = (norm[rows] > 1e-8) & (np.abs(step).max(axis=0) > 1e-6)
        rows, step = rows[going], step[:, going]
        if rows.size == 0:
            break
    return *np.exp(best), norm < 1e-6


def _mismatch_and_step(trial: np.ndarray, *given: np.ndarray) -> tuple:
    """Relative error of the total, error of the ratio, and the Newton step against both, each (2, N)."""
    dry_bulb, moisture, pressure, flow, suction, total, ratio = given
    offset = np.array([[0.0, 1e-5, 0.0], [0.0, 0.0, 1e-5]])[..., None]
    ntu, resistance = np.exp(trial[:, None] + offset)
    run = march(dry_bulb, moisture, pressure, flow, ntu, resistance, suction)
    error = np.stack([run.total / total - 1.0, run.sensible / run.total - ratio])
    slope = (error[:, 1:] - error[:, :1]) / 1e-5
    return error[:, 0], np.clip(_solve_two_by_two(slope, -error[:, 0]), -0.7, 0.7)


def _first_guess(air: Air, suction: np.ndarray, total: np.ndarray, ratio: np.ndarray) -> np.ndarray:
    """Logarithms of transfer units and resistance of a coil whose surface has one temperature.

    The process line is followed until it meets saturation: there lies the surface.
    """
    dry_bulb, moisture, pressure, flow = air
    drop = ratio * total / (flow * heat_capacity(moisture))
    dried = (1.0 - ratio) * total / (flow * LATENT_HEAT_0C)
    effectiveness = np.linspace(0.98, 0.3, 35)[:, None]
    surface = np.maximum(dry_bulb - drop / effectiveness, LOWEST)
    met = moisture - dried / effectiveness >= saturation_humidity_ratio(surface, pressure)
    chosen = np.where(met.any(axis=0), effectiveness[met.argmax(axis=0), 0], 0.7)
    resistance = np.maximum(dry_bulb - drop / chosen - suction, 0.5) / total
    return np.log(np.stack([-np.log1p(-chosen), resistance]))


def _solve_two_by_two(matrix: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Solve [[a, b], [c, d]] x = right for each column; NaN-free: a singular row gives no step."""
    (a, b), (c, d) = matrix
    determinant = a * d - b * c
    solution = np.stack([d * right[0] - b * right[1], a * right[1] - c * right[0]]) / determinant
    return np.nan_to_num(solution, nan=0.0, posinf=0.0, neginf=0.0)


def _air_reason(
    dry_bulb: np.ndarray, moisture: np.ndarray, pressure: np.ndarray, flow: np.ndarray
) -> np.ndarray:
    """Reason against an entering state, 0 where there is none."""
    inside = (dry_bulb > LOWEST) & (dry_bulb < HIGHEST) & (moisture >= 0.0)
    inside &= (pressure > 3e4) & (pressure < 1.2e5) & np.isfinite(flow)
    reason = _first(np.where(flow <= 0.0, NO_AIRFLOW, 0), ~inside, NOT_IN_RANGE)
    foggy = moisture > SATURATION_MARGIN * saturation_humidity_ratio(dry_bulb, pressure)
    return _first(reason, foggy, SUPERSATURATED)


def _first(reason: np.ndarray, bad: np.ndarray, code: int) -> np.ndarray:
    """Add a reason where there is none yet."""
    return np.where((reason == 0) & bad, code, reason)


class _Fins(NamedTuple):
    """Mixed leaving air, and by circuit: surface and the air's humidity ratio (circuits, segments, N)."""

    dry_bulb: np.ndarray
    humidity_ratio: np.ndarray
    sensible: np.ndarray
    latent: np.ndarray
    condensate: np.ndarray
    condensate_enthalpy: np.ndarray
    surface: np.ndarray
    air_humidity_ratio: np.ndarray


@np.errstate(all="ignore")
def solve(
    coil: Coil,
    dry_bulb: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    dry_air_flow: ArrayLike,
    saturation: Sequence[ArrayLike],
    share: Sequence[ArrayLike],
    circuiting: str = "interlaced",
) -> CoilState:
    """State of a calibrated coil at any air and any refrigerant temperatures.

    Parameters
    ----------
    coil : Coil
        From `calibrate`.
    dry_bulb, humidity_ratio, pressure, dry_air_flow : array_like
        Entering air [K], [kg/kg dry air], total [Pa], [kg/s dry air].
    saturation : sequence of array_like
        Refrigerant saturation of each circuit at the coil [K]; NaN where the circuit does not run.
    share : sequence of array_like
        Each circuit's share of the coil, summing to 1.
    circuiting : str
        "interlaced": every circuit reaches all fins, an idle one leaves them to the others. "face split":
        each has its share of face and air, and air passes an idle one unchanged. "row split": air meets the
        circuits in the order listed, or from the last to the first ("row split, reversed").

    Returns
    -------
    CoilState
        NaN with a reason in rows without airflow, outside 223-353 K or with an uncalibrated coil.

    Raises
    ------
    ValueError
        Unknown circuiting, or not one share for each saturation.

    Notes
    -----
    The air film follows airflow to the coil's film exponent, so transfer units go as flow^(exponent - 1).
    Inside film and fin conduction of a circuit are those of the whole coil divided by its share.
    """
    if circuiting not in CIRCUITINGS:
        raise ValueError(f"circuiting {circuiting!r}: one of {', '.join(CIRCUITINGS)}")
    count = len(saturation)
    if len(share) != count:
        raise ValueError(f"{len(share)} shares for {count} circuits")
    inputs = (dry_bulb, humidity_ratio, pressure, dry_air_flow, coil.ntu, *saturation, *share)
    arrays = np.broadcast_arrays(*(np.atleast_1d(np.asarray(x, float)) for x in inputs))
    temperature, moisture, total_pressure, flow = arrays[:4]
    refrigerant, part = np.stack(arrays[5 : 5 + count]), np.stack(arrays[5 + count :])
    running = ~np.isnan(refrigerant)
    impossible = running & ~((refrigerant > LOWEST) & (refrigerant < HIGHEST)) | ~(part > 0.0)
    reason = np.where(coil.reason != 0, coil.reason, _air_reason(temperature, moisture, total_pressure, flow))
    unfit = impossible.any(axis=0) | (np.abs(part.sum(axis=0) - 1.0) > 1e-6)
    reason = _first(reason, unfit, NOT_IN_RANGE)
    ntu = coil.ntu * (flow / coil.rated_dry_air_flow) ** (coil.film_exponent - 1.0)
    conductance = np.where(running, part / coil.resistance, 0.0)
    refrigerant = np.where(running, refrigerant, temperature)
    air = (temperature, moisture, total_pressure, flow)
    fins = _LAYOUT[circuiting](air, ntu, conductance, refrigerant, part)
    fin_part = coil.fin_resistance / coil.resistance
    return _state(air, fins, conductance, refrigerant, part, fin_part, reason)


def _interlaced(
    air: Air, ntu: np.ndarray, conductance: np.ndarray, refrigerant: np.ndarray, part: np.ndarray
):
    """All circuits under the same fins: conductances add, the refrigerant acts by their weighted mean."""
    together = conductance.sum(axis=0)
    mean = np.where(together > 0.0, (conductance * refrigerant).sum(axis=0) / together, air[0])
    run = march(*air, ntu, 1.0 / together, mean)
    shape = (len(conductance), *run.surface.shape)
    by_circuit = np.broadcast_to(run.surface, shape), np.broadcast_to(run.air_humidity_ratio, shape)
    return _Fins(*run[:2], *run[3:7], *by_circuit)


def _face_split(
    air: Air, ntu: np.ndarray, conductance: np.ndarray, refrigerant: np.ndarray, part: np.ndarray
):
    """Parallel streams, mixed by their enthalpy."""
    dry_bulb, moisture, pressure, flow = air
    run = march(dry_bulb, moisture, pressure, flow * part, ntu, 1.0 / conductance, refrigerant)
    capacity = part * (CP_DRY + CP_VAPOUR * run.humidity_ratio)
    mixed = (capacity * run.dry_bulb).sum(axis=0) / capacity.sum(axis=0)
    summed = (x.sum(axis=0) for x in run[3:7])
    by_circuit = (np.swapaxes(x, 0, 1) for x in run[7:])
    return _Fins(mixed, (part * run.humidity_ratio).sum(axis=0), *summed, *by_circuit)


def _row_split(air: Air, ntu: np.ndarray, conductance: np.ndarray, refrigerant: np.ndarray, part: np.ndarray):
    """The same air through one circuit after the other; together they have the segments of one coil."""
    segments = max(1, SEGMENTS // len(part))
    dry_bulb, moisture, pressure, flow = air
    runs = []
    for share, own, saturation in zip(part, conductance, refrigerant, strict=True):
        run = march(dry_bulb, moisture, pressure, flow, ntu * share, 1.0 / own, saturation, segments)
        dry_bulb, moisture = run.dry_bulb, run.humidity_ratio
        runs.append(run)
    summed = (np.sum([run[field] for run in runs], axis=0) for field in (3, 4, 5, 6))
    by_circuit = (np.stack([run[field] for run in runs]) for field in (7, 8))
    return _Fins(dry_bulb, moisture, *summed, *by_circuit)


def _row_split_reversed(air: Air, ntu: np.ndarray, *by_circuit: np.ndarray):
    """The last circuit listed meets the entering air."""
    fins = _row_split(air, ntu, *(x[::-1] for x in by_circuit))
    return fins._replace(surface=fins.surface[::-1], air_humidity_ratio=fins.air_humidity_ratio[::-1])


_LAYOUT: dict[str, Callable[..., _Fins]] = {
    "interlaced": _interlaced,
    "face split": _face_split,
    "row split": _row_split,
    "row split, reversed": _row_split_reversed,
}
CIRCUITINGS = tuple(_LAYOUT)


def _state(
    air: Air,
    fins: _Fins,
    conductance: np.ndarray,
    refrigerant: np.ndarray,
    part: np.ndarray,
    fin_part: np.ndarray,
    reason: np.ndarray,
) -> CoilState:
    """Heat by circuit, roots and shares from the temperatures of the fins, each circuit's by its share."""
    dry_bulb, moisture, pressure, flow = air
    running = conductance > 0.0
    drive = fins.surface - refrigerant[:, None]
    circuit_total = (conductance[:, None] * drive).mean(axis=1)
    total = circuit_total.sum(axis=0)
    root = np.where(running[:, None], fins.surface - fin_part * drive, fins.surface)
    coldest, surface = root.min(axis=1), fins.surface.min(axis=(0, 1))
    frosted = (root < FREEZING_POINT) & _condenses(root, fins.air_humidity_ratio, pressure)
    air_side = flow * (enthalpy(dry_bulb, moisture) - enthalpy(fins.dry_bulb, fins.humidity_ratio))
    imbalance = air_side - fins.condensate_enthalpy - total
    fields = {
        "leaving_dry_bulb": fins.dry_bulb,
        "leaving_humidity_ratio": fins.humidity_ratio,
        "total": total,
        "sensible": fins.sensible,
        "latent": fins.latent,
        "circuit_total": circuit_total,
        "condensate": fins.condensate,
        "surface": surface,
        "root": np.where(running, coldest, np.nan),
        "coldest_root": np.minimum(coldest.min(axis=0), surface),
        "wet_share": _share(part, _condenses(fins.surface, fins.air_humidity_ratio, pressure)),
        "frosted_share": _share(part, frosted),
        "energy_residual": imbalance / np.maximum(np.abs(total), 0.1 * flow * CP_DRY),
    }
    return CoilState(**{name: np.where(reason == 0, x, np.nan) for name, x in fields.items()}, reason=reason)


def _condenses(metal: np.ndarray, air_humidity_ratio: np.ndarray, pressure: np.ndarray) -> np.ndarray:
    return air_humidity_ratio > saturation_humidity_ratio(metal, pressure)


def _share(part: np.ndarray, where: np.ndarray) -> np.ndarray:
    return (part * where.mean(axis=1)).sum(axis=0)


@np.errstate(all="ignore")
def wet_effectiveness_total(
    ntu: ArrayLike,
    resistance: ArrayLike,
    dry_bulb: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    dry_air_flow: ArrayLike,
    saturation: ArrayLike,
) -> np.ndarray:
    """Heat taken from the air by an all-wet coil, in closed form.

    Parameters
    ----------
    ntu, resistance : array_like
        Of the air film, and from the refrigerant to the mean fin surface [K/W].
    dry_bulb, humidity_ratio, pressure, dry_air_flow : array_like
        Entering air [K], [kg/kg dry air], total [Pa], [kg/s dry air].
    saturation : array_like
        Refrigerant temperature [K].

    Returns
    -------
    ndarray
        m (h_in - h_out), condensate not taken off [W]; meaningless where part of the coil is dry.

    Notes
    -----
    Enthalpy potential: e = 1 - exp(-NTU*), NTU* = NTU / (1 + cs m NTU R), total = m e (h_in - h_sat(Tref)).
    The saturation slope cs is the chord from the refrigerant to the mean surface, Tref + total R; it needs a
    few rounds. Braun, Klein, Mitchell, ASHRAE Transactions 95(2), 1989, from memory. Within 1 % of the march
    above freezing for 1-3 transfer units, m cp R up to 0.4 and return air up to 27 °C, 70 %; the curvature of
    saturation costs 1.6 % at 30 °C, 95 %. The refrigerant takes up 0.5-1 % less: the condensate keeps that.
    """
    drive = enthalpy(dry_bulb, humidity_ratio) - _saturated_enthalpy(saturation, pressure)
    flow, film = np.asarray(dry_air_flow, float), np.asarray(ntu, float)
    rise = np.ones_like(drive)
    for _ in range(30):
        above = _saturated_enthalpy(saturation + rise, pressure) - _saturated_enthalpy(saturation, pressure)
        wet_ntu = film / (1.0 + above / rise * flow * film * resistance)
        total = -flow * np.expm1(-wet_ntu) * drive
        rise = 0.5 * (rise + np.minimum(total * resistance, 60.0))
    return total


def _saturated_enthalpy(temperature: ArrayLike, pressure: ArrayLike) -> np.ndarray:
    return enthalpy(temperature, saturation_humidity_ratio(temperature, pressure))
