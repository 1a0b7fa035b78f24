"""Wrong ways and wrong pieces, stage by stage, against rotated meshes of another geometry library."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.core.box import Box
from shopdocs.core.length import Length
from shopdocs.documents.fitting.turned import told_of, ways_of
from shopdocs.documents.job import Job
from shopdocs.documents.look_alikes import way_words
from shopdocs.work.order.mistakes import Meets
from shopdocs.work.space.placed import Bore, PlacedPiece, side_of
from tests.meshes import of_cells
from tests.sample_jobs import job_of

SAMPLES = Path(__file__).parents[3] / "sample_builds"
JOBS: dict[str, Job] = {}


def job(name: str) -> Job:
    if name not in JOBS:
        JOBS[name] = job_of(SAMPLES / name / "build.yaml")
    return JOBS[name]


def ways(name: str, mark: str) -> list[tuple[str, int, int | None]]:
    alike = job(name).alike
    assert alike is not None
    return [(one.way.words, one.stage, one.found) for one in alike.mistakes(mark)]


@pytest.mark.parametrize(("mark", "stage"), [("RL", 1), ("RR", 2)])
def test_the_end_rails_of_the_bench(mark: str, stage: int) -> None:
    """Worked out on the real rail: two equal tenons, so it goes into its legs four ways. Its housing for the stretcher
    must face inside and down; three ways put it outside or on top, and only the stretcher, at stage 3, would tell."""
    assert len(ways("threshold_bench", mark)) == 3
    assert {(one, found) for _, one, found in ways("threshold_bench", mark)} == {(stage, 3)}


def test_top_bottom_and_side_of_the_cabinet() -> None:
    """Top and bottom have one rabbet, at the rear and inside: of four ways three are wrong, and only the back, which is
    put on after the glue, would tell. The left side upside down has its housings elsewhere: the shelves tell, stage
    3."""
    for mark in ("TP", "BT"):
        assert [(stage, found) for _, stage, found in ways("spice_cabinet", mark)] == [(2, 0)] * 3
    assert ways("spice_cabinet", "L") == [("upside down", 2, 3)]


def test_the_back_of_the_cabinet_is_told_by_its_slots() -> None:
    """Two slots right through, as far from the left as from the right: half a turn about the upright is harmless."""
    alike = job("spice_cabinet").alike
    assert alike is not None
    assert all("upside down" in words for words, _, _ in ways("spice_cabinet", "BK"))
    assert [way.seen for way in ways_of(alike, "BK")] == ["screw holes nearer the top"]


def test_drawers_of_the_potting_table() -> None:
    """The pins of a drawer's back slope: end for end their cheeks would clash with the tails. Its bottom is a plain
    rectangle of plywood: it goes in every way, and every way is right."""
    for mark in ("DB1", "DB2", "DM1", "DM2", "DF1", "SL1", "SR1"):
        assert ways("potting_table", mark) == []


def test_handed_drawer_sides_do_not_go_in_for_each_other() -> None:
    """Lapped tails at the front, through ones at the rear, and the groove inside: a left side does not go in right."""
    alike = job("potting_table").alike
    assert alike is not None
    assert alike.swap("SL1", "SR1") is None
    assert alike.swap("SR1", "SL1") is None


def test_a_swapped_leg_is_found_when_the_frame_goes_on() -> None:
    """Rear legs of the bench are mirror images; each goes into its end rail's tenon, and the long rail finds it."""
    alike = job("threshold_bench").alike
    assert alike is not None
    swap = alike.swap("BL", "BR")
    assert swap is not None
    assert (swap.stage, swap.found) == (2, 3)


def test_a_leg_of_the_bench_on_the_wrong_mortise() -> None:
    """By hand. Both mortises of a leg begin at its top and are as long; their middles lie 1/4 + 7/16 = 11/16 in from
    its outside. Turned a quarter round, the one for the long rail faces the short one, its middle 11/16 in from the
    inside of the leg; the tenon is in it, 11/16 in from the outside, and so the leg stands 1-3/4 - 2 * 11/16 = 3/8 in
    too far out. The frame tells, stage 3."""
    for mark, out in (("FL", "-3/8"), ("BL", "-3/8"), ("FR", "3/8"), ("BR", "3/8")):
        alike = job("threshold_bench").alike
        assert alike is not None
        (one,) = alike.mistakes(mark)
        assert (one.way.words, one.way.out, one.found) == ("turned a quarter round", (0, inches(out)), 3)


def test_a_tapered_leg_on_the_wrong_mortise() -> None:
    """By hand, as above: middles 8 + 24/2 = 20 mm from the outside of a leg of 48, which stands 48 - 2 * 20 = 8 mm too
    far out. Upside down its taper, 28 of 48 left, has no wood where the tenon would be."""
    alike = job("sorting_table").alike
    assert alike is not None
    told = [(one.way.words, one.way.out, one.found) for one in alike.mistakes("FL")]
    assert told == [("turned a quarter round", (0, -Length(8)), 3)]


def test_posts_and_rails_of_the_plate_rack_upside_down() -> None:
    """By hand. End rails begin 5 and 18-1/4 in up a post of 24 and are 1-1/2 wide: from its top it is 4-1/4 and 17-1/2
    to them, so that upside down the post sits 3/4 in too high. Slats begin 7/8 in over the lower edge of a rail of 2
    and are 1/2 thick, 5/8 under the upper one: upside down it sits 1/4 in too high. Stage 5 tells."""
    for mark, stage, out in (("LF", 1, "3/4"), ("RB", 2, "3/4"), ("FU", 3, "1/4"), ("FD", 4, "1/4")):
        alike = job("plate_rack").alike
        assert alike is not None
        told = {(m.stage, m.found) for m in alike.mistakes(mark) if m.way.out == (2, inches(out))}
        assert told == {(stage, 5)}
        assert all("upside down" in m.way.words for m in alike.mistakes(mark) if m.way.out is not None)


def test_what_the_sheet_says_of_a_piece_out_of_line() -> None:
    ways = told_of(job("plate_rack").alike, "FU")  # type: ignore[arg-type]
    assert [way_words(job("plate_rack"), way) for way in ways] == [
        "face edge up; mortises nearer the top. Also goes in upside down (¹⁄₄ in too high): found only at stage 5, "
        "Final glue-up, after 30 h in the clamps."
    ]


def inches(words: str) -> Length:
    return Length.inches(words) if words[0] != "-" else -Length.inches(words[1:])


# By brute force: all 24 rotations as matrices, meshes of another library.

ROTATIONS = [
    matrix
    for order in itertools.permutations(range(3))
    for signs in itertools.product((1, -1), repeat=3)
    if round(float(np.linalg.det(matrix := np.eye(3)[list(order)] * np.array(signs)[:, None]))) == 1
]


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


@pytest.mark.parametrize("name", ["threshold_bench", "spice_cabinet", "potting_table", "plate_rack"])
def test_mistakes_by_brute_force(name: str) -> None:
    """For every piece and every rotation that brings its stock back into its place with the grain along: it is a
    mistake of its stage exactly where it shares no more wood with what is there than the right way does (a slack of
    half a millimetre each way at slopes) and yet is another piece of wood then. One that clashes there is slid along
    each axis, a step at a time, until it is in all of its joints again (`Joints.seated`)."""
    work = job(name)
    assert work.space is not None and work.alike is not None
    meshes = {mark: wood(work, mark) for mark in work.space.pieces}
    tried: set[object] = set()
    for mark, piece in work.space.pieces.items():
        meets = work.alike.meets(mark)
        key = (piece.part, meets.numbers, len(meets.groups[0]), frozenset(f.joint for f in piece.features))
        if key in tried:
            continue
        tried.add(key)
        fitting = work.alike.fitting
        shape, scale = fitting.shapes[fitting.index[mark]], float(fitting.ticks.per_mm)
        size = np.array(shape.body.size) / scale
        centre = (np.array(shape.body.lo) + np.array(shape.body.hi)) / 2 / scale
        bored = list(holes(piece))
        solid = (
            meshes[mark] - manifold3d.Manifold.batch_boolean(bored, manifold3d.OpType.Add) if bored else meshes[mark]
        )
        expected: list[tuple[int | None, tuple[float, ...]]] = []
        joints: Joints | None = None
        for matrix in ROTATIONS:
            if not np.allclose(abs(matrix) @ size, size) or not abs(matrix[shape.grain, shape.grain]):
                continue
            other = turned(solid, matrix, centre)
            if (other - solid).volume() < 1 and (solid - other).volume() < 1:
                continue
            plain = turned(meshes[mark], matrix, centre)
            out, stops = ZERO, stopped(meshes, mark, plain, meets)
            if stops == meets.numbers[0] and stops:
                joints = joints or Joints(work, meshes, mark, meets.groups[0])
                for out in joints.seated(plain):
                    stops = stopped(meshes, mark, moved_by(plain, out), meets)
                    break
            if stops != meets.numbers[0]:
                expected.append((stops, tuple(round(float(v), 3) + 0.0 for v in out)))
        found = [(one.found, shift(one.way.out)) for one in work.alike.mistakes(mark)]
        assert sorted(map(str, found)) == sorted(map(str, expected)), mark
    assert len(tried) > 5


ZERO = np.zeros(3)
STEP = {"in": 25.4 / 8, "mm": 2.0}  # every size of the samples that matters here is a whole number of them
FARTHEST = 25.0  # mm: what is farther out of line is seen at a glance (our own measure)


def shift(out: tuple[int, Length] | None) -> tuple[float, ...]:
    return tuple(round(float(out[1].mm), 3) if out is not None and k == out[0] else 0.0 for k in range(3))


def stopped(meshes: dict[str, manifold3d.Manifold], mark: str, moved: manifold3d.Manifold, meets: Meets) -> int | None:
    """The first stage whose pieces it shares more wood with than the right way does."""
    for number, group in zip(meets.numbers, meets.groups, strict=True):
        clash = sum((moved ^ meshes[o]).volume() - (meshes[mark] ^ meshes[o]).volume() for o in group)
        if clash > 1:
            return number
    return None


class Joints:
    """The joints of a piece in its own stage, as it lies when it is right."""

    def __init__(self, job: Job, meshes: dict[str, manifold3d.Manifold], mark: str, group: Iterable[str]) -> None:
        assert job.alike is not None
        fitting, scale = job.alike.fitting, float(job.alike.fitting.ticks.per_mm)
        self.mine, self.step = box(fitting.solids[fitting.index[mark]].body, scale), STEP[job.build.units]
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


def moved_by(wood: manifold3d.Manifold, by: np.ndarray) -> manifold3d.Manifold:
    return wood.translate([float(v) for v in by])


def box(body: Box, scale: float) -> manifold3d.Manifold:
    size = [(hi - lo) / scale for lo, hi in zip(body.lo, body.hi, strict=True)]
    return manifold3d.Manifold.cube(size).translate([v / scale for v in body.lo])


def grown(wood: manifold3d.Manifold) -> manifold3d.Manifold:
    """The box round it, a little larger."""
    x0, y0, z0, x1, y1, z1 = wood.bounding_box()
    return manifold3d.Manifold.cube([x1 - x0 + 2, y1 - y0 + 2, z1 - z0 + 2]).translate([x0 - 1, y0 - 1, z0 - 1])
