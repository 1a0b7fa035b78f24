"""Joints worked out by hand, and for every kind in every pose: the wood of both pieces never claims the same space, and
the joint closes without a gap (manifold3d)."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.core.length import Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import Face, JointKind
from shopdocs.model.kinds.kind import Stated
from shopdocs.model.kinds.tenoned import tenon_area
from shopdocs.model.parts import Direction
from shopdocs.pipeline import check_build
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import added_at, cuts_run_together, cuts_that_meet, joined_pieces, work_out
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Bore, Cuboid, PlacedPiece, Pose, Scene, Spot, Toward
from tests.meshes import of_boxes
from tests.work.scenes import spot

X, Y, Z = (Toward(d) for d in Direction)
STANDING = Pose(Z, X, Y)
LYING = Pose(X, Z, Y)
FRONT_TO_BACK = Pose(Y, Z, X)


def inches(*values: str | int) -> Spot:
    a, b, c = (Length.inches(v) for v in values)
    return (a, b, c)


def _inch(values) -> tuple[Fraction, ...]:
    return tuple(v.inch for v in values)


def _bench_corner() -> list[PlacedPiece]:
    """The front left corner of a bench 44 x 15 x 18 in: legs 1-3/4 square and 17-1/8 long (18 less a top of 7/8), long
    rail 7/8 x 3-1/2 set back 1/4 from the legs' faces, short rail likewise."""
    leg = PlacedPiece("FL", "leg", inches(0, 0, 0), *inches("137/8", "7/4", "7/4"), STANDING)
    # 44 - 2 x 1-3/4 = 40-1/2 between the legs; 17-1/8 - 3-1/2 = 13-5/8 from the floor
    long_rail = PlacedPiece("RF", "rail", inches("7/4", "1/4", "109/8"), *inches("81/2", "7/2", "7/8"), LYING)
    # 15 - 2 x 1-3/4 = 11-1/2
    short_rail = PlacedPiece("RL", "rail", inches("1/4", "7/4", "109/8"), *inches("23/2", "7/2", "7/8"), FRONT_TO_BACK)
    right = PlacedPiece("FR", "leg", inches("169/4", 0, 0), *inches("137/8", "7/4", "7/4"), STANDING)
    return [leg, right, long_rail, short_rail]


TENON = JointSizes(
    JointKind.MORTISE_AND_TENON,
    thickness=Length.inches("3/8"),
    length=Length.inches("5/4"),
    shoulder=Length.inches("3/8"),
    name="1",
)


def test_bench_corner_by_hand():
    """Tenon 3/8 x 1-1/4, shoulders 3/8 above and below, central in the 7/8 rail.

    In the leg, from its face side (y = 0): rail from 1/4 to 1-1/8, middle 11/16, so the mortise runs from 1/2 to 7/8.
    From end A (the floor): 13-5/8 + 3/8 = 14 to 17-1/8 - 3/8 = 16-3/4. It is cut 1-1/4 deep from the far edge, that is
    from 1/2 to 1-3/4 off the face edge. Wood left: 1/2 in front (12.7 mm), 7/8 behind, 1/2 under the mortise, and above
    it 3/8 (9.5 mm) to the leg's top: no doubts.
    """
    leg, _, rail, _ = _bench_corner()
    joinery = work_out(rail, leg, TENON)
    assert (joinery.enters, joinery.meets) == (Face.A, Face.FAR_EDGE)
    (mortise,) = joinery.receiving
    assert isinstance(mortise, Cuboid)
    assert _inch(mortise.lo) == (14, Fraction(1, 2), Fraction(1, 2))
    assert _inch(mortise.hi) == (Fraction(67, 4), Fraction(7, 4), Fraction(7, 8))
    (tenon,) = joinery.entering
    assert isinstance(tenon, Cuboid)
    assert _inch(tenon.lo) == (Fraction(-5, 4), Fraction(3, 8), Fraction(1, 4))
    assert _inch(tenon.hi) == (0, Fraction(25, 8), Fraction(5, 8))
    assert joinery.doubts == ()
    # two cheeks of 1-1/4 x 2-3/4 = 6-7/8 sq in, two edges of 1-1/4 x 3/8 = 15/16 sq in
    square_inch = Length.inches(1).mm ** 2
    assert joinery.long_grain / square_inch == Fraction(55, 8)
    assert joinery.glue_area / square_inch == Fraction(55, 8) + Fraction(15, 16)


def size_with_joinery(piece: PlacedPiece) -> list[Length]:
    """Length, width and thickness with what stands out of all six faces."""
    faces = ((Face.A, Face.B), (Face.EDGE, Face.FAR_EDGE), (Face.FACE, Face.BACK))
    return [size + added_at(piece, a) + added_at(piece, b) for size, (a, b) in zip(piece.size, faces, strict=True)]


def test_cut_lengths_by_hand():
    """Long rail: 40-1/2 between shoulders and a tenon of 1-1/4 at both ends: 43. Short rail: 11-1/2 + 1-1/4 = 12-3/4 at
    one end only."""
    pieces, _ = joined_pieces(_bench_corner(), [("RF", "FL", TENON), ("RF", "FR", TENON), ("RL", "FL", TENON)])
    by_mark = {piece.mark: piece for piece in pieces}
    assert _inch(size_with_joinery(by_mark["RF"])) == (43, Fraction(7, 2), Fraction(7, 8))
    assert _inch(size_with_joinery(by_mark["RL"])) == (Fraction(51, 4), Fraction(7, 2), Fraction(7, 8))
    assert added_at(by_mark["RL"], Face.A) == Length.inches("5/4")
    assert added_at(by_mark["RL"], Face.B) == Length(0)


def test_tenons_that_meet_inside_a_leg():
    """The tenon from x takes x 1/2..1-3/4, y 1/2..7/8, the one from y takes x 1/2..7/8, y 1/2..1-3/4: they share
    3/8 x 3/8 at the same height. Half an inch long, they end at x 1-1/4 and y 1-1/4 and are 3/8 in apart."""
    names = (("RF", "FL", "1"), ("RL", "FL", "2"))
    for length, codes in (("5/4", ["joints-meet-inside"]), ("1/2", [])):
        sizes = [
            JointSizes(JointKind.MORTISE_AND_TENON, TENON.thickness, length=Length.inches(length), name=name)
            for *_, name in names
        ]
        pieces, _ = joined_pieces(_bench_corner(), [(a, b, s) for (a, b, _), s in zip(names, sizes, strict=True)])
        doubts = cuts_that_meet(next(piece for piece in pieces if piece.mark == "FL"))
        assert [doubt.code for doubt in doubts] == codes
        if codes:
            assert "3/8 in" in doubts[0].wrong


@pytest.mark.parametrize(("length", "pairs"), [("13/16", []), ("7/8", []), ("15/16", [("1", "2")])])
def test_mortises_that_touch_do_not_run_together(length: str, pairs: list[tuple[str, str]]) -> None:
    """The mortises of both rails run into the leg from 1-3/4 and are at 1/2 to 7/8: 7/8 long they touch there."""
    sizes = [
        JointSizes(JointKind.MORTISE_AND_TENON, TENON.thickness, length=Length.inches(length), name=n) for n in "12"
    ]
    pieces, _ = joined_pieces(_bench_corner(), [("RF", "FL", sizes[0]), ("RL", "FL", sizes[1])])
    assert list(cuts_run_together(next(piece for piece in pieces if piece.mark == "FL"))) == pairs


def test_through_tenon_stands_proud_and_haunch_fills_the_top():
    leg, _, rail, _ = _bench_corner()
    proud = work_out(rail, leg, JointSizes(JointKind.THROUGH_TENON, Length(10), proud=Length(3)))
    # leg 1-3/4 in = 44.45 mm, 3 mm past it
    assert proud.added == Length("47.45")
    # rail 3-1/2 in, haunch a third of it to the sixteenth: 56/3 = 18.67 -> 19/16 in at the top, under the leg's end
    haunched = work_out(
        rail,
        leg,
        JointSizes(JointKind.MORTISE_AND_TENON, Length(10), length=Length(30), shoulder=Length(0), haunch=Length(8)),
    )
    tenon, haunch = haunched.entering
    assert isinstance(tenon, Cuboid)
    assert isinstance(haunch, Cuboid)
    assert haunch.hi[1] == rail.width
    assert haunch.size[1] == Length.inches("19/16")
    assert haunch.size[0] == Length(8)
    assert tenon.hi[1] == haunch.lo[1]


def test_joints_that_cannot_be():
    leg, _, rail, _ = _bench_corner()

    def codes(entering: PlacedPiece, receiving: PlacedPiece, **sizes: Length) -> dict[str, Severity]:
        joinery = work_out(entering, receiving, JointSizes(JointKind.MORTISE_AND_TENON, **sizes))
        return {doubt.code: doubt.severity for doubt in joinery.doubts}

    assert codes(rail, leg, thickness=Length.inches(1))["tenon-too-thick"] is Severity.ERROR
    # 1-3/4 in leg, tenon 1-5/8 deep: 1/8 in (3.2 mm) is left
    assert codes(rail, leg, length=Length.inches("13/8")) == {"thin-floor": Severity.WARNING}
    assert codes(rail, leg, length=Length.inches(2))["thin-floor"] is Severity.ERROR
    wide = PlacedPiece("W", "rail", inches("7/4", 0, 5), *inches(20, 3, 2), LYING)
    assert codes(wide, leg)["wider-than-its-mate"] is Severity.ERROR
    front = PlacedPiece("W", "rail", inches("7/4", 0, 5), *inches(20, 3, "1/2"), LYING)
    # central in 1/2 in: tenon 3/16, 5/32 in (4 mm) in front of the mortise
    assert codes(front, leg)["thin-wall"] is Severity.WARNING
    far = PlacedPiece("F", "rail", inches(2, 0, 5), *inches(20, 3, 1), LYING)
    joinery = work_out(far, leg, JointSizes(JointKind.MORTISE_AND_TENON))
    assert [d.code for d in joinery.doubts] == ["not-touching"]
    assert "1/4 in apart" in joinery.doubts[0].wrong


def test_a_joint_written_the_wrong_way_round_says_so():
    """The rail's end, 7/8 by 3-1/2, stands against the side of a leg 17-1/8 by 1-3/4: it is the rail that goes in."""
    leg, _, rail, _ = _bench_corner()
    sizes = JointSizes(JointKind.MORTISE_AND_TENON)
    assert "wider-than-its-mate" not in {doubt.code for doubt in work_out(rail, leg, sizes).doubts}
    (doubt,) = [doubt for doubt in work_out(leg, rail, sizes).doubts if doubt.code == "wider-than-its-mate"]
    assert doubt.wrong == "the end of RF lies against FL, so it is RF that goes in"
    assert doubt.right == "swap the two: RF into FL"


def test_dovetails_by_hand():
    """A drawer side 120 wide, 12 thick, into a front 20 thick with a lap of 5: tails 15 long. Three tails: spacing 40,
    tails 30 wide at their end; 1 in 8 over 15 mm is 1.875 a side. Pins: 5 at each edge, 10 between."""
    side = PlacedPiece("S", "side", spot(0, 20, 0), Length(300), Length(120), Length(12), Pose(Y, Z, X))
    front = PlacedPiece("F", "front", spot(0, 0, 0), Length(400), Length(120), Length(20), LYING)
    joinery = work_out(side, front, JointSizes(JointKind.DOVETAIL, length=Length(15), count=3))
    assert joinery.doubts == ()
    assert [(f.lo[1], f.hi[1]) for f in joinery.entering if isinstance(f, Cuboid)] == [
        (Length(5), Length(35)),
        (Length(45), Length(75)),
        (Length(85), Length(115)),
    ]
    for tail, socket in zip(joinery.entering, joinery.receiving, strict=True):
        assert isinstance(tail, Cuboid)
        assert isinstance(socket, Cuboid)
        assert tail.flare is not None
        assert socket.flare is not None
        assert tail.flare.by == socket.flare.by == Length("1.875")
        assert socket.lo[0] == Length(0)
        assert socket.hi[0] == Length(12)


def test_dowels_by_hand():
    """Two dowels 10 x 40 in the end of a rail 80 wide: at 20 and 60 from its edge, in the middle of its 24 mm."""
    rail = PlacedPiece("R", "rail", spot(50, 0, 0), Length(300), Length(80), Length(24), LYING)
    leg = PlacedPiece("L", "leg", spot(0, 0, 0), Length(400), Length(50), Length(50), STANDING)
    joinery = work_out(rail, leg, JointSizes(JointKind.DOWELS, Length(10), length=Length(40), count=2))
    assert [f.centre for f in joinery.entering if isinstance(f, Bore)] == [spot(0, 20, 12), spot(0, 60, 12)]
    assert [f.centre for f in joinery.receiving if isinstance(f, Bore)] == [spot(20, 50, 12), spot(60, 50, 12)]
    assert {(f.face, f.depth) for f in joinery.receiving if isinstance(f, Bore)} == {(Face.FAR_EDGE, Length(20))}
    # two dowels, 10 mm x pi x 40 mm each
    assert float(joinery.glue_area) == pytest.approx(2 * 3.14159265 * 10 * 40, rel=1e-6)


def test_cross_lap_halves_both():
    """Two stretchers 40 x 20, crossing flat: each is cut 10 deep, 40 long; the one that enters stays on top."""
    one = PlacedPiece("A", "s", spot(0, 30, 0), Length(100), Length(40), Length(20), Pose(X, Y, Z))
    two = PlacedPiece("B", "s", spot(30, 0, 0), Length(100), Length(40), Length(20), Pose(Y, X, Z))
    joinery = work_out(one, two, JointSizes(JointKind.HALF_LAP))
    mine, theirs = joinery.entering[0], joinery.receiving[0]
    assert isinstance(mine, Cuboid)
    assert isinstance(theirs, Cuboid)
    assert (mine.lo, mine.hi) == (spot(30, 0, 0), spot(70, 40, 10))
    assert (theirs.lo, theirs.hi) == (spot(30, 0, 10), spot(70, 40, 20))
    assert joinery.glue_area == 1600


# Both pieces are written over the whole corner: tried in test_corners.py and test_mitres.py.
THROUGH_THE_CORNER = {JointKind.FINGER_JOINT, JointKind.SPLINED_MITRE, JointKind.KEYED_MITRE}


@pytest.mark.parametrize("kind", [kind for kind in JointKind if kind not in THROUGH_THE_CORNER])
@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize("handed", [False, True])
def test_every_joint_closes(kind, back, handed):
    """A rail against either side of a post, its end and the post's end level: entering wood fills what is cut away, so
    both together have no cavity and no doubled volume."""
    pose = Pose(Toward(Direction.X, not back), Toward(Direction.Z, handed), Toward(Direction.Y, not handed))
    rail = PlacedPiece("R", "rail", spot(40, 0, 240), Length(300), Length(60), Length(24), pose)
    post = PlacedPiece("P", "post", spot(0 if not back else 340, 0, 0), Length(300), Length(40), Length(24), STANDING)
    sizes = JointSizes(kind, length=Length(40) if kind is JointKind.SCREWED_BUTT else None, count=2)
    pieces, (joinery,) = joined_pieces([rail, post], [("R", "P", sizes)])
    assert joinery.enters in (Face.A, Face.B)
    assert joinery.meets is (Face.EDGE if back else Face.FAR_EDGE)
    assert joinery.glue_area > 0
    scene = Scene.of(pieces)
    one, two = of_boxes(scene.solids[0]), of_boxes(scene.solids[1])
    bodies = sum(solid.body.volume for solid in scene.solids)
    assert (one ^ two).volume() == pytest.approx(0, abs=1e-9 * bodies)
    hollow = 0  # what loose tenons and splines will fill
    if kind in (JointKind.LOOSE_TENON, JointKind.SPLINED_EDGE_JOINT):
        hollow = sum(cut.volume for solid in scene.solids for cut in solid.cuts)
    assert (one + two).volume() + hollow == pytest.approx(bodies, rel=1e-9)
    pair = find_contacts(scene).between("R", "P")
    assert pair is not None
    assert pair.area > 0
    for mine in joinery.entering:
        if isinstance(mine, Cuboid) and mine.adds:
            assert max(mine.hi[0] - rail.length, -mine.lo[0]) == joinery.added


@pytest.mark.parametrize("room", [0, 2])
@pytest.mark.parametrize("kind", [kind for kind in JointKind if kind not in THROUGH_THE_CORNER])
def test_what_a_joint_says_of_its_room_is_what_it_cuts(kind: JointKind, room: int) -> None:
    """How much deeper the cut in a post 40 wide is than what goes in there is long; where nothing goes in, none."""
    pose = Pose(Toward(Direction.X, True), Toward(Direction.Z, False), Toward(Direction.Y, True))
    rail = PlacedPiece("R", "rail", spot(40, 0, 240), Length(300), Length(60), Length(24), pose)
    post = PlacedPiece("P", "post", spot(0, 0, 0), Length(300), Length(40), Length(24), STANDING)
    joinery = work_out(rail, post, JointSizes(kind, length=Length(10), room=Length(room), count=2))
    long = max((-f.lo[0] for f in joinery.entering if isinstance(f, Cuboid) and f.adds), default=Length(0))
    deep = max((f.hi[1] - f.lo[1] for f in joinery.receiving if isinstance(f, Cuboid)), default=Length(0))
    assert joinery.added == long
    assert joinery.room == (deep - long if long else Length(0))


@pytest.mark.parametrize(
    ("length", "code"), [("5/4", "screw-too-short"), ("2", ""), ("5/2", ""), ("21/8", "screw-too-long")]
)
def test_a_screw_of_a_butt_ends_in_the_second_piece(length: str, code: str) -> None:
    """A leg 1-3/4 thick with its far edge at x = 1-3/4, a cleat 3/4 thick against it: together 2-1/2."""
    leg, *_ = _bench_corner()
    cleat = PlacedPiece("C", "cleat", inches("7/4", 0, 2), *inches(10, "7/4", "3/4"), Pose(Z, Y, X))
    joinery = work_out(cleat, leg, JointSizes(JointKind.SCREWED_BUTT, length=Length.inches(length)))
    assert [doubt.code for doubt in joinery.doubts] == ([code] if code else [])


@pytest.mark.parametrize(
    ("sizes", "told"),
    [
        (JointSizes(JointKind.DOVETAIL, count=2, length=Length(30)), {"tails-too-long"}),
        (JointSizes(JointKind.DOVETAIL, count=2, length=Length(14), proud=Length(3)), {"lapped-and-proud"}),
        (JointSizes(JointKind.DOVETAIL, count=2, length=Length(20), proud=Length(3)), set()),
        (JointSizes(JointKind.THROUGH_TENON, Length(8), length=Length(15), shoulder=Length(10)), {"through-length"}),
        (JointSizes(JointKind.THROUGH_TENON, Length(8), length=Length(20), shoulder=Length(10)), set()),
        (
            JointSizes(JointKind.THROUGH_TENON, Length(8), length=Length(23), shoulder=Length(10), proud=Length(3)),
            set(),
        ),
        (JointSizes(JointKind.HOUSING, depth=Length(8), room=Length(12)), {"thin-floor"}),
        (
            JointSizes(
                JointKind.MORTISE_AND_TENON, Length(8), length=Length(14), shoulder=Length(10), haunch=Length(14)
            ),
            {"haunch-too-long"},
        ),
    ],
)
def test_sizes_that_contradict_the_wood_are_told(sizes: JointSizes, told: set[str]) -> None:
    """A side 60 wide and 20 thick meets the end of a front that is 20 thick: what is asked for and cannot be."""
    front = PlacedPiece("F", "front", spot(0, 0, 0), Length(300), Length(60), Length(20), LYING)
    side = PlacedPiece("S", "side", spot(0, 20, 0), Length(200), Length(60), Length(20), FRONT_TO_BACK)
    doubts = {doubt.code for doubt in work_out(side, front, sizes).doubts if doubt.severity is Severity.ERROR}
    asked = {"tails-too-long", "lapped-and-proud", "through-length", "haunch-too-long", "thin-floor"}
    assert doubts & asked == told


@pytest.mark.parametrize(
    ("pieces", "codes"),
    [
        ("Q into P at A", ["end-grain"]),  # the arm's end against the post's face
        ("R into Q at A", ["end-grain"]),  # two arms end to end
        ("S into Q", ["not-edge-to-edge"]),  # the face of one arm on that of the other
        ("T into Q", []),  # edge to edge, as boards of a panel are
    ],
)
def test_glue_alone_does_not_hold_end_grain(tmp_path: Path, pieces: str, codes: list[str]) -> None:
    """Common practice, no source: end grain drinks the glue, so a butt of it wants a joint."""
    (tmp_path / "build.yaml").write_text(
        "build: {title: Arms, mark: AR, units: mm}\n"
        "materials: {ash: {kind: hardwood, species: white ash, rough: 40}}\n"
        "parts:\n"
        "  post: {material: ash, size: 30 x 40 x 400, runs: {length: z, width: y}, pieces: {P: {x: 0, y: 0, z: 0}}}\n"
        "  arm: {material: ash, size: 30 x 40 x 300, runs: {length: x, width: z}, pieces: {\n"
        "    Q: {x: 30, y: 0, z: 100}, R: {x: 330, y: 0, z: 100},"
        "    S: {x: 30, y: 30, z: 100}, T: {x: 30, y: 0, z: 140}}}\n"
        f"joints: {{glued: {{kind: edge joint, pieces: [{pieces}]}}}}\n",
        "utf-8",
    )
    problems = check_build(str(tmp_path / "build.yaml"))[2]
    assert [one.code for one in problems if one.code in ("end-grain", "not-edge-to-edge")] == codes


def test_a_tenon_by_its_shoulders_needs_no_places(tmp_path: Path) -> None:
    """An arm 40 wide with shoulders of 6: the tenon is 40 - 2 x 6 = 28 wide; four sides, 2 x (28 + 10) x 20 = 1520."""
    text = (
        "build: {title: Arms, mark: AR, units: mm}\n"
        "materials: {ash: {kind: hardwood, species: white ash, rough: 40}}\n"
        "parts: {post: {material: ash, size: 30 x 60 x 400, count: 1},"
        " arm: {material: ash, size: 30 x 40 x 300, count: 1}}\n"
        "joints: {arm: {kind: mortise and tenon, from: arm, into: post, thickness: 10, length: 20, shoulder: 6}}\n"
    )
    path = tmp_path / "build.yaml"
    path.write_text(text, "utf-8")
    build, _, problems = check_build(str(path))
    assert problems == ()
    assert build is not None
    (joint,) = build.joints
    arm, post = (next(part for part in build.parts if part.name == name) for name in ("arm", "post"))
    assert joint.width_on(arm.width) == Length(28)
    assert tenon_area(Stated(joint, joint.length, None, Length(1)), arm, post) == 1520
    path.write_text(text.replace("shoulder: 6", "shoulder: 20"), "utf-8")
    assert "two shoulders of 20 mm leave no tenon" in check_build(str(path))[2][0].wrong
