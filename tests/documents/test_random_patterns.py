"""Patterns of random outlines, read back from DXF, SVG and PDF; on the PDF across all tiles, laid mark on mark."""

from __future__ import annotations

import re
from io import BytesIO, StringIO
from itertools import pairwise, product
from pathlib import Path

import ezdxf
import ezdxf.path
import numpy as np
import pypdfium2 as pdfium
import pytest
import shapely
from shapely import affinity

from shopdocs.blocks.drawing import Pattern
from shopdocs.blocks.walk import walk
from shopdocs.documents.drawn.pattern import half_axis
from shopdocs.output.outline_files import outline_dxf, outline_svg
from shopdocs.output.pdf import write_pdf
from shopdocs.page.compose import compose
from shopdocs.page.paper import paper
from tests.documents.test_patterns import _curves, _diamonds, _places, svg_spots
from tests.examples import some
from tests.sample_jobs import document_of, job_of
from tests.work.scene.random_shapes import board

TRUE = 0.02  # millimetres
NARROW = 190  # millimetres: one tile wide
Places = list[tuple[float, float]]


def upright_or_over(shape: shapely.Polygon, expected: shapely.Polygon) -> float:
    """How far the outlines lie apart at most; the reference edge may be at the top."""
    over = affinity.scale(expected, yfact=-1, origin=(0, expected.bounds[3] / 2))
    return min(shape.boundary.hausdorff_distance(one.boundary) for one in (expected, over))


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(some(6)))
def test_read_back(seed: int, tmp_path: Path) -> None:
    """A board whose tiles lie in two ways is read back from DXF and SVG alone, and the next one is taken as well."""
    assert any(read_back(seed + 10_000 * more, tmp_path) for more in range(10)), "ten boards with tiles in two ways"


def read_back(seed: int, tmp_path: Path) -> bool:
    """Whether its pattern on paper could be laid together from tiles in one row, and was held too."""
    made = board(seed)
    while made.size[1] > NARROW:
        seed += 1000
        made = board(seed)
    made.text = "\n".join(line for line in made.text.split("\n") if not line.startswith("  thin:"))
    (tmp_path / "build.yaml").write_text(made.text, "utf-8")
    job = job_of(tmp_path / "build.yaml")
    document = document_of(job, "patterns")
    pattern = next(block for block in walk(document.blocks) if isinstance(block, Pattern) and "face-side" in block.file)
    read = ezdxf.read(StringIO(outline_dxf(pattern.outline)))
    loops = [[(s.x, s.y) for s in ezdxf.path.make_path(line).flattening(0.002)] for line in read.modelspace()]
    assert upright_or_over(shapely.Polygon(loops[0], loops[1:]), made.face) < TRUE, made.text
    loops = [svg_spots(path) for path in re.findall(r' d="([^"]+)"', outline_svg(pattern.outline, "one"))]
    assert upright_or_over(shapely.Polygon(loops[0], loops[1:]), made.face) < TRUE, made.text
    target = BytesIO()
    write_pdf(compose((document,), job.imprint, paper("a4")), target)
    tiles = []
    for page in pdfium.PdfDocument(target.getvalue()):
        paths = [_places(thing) for thing in page.get_objects(filter=(pdfium.raw.FPDF_PAGEOBJ_PATH,), max_depth=3)]
        if _curves(paths) or _diamonds(paths):
            tiles.append((_curves(paths), _diamonds(paths)))
    joined = laid_together(tiles)
    if joined is None:
        return False
    half = half_axis(pattern.outline)
    shown = pattern.outline.half(half) if half is not None else pattern.outline
    every = [[*side.spots(), tuple(v.float_mm() for v in side.end)] for side in shown.every if side.centre is not None]
    arcs_at = np.array([spot for spots in every for spot in spots if len(spots) > 30])
    assert fits(np.array([spot for curve in joined for spot in curve]), arcs_at, made.face), made.text
    return True


def laid_together(tiles: list[tuple[list[Places], Places]]) -> list[Places] | None:
    """The curves of all tiles in the places of the first; None where tiles lie beside each other in two ways."""
    joined: list[Places] = [*tiles[0][0]]
    at, goes = np.zeros(2), 0.0
    for (_, before), (curves, marks) in pairwise(tiles):
        pairs = [_pairs(some_marks) for some_marks in (before, marks)]
        if None in pairs:
            return None
        (axis, ones), (_, others) = pairs  # type: ignore[misc]
        # a joint is on the far side of one tile and on the near side of the next, and all lie in one row
        tried = [np.mean(one, axis=0) - np.mean(other, axis=0) for one, other in product(ones, others)]
        goes = goes or max((way[axis] for way in tried), key=abs)
        at = at + max(tried, key=lambda way: way[axis] * goes)
        joined += [[(x + at[0], y + at[1]) for x, y in curve] for curve in curves]
    return joined


def _pairs(marks: Places) -> tuple[int, list[Places]] | None:
    """The axis across which the joints of a tile run, and the two marks of each."""
    for axis in (0, 1):
        found: dict[int, Places] = {}
        for mark in marks:
            found.setdefault(round(mark[axis] * 10), []).append(mark)
        if marks and all(len(pair) == 2 for pair in found.values()):
            return axis, list(found.values())
    return None


def fits(places: np.ndarray, arcs: np.ndarray, face: shapely.Polygon) -> bool:
    """Whether curves on paper lie on the outline, whichever way it is turned; a half counts as what it is."""
    border = face.boundary
    for turn, flip in product(range(4), (1, -1)):
        c, s = [(1, 0), (0, 1), (-1, 0), (0, -1)][turn]
        matrix = np.array([[c, -s], [s, c]]) @ np.diag([1, flip])
        turned = places @ matrix.T
        for corner in product((0, 1), (0, 1)):
            # a half shares two borders of the box round the arcs with the whole, or only one: all are tried
            here = [turned[:, k].max() if corner[k] else turned[:, k].min() for k in (0, 1)]
            there = [arcs[:, k].max() if corner[k] else arcs[:, k].min() for k in (0, 1)]
            moved = turned + (np.array(there) - np.array(here))
            for side in (border, affinity.scale(border, yfact=-1, origin=(0, face.bounds[3] / 2))):
                if shapely.distance(shapely.points(moved), side).max() < TRUE:
                    return True
    return False
