"""Airflow of one condition by each way that the readings allow, each with its own band and basis.

A way that the readings would allow but that cannot be taken is told with the reason, as an `Unused`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import AirStates
from hvaccalc.diagnosis.air.fan_data import Known, backwards, fan_curve, known_points
from hvaccalc.diagnosis.air.reconcile import Method
from hvaccalc.diagnosis.circuits import circuit_state
from hvaccalc.diagnosis.readings import compressors, instruments
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where
from hvaccalc.diagnosis.readings.signs import ice, obstructions, sign
from hvaccalc.equipment.fan import fan_laws
from hvaccalc.physics import moist_air
from hvaccalc.practice.air import (
    BACKWARDS,
    CAPACITY_CLOSURE,
    CLEAN_CHANGE,
    COIL_EXPONENT,
    CURVE_SPREAD,
    DUCT_AREA_SPREAD,
    FILTER_EXPONENT,
    FULL_SPEED_AIRFLOW,
    HELD_BACK,
    LEAST_RISE,
    MOST_AIR_MISSING,
    SYSTEM_CHANGE,
    SYSTEM_EFFECT,
    UNKNOWN_CHANGE,
)

FLOW_BASES = {
    "rating": ("rule of thumb", " (flow by sound compressors of the rated size)"),
    "map": ("computed", " (flow by the compressor's map)"),
    "read": ("measured", ""),
}
"""Basis and words of the enthalpy method by the origin of its refrigerant flow; the weakest first."""


@dataclass(frozen=True, slots=True)
class Unused:
    """A method whose readings are there but that gives nothing, and why."""

    name: str
    why: str


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the methods work from."""

    draws: Draws
    states: AirStates
    ratio: Datum | None
    volume: Array
    known: list[Known]

    @property
    def where(self) -> Where:
        """The condition."""
        return self.states.where

    def column(self, key: str) -> Array | None:
        """Draws behind a reading of the condition's air."""
        return self.draws.column(self.where, key)


def methods(
    draws: Draws, states: AirStates, ratio: Datum | None, volume: Array
) -> tuple[list[Method], list[Unused]]:
    """Every method that the readings carry, and those that fail.

    Parameters
    ----------
    ratio : Datum or None
        Fan speed over full speed.
    volume : ndarray
        Return air for each kilogram of dry air [m3/kg].
    """
    evidence = Evidence(draws, states, ratio, volume, known_points(draws, volume))
    given: list[Method] = []
    unused: list[Unused] = []
    for way in (reading, traverse, heat_rise, enthalpy, coil_drop, filter_drop, fan_curve_point, fan_law):
        for found in way(evidence):
            if isinstance(found, Unused):
                unused.append(found)
            elif _usable(found.flow):
                given.append(found)
            else:
                unused.append(Unused(found.name, "the readings lie outside what the method can tell"))
    return given, unused


def _usable(flow: Array) -> bool:
    with np.errstate(invalid="ignore"):
        good = np.isfinite(flow) & (flow > 0.0)
    return bool(good[0] and np.mean(~good[1:]) <= MOST_AIR_MISSING)


def reading(e: Evidence) -> Iterator[Method | Unused]:
    """Read directly, by traverse, hood or nozzle."""
    column, typed = e.column("airflow"), e.draws.reading(e.where, "airflow")
    if column is None or typed is None:
        return
    if column[0] <= 0.0:
        yield Unused("reading", "no airflow was read")
        return
    standard = typed.quantity.standard
    flow = column * units.STANDARD_AIR_DENSITY * e.volume if standard else column
    yield Method("reading", flow, "measured", "as read" + (", from standard air" if standard else ""))


def traverse(e: Evidence) -> Iterator[Method | Unused]:
    """Mean of the velocities of a traverse times the area it was read over."""
    table = e.draws.condition(e.where).air.traverse
    if table is None or (e.where, "traverse") in e.draws.excluded:
        return
    area = table.area.value if table.area is not None else _duct_area(e)
    if area is None:
        yield Unused("traverse", "the area it was read over is missing (traverse.area or duct_area)")
        return
    mean = float(np.mean([v.quantity.value for v in table.velocities]))
    named = next((v for v in table.velocities if v.instrument is not None), None)
    velocity = instruments.true_values(
        e.draws.ensemble,
        f"{e.where.path}/traverse",
        "traverse",
        units.parse(f"{mean:.12g} m/s", "velocity"),
        e.draws.instrument(named) if named is not None else None,
    )
    flow = velocity * area * e.draws.ensemble.normal(f"area/{e.where.path}", 1.0, DUCT_AREA_SPREAD)
    yield Method("traverse", flow, "measured", f"mean of {table.counted} times the area")


def _duct_area(e: Evidence) -> float | None:
    typed = e.draws.quantity(e.where, "duct_area")
    return None if typed is None else typed.value


def heat_rise(e: Evidence) -> Iterator[Method | Unused]:
    """A known heat over the temperature that it raises, with nothing cooling."""
    heat, back, supply = e.column("electric_heat"), e.states.entering, e.states.supply_air
    if heat is None or heat[0] <= 0.0 or back is None or supply is None:
        return
    if any(compressors.runs(e.draws, e.where.at(name)) for name in e.draws.job.circuit):
        yield Unused("heat_rise", "a compressor ran while the heater was on")
        return
    rise = supply.dry_bulb - back.dry_bulb
    if rise[0] < LEAST_RISE:
        yield Unused("heat_rise", "the air is hardly warmed")
        return
    capacity = moist_air.heat_capacity(np.where(back.humid, back.humidity_ratio, 0.008))
    dry = _dry_air(e, heat, capacity * np.where(rise > 0.0, rise, np.nan), fan_sign=1.0)
    yield Method("heat_rise", dry * e.volume, "measured", "electric heat over its temperature rise")


def enthalpy(e: Evidence) -> Iterator[Method | Unused]:
    """Refrigerant-side capacity over the drop of the air's enthalpy."""
    circuits = compressors.running_circuits(e.draws, e.where)
    read = any(e.draws.condition(e.where).circuit.get(name) for name in circuits)
    origins = {circuit_state.flow_from(e.draws, e.where.at(name)) for name in circuits}
    back, supply = e.states.entering, e.states.supply_air
    if not read or compressors.heating(e.draws, e.where):
        return
    # Who typed pressures alone did not ask for this method: what lacks is told where flow or map was given.
    asked = origins != {"rating"}
    if back is None or supply is None or not (back.humid and supply.humid):
        if asked:
            yield Unused("enthalpy", "the humidity of return and supply air is missing")
        return
    heat = np.zeros_like(e.volume)
    for name in circuits:
        taken = circuit_state.heat(e.draws, e.where.at(name))
        if taken is None:
            if asked:
                yield Unused("enthalpy", f"pressures or temperatures of circuit {name} are missing")
            return
        heat = heat + taken
    water = back.humidity_ratio - supply.humidity_ratio
    drop = back.enthalpy - supply.enthalpy - water * moist_air.liquid_water_enthalpy(supply.dry_bulb)
    heat = heat * e.draws.ensemble.normal("closure", 1.0, CAPACITY_CLOSURE)
    dry = _dry_air(e, heat, np.where(drop > 0.0, drop, np.nan), fan_sign=-1.0)
    basis, by = next(FLOW_BASES[origin] for origin in FLOW_BASES if origin in origins)
    note = f"refrigerant-side capacity{by} over the air's drop in enthalpy"
    yield Method("enthalpy", dry * e.volume, basis, note)


def _dry_air(e: Evidence, heat: Array, for_each: Array, fan_sign: float) -> Array:
    """Dry air [kg/s] that gives or takes `heat` [W] at `for_each` [J/kg], the fan's heat reckoned in.

    Supply air read after the fan carries the fan's heat: it adds to a heater's, and takes from a coil's.
    """
    if not e.states.after_fan:
        return heat / for_each
    read = e.column("fan_power")
    if read is not None:
        return (heat + fan_sign * read) / for_each
    specific = e.draws.rated_fan_power.draws / e.draws.job.unit.rated_airflow.value
    return heat / (for_each - fan_sign * specific * e.volume)


def coil_drop(e: Evidence) -> Iterator[Method | Unused]:
    """Coil pressure drop scaled from a known point."""
    if e.column("coil_pressure_drop") is not None and (iced := ice(e.draws, e.where)):
        yield Unused("coil_drop", f"ice on {' and '.join(iced)}: the known point had none")
        return
    spread = UNKNOWN_CHANGE if _dirty(e, "coil_face", ("dirty", "bent")) else CLEAN_CHANGE
    yield from _drop(e, "coil", COIL_EXPONENT, spread)


def filter_drop(e: Evidence) -> Iterator[Method | Unused]:
    """Filter pressure drop scaled from a known point."""
    if e.column("filter_pressure_drop") is None:
        return
    clean = e.draws.condition(e.where).filters_clean == "yes" or "clean" in sign(e.draws, e.where, "filters")
    if e.draws.condition(e.where).filters_clean == "no" or _dirty(e, "filters", ("loaded", "wet", "missing")):
        yield Unused("filter_drop", "the filters are not as clean as at the known point")
        return
    yield from _drop(e, "filter", FILTER_EXPONENT, CLEAN_CHANGE if clean else UNKNOWN_CHANGE)


def _drop(e: Evidence, part: str, exponents: tuple[float, float], spread: float) -> Iterator[Method | Unused]:
    name, drop = f"{part}_drop", e.column(f"{part}_pressure_drop")
    if drop is None:
        return
    points = [(k, getattr(k, f"{part}_drop")) for k in e.known]
    points = [(k, then) for k, then in points if then is not None]
    if not points:
        yield Unused(name, f"no known point with a {part} pressure drop to scale from (unit.fan.known)")
        return
    if drop[0] <= 0.0 or all(then[0] <= 0.0 for _, then in points):
        yield Unused(name, "no pressure drop was read")
        return
    with np.errstate(invalid="ignore", divide="ignore"):
        known, then = min(points, key=lambda p: abs(np.log(drop[0] / p[1][0])))
        change = np.exp(e.draws.ensemble.normal(f"{part} change/{e.where.path}", 0.0, spread))
        share = np.where((drop > 0.0) & (then > 0.0), drop / then * change, np.nan)
        power = 1.0 / e.draws.ensemble.uniform(f"{part} exponent", *exponents)
        flow = known.flow * share**power
    yield Method(name, flow, "computed", f"{part} pressure drop scaled from the known point")


def _dirty(e: Evidence, name: str, words: tuple[str, ...]) -> bool:
    return bool(set(sign(e.draws, e.where, name)) & set(words))


def fan_curve_point(e: Evidence) -> Iterator[Method | Unused]:
    """Where the fan's printed curve makes the static that was read, at the speed that was read."""
    typed, static = bool(e.draws.job.unit.fan.curve), e.column("external_static")
    if not typed or static is None:
        return
    curve = fan_curve(e.draws.job)
    if curve is None:
        yield Unused("fan_curve", "it takes two points with static, at speeds that compare with full speed")
        return
    if e.ratio is None:
        yield Unused("fan_curve", "the fan's speed was not read")
        return
    ensemble = e.draws.ensemble
    effect = ensemble.uniform("system effect", *SYSTEM_EFFECT)
    density = fan_laws.density_ratio(e.states.barometer.draws)
    flow = curve.flow_at(static / (1.0 - effect), e.ratio.draws, density)
    if not _usable(flow):
        yield Unused("fan_curve", "the point of speed and static lies outside the typed curve")
        return
    spread = ensemble.normal("fan curve", 1.0, CURVE_SPREAD)
    note = "the fan's curve at the speed and static read, with system effect"
    yield Method("fan_curve", flow * spread, "computed", note)


def fan_law(e: Evidence) -> Iterator[Method | Unused]:
    """Airflow in proportion to speed, from a known point or else from the rating."""
    if e.ratio is None:
        return
    points = [k for k in e.known if k.speed]
    if points and (seen := obstructions(e.draws, e.where)):
        yield Unused("fan_law", f"the known point had nothing in the air's way; seen here: {', '.join(seen)}")
        return
    if points:
        yield _from_known(e, e.ratio)
        return
    yield _held_back(e.draws, e.where, fan_law_from_rating(e.draws, e.ratio))


def _from_known(e: Evidence, ratio: Datum) -> Method:
    """Flow in proportion to speed from the known point whose speed is nearest."""
    share = float(ratio.draws[0])
    points = [(speed, k.flow) for k in e.known if (speed := k.speed)]
    speed, flow = min(points, key=lambda point: abs(np.log(max(share, 1e-6) / point[0])))
    change = e.draws.ensemble.normal(f"system change/{e.where.path}", 1.0, SYSTEM_CHANGE)
    flow = flow * ratio.draws / speed * change
    return Method("fan_law", flow, "computed", "fan law from the known point (flow follows speed)")


def held_back(draws: Draws, states: AirStates, ratio: Datum, volume: Array) -> Method:
    """What an airflow that nothing tells may be: a share of the fan law's from the known point."""
    evidence = Evidence(draws, states, ratio, volume, known_points(draws, volume))
    return _held_back(draws, states.where, _from_known(evidence, ratio))


def _held_back(draws: Draws, where: Where, method: Method) -> Method:
    """The fan law knows clean filters and coils; what was seen in the way takes an unknown share."""
    seen = obstructions(draws, where)
    if not seen:
        return method
    span = BACKWARDS if backwards(draws, where) else HELD_BACK
    share = draws.ensemble.uniform(f"held back/{where.path}", *span)
    low, high = (f"{100.0 * end:.0f}" for end in span)
    note = f"{method.note}, and {low} to {high} % of that for what was seen: {', '.join(seen)}"
    return replace(method, flow=method.flow * share, note=note)


def fan_law_from_rating(draws: Draws, ratio: Datum) -> Method:
    """Flow in proportion to speed with field experience of the flow at full speed."""
    mean, sd = FULL_SPEED_AIRFLOW
    # One unit has one airflow at full speed: the same draw in all its conditions.
    factor = np.maximum(draws.ensemble.normal("full speed airflow", mean, sd), 0.2)
    flow = factor * draws.job.unit.rated_airflow.value * ratio.draws
    note = "fan law from the rated airflow (flow proportional to speed; 0.93 of rated at full speed)"
    return Method("fan_law", flow, "rule of thumb", note)
