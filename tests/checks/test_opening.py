"""Doors that open and drawers that come out: worked out by hand, and turned rectangles against shapely."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
import shapely
import shapely.affinity

from shopdocs.checks.doubts.opening import OPEN, STEP, Swing, _opens
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem
from shopdocs.model.parts import Direction, Runs
from shopdocs.pipeline import check_build
from shopdocs.work.space.placed import PlacedPiece, Pose

SAMPLES = Path(__file__).parents[2] / "sample_builds"

CHEST = """\
build: {title: Nail chest, mark: NC, units: mm, free standing: no}
materials:
  beech: {kind: hardwood, species: beech, rough: 40}
parts:
  wall:
    {material: beech, size: 20 x 100 x 300, runs: {length: y, width: z}, pieces: {
      L: {x: 0, y: 0, z: 0}, R: {x: 320, y: 0, z: 0}}}
  end:
    {material: beech, size: 20 x 100 x 300, runs: {length: x, width: z}, pieces: {
      B: {x: 20, y: 280, z: 0}, T: {x: 20, y: 0, z: 101}}}
  drawer box:
    {material: beech, size: 90 x 200 x 298, runs: {length: x, width: y}, pieces: {D: {x: 21, y: %s, z: 5}}}
%s
"""
BAR = "  bar: {material: beech, size: 20 x 20 x 340, runs: {length: x, width: z}, pieces: {Q: {x: 0, y: -30, z: %s}}}"


def told(folder: Path, text: str, code: str) -> list[Problem]:
    (folder / "build.yaml").write_text(text, "utf-8")
    return [problem for problem in check_build(str(folder / "build.yaml"))[2] if problem.code == code]


@pytest.mark.parametrize(
    ("bar", "shut"),
    [
        ("", False),
        (BAR % 50, True),  # right across the front of the drawer, which stands from 5 to 95
        (BAR % "-15", False),  # 5 above the floor at the most: the drawer passes over it, with nothing but air between
        (BAR % 94, True),  # 1 mm of the drawer's 90 is behind it
        (BAR % 95, False),
    ],
)
def test_a_drawer_needs_its_way_out(tmp_path: Path, bar: str, shut: bool) -> None:
    """Walls left, right and behind; T lies over the front 20 mm of the drawer, so it cannot be lifted out either."""
    problems = told(tmp_path, CHEST % (10, bar), "shut-drawer")
    assert [problem.wrong for problem in problems] == (
        ["the drawer of D cannot be pulled out: to the front Q stands in its way"] if shut else []
    )


def test_a_drawer_that_can_be_lifted_out_is_a_tray(tmp_path: Path) -> None:
    """At 25 from the front, T no longer lies over it."""
    assert told(tmp_path, CHEST % (25, BAR % 50), "shut-drawer") == []


def test_a_drawer_needs_play(tmp_path: Path) -> None:
    """Between walls 300 apart; 1 mm beside it on each side is some play, none on both sides is a drawer stuck fast."""
    assert told(tmp_path, CHEST % (10, ""), "no-play") == []
    wide = CHEST.replace("90 x 200 x 298", "90 x 200 x 300").replace("{x: 21,", "{x: 20,")
    (problem,) = told(tmp_path, wide % (10, ""), "no-play")
    assert problem.wrong == "the drawer of D touches 'L' and 'R' on both sides and cannot move"
    assert problem.right == "leave play: make it less wide than 300 mm"


def door(folder: Path, *edits: tuple[str, str]) -> list[Problem]:
    text = (SAMPLES / "spice_cabinet" / "build.yaml").read_text("utf-8")
    for old, new in edits:
        assert old in text
        text = text.replace(old, new, 1)
    return told(folder, text, "shut-door")


def test_a_door_must_pass_what_stands_beside_the_cabinet(tmp_path: Path) -> None:
    """The knuckle stands at x 2, y 23; the door is 22 thick, its front 23 before the knuckle. What stands at x -10 to
    -4 reaches to y 5: the door's front corner at the knuckle's side is 23 from the knuckle and passes -4 at an angle
    whose sine is 6 / 23, 15°. 10° is the last place without a clash, or 15° where it only grazes."""
    post = (
        "  post: {material: cherry 27, size: 6 x 25 x 500, runs: {length: z, width: y},"
        " pieces: {Q: {x: -10, y: %s, z: 0}}}\n"
    )
    problems = door(tmp_path, ("joints:\n", post % -20 + "\njoints:\n"))
    assert len(problems) == 1
    assert problems[0].wrong in {f"the door of DL DR DT opens to about {a}° on 'hinge' and hits Q" for a in (10, 15)}
    first = door(tmp_path, ("parts:\n", "parts:\n" + post % -20))
    assert [problem.wrong for problem in first] == [problems[0].wrong]  # wherever the post is written
    assert door(tmp_path, ("joints:\n", post % 24 + "\njoints:\n")) == []  # behind the knuckle, beside the case


def _piece(mark: str, low: tuple[float, float], high: tuple[float, float]) -> PlacedPiece:
    """A piece upright from the floor, 100 high, over a rectangle."""
    (x, y), (right, back) = (tuple(map(round, spot)) for spot in (low, high))
    pose = Pose.of(Runs(Direction.Z, Direction.X, Direction.Y))
    return PlacedPiece(
        mark, mark, (Length(x), Length(y), Length(0)), Length(100), Length(right - x), Length(back - y), pose
    )


def test_how_far_a_door_turns_is_what_shapely_finds() -> None:
    chance = random.Random(4)
    stopped = 0
    for _ in range(300):
        door = _piece("D", (0, -chance.randint(15, 30)), (chance.randint(200, 500), -1))
        x, y = chance.randint(-300, 300), chance.choice((1, -chance.randint(80, 500)))
        other = _piece("Q", (x, y), (x + chance.randint(5, 200), y + chance.randint(5, 60)))
        angle, hit = _opens(Swing(2, (0.0, 0.0)), [door], [other], -1)
        shut, still = (shapely.box(*(float(v.mm) for v in (*one.at[:2], *one.far[:2]))) for one in (door, other))
        free = 0
        for tried in range(STEP, OPEN + STEP, STEP):
            common = shapely.affinity.rotate(shut, -tried, origin=(0, 0)).intersection(still)
            if common.area > 0.0 and common.buffer(-0.4).area > 0.0:
                break
            free = tried
        stopped += free < OPEN
        assert abs(angle - free) <= STEP, (door, other)
        assert bool(hit) == (angle < OPEN)
    assert stopped > 50


def test_a_hole_told_twice_is_asked_about(tmp_path: Path) -> None:
    text = CHEST % (10, "hardware:\n  peg:\n    holes: [{bit: 8, depth: 10}]\n    on: [%s]\n")
    once, moved = (f"{{piece: L, face: face, along: {along}, across: 50}}" for along in (40, 60))
    assert told(tmp_path, text % f"{once}, {moved}", "hole-twice") == []
    (problem,) = told(tmp_path, text % f"{once}, {once}", "hole-twice")
    assert problem.wrong == "'peg' drills the face side of 'L' at one spot twice"
