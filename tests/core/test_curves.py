"""Lines and arcs by a maker's measures: by hand, and against shapely, whose buffers round corners by themselves."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import pytest
import shapely

from shopdocs.core.curves import (
    arc_of_radius,
    arc_with_rise,
    box_with_corners,
    goes_on,
    off_a_corner,
    reach_of,
    rise_of,
    root,
    rounded_off,
)
from shopdocs.core.length import Length
from shopdocs.core.outline import Outline, Point, Side


def at(x: int | Fraction, y: int | Fraction) -> Point:
    return Length(x), Length(y)


def polygon(sides: list[Side]) -> shapely.Polygon:
    return shapely.Polygon([spot for side in sides for spot in side.spots(1e-5)])


@pytest.mark.parametrize("seed", range(20))
def test_an_arc_goes_through_both_ends_and_its_top(seed: int) -> None:
    """Whichever way its chord runs: the centre is as far from both ends as the radius says, and the top of the arc lies
    the rise beside the middle of the chord, on the side it bulges to."""
    chance = random.Random(seed)
    start, end = (at(chance.randint(0, 400), chance.randint(0, 400)) for _ in range(2))
    chord = math.dist(*[[v.float_mm() for v in point] for point in (start, end)])
    rise = Length(chance.randint(1, max(1, int(chord // 2))))
    left = chance.random() < 0.5
    arc = arc_with_rise(start, end, rise, left)
    assert arc.centre is not None
    centre = shapely.Point([v.float_mm() for v in arc.centre])
    ends = [shapely.Point([v.float_mm() for v in point]) for point in (start, end)]
    assert all(centre.distance(point) == pytest.approx(arc.radius.float_mm(), abs=1e-5) for point in ends)
    line = shapely.LineString([*arc.spots(1e-5), [v.float_mm() for v in end]])
    assert line.length == pytest.approx(arc.long, abs=1e-3)
    assert line.hausdorff_distance(shapely.LineString(ends)) == pytest.approx(rise.float_mm(), abs=1e-3)
    # an arc that turns left has its chord to the left of it
    (a, b), (c, d) = ([v.float_mm() for v in point] for point in (start, end))
    top = line.interpolate(0.5, normalized=True)
    assert ((c - a) * (top.y - b) - (d - b) * (top.x - a) < 0) == left
    assert rise_of(arc).float_mm() == pytest.approx(rise.float_mm(), abs=1e-4)
    again = arc_of_radius(start, end, arc.radius, left)
    assert again.centre is not None
    assert all(
        one.float_mm() == pytest.approx(two.float_mm(), abs=1e-4)
        for one, two in zip(again.centre, arc.centre, strict=True)
    )


def test_an_arc_over_a_level_chord_is_exact() -> None:
    """6-8-10: half a chord of 8 with a rise of 4 has R = (64/4 + 4) / 2 = 10, its centre 6 under the chord."""
    arc = arc_with_rise(at(0, 20), at(16, 20), Length(4), False)
    assert (arc.radius, arc.centre) == (Length(10), at(8, 14))
    assert arc_of_radius(at(0, 20), at(16, 20), Length(10), False) == arc


def test_arcs_that_cannot_be() -> None:
    with pytest.raises(ValueError, match="half a circle"):
        arc_with_rise(at(0, 0), at(10, 0), Length(6), True)
    with pytest.raises(ValueError, match="less than half"):
        arc_of_radius(at(0, 0), at(10, 0), Length(4), True)


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


def test_how_far_an_arc_reaches() -> None:
    """Half a circle of radius 10 over a level chord reaches 10 beyond it, a quarter no farther than its ends."""
    assert reach_of(arc_with_rise(at(0, 0), at(20, 0), Length(10), False)) == (at(0, 0), at(20, 10))
    assert reach_of(Side(at(10, 0), at(0, 10), at(0, 0), Length(10), True)) == (at(0, 0), at(10, 10))
    assert reach_of(Side(at(0, 3), at(4, 0))) == (at(0, 0), at(4, 3))
