"""Lengths that no rule divides: where a build stands in the room changes nothing about it, and any length does."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.core.box import FINEST, Ticks
from shopdocs.core.length import Length
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed

# Two posts and a rail tenoned between them; a top on it, screwed from above into pilots that lie opposite. The long
# screw (3 in, of which the top takes 3/4 and the rail 2) stands out by 1/4 in, wherever the build stands.
BUILD = """\
build: {{title: Trestle, mark: TR, units: in}}
materials: {{oak: {{kind: hardwood, rough: 8/4}}}}
dimensions: {{W: 24, odd: "{odd}", small: "{small}"}}
parts:
  post:
    material: oak
    size: 1-1/2 x 1-1/2 x 20
    runs: {{length: z, width: x}}
    pieces:
      PL: {{x: odd, y: odd, z: 0}}
      PR: {{x: odd + W, y: odd, z: 0}}
  rail:
    material: oak
    thickness: 3/4
    width: 2
    runs: {{length: x, width: z}}
    pieces:
      R: {{x: PL.right to PR.left, y: odd + 3/8, z: to PL.top}}
  top:
    material: oak
    size: 3/4 x 5 x 30
    runs: {{length: x, width: y}}
    pieces:
      T: {{x: odd - 3, y: odd - 2, z: PL.top}}
joints:
  rail into posts: {{kind: mortise and tenon, from: rail, into: post, thickness: 3/8, length: 1, room: 1/16 + small}}
hardware:
  screws:
    holes: [{{screw: '#8 x 3', as: clearance, depth: through}}]
    on: [{{piece: top, face: face, along: [8 + small, 20 + small], across: 2-3/4}}]
  pilots:
    holes: [{{screw: '#8 x 3', as: pilot, depth: 7/8}}]
    on: [{{piece: rail, face: edge, along: [3.5 + small, 15.5 + small], across: 3/8}}]
  pins:
    holes: [{{bit: 1/4, depth: 1/2 + small}}]
    on: [{{piece: post, face: face, along: [6 + small], across: 3/4 + small}}]
"""
ODD = ("W / 425", "W / 999983", "W / 7919 + 1/3 mm", "1 / 999979 + W / 999983", "W / 65537 - 17/257 mm")


def read(folder: Path, odd: str, small: str = "0 in") -> tuple[list[str], Computed]:
    path = folder / "build.yaml"
    path.write_text(BUILD.format(odd=odd, small=small), "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None
    return [str(problem) for problem in problems], Computed(build, shop)


@pytest.mark.parametrize("odd", ODD)
def test_where_a_build_stands_changes_nothing(tmp_path: Path, odd: str) -> None:
    told, plain = read(tmp_path, "10")
    assert any("1/4 in" in line for line in told)
    again, moved = read(tmp_path, odd)
    assert again == told
    assert plain.fastening is not None and moved.fastening is not None
    for one, other in zip(plain.fastening.mouths, moved.fastening.mouths, strict=True):
        assert (one.line.name, one.line.piece, one.neighbour) == (other.line.name, other.line.piece, other.neighbour)
    assert plain.fastening.bound == moved.fastening.bound


@pytest.mark.parametrize("small", ODD)
@pytest.mark.parametrize("odd", ["0 in", *ODD])
def test_any_length_does(tmp_path: Path, odd: str, small: str) -> None:
    """Holes and room of odd sizes as well; a shift of the same small amount on both sides leaves holes opposite."""
    told, _ = read(tmp_path, odd, small)
    assert not [line for line in told if "do not meet" in line]


def test_finer_ticks_are_whole_parts_of_those_they_refine() -> None:
    """By definition: a tick of the coarser measure is a whole number of the finer ones, rounded or not."""
    for per_mm in (1, 640, 2125, 999_983, 200_000_003, FINEST):
        for below in (1, 3, 128, 425, 7919, 999_979, 2**31 - 1):
            fine = Ticks(per_mm).finer([Length(Fraction(1, below))])
            assert fine.per_mm % per_mm == 0
            assert fine.per_mm <= max(FINEST, per_mm)
            exact = Fraction(fine.per_mm, below)
            assert fine.rounds is (exact.denominator != 1)
            assert abs(fine.count(Length(Fraction(1, below))) - exact) <= Fraction(1, 2)
    assert Ticks(FINEST, rounds=True).finer([Length(1)]).rounds
