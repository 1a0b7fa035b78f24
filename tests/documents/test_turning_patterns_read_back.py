"""Turning patterns of random rounds, read back from DXF, SVG and PDF; on paper across all tiles, mark laid on mark."""

from __future__ import annotations

import random
import re
from io import BytesIO, StringIO
from itertools import pairwise
from pathlib import Path

import ezdxf
import ezdxf.path
import numpy as np
import pypdfium2 as pdfium
import pytest
import shapely

from shopdocs.blocks.drawing import Pattern
from shopdocs.blocks.walk import walk
from shopdocs.core.rounds import Round
from shopdocs.output.outline_files import outline_dxf, outline_svg
from shopdocs.output.pdf import write_pdf
from shopdocs.page.compose import compose
from shopdocs.page.paper import paper
from tests.core.test_rounds import random_round, with_pommels
from tests.documents.test_patterns import _diamonds, _places, svg_spots
from tests.examples import some
from tests.sample_jobs import document_of, job_of
from tests.small_builds import one_piece

TRUE = 0.02  # millimetres
TURNS = [[1, 0], [0, 1]], [[-1, 0], [0, -1]], [[0, -1], [1, 0]], [[0, 1], [-1, 0]]
Places = list[tuple[float, float]]


def profile(turned: Round) -> shapely.Polygon:
    """Half the diameter over the centre line, from the first place on."""
    start = turned.start.float_mm()
    above = [(along.float_mm() - start, diameter.float_mm() / 2) for along, diameter in turned.spots]
    half = shapely.Polygon([(0, 0), *above, (turned.end.float_mm() - start, 0)])
    pommels = (shapely.box(a.float_mm() - start, 0, b.float_mm() - start, 20) for a, b in turned.pommels)
    return shapely.unary_union([half, *pommels])


def apart(loop: Places, wanted: shapely.Polygon) -> float:
    """How far two outlines lie apart at most."""
    return shapely.Polygon(loop).boundary.hausdorff_distance(wanted.boundary)


@pytest.mark.parametrize("seed", range(some(6)))
def test_read_back(seed: int, tmp_path: Path) -> None:
    """Every other round is alike from both ends, and its pattern on paper is a half; the rest have pommels."""
    pick = random.Random(seed)
    turned = random_round(pick)
    if seed % 2 == 0:
        turned = with_pommels(turned, pick)
    if seed % 2:
        whole = turned.start + turned.end
        there = tuple((whole - along, diameter) for along, diameter in reversed(turned.spots))
        half = [spot for spot in turned.spots if spot[0] < whole / 2]
        turned = Round((*half, *(spot for spot in there if spot[0] > whole / 2)))
    told = ", ".join(f"'{along.float_mm():g}, {diameter.float_mm():g}'" for along, diameter in turned.spots)
    text = one_piece("rung", "40 x 40 x 600", "length: x, width: z", "R: {x: 0, y: 0, z: 0}", 52)
    square = ", ".join(f"{low.float_mm():g} to {high.float_mm():g}" for low, high in turned.pommels)
    square = f", pommels: [{square}]" if square else ""
    text += f"cuts:\n  round: {{kind: round, on: [{{piece: R}}], diameters: [{told}]{square}}}\n"
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    job, wanted = job_of(tmp_path / "build.yaml"), profile(turned)
    document = document_of(job, "patterns")
    (pattern,) = (block for block in walk(document.blocks) if isinstance(block, Pattern))
    (line,) = ezdxf.read(StringIO(outline_dxf(pattern.outline))).modelspace()
    assert apart([(s.x, s.y) for s in ezdxf.path.make_path(line).flattening(0.002)], wanted) < TRUE, text
    (path,) = re.findall(r' d="([^"]+)"', outline_svg(pattern.outline, "one"))
    high = wanted.bounds[3]
    assert apart([(x, high - y) for x, y in svg_spots(path)], wanted) < TRUE, text  # y goes down in SVG
    target = BytesIO()
    write_pdf(compose((document,), job.imprint, paper("a4")), target)
    shown = wanted
    said = [fact.split()[0] for fact in pattern.facts[1:]]
    assert set(said) <= {"Half", "The"} and ("The" in said) == bool(turned.pommels), pattern.facts
    if "Half" in said:
        shown = wanted & shapely.box(0, 0, (turned.end - turned.start).float_mm() / 2, 99)
    assert (pattern.drawing.width.float_mm() < 0.6 * wanted.bounds[2]) == (shown is not wanted)
    assert _holds(_pages(target.getvalue()), shown), text


def _lines(thing: pdfium.PdfObject, path: Places) -> list[Places]:
    """The straight lines of one path, which may lift its pen."""
    segments = [pdfium.raw.FPDFPath_GetPathSegment(thing, number) for number in range(len(path))]
    drawn = [pdfium.raw.FPDFPathSegment_GetType(segment) == pdfium.raw.FPDF_SEGMENT_LINETO for segment in segments]
    return [[path[k - 1], path[k]] for k in range(1, len(path)) if drawn[k]]


def _pages(pdf: bytes) -> list[tuple[np.ndarray, np.ndarray]]:
    """The straight lines of each page, each way round, and the middles of its join marks."""
    found = []
    for page in pdfium.PdfDocument(pdf):
        things = list(page.get_objects(filter=(pdfium.raw.FPDF_PAGEOBJ_PATH,), max_depth=3))
        paths = [_places(thing) for thing in things]
        lines = [line for thing, path in zip(things, paths, strict=True) for line in _lines(thing, path)]
        lines += [line[::-1] for line in lines]
        found.append((np.array(lines).reshape(-1, 2, 2), np.array(_diamonds(paths)).reshape(-1, 2)))
    return found


def _holds(pages: list[tuple[np.ndarray, np.ndarray]], shown: shapely.Polygon) -> bool:
    """Whether every slope and level of the profile is drawn on some tile, and all tiles hang together: the marks where
    two of them join lie in the same places of the pattern. The pattern may lie any way on the paper."""
    above = [
        side for side in pairwise(shown.exterior.coords) if side[0][0] != side[1][0] and max(side[0][1], side[1][1])
    ]
    centre = [(0.0, 0.0), (shown.bounds[2], 0.0)]
    return any(_fits(pages, *(np.array(one) @ np.array(turn).T for one in (above, centre))) for turn in TURNS)


def _fits(pages: list[tuple[np.ndarray, np.ndarray]], sides: np.ndarray, centre: np.ndarray) -> bool:
    tiles: list[np.ndarray] = []  # the join marks of each, in the places of the pattern
    drawn = set()
    for lines, marks in pages:
        origins: list[np.ndarray] = []
        middle = _origins(lines, centre)  # a tile has the whole centre line
        for number, side in enumerate(sides):
            for origin in _origins(lines, side):
                if not len(middle) or np.abs(middle - origin).max(axis=1).min() > TRUE:
                    continue
                drawn.add(number)
                if not any(np.abs(origin - other).max() < TRUE for other in origins):
                    origins.append(origin)
        tiles += [marks - origin for origin in origins]
    if len(drawn) < len(sides):
        return False
    reached, more = {0}, [0]
    while more:
        one = tiles[more.pop()]
        for number in set(range(len(tiles))) - reached:
            apart = np.abs(one[:, None] - tiles[number][None]).max(axis=2)
            if (apart < TRUE).sum() >= 2:
                reached.add(number)
                more.append(number)
    return len(reached) == len(tiles)


def _origins(lines: np.ndarray, side: np.ndarray) -> np.ndarray:
    """Where the pattern begins, for each line that is as long as a side and as slanted."""
    off = lines - side
    alike: np.ndarray = off[np.abs(off[:, 0] - off[:, 1]).max(axis=1, initial=0) < TRUE].mean(axis=1)
    return alike
