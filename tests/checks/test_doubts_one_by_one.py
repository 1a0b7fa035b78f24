"""Doubts that few builds come to, tried one by one, with what would be right: each figure worked out by hand."""

from __future__ import annotations

import math
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from shopdocs.checks import slanting
from shopdocs.checks.movement import _problem
from shopdocs.core.length import Length
from shopdocs.core.problems import Position, Severity
from shopdocs.model.joining import Face
from shopdocs.source.shoulders import _alike
from shopdocs.work.seasons.tie import Sort, Tie
from tests.sample_jobs import BY_NAME, sample_job
from tests.values import replace

HERE = Position("build.yaml", 3, 9)
CALLED = "the hole of 'bolt' in 'L'"
STEEP = "at most 45° can be bored: drill from 'L' instead, square to its face, with meets:"
SHORTER = "there are 40 mm of wood; take a shorter screw, or move it"
OUT = " comes out of the back face, and not opposite where it goes in"
EDGE = " runs out at the edge of the face edge: it goes in 10.0° off square"
LEAST = "leave at least 5 mm (common practice)"


@pytest.mark.parametrize(
    ("off", "deep", "along", "face", "wood", "found"),
    [
        (45.1, 30, 40.0, Face.BACK, 9.0, (" goes in 45.1° off square", STEEP)),
        (45.0, 30, 40.0, Face.BACK, 9.0, None),
        # 40 of wood along its line: a hole of 40 comes out at the other side
        (10.0, 40, 40.0, Face.BACK, 9.0, (" comes through: it is 40 mm deep along its line", SHORTER)),
        (10.0, 41, 40.0, Face.BACK, 9.0, (" comes through: it is 41 mm deep along its line", SHORTER)),
        (10.0, 39, 40.0, Face.BACK, 9.0, None),
        (10.0, None, 40.0, Face.BACK, -math.inf, (OUT, "let it end in the wood, or move it")),
        (10.0, 30, 40.0, Face.EDGE, 0.0, (EDGE, "move it inward, or let it end in the wood")),
        (10.0, 30, 40.0, Face.A, 0.5, (" leaves 0.5 mm of wood beside it on end A", LEAST)),
        (10.0, 30, 40.0, Face.A, 4.9, (" leaves 4.9 mm of wood beside it on end A", LEAST)),
        (10.0, 30, 40.0, Face.A, 5.0, None),
    ],
)
def test_a_slanting_hole_stays_in_its_wood(
    monkeypatch: pytest.MonkeyPatch,
    off: float,
    deep: int | None,
    along: float,
    face: Face,
    wood: float,
    found: tuple[str, str] | None,
) -> None:
    bore: Any = SimpleNamespace(
        slanting=SimpleNamespace(off=off), joint="bolt", depth=None if deep is None else Length(deep)
    )
    left = None if deep is None else Length(Fraction(along)) - Length(deep)
    monkeypatch.setattr(slanting, "depth_left", lambda each: left)
    told = list(slanting._in_wood("L", bore, (face, wood), HERE))
    if found is None:
        assert told == []
        return
    (problem,) = told
    assert (problem.wrong, problem.right) == (CALLED + found[0], found[1])
    assert (problem.at, problem.code) == (HERE, "lean-hole")
    assert problem.severity is (Severity.WARNING if 0 < wood < 5 else Severity.ERROR)


PANEL = Tie(Sort.PANEL, "P", "panel", ("L", "R"), "g", Length(300), Length(7), Length(2), Length(3), at=HERE)


@pytest.mark.parametrize(
    ("tie", "code", "wrong", "right"),
    [
        (
            PANEL,
            "no-play",
            "'P' swells by 7 mm across its grain and its grooves leave 2 mm",
            "make it narrower by what is missing, or write room: 3.5 mm for each groove",
        ),
        (
            replace(PANEL, glued=True),
            "no-play",
            "'P' swells by 7 mm across its grain and is glued in on both sides",
            "write glued: no, and leave it room to move",
        ),
        (
            replace(PANEL, gives=Length(7), tongue=Length(1), shrinks=Length(3)),
            "no-play",
            "'P' shrinks by 3 mm and comes out of its groove",
            "make its tongues longer than 1.5 mm",
        ),
        (
            replace(PANEL, sort=Sort.SLIDING),
            "short-slot",
            "the outer pins of 'P' need 7 mm each way, their slots give 2 mm",
            "make the slots longer",
        ),
        (
            replace(PANEL, sort=Sort.SLIDING, gives=Length(0)),
            "short-slot",
            "the outer pins of 'P' need 7 mm each way, their slots give nothing",
            "make the slots longer",
        ),
        (
            replace(PANEL, sort=Sort.FAST),
            "fast-across",
            "'P' moves 7 mm over 300 mm across its grain and is held fast by 'L' and 'R', which do not",
            "slot the holes along its width, 3.5 mm each way, or use buttons or plates",
        ),
        (
            replace(PANEL, sort=Sort.FAST, glued=True, by=("L",)),
            "fast-across",
            "'P' moves 7 mm over 300 mm across its grain and is glued to 'L', which does not",
            "hold it by buttons or slotted screws instead, or glue it at one place only",
        ),
        (
            replace(PANEL, sort=Sort.FAST, slotted=True),
            "short-slot",
            "'P' moves 7 mm over 300 mm across its grain, its slots give 2 mm",
            "make the slots longer: 5 mm more between the two",
        ),
        (
            replace(PANEL, sort=Sort.HELD),
            "short-slot",
            "'P' moves 7 mm each way, 'g' lets it move 2 mm",
            "leave at least 7 mm",
        ),
        (
            replace(PANEL, sort=Sort.GAP, needs=Length("6.3")),
            "binds",
            "'P' swells by 6.3 mm and has 2 mm between 'L' and 'R'",
            "leave 6.5 mm, or work it at a higher moisture and write worked at: in the shop file",  # half millimetres
        ),
    ],
)
def test_wood_that_is_held_is_told_with_what_it_needs(tie: Tie, code: str, wrong: str, right: str) -> None:
    work: Any = SimpleNamespace(build=SimpleNamespace(display=sample_job(BY_NAME["seed_tote"], "mm").display))
    problem = _problem(work, tie)
    assert problem is not None
    assert (problem.code, problem.wrong, problem.right, problem.at) == (code, wrong, right, HERE)
    assert problem.severity is Severity.WARNING


def test_nothing_is_told_of_wood_that_has_its_room() -> None:
    """Just enough is enough; of a tongue as long as half of what the panel shrinks nothing is left in the groove."""
    work: Any = SimpleNamespace(build=SimpleNamespace(display=sample_job(BY_NAME["seed_tote"], "mm").display))
    assert _problem(work, replace(PANEL, gives=Length(7))) is None
    assert _problem(work, replace(PANEL, gives=None)) is None
    for tongue, told in (("1.5", True), ("1.6", False)):
        problem = _problem(work, replace(PANEL, gives=Length(7), tongue=Length(tongue)))
        assert (problem is not None) is told


@pytest.mark.parametrize(
    ("lengths", "other"),
    [
        (("400", "400.01", "399.99"), None),  # to 1/100 mm
        (("400", "400.02"), ("B", "400.02 mm")),
        (("400", "400", "399.5"), ("C", "399.5 mm")),
    ],
)
def test_pieces_of_a_part_come_out_equally_long(lengths: tuple[str, ...], other: tuple[str, str] | None) -> None:
    part: Any = SimpleNamespace(pieces=[SimpleNamespace(mark=mark, at=HERE) for mark in "ABC"[: len(lengths)]])
    told: list[tuple[object, ...]] = []
    values: Any = SimpleNamespace(note=lambda *words: told.append(words))
    assert _alike(part, [Length(each) for each in lengths], "between its shoulders", values) is (other is None)
    if other is None:
        assert told == []
    else:
        wrong = f"'{other[0]}' comes out {other[1]} long between its shoulders, 'A' 400 mm"
        assert told == [(HERE, "lean", wrong, "make it a part of its own")]
