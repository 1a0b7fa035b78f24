"""Prices and bounds of cutting plans against brute force and jobs whose best price is known by their making."""

from __future__ import annotations

from functools import cache
from itertools import combinations, product
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopdocs.work.layout import BOARD, SHEET, Job, Saw, Stock, Want, lay_out
from shopdocs.work.layout.bounds import Offer, PriceBound, least_price, quick_bound, whole_bound
from shopdocs.work.layout.choices import Choice
from shopdocs.work.layout.grid import Grid, on_grid
from shopdocs.work.layout.knapsack import Need, cheapest_choice, least_whole_price, roomiest
from shopdocs.work.layout.task import prepare
from tests.examples import some
from tests.work.layout_replay import replay

Piece = tuple[int, int]


def splits(pieces: tuple[Piece, ...]) -> list[tuple[tuple[Piece, ...], tuple[Piece, ...]]]:
    out = []
    for k in range(1, len(pieces)):
        for chosen in combinations(range(len(pieces)), k):
            out.append(
                (
                    tuple(p for i, p in enumerate(pieces) if i in chosen),
                    tuple(p for i, p in enumerate(pieces) if i not in chosen),
                )
            )
    return out


@cache
def sawn(pieces: tuple[Piece, ...], length: int, width: int, kerf: int) -> bool:
    """Whether through cuts in any order take all pieces from a board: every cut at every whole position."""
    if length <= 0 or width <= 0:
        return False
    if len(pieces) == 1:
        return pieces[0][0] <= length and pieces[0][1] <= width
    for a, b in splits(pieces):
        if any(sawn(a, x, width, kerf) and sawn(b, length - x - kerf, width, kerf) for x in range(1, length)):
            return True
        if any(sawn(a, length, y, kerf) and sawn(b, length, width - y - kerf, kerf) for y in range(1, width)):
            return True
    return False


def stretched(pieces: tuple[Piece, ...], length: int, width: int, kerf: int) -> bool:
    """The same for crosscut first, then rip: every sharing of the pieces among stretches."""
    for homes in product(range(len(pieces)), repeat=len(pieces)):
        groups = [[p for p, h in zip(pieces, homes, strict=True) if h == g] for g in set(homes)]
        if sum(max(p[0] for p in g) for g in groups) + kerf * (len(groups) - 1) <= length and all(
            sum(p[1] for p in g) + kerf * (len(g) - 1) <= width for g in groups
        ):
            return True
    return False


def cheapest(pieces: tuple[Piece, ...], stocks: tuple[Stock, ...], kerf: int, style: str) -> int:
    """The least price by trying every sharing of the pieces among boards."""
    can = sawn if style == SHEET else stretched
    best = 10**9

    def visit(rest: tuple[Piece, ...], used: tuple[int, ...], price: int) -> None:
        nonlocal best
        if price >= best:
            return
        if not rest:
            best = price
            return
        for k in range(len(rest)):
            for others in combinations(range(1, len(rest)), k):
                here = tuple(sorted([rest[0], *[rest[i] for i in others]]))
                left = tuple(p for i, p in enumerate(rest) if i and i not in others)
                for s, stock in enumerate(stocks):
                    if (stock.limit is None or used[s] < stock.limit) and can(here, stock.length, stock.width, kerf):
                        visit(left, tuple(u + (i == s) for i, u in enumerate(used)), price + stock.price)

    visit(pieces, (0,) * len(stocks), 0)
    return best


tiny_pieces = st.lists(st.tuples(st.integers(1, 6), st.integers(1, 6)), min_size=1, max_size=5)


@pytest.mark.thorough
@settings(max_examples=some(50), deadline=None, derandomize=True)
@given(tiny_pieces, st.integers(0, 1), st.sampled_from((SHEET, BOARD)), st.integers(5, 30), st.integers(0, 8))
def test_tiny_jobs_against_brute_force(pieces: list[Piece], kerf: int, style: str, dear: int, cheap: int) -> None:
    stocks = (Stock("big", 9, 7, dear), Stock("rack", 6, 6, cheap, 1))
    best = cheapest(tuple(sorted(pieces)), stocks, kerf, style)
    job = Job(tuple(Want(str(i), w, h) for i, (w, h) in enumerate(pieces)), stocks, Saw(kerf, style=style))
    plan = lay_out(job, 2500, seconds=60)
    replay(job, plan)
    assert not plan.unplaced
    assert plan.bound <= best <= plan.price
    assert plan.price == best, "so few pieces must be laid as well as can be"
    task = prepare(job)
    proof = PriceBound(task, 40, 0)
    proof.offer(-1, best, {c: n for c, n in enumerate(proof.grid.demand) if n})  # a make-believe board for all
    proof.run(30, lambda: False, 10**9)
    assert max(proof.best, quick_bound(task), proof.whole(10**6)) <= best
    for counts in product(range(3), range(2)):
        need, settled = Choice(proof, counts).rule_out(40, lambda: False)
        assert settled
        if need is not None:
            held = tuple(Stock(s.id, s.length, s.width, s.price, n) for s, n in zip(stocks, counts, strict=True))
            assert cheapest(tuple(sorted(pieces)), held, kerf, style) == 10**9, "ruled out, yet it holds all"
            assert sum(v * n for v, n in zip(need[1], counts, strict=True)) < need[0]


def test_what_is_too_long_for_the_rest_of_a_board_counts_whole() -> None:
    """Three of 87, and 27, 27, 24, 24, from boards of 100: nothing goes beside an 87, and the others are 102 together.
    So five boards, though all lengths are 363: the function U^(14) of Fekete and Schepers (2001) counts each 87 as 100,
    402 in all; by hand neither the sum nor their other functions u^(k) and f of 14, 24 and 27 give more than four."""
    wants = tuple(Want(str(i), long, 10) for i, long in enumerate((87, 87, 87, 27, 27, 24, 24)))
    for style in (SHEET, BOARD):
        job = Job(wants, (Stock("b", 100, 10, 7),), Saw(0, style=style))
        assert quick_bound(prepare(job)) == 5 * 7


def cut_up(rng: Random, length: int, width: int, kerf: int, style: str) -> list[Piece]:
    """A board cut up by through cuts with nothing left over but kerf."""
    if style == BOARD:
        out = []
        while length > 0:
            step = length if length < 40 else rng.randrange(15, length - 15)
            out += [(step, w) for w in strips(rng, width, kerf)]
            length -= step + kerf
        return out
    if length < 24 or width < 24 or rng.random() < 0.15:
        return [(length, width)]
    if rng.random() < 0.5:
        x = rng.randrange(8, length - kerf - 8)
        return cut_up(rng, x, width, kerf, style) + cut_up(rng, length - x - kerf, width, kerf, style)
    y = rng.randrange(8, width - kerf - 8)
    return cut_up(rng, length, y, kerf, style) + cut_up(rng, length, width - y - kerf, kerf, style)


def strips(rng: Random, width: int, kerf: int) -> list[int]:
    out = []
    while width >= 20:
        step = rng.randrange(5, width - kerf - 5)
        out.append(step)
        width -= step + kerf
    return [*out, width]


@settings(max_examples=4, deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 4), st.integers(0, 3), st.sampled_from((SHEET, BOARD)))
def test_whole_boards_cut_up_have_a_known_price(seed: int, boards: int, kerf: int, style: str) -> None:
    """Nothing is wasted, so no plan can be cheaper than the boards that were cut up; and the bound knows it."""
    rng = Random(seed)
    pieces = [p for _ in range(boards) for p in cut_up(rng, 120, 48, kerf, style)]
    job = Job(
        tuple(Want(str(i), w, h) for i, (w, h) in enumerate(pieces)), (Stock("b", 120, 48, 70),), Saw(kerf, style=style)
    )
    plan = lay_out(job, 1200, seconds=60)
    replay(job, plan)
    assert not plan.unplaced
    assert plan.bound == boards * 70 <= plan.price
    assert (plan.gap == 0) == (plan.price == boards * 70)


@settings(max_examples=6, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from((SHEET, BOARD)))
def test_boards_of_several_kinds_cut_up_hold_the_bound(seed: int, style: str) -> None:
    """The boards that were cut up are a plan, with or without offcuts thrown away; so no bound may be above it."""
    rng = Random(seed)
    stocks = (Stock("a", 120, 48, 61), Stock("b", 90, 40, 37), Stock("c", 60, 60, 35, 2), Stock("d", 70, 36, 0, 1))
    taken = [rng.choice(stocks[:2]) for _ in range(rng.randrange(1, 4))] + list(stocks[2:])
    pieces = [p for s in taken for p in cut_up(rng, s.length, s.width, 2, style)]
    pieces = [p for p in pieces if rng.random() < rng.choice((1, 0.9))]
    job = Job(tuple(Want(str(i), w, h) for i, (w, h) in enumerate(pieces)), stocks, Saw(2, style=style))
    plan = lay_out(job, 9000, seconds=60)
    replay(job, plan)
    assert plan.bound <= sum(s.price for s in taken)


@settings(max_examples=60, deadline=None)
@given(st.integers(2, 60), st.lists(st.integers(1, 60), min_size=1, max_size=6), st.integers(1, 30), st.integers(1, 60))
def test_rounding_to_a_grid_never_forbids_a_layout(whole: int, sizes: list[int], k: int, board: int) -> None:
    board = min(board, whole)
    if sum(sizes) <= board:
        assert sum(on_grid(s, whole, k) for s in sizes) <= on_grid(board, whole, k)
    assert on_grid(whole, whole, k) == k


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 7), st.integers(1, 7), st.integers(1, 9)), min_size=1, max_size=3),
    st.sampled_from((SHEET, BOARD)),
)
def test_value_of_a_board_against_recursion(parts: list[tuple[int, int, int]], style: str) -> None:
    """Any number of copies, through cuts: the textbook recursion over all cut positions."""
    length, width = 9, 8

    @cache
    def free(w: int, h: int, rips: bool) -> int:
        best = max((v for a, b, v in worth if a <= w and b <= h), default=0)
        for y in range(1, h // 2 + 1):
            best = max(best, free(w, y, rips or style == BOARD) + free(w, h - y, rips or style == BOARD))
        if not rips:
            for x in range(1, w // 2 + 1):
                best = max(best, free(x, h, False) + free(w - x, h, False))
        return best

    kinds = {(a, b): v for a, b, v in parts}
    worth = [(a, b, v) for (a, b), v in kinds.items()]
    job = Job(
        tuple(Want(str(i), a, b) for i, (a, b) in enumerate(kinds)), (Stock("s", length, width, 5),), Saw(style=style)
    )
    task = prepare(job)
    grid = Grid(task, 100)
    value = np.array([kinds[task.members[t][m].as_it_lies] for t, m in grid.columns], dtype=np.int64)
    tables = grid.tables(value)
    best, way = grid.stock_values(tables)[0]
    assert best == free(length, width, False)
    pattern = grid.pattern(tables, value, grid.areas[0][way])
    assert sum(int(value[c]) * n for c, n in pattern.items()) == best


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 12), st.integers(0, 9), st.integers(0, 3)), min_size=1, max_size=3),
    st.integers(1, 20),
    st.integers(1, 6),
)
def test_least_prices_of_whole_boards(stocks: list[tuple[int, int, int]], total: int, least: int) -> None:
    prices, values, limits = ([s[i] for s in stocks] for i in range(3))
    ways = product(*[range(n + 1) for n in limits])
    fit = [
        sum(p * n for p, n in zip(prices, way, strict=True))
        for way in ways
        if sum(v * n for v, n in zip(values, way, strict=True)) >= total and sum(way) >= least
    ]
    best = min(fit, default=10**4)
    needs = [Need(total, values), Need(least, [1] * len(stocks))]
    assert least_whole_price(needs, prices, limits, 0, 10**4) == best
    price, choice = cheapest_choice(needs, prices, limits, 0, 10**4)
    assert price == best and (choice is None) == (best == 10**4)
    if choice is not None:
        assert sum(p * n for p, n in zip(prices, choice, strict=True)) == best
    every = {
        way
        for way in product(*[range(n + 1) for n in limits])
        if sum(v * n for v, n in zip(values, way, strict=True)) >= total
        and sum(way) >= least
        and sum(p * n for p, n in zip(prices, way, strict=True)) <= 20
        and all(p or n == limit for p, n, limit in zip(prices, way, limits, strict=True))
    }
    found = roomiest(needs, prices, limits, 20, 1)
    assert found is not None and {tuple(x) for x in found} == every
    surplus = [sum(v * n for v, n in zip(values, x, strict=True)) for x in found]
    assert surplus == sorted(surplus, reverse=True)
    relaxed = least_price(total, [Offer(*stock) for stock in stocks], 1)
    assert relaxed is None or relaxed <= best


def test_a_piece_that_fits_one_stock_alone_takes_a_board_of_it() -> None:
    """A piece of 9 by 7 fits the big board alone, at 30; one of 6 by 6 the small one too, at 3. The first takes a big
    board and fills it, so both together take one of each; the small piece alone takes a small board."""
    stocks = (Stock("big", 9, 7, 30), Stock("small", 6, 6, 3, 2))
    for pieces, least in ([(9, 7)], 30), ([(9, 7), (6, 6)], 33), ([(6, 6)], 3), ([(6, 6), (6, 6)], 6):
        task = prepare(Job(tuple(Want(str(i), w, h) for i, (w, h) in enumerate(pieces)), stocks, Saw(0, style=SHEET)))
        assert whole_bound(task, 0, 1000) == least
        assert whole_bound(task, least, 1000) == least
        assert whole_bound(task, 2000, 1000) == 2000, "what is known to cost more is not looked at"
