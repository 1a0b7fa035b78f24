"""Closed lines taken off each other: what is left of a rectangle beside an outline, or of an outline beside what is cut
off it.

All go round with what they enclose at their left. What is taken off may share stretches of straight border with what
it is taken off, and must not cross it: then the stretches that both share cancel, and the rest closes again to loops.
Every place stays as exact as it was.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from msgspec.structs import replace

from shopdocs.core.curves import goes_on, heading, on_arc
from shopdocs.core.outline import Point, Side

Loop = tuple[Side, ...]


def rectangle(low: Point, high: Point) -> Loop:
    """The four sides of a rectangle, from its low corner on."""
    (a, b), (c, d) = low, high
    corners = [low, (c, b), high, (a, d)]
    return tuple(Side(one, two) for one, two in zip(corners, [*corners[1:], low], strict=True))


def turned_round(loop: Iterable[Side]) -> Loop:
    """The same loop walked the other way."""
    return tuple(side.back() for side in reversed([*loop]))


def less(loops: Iterable[Sequence[Side]], wastes: Iterable[Sequence[Side]]) -> tuple[Loop, ...]:
    """What is left of `loops` without `wastes`, each loop from its lowest place farthest to the left on; those round
    what is left come first, holes in it go round the other way."""
    sides = [side for loop in loops for side in loop]
    sides += [side.back() for loop in wastes for side in loop]
    corners = {spot for side in sides for spot in (side.start, side.end)}
    sides = [part for side in sides for part in _split(side, corners)]
    left = Counter(sides)
    for side in sides:
        if left[side] and left[side.back()]:
            left[side] -= 1
            left[side.back()] -= 1
    found = [_begun_low(joined(loop)) for loop in _chained(left.elements())]
    return tuple(sorted(found, key=lambda loop: (enclosed(loop) < 0, loop[0].start)))


def enclosed(loop: Iterable[Side]) -> float:
    """The area in mm² that a loop encloses, below zero where it goes round clockwise: the polygon of its corners, and
    between each arc and its chord r² (angle - sin) / 2."""
    doubled = 0.0
    for side in loop:
        (a, b), (c, d) = ([v.float_mm() for v in spot] for spot in (side.start, side.end))
        doubled += a * d - c * b + side.radius.float_mm() ** 2 * (side.turn - math.sin(side.turn))
    return doubled / 2


def split_where_it_touches(loop: Iterable[Side], low: Point, high: Point) -> Iterator[Side]:
    """A loop with its arcs parted where they touch a rectangle round it from within."""
    for side in loop:
        if side.centre is None:
            yield side
            continue
        (x, y), radius = side.centre, side.radius
        tops = [
            (x + radius, y) if x + radius == high[0] else None,
            (x - radius, y) if x - radius == low[0] else None,
            (x, y + radius) if y + radius == high[1] else None,
            (x, y - radius) if y - radius == low[1] else None,
        ]
        at = [top for top in tops if top is not None and top not in (side.start, side.end) and on_arc(side, top)]
        at.sort(key=lambda top: _turned_from(side, top))
        for start, end in zip([side.start, *at], [*at, side.end], strict=True):
            yield replace(side, start=start, end=end)


def _turned_from(arc: Side, spot: Point) -> float:
    """How far round an arc a place lies."""
    assert arc.centre is not None
    angles = [
        math.atan2(*((v - c).float_mm() for v, c in zip(reversed(at), reversed(arc.centre), strict=True)))
        for at in (arc.start, spot)
    ]
    turn = angles[1] - angles[0]
    return (turn if arc.left else -turn) % math.tau


def _split(side: Side, corners: Iterable[Point]) -> Iterator[Side]:
    """A straight side parted at the corners that lie on it; an arc as it is."""
    if side.centre is not None:
        yield side
        return
    inside = sorted((part, spot) for spot in corners if (part := _part(side, spot)) is not None)
    at = [side.start, *(spot for _, spot in inside), side.end]
    for one, two in pairwise(at):
        yield Side(one, two)


def _part(side: Side, spot: Point) -> Fraction | None:
    """How far along a straight side a place on it lies, between its ends."""
    (a, b), (c, d), (x, y) = side.start, side.end, spot
    wide, high = (c - a).mm, (d - b).mm
    if (x - a).mm * high != (y - b).mm * wide:
        return None
    part = (x - a).mm / wide if wide else (y - b).mm / high
    return part if 0 < part < 1 else None


def _chained(sides: Iterable[Side]) -> Iterator[list[Side]]:
    """Sides end to end. Where more than two meet, the way turns as far left as it can, so that what only touches at a
    corner stays apart."""
    leaving: dict[Point, list[Side]] = defaultdict(list)
    for side in sides:
        leaving[side.start].append(side)
    while leaving:
        first = leaving[min(leaving)]
        chain = [first.pop()]
        while chain[-1].end != chain[0].start:
            ways = leaving.get(chain[-1].end)
            if not ways:
                raise ValueError("no closed line")
            ways.sort(key=lambda side, came=chain[-1]: _turn(came, side))  # type: ignore[misc]
            chain.append(ways.pop())
        for spot in [spot for spot, ways in leaving.items() if not ways]:
            del leaving[spot]
        yield chain


def _turn(came: Side, goes: Side) -> float:
    """How far left the way turns from one side into the next; straight back counts as left."""
    (a, b), (c, d) = heading(came, False), heading(goes, True)
    turn = math.atan2(a * d - b * c, a * c + b * d)
    return turn if turn > -math.pi + 1e-6 else math.pi


def joined(loop: Sequence[Side]) -> list[Side]:
    """A loop without corners where a straight line or an arc only goes on."""
    found: list[Side] = []
    for side in loop:
        if found and _is_one(found[-1], side):
            found[-1] = replace(found[-1], end=side.end)
        else:
            found.append(side)
    if len(found) > 2 and _is_one(found[-1], found[0]):
        found[0] = replace(found[0], start=found.pop().start)
    return found


def _is_one(one: Side, two: Side) -> bool:
    if one.centre is None and two.centre is None:
        (a, b), (c, d), (e, f) = one.start, one.end, two.end
        return (c - a).mm * (f - d).mm == (d - b).mm * (e - c).mm and goes_on(one, two)
    alike = (one.centre, one.radius, one.left) == (two.centre, two.radius, two.left)
    return one.centre is not None and alike and abs(one.turn + two.turn) < math.pi - 1e-6


def _begun_low(loop: Sequence[Side]) -> Loop:
    start = min(range(len(loop)), key=lambda k: (loop[k].start[1], loop[k].start[0]))
    return (*loop[start:], *loop[:start])
