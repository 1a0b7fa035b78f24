"""Lines and arcs by the measures that a maker gives: chord and rise, radius, a corner rounded.

Places and radii stay exact wherever the geometry is rational: an arc over a chord that runs along an axis, a rounded
square corner. Elsewhere a root has to be taken; `near` is the one place where that leaves the exact lengths, and says
how closely.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Point, Side

FINE = 1_000_000  # parts of a millimetre: lengths that hang on a root are rounded to one of them


def near(mm: float) -> Length:
    """A length that is no fraction, to a millionth of a millimetre."""
    return Length(Fraction(round(mm * FINE), FINE))


def root(squared: Fraction) -> Length:
    """The length whose square, in mm², that is: exact where it is a fraction, else to a millionth of a millimetre."""
    over, under = math.isqrt(squared.numerator), math.isqrt(squared.denominator)
    if over * over == squared.numerator and under * under == squared.denominator:
        return Length(Fraction(over, under))
    return Length(Fraction(math.isqrt(int(squared * FINE * FINE * 4)) + 1, 2 * FINE))


def arc_with_rise(start: Point, end: Point, rise: Length, left: bool) -> Side:
    """The arc from `start` to `end` that stands `rise` over the middle of its chord, turning left or right; the radius
    is exact (Euclid III 35: half the chord squared is the rise times the rest of the diameter). ValueError for more
    than half a circle."""
    squared = _squared(start, end) / 4
    if rise <= ZERO or rise.mm * rise.mm > squared:
        raise ValueError("more than half a circle")
    radius = Length(squared / rise.mm / 2) + rise / 2
    return _arc(start, end, radius, radius - rise, left)


def arc_of_radius(start: Point, end: Point, radius: Length, left: bool) -> Side:
    """The shorter arc of that radius from `start` to `end`. ValueError where the radius is less than half the chord."""
    squared = _squared(start, end) / 4
    if radius.mm * radius.mm < squared:
        raise ValueError("the radius is less than half the chord")
    return _arc(start, end, radius, root(radius.mm * radius.mm - squared), left)


def rise_of(arc: Side) -> Length:
    """How high an arc stands over the middle of its chord."""
    return arc.radius - root(arc.radius.mm * arc.radius.mm - _squared(arc.start, arc.end) / 4)


def _arc(start: Point, end: Point, radius: Length, over: Length, left: bool) -> Side:
    """The arc whose centre lies `over` so much beside its chord: to the left of it where it turns left."""
    (a, b), (c, d) = start, end
    long = root(_squared(start, end))
    share = over.mm / long.mm * (1 if left else -1)
    exact = _is_root(long, start, end) and over.mm * over.mm == radius.mm * radius.mm - _squared(start, end) / 4
    return Side(start, end, _even((a + c) / 2 - (d - b) * share, (b + d) / 2 + (c - a) * share, exact), radius, left)


def _is_root(long: Length, one: Point, other: Point) -> bool:
    return long.mm * long.mm == _squared(one, other)


def _even(x: Length, y: Length, exact: bool) -> Point:
    """A place as it is, or to a millionth of a millimetre where it hangs on a root that is no fraction."""
    return (x, y) if exact else (near(x.float_mm()), near(y.float_mm()))


def _squared(one: Point, other: Point) -> Fraction:
    wide, high = (b - a for a, b in zip(one, other, strict=True))
    return wide.mm * wide.mm + high.mm * high.mm


def rounded_off(before: Point, corner: Point, after: Point, radius: Length) -> Side:
    """The arc that rounds the corner between two straight lines. ValueError where they do not turn there."""
    turns = _turn(before, corner, after)
    if turns == 0:
        raise ValueError("no corner")
    one, two = root(_squared(before, corner)), root(_squared(corner, after))
    exact = _is_root(one, before, corner) and _is_root(two, corner, after)
    dots = sum(((b - a).mm * (c - b).mm for a, b, c in zip(before, corner, after, strict=True)), Fraction(0))
    # the tangent of half the turn is sin / (1 + cos) of it
    off = radius * (abs(turns) / (one.mm * two.mm + dots))
    left = turns > 0
    back, on = off / one, off / two
    (a, b), (c, d), (e, f) = before, corner, after
    first = _even(c - (c - a) * back, d - (d - b) * back, exact)
    last = _even(c + (e - c) * on, d + (f - d) * on, exact)
    aside = radius / one * (1 if left else -1)
    centre = _even(first[0] - (d - b) * aside, first[1] + (c - a) * aside, exact)
    return Side(first, last, centre, radius, left)


def _turn(before: Point, corner: Point, after: Point) -> Fraction:
    """Above zero where the way turns left at the corner."""
    (a, b), (c, d), (e, f) = before, corner, after
    return (c - a).mm * (f - d).mm - (d - b).mm * (e - c).mm


def box_with_corners(low: Point, high: Point, radius: Length, square: Sequence[bool] = (False,) * 4) -> list[Side]:
    """A rectangle, anticlockwise, its corners rounded but for those that are `square`: low left, low right, high
    right, high left."""
    corners = [low, (high[0], low[1]), high, (low[0], high[1])]
    sides: list[Side] = []
    arcs: list[Side | None] = [
        None if plain or not radius else rounded_off(corners[k - 1], corners[k], corners[(k + 1) % 4], radius)
        for k, plain in enumerate(square)
    ]
    for k, arc in enumerate(arcs):
        after = arcs[(k + 1) % 4]
        start = arc.end if arc else corners[k]
        end = after.start if after else corners[(k + 1) % 4]
        sides += [arc] if arc else []
        sides += [Side(start, end)] if start != end else []
    return sides


def off_a_corner(corner: Point, to: Point) -> list[Side]:
    """What a rounding takes off a square corner, anticlockwise: between the corner and the arc about `to`, the centre,
    which lies as far in one way as in the other."""
    (x, y), (a, b) = corner, to
    level, upright = (a, y), (x, b)
    first, last = (level, upright) if (a > x) == (b > y) else (upright, level)
    return [Side(corner, first), Side(first, last, to, abs(a - x), False), Side(last, corner)]


def reach_of(side: Side) -> tuple[Point, Point]:
    """The corners of the rectangle round a side."""
    spots = [side.start, side.end]
    if side.centre is not None:
        x, y = side.centre
        for out in ((x + side.radius, y), (x - side.radius, y), (x, y + side.radius), (x, y - side.radius)):
            if on_arc(side, out):
                spots.append(out)
    xs, ys = zip(*spots, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def on_arc(arc: Side, spot: Point) -> bool:
    """Whether a place on its circle lies on the arc itself: on the outer side of its chord."""
    beyond = _turn(arc.start, arc.end, spot)
    return beyond < 0 if arc.left else beyond > 0


def goes_on(one: Side, other: Side) -> bool:
    """Whether one side runs into the next without a corner, straight on or straight back: where a line turns back on
    itself, the border of what it is taken out of goes straight on."""
    (a, b), (c, d) = heading(one, False), heading(other, True)
    return abs(a * c + b * d) > 1 - 1e-6


def heading(side: Side, at_start: bool) -> tuple[float, float]:
    """The direction of a side at its start or its end, as a unit vector."""
    spot = side.start if at_start else side.end
    if side.centre is None:
        x, y = (end - start for start, end in zip(side.start, side.end, strict=True))
        a, b = x.float_mm(), y.float_mm()
    else:
        out = [(s - c).float_mm() for s, c in zip(spot, side.centre, strict=True)]
        a, b = (-out[1], out[0]) if side.left else (out[1], -out[0])
    long = math.hypot(a, b)
    return a / long, b / long
