"""The part of the validation page on a charge that is off: a correlation beside the package's unit."""

from tests.charge_correlation import package, ratio

HEAD = """## A charge that is off, against a correlation

Capacity and compressor power over those at the right charge: Domanski, Henderson, Payne, NIST TN 1848 (2014),
one R-410A split heat pump with a valve, and the package's 20-ton valve unit at 80/67/95 °F, whose volumes are
assumed. Limit of the tests: 0.04 to 20 % of charge; what lies beyond is marked. Short of charge this unit
loses less capacity than the tested one; too full, its smaller condenser floods sooner and its power rises
more. So a shortage is told as low, not as a capacity lost.
"""

LIMIT = 0.04
FRACTIONS = (-0.30, -0.20, -0.10, 0.10, 0.20, 0.30)


def section() -> str:
    """Heading and table."""
    rows = [
        "| charge off by | " + " | ".join(f"{100 * f:+.0f} %" for f in FRACTIONS) + " |",
        "|---|" + "---:|" * len(FRACTIONS),
    ]
    for what in ("capacity", "power"):
        known, ours = [ratio(what, f) for f in FRACTIONS], [package(what, f) for f in FRACTIONS]
        apart = [
            f"{b - a:+.3f}{' (beyond)' if abs(b - a) > LIMIT else ''}"
            for a, b in zip(known, ours, strict=True)
        ]
        for name, cells in (
            (f"{what}, correlation", [f"{value:.3f}" for value in known]),
            (f"{what}, package", [f"{value:.3f}" for value in ours]),
            ("difference", apart),
        ):
            rows.append(f"| {name} | " + " | ".join(cells) + " |")
    return HEAD + "\n" + "\n".join(rows) + "\n"
