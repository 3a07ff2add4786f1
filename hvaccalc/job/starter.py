"""The commented file that a new job starts from.

Prose stands after ``# ``, a key to be filled in after ``#`` alone: taking that sign away gives a
line that is accepted as it stands (a test does so with every one).
"""

import tomlkit

from hvaccalc.job.causes import MENDABLE, PLAIN, Cause

STARTER = """\
# One job: one air handler, the readings of its visits, what was done.
#
# A line that starts with "# " explains. A line that starts with "#" alone is a key to fill in:
# take the sign away and change the value. Leave out what you do not know; whatever is assumed
# in its place is told as assumed.
#
# Every value carries its unit, in quotes: "80 degF", "301 psig", "0.45 inH2O", "8000 cfm".
# "74.5 ± 0.5 degF" says how well a reading repeats (95 %). A bare number is refused.
# A reading may also say with what it was taken, when, by whom:
#   liquid_pressure = {value = "301 psig", instrument = "gauge_a", at = "10:41", note = "..."}

format = 1
display = "us"                          # us or si: units of everything that is printed

[job]
title = @TITLE@
elevation = "0 ft"                      # CHANGE: of the site; gives the barometer for gauge pressures
#customer = "County library"            # this and the next three are printed as typed
#work_order = "2026-0618"
#company = "your own"
#licence = "its number"
#site = "Reading hall, second floor"
#reported = "what the customer said, in the customer's words"
#prepared_by = ""
#water_seen = "1 to 4 gal/day"          # how much water; a range will do
#water_when = ["while cooling", "after shut-down"]   # also: always, mild, hot or humid days, rain

[unit]
rated_capacity = "240 kBtu/h"           # CHANGE: net cooling as printed on the data sheet
rated_airflow = "8000 cfm"              # CHANGE: at that rating, standard air
#name = "AH-1"
#model = "as on its plate"              # model, serial and location are printed, not looked up
#serial = "as on its plate"
#location = "attic, above the hall"
#kind = "cooling"                       # or heat pump
#rated_sensible_heat_ratio = 0.72       # net, as printed
#rated_suction_saturation = "45 degF"   # at the rating; worth asking the maker for
#rated_return_dry_bulb = "80 degF"
#rated_return_wet_bulb = "67 degF"
#rated_outdoor = "95 degF"
#circuiting = "interlaced"              # interlaced, face split, row split, unknown
#air_path = "draw through"              # or blow through
#filter_area = "24 ft2"                 # face of the filter bank, width times height

[unit.coil]
#face_area = "22.5 ft2"
#rows = 4
#fins_per_inch = 12
#tube_diameter = "3/8 in"
#slope = "0 deg"                        # of the coil's face from the vertical
#fin_surface = "plain"                  # or coated
#air_direction = "horizontal"           # horizontal, up, down
#low_edge_over_pan = "2 in"             # from the coil's low edge inwards to the pan's rim; negative: outside

[unit.fan]
# Full speed is what the drive shows when the unit asks for all it has.
#drive = "variable frequency"           # or "two speed motor", "belt, fixed"
#full_speed = "60 Hz"
#low_speed = "36 Hz"
#motor_power = "7.5 hp"                 # on the motor's plate
#motor_full_load_current = "9.6 A"
#voltage = "460 V"
#phases = 3
#static_at_rating = "2.0 inH2O"         # total external
#motor_sheave = "5.4 in"                # pitch diameters
#fan_sheave = "10.2 in"

[unit.pan]
#area = "14 ft2"
#depth = "2 in"
#slope = "1/8 in/ft"
#level = "yes"                          # yes, no, unknown
#secondary = "none"                     # none, pan, drain, float switch, unknown

[unit.drain]
#size = "1-1/4 in"                      # nominal pipe size
#length = "20 ft"
#slope = "1/8 in/ft"
#material = "PVC"                       # PVC, copper, other
#trap = "present"                       # none, present, dry, unknown
#trap_height = "3 in"                   # pan outlet down to the trap's overflow
#trap_seal = "2 in"
#pan_suction = "1.2 inH2O"              # below the room's pressure, at the pan, at the speed the fan has

[unit.cabinet]
#insulation = "1 in"
#area = "120 ft2"
#duct_insulation = "R-6"
#duct_area = "200 ft2"
#suction_line_insulation = "3/4 in"

[unit.protection]
#float_switch = "fitted"                # none, fitted, tripped, unknown
#freezestat = "unknown"
#low_pressure_cutout = "unknown"        # a pressure, none, or unknown
#head_control = "none"                  # none, fan cycling, fan speed, flooding, unknown

[circuit.1]                             # one table a circuit; its name stands after the dot
refrigerant = "R-410A"                  # CHANGE: from the nameplate
#outdoor_model = "as on its plate"
#outdoor_serial = "as on its plate"
#metering = "TXV"                       # TXV, fixed orifice, EEV, unknown
#stage = 1                              # stage of cooling that starts it
#nameplate_charge = "34 lb"
#rated_load_current = "19.2 A"          # of the compressor, on the outdoor unit's plate
#target_subcooling = "12 degF"          # from the unit's own label, else leave out
#chart = [
#{liquid_temperature = "80 degF", liquid_pressure = "284 psig"},
#{liquid_temperature = "100 degF", liquid_pressure = "370 psig"},
#]
#chart_requires = ["cool 1", "cool 2"]  # calls that the chart asks for

[circuit.1.lines]
#liquid_size = "5/8 in"                 # outside diameters
#liquid_length = "50 ft"
#suction_size = "1-3/8 in"
#suction_length = "50 ft"
#included_length = "25 ft"              # of line set that the nameplate charge covers
#rise = "10 ft"                         # positive where the indoor coil stands above the outdoor unit

# Where one is known or suspected: liquid line, suction line, equalizer line, sight glass, drier, indoor coil,
# outdoor coil, unknown.
[circuit.1.leak]
#at = "sight glass"

# A unit with two circuits has a second block; take the signs away from all four lines, and fill in more as
# above. Its readings stand in [visit.condition.circuit.2].
#[circuit.2]
#refrigerant = "R-410A"
#metering = "TXV"
#stage = 2

# Control wiring: device.terminal, with the letters that the terminals carry. What is not listed has its
# usual meaning: R 24 V, C common, G fan, Y1 and Y2 stages, W1 and W2 heat, O and B reversing valve.
[wiring]
#terminals = [
#"thermostat.G", "thermostat.Y1", "thermostat.Y2", "handler.G", "handler.Y1", "handler.Y2",
#"outdoor.Y1", "outdoor.Y2", "drive.input_1", "drive.input_2",
#]
#designed = [
#["thermostat.G", "handler.G"], ["thermostat.Y1", "handler.Y1"], ["thermostat.Y2", "handler.Y2"],
#["handler.Y1", "outdoor.Y1"], ["handler.Y2", "outdoor.Y2"],
#["handler.G", "drive.input_1"], ["handler.Y2", "drive.input_2"],
#]
#found = [                              # every wire that is landed; left out: as designed; []: none
#["thermostat.G", "handler.G"], ["thermostat.Y1", "handler.Y1"], ["thermostat.Y2", "handler.Y2"],
#["handler.Y1", "outdoor.Y1"], ["handler.Y2", "outdoor.Y2"],
#["handler.G", "drive.input_1"],
#]
#temporary = [["handler.G", "drive.input_2"]]   # jumpers, judged; never over a safety

# Every input of the drive has its row: a speed, not assigned, unknown.
#[[wiring.fan_speed]]
#input = "drive.input_1"
#designed = "36 Hz"
#found = "36 Hz"

#[[wiring.fan_speed]]
#input = "drive.input_2"
#designed = "60 Hz"
#found = "60 Hz"

# A visit. CAUTION: live panels, turning fans and belts, refrigerant under pressure, ladders and
# wet floors hurt people. Lock out before reaching in; gloves and goggles on the gauges; meters
# rated for the voltage. Never jumper a safety switch to get a reading.
[[visit]]
#date = 2026-06-18                      # no quotes
#by = "who was there"
#note = "anything worth keeping"

# What was seen on the visit as a whole. Words are fixed; unknown is always allowed.
[visit.signs]
# water_on: coil face, filters, pan rim, cabinet floor, duct, pipe, above the unit; none where all was dry
#water_on = ["pan rim", "cabinet floor"]
#pan_water = "standing"                 # dry, film, standing, full, overflowing
#drain_flow = "slow"                    # free, slow, blocked
#trap = "dry"                           # none, dry, sealed
#filters = "clean"                      # clean, loaded, missing, wet
#coil_face = "clean"                    # clean, dirty, bent
#outdoor_damper = "closed"              # closed (at its minimum), open, stuck
#belt = "tight"                         # tight, loose, worn
#fan_rotation = "right"                 # right, reversed: look at the arrow
#frost_on = "none"                      # none, tubes, suction line, coil face, compressor
#oil_trace = {value = "seen", by = "A. N. Other", at = "11:05"}

# One steady operating condition; copy the block for each. Keys of the condition stand before
# [visit.condition.air].
[[visit.condition]]
#label = "as found, both stages"
#time = 10:32:00                        # no quotes, with seconds
#calls = ["cool 1", "cool 2"]           # fan, cool 1, cool 2, heat 1, heat 2, defrost; [] is off
#running_for = "25 min"
#compressors_running = ["1"]            # names of circuits
#steady = "yes"
#coil_thawed = "yes"
#filters_clean = "yes"

[visit.condition.air]
#return_dry_bulb = "74.5 degF"
#return_wet_bulb = "62.8 degF"
#supply_dry_bulb = "55.2 degF"
#supply_wet_bulb = "54.0 degF"
#supply_measured_at = "unit"            # coil, unit (after the fan), duct, grille
#outdoor_dry_bulb = "82 degF"
#space_dry_bulb = "84 degF"              # of the air that the unit stands in, for sweating
#space_relative_humidity = "65 %"        # or space_dew_point
#duct_surface_temperature = "62 degF"    # where it is coldest: beats every assumed insulation
#outdoor_wet_bulb = "70 degF"
#mixed_dry_bulb = "76 degF"             # behind the outdoor damper, before the coil
#mixed_wet_bulb = "64 degF"
#external_static = "1.1 inH2O"
#coil_pressure_drop = "0.28 inH2O"
#filter_pressure_drop = "0.15 inH2O"
#fan_frequency = "60 Hz"
#fan_speed = "875 rpm"                  # at the wheel, by tachometer
#fan_current = "8.1 A"
#fan_current_at = "drive display"       # drive display, drive output, line

[visit.condition.circuit.1]
#suction_pressure = "118 psig"
#suction_temperature = "52 degF"
#suction_measured_at = "outdoor unit"   # or coil
#liquid_pressure = "301 psig"
#liquid_temperature = "84 degF"
# As a digital manifold shows them: used where the pair above was not written down.
#superheat = "12 degF"
#subcooling = "11 degF"
#compressor_current = "17.5 A"
# Where a heat pump's suction gas enters and leaves its reversing valve.
#valve_suction_in_temperature = "52 degF"
#valve_suction_out_temperature = "53 degF"
#sight_glass = "clear"                  # clear, bubbles, empty, none

# The second circuit, where there is one: the same keys.
#[visit.condition.circuit.2]
#suction_pressure = "116 psig"

[visit.condition.signs]
#fan_on_second_stage = "rises"          # rises, stays

# What was done, one block each.
# kind: added refrigerant, recovered refrigerant, temporary measure, cleaned, repaired, thawed,
# pressure test, evacuation
# mends: the causes that this work put right, one or several of the list below, a circuit's with its
# circuit (low_charge:2). Only this, or a later reading, closes a cause; a note never does.
@CAUSES@
#[[visit.work]]
#kind = "temporary measure"
#note = "drain line cleared by hand"
#hazards = ["wet floor"]
#expires = 2026-07-18

#[[visit.work]]
#kind = "repaired"
#mends = ["trap"]
#note = "trap rebuilt, 3.5 in to the overflow, 1.75 in of seal"

[prices]
#file = "prices.csv"                    # your own: item, unit, low, likely, high, currency

[electricity]
#price = "0.21 USD/kWh"
#hours_fan = "4000 h"

[service]
#installed = 2019-04-01
#subsector = "comfort cooling, light commercial"

[rules]
#charge_edition = "Title 24 2013"        # edition of the charge rules; left out: the newest, said
#role = "installer"                     # or verifier

[instruments]
# Kind and accuracy of what you read with (95 %); readings name the instrument.
#gauge_a = {kind = "refrigerant gauge, digital", accuracy = "±1 % of reading, at least 2 psi"}
"""


def starter_text(title: str = "New job") -> str:
    """Text of a new job file.

    Parameters
    ----------
    title : str
        Kept as typed.

    Returns
    -------
    str
        TOML that `load_job` accepts as it stands.
    """
    causes = "\n".join(f"#   {name:<20} {PLAIN[Cause(name)]}" for name in MENDABLE)
    return STARTER.replace("@CAUSES@", causes).replace("@TITLE@", tomlkit.item(title).as_string())
