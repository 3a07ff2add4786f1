"""Whether the fan followed the calls."""

from __future__ import annotations

from dataclasses import dataclass

from hvaccalc.diagnosis.air.airflow import speed_ratio
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import beyond
from hvaccalc.equipment.wiring.wiring_calls import Mismatch
from hvaccalc.practice.air import FULL_SPEED, STANDS_STILL
from hvaccalc.severity import Severity


@dataclass(frozen=True, slots=True)
class StagingFault:
    """The fan at another speed than the calls want.

    Attributes
    ----------
    text : Mismatch
    expected, found : str
        Speeds as typed.
    stage : int
        Highest stage called for or running.
    """

    where: Where
    text: Mismatch
    expected: str
    found: str
    stage: int

    @property
    def severity(self) -> Severity:
        """Without air the unit has to stop."""
        return self.text.severity


def staging_fault(draws: Draws, where: Where) -> StagingFault | None:
    """Fault of the fan's speed in one condition; None where it followed or nothing tells.

    Notes
    -----
    All stages on want full speed; with fewer stages any speed that turns may be by design. A heat pump
    wants full speed whenever its compressor heats (common practice, no source).
    """
    stage = compressors.stage_in_use(draws, where)
    ratio = speed_ratio(draws, where)
    if not stage or ratio is None or ratio.basis != "measured":
        return None
    read = draws.quantity(where, "fan_frequency") or draws.quantity(where, "fan_speed")
    found = read.text if read is not None else ""
    expected = _full_speed(draws, read.unit if read is not None else "")
    if ratio.draws[0] <= STANDS_STILL:
        heats = compressors.heating(draws, where)
        text = Mismatch.HEATING_WITHOUT_FAN if heats else Mismatch.COOLING_WITHOUT_FAN
        return StagingFault(where, text, expected, found, stage)
    low = beyond(FULL_SPEED - ratio.draws)
    if low and compressors.heats(draws, where):
        return StagingFault(where, Mismatch.FAN_LOW_WHILE_HEATING, expected, found, stage)
    highest = max(draws.stage(name) for name in draws.job.circuit)
    if stage >= highest and highest > 1 and low:
        return StagingFault(where, Mismatch.FAN_LOW_WITH_SECOND_STAGE, expected, found, stage)
    return None


def _full_speed(draws: Draws, unit: str) -> str:
    """Full speed in the unit of the reading."""
    full = draws.job.unit.fan.full_speed
    if full is not None and full.unit == unit:
        return full.text
    return {"Hz": "60 Hz (assumed)", "%": "100 %"}.get(unit, "full speed")
