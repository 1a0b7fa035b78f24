"""Notes on leaders where there is room: no words over words or lines, no leader through words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise

from shopdocs.blocks.drawing import Circle, Dimension, Leader, Line, Point, Polygon, Shape, Words
from shopdocs.documents.drawn.measures import (
    LINE_MM,
    Box,
    box_at_leader,
    dimension_box,
    type_mm,
    words_at_leader,
    words_box,
)

Spot = tuple[float, float]
Stretch = tuple[Spot, Spot]

_AIR_MM = 1.2  # around words, from other words
_LINE_AIR_MM = 0.8  # and from lines
_BESIDE_MM = 0.36  # between a leader and words
_NEAR_MM, _FARTHEST_MM = 16.0, 44.0
_STEP_MM = 2.0
_MOST_TIPS = 8
_ASTRAY_MM = 30.0  # and before it runs over a joint that it does not name
_CROSSING_MM = 6.0  # a leader is so much longer before it rather crosses one line fewer


@dataclass(frozen=True, slots=True)
class Ground:
    """What a note has to keep clear of, in millimetres of paper: words, and lines. A leader may cross lines."""

    words: tuple[Box, ...]
    lines: tuple[Stretch, ...]

    def near(self, box: Box) -> Ground:
        """What of it meets the box."""
        lines = tuple(line for line in self.lines if runs_through(line, box))
        return Ground(tuple(words for words in self.words if _meet(words, box)), lines)

    def with_note(self, tip: Spot, at: Spot, text: str, size_pt: float) -> Ground:
        """The same with a note on it, whose leader runs from `at` to its tip."""
        return Ground((*self.words, words_at_leader(tip, at, text, size_pt)), (*self.lines, (tip, at)))


def ground(shapes: Iterable[Shape], scale: Fraction, keep_clear: Sequence[Box] = ()) -> Ground:
    """What these shapes take of the sheet; `keep_clear` are places for words that are not drawn yet."""
    words: list[Box] = list(keep_clear)
    lines: list[Stretch] = []
    for shape in shapes:
        if isinstance(shape, Line):
            lines.append((_spot(shape.start, scale), _spot(shape.end, scale)))
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
    if len(tips) > _MOST_TIPS:  # spread over all of them: among hundreds of holes the search would never end
        tips = [tips[k * (len(tips) - 1) // (_MOST_TIPS - 1)] for k in range(_MOST_TIPS)]
    note = _Note(type_mm(text, size_pt), size_pt * LINE_MM, others)
    for inside in (sheet, None):
        for farthest in (_NEAR_MM, _FARTHEST_MM):  # what is found near by is the shortest, and found sooner
            found = _shortest(tips, note, _about(tips, taken, farthest + note.wide), inside, farthest)
            if found is not None:
                return found
    return _anyhow(tips[-1])


def _about(tips: Sequence[Spot], taken: Ground, reach: float) -> Ground:
    xs, ys = [x for x, _ in tips], [y for _, y in tips]
    reach += 3.0
    return taken.near((min(xs) - reach, min(ys) - reach, max(xs) + reach, max(ys) + reach))


@dataclass(frozen=True, slots=True)
class _Note:
    wide: float
    high: float
    others: Sequence[Box]

    def box(self, tip: Spot, at: Spot) -> Box:
        return box_at_leader(tip, at, self.wide, self.high)


def _anyhow(tip: Spot) -> tuple[Spot, Spot]:
    return tip, (tip[0] + 6.0, tip[1] + 6.0)


def _shortest(
    tips: Sequence[Spot], note: _Note, taken: Ground, sheet: Box | None, farthest: float
) -> tuple[Spot, Spot] | None:
    best: tuple[float, Spot, Spot] | None = None
    wider = [_wider(other) for other in taken.words]
    for dx, dy in _ways():
        length = math.hypot(dx, dy)
        if length > farthest or (best is not None and length >= best[0]):
            break
        for tip in tips:
            at = (tip[0] + dx, tip[1] + dy)
            if sheet is not None and not within(note.box(tip, at), sheet):
                continue
            if not _clear(tip, at, note, taken, wider):
                continue
            cost = length + _CROSSING_MM * sum(_cross((tip, at), line) for line in taken.lines)
            cost += _ASTRAY_MM * sum(runs_through((tip, at), box) and not _holds(box, tip) for box in note.others)
            if best is None or cost < best[0]:
                best = (cost, tip, at)
    return best[1:] if best is not None and (best[0] <= farthest or farthest == _FARTHEST_MM) else None


def within(box: Box, sheet: Box) -> bool:
    """Whether a box lies whole on a sheet; both are low x, low y, high x, high y."""
    return box[0] >= sheet[0] and box[1] >= sheet[1] and box[2] <= sheet[2] and box[3] <= sheet[3]


@cache
def _ways() -> tuple[Spot, ...]:
    """Ends of leaders about their tip, near ones first."""
    count = int(_FARTHEST_MM / _STEP_MM)
    steps = [k * _STEP_MM for k in range(-count, count + 1)]
    ways = [(dx, dy) for dx in steps for dy in steps if 6.0 <= math.hypot(dx, dy) <= _FARTHEST_MM and abs(dy) >= 2.0]
    return tuple(sorted(ways, key=lambda way: (math.hypot(*way), -way[0], way[1])))


def _clear(tip: Spot, at: Spot, note: _Note, taken: Ground, wider: Sequence[Box]) -> bool:
    """Whether a note is clear of all there is; `wider` are its words with the room beside them."""
    a, b, c, d = note.box(tip, at)
    left, low, right, high = a - _AIR_MM, b - _AIR_MM, c + _AIR_MM, d + _AIR_MM
    for x0, y0, x1, y1 in taken.words:
        if left < x1 and x0 < right and low < y1 and y0 < high:
            return False
    box = (a - _LINE_AIR_MM, b - _LINE_AIR_MM, c + _LINE_AIR_MM, d + _LINE_AIR_MM)
    if any(runs_through(line, box) for line in taken.lines):
        return False
    return not any(runs_through((tip, at), other) for other in wider)


def _holds(box: Box, spot: Spot) -> bool:
    return box[0] <= spot[0] <= box[2] and box[1] <= spot[1] <= box[3]


def _wider(box: Box) -> Box:
    """Room beside words, so that no leader slips between two figures of a row."""
    return box[0] - _BESIDE_MM, box[1] - _BESIDE_MM, box[2] + _BESIDE_MM, box[3] + _BESIDE_MM


def _meet(one: Box, two: Box) -> bool:
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]


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


def _cross(one: Stretch, two: Stretch) -> bool:
    def turn(a: Spot, b: Spot, c: Spot) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, two
    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def _spot(point: Point, scale: Fraction) -> Spot:
    return point[0].float_mm(scale), point[1].float_mm(scale)
