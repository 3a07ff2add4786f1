"""A unit from its rating: every constant in closed form, so that the rated point is a solution."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.equipment.circuit import balance_terms, circuit_balance, condenser
from hvaccalc.equipment.circuit.balance_terms import Constants, Kind
from hvaccalc.equipment.circuit.compressor import (
    PEAK_ISENTROPIC,
    PEAK_PRESSURE_RATIO,
    VOLUMETRIC_SLOPE,
    CompressorMap,
    corrected,
    isentropic_efficiency,
    volumetric_efficiency,
)
from hvaccalc.equipment.circuit.refrigerant_curves import Curves, curves
from hvaccalc.equipment.coil import cooling_coil as coils
from hvaccalc.equipment.unit.unit_state import GAS_FILM_RESISTANCE, Circuit, UnitConstants, UnitRating
from hvaccalc.physics.moist_air import CP_DRY, CP_VAPOUR
from hvaccalc.practice.plates import RATED_CONDENSING_OVER_OUTDOOR

HIGHEST_CONDENSING, BELOW_CRITICAL, LOWEST_SUCTION = 339.0, 6.0, 233.15


@dataclass(frozen=True)
class _Point:
    """A circuit's refrigerant at the rating; arrays (D,)."""

    fluid: Curves
    dew: Array
    superheat: Array
    condensing: Array
    loss: Array
    root: Array
    inlet_enthalpy: Array
    liquid: Array
    liquid_enthalpy: Array
    flow: Array
    gas_heat: Array


@np.errstate(all="ignore")
def from_rating(rating: UnitRating) -> UnitConstants:
    """Constants of the unit that has a rating.

    Parameters
    ----------
    rating : UnitRating

    Returns
    -------
    UnitConstants

    Raises
    ------
    ValueError
        Unknown circuiting, air path, device or refrigerant, or shares that do not sum to 1.
    """
    _check(rating)
    r = _columns(rating)
    shares = np.stack(
        [np.broadcast_to(np.asarray(c.capacity_share, float), r["pressure"].shape) for c in rating.circuits]
    )
    gross = r["net_capacity"] + r["fan_power"]
    points = [
        _point(circuit, r, share * gross) for circuit, share in zip(rating.circuits, shares, strict=True)
    ]
    coil, dry, gas_conductance = _coil(rating, r, points, gross)
    columns = [
        _constants(circuit, point, r, share * gas_conductance, share * gross, dry)
        for circuit, point, share in zip(rating.circuits, points, shares, strict=True)
    ]
    constants = Constants(*(np.stack(x) for x in zip(*(c[0] for c in columns), strict=True)))
    return UnitConstants(
        kind=Kind(
            tuple(p.fluid for p in points),
            tuple(c.compressor_map for c in rating.circuits),
        ),
        circuits=constants,
        coil=coil,
        part=shares,
        reserve=np.stack([c[1] for c in columns]),
        restriction=np.stack([c[2] for c in columns]),
        start=np.stack([c[3] for c in columns], axis=1),
        circuiting=np.broadcast_to(np.asarray(rating.circuiting), r["pressure"].shape),
        air_path=rating.air_path,
        reference={
            "dry_bulb": r["coil_dry_bulb"],
            "humidity_ratio": r["humidity_ratio"],
            "outdoor_dry_bulb": r["outdoor_dry_bulb"],
            "fan_per_flow": r["fan_power"] / r["dry_air_flow"],
        },
        reason=coil.reason,
    )


def _check(rating: UnitRating) -> None:
    for word in np.unique(rating.circuiting):
        if word not in coils.CIRCUITINGS:
            raise ValueError(f"circuiting {str(word)!r}: one of {', '.join(coils.CIRCUITINGS)}")
    if rating.air_path not in ("draw through", "blow through"):
        raise ValueError(f"air path {rating.air_path!r}: draw through or blow through")
    for circuit in rating.circuits:
        for word in np.unique(circuit.metering):
            if word not in circuit_balance.KINDS:
                raise ValueError(f"metering {str(word)!r}: one of {', '.join(circuit_balance.KINDS)}")
    total = sum(np.asarray(c.capacity_share, float) for c in rating.circuits)
    if not np.allclose(total, 1.0, atol=1e-6):
        raise ValueError(f"capacity shares sum to {np.ravel(total)[0]:g}, not 1")


def _columns(rating: UnitRating) -> dict[str, Array]:
    """Numbers of the rating as arrays of one length; the air as it reaches the coil."""
    names = [
        name
        for name, value in vars(rating).items()
        if name not in ("circuits", "circuiting", "air_path") and value is not None
    ]
    extra = [
        x
        for c in rating.circuits
        for name, x in vars(c).items()
        if x is not None and name != "metering" and not isinstance(x, (str, dict, CompressorMap))
    ]
    arrays = [np.atleast_1d(np.asarray(getattr(rating, n), float)) for n in names]
    size = np.broadcast_shapes(
        *(x.shape for x in arrays), *(np.shape(x) for x in (rating.circuiting, *extra))
    )
    columns: dict[str, Array] = {n: np.broadcast_to(x, size) for n, x in zip(names, arrays, strict=True)}
    capacity = columns["dry_air_flow"] * (CP_DRY + CP_VAPOUR * columns["humidity_ratio"])
    rise = columns["fan_power"] / capacity if rating.air_path == "blow through" else 0.0
    columns["coil_dry_bulb"] = columns["dry_bulb"] + rise
    columns["air_capacity"] = capacity
    return columns


def _wide(value: ArrayLike | None, default: ArrayLike, r: dict[str, Array]) -> Array:
    return np.broadcast_to(np.asarray(default if value is None else value, float), r["pressure"].shape)


def _point(circuit: Circuit, r: dict[str, Array], heat: Array) -> _Point:
    fluid = curves(circuit.refrigerant)
    dew, superheat = r["suction_saturation"], r["superheat"]
    condensing = _wide(
        circuit.condensing_saturation, r["outdoor_dry_bulb"] + RATED_CONDENSING_OVER_OUTDOOR[0], r
    )
    loss = _wide(circuit.suction_line_loss, 0.0, r)
    inlet = fluid.vapour(dew - loss, superheat + loss)
    ten_above = fluid.vapour(dew, np.full_like(dew, 10.0)).enthalpy
    at_dew = fluid.evaporator(dew)
    root = fluid.root(condensing)
    subcooling = _wide(circuit.subcooling, 0.0, r)
    liquid = fluid.condenser(root).bubble_temperature - subcooling
    enthalpy = fluid.liquid_enthalpy(root, subcooling)
    flow = heat / (inlet.enthalpy - enthalpy)
    capacity = flow * (ten_above - at_dew.vapour_enthalpy) / 10.0
    return _Point(
        fluid, dew, superheat, condensing, loss, root, inlet.enthalpy, liquid, enthalpy, flow,
        capacity / np.exp(at_dew.log_vapour_density),
    )  # fmt: skip


def _coil(
    rating: UnitRating, r: dict[str, Array], points: list[_Point], gross: Array
) -> tuple[coils.Coil, Array, Array]:
    """The whole coil, its superheated share at rating, air-to-gas conductance of all circuits [W/K].

    The boiling part alone is calibrated, on the air behind the superheated zone; fins and conductance then
    follow by its share. As the gas's heat capacity rate is shared like the conductance, one share serves all.
    """
    gas = sum(p.flow * (p.inlet_enthalpy - p.fluid.evaporator(p.dew).vapour_enthalpy) for p in points)
    latent = (1.0 - r["sensible_ratio"]) * r["net_capacity"]
    total = gross - gas
    boiling = coils.calibrate(
        coils.Rating(
            total=total,
            sensible_ratio=(total - latent) / total,
            dry_air_flow=r["dry_air_flow"],
            dry_bulb=r["coil_dry_bulb"] - gas / r["air_capacity"],
            humidity_ratio=r["humidity_ratio"],
            pressure=r["pressure"],
            suction_saturation=r["suction_saturation"],
        ),
        fin_efficiency=r["fin_efficiency"],
        film_exponent=r["film_exponent"],
    )
    inside = boiling.resistance - boiling.fin_resistance
    air = 1.0 / (boiling.ntu * r["air_capacity"])
    conductance = 1.0 / (air + boiling.fin_resistance + GAS_FILM_RESISTANCE * inside)
    rate = sum(p.gas_heat * np.exp(p.fluid.evaporator(p.dew).log_vapour_density) for p in points)
    need = -np.log1p(-r["superheat"] / (r["coil_dry_bulb"] - r["suction_saturation"]))
    ratio = need * rate / conductance
    dry = ratio / (1.0 + ratio)
    whole = coils.Coil(
        boiling.ntu / (1.0 - dry),
        boiling.resistance * (1.0 - dry),
        boiling.fin_resistance * (1.0 - dry),
        boiling.rated_dry_air_flow,
        boiling.film_exponent,
        boiling.reason,
    )
    return whole, dry, conductance / (1.0 - dry)


def _compressor(circuit: Circuit, p: _Point, r: dict[str, Array]) -> tuple[Array, Array, Array]:
    """Displacement (or factor on a map), efficiency, electrical work [J/kg]."""
    sat = p.fluid.condenser(p.root)
    gas = p.fluid.vapour(p.dew - p.loss, p.superheat + p.loss)
    log_ratio = sat.log_pressure - p.fluid.evaporator(p.dew - p.loss).log_pressure
    rise = p.fluid.isentropic_enthalpy(p.root, gas.entropy - sat.vapour_entropy)
    work = sat.vapour_enthalpy + rise - gas.enthalpy
    one = circuit.compressor_map
    if one is None:
        volumetric = volumetric_efficiency(np.exp(log_ratio))
        displacement = p.flow / (volumetric * np.exp(gas.log_density))
        efficiency = _wide(None, PEAK_ISENTROPIC, r)
        factor = isentropic_efficiency(log_ratio, 1.0, PEAK_PRESSURE_RATIO)
    else:
        flow, power = one.at(p.dew - p.loss, p.condensing)
        usual = p.fluid.vapour(p.dew - p.loss, np.full_like(p.dew, one.superheat))
        density_ratio = np.exp(gas.log_density - usual.log_density)
        usual_work = (
            sat.vapour_enthalpy
            + p.fluid.isentropic_enthalpy(p.root, usual.entropy - sat.vapour_entropy)
            - usual.enthalpy
        )
        displacement = p.flow / corrected(flow, power, density_ratio, np.ones_like(flow))[0]
        efficiency, factor = _wide(None, 1.0, r), flow * usual_work / power
    if circuit.rated_power is not None:
        efficiency = p.flow * work / (factor * _wide(circuit.rated_power, 0.0, r))
    return displacement, efficiency, work / (efficiency * factor)


def _constants(
    circuit: Circuit, p: _Point, r: dict[str, Array], conductance: Array, heat: Array, dry: Array
) -> tuple[tuple[Array, ...], Array, Array, Array]:
    """Constants of a circuit, reserve of its device, resistance of a full restriction, rated state."""
    sat, at_dew = p.fluid.condenser(p.root), p.fluid.evaporator(p.dew)
    displacement, efficiency, electrical = _compressor(circuit, p, r)
    loss_share = _wide(circuit.shell_loss, 0.0, r)
    outlet = p.inlet_enthalpy + (1.0 - loss_share) * electrical
    air, ntu, zone = _condenser(circuit, p, r, outlet - sat.vapour_enthalpy)
    pressure, suction = np.exp(sat.log_pressure), np.exp(at_dew.log_pressure)
    line_loss = _wide(circuit.liquid_line_loss, 0.0, r)
    orifice = np.broadcast_to(np.asarray(circuit.metering) == "fixed orifice", p.flow.shape)
    saturation = np.exp(p.fluid.liquid_log_pressure(p.liquid))
    drop = circuit_balance.driving_pressure(pressure - line_loss, suction, saturation, orifice)
    reserve = np.where(orifice, 1.0, _wide(circuit.valve_reserve, 1.0, r))
    volumes, rest = _volumes(circuit, p, zone, dry)
    ceiling = min(HIGHEST_CONDENSING, p.fluid.critical_temperature - BELOW_CRITICAL)
    ones = np.ones_like(p.flow)
    constants = Constants(
        displacement=displacement,
        efficiency=efficiency,
        peak_ratio=PEAK_PRESSURE_RATIO * ones,
        volumetric_slope=VOLUMETRIC_SLOPE * ones,
        shell_loss=loss_share,
        suction_loss=p.loss,
        gas_conductance=conductance,
        gas_heat=p.gas_heat,
        gap=ones,
        superheat_set=p.superheat,
        valve_area=reserve**2 / (sat.liquid_density * drop),
        least_opening=0.0 * ones,
        liquid_resistance=line_loss * sat.liquid_density / p.flow**2,
        air_capacity=air,
        air_ntu=ntu,
        air=ones,
        fouling=ones,
        condenser_volume=volumes["condenser"],
        line_volume=volumes["liquid line"],
        evaporator_volume=volumes["evaporator"],
        rest=rest,
        charge=ones,
        held_condensing=_wide(circuit.held_condensing, 0.0, r),
        highest_condensing=_wide(circuit.highest_condensing, ceiling, r),
        lowest_suction=_wide(circuit.lowest_suction, LOWEST_SUCTION, r),
        rated_flow=p.flow,
        rated_heat=heat,
        orifice=orifice,
    )
    state = np.stack([p.dew, dry, p.condensing, zone.subcooled])
    columns = tuple(np.broadcast_to(getattr(constants, f), r["pressure"].shape) for f in vars(constants))
    return columns, reserve, (pressure - suction) * sat.liquid_density / p.flow**2, state


@dataclass(frozen=True)
class _RatedZones:
    desuperheating: Array
    condensing: Array
    subcooled: Array


def _condenser(
    circuit: Circuit, p: _Point, r: dict[str, Array], gas_heat: Array
) -> tuple[Array, Array, _RatedZones]:
    """Air capacity rate and transfer units with which the three zones just fill the coil."""
    sat, outdoor = p.fluid.condenser(p.root), r["outdoor_dry_bulb"]
    ntu = -np.log1p(-_wide(circuit.condenser_effectiveness, 0.0, r))
    one_watt = condenser.air_side(np.ones_like(ntu), ntu, np.ones_like(ntu), np.ones_like(ntu))
    bubble = sat.bubble_temperature
    cooler = p.fluid.liquid_enthalpy(p.root, np.full_like(bubble, 10.0))
    heat_capacity = (sat.liquid_enthalpy - cooler) / 10.0
    superheat = p.fluid.discharge_superheat(p.root, gas_heat)
    bare = condenser.zones(
        one_watt, p.flow, gas_heat, superheat, p.condensing, bubble, outdoor, heat_capacity, 0.0 * ntu
    )
    latent = p.flow * (sat.vapour_enthalpy - sat.liquid_enthalpy)
    mean = condenser.drive(0.5 * (p.condensing + bubble), outdoor)
    drop = -np.log1p(-(bubble - p.liquid) / condenser.drive(bubble, outdoor))
    shares = (
        bare.desuperheating,
        latent / (one_watt.condensing * mean),
        drop * p.flow * heat_capacity / one_watt.subcooling,
    )
    capacity = sum(shares, np.zeros_like(ntu))
    return capacity, ntu, _RatedZones(*(x / capacity for x in shares))


def _volumes(circuit: Circuit, p: _Point, zone: _RatedZones, dry: Array) -> tuple[dict[str, Array], Array]:
    """Volumes per rated charge [m3/kg] that hold the assumed split at rating, and the share that stays."""
    sat, at_dew = p.fluid.condenser(p.root), p.fluid.evaporator(p.dew)
    one, zero = np.ones_like(p.flow), np.zeros_like(p.flow)
    vapour = np.exp(at_dew.log_vapour_density)
    latent = at_dew.vapour_enthalpy - at_dew.liquid_enthalpy
    entering = (p.liquid_enthalpy - at_dew.liquid_enthalpy) / latent
    density = {
        "condenser": zone.subcooled * sat.liquid_density
        + zone.desuperheating * sat.vapour_density
        + zone.condensing
        * balance_terms.two_phase_density(
            one,
            zero,
            sat.liquid_density,
            sat.vapour_density,
            balance_terms.slip_factor(sat.liquid_density, sat.vapour_density),
        ),
        "liquid line": sat.liquid_density,
        "evaporator": (1.0 - dry)
        * balance_terms.two_phase_density(
            entering,
            one,
            at_dew.liquid_density,
            vapour,
            balance_terms.slip_factor(at_dew.liquid_density, vapour),
        )
        + dry * vapour,
    }
    split = circuit.charge_split
    volumes = {name: split[name] / density[name] for name in density}
    return volumes, (1.0 - sum(split[name] for name in density)) * one
