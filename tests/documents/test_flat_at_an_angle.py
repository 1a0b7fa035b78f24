"""What the sheets say of pieces screwed and lapped at an angle, whose joints other tests work out by hand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.catalogue import make_documents
from tests.sample_jobs import job_of
from tests.work.joints.test_laps_at_an_angle import crossed
from tests.work.joints.test_screwed_at_an_angle import BACK


def test_a_template_on_a_leaning_board_counts_from_its_long_point(tmp_path: Path) -> None:
    """The screws lie 310.3587 from end A of a board 612.7826 long from long point to long point, so 302.4239 from the
    long point of end B: INDEX is squared across at a round figure from one of them, and the screws lie the rest from
    there."""
    path = tmp_path / "b.yaml"
    path.write_text(BACK.format(thick=20, cleat=25, rake=10, high=300), "utf-8")
    (templates,) = (document for document in make_documents(job_of(path)) if document.name == "templates")
    (board,) = (block for block in walk(templates.blocks) if isinstance(block, FullScale) and "board" in block.title)
    facts = " ".join(board.facts)
    end = re.search(r"End ([AB]) is sawn off square: count from its long point\.", facts)
    assert end is not None
    line = re.search(rf"Square a line across the face (\d+) mm from end {end[1]}", facts)
    assert line is not None
    away = [float(far) for far in re.findall(r"(\d+(?:\.\d+)?) mm from INDEX toward end [AB]", facts.replace("≈", ""))]
    assert away
    toward = re.findall(r"from INDEX toward end ([AB])", facts)
    whole = {"A": 310.3587, "B": 302.4239}[end[1]]
    for far, to in zip(away, toward, strict=True):
        assert int(line[1]) + (-far if to == end[1] else far) == pytest.approx(whole, abs=0.26)


def test_the_line_of_a_lap_is_an_angle_to_set(tmp_path: Path) -> None:
    """Two legs that splay 25 and 35 degrees cross at 60: the line of either lap lies 30 off square."""
    path = tmp_path / "b.yaml"
    path.write_text(crossed(splay=(25, 35)), "utf-8")
    (sheet,) = (document for document in make_documents(job_of(path)) if document.name == "angles")
    table = next(block for block in walk(sheet.blocks) if isinstance(block, Table) and block.name == "angles")
    rows = [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]
    (lap,) = (row for row in rows if "lap, line across the face" in row[4])
    assert lap[1:3] == ["30", "60"]
    assert lap[6] == "2"
