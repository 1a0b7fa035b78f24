"""The set cover of pieces by boards: its linear relaxation and a good whole choice (HiGHS through highspy)."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import highspy


def quiet_solver() -> highspy.Highs:
    """A new HiGHS object; the solver greets on the process's standard output, which belongs to the caller."""
    import ctypes

    import highspy

    sys.stdout.flush()
    flush = ctypes.CDLL(None).fflush
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        flush(None)
        os.dup2(nowhere, 1)
        solver = highspy.Highs()  # type: ignore[no-untyped-call]
        flush(None)
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 1)
    return solver


class Duals(NamedTuple):
    """What one more of each row is worth, and what one more board of each limited stock would save."""

    rows: list[float]
    stocks: dict[int, float]


class Master:
    """Choose boards so that every piece is covered, for the least price.

    ``demand`` holds the copies wanted of each row, ``limits`` the boards of each stock. Columns are added one by
    one; equal ones are refused. Rows are whole numbers only.
    """

    def __init__(self, demand: Sequence[int], limits: dict[int, int]) -> None:
        import highspy
        import numpy as np

        self.highspy = highspy
        self.np = np
        self.demand = list(demand)
        self.limit_row: dict[int, int] = {}
        self.columns: list[tuple[int, int, dict[int, int]]] = []
        self.seen: set[tuple[int, tuple[tuple[int, int], ...]]] = set()
        model = quiet_solver()
        no_index = np.array([], dtype=np.int32)
        no_value = np.array([], dtype=np.float64)
        for n in self.demand:
            model.addRow(float(n), highspy.kHighsInf, 0, no_index, no_value)
        for stock, limit in sorted(limits.items()):
            if limit < 10**9:
                self.limit_row[stock] = model.getNumRow()
                model.addRow(-highspy.kHighsInf, float(limit), 0, no_index, no_value)
        self.model = model

    def allow_missing(self, prices: Sequence[float]) -> None:
        """Let each piece be left out for a price, so that the relaxation always has an answer."""
        np = self.np
        for row, price in enumerate(prices):
            self.model.addCol(
                float(price), 0.0, self.highspy.kHighsInf, 1, np.array([row], dtype=np.int32), np.array([1.0])
            )

    def add(self, stock: int, price: int, counts: dict[int, int]) -> bool:
        """Add a board; False if it is there already."""
        items = tuple(sorted(counts.items()))
        mark = (stock, items)
        if mark in self.seen or not items:
            return False
        self.seen.add(mark)
        self.columns.append((stock, price, counts))
        rows = [i for i, _ in items]
        values = [float(n) for _, n in items]
        row = self.limit_row.get(stock)
        if row is not None:
            rows.append(row)
            values.append(1.0)
        np = self.np
        self.model.addCol(
            float(price), 0.0, self.highspy.kHighsInf, len(rows), np.array(rows, dtype=np.int32), np.array(values)
        )
        return True

    def solve(self) -> Duals | None:
        """The duals, none below 0; None without a solution."""
        self.model.run()
        if self.model.getModelStatus() != self.highspy.HighsModelStatus.kOptimal:
            return None
        duals = self.model.getSolution().row_dual
        count = len(self.demand)
        return Duals([max(0.0, d) for d in duals[:count]], {s: max(0.0, -duals[r]) for s, r in self.limit_row.items()})
