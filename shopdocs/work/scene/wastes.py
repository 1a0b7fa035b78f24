"""What an outlined cut takes off a piece, held against what else is worked there.

The outline is followed by straight pieces that lie no farther beside its arcs than `BESIDE`; what touches it within
that is not told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot

from shopdocs.core.length import ZERO
from shopdocs.core.outline import Spot as Flat
from shopdocs.work.space.features import PIECE_AXES, Bore, Cuboid, Feature, FeatureKind, Spot, side_of

BESIDE = 0.02  # millimetres
_BORDERS = (FeatureKind.ROUNDING, FeatureKind.OUTLINE)
_Box = tuple[float, float, float, float]  # from x, from y, to x, to y


def outlined(cuboid: Cuboid) -> bool:
    """Whether it takes an outline of lines and arcs out of the box round it."""
    return cuboid.flare is not None and bool(cuboid.flare.waste)


def shapes_outline(cuboid: Cuboid) -> bool:
    """Whether it takes an outline of wood off the piece that ends at its border, as a rounded corner does; not of what
    has wood round it, and is held against other cuts as a box."""
    return outlined(cuboid) and cuboid.kind in _BORDERS


def runs_into(waste: Cuboid, feature: Feature, size: Spot) -> bool:
    """Whether a cut or a hole of the same piece, which has this size, lies in what an outlined cut takes."""
    assert waste.flare is not None
    first, second = PIECE_AXES.index(waste.flare.axis), side_of(waste.flare.at)[0]
    third = 3 - first - second
    low, high = _reach(feature, size, third)
    if high <= waste.lo[third].float_mm() or waste.hi[third].float_mm() <= low:
        return False
    corners = spots_of(waste)
    if isinstance(feature, Bore) and side_of(feature.face)[0] == third and feature.slot is None:
        radius = max(feature.diameter, feature.head or ZERO).float_mm() / 2
        centre = feature.centre[first].float_mm(), feature.centre[second].float_mm()
        return _inside(centre, corners) or _apart(centre, corners) < radius - BESIDE
    (a, c), (b, d) = _reach(feature, size, first), _reach(feature, size, second)
    return _meet((a + BESIDE, b + BESIDE, c - BESIDE, d - BESIDE), corners)


def spots_of(waste: Cuboid) -> list[Flat]:
    """The corners of straight pieces that follow the outline of a waste, in millimetres."""
    assert waste.flare is not None
    return [spot for side in waste.flare.waste for spot in side.spots(BESIDE)]


def _reach(feature: Feature, size: Spot, axis: int) -> tuple[float, float]:
    """From where to where a feature goes along an axis of the piece."""
    if isinstance(feature, Cuboid):
        return feature.lo[axis].float_mm(), feature.hi[axis].float_mm()
    looks, high = side_of(feature.face)
    if axis == looks:
        whole = size[axis].float_mm()
        deep = feature.depth.float_mm() if feature.depth is not None else whole
        return (whole - deep, whole) if high else (0.0, deep)
    half = max(feature.diameter, feature.head or ZERO).float_mm() / 2
    if feature.slot is not None and feature.slot_axis == axis:
        half = max(half, feature.slot.float_mm() / 2)
    at = feature.centre[axis].float_mm()
    return at - half, at + half


def _sides(corners: Sequence[Flat]) -> Iterator[tuple[Flat, Flat]]:
    yield from zip(corners, [*corners[1:], corners[0]], strict=True)


def _inside(spot: Flat, corners: Sequence[Flat]) -> bool:
    x, y = spot
    within = False
    for (a, b), (c, d) in _sides(corners):
        if (b > y) != (d > y) and x < a + (y - b) * (c - a) / (d - b):
            within = not within
    return within


def _apart(spot: Flat, corners: Sequence[Flat]) -> float:
    """How far a place is from the nearest side."""
    x, y = spot
    least = float("inf")
    for (a, b), (c, d) in _sides(corners):
        long = (c - a) ** 2 + (d - b) ** 2
        share = max(0.0, min(1.0, ((x - a) * (c - a) + (y - b) * (d - b)) / long)) if long else 0.0
        least = min(least, hypot(x - a - share * (c - a), y - b - share * (d - b)))
    return least


def _meet(box: _Box, corners: Sequence[Flat]) -> bool:
    a, b, c, d = box
    if a >= c or b >= d:
        return False
    around = [(a, b), (c, b), (c, d), (a, d)]
    if any(a < x < c and b < y < d for x, y in corners) or any(_inside(spot, corners) for spot in around):
        return True
    return any(_cross(*one, *other) for one in _sides(around) for other in _sides(corners))


def _cross(one: Flat, two: Flat, three: Flat, four: Flat) -> bool:
    """Whether two straight lines run through each other."""
    return (
        _turns(one, two, three) * _turns(one, two, four) < 0 and _turns(three, four, one) * _turns(three, four, two) < 0
    )


def _turns(one: Flat, two: Flat, three: Flat) -> float:
    """Above, below or at zero as the third place lies left, right or on the line through the others."""
    turn = (two[0] - one[0]) * (three[1] - one[1]) - (two[1] - one[1]) * (three[0] - one[0])
    return 0.0 if abs(turn) < 1e-9 else turn
