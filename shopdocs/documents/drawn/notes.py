"""Notes on leaders where there is room: no words over words or lines, no leader through words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from shopdocs.blocks.drawing import CentreMark, Circle, Dimension, Leader, Line, Point, Polygon, Shape, Words
from shopdocs.documents.drawn.measures import (
    LINE_MM,
    STEEP,
    Box,
    dimension_box,
    type_mm,
    words_at_leader,
    words_box,
)
from shopdocs.work.shapes.note_room import Manners, Spot, Stretch, Taken

_AIR_MM = 1.2  # around words, from other words
_LINE_AIR_MM = 0.8  # and from lines
_BESIDE_MM = 0.36  # between a leader and words
_NEAR_MM, _FARTHEST_MM = 16.0, 44.0
_MOST_TIPS = 8
_ASTRAY_MM = 30.0  # and before it runs over a joint that it does not name
_CROSSING_MM = 6.0  # a leader is so much longer before it rather crosses one line fewer
_MANNERS = Manners(_AIR_MM, _LINE_AIR_MM, _BESIDE_MM, STEEP, _CROSSING_MM, _ASTRAY_MM)


@dataclass(frozen=True, slots=True)
class Ground:
    """What a note has to keep clear of, in millimetres of paper: words, and lines. A leader may cross lines."""

    words: tuple[Box, ...]
    lines: tuple[Stretch, ...]

    def with_note(self, tip: Spot, at: Spot, text: str, size_pt: float) -> Ground:
        """The same with a note on it, whose leader runs from `at` to its tip."""
        return Ground((*self.words, words_at_leader(tip, at, text, size_pt)), (*self.lines, (tip, at)))

    def with_words(self, more: Iterable[Words], scale: Fraction) -> Ground:
        """The same with these words on it."""
        return Ground((*self.words, *(words_box(words, scale) for words in more)), self.lines)

    def with_lines(self, more: Iterable[Stretch]) -> Ground:
        """The same with these lines on it."""
        return Ground(self.words, (*self.lines, *more))


def ground(shapes: Iterable[Shape], scale: Fraction, keep_clear: Sequence[Box] = ()) -> Ground:
    """What these shapes take of the sheet; `keep_clear` are places for words that are not drawn yet."""
    words: list[Box] = list(keep_clear)
    lines: list[Stretch] = []
    above, below = scale.numerator, scale.denominator
    for shape in shapes:
        if isinstance(shape, Line):
            (a, b), (c, d) = shape.start, shape.end
            start, end = (a.times(above, below), b.times(above, below)), (c.times(above, below), d.times(above, below))
            lines.append((start, end))
        elif isinstance(shape, Polygon):
            spots = [_spot(point, scale) for point in shape.points]
            lines += list(pairwise(spots))
        elif isinstance(shape, Circle):
            (x, y), radius = _spot(shape.centre, scale), shape.radius.float_mm(scale)
            lines += [((x - radius, y), (x + radius, y)), ((x, y - radius), (x, y + radius))]
        elif isinstance(shape, Leader):
            tip, at = _spot(shape.tip, scale), _spot(shape.at, scale)
            words.append(words_at_leader(tip, at, shape.text, shape.size_pt or 9.0))
            lines.append((tip, at))
        elif isinstance(shape, Words):
            words.append(words_box(shape, scale))
        elif isinstance(shape, Dimension):
            words.append(dimension_box(shape, scale))
            lines += _extension_lines(shape, scale)
    return Ground(tuple(words), tuple(lines))


def arms(shapes: Iterable[Shape], scale: Fraction) -> tuple[Stretch, ...]:
    """The arms of the crosses at the middles of holes: words that stand over them are read less well, but are no
    reason to draw a piece smaller."""
    lines: list[Stretch] = []
    for shape in shapes:
        if isinstance(shape, CentreMark):
            (x, y), reach = _spot(shape.centre, scale), shape.reach.float_mm(scale)
            lines += [((x - reach, y), (x + reach, y)), ((x, y - reach), (x, y + reach))]
    return tuple(lines)


def _extension_lines(shape: Dimension, scale: Fraction) -> list[Stretch]:
    ends = [_spot(point, scale) for point in (shape.start, shape.end)]
    if shape.axis == "x":
        base = (max if shape.offset_mm > 0 else min)(y for _, y in ends) + shape.offset_mm
        return [((x, y), (x, base)) for x, y in ends]
    base = (max if shape.offset_mm > 0 else min)(x for x, _ in ends) + shape.offset_mm
    return [((x, y), (base, y)) for x, y in ends]


def place_note(
    tips: Sequence[Spot], text: str, taken: Ground, sheet: Box, size_pt: float = 9.0, others: Sequence[Box] = ()
) -> tuple[Spot, Spot]:
    """The leader (tip, end) of a note for any one of `tips`: the shortest on the sheet that is clear of everything and
    runs over none of `others`; where the sheet has no such place, one beyond it."""
    search = _Search(tips, text, taken, size_pt, others)
    return search.found(sheet) or search.found(None) or _anyhow(search.tips[-1])


def place_note_inside(
    tips: Sequence[Spot], text: str, taken: Ground, sheet: Box, size_pt: float = 9.0, others: Sequence[Box] = ()
) -> tuple[Spot, Spot] | None:
    """As `place_note`; None where the sheet has no such place."""
    return _Search(tips, text, taken, size_pt, others).found(sheet)


class _Search:
    """The search for the place of one note."""

    def __init__(self, tips: Sequence[Spot], text: str, taken: Ground, size_pt: float, others: Sequence[Box]) -> None:
        if len(tips) > _MOST_TIPS:  # spread over all of them: among hundreds of holes the search would never end
            tips = [tips[k * (len(tips) - 1) // (_MOST_TIPS - 1)] for k in range(_MOST_TIPS)]
        self.tips, self.others = tips, others
        self.size = (type_mm(text, size_pt), size_pt * LINE_MM)
        self.taken = Taken(taken.words, taken.lines)
        self.near: dict[float, Taken] = {}

    def found(self, sheet: Box | None) -> tuple[Spot, Spot] | None:
        """The leader; what is found near by is the shortest, and found sooner."""
        for farthest in (_NEAR_MM, _FARTHEST_MM):
            near = self.near.get(farthest) or self._about(farthest)
            best = near.nearest(self.tips, self.size, _MANNERS, self.others, sheet, farthest)
            if best is not None and (best[0] <= farthest or farthest == _FARTHEST_MM):
                return best[1:]
        return None

    def _about(self, farthest: float) -> Taken:
        """What leaders of that length can meet."""
        xs, ys = [x for x, _ in self.tips], [y for _, y in self.tips]
        reach = farthest + self.size[0] + 3.0
        box = (min(xs) - reach, min(ys) - reach, max(xs) + reach, max(ys) + reach)
        self.near[farthest] = near = self.taken.near(box)
        return near


def _anyhow(tip: Spot) -> tuple[Spot, Spot]:
    return tip, (tip[0] + 6.0, tip[1] + 6.0)


def runs_through(line: Stretch, box: Box) -> bool:
    """Whether a stretch meets a box; by clipping it (Liang and Barsky)."""
    (x0, y0), (x1, y1) = line
    left, bottom, right, top = box
    # nearly all of them lie wholly to one side
    if (x0 < left and x1 < left) or (x0 > right and x1 > right):
        return False
    if (y0 < bottom and y1 < bottom) or (y0 > top and y1 > top):
        return False
    start, end = 0.0, 1.0
    for step, low, high in ((x1 - x0, left - x0, right - x0), (y1 - y0, bottom - y0, top - y0)):
        if step == 0.0:
            continue
        one, two = sorted((low / step, high / step))
        start, end = max(start, one), min(end, two)
        if start > end:
            return False
    return True


def _spot(point: Point, scale: Fraction) -> Spot:
    return point[0].float_mm(scale), point[1].float_mm(scale)
