"""A cheaper plan from boards already met: set cover over the pool, and new boards made for its prices of pieces."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random
from typing import Any

from shopdocs.work.layout import tree as trees
from shopdocs.work.layout.master import quiet_solver
from shopdocs.work.layout.packing import Board, Pool, board_of, fill, types_in
from shopdocs.work.layout.task import Task

NODES = 60


class Cover:
    """The set cover of a task's types by boards of a pool. Rows are whole numbers: copies and stock limits.

    The relaxation is solved again and again: boards of the pool enter it when they are worth more than their
    price; then pieces are laid afresh by these worths and the boards found go to the pool as well.
    """

    def __init__(self, task: Task, pool: Pool, empties: Sequence[Board], seed: int) -> None:
        import highspy
        import numpy as np

        self.highspy = highspy
        self.np = np
        self.task = task
        self.pool = pool
        self.empties = empties
        self.rng = Random(seed)
        self.known: list[int] = []
        self.place: dict[int, int] = {}
        self.prices: list[int] = []
        self.starts: list[int] = [0]
        self.index: list[int] = []
        self.value: list[int] = []
        self.inside: list[bool] = []
        stocks = [s for s in sorted({x.stock for x in task.shapes}) if task.limits[s] < 10 ** 9]
        self.limit_row = {s: len(task.demand) + i for i, s in enumerate(stocks)}
        self.solver = quiet_solver()
        none = (np.array([], dtype=np.int32), np.array([], dtype=np.float64))
        for n in task.demand:
            self.solver.addRow(float(n), highspy.kHighsInf, 0, *none)
        for s in stocks:
            self.solver.addRow(-highspy.kHighsInf, float(task.limits[s]), 0, *none)
        self.duals: Any = None
        self.optimum = 0.0

    def take(self) -> None:
        """Note the pieces of boards new in the pool."""
        task = self.task
        pool = self.pool
        if len(pool) == len(self.known):
            return
        for key in list(pool)[len(self.known):]:
            price, shape, tree = pool[key]
            counts: dict[int, int] = {}
            for t in types_in(task, tree):
                counts[t] = counts.get(t, 0) + 1
            self.index.extend(counts)
            self.value.extend(counts.values())
            row = self.limit_row.get(task.shapes[shape].stock)
            if row is not None:
                self.index.append(row)
                self.value.append(1)
            self.starts.append(len(self.index))
            self.place[key] = len(self.known)
            self.known.append(key)
            self.prices.append(price)
            self.inside.append(False)

    def enter(self, column: int) -> None:
        """Put a board into the relaxation."""
        np = self.np
        self.inside[column] = True
        a, b = self.starts[column], self.starts[column + 1]
        self.solver.addCol(float(self.pool[self.known[column]][0]), 0.0, self.highspy.kHighsInf, b - a,
                           np.array(self.index[a:b], dtype=np.int32), np.array(self.value[a:b], dtype=np.float64))

    def reduced(self) -> Any:
        """Price less worth of every known board at the present duals."""
        np = self.np
        worth = self.duals[np.array(self.index)] * np.array(self.value)
        return np.array(self.prices, dtype=np.float64) - np.add.reduceat(worth, np.array(self.starts[:-1]))

    def relax(self, plan: Sequence[Board], stop: Callable[[], bool], most: int = 200) -> bool:
        """Solve the relaxation over the whole pool; False if there is no answer in time."""
        np = self.np
        self.take()
        for b in plan:
            column = self.place[b[5]]
            if not self.inside[column]:
                self.enter(column)
        for _ in range(30):
            if stop():
                return False
            self.solver.run()
            if self.solver.getModelStatus() != self.highspy.HighsModelStatus.kOptimal:
                return False
            self.duals = np.array(self.solver.getSolution().row_dual)
            self.optimum = self.solver.getInfo().objective_function_value
            reduced = self.reduced()
            small = -1e-7 * (1 + max(self.prices))
            order = np.flatnonzero(reduced < small)
            if len(order) > most:
                order = order[np.argsort(reduced[order], kind="stable")[:most]]
            fresh = [c for c in order.tolist() if not self.inside[c]]
            if not fresh:
                return True
            for c in fresh:
                self.enter(c)
        return True

    def lay_by_worth(self, tries: int, stop: Callable[[], bool]) -> int:
        """Lay boards afresh, dearest pieces for their area first; returns how many new ones are worth it."""
        task = self.task
        draw = self.rng.random
        duals = self.duals.tolist()
        found = 0
        worthy = [t for t in range(len(task.demand)) if duals[t] > 0]
        pool = self.pool
        size = task.size
        dense = {t: duals[t] / size[t] for t in worthy}
        for number in range(tries):
            if number & 7 == 0 and stop():
                break
            noise = 0.1 + 0.9 * draw()
            power = 0.6 * draw()
            order = sorted(worthy, key=lambda t: -dense[t] * size[t] ** power * (1 + noise * draw()))
            for empty in self.empties:
                board, taken = fill(task, empty, order, task.demand)
                price = board[6] - (duals[self.limit_row[task.shapes[board[0]].stock]]
                                    if task.shapes[board[0]].stock in self.limit_row else 0.0)
                if sum([duals[t] for t in taken]) > price * (1 + 1e-7) + 1e-7 and board[5] not in pool:
                    pool[board[5]] = (board[6], board[0], board[1])
                    found += 1
        return found

    def choose(self, below: int, step: int, most: int, seconds: float) -> list[int] | None:
        """Keys of boards that cover everything for less than ``below``, or None. ``most`` boards are weighed."""
        np = self.np
        room = below - step - self.optimum
        if room < -1e-6 * below:
            return None
        reduced = self.reduced()
        columns = np.flatnonzero(reduced <= room + 1e-6 * below)
        if len(columns) > most:
            columns = np.sort(columns[np.argsort(reduced[columns], kind="stable")[:most]])
        solver = self.model(columns)
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
        return out if sum(self.pool[k][0] for k in out) < below else None

    def model(self, columns: Any) -> Any:
        """A solver for whole numbers of the chosen boards."""
        np, highspy, task = self.np, self.highspy, self.task
        lp = highspy.HighsLp()
        starts = np.array(self.starts, dtype=np.int64)
        lengths = (starts[1:] - starts[:-1])[columns]
        picks = np.repeat(starts[:-1][columns] - np.concatenate(([0], np.cumsum(lengths)[:-1])), lengths)
        picks = picks + np.arange(int(lengths.sum()))
        lp.num_col_ = len(columns)
        lp.num_row_ = len(task.demand) + len(self.limit_row)
        lp.col_cost_ = np.array([self.pool[self.known[c]][0] for c in columns.tolist()], dtype=np.float64)
        lp.col_lower_ = np.zeros(len(columns))
        lp.col_upper_ = np.full(len(columns), highspy.kHighsInf)
        low = [float(n) for n in task.demand] + [-highspy.kHighsInf] * len(self.limit_row)
        high = [highspy.kHighsInf] * len(task.demand) + [float(task.limits[s]) for s in self.limit_row]
        lp.row_lower_ = np.array(low)
        lp.row_upper_ = np.array(high)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = np.concatenate(([0], np.cumsum(lengths)))
        lp.a_matrix_.index_ = np.array(self.index, dtype=np.int32)[picks]
        lp.a_matrix_.value_ = np.array(self.value, dtype=np.float64)[picks]
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
        solver = quiet_solver()
        solver.passModel(lp)
        return solver


def plan_from(task: Task, pool: Pool, keys: Sequence[int]) -> tuple[list[Board], list[int]]:
    """Boards for the chosen keys, with pieces covered more than once taken off again; and what is left."""
    left = list(task.demand)
    boards = []
    for key in sorted(keys, key=lambda k: (-pool[k][0], k)):
        _, shape, tree = pool[key]
        gone: dict[int, int] = {}
        uses = 0
        used = 0
        for t in types_in(task, tree):
            if left[t]:
                left[t] -= 1
                uses += task.unit[t]
                used += task.size[t]
            else:
                for part in task.members[t]:
                    gone[part[0][3] >> 1] = gone.get(part[0][3] >> 1, 0) + 1
        if used:
            boards.append(board_of(task, shape, trees.without(tree, gone) if gone else tree, uses, used))
    return boards, left
