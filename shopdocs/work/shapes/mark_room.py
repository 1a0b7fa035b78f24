"""Where the marks of a picture stand: on their piece where they have room, else on free paper beside it.

A mark on free paper has a leader, a straight line that runs over its own piece and over free paper and over nothing
else. What finds no such place is left out and named to the caller: the picture is then drawn larger or farther apart.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

from shopdocs.work.shapes.pixels import FINE_MM, Pixels, Spot, number_of

if TYPE_CHECKING:
    import numpy as np

    Flags = np.ndarray[Any, np.dtype[np.bool_]]

UNDER = 0.3  # of its height is kept white over and under a mark on a piece, for the white that is laid under words
PASSES = 3  # those left out come first in the next one
HOPELESS = 4  # with this many left out another pass is not worth it
CLEAR_MM = 1.0  # round a mark
SHORTEST_MM = 3.0  # of a leader
# A leader steeper than STEEP, across to up, comes to its mark from above or below, one flatter than FLAT from the side;
# between the two the words might be drawn on another side than the one that was kept free for them.
FLAT, STEEP = 0.36, 0.34
_NEAR = 0.4  # of a square: so close a leader does not pass
_STEP = 3  # squares between places for a mark


class _Care(NamedTuple):
    """How many places on a piece leaders are tried from, how many leaders are tried, the shortest first, and how many
    squares of paper a mark may stand from its piece, across and up."""

    tips: int
    leaders: int
    far: int


_QUICK, _THOROUGH = _Care(36, 40, 26), _Care(300, 300, 60)


@dataclass(frozen=True, slots=True)
class Wanted:
    """A mark of so many millimetres of paper, for any of these solids, the first that has room."""

    words: str
    wide: float
    tall: float
    solids: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Stands:
    """A mark with the middle of its words at `at`; with a leader from `tip` on the piece to `end` beside the words, or
    on the piece itself, where both are None."""

    words: str
    at: Spot
    tip: Spot | None = None
    end: Spot | None = None


def room_for_marks(
    shown: Pixels,
    wanted: Iterable[Wanted],
    inked: Sequence[tuple[Spot, Spot]] = (),
    quick: bool = False,
    over: Sequence[tuple[Spot, Spot]] = (),
) -> tuple[list[Stands], list[str]]:
    """A place for every mark, and the words of those that have none. `inked` are lines on free paper that no mark may
    cover; what lies `over` pieces and paper alike keeps marks and leaders off both. `quick` only tells whether all have
    one with little search, and gives up on the first that has not."""
    every = list(wanted)
    first: list[str] = []
    best: dict[str, Stands] = {}
    for _ in range(1 if quick else PASSES):
        placed = _one_pass(_Room(shown, inked, over), every, first, quick)
        if len(placed) > len(best):
            best = placed
        left = [want.words for want in every if want.words not in placed]
        if not left or len(left) > HOPELESS or set(left) <= set(first):
            break
        first = [*left, *first]
    return [best[w.words] for w in every if w.words in best], [w.words for w in every if w.words not in best]


def _one_pass(room: _Room, every: Sequence[Wanted], first: Sequence[str], quick: bool) -> dict[str, Stands]:
    """Marks on their pieces, then those beside them: the `first` ones, then those with the least to point at."""
    placed: dict[str, Stands] = {}
    beside = []
    for want in every:
        found = room.on_piece(want)
        if found is None:
            beside.append(want)
        else:
            placed[want.words] = found
    beside.sort(
        key=lambda want: (want.words not in first, max((room.sizes.get(solid, 0) for solid in want.solids), default=0))
    )
    for want in beside:
        found = room.beside(want, quick)
        if found is not None:
            placed[want.words] = found
        elif quick:
            break
    return placed


class _Room:
    def __init__(
        self, shown: Pixels, inked: Sequence[tuple[Spot, Spot]], over: Sequence[tuple[Spot, Spot]] = ()
    ) -> None:
        import numpy as np

        self.np = np
        self.shown = shown
        self.solid = (shown.seen + 2) // 3  # 0 for paper, else the number of the solid and one
        self.taken = shown.seen > 0
        self.words: Flags = np.zeros(shown.seen.shape, dtype=bool)
        for start, end in inked:
            for row, column in self._squares(start, end):
                self.taken[row, column] = True
        for start, end in over:
            for row, column in self._squares(start, end):
                self.taken[row, column] = True
                self.words[row, column] = True
        counts = np.bincount(self.solid.ravel())
        self.sizes = {number - 1: int(count) for number, count in enumerate(counts) if number and count}
        self.boxes = _boxes(self.solid)

    def on_piece(self, want: Wanted) -> Stands | None:
        """The middle of the words well inside one seen face of the piece."""
        np = self.np
        high, wide = self._squares_of(want, 0.6)
        high += math.ceil(want.tall * UNDER / FINE_MM)
        for solid in want.solids:
            best: tuple[float, Spot] | None = None
            for axis in (2, 1, 0):
                box = self.boxes.get(solid)
                if box is None:
                    continue
                own = (self.shown.seen[box] == number_of(solid, axis)) & ~self.words[box]
                rows, columns = np.nonzero(own)
                if len(rows) < high * wide:
                    continue
                top, left = box[0].start, box[1].start
                rows, columns = rows + top, columns + left
                at_rows, at_columns = np.nonzero(_full(own, high, wide))
                if not len(at_rows):
                    continue
                middle = (float(rows.mean()), float(columns.mean()))
                off = np.hypot(at_rows + top + high / 2 - middle[0], at_columns + left + wide / 2 - middle[1])
                k = int(off.argmin())
                spot = self.shown.spot(at_rows[k] + top + (high - 1) / 2, at_columns[k] + left + (wide - 1) / 2)
                if best is None or len(rows) > best[0]:
                    best = (len(rows), spot)
            if best is not None:
                self._take(best[1], want)
                return Stands(want.words, best[1])
        return None

    def beside(self, want: Wanted, quick: bool) -> Stands | None:
        """The nearest free paper that a leader reaches."""
        for solid in want.solids:
            found = self._beside(want, solid, _QUICK)
            if found is None and not quick:
                found = self._beside(want, solid, _THOROUGH)
            if found is not None:
                tip, end, at = found
                self._take(at, want)
                for row, column in self._squares(tip, end):
                    self.taken[row, column] = True
                    self.words[row, column] = True
                return Stands(want.words, at, tip, end)
        return None

    def _beside(self, want: Wanted, solid: int, care: _Care) -> tuple[Spot, Spot, Spot] | None:
        np = self.np
        box = self.boxes.get(solid)
        if box is None:
            return None
        own = (self.solid[box] == solid + 1) & ~self.words[box]
        rows, columns = np.nonzero(_full(own, 2, 2))  # a dot has room
        if not len(rows):
            return None
        picks = np.unique(np.linspace(0, len(rows) - 1, care.tips).astype(int))
        tips = np.stack([rows[picks] + box[0].start + 0.5, columns[picks] + box[1].start + 0.5], axis=1)
        high, wide = self._squares_of(want, CLEAR_MM)
        ends = self._places(high, wide, box, care.far) + np.array([(high - 1) / 2, (wide - 1) / 2])
        if not len(ends):
            return None
        # from each tip to the nearest side of the words at each place
        reach = ((want.tall / 2 + 1) / FINE_MM, (want.wide / 2 + 1) / FINE_MM)
        up, aside = (np.maximum(np.abs(ends[:, k] - tips[:, k, None]) - reach[k], 0) for k in (0, 1))
        far = np.hypot(up, aside)
        nearest = np.argpartition(far, min(2, far.shape[1] - 1), axis=1)[:, :3]
        ways = sorted((float(far[k, m]), k, int(m)) for k in range(len(tips)) for m in nearest[k])
        others = (self.solid != 0) & (self.solid != solid + 1)
        barred = others | self.words
        for _, k, m in ways[: care.leaders]:
            tip, at = self.shown.spot(*tips[k]), self.shown.spot(*ends[m])
            for end in _ends(tip, at, want):
                if math.dist(tip, end) >= SHORTEST_MM and self._clear(tip, end, others, barred):
                    return tip, end, at
        return None

    def _places(self, high: int, wide: int, box: tuple[slice, slice], far: int) -> Any:
        """The low corners of free windows about a piece, every few squares."""
        np = self.np
        top = max(0, box[0].start - high - far), max(0, box[1].start - wide - far)
        free = _full(~self.taken[top[0] : box[0].stop + high + far, top[1] : box[1].stop + wide + far], high, wide)
        rows, columns = np.nonzero(free[::_STEP, ::_STEP])
        return np.stack([rows * _STEP + top[0], columns * _STEP + top[1]], axis=1)

    def _clear(self, tip: Spot, end: Spot, others: Flags, barred: Flags) -> bool:
        """Whether a leader runs over its own piece, then over free paper, and meets nothing `barred`: words, or the
        `others` of the pieces."""
        np = self.np
        long = max(abs(tip[0] - end[0]), abs(tip[1] - end[1]))
        steps = _steps(max(2, int(long / FINE_MM * 1.5)))
        low = self.shown.low
        rows, columns = ((tip[k] + (end[k] - tip[k]) * steps - low[k]) / FINE_MM for k in (1, 0))
        row, column = rows.astype(int), columns.astype(int)
        if barred[row, column].any():
            return False
        # squares are coarse: a leader keeps off the ones that it nearly touches too
        for by_row, by_column in ((_NEAR, 0), (-_NEAR, 0), (0, _NEAR), (0, -_NEAR)):
            if others[(rows + by_row).astype(int), (columns + by_column).astype(int)].any():
                return False
        # back over the piece, one would ask which of two places is meant
        return int(np.count_nonzero(np.diff(self.solid[row, column] == 0))) <= 1

    def _squares(self, start: Spot, end: Spot) -> list[tuple[int, int]]:
        long = max(abs(start[0] - end[0]), abs(start[1] - end[1]))
        steps = max(1, int(long / FINE_MM * 1.5))
        rows, columns = self.shown.seen.shape
        found = []
        for k in range(steps + 1):
            row, column = self.shown.place(
                (start[0] + (end[0] - start[0]) * k / steps, start[1] + (end[1] - start[1]) * k / steps)
            )
            if 0 <= row < rows and 0 <= column < columns:
                found.append((row, column))
        return found

    def _squares_of(self, want: Wanted, clear: float) -> tuple[int, int]:
        return math.ceil((want.tall + 2 * clear) / FINE_MM), math.ceil((want.wide + 2 * clear) / FINE_MM)

    def _take(self, at: Spot, want: Wanted) -> None:
        low = self.shown.place((at[0] - want.wide / 2 - 0.4, at[1] - want.tall / 2 - 0.4))
        high = self.shown.place((at[0] + want.wide / 2 + 0.4, at[1] + want.tall / 2 + 0.4))
        part = (slice(max(0, low[0]), high[0] + 1), slice(max(0, low[1]), high[1] + 1))
        self.taken[part] = True
        self.words[part] = True


@cache
def _steps(count: int) -> Any:
    """So many steps from 0 to 1."""
    import numpy as np

    return np.linspace(0, 1, count)


def _ends(tip: Spot, at: Spot, want: Wanted) -> list[Spot]:
    """Where a leader ends beside the words: at their side where it comes flat, else above or below them."""
    side = (at[0] + (want.wide / 2 + 0.9) * (1 if tip[0] > at[0] else -1), at[1])
    level = (at[0], at[1] + (want.tall / 2 + 0.9) * (1 if tip[1] > at[1] else -1))
    found = []
    if abs(side[0] - tip[0]) >= FLAT * abs(side[1] - tip[1]) and (side[0] - at[0]) * (tip[0] - side[0]) > 0:
        found.append(side)
    if abs(level[0] - tip[0]) < STEEP * abs(level[1] - tip[1]) and (level[1] - at[1]) * (tip[1] - level[1]) > 0:
        found.append(level)
    return found


def _boxes(solid: Any) -> dict[int, tuple[slice, slice]]:
    """The rows and columns that each solid is seen in."""
    import numpy as np

    rows, columns = np.nonzero(solid)
    numbers = solid[rows, columns]
    order = np.argsort(numbers, kind="stable")
    found = {}
    for part in np.split(order, np.nonzero(np.diff(numbers[order]))[0] + 1):
        if len(part):
            r, c = rows[part], columns[part]
            box = (slice(int(r.min()), int(r.max()) + 1), slice(int(c.min()), int(c.max()) + 1))
            found[int(numbers[part[0]]) - 1] = box
    return found


def _full(mask: Any, high: int, wide: int) -> Any:
    """At each square whether the window of this size that begins there lies in the mask."""
    import numpy as np

    rows, columns = mask.shape
    if rows < high or columns < wide:
        return np.zeros((0, 0), dtype=bool)
    total = np.zeros((rows + 1, columns + 1), dtype=np.int32)
    np.cumsum(np.cumsum(mask, axis=0, dtype=np.int32), axis=1, out=total[1:, 1:])
    inside = total[high:, wide:] - total[:-high, wide:] - total[high:, :-wide] + total[:-high, :-wide]
    return inside == high * wide
