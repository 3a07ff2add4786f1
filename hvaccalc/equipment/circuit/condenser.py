"""Air-cooled condenser in three zones by their share of the coil: desuperheating, condensing, subcooling.

Every zone has its share of the coil and of the air, so its effectiveness does not depend on its size ::

    desuperheating  y = m (h2 - hg) ln(1 + SH / D) / (C ed SH),      D = Tc - Tout
    condensing      m (hg - hout) = x C e (Tmean - Tout),            x = 1 - y - z
    subcooling      Tliquid = Tout + (Tbubble - Tout) exp(-C el z / (m cp))

with e = 1 - exp(-NTU), and lower films of gas and liquid as ratios of NTU. Each share sees fresh outdoor air:
one or two rows. Sources: effectiveness of one stream at constant temperature, Incropera and DeWitt, chapter
11, from memory; the ratios are common practice, no source.
"""

from typing import NamedTuple

import numpy as np

from hvaccalc.arrays import Array

DESUPERHEATING_FILM = 0.7
SUBCOOLING_FILM = 0.6
AIR_FILM_EXPONENT = 0.6
# Of the resistance between air and refrigerant at rated airflow, the part that airflow does not change.
INSIDE_SHARE = 0.25
# Air capacity effectiveness at rating where nothing is known; 0.79-0.83 measured in NISTIR 7350.
EFFECTIVENESS = 0.70
LEAST_DRIVE = 0.5
# Holding the head, the fans move exp((t - held) / 10 K) of their air as the unknown t falls below what is
# held.
FAN_TURN_DOWN = 10.0


class AirSide(NamedTuple):
    """Air of the condenser: capacity rate [W/K] and effectiveness of the three zones."""

    capacity: Array
    desuperheating: Array
    condensing: Array
    subcooling: Array


class Zones(NamedTuple):
    """Shares of the coil, heat the condensing zone can take [W], leaving liquid [K]."""

    desuperheating: Array
    condensing: Array
    heat: Array
    liquid_temperature: Array


def air_side(rated_capacity: Array, rated_ntu: Array, air: Array, fouling: Array) -> AirSide:
    """Capacity rate and effectiveness at a share of the rated air.

    Parameters
    ----------
    rated_capacity, rated_ntu : ndarray
        Capacity rate of the air [W/K] and transfer units at rating.
    air, fouling : ndarray
        Airflow and overall conductance over rated, > 0; a layer of dirt is the second.

    Examples
    --------
    >>> side = air_side(1000.0, 1.2, 1.0, 1.0)
    >>> round(float(side.condensing), 3)
    0.699
    """
    resistance = (1.0 - INSIDE_SHARE) * air**-AIR_FILM_EXPONENT + INSIDE_SHARE
    ntu = rated_ntu * fouling / (resistance * air)
    films = (DESUPERHEATING_FILM, 1.0, SUBCOOLING_FILM)
    return AirSide(rated_capacity * air, *(-np.expm1(-film * ntu) for film in films))


def drive(condensing: Array, outdoor: Array) -> Array:
    """Condensing over outdoor [K], kept above zero so that a Newton iteration may pass through nonsense."""
    difference = condensing - outdoor
    below = np.minimum(difference, LEAST_DRIVE)
    return difference - below + LEAST_DRIVE**2 / (2.0 * LEAST_DRIVE - below)


def zones(
    air: AirSide,
    flow: Array,
    gas_heat: Array,
    gas_superheat: Array,
    condensing: Array,
    bubble: Array,
    outdoor: Array,
    liquid_heat_capacity: Array,
    subcooled: Array,
) -> Zones:
    """The three zones at a subcooled share.

    Parameters
    ----------
    air : AirSide
    flow : ndarray
        Refrigerant [kg/s].
    gas_heat, gas_superheat : ndarray
        Of the gas above dew, >= 0 [J/kg], [K].
    condensing, bubble, outdoor : ndarray
        Dew, bubble, entering air [K].
    liquid_heat_capacity : ndarray
        [J/(kg K)]
    subcooled : ndarray
        Share of the coil full of liquid, >= 0.

    Returns
    -------
    Zones
    """
    over = drive(condensing, outdoor)
    ratio = np.maximum(gas_superheat / over, 1e-9)
    gas = flow * gas_heat * np.log1p(ratio) / (ratio * over * air.capacity * air.desuperheating)
    condensing_share = 1.0 - gas - subcooled
    mean = drive(0.5 * (condensing + bubble), outdoor)
    heat = condensing_share * air.capacity * air.condensing * mean
    lines = air.capacity * air.subcooling / (flow * liquid_heat_capacity)
    liquid = bubble - drive(bubble, outdoor) * -np.expm1(-lines * subcooled)
    return Zones(gas, condensing_share, heat, liquid)
