"""Each board drawn with its pieces, its cuts numbered in saw order, and what is left of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from shopdocs.blocks.drawing import Circle, Drawing, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.blocks.sheets import Block, Together
from shopdocs.blocks.text import Figure, Heading, Paragraph, Run, Text, Weight
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import NOWHERE
from shopdocs.documents.drawn.measures import words_mm
from shopdocs.documents.figures import length_figure, length_figures
from shopdocs.model.build import Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.results import Area, MaterialPlan, SawCut, SawnBoard, SawnPiece
from shopdocs.work.boards.supply import Board

UNIT_WORDS = {"in": "inches", "mm": "millimetres"}
ROOM_MM = 176  # between the margins of either paper
TALLEST_MM = 96
LEGIBLE_MM = 3.5  # height of the narrowest piece at which its mark can stand in it
SCALES = tuple(Fraction(1, step) for step in (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 32, 40, 50))
MOST_ROWS = 3
ROW_GAP_MM = 9
DOT_MM = Fraction("1.9")  # radius of a cut's number
BESIDE_MM = 3.0  # from a cut to words beside its number
KEEP = "keep"
GAP = "   "  # between a mark and its size
NO_BREAK = "\u00a0"
MARK_PT, SIZE_PT, NUMBER_PT = 11.0, 9.0, 8.0


def board_drawings(plan: MaterialPlan, display: Display, shop: Shop) -> list[Block]:
    """Every board of a material, each with its heading, drawing and the cuts in words."""
    display = display.alone()
    scale = common_scale(plan.boards)
    found: list[Block] = []
    for board in plan.boards:
        drawing = telling_drawing(board, display, own_scale(board, scale))
        words = (*saw_text(board, display, shop), *_unmarked(board, drawing, display), *_keeps(board, drawing, display))
        heading = Heading(f"{board.mark}   {plan.material.name}, {_size(board, display)}", 2)
        found.append(Together((heading, drawing, Paragraph(words, Weight.QUIET))))
    return found


def _size(board: SawnBoard, display: Display) -> str:
    return display.size(board.board.width, board.board.length) + (" from the rack" if board.board.on_hand else "")


def common_scale(boards: Sequence[SawnBoard]) -> Fraction:
    """One scale for all boards: in one row where the narrowest piece can still be read, else folded into more rows."""
    pieces = [piece.area.width for board in boards for piece in board.pieces]
    narrowest = min(pieces, default=Length(1000))
    sheet = any(board.board.material.kind is MaterialKind.SHEET for board in boards)
    found: list[Fraction] = []
    for rows in range(1, 2 if sheet else MOST_ROWS + 1):
        found.append(next((scale for scale in SCALES if _all_fit(boards, scale, rows)), SCALES[-1]))
        if narrowest.mm * found[-1] >= LEGIBLE_MM:
            break
    return max(found)


def own_scale(board: SawnBoard, common: Fraction) -> Fraction:
    """The common scale, or a larger one where this board has room for it and pieces too narrow for their marks."""
    narrowest = min((piece.area.width for piece in board.pieces), default=Length(1000))
    return common if narrowest.mm * common >= LEGIBLE_MM else max(common, common_scale((board,)))


def _all_fit(boards: Sequence[SawnBoard], scale: Fraction, rows: int) -> bool:
    """Whether every board fits the paper in so many rows; one row where nothing parts it."""
    for board in boards:
        found = folds(board, scale)
        if found is None or len(found) > rows or board.board.width.mm * len(found) * scale > TALLEST_MM:
            return False
    return True


def folds(board: SawnBoard, scale: Fraction) -> list[tuple[Length, Length]] | None:
    """Stretches of the board, each short enough for a row and ending at a cut; None where a piece or an offcut would be
    parted, or a row would show nothing but waste."""
    room = Length(Fraction(ROOM_MM) / scale)
    length = board.board.length
    kept = _kept(board)
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


@dataclass(slots=True)
class _Sheet:
    """A board while it is drawn: where its rows lie, and what is taken by words and numbers, in paper millimetres."""

    board: SawnBoard
    scale: Fraction
    rows: list[tuple[Length, Length]]
    shapes: list[Shape] = field(default_factory=list)
    top: list[Shape] = field(default_factory=list)
    taken: list[tuple[float, float, float, float]] = field(default_factory=list)

    @property
    def gap(self) -> Length:
        return Length(Fraction(ROW_GAP_MM) / self.scale)

    @property
    def height(self) -> Length:
        return self.board.board.width * len(self.rows) + self.gap * (len(self.rows) - 1)

    @property
    def width(self) -> Length:
        return max(end - start for start, end in self.rows)

    def row_of(self, x: Length) -> int:
        return next((i for i, (start, end) in enumerate(self.rows) if start <= x <= end), len(self.rows) - 1)

    def at(self, x: Length, y: Length, row: int | None = None) -> Point:
        row = self.row_of(x) if row is None else row
        below = len(self.rows) - 1 - row
        return x - self.rows[row][0], y + (self.board.board.width + self.gap) * below

    def paper(self, point: Point) -> tuple[float, float]:
        return point[0].float_mm(self.scale), point[1].float_mm(self.scale)

    def free(self, x: float, y: float, wide: float, high: float) -> bool:
        box = (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
        return not any(box[0] < t[2] and t[0] < box[2] and box[1] < t[3] and t[1] < box[3] for t in self.taken)

    def take(self, x: float, y: float, wide: float, high: float) -> None:
        self.taken.append((x - wide / 2, y - high / 2, x + wide / 2, y + high / 2))

    def rectangle(self, area: Area, stroke: Stroke, fill: str) -> None:
        """What of an area lies in each row."""
        for row, (start, end) in enumerate(self.rows):
            low, high = max(area.x, start), min(area.x + area.length, end)
            if low < high:
                corners = ((low, area.y), (high, area.y), (high, area.y + area.width), (low, area.y + area.width))
                points = tuple(self.at(x, y, row) for x, y in corners)
                self.shapes.append(Polygon(points, stroke, "tint" if fill == "tint" else "paper"))

    def largest(self, area: Area) -> tuple[Area, int]:
        """The longest part of an area that lies in one row, and that row."""
        parts = []
        for row, (start, end) in enumerate(self.rows):
            low, high = max(area.x, start), min(area.x + area.length, end)
            parts.append((high - low, -row, low))
        length, row, low = max(parts)
        return Area(low, area.y, length, area.width), -row

    def words(self, whole: Area, lines: Iterable[tuple[str, bool, float]]) -> str:
        """Set the first of these texts that fits into the area, in its middle; empty where none does."""
        area, row = self.largest(whole)
        middle = self.at(area.x + area.length / 2, area.y + area.width / 2, row)
        x, y = self.paper(middle)
        long, wide = area.length.float_mm(self.scale), area.width.float_mm(self.scale)
        for text, strong, size in lines:
            need, high = words_mm(text) * size / 9 + 2.0, size * 0.3528 * 0.95
            for angle, across, along in ((0, long, wide), (90, wide, long)):
                if need <= across and high <= along:
                    self.top.append(Words(middle, text, size, strong=strong, angle=90 if angle else 0))
                    self.take(x, y, *((need, high) if not angle else (high, need)))
                    return text
        return ""


def board_drawing(board: SawnBoard, display: Display, scale: Fraction) -> Drawing:
    """A board at `scale`, folded where it is longer than the paper; what is neither piece nor offcut is tinted."""
    rows = folds(board, scale) or [(ZERO, board.board.length)]
    sheet = _Sheet(board, scale, rows)
    sheet.rectangle(Area(ZERO, ZERO, board.board.length, board.board.width), Stroke.VISIBLE, "tint")
    figures: list[Figure] = []
    for offcut in board.offcuts:
        figures += _offcut(sheet, offcut, display)
    for piece in board.pieces:
        figures += _piece(sheet, piece, display)
    for defect in board.board.defects:
        _defect(sheet, defect.start, defect.end, defect.low or ZERO, defect.high or board.board.width)
    for row, (start, _) in enumerate(rows[1:], 1):
        _goes_on(sheet, row, start)
    for cut in board.cuts:
        _number(sheet, cut)
    return Drawing(
        name="",
        width=sheet.width,
        height=sheet.height,
        shapes=(*sheet.shapes, *sheet.top),
        scale=scale,
        figures=tuple(figures),
    )


def _goes_on(sheet: _Sheet, row: int, start: Length) -> None:
    """The board's mark over a row that goes on, beside the numbers of the cuts that stand there."""
    board = sheet.board
    corner = sheet.at(start, board.board.width, row)
    said = f"{board.mark} goes on"
    x, y = sheet.paper(corner)
    wide = words_mm(said)
    numbers = (cut.at for cut in board.cuts if _across(board, cut) and sheet.row_of(cut.at) == row)
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
    larger = (each for each in reversed(SCALES) if each > scale and _all_fit((board,), each, rows))
    better = (board_drawing(board, display, each) for each in larger)
    return next((each for each in better if _tells_all(board, each)), drawing)


def _tells_all(board: SawnBoard, drawing: Drawing) -> bool:
    """Whether every piece and every offcut carries its length and its width."""
    return len(drawing.figures) == 2 * len(_kept(board))


def _sizes(
    name: str, area: Area, display: Display, board: Board, at_part: SawnPiece | None = None
) -> tuple[str, list[Figure]]:
    """'45 × 5¼', length first as it is marked out, and its figures; finer where it would seem as large as the board."""
    part = at_part.row.part if at_part else None
    for mine, whole in ((area.length, board.length), (area.width, board.width)):
        display = display.told_apart(mine, (whole,))
    length, width = length_figures(
        (f"{name} · length", area.length, part.place("length") if part else NOWHERE),
        (f"{name} · width", area.width, part.place("width") if part else NOWHERE),
        display=display,
    )
    return f"{length.shown} × {width.shown}", [length, width]


def _piece(sheet: _Sheet, piece: SawnPiece, display: Display) -> list[Figure]:
    sheet.rectangle(piece.area, Stroke.VISIBLE, "paper")
    size, figures = _sizes(f"{sheet.board.mark} · {piece.name} · rough", piece.area, display, sheet.board.board, piece)
    size += ", turned" if piece.turned else ""
    both = f"{piece.name}{GAP}{size}"
    if _two_lines(sheet, piece, size):
        return figures
    lines = [(both, True, MARK_PT), (both, True, SIZE_PT), (both, True, NUMBER_PT), (piece.name, True, MARK_PT)]
    lines.append((piece.name, True, NUMBER_PT))
    return figures if sheet.words(piece.area, lines) == both else []


def _two_lines(sheet: _Sheet, piece: SawnPiece, size: str) -> bool:
    """The mark, large, over the size, where the piece is high enough."""
    area, scale = piece.area, sheet.scale
    long, wide = area.length.float_mm(scale), area.width.float_mm(scale)
    need = max(words_mm(size), words_mm(piece.name) * 14 / 9) + 3.0
    if wide < 11.5 or long < need:
        return False
    area, row = sheet.largest(area)
    middle = sheet.at(area.x + area.length / 2, area.y + area.width / 2, row)
    sheet.top.append(Words(middle, piece.name, 14.0, strong=True, dy_mm=2.4))
    sheet.top.append(Words(middle, size, SIZE_PT, dy_mm=-2.6))
    x, y = sheet.paper(middle)
    sheet.take(x, y, need, 10.5)
    return True


def _offcut(sheet: _Sheet, area: Area, display: Display) -> list[Figure]:
    sheet.rectangle(area, Stroke.HIDDEN, "paper")
    size, figures = _sizes(f"{sheet.board.mark} · offcut", area, display, sheet.board.board)
    keep = f"{KEEP} {size}"
    lines = [(keep, False, SIZE_PT), (keep, False, NUMBER_PT), (size, False, NUMBER_PT)]
    return figures if sheet.words(area, lines) else []


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
    """The cut's number in a dot: above the board for a crosscut over its whole width, else on the cut."""
    over, scale = cut.over, sheet.scale
    radius = Length(DOT_MM / scale)
    size = 2 * float(DOT_MM) + 0.5
    board = sheet.board.board
    if cut.crosscut:
        row = sheet.row_of(cut.at)
        if over.width == board.width:
            edge = sheet.at(cut.at, board.width, row)
            for step in range(12):
                centre = (edge[0] + Length(Fraction(step * 21, 5) / scale), edge[1] + Length(Fraction(17, 5) / scale))
                if sheet.free(*sheet.paper(centre), size, size):
                    break
            sheet.shapes.append(Line(edge, (edge[0], centre[1]), Stroke.THIN))
            if step:
                sheet.shapes.append(Line((edge[0], centre[1]), centre, Stroke.THIN))
        else:
            centre = sheet.at(cut.at, over.y + over.width / 2, row)
    else:
        part, row = sheet.largest(over)
        for step in range(12):
            x = part.x + Length((Fraction(4) + Fraction(step * 22, 5)) / scale)
            centre = sheet.at(min(x, part.x + part.length), cut.at, row)
            if sheet.free(*sheet.paper(centre), size, size):
                break
    sheet.take(*sheet.paper(centre), size, size)
    sheet.top.append(Circle(centre, radius, Stroke.THIN, "paper"))
    sheet.top.append(Words(centre, str(cut.number), NUMBER_PT))


def saw_text(board: SawnBoard, display: Display, shop: Shop) -> Text:
    """The cuts in words, each with its distance from the left end or the lower edge of what it parts; a cut's number
    and its distance stay on one line."""
    runs: list[Run] = []
    cuts = list(board.cuts)
    trims = _trims(board, shop)
    if trims:
        numbers = f"1–{trims}" if trims > 2 else ", ".join(str(n) for n in range(1, trims + 1))
        what = {1: "the left end", 2: "both ends"}.get(trims, "the edges")
        runs.append(f"{numbers}: trim {what}".replace(" ", NO_BREAK))
    every = [_along(cut) for cut in cuts[trims:]]
    for cut in cuts[trims:]:
        runs += [f"{NO_BREAK}· " if runs else "", *_cut_text(board, cut, every, display)]
    if not runs:
        return ("No cut: the piece takes the whole board.",)
    return ("Saw ", *runs)


def _along(cut: SawCut) -> Length:
    """From the left end or lower edge of what is parted to the cut."""
    return cut.at - (cut.over.x if cut.crosscut else cut.over.y)


def _cut_text(board: SawnBoard, cut: SawCut, every: Sequence[Length], display: Display) -> list[Run]:
    """'3: rip 4½'. A cut so near the end of what is parted, or to that of another cut, that both would be printed alike
    is told finer; where that cannot show what is taken off, the cut is a trim."""
    along, whole = _along(cut), cut.over.length if cut.crosscut else cut.over.width
    fine = display.told_apart(along, (ZERO, whole, *every))
    for place, ends in ((ZERO, ("left end", "lower edge")), (whole, ("right end", "upper edge"))):
        if not fine.differ(along, place):
            return [f"{cut.number}: trim the {ends[not cut.crosscut]}".replace(" ", NO_BREAK)]
    figure = length_figure(f"{board.mark} · cut {cut.number}", along, fine, board.board.at)
    said = f"{cut.number}: {'crosscut' if cut.crosscut else 'rip'} ".replace(" ", NO_BREAK)
    return [said, figure, f"{NO_BREAK}(waste)" if _parts_off_waste(board, cut) else ""]


def _trims(board: SawnBoard, shop: Shop) -> int:
    """How many of the first cuts only take off what an end or edge loses in this shop."""
    ends, edges = board.cuts[:2], board.cuts[2:4]
    whole = board.board
    sheet = whole.material.kind is MaterialKind.SHEET
    lost = shop.sheet_trim if sheet else shop.end_trim
    lost = max(lost, shop.kerf) if lost else lost
    if not lost or not ends or not _across(board, ends[0]) or ends[0].at + shop.kerf != lost:
        return 0
    both = len(ends) == 2 and _across(board, ends[1]) and whole.length - ends[1].at == lost
    if not sheet:
        return 2 if both else 1
    along = len(edges) == 2 and not edges[0].crosscut and not edges[1].crosscut
    return 4 if both and along and edges[0].at + shop.kerf == lost == whole.width - edges[1].at else 0


def _parts_off_waste(board: SawnBoard, cut: SawCut) -> bool:
    """Whether nothing that is kept lies between the left end or lower edge and the cut."""
    over = cut.over
    return not any(
        over.x <= area.x < over.x + over.length
        and over.y <= area.y < over.y + over.width
        and (area.x if cut.crosscut else area.y) < cut.at
        for area in _kept(board)
    )


def _kept(board: SawnBoard) -> list[Area]:
    return [*(piece.area for piece in board.pieces), *board.offcuts]


def _across(board: SawnBoard, cut: SawCut) -> bool:
    return cut.crosscut and cut.over.width == board.board.width


def drawings_text(plans: Sequence[MaterialPlan], shop: Shop, display: Display) -> Text:
    """How to read the drawings of the boards."""
    solid = any(plan.boards and plan.material.kind is not MaterialKind.SHEET for plan in plans)
    order = "Solid boards are crosscut to rough length first, then ripped. " if solid else ""
    return (
        "In the drawings of the boards numbers in dots give the order of the cuts; each cut is measured from the left "
        f"end or the lower edge of what is sawn, in {UNIT_WORDS[display.units]}. Sizes are length × width as sawn, "
        "allowances included. White is a piece, a dashed outline an offcut worth keeping, tint is waste. "
        f"{order}A cut takes ",
        Figure("kerf", display.small(shop.kerf), shop.kerf.mm, "mm", shop.places.get("kerf", shop.at)),
        *_lost(plans, shop, display),
        ". Look at the wood before the first cut: knots and splits move pieces.",
    )


def _lost(plans: Sequence[MaterialPlan], shop: Shop, display: Display) -> Text:
    """What ends and edges lose."""
    kinds = {plan.material.kind is MaterialKind.SHEET for plan in plans if plan.boards}
    runs: list[Run] = []
    if False in kinds:
        at = shop.places.get("end trim", shop.at)
        runs += [", each end of a board loses ", length_figure("end trim", shop.end_trim, display, at, unit=True)]
    if True in kinds and shop.sheet_trim:
        at = shop.places.get("sheet trim", shop.at)
        runs += [", each edge of a sheet loses ", length_figure("sheet trim", shop.sheet_trim, display, at, unit=True)]
    return tuple(runs)


def _unmarked(board: SawnBoard, drawing: Drawing, display: Display) -> Text:
    """Pieces too narrow to carry their mark in the drawing, and where they lie."""
    marked = {shape.text.split(GAP)[0] for shape in drawing.shapes if isinstance(shape, Words)}
    runs: list[Run] = []
    for piece in board.pieces:
        if piece.name not in marked:
            name = f"{board.mark} · {piece.name}"
            runs += [f"; {piece.name}, " if runs else f" · not marked in the drawing: {piece.name}, "]
            runs += [length_figure(f"{name} · from the left end", piece.area.x, display), " from the left end, "]
            runs += [length_figure(f"{name} · from the lower edge", piece.area.y, display), " from the lower edge"]
    return tuple(runs)


def _keeps(board: SawnBoard, drawing: Drawing, display: Display) -> Text:
    """The offcuts worth keeping in words, from the left end, where the drawing has no room for all their sizes."""
    offcut = f"{board.mark} · offcut"
    if sum(figure.name == f"{offcut} · length" for figure in drawing.figures) == len(board.offcuts):
        return ()
    runs: list[Run] = []
    for area in sorted(board.offcuts, key=lambda area: (area.x, area.y)):
        length, width = _sizes(offcut, area, display, board.board)[1]
        runs += [", " if runs else f" · {KEEP} ", length, f"{NO_BREAK}×{NO_BREAK}", width]
    return tuple(runs)
