"""From a job to the best plan found and its proven bound: a fixed order of phases, the clock only as a cap."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from time import perf_counter

from shopdocs.work.layout.bounds import PriceBound, area_bound, price_step, quick_bound
from shopdocs.work.layout.cover import Cover, plan_from
from shopdocs.work.layout.packing import Board, Pool, construct, empty_boards, orders, price_of
from shopdocs.work.layout.search import Search
from shopdocs.work.layout.task import Task


@dataclass(frozen=True, slots=True)
class Answer:
    """Boards in use, copies of each type left out, the proven bound and whether the clock ended the search."""

    boards: tuple[Board, ...]
    left: tuple[int, ...]
    bound: int
    rounds: int
    capped: bool


def first_answer(task: Task, empties: list[Board]) -> tuple[list[Board], list[int]]:
    """The best of a few passes of construction: least area left out, then least price."""
    pieces = sum(task.demand)
    choice = orders(task)[: 4 if pieces <= 60 else 2 if pieces <= 150 else 1]
    plans = [construct(task, order, empties) for order in choice]
    return min(plans, key=lambda p: (sum(n * s for n, s in zip(p[1], task.size, strict=True)), price_of(p[0])))


def solve(task: Task, effort: int, seed: int, cap: float) -> Answer:
    """The best plan within ``effort`` rounds of ruin and recreate and ``cap`` seconds.

    A plan for more effort repeats the one for less and goes on; so it never costs more.
    """
    begin = perf_counter()
    if not task.shapes or not task.demand:
        return Answer((), task.demand, 0, 0, False)
    empties = empty_boards(task)
    boards, left = first_answer(task, empties)
    step = price_step(task)
    bound = quick_bound(task) if effort else area_bound(task)
    if any(left):
        bound = 0
    pool: Pool = {}
    search = Search(task, boards, left, empties, seed, step, bound, pool)

    def stop() -> bool:
        return perf_counter() - begin > cap

    made = 0
    number = 0
    length = 1000
    cover = proof = None
    while made < effort and not search.done and not stop():
        made += search.run(length, HEAT, stop, effort - made)
        if search.done or stop():
            break
        if not search.missing:
            if proof is None:
                proof = PriceBound(task)
                proof.seed(pool, search.best)
            proof.run(max(4, 200_000 // (proof.grid.k_w * proof.grid.k_h)), stop, search.best_price)
            search.floor = max(search.floor, proof.whole(search.best_price))
            if search.done:
                break
            if cover is None:
                cover = Cover(task, pool, empties, seed)
            improve_by_cover(task, search, cover, step, stop, begin + cap)
        number += 1
        length = int(length * 2)
    return Answer(tuple(search.best), tuple(search.best_left), search.floor, made, stop())


def improve_by_cover(task: Task, search: Search, cover: Cover, step: int, stop: Callable[[], bool],
                     end: float) -> None:
    """Column generation over the pool, then whole boards: by diving and by a small exact model."""
    last = float("inf")
    idle = 0
    if not cover.relax(search.best, stop):
        return
    for _ in range(LAYS):
        if cover.optimum <= search.floor:
            break
        found = cover.lay_by_worth(TRIES, task.demand, stop)
        if not found or not cover.relax(search.best, stop):
            break
        idle = idle + 1 if cover.optimum > last * (1 - 2e-4) else 0
        last = cover.optimum
        if idle >= 3:
            break
    if cover.optimum > search.best_price - step + 1e-6 * search.best_price or stop():
        return
    part, keys = cover.dive(KEEP, stop)
    if keys is not None:
        take_plan(task, search, keys)
    if search.done or stop() or not cover.relax(search.best, stop):
        return
    room = end - perf_counter()
    keys = cover.choose(search.best_price, step, MOST, room) if room > 0.02 else None
    if keys is not None:
        take_plan(task, search, keys)
    if not search.done:
        search.start_from(*plan_from(task, search.pool, part))


def take_plan(task: Task, search: Search, keys: list[int]) -> None:
    """Go on from the chosen boards if they are a cheaper complete plan."""
    boards, left = plan_from(task, search.pool, keys)
    if not any(left) and price_of(boards) < search.best_price:
        search.reset(boards, left)


HEAT = 0.004
LAYS = 25
KEEP = 0.3
TRIES = 40
MOST = 400
