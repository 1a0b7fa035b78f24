"""Boxes and ticks, by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.core.box import Box, Ticks
from shopdocs.core.length import Length

CUBE = Box((0, 0, 0), (4, 4, 4))


def test_no_boxes_have_nothing_around_them() -> None:
    with pytest.raises(ValueError, match="no boxes"):
        Box.around([])
    assert Box.around([CUBE, Box((2, -3, 1), (9, 1, 2))]) == Box((0, -3, 0), (9, 4, 4))


@pytest.mark.parametrize(
    ("other", "shared"),
    [
        (Box((1, 2, 3), (9, 9, 9)), Box((1, 2, 3), (4, 4, 4))),
        (Box((4, 0, 0), (9, 4, 4)), Box((4, 0, 0), (4, 4, 4))),  # face to face: flat
        (Box((4, 4, 4), (9, 9, 9)), Box((4, 4, 4), (4, 4, 4))),  # a corner
        (Box((5, 0, 0), (9, 4, 4)), None),
        (Box((3, 1, 1), (1, 3, 3)), None),  # turned inside out it holds nothing
    ],
)
def test_what_two_boxes_share(other: Box, shared: Box | None) -> None:
    assert CUBE.common(other) == other.common(CUBE) == shared


def test_a_length_between_two_ticks_is_refused() -> None:
    """A third of a millimetre is no whole number of quarters, and lies next to one of them."""
    quarters, third = Ticks(4), Length(Fraction(1, 3))
    with pytest.raises(ValueError, match="not a whole number of 1/4 mm"):
        quarters.count(third)
    assert quarters.nearest(third) == 1
    assert quarters.count(Length(Fraction(3, 2))) == 6
