"""Rounded corners: by hand, and against shapely, whose buffers round corners by themselves."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import pytest
import shapely

from shopdocs.core.curves import (
    box_with_corners,
    goes_on,
    off_a_corner,
    root,
    rounded_off,
)
from shopdocs.core.length import Length
from shopdocs.core.outline import Outline, Point, Side


def at(x: int | Fraction, y: int | Fraction) -> Point:
    return Length(x), Length(y)


def polygon(sides: list[Side]) -> shapely.Polygon:
    return shapely.Polygon([spot for side in sides for spot in side.spots(1e-5)])


def test_roots() -> None:
    assert root(Fraction(9, 4)) == Length(Fraction(3, 2))
    assert root(Fraction(2)).float_mm() == pytest.approx(math.sqrt(2), abs=1e-6)


@pytest.mark.parametrize("seed", range(20))
def test_a_corner_rounded(seed: int) -> None:
    """Against shapely: a triangle shrunk by the radius and grown again has all its corners rounded to it."""
    chance = random.Random(seed)
    spots = [(0, 0), (chance.randint(120, 300), chance.randint(-40, 60)), (chance.randint(-30, 200), 200)]
    radius = chance.randint(3, 20)
    corners = [at(*spot) for spot in spots]
    arcs = [rounded_off(corners[k - 1], corners[k], corners[(k + 1) % 3], Length(radius)) for k in range(3)]
    sides = [part for k in range(3) for part in (arcs[k], Side(arcs[k].end, arcs[(k + 1) % 3].start))]
    wanted = shapely.Polygon(spots).buffer(-radius, quad_segs=4000, join_style="mitre").buffer(radius, quad_segs=4000)
    assert polygon(sides).symmetric_difference(wanted).area < 0.01
    assert all(goes_on(one, other) for one, other in zip(sides, [*sides[1:], sides[0]], strict=True))


def test_a_box_with_rounded_corners_by_hand() -> None:
    """100 x 30 with all corners of radius 15: a square of 70 x 30 between two half circles, 2100 + 225 pi; without the
    two at the left: one square, 85 x 30, and half a circle, 2550 + 112.5 pi."""
    sides = box_with_corners(at(10, 20), at(110, 50), Length(15))
    assert len(sides) == 6
    assert Outline(Length(200), Length(100), tuple(sides)).area == pytest.approx(2100 + 225 * math.pi)
    assert {side.centre for side in sides if side.centre} == {at(25, 35), at(95, 35)}
    half = box_with_corners(at(10, 20), at(110, 50), Length(15), (True, False, False, True))
    assert Outline(Length(200), Length(100), tuple(half)).area == pytest.approx(2550 + 112.5 * math.pi)


@pytest.mark.parametrize(("x", "y"), [(1, 1), (-1, 1), (1, -1), (-1, -1)])
def test_what_a_rounding_takes_off_a_corner(x: int, y: int) -> None:
    """A square of the radius less a quarter of its circle, whichever way the corner looks: r² (1 - pi / 4)."""
    sides = off_a_corner(at(50, 50), at(50 + 20 * x, 50 + 20 * y))
    assert Outline(Length(100), Length(100), tuple(sides)).area == pytest.approx(400 * (1 - math.pi / 4))
    assert all(goes_on(sides[k], sides[k + 1]) for k in (0, 1))
