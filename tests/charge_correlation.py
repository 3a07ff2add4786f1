"""Capacity and power of a valve unit whose charge is off: a correlation, and the package's own unit.

Domanski, Henderson, Payne, NIST TN 1848 (2014), from tests of one R-410A split heat pump with a valve:
coefficients as a public residential simulation carries them. Combined with airflow as that simulation does,
by the flow fraction of Cutler et al., NREL/TP-5500-56354 (2013). Valid to 30 % of charge.
"""

import numpy as np

from tests.published.test_unit_faults import gross, state

COEFFICIENTS = {
    "capacity": {
        "below": (-9.46e-1, 4.93e-2, -1.18e-3, -1.15),
        "above": (-1.63e-1, 1.14e-2, -2.10e-4, -1.40e-1),
    },
    "power": {
        "below": (-3.13e-1, 1.15e-2, 2.66e-3, -1.16e-1),
        "above": (2.19e-1, -5.01e-3, 9.89e-4, 2.84e-1),
    },
}
FLOW_FRACTION = (0.718605468, 0.410099989, -0.128705457)


def ratio(what: str, fraction: float, outdoor: float = 35.0, indoor: float = 26.7) -> float:
    """Capacity or power over that at the right charge; charge off by a fraction, temperatures [°C]."""
    a = COEFFICIENTS[what]["below" if fraction < 0.0 else "above"]
    return 1.0 + (a[0] + a[1] * indoor + a[2] * outdoor + a[3] * fraction) * fraction


def with_airflow(fraction: float, airflow: float) -> float:
    """Capacity ratio with the airflow off as well, at 26.67/35 °C."""
    alone = ratio("capacity", fraction, 35.0, 26.67)
    share = 1.0 / alone
    return alone / _flow(share) * _flow(share * airflow)


def _flow(share: float) -> float:
    return float(np.polyval(FLOW_FRACTION[::-1], share))


def package(what: str, fraction: float) -> float:
    """The same ratio of the package's 20-ton valve unit at 80/67/95 °F."""
    off, right = (state("TXV", charge=charge) for charge in (1.0 + fraction, 1.0))
    if what == "capacity":
        return float(gross(off) / gross(right))
    return float(off.compressor_power.sum() / right.compressor_power.sum())
