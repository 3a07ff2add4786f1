"""Editions of the rules by which a charge is verified, with their tolerances for installer and verifier.

They stand in ``data/charge_rules.toml``; one edition and one role serve a job, never a mixture.
"""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import dataclass
from functools import lru_cache

from hvaccalc import units
from hvaccalc.job.schema import Job
from hvaccalc.resources import data_path

ROLES = ("installer", "verifier")
METHODS = ("superheat", "subcooling", "split")


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Half widths about the target and the range of a working valve's superheat [K].

    Attributes
    ----------
    superheat, subcooling, split : float
    valve : tuple of float
    standing : dict
        published or memory, by the names above.
    """

    superheat: float
    subcooling: float
    split: float
    valve: tuple[float, float]
    standing: dict[str, str]


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition of the rules."""

    name: str
    title: str
    year: int
    outdoor_from: float
    weigh_in: str
    roles: dict[str, Tolerances]


@dataclass(frozen=True, slots=True)
class ChargeRule:
    """The edition and role that serve a job.

    Attributes
    ----------
    edition : Edition
    role : str
    notice : str
        How they were chosen where the job does not say; empty where it does.
    """

    edition: Edition
    role: str
    notice: str

    @property
    def tolerances(self) -> Tolerances:
        """Tolerances of the role."""
        return self.edition.roles[self.role]

    def told(self, method: str) -> str:
        """The rule in a few words: edition, role, and where a figure is from memory.

        Examples
        --------
        >>> chosen_by("Title 24 2008", "verifier").told("subcooling")
        'Title 24 2008, verifier, tolerance from memory'
        """
        memory = ", tolerance from memory" if self.tolerances.standing[method] == "memory" else ""
        return f"{self.edition.name}, {self.role}{memory}"


@lru_cache(maxsize=1)
def editions() -> dict[str, Edition]:
    """Editions of the data file by their word."""
    table = tomllib.loads(data_path("charge_rules.toml").read_text("utf-8"))
    return {name: _edition(name, row) for name, row in table.items()}


def _kelvin(text: str) -> float:
    return units.parse(text, "temperature_difference").value


def _edition(name: str, row: dict) -> Edition:
    return Edition(
        name=name,
        title=row["title"],
        year=row["year"],
        outdoor_from=units.parse(row["outdoor_from"], "temperature").value,
        weigh_in=row["weigh_in"],
        roles={role: _tolerances(row[role]) for role in ROLES},
    )


def _tolerances(row: dict) -> Tolerances:
    valve = row["valve"]
    return Tolerances(
        **{method: _kelvin(row[method]["within"]) for method in METHODS},
        valve=(_kelvin(valve["from"]), _kelvin(valve["to"])),
        standing={name: figure["standing"] for name, figure in row.items()},
    )


def chosen_by(word: str | None, role: str | None) -> ChargeRule:
    """The edition and role named; the newest edition and the installer where they are not."""
    known = editions()
    folded = {name.casefold(): name for name in known}
    newest = max(known.values(), key=lambda edition: edition.year)
    notices = []
    if word is None:
        edition = newest
        notices.append(f"no edition of the charge rules is named: the newest was taken, {newest.name}")
    elif word.casefold() in folded:
        edition = known[folded[word.casefold()]]
    else:
        edition = newest
        near = difflib.get_close_matches(word.casefold(), folded, 1)
        hint = f"nearest: {folded[near[0]]}" if near else f"carried: {', '.join(known)}"
        notices.append(
            f'the charge rules "{word}" are not carried ({hint}): the newest were taken, {newest.name}'
        )
    if role is None:
        notices.append("no role is named: the installer's tolerances were taken")
    return ChargeRule(edition, role or "installer", "; ".join(notices))


def charge_rule(job: Job) -> ChargeRule:
    """Rule of a job."""
    return chosen_by(job.rules.charge_edition, job.rules.role)
