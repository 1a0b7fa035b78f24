"""Machine code and Python do the same to a board; long searches keep every promise of short ones."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random
from time import sleep
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopdocs.work.layout import (
    BOARD,
    SHEET,
    Job,
    Rect,
    Saw,
    Stock,
    Want,
    lay_out,
    laying,
    machine,
    moves,
    rows,
    solve,
    striking,
    swift,
    tree,
)
from shopdocs.work.layout.packing import Board, add, empty_boards, kinds_on
from shopdocs.work.layout.pool import Pool, key_of
from shopdocs.work.layout.search import Search
from shopdocs.work.layout.solve import Clock, first_answer, in_machine_code, price_step
from shopdocs.work.layout.swift import Lane, Swift
from shopdocs.work.layout.task import Task, prepare
from shopdocs.work.layout.tuning import MET_A_RUN, SWIFT_AFTER, Manner
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
        if board.tree is not tree.NOTHING:
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
    node: Any = made.rows.slots.node
    return [tuple(row) for row in node[s, : slots_of(made).board[s].nodes].tolist()]


def slots_of(made: Lane) -> Any:
    """The slots, for what is done to one board to run uncompiled."""
    slots: Any = made.rows.slots
    readable: Any = machine.readable
    board, node, spot, known, work = map(readable, (slots.board, slots.node, slots.spot, slots.known, slots.work))
    return rows.Slots(slots.state, board, node, spot, known, work, slots.off)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**9))
def test_the_same_openings_in_the_same_order(seed: int) -> None:
    draw = Random(seed)
    task = prepare(a_job(draw))
    boards = boards_of(task, draw)
    made = swift_with(task, boards)
    slots = slots_of(made)
    spot: Any = slots.spot
    for s, board in enumerate(boards):
        assert nodes_of(made, s) == swift.rows_of(board.tree)
        laying.find_spots(made.search.facts, slots, s)
        found = [(w, h, mode) for w, h, _, mode in spot[s, : slots.board[s].spots].tolist()]
        assert found == [(w, h, mode) for w, h, _, mode in board.spots]
        assert (slots.board[s].most_w, slots.board[s].most_h) == (board.most_w, board.most_h)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10**9))
def test_a_piece_put_into_any_opening_gives_the_same_board(seed: int) -> None:
    draw = Random(seed)
    task = prepare(a_job(draw))
    boards = boards_of(task, draw)
    for number in range(max(len(b.spots) for b in boards)):
        made = swift_with(task, boards)
        slots = slots_of(made)
        for s, board in enumerate(boards):
            if number >= len(board.spots):
                continue
            w, h, path, mode = board.spots[number]
            leaf_w, leaf_h = draw.randint(1, w), draw.randint(1, h)
            leaf: tree.Node = (leaf_w, leaf_h, tree.LEAF, 0, ())
            laying.find_spots(made.search.facts, slots, s)
            spot = slots.spot[s, number]
            assert spot.mode == mode
            laying.put(slots, s, spot.node, mode, leaf_w, leaf_h, 0)
            areas = len(task.shapes[board.shape].areas)
            assert nodes_of(made, s) == swift.rows_of(tree.put(board.tree, path, mode, leaf, areas))


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**9), st.floats(0, 1))
def test_pieces_taken_off_leave_the_same_board(seed: int, share: float) -> None:
    draw = Random(seed)
    task = prepare(a_job(draw))
    boards = boards_of(task, draw)
    made = swift_with(task, boards)
    slots = slots_of(made)
    last = len(made.rows.boards) - 1
    for s, board in enumerate(boards):
        pieces = [k for k, (_, _, kind, _) in enumerate(nodes_of(made, s)) if kind == tree.LEAF]
        off = [k for k in pieces if draw.random() < share]
        striking.keep_all(slots, s)
        for k in off:
            slots.work[k].gone = 1
        left = striking.rebuild(slots, s, last)
        assert left == len(pieces) - len(off)
        if left:
            there = without(board.tree, iter(range(10**6)), {pieces.index(k) for k in off})
            assert nodes_of(made, last) == swift.rows_of(there)
            slots.board[last].form = board.shape
            assert made.board_at(last).tree == there


class Shift:
    """The numbers that compiled moves draw: xorshift64* (Vigna, An experimental exploration of Marsaglia's xorshift
    generators, 2016), its upper 53 bits from 0 up to 1."""

    def __init__(self, seed: int) -> None:
        self.x = seed

    def __call__(self) -> float:
        whole = (1 << 64) - 1
        self.x ^= self.x >> 12
        self.x ^= self.x << 25 & whole
        self.x ^= self.x >> 27
        return float((self.x * 2685821657736338717 & whole) >> 11) / 2.0**53


@pytest.mark.thorough
@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**9), st.floats(0, 1))
def test_the_same_pieces_are_struck_whether_by_share_or_by_stretch(seed: int, share: float) -> None:
    """Also as many as lie on the board, and one more: that a board is taken whole is rare in a search."""
    draw = Random(seed)
    task = prepare(a_job(draw))
    boards = boards_of(task, draw)
    made = swift_with(task, boards)
    hand: Any = made.rows._replace(slots=slots_of(made))
    last = len(made.rows.boards) - 1
    for s, board in enumerate(boards):
        pieces = len(tree.codes(board.tree))
        for many in {0, 1, pieces // 2, pieces - 1, pieces, pieces + 1}:
            made.rows.random.state = seed + many + 1
            numbers = Shift(seed + many + 1)
            off: list[int] = []
            with np.errstate(over="ignore"):  # the drawing of numbers lets the upper bits go
                struck = striking.strike_stretch(hand, s, many) if many else striking.strike_share(hand, s, share)
            there = tree.carve(board.tree, many, numbers, off) if many else tree.thin(board.tree, share, numbers, off)
            assert list(hand.slots.off[:struck]) == off
            left = striking.rebuild(hand.slots, s, last)
            assert left == pieces - len(off)
            assert (nodes_of(made, last) if left else swift.rows_of(tree.NOTHING)) == swift.rows_of(there)
            assert int(made.rows.random.state) == numbers.x, "as many numbers are drawn"


MANNERS = (Manner(), Manner(few=2.0, many=8.0, empty=2.0, heat=0.02), Manner(few=3.0, many=12.0, close=0.7))


@settings(max_examples=60, deadline=None)
@given(jobs(), st.integers(0, 10**6), st.sampled_from(MANNERS))
def test_compiled_or_not_the_same_moves_are_made(job: Job, seed: int, manner: Manner) -> None:
    task = prepare(job)
    if not task.shapes or not task.demand:
        return
    empties = empty_boards(task)
    boards, left = first_answer(task, empties, False)
    search = Search(task, boards, left, empties, seed, price_step(task), 0, Pool(task))
    search.manner = manner
    made = Swift(search).lanes[0]
    made.load()
    made.state.quota = MET_A_RUN
    made.rows.random.state = seed + 1
    search.hand.random = Shift(seed + 1)
    search.load()
    heat = manner.heat * search.scale
    turn = 0
    while turn < 200:
        compiled = made.go(manner.heat, turn, 200, 200)
        how = moves.run(search.facts, search.hand, manner, heat, turn, 200, 200, search.goal, search.missing)
        state = search.hand.state
        turn = state.turn
        assert (how, turn) == (compiled, made.state.turn)
        assert (state.price, state.open_area) == (made.state.price, made.state.open_area)
        loose: Any = made.rows.loose
        assert search.hand.loose[: state.loose_now] == loose[: made.state.loose_now].tolist()
        slot: Any = made.rows.boards
        after = [nodes_of(made, s) for s in slot[: made.state.boards_now].tolist()]
        assert after == [swift.rows_of(b.tree) for b in search.hand.boards[: state.boards_now]]
        if how == moves.COMPLETE:
            break
    met = set(search.pool.keys)
    made.take_met()
    assert set(search.pool.keys) == met, "what one of them met is known to the other"


def without(node: tree.Node, count: Iterator[int], off: set[int]) -> tree.Node:
    """A tree without the pieces of these numbers, counted in reading order, by ``tree.group``."""
    _, _, kind, _, kids = node
    if kind == tree.LEAF:
        return tree.NOTHING if next(count) in off else node
    left = [without(kid, count, off) for kid in kids]
    if kind == tree.AREAS:
        return (0, 0, tree.AREAS, 0, tuple(left))
    return tree.group(kind, [kid for kid in left if kid is not tree.NOTHING])


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
        for t in kinds_on(task, board):
            count[t] += 1
        assert board.used == sum(task.size[t] for t in kinds_on(task, board))
        assert board.key == key_of(task, board.shape, kinds_on(task, board))
    for t in search.loose:
        count[t] += 1
    assert tuple(count) == task.demand
    assert search.price == sum(b.price for b in search.boards)
    assert search.price <= search.goal or search.done
    for stock, limit in enumerate(task.limits):
        assert search.used[stock] == sum(task.shapes[b.shape].stock == stock for b in search.boards) <= limit
    pool = search.pool
    for key in pool.keys:
        assert sorted(tree.codes(pool.tree(key))) == sorted(pool.codes(key))
        assert key == key_of(task, pool.shape(key), pool.types(key))


@pytest.mark.thorough
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


@pytest.mark.thorough
def test_a_search_stopped_half_way_is_the_beginning_of_a_longer_one() -> None:
    job = a_job(Random(3))
    prices = [lay_out(job, effort, 1, seconds=60).price for effort in (900, 1000, 1001, 1500, 4000, 9000)]
    assert prices == sorted(prices, reverse=True)


def test_numbers_beyond_64_bits_are_searched_in_python() -> None:
    many = 10**9
    wants = tuple(Want(f"p{i}", (13 + i) * many, 7 * many, 2) for i in range(8))
    job = Job(wants, (Stock("wide", 60 * many, 31 * many, 9), Stock("narrow", 50 * many, 11 * many, 4)))
    assert not in_machine_code(prepare(job))
    plan = lay_out(job, SWIFT_AFTER + 200, 0, seconds=60)
    replay(job, plan)
    assert not plan.unplaced


def test_of_two_lanes_that_reach_the_goal_the_cheaper_counts() -> None:
    task = prepare(a_job(Random(5)))
    empties = empty_boards(task)
    for prices in ((70, 50), (50, 70)):
        search = Search(task, *first_answer(task, empties, False), empties, 1, price_step(task), 0, Pool(task))
        made = Swift(search)
        for lane, price in zip(made.lanes, prices, strict=True):
            lane.state.price = price
            lane.state.open_area = 0.0
        made.fetch([moves.COMPLETE, moves.COMPLETE])
        assert search.price == 50, "else a longer search could cost more than a shorter one"


def test_getting_ready_takes_none_of_the_time() -> None:
    clock = Clock(0.1)
    with clock.held():
        sleep(0.2)
    assert not clock()
    sleep(0.11)
    assert clock()


def test_no_step_begins_that_would_end_late(monkeypatch: pytest.MonkeyPatch) -> None:
    now = 0.0
    monkeypatch.setattr(solve, "perf_counter", lambda: now)
    clock = Clock(3.5)
    over = clock.steps()
    begun = 0
    while not over():
        begun += 1
        now += 1.0
    assert begun == 3, "a fourth would end at 4.0"
    now += 0.01
    assert clock(), "and the plan says that the clock ended it"


def test_a_plan_whose_tidying_the_clock_ended_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shopdocs.work.layout.cutting_plan.tidied", lambda task, boards, *_: (boards, True))
    assert lay_out(a_job(Random(3)), 100, 1, seconds=60).capped


def test_without_the_compiler_a_long_search_runs_as_python(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solve, "find_spec", lambda name: None)
    monkeypatch.setattr(solve, "swift_for", lambda *_: pytest.fail("the compiler is not there"))
    job = a_job(Random(3))
    plan = lay_out(job, SWIFT_AFTER + 400, 1, seconds=60)
    replay(job, plan)
    assert plan.price <= lay_out(job, SWIFT_AFTER, 1, seconds=60).price


class Made:
    """What the compiler gives back: where it stores what it made."""

    def __init__(self, folder: Path) -> None:
        self.stats = SimpleNamespace(cache_path=str(folder))


def test_the_user_is_told_of_compiling_until_it_is_stored(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    def njit(**_: object) -> Any:
        return lambda function: Made(tmp_path)

    machine.told.cache_clear()
    machine.made_by(njit)
    assert caplog.messages == [machine.COMPILING]
    (tmp_path / f"moves.{moves.run.__qualname__}-1.py311.nbi").touch()
    machine.told.cache_clear()
    machine.made_by(njit)
    assert caplog.messages == [machine.COMPILING]


def test_where_nothing_can_be_stored_that_is_told_once(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    def njit(cache: bool | str = False, **_: object) -> Any:
        def compiled(function: object) -> Made:
            if cache:
                raise RuntimeError("cannot cache function: no locator available")
            return Made(tmp_path)

        return compiled

    calls: list[int] = []

    def first() -> int:
        calls.append(0)
        if len(calls) == 1:
            raise OSError(28, "No space left on device")
        return 0

    machine.told.cache_clear()
    machine.made_by(njit)
    machine.made_by(njit)
    machine.ready(first)
    assert len(calls) == 2, "what was compiled is used all the same"
    assert caplog.messages == [machine.NOT_STORED, machine.COMPILING]


def test_what_is_stored_is_known_by_all_sources(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = machine.stamp()
    changed = tmp_path / "laying.py"
    changed.write_text("# another\n")
    monkeypatch.setattr(machine.laying, "__file__", str(changed))
    assert machine.stamp() != before


def test_a_board_that_stays_empty_is_not_bought() -> None:
    """One piece on one of three boards offered to start from: the other two are given back, and one is paid for."""
    task = prepare(Job((Want("p", 10, 5, 1, False),), (Stock("clear", 60, 30, 20),), Saw(1, style=BOARD)))
    empties = empty_boards(task)
    search = Search(task, *first_answer(task, empties, False), empties, 1, price_step(task), 0, Pool(task))
    search.start_with([empties[0]] * 3)
    assert [kinds_on(task, board) for board in search.boards] == [[0]]
    assert search.price == 20
    assert search.loose == []
