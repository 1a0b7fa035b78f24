"""What makes a template register itself: its lip, tape marks and thumbnail; held against the build, worked by hand."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Circle, FullScale, Line, Polygon, Stroke, Words
from shopdocs.blocks.sheets import Document
from shopdocs.core.length import Length
from shopdocs.documents.drawn.lip import spread
from shopdocs.documents.templates import templates
from shopdocs.page.items import TextRun
from tests.page import paper_sample as sample
from tests.sample_jobs import SAMPLES, job_of, sample_job
from tests.values import replace

BUILD = """
build: {title: Pegs, mark: P, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 34}}
parts:
  board: {material: oak, size: 24 x 118 x 400, runs: {length: x, width: y}, pieces: {T: {x: 0, y: 0, z: 400}}}
hardware:
"""
HOLES = [(30, 20), (65, 90), (100, 30), (135, 95), (175, 25), (215, 75), (260, 35), (310, 85), (365, 45)]


def template_of(folder: Path, holes: list[tuple[int, int]], face: str) -> FullScale:
    rows = [
        f"  h{k}: {{holes: [{{bit: {5 + k}, depth: {10 + k}}}], "
        f"on: [{{piece: T, face: {face}, along: {x}, across: {y}}}]}}"
        for k, (x, y) in enumerate(holes)
    ]
    (folder / "build.yaml").write_text(BUILD + "\n".join(rows), "utf-8")
    (block,) = (one for one in templates(job_of(folder / "build.yaml")).blocks if isinstance(one, FullScale))
    return block


@pytest.mark.parametrize(("face", "edge", "deep"), [("face", "FACE EDGE", 8), ("back", "FACE EDGE", 8)])
def test_a_lip_is_folded_at_the_edge_and_named(tmp_path: Path, face: str, edge: str, deep: int) -> None:
    """The board is 24 thick, more than the 8 mm of a whole lip: it lies beyond the edge that the hole is 20 from."""
    drawing = template_of(tmp_path, HOLES[:1], face).drawing
    (hole,) = (shape.centre for shape in drawing.shapes if isinstance(shape, Circle))
    (lip,) = (s for s in drawing.shapes if isinstance(s, Polygon) and s.stroke is Stroke.CUT and not s.closed)
    levels = sorted({point[1] for point in lip.points}, key=lambda y: abs(y - hole[1]))
    assert [abs(level - hole[1]) for level in levels] == [Length(20), Length(20 + deep)]
    (heavy,) = (
        s for s in drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.REFERENCE and s.start[1] == s.end[1]
    )
    assert heavy.start[1] == levels[0]
    # its ink lies on the side of the hole, so that its outer side is the edge
    assert heavy.ink == ("left" if (hole[1] > heavy.start[1]) == (heavy.end[0] > heavy.start[0]) else "right")
    words = [s for s in drawing.shapes if isinstance(s, Words) and edge in s.text and s.text.startswith("FOLD")]
    assert words
    assert all(min(levels) < word.at[1] < max(levels) for word in words)


def test_tape_marks_lie_on_the_paper_clear_of_holes(tmp_path: Path) -> None:
    drawing = template_of(tmp_path, HOLES[:3], "face").drawing
    marks = [s for s in drawing.shapes if isinstance(s, Polygon) and s.stroke is Stroke.THIN]
    assert len(marks) >= 2
    assert sum(isinstance(s, Words) and s.text == "TAPE" for s in drawing.shapes) == len(marks)
    for mark in marks:
        xs, ys = [x for x, _ in mark.points], [y for _, y in mark.points]
        assert Length(0) <= min(xs) < max(xs) <= drawing.width
        assert Length(0) <= min(ys) < max(ys) <= drawing.height
        for hole in (s for s in drawing.shapes if isinstance(s, Circle)):
            x, y = hole.centre
            inside = min(xs) - hole.radius < x < max(xs) + hole.radius
            assert not (inside and min(ys) - hole.radius < y < max(ys) + hole.radius)


def test_the_thumbnail_shades_where_the_template_lies(tmp_path: Path) -> None:
    """The hole at 365 of 400, and 45 from the face edge: its template is laid to end B, in the right half."""
    thumb = template_of(tmp_path, HOLES[8:], "face").thumbnail
    assert thumb is not None
    (place,) = (s for s in thumb.shapes if isinstance(s, Polygon) and s.fill == "tint")
    (dot,) = (s for s in thumb.shapes if isinstance(s, Circle))
    xs = [x for x, _ in place.points]
    assert max(xs) == thumb.width
    assert min(xs) * 2 > thumb.width
    assert dot.centre[0] == thumb.width * Length(365).mm / 400
    (heavy,) = (s for s in thumb.shapes if isinstance(s, Line) and s.stroke is Stroke.REFERENCE)
    assert abs(dot.centre[1] - heavy.start[1]) == thumb.height * Length(45).mm / 118


@pytest.mark.parametrize("number", [0, 1])
def test_the_thumbnail_has_the_holes_of_the_whole_face(number: int) -> None:
    """The buttons of the sorting table, three along either edge and one at either end: the face is laid out from both
    its edges, by templates of their own."""
    (folder,) = [folder for folder in SAMPLES if folder.name == "sorting_table"]
    blocks = [b for b in templates(sample_job(folder, "mm")).blocks if isinstance(b, FullScale)]
    thumb = [block.thumbnail for block in blocks if block.anchor == "template-T-back"][number]
    assert thumb is not None
    spots = {dot.centre for dot in thumb.shapes if isinstance(dot, Circle)}
    at = {(float(x / thumb.width), float(abs(y / thumb.height))) for x, y in spots}
    # along 180, 550 and 920 of 1100 and across 90 and 470 of 560; along 90 and 1010, across 280
    rows = {(x / 1100, y / 560) for x in (180, 550, 920) for y in (90, 470)}
    assert sorted(at) == [pytest.approx(spot) for spot in sorted(rows | {(90 / 1100, 0.5), (1010 / 1100, 0.5)})]


def test_every_tile_bears_the_name_the_edge_and_every_hole(tmp_path: Path) -> None:
    """Nine holes, no two alike, over 400 mm of board: more than one sheet of paper is long."""
    block = replace(template_of(tmp_path, HOLES, "face"), thumbnail=None)
    frames = sample.composed((Document("t", "T", "", (block,)),), "a4").frames
    runs = [[item for item in frame.items if isinstance(item, TextRun)] for frame in frames]
    assert len(frames) > 1
    for page in runs:
        told = [run.text for run in page]
        head = " ".join(told)
        assert all(f"Hole {k}: Ø {4 + k} mm, {9 + k} mm deep" in head for k in range(1, 10))
        assert [text for text in told if text == "T · face side"]
        assert [text for text in told if text.endswith("OVER FACE EDGE")]


@pytest.mark.parametrize("wide", [60, 149, 151, 190, 260, 420, 1000, 2440])
def test_words_on_a_lip_come_again_about_every_100_mm(wide: int) -> None:
    """So that every sheet that a long template is cut into bears them: evenly from end to end, as many as there are
    whole hundreds to the nearest, and none left out on a short one. A4 and letter take 190 mm and more across."""
    places = [float(part) * wide for part in spread(wide)]
    count = len(places)
    assert count == max(1, (wide + 50) // 100)
    assert places == pytest.approx([wide / count * (k + 0.5) for k in range(count)])
    assert all(after - before <= 150 for before, after in pairwise(places))
