"""The words of a low label: two or three lines beside the mark."""

from __future__ import annotations

from dataclasses import dataclass

from shopdocs.blocks.sheets import PieceLabel
from shopdocs.page.items import Box, Face, Frame, TextRun
from shopdocs.page.label_words import CAPITAL, JOIN_SHORT, Room, Said, loss, parted, said
from shopdocs.page.typesetter import Typesetter

LEAD = 1.09  # the lines stand close
LARGEST = 9.0
MARKS = (24.0, 22.0, 20.0, 18.0, 16.0, 14.0)  # type of the mark; smaller where more words stand beside it then
SMALLER = 2  # what a step to a smaller mark counts, beside what is left out
SHARE = 0.6  # of the width, the most that a mark takes
UNDER = 0.2  # a line's share under its base
GAP = 6.0
HELD_JOIN = JOIN_SHORT.replace(" ", "\u00a0")


@dataclass(frozen=True, slots=True)
class _Low:
    """The lines beside a mark of type `large`."""

    large: float
    mark: str
    lines: tuple[tuple[str, Face], ...]
    lost: list[str]
    room: float


def set_low(frame: Frame, label: PieceLabel, room: Room, ts: Typesetter) -> list[str]:
    """The build's mark over the piece's at the left; beside them what shows and is sawn, then, as far as there is room,
    the warning, what points up, the mates, the stage and the name. What was lost."""
    _, y0, x1, y1 = room.box
    floor, build = ts.style.floor, ts.clean(label.build_mark)
    marks = [size for size in MARKS if size * CAPITAL <= room.high - (floor if build else 0.0)] or [floor]
    told = said(label, True, True, ts)
    tried = [_beside(label, told, build, large, room, ts) for large in marks]
    best = min(tried, key=lambda low: loss(low.lost) + SMALLER * tried.index(low))
    _mark(frame, (build, best.mark), best.large, room.box, ts)
    lines = best.lines
    small = min(LARGEST, room.high / (max(len(lines), 2) - 1 + CAPITAL + UNDER) / LEAD)
    small = max(floor, min((ts.shrunk(line, face, small, best.room) for line, face in lines), default=small))
    lead = min(small * 1.3, (room.high - small * (CAPITAL + UNDER)) / max(len(lines) - 1, 1))
    base = (y0 + y1) / 2 + ((len(lines) - 1) * lead - small * CAPITAL) / 2
    for content, face in lines:
        frame.items.append(TextRun(x1 - best.room, base, face, small, content))
        base -= lead
    return best.lost


def _mark(frame: Frame, marks: tuple[str, str], large: float, box: Box, ts: Typesetter) -> None:
    """The build's mark at the floor over the piece's, both in the middle of the height."""
    build, mark = marks
    floor, tall = ts.style.floor, large * CAPITAL
    over = floor * CAPITAL + 3.0 if build else 0.0
    base = (box[1] + box[3]) / 2 - (tall + over) / 2
    frame.items.append(TextRun(box[0], base, "bold", large, mark))
    if build and base + tall + over <= box[3] + 0.01:
        frame.items.append(TextRun(box[0], base + tall + 3.0, "regular", floor, build))


def _beside(label: PieceLabel, told: Said, build: str, large: float, room: Room, ts: Typesetter) -> _Low:
    """What has room beside a mark of this type."""
    floor, mark, lost = ts.style.floor, ts.clean(label.mark), list[str]()
    large = ts.shrunk(mark, "bold", large, room.wide * SHARE)
    shown = ts.shortened(mark, "bold", large, room.wide * SHARE)
    if shown != mark:
        lost.append("mark")
    wide = room.wide - max(ts.width(shown, "bold", large), ts.width(build, "regular", floor)) - GAP
    left = int((room.high - floor * (CAPITAL + UNDER)) / (floor * LEAD) + 0.01) + 1
    lines: list[tuple[str, Face]] = []
    for kind, wordings in told.sizes:
        broken = _size_lines(wordings, wide, ts)
        if not broken or len(broken) > left - len(lines):
            lost.append(kind)
        else:
            lines += [(line, "regular") for line in broken]
    rest, gone = _packed(told, left - len(lines), wide, ts)
    return _Low(
        large,
        shown,
        (*rest[:1], *lines, *rest[1:]) if rest[:1] == [(told.name, "semibold")] else (*lines, *rest),
        lost + gone,
        wide,
    )


def _size_lines(wordings: tuple[str, ...], wide: float, ts: Typesetter) -> list[str]:
    """On one line in the first wording that fits; else parted; none where a part is too wide."""
    floor = ts.style.floor
    for words in wordings:
        if ts.width(words, "regular", floor) <= wide:
            return [words]
    whole = (parts for parts in parted(wordings) if ts.widest_word(parts, "regular", floor) <= wide)
    return next((ts.wrap(parts, "regular", floor, wide) for parts in whole), [])


def _packed(told: Said, most: int, wide: float, ts: Typesetter) -> tuple[list[tuple[str, Face]], list[str]]:
    """Up to `most` lines of what else the label says, the most important first, short things beside each other; and
    what has no room. The name has a line of its own, the first."""
    floor, lost = ts.style.floor, list[str]()
    lines: list[str] = []

    def stands(content: str) -> bool:
        for index, line in enumerate(lines):
            if ts.width(line + HELD_JOIN + content, "regular", floor) <= wide:
                lines[index] = line + HELD_JOIN + content
                return True
        if len(lines) < most and ts.width(content, "regular", floor) <= wide:
            lines.append(content)
            return True
        return False

    warnings = [warning.replace(" ", "\u00a0") for warning in told.warnings]
    if warnings and not any(stands(warning) for warning in warnings):
        lost.append("warning")
    if told.up and not stands(told.up):
        lost.append("up")
    for count in range(len(told.meets), 0, -1):
        more = [f"+{len(told.meets) - count}"] if count < len(told.meets) else []
        if stands("\u00a0".join([*told.meets[:count], *more])):
            lost += ["some mates"] if more else []
            break
    else:
        lost += ["mates"] if told.meets else []
    if told.stage and not stands(told.stage):
        lost.append("stage")
    rest: list[tuple[str, Face]] = [(line, "regular") for line in lines]
    if told.name and len(lines) < most and ts.width(told.name, "semibold", floor) <= wide:
        rest.insert(0, (told.name, "semibold"))
    elif told.name:
        lost.append("name")
    return rest, lost
