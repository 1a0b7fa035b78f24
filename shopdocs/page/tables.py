"""Tables: column widths, rows as strips, heads that repeat."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import zip_longest

from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.page import typeface
from shopdocs.page.column_widths import Rows, Words, fewest_lines
from shopdocs.page.drawings import lay_out
from shopdocs.page.flow import Paint, Strip, stacked
from shopdocs.page.items import Face, Frame, Item, Line, Link, PageNumber, TextRun, mm, rectangle, shifted
from shopdocs.page.typesetter import Typesetter

GAP, LEAST_GAP = 13.0, 9.0  # between columns
AIR = 4.6  # in a row, above and below its lines together
TICK_GAP = 7.0
LEAST_FOLDED = 1  # rows; a table of more may have two beside each other
WORTH_FOLDING = 0.85  # of the height
WORTH_SHRINKING = (
    0.8  # of the height; below it, smaller type puts many rows on one line that would break in the usual type
)
LEAST_ROWS, ENOUGH_ROWS = 2, 4  # of a table on a page; this many when they are low,
ENOUGH = 90.0  # until they are so tall together
LOW = 20.0  # a drawing that is no taller stands in line with the words of its row
LOOSE = 40.0  # most extra width a column takes while the table is narrower than the page
NEARLY = 0.2  # of the width of the page; a table that still lacks less of it takes all, as those over and under it

PAGE_PLACE = "\u2007\u2007\u2007"  # stands for a page number, three figures wide


@dataclass(slots=True)
class _Grid:
    """Where columns stand: left edges and widths in points, the tick box's room, the type size of the rows."""

    lefts: list[float]
    widths: list[float]
    tick: float
    size: float
    total: float


def table_strips(table: Table, room: float, ts: Typesetter) -> list[Strip]:
    """The table as strips of width `room`; tied so that no page holds only a row or two of a longer table. One that
    folds does so where it becomes less tall; one whose rows are broken by little is set in smaller type."""
    strips = _unfolded(table, room, ts)
    if ts.table > ts.style.table_close:
        usual, ts.table = ts.table, ts.style.table_close
        smaller = _unfolded(table, room, ts)
        ts.table = usual
        if stacked(smaller) < stacked(strips) * WORTH_SHRINKING:
            strips = smaller
    if table.folds and sum(len(group.rows) for group in table.groups) > LEAST_FOLDED:
        folded = _unfolded(_folded(table), room, ts)
        if stacked(folded) < stacked(strips) * WORTH_FOLDING:
            return folded
    return strips


def _folded(table: Table) -> Table:
    """The same with two rows in one, the second half of them beside the first."""
    told = [row.cells for group in table.groups for row in group.rows]
    half = -(-len(told) // 2)
    blank = (Cell(),) * len(table.columns)
    rows = tuple(Row((*one, *two)) for one, two in zip_longest(told[:half], told[half:], fillvalue=blank))
    return replace(table, columns=table.columns * 2, groups=(Group(rows),), folds=False)


def _unfolded(table: Table, room: float, ts: Typesetter) -> list[Strip]:
    rows = [[_row_words(row, table.columns, ts) for row in group.rows] for group in table.groups]
    grid = _grid(table, rows, room, ts)
    head = _head_strip(table, grid, ts)
    strips: list[Strip] = [head]
    opening = True
    places: list[int] = []  # of the rows
    for group, words in zip(table.groups, rows, strict=True):
        first = len(strips) + (1 if group.title else 0)
        places += range(first, first + len(group.rows))
        strips += _group_strips(group, words, table, grid, head, opening, ts)
        opening = False
    _tie(strips, places)
    return strips


def _tie(strips: list[Strip], places: list[int]) -> None:
    """The head with the first rows, the last rows with each other, and what stands between them."""
    for strip in strips[: places[_enough(strips, places) - 1] if places else 2]:
        strip.keep = True
    for strip in strips[places[-_enough(strips, places[::-1])] if places else -2 :]:
        strip.keep = True
    strips[-1].keep = False


def _enough(strips: list[Strip], places: list[int]) -> int:
    """How many of the rows, in the order of `places`, are enough not to look lost on a page."""
    tall, count = 0.0, 0
    for place in places[:ENOUGH_ROWS]:
        if count >= LEAST_ROWS and tall >= ENOUGH:
            break
        tall, count = tall + strips[place].height, count + 1
    return count


def _row_words(row: Row, columns: tuple[Column, ...], ts: Typesetter) -> list[Words]:
    out: list[Words] = []
    for cell, column in zip(row.cells, columns, strict=False):
        content = cell.text if not column.picture_mm else ()  # set under the picture
        if len(content) == 1 and type(content[0]) is str:
            shown = ts.clean(content[0])
        else:
            shown = ts.words(content) if content else PAGE_PLACE if cell.link else ""
        out.append((shown, "semibold" if cell.strong or column.strong or row.total else "regular"))
    return out


def _grid(table: Table, rows: list[list[list[Words]]], room: float, ts: Typesetter) -> _Grid:
    style = ts.style
    tick = style.tick + TICK_GAP if table.ticks else 0.0
    count = len(table.columns)
    distinct: list[set[Words]] = [set() for _ in range(count)]
    for group in rows:
        for row in group:
            for index, words in enumerate(row):
                distinct[index].add(words)
    size = ts.table
    gap = min(GAP, room * 0.3 / max(1, count - 1))
    free = room - tick - gap * (count - 1)
    while True:
        least, wished = _needs(table.columns, distinct, size, ts)
        if sum(least) <= free or size <= style.table_least:
            break
        size -= 0.5
    if free < sum(wished) and count > 1:  # closer columns are better than rows on two lines
        closer = gap - (sum(wished) - free) / (count - 1)
        if closer >= LEAST_GAP:
            gap, free = closer, sum(wished)
    widths = _shared_out(least, wished, [column.share for column in table.columns], free)
    if table.fitted:
        widths = _fitted(table, rows, _Grid([0.0] * count, widths, tick, size, free), (least, wished), ts)
    spare = free - sum(widths)
    if table.columns and table.columns[-1].align == "left" and spare > 0:
        widths[-1] += spare  # only the rules grow longer
    lefts, x = [], tick
    for width in widths:
        lefts.append(x)
        x += width + gap
    return _Grid(lefts, widths, tick, size, x - gap)


def _fitted(
    table: Table,
    rows: list[list[list[Words]]],
    grid: _Grid,
    needs: tuple[list[float], list[float]],
    ts: Typesetter,
) -> list[float]:
    """The widths of the grid, words in the columns that make the rows lowest, those of the head with them."""
    told = [Row(()), *(row for group in table.groups for row in group.rows)]
    head: list[Words] = [(ts.clean(column.title), "semibold") for column in table.columns]
    words = [head, *(row + [("", "regular")] * (len(grid.widths) - len(row)) for group in rows for row in group)]
    give = [i for i, column in enumerate(table.columns) if column.align == "left" and not column.picture_mm]
    talls = [_pictures(row, table, grid, ts)[1] for row in told]
    return fewest_lines(grid.widths, *needs, give, Rows(words, talls, grid.size, grid.size * 1.2, ts))


def _needs(
    columns: tuple[Column, ...], distinct: list[set[Words]], size: float, ts: Typesetter
) -> tuple[list[float], list[float]]:
    """For each column the width of its widest word and of its widest cell."""
    least, wished = [], []
    for column, cells in zip(columns, distinct, strict=True):
        title, unit = ts.clean(column.title), ts.clean(column.unit)
        word = max(ts.widest_word(title, "semibold", ts.style.head), ts.width(unit, "regular", ts.style.head))
        whole = max(word, ts.width(title, "semibold", ts.style.head))
        for shown, face in cells:
            wide = typeface.width(shown, face, size)
            if wide > whole:
                whole = wide
            if wide > word:
                word = max(word, wide if column.align == "right" else ts.widest_word(shown, face, size))
        least.append(max(word + 0.02, mm(column.picture_mm)))
        wished.append(max(whole + 0.02, mm(column.picture_mm)))
    return least, wished


def _shared_out(least: list[float], wished: list[float], shares: list[float], free: float) -> list[float]:
    """Widest words first, then by share until every cell fits on one line, then loosely by share."""
    if sum(least) > free:  # even the words are too wide: in proportion, words will be broken
        return _capped(least, free)
    widths = list(least)
    left = free - sum(widths)
    open_columns = [i for i, width in enumerate(widths) if wished[i] > width]
    while open_columns and left > 0.01:
        parts = sum(max(shares[i], 0.01) for i in open_columns)
        grant = left
        for i in open_columns:
            more = min(grant * max(shares[i], 0.01) / parts, wished[i] - widths[i])
            widths[i] += more
            left -= more
        open_columns = [i for i in open_columns if wished[i] - widths[i] > 0.01]
    parts = sum(shares)
    if left > 0.01 and parts > 0:
        loose = min(left / parts, LOOSE)
        if left / parts < LOOSE * 1.6 or left - LOOSE * parts < free * NEARLY:
            loose = left / parts
        widths = [width + loose * share for width, share in zip(widths, shares, strict=True)]
    return widths


def _capped(least: list[float], free: float) -> list[float]:
    """The widest columns cut to one width so that the sum is `free`; narrow ones, the numbers, stay whole."""
    cap, room = 0.0, free
    for done, width in enumerate(sorted(least)):
        cap = room / (len(least) - done)
        if width >= cap:
            break
        room -= width
    return [min(width, cap) for width in least]


def _offset(align: str, width: float, content: str, face: Face, size: float) -> float:
    if align == "left":
        return 0.0
    spare = width - typeface.width(content, face, size)
    return spare if align == "right" else spare / 2


def _head_strip(table: Table, grid: _Grid, ts: Typesetter) -> Strip:
    """Column titles over a rule, units once under them."""
    style = ts.style
    size, lead = style.head, style.head * 1.22
    titles = [
        ts.lines(ts.clean(column.title), "semibold", size, width + 0.1, 4) if column.title else []
        for column, width in zip(table.columns, grid.widths, strict=True)
    ]
    units = any(column.unit for column in table.columns)
    lines = max((len(title) for title in titles), default=0) + (1 if units else 0)
    height = lines * lead + 6.0
    cells: list[tuple[float, float, Face, str]] = []
    for index, column in enumerate(table.columns):
        x, width = grid.lefts[index], grid.widths[index]
        y = -height + 6.0 + 2.2
        if units:
            unit = ts.clean(column.unit)
            if unit:
                cells.append((x + _offset(column.align, width, unit, "regular", size), y, "regular", unit))
            y += lead
        for line in reversed(titles[index]):
            cells.append((x + _offset(column.align, width, line, "semibold", size), y, "semibold", line))
            y += lead
    cells.sort(key=lambda cell: (-cell[1], cell[0]))

    def paint(frame: Frame, left: float, top: float) -> None:
        for x, y, face, content in cells:
            frame.items.append(TextRun(left + x, top + y, face, size, content))
        rule = top - height + 3.0
        frame.items.append(Line(left, rule, left + grid.total, rule, style.rule))

    return Strip(height, paint, before=12.0, keep=True)


def _group_strips(
    group: Group,
    rows: list[list[Words]],
    table: Table,
    grid: _Grid,
    head: Strip,
    opening: bool,
    ts: Typesetter,
) -> list[Strip]:
    strips: list[Strip] = []
    again = head
    if group.title:
        title = _group_title(ts.clean(group.title), grid, opening, ts)
        title.head = head
        title.keep = True
        title.opening = _group_title(ts.clean(group.title), grid, True, ts)
        strips.append(title)
        again = _both(head, _group_title(f"{ts.clean(group.title)} (continued)", grid, True, ts))
    for index, (row, words) in enumerate(zip(group.rows, rows, strict=True)):
        ruled = index == 0 and not opening and not group.title
        strip = _row_strip(row, words, table, grid, ruled, ts)
        strip.head = head if index == 0 else again
        if ruled:
            strip.opening = _row_strip(row, words, table, grid, False, ts)
        if row.total and strips:
            strips[-1].keep = True
        strips.append(strip)
    if group.note:
        if strips:
            strips[-1].keep = True
        strips.append(_note(ts.clean(group.note), grid, ts))
    return strips


def _both(first: Strip, second: Strip) -> Strip:
    def paint(frame: Frame, left: float, top: float) -> None:
        first.paint(frame, left, top)
        second.paint(frame, left, top - first.height)

    return Strip(first.height + second.height, paint)


def _group_title(title: str, grid: _Grid, opening: bool, ts: Typesetter) -> Strip:
    style = ts.style
    size = grid.size
    lines = ts.lines(title, "bold", size, grid.total, 4)
    lead = size * style.leading
    above, rule = (3.0, 0.0) if opening else (9.0 * ts.air, 3.5 * ts.air)
    height = above + lead * len(lines) + 1.0

    def paint(frame: Frame, left: float, top: float) -> None:
        if not opening:
            frame.items.append(Line(left, top - rule, left + grid.total, top - rule, style.hair))
        for index, line in enumerate(lines):
            frame.items.append(TextRun(left, top - above - lead * index - size * 0.9, "bold", size, line))

    return Strip(height, paint)


def _note(note: str, grid: _Grid, ts: Typesetter) -> Strip:
    style = ts.style
    size = style.quiet
    lines = ts.lines(note, "regular", size, grid.total - grid.tick, 12)
    lead = size * 1.25

    def paint(frame: Frame, left: float, top: float) -> None:
        for index, line in enumerate(lines):
            frame.items.append(TextRun(left + grid.tick, top - lead * index - size * 0.95, "regular", size, line))

    return Strip(lead * len(lines) + 3.0, paint)


def _row_strip(row: Row, words: list[Words], table: Table, grid: _Grid, ruled: bool, ts: Typesetter) -> Strip:
    size, style = grid.size, ts.style
    widths, lefts, columns = grid.widths, grid.lefts, table.columns
    lead = size * 1.2
    lines = 1
    cells: list[tuple[float, float, Face, str]] = []
    air = AIR * ts.air
    above = air / 2 + (5.0 if ruled else 0.0) + (3.0 if row.total else 0.0)
    first = -above - size * 0.9
    for index, (shown, face) in enumerate(words):
        if not shown or shown == PAGE_PLACE:
            continue
        room = widths[index]
        wide = typeface.width(shown, face, size)
        align = columns[index].align
        x = lefts[index]
        if wide <= room + 0.01:
            if align != "left":
                x += room - wide if align == "right" else (room - wide) / 2
            cells.append((x, first, face, shown))
            continue
        broken = ts.lines(shown, face, size, room)
        lines = max(lines, len(broken))
        for number, line in enumerate(broken):
            cells.append((x + _offset(align, room, line, face, size), first - number * lead, face, line))
    pictures, tall = _pictures(row, table, grid, ts)
    behind = _room_behind(row.note, words, columns, grid, ts) if row.note and lines == 1 else None
    if behind is not None:
        cells.append((behind, first, "regular", ts.clean(row.note)))
    noted = _note(ts.clean(row.note), grid, ts) if row.note and behind is None else None
    high = above + max(lead * lines, tall)
    height = high + air / 2 + (noted.height if noted else 0.0)
    tick = table.ticks and not row.total
    links = _links(row.cells, lefts, widths)
    numbers = [
        (
            lefts[index] + (widths[index] if columns[index].align == "right" else 0.0),
            columns[index].align,
            row.cells[index].link,
        )
        for index, (shown, _) in enumerate(words)
        if shown == PAGE_PLACE
    ]

    def paint(frame: Frame, left: float, top: float) -> None:
        items = frame.items
        if ruled:
            items.append(Line(left, top - 2.5, left + grid.total, top - 2.5, style.hair))
        if row.total:
            y = top - above + air / 2 - 0.5
            items.append(Line(left + grid.tick, y, left + grid.total, y, style.rule))
        if tick:
            items.append(tick_box(left, top + first, size, style.tick, style.tick_line))
        for x, y, face, content in cells:
            items.append(TextRun(left + x, top + y, face, style.quiet if x == behind else size, content))
        for picture in pictures:
            picture(frame, left, top - above)
        if noted:
            noted.paint(frame, left, top - high)
        for x, align, anchor in numbers:
            frame.page_numbers.append(PageNumber(left + x, top + first, "regular", size, anchor, align == "right"))
        for x0, x1, anchor in links:
            items.append(Link(left + x0, top - height, left + x1, top, anchor))
        if row.anchor:
            frame.anchors.append((row.anchor, top))

    return Strip(height, paint)


def _room_behind(
    note: str, words: list[Words], columns: tuple[Column, ...], grid: _Grid, ts: Typesetter
) -> float | None:
    """Where the note of a row of one line begins behind the words before the first figures of that row; None where it
    has no room there, and stands under the row."""
    figures = next((i for i, column in enumerate(columns) if column.align == "right"), 0)
    if not figures or len(words) <= figures:
        return None
    (before, face), (after, bold) = words[figures - 1], words[figures]
    start = grid.lefts[figures - 1] + typeface.width(before, face, grid.size) + GAP
    end = grid.lefts[figures] + grid.widths[figures] - typeface.width(after, bold, grid.size) - GAP
    return start if ts.width(ts.clean(note), "regular", ts.style.quiet) <= end - start else None


def _pictures(row: Row, table: Table, grid: _Grid, ts: Typesetter) -> tuple[list[Paint], float]:
    """The drawings of a row, each in the middle of its column with the cell's text under it, and how tall they are."""
    found: list[Paint] = []
    tall = 0.0
    size = ts.style.quiet
    for index, cell in enumerate(row.cells):
        if cell.drawing is None:
            continue
        laid = lay_out(cell.drawing, cell.drawing.scale or Fraction(1), ts)
        x0, y0, x1, y1 = laid.box
        wide = grid.widths[index]
        words = ts.lines(ts.words(cell.text), "regular", size, wide, 3) if cell.text else []
        tall = max(tall, y1 - y0 + size * 1.15 * len(words) + 2.0)

        def paint(
            frame: Frame,
            left: float,
            top: float,
            x: float = grid.lefts[index],
            across: float = (wide - x1 + x0) / 2 - x0,
            y: float = y1,
            foot: float = y1 - y0 + size,
            wide: float = wide,
            words: list[str] = words,
            items: list[Item] = laid.items,
            lift: float = max(0.0, (y1 - y0) / 2 - grid.size * 0.6) if y1 - y0 < LOW else 0.0,
        ) -> None:
            frame.items += shifted(items, left + x + across, top - y + lift)
            for number, line in enumerate(words):
                aside = _offset("centre", wide, line, "regular", size)
                frame.items.append(TextRun(left + x + aside, top - foot - number * size * 1.15, "regular", size, line))

        found.append(paint)
    return found, tall


def _links(cells: tuple[Cell, ...], lefts: list[float], widths: list[float]) -> list[tuple[float, float, str]]:
    return [
        (lefts[index], lefts[index] + widths[index], cell.link)
        for index, cell in enumerate(cells[: len(lefts)])
        if cell.link
    ]


def tick_box(left: float, base: float, size: float, side: float, line: float) -> Item:
    """A drawn square, centred on the height of capitals of a line of type."""
    low = base + size * 0.33 - side / 2
    return rectangle(left, low, left + side, low + side, line)
