"""A cheaper plan from boards already met: set cover over the pool, and new boards made for its prices of pieces."""

from __future__ import annotations

from array import array
from collections.abc import Callable, Iterable, Sequence
from random import Random
from typing import TYPE_CHECKING

from shopdocs.work.layout import tree as trees
from shopdocs.work.layout.master import quiet_solver
from shopdocs.work.layout.packing import Board, board_of, fill, types_in
from shopdocs.work.layout.pool import Pool
from shopdocs.work.layout.task import Task
from shopdocs.work.layout.tuning import BLENDS, COVER_MOST, COVER_NODES

if TYPE_CHECKING:
    import highspy

    from shopdocs.work.layout.grid import Whole, Worth


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
        self.prices = array("d")
        self.starts = array("q", [0])
        self.index = array("i")
        self.value = array("d")
        self.inside: list[bool] = []
        self.columns_inside: list[int] = []
        stocks = [s for s in sorted({x.stock for x in task.shapes}) if task.limits[s] < 10**9]
        self.limit_row = {s: len(task.demand) + i for i, s in enumerate(stocks)}
        self.solver = quiet_solver()
        none = (np.array([], dtype=np.int32), np.array([], dtype=np.float64))
        for n in task.demand:
            self.solver.addRow(float(n), highspy.kHighsInf, 0, *none)
        for s in stocks:
            self.solver.addRow(-highspy.kHighsInf, float(task.limits[s]), 0, *none)
        self.duals: Worth = np.zeros(0)  # until the first answer
        self.optimum = 0.0
        self.failed = 0
        self.rest = 2
        self.most = COVER_MOST

    def take(self) -> None:
        """Note the pieces of boards new in the pool."""
        task = self.task
        pool = self.pool
        for key in pool.keys[len(self.prices) :]:
            counts = counted(pool.types(key))
            self.index.extend(counts)
            self.value.extend(counts.values())
            row = self.limit_row.get(task.shapes[pool.shape(key)].stock)
            if row is not None:
                self.index.append(row)
                self.value.append(1)
            self.starts.append(len(self.index))
            self.prices.append(pool.price(key))
            self.inside.append(False)

    def liked(self, most: int = 400) -> list[int]:
        """Keys of boards in the relaxation: those it uses and those nearest to it."""
        values = self.solver.getSolution().col_value
        reduced = self.solver.getSolution().col_dual
        rated = sorted((-x, r, c) for c, x, r in zip(self.columns_inside, values, reduced, strict=True))
        used = sum(1 for x, _, _ in rated if x < -1e-9)
        return [self.pool.keys[c] for _, _, c in rated[: max(most, used + most // 2)]]

    def enter(self, column: int) -> None:
        """Put a board into the relaxation."""
        np = self.np
        self.inside[column] = True
        self.columns_inside.append(column)
        a, b = self.starts[column], self.starts[column + 1]
        self.solver.addCol(
            self.prices[column],
            0.0,
            self.highspy.kHighsInf,
            b - a,
            np.array(self.index[a:b], dtype=np.int32),
            np.array(self.value[a:b], dtype=np.float64),
        )

    def reduced(self) -> Worth:
        """Price less worth of every known board at the present duals."""
        np = self.np
        worth = self.duals[np.frombuffer(self.index, dtype=np.int32)] * np.frombuffer(self.value)
        starts = np.frombuffer(self.starts, dtype=np.int64)[:-1]
        reduced: Worth = np.frombuffer(self.prices) - np.add.reduceat(worth, starts)
        return reduced

    def relax(self, plan: Sequence[Board], stop: Callable[[], bool], most: int = 200, rounds: int = 30) -> bool:
        """Solve the relaxation over the whole pool; False if there is no answer in time."""
        np = self.np
        self.take()
        for b in plan:
            column = self.pool.place[b.key]
            if not self.inside[column]:
                self.enter(column)
        for _ in range(rounds):
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

    def lay_by_worth(self, tries: int, left: Sequence[int], stop: Callable[[], bool]) -> int:
        """Lay boards anew, dearest pieces for their area first; returns how many new ones are worth their price.

        Half of them start from a board the relaxation likes, with a part of its pieces taken off. ``left`` are
        the copies that may be used of each type.
        """
        task = self.task
        draw = self.rng.random
        duals = self.duals.tolist()
        size = task.size
        pool = self.pool
        wanted = [t for t in range(len(task.demand)) if left[t]]
        if not wanted:
            return 0
        even = self.optimum / max(1, sum([n * s for n, s in zip(left, size, strict=True)]))
        blends = [[(1 - b) * d + b * even * s for d, s in zip(duals, size, strict=False)] for b in BLENDS]
        liked = [k for k, x in zip(self.columns_inside, self.solver.getSolution().col_value, strict=True) if x > 1e-9]
        found = 0
        for number in range(tries):
            if number & 7 == 0 and stop():
                break
            noise = 0.1 + 0.9 * draw()
            power = 0.4 + 0.6 * draw()
            worth = blends[int(len(blends) * draw())]
            order = [
                t
                for _, t in sorted(
                    [(-worth[t] / size[t] ** power * (1 + noise * draw()), t) for t in wanted if worth[t] > 0]
                )
            ]
            if number & 1 and liked:
                starts: list[tuple[Board, Sequence[int]]] = [
                    self.thinned(liked[int(draw() * len(liked))], left, 0.1 + 0.4 * draw())
                ]
            else:
                starts = [(e, left) for e in self.empties]
            for start, there in starts:
                board, _ = fill(task, start, order, there)
                if board.key in pool:
                    continue
                value = sum([worth[t] for t in self.types(board)])
                row = self.limit_row.get(task.shapes[board.shape].stock)
                price = board.price - (duals[row] if row is not None else 0.0)
                if value > price * (1 + 1e-7) + 1e-7:
                    pool.add(board.key, board.shape, board.tree)
                    found += 1
        return found

    def lay_evenly(self, tries: int, stop: Callable[[], bool]) -> None:
        """Lay boards that are denser for their price than the plan, every piece worth its area."""
        task = self.task
        size = self.np.array([*task.size, *[0] * len(self.limit_row)], dtype=self.np.float64)
        kept = self.duals
        area = sum([n * s for n, s in zip(task.demand, task.size, strict=True)])
        self.duals = size * (self.optimum / max(1, area))
        self.lay_by_worth(tries, task.demand, stop)
        self.duals = kept

    def types(self, board: Board) -> list[int]:
        """The types on a board."""
        return types_in(self.task, trees.codes(board.tree))

    def thinned(self, column: int, left: Sequence[int], share: float) -> tuple[Board, list[int]]:
        """A known board without a random share of its pieces, and the copies then left."""
        task = self.task
        key = self.pool.keys[column]
        shape = self.pool.shape(key)
        tree = trees.thin(self.pool.tree(key), share, self.rng.random, [])
        rest = list(left)
        key = task.base[task.shapes[shape].stock]
        used = 0
        taken = counted(task.type_of[code] for code in trees.codes(tree))
        drop: dict[int, int] = {}
        for t, n in taken.items():
            parts = task.members[t]
            whole = n // len(parts) if n % len(parts) == 0 else 0
            keep = min(whole, rest[t])
            if keep * len(parts) < n:
                for part in parts:
                    drop[part.number] = n if not keep else n - keep
            rest[t] -= keep
            key += keep * task.unit[t]
            used += keep * task.size[t]
        if drop:
            tree = trees.without(tree, drop)
        return board_of(task, shape, tree, key, used), rest

    def dive(self, few: int, stop: Callable[[], bool]) -> list[int] | None:
        """Round the relaxation to whole boards until at most ``few`` pieces are left; None if that fails.

        The surest boards are taken, the relaxation is solved for the rest, new boards are laid for it.
        """
        task, highspy = self.task, self.highspy
        left = list(task.demand)
        stock_left = {s: task.limits[s] for s in self.limit_row}
        out: list[int] = []
        solver = self.solver
        try:
            while sum(left) > few:
                values = solver.getSolution().col_value
                rated = sorted([(-x, c) for c, x in zip(self.columns_inside, values, strict=True) if x > 1e-6])
                sure = [(c, max(1, int(-x + 1e-6))) for x, c in rated if -x >= 0.75]
                taken = sum([self.useful(c, n, left, stock_left, out, True) for c, n in sure])
                surest = [c for _, c in rated[:1]]
                if not taken and not any(self.useful(c, 1, left, stock_left, out, False) for c in surest):
                    return None
                for t, n in enumerate(left):
                    solver.changeRowBounds(t, float(n), highspy.kHighsInf)
                for s, row in self.limit_row.items():
                    solver.changeRowBounds(row, -highspy.kHighsInf, float(stock_left[s]))
                solver.run()
                if stop() or solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                    return None
                self.duals = self.np.array(solver.getSolution().row_dual)
                self.optimum = solver.getInfo().objective_function_value
                if self.lay_by_worth(10, left, stop) and not self.relax((), stop, rounds=2):
                    return None
        finally:
            for t, n in enumerate(task.demand):
                solver.changeRowBounds(t, float(n), highspy.kHighsInf)
            for s, row in self.limit_row.items():
                solver.changeRowBounds(row, -highspy.kHighsInf, float(task.limits[s]))
        return out

    def useful(
        self, column: int, most: int, left: list[int], stock_left: dict[int, int], out: list[int], fully: bool
    ) -> int:
        """Take up to ``most`` copies of a board while (all of) its pieces are wanted; counts ``left`` down."""
        stock = self.task.shapes[self.pool.shape(self.pool.keys[column])].stock
        a, b = self.starts[column], self.starts[column + 1]
        rows = [(r, int(n)) for r, n in zip(self.index[a:b], self.value[a:b], strict=True) if r < len(left)]
        taken = 0
        while (
            taken < most
            and stock_left.get(stock, 1) > 0
            and (all(left[r] >= n for r, n in rows) if fully else any(left[r] for r, _ in rows))
        ):
            for r, n in rows:
                left[r] = max(0, left[r] - n)
            if stock in stock_left:
                stock_left[stock] -= 1
            out.append(self.pool.keys[column])
            taken += 1
        return taken

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
        solver.setOptionValue("mip_max_nodes", COVER_NODES)
        solver.setOptionValue("objective_target", float(below - step) + 0.5)
        solver.setOptionValue("objective_bound", float(below) - 0.5)
        solver.setOptionValue("time_limit", max(0.01, seconds))
        solver.run()
        solution = solver.getSolution()
        if not solution.value_valid:
            return None
        out = [
            self.pool.keys[c]
            for c, x in zip(columns.tolist(), solution.col_value, strict=True)
            for _ in range(int(x + 0.5))
        ]
        return out if sum(self.pool.price(k) for k in out) < below else None

    def model(self, columns: Whole) -> highspy.Highs:
        """A solver for whole numbers of the chosen boards."""
        np, highspy, task = self.np, self.highspy, self.task
        lp = highspy.HighsLp()
        starts = np.frombuffer(self.starts, dtype=np.int64)
        lengths = (starts[1:] - starts[:-1])[columns]
        picks = np.repeat(starts[:-1][columns] - np.concatenate(([0], np.cumsum(lengths)[:-1])), lengths)
        picks = picks + np.arange(int(lengths.sum()))
        lp.num_col_ = len(columns)
        lp.num_row_ = len(task.demand) + len(self.limit_row)
        lp.col_cost_ = np.frombuffer(self.prices)[columns]
        lp.col_lower_ = np.zeros(len(columns))
        lp.col_upper_ = np.full(len(columns), highspy.kHighsInf)
        low = [float(n) for n in task.demand] + [-highspy.kHighsInf] * len(self.limit_row)
        high = [highspy.kHighsInf] * len(task.demand) + [float(task.limits[s]) for s in self.limit_row]
        lp.row_lower_ = np.array(low)
        lp.row_upper_ = np.array(high)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = np.concatenate(([0], np.cumsum(lengths)))
        lp.a_matrix_.index_ = np.frombuffer(self.index, dtype=np.int32)[picks]
        lp.a_matrix_.value_ = np.frombuffer(self.value)[picks]
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
        solver = quiet_solver()
        solver.passModel(lp)
        return solver


def counted(codes: Iterable[int]) -> dict[int, int]:
    """How often each code occurs."""
    out: dict[int, int] = {}
    for code in codes:
        out[code] = out.get(code, 0) + 1
    return out


def plan_from(task: Task, pool: Pool, keys: Sequence[int]) -> tuple[list[Board], list[int]]:
    """Boards for the chosen keys, with pieces covered more than once taken off again; and what is left."""
    left = list(task.demand)
    boards = []
    for key in sorted(keys, key=lambda k: (-pool.price(k), k)):
        shape, tree = pool.shape(key), pool.tree(key)
        gone: dict[int, int] = {}
        uses = task.base[task.shapes[shape].stock]
        used = 0
        for t in pool.types(key):
            if left[t]:
                left[t] -= 1
                uses += task.unit[t]
                used += task.size[t]
            else:
                for part in task.members[t]:
                    gone[part.number] = gone.get(part.number, 0) + 1
        if used:
            boards.append(board_of(task, shape, trees.without(tree, gone) if gone else tree, uses, used))
    return boards, left
