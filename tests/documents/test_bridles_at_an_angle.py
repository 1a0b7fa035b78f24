"""What the sheets say of bridles at an angle, whose joints other tests work out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.text import Bullets, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.job import Job
from shopdocs.model.joining import Face
from tests.sample_jobs import document_of, job_of
from tests.work.joints.test_bridles_at_an_angle import a_frame


@pytest.fixture(name="job")
def a(tmp_path: Path) -> Job:
    """The A of two legs of 70 x 40 that splay 15 degrees, 800 high, its tenon 14 thick: tests/work/joints."""
    path = tmp_path / "b.yaml"
    path.write_text(a_frame().replace("units: mm", "units: mm, fineness: 0.1 mm"), "utf-8")
    return job_of(path)


def rows(job: Job, document: str, name: str) -> list[list[str]]:
    blocks = walk(document_of(job, document).blocks)
    table = next(block for block in blocks if isinstance(block, Table) and block.name == name)
    return [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]


def said(job: Job, document: str) -> list[str]:
    blocks = (block for block in walk(document_of(job, document).blocks) if isinstance(block, Bullets))
    return [plain(item) for block in blocks for item in block.items]


def test_shoulder_and_floor_are_angles_to_set(job: Job) -> None:
    """Two legs that splay 15 degrees meet at 30: the shoulder, on both faces, and the floor lie so far off the length,
    60 off square, nearer to along than across."""
    found = [row for row in rows(job, "angles", "angles") if "along the face" in row[4]]
    assert [(row[4], row[6]) for row in found] == [
        ("cheek cut, line along the face", "2"),
        ("open mortise, line along the face", "1"),
    ]
    assert found[0][1:4] == ["30", "60", "1.73"]  # tan 60 = 1.732


def test_the_drawing_gauges_the_mortise_and_strikes_its_floor(job: Job) -> None:
    """By hand, in tests/work/joints: the shoulder and the floor run from 706.9774 along on the inner edge to
    828.2210 on the outer one; the mortise lies (40 - 14) / 2 = 13 from the face side."""
    lines = [line for line in said(job, "piece-drawings") if line.startswith("1: ")]
    assert lines == [
        "1: shoulder from ≈707 along, 70 across to ≈828.2 along, 0 across, 30° off the length",
        "1: floor from ≈707 along, 0 across to ≈828.2 along, 70 across, 30° off the length",
    ]
    words = " ".join(
        plain(cell.text)
        for block in walk(document_of(job, "piece-drawings").blocks)
        if isinstance(block, Table)
        for group in block.groups
        for row in group.rows
        for cell in row.cells
    )
    assert "2 cheek cuts 70 × 140, 13 deep" in words
    assert "open mortise 14 wide, 13 from the face side" in words


def test_its_mouth_is_measured_on_the_edge_where_it_runs_out_farther(job: Job) -> None:
    """On the inner edge, the face edge of the right leg, the mortise is open from 706.9774 on to the long point,
    846.9774 from end A; on the outer one it comes to nothing."""
    gauged = Gauged(job.space.pieces["R"])
    (mouth,) = (shown for shown in gauged.shown if shown.at_mouth)
    assert mouth.face is Face.EDGE
    assert [mouth.lo[0].float_mm(), mouth.hi[0].float_mm()] == pytest.approx([706.9774, 846.9774], abs=0.002)
    assert [value.float_mm() for value in gauged.levels(Face.EDGE, Face.B)] == pytest.approx([13, 27, 40])


def test_one_guide_serves_both_faces_of_a_tenon(job: Job) -> None:
    guides = [block for block in walk(document_of(job, "angles").blocks) if isinstance(block, FullScale)]
    titles = [guide.title for guide in guides if guide.title.startswith("Guide")]
    assert titles == ["Guide for L, face side", "Guide for R, face side"]
    one, two = (guide.facts for guide in guides if guide.title.startswith("Guide"))
    assert one[0] == "cheek cut 70 × 140, 13 deep"
    assert "strike it on the other face" in one[-1]
    assert two[0] == "open mortise 14 wide, 13 from the face side"
    assert "strike it on the other face" not in two[-1]


def test_the_mark_goes_on_the_cheeks(job: Job) -> None:
    (row,) = rows(job, "mate-marks", "mate-marks")
    assert [cell for cell in row if "cheek" in cell or "wall" in cell] == [
        "tenon in R, cheek by the face side",
        "wall of L's open mortise, by the face side",
    ]
