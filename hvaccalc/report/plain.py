"""Findings in plain words and whole numbers, for somebody who owns a building."""

from collections.abc import Callable

from hvaccalc.diagnosis.air.fan_check_rows import Check, CheckName
from hvaccalc.diagnosis.air.fan_data import Turns
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.pumping import Pumps
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.diagnosis.circuits.standing_pressure import Rest
from hvaccalc.diagnosis.contradictions.fan_screening import Contradiction
from hvaccalc.diagnosis.readings.compressors import Against
from hvaccalc.diagnosis.readings.signs import SeenWrong
from hvaccalc.equipment.wiring.wiring_calls import Mismatch
from hvaccalc.findings import Finding
from hvaccalc.findings.refrigerant.circuits import topped_up
from hvaccalc.job.causes import Way
from hvaccalc.reason import Amount, Value
from hvaccalc.report.found import Found, grouped
from hvaccalc.service.repair.repair_rows import Repair
from hvaccalc.words.air import (
    BACKWARDS,
    CHECKS,
    DUCT_SURFACE,
    LOADS,
    OUTDOORS,
    WHEELS,
    load_values,
    share_values,
)
from hvaccalc.words.charge import FEED_OFF, LOOKS, PLATE, PUMPS, RESTS, STOP_UNCALLED, VERDICTS
from hvaccalc.words.said import NOT_SAID, NOT_TOLD, chance, rounded
from hvaccalc.words.water import SEEN, WAYS


def names(found: Found, checks: list[Check]) -> list[str]:
    """Checks by their names; for the customer the motor's current once."""
    seen = {check.name for check in checks}
    twice = found.plain and CheckName.MOTOR_CURRENT in seen
    those = [c.name for c in checks if not (twice and c.name is CheckName.SERVICE_FACTOR)]
    return [found.teller.tell(name) for name in those]


def check(finding: Finding, found: Found) -> str:
    """One check that failed."""
    name = CheckName(finding.key.removeprefix("fan.check.").replace("_", " "))
    result = found.result(finding)
    checks = result.speed.checks if result is not None and result.speed is not None else ()
    one = next((c for c in checks if c.name is name), None)
    words = CHECKS[name].out_of_limits
    if one is None or words is NOT_SAID or not one.value.known:
        return f"Out of its limits at the fan's speed: {found.teller.tell(name)}."
    limit: Value = Amount(one.limit, one.kind) if one.limit is not None else ""
    return _water(found.teller.fill(words, {"value": Amount(one.value, one.kind), "limit": limit}))


def motor(finding: Finding, found: Found) -> str:
    """The fan's motor beside its plate."""
    result = found.result(finding)
    assert result is not None and result.motor is not None
    return found.teller.fill(LOADS[result.motor.text], load_values(result.motor))


def wheel(finding: Finding, found: Found) -> str:
    """The speed of the fan's wheel."""
    return WHEELS[Turns(finding.text or "")].customer


def rotation(finding: Finding, found: Found) -> str:
    """A wheel that turns backwards."""
    return BACKWARDS.customer


def outdoor_air(finding: Finding, found: Found) -> str:
    """Outdoor air in the mixed air."""
    result = found.result(finding)
    assert result is not None and result.outdoors is not None
    return found.teller.fill(OUTDOORS[result.outdoors.text], share_values(result.outdoors))


def duct(finding: Finding, found: Found) -> str:
    """A duct's surface against the damp of the air round it."""
    result = found.result(finding)
    assert result is not None and result.duct is not None
    return DUCT_SURFACE[result.duct.text].customer


def _water(number: str) -> str:
    """Inches of a water column without their abbreviation."""
    return number.replace("in w.c.", "inches of water")


def number(finding: Finding, kind: str, display: str) -> str:
    """A number and its range without needless decimals.

    Examples
    --------
    >>> fan = Finding("", "", 1, 1, None, "", 2.107, 1.58, 2.63, "m3/s", None, "computed", (), "note", ())
    >>> number(fan, "airflow", "us"), number(fan, "airflow", "si")
    ('about 4,500 cfm (3,300 to 5,600)', 'about 2.1 m³/s (1.6 to 2.6)')
    """
    return rounded(finding.band, kind, display)


def sentence(finding: Finding, found: Found) -> str:
    """One finding for the customer; as it stands where no plain form is known."""
    if finding.key.startswith("fan.check."):
        return check(finding, found)
    if finding.key.startswith("signs."):
        return SEEN[SeenWrong(finding.text or "")].customer
    speak = _SPEAK.get(finding.key)
    return speak(finding, found) if speak is not None else finding.statement


def fan(finding: Finding, found: Found) -> str:
    """The fan against the calls."""
    if finding.visit is None:
        return "The control wiring is not as it was designed, and the unit cannot follow its thermostat."
    result = found.result(finding)
    fault = result.staging if result is not None else None
    if result is None or fault is None:
        return finding.statement
    if fault.text.without_fan:
        mode = "heating" if fault.text is Mismatch.HEATING_WITHOUT_FAN else "cooling"
        return f"The {mode} ran while the fan stood still. It must stay off until the fan runs."
    ratio = result.airflow.speed_ratio if result.airflow else None
    speed = f"{100 * ratio.draws[0]:.0f} % of its full speed" if ratio else "too low a speed"
    what = "heat pump heating" if fault.text is Mismatch.FAN_LOW_WHILE_HEATING else "whole cooling on"
    return f"With the {what}, the fan ran at {speed} ({fault.found} where {fault.expected} belongs)."


def back_feed(finding: Finding, found: Found) -> str:
    """A compressor or heat started by the wrong call."""
    return "The control wiring starts part of the cooling or heating when it should stand still."


def measure(finding: Finding, found: Found) -> str:
    """A temporary wire."""
    calls = found.analysis.calls
    if calls is not None and calls.measure is not None and calls.measure.refused:
        return refused(found)
    return "A temporary wire is in place, tagged; it has to come out by its date."


def refused(found: Found) -> str:
    """A temporary wire that must not be."""
    if any(one.repair is Repair.TAKE_JUMPER_OFF for one in found.analysis.repairs.called):
        return "A temporary wire runs part of the cooling when nobody asks for it: it is taken off today."
    return "A temporary wire was considered and refused: it is not safe as things stand."


def compressor(finding: Finding, found: Found) -> str:
    """A compressor that runs without a call, or stands though it is called."""
    result = found.result(finding)
    if finding.text != Against.UNCALLED or result is None:
        return finding.statement
    words = FEED_OFF if result.fan_at_full else STOP_UNCALLED
    return words.customer.format(circuit=finding.circuit)


def air(finding: Finding, found: Found) -> str:
    """The airflow."""
    how = {
        "measured": "measured",
        "computed": "worked out from a point where it was known, or from the fan's curve",
        "assumed": "assumed: nothing was read",
    }.get(finding.basis, "estimated, not measured")
    rated = found.job.unit.rated_airflow
    unit = (
        "cubic feet of air a minute (cfm)" if found.display == "us" else "cubic metres of air a second (m³/s)"
    )
    return (
        f"Air through the unit: {number(finding, 'airflow', found.display)}, {how}. The unit is rated for "
        f"{grouped(rated.text)}; the numbers are {unit}."
    )


def metal(finding: Finding, found: Found) -> str:
    """The coldest metal."""
    return (
        f"The coldest part of the cooling coil was at {number(finding, 'temperature', found.display)}; "
        f"water freezes at {freezing(found)}."
    )


def ice(finding: Finding, found: Found) -> str:
    """Probability of freezing."""
    what = (
        "part of the cooling coil was" if finding.key.endswith("fin") else "the refrigerant in the coil was"
    )
    if finding.value is None:
        return f"Whether {what} below freezing cannot be told yet."
    return f"The chance that {what} below freezing, where ice grows, is {chance(finding.value)}."


def ice_seen(finding: Finding, found: Found) -> str:
    """Ice on the coil; what it does to readings is for the file."""
    return f"Ice was seen on {finding.text}: the coil froze."


def charge(finding: Finding, found: Found) -> str:
    """A circuit's charge."""
    return f"Cooling circuit {finding.circuit} {holds(finding, found)}."


def holds(finding: Finding, found: Found) -> str:
    """What a circuit holds, as its verdict is told."""
    judged = found.judged(finding)
    told = judged.told if judged is not None else ChargeVerdict(finding.text or "")
    return VERDICTS[told].customer


def superheat(finding: Finding, found: Found) -> str:
    """Liquid that may come back."""
    if finding.severity.unsettled:
        return (
            f"The compressor of circuit {finding.circuit} has little margin against liquid refrigerant; "
            "what was read behind it does not show that any gets in."
        )
    if finding.severity.stops:
        return (
            f"Liquid refrigerant reaches the compressor of circuit {finding.circuit}, which can wreck it: it "
            "stays off until that is put right."
        )
    return (
        f"Liquid refrigerant may be reaching the compressor of circuit {finding.circuit}, which can wreck "
        "it; this needs checking soon."
    )


def subcooling(finding: Finding, found: Found) -> str:
    """Gas in the liquid line."""
    return (
        f"Circuit {finding.circuit} carries gas where only liquid belongs: refrigerant looks to be missing."
    )


def drier(finding: Finding, found: Found) -> str:
    """A drier that holds the liquid back."""
    return f"The refrigerant filter of cooling circuit {finding.circuit} is clogged and holds it back."


def condenser_fans(finding: Finding, found: Found) -> str:
    """A condenser fan that stands."""
    return f"A fan of the outdoor unit of circuit {finding.circuit} stands ({finding.text})."


def outdoor_coil(finding: Finding, found: Found) -> str:
    """Condensing too far above the outdoor air."""
    return (
        f"The outdoor unit of circuit {finding.circuit} does not give its heat away as it should: a dirty "
        "coil, air that returns to it, air in the circuit or too much refrigerant. Its coil is looked at "
        "first."
    )


def pumping(finding: Finding, found: Found) -> str:
    """A compressor that does not pump, or draws more than its plate allows."""
    words = PUMPS[Pumps(finding.text or "")]
    judged = found.judged(finding)
    share = judged.pumping.plate_share if judged is not None else None
    if words.customer is NOT_TOLD and share is not None:
        words = PLATE
    said = words.customer.format(share=100.0 * (share or 0.0))
    return f"The compressor of circuit {finding.circuit} {said}"


def standing(finding: Finding, found: Found) -> str:
    """A circuit's pressure at rest."""
    return f"Cooling circuit {finding.circuit} {RESTS[Rest(finding.text or '')].customer}"


def contrast(finding: Finding, found: Found) -> str:
    """One circuit against the other."""
    pattern = LOOKS[Suspicion(finding.text or "")].customer
    topped = finding.text == Suspicion.OVERCHARGE and topped_up(found.job)
    if finding.circuit is None:
        return f"The cooling circuits side by side: {pattern}."
    return (
        f"Cooling circuit {finding.circuit} stands out against the other, which works in the same air: "
        f"{pattern}{', which goes with the top-up that was reported' if topped else ''}."
    )


def water(finding: Finding, found: Found) -> str:
    """The way of the water that stands out."""
    budget = found.analysis.water
    nothing = budget is not None and budget.nothing_in_the_unit
    start = "Nothing in the unit can make this water. It is " if nothing else "The water comes from "
    return f"{start}{WAYS[Way(finding.text or '')].plain}."


def reading(finding: Finding, found: Found) -> str:
    """A contradiction among readings."""
    if finding.text == Contradiction.MISTYPED_MAYBE:
        return "One reading does not fit those taken beside it and has to be taken again."
    return "Some readings cannot be true together; they were not used and have to be taken again."


def freezing(found: Found) -> str:
    """Where water freezes."""
    return "32 °F" if found.display == "us" else "0 °C"


_SPEAK: dict[str, Callable[[Finding, Found], str]] = {
    "water.dominant": water,
    "staging.fault": fan,
    "staging.backfeed": back_feed,
    "staging.measure": measure,
    "airflow.reconciled": air,
    "air.outdoor_air": outdoor_air,
    "air.duct_surface_over_dew_point": duct,
    "air.outdoor_fraction": outdoor_air,
    "fan.motor_load": motor,
    "fan.rotation": rotation,
    "fan.wheel": wheel,
    "coil.coldest_surface": metal,
    "coil.ice_seen": ice_seen,
    "freeze.probability.fin": ice,
    "freeze.probability.suction": ice,
    "circuit.charge": charge,
    "circuit.contrast": contrast,
    "circuit.compressor": compressor,
    "circuit.pumping": pumping,
    "circuit.standing_pressure": standing,
    "circuit.superheat": superheat,
    "circuit.subcooling": subcooling,
    "circuit.condensing_over_outdoor": outdoor_coil,
    "circuit.condenser_fans": condenser_fans,
    "circuit.drier_drop": drier,
    "reading.contradiction": reading,
}
