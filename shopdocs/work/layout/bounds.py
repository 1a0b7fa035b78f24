"""Proven lower bounds on the price of all pieces.

Every bound here has one form. Give each piece a whole value; let F_s be at least the value of any set of pieces
one board of stock s can carry. A plan with n_s boards then has sum(n_s F_s) >= D, the value of all pieces, so its
price is at least the least sum(n_s p_s) with that property and n_s within the stock. Only whole numbers enter, so
nothing depends on a solver's tolerance: the solver merely proposes values.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import reduce
from math import gcd
from typing import TYPE_CHECKING, NamedTuple

from msgspec.structs import replace

from shopdocs.work.layout.grid import SCALE, Grid
from shopdocs.work.layout.knapsack import Need, cheapest_choice, least_whole_price, roomiest
from shopdocs.work.layout.master import Master
from shopdocs.work.layout.pool import Pool
from shopdocs.work.layout.task import Task
from shopdocs.work.layout.tree import number_of
from shopdocs.work.layout.tuning import BOUND_ROWS, SMOOTH, STRONGEST

if TYPE_CHECKING:
    from shopdocs.work.layout.grid import Whole, Worth


def price_step(task: Task) -> int:
    """Every price is a multiple of this."""
    return reduce(gcd, [s.price for s in task.shapes], 0) or 1


class Offer(NamedTuple):
    """Boards of a stock: what one costs, what it is worth, how many there are."""

    price: int
    value: int
    limit: int


def least_price(total: int, stocks: Sequence[Offer], step: int) -> int | None:
    """The least price of boards worth ``total``, rounded up to ``step``; None: not enough.

    The stocks are taken in order of price for value and the last one in part, which no whole choice can beat.
    """
    price = 0
    for cost, value, limit in sorted((s for s in stocks if s.value > 0), key=lambda s: (s.price / s.value, s)):
        if value * limit >= total:
            price_num = cost * total
            whole = price * value + price_num
            return -(-whole // (value * step)) * step
        total -= value * limit
        price += cost * limit
    return None if total > 0 else price


def stock_values_bound(task: Task, values: dict[int, int], total: int, step: int) -> int | None:
    """``least_price`` for the value of one board of each stock."""
    stocks = task.job.stocks
    return least_price(total, [Offer(stocks[s].price, v, task.limits[s]) for s, v in values.items()], step)


def area_bound(task: Task) -> int:
    """The price of the clear area alone; 0 where the stock cannot be enough."""
    areas: dict[int, int] = {}
    for shape in task.shapes:
        areas[shape.stock] = max(areas.get(shape.stock, 0), shape.size)
    total = sum(n * s for n, s in zip(task.demand, task.size, strict=True))
    if not total:
        return 0
    return stock_values_bound(task, areas, total, price_step(task)) or 0


def plain_needs(task: Task, stocks: Sequence[int]) -> list[Need]:
    """Needs from which pieces fit which stock: at least one such board, and enough area on such boards."""
    areas: dict[int, int] = {}
    fits: dict[frozenset[int], int] = {}
    for shape in task.shapes:
        areas[shape.stock] = max(areas.get(shape.stock, 0), shape.size)
    for t, kind in enumerate(task.members):
        for piece in kind:
            homes = frozenset(
                s.stock
                for s in task.shapes
                for a in s.areas
                if any(w <= a.w and h <= a.h for w, h, _, _, _ in piece.ways)
            )
            area = piece.size * task.demand[t]
            if area:
                fits[homes] = fits.get(homes, 0) + area
    out = []
    for homes in sorted(fits, key=sorted):
        out.append(Need(1, [1 if s in homes else 0 for s in stocks]))
        total = sum(area for other, area in fits.items() if other <= homes)
        out.append(Need(total, [areas[s] if s in homes else 0 for s in stocks]))
    return out


def whole_bound(task: Task, lower: int, price: int) -> int:
    """The bound ``lower`` sharpened by whole boards that have room for the pieces that fit only them."""
    if lower >= price:
        return lower
    stocks = sorted({s.stock for s in task.shapes})
    return least_whole_price(
        plain_needs(task, stocks),
        [task.job.stocks[s].price for s in stocks],
        [task.limits[s] for s in stocks],
        lower,
        price,
    )


def bound_for_placed(task: Task, left: Sequence[int]) -> int:
    """A bound for the pieces that are placed, when some are not."""
    demand = tuple(n - m for n, m in zip(task.demand, left, strict=True))
    return area_bound(replace(task, demand=demand))


def _family(sizes: Whole, whole: int) -> tuple[Whole, Whole]:
    """Dual-feasible functions of one direction: of each the values of the pieces, a row, and the scale of the board.

    For pieces x and board W: the true size; u^(k) made whole, ceil((k+1) x / W) - 1 on k; and size with pieces
    over W - e counted whole and pieces under e left out (Fekete & Schepers 2001, U^(e)).
    """
    import numpy as np

    out = [sizes]
    scales = [whole]
    for k in (1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 13):
        if k < whole:
            out.append(-(-(k + 1) * sizes // whole) - 1)
            scales.append(k)
    limits = sorted({int(x) for x in sizes if 2 * x <= whole} | {whole - int(x) + 1 for x in sizes if 2 * x > whole})
    for e in limits[:40]:
        if 2 * e <= whole:
            out.append(np.where(sizes > whole - e, whole, np.where(sizes < e, 0, sizes)))
            scales.append(whole)
    half = whole // 2
    for p in limits[:40]:
        if 1 < p <= half:
            big = sizes > half
            out.append(
                np.where(big, 2 * (whole // p) - 2 * ((whole - sizes) // p), np.where(sizes >= p, 2 * (sizes // p), 0))
            )
            scales.append(2 * (whole // p))
    return np.array(out), np.array(scales)


def quick_bound(task: Task) -> int:
    """The best of the area bound and products of dual-feasible functions; these only for one stock that may be
    bought without limit and pieces that keep their grain."""
    best = area_bound(task)
    if len(task.shapes) != 1 or any(len(piece.ways) != 1 for kind in task.members for piece in kind):
        return best
    (shape,) = task.shapes
    if len(shape.areas) != 1:
        return best
    import numpy as np

    (area,) = shape.areas
    sizes = [piece.as_it_lies for kind in task.members for piece in kind]
    count = np.array([n for kind, n in zip(task.members, task.demand, strict=True) for _ in kind], dtype=np.int64)
    across, across_scale = _family(np.array([size.w for size in sizes], dtype=np.int64), area.w)
    up, up_scale = _family(np.array([size.h for size in sizes], dtype=np.int64), area.h)
    totals = (across * count) @ up.T
    scale = across_scale[:, None] * up_scale[None, :]
    boards = int((-(-totals // scale)).max())
    return max(best, min(boards, task.limits[shape.stock]) * shape.price)


class Pattern(NamedTuple):
    """A board that may do: its stock, and how many pieces of each column it carries."""

    stock: int
    counts: dict[int, int]


class Proven(NamedTuple):
    """A need and the bound that it alone proves; 0 for a plain need."""

    bound: int
    need: Need


class PriceBound:
    """Column generation on a grid: the master proposes values, whole numbers prove the bound."""

    def __init__(self, task: Task, finest: int, best: int) -> None:
        self.task = task
        self.grid = Grid(task, finest)
        self.step = price_step(task)
        self.best = best
        stocks = sorted({s.stock for s in task.shapes})
        self.row_of, self.weight = self.rows(BOUND_ROWS)
        need = [0] * (max(self.row_of, default=-1) + 1)
        for column, n in enumerate(self.grid.demand):
            need[self.row_of[column]] += n * self.weight[column]
        self.master = Master(need, {s: task.limits[s] for s in stocks})
        self.stocks = stocks
        self.column_of = {task.members[t][m].number: i for i, (t, m) in enumerate(self.grid.columns)}
        np = self.grid.np
        area = [float(task.members[t][m].size) for t, m in self.grid.columns]
        self.finished = False
        self.patterns: list[Pattern] = []
        self.weighed = (0, 0)
        self.center: Worth = np.array(area)
        total = float(np.dot(self.center, np.array(self.grid.demand, dtype=np.float64)))
        self.center *= max(1, self.best) / max(1.0, total)
        self.ruled_out: list[Need] = []
        self.needs = [Proven(0, need) for need in plain_needs(task, stocks)]

    def rows(self, most: int) -> tuple[list[int], list[int]]:
        """The master's row of each piece and its weight there.

        Every piece has a row of its own while there are few; else neighbours in size share a row, weighed by
        their area. That only restricts the values proposed, which are proven afterwards all the same.
        """
        columns = self.grid.columns
        if len(columns) <= most:
            return list(range(len(columns))), [1] * len(columns)
        sizes = [self.task.members[t][m].as_it_lies for t, m in columns]
        row = [0] * len(columns)
        bands = int(most**0.5)
        order = sorted(range(len(columns)), key=lambda c: (sizes[c].h, sizes[c].w, c))
        size = -(-len(order) // bands)
        for band in range(0, len(order), size):
            inner = sorted(order[band : band + size], key=lambda c: (sizes[c], c))
            for i, c in enumerate(inner):
                row[c] = band // size * bands + i * bands // len(inner)
        used = {r: i for i, r in enumerate(sorted(set(row)))}
        unit = max(1, min(w * h for w, h in sizes) // 100)
        return [used[r] for r in row], [w * h // unit for w, h in sizes]

    def offer(self, stock: int, price: int, counts: dict[int, int]) -> bool:
        """Add a board to the master."""
        rows: dict[int, int] = {}
        for column, n in counts.items():
            row = self.row_of[column]
            rows[row] = rows.get(row, 0) + n * self.weight[column]
        return self.master.add(stock, price, rows)

    def seed(self, pool: Pool, keys: Iterable[int]) -> None:
        """Start from true boards of the pool, which must cover all pieces."""
        task = self.task
        for key in keys:
            counts: dict[int, int] = {}
            for code in pool.codes(key):
                column = self.column_of[number_of(code)]
                counts[column] = counts.get(column, 0) + 1
            stock = task.shapes[pool.shape(key)].stock
            if self.offer(stock, pool.price(key), counts):
                self.patterns.append(Pattern(stock, counts))

    def run(self, rounds: int, stop: Callable[[], bool], enough: int) -> int:
        """Improve the bound until it reaches ``enough`` or ``rounds`` are over; returns the best bound."""
        np = self.grid.np
        for _ in range(rounds):
            if self.best >= enough or stop():
                break
            duals = self.master.solve()
            if duals is None:
                break
            values = np.array(duals.rows)[self.row_of] * np.array(self.weight)
            found = self.price_out(SMOOTH * self.center + (1 - SMOOTH) * values, duals.stocks)
            if not found:
                found = self.price_out(values, duals.stocks)
            if not found:
                self.finished = True
                break
        return self.best

    def try_worth(self, worth: Sequence[float]) -> None:
        """Prove a bound with a worth of each type, shared out among the pieces of a group by their area."""
        members, size = self.task.members, self.task.size
        self.price_out(
            self.grid.np.array([worth[t] * members[t][m].size / size[t] for t, m in self.grid.columns]),
            {},
        )

    def try_values(self, values: Worth) -> None:
        """Prove a bound with the values that were best on a coarser grid."""
        self.center = values
        self.price_out(values, {})

    def strongest(self) -> list[Need]:
        """The needs to look at: those of the highest bounds, the plain ones, and those that ruled a choice out."""
        found = sorted(self.needs, key=lambda x: -x.bound)[:STRONGEST] + [x for x in self.needs if x.bound == 0]
        return [x.need for x in found] + self.ruled_out

    def prices(self) -> list[int]:
        """What one board of each stock costs, in the order of ``stocks``."""
        return [self.task.job.stocks[s].price for s in self.stocks]

    def limits(self) -> list[int]:
        """The most boards of each stock that a plan may use, in the order of ``stocks``."""
        return [self.task.limits[s] for s in self.stocks]

    def whole(self, enough: int) -> int:
        """Sharpen the bound with whole boards and all needs found; ``enough`` is a known price."""
        if self.best < enough and (len(self.needs) + len(self.ruled_out), enough) != self.weighed:
            self.weighed = (len(self.needs) + len(self.ruled_out), enough)
            price = least_whole_price(self.strongest(), self.prices(), self.limits(), self.best, enough)
            self.best = max(self.best, price)
        return self.best

    def cheapest_choice(self, enough: int) -> list[int] | None:
        """The cheapest choice of boards below the price ``enough`` that meets all needs; raises the bound to its price.
        None where there is none or the search for it was given up."""
        price, choice = cheapest_choice(self.strongest(), self.prices(), self.limits(), self.best, enough)
        self.best = max(self.best, price)
        return choice

    def choices(self, most: int) -> list[list[int]] | None:
        """Choices of boards (counts by stock) for at most ``most`` that may carry everything, roomiest first; None
        where they are too many."""
        return roomiest(self.strongest(), self.prices(), self.limits(), most, min(STRONGEST, len(self.needs)))

    def price_out(self, values: Worth, stock_duals: dict[int, float]) -> bool:
        """Prove a bound with these values and add boards that show where they were too high."""
        grid = self.grid
        np = grid.np
        top, whole = grid.in_whole_numbers(values)
        tables = grid.tables(whole)
        worth = grid.stock_values(tables)
        total = int(np.dot(whole, np.array(grid.demand, dtype=np.int64)))
        bound = stock_values_bound(self.task, {s: v for s, (v, _) in worth.items()}, total, self.step)
        if bound is not None:
            self.needs.append(Proven(bound, Need(total, [worth[s].value for s in self.stocks])))
        if bound is not None and bound > self.best:
            self.best = bound
            self.center = values
        fresh = False
        stocks = self.task.job.stocks
        for s, (v, way) in worth.items():
            if v * top / SCALE > stocks[s].price + stock_duals.get(s, 0.0) + 1e-7 * (1 + stocks[s].price):
                need = (stocks[s].price + stock_duals.get(s, 0.0)) * SCALE / top
                for area_split in grid.splits(tables, grid.areas[s][way], int(need) + 1):
                    counts = grid.pattern(tables, whole, area_split)
                    if self.offer(s, stocks[s].price, counts):
                        fresh = True
                        self.patterns.append(Pattern(s, counts))
        return fresh
