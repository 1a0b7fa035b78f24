"""Gaps that are meant: what the build says of them, and what is there."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build
from shopdocs.model.parts import MeantGap
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.placed import PlacedPiece

WIDEST = Length.inches(1)  # parts that face each other farther apart have no gap between them (common practice)


class RealGap(Struct, frozen=True):
    """Two pieces that face each other along an axis of the build with `size` between them; `one` is the lower."""

    meant: MeantGap
    one: str
    other: str
    axis: int
    size: Length

    @property
    def pair(self) -> frozenset[str]:
        """The two marks."""
        return frozenset((self.one, self.other))


def real_gaps(build: Build, space: Space, meant: MeantGap) -> tuple[RealGap, ...]:
    """Every two pieces of a meant gap that face each other, no farther apart than an inch or twice what is said."""
    most = max(WIDEST, meant.size * 2)
    found: dict[frozenset[str], RealGap] = {}
    for first in meant.between[0]:
        for second in meant.between[1]:
            if first == second or not {first, second} <= space.pieces.keys():
                continue
            for gap in _facing(meant, space.pieces[first], space.pieces[second]):
                if gap.size <= most and (gap.pair not in found or gap.size < found[gap.pair].size):
                    found[gap.pair] = gap
    return tuple(found.values())


def _facing(meant: MeantGap, one: PlacedPiece, other: PlacedPiece) -> Iterator[RealGap]:
    for axis in range(3):
        beside = [min(one.far[k], other.far[k]) - max(one.at[k], other.at[k]) for k in range(3) if k != axis]
        if min(beside) <= ZERO:
            continue
        low, high = sorted((one, other), key=lambda piece: piece.at[axis])
        size = high.at[axis] - low.far[axis]
        if size > ZERO:
            yield RealGap(meant, low.mark, high.mark, axis, size)
