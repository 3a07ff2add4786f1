"""Plate, rating and data sheet: what they can say of a split system, and what stands where none does."""

from hvaccalc.practice.row import MEASURED, MEMORY, PRACTICE, PUBLISHED, limits, number, span, spread

PLATE = {
    "unit.rated_capacity": limits("3 12 1200 6000 kBtu/h", "heat", PRACTICE),
    "unit.rated_airflow": limits("40 300 40000 200000 cfm", "airflow", PRACTICE),
    "unit.rated_return_dry_bulb": limits("40 70 90 120 degF", "temperature", PRACTICE),
    "unit.rated_return_wet_bulb": limits("30 54 78 100 degF", "temperature", PRACTICE),
    "unit.rated_outdoor": limits("20 75 118 135 degF", "temperature", PRACTICE),
    "unit.rated_suction_saturation": limits("0 32 58 75 degF", "temperature", PRACTICE),
    "unit.filter_area": limits("0.2 0.5 250 2000 ft2", "area", PRACTICE),
    "unit.coil.face_area": limits("0.2 0.5 150 1000 ft2", "area", PRACTICE),
    "unit.coil.fins_per_inch": limits("1 6 25 60", "", PRACTICE),
    "unit.coil.tube_diameter": limits("0.1 0.19 0.7 3 in", "length", PRACTICE),
    "unit.coil.low_edge_over_pan": limits("-36 -8 8 36 in", "length", PRACTICE),
    "unit.fan.motor_power": limits("0.005 0.1 60 500 hp", "power", PRACTICE),
    "unit.fan.input_power": limits("0.005 0.05 45 400 kW", "power", PRACTICE),
    "unit.fan.motor_full_load_current": limits("0.05 0.3 80 1000 A", "current", PRACTICE),
    "unit.fan.voltage": limits("10 100 600 1000 V", "voltage", PRACTICE),
    "unit.fan.motor_speed": limits("50 300 3700 8000 rpm", "speed", PRACTICE),
    "unit.fan.service_factor": limits("0.5 1.0 1.5 3", "", PRACTICE),
    "unit.fan.static_at_rating": limits("0 0.05 4 20 inH2O", "air_pressure", PRACTICE),
    "unit.fan.motor_sheave": limits("0.5 2 16 60 in", "length", PRACTICE),
    "unit.fan.fan_sheave": limits("0.5 3 30 80 in", "length", PRACTICE),
    "unit.fan.belt_centre_distance": limits("1 6 70 150 in", "length", PRACTICE),
    "unit.fan.wheel_diameter": limits("2 5 45 100 in", "length", PRACTICE),
    "unit.fan.minimum_heat_airflow": limits("20 200 40000 200000 cfm", "airflow", PRACTICE),
    "unit.fan.curve.airflow": limits("0 0 80000 400000 cfm", "airflow", PRACTICE),
    "unit.fan.curve.static": limits("-2 0 8 30 inH2O", "air_pressure", PRACTICE),
    "unit.fan.curve.power": limits("0.005 0.03 60 500 hp", "power", PRACTICE),
    "unit.fan.known.airflow": limits("20 100 60000 300000 cfm", "airflow", PRACTICE),
    "unit.fan.known.coil_pressure_drop": limits("0 0.02 1.5 15 inH2O", "air_pressure", PRACTICE),
    "unit.fan.known.filter_pressure_drop": limits("0 0.02 1.5 15 inH2O", "air_pressure", PRACTICE),
    "unit.fan.known.external_static": limits("-2 0.05 4 20 inH2O", "air_pressure", PRACTICE),
    "unit.pan.area": limits("0.2 0.5 120 1000 ft2", "area", PRACTICE),
    "unit.pan.depth": limits("0.05 0.5 6 36 in", "length", PRACTICE),
    "unit.pan.slope": limits("-100 0 6 100 %", "slope", PRACTICE),
    "unit.drain.size": limits("0.2 0.4 2.5 6 in", "length", PRACTICE),
    "unit.drain.length": limits("0 0.5 150 2000 ft", "length", PRACTICE),
    "unit.drain.slope": limits("-1000 0 8.5 1000 %", "slope", PRACTICE),
    "unit.drain.trap_height": limits("0 0.5 18 240 in", "length", PRACTICE),
    "unit.drain.trap_seal": limits("0 0.5 18 240 in", "length", PRACTICE),
    "unit.drain.pan_suction": limits("-15 0.02 4 15 inH2O", "air_pressure", PRACTICE),
    "unit.cabinet.insulation": limits("0 0 3 12 in", "length", PRACTICE),
    "unit.cabinet.area": limits("2 10 1000 10000 ft2", "area", PRACTICE),
    "unit.cabinet.duct_insulation": limits("0 0 20 100 ft2 h degF/Btu", "thermal_resistance", PRACTICE),
    "unit.cabinet.duct_area": limits("1 10 6000 50000 ft2", "area", PRACTICE),
    "unit.cabinet.suction_line_insulation": limits("0 0 2 6 in", "length", PRACTICE),
    "unit.protection.low_pressure_cutout": limits("-14 2 150 300 psig", "pressure", PRACTICE),
    "unit.protection.high_pressure_cutout": limits("50 150 750 1500 psig", "pressure", PRACTICE),
    "circuit.nameplate_charge": limits("0.06 0.5 200 2000 lb", "mass", PRACTICE),
    "circuit.full_charge": limits("0.06 0.5 200 2000 lb", "mass", PRACTICE),
    "circuit.target_subcooling": limits("0 2 25 60 degF", "temperature_difference", PRACTICE),
    "circuit.target_superheat": limits("0 3 35 60 degF", "temperature_difference", PRACTICE),
    "circuit.rated_condensing_saturation": limits("60 95 150 180 degF", "temperature", PRACTICE),
    "circuit.rated_superheat": limits("-5 2 35 80 degF", "temperature_difference", PRACTICE),
    "circuit.chart.liquid_pressure": limits("0 60 650 1000 psig", "pressure", PRACTICE),
    "circuit.rated_load_current": limits("0.2 2 150 2000 A", "current", PRACTICE),
    "circuit.compressor_map.superheat": limits("-5 0 40 100 degF", "temperature_difference", PRACTICE),
    "circuit.lines.included_length": limits("0 0 100 500 ft", "length", PRACTICE),
    "wiring.supply.voltage": limits("1 18 32 1000 V", "voltage", PRACTICE),
    "electricity.hours_fan": limits("0 0 8784 8784 h", "annual_hours", PRACTICE),
    "electricity.hours_cool_1": limits("0 0 6000 8784 h", "annual_hours", PRACTICE),
    "electricity.hours_cool_2": limits("0 0 5000 8784 h", "annual_hours", PRACTICE),
}
"""Of a plate value: beyond the usual a notice, beyond what can be a refusal."""

READ = {
    "air.return_dry_bulb air.return_wet_bulb air.return_dew_point air.mixed_dry_bulb air.mixed_wet_bulb "
    "air.space_dry_bulb air.space_dew_point air.supply_wet_bulb air.supply_dew_point "
    "air.duct_surface_temperature": span("-60 degF", "160 degF", "temperature", PRACTICE),
    "air.supply_dry_bulb": span("-60 degF", "250 degF", "temperature", PRACTICE),
    "air.outdoor_dry_bulb air.outdoor_wet_bulb": span("-90 degF", "160 degF", "temperature", PRACTICE),
    "air.airflow": span("0 cfm", "400,000 cfm", "airflow", PRACTICE),
    "air.coil_pressure_drop air.filter_pressure_drop air.external_static": span(
        "-30 inH2O", "30 inH2O", "air_pressure", PRACTICE
    ),
    "air.fan_frequency": span("0 Hz", "400 Hz", "frequency", PRACTICE),
    "air.fan_current": span("0 A", "2,000 A", "current", PRACTICE),
    "air.fan_voltage": span("0 V", "1,000 V", "voltage", PRACTICE),
    "air.fan_power air.electric_heat": span("0 kW", "2,000 kW", "power", PRACTICE),
    "air.traverse.velocities": span("0 ft/min", "12,000 ft/min", "velocity", PRACTICE),
    "air.duct_area air.traverse.area": span("0.02 ft2", "2,000 ft2", "area", PRACTICE),
    "air.condensate_rate": span("0 gal/h", "2,000 gal/h", "water_flow", PRACTICE),
    "circuit.suction_pressure circuit.liquid_pressure circuit.discharge_pressure": span(
        "-1,000 psig", "1,500 psig", "pressure", PRACTICE
    ),
    "circuit.suction_temperature circuit.liquid_temperature circuit.coldest_tube_temperature "
    "circuit.drier_in_temperature circuit.drier_out_temperature circuit.valve_suction_in_temperature "
    "circuit.valve_suction_out_temperature": span("-90 degF", "300 degF", "temperature", PRACTICE),
    "circuit.discharge_temperature": span("-90 degF", "500 degF", "temperature", PRACTICE),
    "circuit.superheat circuit.subcooling": span("-60 degF", "200 degF", "temperature_difference", PRACTICE),
    "circuit.refrigerant_mass_flow": span("0 lb/h", "100,000 lb/h", "mass_flow", PRACTICE),
    "circuit.compressor_power": span("0 kW", "2,000 kW", "power", PRACTICE),
    "circuit.compressor_current": span("0 A", "4,000 A", "current", PRACTICE),
    "voltage.value": span("-1,500 V", "1,500 V", "voltage", PRACTICE),
    "work.start_pressure work.end_pressure": span("-15 psig", "1,500 psig", "pressure", PRACTICE),
    "work.start_temperature work.end_temperature": span("-60 degF", "160 degF", "temperature", PRACTICE),
    "work.amount": span("0 lb", "10,000 lb", "mass", PRACTICE),
}
"""Of a reading: beyond it no instrument on a split system shows it, and a digit or its unit is wrong."""

SPEED = {
    "Hz": limits("1 10 90 400 Hz", "frequency", PRACTICE),
    "rpm": limits("20 150 3600 8000 rpm", "speed", PRACTICE),
    "%": limits("1 10 110 150 %", "fraction", PRACTICE),
}
"""Of a fan's speed as it is typed on a plate."""

PER_TON = {
    "unit.rated_airflow": span("200 cfm", "600 cfm", "airflow", PRACTICE),
    "unit.pan.area": span("0.2 ft2", "2 ft2", "area", PRACTICE),
    "unit.cabinet.area": span("2.5 ft2", "25 ft2", "area", PRACTICE),
    "unit.cabinet.duct_area": span("4 ft2", "60 ft2", "area", PRACTICE),
    "job.water_seen": span("0 gal/h", "0.6 gal/h", "water_flow", PRACTICE),
}
"""For each ton of the unit."""

PER_TON_OF_CIRCUIT = {
    "circuit.nameplate_charge": span("0.7 lb", "8 lb", "mass", PRACTICE),
    "circuit.full_charge": span("0.7 lb", "8 lb", "mass", PRACTICE),
    "circuit.rated_load_current": span("0.8 A", "8 A", "current", PRACTICE),
}
"""For each ton of the circuit's share."""

PER_1000_CFM = {
    "unit.filter_area": span("1 ft2", "9 ft2", "area", PRACTICE),
    "unit.coil.face_area": span("1 ft2", "6 ft2", "area", PRACTICE),
    "unit.fan.motor_power": span("0.2 hp", "1.9 hp", "power", PRACTICE),
    "unit.fan.input_power": span("90 W", "850 W", "power", PRACTICE),
    "unit.fan.curve.power": span("50 W", "2 hp", "power", PRACTICE),
    "unit.fan.minimum_heat_airflow": span("200 cfm", "1,200 cfm", "airflow", PRACTICE),
    "unit.fan.curve.airflow": span("0 cfm", "2,500 cfm", "airflow", PRACTICE),
    "unit.fan.known.airflow": span("150 cfm", "1,500 cfm", "airflow", PRACTICE),
}
"""For each 1,000 cfm of the rated airflow."""

SHARES = {
    "unit.fan.low_speed / unit.fan.full_speed": span("0.2", "0.95", "", PRACTICE),
    "unit.fan.minimum_speed / unit.fan.full_speed": span("0.1", "1", "", PRACTICE),
    "unit.fan.curve.speed / unit.fan.full_speed": span("0.3", "1.6", "", PRACTICE),
    "unit.fan.known.fan_speed / unit.fan.full_speed": span("0.2", "1.1", "", PRACTICE),
    "unit.fan.motor_sheave / unit.fan.fan_sheave": span("0.2", "2", "", PRACTICE),
    "unit.fan.input_power / unit.fan.motor_power": span("0.15", "1.5", "", PRACTICE),
    "unit.rated_return_wet_bulb / unit.rated_return_dry_bulb": span("0.95", "1", "", PRACTICE),
    "circuit.rated_condensing_saturation / unit.rated_outdoor": span("1.005", "1.12", "", PRACTICE),
    "circuit.full_charge / circuit.nameplate_charge": span("0.6", "3", "", PRACTICE),
    "electricity.hours_cool_1 / electricity.hours_fan": span("0", "1", "", PRACTICE),
    "electricity.hours_cool_2 / electricity.hours_cool_1": span("0", "1", "", PRACTICE),
    "circuit.lines.suction_length / circuit.lines.liquid_length": span("0.4", "2.5", "", PRACTICE),
    "circuit.condenser.pumpdown_capacity / circuit.nameplate_charge": span("0.6", "5", "", PRACTICE),
}
"""Of one key's value in another's, temperatures as kelvins over kelvins."""

MOTOR_LOADING = span("1", "2.6", "", PRACTICE)
"""Volts times amperes (by 1.73 on three phases) of a motor's plate over the power of its shaft."""
FAN_EFFICIENCY = span("0.04", "0.75", "", PRACTICE)
"""Airflow times static over the electrical power, at the rating."""
WHEEL_RIM = span("1,200 ft/min", "13,000 ft/min", "velocity", PRACTICE)
"""Speed of a fan wheel's rim at full speed."""
SHARES_OFF = number("0.03", "", PRACTICE)
"""How far the circuits' shares may be from one together: rounding of what a plate says."""


RATED_RETURN_DRY_BULB = number("80 degF", "temperature", PUBLISHED, "AHRI 340/360")
"""Return dry bulb at the rating where none is typed."""
RATED_RETURN_WET_BULB = number("67 degF", "temperature", PUBLISHED, "AHRI 340/360")
"""Return wet bulb at the rating where none is typed."""
RATED_OUTDOOR = number("95 degF", "temperature", PUBLISHED, "AHRI 340/360")
"""Outdoor air at the rating where none is typed."""
RATED_SUCTION_SATURATION = spread("48 degF", "3 degF", "temperature", PRACTICE)
"""Suction saturation at the rating where none is typed."""
TYPED_SUCTION_SD = number("1.5 degF", "temperature_difference", PRACTICE)
"""Spread (sd) of a typed rated suction saturation."""
RATED_SENSIBLE_RATIO = spread("72 %", "4 %", "fraction", PRACTICE)
"""Sensible heat ratio at the rating where none is typed."""
TYPED_SENSIBLE_SD = number("2 %", "fraction", PRACTICE)
"""Spread (sd) of a typed sensible heat ratio."""
RATED_CAPACITY_SD = number("3 %", "fraction", PRACTICE)
"""Spread (sd) of a typed capacity, share of itself."""
RATED_FAN_POWER = spread(
    "0.40 W/cfm", "0.08 W/cfm", "", MEASURED, "0.41 and 0.48: NISTIR 7350; ORNL test building"
)
"""Fan power for each airflow where none is typed."""
TYPED_FAN_POWER_SD = number("5 %", "fraction", PRACTICE)
"""Spread (sd) of a typed fan power, share of itself."""
FIN_EFFICIENCY = span("75 %", "90 %", "fraction", MEMORY)
"""Efficiency of plain and enhanced fins at usual film coefficients."""
FILM_EXPONENT = span("0.45", "0.80", "", MEMORY)
"""Exponent of the air film over airflow."""
LOCAL_AIRFLOW = span("80 %", "100 %", "fraction", PRACTICE)
"""Airflow at the coldest part of the coil over the mean."""
RATED_SUBCOOLING = spread("12 degF", "2 degF", "temperature_difference", PRACTICE)
"""Subcooling at the rating where none is typed."""
RATED_SUPERHEAT = spread("10 degF", "1.5 degF", "temperature_difference", PRACTICE)
"""Superheat at the rating where none is typed."""
TYPED_SUBCOOLING_SD = number("1 degF", "temperature_difference", PRACTICE)
"""Spread (sd) of a typed or charted subcooling at the rating."""
LEAST_SUPERHEAT = number("1 K", "temperature_difference", PRACTICE)
"""Least superheat that a draw of the rating takes."""
LEAST_SUBCOOLING = number("0.5 K", "temperature_difference", PRACTICE)
"""Least subcooling that a draw of the rating takes."""
RATED_CONDENSING_OVER_OUTDOOR = spread(
    "12.5 K",
    "2 K",
    "temperature_difference",
    MEASURED,
    "17 to 24 °F on sound units: NISTIR 7350; ORNL rooftop unit",
)
"""Condensing saturation over outdoor air at the rating where none is typed."""
RATED_DISCHARGE_SUPERHEAT = spread("54 degF", "10.2 degF", "temperature_difference", PRACTICE)
"""Discharge superheat of a sound circuit at its rating."""
MAP_SUPERHEAT = number("20 degF", "temperature_difference", PRACTICE)
"""Superheat that a compressor map is for where it does not say."""
