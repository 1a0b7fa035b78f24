"""Mortises and holes at an angle in words, worked out by hand: piece coordinates run along the piece from end
A, across it from the face edge, and into it from the face side."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest

from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.core.turn import Vector
from shopdocs.documents.fitting.off_square import (
    across_words,
    angle_words,
    bored,
    slanted_words,
    slanting_note,
    slanting_words,
)
from shopdocs.model.joining import Face
from shopdocs.work.space.features import Bore, Cuboid, FeatureKind, Slant, Slanting
from tests.values import replace

SPOT = (Length(100), Length(30), ZERO)
END = (Length(300), Length(30), Length(12))


def way(x: float, y: float, z: float) -> Vector:
    """One long, in this direction."""
    long = math.hypot(x, y, z)
    return x / long, y / long, z / long


def at(degrees: float) -> tuple[float, float]:
    return math.sin(math.radians(degrees)), math.cos(math.radians(degrees))


(SIN10, COS10), (SIN20, COS20), (SIN5, COS5) = at(10), at(20), at(5)
ALONG, ACROSS, IN = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)

MORTISES = [
    # into the face side, 10 degrees toward end B or toward the face edge
    (Slant(Face.FACE, SPOT, (SIN10, 0, COS10), ACROSS, Length(8), None, Length(25)),
     "bored 10° off square, going in toward end B", "Ø 8 mm, 25 deep along its own line, 10° off square"),
    (Slant(Face.FACE, SPOT, (0, -SIN10, COS10), ALONG, Length(8), Length(30), None),
     "chopped 10° off square, going in toward the face edge", "8 × 30, through, 10° off square"),
    # 4 across for 3 along and 10 deep: atan(5/10) = 26.565 off square, the sight line atan(4/3) = 53.130 off the length
    (Slant(Face.FACE, SPOT, way(-3, 4, 10), ACROSS, Length(8), None, Length(25)),
     "bored 26.57° off square, going in toward the far edge and end A, sight line 53.13° off the length",
     "Ø 8 mm, 25 deep along its own line, 26.57° off square"),
    # square to the face side, its long side 20 degrees off the length
    (Slant(Face.FACE, SPOT, IN, (SIN20, COS20, 0), Length(8), Length(30), Length(25)),
     "chopped square to the face side, lying 20° off the length", "8 × 30, 25 deep"),
    # into end A, which is square: 10 degrees toward the back
    (Slant(Face.A, (ZERO, Length(30), Length(12)), (COS10, 0, SIN10), ACROSS, Length(8), None, Length(25)),
     "bored 10° off square, going in toward the back face", "Ø 8 mm, 25 deep along its own line, 10° off square"),
    # along the piece into end B, which is sawn 5 degrees off square
    (Slant(Face.B, END, (-1, 0, 0), ACROSS, Length(12), None, Length(25), None, (COS5, 0, SIN5)),
     "bored along the piece, 5° off the sawn end, its depth from the middle there", "Ø 12 mm, 25 deep along the piece"),
    # square to end B as it is sawn
    (Slant(Face.B, END, (-COS5, 0, -SIN5), ACROSS, Length(12), None, Length(25), None, (COS5, 0, SIN5)),
     "bored square to end B", "Ø 12 mm, 25 deep"),
]  # fmt: skip


@pytest.mark.parametrize(("slant", "angle", "size"), MORTISES, ids=lambda one: one if isinstance(one, str) else "")
def test_a_mortise_says_its_sizes_and_its_way_in(slant: Slant, angle: str, size: str) -> None:
    assert angle_words(bored(slant), slant) == angle
    job: Any = SimpleNamespace(display=Display.of("mm"))
    piece: Any = SimpleNamespace(cuboids=())
    cuboid = Cuboid(FeatureKind.MORTISE, SPOT, END, slant=slant)
    assert slanted_words(job, cuboid, piece).replace("\u00a0", " ") == size


HOLES = [
    (Slanting((SIN10, 0, COS10), (0, 0, -1), ZERO, Face.BACK, (Length(104), Length(30), Length(24))), Face.FACE,
     "10° off square", "10° off square, toward end B, out at 104 along, 30 across the back face"),
    (Slanting(way(-3, 4, 10), (0, 0, -1), ZERO, Face.BACK, (Length(93), Length(40), Length(24))), Face.FACE,
     "26.57° off square", "26.57° off square, toward the far edge and end A, sight line 53.13° off the length, "
     "out at 93 along, 40 across the back face"),
    (Slanting((-1, 0, 0), (COS5, 0, SIN5), Length(2), Face.A, (ZERO, Length(30), Length(12))), Face.B,
     "along the piece", "along the piece, 5° off the sawn end, out at 30 along, 12 across end A"),
    (Slanting((-COS5, 0, -SIN5), (COS5, 0, SIN5), Length(2), Face.A, (ZERO, Length(30), Length(9))), Face.B,
     "square to the sawn end", "square to the sawn end, out at 30 along, 9 across end A"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("slanting", "face", "note", "words"), HOLES, ids=lambda one: one if isinstance(one, str) else ""
)
def test_a_hole_says_its_way_and_where_it_comes_out(slanting: Slanting, face: Face, note: str, words: str) -> None:
    bore = Bore(FeatureKind.HOLE, face, END if face is Face.B else SPOT, Length(8), slanting=slanting)
    assert slanting_note(bore) == note
    assert slanting_words(bore, Display.of("mm")).replace("\u00a0", " ") == words


def test_a_round_mortise_is_told_by_its_bit_in_a_set_of_inches() -> None:
    """A bit of 25 mm is bought and named so; rounded to 31/32 in (24.6 mm) no bit would bore what the tenon needs."""
    slant = replace(MORTISES[0][0], thick=Length(25))
    assert across_words(slant, Display.of("in")) == "Ø 25 mm"
