"""Outlines of lines and arcs, against shapely: areas, lengths and halves."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import pytest
import shapely
from shapely import affinity

from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import BESIDE_MM, Outline, Side


def arched(wide: int, high: int, low: int, top: int, rise: int) -> Outline:
    """A board with an arch in its lower edge from `low` to `top`."""
    half = Length(top - low) / 2
    radius = half * (half / Length(rise)) / 2 + Length(rise) / 2
    corners = [(ZERO, ZERO), (Length(low), ZERO), (Length(top), ZERO), (Length(wide), ZERO)]
    corners += [(Length(wide), Length(high)), (ZERO, Length(high))]
    sides = [Side(one, other) for one, other in zip(corners, [*corners[1:], corners[0]], strict=True) if one != other]
    arc = Side(corners[1], corners[2], (Length(low) + half, Length(rise) - radius), radius, False)
    return Outline(Length(wide), Length(high), tuple(arc if side.start == corners[1] else side for side in sides))


def theirs(wide: int, high: int, low: int, top: int, rise: int) -> shapely.Polygon:
    """The same by another library: a rectangle less a disc, whose radius is that of the circle through both ends of the
    chord and the top of the arch, from shapely's own circle round three points."""
    ends = shapely.MultiPoint([(low, 0), (top, 0), ((low + top) / 2, rise)])
    half = (top - low) / 2
    radius = (half**2 + rise**2) / (2 * rise)
    centre = shapely.Point((low + top) / 2, rise - radius)
    assert all(centre.distance(point) == pytest.approx(radius) for point in ends.geoms)
    return shapely.box(0, 0, wide, high) - centre.buffer(radius, quad_segs=20_000)


@pytest.mark.parametrize("seed", range(12))
def test_area_and_length_of_arched_boards(seed: int) -> None:
    turn = random.Random(seed)
    wide, high = turn.randint(100, 1500), turn.randint(60, 200)
    low = turn.randint(0, wide // 3)
    top = turn.randint(low + 40, wide)
    rise = turn.randint(1, min(high - 10, (top - low) // 2))
    ours, other = arched(wide, high, low, top, rise), theirs(wide, high, low, top, rise)
    assert ours.area == pytest.approx(other.area, rel=1e-6)
    assert ours.around == pytest.approx(other.length, rel=1e-6)
    apart = shapely.Polygon(ours.spots()).boundary.hausdorff_distance(other.boundary)
    assert apart <= BESIDE_MM * 1.1


def test_an_even_outline_has_a_half() -> None:
    """924 long with an arch in its middle: half of it is 462 long, half as large, and turned over it is the other."""
    whole = arched(924, 110, 60, 864, 30)
    assert whole.is_even()
    half = whole.half()
    assert half.width == Length(462)
    assert half.area == pytest.approx(whole.area / 2, rel=1e-12)
    other = affinity.scale(shapely.Polygon(half.spots()), xfact=-1, origin=(462, 0))
    joined = shapely.Polygon(half.spots()).union(other)
    assert joined.boundary.hausdorff_distance(shapely.Polygon(whole.spots()).boundary) < 0.01


def test_an_uneven_outline_is_told() -> None:
    assert not arched(924, 110, 60, 860, 30).is_even()


def test_half_a_circle_by_hand() -> None:
    """A chord of 200 with a rise of 100 is half a circle of radius 100: half of 2 x 100 x pi long."""
    (arc,) = [side for side in arched(300, 150, 50, 250, 100).sides if side.centre is not None]
    assert arc.long == pytest.approx(100 * math.pi)
    assert arc.radius == Length(100)


def test_from_behind_it_is_mirrored() -> None:
    """Turned over, the arch is in the upper edge, and the area stays."""
    whole = arched(400, 100, 50, 350, 20)
    over = whole.turned_over()
    assert over.area == pytest.approx(whole.area)
    middle = min(over.spots(), key=lambda spot: abs(spot[0] - 200) + (0 if spot[1] > 50 else 1000))
    assert middle[1] == pytest.approx(80, abs=0.01)
    assert over.turned_over() == Outline(whole.width, whole.height, over.turned_over().sides)
    assert set(over.turned_over().sides) == set(whole.sides)


def test_a_bulge_that_is_no_whole_number() -> None:
    """A chord of 7 with a rise of 1: R = (3.5 x 3.5 + 1) / 2 = 6.625, exactly."""
    (arc,) = [side for side in arched(20, 10, 5, 12, 1).sides if side.centre is not None]
    assert arc.radius == Length(Fraction(6625, 1000))


@pytest.mark.parametrize("seed", range(12))
def test_wood_that_goes_on_past_the_edges(seed: int) -> None:
    """An arched board with so much more along both edges: shapely moves it up and adds what lies under its straight
    stretches. The arch opens as before, so its mouth becomes a slot there."""
    turn = random.Random(seed)
    wide, high = turn.randint(100, 1500), turn.randint(60, 200)
    low = turn.randint(0, wide // 3)
    top = turn.randint(low + 40, wide)
    rise = turn.randint(1, min(high - 10, (top - low) // 2))
    below, above = turn.randint(0, 20), turn.randint(0, 20)
    ours = arched(wide, high, low, top, rise).widened(Length(below), Length(above))
    other = affinity.translate(theirs(wide, high, low, top, rise), 0, below)
    strips = [shapely.box(0, 0, low, below), shapely.box(top, 0, wide, below)]
    strips.append(shapely.box(0, high + below, wide, high + below + above))
    other = shapely.union_all([other, *(strip for strip in strips if strip.area)])
    assert (ours.width, ours.height) == (Length(wide), Length(high + below + above))
    assert ours.area == pytest.approx(other.area, rel=1e-6)
    assert shapely.Polygon(ours.spots()).boundary.hausdorff_distance(other.boundary) <= BESIDE_MM * 1.1
    assert len(ours.sides) <= 10 and all(side.start != side.end for side in ours.sides)
