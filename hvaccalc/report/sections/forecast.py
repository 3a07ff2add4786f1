"""At which airflow and in which weather the coil freezes, by the coupled unit."""

from hvaccalc.diagnosis.unit.forecast import Forecast
from hvaccalc.findings import Finding
from hvaccalc.findings.forecast import day_text
from hvaccalc.job.causes import Way
from hvaccalc.report.blocks import Block, Item, Items, Paragraph
from hvaccalc.report.found import Found, where_of
from hvaccalc.words.said import chance, joined

FORECAST = (
    ("The metal.", "freeze.threshold_airflow.fin"),
    ("The refrigerant.", "freeze.threshold_airflow.suction"),
    ("Full speed.", "forecast.coldest_surface_full_speed"),
    ("A mild morning.", "freeze.forecast.mild_morning"),
    ("A hot afternoon.", "freeze.forecast.hot_afternoon"),
    ("Water without ice.", "forecast.condensate_per_air"),
)


def at_which_airflow(found: Found) -> list[Block]:
    """Where the coil would freeze and where not, by the coupled unit; nothing where it was not solved."""
    told = [(lead, finding) for lead, key in FORECAST for finding in found.of(key)]
    cold = found.freezes or found.staged_wrong
    matters = cold or found.water_noted or any(finding.severity.notable for _, finding in told)
    if not told or not matters:
        return []
    outlook = found.analysis.forecast
    if found.plain:
        if cold and outlook is not None and outlook.apart:
            return [Paragraph(not_this_one(outlook))]
        days = _kinds_of_day({f.key: f for _, f in told}, found.display)
        return [Paragraph(text) for text in days] if cold else []
    if _no_ice(found):
        return [Paragraph(NO_ICE, "At which airflow.")]
    items = tuple(Item(finding.statement, lead) for lead, finding in told)
    place = found.place(where_of(told[0][1]))
    head = f"From the readings of {place}. "
    if outlook is not None and outlook.apart:
        head += "The numbers are those of a sound unit of this rating, not of this one as it stands. "
    return [Paragraph(head.strip(), "At which airflow."), Items(items)]


NO_ICE = (
    "Ice has no part in this water, by the budget; at which airflow and in which weather this coil would "
    "freeze stands among the results."
)


def _no_ice(found: Found) -> bool:
    """Whether melting ice is ruled out and nothing froze or was likely to in what was read."""
    budget = found.analysis.water
    if budget is None or found.freezes or found.staged_wrong or not budget.matched:
        return False
    return Way.MELT in budget.ruled_out


def not_this_one(outlook: Forecast) -> str:
    """For the customer: no comfort from numbers of a sound unit."""
    if not outlook.held:
        return "How often this coil freezes cannot be calculated: the unit does not run as a sound one would."
    below = [one.circuit for one in outlook.held if one.freezing]
    now = "This unit runs colder where a sound one would not"
    if "" in below:
        now = "The coil of this unit is already below freezing where that of a sound one would not be"
    elif below:
        of = f"The refrigerant of circuit {joined(list(dict.fromkeys(below)))}"
        now = f"{of} is already below freezing where that of a sound one would not be"
    cause = "something other than the amount of air" if outlook.airflow_measured else "more than the weather"
    return (
        f"{now}: {cause} is behind it, so how often it freezes on a "
        "mild morning or a hot afternoon cannot be told before that is found and mended."
    )


def _kinds_of_day(by_key: dict[str, Finding], display: str) -> list[str]:
    """Both kinds of day in one plain sentence; nothing without both."""
    days = [by_key.get(f"freeze.forecast.{day}") for day in ("mild_morning", "hot_afternoon")]
    mild, hot = (day.value if day is not None else None for day in days)
    if mild is None or hot is None:
        return []
    return [
        f"At this airflow the chance that the coil freezes is {chance(mild)} on a mild morning "
        f"({day_text('mild morning', display, humid=False)}) and {chance(hot)} on a hot afternoon, by "
        "calculation."
    ]
