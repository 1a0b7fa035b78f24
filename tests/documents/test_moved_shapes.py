"""Shapes of a picture moved to its corner, and the word for what a sheet holds, against sums done by hand."""

from __future__ import annotations

from shopdocs.blocks.digest import digest
from shopdocs.blocks.drawing import Circle, Drawing, Line, Point, Stroke
from shopdocs.core.length import Length
from shopdocs.documents.drawn.pictures import moved_all
from tests.values import replace


def at(x: int, y: int) -> Point:
    return Length(x), Length(y)


def test_every_point_moves_and_all_else_stays() -> None:
    """(3, 5) and (7, 9) less (1, 2) are (2, 3) and (6, 7); corners that lines share come out the same."""
    corner = at(3, 5)
    shapes = (
        Line(corner, at(7, 9), Stroke.HIDDEN, "left"),
        Line(corner, (corner[0], Length(8))),
        Circle(corner, Length(4), Stroke.THIN, "tint"),
    )
    assert moved_all(shapes, at(1, 2)) == (
        Line(at(2, 3), at(6, 7), Stroke.HIDDEN, "left"),
        Line(at(2, 3), at(2, 6)),
        Circle(at(2, 3), Length(4), Stroke.THIN, "tint"),
    )


def test_settings_that_share_their_shapes_are_told_as_if_each_had_its_own() -> None:
    """A drawing with its larger settings: that they hold one and the same tuple of lines changes no word, and one line
    that is other in one of them does."""
    lines = tuple(Line(at(k, 0), at(k, 100)) for k in range(60))
    one = Drawing("D", Length(60), Length(100), lines)
    shared = replace(one, larger=(replace(one, tallest_mm=150.0), replace(one, tallest_mm=200.0)))
    own = replace(one, larger=tuple(replace(each, shapes=tuple([*lines])) for each in shared.larger))
    other = replace(one, larger=(replace(one, shapes=(*lines[1:], lines[0]), tallest_mm=150.0), shared.larger[1]))
    assert digest(shared) == digest(own) != digest(other)
