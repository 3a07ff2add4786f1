"""Texts of job files that several tests read: the least that a job says, and every key at once."""

SMALL_JOB = """\
format = 1

[job]
title = "Water over the reading hall"
elevation = "640 ft"

[unit]
rated_capacity = "240 kBtu/h"
rated_airflow = "8000 cfm"

[circuit.1]
refrigerant = "R-410A"

[circuit.2]
refrigerant = "R-410A"

[[visit]]
date = 2026-06-18
by = "first technician"

[[visit.condition]]
label = "as found"
time = 10:32:00
calls = ["cool 1", "cool 2"]
running_for = "25 min"
compressors_running = ["1", "2"]

[visit.condition.air]
return_dry_bulb = "74.5 ± 0.5 degF"
supply_measured_at = "unit"

[visit.condition.circuit.1]
suction_pressure = "118 psig"
liquid_pressure = {value = "301 psig", instrument = "gauge_a", at = "10:41", by = "x", note = "steady"}

[visit.condition.signs]
trap = "dry"

[instruments]
gauge_a = {kind = "refrigerant gauge, digital", accuracy = "±1 % of reading, at least 2 psi"}
"""

FULL_JOB = """\
format = 1
display = "si"

[job]
title = "Every key"
customer = "the library"
work_order = "2026-0618"
company = "the workshop"
licence = "12345"
reported = "drip in the hall"
site = "upper floor"
prepared_by = "the office"
elevation = "640 ft"
water_seen = "1 to 4 gal/day"
water_when = ["while cooling", "mild days"]
seed = 7

[unit]
name = "AH-1"
model = "AHX-20"
serial = "S 1"
location = "attic"
kind = "cooling"
rated_capacity = "240 kBtu/h ± 3 %"
rated_airflow = "8000 scfm"
rated_sensible_heat_ratio = 0.72
rated_return_dry_bulb = "80 degF"
rated_return_wet_bulb = "67 degF"
rated_outdoor = "95 degF"
rated_suction_saturation = "45 degF"
circuiting = "interlaced"
air_path = "draw through"
filter_area = "24 ft2"

[unit.coil]
face_area = "22.5 ft2"
rows = 4
fins_per_inch = 12
tube_diameter = "3/8 in"
slope = "80 deg"
fin_surface = "coated"
air_direction = "horizontal"
low_edge_over_pan = "-1 in"

[unit.fan]
drive = "belt, fixed"
full_speed = "60 Hz"
low_speed = "60 %"
motor_power = "7.5 hp"
input_power = "4.1 kW"
motor_full_load_current = "9.6 A"
voltage = "460 V"
phases = 3
motor_speed = "1750 rpm"
service_factor = 1.15
static_at_rating = "2.0 inH2O"
motor_sheave = "5.4 in"
fan_sheave = "10.2 in"
belt_centre_distance = "30 in"
wheel_diameter = "18 in"
minimum_speed = "20 Hz"
curve = [
  {airflow = "8000 cfm", static = "2.0 inH2O", speed = "900 rpm", power = "6 hp"},
  {airflow = "9000 cfm", static = "1.6 inH2O"},
]
known = [ {airflow = "7800 cfm", coil_pressure_drop = "0.3 inH2O", filter_pressure_drop = "0.2 inH2O", \
fan_speed = "60 Hz", external_static = "1.9 inH2O"} ]
minimum_heat_airflow = "6000 cfm"

[unit.pan]
area = "14 ft2"
depth = "2 in"
slope = "1/8 in/ft"
level = true
secondary = "float switch"

[unit.drain]
size = "1-1/4 in"
length = "20 ft"
slope = "2 %"
material = "PVC"
trap = "present"
trap_height = "3 in"
trap_seal = "2 in"
pan_suction = "1.2 in wc"

[unit.cabinet]
insulation = "1 in"
area = "120 ft2"
duct_insulation = "R-6"
duct_area = "200 ft2"
suction_line_insulation = "3/4 in"

[unit.protection]
float_switch = "tripped"
freezestat = "none"
liquid_solenoid = "unknown"
crankcase_heat = "fitted"
low_pressure_cutout = "50 psig"
high_pressure_cutout = "unknown"
head_control = "fan cycling"

[circuit.north]
refrigerant = "R-410A"
outdoor_model = "ODX-10"
outdoor_serial = "S 2"
metering = "TXV"
stage = 1
capacity_share = 0.5
nameplate_charge = "34 lb"
full_charge = "15.5 kg"
target_subcooling = "12 degF"
target_superheat = "10 degF"
rated_condensing_saturation = "120 degF"
rated_superheat = "20 degF"
rated_load_current = "19.2 A"
chart = [ {liquid_temperature = "80 degF", liquid_pressure = "284 psig"} ]
chart_requires = ["cool 1", "cool 2"]
compressor_map = {units = "degF lb/h W", mass_flow = [1, 2.5, 3, 4, 5, 6, 7, 8, 9, 10], \
power = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10], superheat = "20 degF"}

[circuit.north.lines]
liquid_size = "5/8 in"
liquid_length = "50 ft"
suction_size = "1-3/8 in"
suction_length = "50 ft"
rise = "-10 ft"
included_length = "25 ft"

[circuit.north.condenser]
volume = "0.4 ft3"
receiver_volume = "2 gal"
pumpdown_capacity = "40 lb"

[circuit.north.leak]
at = "sight glass"
found_by = "bubbles"
note = "flare nut"
date = 2026-06-18
repaired = 2026-06-25

[circuit.south_2]
refrigerant = "R-410A"

[wiring]
terminals = ["thermostat.G", "thermostat.Y1", "handler.G", "handler.Y1", "outdoor.Y1"]
designed = [ ["thermostat.G", "handler.G"] ]
found = []
temporary = [ ["handler.R", "handler.G"] ]
dry_contact = ["drive.input_2"]
[[wiring.supply]]
between = ["handler.R", "handler.C"]
voltage = "24 V"
[[wiring.load]]
name = "contactor 1"
between = ["outdoor.Y1", "outdoor.C"]
[[wiring.switch]]
call = "cool 1"
between = ["thermostat.R", "thermostat.Y1"]
[[wiring.switch]]
closed_by = "contactor 1"
between = ["handler.R", "handler.G"]
[[wiring.safety]]
name = "float switch"
between = ["handler.Y1", "outdoor.Y1"]
[[wiring.fan_speed]]
input = "drive.input_2"
designed = "60 Hz"
found = "not assigned"

[[visit]]
date = 2026-06-18
by = "first technician"
note = "hall closed"

[visit.signs]
water_on = ["pan rim", "duct"]
pan_water = "standing"
drain_flow = {value = "slow", by = "x", at = 10:50:00}
trap = "sealed"
drain_air = "drawn in"
frost_on = "none"
filters = "loaded"
coil_face = ["clean", "bent"]
fan_on_second_stage = "stays"
belt = "tight"
outdoor_damper = "closed"
fan_rotation = "right"
oil_trace = "seen"
leak_detector = "alarm"
pump = "none"
sweating_on = "unknown"
timing = "after shut-down"
pour_test = "backs up"
tested_with_fan = "low"
tested_with_door = "closed"
coil_thawed = true
water_with_cooling_off = "no"
hot_water_coil = "dry"
sensing_bulb = "loose"
float_switch = "fitted"
freezestat = "none"

[[visit.condition]]
label = "as found, both stages"
time = 10:32:00
calls = ["cool 1", "cool 2"]
running_for = "25 min"
compressors_running = "north"
steady = "yes"
coil_thawed = true
filters_clean = "unknown"

[visit.condition.air]
return_dry_bulb = "74.5 ± 0.5 degF"
return_wet_bulb = "62.8 degF"
return_dew_point = "55 degF"
return_relative_humidity = "52 %"
supply_dry_bulb = "55.2 degF"
supply_wet_bulb = "54 degF"
supply_dew_point = "53 degF"
supply_relative_humidity = "95 % ± 2 %"
supply_measured_at = "unit"
mixed_dry_bulb = "76 degF"
mixed_wet_bulb = "63 degF"
outdoor_dry_bulb = "82 degF"
outdoor_wet_bulb = "70 degF"
space_dry_bulb = "73 degF"
space_dew_point = "55 degF"
space_relative_humidity = "53 %"
duct_surface_temperature = "66 degF"
barometer = "29.3 inHg"
airflow = "7900 cfm"
coil_pressure_drop = "0.28 inH2O"
filter_pressure_drop = "0.15 inH2O"
external_static = "1.1 inH2O"
fan_frequency = "36 Hz"
fan_speed = "540 rpm"
fan_current = "8.1 A"
fan_voltage = "460 V"
fan_power = "4 kW"
fan_current_at = "drive display"
traverse = ["500 ft/min", {value = "520 ft/min", instrument = "vane"}]
duct_area = "15 ft2"
damper_position = "20 %"
condensate_rate = "2 gal/h"
electric_heat = "10 kBtu/h"

[visit.condition.circuit.north]
suction_pressure = "118 psig"
liquid_pressure = {value = "301 psi", instrument = "gauge_a", at = 10:41:00, by = "x", note = "steady"}
discharge_pressure = "2200 kPaa"
suction_temperature = "52 degF"
liquid_temperature = "84 degF"
discharge_temperature = "160 degF"
coldest_tube_temperature = "38 degF"
superheat = "12 degF"
subcooling = {value = "11 degF", instrument = "gauge_a"}
drier_in_temperature = "84 degF"
drier_out_temperature = "83.5 degF"
valve_suction_in_temperature = "52 degF"
valve_suction_out_temperature = "53 degF"
suction_measured_at = "outdoor unit"
liquid_measured_at = "metering device"
discharge_measured_at = "condenser inlet"
refrigerant_mass_flow = "1020 lb/h"
compressor_power = "8 kW"
compressor_current = "17.5 A"
sight_glass = "bubbles"
condenser_fans_running = "1 of 2"

[visit.condition.signs]
fan_on_second_stage = "rises"
belt = "tight"
outdoor_damper = "closed"
fan_rotation = "right"

[[visit.condition.voltage]]
from = "handler.Y2"
to = "handler.C"
value = "24 V"
call = "cool 2"
[[visit.condition.voltage]]
input = "drive.input_2"
input_status = "off"

[[visit.condition]]
label = "off"
calls = []
[visit.condition.air]
traverse = {velocities = ["500 ft/min"], area = "15 ft2"}

[[visit.work]]
kind = "pressure test"
mends = ["low_charge:north", "trap"]
time = 11:40:00
circuit = "north"
amount = "2 lb"
note = "held"
hazards = ["nitrogen under pressure"]
expires = 2026-07-18
removed = 2026-07-01
start_pressure = "300 psig"
start_temperature = "80 degF"
end_pressure = "299 psig"
end_temperature = "79 degF"
lasted = "2 h"
reached = "500 micron"
after = "20 min"
waited = "10 min"

[[visit.photo]]
file = "photos/pan.jpg"
caption = "pan"

[prices]
file = "prices.csv"

[electricity]
price = "0.21 USD/kWh"
hours_fan = "4000 h"
hours_cool_1 = "1500 h"
hours_cool_2 = "500 h"

[rules]
charge_edition = "2022"
role = "verifier"
energy_code = "2021"

[service]
installed = 2019-04-01
subsector = "comfort cooling, light commercial"
last_verified = 2025-04-01

[instruments]
gauge_a = {kind = "refrigerant gauge, digital", accuracy = "±1 % of reading, at least 2 psi", \
repeatability = "±0.5 psi", checked = 2026-01-05}
vane = {kind = "traverse", accuracy = "±2 % of reading + 5 ft/min"}
"""
