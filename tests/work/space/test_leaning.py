"""Leaning pieces as solids against manifold3d, and their places worked out by hand."""

from __future__ import annotations

import math
import random
from fractions import Fraction
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.core.box import Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.core.turn import near
from shopdocs.model.build import Build
from shopdocs.model.cutting import CutKind
from shopdocs.model.parts import Direction, Lean, Runs
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.shapes.carved import Carved, bodies_of
from shopdocs.work.shapes.clashing import shared_by
from shopdocs.work.space.leaning_piece import LeaningPiece
from shopdocs.work.space.placed import Pose
from tests.examples import some

TICKS = Ticks(1000)


def read(tmp_path: Path, text: str) -> tuple[Build, Computed]:
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None
    assert shop is not None
    assert [p for p in problems if p.severity is Severity.ERROR] == []
    return build, Computed(build, shop)


def random_lean(rnd: random.Random) -> tuple[LeaningPiece, Lean, tuple[Length, Length]]:
    """A leg with level ends to be, somewhere, without its end cuts."""
    right, rear = (Fraction(rnd.randint(-40, 40) * rnd.choice((1, 1, 4)), 100) for _ in range(2))
    top = tuple(Length(rnd.randint(0, 300)) for _ in range(2))
    lean = Lean(right, rear, (top[0], top[1], Length(rnd.randint(350, 500))), Length(rnd.randint(0, 60)))
    wide, thick = Length(rnd.randint(15, 60)), Length(rnd.randint(15, 60))
    turn = lean.turn
    long = lean.height.float_mm() / turn.z[2]
    long += abs(turn.level[0]) * wide.float_mm() + abs(turn.level[1]) * thick.float_mm()
    pose = Pose.of(Runs(Direction.Z, Direction.X, Direction.Y), *(rnd.random() < 0.5 for _ in range(3)))
    return LeaningPiece.of("L", "leg", lean, (near(long), wide, thick), pose, ""), lean, (wide, thick)


def by_manifold(lean: Lean, size: tuple[Length, Length], level: bool) -> manifold3d.Manifold:
    """The same leg as a box about its axis, turned by a matrix made here: raked, then splayed in its own front face."""
    right, rear = float(lean.right), float(lean.rear)
    rake = math.atan(rear)
    splay = -math.atan(right * math.cos(rake))  # its foot to the right: its top turns to the left
    c, s, d, e = math.cos(rake), math.sin(rake), math.cos(splay), math.sin(splay)
    about_x, about_y = np.array([[1, 0, 0], [0, c, -s], [0, s, c]]), np.array([[d, 0, e], [0, 1, 0], [-e, 0, d]])
    matrix = about_x @ about_y
    wide, thick = (v.float_mm() for v in size)
    turned = matrix[2, 2]
    past = (abs(matrix[2, 0]) * wide + abs(matrix[2, 1]) * thick) / 2 / turned
    down = lean.height.float_mm() / turned
    box = manifold3d.Manifold.cube([wide, thick, down + 2 * past]).translate([-wide / 2, -thick / 2, -down - past])
    at = np.array([v.float_mm() for v in lean.top])
    box = box.transform(np.column_stack([matrix, at]))
    if level:
        box = box.trim_by_plane([0, 0, 1], lean.foot.float_mm())
        box = box.trim_by_plane([0, 0, -1], -lean.top[2].float_mm())
    return box


@pytest.mark.parametrize("seed", range(some(10)))
def test_leaning_boxes_against_manifold(seed: int) -> None:
    """25 pairs for each seed: where each lies and the wood that both share."""
    rnd = random.Random(seed)
    for _ in range(25):
        made = [random_lean(rnd) for _ in range(2)]
        theirs = [by_manifold(lean, size, False) for _, lean, size in made]
        solids = [piece.solid(TICKS) for piece, _, _ in made]
        for solid, mesh in zip(solids, theirs, strict=True):
            assert isinstance(solid, Carved)
            box = mesh.bounding_box()
            assert [v / 1000 for v in (*solid.bounds.lo, *solid.bounds.hi)] == pytest.approx(box, abs=0.003)
            assert solid.volume / 1000**3 == pytest.approx(mesh.volume(), rel=1e-5)
        shared = shared_by(*(bodies_of(solid) for solid in solids)) / 1000**3
        assert shared == pytest.approx((theirs[0] ^ theirs[1]).volume(), rel=1e-4, abs=0.5)


@pytest.mark.parametrize("seed", range(some(4)))
def test_the_upright_box_of_level_ends(seed: int) -> None:
    """`at` and `far` against the mesh that is trimmed level at foot and top."""
    rnd = random.Random(seed)
    for _ in range(25):
        piece, lean, size = random_lean(rnd)
        box = by_manifold(lean, size, True).bounding_box()
        found = [v.float_mm() for v in (*piece.at, *piece.far)]
        assert found == pytest.approx(box, abs=0.003)
        spot = tuple(Length(rnd.randint(0, 40)) for _ in range(3))
        there = piece.spot_in_piece(piece.spot_in_build(spot))
        assert [v.float_mm() for v in there] == pytest.approx([v.float_mm() for v in spot], abs=0.003)


STOOL = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 52}}
parts:
  leg:
    material: ash
    thickness: 40
    width: 40
    runs: {length: z, width: x}
    pieces:
      FL: {x: centred on 60, y: centred on 60, z: 0 to S.bottom, lean: {rake: 1 in 10}}
      FR: {mirror: FL across x at 200}
      BL: {mirror: FL across y at 140}
      BR: {mirror: FR across y at 140}
  stretcher:
    material: ash
    thickness: 20
    width: 30
    runs: {length: y, width: z}
    pieces:
      SL: {x: centred on 60, y: FL.back to BL.front, z: centred on 150}
      SR: {mirror: SL across x at 200}
  seat:
    material: ash
    thickness: 40
    width: 280
    length: 400
    runs: {length: x, width: y}
    pieces:
      S: {x: 0, y: 0, z: 400}
joints:
  legs: {kind: round tenon, from: leg, into: seat, thickness: 25}
  stretchers: {kind: mortise and tenon, from: stretcher, into: leg, thickness: 8, width: 20, length: 20}
"""


def test_shoulders_of_a_stretcher_between_raked_legs(tmp_path: Path) -> None:
    """By hand. Legs rake 1 in 10 outward about their tops, whose middles lie 60 and 220 behind the front, 400 up. At
    150, the middle of the stretcher, they have gone 250 / 10 = 25 outward: to 35 and 245. Level through a leg of 40
    that leans 1 in 10 it is 40 * sqrt(1 + 1/100) = 40.1995, half of that 20.0998. So from 55.0998 to 224.9002: 169.8005
    between the shoulders on the middle line. The legs are farther apart below: the stretcher is 15 lower at its lower
    edge, 1.5 longer at each end there, long point to long point 172.8005; each end is 1 in 10 off square, shorter at
    the upper edge."""
    build, work = read(tmp_path, STOOL)
    part = build.part("stretcher")
    assert part.length.float_mm() == pytest.approx(172.8005, abs=0.001)
    cuts = [cut for cut in build.cuts if cut.kind is CutKind.END_CUT and cut.name.endswith("stretcher")]
    assert {float(cut.angle.tangent) for cut in cuts if cut.angle} == {0.1}
    assert all(cut.tilt is None for cut in cuts)
    # the face edge of a rail looks up, and that is where its ends are shorter
    assert {place.second for cut in cuts for place in cut.on} == {"edge"}
    # the tenons: 20 from the middle of each shoulder, so 18.5 beyond each long point
    joinery = work.space.joinery
    assert {j.added.float_mm() for j in joinery.values() if j.kind == "mortise and tenon"} == {18.5}
    # 172.8005 + 2 * 18.5 to saw
    row = next(row for group in work.groups for row in group.rows if row.part is part)
    assert row.joinery.length.float_mm() == pytest.approx(209.8005, abs=0.001)


def test_a_raked_leg_from_long_point_to_long_point(tmp_path: Path) -> None:
    """By hand: 400 of height along a slope of 1 in 10 are 400 * sqrt(1.01) = 401.9950, and each level end reaches
    20 / 10 = 2 past its middle: 405.9950. The mortise in the seat is 5.7106 degrees off square (atan 1/10); its middle
    on the underside stays at 60."""
    build, work = read(tmp_path, STOOL)
    assert build.part("leg").length.float_mm() == pytest.approx(405.9950, abs=0.001)
    seat = work.space.pieces["S"]
    slants = [cuboid.slant for cuboid in seat.cuboids if cuboid.slant is not None]
    assert len(slants) == 4
    assert {(s.centre[0].float_mm(), s.centre[1].float_mm()) for s in slants} == {
        (60, 60),
        (340, 60),
        (60, 220),
        (340, 220),
    }
    for slant in slants:
        assert math.degrees(math.acos(abs(slant.way[2]))) == pytest.approx(5.7106, abs=1e-3)
    # all four stand level on the floor, and nothing shares the place of anything
    assert {work.space.pieces[mark].at[2] for mark in ("FL", "FR", "BL", "BR")} == {ZERO}
    assert all(pair.overlap == 0 for pair in work.space.contacts.pairs)
    meets = {
        frozenset((work.space.scene.pieces[p.first].mark, work.space.scene.pieces[p.second].mark))
        for p in work.space.contacts.pairs
        if p.meets
    }
    assert meets == {
        frozenset(two)
        for two in (
            ("FL", "S"),
            ("FR", "S"),
            ("BL", "S"),
            ("BR", "S"),
            ("FL", "SL"),
            ("BL", "SL"),
            ("FR", "SR"),
            ("BR", "SR"),
        )
    }


def test_where_the_shoulder_lies_on_its_leg_they_touch(tmp_path: Path) -> None:
    """By hand: the end of the stretcher, 20 wide, lies on its leg over 30 * sqrt(1.01) = 30.15 of its slope. The box
    round that, square to y, is 20 by 30."""
    _, work = read(tmp_path, STOOL)
    pair = work.space.contacts.between("FL", "SL")
    assert pair is not None
    assert float(work.space.contacts.area(pair)) == pytest.approx(600, rel=1e-3)


def random_stool(rnd: random.Random) -> str:
    """Four legs that splay and rake, both ways round, with stretchers between them both ways, by tenons of three
    kinds."""
    splay, rake = (rnd.choice([0, rnd.randint(2, 16)]) for _ in range(2))
    splay = splay or (0 if rake else 7)
    leg, wide = rnd.randint(36, 50), rnd.choice("xy")
    kinds = [
        "kind: mortise and tenon, thickness: 8, width: 16, length: 18",
        "kind: through tenon, thickness: 8, width: 16",
        "kind: round tenon, thickness: 14, length: 20",
        "kind: round tenon, thickness: 14",
    ]
    end = rnd.choice(("top", "bottom"))
    lean = ", ".join([f"splay: {splay}"] * bool(splay) + [f"rake: {rake}"] * bool(rake))
    return f"""
build: {{title: Trial, mark: T, units: mm}}
materials: {{ash: {{kind: hardwood, rough: 80}}}}
parts:
  leg:
    material: ash
    thickness: {leg}
    width: {leg + rnd.randint(0, 12)}
    runs: {{length: z, width: {wide}}}
    pieces:
      FL: {{x: centred on 90, y: centred on 90, z: 0 to S.bottom, lean: {{{lean}}}, end A: {end}}}
      FR: {{mirror: FL across x at 260}}
      BL: {{mirror: FL across y at 240}}
      BR: {{mirror: FR across y at 240}}
  side:
    material: ash
    thickness: 22
    width: {rnd.randint(24, 40)}
    runs: {{length: y, width: z}}
    pieces:
      SL: {{x: centred on (FL.left + FL.right) / 2, y: FL.back to BL.front, z: centred on {rnd.randint(80, 160)}}}
      SR: {{mirror: SL across x at 260}}
  cross:
    material: ash
    thickness: 22
    width: {rnd.randint(24, 40)}
    runs: {{length: x, width: z}}
    pieces:
      CF: {{x: FL.right to FR.left, y: centred on (FL.front + FL.back) / 2, z: centred on {rnd.randint(220, 300)}}}
      CB: {{mirror: CF across y at 240}}
  seat: {{material: ash, size: 40 x 480 x 520, runs: {{length: x, width: y}}, pieces: {{S: {{x: 0, y: 0, z: 400}}}}}}
joints:
  legs: {{{rnd.choice(kinds[1:2] + kinds[3:])}, from: leg, into: seat}}
  sides: {{{rnd.choice(kinds)}, from: side, into: leg}}
  crosses: {{{rnd.choice(kinds)}, from: cross, into: leg}}
"""


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(some(24)))
def test_every_shoulder_closes_on_its_leg(seed: int, tmp_path: Path) -> None:
    """What is joined touches face to face and shares no wood, whatever leans which way, and nothing else touches. The
    shoulder's area is that of the section of its piece, seen along it: width by thickness, less what the other face is
    too narrow for."""
    rnd = random.Random(seed)
    build, work = read(tmp_path, random_stool(rnd))
    space = work.space
    assert space is not None
    assert not [pair for pair in space.contacts.pairs if pair.overlap]
    joined = {frozenset((m.entering, m.receiving)) for _, m in build.meetings()}
    assert len(joined) == 12
    marks = [piece.mark for piece in space.scene.pieces]
    assert {frozenset((marks[p.first], marks[p.second])) for p in space.contacts.pairs if p.meets} == joined
    for _, meeting in build.meetings():
        pair = space.contacts.between(meeting.entering, meeting.receiving)
        assert pair is not None
        part = build.part(space.pieces[meeting.entering].part)
        section = part.width.float_mm() * part.thickness.float_mm()
        assert float(space.contacts.area(pair)) >= section * 0.995
        if meeting.receiving != "S":
            assert float(space.contacts.area(pair)) <= section * 1.005


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(some(12)))
def test_the_settings_of_level_ends_make_them_level(seed: int, tmp_path: Path) -> None:
    """The two settings of the compound cut at a leg's ends, put together with vectors: a plane through the piece at
    `angle` across its face, sawn with a blade tilted by `tilt`, is level where the leg leans. Both count from square.
    Across the face the line rises tan(angle) for a step of 1; the blade, tilted about that line, leaves the upright by
    tan(tilt) / cos(angle) through the thickness."""
    rnd = random.Random(seed)
    build, work = read(tmp_path, random_stool(rnd))
    assert work.space is not None
    cuts = [cut for cut in build.cuts if cut.name == "level end of leg"]
    assert cuts
    for cut in cuts:
        assert cut.angle is not None
        for place in cut.on:
            piece = work.space.pieces[place.piece]
            assert isinstance(piece, LeaningPiece)
            across = float(cut.angle.tangent)
            through = math.tan(math.atan(float(cut.tilt.tangent))) / math.cos(math.atan(across)) if cut.tilt else 0.0
            way = [1.0 if place.face == "B" else -1.0, 0.0, 0.0]  # along the piece, width, thickness: out of the end
            faces = (place.second, place.third)
            if cut.tilt is None and place.second in ("face", "back"):
                across, through, faces = 0.0, across, (None, place.second)
            for k, (steep, short) in enumerate(zip((across, through), faces, strict=True), 1):
                # shorter at that face: the plane looks out towards it
                way[k] = steep * (1 if short in ("far edge", "back") else -1) if short else 0.0
            stands = [0.0, 0.0, 0.0]
            for value, toward in zip(way, piece.pose.axes, strict=True):
                stands[toward.index] = value if toward.forward else -value
            out = np.array(piece.turn.of(stands)) / np.linalg.norm(way)
            assert abs(out[2]) == pytest.approx(1, abs=1e-9)
            assert math.hypot(out[0], out[1]) < 2e-5
    # and so they stand, on the floor and under the seat
    for mark in ("FL", "FR", "BL", "BR"):
        piece = work.space.pieces[mark]
        assert (piece.at[2], piece.far[2]) == (ZERO, Length(400))


NEAR_THE_EDGE = (
    "build: {title: Stool, mark: S, units: mm, free standing: no}\n"
    "materials: {ash: {kind: hardwood, rough: 52}}\n"
    "parts:\n"
    "  seat: {material: ash, size: 40 x 400 x 800, strips: 4, runs: {length: x, width: y},"
    " pieces: {T: {x: 0, y: 0, z: 200}}}\n"
    "  leg: {material: ash, thickness: 20, width: 20, runs: {length: z, width: x},"
    " pieces: {L: {x: centred on 400, y: centred on PLACE, z: 0 to T.bottom, lean: {splay: 10 left}}}}\n"
    "joints: {legs: {kind: round tenon, from: leg, into: seat, thickness: 16, length: 25}}\n"
)


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ("7.5", [("lean-misses", "its mortise runs 0.5 mm past the edge")]),
        ("8", [("lean-misses", "its mortise runs out at the edge")]),
        ("8.5", [("thin-wall", "leaves 0.5 mm of wood in T")]),
        ("13.5", [("thin-wall", "leaves 5.5 mm of wood in T")]),
        ("14", []),
    ],
)
def test_wood_beside_a_mortise_at_an_angle(tmp_path: Path, place: str, told: list[tuple[str, str]]) -> None:
    """A round tenon of 16 in a seat, leaning along its front edge, so that across it the mouth is 16 wide: 8 to either
    side of its middle. 6 mm of wood is enough (common practice, no source)."""
    path = tmp_path / "build.yaml"
    path.write_text(NEAR_THE_EDGE.replace("PLACE", place), "utf-8")
    found = [one for one in check_build(str(path))[2] if one.code in ("lean-misses", "thin-wall")]
    assert [one.code for one in found] == [code for code, _ in told]
    assert all(words in one.wrong for one, (_, words) in zip(found, told, strict=True))
