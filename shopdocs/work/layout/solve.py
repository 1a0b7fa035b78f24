"""From a job to the best plan found and its proven bound: a fixed order of phases, the clock only as a cap."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from math import inf
from time import perf_counter
from typing import TYPE_CHECKING

from msgspec import Struct

from shopdocs.work.layout.bounds import PriceBound, area_bound, price_step, quick_bound, whole_bound
from shopdocs.work.layout.choices import Choice
from shopdocs.work.layout.cover import Cover, plan_from
from shopdocs.work.layout.packing import Board, construct, empty_boards, orders, price_of
from shopdocs.work.layout.pool import Pool
from shopdocs.work.layout.problem import BOARD
from shopdocs.work.layout.search import Search
from shopdocs.work.layout.task import Task
from shopdocs.work.layout.tuning import (
    CHOSEN_HEAT,
    CHOSEN_ROUND,
    CROWDED,
    CROWDED_ALIKE,
    CROWDED_MIXED,
    ENDLESS,
    EXACT,
    FILLED,
    FILLED_ALIKE,
    FILLED_MIXED,
    FIRST,
    FIRST_ROUND,
    GRIDS,
    GRIDS_BOARD,
    LARGE,
    LATE,
    LAYS,
    LEAST_LAYS,
    LOOSE_ALIKE,
    MORE,
    PATIENCE,
    ROOMIEST,
    RULED_OUT,
    SHARE,
    SWIFT_AFTER,
    TRIES,
    Manner,
)

if TYPE_CHECKING:
    from shopdocs.work.layout.swift import Swift


class Clock:
    """Says when ``seconds`` are over; ``end`` is when that is."""

    def __init__(self, seconds: float) -> None:
        self.end = perf_counter() + seconds

    def __call__(self) -> bool:
        return perf_counter() > self.end

    def steps(self) -> Callable[[], bool]:
        """To be asked before each of some steps: over, too, where one as long as the longest so far would end late."""
        longest, last = 0.0, inf

        def over() -> bool:
            nonlocal longest, last
            now = perf_counter()
            longest, last = max(longest, now - last), now
            if now + longest > self.end:
                self.end = min(self.end, now)  # what is left out for its sake must be told
                return True
            return False

        return over

    @contextmanager
    def held(self) -> Iterator[None]:
        """What is done within takes none of the time."""
        begin = perf_counter()
        yield
        self.end += perf_counter() - begin


class Answer(Struct, frozen=True):
    """Boards in use, copies of each type left out, the proven bound and whether the clock ended the search."""

    boards: tuple[Board, ...]
    left: tuple[int, ...]
    bound: int
    rounds: int
    capped: bool


def first_answer(task: Task, empties: list[Board], at_once: bool) -> tuple[list[Board], list[int]]:
    """The best of a few passes of construction: least area left out, then least price."""
    pieces = sum(task.demand)
    if pieces > 2000:
        surveys = (6,) if at_once else (6, 1)
        by_area, *_ = orders(task)
        plans = [construct(task, by_area, empties, survey) for survey in surveys]
    else:
        plans = [
            construct(task, order, empties)
            for order in orders(task)[: 3 if pieces <= 60 else 2 if pieces <= 150 else 1]
        ]

    def rank(plan: tuple[list[Board], list[int]]) -> tuple[int, int]:
        boards, left = plan
        return sum(n * s for n, s in zip(left, task.size, strict=True)), price_of(boards)

    return min(plans, key=rank)


def solve(task: Task, effort: int, seed: int, stop: Clock) -> Answer:
    """The best plan within ``effort`` rounds of ruin and recreate, before ``stop``.

    A plan for more effort repeats the one for less and goes on; so it never costs more.
    """
    if not task.shapes or not task.demand:
        return Answer((), task.demand, 0, 0, False)
    empties = empty_boards(task)
    boards, left = first_answer(task, empties, effort == FIRST)
    step = price_step(task)
    bound = quick_bound(task) if effort else area_bound(task)
    if effort and len(task.shapes) > 1 and not any(left):
        bound = whole_bound(task, bound, price_of(boards))
    pool = Pool(task)
    search = Search(task, boards, left, empties, seed, step, bound, pool)
    made = improve(task, search, effort, seed, stop)
    if not search.missing:
        bound = max(search.floor, area_bound(task))
    return Answer(tuple(search.best), tuple(search.best_left), bound, made, stop())


def improve(task: Task, search: Search, effort: int, seed: int, stop: Clock) -> int:
    """Rounds of search with column generation between; returns the count.

    Every second round starts from a choice of boards that may do, where there are few. Large jobs begin with column
    generation. Rounds above SWIFT_AFTER may be made in machine code.
    """
    made = number = 0
    length = FIRST_ROUND
    heat = search.manner.heat
    cover = None
    proof = Proof(task)
    compiled = in_machine_code(task) and compiler_installed()
    swift: Swift | None = None
    while made < effort and not search.done and not stop():
        if number or not large_job(task):
            slow = min(effort, SWIFT_AFTER) if compiled else effort
            count = search.run(length, heat, stop, slow - made) if made < slow else 0
            if made + count >= slow and count < length and made + count < effort:
                swift = swift or swift_for(search, stop)
                count = swift.run(length, heat, stop, effort - made, count)
            made += count
        if search.done or stop() or made >= effort:
            break
        search.manner = manner_for(task, search, number)
        if not search.missing and (number < search.manner.early or (number + 1) % search.manner.runs == 0):
            if cover is None:
                cover = Cover(task, search.pool, search.empties, seed)
            improve_by_cover(task, search, cover, proof, number, stop)
        number += 1
        most = ENDLESS if large_job(task) else search.manner.longest
        length, heat = min(search.manner.growth * length, most), search.manner.heat
        turn = number % 2 == 0 or (number > 2 and proof.stands)
        if turn and not search.done and not search.missing and start_from_choice(proof, search):
            length, heat = CHOSEN_ROUND, CHOSEN_HEAT
    return made


def compiler_installed() -> bool:
    """Whether the compiler of long searches is there; it comes with the extra ``search``."""
    return find_spec("numba") is not None


def in_machine_code(task: Task) -> bool:
    """Whether rounds above SWIFT_AFTER may be compiled: of jobs that are not large, in numbers far below 64 bits."""
    most = max(max(s.size, s.price) for s in task.shapes) * sum(task.demand)
    return not large_job(task) and most < 1 << 60


def swift_for(search: Search, stop: Clock) -> Swift:
    """The rounds in machine code, made ready while the clock stands: the very first time they are compiled."""
    from shopdocs.work.layout.swift import Swift

    with stop.held():
        return Swift(search)


def manner_for(task: Task, search: Search, number: int) -> Manner:
    """How to go on after run ``number``: by how many pieces lie on a board, and whether all boards are alike.

    With one kind of board the emptiest of three boards is taken apart, so that room comes together; with many
    pieces on each the set cover tells little and the search is left to itself. With several kinds of boards two
    manners take turns; each finds plans that the other misses.
    """
    average = sum(task.demand) / max(1, len(search.best))
    alike = len(task.shapes) == 1
    if average >= CROWDED:
        return CROWDED_ALIKE if alike else CROWDED_MIXED
    if average >= FILLED:
        return FILLED_ALIKE if alike else FILLED_MIXED[number % 2]
    return LOOSE_ALIKE if alike else Manner()


def start_from_choice(proof: Proof, search: Search) -> bool:
    """Start from a choice of boards that may do for less than the best plan, another one every time; False if none."""
    choices = proof.choices(search.best_price - search.step)
    if not choices or proof.now is None:
        return False
    choice = choices[proof.turn % min(len(choices), ROOMIEST)]
    proof.turn += 1
    shapes = search.task.shapes
    boards = []
    for stock, n in zip(proof.now.stocks, choice, strict=True):
        ways = [e for e in search.empties if shapes[e.shape].stock == stock]
        boards += [ways[int(search.rng.random() * len(ways))] for _ in range(min(n, search.pieces))]
    search.start_with(boards)
    return True


class Proof:
    """The bound by column generation on finer and finer grids, and by ruling out choices of whole boards."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.level = -1
        self.now: PriceBound | None = None
        self.choice: Choice | None = None
        self.stands: list[int] = []
        self.crowded = len(task.shapes) < 2
        self.turn = 0
        self.calls = 0

    def run(self, number: int, keys: list[int], worth: Sequence[float], search: Search, stop: Clock) -> None:
        """Raise ``search.floor`` from boards ``keys`` of the pool and a ``worth`` of each type; round ``number``
        decides the grid and the time spent."""
        solid = self.task.job.saw.style == BOARD
        grids = GRIDS_BOARD if solid else GRIDS
        pieces = sum(self.task.demand)
        last = len(grids) - (1 if pieces <= (EXACT if solid else LARGE) else 2)
        patience = 1 if pieces > LARGE else 2 if pieces <= EXACT else PATIENCE
        done = self.now is None or self.now.finished or self.stands or self.calls >= patience
        if done and self.level < last and number >= min(2, patience) * (self.level + 1):
            self.level += 1
            self.calls = 0
            self.refine(grids[self.level], keys, search)
        self.calls += 1
        if self.now is None:
            return
        rounds = max(LEAST_LAYS, 250_000 // (self.now.grid.k_w * (self.now.grid.k_h if not solid else 20)))
        if self.level and not self.crowded:
            self.rule_out(rounds, search, stop)
        if self.stands or self.now.finished:
            return
        self.now.try_worth(worth)
        self.now.run(rounds, stop.steps(), search.best_price)
        search.floor = max(search.floor, self.now.whole(search.best_price))
        if not self.crowded:
            self.rule_out(rounds, search, stop)

    def refine(self, finest: int, keys: list[int], search: Search) -> None:
        """Go on with a finer grid, with the needs and the best values of the one before."""
        old = self.now
        self.now = PriceBound(self.task, finest, search.floor)
        if old is not None and (old.grid.k_w, old.grid.k_h) == (self.now.grid.k_w, self.now.grid.k_h):
            self.now = old
            return
        self.choice = None
        self.stands = []
        if old is not None:
            self.now.needs += old.needs
            self.now.ruled_out += old.ruled_out
        self.now.seed(search.pool, keys)
        if old is not None:
            self.now.try_values(old.center)

    def rule_out(self, rounds: int, search: Search, stop: Clock) -> None:
        """Hold the cheapest choices of boards against the grid, as long as they fall short.

        One that stands meets every need of this grid, so that nothing more is to be had from it.
        """
        now = self.now
        assert now is not None
        for _ in range(RULED_OUT):
            if search.floor >= search.best_price or stop():
                return
            choice = now.cheapest_choice(search.best_price)
            search.floor = max(search.floor, now.best)
            if choice is None or choice == self.stands:
                return
            self.stands = []
            if self.choice is None or self.choice.counts != choice:
                self.choice = Choice(now, choice)
            need, settled = self.choice.rule_out(rounds, stop.steps())
            if need is not None:
                now.ruled_out.append(need)
            elif settled:
                self.stands = choice
            if need is None:
                return

    def choices(self, most: int) -> list[list[int]]:
        """Choices of boards for at most ``most`` that may do, as far as is known; none where they are too many."""
        if self.crowded or self.now is None:
            return []
        found = self.now.choices(most)
        self.crowded = found is None
        return found or []


def improve_by_cover(task: Task, search: Search, cover: Cover, proof: Proof, number: int, stop: Clock) -> None:
    """Column generation over the pool, then whole boards: by diving and by a small exact model."""
    last = float("inf")
    idle = 0
    if not cover.relax(search.best, stop.steps()):
        return
    if number == 0:
        cover.lay_evenly(3 * TRIES, stop)
        if not cover.relax(search.best, stop.steps()):
            return
    large = large_job(task)
    for _ in range(LAYS if large else min(LAYS, 6 * (number + 1))):
        if cover.optimum <= search.floor:
            break
        found = cover.lay_by_worth(TRIES, task.demand, stop)
        if not found or not cover.relax(search.best, stop.steps()):
            break
        idle = idle + 1 if cover.optimum > last * (1 - 2e-4) else 0
        last = cover.optimum
        if idle >= (8 if large else 3):
            break
    if stop():
        return
    step = search.step
    if len(task.shapes) > 1 or -(-int(cover.optimum - 1e-6) // step) * step > search.floor:
        proof.run(number, cover.liked(), cover.duals.tolist()[: len(task.demand)], search, stop)
    if not search.missing:
        search.weigh(cover.duals.tolist()[: len(task.demand)])
    if search.done or cover.optimum > search.best_price - step + 1e-6 * search.best_price or stop():
        return
    pieces = sum(task.demand)
    if not search.manner.choose and not large:
        return
    keys = cover.dive(min(pieces * 3 // 10, 60 + pieces // 20), stop)
    if keys is not None:
        search.start_from(*plan_from(task, search.pool, keys))
    wait = max(cover.rest, LATE) if proof.turn else cover.rest
    if pieces <= EXACT and number >= wait and not search.done and not stop() and cover.relax(search.best, stop.steps()):
        choose_boards(task, search, cover, number, stop.end)


def choose_boards(task: Task, search: Search, cover: Cover, number: int, end: float) -> None:
    """The best choice of boards from the pool, as long as one is found; from more of them the next time if none is."""
    found = False
    while not search.done:
        room = (end - perf_counter()) * SHARE
        keys = cover.choose(search.best_price, search.step, cover.most, room) if room > 0.01 else None
        if keys is None or not take_plan(task, search, keys):
            break
        found = True
    if not found:
        cover.failed += 1
        cover.most *= MORE
    cover.rest = number + 3 + cover.failed


def take_plan(task: Task, search: Search, keys: list[int]) -> bool:
    """Go on from the chosen boards if they are a cheaper complete plan."""
    boards, left = plan_from(task, search.pool, keys)
    if any(left) or price_of(boards) >= search.best_price:
        return False
    search.reset(boards, left)
    return True


def large_job(task: Task) -> bool:
    """Whether column generation comes before the search."""
    return sum(task.demand) > LARGE
