"""Leaning pieces whose ends come to the side of another piece, against manifold3d and worked out by hand."""

from __future__ import annotations

import math
import random
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.core.problems import Severity
from shopdocs.pipeline import check_build
from tests.examples import some
from tests.work.space.test_tipping import mesh_of, read

HEAD = "build: {title: Trial, mark: T, units: mm}\nmaterials: {ash: {kind: hardwood, species: white ash, rough: 60}}\n"


def strut(x: float, leg: float = 15, splay: float = 40, joint: str = "kind: mortise and tenon, thickness: 10") -> str:
    """A strut of 30 x 40 that leans against the right side of a leg of 40 x 60 that leans to it; its top is 500 up."""
    lean = f", lean: {{splay: {leg:g} left}}" if leg else ""
    return f"""{HEAD}parts:
  leg:
    material: ash
    thickness: 40
    width: 60
    runs: {{length: z, width: x}}
    pieces:
      L: {{x: centred on 300, y: centred on 100, z: 0 to 700{lean}}}
  strut:
    material: ash
    thickness: 30
    width: 40
    runs: {{length: z, width: x}}
    pieces:
      P: {{x: centred on {x:.3f}, y: centred on 100, z: 0 to 500, lean: {{splay: {splay:g} right}}}}
joints:
  struts: {{{joint}, length: 20, pieces: [P into L]}}
"""


def right_side(leg: float, high: float) -> float:
    """Where the right side of the leg stands: its middle is 300 from the left at the top, 700 up."""
    turn = math.radians(leg)
    return 300 - (700 - high) * math.tan(turn) + 30 / math.cos(turn)


def test_a_strut_against_a_leaning_leg_by_hand(tmp_path: Path) -> None:
    """The side of a leg that leans 15 degrees stands at 300 - 200 tan 15 + 30 / cos 15 = 277.4684 at 500 up. A strut
    that leans 40 degrees the other way meets it 90 - 15 - 40 = 35 degrees off square. Its level foot takes 20 tan 40 =
    16.7820 past its middle, its top 20 tan 35 = 14.0042; from middle to middle it is 500 / cos 40 = 652.7036 long: all
    in all 683.4898, and to saw, with a tenon of 20 from the middle of its shoulder, 683.4898 - 14.0042 + 20 =
    689.4856. The middle of the leg's foot lies 300 - 700 tan 15 = 112.4356 from the left, and its long point 30 tan 15
    = 8.0385 below that: the middle of the mortise is (277.4684 - 112.4356) sin 15 + 500 cos 15 = 525.6765 up the leg
    from there, 533.7150 from end A."""
    _, work = read(tmp_path, strut(277.4684))
    piece = work.space.pieces["P"]
    assert piece.length.float_mm() == pytest.approx(683.4898, abs=0.002)
    (mortise,) = [cut for cut in work.space.pieces["L"].cuboids if cut.slant is not None and not cut.adds]
    assert math.degrees(math.acos(abs(mortise.slant.way[1]))) == pytest.approx(35, abs=0.001)
    assert mortise.slant.centre[0].float_mm() == pytest.approx(533.7150, abs=0.003)
    row = next(row for group in work.groups for row in group.rows if row.part.name == "strut")
    assert row.joinery.length.float_mm() == pytest.approx(689.4856, abs=0.002)


def test_a_brace_against_a_plumb_post(tmp_path: Path) -> None:
    """By hand: a brace at 45 degrees ends 45 degrees off square at both ends, at a post whose side stands at 330. Its
    length is 500 / cos 45 + 2 x 20 = 747.1068."""
    _, work = read(tmp_path, strut(330, 0, 45))
    assert work.space.pieces["P"].length.float_mm() == pytest.approx(747.1068, abs=0.002)
    ends = [one for one in work.space.pieces["P"].cuboids if one.flare is not None]
    assert [math.degrees(math.atan((end.hi[0] - end.lo[0]).mm / 40)) for end in ends] == pytest.approx(
        [45, 45], abs=0.001
    )


def test_a_brace_nearer_to_level_than_to_plumb(tmp_path: Path) -> None:
    """By hand: at 60 degrees from plumb its level foot is 60 degrees off square and takes 20 tan 60 = 34.6410 past the
    middle, its top at a plumb post 30 and 20 tan 30 = 11.5470; from middle to middle it is 500 / cos 60 = 1000 long.
    Nearer to level than that it is refused."""
    _, work = read(tmp_path, strut(330, 0, 60))
    assert work.space.pieces["P"].length.float_mm() == pytest.approx(1046.1880, abs=0.002)
    ends = [one for one in work.space.pieces["P"].cuboids if one.flare is not None]
    assert sorted(math.degrees(math.atan((end.hi[0] - end.lo[0]).mm / 40)) for end in ends) == pytest.approx(
        [30, 60], abs=0.001
    )
    (tmp_path / "b.yaml").write_text(strut(330, 0, 61), "utf-8")
    (told,) = [problem for problem in check_build(str(tmp_path / "b.yaml"))[2] if problem.code == "lean"]
    assert "a splay of 61° leans too far" in told.wrong


def test_what_is_placed_beside_the_side_is_told_where_it_goes(tmp_path: Path) -> None:
    """A strut placed 10 to the right of where it meets its leg is told that place; one 2 off is taken there along its
    own line: it then ends a little higher."""
    path = tmp_path / "b.yaml"
    path.write_text(strut(287.468), "utf-8")
    told = [problem for problem in check_build(str(path))[2] if problem.severity is Severity.ERROR]
    assert len(told) == 1
    assert told[0].right.endswith("x: centred on 277.5 mm")
    _, work = read(tmp_path, strut(279.4684))
    # 2 to the right, and both lines slope: it rises 2 / (tan 40 + tan 15) = 1.8066
    top = work.space.pieces["P"].lean.top[2].float_mm()  # type: ignore[attr-defined]
    assert top == pytest.approx(500 + 2 / (math.tan(math.radians(40)) + math.tan(math.radians(15))), abs=0.002)


def leaning(wide: float, thick: float, top: tuple[float, float, float], splay: float) -> manifold3d.Manifold:
    """A piece without ends, turned about the middle of its top; its foot lies to the right above zero."""
    box = manifold3d.Manifold.cube([wide, thick, 6000]).translate([-wide / 2, -thick / 2, -3000])
    c, s = math.cos(math.radians(splay)), math.sin(math.radians(splay))
    return box.transform(np.array([[c, 0, -s, top[0]], [0, 1, 0, top[1]], [s, 0, c, top[2]]]))


def slab(low: float, high: float) -> manifold3d.Manifold:
    return manifold3d.Manifold.cube([9000, 9000, high - low]).translate([-4500, -4500, low])


@pytest.mark.parametrize("seed", range(some(6)))
def test_struts_against_a_mesh(tmp_path: Path, seed: int) -> None:
    """The strut is what lies between the floor and the right side of the leg, and its tenon within it; the leg has a
    mortise for that, 1.5 mm deeper."""
    rnd = random.Random(seed)
    leg, splay = rnd.randrange(0, 20), rnd.randrange(25, 61)
    splay = max(splay, 31 - leg)  # no more than 59 degrees off square
    x = round(right_side(leg, 500), 3)
    _, work = read(tmp_path, strut(x, leg, splay))
    top = (x, 100.0, 500.0)
    whole = leaning(60, 40, (300.0, 100.0, 700.0), -leg)
    endless = leaning(40, 30, top, splay)
    # all that lies to the right of the leg's right side
    c, s = math.cos(math.radians(leg)), math.sin(math.radians(leg))
    beyond = manifold3d.Manifold.cube([6000, 6000, 12000]).translate([0, -3000, -6000])
    beyond = beyond.transform(np.array([[c, 0, s, x], [0, 1, 0, 0], [-s, 0, c, 500]]))

    def within(deep: float) -> manifold3d.Manifold:
        """The section of the tenon, 10 by 30 (a shoulder of an eighth of 40 above and below), from the leg's side as
        far as so deep along the strut."""
        bar = leaning(30, 10, top, splay)
        way = (-math.sin(math.radians(splay)), 0.0, math.cos(math.radians(splay)))
        plane = sum(a * b for a, b in zip(way, top, strict=True)) + deep
        return bar.trim_by_plane([-v for v in way], -plane) - beyond

    wanted = {
        "P": (endless ^ beyond ^ slab(0, 2000)) + within(20),
        "L": (whole ^ slab(0, 700)) - within(21.5),
    }
    scene = work.space.scene
    for mark, mesh in wanted.items():
        own = mesh_of(scene.solids[scene.index(mark)], scene.ticks.per_mm)
        off = (own - mesh).volume() + (mesh - own).volume()
        assert off < 3e-5 * mesh.volume()


@pytest.mark.parametrize(
    ("splay", "joint", "told"),
    [
        (32, "kind: mortise and tenon, thickness: 10", ""),  # 58 degrees off square
        (28, "kind: mortise and tenon, thickness: 10", "P meets L 62.0° off square"),
        (40, "kind: round tenon, thickness: 16", "P meets L 50.0° off square"),
        (46, "kind: round tenon, thickness: 16", ""),
    ],
)
def test_a_steep_brace_is_chopped_in_and_not_bored(tmp_path: Path, splay: int, joint: str, told: str) -> None:
    """At a plumb post a brace is 90 degrees less its splay off square. A chisel is led along 60 degrees, a bit along 45
    (common practice, no source)."""
    path = tmp_path / "b.yaml"
    path.write_text(strut(330, 0, splay, joint), "utf-8")
    found = [problem for problem in check_build(str(path))[2] if problem.code == "lean-steep"]
    assert [told in problem.wrong for problem in found] == ([True] if told else [])
    if told and "round" in joint:
        assert "make it a mortise and tenon" in found[0].right
