"""Pieces glued up from strips: every sheet speaks of the same strips by the same marks."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing, Words
from shopdocs.blocks.sheets import Document, Labels
from shopdocs.blocks.text import Checklist, Table, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.core.length import Length
from shopdocs.documents.catalogue import CATALOGUE
from shopdocs.documents.job import Job
from shopdocs.documents.records import record_pages
from shopdocs.model.parts import strip_mark
from shopdocs.pipeline import Request, check_build, render
from shopdocs.work.cut_list import CutRow
from tests.documents.test_lumber_sheet import job_of
from tests.work.boards_case import write_case

# By hand: 21 wide of six strips is 3-1/2 each, and 1/4 for jointing; 20 of two is 10 and 1/4. All 1 longer, 3/4 planed
# from 4/4, which is sawn 1 thick.
PANELS = """
materials:
  elm 4/4: {kind: hardwood, price: 11.25 per bf}
parts:
  leaf: {material: elm 4/4, size: 3/4 x 21 x 30, count: 2, strips: 6, mark: F}
  flap: {material: elm 4/4, size: 3/4 x 20 x 24, strips: 2, pieces: [W]}
  lath: {material: elm 4/4, size: 3/4 x 2 x 30, pieces: [Q]}
gluing:
  adhesive: slow PVA
  stages: [{title: All, pieces: [F1, F2, W, Q]}]
"""
SHOP = """
  milling: {thickness: 1/4, width: 1/4, length: 1}
  yard: [{material: elm 4/4, width: 11, length: 10 ft}]
"""
STRIPS = {"F1": [f"F1{letter}" for letter in "abcdef"], "F2": [f"F2{letter}" for letter in "abcdef"], "W": ["Wa", "Wb"]}


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    return job_of(write_case(tmp_path_factory.mktemp("panels"), PANELS, SHOP))


def _document(job: Job, name: str) -> Document:
    return next(entry for entry in CATALOGUE if entry.name == name).make(job)


def _words(document: Document, kind: type) -> str:
    return " ".join(plain(one) for block in walk(document.blocks) if isinstance(block, kind) for one in texts(block))


def test_letters_do_not_come_round_again() -> None:
    marks = [strip_mark("W", number) for number in range(1, 61)]  # 60 is the most there may be
    assert len(set(marks)) == 60
    assert (marks[0], marks[25], marks[26], marks[59]) == ("Wa", "Wz", "Waa", "Wbh")


def test_every_strip_lies_on_a_board_once(job: Job) -> None:
    sheet = _document(job, "lumber")
    drawn = [
        shape.text.split("  ")[0]
        for block in walk(sheet.blocks)
        if isinstance(block, Drawing)
        for shape in block.shapes
        if isinstance(shape, Words)
    ]
    below = _words(sheet, Table)
    for marks in STRIPS.values():
        for mark in marks:
            assert drawn.count(mark) + below.count(f" {mark}, ") == 1, mark


def test_the_cut_list_and_the_glue_up_name_the_strips(job: Job) -> None:
    cut, glue = _words(_document(job, "cut-list"), Table), _words(_document(job, "glue-up"), Checklist)
    assert "(glued up from F1a–F1f, F2a–F2f)" in cut
    assert "W (glued up from Wa Wb)" in cut
    assert "F1  F2: glue F1a–F1f; F2a–F2f edge to edge, 5 seams each" in glue
    assert "W: glue Wa Wb edge to edge, 1 seam" in glue
    pencilled = " ".join(plain(one) for block in walk(_document(job, "mate-marks").blocks) for one in texts(block))
    assert "W, flap: Wa Wb" in pencilled
    assert "one triangle across all of them" in pencilled


def test_every_strip_has_a_label_before_that_of_its_piece(job: Job) -> None:
    (block,) = (block for block in _document(job, "labels").blocks if isinstance(block, Labels))
    marks = [label.mark for label in block.labels]
    assert marks == [*STRIPS["F1"], "F1", *STRIPS["F2"], "F2", *STRIPS["W"], "W", "Q"]
    by_mark = {label.mark: label for label in block.labels}
    strip = by_mark["F1b"]
    assert strip.sizes == ("rough 1 × 3³⁄₄ × 31 in",)
    assert strip.meets == ("between F1a and F1c",)
    assert by_mark["F1a"].meets == ("beside F1b",)
    assert by_mark["F1f"].meets == ("beside F1e",)
    assert strip.warning == "F1a–F1f look alike"
    assert "F1b" in strip.codes[0].text
    assert len({label.anchor for label in block.labels}) == len(block.labels)
    assert by_mark["F1"].sizes == ("finished ³⁄₄ × 21 × 30 in",)
    row: CutRow = job.rows["W"]
    assert (row.rough.width, row.rough.length) == (Length.inches("41/4"), Length.inches(25))


def test_a_record_tells_its_strips(job: Job) -> None:
    page = next(page for page in record_pages(job) if page.name.endswith("W") or page.name.endswith("w"))
    assert "Wa Wb" in " ".join(plain(one) for block in walk(page.blocks) for one in texts(block))


def test_a_piece_may_not_be_called_as_a_strip_is(tmp_path: Path) -> None:
    path = write_case(tmp_path, PANELS.replace("[Q]", "[WA]").replace("W, Q]", "W, WA]"), SHOP)
    wrong = [problem for problem in check_build(str(path))[2] if problem.code == "duplicate-mark"]
    assert [problem.wrong for problem in wrong] == ["'WA' is also what a strip of 'W' is called"]


def test_a_set_with_strips_is_made_without_a_word_cut_short(tmp_path: Path) -> None:
    path = write_case(tmp_path, PANELS, SHOP)
    outcome = render(Request(build=str(path)), str(tmp_path / "set"))
    assert (tmp_path / "set" / "labels.pdf").exists()
    assert [str(problem) for problem in outcome.problems if problem.code == "typesetting"] == []


def test_a_stage_of_strips_alone_glues_its_panel(tmp_path: Path) -> None:
    """By hand: W has one seam, 3/4 by 24 in; F1 and F2 have no stage of their own and stay panels to be made first."""
    own = PANELS.replace("stages: [", "stages: [{title: Flap, pieces: [W], clamps: {bar clamp: 2}}, ")
    job = job_of(write_case(tmp_path, own, SHOP))
    flap, everything = job.stages
    assert [piece.mark for _, piece in flap.panels] == ["W"]
    assert flap.area == Fraction(3, 4) * 24 * Fraction("25.4") ** 2 / 1_000_000
    assert not everything.panels
    assert [piece.mark for panel in job.panels for piece in panel.pieces] == ["F1", "F2"]
    glue = _words(_document(job, "glue-up"), Checklist)
    assert "Dry fit: Wa Wb" in " ".join(glue.split())
    assert "W: glue Wa Wb edge to edge, 1 seam" in " ".join(glue.split())
    (block,) = (block for block in _document(job, "labels").blocks if isinstance(block, Labels))
    stages = {label.mark: label.stage for label in block.labels}
    assert (stages["Wa"], stages["W"], stages["F1a"], stages["F1"]) == (
        "stage 1",
        "stages 1, 2",
        "panel first",
        "stage 2",
    )


def test_a_stage_that_joins_panels_does_not_glue_their_strips(tmp_path: Path) -> None:
    joined = PANELS.replace("Q]}]", "Q]}, {title: Leaves, pieces: [F1, F2]}]").replace(
        "gluing:", "joints: {leaves: {kind: edge joint, pieces: [F1 into F2]}}\ngluing:"
    )
    job = job_of(write_case(tmp_path, joined, SHOP))
    assert not any(work.panels for work in job.stages)


def test_the_lumber_sheet_counts_what_is_sawn(job: Job) -> None:
    """By hand: 2 x 6 strips, 2 strips and a lath."""
    (need,) = job.needs
    assert need.sawn == 15
