"""Choices of whole boards that cannot carry the pieces, ruled out one after another.

With few boards the relaxation of the price says little: the next dearer choice of whole boards may be far away. Here
the number of boards of each stock is fixed, and column generation looks for values of the pieces by which these
boards are worth less than all pieces together. Such values are a need (see ``knapsack``): whole numbers prove it, and
it rules out every choice of boards that falls short of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from shopdocs.work.layout.bounds import Pattern, PriceBound
from shopdocs.work.layout.grid import SCALE
from shopdocs.work.layout.knapsack import Need
from shopdocs.work.layout.master import Master
from shopdocs.work.layout.tuning import SMOOTH

if TYPE_CHECKING:
    from shopdocs.work.layout.grid import Worth

TINY = 1e-7


class Choice:
    """One choice of boards, ``counts`` in the order of ``proof.stocks``, held against a grid of ``proof``."""

    def __init__(self, proof: PriceBound, counts: Sequence[int]) -> None:
        self.proof = proof
        self.counts = list(counts)
        np = proof.grid.np
        task = proof.task
        self.area = np.array([float(task.members[t][m].size) for t, m in proof.grid.columns])
        self.area /= self.area.max()
        self.demand = np.array(proof.grid.demand, dtype=np.int64)
        self.master = Master(proof.grid.demand, dict(zip(proof.stocks, self.counts, strict=True)))
        self.master.allow_missing(self.area.tolist())
        for stock, counts_of in proof.patterns:
            if self.counts[proof.stocks.index(stock)]:
                self.master.add(stock, 0, counts_of)
        self.center: Worth | None = None
        self.least = float("inf")

    def rule_out(self, rounds: int, stop: Callable[[], bool]) -> tuple[Need | None, bool]:
        """A need that this choice falls short of, or None; and whether the question is settled."""
        np = self.proof.grid.np
        for _ in range(rounds):
            if stop():
                return None, False
            duals = self.master.solve()
            if duals is None:
                return None, True
            values = np.array(duals.rows)
            if (
                float(np.dot(values, self.demand))
                - sum(n * duals.stocks.get(s, 0.0) for s, n in zip(self.proof.stocks, self.counts, strict=True))
                < TINY
            ):
                return None, True
            center = values if self.center is None else SMOOTH * self.center + (1 - SMOOTH) * values
            need, fresh = self.price_out(center, duals.stocks)
            if need is None and not fresh:
                need, fresh = self.price_out(values, duals.stocks)
            if need is not None:
                return need, True
            if not fresh:
                return None, True
        return None, False

    def price_out(self, values: Worth, stock_duals: dict[int, float]) -> tuple[Need | None, bool]:
        """A need proven with these values if it rules the choice out, and whether new boards were found."""
        proof, grid = self.proof, self.proof.grid
        np = grid.np
        top, whole = grid.in_whole_numbers(values)
        tables = grid.tables(whole)
        worth = grid.stock_values(tables)
        total = int(np.dot(whole, self.demand))
        short = total - sum(n * worth[s].value for s, n in zip(proof.stocks, self.counts, strict=True))
        if short > 0:
            return Need(total, [worth[s].value for s in proof.stocks]), False
        if -short * top < self.least:
            self.least = -short * top
            self.center = values
        fresh = False
        for s, n in zip(proof.stocks, self.counts, strict=True):
            value, way = worth[s]
            need = stock_duals.get(s, 0.0) * SCALE / top
            if n and value > need * (1 + 1e-9) + 1:
                for area_split in grid.splits(tables, grid.areas[s][way], int(need) + 1):
                    counts = grid.pattern(tables, whole, area_split)
                    if self.master.add(s, 0, counts):
                        fresh = True
                        proof.patterns.append(Pattern(s, counts))
        return None, fresh
