"""Wrong ways and wrong pieces by brute force: all 24 rotations as matrices, the wood as meshes of another library.

What goes in shares no more wood with what is there than what belongs there does (1 mm³, and 6 mm³ where something is
off square: places are true to 1/1000 mm there), and, where it is tapered, leaves no gap where that touches. One that
clashes where it belongs is slid along each axis, a step at a time, until it is in all of its joints again
(`Joints.seated`). A later stage that it clashes with finds it. What leans is turned as it would stand plumb, and leans
then as what belongs in its place.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from functools import cached_property

import manifold3d
import numpy as np

from shopdocs.core.box import Box
from shopdocs.core.length import Length
from shopdocs.documents.fitting.alike import Alike
from shopdocs.documents.job import Job
from shopdocs.work.order.mistakes import Meets
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.likeness import Likeness
from shopdocs.work.space.placed import Bore, FeatureKind, PlacedPiece, side_of
from tests.meshes import of_cells

ROTATIONS = [
    matrix
    for order in itertools.permutations(range(3))
    for signs in itertools.product((1, -1), repeat=3)
    if round(float(np.linalg.det(matrix := np.eye(3)[list(order)] * np.array(signs)[:, None]))) == 1
]
ZERO = np.zeros(3)
STEP = {"in": 25.4 / 8, "mm": 2.0}  # every size of the samples that matters here is a whole number of them
FARTHEST = 25.0  # mm: what is farther out of line is seen at a glance (our own measure)
NEVER = 10**6  # no stage finds it
Shift = tuple[float, ...]


class Brute:
    """The pieces of a job as meshes, and what goes in where."""

    def __init__(self, job: Job) -> None:
        assert job.space is not None
        assert job.alike is not None
        self.job, self.space, self.alike = job, job.space, job.alike
        self.fitting, self.scale = job.alike.fitting, float(job.alike.fitting.ticks.per_mm)
        self.wood = {mark: wood(job, mark) for mark in job.space.pieces}
        self._bored: dict[str, manifold3d.Manifold] = {}
        self._shared: dict[tuple[str, str], float] = {}
        self._swaps: dict[tuple[str, str], int | None] = {}
        self.askew = {mark for mark, piece in job.space.pieces.items() if piece.off_square or frame(piece) is not None}

    def bored(self, mark: str) -> manifold3d.Manifold:
        """The wood without its holes: what the piece is, not what stops it."""
        if mark not in self._bored:
            tubes = list(holes(self.space.pieces[mark]))
            less = manifold3d.Manifold.batch_boolean(tubes, manifold3d.OpType.Add) if tubes else None
            self._bored[mark] = self.wood[mark] - less if less is not None else self.wood[mark]
        return self._bored[mark]

    def body(self, mark: str) -> tuple[np.ndarray, np.ndarray, int]:
        """Middle and size of the stock of a piece, and the axis of its grain."""
        shape = self.fitting.shapes[self.fitting.index[mark]]
        lo, hi = (np.array(corner) / self.scale for corner in (shape.body.lo, shape.body.hi))
        return (lo + hi) / 2, hi - lo, shape.grain

    def plumb(self, mark: str, wood: manifold3d.Manifold) -> manifold3d.Manifold:
        """Wood where a piece stands, as it would stand plumb."""
        leaning = frame(self.space.pieces[mark])
        if leaning is None:
            return wood
        matrix, about = leaning
        return wood.transform(np.column_stack([matrix.T, about - matrix.T @ about]))

    def leant(self, place: str, wood: manifold3d.Manifold) -> manifold3d.Manifold:
        """The other way: plumb wood as it leans in a place."""
        leaning = frame(self.space.pieces[place])
        if leaning is None:
            return wood
        matrix, about = leaning
        return wood.transform(np.column_stack([matrix, about - matrix @ about]))

    def ways_of(self, place: str) -> np.ndarray:
        """The three directions of a plumb piece where it leans."""
        leaning = frame(self.space.pieces[place])
        return np.eye(3) if leaning is None else leaning[0]

    def slack(self, marks: Iterable[str]) -> float:
        """How much shared wood is none."""
        return 6.0 if self.askew & {*marks} else 1.0

    def stock(self, mark: str) -> manifold3d.Manifold:
        """What a piece was cut from, where it stands."""
        return self.leant(mark, box(self.fitting.own[self.fitting.index[mark]].body, self.scale))

    def mistakes(self, mark: str) -> list[tuple[int | None, Shift]]:
        """The stage that finds each wrong way that goes in, and how far out of line it sits."""
        meets = self.alike.meets(mark)
        found = []
        for _, moved, out in self.ways(mark, mark, meets):
            if not same(moved_by(moved, -self.ways_of(mark) @ out), self.bored(mark), mark in self.askew):
                fine = 1 if mark in self.askew else 3
                found.append((self.stopped(mark, mark, moved, meets), tuple(round(float(v), fine) + 0.0 for v in out)))
        return found

    def swap(self, mark: str, place: str) -> int | None:
        """The number of the stage that finds a piece where another belongs, `NEVER` for none, as late as can be; None
        where it does not go in."""
        if (mark, place) not in self._swaps:
            meets = self.alike.meets(place)
            found = [self.stopped(mark, place, moved, meets) for _, moved, _ in self.ways(mark, place, meets)]
            self._swaps[mark, place] = max((late(each) for each in found), default=None)
        return self._swaps[mark, place]

    def ways(self, mark: str, place: str, meets: Meets) -> Iterator[tuple[np.ndarray, manifold3d.Manifold, np.ndarray]]:
        """Every rotation of a piece that goes in where `place` belongs in its own stage: the matrix, the wood without
        its holes as it lies then, and how far out of line."""
        centre, size, grain = self.body(mark)
        middle, wanted, along = self.body(place)
        joints = Joints(self, place, [other for other in meets.groups[0] if other != mark])
        for matrix in ROTATIONS:
            if not np.allclose(abs(matrix) @ size, wanted) or (mark == place and not abs(matrix[along, grain])):
                continue
            plain, bored = (
                self.leant(
                    place, turned(self.plumb(mark, wood), matrix, centre).translate([*map(float, middle - centre)])
                )
                for wood in (self.wood[mark], self.bored(mark))
            )
            out, first = ZERO, self.stopped(mark, place, plain, meets)
            if first == meets.numbers[0] and first:
                for out in joints.seated(plain):
                    first = self.stopped(mark, place, moved_by(plain, self.ways_of(place) @ out), meets)
                    break
            if first != meets.numbers[0]:
                yield matrix, moved_by(bored, self.ways_of(place) @ out), out

    def stopped(self, mark: str, place: str, moved: manifold3d.Manifold, meets: Meets) -> int | None:
        """The first stage that a piece as it lies clashes with, or gapes at, where `place` belongs; None for none."""
        for number, group in zip(meets.numbers, meets.groups, strict=True):
            others = [other for other in group if other not in (mark, place)]
            clash = sum((moved ^ self.wood[o]).volume() - self.shared(place, o) for o in others)
            if any(self.missed(place, moved, other) for other in others):
                return number
            if clash > self.slack((mark, place, *others)) or (
                mark in self.tapered and self.gapes(place, moved, others)
            ):
                return number
        return None

    def missed(self, place: str, moved: manifold3d.Manifold, other: str) -> bool:
        """Whether a joint with a slanting or round tenon, as it is between a place and another piece, stays empty: less
        than half of the wood is in that is in where it belongs."""
        if not slanting(self.space.pieces[place]) & slanting(self.space.pieces[other]):
            return False
        stock, block = self.stock(other), self.stock(place)
        right, now = (
            (wood ^ stock).volume() + (self.wood[other] ^ block).volume() for wood in (self.wood[place], moved)
        )
        return bool(now < right / 2)

    def shared(self, place: str, other: str) -> float:
        """What two pieces share where they belong."""
        if (place, other) not in self._shared:
            self._shared[place, other] = float((self.wood[place] ^ self.wood[other]).volume())
        return self._shared[place, other]

    @cached_property
    def tapered(self) -> set[str]:
        return {m for m, p in self.space.pieces.items() if any(c.kind is FeatureKind.TAPER for c in p.cuboids)}

    def gapes(self, place: str, moved: manifold3d.Manifold, others: Iterable[str]) -> bool:
        """Whether what touches one of these pieces where it belongs stands off it as it lies now."""
        near = (other for other in others if self.wood[place].min_gap(self.wood[other], 1.0) < 0.01)
        return any(moved.min_gap(self.wood[other], 1.0) > 0.01 for other in near)

    def alike_pairs(self) -> Iterator[tuple[str, str]]:
        """Pieces of one stock and size that are not the same however they are turned."""
        for one, two in itertools.combinations(self.space.pieces, 2):
            ones, twos = (self.space.pieces[mark] for mark in (one, two))
            if ones.material == twos.material and sizes(ones) == sizes(twos) and not self.one_and_the_same(one, two):
                yield one, two

    def one_and_the_same(self, one: str, two: str) -> bool:
        centre, size, grain = self.body(one)
        middle, wanted, along = self.body(two)
        ones, twos = (self.plumb(mark, self.bored(mark)) for mark in (one, two))
        return any(
            same(
                turned(ones, m, centre).translate([float(v) for v in middle - centre]),
                twos,
                bool({one, two} & self.askew),
            )
            for m in ROTATIONS
            if np.allclose(abs(m) @ size, wanted) and abs(m[along, grain])
        )


class Joints:
    """The joints of a piece in its own stage, as it lies when it is right."""

    def __init__(self, brute: Brute, mark: str, group: Iterable[str]) -> None:
        meshes = brute.wood
        self.brute, self.mark = brute, mark
        self.mine, self.step = brute.stock(mark), STEP[brute.job.build.units]
        self.near = {o: meshes[o] for o in group if o != mark and (meshes[o] ^ grown(meshes[mark])).volume() > 0}
        self.stock = {o: brute.stock(o) for o in self.near}
        inside = {o: self.inside(o, meshes[mark], self.mine) for o in self.near}
        self.joined = {o: volume for o, volume in inside.items() if volume > 1}
        whole = manifold3d.Manifold.batch_boolean(list(self.near.values()), manifold3d.OpType.Add)
        self.there = whole ^ grown(meshes[mark], 2 * FARTHEST)
        self.axes = brute.ways_of(mark)
        self.slack = brute.slack([mark, *self.near])
        pushes = [2.0 * sign * self.axes[:, k] for k in range(3) for sign in (1, -1)]
        self.held = [push for push in pushes if (moved_by(meshes[mark], push) ^ self.there).volume() > self.slack]

    def inside(self, other: str, wood: manifold3d.Manifold, body: manifold3d.Manifold) -> float:
        return float((self.near[other] ^ body).volume() + (wood ^ self.stock[other]).volume())

    def seated(self, plain: manifold3d.Manifold) -> Iterator[np.ndarray]:
        """The shifts along one axis, the shortest first, that put the turned piece back into all of them: as much wood
        of each lies within the stock of the other, no two share any, and what cannot be pushed 2 mm to some side where
        it belongs cannot be pushed there now."""
        if not self.joined:
            return
        steps = [self.step * n * sign for n in range(1, int(FARTHEST / self.step) + 1) for sign in (1, -1)]
        tried = [by * np.eye(3)[k] for by in steps for k in range(3)]
        if self.brute.askew & {self.mark, *self.near}:
            tried = sorted(self.least(plain), key=lambda by: float(abs(by).sum()))
        for out in tried:
            by = self.axes @ out
            moved = moved_by(plain, by)
            if (moved ^ self.there).volume() > self.slack:
                continue
            body = moved_by(self.mine, by)
            if all(self.inside(o, moved, body) > v * 0.99 - 1 for o, v in self.joined.items()) and all(
                (moved_by(moved, push) ^ self.there).volume() > self.slack for push in self.held
            ):
                yield out

    def least(self, plain: manifold3d.Manifold) -> Iterator[np.ndarray]:
        """Where, slid along each axis, it shares the least wood with what is there. Looked for 3 mm at a time;
        beside a least one, unless it is much more than a step takes off, the third of the way that has less is kept,
        until it is fine."""
        for k in range(3):

            def shared(by: float, k: int = k) -> float:
                return float((moved_by(plain, by * self.axes[:, k]) ^ self.there).volume())

            step = 3.0
            places = np.arange(-FARTHEST - step, FARTHEST + 2 * step, step)
            found = [shared(float(by)) for by in places]
            for before, here, after, at in zip(found, found[1:], found[2:], places[1:], strict=False):
                if here > min(before, after) or here > 2 * max(before - here, after - here) + self.slack:
                    continue
                low, high = float(at) - step, float(at) + step
                while high - low > 0.005:
                    one, two = low + (high - low) / 3, high - (high - low) / 3
                    low, high = (low, two) if shared(one) <= shared(two) else (one, high)
                if 0.02 < abs(low + high) / 2 <= FARTHEST:
                    yield (low + high) / 2 * np.eye(3)[k]


# What the program says, in the same terms.


def told(job: Job, mark: str) -> list[str]:
    """The stages that find its wrong ways, and how far out of line each sits, as `Brute.mistakes`."""
    assert job.alike is not None
    askew = job.alike.space.pieces[mark]
    fine = 1 if askew.off_square or frame(askew) is not None else 3
    return sorted(str((one.found, shift(one.way.out, fine))) for one in job.alike.mistakes(mark))


def shift(out: tuple[int, Length] | None, fine: int = 3) -> Shift:
    return tuple(round(float(out[1].mm), fine) + 0.0 if out is not None and k == out[0] else 0.0 for k in range(3))


def gets(alike: Alike, mark: str, place: str) -> int | None:
    """As `Brute.swap`."""
    swap = alike.swap(mark, place)
    return None if swap is None else late(swap.found)


def exchanged(brute: Brute, pairs: Iterable[tuple[str, str]]) -> dict[frozenset[int], int | None]:
    """By pair of kinds: the stage that finds two pieces in each other's places, as `late`, of several as late as can
    be; None where the dry fit of the first does."""
    found: dict[frozenset[int], int | None] = {}
    for one, two in pairs:
        begins = [late(brute.alike.meets(place).numbers[0]) for place in (two, one)]
        ends = [brute.swap(one, two), brute.swap(two, one)]
        glued = [stage for stage, end in zip(begins, ends, strict=True) if end is not None]
        first = min(stage if end is None else end for stage, end in zip(begins, ends, strict=True))
        kinds = frozenset(brute.alike.kind_of[mark] for mark in (one, two))
        if glued and (first > min(glued) or None not in ends):
            found[kinds] = max(first, found.get(kinds) or 0)
        found.setdefault(kinds, None)
    return found


def told_exchanged(alike: Alike, kinds: frozenset[int]) -> int | None:
    """As `exchanged`."""
    one, two = (alike.kinds[kind].marks[0] for kind in kinds)
    swaps = [other.swap for other in alike.others(one) if two in other.marks and other.swap is not None]
    return late(swaps[0].found) if swaps else None


def named_pairs(alike: Alike) -> set[frozenset[str]]:
    """Pieces of one size that the program names as look-alikes."""
    pairs = [pair for pair in alike.space.look_alikes.pairs if pair.likeness is not Likeness.NEAR_SIZE]
    return {
        frozenset((one, two))
        for pair in pairs
        for one in alike.kinds[pair.first].marks
        for two in alike.kinds[pair.second].marks
    }


def late(stage: int | None) -> int:
    """Larger is found later: 0 stands for what is put on after all glue, None for never."""
    return NEVER if stage is None else stage or NEVER - 1


def wood(job: Job, mark: str) -> manifold3d.Manifold:
    """The piece in millimetres of the build."""
    assert job.alike is not None
    fitting = job.alike.fitting
    return of_cells(fitting.solids[fitting.index[mark]], float(fitting.ticks.per_mm))


def slanting(piece: PlacedPiece) -> set[str]:
    """The joints of a piece whose tenons are no cuboids."""
    return {cuboid.joint for cuboid in piece.cuboids if cuboid.askew and cuboid.joint}


def frame(piece: PlacedPiece) -> tuple[np.ndarray, np.ndarray] | None:
    """The directions of a plumb piece where it leans, as columns, and the point that it leans about; None where it
    stands square."""
    if not isinstance(piece, AskewPiece):
        return None
    turn = piece.turn
    return np.column_stack([turn.x, turn.y, turn.z]), np.array([float(v.mm) for v in piece.about])


def holes(piece: PlacedPiece) -> Iterator[manifold3d.Manifold]:
    """What is bored out of it, countersinks as wider holes, slots as boxes."""
    for bore in piece.bores:
        yield tube(piece, bore, float(bore.diameter.mm), None)
        if bore.head is not None:
            yield tube(piece, bore, float(bore.head.mm), 1.0)


def tube(piece: PlacedPiece, bore: Bore, wide: float, deep: float | None) -> manifold3d.Manifold:
    axis, high = side_of(bore.face)
    depth = deep or float((bore.depth or piece.size[axis]).mm)
    low = [float(v.mm) for v in bore.centre]
    lo = [v - wide / 2 for v in low]
    hi = [v + wide / 2 for v in low]
    lo[axis], hi[axis] = (low[axis] - depth, low[axis]) if high else (low[axis], low[axis] + depth)
    if bore.slot is not None and deep is None:
        half = float((bore.slot - bore.diameter).mm) / 2
        lo[bore.slot_axis] -= half
        hi[bore.slot_axis] += half
    ends = [
        [float(v.mm) for v in piece.spot_in_build([type(bore.diameter)(str(round(x, 6))) for x in spot])]
        for spot in (lo, hi)
    ]
    one, two = np.min(ends, axis=0), np.max(ends, axis=0)
    return manifold3d.Manifold.cube([float(v) for v in two - one]).translate([float(v) for v in one])


def turned(solid: manifold3d.Manifold, matrix: np.ndarray, centre: np.ndarray) -> manifold3d.Manifold:
    affine = [[*map(float, row), 0.0] for row in matrix]
    return solid.translate([-float(v) for v in centre]).transform(affine).translate([float(v) for v in centre])


def moved_by(wood: manifold3d.Manifold, by: np.ndarray) -> manifold3d.Manifold:
    return wood.translate([float(v) for v in by])


def same(one: manifold3d.Manifold, two: manifold3d.Manifold, askew: bool = False) -> bool:
    """Whether two are the same wood, but for a skin of 3/1000 mm where they are off square."""
    skin = 0.003 * one.surface_area() if askew else 1
    return abs(one.volume() - two.volume()) < skin and (one - two).volume() < skin and (two - one).volume() < skin


def sizes(piece: PlacedPiece) -> tuple[object, ...]:
    return piece.length, *sorted((piece.width, piece.thickness))


def box(body: Box, scale: float) -> manifold3d.Manifold:
    size = [(hi - lo) / scale for lo, hi in zip(body.lo, body.hi, strict=True)]
    return manifold3d.Manifold.cube(size).translate([v / scale for v in body.lo])


def grown(wood: manifold3d.Manifold, by: float = 1) -> manifold3d.Manifold:
    """The box round it, so much larger on every side."""
    x0, y0, z0, x1, y1, z1 = wood.bounding_box()
    size = [x1 - x0 + 2 * by, y1 - y0 + 2 * by, z1 - z0 + 2 * by]
    return manifold3d.Manifold.cube(size).translate([x0 - by, y0 - by, z0 - by])
