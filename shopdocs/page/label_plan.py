"""One label, planned before it is drawn: where code, arrow, mark and words stand on it.

Lengths are points from the lower left corner of the label. A label lies along the grain. Where the face that it goes on
is less wide than the label is high, all stands on a narrow one, as high as the face is wide, at the label's top, and a
dashed line shows where the rest is cut off.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct, field

from shopdocs.blocks.drawing import Stroke
from shopdocs.blocks.sheets import PieceLabel
from shopdocs.page.code_size import PlannedCode, planned_code
from shopdocs.page.items import Box, Face, Frame, Line, TextRun, mm, shifted
from shopdocs.page.label_marks import reference_mark
from shopdocs.page.label_sheets import keep_inside
from shopdocs.page.label_words import (
    CAPITAL,
    LEAD,
    LEAST_MARK,
    MOST_MARK,
    Blocks,
    Column,
    mark_room,
    size_type,
    sticking_words,
)
from shopdocs.page.pad import arrow_head
from shopdocs.page.prose import warning_triangle
from shopdocs.page.typesetter import Typesetter

HEAD_WIDE, HEAD_LONG = mm(2.4), mm(3.2)  # of an arrow
LOW = 34.0  # an inside height under which the words stand beside the mark
LARGEST = 12.0  # type of words
OVERHANG = mm(2.0)  # nothing is printed so near the edge: it may hang over
LEAST_BAND = mm(10.0)  # no label is narrower; on a thinner face it is folded round the arris
LEAST_WORDS = 40.0  # width of words beside an arrow's own
SMALL_BUILD = 0.36  # the build's mark beside the piece's, as part of its type
LOW_AIR = 3.0  # the white about a line that may reach over the inside of a low label
LOW_SHARE = 0.4  # of the width, the most that a mark takes with words beside it
GAP = 5.0
UNDER_MARK = 0.3  # white under the mark, as part of the type of the words
LEAST_COLUMN = 0.6  # of its height, the least width that words take beside a code
DESCENT = 0.2  # of letters such as g, as part of their type
SMALL = mm(18.5)  # an inside height under which an arrow stands beside the mark alone


class Plan(Struct):
    """One label in a box from `floor` up to the label's top; `lost` is what is left off it."""

    label: PieceLabel
    wide: float
    high: float
    floor: float
    detail: float
    code: PlannedCode | None = None
    code_at: tuple[float, float] = (0.0, 0.0)
    arrow: Box | None = None
    inside: Box = (0.0, 0.0, 0.0, 0.0)  # for mark and words
    words_right: float = 0.0  # where words end; the mark may reach over a code below it
    words_left: float = 0.0
    column: Column | None = None
    mark: float = 0.0  # its type
    beside: tuple[str, ...] = ()  # kinds that stand at the right of the mark, from its base up
    merged: bool = False  # where to stick it stands in the arrow's row
    lost: list[str] = field(default_factory=list)

    @property
    def tall(self) -> float:
        """Height of the room for words, points."""
        return self.inside[3] - self.inside[1]

    @property
    def low(self) -> bool:
        """Whether the label is so low that its words stand beside the mark."""
        return self.high - self.floor - 2 * keep_inside().points < LOW

    def paint(self, frame: Frame, x: float, y: float, ts: Typesetter) -> None:
        """With the label's lower left corner at (x, y)."""
        drawn = Frame(0.0, 0.0, "", "")
        if self.floor > 0.0:
            width, dash = ts.style.strokes[Stroke.CUT]
            drawn.items.append(Line(0.0, self.floor, self.wide, self.floor, width, dash))
        if self.code is not None:
            self.code.paint(drawn, *self.code_at)
        _paint_arrow(drawn, self, ts)
        (_paint_low if self.low else _paint_column)(drawn, self, ts)
        frame.items += shifted(drawn.items, x, y)


def plan_labels(labels: Sequence[PieceLabel], size: tuple[float, float], ts: Typesetter) -> list[Plan]:
    """All labels of one sheet; those of one height share their types."""
    plans = [_placed(label, size, ts) for label in labels]
    alike: dict[float, list[Plan]] = {}
    for plan in plans:
        alike.setdefault(plan.floor, []).append(plan)
    for some in alike.values():
        rooms = [(plan.label, plan.words_right - plan.words_left) for plan in some]
        sizes = some[0].detail if some[0].low else size_type(rooms, some[0].detail, ts)
        for plan in some:
            (_fill_low if plan.low else _fill)(plan, (plan.detail, sizes), ts)
        marks = sorted(plan.mark for plan in some)
        common = marks[(len(marks) - 1) // 3]  # two thirds of them have room for it
        for plan in some:
            plan.mark = min(plan.mark, common)
    return plans


# Where the parts stand.


def _placed(label: PieceLabel, size: tuple[float, float], ts: Typesetter) -> Plan:
    wide, high = size
    inset, band = keep_inside().points, _band(label, high)
    plan = Plan(label, wide, high, high - band, max(ts.style.floor, min(LARGEST, (band - 2 * inset) * 0.085)))
    plan.code = planned_code(label, wide, band)
    left, low, right, top = inset, plan.floor + inset, wide - inset, high - inset
    words_right = right
    if plan.code is None:
        plan.lost += ["code"] if label.codes else []
    else:
        code = plan.code
        rim = max(inset, code.quiet)
        below = top - low > 2.0 * code.room  # under the mark, which then has the whole width
        y = plan.floor + rim if below else plan.floor + (band - code.side) / 2
        plan.code_at = (wide - rim - code.side, y)
        words_right = plan.code_at[0] - code.quiet
        right = right if below else words_right
        if below and words_right - left < (top - low) * LEAST_COLUMN:
            low, words_right = y + code.side + code.quiet, right  # the words stand over the code, not beside it
    plan.inside, plan.words_right = (left, low, right, top), words_right
    _place_arrow(plan, ts)
    plan.words_left = left if plan.arrow is not None and plan.tall < SMALL and not plan.low else plan.inside[0]
    return plan


def _band(label: PieceLabel, high: float) -> float:
    """The height of a label that its face takes."""
    room = label.sticking.room if label.sticking is not None else None
    return high if room is None or room.points >= high - OVERHANG else max(room.points, LEAST_BAND)


def _place_arrow(plan: Plan, ts: Typesetter) -> None:
    """An arrow up stands at the left, one to the right under the words; what it points to is written along it."""
    stuck = plan.label.sticking
    if stuck is None or not stuck.arrow:
        return
    x0, y0, x1, y1 = plan.inside
    if plan.low:
        long = HEAD_WIDE if stuck.arrow == "up" else mm(5.0)
        plan.arrow = (x0, y0, x0 + long, y1) if stuck.arrow == "up" else (x0, (y0 + y1) / 2, x0 + long, (y0 + y1) / 2)
        plan.inside = (x0 + long + 4.0, y0, x1, y1)
        plan.lost.append("points")
    elif stuck.arrow == "right":
        plan.arrow = (x0, y0, plan.words_right, y0 + plan.detail)
        plan.inside = (x0, y0 + plan.detail * 1.3, x1, y1)
        plan.merged = stuck.face_side == "here" and _row_words(plan, ts) != ""
    else:
        room = HEAD_WIDE + plan.detail + 3.0
        if plan.tall < SMALL or plan.words_right - x0 - room < LEAST_WORDS:
            room = HEAD_WIDE + 3.0
            plan.lost.append("points")
        plan.arrow = (x0, y0, x0 + HEAD_WIDE, y1)
        plan.inside = (x0 + room, y0, x1, y1)


def _row_words(plan: Plan, ts: Typesetter) -> str:
    """Where to stick it, as far as the row of an arrow to the right has room for that."""
    stuck = plan.label.sticking
    if stuck is None or plan.arrow is None:
        return ""
    points = ts.width(ts.clean(stuck.points), "semibold", plan.detail)
    room = plan.arrow[2] - plan.arrow[0] - points - HEAD_LONG * 2 - 8.0 - mark_room(stuck, plan.detail)
    wordings = (ts.clean(words) for words in sticking_words(stuck))
    return next((words for words in wordings if ts.width(words, "regular", plan.detail) <= room), "")


# What stands on it.


_BESIDE: tuple[tuple[str, ...], ...] = (("name", "stage"), ("stage",), ("name",), ())


def _fill(plan: Plan, types: tuple[float, float], ts: Typesetter) -> None:
    """Words under the mark, which takes the height that is left; name and stage beside the mark where they fit."""
    x0, _, x1, _ = plan.inside
    best: tuple[int, Column, float, tuple[str, ...]] | None = None
    blocks = Blocks(plan.label, plan.words_right - plan.words_left, types, ts)
    high = plan.tall * (1 - LEAST_MARK) - plan.detail * UNDER_MARK
    for beside in _BESIDE:
        made = blocks.column((*beside, "sticking") if plan.merged else beside, high)
        if best is not None and len(made.lost) >= best[0]:
            continue
        mark = _mark_size(plan, made, ts)
        if _stands_beside(plan, beside, mark, ts):
            best = len(made.lost), made, mark, tuple(kind for kind in beside if getattr(plan.label, kind))
            if not made.lost:
                break
    assert best is not None
    _, plan.column, plan.mark, plan.beside = best
    plan.lost += plan.column.lost
    plan.lost += ["mark"] if _mark_wide(plan.label, plan.mark, ts) > x1 - x0 + 0.01 else []


def _stands_beside(plan: Plan, kinds: tuple[str, ...], mark: float, ts: Typesetter) -> bool:
    """Whether these words have room at the right of a mark of this type, one above the other."""
    words = [ts.clean(getattr(plan.label, kind)) for kind in kinds if getattr(plan.label, kind)]
    if not words:
        return True
    room = plan.inside[2] - plan.inside[0] - _mark_wide(plan.label, mark, ts) - GAP
    tall = (len(words) - 1) * plan.detail * LEAD + plan.detail * CAPITAL
    return tall <= mark * CAPITAL + 0.5 and all(ts.width(each, "semibold", plan.detail) <= room for each in words)


def _mark_size(plan: Plan, made: Column, ts: Typesetter) -> float:
    """As large as the height and the width allow."""
    x0, _, x1, _ = plan.inside
    white = plan.detail * UNDER_MARK if made.lines else 0.0
    deep = _descent(plan.label) if made.lines else 0.0
    size = min((plan.tall - made.height - white) / (CAPITAL + deep), plan.tall * MOST_MARK / CAPITAL)
    size = max(ts.style.floor, size)
    wide = _mark_wide(plan.label, size, ts)
    if wide > x1 - x0:
        size = max(ts.style.floor, size * (x1 - x0) / wide)
    while size > ts.style.floor and _mark_wide(plan.label, size, ts) > x1 - x0:  # the build's mark shrinks less
        size = max(ts.style.floor, size * 0.97)
    return size


def _descent(label: PieceLabel) -> float:
    """How far the mark reaches under its line, as part of its type."""
    return DESCENT if set(label.mark) & set("gjpqyQ,;()[]{}/|_") else 0.0


def _mark_wide(label: PieceLabel, size: float, ts: Typesetter) -> float:
    small = max(ts.style.floor, size * SMALL_BUILD)
    build = ts.clean(label.build_mark)
    return ts.width(ts.clean(label.mark), "bold", size) + (
        ts.width(build, "regular", small) + small * 0.3 if build else 0.0
    )


def _fill_low(plan: Plan, types: tuple[float, float], ts: Typesetter) -> None:
    """Lines of words beside the mark."""
    x0, _, x1, _ = plan.inside
    em = ts.width(ts.clean(plan.label.mark), "bold", 1.0) or 1.0
    plan.mark = max(ts.style.floor, min(plan.tall / CAPITAL, (x1 - x0) * LOW_SHARE / em))
    wide = ts.width(ts.clean(plan.label.mark), "bold", plan.mark)
    plan.column = Blocks(plan.label, x1 - x0 - wide - GAP, types, ts).column((), plan.tall + LOW_AIR)
    plan.lost += [*plan.column.lost, *(["mark"] if wide > x1 - x0 else [])]


# How it is drawn.


def _paint_mark(frame: Frame, plan: Plan, x: float, base: float, room: float, ts: Typesetter) -> float:
    """The build's mark small, then the piece's; one too long for the label loses the build's, then its end. Where it
    ends."""
    build, mark = ts.clean(plan.label.build_mark), ts.clean(plan.label.mark)
    small = max(ts.style.floor, plan.mark * SMALL_BUILD)
    if build and not plan.low and _mark_wide(plan.label, plan.mark, ts) <= room + 0.01:
        frame.items.append(TextRun(x, base, "regular", small, build))
        x += ts.width(build, "regular", small) + small * 0.3
        room -= ts.width(build, "regular", small) + small * 0.3
    shown = ts.shortened(mark, "bold", plan.mark, room + 0.01)
    frame.items.append(TextRun(x, base, "bold", plan.mark, shown))
    return x + ts.width(shown, "bold", plan.mark)


def _paint_column(frame: Frame, plan: Plan, ts: Typesetter) -> None:
    x0, y0, x1, y1 = plan.inside
    base = y1 - plan.mark * CAPITAL
    _paint_mark(frame, plan, x0, base, x1 - x0, ts)
    for number, kind in enumerate(plan.beside):
        face: Face = "semibold" if kind == "name" else "regular"
        words = ts.clean(getattr(plan.label, kind))
        x, y = x1 - ts.width(words, face, plan.detail), base + number * plan.detail * LEAD
        frame.items.append(TextRun(x, y, face, plan.detail, words))
    made = plan.column
    assert made is not None
    white = plan.detail * UNDER_MARK + plan.mark * _descent(plan.label)
    left = max(0.0, base - y0 - made.height - white)
    gap = min(left / max(len(made.lines), 1), plan.detail * 0.35)
    _paint_lines(frame, made, plan.words_left, base - white - gap, gap)


def _paint_low(frame: Frame, plan: Plan, ts: Typesetter) -> None:
    x0, y0, x1, y1 = plan.inside
    end = _paint_mark(frame, plan, x0, (y0 + y1 - plan.mark * CAPITAL) / 2, x1 - x0, ts)
    made = plan.column
    assert made is not None
    tall = sum(line.size * LEAD for line in made.lines)
    _paint_lines(frame, made, end + GAP, (y0 + y1 + tall) / 2, 0.0)


def _paint_lines(frame: Frame, made: Column, x: float, top: float, gap: float) -> None:
    y, ts = top, made.ts
    for line in made.lines:
        base = y - line.size * LEAD * 0.8
        if line.triangle:
            frame.items += warning_triangle(x, base - line.size * 0.04, line.size * 0.85)
        frame.items.append(TextRun(x + line.indent, base, line.face, line.size, line.text))
        if line.stuck is not None:
            after = x + line.indent + ts.width(line.text, line.face, line.size)
            frame.items += reference_mark(line.stuck, after, base, line.size)
        y -= line.size * LEAD + gap


def _paint_arrow(frame: Frame, plan: Plan, ts: Typesetter) -> None:
    stuck = plan.label.sticking
    if plan.arrow is None or stuck is None:
        return
    x0, y0, x1, y1 = plan.arrow
    if stuck.arrow == "up" and plan.words_left < plan.inside[0]:
        y0 = min(y1 - plan.mark * CAPITAL, y1 - HEAD_LONG * 1.4)
    width = mm(0.5)
    content = "" if "points" in plan.lost else ts.clean(stuck.points)
    wide = ts.width(content, "semibold", plan.detail)
    if stuck.arrow == "up":
        x = x0 + HEAD_WIDE / 2
        frame.items.append(Line(x, y0, x, y1 - HEAD_LONG * 0.7, width))
        frame.items.append(arrow_head((x, y0), (x, y1), HEAD_LONG, HEAD_WIDE))
        if content:
            base = x0 + HEAD_WIDE + plan.detail * 0.7
            frame.items.append(
                TextRun(base, y0, "semibold", plan.detail, ts.cut(content, "semibold", plan.detail, y1 - y0), 90)
            )
        return
    y, base = (y0 + y1) / 2, y0 + plan.detail * 0.15
    if where := _row_words(plan, ts) if plan.merged else "":
        frame.items.append(TextRun(x0, base, "regular", plan.detail, where))
        x0 += ts.width(where, "regular", plan.detail)
        frame.items += reference_mark(stuck, x0, base, plan.detail)
        x0 += mark_room(stuck, plan.detail) + 4.0
    if content:
        x1 -= wide
        frame.items.append(TextRun(x1, base, "semibold", plan.detail, content))
        x1, y = x1 - 4.0, y0 + plan.detail * 0.45
    frame.items.append(Line(x0, y, x1 - HEAD_LONG * 0.7, y, width))
    frame.items.append(arrow_head((x0, y), (x1, y), HEAD_LONG, HEAD_WIDE))
