"""What nobody reads of a circuit, as draws (volumes, closures, rated state), and the charge of a field line.

The line's is as makers print it, else the tube full of liquid. Tables stand in ``data/line_adders.toml``. For
one and the same 3/8 in. line of R-410A they print 0.60 to 0.69 oz/ft where the valve stands indoors and 0.32
where it stands outdoors: the place of the valve is an input.
"""

import tomllib
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array, Mask
from hvaccalc.diagnosis.readings import rated_unit
from hvaccalc.diagnosis.readings.draws import Datum, Draws
from hvaccalc.ensemble import Z95
from hvaccalc.equipment.circuit import refrigerant_lines
from hvaccalc.equipment.circuit.charge_inventory import MODELS, Closures, State, Volumes
from hvaccalc.job.unit_tables import Circuit
from hvaccalc.practice.circuits import LONGEST_LINE
from hvaccalc.practice.plates import RATED_DISCHARGE_SUPERHEAT
from hvaccalc.practice.refrigerant import (
    COIL_VOLUME,
    HAS_RECEIVER,
    LABEL_SD,
    LINE_LENGTH,
    LINE_SECTION,
    MASS_FLUX,
    OIL_CHARGE,
    RECEIVER_FILLED,
    RECEIVER_VOLUME,
    VISCOSITY_RATIO,
    ZONE_FILMS,
)
from hvaccalc.resources import data_path
from hvaccalc.units import Quantity


@dataclass(frozen=True, slots=True)
class Known:
    """Volumes as draws, and which of them the job knows."""

    volumes: Volumes
    typed: tuple[str, ...]
    notes: tuple[str, ...]


def lognormal(draws: Draws, name: str, middle: float, factor: float) -> Array:
    """Draws of something known within a factor either way (95 %)."""
    return middle * np.exp(draws.ensemble.normal(f"inventory/{name}", 0.0, np.log(factor) / Z95))


def capacity(draws: Draws, name: str) -> float:
    """Rated cooling of a circuit [W]."""
    return draws.job.unit.rated_capacity.value * draws.capacity_shares()[name]


def volumes(draws: Draws, name: str) -> Known:
    """Inside volumes of a circuit: typed where the job has them, else by capacity."""
    circuit, watts = draws.job.circuit[name], capacity(draws, name)
    lines = {side: line_volume(draws, name, side) for side in ("liquid", "suction")}
    # Both circuits have coils of one make: their volumes share the draw.
    coils = {part: lognormal(draws, part, *COIL_VOLUME[part]) * watts for part in COIL_VOLUME}
    typed = [f"{side} line" for side, datum in lines.items() if datum.basis == "nameplate"]
    if circuit.condenser.volume is not None:
        coils["condenser"] = measured(draws, f"{name}/condenser", circuit.condenser.volume)
        typed.append("condenser")
    if circuit.condenser.receiver_volume is not None:
        typed.append("receiver")
    held = Volumes(
        condenser=coils["condenser"],
        evaporator=coils["evaporator"],
        liquid_line=lines["liquid"].draws,
        suction_line=lines["suction"].draws,
        receiver=_receiver(draws, name, circuit, watts),
        oil_charge=lognormal(draws, "oil", *OIL_CHARGE) * watts,
    )
    return Known(held, tuple(typed), tuple(datum.note for datum in lines.values() if datum.note))


def measured(draws: Draws, name: str, quantity: Quantity, share: float = LABEL_SD) -> Array:
    """Draws of a typed amount: its own ± where typed, else so much of itself (sd)."""
    if quantity.low is not None and quantity.high is not None:
        return draws.ensemble.uniform(f"inventory/{name}", quantity.low, quantity.high)
    spread = share * quantity.value if quantity.plus_minus is None else quantity.plus_minus / Z95
    return draws.ensemble.normal(f"inventory/{name}", quantity.value, spread)


def line_volume(draws: Draws, name: str, side: str) -> Datum:
    """Volume of the liquid or suction line [m3]; the note says why a typed size or length was not taken."""
    lines = draws.job.circuit[name].lines
    size: Quantity | None = getattr(lines, f"{side}_size")
    length: Quantity | None = getattr(lines, f"{side}_length") or lines.liquid_length
    own = size is not None or getattr(lines, f"{side}_length") is not None
    note = _why_not(side, size, length) if own else ""
    run = line_length(draws, name, length)
    middle, factor = LINE_SECTION[side]
    area = lognormal(draws, f"{side} size", middle, factor) * capacity(draws, name)
    if size is not None and np.isfinite(refrigerant_lines.section(size.value)):
        area = np.full_like(run, refrigerant_lines.section(size.value))
    typed = size is not None and length is not None and not note
    return Datum(area * run, "nameplate" if typed else "assumed", note)


def line_length(draws: Draws, name: str, length: Quantity | None) -> Array:
    """Length of a line [m]; both circuits' lines run together where nobody typed one."""
    if length is not None and 0.0 < length.value <= LONGEST_LINE:
        return np.maximum(measured(draws, f"{name}/length", length, 0.03), 0.1 * length.value)
    return lognormal(draws, "line length", *LINE_LENGTH)


def _why_not(side: str, size: Quantity | None, length: Quantity | None) -> str:
    outside = size.value if size is not None else 0.375 * refrigerant_lines.INCH
    run = length.value if length is not None else 1.0
    if length is not None and run > LONGEST_LINE:
        return (
            f'the {side} line was not taken as typed ("{length.text}"): longer than any split system is built'
        )
    code = int(refrigerant_lines.reason(outside, run))
    if code == refrigerant_lines.LISTED:
        return ""
    shown = size if code == refrigerant_lines.NO_SUCH_TUBE else length
    said = refrigerant_lines.REASONS[code]
    return f'the {side} line was not taken as typed ("{shown.text}"): {said}' if shown is not None else said


def _receiver(draws: Draws, name: str, circuit: Circuit, watts: float) -> Array:
    if circuit.condenser.receiver_volume is not None:
        return measured(draws, f"{name}/receiver", circuit.condenser.receiver_volume)
    share, (volume, factor) = HAS_RECEIVER, RECEIVER_VOLUME
    fitted = draws.ensemble.uniform("inventory/receiver fitted") > 1.0 - share
    return np.where(fitted, lognormal(draws, "receiver", volume, factor) * watts, 0.0)


def valve_outdoors(draws: Draws, name: str) -> Mask:
    """Whether the metering device stands outdoors: of an electronic one nobody knows, other ones do not."""
    if draws.job.circuit[name].metering != "EEV":
        return np.zeros(draws.ensemble.size + 1, dtype=bool)
    return draws.ensemble.choice("inventory/valve outdoors", 2).astype(bool)


def closures(draws: Draws, name: str) -> Closures:
    """What closes the model; shared by the circuits but for the place of the valve."""
    films = {key: draws.ensemble.uniform(f"inventory/{key}", *ends) for key, ends in ZONE_FILMS.items()}
    return Closures(
        void_model=draws.ensemble.choice("inventory/void fraction", len(MODELS)),
        viscosity_ratio=draws.ensemble.uniform("inventory/viscosity", *VISCOSITY_RATIO),
        mass_flux=draws.ensemble.uniform("inventory/mass flux", *MASS_FLUX),
        receiver_filled=draws.ensemble.uniform("inventory/receiver filled", *RECEIVER_FILLED),
        valve_outdoors=valve_outdoors(draws, name),
        **films,
    )


def rated_state(draws: Draws, name: str) -> State:
    """The circuit at the unit's rating, charged to its target."""
    circuit, whole = draws.job.circuit[name], draws.ensemble.size + 1
    typed = circuit.rated_superheat or circuit.target_superheat
    subcooling = circuit.target_subcooling
    discharge = draws.ensemble.normal("inventory/discharge_superheat", *RATED_DISCHARGE_SUPERHEAT)
    return State(
        condensing=rated_unit.condensing_saturation(draws, name),
        suction=draws.rated_suction_saturation.draws,
        outdoor=np.full(whole, rated_unit.outdoor(draws)),
        indoor=np.full(whole, draws.rated_return[0]),
        subcooling=rated_unit.subcooling(draws, name)
        if subcooling is None
        else np.full(whole, subcooling.value),
        superheat=rated_unit.superheat(draws) if typed is None else np.full(whole, typed.value),
        discharge_superheat=discharge,
    )


INDOORS, OUTDOORS = "indoors", "outdoors"
OUNCE_PER_FOOT = float(units.si(1.0, "oz", "mass") / units.si(1.0, "ft", "length"))
"""[kg/m]."""


@dataclass(frozen=True, slots=True)
class AdderTable:
    """One maker's adders.

    Attributes
    ----------
    source : str
    refrigerants : tuple of str
    valve : str
        indoors or outdoors.
    adders : dict of float to float
        Outside diameter [m] to charge for each length [kg/m].
    included : float or None
        Length of line that the factory charge covers [m].
    """

    source: str
    refrigerants: tuple[str, ...]
    valve: str
    adders: dict[float, float]
    included: float | None


@dataclass(frozen=True, slots=True)
class Adder:
    """What a metre of one line adds.

    Attributes
    ----------
    low, likely, high : float
        Over the makers that print it [kg/m]; NaN where nobody does.
    sources : tuple of str
    """

    low: float
    likely: float
    high: float
    sources: tuple[str, ...]


@lru_cache(maxsize=1)
def tables() -> tuple[AdderTable, ...]:
    """Every table of the data file."""
    rows = tomllib.loads(data_path("line_adders.toml").read_text("utf-8"))["table"]
    return tuple(
        AdderTable(
            row["source"],
            tuple(row["refrigerants"]),
            row["valve"],
            {_inches(size): ounces * OUNCE_PER_FOOT for size, ounces in row["ounces"].items()},
            units.parse(row["included"], "length").value if "included" in row else None,
        )
        for row in rows
    )


def _inches(size: str) -> float:
    return units.parse(f"{size} in", "length").value


def printed_adder(refrigerant: str, outside_diameter: float, valve: str = INDOORS) -> Adder:
    """What makers print for a line of one size.

    Parameters
    ----------
    refrigerant : str
        As ASHRAE 34 calls it.
    outside_diameter : float
        [m].
    valve : str
        Where the metering device stands.

    Examples
    --------
    >>> found = printed_adder("R-410A", 0.375 * 0.0254, "outdoors")
    >>> round(found.likely / OUNCE_PER_FOOT, 2)
    0.32
    """
    found = [
        (adder, table.source)
        for table in tables()
        if refrigerant in table.refrigerants and table.valve == valve
        for size, adder in table.adders.items()
        if abs(size - outside_diameter) <= refrigerant_lines.SLACK
    ]
    if not found:
        return Adder(np.nan, np.nan, np.nan, ())
    values = sorted(adder for adder, _ in found)
    return Adder(values[0], float(np.median(values)), values[-1], tuple(source for _, source in found))


def added_charge(adder: ArrayLike, length: ArrayLike, included: ArrayLike) -> Array:
    """Charge that a field line asks for beyond the factory's; negative: to be taken out.

    Parameters
    ----------
    adder : array_like
        [kg/m].
    length, included : array_like
        Of the line, > 0, and of what the factory charge covers, >= 0 [m].

    Returns
    -------
    ndarray
        [kg]; NaN where there is no line.

    Examples
    --------
    75 ft of 1/2 in. at 1.2 oz/ft, 15 ft of 0.6 oz/ft (as 7.5 ft of this line) included: 81 oz to add:

    >>> feet, ounce = 0.3048, 0.45359237 / 16
    >>> round(float(added_charge(1.2 * OUNCE_PER_FOOT, 75 * feet, 7.5 * feet)) / ounce, 1)
    81.0
    """
    length, included = np.asarray(length, dtype=float), np.asarray(included, dtype=float)
    sound = (length > 0.0) & (included >= 0.0)
    return np.where(sound, np.asarray(adder) * (length - included), np.nan)


def full_of_liquid(outside_diameter: ArrayLike, density: ArrayLike) -> Array:
    """What a metre of line holds when full of liquid [kg/m].

    Parameters
    ----------
    outside_diameter : array_like
        [m].
    density : array_like
        Of the liquid [kg/m3].

    Examples
    --------
    5/8 in. of R-410A at 77 °F, 66.1 lb/ft3, in oz/ft:

    >>> round(float(full_of_liquid(0.625 * 0.0254, 1058.8)) / OUNCE_PER_FOOT, 2)
    1.78
    """
    return refrigerant_lines.section(outside_diameter) * np.asarray(density, dtype=float)
