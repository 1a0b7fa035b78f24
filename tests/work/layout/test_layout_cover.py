"""Boards chosen from those met in a search, against every choice of them tried by brute force."""

from __future__ import annotations

from collections import Counter
from itertools import combinations_with_replacement
from random import Random
from time import perf_counter

import pytest

from shopdocs.work.layout import SHEET, Job, Saw, Stock, Want
from shopdocs.work.layout import tree as trees
from shopdocs.work.layout.cover import Cover, plan_from
from shopdocs.work.layout.packing import Board, add, empty_boards, kinds_on
from shopdocs.work.layout.pool import Pool
from shopdocs.work.layout.search import Search
from shopdocs.work.layout.solve import choose_boards, first_answer, price_step
from shopdocs.work.layout.task import Task, prepare
from shopdocs.work.layout.tuning import MORE

MOST = 5  # boards of a choice that are tried


def a_task(dice: Random) -> Task:
    wants = tuple(Want(f"p{i}", dice.randint(4, 18), dice.randint(3, 10), dice.randint(1, 2)) for i in range(4))
    stocks = (Stock("long", 30, 12, dice.randint(20, 30)), Stock("short", 18, 10, dice.randint(5, 14), 1))
    return prepare(Job(wants, stocks, Saw(1, style=SHEET)))


def met(task: Task, dice: Random) -> list[Board]:
    """A plan's boards first, then some with pieces laid at random."""
    boards, left = first_answer(task, empty_boards(task), False)
    assert not any(left)
    for _ in range(5):
        for board in empty_boards(task):
            for _ in range(dice.randint(1, 5)):
                board = add(task, board, dice.randrange(len(task.demand))) or board
            if board.tree is not trees.NOTHING:
                boards.append(board)
    return boards


def covers(task: Task, pool: Pool, keys: tuple[int, ...]) -> bool:
    pieces = Counter(t for key in keys for t in pool.types(key))
    taken = Counter(task.shapes[pool.shape(key)].stock for key in keys)
    return all(pieces[t] >= n for t, n in enumerate(task.demand)) and all(task.limits[s] >= n for s, n in taken.items())


def price(pool: Pool, keys: tuple[int, ...]) -> int:
    return sum(map(pool.price, keys))


def searched(seed: int) -> tuple[Search, Cover, int]:
    """A search whose pool holds a plan and some boards more, and the least price of a choice of them."""
    dice = Random(seed)
    task = a_task(dice)
    boards = met(task, dice)
    pool = Pool(task)
    for board in boards:
        pool.add(board.key, board.shape, board.tree)
    empties = empty_boards(task)
    search = Search(task, *first_answer(task, empties, False), empties, seed, price_step(task), 0, pool)
    cover = Cover(task, pool, empties, seed)
    assert cover.relax(search.best, lambda: False)
    every = [keys for n in range(1, MOST + 1) for keys in combinations_with_replacement(pool.keys, n)]
    return search, cover, min(price(pool, keys) for keys in every if covers(task, pool, keys))


@pytest.mark.parametrize("seed", range(12))
def test_the_cheapest_choice_of_boards_is_found(seed: int) -> None:
    """Asked for less again and again, until nothing is: no choice of as many boards is cheaper. What covers a piece
    twice gives it up again, so that every piece is on one board."""
    search, cover, least = searched(seed)
    task, pool = search.task, search.pool
    assert cover.optimum <= least + 1e-6, "the relaxation takes parts of boards, and is no dearer"
    below, found = search.best_price + search.step, None
    while (keys := cover.choose(below, search.step, 1000, 10.0)) is not None:
        found = tuple(keys)
        assert covers(task, pool, found) and price(pool, found) < below
        below = price(pool, found)
    assert found is not None and price(pool, found) == least
    laid, left = plan_from(task, pool, found)
    assert not any(left)
    assert Counter(t for board in laid for t in kinds_on(task, board)) == Counter(dict(enumerate(task.demand)))
    assert all(board.used == sum(task.size[t] for t in kinds_on(task, board)) for board in laid)


def test_a_search_goes_on_from_the_cheapest_choice() -> None:
    """It takes every cheaper plan that is there. Where there is none it chooses from more boards, later; where no time
    is left it chooses nothing."""
    cheaper = 0
    for seed in range(12):
        search, cover, least = searched(seed)
        before, most = search.best_price, cover.most
        choose_boards(search.task, search, cover, 7, perf_counter())
        assert (search.best_price, cover.failed, cover.rest) == (before, 1, 11)
        choose_boards(search.task, search, cover, 7, perf_counter() + 60)
        assert search.best_price == least
        assert not any(search.best_left)
        assert cover.most == most * MORE ** (1 if least < before else 2)
        cheaper += least < before
    assert 0 < cheaper < 12


def test_nothing_is_chosen_where_no_board_is_cheaper() -> None:
    """Four pieces that take a board each: four boards at 20 are the only choice, and none is less than 80."""
    task = prepare(Job((Want("p", 29, 11, 4),), (Stock("long", 30, 12, 20),), Saw(1, style=SHEET)))
    plan, left = first_answer(task, empty_boards(task), False)
    assert not any(left)
    pool = Pool(task)
    for board in plan:
        pool.add(board.key, board.shape, board.tree)
    cover = Cover(task, pool, empty_boards(task), 0)
    assert cover.relax(plan, lambda: False)
    assert cover.optimum == pytest.approx(80)
    assert cover.choose(80, 20, 1000, 10.0) is None
    assert cover.choose(100, 20, 1000, 10.0) == [plan[0].key] * 4
