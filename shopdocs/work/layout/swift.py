"""Long searches: the rounds of ``Search.run`` in machine code.

Plans go over to rows of whole numbers and come back as trees; what the rounds do stands in ``rounds``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import accumulate
from random import Random
from typing import Any

import numpy as np

from shopdocs.work.layout import flat, rounds
from shopdocs.work.layout.packing import board_of
from shopdocs.work.layout.pool import SIGN, key_of
from shopdocs.work.layout.search import Search
from shopdocs.work.layout.task import Task
from shopdocs.work.layout.tree import EMPTY, LEAF, Node

LANES = 2
TURN = 1000  # rounds from one look at the clock to the next
MARKS = 1 << 18  # of boards met, twice as many as are noted
NODES_MET = 1 << 19  # from one look at the clock to the next
MET_A_RUN = 4000  # boards


class Swift:
    """Runs a search's rounds in machine code, on its plan and to its goal; all else is left to ``Search``.

    Each run is made in LANES that begin with the same plan and draw other numbers, side by side where there are
    cores for them. They wait for each other every TURN rounds, so that what comes out does not hang on the cores.
    """

    def __init__(self, search: Search) -> None:
        self.search = search
        fact = facts_of(search.task, search.rng)
        self.lanes = [Lane(search, fact) for _ in range(LANES)]
        self.threads = ThreadPoolExecutor(LANES - 1)
        for lane in self.lanes:
            lane.load()
            lane.go(0.0, 0, 0, 1)
        self.fetch([rounds.GOING] * LANES)

    def run(self, count: int, heat: float, stop: Callable[[], bool], most: int, start: int) -> int:
        """Go on with ``Search.run`` from round ``start``; the rounds of all lanes count, and are at most ``most``."""
        search, lanes = self.search, self.lanes
        for lane in lanes:
            lane.load()
            lane.number[flat.QUOTA] = MET_A_RUN // search.manner.runs // LANES
        number = start
        last = min(count, start - (start - most) // LANES)
        while number < last and not search.done and not stop():
            end = min(last, number + TURN)
            others = [self.threads.submit(lane.go, heat, number, end, count) for lane in lanes[1:]]
            ways = [lanes[0].go(heat, number, end, count), *[other.result() for other in others]]
            number = end
            for lane in lanes:
                lane.take_met()
            if any(how != rounds.GOING for how in ways):
                self.fetch(ways)
                left = [0] * len(search.task.demand)
                for t in search.loose:
                    left[t] += 1
                search.reset(search.boards, left)
                for lane in lanes:
                    lane.load()
        self.fetch([rounds.GOING] * LANES)
        return min(most, start + LANES * (number - start))

    def fetch(self, ways: Sequence[int]) -> None:
        """Read the plan of the lane back that has come furthest: the cheapest complete one, else the least left loose.

        A longer search lets a second lane reach the goal as well, which must not make it dearer than a shorter one.
        """
        rank = [
            (False, int(lane.number[flat.PRICE]), 0.0) if how == rounds.COMPLETE else (True, 0, float(lane.real[0]))
            for how, lane in zip(ways, self.lanes, strict=True)
        ]
        self.lanes[rank.index(min(rank))].fetch()


class Lane:
    """The memory of one run of rounds, and the way there and back."""

    def __init__(self, search: Search, fact: Any) -> None:
        self.search = search
        self.fact = fact
        task = self.task = search.task
        self.leads = self.fact[flat.LEADS].tolist()
        pieces = sum(n * len(m) for n, m in zip(task.demand, task.members, strict=True))
        least = min(leaf[0] * leaf[1] for kind in task.members for part in kind for leaf in part)
        nodes = 2 * max(min(pieces, s.size // least) + len(s.areas) for s in task.shapes) + 4
        # the plan in hand and a candidate have a piece or more on each board; a group may be tried on one more each
        groups = sum(n for n, kind in zip(task.demand, task.members, strict=True) if len(kind) > 1)
        slots = 2 * search.pieces + groups + 8
        self.boards = (
            empty(slots, nodes, 4),
            empty(slots, 2 * nodes, 4),
            empty(slots, len(task.type_of), 3),
            empty(slots, flat.COLUMNS),
        )
        self.number = empty(flat.COUNTERS)
        self.lists = empty(flat.LISTS, max(slots + 1, nodes, len(task.demand), len(task.limits)))
        self.weight = np.zeros(len(task.demand))
        self.real = np.zeros(search.pieces + 2)
        self.met = np.zeros(NODES_MET, dtype=SIGN)
        self.hand = (
            self.number,
            self.lists,
            self.real,
            empty(nodes, 3),
            np.array([search.rng.getrandbits(64) | 1], dtype=np.uint64),
            self.met,
            empty(MARKS),
        )
        self.number[flat.LEAST_W] = task.least_w
        self.number[flat.LEAST_H] = task.least_h
        self.number[flat.SHAPES] = len(task.shapes)
        self.number[flat.STOCKS] = len(task.limits)
        self.number[flat.CHEAPEST] = min(s.price for s in task.shapes)

    def go(self, heat: float, start: int, end: int, count: int) -> int:
        """Rounds ``start`` to ``end`` of ``count``, see ``rounds.run``."""
        search = self.search
        manner = search.manner
        warmth = heat * search.scale
        way = (manner.few, manner.many, manner.close, manner.empty, warmth, float(search.pieces))
        how: int = rounds.run(
            self.fact, self.weight, self.boards, self.hand, way, start, end, count, search.goal, search.missing
        )
        return how

    def load(self) -> None:
        """Write the plan in hand down for the rounds."""
        search, fact, number, lists = self.search, self.fact, self.number, self.lists
        node, spot, _, info = self.boards
        for s, board in enumerate(search.boards):
            nodes = rows_of(board[1])
            node[s, : len(nodes)] = np.array(nodes)
            info[s, flat.NODES] = len(nodes)
            info[s, flat.SHAPE] = board[0]
            info[s, flat.USED] = board[7]
            info[s, flat.MARK_OF] = fact[flat.SHAPE_MARK, board[0]] + fact[flat.MARK, search.kinds(board)].sum()
            flat.find_spots(fact, node[s], spot[s], info[s], number, self.hand[3])
        n = len(search.boards)
        free = len(node) - n
        lists[flat.BOARDS, :n] = np.arange(n)
        lists[flat.FREE, :free] = np.arange(len(node) - 1, n - 1, -1)
        lists[flat.LOOSE, : len(search.loose)] = search.loose
        lists[flat.STOCK, : len(search.used)] = search.used
        number[flat.BOARDS_NOW] = n
        number[flat.LOOSE_NOW] = len(search.loose)
        number[flat.PRICE] = search.price
        number[flat.FREE_NOW] = free
        self.real[0] = search.open_area
        self.weight[:] = search.weight

    def fetch(self) -> None:
        """Read the plan in hand back."""
        search, number, lists = self.search, self.number, self.lists
        node, _, _, info = self.boards
        boards = []
        for s in lists[flat.BOARDS, : number[flat.BOARDS_NOW]].tolist():
            shape = int(info[s, flat.SHAPE])
            flat.write_signs(node, info, s, self.met, 0)
            signs = self.met[: info[s, flat.NODES]].tolist()
            key = self.key_of(shape, signs)
            boards.append(board_of(self.task, shape, search.pool.tree_of(signs), key, int(info[s, flat.USED])))
        search.boards = boards
        search.loose = lists[flat.LOOSE, : number[flat.LOOSE_NOW]].tolist()
        search.begin(int(number[flat.PRICE]))

    def key_of(self, shape: int, signs: Sequence[int]) -> int:
        """The key of a board written as signs, see ``Pool``."""
        type_of, leads = self.task.type_of, self.leads
        return key_of(self.task, shape, [type_of[x] for x in signs if x >= 0 and leads[x]])

    def take_met(self) -> None:
        """Put the boards met into the pool."""
        pool = self.search.pool
        end = int(self.number[flat.MET_NODES])
        met = self.met[:end].tolist()
        at = 0
        while at < end and not pool.full:
            shape, n = met[at], met[at + 1]
            at += rounds.ENTRY
            pool.add(self.key_of(shape, met[at : at + n]), shape, self.met[at : at + n].tobytes())
            at += n
        self.number[flat.MET_NODES] = 0


def facts_of(task: Task, rng: Random) -> Any:
    """The task as rows of whole numbers, with a random mark for each type and stock: their sum knows a board again.

    Raises OverflowError for numbers of more than 64 bits.
    """
    members = [part for kind in task.members for part in kind]
    leaves = [leaf for part in members for leaf in part]
    areas = [a for s in task.shapes for a in s.areas]
    leads = [0] * len(task.type_of)
    for kind in task.members:
        for leaf in kind[0]:
            leads[leaf[3]] = 1
    stock_marks = [rng.getrandbits(50) for _ in task.limits]
    rows: dict[int, Sequence[int]] = {
        flat.WAY_W: [leaf[0] for leaf in leaves],
        flat.WAY_H: [leaf[1] for leaf in leaves],
        flat.WAY_CODE: [leaf[3] for leaf in leaves],
        flat.FIRST_MEMBER: starts([len(kind) for kind in task.members]),
        flat.FIRST_WAY: starts([len(part) for part in members]),
        flat.TYPE_OF: task.type_of,
        flat.LEADS: leads,
        flat.SIZE: task.size,
        flat.MARK: [rng.getrandbits(50) for _ in task.demand],
        flat.FIRST_AREA: starts([len(s.areas) for s in task.shapes]),
        flat.AREA_W: [a[2] for a in areas],
        flat.AREA_H: [a[3] for a in areas],
        flat.AREA_RULE: [a[4] for a in areas],
        flat.SHAPE_PRICE: [s.price for s in task.shapes],
        flat.SHAPE_SIZE: [s.size for s in task.shapes],
        flat.SHAPE_STOCK: [s.stock for s in task.shapes],
        flat.SHAPE_MARK: [stock_marks[s.stock] for s in task.shapes],
        flat.LIMITS: task.limits,
    }
    fact = np.zeros((len(rows), max(len(row) for row in rows.values())), dtype=np.int64)
    for at, row in rows.items():
        fact[at, : len(row)] = np.array(row, dtype=np.int64)
    return fact


def starts(counts: Sequence[int]) -> list[int]:
    """Where each of some runs of things begins, and where the last one ends."""
    return [0, *accumulate(counts)]


def rows_of(tree: Node) -> list[tuple[int, int, int, int]]:
    """A tree in reading order, its groups with the number of their nodes."""
    out: list[tuple[int, int, int, int]] = []

    def write(node: Node | None) -> None:
        if node is None:
            out.append((0, 0, EMPTY, 0))
            return
        w, h, kind, body = node
        if kind == LEAF:
            out.append((w, h, LEAF, body))
            return
        at = len(out)
        out.append((w, h, kind, 0))
        for kid in body:
            write(kid)
        out[at] = (w, h, kind, len(out) - at)

    write(tree)
    return out


def empty(*shape: int) -> Any:
    """Whole numbers, all 0."""
    return np.zeros(shape, dtype=np.int64)
