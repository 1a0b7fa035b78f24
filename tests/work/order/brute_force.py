"""Wrong ways and wrong pieces by brute force: all 24 rotations as matrices, the wood as meshes of another library.

What goes in shares no more wood with what is there than what belongs there does (1 mm³), and, where it is tapered,
leaves no gap where that touches. One that clashes where it belongs is slid along each axis, a step at a time, until it
is in all of its joints again (`Joints.seated`). A later stage that it clashes with finds it.
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

    def mistakes(self, mark: str) -> list[tuple[int | None, Shift]]:
        """The stage that finds each wrong way that goes in, and how far out of line it sits."""
        meets = self.alike.meets(mark)
        found = []
        for _, moved, out in self.ways(mark, mark, meets):
            if not same(moved_by(moved, -out), self.bored(mark)):
                found.append((self.stopped(mark, mark, moved, meets), tuple(round(float(v), 3) + 0.0 for v in out)))
        return found

    def swap(self, mark: str, place: str) -> int | None:
        """The number of the stage that finds a piece where another belongs, `NEVER` for none, as late as can be; None
        where it does not go in."""
        meets = self.alike.meets(place)
        found = [self.stopped(mark, place, moved, meets) for _, moved, _ in self.ways(mark, place, meets)]
        return max((late(each) for each in found), default=None)

    def ways(self, mark: str, place: str, meets: Meets) -> Iterator[tuple[np.ndarray, manifold3d.Manifold, np.ndarray]]:
        """Every rotation of a piece that goes in where `place` belongs in its own stage: the matrix, the wood without
        its holes as it lies then, and how far out of line."""
        centre, size, grain = self.body(mark)
        middle, wanted, along = self.body(place)
        joints = Joints(self, place, [other for other in meets.groups[0] if other != mark])
        for matrix in ROTATIONS:
            if not np.allclose(abs(matrix) @ size, wanted) or (mark == place and not abs(matrix[along, grain])):
                continue
            plain = turned(self.wood[mark], matrix, centre).translate([float(v) for v in middle - centre])
            bored = turned(self.bored(mark), matrix, centre).translate([float(v) for v in middle - centre])
            out, first = ZERO, self.stopped(mark, place, plain, meets)
            if first == meets.numbers[0] and first:
                for out in joints.seated(plain):
                    first = self.stopped(mark, place, moved_by(plain, out), meets)
                    break
            if first != meets.numbers[0]:
                yield matrix, moved_by(bored, out), out

    def stopped(self, mark: str, place: str, moved: manifold3d.Manifold, meets: Meets) -> int | None:
        """The first stage that a piece as it lies clashes with, or gapes at, where `place` belongs; None for none."""
        for number, group in zip(meets.numbers, meets.groups, strict=True):
            others = [other for other in group if other not in (mark, place)]
            clash = sum((moved ^ self.wood[o]).volume() - (self.wood[place] ^ self.wood[o]).volume() for o in others)
            if clash > 1 or (mark in self.tapered and self.gapes(place, moved, others)):
                return number
        return None

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
        return any(
            same(turned(self.bored(one), m, centre).translate([float(v) for v in middle - centre]), self.bored(two))
            for m in ROTATIONS
            if np.allclose(abs(m) @ size, wanted) and abs(m[along, grain])
        )


class Joints:
    """The joints of a piece in its own stage, as it lies when it is right."""

    def __init__(self, brute: Brute, mark: str, group: Iterable[str]) -> None:
        fitting, scale, meshes = brute.fitting, brute.scale, brute.wood
        self.mine, self.step = box(fitting.solids[fitting.index[mark]].body, scale), STEP[brute.job.build.units]
        self.near = {o: meshes[o] for o in group if o != mark and (meshes[o] ^ grown(meshes[mark])).volume() > 0}
        self.stock = {o: box(fitting.solids[fitting.index[o]].body, scale) for o in self.near}
        inside = {o: self.inside(o, meshes[mark], self.mine) for o in self.near}
        self.joined = {o: volume for o, volume in inside.items() if volume > 1}
        self.there = manifold3d.Manifold.batch_boolean(list(self.near.values()), manifold3d.OpType.Add)
        pushes = [2.0 * sign * np.eye(3)[k] for k in range(3) for sign in (1, -1)]
        self.held = [push for push in pushes if (moved_by(meshes[mark], push) ^ self.there).volume() > 1]

    def inside(self, other: str, wood: manifold3d.Manifold, body: manifold3d.Manifold) -> float:
        return float((self.near[other] ^ body).volume() + (wood ^ self.stock[other]).volume())

    def seated(self, plain: manifold3d.Manifold) -> Iterator[np.ndarray]:
        """The shifts along one axis, the shortest first, that put the turned piece back into all of them: as much wood
        of each lies within the stock of the other, no two share any, and what cannot be pushed 2 mm to some side where
        it belongs cannot be pushed there now."""
        if not self.joined:
            return
        for n in range(1, int(FARTHEST / self.step) + 1):
            for by in (self.step * n * sign * np.eye(3)[k] for k in range(3) for sign in (1, -1)):
                moved = moved_by(plain, by)
                if (moved ^ self.there).volume() > 1:
                    continue
                body = moved_by(self.mine, by)
                if all(self.inside(o, moved, body) > v - 1 for o, v in self.joined.items()) and all(
                    (moved_by(moved, push) ^ self.there).volume() > 1 for push in self.held
                ):
                    yield by


# What the program says, in the same terms.


def told(job: Job, mark: str) -> list[str]:
    """The stages that find its wrong ways, and how far out of line each sits, as `Brute.mistakes`."""
    assert job.alike is not None
    return sorted(str((one.found, shift(one.way.out))) for one in job.alike.mistakes(mark))


def shift(out: tuple[int, Length] | None) -> Shift:
    return tuple(round(float(out[1].mm), 3) if out is not None and k == out[0] else 0.0 for k in range(3))


def gets(alike: Alike, mark: str, place: str) -> int | None:
    """As `Brute.swap`."""
    swap = alike.swap(mark, place)
    return None if swap is None else late(swap.found)


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


def same(one: manifold3d.Manifold, two: manifold3d.Manifold) -> bool:
    return abs(one.volume() - two.volume()) < 1 and (one - two).volume() < 1 and (two - one).volume() < 1


def sizes(piece: PlacedPiece) -> tuple[object, ...]:
    return piece.length, *sorted((piece.width, piece.thickness))


def box(body: Box, scale: float) -> manifold3d.Manifold:
    size = [(hi - lo) / scale for lo, hi in zip(body.lo, body.hi, strict=True)]
    return manifold3d.Manifold.cube(size).translate([v / scale for v in body.lo])


def grown(wood: manifold3d.Manifold) -> manifold3d.Manifold:
    """The box round it, a little larger."""
    x0, y0, z0, x1, y1, z1 = wood.bounding_box()
    return manifold3d.Manifold.cube([x1 - x0 + 2, y1 - y0 + 2, z1 - z0 + 2]).translate([x0 - 1, y0 - 1, z0 - 1])
