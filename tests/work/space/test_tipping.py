"""Boards that are tipped, what is cut for them and what they carry, against manifold3d and worked out by hand."""

from __future__ import annotations

import math
import random
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.core.length import Length
from shopdocs.core.problems import Severity
from shopdocs.model.build import Build
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.shapes.carved import bodies_of
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.let_in import marked_side, off_square, room_between
from shopdocs.work.space.placed import Bore, Cuboid, side_of
from tests.examples import some

RACK = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 38}}
parts:
  side:
    material: ash
    size: 20 x 260 x 600
    runs: {length: z, width: y}
    pieces:
      L: {x: 0, y: 0, z: 0}
      R: {mirror: L across x at 250}
  shelf:
    material: ash
    thickness: 16
    width: 120
    runs: {length: x, width: y}
    pieces:
      S: {x: L.right to R.left, y: centred on 130, z: centred on 200, tilt: 30 front}
  lip:
    material: ash
    thickness: 10
    width: 40
    runs: {length: x, width: z}
    pieces:
      P: {x: L.right to R.left, y: to S.front, z: S.bottom, tilt: with S}
joints:
  shelves: {kind: housing, from: shelf, into: side, depth: 8}
  lips: {kind: edge joint, from: lip, into: shelf}
"""


def read(tmp_path: Path, text: str) -> tuple[Build, Computed]:
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None
    assert shop is not None
    assert [str(p) for p in problems if p.severity is Severity.ERROR] == []
    return build, Computed(build, shop)


def mesh_of(solid: Solid, per_mm: int) -> manifold3d.Manifold:
    """The wood of one of the program's solids: the hull of each of its convex bodies."""
    parts = []
    for body in bodies_of(solid):
        corners = np.unique(np.round(np.array([spot for face in body.faces for spot in face]), 2), axis=0)
        parts.append(manifold3d.Manifold.hull_points(corners / per_mm))
    return manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add)


def test_the_housing_of_a_shelf_by_hand(tmp_path: Path) -> None:
    """A shelf of 120 x 16 about (130, 200), tipped 30 degrees to the front: its front edge goes down. In the side,
    whose inner face is its back face, along counts up from the foot and across from the front. Half the width is 60:
    60 cos 30 = 51.9615 along the floor, 60 sin 30 = 30 up; half the thickness 8: 8 sin 30 = 4, 8 cos 30 = 6.9282. The
    underside of the shelf, nearer to the foot, runs from 200 - 30 - 6.9282 = 163.0718 up, 130 - 51.9615 + 4 = 82.0385
    across, to 200 + 30 - 6.9282 = 223.0718 up, 130 + 51.9615 + 4 = 185.9615 across; 30 degrees off square."""
    build, work = read(tmp_path, RACK)
    (cut,) = [one for one in work.space.pieces["L"].cuboids]
    found = [[v.float_mm() for v in spot] for spot in marked_side(cut)]
    assert found[0] == pytest.approx([163.0718, 82.0385], abs=0.001)
    assert found[1] == pytest.approx([223.0718, 185.9615], abs=0.001)
    assert off_square(cut) == pytest.approx(30, abs=0.001)
    assert cut.hi[2].float_mm() - cut.lo[2].float_mm() == 8
    # 460 between the sides and 8 into each
    row = next(row for group in work.groups for row in group.rows if row.part.name == "shelf")
    assert row.joinery.length.float_mm() == 476
    # the shelf reaches from 130 - 51.9615 - 4 = 74.0385 behind the front, and from 200 - 36.9282 = 163.0718 up
    low = [v.float_mm() for v in work.space.pieces["S"].at]
    assert low == pytest.approx([20, 74.0385, 163.0718], abs=0.001)
    assert build.part("shelf").width.float_mm() == 120


TRAY = """
build: {title: Tray, mark: T, units: mm, free standing: no}
materials: {ash: {kind: hardwood, rough: 38}}
parts:
  side:
    material: ash
    size: 20 x 200 x 300
    runs: {length: z, width: y}
    pieces: {L: {x: 0, y: 0, z: 0}, R: {mirror: L across x at 145}}
  shelf:
    material: ash
    thickness: 15
    width: 120
    runs: {length: x, width: y}
    pieces: {H: {x: L.right to R.left, y: centred on 100, z: centred on 150, tilt: 10 rear}}
  lip:
    material: ash
    thickness: 20
    width: 40
    runs: {length: x, width: z}
    pieces: {K: {x: L.right to R.left, y: to H.front, z: centred on 150, tilt: with H}}
joints:
  ends: {kind: housing, from: shelf, into: side, depth: 6}
  lips: {kind: tongue and groove, from: shelf, into: lip, thickness: 15, length: 8}
"""


def test_a_tipped_shelf_that_goes_into_its_lip_keeps_square_corners(tmp_path: Path) -> None:
    """A shelf 120 wide goes whole 6 into both sides and 8 into its lip: it is sawn 262 x 128, without a notch where the
    two meet, and its housings are 128 long. Their middle lies 4 nearer to the lip than that of the shelf at (100, 150):
    4 cos 10 = 3.9392 to the front and 4 sin 10 = 0.6946 up, for the shelf goes down to the rear."""
    _, work = read(tmp_path, TRAY)
    per_mm = work.space.scene.ticks.per_mm
    solids = {p.mark: s for p, s in zip(work.space.scene.pieces, work.space.scene.solids, strict=True)}
    assert mesh_of(solids["H"], per_mm).volume() == pytest.approx(262 * 128 * 15, rel=1e-4)
    for mark in "LR":
        (cut,) = work.space.pieces[mark].cuboids
        assert cut.slant is not None
        assert (cut.slant.thick, cut.slant.wide, cut.slant.deep) == (Length(15), Length(128), Length(6))
        middle = [v.float_mm() for v in cut.slant.centre[:2]]
        assert middle == pytest.approx([150 + 0.6946, 100 - 3.9392], abs=0.001)
        assert (mesh_of(solids["H"], per_mm) ^ mesh_of(solids[mark], per_mm)).volume() < 1


def test_what_is_tipped_with_a_shelf_lies_against_it(tmp_path: Path) -> None:
    """By hand: the lip, 10 thick, stands against the front edge of the shelf and reaches 24 above it, square to it. The
    two share that edge, 16 by 460, and no wood; the lip's middle lies 65 before the middle of the shelf and 12 above
    it, before both are tipped: at 130 - 65 cos 30 - 12 sin 30 = 67.7083 and 200 - 65 sin 30 + 12 cos 30 = 177.8923."""
    _, work = read(tmp_path, RACK)
    pair = work.space.contacts.between("P", "S")
    assert pair is not None
    assert pair.overlap == 0
    lip = work.space.pieces["P"]
    middle = [(a + b).float_mm() / 2 for a, b in zip(lip.at, lip.far, strict=True)]
    assert middle[1:] == pytest.approx([67.7083, 177.8923], abs=0.001)
    one, two = work.space.scene.index("P"), work.space.scene.index("S")
    ticks = work.space.scene.ticks.per_mm
    thick = [mesh_of(work.space.scene.solids[k], ticks) for k in (one, two)]
    moved = thick[0].translate([0, math.cos(math.radians(30)), math.sin(math.radians(30))])  # 1 mm into the shelf
    assert (moved ^ thick[1]).volume() == pytest.approx(16 * 460, rel=1e-3)


KINDS = (
    "kind: housing, depth: 8",
    "kind: housing, depth: 8, width: 70",
    "kind: mortise and tenon, thickness: 6, width: 50, length: 14",
    "kind: through tenon, thickness: 6, width: 50",
    "kind: loose tenon, thickness: 6, width: 40, length: 26, depth: 13, room: 0",
)


@pytest.mark.parametrize("seed", range(some(20)))
def test_random_tipped_boards_against_manifold(seed: int, tmp_path: Path) -> None:
    """Two boards a rack, across the room or from front to rear, tipped any way, ends and faces turned any way: the side
    with what is cut in it and each board with its tenons against boxes that manifold3d turns and takes off each other,
    and no wood shared where the board is home."""
    rnd = random.Random(seed)
    runs, beside = rnd.choice((("x", "y"), ("y", "x")))
    k, other = "xyz".index(runs), "xyz".index(beside)
    ways = ("front", "rear") if runs == "x" else ("right", "left")
    boards, texts, joints = [], [], []
    for number, height in enumerate((170, 420)):
        flat = rnd.random() < 0.5
        degrees, way = rnd.randint(2, 44), rnd.choice(ways)
        wide, thick, middle, kind = rnd.randint(80, 120), rnd.randint(12, 18), rnd.randint(125, 135), rnd.choice(KINDS)
        sides = {"face edge": ("front", "back") if beside == "y" else ("left", "right"), "face side": ("top", "bottom")}
        if not flat:
            sides = {"face edge": sides["face side"], "face side": sides["face edge"]}
        ends = ("left", "right") if runs == "x" else ("front", "back")
        turned = f"tilt: {degrees} {way}, end A: {rnd.choice(ends)}, "
        turned += ", ".join(f"{key}: {rnd.choice(both)}" for key, both in sides.items())
        span = "L.right to R.left" if runs == "x" else "L.back to R.front"
        texts.append(f"""  board {number}:
    material: ash
    thickness: {thick}
    width: {wide}
    runs: {{length: {runs}, width: {beside if flat else "z"}}}
    pieces:
      B{number}: {{{runs}: {span}, {beside}: centred on {middle}, z: centred on {height}, {turned}}}
""")
        joints.append(f"  j{number}: {{{kind}, from: board {number}, into: side}}\n")
        size = [0.0, 0.0, 0.0]
        size[k], size[other], size[2] = 200.0, *((wide, thick) if flat else (thick, wide))
        boards.append((size, middle, height, degrees if way == ways[0] else -degrees, kind))
    text = f"""build: {{title: Trial, mark: T, units: mm}}
materials: {{ash: {{kind: hardwood, rough: 38}}}}
parts:
  side:
    material: ash
    size: 20 x 260 x 600
    runs: {{length: z, width: {beside}}}
    pieces:
      L: {{{runs}: 0, {beside}: 0, z: 0}}
      R: {{mirror: L across {runs} at 120}}
{"".join(texts)}joints:
{"".join(joints)}"""
    _, work = read(tmp_path, text)
    scene = work.space.scene
    meshes = {
        piece.mark: mesh_of(solid, scene.ticks.per_mm) for piece, solid in zip(scene.pieces, scene.solids, strict=True)
    }
    side = [0.0, 0.0, 600.0]
    side[k], side[other] = 20.0, 260.0
    left = manifold3d.Manifold.cube(side)

    def turned_box(
        size: list[float], middle: list[float], board: tuple[list[float], int, int, int, str]
    ) -> manifold3d.Manifold:
        box = manifold3d.Manifold.cube(size, True).translate(middle)
        return box.rotate([board[3], 0, 0] if k == 0 else [0, board[3], 0])

    for number, board in enumerate(boards):
        size, middle, height, _, kind = board
        home = [120.0, 120.0, float(height)]
        home[other] = middle
        mesh = turned_box(size, [0, 0, 0], board)
        for cuboid in work.space.pieces[f"B{number}"].cuboids:
            # where the joint lies on the end is not what is tried here: its section is that of the program, straight
            low, high = ([v.float_mm() for v in corner] for corner in (cuboid.lo, cuboid.hi))
            piece = work.space.pieces[f"B{number}"]
            lengths = [v.float_mm() for v in piece.size]
            own = [(a + b) / 2 - long / 2 for a, b, long in zip(low, high, lengths, strict=True)]
            box, centre = [0.0] * 3, [0.0] * 3
            for axis, toward in enumerate(piece.pose.axes):
                box[toward.index] = high[axis] - low[axis]
                centre[toward.index] = own[axis] if toward.forward else -own[axis]
            part = turned_box(box, centre, board)
            mesh = mesh + part if cuboid.adds else mesh - part
            if centre[k] < 0 and cuboid.adds:
                deeper = 1.5 if "mortise" in kind else 0.0  # common practice, printed on the piece drawings
                box[k], centre[k] = box[k] + deeper, centre[k] - deeper / 2
                left -= turned_box(box, centre, board).translate(home)
            elif centre[k] < 0:
                centre[k] = -100.0 - box[k] / 2
                left -= turned_box(box, centre, board).translate(home)
        found = meshes[f"B{number}"].translate([-v for v in home])
        assert (found - mesh).volume() == pytest.approx(0, abs=2)
        assert (mesh - found).volume() == pytest.approx(0, abs=2)
        for mark in "LR":
            assert (meshes[f"B{number}"] ^ meshes[mark]).volume() == pytest.approx(0, abs=2)
            pair = work.space.contacts.between(f"B{number}", mark)
            assert pair is not None
            assert pair.meets
    assert (meshes["L"] - left).volume() == pytest.approx(0, abs=2)
    assert (left - meshes["L"]).volume() == pytest.approx(0, abs=2)


def test_dowels_and_screws_lie_on_the_line_of_the_end(tmp_path: Path) -> None:
    """By hand: two dowels in an end 120 wide lie 30 each side of its middle, at (130, 200): 30 cos 30 = 25.9808 and 30
    sin 30 = 15 from it, the front one lower."""
    text = RACK.replace("kind: housing", "kind: dowels").replace(
        "depth: 8", "thickness: 8, depth: 12, length: 21, count: 2"
    )
    _, work = read(tmp_path, text)
    side = work.space.pieces["L"]
    found = sorted([v.float_mm() for v in bore.centre] for bore in side.bores)
    assert found[0] == pytest.approx([185, 104.0192, 20], abs=0.001)
    assert found[1] == pytest.approx([215, 155.9808, 20], abs=0.001)
    ends = [bore for bore in work.space.pieces["S"].bores if side_of(bore.face)[0] == 0]
    assert len(ends) == 4
    assert {bore.centre[1].float_mm() for bore in ends if isinstance(bore, Bore)} == {30, 90}


def test_room_between_what_lies_askew(tmp_path: Path) -> None:
    """By hand: a second shelf 60 higher, measured up: 60 cos 30 = 51.9615 from middle to middle, 35.9615 between."""
    text = RACK.replace(
        "30 front}\n  lip",
        "30 front}\n      U: {x: L.right to R.left, y: centred on 130, z: centred on 260, tilt: 30 front}\n  lip",
    )
    _, work = read(tmp_path, text)
    one, two = (cut for cut in work.space.pieces["L"].cuboids if isinstance(cut, Cuboid))
    apart = room_between(one, two)
    assert apart is not None
    assert apart.float_mm() == pytest.approx(35.9615, abs=0.002)


@pytest.mark.parametrize("joint", [KINDS[0], KINDS[1], KINDS[2]])
def test_wrong_ways_of_a_tipped_shelf_against_manifold(joint: str, tmp_path: Path) -> None:
    """A shelf with a hole beside its middle, turned half round about each of its own axes where it belongs: what the
    program tells is what manifold3d lets in, which shares no more than a film of 0.01 mm with the sides."""
    text = RACK[: RACK.index("  lip:")] + f"joints:\n  shelves: {{{joint}, from: shelf, into: side}}\n"
    text += """hardware:
  pin:
    holes: [{bit: 6, depth: 5}]
    on: [{piece: S, face: face side, along: 100, across: 30}]
"""
    _, work = read(tmp_path, text)
    scene = work.space.scene
    meshes = {p.mark: mesh_of(s, scene.ticks.per_mm) for p, s in zip(scene.pieces, scene.solids, strict=True)}
    shelf, sides = meshes["S"].translate([-250, -130, -200]).rotate([-30, 0, 0]), meshes["L"] + meshes["R"]
    lets_in = set()
    for name, turn in {"across": [180, 0, 0], "along": [0, 180, 0], "deep": [0, 0, 180]}.items():
        there = shelf.rotate(turn).rotate([30, 0, 0]).translate([250, 130, 200])
        if (there ^ sides).volume() < 0.01 * 120 * 476:
            lets_in.add(name)
    # about its length the ends stay where they are; about its width, the edges; about its thickness, the faces
    stays = {"across": {"A", "B"}, "along": {"edge", "far edge"}, "deep": {"face", "back"}}
    every = {"A", "B", "edge", "far edge", "face", "back"}
    told = [{str(face) for face, _ in way.changes} for way in work.space.wrong_ways("S")]
    assert sorted(map(sorted, told)) == sorted(sorted(every - stays[name]) for name in lets_in)
    assert len(told) == (1 if "width: 70" in joint else 3)  # by hand: the stopped housing leaves room one way only
