"""Which keys of the job file something is made of; every other key is announced when it is typed.

A key that is added counts as not used until it stands here: whoever makes it count registers it.
"""

from __future__ import annotations

USED: dict[str, str] = {
    "": "format display",
    "job": "title reported site prepared_by elevation water_seen water_when seed",
    "unit": (
        "name kind rated_capacity rated_airflow rated_sensible_heat_ratio rated_return_dry_bulb "
        "rated_return_wet_bulb rated_outdoor rated_suction_saturation circuiting air_path filter_area"
    ),
    "unit.coil": "face_area slope fin_surface low_edge_over_pan",
    "unit.fan": (
        "drive full_speed low_speed input_power motor_full_load_current motor_speed service_factor "
        "static_at_rating motor_sheave fan_sheave belt_centre_distance wheel_diameter minimum_speed "
        "minimum_heat_airflow"
    ),
    "unit.fan.curve": "airflow static speed power",
    "unit.fan.known": "airflow coil_pressure_drop filter_pressure_drop fan_speed external_static",
    "unit.pan": "area depth level secondary",
    "unit.drain": "size slope material trap trap_height trap_seal pan_suction",
    "unit.cabinet": "insulation area duct_insulation duct_area suction_line_insulation",
    "unit.protection": "float_switch low_pressure_cutout head_control",
    "circuit": (
        "refrigerant metering stage capacity_share nameplate_charge full_charge target_subcooling "
        "target_superheat rated_condensing_saturation rated_superheat chart_requires"
    ),
    "circuit.chart": "liquid_temperature liquid_pressure",
    "circuit.compressor_map": "units mass_flow power superheat",
    "circuit.lines": "liquid_size liquid_length suction_size suction_length rise included_length",
    "circuit.condenser": "volume receiver_volume pumpdown_capacity",
    "circuit.leak": "at date repaired",
    "wiring": "terminals designed found temporary dry_contact",
    "wiring.supply": "between voltage",
    "wiring.load": "name between",
    "wiring.switch": "call closed_by between",
    "wiring.safety": "name between",
    "wiring.fan_speed": "input designed found",
    "visit": "date by note",
    "visit.signs": (
        "water_on pan_water drain_flow trap drain_air frost_on filters coil_face fan_on_second_stage "
        "pump sweating_on timing pour_test tested_with_fan tested_with_door coil_thawed "
        "water_with_cooling_off hot_water_coil float_switch"
    ),
    "visit.condition": ("label time calls running_for compressors_running steady coil_thawed filters_clean"),
    "visit.condition.air": (
        "return_dry_bulb return_wet_bulb return_dew_point return_relative_humidity supply_dry_bulb "
        "supply_wet_bulb supply_dew_point supply_relative_humidity supply_measured_at mixed_wet_bulb "
        "outdoor_dry_bulb space_dry_bulb space_dew_point barometer airflow coil_pressure_drop "
        "filter_pressure_drop external_static fan_frequency fan_speed fan_current fan_power "
        "fan_current_at duct_area condensate_rate electric_heat"
    ),
    "visit.condition.air.traverse": "velocities area",
    "visit.condition.circuit": (
        "suction_pressure liquid_pressure discharge_pressure suction_temperature liquid_temperature "
        "discharge_temperature drier_in_temperature drier_out_temperature suction_measured_at "
        "liquid_measured_at discharge_measured_at refrigerant_mass_flow compressor_power "
        "compressor_current sight_glass condenser_fans_running"
    ),
    "visit.condition.signs": (
        "water_on pan_water drain_flow trap drain_air frost_on filters coil_face fan_on_second_stage "
        "pump sweating_on timing pour_test tested_with_fan tested_with_door coil_thawed "
        "water_with_cooling_off hot_water_coil float_switch"
    ),
    "visit.condition.voltage": "from to value call input input_status",
    "visit.work": "kind mends time circuit amount note hazards expires removed",
    "electricity": "price hours_fan hours_cool_1 hours_cool_2",
    "rules": "charge_edition role energy_code",
    "service": "installed",
    "instruments": "kind accuracy repeatability",
}
"""By table, the job's own keys under an empty name: what a result, a finding or a caution rests on."""

PRINTED: dict[str, str] = {
    "circuit.leak": "found_by note",
    "visit.work": (
        "start_pressure start_temperature end_pressure end_temperature lasted reached after waited"
    ),
    "visit.photo": "file caption",
}
"""Shown in the memo as typed; nothing is computed with them."""


def _full(tables: dict[str, str]) -> frozenset[str]:
    return frozenset(f"{table}.{key}".lstrip(".") for table, keys in tables.items() for key in keys.split())


ALL_USED, ALL_PRINTED = _full(USED), _full(PRINTED)
