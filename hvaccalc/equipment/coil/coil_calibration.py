"""A coil from its rating."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.equipment.coil.coil_march import MATCH_STEPS, Air, march
from hvaccalc.equipment.coil.coil_state import (
    DRY_RATING,
    HIGHEST,
    LOWEST,
    NO_INSIDE_FILM,
    NO_SOLUTION,
    NOT_IN_RANGE,
    Coil,
    Rating,
    air_reason,
    first_reason,
)
from hvaccalc.physics.moist_air import (
    LATENT_HEAT_0C,
    heat_capacity,
    saturation_humidity_ratio,
)


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
