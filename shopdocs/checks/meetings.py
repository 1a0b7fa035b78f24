"""Two joints where two pieces meet once: each would be cut as if the other were not there.

Some go together: dowels keep the boards of an edge joint level, screws hold a housing. They are told where one of them
takes wood that the other has cut away or stands in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, error
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.joint_names import Trait
from shopdocs.work.computed import Computed
from shopdocs.work.joints.joinery import closed
from shopdocs.work.space.let_in import gap_between
from shopdocs.work.space.placed import Bore, Cuboid, Feature, PlacedPiece, side_of

Held = tuple[Joint, Meeting]


def held_twice(build: Build) -> Iterator[tuple[Held, Held]]:
    """Every two joints of different kinds between the same two pieces, the earlier first."""
    met: dict[frozenset[str], list[Held]] = defaultdict(list)
    for joint, meeting in build.meetings():
        met[frozenset((meeting.entering, meeting.receiving))].append((joint, meeting))
    for held in met.values():
        yield from ((one, two) for one, two in combinations(held, 2) if one[0].kind is not two[0].kind)


def numbers_held_twice(build: Build) -> frozenset[frozenset[int]]:
    """The numbers of such meetings, so that what is told here is told nowhere else."""
    return frozenset(frozenset((one.number, two.number)) for (_, one), (_, two) in held_twice(build))


def two_at_one_end(build: Build, shop: Shop) -> Iterator[Problem]:
    """Without places nothing is known of where they lie, but an end has one joint."""
    placed = {piece.mark for _, piece in build.pieces() if piece.place is not None}
    told = set()
    for one, two in held_twice(build):
        known = {one[1].entering, one[1].receiving} <= placed
        lines = (one[1].at, two[1].at)
        if not known and KINDS[one[0].kind].alone and KINDS[two[0].kind].alone and lines not in told:
            told.add(lines)
            yield _told(one, two, "")


def two_in_one_place(work: Computed) -> Iterator[Problem]:
    """Between placed pieces: what one cuts lies in what the other cuts. Once for two lines of joinery."""
    if work.space is None:
        return
    told = set()
    for one, two in held_twice(work.build):
        lines = (one[1].at, two[1].at)
        pieces = [work.space.pieces.get(mark) for mark in (two[1].receiving, two[1].entering)]
        if lines in told:
            continue
        found = (words for piece in pieces if piece for words in _clashes(piece, one[1].number, two[1].number))
        words = next(found, None)
        if words is not None:
            told.add(lines)
            yield _told(one, two, words)


def _told(one: Held, two: Held, words: str) -> Problem:
    pair = f"'{two[1].entering}' and '{two[1].receiving}'"
    first, second = (KINDS[joint.kind].called for joint, _ in (one, two))
    wrong = f"{pair} are joined here by {second} and in line {one[1].at.line} by {first}{words}"
    right = "leave one of the two out"
    hints = [hint for joint, _ in (one, two) if (hint := KINDS[joint.kind].clash_hint)]
    return error(two[1].at, "joints-in-one-place", wrong, "; ".join((right, *hints)))


def _clashes(piece: PlacedPiece, one: int, two: int) -> Iterator[str]:
    mine, theirs = ([f for f in piece.features if f.joint == str(number)] for number in (two, one))
    for feature in mine:
        for other in theirs:
            deep = _depth_shared(piece, feature, other)
            if deep is not None:
                yield f": this {feature.kind} runs {exact_text(deep)} into that {other.kind} inside '{piece.mark}'"


def _depth_shared(piece: PlacedPiece, one: Feature, other: Feature) -> Length | None:
    if isinstance(one, Bore) and isinstance(other, Bore):
        return None  # holes of two joints are held against each other with all others
    if isinstance(one, Cuboid) and isinstance(other, Cuboid):
        gap = gap_between(one, other)
        return -gap if closed(one) and closed(other) and gap.mm < 0 else None
    bore, cut = (one, other) if isinstance(one, Bore) else (other, one)
    assert isinstance(bore, Bore) and isinstance(cut, Cuboid)
    return None if cut.adds or Trait.CLOSED not in bore.kind.traits else _bored(piece, bore, cut)


def _bored(piece: PlacedPiece, bore: Bore, cut: Cuboid) -> Length | None:
    """How far along its axis a round hole lies in a cut, where its round meets the outline of the cut."""
    axis, high = side_of(bore.face)
    deep = piece.size[axis] if bore.depth is None else bore.depth
    low, top = (piece.size[axis] - deep, piece.size[axis]) if high else (Length(0), deep)
    common = min(top, cut.hi[axis]) - max(low, cut.lo[axis])
    beside = [max(cut.lo[k] - bore.centre[k], bore.centre[k] - cut.hi[k], Length(0)).mm for k in range(3) if k != axis]
    within = beside[0] ** 2 + beside[1] ** 2 < (bore.diameter.mm / 2) ** 2
    return common if common.mm > 0 and within else None


CHECKS = (two_at_one_end,)
CHECKS_OF_WORK = (two_in_one_place,)
