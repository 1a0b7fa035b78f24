"""Words of the trade for each kind of joint (common practice, no source): what has no tenon, tongue, tail or housed end
does not go into anything."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.gluing import glue_up
from shopdocs.documents.job import make_job
from shopdocs.documents.wording import WORDS, from_one, joined
from shopdocs.model.joining import End, JointKind, Meeting
from shopdocs.pipeline import check_build

# Kinds where one piece carries something that the other has a hollow for.
LET_IN = {
    JointKind.MORTISE_AND_TENON, JointKind.THROUGH_TENON, JointKind.BRIDLE, JointKind.HOUSING,
    JointKind.TONGUE_AND_GROOVE, JointKind.RABBET, JointKind.DOVETAIL,
}  # fmt: skip
FLAT = {JointKind.DOWELS, JointKind.LOOSE_TENON, JointKind.SCREWED_BUTT, JointKind.EDGE_JOINT}


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
    assert set(WORDS) == set(JointKind) == LET_IN | FLAT | {JointKind.HALF_LAP}


def test_boards_of_a_top_are_glued_against_each_other() -> None:
    build, shop, _ = check_build(str(Path(__file__).parent.parent / "sample_builds/threshold_bench/build.yaml"))
    assert build is not None
    job = make_job(build, shop, build.display, "", "L30")
    lists = [block for block in walk(glue_up(job).blocks) if isinstance(block, Checklist)]
    steps = [plain(step.text) for block in lists for step in block.steps]
    edges = [words for words in steps if words.endswith(", edge joint")]
    tenons = [words for words in steps if words.endswith(", mortise and tenon")]
    assert edges
    assert tenons
    assert all(" against " in words and " into " not in words for words in edges)
    assert all(" into " in words for words in tenons)
