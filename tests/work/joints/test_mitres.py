"""Mitres: what slopes is rebuilt from the pieces' convex bodies and held against volumes worked out by hand
(manifold3d); and whether a frame can really be closed in the order that is printed."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import combinations
from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, Paragraph, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.core.problems import Severity
from shopdocs.documents.cut_list import cut_list
from shopdocs.documents.job import make_job
from shopdocs.documents.shopping import shopping_list
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import End, Face, Joint, JointKind
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.kinds.kind import Stated
from shopdocs.model.parts import Direction, Part, Piece
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import joined_pieces, work_out
from shopdocs.work.order.closing import Outcome
from shopdocs.work.scene.explode import explode
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Pose, Scene, Toward
from shopdocs.work.space.wrong_ways import Fitting
from tests.meshes import of_cells
from tests.values import replace
from tests.work.scenes import spot

X, Y, Z = Direction


def corner(high_n: bool, high_m: bool, ends: bool, on_edge: bool) -> tuple[PlacedPiece, PlacedPiece]:
    """A rail 200 long along x and a stile 150 long along y, 50 x 20, that share the corner at the high or low end of
    either; flat, or on edge with 20 of them seen from above. End A at the low side where `ends`."""
    wide, thick = (Z, Y) if on_edge else (Y, Z)
    rail = Pose(Toward(X, ends), Toward(wide), Toward(thick, not ends))
    wide, thick = (Z, X) if on_edge else (X, Z)
    stile = Pose(Toward(Y, not ends), Toward(wide, ends), Toward(thick))
    deep = 20 if on_edge else 50
    at_rail = (0, 150 - deep if high_m else 0, 0)
    at_stile = (200 - deep if high_n else 0, 0, 0)
    size = Length(50), Length(20)
    return (
        PlacedPiece("R", "rail", spot(*at_rail), Length(200), *size, rail),
        PlacedPiece("S", "stile", spot(*at_stile), Length(150), *size, stile),
    )


SPLINE = JointSizes(JointKind.SPLINED_MITRE, Length(5), depth=Length(12), name="1")
ALL_WAYS = [(a, b, c) for a in (False, True) for b in (False, True) for c in (False, True)]


@pytest.mark.parametrize(("high_n", "high_m", "ends"), ALL_WAYS)
def test_a_splined_mitre_fills_its_corner(high_n: bool, high_m: bool, ends: bool) -> None:
    """The spline is 50 x sqrt 2 long, 24 wide and 5 thick, and all of it lies in the two pieces: 8485.3 of wood less
    than rail and stile together, 200 x 50 x 20 + 150 x 50 x 20 - 50 x 50 x 20 = 300 000."""
    pieces, (joinery,) = joined_pieces(corner(high_n, high_m, ends, False), [("R", "S", SPLINE)])
    assert joinery.doubts == ()
    scene = Scene.of(pieces)
    one, two = (of_cells(solid, scene.ticks.per_mm) for solid in scene.solids)
    assert (one ^ two).volume() == pytest.approx(0, abs=0.5)
    assert (one + two).volume() == pytest.approx(300_000 - 50 * math.sqrt(2) * 24 * 5, abs=1)
    # each has lost half of the corner, and half of the spline beside it
    assert one.volume() == pytest.approx(200_000 - 25_000 - 50 * math.sqrt(2) * 12 * 5, abs=1)
    pair = find_contacts(scene).between("R", "S")
    assert pair is not None
    assert pair.mitre is not None
    assert pair.overlap == 0


@pytest.mark.parametrize("on_edge", [False, True])
@pytest.mark.parametrize(("high_n", "high_m", "ends"), ALL_WAYS)
@pytest.mark.parametrize(("depth", "count"), [(10, 1), (10, 2), (18, 3)])
def test_a_keyed_mitre_fills_its_corner(
    depth: int, count: int, high_n: bool, high_m: bool, ends: bool, on_edge: bool
) -> None:
    """Each key is a triangle across the corner, as high as its slot is deep and twice as wide: depth squared, 2 thick.
    On edge, 18 deep, it goes 18 x sqrt 2 = 25.5 along boards 20 thick, and still stops short of their inside, at
    28.3."""
    sizes = JointSizes(JointKind.KEYED_MITRE, Length(2), depth=Length(depth), count=count, name="1")
    pieces, (joinery,) = joined_pieces(corner(high_n, high_m, ends, on_edge), [("R", "S", sizes)])
    assert [doubt for doubt in joinery.doubts if doubt.severity is Severity.ERROR] == []
    scene = Scene.of(pieces)
    one, two = (of_cells(solid, scene.ticks.per_mm) for solid in scene.solids)
    deep = 20 if on_edge else 50
    bodies = 350_000 - deep * deep * (50 if on_edge else 20)
    assert (one ^ two).volume() == pytest.approx(0, abs=0.5)
    assert (one + two).volume() == pytest.approx(bodies - count * depth**2 * 2, abs=1)


def test_a_splined_mitre_by_hand() -> None:
    """Rail 50 wide, its end A at the left of the corner: the mitre takes a triangle of 50 x 50 off it. The slot is 12
    square to the mitre, 12 x sqrt 2 = 16.971 along the rail, and 5 of its 20, 7.5 to 12.5.

    Glue: the mitre is 50 x sqrt 2 = 70.711 long and 20 - 5 high: 1060.66; the spline has two sides of 12 x 70.711 in
    either piece: 3394.11. Together 4454.77."""
    rail, stile = corner(False, False, True, False)
    joinery = work_out(rail, stile, SPLINE)
    mitre, slot = joinery.entering
    assert isinstance(mitre, Cuboid) and isinstance(slot, Cuboid)
    assert (mitre.kind, mitre.lo, mitre.hi) == (FeatureKind.MITRE, spot(0, 0, 0), spot(50, 50, 20))
    assert slot.hi[0].float_mm() == pytest.approx(50 + 12 * math.sqrt(2), abs=0.001)
    assert (slot.lo[2].mm, slot.hi[2].mm) == (Fraction(15, 2), Fraction(25, 2))
    assert float(joinery.glue_area) == pytest.approx(50 * math.sqrt(2) * (15 + 48), rel=1e-9)
    assert float(joinery.long_grain) == pytest.approx(50 * math.sqrt(2) * 48, rel=1e-9)
    assert (joinery.enters, joinery.meets, joinery.added) == (Face.A, Face.B, Length(0))
    parts = [Part(n, "cherry", Length(20), Length(50), Length(200), (Piece(n, n),)) for n in "RS"]
    joint = Joint("frame", JointKind.SPLINED_MITRE, (), thickness=Length(5), depth=Length(12))
    told = KINDS[joint.kind]
    stated = Stated(joint, None, joint.depth, Length(0))
    assert told.glue_area(stated, parts[0], parts[1]) == joinery.glue_area
    slips = told.slips(stated, parts[0], parts[1])
    assert slips is not None
    assert [round(side.float_mm(), 2) for side in slips.size] == [5, 24, 70.71]


@pytest.mark.parametrize("on_edge", [False, True])
def test_the_glue_of_keys_is_the_same_without_places(on_edge: bool) -> None:
    """Two keys, 10 deep: two sides each of 10 x 10, 400; the mitre 50 x sqrt 2 x 20, or 20 x sqrt 2 x 50 on edge."""
    sizes = JointSizes(JointKind.KEYED_MITRE, Length(2), depth=Length(10), count=2)
    area = work_out(*corner(False, False, True, on_edge), sizes).glue_area
    assert float(area) == pytest.approx(1000 * math.sqrt(2) + 400, rel=1e-9)
    parts = [Part(n, "cherry", Length(20), Length(50), Length(200), (Piece(n, n),)) for n in "RS"]
    joint = Joint("frame", JointKind.KEYED_MITRE, (), thickness=Length(2), depth=Length(10), count=2)
    assert KINDS[joint.kind].glue_area(Stated(joint, None, joint.depth, Length(0)), *parts) == area


def test_what_is_wrong_with_a_mitre_is_told() -> None:
    rail, stile = corner(False, False, True, False)
    edge, side = corner(False, False, True, True)

    def told(one: PlacedPiece, two: PlacedPiece, kind: JointKind, **sizes: object) -> list[str]:
        return [doubt.code for doubt in work_out(one, two, JointSizes(kind, **sizes)).doubts]  # type: ignore[arg-type]

    spline, key = JointKind.SPLINED_MITRE, JointKind.KEYED_MITRE
    assert told(rail, stile, spline) == []
    assert told(edge, side, spline) == ["spline-on-edge"]
    assert told(edge, side, key) == []
    assert told(rail, stile, spline, depth=Length(26)) == ["spline-too-deep"]  # more than half of 50
    assert told(rail, stile, spline, thickness=Length(20)) == ["thin-wall"]
    assert told(rail, stile, key, thickness=Length(4), count=5) == ["thin-wall"]  # 5 x 4 is all of 20
    assert told(edge, side, key, depth=Length(29)) == ["key-too-deep"]  # 20 x sqrt 2 is 28.3
    narrow = PlacedPiece("S", "stile", stile.at, stile.length, Length(40), stile.thickness, stile.pose)
    assert told(rail, narrow, spline) == ["mitre-not-square"]
    thin = PlacedPiece("S", "stile", stile.at, stile.length, stile.width, Length(15), stile.pose)
    assert told(rail, thin, spline) == ["mitre-not-level"]
    apart = PlacedPiece("S", "stile", spot(0, 50, 0), stile.length, stile.width, stile.thickness, stile.pose)
    assert told(rail, apart, key) == ["not-at-a-corner"]


FRAME = """
build: {title: Frame, mark: F, units: mm, free standing: no}
materials: {cherry: {kind: hardwood, rough: 25}}
parts:
  rail:
    material: cherry
    size: 18 x 50 x 300
    runs: {length: x, width: z}
    pieces: {T: {x: 0, y: 0, z: 350}, B: {mirror: T across z at 200}}
  stile:
    material: cherry
    size: 18 x 50 x 400
    runs: {length: z, width: x}
    pieces: {L: {x: 0, y: 0, z: 0}, R: {mirror: L across x at 150}}
joints: {corners: {KIND, from: rail, into: stile}}
gluing: {adhesive: slow PVA, stages: [{title: All, pieces: [T, B, L, R]}]}
"""


PANEL = """
  panel:
    material: cherry
    thickness: 6
    runs: {length: z, width: x}
    pieces: {P: {x: L.right to R.left, y: 6, z: B.top to T.bottom}}
joints:
  panel: {kind: tongue and groove, from: panel, into: [T, B, L, R], thickness: 6, length: 8, room: 2, glued: no}
  corners:"""
SPLINED, KEYED = "kind: splined mitre, thickness: 5, depth: 12", "kind: keyed mitre, thickness: 3, depth: 20"


def frame(folder: Path, kind: str, panel: bool = False) -> tuple[Build, Shop]:
    """A frame 300 x 400 of rails 18 x 50, without a mistake."""
    text = FRAME.replace("KIND", kind)
    if panel:
        text = text.replace("\njoints: {corners:", PANEL).replace("into: stile}}", "into: stile}")
        text = text.replace("L, R]}]", "L, R, P]}]")
    (folder / "build.yaml").write_text(text, "utf-8")
    build, shop, problems = check_build(str(folder / "build.yaml"))
    assert build is not None
    assert not problems
    return build, shop


@pytest.mark.parametrize(("kind", "panel"), [(SPLINED, False), (KEYED, False), (KEYED, True)])
def test_a_mitred_frame_closes_in_the_order_that_is_printed(tmp_path: Path, kind: str, panel: bool) -> None:
    """No wood is there twice, with a panel in grooves that run on past its corners either. Each piece is drawn off
    again the way it came, by a little and by much, and runs into none of those that stood there already; pushed on
    farther, by more than the 2 of room that the panel moves in, it would. All joints close."""
    work = Computed(*frame(tmp_path, kind, panel))
    space = work.space
    assert space is not None
    per_mm = space.scene.ticks.per_mm
    wood = {
        piece.mark: of_cells(solid, per_mm) for piece, solid in zip(space.scene.pieces, space.scene.solids, strict=True)
    }
    assert all((wood[one] ^ wood[two]).volume() < 0.5 for one, two in combinations(wood, 2))
    (stage,) = work.stages
    order = stage.order
    assert order.outcome is Outcome.FOUND
    closed = sorted(meeting.number for closing in order.closings for _, meeting in closing.joints)
    assert closed == list(range(1, 9 if panel else 5))
    standing: list[str] = []
    for closing in order.closings:
        axis, high = closing.toward
        for mark in closing.marks if closing.onto else ():
            for far, free in ((-1, True), (-10, True), (-45, True), (3, False), (10, False)):
                by = [0.0, 0.0, 0.0]
                by[axis] = far if high else -far
                moved = wood[mark].translate(by)
                shared = sum((moved ^ wood[other]).volume() for other in standing)
                assert (shared < 0.5) == free, (mark, closing.toward, by)
        standing += closing.marks


@pytest.mark.parametrize("kind", [SPLINED, KEYED])
def test_a_mitred_frame_has_no_wrong_ways_and_comes_apart(tmp_path: Path, kind: str) -> None:
    """Both rails are alike, and both stiles; a rail turned so that its long side is inside does not go in. In the
    exploded drawing every piece has left its corner to its own side."""
    build, shop = frame(tmp_path, kind)
    space = Computed(build, shop).space
    assert space is not None
    ends = [(meeting.entering, meeting.receiving, meeting.end) for _, meeting in build.meetings()]
    # rails have end A at the left, as a part that runs from left to right is usually marked out
    assert ends == [("T", "L", End.A), ("T", "R", End.B), ("B", "L", End.A), ("B", "R", End.B)]
    assert {kind.marks for kind in space.look_alikes.kinds} == {("B", "T"), ("L", "R")}
    assert [way for piece in space.scene.pieces for way in space.wrong_ways(piece.mark)] == []
    offsets = dict(zip((p.mark for p in space.scene.pieces), explode(space.contacts, Length(40)).offsets, strict=True))
    assert offsets["T"][2] > offsets["L"][2] > offsets["B"][2]
    assert offsets["R"][0] > offsets["T"][0] > offsets["L"][0]


def test_the_cut_list_says_that_mitres_count_to_the_long_point(tmp_path: Path) -> None:
    """A rail of 300 outside to outside is sawn 300 long and some to spare; nothing is added for the mitre."""
    build, shop = frame(tmp_path, SPLINED)
    job = make_job(build, shop, build.display, "", "a4-21")
    row = job.rows["T"]
    assert (row.finished.length, row.joinery.length) == (Length(300), Length(300))
    told = " ".join(plain(block.text) for block in walk(cut_list(job).blocks) if isinstance(block, Paragraph))
    assert told.count("A mitred end is measured to its long point.") == 1
    lists = [block for block in walk(shopping_list(job).blocks) if isinstance(block, Checklist)]
    steps = [plain(step.text) for block in lists for step in block.steps]
    # 12 deep in either piece, 50 x sqrt 2 = 70.71 long, to the half millimetre
    assert "4 × spline 5 mm × 24 mm × ≈70.5 mm" in steps


@pytest.mark.parametrize(("high_n", "high_m", "ends"), ALL_WAYS)
def test_a_mitre_bars_two_ways_and_a_spline_two_more(high_n: bool, high_m: bool, ends: bool) -> None:
    """A rail whose corner is at its left, with the stile going to the back: the stile's mitre stands before its end and
    behind it, so it goes neither to the left nor to the back. A spline bars down and up as well; keys come later."""
    rail, stile = corner(high_n, high_m, ends, False)
    slope = {(0, high_n), (1, not high_m)}
    assert set(work_out(rail, stile, SPLINE).stops) == slope | {(2, False), (2, True)}
    assert set(work_out(rail, stile, JointSizes(JointKind.KEYED_MITRE)).stops) == slope


def test_a_square_end_does_not_go_into_a_mitre() -> None:
    """A piece as large as the rail, its ends square, would run into the stile's mitre; another rail that is mitred the
    same way would not."""
    rail, stile = corner(False, False, True, False)
    square = replace(rail, mark="Q", at=spot(0, 1000, 0))
    other, post = replace(rail, mark="O", at=spot(0, 2000, 0)), replace(stile, mark="P", at=spot(0, 2000, 0))
    joints = [("R", "S", SPLINE), ("O", "P", replace(SPLINE, name="2"))]
    pieces, _ = joined_pieces([rail, stile, square, other, post], joints)
    fitting = Fitting(find_contacts(Scene.of(pieces)))
    assert not fitting.goes_in_for("Q", "R")
    assert fitting.goes_in_for("O", "R")
