"""Moist air: its properties, and its whole state from any two of them.

ASHRAE Handbook - Fundamentals 2017, chapter 1, SI. Humidity ratio, enthalpy and specific volume are per
kilogram of dry air. Everything broadcasts; outside 173.15-473.15 K, and for impossible air, results are NaN.

Model uncertainty: air and vapour are taken as an ideal mixture, which at saturation, room temperature and
sea level holds about 0.5 % less vapour than real moist air (no enhancement factor). That is no reading error;
carry it where the humidity ratio itself matters.
"""

from hvaccalc.physics.adiabatic_saturation import (
    CP_DRY,
    RATIO,
    humidity_ratio_from_wet_bulb,
    wet_bulb,
    wet_bulb_branch,
)
from hvaccalc.physics.moist_air_properties import (
    STANDARD_PRESSURE,
    density,
    dew_point,
    dry_bulb_from_enthalpy,
    enthalpy,
    heat_capacity,
    humidity_ratio_from_enthalpy,
    humidity_ratio_from_relative_humidity,
    humidity_ratio_from_vapour_pressure,
    pressure_at_elevation,
    relative_humidity,
    saturation_humidity_ratio,
    specific_volume,
    temperature_at_elevation,
    vapour_pressure,
)
from hvaccalc.physics.moist_air_state import REASONS, MoistAir, state
from hvaccalc.physics.water_vapour import (
    CP_ICE,
    CP_VAPOUR,
    CP_WATER,
    FREEZING_POINT,
    HIGHEST_TEMPERATURE,
    LATENT_HEAT_0C,
    LOWEST_TEMPERATURE,
    SUBLIMATION_HEAT,
    TRIPLE_POINT,
    liquid_water_enthalpy,
    saturation_pressure,
    saturation_pressure_over_ice,
    saturation_pressure_over_water,
    saturation_temperature,
)

__all__ = [
    "CP_DRY",
    "CP_ICE",
    "CP_VAPOUR",
    "CP_WATER",
    "FREEZING_POINT",
    "HIGHEST_TEMPERATURE",
    "LATENT_HEAT_0C",
    "LOWEST_TEMPERATURE",
    "RATIO",
    "REASONS",
    "STANDARD_PRESSURE",
    "SUBLIMATION_HEAT",
    "TRIPLE_POINT",
    "MoistAir",
    "density",
    "dew_point",
    "dry_bulb_from_enthalpy",
    "enthalpy",
    "heat_capacity",
    "humidity_ratio_from_enthalpy",
    "humidity_ratio_from_relative_humidity",
    "humidity_ratio_from_vapour_pressure",
    "humidity_ratio_from_wet_bulb",
    "liquid_water_enthalpy",
    "pressure_at_elevation",
    "relative_humidity",
    "saturation_humidity_ratio",
    "saturation_pressure",
    "saturation_pressure_over_ice",
    "saturation_pressure_over_water",
    "saturation_temperature",
    "specific_volume",
    "state",
    "temperature_at_elevation",
    "vapour_pressure",
    "wet_bulb",
    "wet_bulb_branch",
]
