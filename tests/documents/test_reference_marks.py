"""The reference mark on a label: the loop on a face side, the V on a face edge, and the side their arris lies on.

The expected sides are by hand: hold the label before you so that its words can be read, and ask where the other trued
face is. The marks themselves are common practice of the trade.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Labels, PieceLabel, Sticking
from shopdocs.documents.labels import labels
from shopdocs.page.items import Line
from shopdocs.page.items import Path as Stroke
from shopdocs.page.label_marks import reference_mark
from tests.sample_jobs import PLACED, document_of, job_of, own_units, sample_job

BUILD = """
build: {{title: Shelf, mark: S, units: mm, free standing: no}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts:
  board: {{material: oak, size: {size}, runs: {{{runs}}}, pieces: {{B: {{x: 0, y: 0, z: 100{turned}}}}}}}
"""


def stuck(folder: Path, size: str, runs: str, turned: str) -> Sticking:
    path = folder / "build.yaml"
    path.write_text(BUILD.format(size=size, runs=runs, turned=turned), "utf-8")
    (block,) = labels(job_of(path)).blocks
    assert isinstance(block, Labels)
    found = block.labels[0].sticking
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("size", "runs", "turned", "face", "mark", "arris"),
    [
        # A rail, its face side to the front, the label upright on it: the face edge above, or below.
        ("20 x 100 x 300", "length: x, width: z", "face side: front, face edge: top", "face side", "loop", "up"),
        ("20 x 100 x 300", "length: x, width: z", "face side: front, face edge: bottom", "face side", "loop", "down"),
        # A post, its face side to the front; its label is read upwards, the top of the words to the left.
        ("20 x 100 x 300", "length: z, width: x", "face side: front, face edge: left", "face side", "loop", "up"),
        ("20 x 100 x 300", "length: z, width: x", "face side: front, face edge: right", "face side", "loop", "down"),
        # A board that lies flat, its face side on top; the top of the label to the rear.
        ("20 x 100 x 300", "length: x, width: y", "face side: top, face edge: back", "face side", "loop", "up"),
        ("20 x 100 x 300", "length: x, width: y", "face side: top, face edge: front", "face side", "loop", "down"),
        # One that lies to the rear, read from front to rear, the top of the words to the left.
        ("20 x 100 x 300", "length: y, width: x", "face side: top, face edge: left", "face side", "loop", "up"),
        ("20 x 100 x 300", "length: y, width: x", "face side: top, face edge: right", "face side", "loop", "down"),
    ],
)
def test_which_mark_and_which_arris(
    tmp_path: Path, size: str, runs: str, turned: str, face: str, mark: str, arris: str
) -> None:
    found = stuck(tmp_path, size, runs, f", {turned}")
    assert (found.face.partition(",")[0], found.mark, found.arris) == (face, mark, arris)


def test_the_mark_runs_to_its_arris() -> None:
    """The loop ends, and the V has its point, on the arris, which is the mark's upper or its lower side."""
    for mark in ("loop", "V"):
        for arris in ("up", "down"):
            line, shape = reference_mark(Sticking("", mark=mark, arris=arris), 100.0, 50.0, 8.0)  # type: ignore[arg-type]
            assert isinstance(line, Line)
            assert isinstance(shape, Stroke)
            heights = [y for _, y in shape.points]
            assert line.y0 == line.y1 == pytest.approx(max(heights) if arris == "up" else min(heights))
            assert min(x for x, _ in shape.points) > 100.0
    assert reference_mark(Sticking("back face"), 0.0, 0.0, 8.0) == []


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_faces_that_bear_a_mark_bear_it_on_the_label(folder: Path) -> None:
    """A V points to the face side, as the words beside it say."""
    (block,) = document_of(sample_job(folder, own_units(folder)), "labels").blocks
    assert isinstance(block, Labels)
    told = [label for label in block.labels if label.sticking is not None]
    assert told
    for label in told:
        _agrees(label)


def _agrees(label: PieceLabel) -> None:
    stuck = label.sticking
    assert stuck is not None
    face = stuck.face.partition(",")[0]
    assert stuck.mark == {"face side": "loop", "face edge": "V"}.get(face, ""), label.mark
    if face == "face edge":
        assert stuck.arris == stuck.face_side, label.mark
