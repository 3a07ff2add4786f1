"""What the air readings of one condition mean, and what they would mean if two of them were others.

Arithmetic on the air side alone: the supply air stays as it was read while the airflow or the return
humidity is varied. No forecast of the unit, whose supply air would follow.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import AirStates, CoilDuty, air_states, coil_duty, humid_stream
from hvaccalc.diagnosis.air.airflow import Airflow, airflow
from hvaccalc.diagnosis.contradictions.screening import Flag, screen
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import NOT_KNOWN, Band, band, beyond
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job
from hvaccalc.units import Quantity

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class AirBalance:
    """Air of one condition and what it gives off, by draws.

    Attributes
    ----------
    states : AirStates
    airflow : Airflow or None
        None where the fan stands still.
    duty : CoilDuty
    flags : tuple of Flag
        Contradicting readings of this condition, left out of all the rest.
    varied : frozenset of str
        ``airflow``, ``return_relative_humidity`` where they are not as read.
    """

    states: AirStates
    airflow: Airflow | None
    duty: CoilDuty
    flags: tuple[Flag, ...]
    varied: frozenset[str] = frozenset()

    @property
    def condensate(self) -> Band:
        """Condensate [kg/s]; not known where the supply air is wetter than the return air."""
        return self._humid_band(self.duty.condensate)

    @property
    def total(self) -> Band:
        """Total capacity [W]; not known where the supply air is wetter than the return air."""
        return self._humid_band(self.duty.total)

    @property
    def sensible(self) -> Band:
        """Sensible capacity [W]."""
        return band(self.duty.sensible, self.duty.possible)

    def _humid_band(self, draws: Array | None) -> Band:
        return NOT_KNOWN if draws is None or self.supply_wetter else band(draws, self.duty.possible)

    @property
    def no_air(self) -> tuple[str, ...]:
        """Streams whose readings together are no state of air: ``return``, ``supply``."""
        streams = (("return", self.states.return_air), ("supply", self.states.supply_air))
        return tuple(
            name
            for name, air in streams
            if air is not None and air.humid and not band(air.humidity_ratio, air.possible).known
        )

    @property
    def supply_wetter(self) -> bool:
        """Whether the supply air holds more water than the air that enters, beyond the readings' band."""
        entering, leaving = self.states.entering, self.states.supply_air
        if entering is None or leaving is None or not (entering.humid and leaving.humid):
            return False
        gain = leaving.humidity_ratio - entering.humidity_ratio
        return beyond(gain)

    @property
    def heated(self) -> bool:
        """Whether the supply air is warmer than the air that enters, beyond the readings' band."""
        entering, leaving = self.states.entering, self.states.supply_air
        return entering is not None and leaving is not None and beyond(leaving.dry_bulb - entering.dry_bulb)


def retyped(job: Job, where: Where, air: Mapping[str, Reading | None], elevation: Quantity | None) -> Job:
    """The same job with other air readings in one condition.

    Parameters
    ----------
    job : Job
    where : Where
    air : mapping
        Keys of ``[visit.condition.air]``; None takes a reading out. An instrument that the job names for
        a reading goes on holding for it.
    elevation : Quantity or None
        The site's.
    """
    table = job.visit[where.visit - 1].condition[where.condition - 1].air
    head = job.job.model_copy(update={"elevation": elevation})
    other = with_tables(job, where, air=table.model_copy(update=dict(air)))
    return other.model_copy(update={"job": head})


def with_tables(job: Job, where: Where, **tables: object) -> Job:
    """The same job with other tables in one condition."""
    visit = job.visit[where.visit - 1]
    condition = visit.condition[where.condition - 1].model_copy(update=tables)
    conditions = _replaced(visit.condition, where.condition - 1, condition)
    visits = _replaced(job.visit, where.visit - 1, visit.model_copy(update={"condition": conditions}))
    return job.model_copy(update={"visit": visits})


def _replaced(rows: tuple[Row, ...], place: int, row: Row) -> tuple[Row, ...]:
    return (*rows[:place], row, *rows[place + 1 :])


def air_balance(job: Job, where: Where, draws: int = 512) -> AirBalance:
    """Air of one condition as read: the same draws, and so the same numbers, as `analyse` has."""
    everything = Draws(job, draws)
    screening = screen(everything)
    kept = everything.without(screening.excluded)
    states = air_states(kept, where)
    flow = airflow(kept, states)
    flags = tuple(flag for flag in screening.flags if flag.where == where)
    return AirBalance(states, flow, coil_duty(states, flow.dry_air_flow if flow else None), flags)


def varied(
    read: AirBalance, flow: float | None = None, return_relative_humidity: float | None = None
) -> AirBalance:
    """The balance at another airflow or another humidity of the return air, the supply air as read.

    Parameters
    ----------
    read : AirBalance
        As read.
    flow : float or None
        Airflow at the return state [m3/s]; its band keeps its share of the flow. None: as read.
    return_relative_humidity : float or None
        0-1; its band keeps its width, draws beyond 0-1 are no states of air. None: as read.

    Returns
    -------
    AirBalance
        `read` itself where nothing is varied, or where what is varied was not read.
    """
    states, volume_flow = read.states, read.airflow
    changed = set()
    entering = states.return_air
    volume = None if volume_flow is None else volume_flow.flow / volume_flow.dry_air_flow
    if return_relative_humidity is not None and entering is not None and entering.humid:
        shift = return_relative_humidity - entering.relative_humidity[0]
        entering = humid_stream(
            entering.dry_bulb,
            "relative_humidity",
            entering.relative_humidity + shift,
            states.barometer.draws,
            "return_relative_humidity",
        )
        # Another return is tried without the outdoor air that was mixed in on the day.
        states = replace(states, return_air=entering, mixed_air=None)
        volume = entering.specific_volume
        changed.add("return_relative_humidity")
    if volume_flow is not None and volume is not None:
        new = volume_flow.flow
        if flow is not None:
            new = new * (flow / new[0])
            changed.add("airflow")
        share = volume_flow.rated_share * (new / volume_flow.flow)
        volume_flow = replace(volume_flow, flow=new, dry_air_flow=new / volume, rated_share=share)
    if not changed:
        return read
    duty = coil_duty(states, None if volume_flow is None else volume_flow.dry_air_flow)
    return AirBalance(states, volume_flow, duty, read.flags, frozenset(changed))
