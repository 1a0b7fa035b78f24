"""What the sheets say of pieces screwed and lapped at an angle, whose joints other tests work out by hand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.fitting.laid_on import laid_lines, laid_on
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


REST = """
build: {title: Trial, mark: T, units: mm}
materials: {cherry: {kind: hardwood, species: black cherry, rough: 38}}
parts:
  side:
    material: cherry
    size: 20 x 260 x 300
    runs: {length: z, width: y}
    pieces:
      L: {x: 0, y: 0, z: 0}
      R: {mirror: L across x at 200}
  rest:
    material: cherry
    thickness: 15
    width: 220
    runs: {length: x, width: y}
    pieces:
      B: {x: L.right to R.left, y: centred on 130, z: centred on 200, tilt: 25 front}
  cleat:
    material: cherry
    size: 20 x 20 x 160
    runs: {length: y, width: z}
    pieces:
      CL: {x: L.right, y: centred on 130, z: to B.bottom, tilt: with B}
      CR: {mirror: CL across x at 200}
joints:
  cleats to sides: {kind: screwed butt, from: side, into: cleat, count: 2, length: 32, thickness: 4, glued: no}
  rest to cleats: {kind: screwed butt, from: cleat, into: rest, count: 2, length: 30, thickness: 4, glued: no}
"""


def test_the_line_that_a_cleat_is_laid_to(tmp_path: Path) -> None:
    """By hand: a cleat 160 long and 20 high under a rest 15 thick that is tipped 25 degrees to the front about (130,
    200). Before it is tipped its lower side lies 27.5 under that, from 80 before it to 80 behind: tipped,
    -80 cos 25 + 27.5 sin 25 = -60.8827 and -80 sin 25 - 27.5 cos 25 = -58.7329, so from 69.1173 behind the front and
    141.2671 up, to 80 cos 25 + 27.5 sin 25 = 84.1267, 80 sin 25 - 27.5 cos 25 = 8.8860: 214.1267 and 208.8860."""
    path = tmp_path / "b.yaml"
    path.write_text(REST, "utf-8")
    job = job_of(path)
    found = {one.laid: one for one in laid_on(job) if one.on in "LR"}
    assert set(found) == {"CL", "CR"}
    for one in found.values():
        ends = [[value.float_mm() for value in spot] for spot in one.line]
        assert ends[0] == pytest.approx([141.2671, 69.1173], abs=0.002)
        assert ends[1] == pytest.approx([208.8860, 214.1267], abs=0.002)
        assert one.off == pytest.approx(25, abs=0.001)
    (words,) = laid_lines(job, ["L", "R"])
    assert plain(words).startswith("CL  CR: laid on the back face, the side nearer end A from")
    (words,) = laid_lines(job, ["CL"])
    assert plain(words) == "B: laid on the face edge, 0 to 160 along, 0 to 20 deep"
    (sheet,) = (document for document in make_documents(job) if document.name == "angles")
    table = next(block for block in walk(sheet.blocks) if isinstance(block, Table) and block.name == "angles")
    rows = [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]
    assert rows[0][1:3] == ["25", "65"]
