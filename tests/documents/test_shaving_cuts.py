"""Cuts and sizes that differ are printed as different, however little they differ."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.text import Figure, plain
from shopdocs.blocks.walk import figures
from shopdocs.documents.yard.board_drawings import board_drawings
from shopdocs.documents.yard.cut_words import saw_text
from tests.documents.test_lumber_sheet import job_of
from tests.work.boards_case import write_case

SHEET = """
build: {{title: Trial, mark: TR, units: {units}}}
materials:
  ply: {{kind: sheet, thickness: {thick}, sheet: {sheet}}}
parts:
  a: {{material: ply, size: {size}, count: 1, mark: Q}}
"""
SHOP = "units: {units}\n  kerf: {kerf}\n  milling: {{thickness: 0, width: 0, length: 0}}\n  sheet trim: 0"


def case(folder: Path, **words: str):  # type: ignore[no-untyped-def]
    path = write_case(folder, "", SHOP.format(**words))
    path.write_text(SHEET.format(**words), "utf-8")
    job = job_of(path)
    (plan,) = job.boards.materials
    (board,) = plan.boards
    return job, plan, plain(saw_text(board, job.display, job.shop)).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("size", "said"),
    # By hand on a sheet of 1525: to a half millimetre 1524.8 would be 1525, to a tenth it is 1524.8; 1524.98 is 1525.0.
    [
        ("18 x 1525 x 1524.8", "Saw 1: crosscut 1524.8"),
        ("18 x 1525 x 1524.98", "Saw 1: trim the right end"),
        ("18 x 1524.8 x 1525", "Saw 1: rip 1524.8"),
        ("18 x 1524.98 x 1525", "Saw 1: trim the upper edge"),
        ("18 x 1525 x 1524", "Saw 1: crosscut 1524"),
        ("18 x 1525 x 1525", "No cut: the piece takes the whole board."),
    ],
)
def test_a_shaving_is_not_printed_as_the_whole_sheet(tmp_path: Path, size: str, said: str) -> None:
    _, _, words = case(tmp_path, units="mm", thick="18", sheet="1525 x 1525", size=size, kerf="3")
    assert words == said


def test_a_shaving_in_inches(tmp_path: Path) -> None:
    """By hand: 59-63/64 in is 60 in to the nearest thirty-second (halves go up)."""
    _, _, words = case(tmp_path, units="in", thick="3/4", sheet="60 x 60", size="3/4 x 60 x 59-63/64", kerf="1/8")
    assert words == "Saw 1: crosscut 59⁶³⁄₆₄"


def test_a_piece_is_not_printed_as_large_as_its_sheet(tmp_path: Path) -> None:
    job, plan, _ = case(tmp_path, units="mm", thick="18", sheet="1525 x 1525", size="18 x 1525 x 1524.8", kerf="3")
    shown = {
        f.name.rpartition(" · ")[2]: f.shown
        for f in figures(board_drawings(plan, job.display, job.shop))
        if isinstance(f, Figure) and "rough" in f.name
    }
    assert shown == {"length": "1524.8", "width": "1525"}


def test_two_cuts_that_differ_are_printed_as_two(tmp_path: Path) -> None:
    """Two pieces of 600.2 and 600 mm beside each other: to a half millimetre both are 600."""
    path = write_case(tmp_path, "", SHOP.format(units="mm", kerf="3"))
    path.write_text(
        SHEET.format(units="mm", thick="18", sheet="1525 x 1525", size="18 x 700 x 600.2")
        + "  b: {material: ply, size: 18 x 700 x 600, count: 1, mark: P}\n",
        "utf-8",
    )
    job = job_of(path)
    (plan,) = job.boards.materials
    (board,) = plan.boards
    words = plain(saw_text(board, job.display, job.shop))
    told = set(re.findall(r"crosscut\W([\d.≈]+)", words)) | set(re.findall(r"rip\W([\d.≈]+)", words))
    assert {"600.2", "600"} <= told, words
