"""Pieces that stand upright and show so many faces that their drawing has no room: they are drawn lying."""

from __future__ import annotations

from pathlib import Path

from shopdocs.blocks.drawing import Drawing, Line
from shopdocs.blocks.text import Paragraph, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.job import Job
from shopdocs.page.compose import compose
from shopdocs.page.paper import paper
from tests.page.frame_checks import laid_items, text_over_text
from tests.sample_jobs import PLACED, document_of, job_of, sample_job

FRAME = """
build: {title: Frame, mark: F, units: mm, free standing: no}
materials: {walnut: {kind: hardwood, rough: 32}}
parts:
  stile: {material: walnut, size: 22 x 60 x 620, runs: {length: z, width: x}, pieces: {L: {x: 0, y: 0, z: 0},
    R: {mirror: L across x at 210}}}
  rail: {material: walnut, size: 22 x 60 x 420, runs: {length: x, width: z}, pieces: {T: {x: 0, y: 0, z: to 620},
    B: {mirror: T across z at 310}}}
joints: {corners: {kind: keyed mitre, from: rail, into: stile, thickness: 3, count: 2}}
cuts:
  rabbet: {kind: rabbet, depth: 12, on: [{piece: [L, R, T, B], face: back, across: width - 10 to width}]}
hardware:
  turn button: {holes: [{bit: 2, depth: 12}], on: [{piece: [L, R], face: back, along: [150, length - 150], across: 40}]}
"""


def laid_words(job: Job) -> list[str]:
    blocks = walk(document_of(job, "piece-drawings").blocks)
    told = [plain(block.text) for block in blocks if isinstance(block, Paragraph)]
    return [words.partition("Drawn lying")[2] for words in told if "Drawn lying" in words]


def test_a_stile_with_work_on_all_four_faces_is_drawn_lying(tmp_path: Path) -> None:
    """Key slots in the outer edge, the rabbet in the inner one and in the back, mitres in the face: four faces 62 mm
    wide side by side, each with its notes, have no room upright; lying at 1:4 a stile of 620 is 155 mm long."""
    file = tmp_path / "build.yaml"
    file.write_text(FRAME, "utf-8")
    job = job_of(file)
    assert laid_words(job) == [", the top at the right: L  R."]
    document = document_of(job, "piece-drawings")
    drawings = [block for block in walk(document.blocks) if isinstance(block, Drawing) and "620" in block.name]
    for drawing in drawings:
        assert drawing.scale is not None and drawing.scale.denominator <= 4 * drawing.scale.numerator
        level = [line for line in drawing.shapes if isinstance(line, Line) and line.start[1] == line.end[1]]
        assert max(abs(line.end[0] - line.start[0]).mm for line in level) == 620
        assert not text_over_text(laid_items(drawing))
    composed = compose((document,), job.imprint, paper("a4"))
    assert not composed.notes


def test_the_samples_have_room_for_what_stands_upright() -> None:
    assert not [folder.name for folder in PLACED if laid_words(sample_job(folder, "mm"))]
