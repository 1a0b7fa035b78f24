"""Axis-aligned boxes in whole ticks.

A *tick* is a length that divides every length of a scene, so that all comparisons and products are between whole
numbers: nothing is rounded (but for what no bench can measure, see FINEST) and nothing is slow. `Ticks` turns exact
lengths into ticks and back.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from msgspec import Struct

from shopdocs.core.length import Length

Corner = tuple[int, int, int]
Span = tuple[int, int]
AXES = (0, 1, 2)
# Ticks to the millimetre at most: whole for 1/128 in, 1/1000 mm and thirds to thirteenths of them, and a kilometre of
# them fits 64 bits. Only lengths such as 1/999983 mm beside 1/999979 mm would need finer ones.
FINEST = 288_288_000


class Ticks(Struct, frozen=True):
    """The number of ticks in a millimetre. `rounds`: some lengths are no whole number of ticks and go to the nearest;
    equal ones stay equal, and their order is kept."""

    per_mm: int = 1
    rounds: bool = False

    @staticmethod
    def of(lengths: Iterable[Length]) -> Ticks:
        """The coarsest tick that divides every one of `lengths`; the finest there is where it would be finer still."""
        per_mm = lcm(1, *{length.per_mm for length in lengths})
        return Ticks(per_mm) if per_mm <= FINEST else Ticks(FINEST, rounds=True)

    def finer(self, lengths: Iterable[Length]) -> Ticks:
        """Ticks of which a whole number makes one of these, and that divide every one of `lengths` as well; where they
        would be finer than FINEST, or these round, lengths go to the nearest."""
        per_mm = lcm(self.per_mm, *{length.per_mm for length in lengths})
        if per_mm <= FINEST:
            return Ticks(per_mm, self.rounds)
        return Ticks(self.per_mm * (FINEST // self.per_mm), rounds=True)

    def fine(self) -> Ticks:
        """Ticks of at most a thousandth of a millimetre that divide these: for places that have to be rounded to ticks,
        such as those on a slope."""
        return Ticks(self.per_mm * -(-1000 // self.per_mm), self.rounds)

    def count(self, length: Length) -> int:
        """`length` in ticks. Raises ValueError when it is not a whole number of them, unless they round."""
        if self.rounds:
            return self.nearest(length)
        ticks = length.count(self.per_mm)
        if ticks is None:
            raise ValueError(f"{length!r} is not a whole number of 1/{self.per_mm} mm")
        return ticks

    def nearest(self, length: Length) -> int:
        """`length` in ticks, to the nearest: for what is only looked at, or found by rounding anyway."""
        return round(length.mm * self.per_mm)

    def length(self, count: int) -> Length:
        """The length of so many ticks."""
        return Length.parts(count, self.per_mm)

    def area(self, count: int) -> Fraction:
        """Square ticks as square millimetres."""
        return Fraction(count, self.per_mm**2)


class Box(NamedTuple):
    """From the corner `lo` to the corner `hi`, in ticks, the boundary included. A flat box is a rectangle."""

    lo: Corner
    hi: Corner

    @staticmethod
    def between(first: Sequence[int], second: Sequence[int]) -> Box:
        """The box with these two opposite corners, in whatever order."""
        (a, b, c), (d, e, f) = first, second
        return Box((min(a, d), min(b, e), min(c, f)), (max(a, d), max(b, e), max(c, f)))

    @staticmethod
    def around(boxes: Iterable[Box]) -> Box:
        """The smallest box that holds all of `boxes`. Raises ValueError when there are none."""
        every = list(boxes)
        if not every:
            raise ValueError("no boxes to go around")
        lows, highs = [b.lo for b in every], [b.hi for b in every]
        return Box(
            (min(p[0] for p in lows), min(p[1] for p in lows), min(p[2] for p in lows)),
            (max(p[0] for p in highs), max(p[1] for p in highs), max(p[2] for p in highs)),
        )

    @property
    def size(self) -> Corner:
        """Ticks along x, y and z."""
        return (self.hi[0] - self.lo[0], self.hi[1] - self.lo[1], self.hi[2] - self.lo[2])

    @property
    def volume(self) -> int:
        """Cubic ticks."""
        x, y, z = self.size
        return x * y * z

    @property
    def doubled_centre(self) -> Corner:
        """Twice the centre: stays whole."""
        return (self.lo[0] + self.hi[0], self.lo[1] + self.hi[1], self.lo[2] + self.hi[2])

    def shifted(self, by: Sequence[int]) -> Box:
        """The same box moved by so many ticks along x, y and z."""
        x, y, z = by
        (a, b, c), (d, e, f) = self.lo, self.hi
        return Box((a + x, b + y, c + z), (d + x, e + y, f + z))

    def face(self, axis: int, high: bool) -> Box:
        """The flat box that is the face at the low or high end of `axis`."""
        at = self.hi[axis] if high else self.lo[axis]
        return Box(_with(self.lo, axis, at), _with(self.hi, axis, at))

    def faces(self) -> Iterator[tuple[int, bool, Box]]:
        """The six faces: axis, whether at its high end, and the flat box."""
        for axis in AXES:
            for high in (False, True):
                yield axis, high, self.face(axis, high)

    def common(self, other: Box) -> Box | None:
        """What both closed boxes share, flat or a line or a point where they only touch; None when they are apart."""
        (a, b, c), (d, e, f) = self.lo, self.hi
        (g, h, i), (j, k, m) = other.lo, other.hi
        if a > j or g > d or b > k or h > e or c > m or i > f:  # as nearly all are
            return None
        if a > d or b > e or c > f or g > j or h > k or i > m:
            return None
        return Box(
            (a if a > g else g, b if b > h else h, c if c > i else i),
            (d if d < j else j, e if e < k else k, f if f < m else m),
        )

    def overlap(self, other: Box) -> Box | None:
        """The common box, where it has a volume."""
        (a, b, c), (d, e, f) = self.lo, self.hi
        (g, h, i), (j, k, m) = other.lo, other.hi
        if a >= j or g >= d or b >= k or h >= e or c >= m or i >= f:
            return None
        if a >= d or b >= e or c >= f or g >= j or h >= k or i >= m:  # one of them is flat
            return None
        return Box(
            (a if a > g else g, b if b > h else h, c if c > i else i),
            (d if d < j else j, e if e < k else k, f if f < m else m),
        )

    def holds(self, other: Box) -> bool:
        """Whether the other box lies within this one; faces may touch."""
        return all(self.lo[k] <= other.lo[k] and other.hi[k] <= self.hi[k] for k in AXES)

    def gaps(self, other: Box) -> Corner:
        """How far apart the boxes are along each axis; 0 where their shadows on it meet."""
        a, b, c = (max(other.lo[k] - self.hi[k], self.lo[k] - other.hi[k], 0) for k in AXES)
        return (a, b, c)


def _with(corner: Corner, axis: int, value: int) -> Corner:
    x, y, z = corner
    return (value, y, z) if axis == 0 else (x, value, z) if axis == 1 else (x, y, value)


class Touch(Struct, frozen=True, order=True):
    """Two boxes face to face: the axis the faces stand square to, whether the second lies on the high side of the
    first, the rectangle they share, and the `gap` between the faces (0 when they touch; the rectangle is then on
    both, otherwise on the first box)."""

    axis: int
    high: bool
    where: Box
    gap: int = 0

    @property
    def area(self) -> int:
        """In square ticks."""
        x, y, z = self.where.size
        return y * z if self.axis == 0 else x * z if self.axis == 1 else x * y


def touch(first: Box, second: Box, reach: int = 0) -> Touch | None:
    """Where two boxes face each other at a distance of at most `reach` ticks: None when they overlap, are farther
    apart, or meet only along a line or in a point."""
    (a, b, c), (d, e, f) = first.lo, first.hi
    (g, h, i), (j, k, m) = second.lo, second.hi
    if g > d + reach or a > j + reach or h > e + reach or b > k + reach or i > f + reach or c > m + reach:
        return None
    across, high, gap = -1, False, 0
    lo, hi = [0, 0, 0], [0, 0, 0]
    for axis, (x, u, y, v) in enumerate(((a, d, g, j), (b, e, h, k), (c, f, i, m))):
        low, top = (x if x > y else y), (u if u < v else v)
        if low >= top:
            if across >= 0 or low - top > reach:
                return None
            across, high, gap = axis, y >= u, low - top
            low = top = u if high else x
        lo[axis], hi[axis] = low, top
    if across < 0:
        return None
    return Touch(across, high, Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])), gap)


def _less(box: Box, cut: Box) -> Iterator[Box]:
    """`box` without `cut`, as disjoint boxes: slabs off each side in turn, no more than needed."""
    shared = box.overlap(cut)
    if shared is None:
        yield box
        return
    lo, hi = list(box.lo), list(box.hi)
    for axis in AXES:
        if lo[axis] < shared.lo[axis]:
            top = list(hi)
            top[axis] = shared.lo[axis]
            yield Box((lo[0], lo[1], lo[2]), (top[0], top[1], top[2]))
            lo[axis] = shared.lo[axis]
        if shared.hi[axis] < hi[axis]:
            bottom = list(lo)
            bottom[axis] = shared.hi[axis]
            yield Box((bottom[0], bottom[1], bottom[2]), (hi[0], hi[1], hi[2]))
            hi[axis] = shared.hi[axis]


def less_all(boxes: Iterable[Box], cuts: Iterable[Box]) -> list[Box]:
    """Disjoint boxes without any of `cuts`."""
    left = list(boxes)
    for cut in cuts:
        left = [rest for box in left for rest in _less(box, cut)]
    return left


def joined_spans(spans: Iterable[Span]) -> list[Span]:
    """Spans on a line joined where they overlap or touch, in order; empty ones are dropped."""
    result: list[Span] = []
    for low, high in sorted(span for span in spans if span[0] < span[1]):
        if result and low <= result[-1][1]:
            if high > result[-1][1]:
                result[-1] = (result[-1][0], high)
        else:
            result.append((low, high))
    return result


def without_spans(whole: Span, spans: Iterable[Span]) -> list[Span]:
    """What is left of `whole` when `spans` are taken away."""
    left: list[Span] = []
    at, end = whole
    for low, high in joined_spans(spans):
        if high <= at:
            continue
        if low >= end:
            break
        if low > at:
            left.append((at, low))
        at = high
    if at < end:
        left.append((at, end))
    return left
