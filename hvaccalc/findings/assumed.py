"""Every default in use as a finding, so that nothing is taken silently."""

from hvaccalc.diagnosis.readings import rated_unit
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import Band
from hvaccalc.findings.finding import Writer
from hvaccalc.words.said import joined


def assumed(writer: Writer) -> None:
    """Every default in use, so that nothing is taken silently."""
    unit, draws = writer.draws.job.unit, writer.draws
    job = Where()
    rated = draws.rated_suction_saturation
    if rated.basis == "assumed":
        writer.number(
            "assumed.rated_suction_saturation",
            job,
            rated.draws,
            "temperature",
            "Rated suction saturation is not known and was assumed: {}.",
            basis="assumed",
            sources=("rated_suction",),
        )
    if draws.rated_sensible_ratio.basis == "assumed":
        writer.number(
            "assumed.rated_sensible_heat_ratio",
            job,
            draws.rated_sensible_ratio.draws,
            "fraction",
            "The rated sensible heat ratio was assumed: {}.",
            basis="assumed",
            sources=("design_rating",),
        )
    if draws.rated_fan_power.basis == "assumed":
        writer.number(
            "assumed.fan_power",
            job,
            draws.rated_fan_power.draws,
            "power",
            "Fan power at the rated airflow was assumed, for its airflow as in two measured units: {}.",
            basis="assumed",
        )
    typed = unit.model_fields_set
    keys = ("rated_return_dry_bulb", "rated_return_wet_bulb")
    for key, value in zip(keys, draws.rated_return, strict=True):
        if key not in typed:
            writer.number(
                f"assumed.{key}",
                job,
                Band(value, value, value),
                "temperature",
                f"The {key.replace('_', ' ')} was assumed: {{}}.",
                basis="assumed",
                sources=("design_rating",),
            )
    _assumed_places(writer)
    if len(draws.job.circuit) > 1:
        _assumed_circuits(writer)


def _assumed_places(writer: Writer) -> None:
    """Full speed, and where readings were taken, once for the job where a reading rests on them."""
    job = writer.draws.job
    conditions = [condition for visit in job.visit for condition in visit.condition]
    full, reads_hertz = job.unit.fan.full_speed, any(c.air.fan_frequency for c in conditions)
    if reads_hertz and (full is None or full.unit != "Hz"):
        text = "The fan's full speed was taken to be 60 Hz."
        writer.verdict("assumed.full_speed", Where(), "60 Hz", text, basis="assumed")
    if any(c.air.supply_dry_bulb and c.air.supply_measured_at is None for c in conditions):
        text = "Supply air was taken to be read after the fan where the place was not noted."
        writer.verdict("assumed.supply_measured_at", Where(), "unit", text, basis="assumed")
    circuits = [circuit for c in conditions for circuit in c.circuit.values()]
    if any(c.suction_pressure and c.suction_measured_at is None for c in circuits):
        text = "Suction was taken to be read at the outdoor unit where the place was not noted."
        writer.verdict("assumed.suction_measured_at", Where(), "outdoor unit", text, basis="assumed")


def _assumed_circuits(writer: Writer) -> None:
    job = writer.draws.job
    if job.unit.circuiting in (None, "unknown"):
        writer.verdict(
            "assumed.circuiting",
            Where(),
            "unknown",
            "How the circuits lie in the coil is not known: every kind was taken as equally likely.",
            basis="assumed",
        )
    names = [name for name, circuit in job.circuit.items() if rated_unit.not_known(circuit.metering)]
    if names:
        of = f"circuit{'s' if len(names) > 1 else ''} {joined(names)}"
        writer.verdict(
            "assumed.metering",
            Where(),
            "unknown",
            f"What meters the refrigerant of {of} is not known: a valve and a fixed orifice were taken as "
            "equally likely.",
            basis="assumed",
        )
    if any(circuit.capacity_share is None for circuit in job.circuit.values()):
        writer.verdict(
            "assumed.capacity_share",
            Where(),
            "equal",
            "The circuits were taken to share the capacity equally.",
            basis="assumed",
        )
