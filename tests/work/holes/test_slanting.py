"""Holes that run on at an angle, against vectors worked out here and by hand."""

from __future__ import annotations

import math
import random
from pathlib import Path

import numpy as np
import pytest

from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import Face
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.holes.slanting_holes import apart
from shopdocs.work.space.drilled import Drilled
from tests.examples import some

LEG = """
build: {{title: Trial, mark: T, units: mm, free standing: no}}
materials: {{ash: {{kind: hardwood, species: white ash, rough: 80}}}}
parts:
  leg:
    material: ash
    thickness: {thick}
    width: {wide}
    runs: {{length: z, width: x}}
    pieces: {{L: {{x: centred on 200, y: centred on 240, z: 0 to {top}, lean: {{{lean}}}}}}}
  board:
    material: ash
    size: 20 x 60 x 400
    runs: {{length: x, width: z}}
    pieces: {{B: {{x: 0, y: {y}, z: {z}}}}}
  seat: {{material: ash, size: 30 x 400 x 400, runs: {{length: x, width: y}}, pieces: {{S: {{x: 0, y: 40, z: {top}}}}}}}
hardware:
  {hardware}
"""


def computed(tmp_path: Path, text: str) -> Computed:
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None and shop is not None
    assert [p for p in problems if p.severity is Severity.ERROR] == []
    return Computed(build, shop)


def told(tmp_path: Path, text: str) -> list[str]:
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    return [each.wrong for each in check_build(str(path))[2] if each.code == "lean-hole"]


def numbers(*lengths: Length) -> list[float]:
    return [length.float_mm() for length in lengths]


def the_hole(work: Computed, mark: str) -> Drilled:
    (found,) = [hole for hole in work.holes if hole.piece == mark]
    return found


BOLT = "bolt: {{holes: [{{bit: 8, depth: through}}], on: [{{piece: B, face: back, along: {x}, across: 30, meets: L}}]}}"


def test_a_bolt_through_a_raked_leg_by_hand(tmp_path: Path) -> None:
    """The leg of 40 x 40 rakes 1 in 10 to the rear under a top 450 up, its middle 240 behind the front. A bolt comes
    from a board behind it, level, 250 up and on its middle. There the axis has gone 200/10 = 20 back, and level through
    the leg it is 20 * sqrt(1.01) = 20.0998 from the axis to its back: 40.0998 behind the middle of the top, 200 below.
    Along the leg that is (200 * 10 + 40.0998) / sqrt(101) = 202.9975 from the middle of the top; the long point of the
    level end is 20/10 = 2 higher. The leg is 450 * sqrt(1.01) + 4 = 456.2444 long: 251.247 from end A. It goes in
    atan(1/10) = 5.71 degrees off square, toward end B, for the leg rises to the front, and comes out of the face side
    40/10 = 4 nearer to end B. Board: face edge up at 280, so 30 across."""
    text = LEG.format(thick=40, wide=40, top=450, lean="rake: 1 in 10 rear", y=290, z=220, hardware=BOLT.format(x=200))
    work = computed(tmp_path, text)
    hole = the_hole(work, "L")
    slanting = hole.bore.slanting
    assert slanting is not None
    assert (hole.face, slanting.leaves, slanting.behind) == (Face.BACK, Face.FACE, ZERO)
    assert numbers(hole.along, hole.across) == pytest.approx([251.247, 20], abs=0.002)
    assert numbers(*slanting.exit) == pytest.approx([255.247, 20, 0], abs=0.002)
    assert slanting.off == pytest.approx(math.degrees(math.atan(0.1)), abs=1e-6)
    assert slanting.way == pytest.approx((1 / math.sqrt(101), 0, -10 / math.sqrt(101)), abs=1e-9)


def frame(right: float, rear: float) -> np.ndarray:
    """Where x, y and z of a plumb leg point, as columns: raked about x, then splayed in its own front face."""
    rake = math.atan(rear)
    splay = -math.atan(right * math.cos(rake))
    c, s, d, e = math.cos(rake), math.sin(rake), math.cos(splay), math.sin(splay)
    return np.array([[1, 0, 0], [0, c, -s], [0, s, c]]) @ np.array([[d, 0, e], [0, 1, 0], [-e, 0, d]])


@pytest.mark.parametrize("seed", range(some(12)))
def test_lines_through_leaning_legs_against_vectors(seed: int, tmp_path: Path) -> None:
    """A level line from a board in front or behind, and a plumb one from the seat: where they enter, run and leave."""
    rnd = random.Random(seed)
    wide, thick, top = rnd.randint(40, 60), rnd.randint(40, 60), rnd.randint(400, 500)
    right, rear = (1 / rnd.choice((-20, -11, -8, 8, 11, 20)) for _ in range(2))
    lean = f"splay: 1 in {abs(round(1 / right))} {'right' if right > 0 else 'left'}, "
    lean += f"rake: 1 in {abs(round(1 / rear))} {'rear' if rear > 0 else 'front'}"
    matrix, middle = frame(right, rear), np.array([200.0, 240.0, top])
    down = top / matrix[2, 2]
    past = (abs(matrix[2, 0]) * wide + abs(matrix[2, 1]) * thick) / 2 / matrix[2, 2]
    behind, height = rnd.random() < 0.5, rnd.randint(180, 260)
    drop = top - height
    x = 200 + round(right * drop) + rnd.randint(-8, 8)
    y = 240 + rear * drop + (thick / 2 if behind else -thick / 2) * math.hypot(1, rear)
    low = math.ceil(y + 4) if behind else math.floor(y - 4) - 20
    dx, dy = rnd.randint(-9, 9), rnd.randint(-9, 9)
    face = "back" if behind else "face side"
    hardware = f"""
  bolt: {{holes: [{{bit: 8, depth: through}}], on: [{{piece: B, face: {face}, along: {x}, across: 30, meets: L}}]}}
  screw:
    holes: [{{screw: 5 x 80, as: clearance, depth: through}}]
    on: [{{piece: S, face: face side, along: {200 + dx}, across: {200 + dy}, meets: L}}]"""
    text = LEG.format(thick=thick, wide=wide, top=top, lean=lean, y=low, z=height - 30, hardware=hardware)
    work = computed(tmp_path, text)
    (bolt,) = [hole for hole in work.holes if (hole.piece, hole.hardware) == ("L", "bolt")]
    start, way = np.array([x, 0.0, height]) - middle, matrix.T @ np.array([0.0, -1.0 if behind else 1.0, 0.0])
    at = matrix.T @ start
    spots = []
    for level in (thick / 2, -thick / 2) if behind else (-thick / 2, thick / 2):
        spot = at + way * (level - at[1]) / way[1]
        spots.append([spot[2] + down + past, spot[0] + wide / 2, spot[1] + thick / 2])
    assert bolt.bore.slanting is not None
    assert bolt.face == ("back" if behind else "face")
    assert numbers(bolt.along, bolt.across) == pytest.approx(spots[0][:2], abs=0.004)
    assert numbers(*bolt.bore.slanting.exit) == pytest.approx(spots[1], abs=0.004)
    assert bolt.bore.slanting.way == pytest.approx([way[2], way[0], way[1]], abs=1e-9)
    assert bolt.bore.slanting.off == pytest.approx(math.degrees(math.acos(abs(way[1]))), abs=1e-6)
    # down into the sawn end: square to it, and beside the centre line as the seat is above it
    (screw,) = [hole for hole in work.holes if (hole.piece, hole.hardware) == ("L", "screw")]
    spot, way = matrix.T @ np.array([dx, dy, 0.0]), matrix.T @ np.array([0.0, 0.0, -1.0])
    assert screw.bore.slanting is not None and screw.face is Face.B
    assert numbers(screw.along, screw.across) == pytest.approx([spot[0] + wide / 2, spot[1] + thick / 2], abs=0.004)
    assert screw.bore.slanting.behind.float_mm() == pytest.approx(past - spot[2], abs=0.004)
    assert screw.bore.slanting.way == pytest.approx([way[2], way[0], way[1]], abs=1e-9)
    assert screw.bore.slanting.off == pytest.approx(0, abs=0.001)
    assert screw.bore.depth == Length(50)


def test_the_pilot_that_is_worked_out_is_the_one_that_is_asked_for(tmp_path: Path) -> None:
    """A screw down through the seat into a leaning leg bites on its own line, whether the build says meets or not."""
    screw = "screw: {{holes: [{{screw: 5 x 80, as: clearance, depth: through}}], on: [{{piece: S, face: face side, "
    screw += "along: 204, across: 195{meets}}}]}}"
    made = []
    for number, meets in enumerate(("", ", meets: L")):
        lean = "splay: 12 left, rake: 8 rear"
        hardware = screw.format(meets=meets)
        text = LEG.format(thick=50, wide=50, top=450, lean=lean, y=600, z=0, hardware=hardware)
        folder = tmp_path / str(number)
        folder.mkdir()
        work = computed(folder, text)
        (hole,) = [hole for hole in (*work.holes, *work.pilots.drilled) if hole.piece == "L"]
        made.append((hole.face, hole.along, hole.across, hole.bore.slanting, hole.bore.depth, hole.bore.bit))
    assert made[0] == made[1]


def test_what_a_bolt_goes_through_at_an_angle_is_held(tmp_path: Path) -> None:
    """The leg and the board that the bolt by hand goes through: both are fastened by it; without it neither is."""
    for number, (hardware, held) in enumerate(((BOLT.format(x=200), True), ("buy: [wax]", False))):
        folder = tmp_path / str(number)
        folder.mkdir()
        given = dict(thick=40, wide=40, top=450, lean="rake: 1 in 10 rear", y=290, z=220)
        text = LEG.format(**given, hardware=hardware).replace("  buy: [wax]", "  wax: {buy: paste wax}")
        work = computed(folder, text)
        assert work.space is not None and work.fastening is not None
        marks = {piece.mark: number for number, piece in enumerate(work.space.scene.pieces)}
        assert ((marks["B"], marks["L"]) in work.fastening.bound) is held
        assert (work.fastening.held_by.get("bolt") == {"B", "L"}) is held


REFUSED = [
    # the leg is 40 wide about 200 at the top and leans away to the left: 60 beside it there is no wood
    ("the line misses", "rake: 1 in 10 rear", BOLT.format(x=260), "the line of 'bolt' in 'B' misses 'L'"),
    # 18 beside the middle line the rim of 8 stands 2 past the edge of 20
    ("runs out", "rake: 1 in 10 rear", BOLT.format(x=218), "runs out at the edge"),
    # 12.5 beside it, 3.5 of wood is left
    ("thin", "rake: 1 in 10 rear", BOLT.format(x=212.5), "leaves 3.5 mm of wood beside it"),
    # comes out of the leg against nothing that it names
    (
        "says nothing",
        "rake: 1 in 10 rear",
        "bolt: {{holes: [{{bit: 8, depth: through}}], on: [{{piece: L, face: face side, along: 251, across: 20}}]}}",
        "",
    ),
    (
        "runs into another",
        "rake: 1 in 10 rear",
        BOLT.format(x=200)
        + "\n  peg: {{holes: [{{bit: 10, depth: through}}], on: [{{piece: L, face: edge, along: 253, across: 20}}]}}",
        "the slanting hole of 'bolt' in 'L' runs into the hole of 'peg'",
    ),
]


@pytest.mark.parametrize(
    ("lean", "hardware", "said"), [each[1:] for each in REFUSED], ids=[each[0] for each in REFUSED]
)
def test_what_cannot_be_is_told(tmp_path: Path, lean: str, hardware: str, said: str) -> None:
    hardware = hardware.replace("{{", "{").replace("}}", "}")
    found = told(tmp_path, LEG.format(thick=40, wide=40, top=450, lean=lean, y=290, z=220, hardware=hardware))
    assert (len(found) == 1 and said in found[0]) if said else found == []


@pytest.mark.parametrize("seed", range(some(6)))
def test_how_far_lines_are_apart_against_many_points(seed: int) -> None:
    """200 x 200 points along two segments: none lies nearer, and one as near."""
    rnd = np.random.default_rng(seed)
    for _ in range(20):
        one, two = rnd.uniform(-50, 50, (2, 3)), rnd.uniform(-50, 50, (2, 3))
        share = np.linspace(0, 1, 200)[:, None]
        first, second = one[0] + share * (one[1] - one[0]), two[0] + share * (two[1] - two[0])
        least = np.sqrt(((first[:, None] - second[None]) ** 2).sum(axis=2).min())
        found = apart((tuple(one[0]), tuple(one[1])), (tuple(two[0]), tuple(two[1])))
        assert found <= least + 1e-9
        assert found == pytest.approx(least, abs=1.0)


@pytest.mark.parametrize(
    ("two", "far"),
    [
        (((0.0, 3.0, 0.0), (20.0, 3.0, 0.0)), 3.0),  # beside it, and farther on
        (((14.0, 3.0, 0.0), (30.0, 3.0, 0.0)), 5.0),  # 4 past its end and 3 beside: 3, 4, 5
        (((30.0, 0.0, 0.0), (12.0, 0.0, 0.0)), 2.0),  # in one line with it, the other way round
        (((-5.0, 0.0, 4.0), (5.0, 0.0, 4.0)), 4.0),
    ],
)
def test_holes_that_run_alongside_are_as_far_apart_as_where_they_are_nearest(
    two: tuple[tuple[float, float, float], tuple[float, float, float]], far: float
) -> None:
    one = ((0.0, 0.0, 0.0), (10.0, 0.0, 0.0))
    assert apart(one, two) == pytest.approx(far)
    assert apart(two, one) == pytest.approx(far)


PLUMB_SIDE = """
build: {title: Trial, mark: T, units: mm, free standing: no}
materials: {ash: {kind: hardwood, rough: 52}}
parts:
  leg:
    material: ash
    thickness: 40
    width: 40
    runs: {length: z, width: x}
    pieces: {L: {x: centred on 200, y: centred on 200, z: 0 to 400, lean: {LEAN}}}
  board:
    material: ash
    size: 20 x 60 x 300
    runs: {length: LEVEL, width: z}
    pieces: {B: {ACROSS: 220, LEVEL: 50, z: 340}}
hardware:
  screw:
    holes: [{screw: 5 x 50, as: clearance, depth: through}]
    on: [{piece: B, face: back, along: 150, across: 30MEETS}]
"""


@pytest.mark.parametrize(
    ("lean", "across", "level"), [("rake: 1 in 10 rear", "x", "y"), ("splay: 1 in 10 left", "y", "x")]
)
def test_a_screw_level_into_the_plumb_side_of_a_leaning_leg(tmp_path: Path, lean: str, across: str, level: str) -> None:
    """A leg 40 square about 200, 200 at its top, 400 high, leans along its side, which stays plumb at 220. A screw goes
    in there at 200 and 370: 30 below the top the middle of the leg has gone 3 outward, so that the hole lies 3 cos(atan
    1/10) = 2.985 beside it, 17.015 from an edge. It is 50 long and goes through 20, so 30 deep, said or not."""
    made = []
    for number, meets in enumerate(("", ", meets: L")):
        folder = tmp_path / str(number)
        folder.mkdir()
        text = PLUMB_SIDE.replace("LEAN", lean).replace("ACROSS", across).replace("LEVEL", level)
        work = computed(folder, text.replace("MEETS", meets))
        (hole,) = [hole for hole in (*work.holes, *work.pilots.drilled) if hole.piece == "L"]
        made.append((hole.face, hole.along, hole.across, hole.bore.slanting, hole.bore.depth, hole.bore.bit))
        assert hole.bore.depth == Length(30)
        edges = sorted((hole.across.float_mm(), 40 - hole.across.float_mm()))
        assert edges[0] == pytest.approx(20 - 3 * math.cos(math.atan(0.1)), abs=0.002)
    assert made[0] == made[1]
