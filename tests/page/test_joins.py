"""Joins between the tiles of a template: what a maker glues over must strike no hole, no word and no tape mark.

Measured on the finished pages: joins are the dashed lines with two numbered diamonds, holes are circles.
"""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.sheets import Document
from shopdocs.documents.templates import templates
from shopdocs.page.items import Disc, Frame, Line, TextRun, mm
from shopdocs.page.items import Path as Outline
from shopdocs.page.tile_joins import _along_join, _off, _Taken, run_box
from tests.page import paper_sample as sample
from tests.sample_jobs import job_of
from tests.values import replace

BUILD = """
build: {title: Board, mark: B, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 34}}
parts: {board: {material: oak, size: 24 x 110 x 900, count: 1, mark: B}}
hardware:
  pins:
    pattern: shelf pins
    with: {pin: 5, depth: 10, pitch: 16, count: 24}
    on: [{piece: B, face: face, along: 60, across: 30}, {piece: B, face: face, along: 60, across: 80}]
"""


def pages(folder: Path) -> list[Frame]:
    (folder / "build.yaml").write_text(BUILD, "utf-8")
    blocks = [block for block in templates(job_of(folder / "build.yaml")).blocks if isinstance(block, FullScale)]
    tiled = tuple(replace(block, thumbnail=None) for block in blocks)
    frames = sample.composed((Document("t", "T", "", tiled),), "a4").frames
    assert len(frames) > 1
    return list(frames)


def told(frame: Frame) -> list[TextRun]:
    """The words of the joins."""
    runs = [item for item in frame.items if isinstance(item, TextRun)]
    return [run for run in runs if run.text.startswith(("glue tile", "cut here, lay"))]


def boxes(frame: Frame) -> list[tuple[float, float, float, float]]:
    """The frames of tape marks: the outlines of four corners that hold the word."""
    found = []
    runs = [item for item in frame.items if isinstance(item, TextRun) and item.text == "TAPE"]
    for item in frame.items:
        if isinstance(item, Outline) and len(item.points) == 4:
            xs, ys = zip(*item.points, strict=True)
            box = min(xs), min(ys), max(xs), max(ys)
            if any(box[0] <= run.x <= box[2] and box[1] <= run.y <= box[3] for run in runs) and box[2] - box[0] < mm(
                20
            ):
                found.append(box)
    return found


def joins(frame: Frame) -> list[Line]:
    """Dashed lines that stand beside the words of a join, along them."""
    out = []
    for run in told(frame):
        x0, y0, x1, y1 = run_box(run)
        for item in frame.items:
            if not isinstance(item, Line) or not item.dash:
                continue
            upright = run.angle == 90 and item.x0 == item.x1 and 0 < item.x0 - x0 < mm(9)
            level = run.angle == 0 and item.y0 == item.y1 and 0 < y1 - item.y0 < mm(9)
            if (upright and item.y0 <= y0 and y1 <= item.y1) or (level and item.x0 <= x0 and x1 <= item.x1):
                out.append(item)
    return out


def test_a_join_strikes_no_hole_and_no_tape_mark(tmp_path: Path) -> None:
    """Holes of 5 mm every 16 mm leave 11 mm for a join and its words."""
    for frame in pages(tmp_path):
        holes = [item for item in frame.items if isinstance(item, Disc)]
        seams = joins(frame)
        assert len(seams) >= len(told(frame)) >= 1
        for seam in seams:
            upright = seam.x0 == seam.x1
            for hole in holes:
                assert abs(hole.x - seam.x0 if upright else hole.y - seam.y0) > hole.radius
            for x0, y0, x1, y1 in boxes(frame):
                assert not (x0 < seam.x0 < x1 if upright else y0 < seam.y0 < y1)
        for x0, y0, x1, y1 in map(run_box, told(frame)):
            for hole in holes:
                beside = hole.x + hole.radius <= x0 or hole.x - hole.radius >= x1
                assert beside or hole.y + hole.radius <= y0 or hole.y - hole.radius >= y1


@pytest.mark.parametrize(("low", "high"), [(90, 105), (96, 115), (2, 60), (99, 100), (100, 130)])
def test_words_that_a_join_would_strike_stand_to_one_side_of_it(low: float, high: float) -> None:
    """A join at 100 of a drawing 0 to 300 points wide: wherever words lie, they end before it or begin behind it, on
    the drawing, and no further from their place than the words and what is said along the join are wide."""
    dx, dy = _off((low, 40.0, high, 50.0), [100.0], [], (0.0, 0.0, 300.0, 80.0))
    assert dy == 0.0 and (high + dx <= 100.0 or low + dx >= 100.0)
    assert low + dx >= 0.0 and high + dx <= 300.0
    assert abs(dx) <= high - low + mm(25.0)
    left, right = (_off((at, 40.0, at + 20.0, 50.0), [100.0], [], (0.0, 0.0, 300.0, 80.0))[0] for at in (82.0, 98.0))
    assert left < 0.0 < right, "to the side on which most of them stand"


def test_words_on_a_join_stand_as_near_its_middle_as_they_strike_nothing() -> None:
    """Of all places a millimetre apart: join marks reach 4.2 mm to both sides of a quarter and of three quarters of the
    join, and words keep 0.8 from them; what else lies there is not to be touched."""
    dice = Random(4)
    moved = 0
    for _ in range(200):
        low, long, words = dice.uniform(-50, 50), mm(dice.uniform(90, 200)), mm(dice.uniform(8, 30))
        there = [(at, 0.0, at + mm(dice.uniform(2, 12)), 1.0) for at in (low + long * dice.random() for _ in range(4))]
        kept = [(at - mm(5), at + mm(5)) for at in (low + long / 4, low + long * 3 / 4)]  # 4.2 and 0.8
        marks = [low + long / 4, low + long * 3 / 4]
        found = _along_join(low, low + long, marks, words, lambda x, w=words: (x, 0.0, x + w, 1.0), _Taken(there, []))
        middle = low + (long - words) / 2
        steps = range(-int((long - words) / 2 / mm(1)) + 2, int((long - words) / 2 / mm(1)) - 1)
        nearest = min((abs(step) for step in steps if clear(middle + mm(step), words, kept, there)), default=None)
        if nearest is not None:
            assert clear(found, words, kept, there) and abs(found - middle) == pytest.approx(mm(nearest), abs=1e-6)
            moved += nearest > 0
    assert moved > 20


def clear(start: float, words: float, kept: list[tuple[float, float]], there: list[tuple[float, ...]]) -> bool:
    """Whether words that begin there lie off the stretches that are kept and off what is there."""
    end = start + words
    return all(end <= a or b <= start for a, b in kept) and all(end < a or b < start for a, _, b, _ in there)
