"""The dots that show where glue goes: as far apart as they are to be on paper, more thinly on a face that would want
too many, and never more than that many."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.core.box import Box
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.wet import MOST_DOTS, SPACING_MM, Wet, dots
from shopdocs.model.parts import Direction
from shopdocs.work.shapes.projection import TOP
from shopdocs.work.space.placed import PlacedPiece, Pose, Scene, Toward

X, Y, Z = (Toward(d) for d in Direction)


def dotted(long: int, wide: int, scale: Fraction) -> list[tuple[float, float]]:
    """The dots on the top of a board that takes glue all over, in millimetres of the board, from above."""
    spot = (Length(Fraction(1, 20)), ZERO, ZERO)  # or all would be counted in whole millimetres
    board = PlacedPiece("B", "board", spot, Length(long), Length(wide), Length(20), Pose(X, Y, Z))
    scene = Scene.of((board,))
    box = scene.bounds
    top = Box((box.lo[0], box.lo[1], box.hi[2]), box.hi)
    found = dots([Wet(0, top, 2, True)], scene.solids, [(0, 0, 0)], scene.ticks, TOP, scale)
    return [(circle.centre[0].float_mm(), circle.centre[1].float_mm()) for circle in found]


@pytest.mark.parametrize("scale", [Fraction(1), Fraction(1, 2), Fraction(1, 5)])
def test_as_far_apart_as_on_paper(scale: Fraction) -> None:
    """One to a square of the spacing, on the board as many times as large as the drawing is small."""
    long, wide = 60 / float(scale), 45 / float(scale)
    count = len(dotted(round(long), round(wide), scale))
    assert count == pytest.approx(60 * 45 / SPACING_MM**2, rel=0.1)


@pytest.mark.parametrize("long", [150, 200, 300, 500])
def test_a_large_face_is_dotted_more_thinly(long: int) -> None:
    """The face wants long x 150 / 1.5² dots, more than there may be; of those every second, third … is kept, so that at
    least half as many as there may be are left, and they reach from end to end."""
    assert long * 150 / SPACING_MM**2 > MOST_DOTS
    spots = dotted(long, 150, Fraction(1))
    assert MOST_DOTS / 2 - 100 < len(spots) <= MOST_DOTS
    for axis, side in ((0, long), (1, 150)):
        places = [spot[axis] for spot in spots]
        assert max(places) - min(places) > side - 8 * SPACING_MM
