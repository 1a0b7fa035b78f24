"""What a pattern says stands on it or beside it: a strip too narrow for any words still has all of them."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import Drawing, Words
from shopdocs.core.length import Length
from shopdocs.documents.drawn.paper_room import BESIDE_PT, PaperRoom, or_beside
from shopdocs.documents.drawn.turning_pattern import turning_pattern


def words_of(drawing: Drawing) -> set[str]:
    return {shape.text for shape in drawing.shapes if isinstance(shape, Words)}


@pytest.mark.parametrize("high", [2.0, 60.0])
def test_words_without_room_stand_beside_the_paper(high: float) -> None:
    """A line of 9 pt is 0.8 × 9 pt = 2.5 mm high: none stands on a strip of 2 mm, and it is set over it."""
    room = PaperRoom(100.0, high)
    (words,) = or_beside(room.set("NAME", (9.0,), (50.0, high / 2), (0,)), "NAME", (50.0, high), 4.0)
    assert isinstance(words, Words) and words.text == "NAME"
    over = words.at[1].float_mm() + words.dy_mm - 0.4 * BESIDE_PT * 25.4 / 72
    assert (over > high) is (high < 2.5)


def test_a_short_turning_pattern_still_says_whose_it_is() -> None:
    """8 mm long: neither the name nor the line's own words have room on the strip."""
    spots = tuple((Length(along), Length(20)) for along in (0, 8))
    told = [(along, str(along)) for along, _ in spots]
    drawing = turning_pattern(spots, told, ("END A", "END B"), "leg · turning pattern", False)
    assert {"END A", "END B", "leg · turning pattern"} <= words_of(drawing)
