"""A published sample geometry of a split unit, and the charges of a first-principles model of it.

Used by the tests and by the validation page.
"""

import numpy as np

from hvaccalc.equipment.circuit.charge_inventory import MODELS, Closures, State, Volumes, component_charges
from hvaccalc.physics.refrigerant import refrigerant
from hvaccalc.practice.refrigerant import ZONE_FILMS

ZERO, TUBE = 273.15, np.pi / 4 * 0.00849**2
GEOMETRY = Volumes(
    condenser=24 * 2.252 * TUBE,
    evaporator=96 * 0.452 * TUBE,
    liquid_line=np.pi / 4 * 0.007986**2 * 7.6,
    suction_line=np.pi / 4 * 0.017526**2 * 7.6,
    receiver=0.0,
    oil_charge=0.0,
)
# suction, condensing, outdoors [°C], subcooling [K]; charge, then its parts in the order of PARTS [kg]
CASES = {
    "base": (8.14, 44.29, 35.0, 7.0, 2.052, 0.302, 1.300, 0.380, 0.070),
    "subcooling 3 K": (8.37, 43.15, 35.0, 3.0, 1.782, 0.290, 1.050, 0.373, 0.070),
    "subcooling 5 K": (8.24, 43.60, 35.0, 5.0, 1.900, 0.296, 1.157, 0.377, 0.070),
    "subcooling 10 K": (8.06, 46.02, 35.0, 10.0, 2.338, 0.309, 1.576, 0.384, 0.070),
    "outdoors 45 °C": (9.09, 53.92, 45.0, 7.0, 2.104, 0.266, 1.408, 0.359, 0.072),
    "condenser air 80 %": (8.24, 45.38, 35.0, 7.0, 2.008, 0.298, 1.262, 0.378, 0.070),
    "condenser air 60 %": (8.42, 47.27, 35.0, 7.0, 1.968, 0.290, 1.233, 0.374, 0.071),
    "condenser air 42 %": (8.74, 50.51, 35.0, 7.0, 1.937, 0.278, 1.221, 0.367, 0.071),
}
PARTS = ("evaporator", "condenser", "liquid line", "suction line")


def closures(model: str) -> Closures:
    """Middle values of what the package draws, with one void fraction."""
    films = {key: np.mean(ends) for key, ends in ZONE_FILMS.items()}
    return Closures(
        void_model=np.array(MODELS.index(model)),
        viscosity_ratio=8.0,
        mass_flux=300.0,
        receiver_filled=0.3,
        valve_outdoors=np.array(False),
        **films,
    )


def state(case: str) -> State:
    suction, condensing, outdoor, subcooling = CASES[case][:4]
    return State(
        condensing=np.array(condensing + ZERO),
        suction=suction + ZERO,
        outdoor=outdoor + ZERO,
        indoor=23.89 + ZERO,
        subcooling=np.array(subcooling),
        superheat=5.0,
        discharge_superheat=30.0,
    )


def charges(case: str, model: str = "Zivi", volumes: Volumes = GEOMETRY) -> dict[str, float]:
    found = component_charges(refrigerant("R-410A"), volumes, state(case), closures(model))
    return {name: float(np.ravel(part)[0]) for name, part in found.items()}
