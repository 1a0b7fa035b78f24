"""Splined edge joints by hand: two grooves, and the slip of wood that fills them."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.documents.job import make_job
from shopdocs.documents.shopping import shopping_list
from shopdocs.model.joining import Joint, JointKind
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.kinds.kind import Stated
from shopdocs.model.parts import Direction, Part, Piece
from shopdocs.pipeline import check_build
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import joined_pieces, work_out
from shopdocs.work.space.placed import Cuboid, PlacedPiece, Pose, Scene, Toward
from tests.meshes import of_boxes
from tests.work.scenes import spot

X, Y, Z = (Toward(direction) for direction in Direction)
SIZES = JointSizes(JointKind.SPLINED_EDGE_JOINT, Length(8), length=Length(22), room=Length("1.5"), name="1")


def two_boards(on_end: bool = False) -> list[PlacedPiece]:
    """Boards 24 x 150 x 900 edge to edge, the face edge of the second on the far edge of the first; or end to end."""
    size = (Length(900), Length(150), Length(24))
    second = spot(900, 0, 0) if on_end else spot(0, 150, 0)
    return [PlacedPiece(m, "board", at, *size, Pose(X, Y, Z)) for m, at in (("B", spot(0, 0, 0)), ("C", second))]


def test_a_splined_edge_joint_by_hand() -> None:
    """8 in the middle of 24: from 8 to 16 off the face side. Half of the spline is 11, and 1.5 of room: 12.5 deep in
    either, 137.5 to 150 off the face edge of the first board, 0 to 12.5 of the second.

    Glue: both sides of the spline, 2 x 22, and 24 - 8 = 16 of the edges, 900 long: 60 x 900 = 54000 square mm. Only the
    edges are pressed together, 16 x 900 = 14400."""
    one, two = two_boards()
    joinery = work_out(one, two, SIZES)
    (mine,), (theirs,) = joinery.entering, joinery.receiving
    assert isinstance(mine, Cuboid)
    assert isinstance(theirs, Cuboid)
    assert (mine.lo, mine.hi) == (spot(0, "137.5", 8), spot(900, 150, 16))
    assert (theirs.lo, theirs.hi) == (spot(0, 0, 8), spot(900, "12.5", 16))
    assert (joinery.glue_area, joinery.long_grain, joinery.added, joinery.doubts) == (54000, 14400, Length(0), ())
    parts = [Part(name, "elm", Length(24), Length(150), Length(900), (Piece(name, name),)) for name in "BC"]
    joint = Joint("seam", JointKind.SPLINED_EDGE_JOINT, (), thickness=Length(8), length=Length(22))
    assert KINDS[joint.kind].glue_area(Stated(joint, Length(22), None, Length(0)), *parts) == 54000


def test_end_grain_takes_no_pressure() -> None:
    """End to end nothing of the seam is long grain against long grain."""
    assert work_out(*two_boards(on_end=True), SIZES).long_grain == 0


@pytest.mark.parametrize("on_end", [False, True])
def test_the_spline_lies_in_both_grooves(on_end: bool) -> None:
    """Both grooves together are 8 thick and 25 wide: 22 of spline, and 1.5 of room at either floor (manifold3d)."""
    pieces, _ = joined_pieces(two_boards(on_end), [("B", "C", SIZES)])
    scene = Scene.of(pieces)
    one, two = (of_boxes(solid) for solid in scene.solids)
    bodies = sum(solid.body.volume for solid in scene.solids)
    run = 150 if on_end else 900
    assert bodies - (one + two).volume() == pytest.approx(8 * 25 * run * scene.ticks.per_mm**3, rel=1e-9)


def test_the_splines_are_on_the_list(tmp_path: Path) -> None:
    """Two seams, one spline each: 8 thick, 22 wide, 900 long."""
    path = tmp_path / "build.yaml"
    path.write_text(
        "build: {title: Top, mark: T, units: mm}\n"
        "materials: {elm: {kind: hardwood, rough: 34}}\n"
        "parts: {board: {material: elm, size: 24 x 150 x 900, pieces: [B1, B2, B3]}}\n"
        "joints: {seams: {kind: splined edge joint, pieces: [B1 into B2, B2 into B3], thickness: 8, length: 22}}\n",
        "utf-8",
    )
    build, shop, problems = check_build(str(path))
    assert problems == ()
    assert build is not None
    job = make_job(build, shop, build.display, "", "a4-21")
    lists = [block for block in walk(shopping_list(job).blocks) if isinstance(block, Checklist)]
    told = [plain(step.text) for each in lists for step in each.steps]
    assert "2 × spline 8 mm × 22 mm × 900 mm" in told
