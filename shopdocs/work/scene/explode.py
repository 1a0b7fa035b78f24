"""How far to move the pieces of a build apart so that each clears all its neighbours.

Every pair of pieces that meet is drawn apart along the axis it was put together: by the gap asked for, and by as much
as one reaches into the other. Along each axis that makes an order of pieces and least distances between them; the
earliest and the latest place that keep all of them are averaged, so that a symmetrical build opens symmetrically.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shopdocs.core.box import AXES, Box, Corner, touch
from shopdocs.core.length import Length
from shopdocs.work.shapes.hidden import Segment
from shopdocs.work.space.contacts import Contacts, Pair


@dataclass(frozen=True, slots=True)
class Pull:
    """Two pieces that come apart along `axis`: `low` lies on its low side; `least` is how much farther apart they must
    be, in ticks. `spot` is the middle of where they meet."""

    axis: int
    low: int
    high: int
    least: int
    spot: Corner


@dataclass(frozen=True)
class Exploded:
    """How far each piece of the scene moves, in ticks, and the lines along which neighbours go together."""

    offsets: tuple[Corner, ...]
    lines: tuple[Segment, ...]


def explode(contacts: Contacts, gap: Length, rise: Length | None = None) -> Exploded:
    """Offsets such that neighbours stand at least `gap` apart along the axis they are assembled by; `rise` is the gap
    upwards, where it should be another."""
    scene = contacts.scene
    least = [max(1, int(g.mm * scene.ticks.per_mm)) for g in (gap, gap, gap if rise is None else rise)]
    pulls = [pull for pair in contacts.pairs if pair.meets for pull in _pulls(contacts, pair, least)]
    count = len(scene.pieces)
    columns = [_spread([p for p in pulls if p.axis == axis], contacts, axis, count) for axis in AXES]
    offsets = tuple(zip(*columns, strict=True)) if count else ()
    return Exploded(offsets, tuple(_assembly_lines(pulls, offsets)))


def _pulls(contacts: Contacts, pair: Pair, least: Sequence[int]) -> Iterator[Pull]:
    """One for most pairs; pieces that share a mitre come apart both ways along their lengths."""
    one, two = (contacts.scene.solids[i] for i in (pair.first, pair.second))
    if pair.mitre is not None:
        lengths = (contacts.scene.pieces[i].pose.build_axis(0) for i in (pair.first, pair.second))
        yield from (_pull(contacts, pair, least, axis, pair.mitre, False) for axis in sorted(lengths))
    else:
        yield _pull(contacts, pair, least, *_assembly_axis(one.body, two.body), True)


def _pull(contacts: Contacts, pair: Pair, least: Sequence[int], axis: int, where: Box, clear: bool) -> Pull:
    """`clear`: they are drawn apart until neither reaches into the other."""
    one, two = (contacts.scene.solids[i] for i in (pair.first, pair.second))
    ones, twos = one.body.doubled_centre[axis], two.body.doubled_centre[axis]
    low, high = (pair.first, pair.second) if ones <= twos else (pair.second, pair.first)
    lower, upper = contacts.scene.solids[low].bounds, contacts.scene.solids[high].bounds
    a, b, c = (v // 2 for v in where.doubled_centre)
    reach = max(0, lower.hi[axis] - upper.lo[axis]) if clear else 0
    return Pull(axis, low, high, reach + least[axis], (a, b, c))


def _assembly_axis(one: Box, two: Box) -> tuple[int, Box]:
    """The axis two bodies come together by, and the box where they meet: the axis square to the faces that touch, else
    the one where they are farthest apart, else (they cross) the one where they overlap least."""
    found = touch(one, two)
    if found is not None:
        return found.axis, found.where
    shared = one.common(two)
    if shared is None:
        gaps = one.gaps(two)
        return max(AXES, key=lambda k: gaps[k]), one
    return min(AXES, key=lambda k: (shared.size[k], -k)), shared


def _spread(pulls: Sequence[Pull], contacts: Contacts, axis: int, count: int) -> list[int]:
    """Offsets along one axis: the mean of the earliest and the latest that keep all distances."""
    solids = contacts.scene.solids
    order = sorted(range(count), key=lambda i: (solids[i].body.doubled_centre[axis], i))
    rank = {piece: place for place, piece in enumerate(order)}
    after: list[list[tuple[int, int]]] = [[] for _ in range(count)]
    for pull in pulls:
        low, high = sorted((pull.low, pull.high), key=lambda i: rank[i])
        after[low].append((high, pull.least))
    early = [0] * count
    for i in order:
        for j, least in after[i]:
            early[j] = max(early[j], early[i] + least)
    end = max(early, default=0)
    late = [end] * count
    for i in reversed(order):
        for j, least in after[i]:
            late[i] = min(late[i], late[j] - least)
    # a chain of one-sided neighbours keeps its distances under the mean: both ends of each distance move alike
    return [(a + b) // 2 for a, b in zip(_kept(early, after, order), _kept(late, after, order), strict=True)]


def _kept(places: list[int], after: Sequence[Sequence[tuple[int, int]]], order: Sequence[int]) -> list[int]:
    """Even places, so that the mean of two of them is whole and no distance shrinks by rounding."""
    even = [place + place % 2 for place in places]
    for i in order:
        for j, least in after[i]:
            even[j] = max(even[j], even[i] + least + least % 2)
    return even


def _assembly_lines(pulls: Sequence[Pull], offsets: Sequence[Corner]) -> list[Segment]:
    lines = []
    for pull in pulls:
        start = tuple(a + b for a, b in zip(pull.spot, offsets[pull.low], strict=True))
        end = tuple(a + b for a, b in zip(pull.spot, offsets[pull.high], strict=True))
        if sum(a != b for a, b in zip(start, end, strict=True)) == 1:
            lines.append(Segment((start[0], start[1], start[2]), (end[0], end[1], end[2])))
    return lines
