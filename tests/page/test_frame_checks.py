"""The checks of frames find what they are for: each is seen to fail on a page made wrong on purpose."""

from __future__ import annotations

from pathlib import Path

import font_source_sans_pro
import pytest
from PIL import ImageFont

from shopdocs.blocks.drawing import Drawing, Words
from shopdocs.core.display import mixed_number
from shopdocs.core.length import Length
from shopdocs.page.items import Disc, Face, Frame, Line, TextRun, mm, rectangle
from shopdocs.page.paper import paper
from shopdocs.page.typeface import FACES, font_file
from tests.page.frame_checks import (
    DIGIT,
    SMALL_DIGIT,
    discs_astray,
    empty_share,
    laid_items,
    leaders_astray,
    leaders_crossed,
    least_digit_mm,
    line_through_text,
    small_digits,
    text_over_text,
    words_covered,
)
from tests.values import replace

WORDS = TextRun(100.0, 100.0, "regular", 10.0, "shoulder")


@pytest.mark.parametrize("face", FACES)
def test_the_typeface_is_the_published_one(face: Face) -> None:
    """Byte for byte as in the package font-source-sans-pro, its licence beside it."""
    published = {Path(name).name: Path(name) for name in font_source_sans_pro.font_files_ttf.values()}
    ours = Path(font_file(face))
    assert ours.read_bytes() == published[ours.name].read_bytes()
    assert "SIL OPEN FONT LICENSE" in (ours.parent / "LICENSE.txt").read_text("utf-8").upper()


@pytest.mark.parametrize("face", ["SourceSansPro", "SourceSansProSemibold", "SourceSansProBold"])
def test_digits_are_as_high_as_the_font_draws_them(face: str) -> None:
    """Heights of the glyphs as FreeType renders them at 1000 pixels to the em."""
    font = ImageFont.truetype(font_source_sans_pro.font_files_ttf[face], 1000)
    for chars, high in (("0178", DIGIT), ("⁰¹³⁸₂₃₄₈", SMALL_DIGIT)):
        for char in chars:
            box = font.getmask(char).getbbox()
            assert box is not None and (box[3] - box[1]) / 1000 >= high - 0.001, char


def test_words_over_words_are_found() -> None:
    assert not text_over_text([WORDS, replace_run(WORDS, y=115.0)])
    assert text_over_text([WORDS, replace_run(WORDS, x=110.0, y=104.0)]) == ["'shoulder' over 'shoulder'"]
    upright = TextRun(120.0, 90.0, "regular", 10.0, "knife", 90)
    assert text_over_text([WORDS, upright])


def test_words_under_white_are_found() -> None:
    """White laid before the words is paper; laid after them it hides them."""
    white = rectangle(110.0, 98.0, 120.0, 110.0, 0.0, fill=1.0)
    assert not words_covered([white, WORDS])
    assert words_covered([WORDS, white]) == ["white over 'shoulder'"]
    assert not words_covered([WORDS, rectangle(300.0, 98.0, 320.0, 110.0, 0.0, fill=1.0)])


def test_discs_over_discs_and_over_words_are_found() -> None:
    """The number in its own disc is where it should be."""
    disc = Disc(112.0, 103.0, 9.0, 0.5, fill=1.0)
    number = TextRun(109.0, 100.0, "bold", 9.0, "9")
    assert not discs_astray([disc, number, replace_run(WORDS, x=200.0)])
    assert discs_astray([disc, number, WORDS]) == ["a disc over 'shoulder'"]
    assert discs_astray([disc, disc._replace(x=125.0)]) == ["a disc over a disc"]


def replace_run(run: TextRun, **changes: float) -> TextRun:
    return run._replace(**changes)  # type: ignore[arg-type]


def test_a_line_through_words_is_found_unless_white_lies_between() -> None:
    line = Line(90.0, 103.0, 200.0, 103.0, 0.5)
    assert line_through_text([WORDS, line]) and line_through_text([line, WORDS])
    white = rectangle(99.0, 98.0, 145.0, 109.0, 0.0, 1.0)
    assert not line_through_text([line, white, WORDS])
    assert not line_through_text([Line(90.0, 98.0, 200.0, 98.0, 0.5), WORDS])


def test_small_digits_are_found() -> None:
    """By hand: 2 mm are 5.67 pt; figures of a fraction, 0.39 × 1.30 of the type, need 11.18 pt, whole digits 8.93."""
    fraction = mixed_number(Length.inches("7/8").inch)
    assert small_digits([TextRun(0, 0, "regular", 11.1, fraction)])
    assert not small_digits([TextRun(0, 0, "regular", 11.2, fraction), TextRun(0, 0, "regular", 9.0, "40")])
    assert small_digits([TextRun(0, 0, "regular", 8.9, "40")]) and not small_digits([WORDS])
    assert least_digit_mm(TextRun(0, 0, "regular", 10.0, "40")) == pytest.approx(6.35 * 25.4 / 72)
    drawing = Drawing("d", Length(50), Length(20), (Words((Length(10), Length(10)), fraction, 9.0),))
    assert small_digits(laid_items(drawing)) and not small_digits(laid_items(bigger(drawing)))


def bigger(drawing: Drawing) -> Drawing:
    shapes = tuple(replace(shape, size_pt=14.0) for shape in drawing.shapes if isinstance(shape, Words))
    return replace(drawing, shapes=shapes)


def test_leaders_over_other_things_and_over_each_other_are_found() -> None:
    outlines = {"A": [(0, 0), (10, 0), (10, 10), (0, 10)], "B": [(20, 0), (30, 0), (30, 10), (20, 10)]}
    assert not leaders_astray([("A", (5, 5), (5, 20)), ("B", (25, 5), (40, 5))], outlines)
    assert leaders_astray([("A", (5, 5), (40, 5))], outlines) == ["A runs over B"]
    assert leaders_crossed([("A", (0, 0), (10, 10)), ("B", (0, 10), (10, 0))]) == ["A crosses B"]
    assert not leaders_crossed([("A", (0, 0), (10, 10)), ("B", (0, 1), (10, 11))])


def test_empty_pages_are_found() -> None:
    """By hand: a page with one block over the upper half of its room is half empty, less a band below the block."""
    a4 = paper("a4")
    page = Frame(a4.width.points, a4.height.points, "d", "D")
    assert empty_share(page, a4) == 1.0
    left, right = a4.left.points, page.width - a4.right.points
    low, high = a4.bottom.points, page.height - a4.top.points
    page.items.append(rectangle(left, (low + high) / 2, right, high, 1.0))
    assert empty_share(page, a4) == pytest.approx(0.5, abs=0.03)
    page.items = [rectangle(left, low, left + (right - left) / 4, high, 1.0)]
    assert empty_share(page, a4) == pytest.approx(0.75, abs=0.01)
    page.items = [rectangle(left, low, right, high, 1.0)]
    assert empty_share(page, a4) == pytest.approx(0.0)
    assert mm(5.0) == pytest.approx(14.17, abs=0.01)
