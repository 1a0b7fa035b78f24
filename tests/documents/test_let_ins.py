"""What the sheets say of boards that are tipped: their lines on the sides, angles to set, guides at full size."""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale, Line, Polygon, Stroke, Words
from shopdocs.blocks.text import Bullets, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import ZERO
from shopdocs.documents.job import Job
from shopdocs.work.space.let_in import strips
from tests.sample_jobs import document_of, job_of

RACK = """
build: {title: Trial, mark: T, units: mm, fineness: 0.1 mm}
materials: {ash: {kind: hardwood, rough: 38}}
parts:
  side:
    material: ash
    size: 20 x 260 x 600
    runs: {length: z, width: y}
    pieces:
      L: {x: 0, y: 0, z: 0}
      R: {mirror: L across x at 250}
  shelf:
    material: ash
    thickness: 16
    width: 120
    runs: {length: x, width: y}
    pieces:
      S1: {x: L.right to R.left, y: centred on 130, z: centred on 200, tilt: 30 front}
      S2: {x: L.right to R.left, y: centred on 130, z: centred on 400, tilt: 30 front}
joints:
  shelves: {kind: housing, from: shelf, into: side, depth: 8}
"""


@pytest.fixture(name="job")
def rack(tmp_path: Path) -> Job:
    path = tmp_path / "build.yaml"
    path.write_text(RACK, "utf-8")
    return job_of(path)


def rows(table: Table) -> list[list[str]]:
    return [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]


def test_the_drawing_says_where_each_line_is_struck(job: Job) -> None:
    """By hand, as in tests/work/space/test_tipping.py: the underside of S1 runs from 163.0718 up, 82.0385 across, to
    223.0718 up, 185.9615 across; that of S2 200 higher."""
    lines = [
        plain(item)
        for block in walk(document_of(job, "piece-drawings").blocks)
        if isinstance(block, Bullets)
        for item in block.items
    ]
    assert [line for line in lines if "nearer" in line] == [
        f"{name}: side nearer end A from ≈{low} along, ≈82 across to ≈{high} along, ≈186 across, 30° off square"
        for name, low, high in (("a", "163.1", "223.1"), ("b", "363.1", "423.1"))
    ]


def test_the_angles_to_set(job: Job) -> None:
    """By hand: 30 degrees off square are 60 from the edge and 1 in 1.73 (the cotangent of 30 degrees); two shelves in
    two sides make four lines."""
    tables = {block.name: rows(block) for block in walk(document_of(job, "angles").blocks) if isinstance(block, Table)}
    assert tables["angles"] == [["1", "30", "60", "1.73", "housing, line of a tipped board's end", "L  R", "4"]]
    assert tables["tipped"] == [["S1  S2", "30", "1.73", "the front"]]


def test_a_guide_for_each_hand_at_full_size(job: Job) -> None:
    """By hand: the section of a shelf, 120 by 16, turned by 30 degrees: its corners lie 60 cos 30 ± 8 sin 30 = 55.9615
    and 47.9615 across, 60 sin 30 ± 8 cos 30 = 36.9282 and 23.0718 along from its middle, which the middle line of the
    guide runs through. The rear end of a shelf lies higher, farther from end A. One looks at the left side from within,
    its front edge at the left, end A below; with the front edge turned down, as on the guide, end A is at the right and
    the rear end leans to the left. The guide of the right side is the mirror image."""
    guides = [
        block
        for block in walk(document_of(job, "angles").blocks)
        if isinstance(block, FullScale) and block.anchor.startswith("guide")
    ]
    assert [guide.title for guide in guides] == ["Guide for L, back face", "Guide for R, back face"]
    assert all(guide.facts[2] == "square a line across, from end A in mm: 200 for S1, 400 for S2" for guide in guides)
    found = []
    for guide in guides:
        (rim,) = (
            shape for shape in guide.drawing.shapes if isinstance(shape, Polygon) and shape.stroke is Stroke.VISIBLE
        )
        middle = [sum(spot[k].float_mm() for spot in rim.points) / 4 for k in (0, 1)]
        assert middle[1] == pytest.approx(130, abs=0.001)  # from the front edge
        found.append([(x.float_mm() - middle[0], y.float_mm() - middle[1]) for x, y in rim.points])
    wanted = [(23.0718, 55.9615), (36.9282, 47.9615), (-23.0718, -55.9615), (-36.9282, -47.9615)]
    senses = []
    for corners in found:
        sense = 1 if max(corners, key=lambda spot: spot[1])[0] > 0 else -1
        senses.append(sense)
        for x, y in wanted:
            assert any(abs(a - x * sense) < 0.002 and abs(b - y) < 0.002 for a, b in corners)
    assert senses == [-1, 1]
    # The frame, the middle line across all of it, and the line struck along a long side of the rim, past its corners.
    for guide, corners in zip(guides, found, strict=True):
        wide, high = guide.drawing.width.float_mm(), guide.drawing.height.float_mm()
        (frame,) = (s for s in guide.drawing.shapes if isinstance(s, Polygon) and s.stroke is Stroke.HIDDEN)
        assert {(x.float_mm(), y.float_mm()) for x, y in frame.points} == set(product((0.0, wide), (0.0, high)))
        middle, struck = (s for s in guide.drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.CENTRE)
        assert middle.start[0] == middle.end[0]
        assert sorted((middle.start[1].float_mm(), middle.end[1].float_mm())) == [0.0, high]
        rim = [(x + middle.start[0].float_mm(), y + 130) for x, y in corners]
        (a, b), (c, d) = ([v.float_mm() for v in spot] for spot in (struck.start, struck.end))
        long = math.hypot(c - a, d - b)
        off = [abs((x - a) * (d - b) - (y - b) * (c - a)) / long for x, y in rim]
        assert sorted(off) == [pytest.approx(v, abs=0.01) for v in (0, 0, 16, 16)]
        assert long > 120
    # What stands on one stands on its mirror image, as large, and its arrow points the other way to the same end.
    arrows = [[shape for shape in guide.drawing.shapes if isinstance(shape, Words)] for guide in guides]
    assert [{shape.text.strip("← →").casefold() for shape in words} for words in arrows] == [
        {"end a", "face edge", "far edge"}
    ] * 2
    assert len({shape.size_pt for words in arrows for shape in words}) == 1
    assert [[shape.text for shape in words if shape.text.strip("← →") == "end A"] for words in arrows] == [
        ["end A →"],
        ["← end A"],
    ]


def test_strips_round_a_cut_that_lies_askew_hold_all_of_it(job: Job) -> None:
    """Of the housing, 120 by 16 turned by 30 degrees, twelve strips of 10, none longer than 10.5: each is
    10 sin 30 + 16 cos 30 = 18.856 along the side and 10 cos 30 + 16 sin 30 = 16.660 across it, 8 deep, and every place
    of the cut lies in one."""
    assert job.space is not None
    cuboid = next(c for c in job.space.pieces["L"].cuboids if c.joint == "1")
    assert cuboid.flare is not None
    found = list(strips(cuboid, 10.5))
    assert len(found) == 12
    for lo, hi in found:
        sizes = [(high - low).float_mm() for low, high in zip(lo, hi, strict=True)]
        assert sizes == [pytest.approx(18.856, abs=0.003), pytest.approx(16.660, abs=0.003), pytest.approx(8)]
    a, b, c, _ = ([v.float_mm() for v in side.start] for side in cuboid.flare.waste)
    for x, y in product((0.001, 0.2, 0.5, 0.8, 0.999), repeat=2):
        spot = [p + (q - p) * x + (r - q) * y for p, q, r in zip(a, b, c, strict=True)]
        assert any(all(lo[k].float_mm() <= spot[k] <= hi[k].float_mm() for k in (0, 1)) for lo, hi in found)


@pytest.mark.parametrize(
    ("wide", "centre", "high", "edges"),
    # By hand: a shelf 120 by 16 that is tipped by 30 degrees takes 55.9615 to either side of its middle. Up to 90
    # of wood before an edge are on the guide, and always what lies before the nearer one; where it ends in wood, 12.
    [
        (260, 130, 260, {"FACE EDGE", "FAR EDGE"}),  # 74.04 before either edge
        (290, 145, 290, {"FACE EDGE", "FAR EDGE"}),  # 89.04
        (400, 100, 100 + 55.9615 + 12, {"FACE EDGE"}),
        (400, 300, 100 + 55.9615 + 12, {"FAR EDGE"}),
        (400, 190, 190 + 55.9615 + 12, {"FACE EDGE"}),  # 134.04 before one, 154.04 before the other
        (400, 210, 190 + 55.9615 + 12, {"FAR EDGE"}),
    ],
)
def test_a_guide_reaches_to_the_edge_it_is_laid_on(
    tmp_path: Path, wide: int, centre: int, high: float, edges: set[str]
) -> None:
    text = RACK.replace("20 x 260 x 600", f"20 x {wide} x 600").replace("centred on 130", f"centred on {centre}")
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    blocks = walk(document_of(job_of(tmp_path / "build.yaml"), "angles").blocks)
    for guide in (block for block in blocks if isinstance(block, FullScale) and block.anchor.startswith("guide")):
        drawing = guide.drawing
        assert drawing.height.float_mm() == pytest.approx(high, abs=0.001)
        named = {shape.text: shape.at for shape in drawing.shapes if isinstance(shape, Words) and shape.boxed}
        assert set(named) == edges
        for name, (_, y) in named.items():  # drawn with the face edge down
            assert y == (ZERO if name == "FACE EDGE" else drawing.height)
        lines = [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.stroke is Stroke.REFERENCE]
        assert sorted(line.start[1] for line in lines) == sorted(y for _, y in named.values())


@pytest.mark.parametrize(("wide", "edges"), [("275.962", 2), ("275.963", 1)])
def test_a_guide_reaches_to_an_edge_no_farther_than_its_own_breadth(tmp_path: Path, wide: str, edges: int) -> None:
    """By hand: what is let in for a shelf whose middle is at 130 ends 55.9615 behind it, at 185.962 to a thousandth,
    and begins 74.038 from the front. The rear edge of a side of 275.962 is 90 from there: the guide has both edges."""
    path = tmp_path / "build.yaml"
    path.write_text(RACK.replace("20 x 260 x 600", f"20 x {wide} x 600"), "utf-8")
    sheets = [block for block in walk(document_of(job_of(path), "angles").blocks) if isinstance(block, FullScale)]
    guides = [sheet for sheet in sheets if sheet.anchor.startswith("guide")]
    assert guides
    for guide in guides:
        lines = [shape for shape in guide.drawing.shapes if isinstance(shape, Line)]
        assert sum(line.stroke is Stroke.REFERENCE for line in lines) == edges
