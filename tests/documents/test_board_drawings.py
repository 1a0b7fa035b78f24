"""Numbers of cuts and words in the drawings of boards do not lie on each other."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from pathlib import Path
from random import Random

import pytest

from shopdocs.blocks.drawing import Drawing, Line, Words
from shopdocs.blocks.sheets import SideBySide, Together
from shopdocs.blocks.text import Figure, Paragraph, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.core.length import Length
from shopdocs.documents.yard.board_drawings import SCALES, _Sheet, _steps, board_drawing, board_drawings
from shopdocs.documents.yard.cut_words import lettered
from shopdocs.documents.yard.low_boards import low_boards
from shopdocs.model.parts import MaterialKind
from shopdocs.page.typeface import width
from tests.documents.test_lumber_sheet import cases, job_of
from tests.sample_jobs import BY_NAME, SAMPLES, document_of, sample_job
from tests.values import replace
from tests.work.boards_case import write_case

# A split at 40 in: the board goes on in a second row that begins just before it, so that two cuts stand over the mark.
SPLIT = """
materials: {walnut 4/4: {kind: hardwood}}
parts:
  rail: {material: walnut 4/4, size: 13/16 x 1-1/2 x 24-3/8, count: 1, mark: R}
"""
SPLIT_SHOP = """
  kerf: 1/8
  milling: {thickness: 3/16, width: 1/4, length: 1}
  end trim: 3/4
  yard: [{material: walnut 4/4, width: 3, length: 30}]
  rack: [{mark: W3, material: walnut 4/4, width: 5-1/4, length: 84, defects: [40 to 42]}]
"""


def test_every_offcut_that_is_kept_has_its_letter_on_the_drawing() -> None:
    """The list of cuts says "keep C": on the board one must find where that is, however narrow it is drawn."""
    seen = 0
    for folder in SAMPLES:
        for units in ("in", "mm"):
            job = sample_job(folder, units)
            for plan in job.boards.materials:
                for board in plan.boards:
                    drawing = board_drawing(board, job.display, Fraction(1, 25))
                    words = " ".join(shape.text for shape in drawing.shapes if isinstance(shape, Words)).split()
                    for letter, area in lettered(board):
                        if min(area.width, area.length) >= Length(70):  # 2.8 mm on paper; a letter is 2.7 high
                            assert letter in words, f"{folder.name}: {board.mark} {letter}"
                            seen += 1
    assert seen > 10


HIGH_MM = 0.66 * 8.0 / 72 * 25.4  # a digit of 8 pt; the typeface has them 0.66 of the type high at the most


def drawings(folder: Path):  # type: ignore[no-untyped-def]
    for job in (*cases(folder), job_of(write_case(folder, SPLIT, SPLIT_SHOP))):
        for plan in job.boards.materials:
            for block in walk(board_drawings(plan, job.display, job.shop)):
                if isinstance(block, Drawing):
                    yield block


def test_a_drawing_beside_its_words_has_room_and_names_every_piece_with_its_size(tmp_path: Path) -> None:
    """Both columns together are as wide as the text of the narrower paper, 178 mm on A4 less the gap between them."""
    beside = 0
    for job in cases(tmp_path):
        for plan in job.boards.materials:
            usual = board_drawings(plan, job.display, job.shop)
            for board, whole in zip(plan.boards, usual, strict=True):
                only = replace(plan, boards=(board,))
                (block,) = low_boards([(only, [whole])], job.display, job.shop)
                assert isinstance(block, Together)
                if not isinstance(block.blocks[0], SideBySide):
                    continue
                beside += 1
                (drawing,) = (each for each in walk((block,)) if isinstance(each, Drawing))
                assert drawing.scale is not None and drawing.width.float_mm(drawing.scale) <= 108.0
                said = [shape.text for shape in drawing.shapes if isinstance(shape, Words)]
                for piece in board.pieces:
                    assert any(words.split("  ")[0] == piece.name for words in said), piece.name
                sizes = {figure.value for figure in drawing.figures}
                assert sizes >= {piece.area.length.mm for piece in board.pieces}
    assert beside


def test_two_sheets_stand_beside_each_other_where_that_spares_height() -> None:
    """The cabinet's two: 1525 mm of one at 1:16 are 95 mm of paper, 1200 mm of the other at 1:20 or less 60 mm, which
    have room in the 178 mm between the margins. Both keep the sizes of all their pieces; the board of solid wood before
    them, 2100 mm long, stays by itself."""
    job = sample_job(BY_NAME["spice_cabinet"], "mm")
    plans = [(plan, board_drawings(plan, job.display, job.shop)) for plan in job.boards.materials]
    assert sum(len(drawings) for _, drawings in plans) == 3
    blocks = low_boards(plans, job.display, job.shop)
    shown = [[each for each in walk((block,)) if isinstance(each, Drawing)] for block in blocks]
    assert [len(drawings) for drawings in shown] == [2, 1] or [len(drawings) for drawings in shown] == [1, 2]
    (two,) = (drawings for drawings in shown if len(drawings) == 2)
    assert sum(drawing.width.float_mm(drawing.scale or 1) for drawing in two) <= 178.0
    sheets = [board for plan, _ in plans if plan.material.kind is MaterialKind.SHEET for board in plan.boards]
    for board, drawing in zip(sheets, two, strict=True):
        sizes = {figure.value for figure in drawing.figures}
        assert sizes >= {side.mm for piece in board.pieces for side in (piece.area.length, piece.area.width)}


FRACTION_EM = 0.188 + 0.797  # from the foot of ₆ to the head of ⁹ in the typeface, by its size


@pytest.mark.parametrize("name", ["sorting_table", "plate_rack", "potting_table"])
def test_a_fraction_stands_between_the_lines_of_its_piece_or_offcut(name: str) -> None:
    job, seen = sample_job(BY_NAME[name], "in"), 0
    for plan in job.boards.materials:
        drawn = [each for each in walk(board_drawings(plan, job.display, job.shop)) if isinstance(each, Drawing)]
        for board, drawing in zip(plan.boards, drawn, strict=True):
            areas = {piece.name: piece.area for piece in board.pieces} | dict(lettered(board))
            for words in (shape for shape in drawing.shapes if isinstance(shape, Words)):
                mark = words.text.removeprefix("keep ").split("  ")[0]
                if "\u2044" in words.text and mark in areas and not words.angle:
                    seen += 1
                    ink = words.size_pt * FRACTION_EM / 72 * 25.4
                    assert ink < areas[mark].width.float_mm(drawing.scale or 1), (board.mark, words.text)
    assert seen


@pytest.mark.parametrize("name", sorted(BY_NAME))
def test_dashes_of_an_offcut_keep_clear_of_its_words(name: str) -> None:
    """A fraction that comes within 0.4 mm of the dashes, which stand 0.6 mm within the offcut, breaks them."""
    job = sample_job(BY_NAME[name], "in")
    for plan in job.boards.materials:
        drawn = [each for each in walk(board_drawings(plan, job.display, job.shop)) if isinstance(each, Drawing)]
        for board, drawing in zip(plan.boards, drawn, strict=True):
            offcuts = {f"keep {letter}": area for letter, area in lettered(board)}
            for words in (shape for shape in drawing.shapes if isinstance(shape, Words)):
                area = offcuts.get(words.text.split("  ")[0])
                if "\u2044" in words.text and area is not None and not words.angle:
                    ink = words.size_pt * FRACTION_EM / 72 * 25.4
                    assert words.boxed or ink + 2 * (0.6 + 0.4) <= area.width.float_mm(drawing.scale or 1), board.mark


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("name", ["sorting_table", "plate_rack", "potting_table"])
def test_the_size_of_every_blank_is_told_in_its_picture_or_below_it(name: str, units: Units) -> None:
    job = sample_job(BY_NAME[name], units)
    for plan in job.boards.materials:
        for board, block in zip(plan.boards, board_drawings(plan, job.display, job.shop), strict=True):
            _, drawing, words = block.blocks
            assert isinstance(drawing, Drawing) and isinstance(words, Paragraph)
            said = [run for run in words.text if isinstance(run, Figure)]
            figures = {(figure.name, figure.value) for figure in (*drawing.figures, *said)}
            told = plain(words.text)
            for piece in board.pieces:
                named = f"{board.mark} · {piece.name} · rough"
                in_picture = {(f"{named} · length", piece.area.length.mm), (f"{named} · width", piece.area.width.mm)}
                alike = {value for _, value in figures} >= {piece.area.length.mm, piece.area.width.mm}
                assert in_picture <= figures or ("blanks: " in told and alike), piece.name
            assert " · " not in told.replace("\u00a0· ", "")  # no line begins with a dot


def test_a_board_that_the_paper_has_in_one_piece_is_not_folded_beside_its_words() -> None:
    """The legs' board of the sorting table: 2100 mm at 1:12 are 175, and A4 has 178 between the margins."""
    job = sample_job(BY_NAME["sorting_table"], "mm")
    plan = next(plan for plan in job.boards.materials if plan.boards[0].board.length.mm == 2100)
    blocks = low_boards([(plan, board_drawings(plan, job.display, job.shop))], job.display, job.shop)
    (drawing,) = (each for each in walk(blocks) if isinstance(each, Drawing))
    assert drawing.width.mm == 2100


def paper(drawing: Drawing, point) -> tuple[float, float]:  # type: ignore[no-untyped-def]
    assert drawing.scale is not None
    return float(point[0].mm * drawing.scale), float(point[1].mm * drawing.scale)


def wide_mm(words: str) -> float:
    """As they are set, in 8 pt."""
    return width(words, "regular", 8.0) / 72 * 25.4


def test_numbers_of_cuts_break_the_lines_they_stand_on_and_keep_apart(tmp_path: Path) -> None:
    """But for one pair where pieces 1-3/8 in wide are drawn 1:25: a number there would stand on a mark."""
    close = []
    for drawing in drawings(tmp_path):
        numbers = [shape for shape in drawing.shapes if isinstance(shape, Words) and shape.text.isdigit()]
        assert all(number.boxed for number in numbers)
        for one, other in combinations(numbers, 2):
            (ax, ay), (bx, by) = paper(drawing, one.at), paper(drawing, other.at)
            apart = abs(ax - bx) >= (wide_mm(one.text) + wide_mm(other.text)) / 2 or abs(ay - by) >= HIGH_MM
            if not apart:
                close.append((drawing.scale, one.text, other.text))
    assert len(close) <= 1 and all(scale < Fraction(1, 20) for scale, _, _ in close), close


def test_numbers_beside_each_other_do_not_read_as_one() -> None:
    """Between two on one level stand more than two digits of 8 pt, 2.8 mm, so that a piece of the cut is seen there:
    "7.8" is one figure. On the boards of the cabinet as its sheet may have them, where each has another place."""
    sheet = document_of(sample_job(BY_NAME["spice_cabinet"], "mm"), "lumber")
    seen = 0
    for drawing in (block for block in walk((*sheet.blocks, *sheet.instead)) if isinstance(block, Drawing)):
        numbers = [shape for shape in drawing.shapes if isinstance(shape, Words) and shape.text.isdigit()]
        for one, other in combinations(numbers, 2):
            (ax, ay), (bx, by) = paper(drawing, one.at), paper(drawing, other.at)
            seen += 1
            white = abs(ax - bx) - (wide_mm(one.text) + wide_mm(other.text)) / 2
            assert abs(ay - by) >= HIGH_MM or white > 2.8, (one.text, other.text)
    assert seen > 30


def test_the_mark_of_a_row_that_goes_on_stands_beside_numbers_and_their_lines(tmp_path: Path) -> None:
    seen = 0
    for drawing in drawings(tmp_path):
        marks = [shape for shape in drawing.shapes if isinstance(shape, Words) and shape.text.endswith(", continued")]
        for mark in marks:
            seen += 1
            x, y = paper(drawing, mark.at)
            y += mark.dy_mm
            low, high = (x, y - 1.2), (x + wide_mm(mark.text), y + 1.2)
            for shape in drawing.shapes:
                if isinstance(shape, Words) and shape.text.isdigit():
                    cx, cy = paper(drawing, shape.at)
                    half = wide_mm(shape.text) / 2
                    beside = cx + half < low[0] or cx - half > high[0]
                    over = cy + 1.2 < low[1] or cy - 1.2 > high[1]
                    assert beside or over, mark.text
                elif isinstance(shape, Line):
                    (ax, ay), (bx, by) = paper(drawing, shape.start), paper(drawing, shape.end)
                    beside = max(ax, bx) < low[0] or min(ax, bx) > high[0]
                    over = max(ay, by) < low[1] or min(ay, by) > high[1]
                    assert beside or over, mark.text
    assert seen


def test_boards_are_drawn_at_scales_that_are_on_a_scale_rule() -> None:
    """ISO 5455:1979 recommends reductions by 2, 5 and 10 and their tenfold; those between spare paper."""
    steps = [scale.denominator for scale in SCALES]
    assert steps == sorted(set(steps)) and all(scale.numerator == 1 for scale in SCALES)
    assert {2, 5, 10, 20, 50} <= set(steps)


def test_how_much_of_a_box_is_taken_and_where_steps_lie() -> None:
    """Against every box that is taken, near or far: widths and heights that two boxes share, one by one."""
    dice = Random(5)
    for _ in range(60):
        sheet = _Sheet(None, Fraction(1, 8), [])  # type: ignore[arg-type]
        for _ in range(12):
            sheet.take(dice.uniform(0, 40), dice.uniform(0, 20), dice.choice([2.8, 6.0, 25.0]), dice.choice([3.0, 9.0]))
        x, y, wide, high = dice.uniform(0, 40), dice.uniform(0, 20), dice.choice([2.8, 4.7]), 3.0
        left, low, right, top = x - wide / 2, y - high / 2, x + wide / 2, y + high / 2
        both = [(min(right, c) - max(left, a), min(top, d) - max(low, b)) for a, b, c, d in sheet.taken]
        assert sheet.covered(x, y, wide, high) == sum(a * b for a, b in both if a > 0 and b > 0)
    for scale in SCALES:  # 3 mm of paper at 1:8 are 24 mm of board
        assert [step.mm for step in _steps(scale, Fraction(3), 4)] == [3 * n / scale for n in range(4)]
