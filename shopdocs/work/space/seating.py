"""Where a piece that is turned the wrong way would sit in what it meets, out of line with where it belongs.

A leg whose mortises lie elsewhere from end to end goes upside down onto the same rails, a little too high: the tenons
find their mortises, and nothing but the ends of the leg tells. So a turned piece is tried where one of its mortises
comes to lie over a tenon that is there, or one of its tenons over a mortise, moved along one axis.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from shopdocs.core.box import AXES, Box, Corner, touch
from shopdocs.core.length import Length
from shopdocs.work.shapes.solid import Solid

MOST_OUT = Length(25)  # what is farther out of line is seen at a glance (our own measure)
LEAST_HELD = 0.5  # of the area by which it is held where it belongs: in a mortise too long a tenon is held by less


@dataclass(frozen=True, slots=True)
class Seat:
    """How a piece, or pieces that are one already, are held by another where they belong: the wood of each inside the
    bodies of the other, in cubic ticks, and the area in which they touch, in square ticks."""

    other: Solid
    inside: int
    area: int

    @staticmethod
    def of(solids: Sequence[Solid], other: Solid) -> Seat | None:
        """As they lie; None where neither reaches into the other."""
        inside = _inside(solids, other)
        return Seat(other, inside, _area(solids, other)) if inside else None

    def holds(self, solids: Sequence[Solid]) -> bool:
        """Whether the piece is in as far, and held, as it lies now."""
        return _inside(solids, self.other) >= self.inside and _area(solids, self.other) >= LEAST_HELD * self.area


def _inside(solids: Sequence[Solid], other: Solid) -> int:
    return sum(_within(one.cells, other.body) + _within(other.cells, one.body) for one in solids)


def _within(cells: Sequence[Box], body: Box) -> int:
    return sum(shared.volume for cell in cells if (shared := cell.overlap(body)) is not None)


def _area(solids: Sequence[Solid], other: Solid) -> int:
    area = 0
    for one in solids:
        round_both = one.bounds.common(other.bounds)  # nothing touches outside it
        if round_both is not None:
            theirs = [cell for cell in other.cells if cell.common(round_both) is not None]
            mine = [cell for cell in one.cells if cell.common(round_both) is not None] if theirs else []
            area += sum(face.area for a, b in product(mine, theirs) if (face := touch(a, b)) is not None)
    return area


def shifts(turned: Sequence[Solid], seats: Sequence[Seat], most: int) -> list[Corner]:
    """The shifts along one axis, of at most so many ticks and the shortest first, that bring a cut of what is turned
    level with a tenon of what it meets, or one of its tenons with a cut there."""
    found: set[Corner] = set()
    for one, seat in product(turned, seats):
        found.update(_level(seat.other.adds, one.cuts, most))
        found.update((-x, -y, -z) for x, y, z in _level(one.adds, seat.other.cuts, most))
    return sorted(found, key=lambda by: (sum(map(abs, by)), by))


def _level(tenons: Sequence[Box], cuts: Sequence[Box], most: int) -> set[Corner]:
    """The shifts of the cuts that bring an end of one level with the same end of a tenon."""
    found: set[Corner] = set()
    for (tenon_lo, tenon_hi), (lo, hi) in product(tenons, cuts):
        shared = [tenon_hi[k] > lo[k] and hi[k] > tenon_lo[k] for k in AXES]
        if sum(shared) < 2:
            continue
        for k in AXES:
            if shared[k - 1] and shared[k - 2]:
                for by in (tenon_lo[k] - lo[k], tenon_hi[k] - hi[k]):
                    if 0 < abs(by) <= most:
                        found.add((by if k == 0 else 0, by if k == 1 else 0, by if k == 2 else 0))
    return found
