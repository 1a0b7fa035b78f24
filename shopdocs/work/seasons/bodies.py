"""Pieces that hang together: all that are joined, and what still holds together when one of them is taken away.

One walk over all pieces in depth, and each question is a look-up: what hangs below a piece falls away with it, unless
something in there is joined to what lies above (Tarjan, Depth-first search and linear graph algorithms, 1972).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import accumulate

from msgspec import Struct, field

from shopdocs.model.build import Build


def together(count: int, pairs: Iterable[tuple[int, int]]) -> list[list[int]]:
    """The numbers below `count` in groups that pairs tie together, each in order, by their smallest numbers."""
    above = list(range(count))

    def top(number: int) -> int:
        while above[number] != number:
            above[number] = above[above[number]]
            number = above[number]
        return number

    for one, other in pairs:
        low, high = sorted((top(one), top(other)))
        above[high] = low
    found: dict[int, list[int]] = {}
    for number in range(count):
        found.setdefault(top(number), []).append(number)
    return list(found.values())


def joined(build: Build) -> list[list[str]]:
    """The marks of the pieces that joints hold together, glued or not, in reading order."""
    marks = [piece.mark for _, piece in build.pieces()]
    number = {mark: i for i, mark in enumerate(marks)}
    pairs = ((number[meeting.entering], number[meeting.receiving]) for _, meeting in build.meetings())
    return [[marks[i] for i in group] for group in together(len(marks), pairs)]


class _Knot(Struct):
    """One piece in the walk: when it was come to, from which first and which last piece, the last number given from it
    on, the earliest that anything in there is tied to; those that it led to, and when each was come to."""

    entered: int
    top: str
    up: str = ""
    last: int = 0
    back: int = 0
    down: list[str] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)


class Bodies:
    """Pieces by mark, each with those that it is tied to. Of each of `kinds` pieces are counted in a body."""

    def __init__(self, ways: Mapping[str, Collection[str]], kinds: Sequence[Collection[str]]) -> None:
        self._knots: dict[str, _Knot] = {}
        order: list[str] = []
        for top in ways:
            if top not in self._knots:
                self._walk(ways, top, order)
        self._before = [list(accumulate((mark in kind for mark in order), initial=0)) for kind in kinds]

    def _walk(self, ways: Mapping[str, Collection[str]], top: str, order: list[str]) -> None:
        todo: list[tuple[str, Iterator[str]]] = [self._enter(ways, top, top, "", order)]
        while todo:
            mark, ahead = todo[-1]
            knot = self._knots[mark]
            for near in ahead:
                if near not in self._knots:
                    knot.down.append(near)
                    knot.starts.append(len(order))
                    todo.append(self._enter(ways, near, top, mark, order))
                    break
                if near != knot.up:
                    knot.back = min(knot.back, self._knots[near].entered)
            else:
                todo.pop()
                knot.last = len(order) - 1
                if knot.up:
                    above = self._knots[knot.up]
                    above.back = min(above.back, knot.back)

    def _enter(
        self, ways: Mapping[str, Collection[str]], mark: str, top: str, up: str, order: list[str]
    ) -> tuple[str, Iterator[str]]:
        self._knots[mark] = _Knot(len(order), top, up, back=len(order))
        order.append(mark)
        return mark, iter(sorted(ways[mark]))

    def body(self, without: str, mark: str) -> str | None:
        """The body that a piece hangs in once another is taken away, by the piece that was come to first in it; None
        where the two did not hang together, or are one."""
        taken, knot = self._knots[without], self._knots[mark]
        if knot.top != taken.top or mark == without:
            return None
        if taken.entered < knot.entered <= taken.last:
            below = taken.down[bisect_right(taken.starts, knot.entered) - 1]
            if self._falls(taken, below):
                return below
        return taken.top

    def counted(self, without: str, body: str, kind: int) -> int:
        """How many pieces of a kind are in a body."""
        taken, before = self._knots[without], self._before[kind]

        def within(mark: str) -> int:
            knot = self._knots[mark]
            return before[knot.last + 1] - before[knot.entered]

        if body != taken.top:
            return within(body)
        fallen = sum(within(each) for each in taken.down if self._falls(taken, each))
        return within(taken.top) - (before[taken.entered + 1] - before[taken.entered]) - fallen

    def _falls(self, taken: _Knot, below: str) -> bool:
        """Whether what hangs below a piece hangs on nothing else."""
        return self._knots[below].back >= taken.entered
