"""What the libraries make of an analysis, beside what the package made of it."""

import math
from dataclasses import dataclass, field

from hvaccalc.analysis import Analysis
from hvaccalc.errors import NoSecondOpinion
from hvaccalc.findings import Finding
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.second_opinion.process import Process
from hvaccalc.second_opinion.questions import EITHER_BULB, LIMITS, TWO_CURVES, Limit, Question, questions

NEAR_FREEZING = "so near freezing a bulb may carry ice or water, and both answers hold"
BETWEEN_CURVES = "at 0 to 0.01 °C one side takes vapour over ice, the other over water"
IMPOSSIBLE = "the readings as they stand are no state of air; stated is the median of their possible draws"
BLEND = "a blend with glide, of which the library's own search is less sharp"


@dataclass(frozen=True, slots=True)
class Comparison:
    """One number, reckoned twice.

    Attributes
    ----------
    finding : Finding
        States the package's own.
    kind : str
        Key of `questions.LIMITS`.
    theirs : float
        The library's [SI].
    difference : float
        In the measure of the kind's limit.
    limit : float
        What is usual for it.
    known : str
        Why more than usual is to be expected here, empty where it is not.
    """

    finding: Finding
    kind: str
    theirs: float
    difference: float
    limit: float
    known: str

    @property
    def usual(self) -> bool:
        """Whether the two are no further apart than usual."""
        return self.difference <= self.limit


@dataclass(frozen=True, slots=True)
class Opinion:
    """A second opinion on an analysis.

    Attributes
    ----------
    compared : tuple of Comparison
    unanswered : tuple of (Finding, str)
        Numbers to which a library that is there had no answer, and why.
    versions, missing : dict of str to str
        Releases of the libraries, and why those that could not be loaded are missing.
    failure : str
        Why there is none at all; empty where there is one.
    """

    compared: tuple[Comparison, ...] = ()
    unanswered: tuple[tuple[Finding, str], ...] = ()
    versions: dict[str, str] = field(default_factory=dict)
    missing: dict[str, str] = field(default_factory=dict)
    failure: str = ""


def compare(analysis: Analysis, process: Process) -> Opinion:
    """Ask the libraries for every moist-air and refrigerant number that an analysis states.

    Parameters
    ----------
    analysis : Analysis
    process : Process
        Never raises: what goes wrong in it is told in the opinion.
    """
    stated = {f.id: f for f in analysis.findings if f.value is not None}
    asked = {q.id: q for q in questions(analysis) if q.id in stated}
    try:
        answer = process.ask({q.id: {"ask": q.ask, "of": q.of} for q in asked.values() if q.possible})
    except NoSecondOpinion as error:
        return Opinion(failure=str(error))
    compared = tuple(_compared(asked[name], stated[name], value) for name, value in answer.values.items())
    why = {q.id: IMPOSSIBLE for q in asked.values() if not q.possible} | {
        name: text for name, text in answer.why.items() if _library(asked[name]) not in answer.missing
    }
    unanswered = tuple((stated[name], text) for name, text in why.items())
    return Opinion(compared, unanswered, answer.versions, answer.missing)


def _library(question: Question) -> str:
    return "CoolProp" if "fluid" in question.of else "psychrolib"


def _compared(question: Question, finding: Finding, theirs: float) -> Comparison:
    limit = LIMITS[question.kind]
    difference = math.inf if finding.value is None else float(limit.difference(finding.value, theirs))
    return Comparison(
        finding, question.kind, theirs, difference, limit.of(question.glide), _known(question, theirs, limit)
    )


def _known(question: Question, theirs: float, limit: Limit) -> str:
    if question.kind == "wet_bulb" and abs(theirs - FREEZING_POINT) <= EITHER_BULB:
        return NEAR_FREEZING
    states = [question.of, question.of.get("entering", {}), question.of.get("leaving", {})]
    low, high = TWO_CURVES
    for state in states:
        read = [state[key] for key in ("dry_bulb", "wet_bulb", "dew_point") if key in state]
        if any(low <= kelvin <= high for kelvin in read):
            return BETWEEN_CURVES
    return BLEND if question.glide and limit.glide else ""
