"""Tiles of patterns: join marks lie on no drawn line, and what is told of a pattern stands over its first tile alone.

Measured on the finished pages, by another library: join marks are the white diamonds with a number.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
import shapely

from shopdocs.blocks.drawing import Pattern
from shopdocs.blocks.walk import walk
from shopdocs.page.items import Frame, Line, TextRun, mm
from shopdocs.page.items import Path as Outline
from tests.sample_jobs import BY_NAME, SAMPLES, document_of, own_units, sample_job, sample_pages

HATCHING_MM = 0.2
SAID = "Printed side up on"


def frames(folder: Path) -> list[Frame]:
    return [frame for frame in sample_pages(folder, own_units(folder)).frames if frame.document == "patterns"]


def diamonds(frame: Frame) -> Iterator[shapely.Polygon]:
    for item in frame.items:
        if isinstance(item, Outline) and item.closed and item.fill == 1.0 and item.width and len(item.points) == 4:
            xs, ys = zip(*item.points, strict=True)
            if xs[1] == xs[3] and ys[0] == ys[2]:
                yield shapely.Polygon(item.points)


def drawn(frame: Frame) -> Iterator[shapely.Geometry]:
    """Lines of the pattern but hatching and dashes, of which joins are made."""
    for item in frame.items:
        if isinstance(item, Line) and item.width > mm(HATCHING_MM) and not item.dash:
            yield shapely.LineString([(item.x0, item.y0), (item.x1, item.y1)])
        elif isinstance(item, Outline) and item.width and not item.dash and item.fill != 1.0:
            ends = [*item.points, item.points[0]] if item.closed else item.points
            yield shapely.LineString(ends)


@pytest.mark.thorough
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_no_drawn_line_cuts_a_join_mark(folder: Path) -> None:
    """A join mark that a taper runs through is read as part of it."""
    cut = Counter(
        frame.set_number
        for frame in frames(folder)
        for mark in diamonds(frame)
        if any(line.intersects(mark) for line in drawn(frame))
    )

    assert not cut


def test_join_marks_meet() -> None:
    """The two marks of a join are as far apart on either of the tiles that it joins."""
    found: dict[tuple[str, str], dict[int, list[shapely.Point]]] = {}
    for frame in frames(BY_NAME["sorting_table"]):
        runs = [item for item in frame.items if isinstance(item, TextRun)]
        title = next((run.text for run in runs if run.text.endswith(", pattern")), "")
        for mark in diamonds(frame):
            number = next(run.text for run in runs if run.text.isdigit() and mark.contains(shapely.Point(run.x, run.y)))
            found.setdefault((title, number), {}).setdefault(frame.set_number, []).append(mark.centroid)
    gaps: list[list[float]] = []
    for by_page in found.values():
        gaps.append([])
        for marks in by_page.values():
            one, *others = marks  # each join is straight: its other mark is the one in line with it
            in_line = [other for other in others if min(abs(one.x - other.x), abs(one.y - other.y)) < 0.01]
            gaps[-1].append(min(one.distance(other) for other in in_line))

    assert len(gaps) >= 4 and any(len(each) == 2 for each in gaps)
    assert all(max(each) - min(each) < 0.01 and min(each) > mm(9) for each in gaps)


def test_what_is_told_of_a_pattern_is_told_once() -> None:
    """Over the first of the tiles; every page of them has its name and their numbers."""
    folder = BY_NAME["sorting_table"]
    pages = [[run.text for run in frame.items if isinstance(run, TextRun)] for frame in frames(folder)]
    blocks = walk(document_of(sample_job(folder, own_units(folder)), "patterns").blocks)
    title = next(block.title for block in blocks if isinstance(block, Pattern) and "leg" in block.title)
    tiled = [page for page in pages if title in page]

    assert len(tiled) > 1
    assert sum(any(words.startswith(SAID) for words in page) for page in tiled) == 1
    assert all(any(words.startswith("tile") and " of " in words for words in page) for page in tiled)
