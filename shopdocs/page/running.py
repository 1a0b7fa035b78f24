"""The line at the head of every page: build, sheet, revision, date, check word and page."""

from __future__ import annotations

from shopdocs.blocks.sheets import Imprint
from shopdocs.page.items import Frame, Item, Line, TextRun, mm, rectangle
from shopdocs.page.paper import Paper
from shopdocs.page.typesetter import Typesetter

HEAD = mm(4.2)  # from the top margin to the rule
FROM_EDGE = mm(8.0)  # the line of a page of labels, where printers still reach
LABEL_ROOM = mm(11.0)  # over the first row, for that line
TO_WRITE = 70.0  # points of line for a date
BETWEEN = "   ·   "
TITLE_SHARE = 0.45  # of the room beside revision and page that a long title leaves to the name of the sheet


def running_line(frame: Frame, imprint: Imprint, paper: Paper, total: int, ts: Typesetter) -> list[Item]:
    """The line of one page, and its licence at the foot. A sheet of labels has no margins of ours and bears both on
    what stays on its backing."""
    left, right = paper.left.points, frame.width - paper.right.points
    if frame.bare:
        return _over_labels(frame, imprint, (left, right), total, ts) if frame.over >= LABEL_ROOM else []
    head = _head(frame, imprint, (left, right, frame.height - paper.top.points - HEAD), total, ts)
    return [*head, *_foot(imprint, left, right, ts)]


def _foot(imprint: Imprint, left: float, right: float, ts: Typesetter) -> list[Item]:
    """The licence, below where anything else is printed."""
    size = ts.style.floor
    words = ts.shortened(ts.clean(" ".join(imprint.licence.split())), "regular", size, right - left)
    return [TextRun(left, FROM_EDGE, "regular", size, words)] if words else []


def _head(frame: Frame, imprint: Imprint, at: tuple[float, float, float], total: int, ts: Typesetter) -> list[Item]:
    """The build's mark on a black tab and its title; at the right the sheet, revision, date, check word and page."""
    size = ts.style.header
    left, right, rule = at
    base = rule + 3.6
    out: list[Item] = [Line(left, rule, right, rule, ts.style.rule)]
    mark = ts.cut(ts.clean(imprint.mark), "bold", size, 90.0)
    tab = ts.width(mark, "bold", size) + 9.0
    if mark:
        out.append(rectangle(left, rule, left + tab, rule + HEAD, 0.0, 0.0))
        out.append(TextRun(left + 4.5, base, "bold", size, mark, 0, 1.0))
    x = left + (tab + 6.0 if mark else 0.0)
    told, room = _told(frame, imprint, total, ts), right - x - 30.0
    tail = ts.shortened(BETWEEN.join(told), "regular", size, room * 0.7)
    start = right - ts.width(tail, "regular", size)
    if not imprint.date:
        start -= TO_WRITE
        out += _to_write(start, base, ts)
    room = start - x - 24.0
    named = "" if frame.title == imprint.title else frame.title  # the title sheet is called as the build
    title, sheet = ts.clean(imprint.title), ts.clean(named)
    most = max(room * TITLE_SHARE, room - ts.width(title, "regular", size))
    sheet = ts.shortened(sheet, "semibold", size, most)
    wide = ts.width(sheet, "semibold", size)
    out.append(TextRun(x, base, "regular", size, ts.shortened(title, "regular", size, room - wide)))
    out.append(TextRun(start - 12.0 - wide, base, "semibold", size, sheet))
    out.append(TextRun(right - ts.width(tail, "regular", size), base, "regular", size, tail))
    return out


def _to_write(start: float, base: float, ts: Typesetter) -> list[Item]:
    """A line for a date, where none is known."""
    size = ts.style.header
    after = start + ts.width("date ", "regular", size)
    end = start + TO_WRITE - 8.0
    return [TextRun(start, base, "regular", size, "date"), Line(after, base - 1.2, end, base - 1.2, ts.style.hair)]


def _told(frame: Frame, imprint: Imprint, total: int, ts: Typesetter) -> list[str]:
    """Revision, date, check word and page."""
    revision = f"revision {ts.clean(imprint.revision)}" if imprint.revision else ""
    word = f"check {ts.clean(imprint.check)}" if imprint.check else ""
    page = f"page {frame.set_number} of {total}"
    return list(filter(None, (revision, ts.clean(imprint.date), word, page)))


def _over_labels(frame: Frame, imprint: Imprint, sides: tuple[float, float], total: int, ts: Typesetter) -> list[Item]:
    size = ts.style.floor
    left, right = sides
    licence = ts.clean(" ".join(imprint.licence.split()))
    told = filter(None, (ts.clean(imprint.mark), ts.clean(frame.title), *_told(frame, imprint, total, ts), licence))
    said = ts.shortened(BETWEEN.join(told), "regular", size, right - left)
    return [TextRun(left, frame.height - FROM_EDGE, "regular", size, said)]
