"""The nearest clear place for words on a leader, hundreds of places and lines at once, in millimetres of paper."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from msgspec import Struct

if TYPE_CHECKING:
    import numpy as np

    Row = np.ndarray[Any, Any]

Spot = tuple[float, float]
Stretch = tuple[Spot, Spot]
Edges = tuple[float, float, float, float]  # left, bottom, right, top

_STEP_MM = 2.0
_SHORTEST_MM = 6.0
_FLAT_MM = 2.0  # a leader rises or falls by so much at least
_AT_ONCE = 256  # ends of leaders that are tried in one pass


class Manners(Struct, frozen=True):
    """What a note keeps to, in millimetres. `air`: from its words to others; `line_air`: to lines; `beside`: between a
    leader and words. A leader that runs less than `steep` of its rise has its words over or under its end. It is longer
    by `crossing` before it rather crosses one line fewer, and by `astray` before it runs over what it does not name."""

    air: float
    line_air: float
    beside: float
    steep: float
    crossing: float
    astray: float


class Taken:
    """Words (boxes) and lines that notes keep clear of."""

    def __init__(self, words: Sequence[Edges], lines: Sequence[Stretch]) -> None:
        import numpy as np

        self.words = np.array(words, dtype=float).reshape(-1, 4)
        self.lines = np.array(lines, dtype=float).reshape(-1, 4)

    def near(self, box: Edges) -> Taken:
        """What of it meets the box."""
        left, bottom, right, top = box
        a, b, c, d = self.words.T
        x0, y0, x1, y1 = self.lines.T
        found = Taken.__new__(Taken)
        found.words = self.words[(a < right) & (left < c) & (b < top) & (bottom < d)]
        found.lines = self.lines[_through(x0, y0, x1, y1, left, bottom, right, top)]
        return found

    def nearest(
        self,
        tips: Sequence[Spot],
        size: Spot,
        manners: Manners,
        others: Sequence[Edges],
        sheet: Edges | None,
        farthest: float,
    ) -> tuple[float, Spot, Spot] | None:
        """The cheapest leader for words of this size: what it costs, which tip, and its end. None where no place within
        `farthest` is clear and, with a `sheet`, on it."""
        import numpy as np

        best: tuple[float, Spot, Spot] | None = None
        ways, lengths = _ways(farthest)
        at_once = max(1, _AT_ONCE // len(tips))
        feet, over = np.array(tips, dtype=float), np.array(others, dtype=float).reshape(-1, 4)
        for first in range(0, len(lengths), at_once):
            if best is not None and lengths[first] >= best[0]:
                break
            some = slice(first, first + at_once)
            tried = _Tried(feet, ways[some], lengths[some], size, manners.steep)
            if sheet is not None:
                tried.keep(tried.on(sheet))
            costs = self._costs(tried, manners, over)
            if len(costs):
                k = int(costs.argmin())  # the first of the cheapest
                if best is None or costs[k] < best[0]:
                    tip, at = tried.tips[k], tried.ends[k]
                    best = (float(costs[k]), (float(tip[0]), float(tip[1])), (float(at[0]), float(at[1])))
        return best

    def _costs(self, tried: _Tried, manners: Manners, over: Row) -> Row:
        """Keeps those that are clear, and says what each costs."""
        left, bottom, right, top = _wider(tried.boxes, manners.air)[:, :, None]
        a, b, c, d = self.words.T
        tried.keep(~((left < c) & (a < right) & (bottom < d) & (b < top)).any(axis=1))
        box = _wider(tried.boxes, manners.line_air)[:, :, None]
        tried.keep(~_through(*self.lines.T, *box).any(axis=1))
        x0, y0, x1, y1 = tried.leaders[:, :, None]
        tried.keep(~_through(x0, y0, x1, y1, *_wider(self.words.T, manners.beside)).any(axis=1))
        x0, y0, x1, y1 = tried.leaders[:, :, None]
        costs = tried.lengths + manners.crossing * _cross(x0, y0, x1, y1, *self.lines.T).sum(axis=1)
        a, b, c, d = over.T
        holds = (a <= x0) & (x0 <= c) & (b <= y0) & (y0 <= d)
        astray: Row = costs + manners.astray * (_through(x0, y0, x1, y1, a, b, c, d) & ~holds).sum(axis=1)
        return astray


class _Tried:
    """Leaders that are tried: for every way out all tips in turn."""

    def __init__(self, tips: Row, ways: Row, lengths: Row, size: Spot, steep: float) -> None:
        import numpy as np

        self.tips = np.tile(tips, (len(ways), 1))
        self.ends = self.tips + np.repeat(ways, len(tips), axis=0)
        self.lengths = np.repeat(lengths, len(tips))
        self.leaders = np.concatenate((self.tips.T, self.ends.T))
        self.boxes = _boxes(self.tips, self.ends, size, steep)

    def keep(self, which: Any) -> None:
        """Only those."""
        self.tips, self.ends, self.lengths = self.tips[which], self.ends[which], self.lengths[which]
        self.leaders, self.boxes = self.leaders[:, which], self.boxes[:, which]

    def on(self, sheet: Edges) -> Row:
        """Which have their words whole on the sheet."""
        left, bottom, right, top = self.boxes
        inside: Row = (left >= sheet[0]) & (bottom >= sheet[1]) & (right <= sheet[2]) & (top <= sheet[3])
        return inside


def _boxes(tips: Row, ends: Row, size: Spot, steep: float) -> Row:
    """The words at the ends of leaders: beside them, or over or under the end of a steep one."""
    import numpy as np

    wide, high = size
    x, y = ends.T
    run, rise = x - tips[:, 0], y - tips[:, 1]
    upright = np.abs(run) < steep * np.abs(rise)
    left = np.where(upright, x - wide / 2, np.where(run >= 0, x + 0.7, x - 0.7 - wide))
    low = np.where(upright, np.where(rise >= 0, y + 0.4, y - 0.8 - high), y - high / 2)
    right = np.where(upright, x + wide / 2, left + wide)
    top = np.where(upright, low + high, y + high / 2)
    return np.stack((left, low, right, top))


@lru_cache(maxsize=4)
def _ways(farthest: float) -> tuple[Row, Row]:
    """Ends of leaders about their tip within `farthest`, near ones first, and how far off they are."""
    import numpy as np

    count = int(farthest / _STEP_MM)
    steps = [k * _STEP_MM for k in range(-count, count + 1)]
    spots = [(dx, dy) for dx in steps for dy in steps if abs(dy) >= _FLAT_MM]
    ways = [way for way in spots if _SHORTEST_MM <= math.hypot(*way) <= farthest]
    ways.sort(key=lambda way: (math.hypot(*way), -way[0], way[1]))
    return np.array(ways), np.array([math.hypot(*way) for way in ways])


def _wider(boxes: Row, by: float) -> Row:
    import numpy as np

    wider: Row = boxes + np.array(((-by,), (-by,), (by,), (by,)))
    return wider


def _through(x0: Row, y0: Row, x1: Row, y1: Row, left: Any, bottom: Any, right: Any, top: Any) -> Row:
    """Whether stretches meet boxes; by clipping them (Liang and Barsky)."""
    import numpy as np

    aside = ((x0 < left) & (x1 < left)) | ((x0 > right) & (x1 > right))
    aside |= ((y0 < bottom) & (y1 < bottom)) | ((y0 > top) & (y1 > top))
    meets: Row = ~aside
    where = np.nonzero(meets)
    if not len(where[0]):
        return meets
    x0, y0, x1, y1, left, bottom, right, top = (
        _picked(each, where, meets.shape) for each in (x0, y0, x1, y1, left, bottom, right, top)
    )
    start, end = np.zeros(len(x0)), np.ones(len(x0))
    for at, step, low, high in ((x0, x1 - x0, left, right), (y0, y1 - y0, bottom, top)):
        runs = step != 0.0
        by = np.where(runs, step, 1.0)
        one, two = (low - at) / by, (high - at) / by
        start = np.where(runs, np.maximum(start, np.minimum(one, two)), start)
        end = np.where(runs, np.minimum(end, np.maximum(one, two)), end)
    meets[where] = start <= end
    return meets


def _picked(values: Any, where: tuple[Row, ...], shape: tuple[int, ...]) -> Any:
    """What stands at these places once the values are stretched to the shape; a single one stays as it is."""
    if not getattr(values, "ndim", 0):
        return values
    if values.shape == shape:
        return values[where]
    return values[where[-1]] if values.ndim == 1 else values[where[0], 0]


def _cross(x0: Row, y0: Row, x1: Row, y1: Row, x2: Row, y2: Row, x3: Row, y3: Row) -> Row:
    """Whether stretches cross others, ends apart."""
    step_x, step_y, run_x, run_y = x1 - x0, y1 - y0, x3 - x2, y3 - y2
    one = (step_x * (y2 - y0) - step_y * (x2 - x0)) * (step_x * (y3 - y0) - step_y * (x3 - x0)) < 0
    two = (run_x * (y0 - y2) - run_y * (x0 - x2)) * (run_x * (y1 - y2) - run_y * (x1 - x2)) < 0
    both: Row = one & two
    return both
