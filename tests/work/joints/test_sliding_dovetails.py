"""Sliding dovetails by hand: tail and trench, the one way in, and what is told of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.fitting.joint_cuts import cut_words
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import Job, make_job
from shopdocs.model.build import Build
from shopdocs.model.joining import Face, Joint, JointKind
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.kinds.kind import Stated
from shopdocs.model.parts import Direction, Part, Piece
from shopdocs.pipeline import check_build
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import joined_pieces, work_out
from shopdocs.work.space.placed import Cuboid, PlacedPiece, Pose, Scene, Toward
from tests.meshes import of_cells
from tests.work.scenes import spot

X, Y, Z = (Toward(direction) for direction in Direction)


def shelf_and_side() -> tuple[PlacedPiece, PlacedPiece]:
    """A shelf 18 x 230 x 500 against the inner face of a side 20 x 250 x 600, flush with it behind."""
    side = PlacedPiece("S", "side", spot(0, 0, 0), Length(600), Length(250), Length(20), Pose(Z, Y, X))
    return PlacedPiece("H", "shelf", spot(20, 20, 150), Length(500), Length(230), Length(18), Pose(X, Y, Z)), side


def sizes(**more: object) -> JointSizes:
    return JointSizes(JointKind.SLIDING_DOVETAIL, depth=Length(7), name="1", **more)  # type: ignore[arg-type]


def test_a_sliding_dovetail_by_hand() -> None:
    """7 deep at 1 in 8: 7/8 = 0.875 on either side, so the tail is 18 thick at its end and 16.25 at its shoulders.

    The trench is 7 deep in the face of the side that looks to the shelf, 150 to 168 from end A at its floor, from 20 to
    250 off the face edge: open behind. Two walls 7 x 230 and the floor 18 x 230: (14 + 18) x 230 = 7360 square mm."""
    shelf, side = shelf_and_side()
    joinery = work_out(shelf, side, sizes())
    (tail,), (trench,) = joinery.entering, joinery.receiving
    assert isinstance(tail, Cuboid)
    assert isinstance(trench, Cuboid)
    assert (tail.lo, tail.hi) == (spot(-7, 0, 0), spot(0, 230, 18))
    assert (trench.lo, trench.hi) == (spot(150, 20, 13), spot(168, 250, 20))
    assert tail.flare is not None
    assert trench.flare is not None
    assert (tail.flare.by, tail.flare.at) == (Length("0.875"), Face.B)
    assert (trench.flare.by, trench.flare.at) == (Length("0.875"), joinery.meets)
    assert (joinery.added, joinery.glue_area, joinery.long_grain, joinery.doubts) == (Length(7), 7360, 0, ())
    parts = [
        Part(name, "oak", Length(thick), Length(wide), Length(500), (Piece(name, name),))
        for name, thick, wide in (("H", 18, 230), ("S", 20, 250))
    ]
    joint = Joint("shelves", JointKind.SLIDING_DOVETAIL, (), depth=Length(7))
    assert KINDS[joint.kind].glue_area(Stated(joint, None, Length(7), Length(0)), *parts) == joinery.glue_area


def test_the_wood_of_the_tail_is_a_trapezium() -> None:
    """(18 + 16.25) / 2 x 7 = 119.875 square mm, 230 long: as much stands out of the shelf as is cut out of the side
    (manifold3d), and no wood is there twice."""
    pieces, _ = joined_pieces(shelf_and_side(), [("H", "S", sizes())])
    scene = Scene.of(pieces)
    per_mm = scene.ticks.per_mm
    one, two = (of_cells(solid, per_mm) for solid in scene.solids)
    wood = 119.875 * 230
    assert one.volume() == pytest.approx(18 * 230 * 500 + wood, rel=1e-6)
    assert two.volume() == pytest.approx(20 * 250 * 600 - wood, rel=1e-6)
    assert (one ^ two).volume() == pytest.approx(0, abs=0.01)


def test_a_stopped_one_keeps_clear_of_the_face_edge() -> None:
    """Of 230 the 200 at the back go in: 30 of the shelf at its face edge, which looks to the front, meets the side
    plain."""
    (tail,) = work_out(*shelf_and_side(), sizes(width=Length(200))).entering
    assert isinstance(tail, Cuboid)
    assert (tail.lo[1], tail.hi[1]) == (Length(30), Length(230))


BUILD = """
build: {title: Shelves, mark: SH, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 27}}
parts:
  side:
    material: oak
    size: 20 x 250 x 600
    runs: {length: z, width: y}
    pieces: {SL: {x: 0, y: 0, z: 0}, SR: {x: 520, y: 0, z: 0}}
  shelf:
    material: oak
    size: 18 x 230 x 500
    runs: {length: x, width: y}
    pieces: {S1: {x: 20, y: 20, z: 150}, S2: {x: 20, y: 20, z: 400}}
joints:
  shelves: {kind: sliding dovetail, from: shelf, into: side, depth: 7, slope: 7}
gluing: {adhesive: slow epoxy, stages: [{title: Case, pieces: [SL, SR, S1, S2]}]}
"""


def _built(tmp_path: Path) -> tuple[Build, Job]:
    path = tmp_path / "build.yaml"
    path.write_text(BUILD, "utf-8")
    build, shop, problems = check_build(str(path))
    assert problems == ()
    assert build is not None
    return build, make_job(build, shop, build.display, "", "a4-21")


def test_shelves_slide_in_from_behind_and_wait_for_no_clamp(tmp_path: Path) -> None:
    """The trenches stop 20 short of the front, so shelves can only come from the rear, and sides over shelves only from
    the front; no joint is drawn together by a clamp."""
    _, job = _built(tmp_path)
    steps = [step for block in walk(glue_up(job).blocks) if isinstance(block, Checklist) for step in block.steps]
    told = [plain(step.text) for step in steps]
    ways = [words for words in told if " into S" in words or " over S" in words]
    assert len(ways) >= 3
    assert all(words.endswith(", from the rear") == (" into " in words) for words in ways)
    assert all(words.endswith(", from the front") == (" over " in words) for words in ways)
    assert [clamping.count for clamping in job.clampings.values()] == [0]


def test_the_cut_list_adds_both_tails(tmp_path: Path) -> None:
    """500 between the sides and 7 at either end: 514."""
    _, job = _built(tmp_path)
    rows = [row for group in job.groups for row in group.rows if row.part.name == "shelf"]
    assert {row.joinery.length for row in rows} == {Length(514)}


def test_words_tell_mouth_floor_and_neck(tmp_path: Path) -> None:
    """What is knifed on the face is the mouth: 18 - 2 x 7/7 = 16 wide, from 151 to 167 off end A."""
    _, job = _built(tmp_path)
    assert job.space is not None
    shelf, side = (job.space.pieces[mark] for mark in ("S1", "SL"))
    (tail,) = [cuboid for cuboid in shelf.cuboids if cuboid.joint == "1"]
    (trench,) = [cuboid for cuboid in side.cuboids if cuboid.joint == "1"]
    assert cut_words(job, [tail], shelf) == "sliding tail 18 × 230 × 7, 16 thick at its shoulders"
    assert cut_words(job, [trench], side) == "dovetail trench 16 × 230, 7 deep, 18 wide at its floor"
    (shown,) = [shown for shown in Gauged(side).shown if shown.cuboid == trench]
    assert (shown.lo[0], shown.hi[0]) == (Length(151), Length(167))
