"""A cheaper plan from boards already met: set cover over the pool, and new boards for its prices of pieces."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from shopdocs.work.layout import tree as trees
from shopdocs.work.layout.master import quiet_solver
from shopdocs.work.layout.packing import Board, Pool, board_of, types_in
from shopdocs.work.layout.task import Task

NODES = 60


class Cover:
    """The set cover of a task's types by boards of a pool. Rows are whole numbers: copies and stock limits."""

    def __init__(self, task: Task) -> None:
        import highspy
        import numpy as np

        self.highspy = highspy
        self.np = np
        self.task = task
        self.counts: dict[int, dict[int, int]] = {}
        self.known: list[int] = []
        self.prices: list[int] = []
        self.starts: list[int] = [0]
        self.index: list[int] = []
        self.value: list[float] = []
        self.limit_row = {s: len(task.demand) + i
                          for i, s in enumerate(s for s in sorted({x.stock for x in task.shapes})
                                                if task.limits[s] < 10 ** 9)}

    def take(self, pool: Pool, keys: list[int]) -> None:
        """Add columns for these boards of the pool."""
        task = self.task
        for key in keys:
            price, shape, tree = pool[key]
            counts: dict[int, int] = {}
            for t in types_in(task, tree):
                counts[t] = counts.get(t, 0) + 1
            rows = sorted(counts)
            self.index.extend(rows)
            self.value.extend([float(counts[t]) for t in rows])
            row = self.limit_row.get(task.shapes[shape].stock)
            if row is not None:
                self.index.append(row)
                self.value.append(1.0)
            self.starts.append(len(self.index))
            self.known.append(key)
            self.prices.append(price)

    def model(self, columns: Any, whole: bool) -> Any:
        """A solver holding the chosen columns."""
        np, highspy, task = self.np, self.highspy, self.task
        lp = highspy.HighsLp()
        starts = np.array(self.starts, dtype=np.int64)
        index = np.array(self.index, dtype=np.int32)
        value = np.array(self.value)
        lengths = (starts[1:] - starts[:-1])[columns]
        picks = np.repeat(starts[:-1][columns] - np.concatenate(([0], np.cumsum(lengths)[:-1])), lengths)
        picks = picks + np.arange(int(lengths.sum()))
        lp.num_col_ = len(columns)
        lp.num_row_ = len(task.demand) + len(self.limit_row)
        lp.col_cost_ = np.array(self.prices, dtype=np.float64)[columns]
        lp.col_lower_ = np.zeros(len(columns))
        lp.col_upper_ = np.full(len(columns), highspy.kHighsInf)
        low = [float(n) for n in task.demand] + [-highspy.kHighsInf] * len(self.limit_row)
        high = [highspy.kHighsInf] * len(task.demand) + [float(task.limits[s]) for s in self.limit_row]
        lp.row_lower_ = np.array(low)
        lp.row_upper_ = np.array(high)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = np.concatenate(([0], np.cumsum(lengths)))
        lp.a_matrix_.index_ = index[picks]
        lp.a_matrix_.value_ = value[picks]
        if whole:
            lp.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
        solver = quiet_solver()
        solver.passModel(lp)
        return solver

    def best_choice(self, pool: Pool, below: int, step: int, most: int, stop: Callable[[], bool],
                    seconds: float) -> list[int] | None:
        """Keys of boards that cover everything for less than ``below``, or None. ``most`` columns are weighed."""
        np = self.np
        seen = set(self.known)
        self.take(pool, [k for k in pool if k not in seen])
        if stop() or not self.known:
            return None
        columns = np.arange(len(self.known))
        solver = self.model(columns, False)
        solver.setOptionValue("time_limit", max(0.01, seconds))
        solver.run()
        if solver.getModelStatus() != self.highspy.HighsModelStatus.kOptimal:
            return None
        value = solver.getInfo().objective_function_value
        room = below - step - value
        self.duals = list(solver.getSolution().row_dual)
        if room < -1e-6 * below or stop():
            return None
        reduced = np.array(solver.getSolution().col_dual)
        columns = columns[reduced <= room + 1e-6 * below]
        if len(columns) > most:
            columns = np.sort(columns[np.argsort(reduced[columns], kind="stable")[:most]])
        solver = self.model(columns, True)
        solver.setOptionValue("mip_max_nodes", NODES)
        solver.setOptionValue("objective_target", float(below - step) + 0.5)
        solver.setOptionValue("objective_bound", float(below) - 0.5)
        solver.setOptionValue("time_limit", max(0.01, seconds))
        solver.run()
        solution = solver.getSolution()
        if not solution.value_valid:
            return None
        out = [self.known[c] for c, x in zip(columns.tolist(), solution.col_value, strict=True)
               for _ in range(int(x + 0.5))]
        return out if sum(pool[k][0] for k in out) < below else None


def plan_from(task: Task, pool: Pool, keys: list[int]) -> tuple[list[Board], list[int]]:
    """Boards for the chosen keys, with pieces covered more than once taken off again; and what is left."""
    left = list(task.demand)
    boards = []
    for key in sorted(keys, key=lambda k: (-pool[k][0], k)):
        _, shape, tree = pool[key]
        surplus: dict[int, int] = {}
        uses = 0
        used = 0
        for t in types_in(task, tree):
            if left[t]:
                left[t] -= 1
                uses += task.unit[t]
                used += task.size[t]
            else:
                surplus[t] = surplus.get(t, 0) + 1
        if not used:
            continue
        if surplus:
            gone: dict[int, int] = {}
            for t, n in surplus.items():
                for part in task.members[t]:
                    gone[part[0][3] >> 1] = n
            tree = trees.without(tree, gone)
        boards.append(board_of(task, shape, tree, uses, used))
    return boards, left
