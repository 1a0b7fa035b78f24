"""Where the marks of a picture stand: on their piece where they have room, else on free paper beside it.

A mark on free paper has a leader, a straight line that runs over its own piece and over free paper and over nothing
else. What finds no such place is left out and named to the caller: the picture is then drawn larger or farther apart.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from copy import copy
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

from msgspec import Struct

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
_AT_FIRST, _AT_ONCE = 8, 48  # leaders that are looked at in the first pass, where most find one, and in the next ones


class _Care(NamedTuple):
    """How many places on a piece leaders are tried from, how many leaders are tried, the shortest first, and how many
    squares of paper a mark may stand from its piece, across and up."""

    tips: int
    leaders: int
    far: int


_Pair = tuple[Any, Any]
_QUICK, _THOROUGH = _Care(36, 40, 26), _Care(300, 300, 60)


class Wanted(Struct, frozen=True):
    """A mark of so many millimetres of paper, for any of these solids, the first that has room."""

    words: str
    wide: float
    tall: float
    solids: tuple[int, ...]


class Stands(Struct, frozen=True):
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
    whole: bool = False,
) -> tuple[list[Stands], list[str]]:
    """A place for every mark, and the words of those that have none. `inked` are lines on free paper that no mark may
    cover; what lies `over` pieces and paper alike keeps marks and leaders off both. `quick` only tells whether all have
    one with little search, and gives up on the first that has not. `whole`: the places are of use only if all have one,
    and the search ends where that cannot be."""
    every = list(wanted)
    first: list[str] = []
    room, on_pieces = _Room(shown, inked, over), {}
    for want in every:
        if (found := room.on_piece(want)) is not None:
            on_pieces[want.words] = found
    best = on_pieces
    beside = [want for want in every if want.words not in on_pieces]
    hopeless: set[str] = set()  # they find no place before any other has one beside its piece
    for turn in range(1 if quick else PASSES):
        some = [want for want in beside if want.words not in hopeless]
        placed = on_pieces | _one_pass(room.again(), some, first, quick)
        if len(placed) > len(best):
            best = placed
        left = [want.words for want in every if want.words not in placed]
        if not left or len(left) > HOPELESS or set(left) <= set(first):
            break
        if not turn and not quick:
            if len(placed) == len(on_pieces):  # each of them was tried with the room as it was at first
                break
            hopeless = {w.words for w in beside if w.words in left and room.again().beside(w, quick) is None}
        if set(left) <= hopeless or (whole and hopeless):
            break
        first = [*left, *first]
    return [best[w.words] for w in every if w.words in best], [w.words for w in every if w.words not in best]


def _one_pass(room: _Room, beside: Sequence[Wanted], first: Sequence[str], quick: bool) -> dict[str, Stands]:
    """The marks beside their pieces: the `first` ones, then those with the least to point at."""
    placed: dict[str, Stands] = {}
    for want in sorted(
        beside,
        key=lambda want: (want.words not in first, max((room.sizes.get(solid, 0) for solid in want.solids), default=0)),
    ):
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
        self.solid = shown.solids
        self.taken = shown.seen > 0
        self.words: Flags = np.zeros(shown.seen.shape, dtype=bool)
        for start, end in inked:
            for row, column in self._squares(start, end):
                self.taken[row, column] = True
        for start, end in over:
            for row, column in self._squares(start, end):
                self.taken[row, column] = True
                self.words[row, column] = True
        self.sizes, self.boxes = shown.sizes, shown.boxes

    def again(self) -> _Room:
        """The same room, to be filled apart from this one."""
        room = copy(self)
        room.taken, room.words = self.taken.copy(), self.words.copy()
        return room

    def on_piece(self, want: Wanted) -> Stands | None:
        """The middle of the words well inside one seen face of the piece."""
        np = self.np
        high, wide = self._squares_of(want, 0.6)
        high += math.ceil(want.tall * UNDER / FINE_MM)
        for solid in want.solids:
            best: tuple[float, Spot] | None = None
            box = self.boxes.get(solid)
            if box is None or box[0].stop - box[0].start < high or box[1].stop - box[1].start < wide:
                continue
            for axis in (2, 1, 0):
                own = (self.shown.seen[box] == number_of(solid, axis)) & ~self.words[box]
                if np.count_nonzero(own) < high * wide:
                    continue
                at_rows, at_columns = np.nonzero(_full(own, high, wide))
                if not len(at_rows):
                    continue
                top, left = box[0].start, box[1].start
                rows, columns = np.nonzero(own)
                rows, columns = rows + top, columns + left
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
        if box is None or solid not in self.shown.dotted:
            return None
        own = (self.solid[box] == solid + 1) & ~self.words[box]
        dots = np.flatnonzero(own[1:, 1:] & own[:-1, 1:] & own[1:, :-1] & own[:-1, :-1])  # a dot has room
        if not len(dots):
            return None
        if len(dots) > care.tips:
            dots = dots[np.linspace(0, len(dots) - 1, care.tips).astype(int)]
        rows, columns = np.divmod(dots, own.shape[1] - 1)
        tips = np.stack([rows + box[0].start + 0.5, columns + box[1].start + 0.5], axis=1)
        high, wide = self._squares_of(want, CLEAR_MM)
        ways, (in_row, in_column) = self._places(high, wide, box, care.far)
        if not len(in_row):
            return None
        # from each tip to the nearest side of the words at each place; places stand in rows and columns
        reach = ((want.tall / 2 + 1) / FINE_MM, (want.wide / 2 + 1) / FINE_MM)
        up, aside = (np.maximum(np.abs(ways[k] - tips[:, k, None]) - reach[k], 0) for k in (0, 1))
        far = (up * up).take(in_row, axis=1)  # squared, for there are many
        far += (aside * aside).take(in_column, axis=1)
        nearest = _least(far, 3)
        of_tip, of_end = np.repeat(np.arange(len(tips)), nearest.shape[1]), nearest.ravel()
        long = np.hypot(up[of_tip, in_row[of_end]], aside[of_tip, in_column[of_end]])
        order = np.lexsort((of_end, of_tip, long))[: care.leaders]
        ends = np.stack((ways[0][in_row[of_end[order]]], ways[1][in_column[of_end[order]]]), axis=1)
        return self._first_clear(self._spots(tips[of_tip[order]]), self._spots(ends), want, solid)

    def _spots(self, places: Any) -> Any:
        """The middles of squares, row and column (n, 2), as spots of the paper (n, 2)."""
        return self.np.array(self.shown.low) + (places[:, ::-1] + 0.5) * FINE_MM

    def _first_clear(self, tips: Any, spots: Any, want: Wanted, solid: int) -> tuple[Spot, Spot, Spot] | None:
        """The first of the leaders, from these tips to words at these spots, that is long enough and meets nothing:
        its tip, its end and the spot."""
        np = self.np
        ends, usable = _ends(tips, spots, want)
        usable &= np.hypot(*np.moveaxis(ends - tips[:, None], 2, 0)) >= SHORTEST_MM
        which, side = np.nonzero(usable)
        first, beyond = 0, _AT_FIRST
        while first < len(which):
            some = slice(first, beyond)
            tip, end = tips[which[some]], ends[which[some], side[some]]
            clear = self._clear(tip, end, solid + 1)
            if len(clear):
                k = int(clear[0])
                at = spots[which[first + k]]
                return _spot(tip[k]), _spot(end[k]), _spot(at)
            first, beyond = beyond, beyond + _AT_ONCE
        return None

    def _places(self, high: int, wide: int, box: tuple[slice, slice], far: int) -> tuple[_Pair, _Pair]:
        """Free windows about a piece, every few squares: the middles of the rows and columns that they stand in, and
        the numbers of the row and the column of each."""
        np = self.np
        top = max(0, box[0].start - high - far), max(0, box[1].start - wide - far)
        free = _full(~self.taken[top[0] : box[0].stop + high + far, top[1] : box[1].stop + wide + far], high, wide)
        few = free[::_STEP, ::_STEP]
        rows, columns = (
            np.arange(count) * _STEP + low + (long - 1) / 2
            for count, low, long in zip(few.shape, top, (high, wide), strict=True)
        )
        return (rows, columns), np.nonzero(few)

    def _clear(self, tips: Any, ends: Any, own: int) -> Any:
        """Which leaders run over their `own` piece, then over free paper, and meet neither words nor another piece.
        Their numbers, in order."""
        np = self.np
        steps = _stepped(np.abs(ends - tips).max(axis=1))
        low = self.shown.low
        rows, columns = ((tips[:, k, None] + (ends - tips)[:, k, None] * steps - low[k]) / FINE_MM for k in (1, 0))
        at = _square(self.solid, rows, columns)
        pieces = self.solid[at]
        left = np.nonzero(~(self.words[at] | ((pieces != 0) & (pieces != own))).any(axis=1))[0]
        # back over the piece, one would ask which of two places is meant
        free = pieces[left] == 0
        left = left[np.count_nonzero(free[:, 1:] != free[:, :-1], axis=1) <= 1]
        # squares are coarse: a leader keeps off the ones that it nearly touches too
        for by_row, by_column in ((_NEAR, 0), (-_NEAR, 0), (0, _NEAR), (0, -_NEAR)):
            if not len(left):
                return left
            beside = self.solid[_square(self.solid, rows[left] + by_row, columns[left] + by_column)]
            left = left[~((beside != 0) & (beside != own)).any(axis=1)]
        return left

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


def _stepped(long: Any) -> Any:
    """For leaders of these lengths (n), in a row for each, the steps from 0 to 1 that it is tried at; a shorter one
    stays at its end."""
    import numpy as np

    counts = np.maximum(2, (long / FINE_MM * 1.5).astype(int)).tolist()
    steps = np.ones((len(counts), max(counts)))
    for row, count in zip(steps, counts, strict=True):
        row[:count] = _steps(count)
    return steps


def _least(table: Any, count: int) -> Any:
    """The columns of the least values of each row, at most `count`, the least first and of equal ones the first, so
    that every machine finds the same; the table is used up."""
    import numpy as np

    rows = np.arange(len(table))
    found = np.empty((len(table), min(count, table.shape[1])), dtype=int)
    for k in range(found.shape[1]):
        found[:, k] = table.argmin(axis=1)
        table[rows, found[:, k]] = np.inf
    return found


def _square(grid: Any, rows: Any, columns: Any) -> tuple[Any, Any]:
    """The squares of a grid at these places."""
    import numpy as np

    high, wide = grid.shape
    return np.minimum(rows.astype(int), high - 1), np.minimum(columns.astype(int), wide - 1)


def _spot(pair: Any) -> Spot:
    return float(pair[0]), float(pair[1])


def _ends(tips: Any, spots: Any, want: Wanted) -> tuple[Any, Any]:
    """Where leaders end beside the words (n, 2, 2): first at their side, then above or below them; and which of the
    two is right (n, 2), the side where the leader comes flat."""
    import numpy as np

    toward = np.where(tips > spots, 1, -1)
    side, level = spots.copy(), spots.copy()
    side[:, 0] += (want.wide / 2 + 0.9) * toward[:, 0]
    level[:, 1] += (want.tall / 2 + 0.9) * toward[:, 1]
    by_side, by_level = np.abs(side - tips), np.abs(level - tips)
    flat = (by_side[:, 0] >= FLAT * by_side[:, 1]) & ((side - spots)[:, 0] * (tips - side)[:, 0] > 0)
    steep = (by_level[:, 0] < STEEP * by_level[:, 1]) & ((level - spots)[:, 1] * (tips - level)[:, 1] > 0)
    return np.stack([side, level], axis=1), np.stack([flat, steep], axis=1)


def _full(mask: Any, high: int, wide: int) -> Any:
    """At each square whether the window of this size that begins there lies in the mask."""
    found = mask
    for long in (high, wide):  # the other way round the second time
        covered = 1
        while covered < long and len(found):
            step = min(covered, long - covered)
            found = found[:-step] & found[step:]
            covered += step
        found = found.T
    return found
