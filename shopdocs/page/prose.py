"""Headings, paragraphs, facts, bullets, cautions and checklists as strips."""

from __future__ import annotations

from typing import NamedTuple

from shopdocs.blocks.text import Bullets, Caution, Checklist, Facts, Heading, Paragraph, Step, Weight
from shopdocs.page.flow import Paint, Strip
from shopdocs.page.items import Face, Frame, Item, Line, Path, TextRun, rectangle
from shopdocs.page.tables import tick_box
from shopdocs.page.typesetter import Typesetter

FACT_COLUMN = 108.0  # least width of a column of facts
FACT_GAP = 16.0  # between them
FINE_COLUMNS = 12
FINE_LEADING = 1.24  # of the smallest type, in narrow columns
BLANK = 110.0  # a line to write on, with what it is for
STEP_AIR = 4.5
NAMED = "  "  # parts a number from a name in a title: where a list goes on, the number is enough


def lines_strip(
    lines: list[str],
    face: Face,
    size: float,
    lead: float,
    x: float = 0.0,
    before: float = 0.0,
    after: float = 0.0,
) -> Strip:
    """Lines of one face and size, set as a block."""

    def paint(frame: Frame, left: float, top: float) -> None:
        for index, line in enumerate(lines):
            frame.items.append(TextRun(left + x, top - lead * index - lead * 0.78, face, size, line))

    return Strip(lead * len(lines) + after, paint, before)


def heading_strips(heading: Heading, room: float, ts: Typesetter) -> list[Strip]:
    """A heading on up to four lines, with its entry in the outline; a line parts a chapter from one above it."""
    style = ts.style
    top_level = heading.level <= 1
    size = style.chapter if top_level else style.section
    content = ts.clean(heading.text)
    size = ts.shrunk(content, "bold", size, room, size * 0.8)
    lines = ts.lines(content, "bold", size, room, 4)
    inner = lines_strip(lines, "bold", size, size * 1.2, after=2.0)

    def paint(frame: Frame, left: float, top: float) -> None:
        inner.paint(frame, left, top)
        frame.outline.append((1 if top_level else 2, content, top))
        if heading.anchor:
            frame.anchors.append((heading.anchor, top))

    if not top_level:
        return [Strip(inner.height, paint, before=14.0, keep=True)]

    def parted(frame: Frame, left: float, top: float) -> None:
        parting_line(frame, left, top, room, ts)
        paint(frame, left, top)

    opening = Strip(inner.height, paint, keep=True)
    return [Strip(inner.height, parted, before=PARTED, keep=True, opening=opening)]


PARTED = 24.0  # above a chapter that does not open its page
LINE_SHARE = 0.35  # of that, under the line


def parting_line(frame: Frame, left: float, top: float, room: float, ts: Typesetter) -> None:
    """A line across the page between a chapter that begins at `top` and what stands over it: nearer to the chapter,
    whose own line is taller than its letters, so that the eye sees it half way."""
    y = top + PARTED * ts.air * LINE_SHARE
    frame.items.append(Line(left, y, left + room, y, ts.style.hair))


MOST_LINES = 10_000  # a paragraph flows over as many pages as it needs


def paragraph_strips(paragraph: Paragraph, room: float, ts: Typesetter) -> list[Strip]:
    """One strip a line, tied so that no line stands alone at the foot or the top of a page."""
    style = ts.style
    fine = paragraph.weight is Weight.FINE
    size = style.head if fine else style.quiet if paragraph.weight is Weight.QUIET else style.body
    face: Face = "semibold" if paragraph.weight is Weight.STRONG else "regular"
    lead = size * (FINE_LEADING if fine else style.leading)
    lines = ts.lines(ts.words(paragraph.text), face, size, min(room, size * 46), MOST_LINES)
    strips = [lines_strip([line], face, size, lead) for line in lines]
    strips[0].before = 4.0 if fine else 7.0
    for strip in (strips[0], strips[-2] if len(strips) > 1 else strips[0]):
        strip.keep = len(strips) > 1
    return strips


def bullet_strips(bullets: Bullets, room: float, ts: Typesetter) -> list[Strip]:
    """A strip for each point, behind a dash; lines are kept short enough to be read."""
    style = ts.style
    size, lead, indent = style.body, style.body * style.leading, 12.0
    strips: list[Strip] = []
    for item in bullets.items:
        lines = ts.lines(ts.words(item), "regular", size, min(room, size * 46) - indent)
        words = lines_strip(lines, "regular", size, lead, x=indent)
        strips.append(Strip(words.height, _with_dash(words.paint, lead, style.rule), before=3.0))
    if strips:
        strips[0].before = 7.0
    return strips


def _with_dash(inner: Paint, lead: float, width: float) -> Paint:
    def paint(frame: Frame, left: float, top: float) -> None:
        y = top - lead * 0.78 + 3.2
        frame.items.append(Line(left + 0.5, y, left + 6.0, y, width))
        inner(frame, left, top)

    return paint


def fact_strips(facts: Facts, room: float, ts: Typesetter) -> list[Strip]:
    """Label over value on a grid of up to four columns; a long value takes more than one column. Where a finer grid
    saves a row, that is taken."""
    style = ts.style
    columns = max(1, min(4, int((room + FACT_GAP) / (FACT_COLUMN + FACT_GAP)), len(facts.pairs)))
    lead, size = style.head * 1.25, style.body + 0.5
    words = [(ts.clean(label), ts.words(value)) for label, value in facts.pairs]
    rows = _fact_rows(words, room, columns, ts)
    if len(rows) > 1 and len(words) <= columns:
        finer = _fact_rows(words, room, FINE_COLUMNS, ts)
        rows = finer if len(finer) < len(rows) else rows
    return [
        _fact_row(row, lead, size, style.head, facts.anchor if index == 0 else "", 8.0 if index == 0 else 6.0)
        for index, row in enumerate(rows)
    ]


FactRow = list[tuple[float, str, list[str]]]  # from the left, label, lines of the value


def _fact_rows(words: list[tuple[str, str]], room: float, columns: int, ts: Typesetter) -> list[FactRow]:
    head, size = ts.style.head, ts.style.body + 0.5
    step = (room + FACT_GAP) / columns
    rows: list[FactRow] = []
    at = columns
    for named, shown in words:
        wide = max(ts.width(shown, "semibold", size), ts.width(named, "regular", head))
        span = min(columns, max(1, int((wide + FACT_GAP) / step + 0.999)))
        if at + span > columns:
            rows.append([])
            at = 0
        inner = span * step - FACT_GAP
        rows[-1].append((at * step, ts.cut(named, "regular", head, inner), ts.lines(shown, "semibold", size, inner)))
        at += span
    return rows


def _fact_row(
    row: list[tuple[float, str, list[str]]],
    lead: float,
    size: float,
    small: float,
    anchor: str,
    before: float,
) -> Strip:
    height = lead + max(len(value) for _, _, value in row) * size * 1.22

    def paint(frame: Frame, left: float, top: float) -> None:
        if anchor:
            frame.anchors.append((anchor, top))
        for x, label, _ in row:
            frame.items.append(TextRun(left + x, top - lead * 0.78, "regular", small, label))
        for x, _, value in row:
            for index, line in enumerate(value):
                y = top - lead - size * 1.22 * index - size * 0.88
                frame.items.append(TextRun(left + x, y, "semibold", size, line))

    return Strip(height, paint, before)


def warning_triangle(x: float, y: float, side: float) -> list[Item]:
    """A triangle with a stroke and a dot in it, standing on (x, y), drawn so that it needs no glyph and no colour."""
    tall = side * 0.87
    middle = x + side / 2
    heavy = side * 0.09
    corners = ((x, y), (x + side, y), (middle, y + tall))
    return [
        Path(corners, True, heavy),
        Line(middle, y + tall * 0.34, middle, y + tall * 0.66, heavy),
        Line(middle, y + tall * 0.14, middle, y + tall * 0.22, heavy),
    ]


def caution_strips(caution: Caution, room: float, ts: Typesetter) -> list[Strip]:
    """A caution in a frame with the warning triangle beside it, on one page as a whole."""
    style = ts.style
    pad, mark = 9.0, 19.0
    size, lead = style.body, style.body * 1.28
    inner = room - 3 * pad - mark
    title = ts.lines(ts.clean(caution.title), "bold", size, inner, 4)
    words = ts.lines(ts.clean(caution.text), "regular", size, inner, 30)
    height = pad * 1.5 + lead * (len(title) + len(words))

    def paint(frame: Frame, left: float, top: float) -> None:
        frame.items.append(rectangle(left + 0.5, top - height, left + room - 0.5, top, 1.0))
        frame.items += warning_triangle(left + pad, top - pad - mark * 0.87 + 1.5, mark)
        y = top - pad * 0.75 - lead * 0.76
        for face, lines in (("bold", title), ("regular", words)):
            for line in lines:
                frame.items.append(TextRun(left + 2 * pad + mark, y, face, size, line))  # type: ignore[arg-type]
                y -= lead

    return [Strip(height, paint, before=10.0)]


def checklist_strips(checklist: Checklist, room: float, ts: Typesetter, in_columns: bool = False) -> list[Strip]:
    """The title and a strip for each step; a page break leaves two steps at least on either side. In one of several
    columns the first or the last of three may stand alone, for the title comes again over the others."""
    strips = [_title_strip(checklist.title, room, ts)] if checklist.title else []
    blank = min(BLANK, room * 0.25) if any(step.blank for step in checklist.steps) else 0.0
    look = _Look(ts.style.step, ts.style.body, ts.style.tick * 1.35, 7.0) if checklist.large else None
    small = ts.style.fraction if checklist.works_by else ts.style.quiet
    look = look or _Look(max(ts.style.body, small), small, ts.style.tick, STEP_AIR)
    strips += [
        _step_strip(step, room, blank if step.blank or step.right else 0.0, ts, look) for step in checklist.steps
    ]
    if len(checklist.steps) > 1:  # two steps at least on each side of a page break
        strips[-len(checklist.steps)].keep = not in_columns or len(checklist.steps) == 2
        strips[-2].keep = not in_columns or len(checklist.steps) == 2
    if in_columns and checklist.title:
        short = checklist.title.split(NAMED)[0]
        for strip in strips[2:]:
            strip.again = _title_strip(f"{short}, continued", room, ts)
            title = ts.cut(ts.clean(f"{short}, continued"), "semibold", ts.style.quiet, room)
            strip.again.again = lines_strip([title], "semibold", ts.style.quiet, ts.style.quiet * 1.2)
    return strips


def _title_strip(title: str, room: float, ts: Typesetter) -> Strip:
    lines = ts.lines(ts.clean(title), "bold", ts.style.section, room, 4)
    strip = lines_strip(lines, "bold", ts.style.section, ts.style.section * 1.25, before=12.0)
    strip.keep = True
    return strip


class _Look(NamedTuple):
    """Sizes of a step in points: its words, the quieter line under them, its box, the air above."""

    size: float
    small: float
    tick: float
    air: float


def _step_strip(step: Step, room: float, blank_width: float, ts: Typesetter, look: _Look) -> Strip:
    style, (size, small, tick, air) = ts.style, look
    lead, detail_lead = size * 1.28, small * 1.28
    indent = tick + 9.0
    right, blank = ts.words(step.right), ts.clean(step.blank)
    right_width = ts.width(right, "semibold", size)
    if right_width > room * 0.3:
        right = ts.cut(right, "semibold", size, room * 0.3)
        right_width = ts.width(right, "semibold", size)
    side = right_width + (14.0 if right else 0.0) + (blank_width + 14.0 if blank_width else 0.0)
    words = ts.lines(ts.words(step.text), "regular", size, room - indent - side, 20)
    quiet = ts.words(step.detail)
    detail = ts.lines(quiet, "regular", small, room - indent, 20) if quiet else []  # runs on under the blank line
    caption = ts.cut(blank, "regular", style.quiet, blank_width * 0.6) if blank else ""
    height = lead * len(words) + detail_lead * len(detail) + 1.0

    def paint(frame: Frame, left: float, top: float) -> None:
        items = frame.items
        base = top - lead * 0.78
        items.append(tick_box(left, base, size, tick, style.tick_line))
        for index, line in enumerate(words):
            items.append(TextRun(left + indent, base - lead * index, "regular", size, line))
        low = base - lead * len(words) + (size - small) * 0.3
        for index, line in enumerate(detail):
            items.append(TextRun(left + indent, low - detail_lead * index, "regular", small, line))
        edge = left + room
        if caption:
            y = base - 2.0
            named = ts.width(caption, "regular", style.quiet) + 5.0
            items.append(TextRun(edge - blank_width, base, "regular", style.quiet, caption))
            items.append(Line(edge - blank_width + named, y, edge, y, style.hair))
        if blank_width:
            edge -= blank_width + 14.0
        if right:
            items.append(TextRun(edge - right_width, base, "semibold", size, right))

    return Strip(height, paint, before=air)
