"""Boards drawn in less height, where that spares a page: words beside a drawing, or two sheets beside each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from msgspec import Struct

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, SideBySide, Together
from shopdocs.blocks.text import Heading, Paragraph, plain
from shopdocs.core.display import Display
from shopdocs.documents.drawn.measures import type_mm
from shopdocs.documents.yard.board_drawings import (
    BOLD,
    MOST_ROWS,
    NUMBER_MM,
    NUMBER_PT,
    ROOM_MM,
    SCALES,
    board_drawing,
    fits,
    tells_pieces,
    told_board,
)
from shopdocs.model.build import Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.results import MaterialPlan, SawnBoard

BESIDE_WORDS_MM, WORDS_MM = 108, 62  # of the room for a drawing with its words at the left, and for these
LEAST_SPARED_MM = 4.0  # of height by words beside a drawing, not over and under it
TWO_SPARED_MM = 5.0  # of height by two sheets beside each other
# The width of the first of two sheets beside each other, and that of the second; what is left parts them.
TWO_MM = ((84, 84), (96, 72), (72, 96), (106, 62), (62, 106))
HEAD_PT, HEAD_MM, LINE_MM, AIR_MM = 11.5, 5.1, 4.2, 5.0  # of headings, of the cuts in words, between these
WORDS_SHARE = 0.8  # of the width of the paper, for running words

Told = tuple[Heading, Drawing, Paragraph]
Plans = Sequence[tuple[MaterialPlan, Sequence[Together]]]


class _Low(Struct, frozen=True, dict=True):
    """A board in its lowest form by itself, and how tall that is, in millimetres of paper."""

    plan: MaterialPlan
    board: SawnBoard
    form: Together
    tall: float


def low_boards(plans: Plans, display: Display, shop: Shop) -> list[Together]:
    """The usual ones of `board_drawings`, which stand with each plan, in less height: heading and words beside a
    smaller drawing, or two sheets that follow each other side by side, where the sizes of all pieces still stand in
    their drawings."""
    display = display.alone()
    lows = [
        _by_itself(plan, board, whole, display, shop)
        for plan, usual in plans
        for board, whole in zip(plan.boards, usual, strict=True)
    ]
    found: list[Together] = []
    while lows:
        both = _two(lows[0], lows[1], display, shop) if len(lows) > 1 else None
        found.append(both or lows[0].form)
        lows = lows[2 if both else 1 :]
    return found


def _by_itself(plan: MaterialPlan, board: SawnBoard, whole: Together, display: Display, shop: Shop) -> _Low:
    lower = [told_board(plan, board, drawing, display, shop) for drawing in _drawn_in(BESIDE_WORDS_MM, board, display)]
    tall = [_tall_beside_mm(told) for told in lower]
    usual = _tall_mm(whole.blocks, ROOM_MM * WORDS_SHARE)
    if lower and min(tall) <= usual - LEAST_SPARED_MM:  # the largest of those that spare most
        heading, picture, words = lower[tall.index(min(tall))]
        columns, shares = ((heading, words), (picture,)), (float(WORDS_MM), float(BESIDE_WORDS_MM))
        return _Low(plan, board, Together((SideBySide(columns, shares),)), min(tall))
    return _Low(plan, board, whole, usual)


def _two(one: _Low, other: _Low, display: Display, shop: Shop) -> Together | None:
    """Two sheets beside each other, each over its words; None where that spares little or nothing."""
    if any(low.plan.material.kind is not MaterialKind.SHEET for low in (one, other)):
        return None
    best: tuple[float, Together] | None = None
    for wide in TWO_MM:
        forms = [
            min(
                (
                    (_tall_mm(told, mm), told)
                    for drawing in _drawn_in(mm, low.board, display)
                    for told in (told_board(low.plan, low.board, drawing, display, shop),)
                ),
                key=lambda each: each[0],
                default=None,
            )
            for low, mm in zip((one, other), wide, strict=True)
        ]
        if any(form is None for form in forms):
            continue
        tall = max(form[0] for form in forms if form is not None)
        if best is None or tall < best[0]:
            columns = tuple(form[1] for form in forms if form is not None)
            best = tall, Together((SideBySide(columns, (float(wide[0]), float(wide[1]))),))
    return best[1] if best is not None and best[0] <= one.tall + other.tall - TWO_SPARED_MM else None


def _drawn_in(room_mm: int, board: SawnBoard, display: Display) -> Iterator[Drawing]:
    """Drawings for so much width, the largest first, as long as every piece carries its size. None that folds a board
    which the paper has in one piece."""
    rows = 1 if board.board.material.kind is MaterialKind.SHEET else MOST_ROWS
    for scale in SCALES:
        if fits(board, scale, rows, room_mm) and (fits(board, scale, 1, room_mm) or not fits(board, scale, 1)):
            drawing = board_drawing(board, display, scale, room_mm, close=True)
            if not tells_pieces(board, drawing):
                return
            yield drawing


def _tall_mm(told: tuple[Block, ...], wide_mm: float) -> float:
    """About how much of a page's height a board takes, its words over and under the drawing in lines so wide."""
    drawing, said = _parts(told, wide_mm)
    return said + drawing + AIR_MM


def _tall_beside_mm(told: tuple[Block, ...]) -> float:
    """The same with its words beside the drawing."""
    drawing, said = _parts(told, WORDS_MM)
    return max(said + AIR_MM / 2, drawing)


def _parts(told: tuple[Block, ...], wide_mm: float) -> tuple[float, float]:
    """How tall the drawing is, and how tall heading and words are in lines so wide."""
    heading, drawing, words = told
    assert isinstance(heading, Heading) and isinstance(drawing, Drawing) and isinstance(words, Paragraph)
    room = 0.95 * wide_mm
    said = ceil(type_mm(plain(words.text), NUMBER_PT) / room) * LINE_MM
    said += ceil(type_mm(heading.text, HEAD_PT) * BOLD / room) * HEAD_MM
    return drawing.height.float_mm(drawing.scale or 1) + NUMBER_MM[1], said
