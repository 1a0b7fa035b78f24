"""One template for two places, where the paper lies right in both: as it is, and turned end for end, printed side up.

Expected counts are worked out by hand: a half turn takes (x, y) of a face of length L and width W to (L - x, W - y).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Circle, FullScale, Line, Polygon, Stroke, Words
from shopdocs.core.length import Length
from shopdocs.documents.templates import templates
from tests.sample_jobs import job_of

LONG = 700
BOARD = """
build: {{title: Board, mark: B, units: mm}}
materials: {{pine: {{kind: hardwood, rough: 27}}}}
parts:
  board:
    material: pine
    size: 20 x {width} x 700
    runs: {{length: x, width: y}}
    pieces:
      P: {{x: 0, y: 0, z: 0}}
hardware:
  pin:
    holes: [{{bit: 6, depth: 10}}]
    on:
{on}
    holds: [P]
"""
HOLE = "      - {{piece: board, face: face, along: {0}, across: {1}}}"
Spots = list[tuple[int, int]]


def drawn(folder: Path, width: int, spots: Spots) -> list[FullScale]:
    on = "\n".join(HOLE.format(*spot) for spot in spots)
    (folder / "build.yaml").write_text(BOARD.format(width=width, on=on), "utf-8")
    return [block for block in templates(job_of(folder / "build.yaml")).blocks if isinstance(block, FullScale)]


@pytest.mark.parametrize(
    ("width", "spots", "count", "twice"),
    [
        (60, [(50, 30), (650, 30)], 1, 1),  # in the middle across: the other end by the other edge
        (60, [(50, 20), (650, 20)], 2, 0),  # it would have to be turned over
        (60, [(50, 20), (650, 40)], 2, 0),  # a half turn, but laid by an edge from which the sheet does not measure
        (60, [(50, 30), (640, 30)], 2, 0),  # 50 and 60 from the ends
        (300, [(50, 40), (650, 260)], 1, 1),  # a corner and the one across from it
        (300, [(50, 40), (650, 40)], 2, 0),  # two corners of one edge mirror each other
        (300, [(50, 40), (650, 250)], 2, 0),
        (300, [(50, 40), (650, 40), (50, 260), (650, 260)], 2, 2),  # two pairs
        (300, [(300, 40), (300, 260)], 1, 1),  # by a line squared across, at either edge
        (300, [(300, 40), (320, 260)], 2, 0),
        (300, [(300, 40), (315, 60), (300, 260), (285, 240)], 2, 0),  # the line's two sides differ
        (400, [(50, 200), (650, 200)], 1, 1),  # by a line gauged along, at either end
        (400, [(50, 190), (650, 190)], 1, 1),  # the line is where it is, whichever way the paper lies on it
        (400, [(50, 190), (50, 200), (650, 190), (650, 200)], 2, 0),
    ],
)
def test_how_many_sheets_of_paper_serve(tmp_path: Path, width: int, spots: Spots, count: int, twice: int) -> None:
    sheets = drawn(tmp_path, width, spots)
    assert len(sheets) == count
    turned = [fact for sheet in sheets for fact in sheet.facts if "turned end for end" in fact]
    assert len(turned) == twice
    assert all("printed side up" in fact for fact in turned)


@pytest.mark.parametrize(
    ("width", "near", "far"),
    [(60, (50, 30), (650, 30)), (300, (50, 40), (650, 260)), (80, (60, 40), (640, 40))],
)
def test_the_paper_turned_half_round_has_its_hole_where_the_build_has_it(
    tmp_path: Path, width: int, near: tuple[int, int], far: tuple[int, int]
) -> None:
    """Read off the paper: how far the centre is from the heavy end and the heavy edge. Laid by them at end A and the
    face edge that is the one hole, at end B and the far edge the other."""
    (sheet,) = drawn(tmp_path, width, [near, far])
    heavy = [s for s in sheet.drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.REFERENCE]
    edge = next(s.start[1] for s in heavy if s.start[1] == s.end[1])
    end = next(s.start[0] for s in heavy if s.start[0] == s.end[0])
    ((x, y),) = [s.centre for s in sheet.drawing.shapes if isinstance(s, Circle)]
    along, across = abs(x - end), abs(y - edge)
    assert (along, across) == (Length(near[0]), Length(near[1]))
    assert (Length(LONG) - along, Length(width) - across) == (Length(far[0]), Length(far[1]))
    words = {shape.text for shape in sheet.drawing.shapes if isinstance(shape, Words)}
    assert "EITHER END" in words and not words & {"END A", "END B", "FACE EDGE", "FAR EDGE"}


def test_a_cut_out_beside_the_hole_of_one_end_keeps_it_apart(tmp_path: Path) -> None:
    """(50, 30) and (650, 30) of a board of 60 share their paper; not with a cut-out to knife round at one end alone."""
    assert len(drawn(tmp_path, 60, [(50, 30), (650, 30)])) == 1
    path = tmp_path / "build.yaml"
    cut = "cuts: {hand hole: {kind: cut-out, on: [{piece: P, face: face, along: 56 to 110, across: 20 to 40}]}}\n"
    path.write_text(path.read_text("utf-8").replace("hardware:", f"{cut}hardware:"), "utf-8")
    sheets = [block for block in templates(job_of(path)).blocks if isinstance(block, FullScale)]
    assert len(sheets) == 2
    assert not [fact for sheet in sheets for fact in sheet.facts if "turned end for end" in fact]


@pytest.mark.parametrize(
    ("width", "spots"),
    [
        (60, [(50, 30), (650, 30)]),
        (300, [(50, 40), (650, 260)]),
        (300, [(300, 40), (300, 260)]),
        (400, [(50, 200), (650, 200)]),
        (900, [(300, 250), (300, 650)]),  # by a line squared across and one gauged along, from either edge
    ],
)
def test_both_places_are_shaded_in_the_small_picture(tmp_path: Path, width: int, spots: Spots) -> None:
    """Each hole lies in just one of the two shaded places, which lie on the board and are of one size."""
    (thumb,) = [block.thumbnail for block in drawn(tmp_path, width, spots)]
    assert thumb is not None
    places = [shape.points for shape in thumb.shapes if isinstance(shape, Polygon) and shape.fill == "tint"]
    dots = [shape.centre for shape in thumb.shapes if isinstance(shape, Circle)]
    ranges = [tuple((min(each), max(each)) for each in zip(*place, strict=True)) for place in places]
    assert len(ranges) == 2
    for x, y in dots:
        assert sum(left < x < right and low < y < high for (left, right), (low, high) in ranges) == 1
    for (left, right), (low, high) in ranges:
        assert Length(0) <= left and right <= thumb.width
        assert Length(0) <= low and high <= thumb.height
        assert (right - left, high - low) == (ranges[0][0][1] - ranges[0][0][0], ranges[0][1][1] - ranges[0][1][0])
