"""Fits ``data/refrigerants.json`` to CoolProp; the only writer of that file.

A refrigerant is one `Source` in `SOURCES`; a blend is given by its CoolProp mixture string. The
mixture model's flash fails here and there: it is asked again with the neighbouring solution as
first guess, which solves the same equations, and the temperatures are recorded as holes. Seven
minutes for all.

Fitting is least squares in Chebyshev polynomials over Chebyshev nodes; the file holds the same
polynomials by powers of the scaled variable, which costs under 1e-9 at these degrees and lets
the run time use Horner's rule.
"""

import datetime
import hashlib
import json
from collections.abc import Iterator
from typing import Any

import CoolProp
import numpy as np
from CoolProp import AbstractState
from CoolProp.CoolProp import PyGuessesStructure, extract_fractions
from numpy.polynomial import chebyshev

from hvaccalc.physics.refrigerant import DEPARTURE_SHIFT, Refrigerant, from_record
from hvaccalc.resources import data_path
from tests.regenerate.refrigerant_sources import SOURCES, Source

COLDEST_SATURATION = 218.15  # -55 °C [K]
NEAR_CRITICAL_MARGIN = 3.0  # tables end this far below the critical temperature [K]
CLAIMED_COLDEST = 233.15  # accuracy is claimed from -40 °C …
CLAIMED_MARGIN = 10.0  # … to 10 K below critical [K]
EDGE = 0.01  # the fit reaches this far beyond the stated range, for round trips at its ends [K]
DEPARTURES = {"liquid": 30.0, "vapour": 80.0}
QUALITIES = {"liquid": 0, "vapour": 1}
EDGES = {"bubble": 0, "dew": 1}
SATURATION_DEGREE = 10
PRESSURE_DEGREE = 9
DEPARTURE_DEGREE = 7
SATURATION_NODES = 80
GRID = (60, 40)
RANDOM_STATES = 2000
SEED = 20260101
HOLE_STEP = 0.02  # the flash is tried this far apart [K]
HOLE_MARGIN = 0.5  # a failure stands for this much either side [K]
ICE_POINT = 273.15
IIR_ENTHALPY, IIR_ENTROPY = 200e3, 1e3


class Library:
    """CoolProp for one refrigerant, brought to the IIR reference state; counts what it refuses.

    `critical` spares the search for the critical point of a blend, which takes up to 15 s.
    """

    def __init__(self, source: Source, critical: tuple[float, float] | None = None) -> None:
        components, fractions = extract_fractions(source.fluid)
        self.is_mixture = len(components) > 1
        self.state = AbstractState("HEOS", "&".join(components))
        self.state.set_mole_fractions(fractions or [1.0])
        self.critical = critical or self._critical_point()
        self.gas_constant = self.state.gas_constant() / self.state.molar_mass()
        self.failed: list[str] = []
        self._neighbour: dict[int, Any] = {}
        self._known: dict[tuple[float, int], np.ndarray] = {}
        self.shift = np.zeros(5)
        saturated = self._saturation(ICE_POINT, 0)
        self.shift[3:] = saturated[3] - IIR_ENTHALPY, saturated[4] - IIR_ENTROPY

    def _critical_point(self) -> tuple[float, float]:
        """Temperature and pressure; a mixture model may find unstable points as well [K, Pa]."""
        if not self.is_mixture:
            return self.state.T_critical(), self.state.p_critical()
        stable = [point for point in self.state.all_critical_points() if point.stable]
        hottest = max(stable, key=lambda point: point.T)
        return hottest.T, hottest.p

    def _row(self) -> np.ndarray:
        s = self.state
        return np.array([s.p(), s.T(), s.rhomass(), s.hmass(), s.smass()]) - self.shift

    def saturation(self, temperature: float, quality: int) -> np.ndarray:
        """Pressure, temperature, density, enthalpy, entropy; NaN where the library fails."""
        key = float(temperature), quality
        if key not in self._known:
            self._known[key] = self._saturation(*key)
        return self._known[key]

    def _saturation(self, temperature: float, quality: int) -> np.ndarray:
        try:
            self.state.update(CoolProp.QT_INPUTS, quality, temperature)
        except ValueError:
            if not self._continue_from_neighbour(temperature, quality):
                self.failed.append(f"saturation at {temperature:.3f} K, quality {quality}")
                return np.full(5, np.nan)
        self._remember(quality)
        return self._row()

    def _remember(self, quality: int) -> None:
        if not self.is_mixture:
            return
        guess = PyGuessesStructure()
        guess.T, guess.p = self.state.T(), self.state.p()
        guess.rhomolar_liq = self.state.saturated_liquid_keyed_output(CoolProp.iDmolar)
        guess.rhomolar_vap = self.state.saturated_vapor_keyed_output(CoolProp.iDmolar)
        guess.x = self.state.mole_fractions_liquid()
        guess.y = self.state.mole_fractions_vapor()
        self._neighbour[quality] = guess

    def _continue_from_neighbour(self, temperature: float, quality: int) -> bool:
        guess = self._neighbour.get(quality)
        if guess is None:
            return False
        try:
            self.state.update_with_guesses(CoolProp.QT_INPUTS, quality, temperature, guess)
        except ValueError:
            return False
        return abs(self.state.T() - temperature) < 1e-6

    def single_phase(self, pressure: float, temperature: float, phase: str) -> np.ndarray:
        """The same five for a state away from saturation; NaN where the library fails."""
        imposed = CoolProp.iphase_gas if phase == "vapour" else CoolProp.iphase_liquid
        self.state.specify_phase(imposed)
        try:
            self.state.update(CoolProp.PT_INPUTS, pressure, temperature)
            return self._row()
        except ValueError:
            self.failed.append(f"{phase} at {pressure:.1f} Pa, {temperature:.3f} K")
            return np.full(5, np.nan)
        finally:
            self.state.unspecify_phase()

    def states(self, saturation: np.ndarray, departure: np.ndarray, phase: str) -> np.ndarray:
        """States at those saturation temperatures and departures from them; rows of five.

        States below the library's coldest temperature are left out: NaN, not counted as failures.
        """
        sign = 1.0 if phase == "vapour" else -1.0
        rows = np.full((saturation.size, 5), np.nan)
        for row, (kelvin, away) in enumerate(zip(saturation, departure, strict=True)):
            temperature = kelvin + sign * away
            if temperature >= self.state.Tmin():
                pressure = self.saturation(kelvin, QUALITIES[phase])[0]
                rows[row] = self.single_phase(pressure, temperature, phase)
        return rows


def chebyshev_nodes(low: float, high: float, count: int) -> np.ndarray:
    """Roots of the Chebyshev polynomial of that degree, mapped to low…high."""
    return low + (high - low) * 0.5 * (1.0 - np.cos(np.pi * (np.arange(count) + 0.5) / count))


def saturation_nodes(cold: float, hot: float, count: int) -> np.ndarray:
    """Nodes in 1/T, coldest first: continuing towards the critical point is what a mixture flash survives."""
    return 1.0 / chebyshev_nodes(1.0 / hot, 1.0 / cold, count)[::-1]


def scaled(x: np.ndarray, low: float, high: float) -> np.ndarray:
    """Map low…high to -1…1."""
    return (2.0 * x - low - high) / (high - low)


def to_powers(degree: int) -> np.ndarray:
    """Matrix that takes Chebyshev coefficients to powers, highest first."""
    columns = [np.pad(chebyshev.cheb2poly(row), (0, degree))[: degree + 1] for row in np.eye(degree + 1)]
    return np.array(columns).T[::-1]


def rounded(values: np.ndarray) -> Any:
    """Nested lists at 14 significant digits, so that a rerun elsewhere writes the same file."""
    if np.ndim(values):
        return [rounded(value) for value in values]
    return float(f"{values:.13e}")


def fit_curve(x: np.ndarray, y: np.ndarray, limits: tuple[float, float]) -> dict[str, Any]:
    """Least-squares polynomial of one variable."""
    low, high = sorted(limits)
    basis = chebyshev.chebvander(scaled(x, low, high), SATURATION_DEGREE)
    coefficients = np.linalg.lstsq(basis, y, rcond=None)[0]
    return {"range": [low, high], "coefficients": rounded(to_powers(SATURATION_DEGREE) @ coefficients)}


def limits_of(library: Library) -> tuple[float, float]:
    """Coldest and hottest saturation temperature of the tables [K]."""
    return COLDEST_SATURATION, library.critical[0] - NEAR_CRITICAL_MARGIN


def fit_edge(library: Library, quality: int) -> dict[str, Any]:
    """One edge of the two-phase region, both ways."""
    cold, hot = limits_of(library)
    ends = cold - EDGE, hot + EDGE
    temperature = np.array([ends[0], *saturation_nodes(*ends, SATURATION_NODES), ends[1]])
    pressure = np.array([library.saturation(kelvin, quality)[0] for kelvin in temperature])
    pressure_range = [float(pressure[0]), float(pressure[-1])]
    good = np.isfinite(pressure)
    inverse, log_pressure = 1.0 / temperature[good], np.log(pressure[good])
    log_range = tuple(np.log(pressure_range))
    return {
        "pressure_range": pressure_range,
        "inverse_temperature": fit_curve(log_pressure, inverse, log_range),
        "log_pressure": fit_curve(inverse, log_pressure, (1.0 / ends[0], 1.0 / ends[1])),
    }


def fit_phase(library: Library, phase: str, pressure_range: list[float]) -> dict[str, Any]:
    """Density, enthalpy and entropy of one phase."""
    cold, hot = limits_of(library)
    largest = DEPARTURES[phase]
    saturation = saturation_nodes(cold, hot, GRID[0])
    away = np.meshgrid(saturation, chebyshev_nodes(0.0, largest, GRID[1]), indexing="ij")
    departure = away[1].ravel()
    states = library.states(away[0].ravel(), departure, phase)
    good = np.isfinite(states[:, 0])
    pressure, temperature, density, enthalpy, entropy = states[good].T
    if phase == "vapour":
        density = pressure / (density * temperature * library.gas_constant)
        entropy = entropy + library.gas_constant * np.log(pressure)
    root = np.sqrt(np.log(library.critical[1] / pressure))
    root_range = sorted(float(r) for r in np.sqrt(np.log(library.critical[1] / np.array(pressure_range))))
    shifted = [float(np.sqrt(DEPARTURE_SHIFT)), float(np.sqrt(largest + DEPARTURE_SHIFT))]
    basis = chebyshev.chebvander2d(
        scaled(np.sqrt(departure[good] + DEPARTURE_SHIFT), *shifted),
        scaled(root, *root_range),
        [DEPARTURE_DEGREE, PRESSURE_DEGREE],
    )
    fitted = np.linalg.lstsq(basis, np.stack([density, enthalpy, entropy], axis=1), rcond=None)[0]
    tables = fitted.T.reshape(3, DEPARTURE_DEGREE + 1, PRESSURE_DEGREE + 1)
    powers = to_powers(DEPARTURE_DEGREE) @ tables @ to_powers(PRESSURE_DEGREE).T
    return {
        "largest_departure": largest,
        "pressure_root": {"range": root_range},
        "departure_root": {"range": shifted},
        **dict(zip(("density", "enthalpy", "entropy"), rounded(powers), strict=True)),
    }


def holes(library: Library) -> dict[str, list[list[float]]]:
    """Saturation temperatures at which the library's own flash fails, by edge [K]."""
    return {edge: holes_of_edge(library, quality) for edge, quality in EDGES.items()}


def holes_of_edge(library: Library, quality: int) -> list[list[float]]:
    """Intervals around the failures, joined where they touch; cut off at the ends of the tables."""
    cold, hot = limits_of(library)
    found: list[list[float]] = []
    for kelvin in np.arange(cold, hot, HOLE_STEP) if library.is_mixture else ():
        if flash_fails(library.state, quality, kelvin):
            low, high = max(cold, kelvin - HOLE_MARGIN), min(hot, kelvin + HOLE_MARGIN)
            if found and low <= found[-1][1]:
                low = found.pop()[0]
            found.append([round(float(low), 2), round(float(high), 2)])
    return found


def flash_fails(state: AbstractState, quality: int, kelvin: float) -> bool:
    """Whether the library refuses a saturation state asked without a first guess."""
    try:
        state.update(CoolProp.QT_INPUTS, quality, kelvin)
    except ValueError:
        return True
    return False


def random_saturations(library: Library, region: str) -> np.ndarray:
    """Saturation temperatures at which the fit is judged, none of them a node, coldest first [K]."""
    ends = {
        "claimed": (CLAIMED_COLDEST, library.critical[0] - CLAIMED_MARGIN),
        "near_critical": (library.critical[0] - CLAIMED_MARGIN, library.critical[0] - NEAR_CRITICAL_MARGIN),
        "below_claimed": (COLDEST_SATURATION, CLAIMED_COLDEST),
    }
    return np.sort(np.random.default_rng(SEED).uniform(*ends[region], RANDOM_STATES))


def edge_errors(library: Library, kit: Refrigerant, kelvin: np.ndarray) -> Iterator[tuple[str, float]]:
    """Largest saturation errors both ways, pressures expressed as temperature [K]."""
    for edge, quality in EDGES.items():
        pressure = np.array([library.saturation(t, quality)[0] for t in kelvin])
        forward = getattr(kit, f"{edge}_temperature")(pressure) - kelvin
        slope = np.array([library.saturation(t + 0.01, quality)[0] for t in kelvin]) - pressure
        backward = (getattr(kit, f"{edge}_pressure")(kelvin) - pressure) / slope * 0.01
        yield f"{edge}_temperature", float(np.nanmax(np.abs(forward)))
        yield f"{edge}_pressure", float(np.nanmax(np.abs(backward)))


def phase_errors(library: Library, kit: Refrigerant, kelvin: np.ndarray) -> Iterator[tuple[str, float]]:
    """Largest errors: fraction of density, of latent heat, of latent entropy."""
    latent = kit.latent_heat(kelvin)
    for phase, largest in DEPARTURES.items():
        departure = np.random.default_rng(SEED + 1).uniform(0.0, largest, kelvin.size)
        pressure, temperature, density, enthalpy, entropy = library.states(kelvin, departure, phase).T
        found = getattr(kit, phase)(pressure, temperature)
        yield f"{phase}_density", float(np.nanmax(np.abs(found.density / density - 1.0)))
        yield f"{phase}_enthalpy", float(np.nanmax(np.abs(found.enthalpy - enthalpy) / latent))
        yield f"{phase}_entropy", float(np.nanmax(np.abs(found.entropy - entropy) * kelvin / latent))


def measured_errors(library: Library, record: dict[str, Any]) -> dict[str, dict[str, float]]:
    """Largest error of each quantity, region by region, at two digits."""
    kit = from_record(record)
    errors: dict[str, dict[str, float]] = {}
    for region in ("claimed", "near_critical", "below_claimed"):
        kelvin = random_saturations(library, region)
        found = [*edge_errors(library, kit, kelvin), *phase_errors(library, kit, kelvin)]
        errors[region] = {quantity: float(f"{error:.1e}") for quantity, error in found}
    return errors


def fit(source: Source) -> dict[str, Any]:
    """The file's entry for one refrigerant."""
    library = Library(source)
    record: dict[str, Any] = dict(vars(source))
    record |= {
        "critical_temperature": library.critical[0],
        "critical_pressure": library.critical[1],
        "gas_constant": library.gas_constant,
        "coldest": library.state.Tmin(),
        "temperature_range": list(limits_of(library)),
        "max_error": {},
        "failed_points": [],
        "holes": holes(library),
    }
    for edge, quality in EDGES.items():
        record[edge] = fit_edge(library, quality)
    for phase, edge in {"liquid": "bubble", "vapour": "dew"}.items():
        record[phase] = fit_phase(library, phase, record[edge]["pressure_range"])
    record["failed_points"] = sorted(set(library.failed))
    record["max_error"] = measured_errors(library, record)
    return record


def content_sha256(refrigerants: dict[str, Any]) -> str:
    """Hex sha256 of the entries in canonical JSON."""
    text = json.dumps(refrigerants, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def regenerate() -> None:
    """Fit every source and write the file; the date changes only when the content does."""
    path = data_path("refrigerants.json")
    refrigerants = {source.name: fit(source) for source in SOURCES}
    digest = content_sha256(refrigerants)
    if path.is_file() and json.loads(path.read_text("utf-8"))["sha256"] == digest:
        return
    file = {
        "library": "CoolProp",
        "library_version": CoolProp.__version__,
        "date": datetime.date.today().isoformat(),
        "sha256": digest,
        "refrigerants": refrigerants,
    }
    path.write_text(json.dumps(file, indent=0, ensure_ascii=False) + "\n", "utf-8")
