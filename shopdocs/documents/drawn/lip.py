"""What holds a template in its place: a hatched lip, folded down over the edge that one gauges from, and tape marks.

The lip registers by itself: pressed against the edge, it leaves the paper one way only to slide, along it. Its depth
and the size of a tape mark are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from shopdocs.blocks.drawing import Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.core.length import ZERO, Length

LIP = Length(8)  # how far it reaches down over the edge
LEAST_LIP = Length(5)  # words of the floor size find room on it
MITRE = Length(3)  # its corners are cut back, clear of what stands at the end
HATCH = Length(4)  # from line to line
WORDS_PT = 8.0
EM_MM = 0.60 * 25.4 / 72  # mean width of a bold capital by point of type
APART_MM = 100.0  # words come again after as much, so that every tile bears some
TAPE = (Length(12), Length(5))  # long along the edge that is taped, and deep
TAPE_WORDS = "TAPE"
TAPE_PLACES = (Fraction(1, 5), Fraction(4, 5), Fraction(1, 2), Fraction(1, 3), Fraction(2, 3))

Box = tuple[float, float, float, float]
Free = Callable[[Box], bool]
Locate = Callable[[Length, Length], Point]


def lip_depth(through: Length) -> Length:
    """How deep the lip is on an edge of wood `through` thick: not beyond it where that leaves room for its words."""
    return max(LEAST_LIP, min(LIP, through))


def lip_shapes(start: Length, end: Length, deep: Length, edge: str, at: Locate) -> list[Shape]:
    """The lip beside the line from `start` to `end` of a face, hatched, with the words which edge it is folded over.
    `at` takes places along and across the face, those of the lip lie across below zero."""
    outline = [(start, ZERO), (start + MITRE, -deep), (end - MITRE, -deep), (end, ZERO)]
    shapes: list[Shape] = []
    foot = start + MITRE
    while foot + deep <= end - MITRE:
        shapes.append(Line(at(foot, -deep), at(foot + deep, ZERO), Stroke.THIN))
        foot += HATCH
    shapes.append(Polygon(tuple(at(*point) for point in outline), Stroke.CUT, closed=False))
    wide = (end - start).float_mm()
    longer = (f"FOLD DOWN OVER {edge}", f"FOLD OVER {edge}", f"OVER {edge}")
    told = next((one for one in longer if len(one) * EM_MM * WORDS_PT + 2 * MITRE.float_mm() <= wide), edge)
    for part in spread(wide):
        middle = at(start + (end - start) * part, deep / -2)
        shapes.append(Words(middle, told, WORDS_PT, strong=True, boxed=True))
    return shapes


def spread(wide_mm: float) -> list[Fraction]:
    """Where words stand along so many millimetres, as parts of it: in the middle, or several times on a long one."""
    count = max(1, round(wide_mm / APART_MM))
    return [Fraction(2 * k + 1, 2 * count) for k in range(count)]


def tape_marks(size: Point, sides: tuple[str, ...], free: Free) -> list[Shape]:
    """Places to tape, on these sides of the paper ('left', 'right', 'bottom', 'top'): two on the first of them, one on
    each other, where `free` finds room (boxes in millimetres of paper)."""
    shapes: list[Shape] = []
    for count, side in enumerate(sides):
        wanted = 2 if count == 0 else 1
        for part in TAPE_PLACES:
            if wanted and (mark := _tape_mark(size, side, part, free)):
                shapes += mark
                wanted -= 1
    return shapes


def _tape_mark(size: Point, side: str, part: Fraction, free: Free) -> list[Shape]:
    level = side in ("bottom", "top")
    long, deep = TAPE
    run = size[0] if level else size[1]
    middle, reach = run * part, size[1] if level else size[0]
    low = ZERO if side in ("left", "bottom") else reach - deep
    first, last = middle - long / 2, middle + long / 2
    if first < Length(3) or last > run - Length(3) or reach < deep * 3:
        return []
    corners = [(first, low), (last, low), (last, low + deep), (first, low + deep)]
    points = tuple(corner if level else (corner[1], corner[0]) for corner in corners)
    (x0, y0), (x1, y1) = points[0], points[2]
    if not free((x0.float_mm() - 1, y0.float_mm() - 1, x1.float_mm() + 1, y1.float_mm() + 1)):
        return []
    at = (x0 + x1) / 2, (y0 + y1) / 2
    return [
        Polygon(points, Stroke.THIN),
        Words(at, TAPE_WORDS, WORDS_PT, angle=0 if level else 90, strong=True),
    ]
