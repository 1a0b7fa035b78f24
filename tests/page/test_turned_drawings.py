"""A drawing a quarter turn to the left: what was at the right is at the top, and four turns are none."""

from __future__ import annotations

from shopdocs.blocks.drawing import (
    Arrow,
    CentreMark,
    Circle,
    Dimension,
    Drawing,
    Leader,
    Line,
    Point,
    Polygon,
    Words,
)
from shopdocs.core.length import Length
from shopdocs.page.tiles import turned
from tests.values import replace


def at(x: int, y: int) -> Point:
    return Length(x), Length(y)


DRAWING = Drawing(
    "board",
    Length(100),
    Length(40),
    (
        Line(at(0, 0), at(100, 10)),
        Polygon((at(10, 5), at(30, 5), at(30, 15))),
        Circle(at(70, 30), Length(4)),
        CentreMark(at(71, 31), Length(6)),
        Words(at(20, 35), "FACE", dx_mm=2.0, dy_mm=1.0),
        Dimension(at(0, 0), at(100, 0), "100", "x", -6.0),
        Dimension(at(0, 0), at(0, 40), "40", "y", -6.0),
        Leader(at(70, 30), at(80, 38), "hole"),
        Arrow(at(5, 20), at(25, 20)),
    ),
)


def test_every_point_goes_with_the_turn() -> None:
    """By hand: of a drawing 40 high, what is x from its left and y from its foot lands 40 - y from the left of the
    turned one and x from its foot. Words read upward then; what was drawn below stands at the right, what was drawn at
    the left stands below."""
    assert turned(DRAWING) == replace(
        DRAWING,
        width=Length(40),
        height=Length(100),
        shapes=(
            Line(at(40, 0), at(30, 100)),
            Polygon((at(35, 10), at(35, 30), at(25, 30))),
            Circle(at(10, 70), Length(4)),
            CentreMark(at(9, 71), Length(6)),
            Words(at(5, 20), "FACE", angle=90, dx_mm=-1.0, dy_mm=2.0),
            Dimension(at(40, 0), at(40, 100), "100", "y", 6.0),
            Dimension(at(40, 0), at(0, 0), "40", "x", -6.0),
            Leader(at(10, 70), at(2, 80), "hole"),
            Arrow(at(20, 5), at(20, 25)),
        ),
    )


def test_four_quarter_turns_are_none() -> None:
    drawing = DRAWING
    for _ in range(4):
        drawing = turned(drawing)
    assert drawing == DRAWING
