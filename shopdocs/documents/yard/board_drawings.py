"""Each board drawn with its pieces, its cuts numbered in saw order, and what is left of it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cache
from math import inf
from typing import Literal

from msgspec import Struct, field

from shopdocs.blocks.drawing import Drawing, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.blocks.sheets import Together
from shopdocs.blocks.text import Figure, Heading, Paragraph, Run, Text, Weight
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import NOWHERE
from shopdocs.documents.drawn.measures import figures_pt, true_length, type_mm
from shopdocs.documents.figures import length_figure, length_figures, marks_text
from shopdocs.documents.yard.cut_words import NO_BREAK, kept_areas, lettered, over_whole_width, saw_text
from shopdocs.documents.yard.words import measures_of_board
from shopdocs.model.build import Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.area import Area
from shopdocs.work.boards.results import MaterialPlan, SawCut, SawnBoard, SawnPiece
from shopdocs.work.boards.supply import Board

UNIT_WORDS = {"in": "inches", "mm": "millimetres"}
ROOM_MM = 176  # between the margins of either paper
TALLEST_MM = 64
LEGIBLE_MM = 2.9  # height of the narrowest piece at which its mark can stand in it
SCALES = tuple(Fraction(1, step) for step in (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 32, 40, 50))
MOST_ROWS = 3
ROW_GAP_MM = 9
NUMBER_MM = (1.9, 3.0)  # of paper that a digit and a number's height take
APART_MM = 2.0  # between numbers on one line: closer they read as one, "7.8"
BESIDE_MM = 3.0  # from a cut to words beside its number
KEEP = "keep"
DOT = f"{NO_BREAK}· "  # it ends a line rather than begin one
GAP, NARROW_GAP = "   ", "  "  # between a mark and its size, and where there is little room
INSET_MM = 0.6  # dashes of an offcut stand so far within it, beside the solid lines of board and pieces
# Of the size of type, how high words are; with fractions, clear of the lines of a piece, and so that they touch them.
HIGH, FRACTIONS_HIGH, FRACTIONS_CLOSE = 0.95, 1.02, 0.95
MOST_HIDDEN = 2.0  # square millimetres that the number of a cut may take of words
BOTH_ENDS_MM, LEAST_END_MM = 2.0, 0.4  # kept free at both ends of words together, and at one at the least
NUMBER_AIR_MM = 0.6  # white on either side of a number
MARK_PT, SIZE_PT, NUMBER_PT, LOW_PT = 11.25, 9.0, 9.0, 8.0
BOLD = 1.06  # how much wider than regular type


def board_drawings(plan: MaterialPlan, display: Display, shop: Shop) -> list[Together]:
    """Every board of a material, each with its heading, drawing and the cuts in words."""
    display = display.alone()
    return [
        Together(told_board(plan, board, telling_drawing(board, display, board_scale(board)), display, shop))
        for board in plan.boards
    ]


def told_board(
    plan: MaterialPlan, board: SawnBoard, drawing: Drawing, display: Display, shop: Shop
) -> tuple[Heading, Drawing, Paragraph]:
    """Heading, drawing and the cuts in words."""
    unsized = _unsized(board, drawing, display)
    missing = (*_unmarked(board, drawing, display), *unsized, *_keeps(board, drawing, display))
    words = (*saw_text(board, display, shop), *missing)
    scaled = f"   1:{1 / drawing.scale}" if drawing.scale else ""
    heading = Heading(f"{board.mark}   {plan.material.name}, {_size(board, display)}{scaled}", 2)
    return heading, drawing, Paragraph(words, Weight.QUIET)


def _size(board: SawnBoard, display: Display) -> str:
    return display.size(*measures_of_board(board.board)) + (", from the rack" if board.board.on_hand else "")


def board_scale(board: SawnBoard) -> Fraction:
    """The largest scale at which a board fits the paper: in one row where its narrowest piece can still be read, else
    folded into as few rows as show it."""
    narrowest = min((piece.area.width for piece in board.pieces), default=Length(1000))
    sheet = board.board.material.kind is MaterialKind.SHEET
    found: list[Fraction] = []
    for rows in range(1, 2 if sheet else MOST_ROWS + 1):
        found.append(next((scale for scale in SCALES if fits(board, scale, rows)), SCALES[-1]))
        if narrowest.mm * found[-1] >= LEGIBLE_MM:
            break
    return max(found)


def fits(board: SawnBoard, scale: Fraction, rows: int, room_mm: int = ROOM_MM) -> bool:
    """Whether a board fits the paper in so many rows; one row where nothing parts it."""
    found = folds(board, scale, room_mm)
    return found is not None and len(found) <= rows and board.board.width.mm * len(found) * scale <= TALLEST_MM


def folds(board: SawnBoard, scale: Fraction, room_mm: int = ROOM_MM) -> list[tuple[Length, Length]] | None:
    """Stretches of the board, each short enough for a row and ending at a cut; None where a piece or an offcut would be
    parted, or a row would show nothing but waste."""
    room = Length(Fraction(room_mm) / scale)
    length = board.board.length
    if length <= room:
        return [(ZERO, length)]
    kept = kept_areas(board)
    rows: list[tuple[Length, Length]] = []
    start = ZERO
    while length - start > room:
        end = max(
            (area.x + area.length for area in kept if start < area.x + area.length <= start + room), default=start
        )
        while crossing := [area.x for area in kept if area.x < end < area.x + area.length]:
            end = min(crossing)
        if end <= start:
            return None
        rows.append((start, end))
        start = end
    if rows and not any(area.x >= start for area in kept):
        return None
    return [*rows, (start, length)]


class _Sheet(Struct):
    """A board while it is drawn: where its rows lie, and what is taken by words and numbers, in paper millimetres."""

    board: SawnBoard
    scale: Fraction
    rows: list[tuple[Length, Length]]
    shapes: list[Shape] = field(default_factory=list)
    top: list[Shape] = field(default_factory=list)
    taken: list[tuple[float, float, float, float]] = field(default_factory=list)
    numbers: list[tuple[float, float]] = field(default_factory=list)  # where their middles are
    close: bool = False  # fractions of pieces may touch their lines
    hidden: float = 0.0  # the most that a number takes of words, square millimetres

    @property
    def height(self) -> Length:
        return self.board.board.width + self._rise(len(self.rows) - 1)

    def _rise(self, rows: int) -> Length:
        """How much higher a row is drawn than the one so many rows below it."""
        return (self.board.board.width + Length(Fraction(ROW_GAP_MM) / self.scale)) * rows if rows else ZERO

    @property
    def width(self) -> Length:
        return max(end - start for start, end in self.rows)

    def row_of(self, x: Length) -> int:
        return next((i for i, (start, end) in enumerate(self.rows) if start <= x <= end), len(self.rows) - 1)

    def at(self, x: Length, y: Length, row: int | None = None) -> Point:
        row = self.row_of(x) if row is None else row
        return x - self.rows[row][0], y + self._rise(len(self.rows) - 1 - row)

    def paper(self, point: Point) -> tuple[float, float]:
        return point[0].float_mm(self.scale), point[1].float_mm(self.scale)

    def covered(self, x: float, y: float, wide: float, high: float) -> float:
        """How much of this box, square millimetres, is taken."""
        left, low, right, top = x - wide / 2, y - high / 2, x + wide / 2, y + high / 2
        near = [t for t in self.taken if t[0] < right and left < t[2] and t[1] < top and low < t[3]]
        return sum((min(right, t[2]) - max(left, t[0])) * (min(top, t[3]) - max(low, t[1])) for t in near)

    def take(self, x: float, y: float, wide: float, high: float) -> None:
        self.taken.append((x - wide / 2, y - high / 2, x + wide / 2, y + high / 2))

    def number(self, number: int, places: Iterable[Point]) -> None:
        """The number of a cut at the first of these places that is free, where none is at that which hides least."""
        wide, high = NUMBER_MM[0] * len(str(number)) + 0.9, NUMBER_MM[1]
        centre, least = None, inf
        for at in places:
            x, y = self.paper(at)
            hides = self.covered(x, y, wide, high) + self._beside_another(x, y, wide)
            if hides < least:
                centre, least = at, hides
            if not hides:
                break
        assert centre is not None
        self.hidden = max(self.hidden, self.covered(*self.paper(centre), wide, high))
        self.take(*self.paper(centre), wide, high)
        self.numbers.append(self.paper(centre))
        self.top.append(Words(centre, str(number), NUMBER_PT, boxed=True))

    def _beside_another(self, x: float, y: float, wide: float) -> float:
        """How much of the white between two numbers beside each other this one takes, square millimetres."""
        near = [abs(x - other) for other, high in self.numbers if abs(y - high) < NUMBER_MM[1]]
        return sum(max(0.0, wide + APART_MM - gap) * NUMBER_MM[1] for gap in near)

    def rectangle(self, area: Area, stroke: Stroke, fill: Literal["paper", "tint"], inset_mm: float = 0.0) -> None:
        """What of an area lies in each row; its outline so far within it on the paper, over the filled whole."""
        off = true_length(inset_mm, self.scale)
        for row, (start, end) in enumerate(self.rows):
            low, high = max(area.x, start), min(area.x + area.length, end)
            if low < high:
                bottom, top = area.y, area.y + area.width
                if inset_mm:
                    self.shapes.append(Polygon(self._box(row, low, bottom, high, top), Stroke.VISIBLE, fill))
                    low, bottom, high, top = low + off, bottom + off, high - off, top - off
                self.shapes.append(Polygon(self._box(row, low, bottom, high, top), stroke, fill))

    def _box(self, row: int, low: Length, bottom: Length, high: Length, top: Length) -> tuple[Point, ...]:
        corners = ((low, bottom), (high, bottom), (high, top), (low, top))
        return tuple(self.at(x, y, row) for x, y in corners)

    def largest(self, area: Area) -> tuple[Area, int]:
        """The longest part of an area that lies in one row, and that row."""
        parts = []
        for row, (start, end) in enumerate(self.rows):
            low, high = max(area.x, start), min(area.x + area.length, end)
            parts.append((high - low, -row, low))
        length, row, low = max(parts)
        return Area(low, area.y, length, area.width), -row

    def words(self, whole: Area, lines: Iterable[tuple[str, bool, float]], inset_mm: float = 0.0) -> str:
        """Set the first of these texts that fits into the area, in its middle; empty where none does. Where there is no
        room for it within an outline so far in, with as much air again, it breaks that."""
        area, row = self.largest(whole)
        middle = self.at(area.x + area.length / 2, area.y + area.width / 2, row)
        x, y = self.paper(middle)
        long, wide = area.length.float_mm(self.scale), area.width.float_mm(self.scale)
        for text, strong, size in lines:
            size = figures_pt(text, size)
            need, high = _wide_mm(text, strong, size) + BOTH_ENDS_MM, size * 0.3528 * self._high(text, strong)
            for angle, across, along in ((0, long, wide), (90, wide, long)):
                aside = self._aside(across - need, along - high) if not angle else 0.0
                if need <= across and high <= along and aside is not None:
                    at = (middle[0] + Length(Fraction(round(aside * 100), 100) / self.scale), middle[1])
                    self.top.append(
                        Words(
                            at, text, size, strong=strong, angle=90 if angle else 0, boxed=high + 4 * inset_mm > along
                        )
                    )
                    need -= BOTH_ENDS_MM - 2 * LEAST_END_MM
                    self.take(x + aside, y, *((need, high) if not angle else (high, need)))
                    return text
        return ""

    def _high(self, text: str, piece: bool) -> float:
        if "\u2044" not in text:
            return HIGH
        return FRACTIONS_CLOSE if piece and self.close else FRACTIONS_HIGH

    def _aside(self, spare: float, over: float) -> float | None:
        """How far words are moved to the right of the middle, so that the number of the rip along a piece too low for
        both stands before them; None where there is no room for that. Nothing where the piece is high enough, or so
        long that there is room anyhow."""
        number = NUMBER_MM[0] * len(str(len(self.board.cuts))) + 2 * NUMBER_AIR_MM
        if over >= NUMBER_MM[1] or spare >= 4 * number:
            return 0.0
        if spare + BOTH_ENDS_MM - LEAST_END_MM < number:
            return None
        return max(0.0, number - (spare + BOTH_ENDS_MM) / 2)


def board_drawing(
    board: SawnBoard, display: Display, scale: Fraction, room_mm: int = ROOM_MM, close: bool = False
) -> Drawing:
    """A board at `scale`, folded where it is longer than the paper; what is neither piece nor offcut is tinted. `close`
    where little height counts for more than white between fractions and lines."""
    rows = folds(board, scale, room_mm) or [(ZERO, board.board.length)]
    sheet = _Sheet(board, scale, rows, close=close)
    sheet.rectangle(Area(ZERO, ZERO, board.board.length, board.board.width), Stroke.VISIBLE, "tint")
    figures: list[Figure] = []
    for letter, offcut in lettered(board):
        figures += _offcut(sheet, letter, offcut, display)
    for piece in board.pieces:
        figures += _piece(sheet, piece, display)
    for defect in board.board.defects:
        _defect(sheet, defect.start, defect.end, defect.low or ZERO, defect.high or board.board.width)
    for row, (start, _) in enumerate(rows[1:], 1):
        _goes_on(sheet, row, start)
    for cut in board.cuts:
        _number(sheet, cut)
    if close and sheet.hidden > MOST_HIDDEN:  # sizes so close leave the numbers no place
        return board_drawing(board, display, scale, room_mm)
    return Drawing(
        name="",
        width=sheet.width,
        height=sheet.height,
        shapes=(*sheet.shapes, *sheet.top),
        scale=scale,
        figures=tuple(figures),
        captioned=False,
    )


def _goes_on(sheet: _Sheet, row: int, start: Length) -> None:
    """The board's mark over a row that goes on, beside the numbers of the cuts that stand there."""
    board = sheet.board
    corner = sheet.at(start, board.board.width, row)
    said = f"{board.mark}, continued"
    x, y = sheet.paper(corner)
    wide = type_mm(said, NUMBER_PT)
    numbers = (cut.at for cut in board.cuts if over_whole_width(board, cut) and sheet.row_of(cut.at) == row)
    begin = x
    for at in sorted(sheet.paper(sheet.at(each, board.board.width, row))[0] for each in numbers):
        if begin - BESIDE_MM < at < begin + wide + BESIDE_MM:
            begin = at + BESIDE_MM
    here = (corner[0] + Length(Fraction(begin - x)) / sheet.scale, corner[1])
    sheet.top.append(Words(here, said, NUMBER_PT, anchor="left", dy_mm=2.2))
    sheet.take(begin + wide / 2, y + 2.2, wide, 3.0)


def telling_drawing(board: SawnBoard, display: Display, scale: Fraction) -> Drawing:
    """The board at `scale`, or at the next larger one that fits the paper where only there every piece and every offcut
    carries its size."""
    drawing = board_drawing(board, display, scale)
    if _tells_all(board, drawing):
        return drawing
    rows = len(folds(board, scale) or [ZERO])
    larger = (each for each in reversed(SCALES) if each > scale and fits(board, each, rows))
    better = (board_drawing(board, display, each) for each in larger)
    return next((each for each in better if _tells_all(board, each)), drawing)


def tells_pieces(board: SawnBoard, drawing: Drawing) -> bool:
    """Whether every piece carries its length and its width; the offcuts may be told in words."""
    offcuts = sum(figure.name.startswith(f"{board.mark} · offcut") for figure in drawing.figures)
    return len(drawing.figures) - offcuts == 2 * len(board.pieces)


def _marked(drawing: Drawing) -> set[str]:
    """What is named in the drawing."""
    return {shape.text.split(NARROW_GAP)[0] for shape in drawing.shapes if isinstance(shape, Words)}


def _tells_all(board: SawnBoard, drawing: Drawing) -> bool:
    """Whether every piece and every offcut carries its length and its width."""
    return len(drawing.figures) == 2 * len(kept_areas(board))


def _sizes(
    name: str, area: Area, display: Display, board: Board, at_part: SawnPiece | None = None
) -> tuple[str, list[Figure]]:
    """'5¼ × 45', width × length, and its figures; finer where it would seem as large as the board."""
    part = at_part.row.part if at_part else None
    for mine, whole in ((area.length, board.length), (area.width, board.width)):
        display = display.told_apart(mine, (whole,))
    width, length = length_figures(
        (f"{name} · width", area.width, part.place("width") if part else NOWHERE),
        (f"{name} · length", area.length, part.place("length") if part else NOWHERE),
        display=display,
    )
    return f"{width.shown} × {length.shown}", [width, length]


def _piece(sheet: _Sheet, piece: SawnPiece, display: Display) -> list[Figure]:
    sheet.rectangle(piece.area, Stroke.VISIBLE, "paper")
    size, figures = _sizes(_rough(sheet.board, piece), piece.area, display, sheet.board.board, piece)
    size += ", turned" if piece.turned else ""
    if _two_lines(sheet, piece.area, piece.name, size, strong=True):
        return figures
    whole = [(f"{piece.name}{gap}{size}", True, pt) for gap in (GAP, NARROW_GAP) for pt in (MARK_PT, SIZE_PT)]
    told = sheet.words(piece.area, [*whole, (piece.name, True, MARK_PT), (piece.name, True, NUMBER_PT)])
    return figures if len(told) > len(piece.name) else []


def _rough(board: SawnBoard, piece: SawnPiece) -> str:
    """What the figures of a piece are called."""
    return f"{board.mark} · {piece.name} · rough"


def _two_lines(sheet: _Sheet, whole: Area, name: str, size: str, strong: bool) -> bool:
    """A name over the size, where there is height for both: the mark of a piece large, what is kept small."""
    scale, size_pt = sheet.scale, figures_pt(size, SIZE_PT)
    name_pt, high = (14.0, 11.5) if strong else (SIZE_PT, 9.5)
    area, row = sheet.largest(whole)
    long, wide = area.length.float_mm(scale), area.width.float_mm(scale)
    need = max(type_mm(size, size_pt), _wide_mm(name, strong, name_pt)) + 3.0
    if wide < high or long < need:
        return False
    middle = sheet.at(area.x + area.length / 2, area.y + area.width / 2, row)
    sheet.top.append(Words(middle, name, name_pt, strong=strong, dy_mm=2.4))
    sheet.top.append(Words(middle, size, size_pt, dy_mm=-2.6 if strong else -2.0))
    x, y = sheet.paper(middle)
    sheet.take(x, y, need, high - 1.0)
    return True


def _wide_mm(text: str, strong: bool, size_pt: float) -> float:
    return type_mm(text, size_pt) * (BOLD if strong else 1.0)


def _offcut(sheet: _Sheet, letter: str, area: Area, display: Display) -> list[Figure]:
    """White within dashes, which stand beside the solid lines of the board and of the pieces about it."""
    sheet.rectangle(area, Stroke.HIDDEN, "paper", INSET_MM)
    size, figures = _sizes(f"{sheet.board.mark} · offcut", area, display, sheet.board.board)
    whole = [f"{name}{gap}{size}" for gap in (GAP, NARROW_GAP) for name in (f"{KEEP} {letter}", letter)]
    told = sheet.words(area, [(words, False, SIZE_PT) for words in whole], INSET_MM)
    if told or _two_lines(sheet, area, f"{KEEP} {letter}", size, strong=False):
        return figures
    if not sheet.words(area, [(letter, False, NUMBER_PT)], INSET_MM):
        sheet.words(area, [(letter, False, LOW_PT)])  # the cuts name it: it stands there however narrow that is
    return []


def _defect(sheet: _Sheet, start: Length, end: Length, low: Length, high: Length) -> None:
    """A crossed rectangle."""
    for row, (first, last) in enumerate(sheet.rows):
        left, right = max(start, first), min(end, last)
        if left < right:
            corners = [sheet.at(x, y, row) for x, y in ((left, low), (right, low), (right, high), (left, high))]
            sheet.shapes.append(Polygon(tuple(corners), Stroke.THIN))
            sheet.shapes.append(Line(corners[0], corners[2], Stroke.THIN))
            sheet.shapes.append(Line(corners[1], corners[3], Stroke.THIN))


def _number(sheet: _Sheet, cut: SawCut) -> None:
    """The cut's number: above the board for a crosscut over its whole width, else on the cut, which it breaks."""
    over, scale, board = cut.over, sheet.scale, sheet.board.board
    if over_whole_width(sheet.board, cut):
        x, y = edge = sheet.at(cut.at, board.width, sheet.row_of(cut.at))
        high = y + Length(Fraction(27, 10) / scale)
        sheet.number(cut.number, ((x + step, high) for step in _steps(scale, Fraction(1, 2), 12)))
        sheet.shapes.append(Line(edge, (x, y + Length(Fraction(1) / scale)), Stroke.THIN))
    else:
        row = sheet.row_of(cut.at) if cut.crosscut else sheet.largest(over)[1]
        sheet.number(cut.number, (sheet.at(x, y, row) for x, y in _places_on(sheet, cut)))


def _places_on(sheet: _Sheet, cut: SawCut) -> Iterator[tuple[Length, Length]]:
    """Where a number may stand on its cut, the likeliest first: near the left end of a rip, in the middle of a crosscut
    and then ever farther from there."""
    scale = sheet.scale
    if cut.crosscut:
        middle = cut.over.y + cut.over.width / 2
        if cut.over.width < Length(Fraction("1.6") * Fraction(NUMBER_MM[1]) / scale):  # it would hide the whole cut
            yield cut.at + Length(Fraction(len(str(cut.number)) + 1) / scale), middle
        for step in range(5):
            for side in (1, -1):
                away = Length(Fraction(step * 3) / 2 / scale) * side
                if cut.over.y < middle + away < cut.over.y + cut.over.width:
                    yield cut.at, middle + away
        return
    part, _ = sheet.largest(cut.over)
    steps = _steps(scale, Fraction(3), 25)
    first, end = steps[1], part.x + part.length - steps[1]
    yield min(part.x + first, part.x + part.length / 2), cut.at
    yield from ((part.x + step, cut.at) for step in steps[2:] if part.x + step < end)
    yield part.x + Length(Fraction(NUMBER_MM[0] * len(str(cut.number)) / 2 + NUMBER_AIR_MM) / scale), cut.at


@cache
def _steps(scale: Fraction, step_mm: Fraction, count: int) -> tuple[Length, ...]:
    """So many places on the paper, each a step from the last, the first at the start; in true lengths."""
    return tuple(Length(step_mm * number / scale) for number in range(count))


def drawings_text(shop: Shop, display: Display) -> Text:
    """What one must know to saw by the drawings of the boards."""
    kerf = Figure("kerf", display.small(shop.kerf), shop.kerf.mm, "mm", shop.places.get("kerf", shop.at))
    return (
        "Cut in the order of the numbers, measuring from the left end or the lower edge of the part in hand. Sizes in "
        f"{UNIT_WORDS[display.units]}, width × length, as sawn; a kerf takes ",
        kerf,
        ". Look the board over before the first cut, and shift pieces clear of knots and splits.",
    )


def _unmarked(board: SawnBoard, drawing: Drawing, display: Display) -> Text:
    """Pieces too narrow to carry their mark in the drawing, and where they lie."""
    marked = _marked(drawing)
    runs: list[Run] = []
    for piece in board.pieces:
        if piece.name not in marked:
            name = f"{board.mark} · {piece.name}"
            runs += [f"; {piece.name}, " if runs else f"{DOT}not marked in the drawing: {piece.name}, "]
            runs += [length_figure(f"{name} · from the left end", piece.area.x, display), " from the left end, "]
            runs += [length_figure(f"{name} · from the lower edge", piece.area.y, display), " from the lower edge"]
    return tuple(runs)


def _unsized(board: SawnBoard, drawing: Drawing, display: Display) -> Text:
    """The sizes of pieces that the drawing has no room for, equal ones together."""
    told = {figure.name for figure in drawing.figures}
    alike: dict[str, tuple[list[str], list[Figure]]] = {}
    for piece in board.pieces:
        if f"{_rough(board, piece)} · length" not in told:
            size, figures = _sizes(_rough(board, piece), piece.area, display, board.board, piece)
            alike.setdefault(size, ([], figures))[0].append(piece.name)
    runs: list[Run] = []
    for names, (width, length) in alike.values():
        counted = sorted(names, key=lambda name: [int(k) if k.isdigit() else k for k in re.split(r"(\d+)", name)])
        named = marks_text(counted).replace("  ", NO_BREAK)
        runs += [", " if runs else f"{DOT}blanks: ", f"{named}{NO_BREAK}"]
        runs += [width, f"{NO_BREAK}×{NO_BREAK}", length]
    return tuple(runs)


def _keeps(board: SawnBoard, drawing: Drawing, display: Display) -> Text:
    """The offcuts worth keeping in words, in their order, where the drawing has no room for all their sizes."""
    offcut = f"{board.mark} · offcut"
    if sum(figure.name == f"{offcut} · length" for figure in drawing.figures) == len(board.offcuts):
        return ()
    runs: list[Run] = []
    for letter, area in lettered(board):
        width, length = _sizes(offcut, area, display, board.board)[1]
        runs += [", " if runs else f"{DOT}offcuts: ", f"{letter}{NO_BREAK}", width, f"{NO_BREAK}×{NO_BREAK}", length]
    return tuple(runs)
