"""Words of the trade for each kind of joint (common practice, no source): what has no tenon, tongue, tail or housed end
does not go into anything."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Display
from shopdocs.documents.figures import area_text, grams_text
from shopdocs.documents.fitting.wording import from_one, joined
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import make_job
from shopdocs.model.joining import End, JointKind, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.joint_names import plural
from shopdocs.pipeline import check_build

# Kinds where one piece carries something that the other has a hollow for.
LET_IN = {
    JointKind.MORTISE_AND_TENON,
    JointKind.THROUGH_TENON,
    JointKind.ROUND_TENON,
    JointKind.BRIDLE,
    JointKind.HOUSING,
    JointKind.TONGUE_AND_GROOVE,
    JointKind.RABBET,
    JointKind.DOVETAIL,
    JointKind.FINGER_JOINT,
    JointKind.BREADBOARD_END,
    JointKind.SLIDING_DOVETAIL,
}
BESIDE = {JointKind.HALF_LAP, JointKind.SPLINED_MITRE, JointKind.KEYED_MITRE}
FLAT = {
    JointKind.DOWELS,
    JointKind.LOOSE_TENON,
    JointKind.SCREWED_BUTT,
    JointKind.EDGE_JOINT,
    JointKind.SPLINED_EDGE_JOINT,
}


@pytest.mark.parametrize("kind", list(JointKind))
def test_only_what_is_let_in_goes_into_anything(kind: JointKind) -> None:
    meeting = Meeting(4, "j", "RF", "FL", End.A)
    said = [joined(kind, meeting), from_one(kind, meeting, "RF"), from_one(kind, meeting, "FL")]
    assert said[0].startswith("RF end A ")
    assert said[0].endswith(" FL")
    if kind in FLAT:
        assert all("against" in words for words in said)
    if kind not in LET_IN:
        assert not any(f" {word} " in f" {words} " for words in said for word in ("in", "into", "takes", "through"))
    assert "end A" in said[1]
    assert "end A" in said[2], "the end is that of the entering piece, on both pages"
    assert said[2].index("RF") < said[2].index("end A")
    assert "FL" in said[1]


def test_every_kind_has_its_words() -> None:
    assert set(KINDS) == set(JointKind) == LET_IN | FLAT | BESIDE


LID = """
build: {title: Lid, mark: L, units: mm}
materials: {ash: {kind: hardwood, rough: 34}}
parts:
  board:
    material: ash
    thickness: 20
    width: 100
    runs: {length: x, width: y}
    pieces:
      B1: {x: 0 to 400, y: 0, z: 0}
      B2: {x: 0 to 400, y: B1.back, z: 0}
  cleat:
    material: ash
    thickness: 20
    width: 40
    runs: {length: y, width: x}
    pieces:
      C: {x: B1.right, y: 0 to 200, z: 0}
joints:
  seam: {kind: edge joint, pieces: [B1 into B2]}
  cleat: {kind: mortise and tenon, from: board, into: C, thickness: 6, length: 20}
gluing: {adhesive: slow epoxy, stages: [{title: Lid, pieces: [B1, B2, C]}]}
"""


def test_boards_of_a_top_are_glued_against_each_other(tmp_path: Path) -> None:
    (tmp_path / "build.yaml").write_text(LID)
    build, shop, problems = check_build(str(tmp_path / "build.yaml"))
    assert not problems, [str(problem) for problem in problems]
    assert build is not None
    job = make_job(build, shop, build.display, "", "letter-30")
    lists = [block for block in walk(glue_up(job).blocks) if isinstance(block, Checklist)]
    steps = [(plain(step.text), plain(step.detail)) for block in lists for step in block.steps]
    edges = [words for words, told in steps if "edge joint" in told]
    assert edges
    assert all(" against " in words and " into " not in words for words in edges)
    # the cleat takes the tenons of both boards, so it goes on over them, after they are one
    words = [words for words, _ in steps]
    assert words.index(edges[0]) < words.index("3\u00a0\u00a0C over B1 and B2, from the right")


SHELF = """
build: {title: Shelf, mark: S, units: mm, free standing: no}
materials: {ash: {kind: hardwood, rough: 34}}
parts:
  side:
    material: ash
    thickness: 20
    width: 200
    runs: {length: z, width: y}
    pieces:
      L: {x: 0, y: 0, z: 0 to 300}
      R: {x: 320, y: 0, z: 0 to 300}
  board:
    material: ash
    thickness: 20
    width: 200
    runs: {length: x, width: y}
    pieces:
      B: {x: L.right to R.left, y: 0, z: 100}
  cleat:
    material: ash
    thickness: 20
    width: 40
    runs: {length: x, width: z}
    pieces:
      C: {x: L.right to R.left, y: 180, z: B.top}
joints:
  board: {kind: housing, from: board, into: side, depth: 6}
hardware:
  cleat screw:
    holes: [{bit: 4, as: clearance, depth: through}]
    on: [{piece: C, face: face edge, along: [60, length - 60], across: thickness / 2}]
    holds: C
gluing: {adhesive: slow epoxy, stages: [{title: All, pieces: [L, R, B, C]}]}
"""


def test_what_only_screws_hold_is_not_said_to_begin_the_glue_up(tmp_path: Path) -> None:
    """The cleat has no joint: the order begins with a side, and the cleat follows when the glue has set."""
    (tmp_path / "build.yaml").write_text(SHELF)
    build, shop, problems = check_build(str(tmp_path / "build.yaml"))
    assert build is not None, [str(problem) for problem in problems]
    job = make_job(build, shop, build.display, "", "letter-30")
    lists = [block for block in walk(glue_up(job).blocks) if isinstance(block, Checklist)]
    wet = next(block for block in lists if block.title == "With wet glue")
    dry = next(block for block in lists if block.title == "When the glue has set: no glue from here")
    assert [plain(step.text) for step in wet.steps if "Start" in plain(step.text)] == ["1\u00a0\u00a0Start with L"]
    assert [plain(step.text) for step in dry.steps] == [
        "4\u00a0\u00a0C in place, from the front, held only by its hardware"
    ]


@pytest.mark.parametrize(
    ("word", "several"),
    [
        ("mortise", "mortises"),
        ("notch", "notches"),
        ("recess", "recesses"),
        ("pilot hole", "pilot holes"),
        ("edge in the rabbet", "edges in the rabbet"),
    ],
)
def test_several_are_spelt_as_in_english(word: str, several: str) -> None:
    """Any dictionary: words that end in a hiss take -es."""
    assert plural(word) == several


def test_no_glue_up_takes_no_glue() -> None:
    """By hand: 645 mm² (1 in²) at 200 g/m² take 0.13 g. 0 g would read as none, and an ounce's tenth is not near."""
    inches, metric = Display.of("in"), Display.of("mm")
    little = Fraction(645, 1_000_000) * 200
    assert grams_text(little, metric) == grams_text(little, inches) == "1 g"
    # ounces of the grams that are printed: 33 / 28.35 = 1.164, though 32.6 / 28.35 = 1.1499
    assert grams_text(Fraction("32.6"), inches) == "33 g (1.2 oz)"
    assert grams_text(Fraction(0), metric) == "0 g" and grams_text(Fraction(7, 2), metric) == "4 g"


def test_a_small_area_is_told_in_square_centimetres() -> None:
    """By hand: 0.08 m² would be anything from 750 to 850 cm²; the stage beside it says 164 cm²."""
    metric = Display.of("mm")
    assert [area_text(Fraction(cm2, 10_000), metric) for cm2 in (164, 796, 999, 1960)] == [
        "164 cm²",
        "796 cm²",
        "999 cm²",
        "0.20 m²",
    ]
