"""Gravity drains, code sizes and the pan below the unit against published tables and worked cases."""

import numpy as np
import pytest
from fluids.open_flow import V_Manning

from hvaccalc import units as u
from hvaccalc.equipment.drain import drain_line
from hvaccalc.physics import pipe_flow
from hvaccalc.practice.water import MINIMUM_SLOPE

INCH = 0.0254
EIGHTH = 1.0 / 96.0  # 1/8 in/ft
TON = u.si(1.0, "ton")


def gallons_per_minute(volume_flow):
    """A US gallon is 231 cubic inches."""
    return volume_flow * 60.0 / (231.0 * INCH**3)


@pytest.mark.parametrize(
    ("inside", "roughness", "filled", "printed"),
    [
        # Arithmetic of Manning's equation in inch units, 1.486/n A R^(2/3) S^(1/2), by hand to three digits.
        (0.750, 0.010, 1.0, 1.31),
        (0.824, 0.009, 1.0, 1.86),
        (1.049, 0.009, 1.0, 3.55),
        (0.824, 0.009, 0.5, 0.93),
        (1.049, 0.009, 0.5, 1.77),
    ],
)
def test_manning_at_an_eighth_of_an_inch(inside, roughness, filled, printed):
    """Half a digit, and 0.06 % by which 1.486 exceeds its metric one."""
    found = gallons_per_minute(pipe_flow.manning_flow(inside * INCH, EIGHTH, roughness, filled))
    assert found == pytest.approx(printed, abs=0.005 + 0.0006 * printed)


@pytest.mark.parametrize("filled", [0.1, 0.5, 0.8, 1.0])
def test_manning_against_a_hydraulics_library(filled):
    """Velocity of the `fluids` library, with area and perimeter summed over strips of the circle."""
    diameter, slope, n = 0.04, 0.02, 0.011
    turn = np.linspace(0.0, np.arccos(1.0 - 2.0 * filled), 20001)
    depth = 0.5 * diameter * (1.0 - np.cos(turn))
    area = np.trapezoid(diameter * np.sin(turn), depth)
    perimeter = diameter * turn[-1]
    expected = area * V_Manning(area / perimeter, slope, n)
    assert pipe_flow.manning_flow(diameter, slope, n, filled) == pytest.approx(expected, rel=1e-6)


def test_fullest_is_not_full():
    """Any hydraulics text: most flow at 0.938 of the depth, 7.6 % above full."""
    filled = np.linspace(0.0, 1.0, 2001)
    flow = pipe_flow.manning_flow(1.0, 0.01, 0.01, filled)
    assert filled[np.argmax(flow)] == pytest.approx(0.938, abs=0.001)
    assert flow.max() / flow[-1] == pytest.approx(1.076, abs=0.0005)


def test_a_line_falling_the_wrong_way_is_not_guessed():
    assert np.isnan(pipe_flow.manning_flow(0.02, -0.01, 0.01))
    assert pipe_flow.manning_flow(0.02, 0.0, 0.01) == 0.0
    assert np.isnan(pipe_flow.manning_flow(0.02, 0.01, 0.0))
    assert np.isnan(pipe_flow.manning_flow(0.02, 0.01, 0.01, 1.01))
    assert pipe_flow.manning_flow(0.02, 0.01, 0.01, 0.0) == 0.0


@pytest.mark.parametrize(
    ("material", "low", "high"), [("PVC", 0.009, 0.011), ("copper", 0.011, 0.011), ("other", 0.009, 0.011)]
)
def test_roughness(material, low, high):
    """Published coefficients: PVC 0.009-0.011, plastic 0.010 (Austin), copper 0.011: all inside the bands."""
    central, least, most = pipe_flow.ROUGHNESS_BANDS[material]
    assert least <= low <= high <= most and least <= central <= most


@pytest.mark.parametrize(
    ("material", "low", "high"), [("PVC", 0.009, 0.011), ("copper", 0.009, 0.013), ("other", 0.009, 0.016)]
)
def test_roughness_is_no_wider_than_printed(material, low, high):
    """Chow, Open-Channel Hydraulics (1959), table 5-6, from memory: smooth brass 0.009 to 0.013, uncoated
    cast iron to 0.016; PVC as above."""
    assert pipe_flow.ROUGHNESS_BANDS[material][1:] == pytest.approx((low, high))


@pytest.mark.parametrize(
    ("material", "nominal", "inside"),
    [
        # Printed inside diameters of schedule 40 pipe (ASME B36.10M, ASTM D1785), in.
        *[
            ("PVC", *row)
            for row in (
                (0.5, 0.622),
                (0.75, 0.824),
                (1.0, 1.049),
                (1.25, 1.380),
                (1.5, 1.610),
                (2.0, 2.067),
                (3.0, 3.068),
                (4.0, 4.026),
            )
        ],
        # Printed inside diameters of type L copper tube (ASTM B88), in.
        *[
            ("copper", *row)
            for row in (
                (0.5, 0.545),
                (0.75, 0.785),
                (1.0, 1.025),
                (1.25, 1.265),
                (1.5, 1.505),
                (2.0, 1.985),
                (3.0, 2.945),
                (4.0, 3.905),
            )
        ],
    ],
)
def test_inside_diameters(material, nominal, inside):
    assert drain_line.inside_diameter(nominal * INCH, material) / INCH == pytest.approx(inside, abs=0.0005)


def test_a_size_that_nobody_makes():
    assert np.isnan(drain_line.inside_diameter([0.9 * INCH, -1.0, np.nan])).all()
    assert np.isnan(drain_line.drain_capacity(0.9 * INCH, 0.01))


CODE = [(20, 0.75), (20.1, 1.0), (40, 1.0), (40.1, 1.25), (90, 1.25), (90.1, 1.5), (125, 1.5), (125.1, 2.0)]


@pytest.mark.parametrize(("tons", "size"), [(1, 0.75), *CODE, (250, 2.0)])
def test_code_minimum(tons, size):
    """International Mechanical Code, table 307.2.2 (Rapid City 15.26.180): each row, its end and just past
    it."""
    assert drain_line.code_minimum_size(tons * TON) / INCH == pytest.approx(size)


def test_beyond_the_code_table():
    assert np.isnan(drain_line.code_minimum_size(np.array([250.1, -1.0]) * TON)).all()


ONE_PERCENT = [
    # nominal in, gal/h at 1 % full, tons of comfort cooling: a published design guideline
    (0.75, 96, 2),
    (1.0, 204, 5),
    (1.25, 360, 30),
    (1.5, 582, 50),
    (2.0, 1242, 160),
    (3.0, 3618, 300),
    (4.0, 7680, 430),
]


@pytest.mark.parametrize("row", ONE_PERCENT)
def test_hydraulic_table(row):
    """Its sizes and tons as printed; Manning at 1 % spans its flows between n 0.0088 and 0.0108."""
    size, gallons_per_hour, tons = row
    assert drain_line.hydraulic_minimum_size(tons * TON) / INCH == pytest.approx(size)
    at = list(drain_line.HYDRAULIC_TABLE.sizes).index(size * INCH)
    assert drain_line.HYDRAULIC_TABLE.flow[at] == pytest.approx(u.si(gallons_per_hour, "gal/h"))
    rough, smooth = (
        u.to(drain_line.drain_capacity(size * INCH, 0.01, "PVC", 1.0, n), "gal/h") for n in (0.0109, 0.0087)
    )
    assert rough < gallons_per_hour < smooth


def test_the_two_tables_differ_and_both_are_kept():
    """3/4 in: 20 tons by the code, 2 tons by the 1 % table; 1 in: 40 against 5."""
    for size, legal, hydraulic in ((0.75, 20, 2), (1.0, 40, 5)):
        assert drain_line.code_minimum_size(legal * TON) / INCH == pytest.approx(size)
        assert drain_line.hydraulic_minimum_size(hydraulic * TON) / INCH == pytest.approx(size)
        assert drain_line.hydraulic_minimum_size(legal * TON) > drain_line.code_minimum_size(legal * TON)


def test_minimum_slope_and_size():
    """1/8 in in 12 in; 3/4 in for the smallest unit."""
    assert MINIMUM_SLOPE == pytest.approx(0.125 / 12.0)
    assert drain_line.code_minimum_size(0.1 * TON) / INCH == pytest.approx(0.75)


@pytest.mark.parametrize(
    ("pan", "depth", "fits"),
    [
        # IRC M1411.3.1 (2018): 1.5 in deep, 3 in larger in length and width than a unit of 48 x 24 in.
        ((51.0, 27.0), 1.5, True),
        ((50.5, 27.0), 1.5, False),
        ((51.0, 26.5), 1.5, False),
        ((51.0, 27.0), 1.25, False),
        ((np.nan, 27.0), 1.5, False),
    ],
)
def test_auxiliary_pan(pan, depth, fits):
    found = drain_line.auxiliary_pan_fits(np.array(pan) * INCH, np.array([48.0, 24.0]) * INCH, depth * INCH)
    assert bool(found) is fits


def test_outlet_under_a_head():
    """Torricelli by hand: 1 in over a hole of 0.824 in: 0.6 x 3.4404e-4 m² x sqrt(2 x 9.80665 x 0.0254)
    m/s."""
    assert drain_line.outlet_capacity(0.75 * INCH, INCH) == pytest.approx(
        998.2 * 0.6 * 3.4404e-4 * 0.70581, rel=1e-4
    )
    assert drain_line.outlet_capacity(0.75 * INCH, -INCH) == 0.0
