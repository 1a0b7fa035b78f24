"""How far to move the pieces of a build apart so that each clears all its neighbours.

Every pair of pieces that meet is drawn apart along the axis it was put together: by the gap asked for, and by as much
as one reaches into the other. Along each axis that makes an order of pieces and least distances between them; the
earliest and the latest place that keep all of them are averaged, so that a symmetrical build opens symmetrically.
Pieces that never met must not be moved into each other either: where they would be, they are kept in their order along
an axis that parts them in the build.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set

from msgspec import Struct

from shopdocs.core.box import AXES, Box, Corner, touch
from shopdocs.core.length import Length
from shopdocs.work.shapes.carved import Carved, bodies_of
from shopdocs.work.shapes.clashing import all_uncut, radius_for, share_a_ball, shared_uncut
from shopdocs.work.shapes.hidden import Segment
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.contacts import Contacts, Pair
from shopdocs.work.space.placed import Scene

_STILL = (0, 0, 0)
SPECK = 1e-6  # of a cube as wide as the solid: where bodies are cut in floats, so little is nothing


class Pull(Struct, frozen=True):
    """Two pieces that come apart along `axis`: `low` lies on its low side; `least` is how much farther apart they must
    be, in ticks. `spot` is the middle of where they meet."""

    axis: int
    low: int
    high: int
    least: int
    spot: Corner


class Exploded(Struct, frozen=True, dict=True):
    """How far each piece of the scene moves, in ticks, and the lines along which neighbours go together."""

    offsets: tuple[Corner, ...]
    lines: tuple[Segment, ...]


def explode(contacts: Contacts, gap: Length, rise: Length | None = None, among: Set[int] | None = None) -> Exploded:
    """Offsets such that neighbours stand at least `gap` apart along the axis they are assembled by; `rise` is the gap
    upwards, where it should be another. No two solids overlap afterwards that did not before. Only the pieces `among`
    move, where that is given."""
    scene = contacts.scene
    least = [max(1, int(g.mm * scene.ticks.per_mm)) for g in (gap, gap, gap if rise is None else rise)]
    members = range(len(scene.pieces)) if among is None else sorted(among)
    met = [pair for pair in _pairs_among(contacts, among) if pair.meets]
    pulls = [pull for pair in met for pull in _pulls(contacts, pair, least)]
    kept: list[Pull] = []
    rows = [_rows(scene, members, axis) for axis in AXES]
    known = {(pair.first, pair.second) for pair in met}
    while True:
        columns = [
            _spread([p for p in (*pulls, *kept) if p.axis == axis], contacts, axis, rows[axis], members)
            for axis in AXES
        ]
        offsets: dict[int, Corner] = {i: (columns[0][i], columns[1][i], columns[2][i]) for i in members}
        clashes = [pair for pair in _clashes(scene, offsets, members) if pair not in known]
        if not clashes:
            moved = tuple(offsets.get(i, _STILL) for i in range(len(scene.pieces)))
            return Exploded(moved, tuple(_assembly_lines(pulls, offsets)))
        known |= set(clashes)
        kept += [_keep(contacts, one, two) for one, two in clashes]


def _pairs_among(contacts: Contacts, among: Set[int] | None) -> Iterable[Pair]:
    """The pairs of a scene, those of which both pieces are among some, in their order."""
    if among is None:
        return contacts.pairs
    found = (pair for i in among for pair in contacts.of_piece[i] if pair.first == i and pair.second in among)
    return sorted(found, key=lambda pair: (pair.first, pair.second))


def _clashes(scene: Scene, offsets: Mapping[int, Corner], members: Sequence[int]) -> list[tuple[int, int]]:
    """Pairs of pieces that share room once they are moved."""
    moved = {i: scene.solids[i].bounds.shifted(offsets[i]) for i in members}
    order = sorted(members, key=lambda i: moved[i].lo[0])
    found, open_ = [], list[int]()
    for i in order:
        open_ = [j for j in open_ if moved[j].hi[0] > moved[i].lo[0]]
        for j in open_:
            if moved[i].overlap(moved[j]) is not None:
                one, two = min(i, j), max(i, j)
                first, second = (scene.solids[k].shifted(offsets[k]) for k in (one, two))
                if first.overlap(second) or _askew_overlap(first, second):
                    found.append((one, two))
        open_.append(i)
    return sorted(found)


def _askew_overlap(one: Solid, two: Solid) -> bool:
    """Whether solids of which one is off square share wood; more than a speck."""
    if not isinstance(one, Carved) and not isinstance(two, Carved):
        return False
    ones, twos = all_uncut(one), all_uncut(two)
    if share_a_ball(ones, twos, radius_for(SPECK * one.bounds.size[0] ** 3)):
        return True
    shared = shared_uncut(ones, twos)
    return shared > 0 and shared > SPECK * max(body.hi[0] - body.lo[0] for body in bodies_of(one)) ** 3


def _keep(contacts: Contacts, one: int, two: int) -> Pull:
    """Holds two pieces apart that lie apart in the build, along the axis on which they are farthest apart there."""
    bodies = [contacts.scene.solids[i].bounds for i in (one, two)]
    gaps = bodies[0].gaps(bodies[1])
    axis = max(AXES, key=lambda k: (gaps[k], -bodies[0].size[k] - bodies[1].size[k]))
    low, high = (one, two) if bodies[0].doubled_centre[axis] <= bodies[1].doubled_centre[axis] else (two, one)
    lower, upper = contacts.scene.solids[low].bounds, contacts.scene.solids[high].bounds
    a, b, c = (v // 2 for v in lower.doubled_centre)
    return Pull(axis, low, high, lower.hi[axis] - upper.lo[axis] + max(1, gaps[axis] // 4), (a, b, c))


def _pulls(contacts: Contacts, pair: Pair, least: Sequence[int]) -> Iterator[Pull]:
    """One for most pairs; pieces that share a mitre come apart both ways along their lengths."""
    one, two = (contacts.scene.solids[i] for i in (pair.first, pair.second))
    if pair.mitre is not None:
        lengths = (contacts.scene.pieces[i].pose.build_axis(0) for i in (pair.first, pair.second))
        yield from (_pull(contacts, pair, least, axis, pair.mitre, False) for axis in sorted(lengths))
    elif pair.touches and (isinstance(one, Carved) or isinstance(two, Carved)):
        largest = max(pair.touches, key=lambda touch: touch.area)  # the boxes round what leans say nothing of it
        yield _pull(contacts, pair, least, largest.axis, largest.where, True)
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


def _spread(
    pulls: Sequence[Pull], contacts: Contacts, axis: int, rows: Sequence[Sequence[int]], members: Iterable[int]
) -> dict[int, int]:
    """Offsets along one axis, for all `members`: the mean of the earliest and the latest that keep all distances.
    Pieces of a row move alike."""
    solids = contacts.scene.solids
    order = sorted(members, key=lambda i: (solids[i].body.doubled_centre[axis], i))
    rank = {piece: place for place, piece in enumerate(order)}  # from here on pieces go by their place along the axis
    after: list[list[tuple[int, int]]] = [[] for _ in order]
    for pull in pulls:
        low, high = sorted((rank[pull.low], rank[pull.high]))
        after[low].append((high, pull.least))
    alike = [[rank[i] for i in row] for row in rows]

    def settled(start: int, sense: int) -> list[int]:
        """Every piece moved on from `start`, in the sense of the axis or against it, as far as it must."""
        at = [start] * len(order)
        for _ in range(len(solids) + 1):
            before = list(at)
            for i in range(len(order))[::sense]:
                for j, least in after[i]:
                    if sense > 0:
                        at[j] = max(at[j], at[i] + least)
                    else:
                        at[i] = min(at[i], at[j] - least)
            for row in alike:
                far = (max if sense > 0 else min)(at[i] for i in row)
                for i in row:
                    at[i] = far
            if at == before or not alike:
                break
        return at

    early = settled(0, 1)
    late = settled(max(early, default=0), -1)
    # a chain of one-sided neighbours keeps its distances under the mean: both ends of each distance move alike
    means = ((a + b) // 2 for a, b in zip(_kept(early, after), _kept(late, after), strict=True))
    return dict(zip(order, means, strict=True))


def _rows(scene: Scene, members: Sequence[int], axis: int) -> list[list[int]]:
    """Pieces of one part and pose that differ in their place, but not along this axis: slats of a top, rails of a
    pair."""
    found: dict[object, list[int]] = {}
    for i in members:
        piece = scene.pieces[i]
        found.setdefault((piece.part, piece.size, piece.pose, piece.at[axis]), []).append(i)
    return [row for row in found.values() if len(row) > 1]


def _kept(places: list[int], after: Sequence[Sequence[tuple[int, int]]]) -> list[int]:
    """Even places, so that the mean of two of them is whole and no distance shrinks by rounding."""
    even = [place + place % 2 for place in places]
    for i, pairs in enumerate(after):
        for j, least in pairs:
            even[j] = max(even[j], even[i] + least + least % 2)
    return even


def _assembly_lines(pulls: Sequence[Pull], offsets: Mapping[int, Corner]) -> list[Segment]:
    lines = []
    for pull in pulls:
        start = tuple(a + b for a, b in zip(pull.spot, offsets[pull.low], strict=True))
        end = tuple(a + b for a, b in zip(pull.spot, offsets[pull.high], strict=True))
        if sum(a != b for a, b in zip(start, end, strict=True)) == 1:
            lines.append(Segment((start[0], start[1], start[2]), (end[0], end[1], end[2])))
    return lines
