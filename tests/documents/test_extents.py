"""How much paper what is drawn takes, worked out by hand at half scale."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.blocks.drawing import CentreMark, Circle, Dimension, Leader, Line, Point, Polygon, Shape, Words
from shopdocs.core.length import Length
from shopdocs.documents.drawn.measures import extents_mm, joined_boxes, type_mm, words_box

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


@pytest.mark.parametrize(("off", "reached"), [(10.0, (13.0, 19.0)), (-10.0, (-14.0, -8.0))])
def test_a_dimension_reaches_from_its_ends_past_its_line(off: float, reached: tuple[float, float]) -> None:
    """From 2 and 10 to 1 and 5 of paper; its line 10 mm over the higher end, which is at 5, or under the lower, at -2:
    2 mm under the line its arrowheads end, 4 mm over it the words."""
    ends = at(2, -4), at(10, 10)
    low, high = reached
    assert extents_mm([Dimension(*ends, "8", "x", off)], HALF) == pytest.approx((1, low, 5, high))
    along = Dimension(at(-4, 2), at(10, 10), "8", "y", off)  # the words stand left of the line
    left, right = (11.0, 17.0) if off > 0 else (-16.0, -10.0)
    assert extents_mm([along], HALF) == pytest.approx((left, 1, right, 5))


def test_the_words_of_a_leader_are_within_the_extents_and_its_line_is_not_counted() -> None:
    """Beside its end, which is at 20 and 5 of paper, half of their height over it and half under it; over the end of
    one that goes up steeply, half of them on either side."""
    beside = extents_mm([Leader(at(0, 0), at(40, 10), "leg")], HALF)
    back = extents_mm([Leader(at(80, 0), at(40, 10), "leg")], HALF)
    steep = extents_mm([Leader(at(40, 0), at(40, 60), "leg")], HALF)
    under = extents_mm([Leader(at(40, 60), at(40, 0), "leg")], HALF)
    wide = type_mm("leg", 9.0)
    assert 20 < beside[0] < 21 and beside[2] == pytest.approx(beside[0] + wide)
    assert 19 < back[2] < 20 and back[0] == pytest.approx(back[2] - wide)
    assert beside[1] + beside[3] == pytest.approx(10) == pytest.approx(back[1] + back[3])
    assert beside[3] - beside[1] > 9 * 25.4 / 72  # a line of type is higher than its size
    assert steep[0] + steep[2] == pytest.approx(40) and steep[2] - steep[0] == pytest.approx(wide)
    assert 30 < steep[1] < 31 and steep[3] > 33
    assert -1 < under[3] < 0 and under[3] - under[1] == pytest.approx(steep[3] - steep[1])
    # by hand on the paper: from (0, 20) to (20, 22) flat, from (20, 5) to (22, 25) steep
    flat, leant = (
        extents_mm([Leader(tip, end, "leg")], HALF) for tip, end in ((at(0, 40), at(40, 44)), (at(40, 10), at(44, 50)))
    )
    assert 20 < flat[0] < 21 and leant[0] + leant[2] == pytest.approx(44) and leant[1] > 25
    large = extents_mm([Leader(at(0, 0), at(40, 10), "leg", size_pt=18.0)], HALF)
    assert large[2] - large[0] == pytest.approx(2 * wide, rel=0.02)


def test_words_set_upright_reach_up_and_moved_ones_are_moved() -> None:
    level, upright = (extents_mm([Words(at(20, 20), "LEG", angle=turn)], HALF) for turn in (0, 90))
    assert (upright[2] - upright[0], upright[3] - upright[1]) == pytest.approx(
        (level[3] - level[1], level[2] - level[0])
    )
    assert level[3] - level[1] == pytest.approx(9 * 25.4 / 72, rel=0.01)  # the size of type, 72 points to the inch
    moved = extents_mm([Words(at(20, 20), "LEG", dx_mm=3.0, dy_mm=-2.0)], HALF)
    assert moved == pytest.approx((level[0] + 3, level[1] - 2, level[2] + 3, level[3] - 2))
    for turn in (0, 90):
        words = Words(at(20, 20), "LEG", anchor="left", angle=turn, dx_mm=3.0)  # type: ignore[arg-type]
        assert words_box(words, HALF) == pytest.approx(extents_mm([words], HALF))
    up = extents_mm([Words(at(20, 20), "LEG", angle=90, dx_mm=3.0, dy_mm=-2.0)], HALF)
    assert up == pytest.approx((upright[0] + 3, upright[1] - 2, upright[2] + 3, upright[3] - 2))


def test_the_smallest_box_that_holds_two() -> None:
    assert joined_boxes((0, 5, 3, 6), (-1, 4, 2, 9)) == (-1, 4, 3, 9)
    assert joined_boxes((-1, 4, 2, 9), (0, 5, 3, 6)) == (-1, 4, 3, 9)
    assert joined_boxes((0, 0, 9, 9), (1, 1, 2, 2)) == (0, 0, 9, 9) == joined_boxes((1, 1, 2, 2), (0, 0, 9, 9))
