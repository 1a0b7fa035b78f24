"""Pieces that lock each other in are told before any stage is written."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.pipeline import check_build

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
