"""Findings on the fan: before its speed is raised, the price of full speed, the rule on staging."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.fan_check_rows import CheckState, SpeedCheck, to_show
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import Band, band
from hvaccalc.findings.finding import Finding, Writer, finding_id
from hvaccalc.practice.statements import ALL_GIVEN_BACK
from hvaccalc.service.fan.energy import FullSpeedPenalty
from hvaccalc.service.fan.fan_staging_rule import Staged, StagingRule
from hvaccalc.words.air import BACKWARDS, CHECK_THE_CODE, LOADS, WHEELS, load_values, wheel_values
from hvaccalc.words.said import Reader, banded
from hvaccalc.words.speak import teller

JOULES_PER_KWH = 3.6e6


@dataclass(frozen=True, slots=True)
class FanService:
    """What follows from the fan's staging."""

    energy: FullSpeedPenalty | None
    rule: StagingRule


def fan(writer: Writer, results: Sequence[ConditionResult], service: FanService | None) -> None:
    """All findings on the fan as a whole."""
    checks = to_show(result.speed for result in results)
    if checks is not None and writer.draws.job.unit.fan.given:
        _speed_checks(writer, checks)
    if service is not None:
        _service(writer, service)


def service_findings(draws: Draws, service: FanService) -> tuple[Finding, ...]:
    """Price and rule alone, for one who looks at a single condition."""
    writer = Writer(draws)
    _service(writer, service)
    return tuple(writer.found)


def motor(writer: Writer, result: ConditionResult) -> None:
    """The fan's motor at the speed at which it runs."""
    load = result.motor
    if load is None:
        return
    writer.verdict(
        "fan.motor_load",
        result.where,
        load.text,
        writer.to.fill(LOADS[load.text], load_values(load)),
        basis="measured",
        sources=("fan_checks",),
        severity=load.severity,
    )


class Rotation(StrEnum):
    """What is said of the way round that a wheel turns."""

    BACKWARDS = "backwards"


def wheel(writer: Writer, result: ConditionResult) -> None:
    """The speed of a belt-driven wheel, and the way round."""
    found, where = result.wheel, result.where
    if found is not None:
        writer.verdict(
            "fan.wheel",
            where,
            found.text,
            writer.to.fill(WHEELS[found.text], wheel_values(found)),
            basis="measured",
            sources=("fan_checks",),
            severity=found.severity,
        )
    if result.backwards:
        writer.verdict(
            "fan.rotation",
            where,
            Rotation.BACKWARDS,
            BACKWARDS.file,
            basis="measured",
            sources=("fan_checks",),
            severity=result.rotation_severity,
        )


def _service(writer: Writer, service: FanService) -> None:
    if service.energy is not None:
        _penalty(writer, service.energy)
    if _speaks_of_staging(writer):
        _rule(writer, service.rule)


def _speaks_of_staging(writer: Writer) -> bool:
    job = writer.draws.job
    return bool(job.unit.fan.drive or job.unit.fan.low_speed or job.rules.energy_code)


def _speed_checks(writer: Writer, checks: SpeedCheck) -> None:
    """One finding for each check and one for all."""
    inputs, to = [], teller(Reader.FILE, writer.display)
    for check in checks.checks:
        key = "fan.check." + check.name.replace(" ", "_")
        writer.verdict(
            key,
            checks.where,
            check.state,
            to.tell(check.why),
            sources=("fan_laws", "fan_checks"),
            severity=check.severity,
        )
        inputs.append(finding_id(key, checks.where))
    told_as = {CheckState.FAIL: "fails", CheckState.NOT_YET: "not known", CheckState.PASS: "passes"}
    names = {s: [to.tell(c.name) for c in checks.checks if c.state is s] for s in told_as}
    told = (
        f"Before the fan's speed is raised from {100 * checks.present:.0f} to {100 * checks.wanted:.0f} % "
        "of full speed"
        if checks.raises
        else f"With the fan at {100 * checks.present:.0f} % of full speed"
    )
    parts = [f"{words}: {', '.join(names[state])}" for state, words in told_as.items() if names[state]]
    writer.verdict(
        "fan.speed_check", checks.where, checks.state, f"{told}: {'; '.join(parts)}.", inputs=inputs
    )


def _penalty(writer: Writer, penalty: FullSpeedPenalty) -> None:
    job, power = Where(), penalty.power
    exponent, share = power.exponent, power.share
    watts = band(power.penalty)
    shown = banded(watts, "power", writer.display)
    how = (
        "both read"
        if power.basis == "measured"
        else f"power follows speed with an exponent of {exponent.low:.1f} to {exponent.high:.1f}"
    )
    writer.amount(
        "energy.full_speed_penalty_power",
        job,
        f"At full speed the fan takes {shown} more than at its low speed, "
        f"{100 * power.low_speed:.0f} % of full; there it takes {100 * share.value:.0f} % of full power "
        f"({how}).",
        watts,
        "power",
        basis=power.basis if power.basis != "nameplate" else "computed",
        sources=("fan_power", "fan_laws"),
    )
    if penalty.energy is not None and penalty.hours is not None:
        _energy(writer, penalty, penalty.energy, penalty.hours)
    _moisture(writer, penalty)


def _energy(writer: Writer, penalty: FullSpeedPenalty, energy: Array, hours: float) -> None:
    job, inputs = Where(), (finding_id("energy.full_speed_penalty_power", Where()),)
    year = band(energy)
    text = (
        f"Full speed at all times takes {_amount(year, 1 / JOULES_PER_KWH)} kWh a year more than staged "
        f"({hours:,.0f} h a year at which the low speed would do)."
    )
    sources = ("fan_power",)
    key = "energy.full_speed_penalty_"
    writer.amount(f"{key}energy", job, text, year, "J", sources=sources, inputs=inputs)
    if penalty.cost is None or penalty.week is None:
        return
    cost, week, money = band(penalty.cost), band(penalty.week), penalty.currency
    price = writer.draws.job.electricity.price
    text = f"Full speed at all times costs {_amount(cost)} {money} a year more than staged"
    text += f", at {price.text}." if price is not None else "."
    writer.amount(f"{key}cost", job, text, cost, f"{money}/year", sources=sources, inputs=inputs)
    temporary = bool(writer.draws.job.wiring.temporary) or any(
        work.kind == "temporary measure" and work.removed is None
        for visit in writer.draws.job.visit
        for work in visit.work
    )
    text = f"Each week at full speed costs {_amount(week)} {money} on the year's average"
    text += ": the price of a temporary jumper that keeps it there." if temporary else "."
    writer.amount(f"{key}week", job, text, week, f"{money}/week", sources=sources, inputs=inputs)


def _moisture(writer: Writer, penalty: FullSpeedPenalty) -> None:
    if penalty.moisture is None or penalty.moisture_low is None or penalty.made is None:
        return
    whole, made = band(penalty.moisture + penalty.moisture_low), band(penalty.made)
    if not (whole.known and made.known):
        return
    stated = (
        "" if penalty.stated else " (the model is stated for single-stage units below 19 kW: an estimate)"
    )
    all_of_it = whole.value > ALL_GIVEN_BACK * made.value
    back = "all" if all_of_it else _mass(writer, whole)
    text = (
        f"A fan that never stops may give back to the rooms, while the compressors rest, up to {back} of the "
        f"{_mass(writer, made)} of water that the coil makes in a year at the rates {penalty.rates}, "
        f"{_more(writer, band(penalty.moisture))} at full speed than at its low speed{stated}."
    )
    writer.amount(
        "energy.re_evaporated_water",
        Where(),
        text,
        whole,
        "mass",
        basis="computed" if penalty.stated else "rule of thumb",
        sources=("part_load_latent",),
    )


def _more(writer: Writer, more: Band) -> str:
    """What full speed adds; a band that ends at nothing is told by its upper end."""
    if not more.high > 0.0 or _pounds(writer, more.high) == "0":
        return "no more"
    if more.value <= more.low + 0.01 * (more.high - more.low):
        return f"up to {_pounds(writer, more.high)} {_mass_unit(writer)} more"
    return f"{_mass(writer, more)} more"


def _rule(writer: Writer, rule: StagingRule) -> None:
    asked = "Whether a staged fan is required is" if rule.text is Staged.UNCLEAR else "A staged fan is"
    parts = [f"{asked} {rule.text} by {rule.edition.title}: {writer.to.tell(rule.why)}."]
    staged = rule.edition.staged
    if rule.text is not Staged.NOT_REQUIRED:
        parts.append(
            f"Where it binds, the lowest stage may have {100 * staged.speed:.0f} % of full speed and "
            f"{100 * staged.power:.0f} % of full power (staged by the space temperature), so full speed at "
            f"all times breaks it; this unit's design: {rule.design}."
        )
    if rule.text is Staged.REQUIRED and rule.found_full:
        parts.append(f"As found the fan ran at full speed with the first stage alone ({rule.found_full}).")
    if rule.settle:
        parts.append(f"What would settle it: {'; '.join(rule.settle)}.")
    parts += [writer.to.tell(rule.notice)] if rule.notice is not None else []
    parts.append(CHECK_THE_CODE)
    writer.verdict(
        "fan.staging_rule",
        Where(),
        rule.text,
        " ".join(parts),
        basis="computed" if rule.edition.standing == "published" else "rule of thumb",
        sources=("fan_staging_rules",),
        severity=rule.severity,
    )


def _amount(value: Band, factor: float = 1.0) -> str:
    low, middle, high = (factor * part for part in value.low_to_high)
    return f"{middle:,.0f} ({low:,.0f} to {high:,.0f})"


def _mass(writer: Writer, value: Band) -> str:
    """A mass to two digits, as a year's estimate deserves."""
    low, middle, high = (_pounds(writer, part) for part in value.low_to_high)
    return f"{middle} {_mass_unit(writer)} ({low} to {high})"


def _mass_unit(writer: Writer) -> str:
    return "lb" if writer.display == "us" else "kg"


def _pounds(writer: Writer, mass: float) -> str:
    shown = float(units.to(mass, _mass_unit(writer), "mass"))
    return f"{float(f'{shown:.2g}'):,.0f}"
