"""Machine code and Python do the same to a board; long searches keep every promise of short ones."""

from __future__ import annotations

from random import Random
from time import sleep
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopdocs.work.layout import BOARD, SHEET, Job, Rect, Saw, Stock, Want, flat, lay_out, rounds, swift, tree
from shopdocs.work.layout.packing import Board, add, empty_boards
from shopdocs.work.layout.pool import Pool, key_of
from shopdocs.work.layout.search import Search
from shopdocs.work.layout.solve import SWIFT_AFTER, Clock, first_answer, in_machine_code, price_step
from shopdocs.work.layout.swift import Lane, Swift
from shopdocs.work.layout.task import Task, prepare
from tests.work.layout.test_layout_plans import jobs
from tests.work.layout_replay import replay


def a_job(draw: Random) -> Job:
    """Pieces on clear and on knotty stock, sawn like sheets or like boards."""
    whole = draw.random() < 0.5
    wants = tuple(
        Want(f"p{i}", draw.randint(2, 20), draw.randint(2, 12), draw.randint(1, 3), draw.random() < 0.5)
        for i in range(12)
    )
    defects = (Rect(20, 0 if whole else 8, 3, 30 if whole else 4), Rect(40, 5, 2, 3))
    stocks = (Stock("clear", 60, 30, 20), Stock("knotty", 60, 30, 10, None, False, defects))
    return Job(wants, stocks, Saw(draw.randint(0, 2), style=draw.choice((SHEET, BOARD))))


def boards_of(task: Task, draw: Random) -> list[Board]:
    """Boards of every shape with pieces laid at random."""
    out = []
    for board in empty_boards(task):
        for _ in range(draw.randint(1, 14)):
            board = add(task, board, draw.randrange(len(task.demand))) or board
        if board[1] is not None:
            out.append(board)
    return out


def swift_with(task: Task, boards: list[Board]) -> Lane:
    """Machine code with these boards in its first slots. Demand is what lies on them and one more of each type."""
    search = Search(task, [], list(task.demand), empty_boards(task), 1, price_step(task), 0, Pool(task))
    search.pieces = 40 * len(boards)
    lane = Swift(search).lanes[0]
    search.boards = boards
    lane.load()
    return lane


def nodes_of(made: Lane, s: int) -> list[Any]:
    """The nodes of a slot, written as ``swift.rows_of`` does."""
    node, _, _, info = made.boards
    return [tuple(row) for row in node[s, : info[s, flat.NODES]].tolist()]


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**9))
def test_the_same_openings_in_the_same_order(seed: int) -> None:
    draw = Random(seed)
    task = prepare(a_job(draw))
    boards = boards_of(task, draw)
    made = swift_with(task, boards)
    _, spot, _, info = made.boards
    for s, board in enumerate(boards):
        assert nodes_of(made, s) == swift.rows_of(board[1])
        found = [(w, h, mode) for w, h, _, mode in spot[s, : info[s, flat.SPOTS]].tolist()]
        assert found == [(w, h, mode) for w, h, _, mode in board[2]]
        assert tuple(info[s, [flat.MOST_W, flat.MOST_H]]) == board[3:5]


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**9))
def test_a_piece_put_into_any_opening_gives_the_same_board(seed: int) -> None:
    draw = Random(seed)
    task = prepare(a_job(draw))
    boards = boards_of(task, draw)
    for number in range(max(len(b[2]) for b in boards)):
        made = swift_with(task, boards)
        node, spot, _, info = made.boards
        for s, (shape, grown, openings, *_) in enumerate(boards):
            if number >= len(openings):
                continue
            w, h, path, mode = openings[number]
            leaf = (draw.randint(1, w), draw.randint(1, h), tree.LEAF, 0)
            _, _, k, same = spot[s, number].tolist()
            assert same == mode
            flat.put(node[s], info[s], made.lists, k, mode, leaf[0], leaf[1], 0)
            assert nodes_of(made, s) == swift.rows_of(tree.put(grown, path, mode, leaf, len(task.shapes[shape].areas)))


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 10**9), st.floats(0, 1))
def test_pieces_taken_off_leave_the_same_board(seed: int, share: float) -> None:
    draw = Random(seed)
    task = prepare(a_job(draw))
    boards = boards_of(task, draw)
    made = swift_with(task, boards)
    node, _, _, info = made.boards
    last = len(node) - 1
    for s, board in enumerate(boards):
        pieces = [k for k, (_, _, kind, _) in enumerate(nodes_of(made, s)) if kind == tree.LEAF]
        off = [k for k in pieces if draw.random() < share]
        made.lists[flat.GONE] = 0
        made.lists[flat.GONE, off] = 1
        left = flat.rebuild(node[s], info[s, flat.NODES], node[last], info[last], made.lists, made.hand[3])
        assert left == len(pieces) - len(off)
        if left:
            signs = np.zeros(len(pieces) * 4 + 9, dtype=np.int32)
            flat.write_signs(node, info, last, signs, 0)
            there = made.search.pool.tree_of(signs.tolist())
            assert there == without(board[1], iter(range(10**6)), {pieces.index(k) for k in off})
            assert nodes_of(made, last) == swift.rows_of(there)


def without(node: Any, count: Any, off: set[int]) -> Any:
    """A tree without the pieces of these numbers, counted in reading order, by ``tree.group``."""
    if node is None:
        return None
    kind, body = node[2:]
    if kind == tree.LEAF:
        return None if next(count) in off else node
    kids = [without(kid, count, off) for kid in body]
    if kind == tree.AREAS:
        return (0, 0, tree.AREAS, tuple(kids))
    return tree.group(kind, [kid for kid in kids if kid is not None])


@settings(max_examples=40, deadline=None)
@given(jobs(), st.integers(0, 3))
def test_rounds_lose_no_piece_and_count_rightly(job: Job, seed: int) -> None:
    task = prepare(job)
    if not task.shapes or not task.demand:
        return
    empties = empty_boards(task)
    boards, left = first_answer(task, empties, False)
    search = Search(task, boards, left, empties, seed, price_step(task), 0, Pool(task))
    made = Swift(search)
    made.run(300, 0.02, lambda: False, 300, 0)
    count = [0] * len(task.demand)
    for board in search.boards:
        for t in search.kinds(board):
            count[t] += 1
        assert board[7] == sum(task.size[t] for t in search.kinds(board))
        assert board[5] == key_of(task, board[0], search.kinds(board))
    for t in search.loose:
        count[t] += 1
    assert tuple(count) == task.demand
    assert search.price == sum(b[6] for b in search.boards)
    assert search.price <= search.goal or search.done
    for stock, limit in enumerate(task.limits):
        assert search.used[stock] == sum(task.shapes[b[0]].stock == stock for b in search.boards) <= limit
    pool = search.pool
    for key in pool.keys:
        assert sorted(tree.codes(pool.tree(key))) == sorted(pool.codes(key))
        assert key == key_of(task, pool.shape(key), pool.types(key))


@settings(max_examples=25, deadline=None)
@given(jobs(), st.integers(0, 3))
def test_long_searches_can_be_sawn_and_cost_no_more(job: Job, seed: int) -> None:
    short = lay_out(job, SWIFT_AFTER, seed, seconds=60)
    long = lay_out(job, SWIFT_AFTER + 3000, seed, seconds=60)
    replay(job, long)
    assert (sum(u.count for u in long.unplaced), long.price) <= (sum(u.count for u in short.unplaced), short.price)
    assert lay_out(job, SWIFT_AFTER + 3000, seed, seconds=60) == long


def test_boards_met_on_the_way_are_remembered() -> None:
    task = prepare(a_job(Random(4)))
    empties = empty_boards(task)
    search = Search(task, *first_answer(task, empties, False), empties, 1, price_step(task), 0, Pool(task))
    before = len(search.pool)
    Swift(search).run(300, 0.02, lambda: False, 300, 0)
    assert len(search.pool) > before


def test_a_search_stopped_half_way_is_the_beginning_of_a_longer_one() -> None:
    job = a_job(Random(3))
    prices = [lay_out(job, rounds, 1, seconds=60).price for rounds in (900, 1000, 1001, 1500, 4000, 9000)]
    assert prices == sorted(prices, reverse=True)


def test_numbers_beyond_64_bits_are_searched_in_python() -> None:
    many = 10**9
    wants = tuple(Want(f"p{i}", (13 + i) * many, 7 * many, 2) for i in range(8))
    job = Job(wants, (Stock("wide", 60 * many, 31 * many, 9), Stock("narrow", 50 * many, 11 * many, 4)))
    assert not in_machine_code(prepare(job))
    plan = lay_out(job, SWIFT_AFTER + 200, 0, seconds=60)
    replay(job, plan)
    assert plan.complete


def test_of_two_lanes_that_reach_the_goal_the_cheaper_counts() -> None:
    task = prepare(a_job(Random(5)))
    empties = empty_boards(task)
    for prices in ((70, 50), (50, 70)):
        search = Search(task, *first_answer(task, empties, False), empties, 1, price_step(task), 0, Pool(task))
        made = Swift(search)
        for lane, price in zip(made.lanes, prices, strict=True):
            lane.number[flat.PRICE] = price
            lane.real[0] = 0.0
        made.fetch([rounds.COMPLETE, rounds.COMPLETE])
        assert search.price == 50, "else a longer search could cost more than a shorter one"


def test_getting_ready_takes_none_of_the_time() -> None:
    clock = Clock(0.1)
    with clock.held():
        sleep(0.2)
    assert not clock()
    sleep(0.11)
    assert clock()


def test_without_a_folder_to_store_it_in_code_is_compiled_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[str, bool]] = []

    def njit(cache: bool = False, **_: object) -> Any:
        if cache:
            monkeypatch.setattr(flat, "STAMP", flat.STAMP + 1)

        def compiled(function: Any) -> Any:
            asked.append((function.__qualname__, cache))
            if cache:
                raise RuntimeError("no locator available")
            return function

        return compiled

    def one(x: int) -> int:
        return x

    monkeypatch.setattr(flat, "njit", njit)
    assert flat.fast(one) is one
    flat.fast(one)
    (first, stored), (_, again), (second, _), _ = asked
    assert (stored, again) == (True, False)
    assert first != second, "a change to the file has to be seen in the name"
