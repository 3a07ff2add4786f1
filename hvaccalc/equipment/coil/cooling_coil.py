"""Direct-expansion cooling coil: dry, wet and below freezing, one or more circuits on one set of fins.

The coil is cut into segments along the air path. In each, heat crosses a chain of resistances ::

    refrigerant --inside film, wall-- fin root --fin-- mean fin surface --air film-- air

and the mean fin surface drives heat and moisture alike (Lewis number 1)::

    m cp e (T - Ts) + m e h max(0, W - Wsat(Ts)) = (Ts - Tref) / R,    e = 1 - exp(-NTU)

with the condensate leaving at the surface temperature, h = 2501e3 + 1860 t' - 4186 ts (t' of the air behind
the segment, ts of the surface, both in °C). Below freezing, saturation is over ice and h grows to the heat of
sublimation. The fin root is the tube wall, the coldest metal in the air: frost starts there.

The refrigerant of a circuit has one temperature. Superheat, pressure drop and uneven air are not in here; a
mean of inlet and exit saturation stands for a pressure drop. Fog is not settled: near saturation air may
leave supersaturated (3 % from a return at 70 % relative humidity); mass and energy still close. Total
capacity against airflow at a given saturation is steeper than that of a unit, whose compressor lets the
saturation fall with the airflow.

Sources: Threlkeld, Thermal Environmental Engineering (wet surface driven by its mean temperature); Braun,
Klein, Mitchell, ASHRAE Transactions 95(2), 1989 (closed form); Incropera and DeWitt, Fundamentals of Heat and
Mass Transfer, chapter 11 (dry effectiveness), all from memory. Held against the chamber tests of NISTIR 7350
(2006), appendix D.
"""

from hvaccalc.equipment.coil.closed_form import wet_effectiveness_total
from hvaccalc.equipment.coil.coil_calibration import calibrate
from hvaccalc.equipment.coil.coil_circuits import CIRCUITINGS, solve
from hvaccalc.equipment.coil.coil_march import March, march
from hvaccalc.equipment.coil.coil_state import (
    DRY_RATING,
    NO_AIRFLOW,
    NO_INSIDE_FILM,
    NO_SOLUTION,
    NOT_IN_RANGE,
    REASONS,
    SUPERSATURATED,
    Coil,
    CoilState,
    Rating,
)

__all__ = [
    "CIRCUITINGS",
    "DRY_RATING",
    "NOT_IN_RANGE",
    "NO_AIRFLOW",
    "NO_INSIDE_FILM",
    "NO_SOLUTION",
    "REASONS",
    "SUPERSATURATED",
    "Coil",
    "CoilState",
    "March",
    "Rating",
    "calibrate",
    "march",
    "solve",
    "wet_effectiveness_total",
]
