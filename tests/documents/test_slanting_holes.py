"""What the sheets say of a hole at an angle: the leg and the bolt that the tests of the holes work out by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale, Polygon
from shopdocs.blocks.sheets import Document
from shopdocs.blocks.walk import walk
from shopdocs.core.problems import Severity
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import Job
from shopdocs.documents.records import record_pages
from shopdocs.pipeline import check_build
from tests.sample_jobs import job_of
from tests.work.holes.test_slanting import BOLT, LEG

OFF = "5.71° off square"  # atan(1/10) = 5.7106
SCREW = """
  screw: {holes: [{screw: 5 x 80, as: clearance, depth: through}], on: [{piece: S, face: face side, along: 200,
    across: 200, meets: L}]}"""


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    path: Path = tmp_path_factory.mktemp("slanting") / "build.yaml"
    hardware = BOLT.format(x=200) + SCREW
    text = LEG.format(thick=40, wide=40, top=450, lean="rake: 1 in 10 rear", y=290, z=220, hardware=hardware)
    path.write_text(text, "utf-8")
    assert not [each for each in check_build(str(path))[2] if each.severity is Severity.ERROR]
    return job_of(path)


def sheet(job: Job, name: str) -> Document:
    (found,) = (document for document in make_documents(job) if document.name == name)
    return found


def test_the_drawing_says_angle_way_and_where_it_comes_out(job: Job) -> None:
    """255.247 along the face side is 255 to half a millimetre, in the middle of 40 across; toward end B."""
    said = repr(sheet(job, "piece-drawings").blocks)
    assert f"Ø 8 mm, through, {OFF}" in said
    assert f"Ø 8 mm of the bolt: {OFF}, toward end B, out at ≈255 along, 20 across the face side" in said
    assert "Ø 3.5 mm, 50 deep, square to the sawn end" in said


def test_the_template_has_its_true_rim_and_words(job: Job) -> None:
    """Bored 5.71° off square a hole of 8 cuts the face in an ellipse 8 by 8 / cos(5.7106) = 8.0399 mm, along the leg.
    On the sawn end no paper lies true, and its hole is told in words."""
    paper = sheet(job, "templates")
    (back,) = [one for one in walk(paper.blocks) if isinstance(one, FullScale) and one.anchor == "template-L-back"]
    assert any(OFF in fact and "out at ≈255 along" in fact for fact in back.facts)
    (rim,) = [one for one in back.drawing.shapes if isinstance(one, Polygon) and len(one.points) == 96]
    spans = sorted(max(v) - min(v) for v in zip(*((x.float_mm(), y.float_mm()) for x, y in rim.points), strict=True))
    assert spans == pytest.approx([8, 8 / math.cos(math.atan(0.1))], abs=0.002)
    anchors = [one.anchor for one in walk(paper.blocks) if isinstance(one, FullScale)]
    assert "template-L-B" not in anchors
    assert "L, end B, sawn off square: no paper lies true there" in repr(paper.blocks)


def test_record_and_angles_say_it_too(job: Job) -> None:
    (record,) = [page for page in record_pages(job) if page.name == "t-l"]
    assert f"{OFF}, toward end B, out at ≈255 along, 20 across the face side" in repr(record.blocks)
    said = repr(sheet(job, "angles").blocks)
    assert "boring off square" in said
    assert "Guide for L, back face" in said
