"""True scale, read back from the finished PDF: its vectors, and pixels of a 600 dpi raster."""

from __future__ import annotations

import itertools
import re
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pypdfium2 as pdfium
import pytest
from pypdf import PdfReader

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.sheets import Block, Document, NewPage, SideBySide, Together
from shopdocs.blocks.text import Paragraph
from shopdocs.core.length import Length
from shopdocs.page.items import Disc, TextRun
from tests.page import paper_sample as sample

MM = 25.4 / 72
NUMBER = r"(-?\d+(?:\.\d+)?)"
# A circle is drawn as four curves from its rightmost point; its end points are left, right, top and bottom.
CURVE = re.compile(
    rf"{NUMBER} {NUMBER} m {NUMBER} {NUMBER} {NUMBER} {NUMBER} {NUMBER} {NUMBER} c "
    rf"{NUMBER} {NUMBER} {NUMBER} {NUMBER} {NUMBER} {NUMBER} c"
)
STROKE = re.compile(rf"{NUMBER} w {NUMBER} {NUMBER} m {NUMBER} {NUMBER} l S")


def page_streams(data: bytes) -> list[str]:
    import io

    return [page.get_contents().get_data().decode("latin-1") for page in PdfReader(io.BytesIO(data)).pages]


def circles(stream: str) -> list[tuple[float, float, float]]:
    """Centre and radius in millimetres, from the curves' end points."""
    found = []
    for match in CURVE.finditer(stream):
        v = [float(part) for part in match.groups()]
        right, left = v[0], v[12]
        found.append(((right + left) / 2 * MM, v[1] * MM, (right - left) / 2 * MM))
    return found


def segments(stream: str) -> list[tuple[float, float, float, float, float]]:
    """Width and ends of single strokes, in millimetres."""
    return [tuple(float(part) * MM for part in match.groups()) for match in STROKE.finditer(stream)]  # type: ignore[misc]


def bars(stream: str, thin: float = 0.18) -> dict[str, set[float]]:
    """Lengths of the check bars' base lines and the distance of their outermost tall marks, by axis."""
    out: dict[str, set[float]] = {"x": set(), "y": set()}
    for width, x0, y0, x1, y1 in segments(stream):
        if abs(width - thin) < 0.01:
            if abs(y1 - y0) < 1e-4:
                out["x"].add(round(abs(x1 - x0), 3))
            if abs(x1 - x0) < 1e-4:
                out["y"].add(round(abs(y1 - y0), 3))
    return out


@pytest.mark.parametrize("held", ["by itself", "together", "side by side", "both"])
def test_a_sheet_with_a_template_says_that_it_is_to_be_measured(held: str) -> None:
    """Whatever the template stands in; a sheet of words alone does not say so."""
    (block,) = [block for block in sample.template().blocks if isinstance(block, FullScale)]
    beside = SideBySide(((block,), ()), (1.0, 0.01))
    blocks: dict[str, Block] = {
        "by itself": block,
        "together": Together((block,)),
        "side by side": beside,
        "both": Together((beside,)),
    }
    words = Document("w", "Words", "", (Paragraph(("Words alone.",)), NewPage()))
    measured = Document("t", "Template", "", (Paragraph(("Above it.",)), NewPage(), blocks[held]))
    frames = sample.composed((words, measured), "a4").frames
    assert [frame.true_scale for frame in frames] == [False, False, True]


@pytest.mark.parametrize("key", ["letter", "a4"])
def test_holes_lie_where_the_drawing_says_vector(key: str) -> None:
    stream = page_streams(sample.pdf_bytes(sample.composed((sample.template(),), key)))[0]
    found = sorted(circles(stream))
    assert len(found) == 3
    for (x0, y0, r0), (x1, y1, _) in itertools.pairwise(found):
        assert x1 - x0 == pytest.approx(40, abs=0.02)
        assert y1 == pytest.approx(y0, abs=0.02)
        assert r0 == pytest.approx(2.5, abs=0.02)
    edge = [s for s in segments(stream) if abs(s[0] - 0.7) < 0.01]
    assert len(edge) == 1
    _, ex0, ey0, ex1, ey1 = edge[0]
    assert abs(ex1 - ex0) == pytest.approx(150, abs=0.02)
    assert found[0][1] - ey0 == pytest.approx(20, abs=0.02)
    assert found[0][0] - min(ex0, ex1) == pytest.approx(20, abs=0.02)
    assert ey0 == pytest.approx(ey1, abs=1e-4)


def test_holes_lie_where_the_drawing_says_second_reader() -> None:
    """The same centres by PDFium, which shares no code with the writer or with pypdf."""
    document = pdfium.PdfDocument(sample.pdf_bytes(sample.composed((sample.template(),))))
    centres = []
    for thing in document[0].get_objects(filter=(pdfium.raw.FPDF_PAGEOBJ_PATH,)):
        if pdfium.raw.FPDFPath_CountSegments(thing) > 4 and _is_curve(thing):
            left, low, right, top = thing.get_bounds()
            centres.append(((left + right) / 2 * MM, (low + top) / 2 * MM))
    centres.sort()
    assert len(centres) == 3
    assert [b[0] - a[0] for a, b in itertools.pairwise(centres)] == pytest.approx([40, 40], abs=0.02)


def _is_curve(thing: pdfium.PdfObject) -> bool:
    segment = pdfium.raw.FPDFPath_GetPathSegment(thing, 1)
    return bool(pdfium.raw.FPDFPathSegment_GetType(segment) == pdfium.raw.FPDF_SEGMENT_BEZIERTO)


def test_holes_and_bars_are_true_in_a_raster() -> None:
    """600 dpi pixels: hole centres as middles of the circles' black, bar length between its outermost marks."""
    document = pdfium.PdfDocument(sample.pdf_bytes(sample.composed((sample.template(),))))
    page = document[0]
    bitmap = page.render(scale=600 / 72, grayscale=True).to_numpy()
    pixels = bitmap[:, :, 0] if bitmap.ndim == 3 else bitmap
    high, wide = pixels.shape
    # PDFium rounds the page up to whole pixels and stretches it: millimetres by page over pixels
    per_x, per_y = page.get_width() * MM / wide, page.get_height() * MM / high
    dark = pixels < 128
    frame = sample.composed((sample.template(),)).frames[0]
    expected = sorted((item.x * MM, item.y * MM) for item in frame.items if isinstance(item, Disc))
    assert len(expected) == 3
    measured = []
    for x, y in expected:
        # a ring of 2 to 3 mm round the centre, without the cross of the centre mark
        j = np.arange(int((x - 4) / per_x), int((x + 4) / per_x))
        i = np.arange(int((page.get_height() * MM - y - 4) / per_y), int((page.get_height() * MM - y + 4) / per_y))
        jj, ii = np.meshgrid(j, i)
        px, py = (jj + 0.5) * per_x, page.get_height() * MM - (ii + 0.5) * per_y
        radius = np.hypot(px - x, py - y)
        cross = (abs(px - x) < 0.4) | (abs(py - y) < 0.4)
        ring = dark[np.ix_(i, j)] & (radius > 1.9) & (radius < 3.1) & ~cross
        assert ring.sum() > 200
        measured.append(((px[ring].min() + px[ring].max()) / 2, (py[ring].min() + py[ring].max()) / 2))
    for (x0, _), (x1, _) in itertools.pairwise(measured):
        assert x1 - x0 == pytest.approx(40, abs=0.06)
    _check_raster_bar(dark, per_x, per_y)


def _check_raster_bar(dark: np.ndarray, per_x: float, per_y: float) -> None:
    """Three millimetres under the bar's base line (the lowest long row of black) only the two end marks of the inch
    side are cut; between their middles lie 4 in, by definition 101.6 mm."""
    runs = dark.sum(axis=1) * per_x
    base = max(index for index, length in enumerate(runs) if 90 < length < 115)
    columns = np.flatnonzero(dark[base + int(3 / per_y)])
    ends = np.split(columns, np.flatnonzero(np.diff(columns) > 1) + 1)
    first, last = ends[0].mean(), ends[-1].mean()
    assert (last - first) * per_x == pytest.approx(101.6, abs=0.1)


@pytest.mark.parametrize("long", ["150", "500"])
@pytest.mark.parametrize("key", ["letter", "a4"])
def test_every_sheet_carries_bars_in_both_axes(key: str, long: str) -> None:
    data = sample.pdf_bytes(sample.composed((sample.template(long),), key))
    streams = page_streams(data)
    assert len(streams) == (1 if long == "150" else 3)
    for stream in streams:
        for axis in ("x", "y"):
            assert any(abs(length - 101.6) < 0.02 for length in bars(stream)[axis])


def test_hundred_millimetre_marks() -> None:
    """The tall marks of the millimetre side stand 100 mm apart, those of the inch side 4 in (25.4 mm to the inch)."""
    stream = page_streams(sample.pdf_bytes(sample.composed((sample.template(),))))[0]
    tall = sorted(
        (x0, y1 - y0) for w, x0, y0, x1, y1 in segments(stream) if abs(abs(y1 - y0) - 3.4) < 0.01 and x0 == x1
    )
    up = [x for x, way in tall if way > 0]
    down = [x for x, way in tall if way < 0]
    assert up[-1] - up[0] == pytest.approx(100, abs=0.02)
    assert down[-1] - down[0] == pytest.approx(101.6, abs=0.02)


def test_printer_correction_stretches_the_true_part_and_is_stated() -> None:
    """A printer that printed 100 mm as 99.5 across and 100.2 up gets factors 100/99.5 and 100/100.2."""
    printer = (Fraction(1000, 995), Fraction(1000, 1002))
    pages = sample.composed((sample.template(),), "letter", printer)
    stream = page_streams(sample.pdf_bytes(pages))[0]
    found = sorted(circles(stream))
    assert [(b[0] - a[0]) * 0.995 for a, b in itertools.pairwise(found)] == pytest.approx([40, 40], abs=0.02)
    edge = next(s for s in segments(stream) if abs(s[0] - 0.7) < 0.01)
    assert (found[0][1] - edge[2]) * 1.002 == pytest.approx(20, abs=0.02)
    assert any(abs(length * 0.995 - 101.6) < 0.02 for length in bars(stream)["x"])
    assert any(abs(length * 1.002 - 101.6) < 0.02 for length in bars(stream)["y"])
    words = " ".join(item.text for item in pages.frames[0].items if isinstance(item, TextRun))
    assert "+0.50 % across, −0.20 % up" in words


def test_a_printer_check_is_not_corrected() -> None:
    """What is to be measured must show what the printer does by itself."""
    printer = (Fraction(1000, 995), Fraction(1000, 1002))
    block = sample.FullScale("Square", sample.pins(), corrected=False)
    pages = sample.composed((sample.Document("d", "t", "", (block,)),), "letter", printer)
    found = sorted(circles(page_streams(sample.pdf_bytes(pages))[0]))
    assert [b[0] - a[0] for a, b in pairwise(found)] == pytest.approx([40, 40], abs=0.02)


@pytest.mark.parametrize("key", ["letter", "a4"])
def test_tiles_meet_at_their_numbered_marks(key: str) -> None:
    """On both tiles of a join the hole seen by both lies equally far from the join's diamonds."""
    pages = sample.composed((sample.template("500"),), key)
    assert len(pages.frames) == 3
    for first, second in zip(pages.frames, pages.frames[1:], strict=False):
        shared = _offsets(first) & _offsets(second)
        assert len(shared) >= 1, "a join shows at least one hole on both tiles"


def _offsets(frame: object) -> set[tuple[str, float, float]]:
    """Distances from every numbered diamond to every hole of a tile, in tenths of a millimetre."""
    items = frame.items  # type: ignore[attr-defined]
    marks = [(item.text, item.x, item.y) for item in items if isinstance(item, TextRun) and item.text in ("1", "2")]
    holes = [item for item in items if isinstance(item, Disc)]
    return {
        (number, round((hole.x - x) * MM, 1), round((hole.y - y) * MM, 1)) for number, x, y in marks for hole in holes
    }


def test_a_template_turns_when_that_saves_a_sheet() -> None:
    """240 mm do not fit across a Letter page (215.9 mm), but up it (279.4 mm)."""
    pages = sample.composed((sample.template("200"),), "letter")
    assert len(pages.frames) == 1
    centres = sorted((item.y, item.x) for item in pages.frames[0].items if isinstance(item, Disc))
    assert [(b[0] - a[0]) * MM for a, b in itertools.pairwise(centres)] == pytest.approx([40] * 4, abs=0.02)


def test_lengths_are_points_of_a_72nd_inch() -> None:
    """ISO 32000-1 8.3.2.3: one inch is 72 units of user space."""
    assert Length.inches(1).points == 72.0
