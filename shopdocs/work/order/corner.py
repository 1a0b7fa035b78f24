"""Round one corner: a thing that is drawn off a little way, clear of what holds it, and then leaves sideways.

A tongue that is slid back along its groove and lifted out where the groove is open, a rail lifted off its pins and
brought out at the front. Only single things are tried so, when nothing can be drawn off in one straight line.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopdocs.core.box import AXES, Box
from shopdocs.work.order.blocking import WAYS, Way, shadows
from shopdocs.work.shapes.clashing import sloping_bodies
from shopdocs.work.shapes.solid import Solid

Turn = tuple[Way, int, Way]  # drawn off this way, so many ticks, then out that way
Barred = Sequence[frozenset[tuple[int, Way]]]  # for each thing what a joint bars: towards which other, on which way


def turn_of(thing: int, group: Sequence[int], things: Sequence[Sequence[Solid]], barred: Barred) -> Turn | None:
    """The shortest way round a corner that takes a thing out of a group, past all others of it; None where there is
    none."""
    others = [other for other in group if other != thing]
    mine = [box for solid in things[thing] for box in _boxes(solid)]
    around = Box.around(mine)
    theirs = [box for other in others for solid in things[other] for box in _boxes(solid)]
    near = [box for box in theirs if shadows(around, box)]
    shut = {way for other, way in barred[thing] if other in others}
    found: list[tuple[int, Way, Way]] = []
    for way in WAYS:
        far = 0 if way in shut else _travel(mine, near, way)
        for then in WAYS if far else ():
            if then[0] != way[0] and then not in shut:
                least = _least(mine, theirs, way, far, then)
                if least is not None:
                    found.append((least, way, then))
    if not found:
        return None
    least, way, then = min(found)
    return way, least, then


def _boxes(solid: Solid) -> list[Box]:
    """Its cells, and a box round each body that slopes: a little too much, so that nothing is let through wood."""
    boxes = list(solid.plain_cells)
    for body in sloping_bodies(solid):
        (a, b, c), (d, e, f) = body.lo, body.hi
        boxes.append(Box((int(a), int(b), int(c)), (-int(-d // 1), -int(-e // 1), -int(-f // 1))))
    return boxes


def _travel(mine: Sequence[Box], theirs: Sequence[Box], way: Way) -> int:
    """How far these boxes go before one of them meets one of the others."""
    axis, high = way
    gaps = []
    for a in mine:
        for c in theirs:
            if all(a.lo[k] < c.hi[k] and c.lo[k] < a.hi[k] for k in AXES if k != axis):
                gap = c.lo[axis] - a.hi[axis] if high else a.lo[axis] - c.hi[axis]
                if gap >= 0:
                    gaps.append(gap)
                elif a.lo[axis] < c.hi[axis] and c.lo[axis] < a.hi[axis]:
                    return 0  # they share wood as they stand
    return min(gaps, default=0)


def _least(mine: Sequence[Box], theirs: Sequence[Box], way: Way, far: int, then: Way) -> int | None:
    """The least of at most `far` ticks along a way after which nothing stands on the other way any more."""
    (axis, high), (out, up) = way, then
    third = 3 - axis - out
    shut: list[tuple[int, int]] = []  # distances, both ends left out, at which something stands there
    for a in mine:
        for c in theirs:
            if not (a.lo[third] < c.hi[third] and c.lo[third] < a.hi[third]):
                continue
            if (c.hi[out] <= a.lo[out]) if up else (c.lo[out] >= a.hi[out]):
                continue
            low, top = c.lo[axis] - a.hi[axis], c.hi[axis] - a.lo[axis]
            shut.append((low, top) if high else (-top, -low))
    at = 1
    for low, top in sorted(shut):
        if low < at < top:
            at = top
    return at if at <= far else None
