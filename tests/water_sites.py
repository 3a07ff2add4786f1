"""Synthetic sites with one true way for the water: job files written from numbers of their own.

Nothing here asks the diagnosis. Rates, places and times of each way are this module's own, from what such a
fault does on a site: shares of the condensate by dice, ice and retained water by mass for each ton, sweat by
a film coefficient and the Magnus formula. Places are a subset of where that way shows.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field, replace

from hvaccalc.job.load import job_from_text
from hvaccalc.job.schema import Job

LB_PER_GAL, KG_PER_GAL = 8.33, 3.785
NAMES = (
    *("condensate", "melt", "pan_overflow", "trap", "carry_over", "coil_drip", "sweating"),
    *("pan_leak", "pump", "hot_water_coil", "outside", "shut_down_drain"),
)


@dataclass
class Site:
    """One site: what is true, and the entries of its job file."""

    truth: str
    tons: float
    circuits: int
    made: float
    hours: float
    entries: dict[str, dict[str, object]] = field(default_factory=dict)

    def put(self, table: str, **entries: object) -> None:
        """Add entries to a table; None takes one out."""
        for key, value in entries.items():
            rows = self.entries.setdefault(table, {})
            if value is None:
                rows.pop(key, None)
            else:
                rows[key] = value

    def say(self, gallons_a_day: float, when: list[str], where: list[str], off: bool = False) -> None:
        """Amount, time and place as somebody noted them."""
        low, high = 0.7 * gallons_a_day, 1.5 * gallons_a_day
        self.put("job", water_seen=f"{low:.3g} to {high:.3g} gal/day")
        self.put("visit.signs", timing=when, water_on=where, water_with_cooling_off="yes" if off else "no")

    def bare(self) -> Site:
        """The same site with nothing noted but amount, time and place: no sign of pan, drain or trap."""
        keep = ("timing", "water_on", "water_with_cooling_off")
        signs = {key: said for key, said in self.entries["visit.signs"].items() if key in keep}
        return replace(self, entries=self.entries | {"visit.signs": signs})

    @property
    def text(self) -> str:
        """The job file."""
        head = ["format = 1"]
        order = ("job", "unit", "unit.coil", "unit.fan", "unit.pan", "unit.drain", "unit.cabinet")
        for table in order:
            head += _table(f"[{table}]", self.entries.get(table, {}))
        for name in range(1, self.circuits + 1):
            rows = {"refrigerant": "R-410A", "metering": "TXV", "stage": name}
            head += _table(f"[circuit.{name}]", rows)
        head += ["[[visit]]", "date = 2026-07-01"]
        head += _table("[visit.signs]", self.entries["visit.signs"])
        head += _table("[[visit.condition]]", self.entries["condition"])
        head += _table("[visit.condition.air]", self.entries["air"])
        for name in range(1, self.circuits + 1):
            head += _table(f"[visit.condition.circuit.{name}]", self.entries["suction"])
        return "\n".join(head) + "\n"

    @property
    def job(self) -> Job:
        """The job read."""
        return job_from_text(self.text)


def _table(header: str, rows: dict[str, object]) -> list[str]:
    def shown(value: object) -> str:
        if isinstance(value, list):
            return "[" + ", ".join(shown(one) for one in value) + "]"
        return f'"{value}"' if isinstance(value, str) else str(value)

    return [header, *(f"{key} = {shown(value)}" for key, value in rows.items())] if rows else []


def vapour_ratio(celsius: float, relative: float = 1.0) -> float:
    """Humidity ratio by the Magnus formula (Alduchov and Eskridge, 1996) at 101.3 kPa."""
    vapour = relative * 610.94 * math.exp(17.625 * celsius / (celsius + 243.04))
    return 0.622 * vapour / (101325.0 - vapour)


def site(truth: str, dice: random.Random) -> Site:
    """A sound site with one fault."""
    tons, circuits = dice.uniform(5.0, 25.0), dice.choice((1, 2))
    cold = truth == "melt"
    share = dice.uniform(0.42, 0.52) if cold else dice.uniform(0.9, 1.02)
    cfm = tons * 400.0 * share
    back = dice.uniform(69.0, 71.0) if cold else dice.uniform(72.0, 78.0)
    relative = dice.uniform(0.46, 0.55) if cold else dice.uniform(0.48, 0.60)
    supply = dice.uniform(37.0, 40.0) if cold else dice.uniform(53.0, 57.0)
    dew = supply - dice.uniform(1.0, 3.0)
    into, out = vapour_ratio((back - 32) / 1.8, relative), vapour_ratio((dew - 32) / 1.8)
    made = max(cfm * 60.0 / 13.5 * (into - out), 0.0) / LB_PER_GAL
    result = Site(truth, tons, circuits, made, dice.uniform(4.0, 12.0))
    _sound(result, dice, cfm, back, relative, supply, dew, cold)
    FAULTS[truth](result, dice, cfm)
    return result


def _sound(site: Site, dice, cfm, back, relative, supply, dew, cold) -> None:
    """Everything else in order, noted as an engineer notes it: not all of it, not always."""
    suction = dice.uniform(0.8, 1.4)
    face = cfm / dice.uniform(380.0, 450.0)
    site.put("job", title="A site", elevation="0 ft", seed=dice.randrange(1, 10_000))
    site.put(
        "unit",
        rated_capacity=f"{12 * site.tons:.0f} kBtu/h",
        rated_airflow=f"{400 * site.tons:.0f} cfm",
        rated_sensible_heat_ratio=0.72,
        rated_suction_saturation="45 degF",
        circuiting="interlaced",
        air_path="draw through",
    )
    site.put("unit.coil", face_area=f"{face:.2f} ft2")
    if dice.random() < 0.8:
        site.put("unit.coil", slope="0 deg", low_edge_over_pan="1 in")
    site.put("unit.fan", drive="variable frequency", full_speed="60 Hz")
    site.put("unit.pan", depth="1.5 in", level="yes")
    site.put(
        "unit.drain",
        size="1 in",
        slope="1/8 in/ft",
        material="PVC",
        trap_height=f"{suction + 1.1:.2f} in",
        pan_suction=f"{suction:.2f} inH2O",
    )
    site.put("unit.cabinet", insulation="1 in", duct_insulation="R-6", suction_line_insulation="0.75 in")
    site.put(
        "visit.signs",
        pan_water="film",
        drain_flow="free",
        tested_with_fan=dice.choice(("off", "full")),
        trap="sealed",
        pump="none",
        hot_water_coil=dice.choice(("none", "dry")),
        filters="clean",
    )
    calls = [f"cool {n}" for n in range(1, site.circuits + 1)]
    names = [str(n) for n in range(1, site.circuits + 1)]
    site.put("condition", calls=calls, compressors_running=names, running_for="30 min", coil_thawed="yes")
    site.put(
        "air",
        return_dry_bulb=f"{back:.1f} degF",
        return_relative_humidity=f"{100 * relative:.1f} %",
        supply_dry_bulb=f"{supply:.1f} degF",
        supply_dew_point=f"{dew:.1f} degF",
        outdoor_dry_bulb="64 degF" if cold else "88 degF",
        airflow=f"{cfm:.0f} cfm",
        space_dry_bulb=f"{back + 4:.0f} degF",
        space_dew_point=f"{dice.uniform(48.0, 53.0):.1f} degF",
    )
    if not cold:
        site.put("air", fan_frequency="60 Hz")
    # About 118 psig is 40 °F, 91 psig 27 °F on any R-410A card.
    low = dice.uniform(84.0, 90.0) if cold else dice.uniform(116.0, 124.0)
    site.put("suction", suction_pressure=f"{low:.1f} psig", suction_measured_at="coil")


def _some(dice: random.Random, *places: str) -> list[str]:
    return sorted(dice.sample(places, dice.randint(1, len(places))))


def condensate(site: Site, dice: random.Random, cfm: float) -> None:
    site.say(site.made * site.hours * dice.uniform(0.8, 1.0), ["while cooling"], ["pipe"])


def melt(site: Site, dice: random.Random, cfm: float) -> None:
    gallons = site.tons * dice.uniform(0.05, 0.9) * dice.randint(1, 3) / KG_PER_GAL
    both = site.circuits == 2 and dice.random() < 0.5
    when = ["while cooling", "after shut-down"] if both else ["after shut-down"]
    site.say(gallons, when, _some(dice, "filters", "pan rim", "cabinet floor"))
    if dice.random() < 0.5:
        site.put("visit.signs", frost_on="tubes")


def pan_overflow(site: Site, dice: random.Random, cfm: float) -> None:
    site.say(
        site.made * site.hours * dice.uniform(0.3, 1.0),
        ["while cooling"],
        _some(dice, "pan rim", "cabinet floor"),
    )
    site.put("visit.signs", drain_flow="blocked", pan_water=dice.choice(("full", "overflowing")))
    site.put("visit.signs", tested_with_fan="off")


def trap(site: Site, dice: random.Random, cfm: float) -> None:
    site.say(
        site.made * site.hours * dice.uniform(0.3, 1.0),
        ["while cooling"],
        _some(dice, "pan rim", "cabinet floor"),
    )
    suction = dice.uniform(1.8, 3.0)
    site.put("unit.drain", pan_suction=f"{suction:.2f} inH2O", trap_height="2 in")
    if dice.random() < 0.3:
        site.put("unit.drain", pan_suction="2.6 inH2O", trap_height="0.5 in")
    else:
        site.put("visit.signs", trap=dice.choice(("dry", "none")))
    site.put("visit.signs", pan_water=dice.choice(("standing", "full")), tested_with_fan="off")


def carry_over(site: Site, dice: random.Random, cfm: float) -> None:
    where = dice.choice((["duct"], ["cabinet floor", "duct"]))
    site.say(site.made * site.hours * dice.uniform(0.12, 0.5), ["while cooling"], where)
    site.put("unit.coil", face_area=f"{cfm / dice.uniform(610.0, 750.0):.2f} ft2")


def coil_drip(site: Site, dice: random.Random, cfm: float) -> None:
    where = _some(dice, "filters", "pan rim", "cabinet floor")
    site.say(site.made * site.hours * dice.uniform(0.03, 0.4), ["while cooling", "after shut-down"], where)
    _slanted(site, dice)
    site.put("unit.coil", face_area=f"{cfm / dice.uniform(280.0, 400.0):.2f} ft2")
    site.put("visit.signs", pan_water=dice.choice(("dry", "film")))


def _slanted(site: Site, dice: random.Random) -> None:
    outside = dice.random() < 0.5
    site.put("unit.coil", slope=f"{dice.uniform(28.0, 60.0):.0f} deg")
    site.put("unit.coil", low_edge_over_pan=f"-{dice.uniform(0.3, 1.2):.2f} in" if outside else None)


def sweating(site: Site, dice: random.Random, cfm: float) -> None:
    """Duct air at 13 °C behind R of 0.1 to 0.2 m²K/W, film 8 W/(m²K), of which 2.9 carry water."""
    room, dew, area = dice.uniform(30.0, 33.0), dice.uniform(24.0, 26.5), dice.uniform(15.0, 60.0)
    resistance = dice.uniform(0.10, 0.20)
    surface = room - (room - 13.0) * (1 / 8.0) / (resistance + 1 / 8.0)
    excess = max(vapour_ratio(dew) - vapour_ratio(max(surface, 0.6 * surface + 0.4 * dew)), 2e-4)
    gallons = 2.9e-3 * excess * area * 3600 * site.hours / KG_PER_GAL
    site.say(gallons, ["while cooling", "humid days"], ["duct"])
    site.put("unit.cabinet", duct_insulation=f"R-{resistance / 0.1761:.2f}", duct_area=f"{area:.0f} m2")
    site.put("air", space_dry_bulb=f"{room:.1f} degC", space_dew_point=f"{dew:.1f} degC")
    if dice.random() < 0.5:
        site.put("visit.signs", sweating_on="duct")


def pan_leak(site: Site, dice: random.Random, cfm: float) -> None:
    gallons = site.made * site.hours * dice.uniform(0.05, 0.9)
    site.say(gallons, ["while cooling", "after shut-down"], ["cabinet floor"])
    site.put("unit.pan", level=dice.choice(("yes", "no")))
    site.put("visit.signs", pan_water=dice.choice(("film", "standing")))


def pump(site: Site, dice: random.Random, cfm: float) -> None:
    where = _some(dice, "pan rim", "cabinet floor")
    site.say(site.made * site.hours * dice.uniform(0.3, 1.0), ["while cooling"], where)
    site.put("visit.signs", pump="stopped", pan_water="full")


def hot_water_coil(site: Site, dice: random.Random, cfm: float) -> None:
    where = _some(dice, "cabinet floor", "pipe")
    site.say(10.0 ** dice.uniform(0.0, 1.7), ["always"], where, off=True)
    site.put("visit.signs", hot_water_coil="wet")


def outside(site: Site, dice: random.Random, cfm: float) -> None:
    where = ["above the unit", *dice.choice(([], ["cabinet floor"], ["pipe"]))]
    when = dice.choice((["always"], ["rain"]))
    site.say(10.0 ** dice.uniform(0.0, 1.9), when, where, off=when == ["always"])
    if when == ["rain"]:
        site.put("visit.signs", water_with_cooling_off=None)


def shut_down_drain(site: Site, dice: random.Random, cfm: float) -> None:
    gallons = 0.37 * site.tons * dice.uniform(0.2, 0.5) * dice.uniform(5.0, 20.0) / KG_PER_GAL
    site.say(gallons, ["after shut-down"], _some(dice, "filters", "pan rim", "cabinet floor"))
    _slanted(site, dice)


FAULTS = {
    "condensate": condensate,
    "melt": melt,
    "pan_overflow": pan_overflow,
    "trap": trap,
    "carry_over": carry_over,
    "coil_drip": coil_drip,
    "sweating": sweating,
    "pan_leak": pan_leak,
    "pump": pump,
    "hot_water_coil": hot_water_coil,
    "outside": outside,
    "shut_down_drain": shut_down_drain,
}


def sites(count: int, seed: int) -> list[Site]:
    """Sites with every way in turn."""
    dice = random.Random(seed)
    return [_wet(NAMES[n % len(NAMES)], dice) for n in range(count)]


def _wet(truth: str, dice: random.Random) -> Site:
    """A site whose coil makes water at all."""
    while True:
        tried = site(truth, dice)
        if tried.made > 0.05 * tried.tons:
            return tried
