"""Goal-driven ruin and recreate: the same pieces for less money.

The goal is a price below the best known. Boards are given up until the rest is cheap enough; the pieces then
without a board are worked back in by taking a few boards apart again and again (``moves``). Pieces without a board
are counted by their area; when none is left the goal is met and a lower one is set.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from random import Random

from shopdocs.work.layout import moves
from shopdocs.work.layout.hand import Hand, begin, take_over
from shopdocs.work.layout.numbered import facts_of
from shopdocs.work.layout.packing import Board, kinds_on
from shopdocs.work.layout.pool import Pool
from shopdocs.work.layout.task import Task
from shopdocs.work.layout.tree import NOTHING
from shopdocs.work.layout.tuning import STOP_TURN, Manner


class Search:
    """A seeded search over one task; ``run`` may be called again and goes on where it stopped.

    ``best`` is the cheapest complete plan, or the one with the least area left out while none is complete.
    ``manner`` may be changed between runs.
    ``pool`` remembers the boards met.
    """

    def __init__(
        self,
        task: Task,
        boards: list[Board],
        left: list[int],
        empties: list[Board],
        seed: int,
        step: int,
        floor: int,
        pool: Pool,
    ) -> None:
        self.task = task
        self.rng = Random(seed)
        self.empties = empties
        self.step = step
        self.floor = floor
        self.pool = pool
        self.pieces = sum(task.demand)
        self.scale = max((e.price and task.shapes[e.shape].size) for e in empties) or 1
        self.manner = Manner()
        self.hand = Hand(task, empties, self.rng.random, pool)
        self.facts = facts_of(task, Random(seed))
        self.weight: list[float] = [float(x) for x in task.size]
        self.reset(boards, left)

    def reset(self, boards: list[Board], left: list[int]) -> None:
        """Take a plan as the best one and set the next goal."""
        self.best = list(boards)
        self.best_left = list(left)
        self.missing = sum(n * s for n, s in zip(left, self.task.size, strict=True))
        self.best_price = sum(b.price for b in boards)
        for b in boards:
            self.pool.add(b.key, b.shape, b.tree)
        self.aim()

    @property
    def done(self) -> bool:
        """Whether the best plan is complete and cannot be cheaper."""
        return not self.missing and self.best_price <= self.floor

    def aim(self) -> None:
        """Give up boards of the best plan until its price is below the goal."""
        self.boards = list(self.best)
        self.loose = [t for t, n in enumerate(self.best_left) for _ in range(n)]
        self.goal = (1 << 62) if self.missing else self.best_price - self.step
        price = self.best_price
        draw = self.rng.random
        while price > self.goal and self.boards:
            areas = self.task.shapes
            worth = [b.used / areas[b.shape].size * (0.5 + draw()) if b.price else 9.0 for b in self.boards]
            i = worth.index(min(worth))
            gone = self.boards.pop(i)
            price -= gone.price
            self.loose.extend(kinds_on(self.task, gone))
        self.begin(price)

    def begin(self, price: int) -> None:
        """Count price, stock and area of the boards and loose pieces to start from."""
        self.price = price
        self.used = [0] * len(self.task.limits)
        for b in self.boards:
            self.used[self.task.shapes[b.shape].stock] += 1
        weight = self.weight
        self.open_area = sum(weight[t] for t in self.loose)

    def weigh(self, worth: list[float]) -> None:
        """Count loose pieces by their area and by what they are worth in the set cover, as the manner says."""
        size = self.task.size
        whole = sum(n * s for n, s in zip(self.task.demand, size, strict=True))
        paid = sum(n * w for n, w in zip(self.task.demand, worth, strict=True))
        if paid > 0:
            part = self.manner.worth
            self.weight = [(1 - part) * s + part * w * whole / paid for s, w in zip(size, worth, strict=True)]
            self.begin(self.price)

    def start_from(self, boards: list[Board], left: list[int]) -> None:
        """Go on from an incomplete plan, if the goal allows its price."""
        price = sum(b.price for b in boards)
        if price <= self.goal:
            self.boards = boards
            self.loose = [t for t, n in enumerate(left) for _ in range(n)]
            self.begin(price)

    def start_with(self, boards: list[Board]) -> None:
        """Go on from these boards, empty ones as a rule, with all other pieces put on them afresh."""
        left = list(self.task.demand)
        for b in boards:
            for t in kinds_on(self.task, b):
                left[t] -= 1
        self.boards = boards
        self.loose = [t for t, n in enumerate(left) for _ in range(n)]
        self.begin(sum(b.price for b in boards))
        self.load()
        begin(self.hand)
        moves.recreate(self.facts, self.hand, self.goal, inf)
        take_over(self.hand)
        self.fetch()
        self.boards = [b for b in self.boards if b.tree is not NOTHING]
        self.begin(sum(b.price for b in self.boards))

    def load(self) -> None:
        """Take the plan in hand for the moves."""
        self.hand.load(self.boards, self.loose, self.used, self.price, self.weight)

    def fetch(self) -> None:
        """Read the plan in hand back."""
        hand, state = self.hand, self.hand.state
        self.boards = hand.boards[: state.boards_now]
        self.loose = hand.loose[: state.loose_now]
        self.used = list(hand.stock)
        self.price, self.open_area = state.price, state.open_area

    def goal_met(self) -> None:
        """Make the plan in hand the best one, and set the next goal."""
        left = [0] * len(self.task.demand)
        for t in self.loose:
            left[t] += 1
        self.reset(self.boards, left)

    def run(self, count: int, heat: float, stop: Callable[[], bool], most: int = 1 << 62) -> int:
        """``count`` rounds of ruin and recreate with falling ``heat``, at most ``most``.

        Returns the rounds made; stops early when done or when ``stop`` says so (asked every STOP_TURN rounds).
        """
        self.load()
        number, last = 0, min(count, most)
        while number < last and not self.done and not stop():
            end = min(last, number + STOP_TURN - number % STOP_TURN)
            warmth = heat * self.scale
            how = moves.run(self.facts, self.hand, self.manner, warmth, number, end, count, self.goal, self.missing)
            number = self.hand.state.turn
            if how != moves.GOING:
                self.fetch()
                self.goal_met()
                self.load()
        self.fetch()
        return number
