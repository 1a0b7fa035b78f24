"""Drawings, and frames as SVG and as text."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from fractions import Fraction
from itertools import pairwise

import pytest

from shopdocs.blocks.drawing import Dimension, Drawing, Stroke, Words
from shopdocs.blocks.drawing import Line as Drawn
from shopdocs.blocks.scales import SCALES, scale_text
from shopdocs.blocks.sheets import Document
from shopdocs.core.display import mixed_number
from shopdocs.core.length import Length
from shopdocs.documents.drawn.pictures import picture, standing
from shopdocs.output.svg import drawing_svg, page_svg
from shopdocs.page.compose import compose
from shopdocs.page.drawings import Pictures, fitted, lay_out
from shopdocs.page.items import Frame, Item, Line, Path, Symbol, TextRun, mm
from shopdocs.page.paper import paper
from shopdocs.page.style import style
from shopdocs.page.tiles import turned
from shopdocs.page.typeface import width
from shopdocs.page.typesetter import Typesetter
from shopdocs.work.shapes.projection import FRONT, ISOMETRIC
from tests.golden.dump import dump
from tests.page import paper_sample as sample
from tests.page.frame_checks import small_digits
from tests.sample_jobs import BY_NAME, sample_job
from tests.values import replace

# Reductions of ISO 5455:1979 and, for inches, eighths: common practice, no source.
ISO_5455 = ("1:1", "1:2", "1:5", "1:10", "1:20", "1:50", "1:100")


def test_standard_scales_are_among_those_used() -> None:
    assert set(ISO_5455) <= {scale_text(scale) for scale in SCALES}
    assert {"1:4", "1:8", "1:16", "1:2.5"} <= {scale_text(scale) for scale in SCALES}


@pytest.mark.parametrize(("room", "tall"), [(100, 60), (186, 120), (60, 200)])
def test_the_largest_scale_that_fits(room: float, tall: float) -> None:
    drawing = sample.front_view()
    laid, scale = fitted(drawing, mm(room), mm(tall), Typesetter())
    assert laid.box[2] - laid.box[0] <= mm(room) + 0.01
    assert laid.box[3] - laid.box[1] <= mm(tall) + 0.01
    larger = SCALES[SCALES.index(scale) - 1]
    bigger = lay_out(drawing, larger, Typesetter()).box
    limit = min(mm(tall), mm(drawing.tallest_mm + 2 * drawing.clear_mm))
    assert bigger[2] - bigger[0] > mm(room) or bigger[3] - bigger[1] > limit


def words_boxes(items: list[Item]) -> list[tuple[float, float, float, float]]:
    out = []
    for item in items:
        if isinstance(item, TextRun):
            wide, high = width(item.text, item.face, item.size), item.size * 0.65
            out.append(
                (item.x - high, item.y, item.x, item.y + wide)
                if item.angle
                else (item.x, item.y, item.x + wide, item.y + high)
            )
    return out


@pytest.mark.parametrize("scale", [Fraction(1, 5), Fraction(1, 8), Fraction(1, 16), Fraction(1, 32)])
@pytest.mark.parametrize("quarter", [False, True])
def test_dimension_words_never_overlap(scale: Fraction, quarter: bool) -> None:
    drawing = sample.front_view()
    drawing = replace(drawing, shapes=tuple(shape for shape in drawing.shapes if isinstance(shape, Dimension)))
    drawing = turned(drawing) if quarter else drawing
    boxes = words_boxes(lay_out(drawing, scale, Typesetter()).items)
    assert len(boxes) == 9
    for index, a in enumerate(boxes):
        for b in boxes[index + 1 :]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])


def test_a_dimension_moves_out_of_the_way_of_other_words() -> None:
    """Words of the drawing stand just where the dimension's own would."""
    shape = Dimension((Length(0), Length(0)), (Length(80), Length(0)), "80", "x", -8.0)
    other = Words((Length(40), Length("-5.3")), "tenon here")
    alone = lay_out(Drawing("d", Length(80), Length(10), (shape,)), Fraction(1), Typesetter()).items
    both = lay_out(Drawing("d", Length(80), Length(10), (other, shape)), Fraction(1), Typesetter()).items
    (before,) = words_boxes(alone)
    words, after = words_boxes(both)
    assert words[0] < before[2]
    assert before[0] < words[2]
    assert words[1] < before[3]
    assert before[1] < words[3]
    assert not (words[0] < after[2] and after[0] < words[2] and words[1] < after[3] and after[1] < words[3])


@pytest.mark.parametrize("scale", [Fraction(1, 4), Fraction(1, 8), Fraction(1, 12), Fraction(1, 20)])
def test_words_of_a_narrow_chain_stand_over_their_own_length(scale: Fraction) -> None:
    """Half, quarter, half and three quarters of an inch in a row: no words beside their length may lie over another one
    of the same line, or a hole would be bored by the wrong figure."""
    marks = ("0", "1/2", "3/4", "5/4", "2", "10", "81/8", "11", "30")
    spans = list(pairwise(marks))
    chain = tuple(Dimension(sample.at(a, "6"), sample.at(b, "6"), f"{a} to {b}", "x", 7.0) for a, b in spans)
    laid = lay_out(Drawing("d", Length.inches(30), Length.inches(6), chain), scale, Typesetter())
    runs = {item.text: item for item in laid.items if isinstance(item, TextRun)}
    assert len(runs) == len(spans)
    boxes = words_boxes(laid.items)
    for index, a in enumerate(boxes):
        for b in boxes[index + 1 :]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])
    ends = {f"{a} to {b}": (x(a, scale), x(b, scale)) for a, b in spans}
    for text, run in runs.items():
        low, high = ends[text]
        right = run.x + width(text, run.face, run.size)
        between = (run.x, low) if right < low else (high, right) if run.x > high else (0.0, 0.0)
        level = [other for other in runs.values() if abs(other.y - run.y) < 0.1 and other is not run]
        for other in level:
            start, end = ends[other.text]
            assert not (start < between[1] - 0.2 and between[0] + 0.2 < end), (text, other.text)


def x(inches: str, scale: Fraction) -> float:
    return float(Length.inches(inches).mm * scale) * 72 / 25.4


@pytest.mark.parametrize("scale", [Fraction(1, 20), Fraction(3, 100)])
def test_no_picture_at_an_angle_says_a_scale(scale: Fraction) -> None:
    """1:20 happens to be a usual one; edges of a view at an angle are not as long as the scale says."""
    room = float(Length(1200).mm * scale) + 1, float(Length(880).mm * scale) + 1
    job = sample_job(BY_NAME["potting_table"], "mm")
    assert job.space is not None
    scene = job.space.scene
    at_angle, front = (picture(standing(scene), room, view).drawing for view in (ISOMETRIC, FRONT))
    assert at_angle.pictorial and not front.pictorial
    drawn = [replace(drawing, scale=scale, name="Table") for drawing in (at_angle, front)]
    told = []
    for drawing in drawn:
        frames = compose((Document("d", "D", "", (drawing,)),), sample.IMPRINT, paper("a4")).frames
        told.append([item.text for item in frames[0].items if isinstance(item, TextRun) and "scale" in item.text])
    assert told[0] == ["not to scale"]
    assert told[1] == (["scale 1:20"] if scale == Fraction(1, 20) else ["not to scale"])


def test_overhangs_stay_in_the_row_of_what_is_clear_between_the_feet() -> None:
    """A side 28 wide on paper: feet 1.4 wide that stand 2 in from its ends, 21.2 between them. There is room to the
    left and to the right for the words of the overhangs; their arrows from outside end under those in the middle."""
    spots = ["0", "2", "3.4", "24.6", "26", "28"]
    one, two, three, four, five, six = (Length(spot) for spot in spots)
    rows = [(one, two, "2 a"), (three, four, "≈16¹¹⁄₁₆"), (five, six, "2 b")]
    shapes = [Dimension((a, Length(0)), (b, Length(0)), told, "x", -7.0) for a, b, told in rows]
    whole = Dimension((one, Length(0)), (six, Length(0)), "28", "x", -14.5)
    laid = lay_out(Drawing("d", six, Length(30), (*shapes, whole)), Fraction(1), Typesetter())
    heights = {item.text: item.y for item in laid.items if isinstance(item, TextRun)}
    assert heights["2 a"] == heights["2 b"] == heights["≈16¹¹⁄₁₆"] > heights["28"]


def test_dimension_arrows_touch_the_measured_ends() -> None:
    """ISO 129-1: arrowheads end on the extension lines; outside, pointing in, where there is no room between."""
    for long, outward in ((Length(100), True), (Length(3), False)):
        shape = Dimension((Length(0), Length(0)), (long, Length(0)), "x", "x", -8.0)
        items = lay_out(Drawing("d", long, Length(10), (shape,)), Fraction(1), Typesetter()).items
        heads = [item for item in items if isinstance(item, Path) and item.fill == 0.0]
        assert len(heads) == 2
        tips = sorted(head.points[0][0] for head in heads)
        assert tips == pytest.approx([0.0, long.points], abs=0.001)
        for head in heads:
            tip, base = head.points[0][0], head.points[1][0]
            inside = 0.0 <= base <= long.points
            assert inside is outward, (tip, base)


def test_extension_lines_leave_a_gap_and_run_over() -> None:
    shape = Dimension((Length(0), Length(0)), (Length(80), Length(0)), "80", "x", -8.0)
    items = lay_out(Drawing("d", Length(80), Length(10), (shape,)), Fraction(1), Typesetter()).items
    upright = [item for item in items if isinstance(item, Line) and item.x0 == item.x1]
    assert len(upright) == 2
    for line in upright:
        assert 0.5 <= -max(line.y0, line.y1) / mm(1) <= 1.5
        assert min(line.y0, line.y1) < -mm(8.0)


def test_line_widths_and_dashes() -> None:
    """ISO 128: narrow lines about half as wide as wide ones; hidden dashes to gaps 2 to 1; a centre line's long
    dash and short dash differ clearly."""
    strokes = style().strokes
    assert strokes[Stroke.VISIBLE][0] == pytest.approx(mm(0.35))
    assert strokes[Stroke.THIN][0] == pytest.approx(mm(0.18))
    dash, gap = strokes[Stroke.HIDDEN][1]
    assert dash / gap == pytest.approx(2.0)
    long, _, short, _ = strokes[Stroke.CENTRE][1]
    assert long >= 4 * short
    assert len({strokes[kind] for kind in (Stroke.VISIBLE, Stroke.REFERENCE, Stroke.CUT, Stroke.FOLD)}) == 4


def test_a_quarter_turn_four_times_is_the_drawing_again() -> None:
    drawing = sample.pins()
    again = drawing
    for _ in range(4):
        again = turned(again)
    assert again == drawing


def test_svg_is_well_formed_and_escaped() -> None:
    shape = Words((Length(10), Length(10)), f"{sample.HOSTILE} \x07 {sample.inch('7/4')}")
    drawing = Drawing(f"</title><script>{sample.HOSTILE}", Length(100), Length(50), (shape, *sample.pins().shapes))
    text = drawing_svg(drawing, 200)
    root = ET.fromstring(text)
    tags = {element.tag.rsplit("}", 1)[1] for element in root.iter()}
    assert tags <= {"svg", "title", "text", "tspan", "line", "path", "polygon", "polyline", "circle"}
    words = "".join("".join(element.itertext()) for element in root.iter() if element.tag.endswith("}text"))
    assert sample.HOSTILE in words
    assert "[U+0007]" in words
    assert "¹" not in words.replace("1³⁄₄", "")
    circles = [element for element in root.iter() if element.tag.endswith("circle")]
    xs = sorted(float(circle.get("cx", "nan")) for circle in circles)
    assert xs[1] - xs[0] == pytest.approx(40 * 72 / 25.4, abs=0.02), "at 1:1 forty millimetres are forty"


def test_lines_drawn_as_one_path_are_still_all_there() -> None:
    """A square and lines through it. SVG 1.1, 8.3: M begins, L goes on from where it is."""
    a, b, c, d = ((Length(x), Length(y)) for x, y in ((0, 0), (10, 0), (10, 10), (0, 10)))
    lines = (Drawn(a, b), Drawn(c, b), Drawn(c, d), Drawn(d, (Length(5), Length(5))), Drawn(a, c))
    root = ET.fromstring(drawing_svg(Drawing("x", Length(10), Length(10), lines, Fraction(1)), 100))
    (path,) = [element for element in root.iter() if element.tag.endswith("path")]
    found, at = set(), (0.0, 0.0)
    for step, x, y in re.findall(r"([ML])([0-9.]+) ([0-9.]+)", path.get("d", "")):
        spot = (float(x), float(y))
        if step == "L":
            found.add(frozenset((at, spot)))
        at = spot
    mm = 72 / 25.4

    def on_paper(point: tuple[Length, Length]) -> tuple[float, float]:
        """Two points of air round the drawing, y downwards."""
        return round(2 + point[0].float_mm() * mm, 2), round(2 + (10 - point[1].float_mm()) * mm, 2)

    assert found == {frozenset((on_paper(line.start), on_paper(line.end))) for line in lines}


def test_a_page_as_svg_is_the_whole_paper_with_all_its_words() -> None:
    for frame in sample.composed(sample.everything()).frames:
        root = ET.fromstring(page_svg(frame))
        wide, high = (float(root.get(side, "").removesuffix("mm")) for side in ("width", "height"))
        assert (wide, high) == pytest.approx((frame.width / 72 * 25.4, frame.height / 72 * 25.4), abs=0.01)
        words = [element for element in root.iter() if element.tag.endswith("}text")]
        assert len(words) == sum(isinstance(item, TextRun) for item in frame.items)
        symbols = [element for element in root.iter() if element.get("shape-rendering")]
        assert len(symbols) == sum(isinstance(item, Symbol) for item in frame.items)


def test_dump_is_stable_and_tells_pages_words_and_targets() -> None:
    pages = sample.composed(sample.everything())
    text = dump(pages)
    assert text == dump(sample.composed(sample.everything()))
    lines = text.splitlines()
    heads = [line for line in lines if line.startswith("page ")]
    assert len(heads) == len(pages.frames)
    assert heads[0] == "page 1 title 1/1 215.9 x 279.4 mm"
    assert any(line.endswith("| Saw the long pieces first. Size ³⁄₄ in.") for line in lines)
    assert "  cut > 2" in lines
    assert any("25 modules of 0.720" in line for line in lines), "18 mm over 25 modules"


def test_fractions_of_dimensions_have_digits_of_two_millimetres() -> None:
    """Whole numbers are high enough at 9 pt; one fraction among them, and all dimensions of the drawing are larger."""
    origin, there = (Length(0), Length(0)), (Length(200), Length(0))
    whole = Dimension(origin, there, "8", "x", -8.0)
    broken = Dimension(origin, there, mixed_number(Fraction("63/8")), "x", -16.0)
    for dimensions, sizes in (((whole,), {9.0}), ((whole, broken), {11.25})):
        laid = lay_out(Drawing("d", Length(200), Length(50), dimensions), Fraction(1, 2), Typesetter()).items
        assert not small_digits(laid)
        assert {item.size for item in laid if isinstance(item, TextRun)} == sizes


def test_a_sketch_whose_words_need_room_is_made_a_little_smaller_without_a_word() -> None:
    """100 mm wide at full size in 100 mm of room, and a word that stands out of it by some 10 mm: to scale, it goes to
    a usual scale and says so; a sketch stays above 8/10 of its size and says nothing."""
    words = (Words((Length(100), Length(10)), "C1 C2"),)
    drawing = Drawing("stage", Length(100), Length(20), words, scale=Fraction(1))
    told = Typesetter()
    assert fitted(drawing, mm(100), mm(60), told)[1] == max(scale for scale in SCALES if scale < Fraction(8, 10))
    assert len(told.notes) == 1
    silent = Typesetter()
    laid, scale = fitted(replace(drawing, sketch=True), mm(100), mm(60), silent)
    assert Fraction(8, 10) <= scale < 1
    assert laid.box[2] - laid.box[0] <= mm(100) + 0.01
    assert not silent.notes


@pytest.mark.parametrize(("offset", "level"), [(-6.0, -6.0), (6.0, 16.0)])
@pytest.mark.parametrize("upright", [False, True])
def test_a_dimension_stands_off_the_farther_of_its_two_points(offset: float, level: float, upright: bool) -> None:
    """Between points at 0 and at 10 of height (or width): 6 mm outside of both, on the side that is asked for, and its
    extension lines begin at each point and pass it."""

    def at(along: int, off: int) -> tuple[Length, Length]:
        return (Length(off), Length(along)) if upright else (Length(along), Length(off))

    shape = Dimension(at(0, 0), at(100, 10), "100", "y" if upright else "x", offset)
    items = lay_out(Drawing("d", Length(100), Length(100), (shape,)), Fraction(1), Typesetter()).items
    lines = [((i.x0, i.y0), (i.x1, i.y1)) for i in items if isinstance(i, Line)]
    k = 0 if upright else 1  # the way it stands off
    (along,) = [line for line in lines if line[0][k] == line[1][k]]
    assert along[0][k] == pytest.approx(mm(level))
    assert sorted(spot[1 - k] for spot in along) == pytest.approx([0, mm(100)])
    for place, off in ((0, 0), (100, 10)):
        (line,) = [line for line in lines if line[0][1 - k] == line[1][1 - k] == pytest.approx(mm(place))]
        ends = sorted((line[0][k] - mm(off), line[1][k] - mm(off)), key=abs)
        assert 0 < abs(ends[0]) <= mm(1) and abs(ends[1]) > abs(mm(level - off)), "it begins beside its point"


def test_a_drawing_is_painted_where_it_was_laid_out() -> None:
    """Two lines of one stroke, a dashed one, words, a line again, in their order: 1 mm is 72/25.4 points, and all keep
    their distances from the first end of the first line."""
    ends = [((0, 0), (40, 0)), ((40, 0), (40, 30)), ((0, 30), (40, 30)), ((0, 0), (0, 30))]
    strokes = (Stroke.VISIBLE, Stroke.VISIBLE, Stroke.HIDDEN, Stroke.VISIBLE)
    lines = [
        Drawn((Length(a), Length(b)), (Length(c), Length(d)), stroke)
        for ((a, b), (c, d)), stroke in zip(ends, strokes, strict=True)
    ]
    shapes = (*lines[:3], Words((Length(20), Length(15)), "oak"), lines[3])
    (strip,) = Pictures(Typesetter()).strips(Drawing("d", Length(40), Length(30), shapes, Fraction(1)), mm(100), mm(90))
    frame = Frame(mm(200), mm(200), "", "")
    strip.paint(frame, mm(10), mm(150))
    painted = [item for item in frame.items if isinstance(item, Line)]
    x, y = painted[0].x0, painted[0].y0
    for item, ((a, b), (c, d)) in zip(painted, ends, strict=True):
        places = (item.x0 - x, item.y0 - y, item.x1 - x, item.y1 - y)
        assert places == pytest.approx([mm(each) for each in (a, b, c, d)])
    assert [item.dash != () for item in painted] == [False, False, True, False]
    assert any(isinstance(item, TextRun) and item.text == "oak" for item in frame.items)
