"""Which pieces overlap, touch or nearly touch, and where.

Candidates come from sweep and prune: boxes sorted along one axis, those still open kept in bins along another. The work
grows as n log n as long as a piece has a bounded number of neighbours, which furniture has.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cached_property
from math import isqrt

from msgspec import Struct

from shopdocs.core.box import AXES, Box, Touch, touch
from shopdocs.core.length import ZERO, Length
from shopdocs.work.shapes.carved import NEAR_MM, Carved, bodies_of, filled, touches
from shopdocs.work.shapes.clashing import all_uncut, shared_uncut
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import Scene


class Pair(Struct, frozen=True, dict=True):
    """Two pieces by their index in the scene (`first` < `second`) and how they meet. `touches` lie between the true
    solids, joints included; `gaps` between the bodies, at most the stated tolerance wide. `mitre` is the block of a
    corner that both are mitred in, where they touch on a slope."""

    first: int
    second: int
    overlap: int
    touches: tuple[Touch, ...]
    gaps: tuple[Touch, ...]
    mitre: Box | None = None

    @property
    def meets(self) -> bool:
        """Whether the pieces come together, not only near each other."""
        return bool(self.touches or self.overlap or self.mitre)

    @cached_property
    def area(self) -> int:
        """All touching area, in square ticks."""
        return sum(t.area for t in self.touches)


class Contacts(Struct, frozen=True, dict=True):
    """Every pair of a scene that meets, in the order of the scene."""

    scene: Scene
    pairs: tuple[Pair, ...]

    @cached_property
    def of_piece(self) -> tuple[tuple[Pair, ...], ...]:
        """For each piece of the scene, the pairs it is in."""
        lists: list[list[Pair]] = [[] for _ in self.scene.pieces]
        for pair in self.pairs:
            lists[pair.first].append(pair)
            lists[pair.second].append(pair)
        return tuple(tuple(pairs) for pairs in lists)

    def between(self, one: str, other: str) -> Pair | None:
        """The pair of these two marks, if they meet."""
        i, j = sorted((self.scene.index(one), self.scene.index(other)))
        return next((pair for pair in self.of_piece[i] if (pair.first, pair.second) == (i, j)), None)

    def area(self, pair: Pair) -> Fraction:
        """The touching area of a pair in square millimetres."""
        return self.scene.ticks.area(pair.area)

    def loose(self) -> tuple[str, ...]:
        """Marks of pieces that touch nothing."""
        return tuple(
            piece.mark
            for piece, pairs in zip(self.scene.pieces, self.of_piece, strict=True)
            if not any(pair.meets for pair in pairs)
        )


def find_contacts(scene: Scene, tolerance: Length = ZERO) -> Contacts:
    """All pairs that overlap, touch, or have bodies at most `tolerance` apart, face to face."""
    reach = int(tolerance.mm * scene.ticks.per_mm)
    pairs = []
    for i, j in close_pairs([solid.bounds for solid in scene.solids], reach):
        pair = _meet(scene, i, j, reach)
        if pair is not None:
            pairs.append(pair)
    return Contacts(scene, tuple(sorted(pairs, key=lambda p: (p.first, p.second))))


def _meet(scene: Scene, i: int, j: int, reach: int) -> Pair | None:
    one, two = scene.solids[i], scene.solids[j]
    if isinstance(one, Carved) or isinstance(two, Carved):
        return _meet_askew(scene, i, j)
    touches = []
    for mine in one.touching:
        for theirs in two.touching:
            found = touch(mine, theirs)
            if found is not None:
                touches.append(found)
    near = touch(one.body, two.body, reach) if reach else None
    gaps = (near,) if near is not None and near.gap else ()
    overlap, mitre = one.overlap(two), _mitre(one, two)
    if not (touches or gaps or overlap or mitre):
        return None
    return Pair(i, j, overlap, tuple(merged(touches)), gaps, mitre)


def _meet_askew(scene: Scene, i: int, j: int) -> Pair | None:
    """The same where one of them is off square: bodies are compared, tenons in the mortises made for them left out.
    What they share is no overlap where it is no more than a skin as thick as places are rounded."""
    joined = _joints_of(scene, i) & _joints_of(scene, j)
    one, two = (filled(scene.solids[k], joined) for k in (i, j))
    found = merged(list(touches(bodies_of(one), bodies_of(two), scene.ticks.per_mm)))
    volume = shared_uncut(all_uncut(one), all_uncut(two))
    skin = NEAR_MM * scene.ticks.per_mm * max((t.area for t in found), default=0) + (scene.ticks.per_mm / 2) ** 3
    overlap = round(volume) if volume > skin else 0
    return Pair(i, j, overlap, tuple(found), ()) if found or overlap else None


def _joints_of(scene: Scene, number: int) -> frozenset[str]:
    return frozenset(feature.joint for feature in scene.pieces[number].features if feature.joint)


def _mitre(one: Solid, two: Solid) -> Box | None:
    """The block in which both are cut to one slope, each from its own side."""
    mine, theirs = ({slope.box for slope in solid.slopes if slope.only is not None} for solid in (one, two))
    return max(mine & theirs, key=lambda box: box.volume, default=None)


def merged(touches: Sequence[Touch]) -> list[Touch]:
    """Touching rectangles made one where two of them make one larger rectangle, always the first two that do."""
    rest = sorted(touches)
    first = 0
    while first < len(rest):
        second = next((k for k in range(first + 1, len(rest)) if _makes_one(rest[first], rest[k])), None)
        if second is None:
            first += 1
        while second is not None:
            rest[first] = _whole(rest[first], rest.pop(second))
            # One before it, which went with nothing so far, may go with what it has grown to.
            before = next((k for k in range(first) if _makes_one(rest[k], rest[first])), None)
            first, second = (first, None) if before is None else (before, first)
    return sorted(rest)


def _makes_one(one: Touch, two: Touch) -> bool:
    """Whether two rectangles lie in one plane and share a whole side."""
    if (one.axis, one.high) != (two.axis, two.high):
        return False
    mine, theirs = one.where, two.where
    unlike = [k for k in AXES if mine.lo[k] != theirs.lo[k] or mine.hi[k] != theirs.hi[k]]
    if len(unlike) != 1 or unlike[0] == one.axis:
        return False
    (along,) = unlike
    return mine.hi[along] == theirs.lo[along] or theirs.hi[along] == mine.lo[along]


def _whole(one: Touch, two: Touch) -> Touch:
    return Touch(one.axis, one.high, Box.around((one.where, two.where)))


def close_pairs(boxes: Sequence[Box], reach: int = 0) -> Iterator[tuple[int, int]]:
    """Index pairs (i < j) of boxes that are at most `reach` apart along every axis; each pair once."""
    if len(boxes) < 2:
        return
    along, across = _sweep_axes(boxes)
    low = min(box.lo[across] for box in boxes)
    bins = isqrt(len(boxes)) + 1
    width = max(1, -(-(max(box.hi[across] for box in boxes) - low + 1) // bins))
    other = 3 - along - across
    open_in: list[list[int]] = [[] for _ in range(bins)]
    for i in sorted(range(len(boxes)), key=lambda k: (boxes[k].lo[along], k)):
        box = boxes[i]
        start, near_lo, near_hi = box.lo[along] - reach, box.lo[across] - reach, box.hi[across] + reach
        other_lo, other_hi = box.lo[other] - reach, box.hi[other] + reach
        first = max(0, (near_lo - low) // width)
        last = min(bins - 1, (near_hi - low) // width)
        for b in range(first, last + 1):
            still = [j for j in open_in[b] if boxes[j].hi[along] >= start]
            for j in still:
                lo, hi = boxes[j].lo, boxes[j].hi
                if hi[across] < near_lo or lo[across] > near_hi or hi[other] < other_lo or lo[other] > other_hi:
                    continue
                if max((lo[across] - low) // width, first) == b:  # the first bin both are in reports the pair
                    yield (i, j) if i < j else (j, i)
            open_in[b] = still
        for b in range((box.lo[across] - low) // width, (box.hi[across] - low) // width + 1):
            open_in[b].append(i)


def _sweep_axes(boxes: Sequence[Box]) -> tuple[int, int]:
    """The two axes along which the boxes are spread most for their size: few are open at a time there."""

    def crowding(axis: int) -> Fraction:
        spread = max(b.hi[axis] for b in boxes) - min(b.lo[axis] for b in boxes)
        return Fraction(sum(b.size[axis] for b in boxes), max(spread, 1))

    first, second, _ = sorted(AXES, key=crowding)
    return first, second
