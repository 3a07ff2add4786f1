"""The job: every table of the file under one roof.

Attribute names equal the keys of the file (``from`` alone is `from_`). A key that is absent is
None, a list of tables that is absent is empty, a table that is absent is an empty table: defaults
are applied where a value is used, so that each can be told as assumed.
"""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, PrivateAttr

from hvaccalc import units
from hvaccalc.errors import InputError, OutOfRange, WrongKind
from hvaccalc.job.accuracy import AccuracyText, InstrumentKind
from hvaccalc.job.causes import OF_A_CIRCUIT, CauseAt
from hvaccalc.job.fields import (
    AnnualHours,
    Check,
    Date,
    FileName,
    Listed,
    OneOf,
    Refused,
    Rows,
    Table,
    Value,
    WaterFlow,
    shown,
)
from hvaccalc.job.unit_tables import Circuit, Unit, Wiring
from hvaccalc.job.visit_tables import Timing, Visit, Work
from hvaccalc.units import Quantity

Elevation = Annotated[
    Quantity,
    Value(
        ("elevation",),
        lowest=float(units.si(-1500.0, "ft", "elevation")),
        highest=float(units.si(16000.0, "ft", "elevation")),
        limits="-1,500 to 16,000 ft, the sites people live and work at",
    ),
]


@dataclass(frozen=True, slots=True)
class Notice:
    """Something the reader of a job should know; nothing is refused because of it."""

    code: str
    where: str
    text: str


@dataclass(frozen=True, slots=True)
class PriceRow:
    """One line of the user's own price list."""

    item: str
    unit: str
    low: float
    likely: float
    high: float
    currency: str


@dataclass(frozen=True, slots=True)
class EnergyPrice:
    """Price of electricity: money per kWh, currency as a three-letter code."""

    text: str
    per_kwh: float
    currency: str


_ENERGY_PRICE = re.compile(r"\s*(\S+)\s*([A-Za-z]{3})\s*/\s*kWh\s*", re.I)


def _energy_price(value: object) -> EnergyPrice:
    allowed = 'money per kWh with a three-letter currency, such as "0.21 USD/kWh"'
    match = _ENERGY_PRICE.fullmatch(value) if isinstance(value, str) and len(value) < 200 else None
    if match is None:
        raise Refused(WrongKind("not a price of electricity", found=shown(value), allowed=allowed))
    try:
        price = units.parse(match[1], "ratio").value
    except InputError as error:
        error.found, error.allowed = shown(value), allowed
        raise Refused(error) from None
    if price < 0.0:
        raise Refused(OutOfRange("a negative price", found=shown(value), allowed=allowed))
    return EnergyPrice(str(value), price, match[2].upper())


class JobTable(Table):
    """``[job]``: what the job is about and where."""

    title: str
    customer: str | None = None
    work_order: str | None = None
    company: str | None = None
    licence: str | None = None
    reported: str | None = None
    site: str | None = None
    prepared_by: str | None = None
    elevation: Elevation | None = None
    water_seen: WaterFlow | None = None
    water_when: Annotated[tuple[Timing, ...], Listed] | None = None
    seed: Annotated[int, Field(ge=0, le=2**63 - 1)] = 1


class Prices(Table):
    """``[prices]``: the user's own price list."""

    file: FileName | None = None


class Electricity(Table):
    """``[electricity]``: price and hours a year."""

    price: Annotated[EnergyPrice, Check('price, such as "0.21 USD/kWh"', _energy_price)] | None = None
    hours_fan: AnnualHours | None = None
    hours_cool_1: AnnualHours | None = None
    hours_cool_2: AnnualHours | None = None


class Rules(Table):
    """``[rules]``: editions to apply; absent is the newest."""

    charge_edition: str | None = None
    role: Literal["installer", "verifier"] | None = None
    energy_code: str | None = None


class Service(Table):
    """``[service]``: what the leak rules ask about the plant."""

    installed: Date | None = None
    subsector: (
        Literal[
            "comfort cooling, light commercial",
            "comfort cooling, other",
            "commercial refrigeration",
            "industrial process",
            "unknown",
        ]
        | None
    ) = None
    last_verified: Date | None = None


class Instrument(Table):
    """``[instruments] name``: what an instrument is and how far it may be off (95 %)."""

    kind: Annotated[InstrumentKind, OneOf(tuple(InstrumentKind))] | None = None
    accuracy: AccuracyText | None = None
    repeatability: AccuracyText | None = None
    checked: Date | None = None


class Job(Table):
    """A job file, read and checked.

    Attributes that are no keys of the file: `path`, `digest` (sha256 of the bytes read),
    `notices`, `price_rows`.
    """

    format: Literal[1]
    display: Literal["us", "si"] = "us"
    job: JobTable
    unit: Unit
    circuit: Annotated[dict[str, Circuit], Field(min_length=1)]
    wiring: Wiring = Wiring()
    visit: Annotated[tuple[Visit, ...], Rows] = ()
    prices: Prices = Prices()
    electricity: Electricity = Electricity()
    rules: Rules = Rules()
    service: Service = Service()
    instruments: dict[str, Instrument] = Field(default_factory=dict)

    _path: Path | None = PrivateAttr(default=None)
    _digest: str = PrivateAttr(default="")
    _notices: tuple[Notice, ...] = PrivateAttr(default=())
    _price_rows: tuple[PriceRow, ...] = PrivateAttr(default=())

    @property
    def path(self) -> Path | None:
        """The file that was read; None for text."""
        return self._path

    @property
    def digest(self) -> str:
        """sha256 of the bytes read."""
        return self._digest

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What the reader should know."""
        return self._notices

    @property
    def price_rows(self) -> tuple[PriceRow, ...]:
        """Lines of the price list named in ``[prices]``; empty where there is none."""
        return self._price_rows

    def mended(self, work: Work) -> tuple[CauseAt, ...]:
        """Causes that a work put right, each of a circuit with its circuit."""
        only = next(iter(self.circuit)) if len(self.circuit) == 1 else None
        return tuple(
            CauseAt(one.cause, one.circuit or work.circuit or only) if one.cause in OF_A_CIRCUIT else one
            for one in work.mends or ()
        )
