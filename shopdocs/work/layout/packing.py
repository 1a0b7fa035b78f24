"""Putting pieces on boards: the inner loops of construction and search."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from msgspec import Struct

from shopdocs.work.layout import tree as trees
from shopdocs.work.layout.task import Task
from shopdocs.work.layout.tree import NOTHING, Node


class Board(Struct, eq=False):
    """A board in use; not changed once it is made, but for what was found out about it.

    ``shape`` is the number of its shape, ``spots`` are its openings, the largest of them ``most_w`` wide and
    ``most_h`` high; ``key`` is the multiset of types as one whole number (see Task), ``used`` the area of the pieces.
    ``known`` remembers for a code how tight the tightest opening is, and which.
    """

    shape: int
    tree: Node
    spots: list[trees.Opening]
    most_w: int
    most_h: int
    key: int
    price: int
    used: int
    known: dict[int, tuple[int, trees.Opening]]


openings_of = trees.openings_of
put = trees.put


def board_of(task: Task, shape: int, tree: Node, key: int, used: int) -> Board:
    """A board in use with its openings worked out."""
    kind = task.shapes[shape]
    spots = openings_of(tree, kind.areas, task.least_w, task.least_h)
    most_w = most_h = 0
    for w, h, _, _ in spots:
        if w > most_w:
            most_w = w
        if h > most_h:
            most_h = h
    return Board(shape, tree, spots, most_w, most_h, key, kind.price, used, {})


def empty_boards(task: Task) -> list[Board]:
    """One untouched board of each shape."""
    return [board_of(task, i, NOTHING, task.base[s.stock], 0) for i, s in enumerate(task.shapes)]


def add(task: Task, board: Board, kind: int) -> Board | None:
    """The board with one more of type ``kind`` in its tightest openings, or None."""
    shape, tree, spots, most_w, most_h = board.shape, board.tree, board.spots, board.most_w, board.most_h
    areas = task.shapes[shape].areas
    parts = task.members[kind]
    for number, part in enumerate(parts):
        least = 1 << 62
        found = None
        for leaf in part.ways:
            w, h, _, _, _ = leaf
            if w > most_w or h > most_h:
                continue
            for spot in spots:
                a, b, _, _ = spot
                a -= w
                b -= h
                if a >= 0 and b >= 0:
                    c = a if a < b else b
                    if c < least:
                        least = c
                        found = spot
                        chosen = leaf
        if found is None:
            return None
        _, _, path, mode = found
        tree = put(tree, path, mode, chosen, len(areas))
        if number + 1 < len(parts):
            spots = openings_of(tree, areas, task.least_w, task.least_h)
    return board_of(task, shape, tree, board.key + task.unit[kind], board.used + task.size[kind])


def fill(task: Task, board: Board, order: Sequence[int], left: Sequence[int]) -> tuple[Board, list[int]]:
    """Fill one board in the given order of types, as many of each as ``left`` and room allow.

    Returns the board and the types put on it, in order. A type that does not fit never fits later, because
    openings only shrink; so one pass is enough.
    """
    taken: list[int] = []
    members = task.members
    for kind in order:
        many = left[kind]
        while many:
            parts = members[kind]
            if len(parts) == 1:
                most_w = board.most_w
                most_h = board.most_h
                for w, h, _, _, _ in parts[0].ways:
                    if w <= most_w and h <= most_h:
                        break
                else:
                    break
            new = add(task, board, kind)
            if new is None:
                break
            board = new
            taken.append(kind)
            many -= 1
            if not board.spots:
                return board, taken
    return board, taken


class Filled(NamedTuple):
    """A board with the types put on it, in order, and the empty board that it was."""

    board: Board
    taken: list[int]
    empty: Board

    def worth(self) -> tuple[float, int, int]:
        """What it costs for the area it uses, the least first; of equals the one that uses more."""
        return (self.board.price + 1e-9) / self.board.used, -self.board.used, self.board.shape


def construct(
    task: Task, order: Sequence[int], empties: Sequence[Board], survey: int = 1
) -> tuple[list[Board], list[int]]:
    """Board after board, each the one with the best price for its used area, repeated while pieces last.

    Every ``survey``-th time all shapes are tried, in between only the best three of them. Returns the boards and
    what is left of each type.
    """
    left = list(task.demand)
    boards: list[Board] = []
    stock_left = list(task.limits)
    shapes = task.shapes
    order = [t for t in order if left[t]]
    leaders: list[Board] = []
    turn = 0
    while order:
        rated: list[Filled] = []
        for empty in leaders if turn % survey and leaders else empties:
            if stock_left[shapes[empty.shape].stock] > 0:
                board, taken = fill(task, empty, order, left)
                if taken:
                    rated.append(Filled(board, taken, empty))
        turn += 1
        if not rated:
            if not leaders:
                break
            leaders = []
            continue
        rated.sort(key=Filled.worth)
        if survey > 1 and (not leaders or turn % survey == 1):
            leaders = [r.empty for r in rated[:3]]
        best, best_taken, _ = rated[0]
        stock = shapes[best.shape].stock
        uses: dict[int, int] = {}
        for t in best_taken:
            uses[t] = uses.get(t, 0) + 1
        times = min([stock_left[stock]] + [left[t] // n for t, n in uses.items()])
        boards.extend([best] * times)
        stock_left[stock] -= times
        for t, n in uses.items():
            left[t] -= n * times
        order = [t for t in order if left[t]]
    return boards, left


def orders(task: Task) -> list[list[int]]:
    """Sensible orders of types: by area, longest side, length, width; groups always first."""

    kinds = [t for t in range(len(task.demand)) if task.demand[t]]
    first = {t: task.members[t][0].as_it_lies for t in kinds}
    groups = {t: len(task.members[t]) == 1 for t in kinds}
    big_w = max((a.w for s in task.shapes for a in s.areas), default=1)
    big_h = max((a.h for s in task.shapes for a in s.areas), default=1)
    keys: list[Callable[[int], tuple[int, ...]]] = [
        lambda t: (groups[t], -task.size[t], t),
        lambda t: (groups[t], -max(first[t].w * big_h, first[t].h * big_w), -task.size[t], t),
        lambda t: (groups[t], -first[t].w, -first[t].h, t),
        lambda t: (groups[t], -first[t].h, -first[t].w, t),
    ]
    return [sorted(kinds, key=key) for key in keys]


def price_of(boards: Sequence[Board]) -> int:
    """The price of all boards."""
    return sum(b.price for b in boards)


def types_in(task: Task, pieces: Iterable[int]) -> list[int]:
    """The types of pieces, given by their codes: one entry for each unit (a together-group counts once)."""
    counts: dict[int, int] = {}
    for code in pieces:
        t = task.type_of[code]
        counts[t] = counts.get(t, 0) + 1
    return [t for t, n in counts.items() for _ in range(n // len(task.members[t]))]


def kinds_on(task: Task, board: Board) -> list[int]:
    """The types on a board in reading order, a group where its last piece lies."""
    out = []
    seen: dict[int, int] = {}
    for code in trees.codes(board.tree):
        t = task.type_of[code]
        many = len(task.members[t])
        if many == 1:
            out.append(t)
        else:
            seen[t] = seen.get(t, 0) + 1
            if seen[t] == many:
                out.append(t)
    return out
