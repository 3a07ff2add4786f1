"""What a finding is, and the writer that collects them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import TypedDict, Unpack

from hvaccalc import units
from hvaccalc.arrays import Array, Mask
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.pumping import Pumps
from hvaccalc.diagnosis.charge.verdicts import VERDICTS
from hvaccalc.diagnosis.circuits.standing_pressure import Rest
from hvaccalc.diagnosis.readings.compressors import Against
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.signs import CAUSES_SEEN
from hvaccalc.ensemble import NOT_KNOWN, Band, band
from hvaccalc.equipment.wiring.wiring_calls import Mismatch
from hvaccalc.job.causes import Cause, Way
from hvaccalc.practice.statements import MASKED_WORTH_SAYING
from hvaccalc.severity import Severity
from hvaccalc.words.said import Reader, banded, chance
from hvaccalc.words.speak import teller

_BY_KEY: dict[str, Cause | Way] = {
    "airflow.short": Cause.LOW_AIRFLOW,
    "circuit.condenser_fans": Cause.CONDENSER_AIR,
    "circuit.condensing_over_outdoor": Cause.CONDENSER_AIR,
    "circuit.drier_drop": Cause.RESTRICTION,
    "coil.ice_seen": Way.MELT,
    "air.outdoor_air": Cause.OUTDOOR_AIR,
    "fan.rotation": Cause.REVERSED_ROTATION,
    "fan.wheel": Cause.BELT,
    "freeze.probability.fin": Way.MELT,
    "freeze.probability.suction": Way.MELT,
    "trap.required_height": Cause.TRAP,
    "trap.standing_water": Cause.TRAP,
    **{
        f"signs.{seen.value.replace(': ', '.').replace(' ', '_')}": cause
        for seen, cause in CAUSES_SEEN.items()
        if cause is not None
    },
}

_BY_VERDICT: Mapping[str, Mapping[str, Cause | Way | None]] = {
    "staging.fault": {
        Mismatch.FAN_LOW_WITH_SECOND_STAGE: Cause.FAN_STUCK_LOW,
        Mismatch.FAN_LOW_WHILE_HEATING: Cause.FAN_STUCK_LOW,
        Mismatch.COOLING_WITHOUT_FAN: Cause.COOLING_WITHOUT_FAN,
        Mismatch.HEATING_WITHOUT_FAN: Cause.COOLING_WITHOUT_FAN,
    },
    "circuit.charge": {verdict: row.cause for verdict, row in VERDICTS.items()},
    "circuit.compressor": {Against.UNCALLED: Cause.BACK_FEED},
    "circuit.pumping": {pumps: pumps.cause for pumps in Pumps},
    "circuit.contrast": {look: look.cause for look in Suspicion},
    "circuit.standing_pressure": {Rest.ABOVE: Cause.NON_CONDENSABLES},
    "water.dominant": {way.value: way.cause or way for way in Way},
}


def about(key: str, verdict: str | None) -> Cause | Way | None:
    """Cause or way of the water that a finding speaks of; None where it speaks of neither.

    Examples
    --------
    >>> about("circuit.charge", "low"), about("air.return.dew_point", None)
    (<Cause.LOW_CHARGE: 'low_charge'>, None)
    """
    if key in _BY_KEY:
        return _BY_KEY[key]
    return _BY_VERDICT.get(key, {}).get(verdict or "")


IMPOSSIBLE = "of the possible readings cannot be (wet bulb above dry bulb) and were left out"

SI_UNIT = {
    "temperature": "K",
    "temperature_difference": "K",
    "absolute_pressure": "Pa",
    "humidity_ratio": "kg/kg",
    "airflow": "m3/s",
    "heat": "W",
    "power": "W",
    "water_flow": "kg/s",
    "fraction": "1",
    "length": "m",
    "mass": "kg",
    "time": "s",
    "probability": "1",
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One statement about the job.

    Attributes
    ----------
    id : str
        ``key/visit/condition/circuit``, ``-`` where there is none.
    key : str
    visit, condition : int or None
        From 1.
    circuit : str or None
    statement : str
        A full sentence in display units.
    value, low, high : float or None
        SI, central value and 95 % band.
    unit : str or None
        SI unit of the value.
    text : str or None
        For verdicts.
    basis : str
        measured, nameplate, computed, rule of thumb or assumed.
    sources : tuple of str
        Ids of `hvaccalc.sources`.
    severity : Severity
        note, watch, act or stop.
    inputs : tuple of str
        Ids of the findings it rests on.
    kind : str or None
        Kind of quantity of the unit table: a temperature is not a temperature difference.
    about : Cause, Way or None
        Cause or way of the water that it speaks of; not printed.
    """

    id: str
    key: str
    visit: int | None
    condition: int | None
    circuit: str | None
    statement: str
    value: float | None
    low: float | None
    high: float | None
    unit: str | None
    text: str | None
    basis: str
    sources: tuple[str, ...]
    severity: Severity
    inputs: tuple[str, ...]
    kind: str | None = None
    about: Cause | Way | None = None

    @property
    def band(self) -> Band:
        """The value with its band; not known without a number."""
        if self.value is None or self.low is None or self.high is None:
            return NOT_KNOWN
        return Band(self.value, self.low, self.high)

    def as_severe_as(self, other: Finding) -> bool:
        """Whether it matters exactly as much as another."""
        return self.severity is other.severity

    def as_dict(self) -> dict[str, object]:
        """Plain data for JSON."""
        printed = {k: list(v) if isinstance(v, tuple) else v for k, v in asdict(self).items()}
        del printed["about"]
        return printed


def finding_id(key: str, where: Where) -> str:
    """``key/visit/condition/circuit``."""
    return f"{key}/{where.path}"


def _chance_band(value: Band) -> str:
    """A probability with its band; without one where both ends say the same."""
    told = chance(value.value)
    if not told[0].isdigit():
        return told
    return f"{told} ({100.0 * value.low:.0f} to {100.0 * value.high:.0f})"


def shown_band(value: Band, kind: str, display: str) -> str:
    """A number of a kind with its band in display units; a chance in words at its ends."""
    if kind == "probability":
        return _chance_band(value)
    if value.low == value.high:
        return units.value_text(value.value, kind, display)
    return banded(value, kind, display)


class More(TypedDict, total=False):
    """What may be said of a finding beside its statement."""

    basis: str
    sources: Iterable[str]
    severity: Severity
    inputs: Iterable[str]


class Writer:
    """Collects the findings of one job in its display units."""

    def __init__(self, draws: Draws) -> None:
        self.draws = draws
        self.display = draws.job.display
        self.to = teller(Reader.FILE, self.display)
        self.found: list[Finding] = []
        self._ids: dict[Where, list[str]] = {}

    def ids_at(self, where: Where) -> tuple[str, ...]:
        """Ids of what was found at one place so far."""
        return tuple(self._ids.get(where, ()))

    def number(
        self,
        key: str,
        where: Where,
        draws: Array | Band,
        kind: str,
        sentence: str,
        mask: Mask | None = None,
        left_out: str = IMPOSSIBLE,
        **more: Unpack[More],
    ) -> Band:
        """A finding with a band; `sentence` holds ``{}`` where the number goes."""
        result = draws if isinstance(draws, Band) else band(draws, mask)
        shown = shown_band(result, kind, self.display) if result.known else "cannot tell"
        statement = sentence.format(shown)
        if result.known and result.masked > MASKED_WORTH_SAYING:
            statement += f" {100 * result.masked:.0f} % {left_out}."
        own = "fraction" if kind == "probability" else kind
        self._add(key, where, statement, result if result.known else None, SI_UNIT[kind], kind=own, **more)
        return result

    def verdict(self, key: str, where: Where, text: str, statement: str, **more: Unpack[More]) -> None:
        """A finding in words."""
        self._add(key, where, statement, text=text, **more)

    def amount(
        self, key: str, where: Where, statement: str, value: Band, kind: str, **more: Unpack[More]
    ) -> None:
        """A number told in a sentence; in place of its kind a unit of none, such as money."""
        own = kind if kind in SI_UNIT else None
        self._add(key, where, statement, value, SI_UNIT.get(kind, kind), kind=own, **more)

    def _add(
        self,
        key: str,
        where: Where,
        statement: str,
        value: Band | None = None,
        unit: str | None = None,
        text: str | None = None,
        kind: str | None = None,
        **more: Unpack[More],
    ) -> None:
        self._ids.setdefault(where, []).append(finding_id(key, where))
        self.found.append(
            Finding(
                finding_id(key, where),
                key,
                where.visit or None,
                where.condition or None,
                where.circuit or None,
                statement,
                value.value if value else None,
                value.low if value else None,
                value.high if value else None,
                unit=unit,
                text=text,
                basis=more.get("basis", "computed"),
                sources=tuple(more.get("sources", ())),
                severity=more.get("severity", Severity.NOTE),
                inputs=tuple(more.get("inputs", ())),
                kind=kind,
                about=about(key, text),
            )
        )

    def kelvin(self, value: float) -> str:
        """A temperature difference in words."""
        return units.value_text(value, "temperature_difference", self.display)
