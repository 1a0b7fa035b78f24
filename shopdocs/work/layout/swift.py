"""Long searches by compiled moves: the plan goes out as rows of whole numbers, is worked on there, and comes back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import cast

import numpy as np
from numpy.typing import NDArray

from shopdocs.work.layout import machine, moves, rows, slots
from shopdocs.work.layout.numbered import Facts
from shopdocs.work.layout.packing import Board, board_of, kinds_on
from shopdocs.work.layout.pool import SIGN, key_of
from shopdocs.work.layout.search import Search
from shopdocs.work.layout.tree import LEAF, Node
from shopdocs.work.layout.tuning import LANES, MARKS_MET, MET_A_RUN, NODES_MET, TURN

XORSHIFT = (12, 25, 27, 2685821657736338717, 11)  # see slots.draw


class Swift:
    """Runs a search's rounds in machine code, on its plan and to its goal; all else is left to ``Search``.

    Each run is made in LANES that begin with the same plan and draw other numbers, side by side where there are
    cores for them. They wait for each other every TURN rounds, so that what comes out does not hang on the cores.
    """

    def __init__(self, search: Search) -> None:
        self.search = search
        facts = machine.arrays_of(search.facts)
        self.lanes = [Lane(search, facts) for _ in range(LANES)]
        self.threads = ThreadPoolExecutor(LANES - 1)
        for lane in self.lanes:
            lane.load()
            machine.ready(partial(lane.go, 0.0, 0, 0, 1))

    def run(self, count: int, heat: float, stop: Callable[[], bool], most: int, start: int) -> int:
        """Go on with ``Search.run`` from round ``start``; the rounds of all lanes count, and are at most ``most``."""
        search, lanes = self.search, self.lanes
        for lane in lanes:
            lane.load()
            lane.state.quota = MET_A_RUN // search.manner.runs // LANES
        number = start
        last = min(count, start - (start - most) // LANES)
        while number < last and not search.done and not stop():
            end = min(last, number + TURN)
            others = [self.threads.submit(lane.go, heat, number, end, count) for lane in lanes[1:]]
            ways = [lanes[0].go(heat, number, end, count), *[other.result() for other in others]]
            number = end
            for lane in lanes:
                lane.take_met()
            if any(how != moves.GOING for how in ways):
                self.fetch(ways)
                search.goal_met()
                for lane in lanes:
                    lane.load()
        self.fetch([moves.GOING] * LANES)
        return min(most, start + LANES * (number - start))

    def fetch(self, ways: Sequence[int]) -> None:
        """Read the plan of the lane back that has come furthest: the cheapest complete one, else the least left loose.

        A longer search lets a second lane reach the goal as well, which must not make it dearer than a shorter one.
        """
        rank = [
            (False, int(lane.state.price), 0.0) if how == moves.COMPLETE else (True, 0, float(lane.state.open_area))
            for how, lane in zip(ways, self.lanes, strict=True)
        ]
        self.lanes[rank.index(min(rank))].fetch()


class Lane:
    """The memory of one run of rounds, and the way there and back. ``facts`` are those of the search in arrays."""

    def __init__(self, search: Search, facts: Facts) -> None:
        self.search, self.task, self.facts = search, search.task, facts
        self.moves = machine.compiled_run()
        self.rows = rows_for(search)
        state = self.state = self.rows.state
        state.pieces = search.pieces
        state.cheapest = min(s.price for s in self.task.shapes)
        state.least_w, state.least_h = self.task.least_w, self.task.least_h

    def go(self, heat: float, start: int, end: int, count: int) -> int:
        """Rounds ``start`` to ``end`` of ``count``, see ``moves.run``."""
        search = self.search
        warmth = heat * search.scale
        return self.moves(self.facts, self.rows, search.manner, warmth, start, end, count, search.goal, search.missing)

    def load(self) -> None:
        """Write the plan in hand down for the moves."""
        search, into, state, facts = self.search, self.rows, self.state, self.search.facts
        node, board = machine.items_of(into.slots.node), machine.items_of(into.slots.board)
        for s, old in enumerate(search.boards):
            nodes = rows_of(old.tree)
            node[s, : len(nodes)] = np.array(nodes, dtype=node.dtype)
            mark = facts.shapes[old.shape].mark + sum([facts.kinds[t].mark for t in kinds_on(self.task, old)])
            board[s] = (len(nodes), 0, 0, 0, old.used, old.shape, mark, 0, 0)
        n, slots_in_all = len(search.boards), len(board)
        for row, values in (
            (into.boards, range(n)),
            (into.free, range(slots_in_all - 1, n - 1, -1)),
            (into.loose, search.loose),
            (into.stock, search.used),
        ):
            machine.numbers_of(row)[: len(values)] = values
        cast(NDArray[np.float64], into.weight)[: len(search.weight)] = search.weight
        state.boards_now, state.free_now = n, slots_in_all - n
        state.loose_now, state.price, state.open_area = len(search.loose), search.price, search.open_area

    def fetch(self) -> None:
        """Read the plan in hand back."""
        search, state = self.search, self.state
        numbers, loose = machine.numbers_of(self.rows.boards), machine.numbers_of(self.rows.loose)
        search.boards = [self.board_at(s) for s in numbers[: state.boards_now].tolist()]
        search.loose = loose[: state.loose_now].tolist()
        search.begin(int(state.price))

    def board_at(self, s: int) -> Board:
        """The board in a slot."""
        node = machine.items_of(self.rows.slots.node)
        board = machine.readable(self.rows.slots.board)[s]
        shape = int(board.form)
        signs = [code if kind == LEAF else -8 * code - kind for _, _, kind, code in node[s, : board.nodes].tolist()]
        key = self.key_of(shape, signs)
        return board_of(self.task, shape, self.search.pool.tree_of(signs), key, int(board.used))

    def key_of(self, shape: int, signs: Sequence[int]) -> int:
        """The key of a board written as signs, see ``Pool``."""
        codes = self.search.facts.codes
        return key_of(self.task, shape, [codes[x].kind for x in signs if x >= 0 and codes[x].leads])

    def take_met(self) -> None:
        """Put the boards met into the pool."""
        pool = self.search.pool
        found = machine.numbers_of(self.rows.met)
        end = int(self.state.met_now)
        met = found[:end].tolist()
        at = 0
        while at < end and not pool.full:
            shape, n = met[at], met[at + 1]
            at += slots.ENTRY
            pool.add(self.key_of(shape, met[at : at + n]), shape, found[at : at + n].tobytes())
            at += n
        self.state.met_now = 0


def rows_for(search: Search) -> rows.Rows:
    """Empty rows, as many as a search of this task can need."""
    task, empty, grid = search.task, machine.empty_rows, machine.empty_grid
    pieces = sum(n * len(m) for n, m in zip(task.demand, task.members, strict=True))
    least = min(piece.size for kind in task.members for piece in kind)
    nodes = 2 * max(min(pieces, s.size // least) + len(s.areas) for s in task.shapes) + 4
    # the plan in hand and a candidate have a piece or more on each board; a group may be tried on one more each
    groups = sum(n for n, kind in zip(task.demand, task.members, strict=True) if len(kind) > 1)
    many = 2 * search.pieces + groups + 8
    kinds, stocks = len(task.demand), len(task.limits)

    def whole(n: int) -> rows.Numbers:
        return cast(rows.Numbers, np.zeros(n, dtype=np.int64))

    state = machine.one_row(rows.StateRow)
    random = machine.one_row(rows.RandomRow)
    random.state = search.rng.getrandbits(64) | 1
    random.right, random.left, random.again, random.times, random.last = XORSHIFT
    off = whole(nodes)
    return rows.Rows(
        state=state,
        boards=whole(many),
        next_boards=whole(many),
        later=whole(many),
        fresh=whole(many),
        loose=whole(search.pieces + 1),
        next_loose=whole(search.pieces + 1),
        rest=whole(search.pieces + 1),
        keys=cast(rows.Reals, np.zeros(search.pieces + 1)),
        stock=whole(stocks),
        next_stock=whole(stocks),
        seen=whole(kinds),
        failed=whole(kinds),
        weight=cast(rows.Reals, np.zeros(kinds)),
        off=off,
        random=random,
        slots=rows.Slots(
            state=state,
            board=empty(rows.BoardRow, many),
            node=grid(rows.NodeRow, many, nodes),
            spot=grid(rows.SpotRow, many, 2 * nodes),
            known=grid(rows.KnownRow, many, len(task.type_of)),
            work=empty(rows.WorkRow, nodes),
            off=off,
        ),
        free=whole(many),
        made=whole(many + 1),
        room=empty(rows.RoomRow, many),
        met=cast(rows.Numbers, np.zeros(NODES_MET, dtype=SIGN)),
        marks=whole(MARKS_MET),
    )


def rows_of(tree: Node) -> list[tuple[int, int, int, int]]:
    """A tree in reading order, its groups with the number of their nodes."""
    out: list[tuple[int, int, int, int]] = []

    def write(node: Node) -> None:
        w, h, kind, code, kids = node
        at = len(out)
        out.append((w, h, kind, code))
        for kid in kids:
            write(kid)
        if kids:
            out[at] = (w, h, kind, len(out) - at)

    write(tree)
    return out
