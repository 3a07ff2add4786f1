"""The package's moist air and refrigerants against both libraries over random states."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from hvaccalc.arrays import Array, Mask
from hvaccalc.errors import NoSecondOpinion
from hvaccalc.physics import moist_air
from hvaccalc.physics.refrigerant import NAMES, Refrigerant, refrigerant
from hvaccalc.second_opinion.process import Process
from hvaccalc.second_opinion.questions import EITHER_BULB, LIMITS, TWO_CURVES, fluid, holes

FORMAT = 1
AIR = "moist air"
CHUNK = 250
"""States to a question: a second or so, after which progress shows."""

DRY_BULB = (253.15, 333.15)
RELATIVE_HUMIDITY = (0.01, 1.0)
ELEVATION = (0.0, 3000.0)
COLDEST, BELOW_CRITICAL = 233.15, 10.0
MOST_SUBCOOLING, MOST_SUPERHEAT = 30.0, 80.0
FEWEST_ANSWERS = 0.9
"""A blend's flash may find no answer here and there; a check with fewer answers than this share is none."""

Columns = Mapping[str, Array]


@dataclass(frozen=True, slots=True)
class Check:
    """One quantity of one substance over all states.

    Attributes
    ----------
    substance, quantity : str
    compared : int
        States that both sides answered.
    unanswered : int
        States without an answer of the library.
    unanswered_here : int
        States that the library answered and this package did not.
    largest : float or None
        Largest difference in `measure`; None where nothing could be compared.
    measure : str
        ``K``, ``relative`` or ``latent``.
    limit : float
    at : dict of str to float
        The state of the largest difference [SI].
    """

    substance: str
    quantity: str
    compared: int
    unanswered: int
    unanswered_here: int
    largest: float | None
    measure: str
    limit: float
    at: dict[str, float]

    @property
    def ok(self) -> bool:
        """Within the limit, over enough states."""
        enough = self.compared > 0 and self.compared >= FEWEST_ANSWERS * (self.compared + self.unanswered)
        return enough and not self.unanswered_here and self.largest is not None and self.largest <= self.limit


@dataclass(frozen=True, slots=True)
class SelfCheck:
    """All checks, and what they were made with."""

    states: int
    seed: int
    versions: dict[str, str]
    checks: tuple[Check, ...]

    @property
    def ok(self) -> bool:
        """Whether everything agrees."""
        return all(check.ok for check in self.checks)

    def as_dict(self) -> dict[str, object]:
        """Plain data, the form that ``hvaccalc selfcheck --json`` prints."""
        names = ("substance", "quantity", "compared", "unanswered", "unanswered_here", "largest", "measure")
        rows = [
            {name: getattr(c, name) for name in (*names, "limit", "at")} | {"ok": c.ok} for c in self.checks
        ]
        head = {"format": FORMAT, "ok": self.ok, "states": self.states, "seed": self.seed}
        return {**head, "libraries": self.versions, "checks": rows}


def self_check(
    states: int = 5000, seed: int = 1, advance: Callable[[str, int], None] = lambda substance, done: None
) -> SelfCheck:
    """Compare over random states.

    Parameters
    ----------
    states : int
        Of moist air (-20 to 60 °C, 1 to 100 %, 0 to 3000 m), and of each refrigerant (-40 °C to 10 K below
        critical, liquid to 30 K subcooling, vapour to 80 K superheat).
    seed : int
        Of the random states.
    advance : callable
        Told the substance and the number of states just done.

    Raises
    ------
    NoSecondOpinion
        A library is missing, or its process broke.
    """
    checks: list[Check] = []
    with Process() as process:
        versions = _versions(process)
        checks += _air(_Asker(process, AIR, advance), states, seed)
        for name in NAMES:
            checks += _refrigerant(_Asker(process, name, advance), states, seed)
    return SelfCheck(states, seed, versions, tuple(checks))


def _versions(process: Process) -> dict[str, str]:
    loaded = process.ask({})
    if loaded.missing:
        why = (f"{name} could not be loaded ({reason})" for name, reason in loaded.missing.items())
        raise NoSecondOpinion("; ".join(why))
    return loaded.versions


@dataclass(frozen=True, slots=True)
class _Asker:
    """Puts columns of states to the worker piece by piece."""

    process: Process
    substance: str
    advance: Callable[[str, int], None]

    def __call__(self, ask: str, columns: Columns, **fixed: Any) -> dict[str, Array]:
        size = len(next(iter(columns.values())))
        pieces = [self._piece(ask, columns, slice(i, i + CHUNK), fixed) for i in range(0, size, CHUNK)]
        return {
            name: np.array([v for piece in pieces for v in piece[name]], dtype=float) for name in pieces[0]
        }

    def _piece(
        self, ask: str, columns: Columns, piece: slice, fixed: dict[str, Any]
    ) -> dict[str, list[float | None]]:
        of = {name: column[piece].tolist() for name, column in columns.items()}
        answer = self.process.ask({"states": {"ask": ask, "of": {**of, **fixed}}})
        if (unanswered := answer.why.get("states")) is not None:
            raise NoSecondOpinion(f"{self.substance}: {unanswered}")
        self.advance(self.substance, len(next(iter(of.values()))))
        rows: dict[str, list[float | None]] = answer.values["states"]
        return rows


def _random(substance: str, seed: int) -> np.random.Generator:
    return np.random.default_rng([seed, *substance.encode()])


def _check(
    substance: str,
    quantity: str,
    kind: str,
    ours: Array,
    theirs: Array,
    at: Columns,
    *,
    latent: Array | float = 1.0,
    glide: bool = False,
    counts: Mask | bool = True,
) -> Check:
    """Largest difference over the states that count, and where it is."""
    limit = LIMITS[kind]
    counts = np.broadcast_to(counts, theirs.shape)
    answered = counts & np.isfinite(theirs)
    here = answered & np.isfinite(ours)
    difference = np.where(here, limit.difference(ours, theirs, latent), -1.0)
    worst = int(np.argmax(difference))
    found = bool(here.any())
    return Check(
        substance,
        quantity,
        compared=int(here.sum()),
        unanswered=int((counts & ~answered).sum()),
        unanswered_here=int((answered & ~here).sum()),
        largest=float(difference[worst]) if found else None,
        measure=limit.measure,
        limit=limit.of(glide),
        at={name: float(column[worst]) for name, column in at.items()} if found else {},
    )


def _air(ask: _Asker, states: int, seed: int) -> Iterator[Check]:
    draw = _random(AIR, seed)
    at = {
        "dry_bulb": draw.uniform(*DRY_BULB, states),
        "relative_humidity": draw.uniform(*RELATIVE_HUMIDITY, states),
        "elevation": draw.uniform(*ELEVATION, states),
    }
    theirs = ask("air_states", at)
    pressure = moist_air.pressure_at_elevation(at["elevation"])
    air = moist_air.state(pressure, dry_bulb=at["dry_bulb"], relative_humidity=at["relative_humidity"])
    low, high = TWO_CURVES
    one_curve = (at["dry_bulb"] < low) | (at["dry_bulb"] > high)
    one_bulb = np.abs(theirs["wet_bulb"] - moist_air.FREEZING_POINT) > EITHER_BULB
    yield _check(AIR, "barometer", "barometer", pressure, theirs["barometer"], at)
    for name in ("humidity_ratio", "dew_point", "enthalpy", "specific_volume"):
        yield _check(AIR, name, name, getattr(air, name), theirs[name], at, counts=one_curve)
    yield _check(
        AIR, "wet_bulb", "wet_bulb", air.wet_bulb, theirs["wet_bulb"], at, counts=one_curve & one_bulb
    )


def _refrigerant(ask: _Asker, states: int, seed: int) -> Iterator[Check]:
    kit, draw = refrigerant(ask.substance), _random(ask.substance, seed)
    # Coldest first: a blend's flash starts best from a neighbour.
    kelvin = np.sort(draw.uniform(COLDEST, kit.critical_temperature - BELOW_CRITICAL, states))
    warmth = kelvin - kit.tables["liquid"].coldest
    at = {
        "saturation": kelvin,
        "subcooling": np.minimum(draw.uniform(0.0, MOST_SUBCOOLING, states), warmth),
        "superheat": draw.uniform(0.0, MOST_SUPERHEAT, states),
    }
    theirs = ask("refrigerant_states", at, fluid=fluid(kit.name))
    whole = {edge: ~_in_hole(kit.name, edge, kelvin) for edge in ("bubble", "dew")}
    both = whole["bubble"] & whole["dew"]
    yield from _saturations(kit, kelvin, theirs, at, whole)
    latent = theirs["latent_heat"]
    own_latent = kit.latent_heat(kelvin)
    yield _check(kit.name, "latent_heat", "latent_heat", own_latent, latent, at, counts=both)
    for phase, edge, temperature in (
        ("liquid", "bubble", kelvin - at["subcooling"]),
        ("vapour", "dew", kelvin + at["superheat"]),
    ):
        ours = getattr(kit, phase)(theirs[f"{edge}_pressure"], temperature)
        density, enthalpy = f"{phase}_density", f"{phase}_enthalpy"
        yield _check(kit.name, density, "density", ours.density, theirs[density], at, counts=whole[edge])
        kind, by = "refrigerant_enthalpy", own_latent
        yield _check(kit.name, enthalpy, kind, ours.enthalpy, theirs[enthalpy], at, latent=by, counts=both)


def _in_hole(name: str, edge: str, kelvin: Array) -> Mask:
    """Where the library is known to fail on its own; the answer there hangs on the first guess."""
    inside = np.zeros(kelvin.shape, dtype=bool)
    for low, high in holes(name).get(edge, []):
        inside |= (kelvin >= low) & (kelvin <= high)
    return inside


def _saturations(
    kit: Refrigerant, kelvin: Array, theirs: Columns, at: Columns, whole: Mapping[str, Mask]
) -> Iterator[Check]:
    """Both ways; a pressure's difference is told as the temperature that it is worth."""
    for edge in ("bubble", "dew"):
        pressure = theirs[f"{edge}_pressure"]
        asked = np.where(np.isfinite(pressure), kelvin, np.nan)
        forward = getattr(kit, f"{edge}_temperature")(pressure)
        own = getattr(kit, f"{edge}_pressure")
        slope = (own(kelvin) - own(kelvin - 0.01)) / 0.01
        backward = kelvin + (own(kelvin) - pressure) / slope
        for name, ours in ((f"{edge}_temperature", forward), (f"{edge}_pressure", backward)):
            counts = whole[edge]
            yield _check(kit.name, name, "saturation", ours, asked, at, glide=kit.glide, counts=counts)
