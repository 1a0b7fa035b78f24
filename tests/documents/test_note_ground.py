"""What shapes on a drawing take of the sheet, so that no words are set over them; sums by hand, in mm of paper."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.drawing import Circle, Dimension, Leader, Line, Polygon, Words
from shopdocs.core.length import Length
from shopdocs.documents.drawn.notes import ground
from shopdocs.page.typeface import width

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


def wide(words: str, points: float) -> float:
    """In millimetres, as the typeface has it; what is kept clear is a little wider, never narrower."""
    return width(words, "regular", points) / 72 * 25.4


def test_a_leader_takes_its_line_and_the_room_of_its_words_beside_its_end() -> None:
    for size, points in ((0.0, 9.0), (18.0, 18.0)):
        taken = ground([Leader(spot(0, 0), spot(80, 20), "tenon 2", size_pt=size)], HALF)
        assert taken.lines == (((0, 0), (40, 10)),)
        ((left, low, right, high),) = taken.words
        assert 40 < left < 42 and wide("tenon 2", points) <= right - left < 1.25 * wide("tenon 2", points)
        assert (low + high) / 2 == 10 and high - low >= 0.66 * points / 72 * 25.4


def test_a_dimension_takes_its_line_and_the_figures_over_it() -> None:
    """Over a line of 30 mm that lies 8 mm below the lower end, from 1 to 4 mm above the line at least."""
    ((left, low, right, high),) = ground([Dimension(spot(0, 20), spot(60, 40), "60", "x", -8.0)], HALF).words
    assert (left, right) == (0, 30) and low <= 2 and high >= 2 + 4


def test_words_and_places_kept_clear_are_taken() -> None:
    kept = (1.0, 2.0, 3.0, 4.0)
    first, (left, low, right, high) = ground([Words(spot(40, 60), "A", 9.0)], HALF, [kept]).words
    assert first == kept
    assert left < 20 < right and low < 30 < high and right - left >= wide("A", 9.0)
