"""What to know of a job although nothing is refused: how it was taken, what is unused, what is unusual.

A key that is added counts as not used until it stands in `USED`: whoever makes it count registers it.

Typed values that a file may hold and a unit hardly can: kept as typed, and told.

Limits are common practice, no source: several times what split systems have, so that a usual job says
nothing.
"""

from collections.abc import Iterator
from typing import Any

from hvaccalc import units
from hvaccalc.job.checks.cross_checks import key_without_names, values_of
from hvaccalc.job.checks.plates import TON, share_of, unusual_plates
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job, Notice
from hvaccalc.job.text.key_lines import Location, key_text
from hvaccalc.job.visit_tables import Sign
from hvaccalc.units import Quantity

VOLUME_PER_TON = float(units.si(1.0, "ft3", "volume"))
"""Most that a condenser, or a receiver, encloses for each ton [m3]; usual condensers: 0.1 to 0.2 ft3."""

CAPACITY_PER_TON = float(units.si(60.0, "lb", "mass"))
"""Most that a maker states as pump-down capacity for each ton [kg]: the volume above four fifths full."""


def unusual_circuits(job: Job) -> Iterator[Notice]:
    """Notices on condensers and receivers."""
    for name, circuit in job.circuit.items():
        for key in beyond(job, name):
            text = f"{getattr(circuit.condenser, key).text} is more than any unit of this rating has: "
            yield Notice(
                "unusual.condenser", f"circuit.{name}.condenser.{key}", text + "it is taken as not known."
            )


def beyond(job: Job, name: str) -> tuple[str, ...]:
    """Keys of a circuit's condenser whose values no unit of its rating has: they must promise nothing."""
    circuit = job.circuit[name]
    tons = job.unit.rated_capacity.value * share_of(job, name) / TON
    most = {
        "volume": VOLUME_PER_TON * tons,
        "receiver_volume": VOLUME_PER_TON * tons,
        "pumpdown_capacity": CAPACITY_PER_TON * tons,
    }
    typed = {key: getattr(circuit.condenser, key) for key in most}
    return tuple(key for key, value in typed.items() if value is not None and value.value > most[key])


ABOVE_FULL = 1.25
FIELD_LINE = float(units.si(0.1, "lb", "mass") / units.si(1.0, "ft", "length"))
LINE_WHERE_UNTYPED = float(units.si(100.0, "ft", "length"))
"""What a circuit may hold above its plate: a quarter of overcharge, and liquid in each metre of its line
[kg/m] (5/8 in of R-410A takes as much); the length where none is typed [m]."""


def unusual(job: Job) -> Iterator[Notice]:
    """Notices on condensers and recovered refrigerant."""
    yield from unusual_circuits(job)
    yield from _recovered(job)


def _recovered(job: Job) -> Iterator[Notice]:
    for v, visit in enumerate(job.visit, start=1):
        for name, circuit in job.circuit.items():
            held = circuit.full_charge or circuit.nameplate_charge
            taken = [
                (w, work.amount)
                for w, work in enumerate(visit.work, start=1)
                if work.kind == "recovered refrigerant" and work.amount is not None
                and name == (work.circuit or (name if len(job.circuit) == 1 else None))
            ]  # fmt: skip
            if held is None or not taken:
                continue
            line = circuit.lines.liquid_length
            most = ABOVE_FULL * held.value
            most += FIELD_LINE * (LINE_WHERE_UNTYPED if line is None else line.value)
            whole = sum(amount.value for _, amount in taken)
            if whole > most:
                text = (
                    f"{_mass(whole, job)} recovered from circuit {name}, which holds {held.text} when full: "
                    "it cannot have held that much. Amount, circuit or charge is typed wrong; kept and "
                    "printed, not taken into any number."
                )
                yield Notice("unusual.recovered", f"visit[{v}].work[{taken[-1][0]}].amount", text)


def _mass(value: float, job: Job) -> str:
    return units.value_text(value, "mass", job.display)


USED: dict[str, str] = {
    "": "format display",
    "job": (
        "title customer work_order company licence reported site prepared_by elevation water_seen water_when "
        "seed"
    ),
    "unit": (
        "name model serial location kind rated_capacity rated_airflow rated_sensible_heat_ratio "
        "rated_return_dry_bulb rated_return_wet_bulb rated_outdoor rated_suction_saturation circuiting "
        "air_path filter_area"
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
        "refrigerant outdoor_model outdoor_serial metering stage capacity_share nameplate_charge full_charge "
        "target_subcooling target_superheat rated_condensing_saturation rated_superheat rated_load_current "
        "chart_requires"
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
        "belt outdoor_damper fan_rotation "
        "pump sweating_on timing pour_test tested_with_fan tested_with_door coil_thawed "
        "water_with_cooling_off hot_water_coil float_switch oil_trace leak_detector sensing_bulb"
    ),
    "visit.condition": ("label time calls running_for compressors_running steady coil_thawed filters_clean"),
    "visit.condition.air": (
        "return_dry_bulb return_wet_bulb return_dew_point return_relative_humidity supply_dry_bulb "
        "supply_wet_bulb supply_dew_point supply_relative_humidity supply_measured_at mixed_dry_bulb "
        "mixed_wet_bulb outdoor_wet_bulb outdoor_dry_bulb space_dry_bulb space_dew_point "
        "space_relative_humidity duct_surface_temperature barometer airflow coil_pressure_drop "
        "filter_pressure_drop external_static fan_frequency fan_speed fan_current fan_power fan_current_at "
        "duct_area condensate_rate electric_heat"
    ),
    "visit.condition.air.traverse": "velocities area",
    "visit.condition.circuit": (
        "suction_pressure liquid_pressure discharge_pressure suction_temperature liquid_temperature "
        "discharge_temperature superheat subcooling drier_in_temperature drier_out_temperature "
        "suction_measured_at liquid_measured_at discharge_measured_at refrigerant_mass_flow compressor_power "
        "valve_suction_in_temperature valve_suction_out_temperature compressor_current sight_glass "
        "condenser_fans_running"
    ),
    "visit.condition.signs": (
        "water_on pan_water drain_flow trap drain_air frost_on filters coil_face fan_on_second_stage "
        "belt outdoor_damper fan_rotation "
        "pump sweating_on timing pour_test tested_with_fan tested_with_door coil_thawed "
        "water_with_cooling_off hot_water_coil float_switch oil_trace leak_detector sensing_bulb"
    ),
    "visit.condition.voltage": "from to value call input input_status",
    "visit.work": "kind mends time circuit amount note hazards expires removed",
    "electricity": "price hours_fan hours_cool_1 hours_cool_2",
    "rules": "charge_edition role energy_code",
    "service": "installed",
    "instruments": "kind accuracy repeatability",
}
"""By table, the job's own keys under an empty name: what a result, a finding or a caution rests on, and who
and what the memo's head names."""

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


ABSOLUTE = "pressure_absolute"
"""Code of the notice on pressures whose unit is doubtful: the memo's first page shows it."""

REPAIRS = ("repaired", "cleaned", "recovered refrigerant")
"""Kinds of work that put something right; a temporary measure does not."""


def _repairs_of_nothing(job: Job) -> Iterator[str]:
    """Places of repairs in a file in which no work, and no leak, says what was put right."""
    if any(circuit.leak.repaired for circuit in job.circuit.values()):
        return
    works = [(v, w, work) for v, visit in enumerate(job.visit) for w, work in enumerate(visit.work)]
    if not any(work.mends for _, _, work in works):
        yield from (f"visit[{v + 1}].work[{w + 1}]" for v, w, work in works if work.kind in REPAIRS)


def words_taken(job: Job, tables: dict[str, Any]) -> Iterator[Notice]:
    """Words of the file that were taken as others, in the file's own spelling."""
    for location, value in values_of(job):
        at: Any = tables
        for part in location:  # a list of one, and a traverse, may stand bare
            within = isinstance(at, list if isinstance(part, int) else dict)
            at = at[part] if within else at
        typed = at.get("value") if isinstance(at, dict) else at
        words = value.values if isinstance(value, Sign) else (value,)
        for written, word in zip(typed if isinstance(typed, list) else [typed], words, strict=False):
            if isinstance(written, str) and isinstance(word, str) and written != word:
                yield Notice("word_taken", key_text(location), f'"{written}" was taken as "{word}"')


def notices_of(job: Job) -> Iterator[Notice]:
    """Notices that follow from the job's keys alone."""
    typed: dict[str, None] = {}
    bare: Location | None = None
    absolute: tuple[Location, Quantity] | None = None
    for location, value in values_of(job):
        if not isinstance(value, dict):
            typed[key_without_names(location)] = None
        quantity = value.quantity if isinstance(value, Reading) else value
        if isinstance(quantity, Quantity) and quantity.notice:
            yield Notice("unit_taken", key_text(location), f'{quantity.notice}: "{quantity.text}"')
        if absolute is None and isinstance(value, Reading) and value.quantity.kind == "pressure":
            absolute = None if value.quantity.gauge else (location, value.quantity)
        if bare is None and isinstance(value, Reading) and value.instrument is None:
            bare = location
    if bare is not None:
        text = "readings without a named instrument get the default accuracy of their kind"
        yield Notice("default_accuracy", key_text(bare), text + " (common practice, no source)")
    if absolute is not None:
        text = (
            f'Pressure typed absolute, as "{absolute[1].text}", where a gauge on site shows it above the '
            "barometer: taken as typed. Look at the gauge before acting on the charge."
        )
        yield Notice(ABSOLUTE, key_text(absolute[0]), text)
    if job.wiring.given and not (job.wiring.terminals or job.wiring.designed):
        yield Notice("wiring_not_used", "wiring", "no terminals are listed, so no call can be followed")
    yield from unusual(job)
    yield from unusual_plates(job)
    if place := next(_repairs_of_nothing(job), None):
        text = "no work says what it put right (mends), so none closes a cause; a later reading can"
        yield Notice("mends_not_said", place, text)
    printed = [key for key in typed if _registered(key, ALL_PRINTED)]
    unused = [key for key in typed if not _registered(key, ALL_USED | ALL_PRINTED)]
    if printed:
        yield Notice("printed_only", ", ".join(printed), "read, checked and printed, not computed with")
    if unused:
        yield Notice("not_used_yet", ", ".join(unused), "read and checked, not used yet")


def _registered(key: str, those: frozenset[str]) -> bool:
    """Whether a key, or the key that holds it, is registered."""
    parts = key.split(".")
    return any(".".join(parts[:end]) in those for end in range(1, len(parts) + 1))
