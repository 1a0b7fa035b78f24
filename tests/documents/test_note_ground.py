"""What shapes on a drawing take of the sheet, so that no words are set over them; sums by hand, in mm of paper."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.drawing import Circle, Dimension, Line, Polygon
from shopdocs.core.length import Length
from shopdocs.documents.drawn.notes import ground

HALF = Fraction(1, 2)


def spot(x: int, y: int) -> tuple[Length, Length]:
    return Length(x), Length(y)


def test_a_hole_is_held_clear_by_both_its_diameters() -> None:
    """A circle of 10 about (40, 60), at half scale 5 about (20, 30)."""
    taken = ground([Circle(spot(40, 60), Length(10))], HALF)
    assert set(taken.lines) == {((15, 30), (25, 30)), ((20, 25), (20, 35))}
    assert not taken.words


def test_lines_and_outlines_are_taken_as_they_are_drawn() -> None:
    corners = (spot(0, 0), spot(40, 0), spot(40, 20))
    taken = ground([Line(spot(2, 4), spot(6, 8)), Polygon(corners)], HALF)
    assert taken.lines[0] == ((1, 2), (3, 4))
    assert set(taken.lines[1:]) >= {((0, 0), (20, 0)), ((20, 0), (20, 10))}


def test_extension_lines_run_to_the_dimension_line() -> None:
    """Eight millimetres below the lower of the two ends of what is measured along, above the higher one for 8 up."""
    for offset, foot in ((-8.0, 10 - 8), (8.0, 20 + 8)):
        taken = ground([Dimension(spot(0, 20), spot(60, 40), "60", "x", offset)], HALF)
        assert set(taken.lines) == {((0, 10), (0, foot)), ((30, 20), (30, foot))}
        taken = ground([Dimension(spot(20, 0), spot(40, 60), "60", "y", offset)], HALF)
        assert set(taken.lines) == {((10, 0), (foot, 0)), ((20, 30), (foot, 30))}
