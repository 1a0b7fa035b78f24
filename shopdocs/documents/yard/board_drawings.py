"""Each board drawn with its pieces, its cuts numbered in saw order, and what is left of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from shopdocs.blocks.drawing import Drawing, Line, Polygon, Stroke, Words
from shopdocs.blocks.sheets import Block, Together
from shopdocs.blocks.text import Figure, Heading, Paragraph, Run, Text, Weight
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import NOWHERE
from shopdocs.documents.drawn.measures import figures_pt, type_mm
from shopdocs.documents.figures import length_figure, length_figures
from shopdocs.documents.yard.board_sheet import NUMBER_MM, BoardSheet, wide_mm
from shopdocs.documents.yard.words import measures_of_board
from shopdocs.model.build import Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.results import Area, MaterialPlan, SawCut, SawnBoard, SawnPiece
from shopdocs.work.boards.supply import Board

UNIT_WORDS = {"in": "inches", "mm": "millimetres"}
ROOM_MM = 176  # between the margins of either paper
TALLEST_MM = 64
LEGIBLE_MM = 2.9  # height of the narrowest piece at which its mark can stand in it
SCALES = tuple(Fraction(1, step) for step in (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 32, 40, 50))
MOST_ROWS = 3
BESIDE_MM = 3.0  # from a cut to words beside its number
KEEP = "keep"
GAP = "   "  # between a mark and its size
NO_BREAK = "\u00a0"
MARK_PT, SIZE_PT, NUMBER_PT = 11.25, 9.0, 9.0


def board_drawings(plan: MaterialPlan, display: Display, shop: Shop) -> list[Block]:
    """Every board of a material, each with its heading, drawing and the cuts in words."""
    display = display.alone()
    found: list[Block] = []
    for board in plan.boards:
        drawing = telling_drawing(board, display, board_scale(board))
        words = (*saw_text(board, display, shop), *_unmarked(board, drawing, display), *_keeps(board, drawing, display))
        scaled = f"   1:{1 / drawing.scale}" if drawing.scale else ""
        heading = Heading(f"{board.mark}   {plan.material.name}, {_size(board, display)}{scaled}", 2)
        found.append(Together((heading, drawing, Paragraph(words, Weight.QUIET))))
    return found


def _size(board: SawnBoard, display: Display) -> str:
    return display.size(*measures_of_board(board.board)) + (", from the rack" if board.board.on_hand else "")


def board_scale(board: SawnBoard) -> Fraction:
    """The largest scale at which a board fits the paper: in one row where its narrowest piece can still be read, else
    folded into as few rows as show it."""
    narrowest = min((piece.area.width for piece in board.pieces), default=Length(1000))
    sheet = board.board.material.kind is MaterialKind.SHEET
    found: list[Fraction] = []
    for rows in range(1, 2 if sheet else MOST_ROWS + 1):
        found.append(next((scale for scale in SCALES if _fits(board, scale, rows)), SCALES[-1]))
        if narrowest.mm * found[-1] >= LEGIBLE_MM:
            break
    return max(found)


def _fits(board: SawnBoard, scale: Fraction, rows: int) -> bool:
    """Whether a board fits the paper in so many rows; one row where nothing parts it."""
    found = folds(board, scale)
    return found is not None and len(found) <= rows and board.board.width.mm * len(found) * scale <= TALLEST_MM


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


def board_drawing(board: SawnBoard, display: Display, scale: Fraction) -> Drawing:
    """A board at `scale`, folded where it is longer than the paper; what is neither piece nor offcut is tinted."""
    rows = folds(board, scale) or [(ZERO, board.board.length)]
    sheet = BoardSheet(board, scale, rows)
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
    return Drawing(
        name="",
        width=sheet.width,
        height=sheet.height,
        shapes=(*sheet.shapes, *sheet.top),
        scale=scale,
        figures=tuple(figures),
        captioned=False,
    )


def _goes_on(sheet: BoardSheet, row: int, start: Length) -> None:
    """The board's mark over a row that goes on, beside the numbers of the cuts that stand there."""
    board = sheet.board
    corner = sheet.at(start, board.board.width, row)
    said = f"{board.mark} goes on"
    x, y = sheet.paper(corner)
    wide = type_mm(said, NUMBER_PT)
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
    larger = (each for each in reversed(SCALES) if each > scale and _fits(board, each, rows))
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
    width, length = length_figures(
        (f"{name} · width", area.width, part.place("width") if part else NOWHERE),
        (f"{name} · length", area.length, part.place("length") if part else NOWHERE),
        display=display,
    )
    return f"{width.shown} × {length.shown}", [width, length]


def _piece(sheet: BoardSheet, piece: SawnPiece, display: Display) -> list[Figure]:
    sheet.rectangle(piece.area, Stroke.VISIBLE, "paper")
    size, figures = _sizes(f"{sheet.board.mark} · {piece.name} · rough", piece.area, display, sheet.board.board, piece)
    size += ", turned" if piece.turned else ""
    both = f"{piece.name}{GAP}{size}"
    if _two_lines(sheet, piece, size):
        return figures
    lines = [(both, True, MARK_PT), (both, True, SIZE_PT), (piece.name, True, MARK_PT), (piece.name, True, NUMBER_PT)]
    return figures if sheet.words(piece.area, lines) == both else []


def _two_lines(sheet: BoardSheet, piece: SawnPiece, size: str) -> bool:
    """The mark, large, over the size, where the piece is high enough."""
    area, scale = piece.area, sheet.scale
    long, wide = area.length.float_mm(scale), area.width.float_mm(scale)
    size_pt = figures_pt(size, SIZE_PT)
    need = max(type_mm(size, size_pt), wide_mm(piece.name, True, 14.0)) + 3.0
    if wide < 11.5 or long < need:
        return False
    area, row = sheet.largest(area)
    middle = sheet.at(area.x + area.length / 2, area.y + area.width / 2, row)
    sheet.top.append(Words(middle, piece.name, 14.0, strong=True, dy_mm=2.4))
    sheet.top.append(Words(middle, size, size_pt, dy_mm=-2.6))
    x, y = sheet.paper(middle)
    sheet.take(x, y, need, 10.5)
    return True


def lettered(board: SawnBoard) -> list[tuple[str, Area]]:
    """The offcuts worth keeping with a letter each, in the order in which they come off."""
    ordered = sorted(board.offcuts, key=lambda area: (_freed_by(board, area), area.x, area.y))
    return [(_letter(number), area) for number, area in enumerate(ordered)]


def _letter(number: int) -> str:
    """A, B … Z, AA, AB …"""
    round_, letter = divmod(number, 26)
    return (_letter(round_ - 1) if round_ else "") + chr(ord("A") + letter)


def _freed_by(board: SawnBoard, area: Area) -> int:
    """The number of the last cut through what an offcut is part of; after it the offcut lies by itself."""
    return max((cut.number for cut in board.cuts if _holds(cut.over, area)), default=0)


def _holds(whole: Area, area: Area) -> bool:
    return (
        whole.x <= area.x
        and area.x + area.length <= whole.x + whole.length
        and whole.y <= area.y
        and area.y + area.width <= whole.y + whole.width
    )


def _offcut(sheet: BoardSheet, letter: str, area: Area, display: Display) -> list[Figure]:
    sheet.rectangle(area, Stroke.HIDDEN, "paper")
    size, figures = _sizes(f"{sheet.board.mark} · offcut", area, display, sheet.board.board)
    keep, short = f"{KEEP} {letter}{GAP}{size}", f"{letter}{GAP}{size}"
    lines = [(keep, False, SIZE_PT), (short, False, SIZE_PT), (letter, False, NUMBER_PT)]
    return figures if len(sheet.words(area, lines)) > len(letter) else []


def _defect(sheet: BoardSheet, start: Length, end: Length, low: Length, high: Length) -> None:
    """A crossed rectangle."""
    for row, (first, last) in enumerate(sheet.rows):
        left, right = max(start, first), min(end, last)
        if left < right:
            corners = [sheet.at(x, y, row) for x, y in ((left, low), (right, low), (right, high), (left, high))]
            sheet.shapes.append(Polygon(tuple(corners), Stroke.THIN))
            sheet.shapes.append(Line(corners[0], corners[2], Stroke.THIN))
            sheet.shapes.append(Line(corners[1], corners[3], Stroke.THIN))


def _number(sheet: BoardSheet, cut: SawCut) -> None:
    """The cut's number: above the board for a crosscut over its whole width, else on the cut, which it breaks."""
    over, scale, board = cut.over, sheet.scale, sheet.board.board
    wide, high = NUMBER_MM[0] * len(str(cut.number)) + 0.9, NUMBER_MM[1]
    centre = sheet.at(cut.at, over.y)
    if cut.crosscut and over.width == board.width:
        edge = sheet.at(cut.at, board.width, sheet.row_of(cut.at))
        for step in range(12):
            centre = (edge[0] + Length(Fraction(step) / 2 / scale), edge[1] + Length(Fraction(27, 10) / scale))
            if sheet.free(*sheet.paper(centre), wide, high):
                break
        sheet.shapes.append(Line(edge, (edge[0], edge[1] + Length(Fraction(1) / scale)), Stroke.THIN))
    else:
        row = sheet.largest(over)[1] if not cut.crosscut else sheet.row_of(cut.at)
        places = [sheet.at(x, y, row) for x, y in _places_on(sheet, cut)]
        centre = min(places, key=lambda at: sheet.covered(*sheet.paper(at), wide, high))
    sheet.take(*sheet.paper(centre), wide, high)
    sheet.top.append(Words(centre, str(cut.number), NUMBER_PT, boxed=True))


def _places_on(sheet: BoardSheet, cut: SawCut) -> Iterator[tuple[Length, Length]]:
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
    first, step_mm = Length(Fraction(3) / scale), Fraction(3)
    begin = part.x + Length(Fraction(NUMBER_MM[0] * len(str(cut.number)) / 2 + 0.3) / scale)
    for step in range(24):
        x = part.x + first + Length(step_mm * step / scale)
        if step == 0 or x < part.x + part.length - first:
            yield min(x, part.x + part.length / 2) if step == 0 else x, cut.at
    yield begin, cut.at


def saw_text(board: SawnBoard, display: Display, shop: Shop) -> Text:
    """The cuts in words, each with its distance from the left end or the lower edge of what it parts, and the offcuts
    that come off; equal cuts that follow each other are told together. A cut's number and its distance stay on one
    line."""
    parts: list[list[Run]] = []
    cuts = list(board.cuts)
    trims = _trims(board, shop)
    if trims:
        what = {1: "the left end", 2: "both ends"}.get(trims, "the edges")
        parts.append([f"{_numbers(1, trims)}: trim {what}".replace(" ", NO_BREAK)])
    every = [_along(cut) for cut in cuts[trims:]]
    freed: dict[int, list[str]] = {}
    for letter, area in lettered(board):
        freed.setdefault(_freed_by(board, area), []).append(letter)
    for same in _runs(board, cuts[trims:], freed):
        runs = _cut_text(board, same, every, display)
        if letters := freed.get(same[-1].number):
            runs.append(f",{NO_BREAK}keep{NO_BREAK}{','.join(letters)}")
        parts.append(runs)
    if not parts:
        return ("No cut: the piece takes the whole board.",)
    joined = [run for part in parts for run in (f"{NO_BREAK}· ", *part)][1:]
    return ("Saw ", *joined)


def _numbers(first: int, last: int) -> str:
    """1, or 1, 2, or 1–4."""
    return str(first) if first == last else f"{first}, {last}" if last == first + 1 else f"{first}–{last}"


def _runs(board: SawnBoard, cuts: Sequence[SawCut], freed: Mapping[int, object]) -> list[list[SawCut]]:
    """Cuts that follow each other and are set alike, where no offcut comes off between them."""
    found: list[list[SawCut]] = []
    for cut in cuts:
        last = found[-1][-1] if found else None
        alike = last is not None and last.crosscut == cut.crosscut and _along(last) == _along(cut)
        if alike and last is not None and last.number not in freed and not _parts_off_waste(board, cut):
            found[-1].append(cut)
        else:
            found.append([cut])
    return found


def _along(cut: SawCut) -> Length:
    """From the left end or lower edge of what is parted to the cut."""
    return cut.at - (cut.over.x if cut.crosscut else cut.over.y)


def _cut_text(board: SawnBoard, same: Sequence[SawCut], every: Sequence[Length], display: Display) -> list[Run]:
    """'3: rip 4½', '4, 5: crosscut 445'. A cut so near the end of what is parted, or to that of another cut, that both
    would be printed alike is told finer; where that cannot show what is taken off, the cut is a trim."""
    cut, numbers = same[0], _numbers(same[0].number, same[-1].number)
    along, whole = _along(cut), cut.over.length if cut.crosscut else cut.over.width
    fine = display.told_apart(along, (ZERO, whole, *every))
    for place, ends in ((ZERO, ("left end", "lower edge")), (whole, ("right end", "upper edge"))):
        if not fine.differ(along, place):
            return [f"{numbers}: trim the {ends[not cut.crosscut]}".replace(" ", NO_BREAK)]
    figure = length_figure(f"{board.mark} · cut {cut.number}", along, fine, board.board.at)
    said = f"{numbers}: {'crosscut' if cut.crosscut else 'rip'} ".replace(" ", NO_BREAK)
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


def drawings_text(shop: Shop, display: Display) -> Text:
    """What one must know to saw by the drawings of the boards."""
    kerf = Figure("kerf", display.small(shop.kerf), shop.kerf.mm, "mm", shop.places.get("kerf", shop.at))
    return (
        "Cut in the order of the numbers, measuring from the left end or the lower edge of the part you saw. Sizes in "
        f"{UNIT_WORDS[display.units]}, width × length, as sawn; a kerf takes ",
        kerf,
        ". Look at the wood before the first cut: knots and splits move pieces.",
    )


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
    """The offcuts worth keeping in words, in their order, where the drawing has no room for all their sizes."""
    offcut = f"{board.mark} · offcut"
    if sum(figure.name == f"{offcut} · length" for figure in drawing.figures) == len(board.offcuts):
        return ()
    runs: list[Run] = []
    for letter, area in lettered(board):
        width, length = _sizes(offcut, area, display, board.board)[1]
        runs += [", " if runs else " · offcuts: ", f"{letter}{NO_BREAK}", width, f"{NO_BREAK}×{NO_BREAK}", length]
    return tuple(runs)
