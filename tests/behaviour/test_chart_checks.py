"""A charging chart that cannot be is refused where it stands.

Saturation by the printed R-410A card (from memory, as every gauge carries it): 118 psig 40 °F,
201 psig 70 °F, 317 psig 100 °F.
"""

import pytest

from hvaccalc.errors import InputError
from hvaccalc.job.load import job_from_text
from tests.behaviour.jobs import job_text

SOUND_POINTS = [
    ("70 degF", "244 psig"),
    ("80 degF", "284 psig"),
    ("90 degF", "328 psig"),
    ("100 degF", "376 psig"),
]
"""Subcooling of 13 to 12 °F along the card."""


def charted(points: list[tuple[str, str]], **changes) -> str:
    chart = [{"liquid_temperature": t, "liquid_pressure": p} for t, p in points]
    return job_text({"circuit.1.chart": chart} | changes)


def refused(points: list[tuple[str, str]], **changes) -> InputError:
    with pytest.raises(InputError) as caught:
        job_from_text(charted(points, **changes))
    return caught.value


@pytest.mark.parametrize(
    "points",
    [
        SOUND_POINTS,
        SOUND_POINTS[::-1],
        SOUND_POINTS[:3],
        SOUND_POINTS[:2],
        SOUND_POINTS[:1],
        [SOUND_POINTS[0], SOUND_POINTS[0]],
        # No subcooling at all is a poor chart, not an impossible one.
        [("40 degF", "118 psig"), ("100 degF", "317 psig")],
        [("21 degC", "16.8 barg"), ("38 degC", "25.9 barg")],
    ],
)
def test_a_chart_that_can_be_is_taken(points) -> None:
    job_from_text(charted(points))


@pytest.mark.parametrize(
    "points",
    [
        [("103 degF", "317 psig")],
        [("80 degF", "284 psig"), ("72 degF", "201 psig")],
        # Absolute pressure typed as such is right, the same number as gauge would be too high.
        [("70 degF", "201 psia")],
    ],
)
def test_liquid_above_its_saturation_is_refused(points) -> None:
    error = refused(points)
    assert "above its saturation" in error.message and error.key.startswith("circuit.1.chart[")


@pytest.mark.parametrize(
    "points",
    [
        [("80 degF", "328 psig"), ("90 degF", "284 psig")],
        [("80 degF", "284 psig"), ("85 degF", "284 psig")],
        [("70 degF", "244 psig"), ("90 degF", "284 psig"), ("80 degF", "328 psig")],
    ],
)
def test_points_that_do_not_rise_together_are_refused(points) -> None:
    assert "do not rise" in refused(points).message


@pytest.mark.parametrize("odd", range(4))
def test_a_point_far_from_the_line_of_the_others_is_named(odd) -> None:
    points = list(SOUND_POINTS)
    # Too much subcooling by a slip of 12 °F, which leaves the points rising.
    slipped = {0: "58 degF", 1: "71 degF", 2: "81 degF", 3: "91 degF"}
    points[odd] = (slipped[odd], points[odd][1])
    error = refused(points)
    assert f"chart[{odd + 1}]" in error.key and "far from the line" in error.message


def test_the_middle_one_of_three_stands_for_a_bend() -> None:
    error = refused([SOUND_POINTS[0], ("71 degF", "328 psig"), SOUND_POINTS[3]])
    assert "chart[2]" in error.key


def test_the_chart_of_a_refrigerant_that_is_not_carried_is_only_asked_to_rise() -> None:
    changes = {"circuit.1.refrigerant": "R-600a"}
    job_from_text(charted([("103 degF", "100 psig")], **changes))
    assert "do not rise" in refused([("80 degF", "70 psig"), ("90 degF", "60 psig")], **changes).message
