"""How much paper what is drawn takes, worked out by hand at half scale."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.blocks.drawing import CentreMark, Circle, Line, Point, Polygon, Shape, Words
from shopdocs.core.length import Length
from shopdocs.documents.drawn.measures import extents_mm

HALF = Fraction(1, 2)


def at(x: int, y: int) -> Point:
    return Length(x), Length(y)


@pytest.mark.parametrize(
    ("shapes", "box"),
    [
        ([Line(at(2, 6), at(10, 4))], (1, 2, 5, 3)),
        ([Polygon((at(0, 0), at(8, 0), at(4, 10)))], (0, 0, 4, 5)),
        ([Circle(at(10, 20), Length(4))], (3, 8, 7, 12)),  # 5 and 10, a radius of 2
        ([CentreMark(at(10, 20), Length(6))], (2, 7, 8, 13)),
        ([Circle(at(10, 20), Length(4)), Line(at(0, 0), at(2, 2))], (0, 0, 7, 12)),
        ([Circle(at(10, 20), Length(4)), Line(at(30, 30), at(32, 40))], (3, 8, 16, 20)),
    ],
)
def test_what_is_drawn_lies_within_its_extents_and_touches_them(shapes: list[Shape], box: tuple[float, ...]) -> None:
    assert extents_mm(shapes, HALF) == pytest.approx(box)


def test_words_reach_to_the_side_that_they_are_not_held_at() -> None:
    middle, left, right = (
        extents_mm([Words(at(20, 20), "LEG", anchor=held)], HALF) for held in ("centre", "left", "right")
    )
    assert 10 - middle[0] == pytest.approx(middle[2] - 10) and middle[2] > 10
    assert left[0] == pytest.approx(10, abs=1) and left[2] - left[0] == pytest.approx(middle[2] - middle[0])
    assert right[2] == pytest.approx(10, abs=1) and right[2] - right[0] == pytest.approx(middle[2] - middle[0])
