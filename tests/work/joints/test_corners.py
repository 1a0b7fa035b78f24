"""Corners that both pieces run through: no wood twice, no gap, in every pose (manifold3d), and by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.core.length import Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import Face, Joint, JointKind
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.kinds.finger_joint import fingers
from shopdocs.model.kinds.kind import Stated
from shopdocs.model.parts import Direction, Part, Piece
from shopdocs.work.joints.frame import Joinery, JointSizes
from shopdocs.work.joints.joinery import joined_pieces, work_out
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Cuboid, PlacedPiece, Pose, Scene, Toward
from tests.meshes import of_boxes
from tests.work.scenes import spot

X, Y, Z = Direction


def box_corner(side_ends: bool = True, end_ends: bool = True, upright: bool = True) -> tuple[PlacedPiece, PlacedPiece]:
    """A side 240 x 84 x 12 along x and an end 180 x 84 x 15 along y; both run through the corner at the front left. End
    A at the corner where True, the face edge low where `upright`."""
    side = Pose(Toward(X, side_ends), Toward(Z, upright), Toward(Y, side_ends == upright))
    end = Pose(Toward(Y, end_ends), Toward(Z, upright), Toward(X, end_ends == upright))
    return (
        PlacedPiece("S", "side", spot(0, 0, 0), Length(240), Length(84), Length(12), side),
        PlacedPiece("E", "end", spot(0, 0, 0), Length(180), Length(84), Length(15), end),
    )


def cuts(joinery: Joinery) -> tuple[list[Cuboid], list[Cuboid]]:
    mine, theirs = ([f for f in side if isinstance(f, Cuboid)] for side in (joinery.entering, joinery.receiving))
    return mine, theirs


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("end_ends", [False, True])
@pytest.mark.parametrize("side_ends", [False, True])
@pytest.mark.parametrize(("count", "width"), [(1, None), (2, None), (7, None), (6, None), (1, 10), (1, 28)])
def test_fingers_fill_their_corner(
    count: int, width: int | None, side_ends: bool, end_ends: bool, upright: bool
) -> None:
    """Whatever is cut away from one piece is wood of the other: together they are the block and both arms, once."""
    sizes = JointSizes(JointKind.FINGER_JOINT, count=count, width=Length(width) if width else None)
    pieces, (joinery,) = joined_pieces(box_corner(side_ends, end_ends, upright), [("S", "E", sizes)])
    scene = Scene.of(pieces)
    one, two = of_boxes(scene.solids[0]), of_boxes(scene.solids[1])
    assert (one ^ two).volume() == pytest.approx(0, abs=1e-6)
    per_mm = scene.ticks.per_mm
    # 240 x 84 x 12 + 180 x 84 x 15, less the corner of 12 x 15 x 84 that they share
    assert (one + two).volume() / per_mm**3 == pytest.approx(241_920 + 226_800 - 15_120)
    assert joinery.enters is (Face.A if side_ends else Face.B)
    assert joinery.meets is (Face.A if end_ends else Face.B)
    pair = find_contacts(scene).between("S", "E")
    assert pair is not None
    assert find_contacts(scene).area(pair) == joinery.glue_area


def test_fingers_by_hand() -> None:
    """Seven fingers in 84: 12 each. The side has the first, third, fifth and seventh, and three notches from 12 to 24,
    36 to 48 and 60 to 72 across, 15 long, for the end is 15 thick; the end has four, 12 long.

    Glue: six sides of 12 x 15 = 1080, of long grain; the side's fingers stand on 4 x 12 x 15 = 720 of the end, the
    end's three on 3 x 12 x 12 = 432 of the side. Together 2232."""
    side, end = box_corner()
    joinery = work_out(side, end, JointSizes(JointKind.FINGER_JOINT, count=7, name="1"))
    mine, theirs = cuts(joinery)
    assert [(cut.lo, cut.hi) for cut in mine] == [
        (spot(0, 12, 0), spot(15, 24, 12)),
        (spot(0, 36, 0), spot(15, 48, 12)),
        (spot(0, 60, 0), spot(15, 72, 12)),
    ]
    assert [(cut.lo[1], cut.hi[1]) for cut in theirs] == [
        (Length(0), Length(12)),
        (Length(24), Length(36)),
        (Length(48), Length(60)),
        (Length(72), Length(84)),
    ]
    assert all((cut.lo[0], cut.hi[0], cut.lo[2], cut.hi[2]) == spot_ends(12, 15) for cut in theirs)
    assert (joinery.glue_area, joinery.long_grain, joinery.doubts, joinery.added) == (2232, 1080, (), Length(0))


def spot_ends(along: int, deep: int) -> tuple[Length, Length, Length, Length]:
    return Length(0), Length(along), Length(0), Length(deep)


def test_fingers_are_counted_from_the_face_edge() -> None:
    """Turned upside down, the side still has the first finger at its face edge, now at the top."""
    side, end = box_corner(upright=False)
    mine, _ = cuts(work_out(side, end, JointSizes(JointKind.FINGER_JOINT, width=Length(24))))
    # 84 / 24: three of 24 and one of 12, the first from 0, so the notches are 24 to 48 and 72 to 84
    assert [(cut.lo[1], cut.hi[1]) for cut in mine] == [(Length(24), Length(48)), (Length(72), Length(84))]


@pytest.mark.parametrize(
    ("across", "thick", "count"),
    # an odd number, each about as wide as the wood is thick (common practice, no source): 84 / 12 is 7; 90 / 12 is 7.5,
    # and 7 is nearer than 9; 20 / 18 would be one, and three is the least
    [(84, 12, 7), (90, 12, 7), (100, 12, 9), (20, 18, 3)],
)
def test_fingers_without_a_size(across: int, thick: int, count: int) -> None:
    found = fingers(Length(across), 1, None, Length(thick))
    assert len(found) == count
    assert {high - low for low, high in found} == {Length(Fraction(across, count))}


def test_what_is_wrong_with_fingers_is_told() -> None:
    side, end = box_corner()

    def told(**sizes: object) -> list[tuple[str, Severity]]:
        joinery = work_out(side, end, JointSizes(JointKind.FINGER_JOINT, **sizes))  # type: ignore[arg-type]
        return [(doubt.code, doubt.severity) for doubt in joinery.doubts]

    assert told(width=Length(50)) == [("fingers-do-not-fit", Severity.ERROR)]  # twice 50 is more than 84
    assert told(width=Length(Fraction(1, 2))) == [("fingers-do-not-fit", Severity.ERROR)]  # 168 of them
    assert told(width=Length(10), count=7) == [("fingers-do-not-fit", Severity.ERROR)]  # 70, not 84
    assert told(width=Length(12), count=7) == []
    assert told(count=42) == [("thin-finger", Severity.WARNING)]  # 2 wide
    assert told(width=Length(20)) == [("odd-finger", Severity.WARNING)]  # the last is 4 wide
    apart = PlacedPiece("E", "end", spot(0, 12, 0), end.length, end.width, end.thickness, end.pose)
    short = PlacedPiece("E", "end", spot(0, 3, 0), end.length, end.width, end.thickness, end.pose)
    for other, words in ((apart, "only touches"), (short, "reaches 9 mm into")):
        doubts = work_out(side, other, JointSizes(JointKind.FINGER_JOINT, count=7)).doubts
        assert [doubt.code for doubt in doubts] == ["not-at-a-corner"]
        assert words in doubts[0].wrong
    flat = Pose(Toward(X), Toward(Y), Toward(Z)), Pose(Toward(Y), Toward(X), Toward(Z))
    size = (Length(300), Length(50), Length(20))
    one, two = (PlacedPiece(pose.length.direction, "rail", spot(0, 0, 0), *size, pose) for pose in flat)
    doubts = work_out(one, two, JointSizes(JointKind.FINGER_JOINT)).doubts
    assert [doubt.code for doubt in doubts] == ["fingers-flat"]


def test_the_glue_of_fingers_is_the_same_without_places() -> None:
    """The 2232 of the corner above, from the sizes alone."""
    parts = [
        Part(name, "ash", Length(thick), Length(84), Length(240), (Piece(name, name),))
        for name, thick in (("S", 12), ("E", 15))
    ]
    joint = Joint("corner", JointKind.FINGER_JOINT, (), count=7)
    assert KINDS[joint.kind].glue_area(Stated(joint, None, None, Length(0)), *parts) == 2232
