"""Pieces that lock each other in are told before any stage is written."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from shopdocs.core.problems import Severity
from shopdocs.pipeline import check_build
from shopdocs.work.order.blocking import Obstacles, masks_of
from shopdocs.work.order.closing import solids_of
from shopdocs.work.order.interlocked import MOST
from tests.sample_jobs import BY_NAME, sample_job

BRACKET = """\
build: {title: Gable bracket, mark: GB, units: mm}
materials: {ash: {kind: hardwood, species: white ash, rough: 52}}
parts:
  post:
    material: ash
    size: 40 x 60 x 600
    runs: {length: z, width: y}
    pieces:
      P: {x: 0, y: 0, z: 0}
  arm:
    material: ash
    thickness: 40
    width: 60
    runs: {length: x, width: z}
    pieces:
      A: {x: P.right to 460, y: P.front + 10, z: to 600}
  brace:
    material: ash
    thickness: 30
    width: 40
    runs: {length: z, width: x}
    pieces:
      B: {x: centred on P.right + 320, y: P.front + 15, z: 220 to A.bottom, lean: {splay: 45 left}}
joints:
  arms: {kind: mortise and tenon, thickness: 12, length: 25, pieces: [A into P]}
"""
TENON = "kind: mortise and tenon, thickness: 10, length: 20"
FOOT = "  foot: {%s, pieces: [B into P]}\n"
HEAD = "  head: {%s, pieces: [B into A]}\n"


def told(folder: Path, text: str) -> list[str]:
    build = folder / "build.yaml"
    build.write_text(text, "utf-8")
    return [each.wrong for each in check_build(str(build))[2] if each.code == "no-order"]


def test_a_brace_tenoned_at_both_ends_locks_arm_and_post(tmp_path: Path) -> None:
    """By hand: the arm comes to the post level, the brace to both of them along itself, at 45 degrees. Whichever of the
    three is last has to go two ways at once: the arm level and at 45 degrees, the post likewise, the brace up into the
    arm and down into the post."""
    (wrong,) = told(tmp_path, BRACKET + FOOT % TENON + HEAD % TENON)
    assert wrong.startswith("'P', 'A', 'B' lock each other in")


@pytest.mark.parametrize("end", [FOOT, HEAD])
def test_with_one_end_of_the_brace_without_a_joint_it_goes_in(tmp_path: Path, end: str) -> None:
    """The arm goes on first, then the brace along itself into the one mortise; its other end lies in the open."""
    shorter = BRACKET.replace("z: 220 to A.bottom", "z: 220 to A.bottom - 60" if end is FOOT else "z: 280 to A.bottom")
    shorter = shorter.replace("P.right + 320", "P.right + 260") if end is FOOT else shorter
    assert not told(tmp_path, shorter + end % TENON)


def test_written_stages_are_told_by_their_own_title(tmp_path: Path) -> None:
    stages = "gluing: {adhesive: yellow PVA, stages: [{title: Bracket, pieces: [P, A, B]}]}\n"
    (wrong,) = told(tmp_path, BRACKET + FOOT % TENON + HEAD % TENON + stages)
    assert wrong.startswith("the stage 'Bracket' has no straight order")


X_FRAME = """\
build: {title: Crossed frame, mark: X, units: mm}
materials: {elm: {kind: hardwood, species: elm, rough: 40}}
parts:
  leg:
    material: elm
    thickness: 30
    width: 50
    runs: {length: z, width: x}
    pieces:
      L: {x: centred on 150, y: 60, z: 0 to C.bottom, lean: {splay: 30 right}}
      R: {x: centred on 400, y: 60, z: 0 to C.bottom, lean: {splay: 30 left}}
  cleat:
    material: elm
    size: 30 x 50 x 440
    runs: {length: x, width: y}
    pieces: {C: {x: 80, y: 50, z: 402}}
joints:
  heads: {%s, pieces: [L into C, R into C]}
"""
LAP = "  crossing: {kind: half lap, pieces: [L into R]}\n"
HEADS = "kind: mortise and tenon, thickness: 10, length: 14"


def test_lapped_legs_tenoned_each_its_own_way_into_one_cleat_lock(tmp_path: Path) -> None:
    """By hand: a tenon goes in along its leg. Let the cleat stand: leg L moves along (-sin 30, cos 30), R along
    (sin 30, cos 30); while both are d short of home they are off each other by 2 d sin 30 = d sideways, and a lap lets
    its two legs move apart only square to the plane of the X."""
    (wrong,) = told(tmp_path, X_FRAME % HEADS + LAP)
    assert wrong.startswith("'L', 'R', 'C' lock each other in")


def test_legs_without_the_lap_or_screwed_to_the_cleat_go_together(tmp_path: Path) -> None:
    """Each leg goes in by itself; level ends that the cleat is screwed down on leave it free to come from above."""
    assert not told(tmp_path, X_FRAME % HEADS)
    screwed = (X_FRAME % "kind: screwed butt, thickness: 5, length: 60").replace(
        "[L into C, R into C]", "[C into L, C into R]"
    )
    assert not told(tmp_path, screwed + LAP)


def test_legs_that_cross_far_from_their_middle_are_not_taken_for_struts(tmp_path: Path) -> None:
    """By hand: 402 high at 30 degrees, 402 / cos 30 + 50 tan 30 = 493.057 from long point to long point, both of them,
    though they cross within 250 of their ends."""
    build = tmp_path / "build.yaml"
    build.write_text(X_FRAME % HEADS + LAP, "utf-8")
    made, _, problems = check_build(str(build))
    assert made is not None
    assert not [each for each in problems if each.severity is Severity.ERROR]
    assert next(part for part in made.parts if part.name == "leg").length.float_mm() == pytest.approx(
        493.057, abs=0.001
    )


@pytest.mark.parametrize("name", ["loft_stool", "plate_rack"])
def test_what_is_in_the_way_within_a_group_is_the_same_worked_out_for_it_alone(name: str) -> None:
    """Of a large build only its groups are looked at, and never the whole: against the whole, on random groups."""
    space = sample_job(BY_NAME[name], "mm").space
    assert space is not None
    whole, dice, marks = Obstacles(space), Random(7), [piece.mark for piece in space.scene.pieces]
    for _ in range(12):
        things = [(mark,) for mark in dice.sample(marks, dice.randint(2, min(14, len(marks))))]
        assert whole.of(things) == masks_of(solids_of(things, space))


def test_a_group_that_locks_is_found_in_a_build_of_any_size(tmp_path: Path) -> None:
    """The same words for the bracket alone and for it among more pieces than a whole build is worked out for."""
    locked = BRACKET + FOOT % TENON + HEAD % TENON
    rail = "  rail:\n    material: ash\n    size: 20 x 30 x 200\n    runs: {length: z, width: y}\n    pieces:\n"
    rails = "".join(f"      R{n}: {{x: {1000 + 50 * n}, y: 0, z: 0}}\n" for n in range(MOST))
    assert told(tmp_path, locked.replace("joints:\n", f"{rail}{rails}joints:\n")) == told(tmp_path, locked)
    assert len(told(tmp_path, locked)) == 1
