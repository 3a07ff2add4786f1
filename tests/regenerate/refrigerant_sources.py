"""What `tests.regenerate.refrigerants` fits: the refrigerants carried.

Compositions and safety groups: ANSI/ASHRAE Standard 34, from memory; a test holds the molar masses
that follow from them against the standard's.
"""

from dataclasses import dataclass

from CoolProp.CoolProp import PropsSI


@dataclass(frozen=True)
class Source:
    """What to fit: ASHRAE 34 name, CoolProp fluid string, and the band of its saturation."""

    name: str
    fluid: str
    composition: str
    safety_class: str
    glide: bool
    saturation_band: float
    saturation_band_basis: str


def by_mass(percent: dict[str, float]) -> str:
    """CoolProp mixture string, by moles, of a composition by mass."""
    moles = {fluid: share / PropsSI("M", fluid) for fluid, share in percent.items()}
    total = sum(moles.values())
    return "&".join(f"{name}[{amount / total:.9f}]" for name, amount in moles.items())


PURE_BAND_BASIS = (
    "the reference equation states about 0.1 % in vapour pressure or better (0.03 K; from memory); 0.1 K "
    "taken as for R-22, so no statistics"
)
MIXTURE_BAND_BASIS = (
    "{}; releases of such models differ by about 0.3 K (common practice, no source), and published "
    "normal boiling points (from memory) lie within 0.5 K, at -50 °C"
)
MODEL = MIXTURE_BAND_BASIS.format("mixture model, no equation of its own")
PSEUDO_PURE = MIXTURE_BAND_BASIS.format("pseudo-pure equation, itself fitted to a mixture model's data")

SOURCES = (
    Source(
        name="R-22",
        fluid="R22",
        composition="chlorodifluoromethane",
        safety_class="A1",
        glide=False,
        saturation_band=0.1,
        saturation_band_basis=(
            "the published trade value of the pressure at 32 °F (57.73 psig) is 0.09 K from this "
            "library; one value, so no statistics"
        ),
    ),
    Source(
        name="R-32",
        fluid="R32",
        composition="difluoromethane",
        safety_class="A2L",
        glide=False,
        saturation_band=0.1,
        saturation_band_basis=PURE_BAND_BASIS,
    ),
    Source(
        name="R-134a",
        fluid="R134a",
        composition="1,1,1,2-tetrafluoroethane",
        safety_class="A1",
        glide=False,
        saturation_band=0.1,
        saturation_band_basis=PURE_BAND_BASIS,
    ),
    Source(
        name="R-404A",
        fluid="R404A",
        composition="R-125, R-143a and R-134a, 44, 52 and 4 % by mass",
        safety_class="A1",
        glide=False,
        saturation_band=0.3,
        saturation_band_basis=PSEUDO_PURE,
    ),
    Source(
        name="R-407C",
        fluid="R407C",
        composition="R-32, R-125 and R-134a, 23, 25 and 52 % by mass",
        safety_class="A1",
        glide=True,
        saturation_band=0.3,
        saturation_band_basis=PSEUDO_PURE,
    ),
    Source(
        name="R-410A",
        fluid="R410A",
        composition="R-32 and R-125, 50 % each by mass",
        safety_class="A1",
        glide=False,
        saturation_band=0.25,
        saturation_band_basis=(
            "twice the root mean square (0.12 K) of the differences between this library's "
            "pseudo-pure equation and 40 published values: service manual AUXB12 p. 223, "
            "condensing-unit manual 48478A006 Table 5, the trade value at 32 °F, and the saturation "
            "temperatures reported in NISTIR 7350"
        ),
    ),
    Source(
        name="R-448A",
        fluid=by_mass({"R32": 26.0, "R125": 26.0, "R1234yf": 20.0, "R134a": 21.0, "R1234ze(E)": 7.0}),
        composition="R-32, R-125, R-1234yf, R-134a and R-1234ze(E), 26, 26, 20, 21 and 7 % by mass",
        safety_class="A1",
        glide=True,
        saturation_band=0.3,
        saturation_band_basis=MODEL,
    ),
    Source(
        name="R-449A",
        fluid=by_mass({"R32": 24.3, "R125": 24.7, "R1234yf": 25.3, "R134a": 25.7}),
        composition="R-32, R-125, R-1234yf and R-134a, 24.3, 24.7, 25.3 and 25.7 % by mass",
        safety_class="A1",
        glide=True,
        saturation_band=0.3,
        saturation_band_basis=MODEL,
    ),
    Source(
        name="R-452B",
        fluid=by_mass({"R32": 67.0, "R125": 7.0, "R1234yf": 26.0}),
        composition="R-32, R-125 and R-1234yf, 67, 7 and 26 % by mass",
        safety_class="A2L",
        glide=True,
        saturation_band=0.3,
        saturation_band_basis=MODEL,
    ),
    Source(
        name="R-454B",
        fluid="R32[0.829]&R1234yf[0.171]",
        composition="R-32 and R-1234yf, 68.9 and 31.1 % by mass (0.829 and 0.171 by moles)",
        safety_class="A2L",
        glide=True,
        saturation_band=0.3,
        saturation_band_basis=MODEL,
    ),
    Source(
        name="R-513A",
        fluid=by_mass({"R1234yf": 56.0, "R134a": 44.0}),
        composition="R-1234yf and R-134a, 56 and 44 % by mass",
        safety_class="A1",
        glide=False,
        saturation_band=0.3,
        saturation_band_basis=MODEL,
    ),
)
