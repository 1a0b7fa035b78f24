"""Patterns of a corner, a cut-out or an end alone, read back from DXF and SVG and held against shapely."""

from __future__ import annotations

import math
import re
from functools import cache
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory

import ezdxf
import ezdxf.path
import pytest
import shapely
from shapely import affinity

from shopdocs.blocks.drawing import Pattern
from shopdocs.blocks.walk import walk
from shopdocs.output.outline_files import outline_dxf, outline_svg
from tests.documents.test_patterns import svg_spots
from tests.sample_jobs import document_of, job_of

TRUE = 0.02  # millimetres
BUILD = """
build: {title: Details, mark: D, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 52}}
parts:
  end: {material: oak, size: 22 x 180 x 400, strips: 2, runs: {length: z, width: y}, pieces: {E1: {x: 60, y: 20, z: 0}}}
  top: {material: oak, size: 22 x 300 x 800, strips: 2, pieces: [T]}
  leg: {material: oak, size: 40 x 60 x 500, pieces: [L1, L2]}
cuts:
  corner: {kind: rounding, width: 40, on: [{piece: [E1, T], corners: B}]}
  hand hole: {kind: cut-out, radius: 15, on: [{piece: E1, face: face side, along: 300 to 330, across: 60 to 150}]}
  slot: {kind: cut-out, radius: 10, on: [{piece: T, face: face side, along: 380 to 430, across: 220 to 260}]}
  foot: {kind: end cut, angle: 1 in 8, on: [{piece: L1, edge: A and back}]}
  compound: {kind: end cut, angle: 31.62, tilt: 33.86, on: [{piece: L2, edge: A and far edge and back}]}
  mitre: {kind: end cut, angle: 45, on: [{piece: L2, edge: B and far edge}]}
"""


@cache
def found() -> dict[str, Pattern]:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "build.yaml"
        path.write_text(BUILD, "utf-8")
        blocks = walk(document_of(job_of(path), "patterns").blocks)
    return {block.title.removesuffix(", pattern"): block for block in blocks if isinstance(block, Pattern)}


def quarter(x: float, y: float, radius: float) -> shapely.Polygon:
    return shapely.Point(x, y).buffer(radius, quad_segs=2000)


def rounded(low: float, left: float, high: float, right: float, radius: float) -> shapely.Polygon:
    return shapely.box(low + radius, left + radius, high - radius, right - radius).buffer(radius, quad_segs=2000)


def end_b() -> shapely.Polygon:
    """From 30 before the hand hole to end B: 270 to 400, both corners there rounded, the hole from 300 to 330."""
    whole = shapely.box(0, 0, 130, 180)
    for y, to in ((0, 40), (180, 140)):
        whole -= shapely.box(90, min(y, to), 130, max(y, to)) - quarter(90, to, 40)
    return whole - rounded(30, 60, 60, 150, 15)


def corner() -> shapely.Polygon:
    return shapely.box(0, 0, 100, 100) - (shapely.box(0, 0, 40, 40) - quarter(40, 40, 40))


# The corner: radius 40 and 60 beside it. The slot: 30 beside it, from the far edge, which is nearer. The foot: 40
# thick, 1 in 8 takes 5, 60 beside it. The compound cut: tan 31.62° x 60 on the face side, on the edge the tangent of
# the tilt over the cosine of the angle (a line on the edge of a board, by the plane's normal) x 40. The mitre: 60.
OVER, ASIDE = math.tan(math.radians(31.62)) * 60, math.tan(math.radians(33.86)) / math.cos(math.radians(31.62)) * 40
EXPECTED = {
    "E1  T · rounded corner, radius 40 mm": corner(),
    "E1 · end · hand hole": end_b(),
    "T · top · slot": shapely.box(0, 0, 110, 110) - rounded(30, 40, 80, 80, 10),
    "L1 · leg · foot, end A, face edge": shapely.Polygon([(0, 0), (65, 0), (65, 40), (5, 40)]),
    "L2 · leg · compound, end A, face side": shapely.Polygon(
        [(0, 0), (60 + OVER + ASIDE, 0), (60 + OVER + ASIDE, 60), (OVER, 60)]
    ),
    "L2 · leg · compound, end A, face edge": shapely.Polygon(
        [(0, 0), (60 + OVER + ASIDE, 0), (60 + OVER + ASIDE, 40), (ASIDE, 40)]
    ),
    "L2 · leg · mitre, end B, face side": shapely.Polygon([(0, 0), (120, 0), (60, 60), (0, 60)]),
}


def apart(shape: shapely.Polygon, expected: shapely.Polygon) -> float:
    """How far two outlines lie apart at most; the one may lie turned over."""
    over = affinity.scale(expected, yfact=-1, origin=(0, expected.bounds[3] / 2))
    return min(shape.boundary.hausdorff_distance(one.boundary) for one in (expected, over))


def test_each_once() -> None:
    assert set(found()) == set(EXPECTED)


@pytest.mark.parametrize("name", EXPECTED)
def test_dxf_is_true(name: str) -> None:
    read = ezdxf.read(StringIO(outline_dxf(found()[name].outline)))
    loops = [[(s.x, s.y) for s in ezdxf.path.make_path(line).flattening(0.002)] for line in read.modelspace()]
    assert apart(shapely.Polygon(loops[0], loops[1:]), EXPECTED[name]) < TRUE


@pytest.mark.parametrize("name", EXPECTED)
def test_svg_is_true(name: str) -> None:
    loops = [svg_spots(path) for path in re.findall(r' d="([^"]+)"', outline_svg(found()[name].outline, "one"))]
    assert apart(shapely.Polygon(loops[0], loops[1:]), EXPECTED[name]) < TRUE


def test_what_the_paper_says() -> None:
    """The slot is nearer to the far edge, and no end is within 300 of it; a compound cut slopes on two faces."""
    slot = found()["T · top · slot"]
    assert "No end is near: set it by the piece drawing" in slot.facts
    assert any("FAR EDGE" in getattr(shape, "text", "") for shape in slot.drawing.shapes)
    both = "Mark it out on this face and on the one beside it, and saw to both lines"
    told = {name for name, pattern in found().items() if both in pattern.facts}
    assert told == {name for name in EXPECTED if "compound" in name}, "a plain slope is one line, squared across"


def test_files_of_parts_with_like_names_have_names_of_their_own(tmp_path: Path) -> None:
    """Three parts whose names are one in plain letters."""
    lines = [
        f"  {name}: {{material: oak, size: 22 x {wide} x 400, pieces: [{mark}]}}"
        for name, wide, mark in (("foot", 60, "A"), ("Foot", 70, "B"), ("foot!", 80, "C"))
    ]
    cut = "cuts: {low: {kind: arch, depth: 15, on: [{piece: [A, B, C], face: far edge}]}}"
    head = BUILD.partition("parts:")[0].replace("units: mm", "units: mm, date: 3 May 2031")
    path = tmp_path / "build.yaml"
    path.write_text("\n".join([head, "parts:", *lines, cut]), "utf-8")
    blocks = [block for block in walk(document_of(job_of(path), "patterns").blocks) if isinstance(block, Pattern)]
    assert [block.file for block in blocks] == [f"foot-face-side{more}" for more in ("", "-2", "-3")]
