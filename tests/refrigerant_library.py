"""CoolProp asked directly, state by state, for the checks of the refrigerant tables.

No first guesses and no continuation: where a blend's flash fails the row is NaN, and the checks hold
such a state against the holes recorded in the file. Nothing here comes from the generator.
"""

from dataclasses import dataclass
from functools import cache
from typing import Any

import CoolProp
import numpy as np

from hvaccalc.physics.refrigerant import refrigerant

FLUIDS = {
    "R-22": "R22",
    "R-32": "R32",
    "R-134a": "R134a",
    "R-404A": "R404A",
    "R-407C": "R407C",
    "R-410A": "R410A",
    "R-448A": "R448A.mix",
    "R-449A": "R449A.mix",
    "R-452B": "R452B.mix",
    "R-454B": "R32&R1234yf",
    "R-513A": "R513A.mix",
}
"""The library's own compositions of the blends; R-454B's by moles is below."""
MOLES = {"R-454B": [0.829, 0.171]}
MIXTURES = tuple(name for name in FLUIDS if name in MOLES or FLUIDS[name].endswith(".mix"))
QUALITY = {"bubble": 0, "dew": 1}
EDGE_OF = {"liquid": "bubble", "vapour": "dew"}
FURTHEST = {"liquid": 30.0, "vapour": 80.0}
IMPOSED = {"liquid": CoolProp.iphase_liquid, "vapour": CoolProp.iphase_gas}
COLDEST = 233.15  # -40 °C [K]
LIMITS = {"temperature": 0.01, "pressure": 0.01, "density": 1e-3, "enthalpy": 1e-3, "entropy": 1e-3}
"""The promise: [K], a pressure as the temperature it amounts to; fraction of density, latent heat,
latent entropy. For blends with glide 0.05 K would do; the fit keeps 0.01 K."""


def library_state(name: str) -> CoolProp.AbstractState:
    """The library's state object of a refrigerant."""
    state = CoolProp.AbstractState("HEOS", FLUIDS[name])
    if name in MOLES:
        state.set_mole_fractions(MOLES[name])
    return state


def ask(name: str, phase: Any, first, second) -> np.ndarray:
    """Pressure, density, enthalpy, entropy: `phase` None asks for quality, temperature; NaN where refused."""
    state = library_state(name)
    state.update(CoolProp.QT_INPUTS, 0, 273.15)
    shift = np.array([0.0, 0.0, state.hmass() - 200e3, state.smass() - 1e3])
    if phase is not None:
        state.specify_phase(phase)
    kind = CoolProp.QT_INPUTS if phase is None else CoolProp.PT_INPUTS
    rows = []
    for one, other in zip(*np.broadcast_arrays(first, second), strict=True):
        try:
            state.update(kind, one, other)
            rows.append((state.p(), state.rhomass(), state.hmass(), state.smass()))
        except ValueError:
            rows.append((np.nan,) * 4)
    return np.array(rows).T - shift[:, None]


@dataclass(frozen=True)
class Saturations:
    """Random temperatures and both edges there; `slope` is dp/dT of the dew edge [Pa/K]."""

    temperature: np.ndarray
    edges: dict[str, np.ndarray]
    slope: np.ndarray

    @property
    def latent(self) -> np.ndarray:
        """Enthalpy of dew less that of bubble [J/kg]."""
        return self.edges["dew"][2] - self.edges["bubble"][2]


@cache
def saturations(name: str, count: int, seed: int) -> Saturations:
    """Random temperatures from -40 °C to 10 K below the table's critical temperature."""
    hot = refrigerant(name).critical_temperature - 10.0
    temperature = np.random.default_rng(seed).uniform(COLDEST, hot, count)
    edges = {edge: ask(name, None, quality, temperature) for edge, quality in QUALITY.items()}
    # 0.01 K would be lost in a blend's flash, which converges to about 1e-9.
    slope = (ask(name, None, 1, temperature + 0.1)[0] - edges["dew"][0]) / 0.1
    return Saturations(temperature, edges, slope)


def differences(name: str, count: int, seed: int) -> dict[str, np.ndarray]:
    """Tables less library over random states, in the units of `LIMITS`; NaN where the library refused."""
    states, kit = saturations(name, count, seed), refrigerant(name)
    found: dict[str, np.ndarray] = {}
    for edge, rows in states.edges.items():
        found[f"{edge} temperature"] = getattr(kit, f"{edge}_temperature")(rows[0]) - states.temperature
        pressure = getattr(kit, f"{edge}_pressure")(states.temperature)
        found[f"{edge} pressure"] = (pressure - rows[0]) / states.slope
    for phase, edge in EDGE_OF.items():
        saturated = getattr(kit, f"saturated_{phase}")(states.temperature)
        found |= _of_properties(f"saturated {phase}", states, saturated, states.edges[edge][1:])
        away = np.random.default_rng(seed + 1).uniform(0.01, FURTHEST[phase], count)
        temperature = states.temperature + (away if phase == "vapour" else -away)
        rows = ask(name, IMPOSED[phase], states.edges[edge][0], temperature)
        found |= _of_properties(phase, states, getattr(kit, phase)(rows[0], temperature), rows[1:])
    return found


def _of_properties(title: str, states: Saturations, found, rows: np.ndarray) -> dict[str, np.ndarray]:
    density, enthalpy, entropy = rows
    return {
        f"{title} density": found.density / density - 1.0,
        f"{title} enthalpy": (found.enthalpy - enthalpy) / states.latent,
        f"{title} entropy": (found.entropy - entropy) * states.temperature / states.latent,
    }


def limit(quantity: str) -> float:
    """The promise for one of the quantities of `differences`."""
    return LIMITS[quantity.rsplit(" ", 1)[-1]]


def refused(name: str, count: int, seed: int) -> dict[str, np.ndarray]:
    """Temperatures at which the library gave no saturation, by edge [K]."""
    states = saturations(name, count, seed)
    return {edge: states.temperature[np.isnan(rows[0])] for edge, rows in states.edges.items()}


def outside_holes(name: str, edge: str, temperature: np.ndarray) -> np.ndarray:
    """Those temperatures that lie in none of the recorded holes [K]."""
    holes = refrigerant(name).holes[edge]
    inside = [(temperature >= low) & (temperature <= high) for low, high in holes]
    return temperature[~np.any(inside, axis=0)] if inside else temperature
