"""Where straight strips that stand for a curve meet each other is no edge of the wood: a line is such a seam only on
the cuboid that the curve is cut from. Arches by hand."""

from __future__ import annotations

import pytest

from shopdocs.core.box import Box
from shopdocs.work.shapes.slopes import Slope, arc_points

LONG, HIGH, WIDE = 1000, 200, 300
BOX = Box((50, 70, 10), (50 + LONG, 70 + WIDE, 10 + HIGH))  # an arch along x that is as deep as its cuboid is high
ARCH = Slope(BOX, 0, 2, True, HIGH, False, arc=True)
AT, UP = 50 + arc_points(LONG, HIGH)[3][0], 10 + arc_points(LONG, HIGH)[3][1]  # the fourth of its points


@pytest.mark.parametrize(
    ("start", "end", "seam"),
    [
        ((AT, 70, UP), (AT, 70 + WIDE, UP), True),
        ((AT, 120, UP), (AT, 200, UP), True),  # a part of it
        ((AT, 70, UP), (AT, 70 + WIDE + 1, UP), False),  # runs on out of the cuboid, so it is of another piece too
        ((AT, 69, UP), (AT, 70 + WIDE, UP), False),
        ((AT, 70 + WIDE + 1, UP), (AT, 70 + 2 * WIDE, UP), False),  # in line with it, on the board behind
        ((AT, 70, 10 + HIGH + 1), (AT, 70 + WIDE, 10 + HIGH + 1), False),
        ((50, 70, 10), (50, 70 + WIDE, 10), False),  # where the arch begins is an edge
        ((50 + LONG, 70, 10), (50 + LONG, 70 + WIDE, 10), False),
        ((AT, 70, UP), (AT + 1, 70 + WIDE, UP), False),  # goes across the strips
    ],
)
def test_a_seam_lies_within_what_the_arch_is_cut_from(
    start: tuple[float, float, float], end: tuple[float, float, float], seam: bool
) -> None:
    assert ARCH.curves_on((start, end)) is seam


def test_what_is_not_curved_has_no_seams() -> None:
    plain = Slope(BOX, 0, 2, True, HIGH, False)
    assert not plain.curves_on(((AT, 70, UP), (AT, 70 + WIDE, UP)))
