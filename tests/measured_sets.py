"""The published measurements in ``data/measured``: what they should give, what the package makes of them."""

import csv
from collections.abc import Iterator
from functools import cache

from scipy.constants import Btu, hour, pound, zero_Celsius

from hvaccalc import analyse, load_job
from hvaccalc.analysis import Analysis
from hvaccalc.findings import Finding
from hvaccalc.job.visit_tables import Condition
from hvaccalc.resources import data_path

BTU_PER_HOUR = Btu / hour  # [W]
BTU_PER_POUND = Btu / pound  # [J/kg]
DEGREE = 5 / 9  # [K]


def fahrenheit(kelvin: float) -> float:
    """Temperature [°F]."""
    return (kelvin - zero_Celsius) * 1.8 + 32.0


def outcome(name: str) -> dict[str, dict[str, float]]:
    """Rows of ``NAME_outcome.csv`` by condition; blank cells are left out."""
    lines = data_path("measured", f"{name}_outcome.csv").read_text("utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return {row.pop("condition"): {key: float(value) for key, value in row.items() if value} for row in rows}


@cache
def analysis(name: str) -> Analysis:
    """``NAME.toml`` through `load_job` and `analyse`."""
    return analyse(load_job(data_path("measured", f"{name}.toml")))


def conditions(name: str) -> Iterator[tuple[tuple[int, int], Condition]]:
    """Every condition with its visit and number, both from 1."""
    for v, visit in enumerate(analysis(name).job.visit, 1):
        for c, condition in enumerate(visit.condition, 1):
            yield (v, c), condition


@cache
def found(name: str) -> dict[str, dict[str, Finding]]:
    """Findings by condition's label and key."""
    labels = {place: condition.label for place, condition in conditions(name)}
    by_label: dict[str, dict[str, Finding]] = {label: {} for label in labels.values()}
    for finding in analysis(name).findings:
        if finding.condition is not None:
            by_label[labels[finding.visit, finding.condition]][finding.key] = finding
    return by_label


def chamber_values(label: str) -> dict[str, float]:
    """The package's values for a condition of the chamber set, under its outcomes' names and units."""
    here = found("chamber")[label]
    sensible, total = (here[f"capacity.{part}"].value / BTU_PER_HOUR for part in ("sensible", "total"))
    return {
        "sensible_capacity_btu_per_hour": sensible,
        "latent_capacity_btu_per_hour": total - sensible,
        "net_total_capacity_btu_per_hour": total,
        "sensible_heat_ratio": sensible / total,
        **_circuit_values(here),
    }


def field_values(label: str) -> dict[str, float]:
    """The package's values for a condition of the field set, under its outcomes' names and units."""
    here = found("field")[label]
    return {**_circuit_values(here), "air_side_cooling_kw": here["capacity.total"].value / 1000.0}


def _circuit_values(here: dict[str, Finding]) -> dict[str, float]:
    saturations = ("suction_saturation", "condensing_saturation")
    return {
        **{f"{key}_degf": fahrenheit(here[f"circuit.{key}"].value) for key in saturations},
        **{f"{key}_degf": here[f"circuit.{key}"].value / DEGREE for key in ("superheat", "subcooling")},
    }
