"""A template far from both ends is laid on a line squared across the piece, one far from the edge on a line gauged
along it: that line must lie on the paper that is cut out (common practice, no source)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale, Line, Stroke, Words
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.template import window_of
from shopdocs.documents.job import make_job
from shopdocs.documents.templates import templates
from shopdocs.pipeline import check_build
from tests.documents.test_words_of_the_trade import strings
from tests.sample_jobs import BY_NAME, document_of, job_of, sample_job

SAMPLES = Path(__file__).parents[2] / "sample_builds"


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("name", ["threshold_bench", "spice_cabinet"])
def test_index_lines_lie_within_the_outline(name: str, units: str) -> None:
    build, shop, _ = check_build(str(SAMPLES / name / "build.yaml"))
    assert build is not None
    display = build.display if build.display.units == units else replace(build.display.turned(), both=False)
    job = make_job(build, shop, display, build.records or shop.records, "letter-30")
    found = 0
    for block in templates(job).blocks:
        if not isinstance(block, FullScale):
            continue
        told = [w for w in block.drawing.shapes if isinstance(w, Words) and w.text.startswith("INDEX")]
        lines = [s for s in block.drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.CENTRE]
        assert len(told) == len(lines)
        for words, line in zip(told, lines, strict=True):
            found += 1
            along = 0 if line.start[0] == line.end[0] else 1  # the way it is parallel to the end or to the edge
            assert line.start[along] == line.end[along]
            assert ZERO < line.start[along] < (block.drawing.width, block.drawing.height)[along]
            assert ZERO < words.at[0] < block.drawing.width
            assert ZERO < words.at[1] < block.drawing.height
    assert found


PANEL = """
build: {{title: Panel, mark: P, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts: {{panel: {{material: oak, size: 20 x 400 x 600, pieces: [A1]}}}}
hardware:
  pins: {{holes: [{{bit: 10, depth: 8}}], on: [{}]}}
"""


@pytest.mark.parametrize(
    ("across", "low", "high", "gauged"),
    # A template is 160 long at the most, so holes that begin more than 80 from the face edge hang on a line gauged from
    # it; 18 is left round the holes and 6 beside the line. 250 - 5 - 18 is 227, 250 + 5 + 18 is 273.
    [
        ((250,), 227, 273, 250),
        ((250, 300), 227, 323, 250),  # 300 + 5 + 18; the line goes through the nearer hole
        ((250, 378), 227, 400, 250),  # 378 + 23 is more than the panel has: to its far edge
        ((60,), 0, 77, None),  # near enough to be laid to the edge: 60 + 5, and 12 of margin
        ((85,), 0, 102, None),  # its nearer side lies at 80: still from the edge
        ((143,), 0, 160, None),  # 143 + 5 + 12 is as long as it may be
        ((144,), 121, 167, 144),
        ((60, 250), 0, 267, None),  # the first hole is near enough to the edge, so the edge is what it is laid to
        ((85, 250), 0, 267, None),
        ((86, 250), 63, 273, 86),  # its nearer side lies at 81
    ],
)
def test_what_is_drawn_of_a_wide_face(
    tmp_path: Path, across: tuple[int, ...], low: int, high: int, gauged: int | None
) -> None:
    places = ", ".join(f"{{piece: A1, face: face, along: 30, across: {each}}}" for each in across)
    (tmp_path / "build.yaml").write_text(PANEL.format(places))
    job = job_of(tmp_path / "build.yaml")
    (face,) = (face for face in job.faces if face.holes)
    window = window_of(face, face.holes, Length(5), lambda length: True)
    assert (window.low, window.across) == (Length(low), Length(high))
    assert window.gauged == (None if gauged is None else Length(gauged))


def test_a_gauged_line_that_cannot_be_told_exactly_lies_clear_of_the_hole(tmp_path: Path) -> None:
    """At a whole number of steps of 100, 6 or more from the middle of the hole at 250, and 6 of paper beside it."""
    (tmp_path / "build.yaml").write_text(PANEL.format("{piece: A1, face: face, along: 30, across: 250}"))
    (face,) = (face for face in job_of(tmp_path / "build.yaml").faces if face.holes)
    window = window_of(face, face.holes, Length(100), lambda length: False)
    assert (window.gauged, window.low, window.across) == (Length(200), Length(194), Length(273))
    near = window_of(face, face.holes, Length(61), lambda length: False)
    assert (near.gauged, near.low) == (Length(244), Length(227))  # 250 - 6; 250 - 5 - 18 is lower than 244 - 6


@pytest.mark.parametrize(
    ("along", "step", "start", "end", "index", "from_end"),
    # The panel is 600 long, the holes 10 wide; 12 of margin past the last hole, 160 at most from the nearer end. What
    # is farther off has 18 round the holes, 6 round the line, and a line through the hole that is nearest to that end.
    [
        ((100,), None, 0, 117, None, False),  # 100 + 5 + 12
        ((143,), None, 0, 160, None, False),  # as long as it may be
        ((144,), None, 121, 167, 144, False),  # 144 - 5 - 18, 144 + 5 + 18
        ((500,), None, 483, 600, None, False),  # by end B, with its margin toward end A
        ((457,), None, 440, 600, None, False),
        ((456,), None, 433, 479, 144, True),
        ((300,), None, 277, 323, 300, False),  # as far from both ends: from end A
        ((400,), None, 377, 423, 200, True),  # 600 - 400
        ((60, 250), None, 0, 267, None, False),  # 200 long itself, and reaches no more than 80 farther
        ((350, 540), None, 333, 600, None, False),
        ((90, 250), None, 67, 273, 90, False),  # 170 long, and 255 is 85 more
        ((85, 250), None, 0, 267, None, False),  # 175 long, and 255 is 80 more
        ((300,), 100, 194, 323, 200, False),  # at whole hundreds: 200 is 6 or more from 300, and 6 beside the line
        ((300,), 61, 238, 323, 244, False),  # 4 × 61
        ((400,), 100, 377, 506, 100, True),  # 600 - 100 and 6
    ],
)
def test_what_is_drawn_of_a_long_face(
    tmp_path: Path, along: tuple[int, ...], step: int | None, start: int, end: int, index: int | None, from_end: bool
) -> None:
    places = ", ".join(f"{{piece: A1, face: face, along: {each}, across: 30}}" for each in along)
    (tmp_path / "build.yaml").write_text(PANEL.format(places))
    (face,) = (face for face in job_of(tmp_path / "build.yaml").faces if face.holes)
    window = window_of(face, face.holes, Length(step or 5), lambda length: step is None)
    assert (window.start, window.end) == (Length(start), Length(end))
    assert (window.at_start, window.at_end) == (start == 0, end == 600)
    assert window.index == (None if index is None else Length(index))
    assert window.index_from_end is from_end
    assert window.across == Length(47)  # 30 + 5 + 12


RAIL = """
build: {title: Rail, mark: R, units: in}
materials: {ash: {kind: hardwood, rough: 5/4}}
parts: {rail: {material: ash, size: 7/8 x 4 x 60, pieces: [A1]}}
hardware:
  pins:
    holes: [{bit: 1/4, depth: 1/2}]
    on: [{piece: A1, face: face, along: [30, 31-1/4, 32-1/2], across: 2}]
"""


def test_holes_beside_an_index_line_are_told_one_side_at_a_time(tmp_path: Path) -> None:
    """Three pins of one bit in a rail of 60 in: the line runs through the last, 27-1/2 in from the nearer end B, and
    the others stand 1-1/4 and 2-1/2 in farther toward end A."""
    (tmp_path / "build.yaml").write_text(RAIL)
    (block,) = (b for b in templates(job_of(tmp_path / "build.yaml")).blocks if isinstance(b, FullScale))
    assert block.facts[-1].endswith(
        "; 2 in from face edge. Hole 3 on INDEX. Holes 2, 1 from INDEX toward end A: 1¹⁄₄ in, 2¹⁄₂ in."
    )
    told = [figure.value for figure in block.figures if figure.name.endswith(" along")]
    assert told == [Length.inches("5/2").mm, Length.inches("5/4").mm]


def test_a_line_to_be_squared_has_the_figure_that_the_piece_drawing_gives_it() -> None:
    """By hand: 6 in are 152.4 mm, 22 in 558.8 mm; rounded to 0.5 mm ≈152.5 and ≈559. One line, one figure."""
    job = sample_job(BY_NAME["threshold_bench"], "mm")
    told = [
        figure.shown
        for block in document_of(job, "templates").blocks
        if isinstance(block, FullScale)
        for figure in block.figures
        if figure.name.endswith(" · index")
    ]
    assert {"≈152.5", "≈559"} <= set(told)
    drawn = " ".join(strings(document_of(job, "piece-drawings")))
    assert all(shown in drawn for shown in told)
    assert "INDEX ≈152.5 mm" in " ".join(strings(document_of(job, "templates")))
