"""Templates that share a sheet: read back from the finished PDF by their vectors.

What is checked against comes from outside the program: lengths of the drawings as they are written here, the bars'
100 mm and 4 in (25.4 mm to the inch, by definition), and plain geometry (boxes that must not meet).
"""

from __future__ import annotations

import itertools
import random
from fractions import Fraction

import pytest

from shopdocs.blocks.drawing import Circle, Drawing, FullScale, Line, Polygon, Stroke
from shopdocs.core.length import ZERO, Length
from shopdocs.page.items import Path, TextRun
from shopdocs.page.pad import words_box
from shopdocs.page.sharing import share
from shopdocs.page.typeface import width
from tests.page import paper_sample as sample
from tests.page.test_page_true_scale import bars, circles, page_streams
from tests.page.whole_sets import whole_set
from tests.sample_jobs import BY_NAME

MM = 72 / 25.4


def block(name: str, wide: int, high: int, apart: int) -> FullScale:
    """A face with two holes of 6 mm, `apart` from each other and 9 mm from the reference edge."""
    corners = ((ZERO, ZERO), (Length(wide), ZERO), (Length(wide), Length(high)), (ZERO, Length(high)))
    holes = tuple(Circle((Length(x), Length(9)), Length(3)) for x in (7, 7 + apart))
    edge = Line((ZERO, ZERO), (Length(wide), ZERO), Stroke.REFERENCE)
    drawing = Drawing(name, Length(wide), Length(high), (Polygon(corners, Stroke.CUT), edge, *holes))
    return FullScale(name, drawing, ("Hole 1: 6 mm, through",), f"t-{name}")


BLOCKS = tuple(
    block(f"N{apart}", wide, high, apart)
    for apart, wide, high in ((21, 60, 30), (40, 150, 90), (53, 160, 24), (29, 45, 45), (67, 150, 120), (35, 50, 160))
)


@pytest.mark.parametrize("key", ["letter", "a4"])
def test_holes_of_shared_sheets_are_true_and_every_sheet_has_both_bars(key: str) -> None:
    table = sample.Paragraph(("The schedule stands above.",))
    pages = sample.composed((sample.Document("d", "Drilling", "", (table, *BLOCKS)),), key)
    assert len(pages.frames) < len(BLOCKS)
    streams = page_streams(sample.pdf_bytes(pages))
    apart: list[float] = []
    for frame, stream in zip(pages.frames, streams, strict=True):
        assert frame.true_scale
        for axis in ("x", "y"):
            assert any(abs(length - 101.6) < 0.02 for length in bars(stream)[axis])
        holes = circles(stream)
        assert holes
        for (x0, y0, r0), (x1, y1, _) in zip(holes[::2], holes[1::2], strict=True):
            assert r0 == pytest.approx(3, abs=0.02)
            assert min(abs(x1 - x0), abs(y1 - y0)) == pytest.approx(0, abs=0.02)
            apart.append(abs(x1 - x0) + abs(y1 - y0))
    assert sorted(apart) == pytest.approx([21, 29, 35, 40, 53, 67], abs=0.02)


@pytest.mark.parametrize("key", ["letter", "a4"])
def test_cut_lines_and_words_of_neighbours_keep_apart(key: str) -> None:
    """Between two outlines there is room for scissors, and no words of a neighbour stand on the paper of another."""
    pages = sample.composed((sample.Document("d", "Drilling", "", BLOCKS),), key)

    for frame in pages.frames:
        boxes = []
        for item in frame.items:
            if isinstance(item, Path) and item.closed and item.dash:
                xs, ys = zip(*item.points, strict=True)
                boxes.append((min(xs), min(ys), max(xs), max(ys)))
        for a, b in itertools.combinations(boxes, 2):
            assert a[2] + 5 * MM < b[0] or b[2] + 5 * MM < a[0] or a[3] + 5 * MM < b[1] or b[3] + 5 * MM < a[1]
        for item in frame.items:
            if isinstance(item, TextRun):
                wide = width(item.text, item.face, item.size)
                x0, y0, x1, y1 = words_box(item.x, item.y, wide, item.size, item.angle)
                assert not any(x0 < b[2] and b[0] < x1 and y0 < b[3] and b[1] < y1 for b in boxes), item.text


def test_a_printer_that_errs_is_corrected_on_shared_sheets() -> None:
    """100 mm printed as 99.5 across and 100.2 up: each distance times what the printer does is true again."""
    pages = sample.composed((sample.Document("d", "t", "", BLOCKS),), "a4", (Fraction(1000, 995), Fraction(1000, 1002)))
    apart = []
    for stream in page_streams(sample.pdf_bytes(pages)):
        holes = circles(stream)
        for (x0, y0, _), (x1, y1, _) in zip(holes[::2], holes[1::2], strict=True):
            apart.append(abs(x1 - x0) * 0.995 + abs(y1 - y0) * 1.002)
        assert any(abs(length * 0.995 - 101.6) < 0.02 for length in bars(stream)["x"])
        assert any(abs(length * 1.002 - 101.6) < 0.02 for length in bars(stream)["y"])
    assert sorted(apart) == pytest.approx([21, 29, 35, 40, 53, 67], abs=0.02)


def test_shared_places_never_meet() -> None:
    """Brute force over random rectangles: within the sheet, the air kept between every two."""
    chance = random.Random(7)
    for _ in range(60):
        things = []
        for _ in range(chance.randint(1, 14)):
            a, b = chance.uniform(20, 300), chance.uniform(20, 300)
            things.append([(a, b), (b, a)])
        places = share(things, 480.0, (250.0, 640.0), 20.0)
        boxes = []
        for thing, place in zip(things, places, strict=True):
            wide, high = thing[place.way]
            boxes.append((place.sheet, place.x, place.y, place.x + wide, place.y + high))
            assert place.x >= 0
            assert place.y >= 0
            assert place.x + wide <= 480.02
            assert place.y + high <= (250.02 if place.sheet == 0 else 640.02)
        for a, b in itertools.combinations(boxes, 2):
            if a[0] == b[0]:
                gaps = (b[1] - a[3], a[1] - b[3], b[2] - a[4], a[2] - b[4])
                assert max(gaps) >= 20 - 0.02


def test_templates_that_fit_share_a_sheet_though_a_larger_one_stands_between() -> None:
    """Two small ones side by side, before the tiles of the long one (500 mm is more than a sheet is high)."""
    long = block("LONG", 60, 500, 20)
    pages = sample.composed((sample.Document("d", "Drilling", "", (BLOCKS[0], long, BLOCKS[3])),), "a4")
    titles = [{item.text for item in frame.items if isinstance(item, TextRun)} for frame in pages.frames]
    assert [{"N21", "N29"} <= words for words in titles] == [True, *[False] * (len(titles) - 1)]
    assert all("LONG" in words for words in titles[1:]) and len(titles) > 2


@pytest.mark.parametrize("wide", [60, 90, 150])
def test_words_beside_a_join_keep_off_its_diamonds(wide: int) -> None:
    """Also on a join too short to hold them between its diamonds."""
    pages = sample.composed((sample.Document("d", "Drilling", "", (block("LONG", wide, 500, 20),)),), "a4")
    told = 0
    for frame in pages.frames:
        diamonds = [
            [min(xs), min(ys), max(xs), max(ys)]
            for item in frame.items
            if isinstance(item, Path) and item.closed and len(item.points) == 4
            for xs, ys in [list(zip(*item.points, strict=True))]
            if item.width and len(set(xs)) == 3 and len(set(ys)) == 3
        ]
        for item in frame.items:
            if isinstance(item, TextRun) and item.text.startswith(("glue tile", "cut here")):
                told += 1
                long = width(item.text, item.face, item.size)
                x0, y0, x1, y1 = words_box(item.x, item.y, long, item.size, item.angle)
                assert len(diamonds) >= 2
                assert not any(x0 < d[2] and d[0] < x1 and y0 < d[3] and d[1] < y1 for d in diamonds)
    assert told >= 2


def test_other_orders_save_a_sheet() -> None:
    """45 + 35 + 20 and 40 + 40 + 20 fill two sheets of 100. Largest first they take three: 45 + 40, 40 + 35 + 20, and
    20 is left (worked out by hand)."""
    highs = [45.0, 40.0, 40.0, 35.0, 20.0, 20.0]
    places = share([[(100.0, high)] for high in highs], 100.0, (100.0, 100.0), 0.0)
    assert len({place.sheet for place in places}) == 2


def test_another_way_to_lay_a_thing_saves_a_sheet() -> None:
    """A thing of 160 x 40 or 60 x 120, and one of 110 x 170 or 95 x 180, on a sheet of 160 x 190: the lower way of
    either leaves too little for the other, 150 under it or 50 beside it; 60 and 5 and 95 are 160."""
    things = [[(160.0, 40.0), (60.0, 120.0)], [(110.0, 170.0), (95.0, 180.0)]]
    places = share(things, 160.0, (190.0, 190.0), 5.0)
    assert {place.sheet for place in places} == {0}
    assert [place.way for place in places] == [1, 1]
    assert sorted(place.x for place in places) in ([0.0, 65.0], [0.0, 100.0])


def test_words_stand_in_a_narrow_column_where_that_spares_a_sheet() -> None:
    """The guides of the stool on Letter, by hand: four of 82 + 25 / 2 + 33.5 = 128 mm square and figures of angles 65
    high. With their six lines over them a guide and a figure are higher than the page; beside it the lines have 38 mm,
    and each guide has a figure under it. The fifth figure and two guides as narrow as a leg fill the fifth page."""
    pages = [frame for frame in whole_set(BY_NAME["loft_stool"], "mm", "letter").composed.frames if frame.true_scale]
    assert sum(frame.document == "angles" for frame in pages) == 5
