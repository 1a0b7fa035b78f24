"""A turning pattern: half the profile of a round at full size over its centre line, and under that a strip with the
place of every diameter, to be glued to a batten and kept as a story stick.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from shopdocs.blocks.drawing import Drawing, Line, Point, Shape, Stroke
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Outline, Side
from shopdocs.core.rounds import Spot
from shopdocs.documents.drawn.lip import spread
from shopdocs.documents.drawn.paper_room import PaperRoom

STRIP = Length(22)  # under the centre line: two figures and their words, one after the other, at 9 points
NAME_PT = (12.0, 10.0, 9.0, 8.0, 7.0)
FIGURE_PT = (9.0, 8.0, 7.0)
LINE = "CENTRE LINE"


def half_profile(spots: Sequence[Spot]) -> Outline:
    """What lies above the centre line of a round, from its first place at the left to its last."""
    start, end = spots[0][0], spots[-1][0]
    corners: list[Point] = [(ZERO, ZERO), (end - start, ZERO)]
    corners += [(along - start, diameter / 2) for along, diameter in reversed(spots)]
    sides = tuple(Side(one, two) for one, two in pairwise([*corners, corners[0]]) if one != two)
    return Outline(end - start, max(diameter for _, diameter in spots) / 2, sides)


def turning_pattern(
    spots: Sequence[Spot], told: Sequence[tuple[Length, str]], ends: tuple[str, str], called: str, middle: bool
) -> Drawing:
    """The half profile over its strip. `told` are the places of the strip with what is said there, `ends` what the left
    and the right end are called; `middle` says that the right one is the middle of a round whose halves are alike."""
    outline = half_profile(spots)
    start = spots[0][0]
    room = PaperRoom(outline.width.float_mm(), STRIP.float_mm())
    shapes = list(_lines(outline, middle))
    for place, words in told:
        shapes += _place(room, place - start, words)
    for name, x in zip(ends, (3.2, room.wide - 3.2), strict=True):
        if name:
            shapes += room.set(name, (9.0, 8.0), (x, room.high / 2), (90,), (x - 8, 0.0, x + 8, room.high))
    for part in spread(room.wide):
        shapes += room.set(called, NAME_PT, (room.wide * float(part), room.high / 3), (0, 90))
        shapes += room.set(LINE, (8.0, 7.0), (room.wide * float(part), room.high - 3.0), (0,))
    return Drawing("", outline.width, STRIP + outline.height, tuple(shapes))


def _lines(outline: Outline, middle: bool) -> Iterator[Shape]:
    def up(point: Point) -> Point:
        return point[0], point[1] + STRIP

    for side in outline.sides:
        if side.start[1] == side.end[1] == ZERO:
            yield Line(up(side.start), up(side.end), Stroke.CENTRE)
        elif middle and side.start[0] == side.end[0] == outline.width:
            yield Line(up(side.start), up(side.end), Stroke.HIDDEN)
        else:
            yield Line(up(side.start), up(side.end), Stroke.VISIBLE)
    low = [(ZERO, STRIP), (ZERO, ZERO), (outline.width, ZERO), (outline.width, STRIP)]
    yield from (Line(one, two, Stroke.THIN) for one, two in pairwise(low))


def _place(room: PaperRoom, at: Length, words: str) -> Iterator[Shape]:
    """A line across the strip, its figures beside it."""
    yield Line((at, ZERO), (at, STRIP), Stroke.THIN)
    room.keep_off_line((at, ZERO), (at, STRIP))
    x = at.float_mm()
    right = x < room.wide / 2
    yield from room.set(
        words, FIGURE_PT, (x + (3.0 if right else -3.0), room.high / 2), (90,), (x - 14, 0.0, x + 14, room.high)
    )
