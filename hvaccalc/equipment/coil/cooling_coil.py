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

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Mask
from hvaccalc.equipment.coil.coil_circuits import CIRCUITINGS, solve
from hvaccalc.equipment.coil.coil_march import MATCH_STEPS, Air, March, march
from hvaccalc.equipment.coil.coil_state import (
    DRY_RATING,
    HIGHEST,
    LOWEST,
    NO_AIRFLOW,
    NO_INSIDE_FILM,
    NO_SOLUTION,
    NOT_IN_RANGE,
    REASONS,
    SUPERSATURATED,
    Coil,
    CoilState,
    Rating,
    air_reason,
    first_reason,
)
from hvaccalc.physics.moist_air import LATENT_HEAT_0C, enthalpy, heat_capacity, saturation_humidity_ratio


@np.errstate(all="ignore")
def wet_effectiveness_total(
    ntu: ArrayLike,
    resistance: ArrayLike,
    dry_bulb: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    dry_air_flow: ArrayLike,
    saturation: ArrayLike,
) -> Array:
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
    flow, film, refrigerant = (np.asarray(x, float) for x in (dry_air_flow, ntu, saturation))
    rise = np.ones_like(drive)
    for _ in range(30):
        above = _saturated_enthalpy(refrigerant + rise, pressure) - _saturated_enthalpy(saturation, pressure)
        wet_ntu = film / (1.0 + above / rise * flow * film * resistance)
        total = -flow * np.expm1(-wet_ntu) * drive
        rise = 0.5 * (rise + np.minimum(total * resistance, 60.0))
    return total


def _saturated_enthalpy(temperature: ArrayLike, pressure: ArrayLike) -> Array:
    return enthalpy(temperature, saturation_humidity_ratio(temperature, pressure))


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

    >>> from hvaccalc.equipment.coil.cooling_coil import solve
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
    reason = air_reason(dry_bulb, moisture, pressure, flow)
    known = (total > 0.0) & (ratio > 0.0) & (efficiency > 0.0) & (efficiency <= 1.0) & np.isfinite(exponent)
    reason = first_reason(reason, ~(known & (suction > LOWEST) & (suction < HIGHEST)), NOT_IN_RANGE)
    reason = first_reason(reason, ratio >= 1.0, DRY_RATING)
    flow = np.where(reason == 0, flow, np.nan)
    air = (dry_bulb, moisture, pressure, flow)
    ntu, resistance, solved = _match(air, suction, total, ratio)
    reason = first_reason(reason, ~solved, NO_SOLUTION)
    fin_resistance = (1.0 / efficiency - 1.0) / (ntu * flow * heat_capacity(moisture))
    reason = first_reason(reason, ~(fin_resistance < resistance), NO_INSIDE_FILM)
    ntu, resistance, fin_resistance, flow = (
        np.where(reason == 0, x, np.nan) for x in (ntu, resistance, fin_resistance, flow)
    )
    return Coil(ntu, resistance, fin_resistance, flow, np.array(exponent), reason)


def _match(air: Air, suction: Array, total: Array, ratio: Array) -> tuple[Array, Array, Mask]:
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


def _mismatch_and_step(trial: Array, *given: Array) -> tuple[Array, Array]:
    """Relative error of the total, error of the ratio, and the Newton step against both, each (2, N)."""
    dry_bulb, moisture, pressure, flow, suction, total, ratio = given
    offset = np.array([[0.0, 1e-5, 0.0], [0.0, 0.0, 1e-5]])[..., None]
    ntu, resistance = np.exp(trial[:, None] + offset)
    run = march(dry_bulb, moisture, pressure, flow, ntu, resistance, suction)
    error = np.stack([run.total / total - 1.0, run.sensible / run.total - ratio])
    slope = (error[:, 1:] - error[:, :1]) / 1e-5
    return error[:, 0], np.clip(_solve_two_by_two(slope, -error[:, 0]), -0.7, 0.7)


def _first_guess(air: Air, suction: Array, total: Array, ratio: Array) -> Array:
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


def _solve_two_by_two(matrix: Array, right: Array) -> Array:
    """Solve [[a, b], [c, d]] x = right for each column; NaN-free: a singular row gives no step."""
    (a, b), (c, d) = matrix
    determinant = a * d - b * c
    solution = np.stack([d * right[0] - b * right[1], a * right[1] - c * right[0]]) / determinant
    return np.nan_to_num(solution, nan=0.0, posinf=0.0, neginf=0.0)


__all__ = [
    "CIRCUITINGS",
    "DRY_RATING",
    "NOT_IN_RANGE",
    "NO_AIRFLOW",
    "NO_INSIDE_FILM",
    "NO_SOLUTION",
    "REASONS",
    "SUPERSATURATED",
    "Coil",
    "CoilState",
    "March",
    "Rating",
    "calibrate",
    "march",
    "solve",
    "wet_effectiveness_total",
]
