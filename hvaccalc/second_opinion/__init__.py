"""Two property libraries recompute what the package computed, in a process of their own.

psychrolib answers for moist air, CoolProp for refrigerants. They run in a subprocess, because psychrolib
keeps its unit system in a global that would be the caller's too, and CoolProp takes seconds to import;
`worker` is that process and the only module that imports them.

What agreement shows: that coefficients and equations were typed and evaluated rightly. What it does not
show: that readings are right, or a diagnosis; what both sides share is named in `SHARED`.
"""

from hvaccalc.second_opinion.opinion import Comparison, Opinion, compare
from hvaccalc.second_opinion.process import Process, beside
from hvaccalc.second_opinion.self_check import Check, SelfCheck, self_check

SHARED = (
    "moist air as an ideal mixture, which holds about 0.5 % less vapour at saturation than real air",
    "the equations of state: the refrigerant tables were fitted to the same library, whose own band "
    "against the real refrigerant is carried in the saturations",
)
"""Taken alike by both sides, so not checked."""

__all__ = [
    "SHARED",
    "Check",
    "Comparison",
    "Opinion",
    "Process",
    "SelfCheck",
    "beside",
    "compare",
    "self_check",
]
