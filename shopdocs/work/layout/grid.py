"""Sizes rounded onto a coarse grid so that every true layout stays possible, and the dearest layout on it.

Rounding is a dual-feasible function: with c = (k + 1) / W a piece w becomes ceil(c w) - 1 and a board L becomes
ceil(c L) - 1. Whatever fits the board fits on the grid, because the sum of ceil(c w_i) - 1 is less than
c * sum(w_i) <= c L, and a whole number below c L is at most ceil(c L) - 1. For L = W the grid has k units; k = W
changes nothing (Fekete & Schepers 2001, Mathematical Programming 91, function u^(k), made whole).

The value of a board is the dearest set of pieces, any number of each, that through cuts can take from it
(Gilmore & Gomory 1965, Operations Research 13): never less than what any true board can carry.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from msgspec import Struct, field

from shopdocs.work.layout.task import Task
from shopdocs.work.layout.tree import ANY, CROSSCUT_THEN_RIP, RIP_ONLY
from shopdocs.work.layout.tuning import GRID_AT_ONCE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Whole = NDArray[np.int64]
    Worth = NDArray[np.float64]

SCALE = 10**7

WORSE = -(10**17)


def on_grid(size: int, whole: int, k: int) -> int:
    """``size`` on a grid of ``k`` units for ``whole``."""
    return -(-(k + 1) * size // whole) - 1


class GridArea(NamedTuple):
    """A clear area in units of a grid, and how it may be cut."""

    w: int
    h: int
    rule: int


class Column(NamedTuple):
    """A piece that is priced: its type, and which of the type's members it is."""

    kind: int
    member: int


class Part(NamedTuple):
    """A way for the piece of a column to lie, in units of a grid."""

    column: int
    w: int
    h: int


class Dearest(NamedTuple):
    """The value of a stock, and the number of the partition that gives it."""

    value: int
    way: int


class Tables(Struct):
    """Values of all sizes (w, h) for given values of pieces: of one piece, and of the best that cuts give: ripped only,
    or through cuts of any kind where the task has boards cut so. ``rows`` are values of crosscut boards by their width,
    ``traced`` the pieces (column -> count) in areas that were taken apart."""

    base: NDArray[np.int32]
    best: Whole
    rows: dict[int, Whole] = field(default_factory=dict)
    traced: dict[GridArea, dict[int, int]] = field(default_factory=dict)


class Grid:
    """Pieces and areas of a task on a grid, and the value of each stock for given prices of pieces.

    ``columns`` are the pieces priced, more than one for a together-group. ``parts`` are the ways they may lie.
    ``lost`` columns vanish on the grid (a size of 0) and must be given no value.
    """

    def __init__(self, task: Task, finest: int) -> None:
        import numpy as np

        self.np = np
        self.task = task
        self.whole_w = max(a.w for s in task.shapes for a in s.areas)
        self.whole_h = max(a.h for s in task.shapes for a in s.areas)
        self.columns = [Column(t, m) for t, kind in enumerate(task.members) for m in range(len(kind))]
        pieces = [task.members[t][m] for t, m in self.columns]
        self.demand = [task.demand[t] for t, _ in self.columns]
        across = [min(w for w, _, _, _, _ in piece.ways) for piece in pieces]
        up = [min(h for _, h, _, _, _ in piece.ways) for piece in pieces]
        sizes = [piece.size for piece in pieces]
        self.k_w = self.choose(list(zip(across, sizes, self.demand, strict=True)), self.whole_w, finest)
        self.k_h = self.choose(list(zip(up, sizes, self.demand, strict=True)), self.whole_h, finest)
        self.parts = [
            Part(i, on_grid(w, self.whole_w, self.k_w), on_grid(h, self.whole_h, self.k_h))
            for i, piece in enumerate(pieces)
            for w, h, _, _, _ in piece.ways
        ]
        self.lost = sorted({i for i, w, h in self.parts if w == 0 or h == 0})
        self.areas: dict[int, list[list[GridArea]]] = {}
        for shape in task.shapes:
            self.areas.setdefault(shape.stock, []).append(
                [
                    GridArea(on_grid(a.w, self.whole_w, self.k_w), on_grid(a.h, self.whole_h, self.k_h), a.rule)
                    for a in shape.areas
                ]
            )
        self.free = any(a.rule == ANY for s in task.shapes for a in s.areas)
        self.p_index = np.array([p.column for p in self.parts])
        self.p_w = np.array([p.w for p in self.parts])
        self.p_h = np.array([p.h for p in self.parts])

    def choose(self, sizes: list[tuple[int, int, int]], whole: int, finest: int) -> int:
        """The grid on which the pieces, by their size this way, area and count, keep most of their size; the true size
        where it is fine enough."""
        if whole <= finest:
            return whole
        best, best_k = -1.0, finest
        for k in range(max(1, finest // 2), finest + 1):
            kept = sum(n * area * (-(-(k + 1) * w // whole) - 1) / (k * w) for w, area, n in sizes)
            if kept > best:
                best, best_k = kept, k
        return best_k

    def close(self, line: Whole) -> Whole:
        """The best sum of parts of a line of values by size, any number of parts."""
        np = self.np
        size = len(line)
        half = (size - 1) // 2
        if not half:
            return line
        padded = np.empty(size + half, dtype=np.int64)
        padded[:half] = WORSE
        # rest[h, i] is the value of size h - 1 - i, a view of the line shifted by one for each row
        (step,) = padded.strides
        rest = np.lib.stride_tricks.as_strided(padded[half - 1 :], (size, half), (step, -step), writeable=False)
        while True:
            padded[half:] = line
            new = line.copy()
            for at in range(0, half, GRID_AT_ONCE):  # a part of the sums at a time takes less memory
                sums = rest[:, at : at + GRID_AT_ONCE] + line[at + 1 : min(at + GRID_AT_ONCE, half) + 1]
                np.maximum(new, sums.max(axis=1), out=new)
            if (new == line).all():
                return line
            line = new

    def in_whole_numbers(self, values: Worth) -> tuple[float, Whole]:
        """The largest of the values (a number for each column) and all of them rounded down to so many of `SCALE`
        parts of it: bounds are proven with whole numbers only. What was lost on this grid is worth nothing."""
        top = max(float(values.max()), 1e-12)
        whole = self.np.maximum(self.np.floor(values * (SCALE / top)), 0).astype(self.np.int64)
        whole[self.lost] = 0
        return top, whole

    def tables(self, value: Whole) -> Tables:
        """The values of all sizes, where each column has such a value."""
        np = self.np
        base = np.zeros((self.k_w + 1, self.k_h + 1), dtype=np.int32)  # one piece is worth SCALE at most
        np.maximum.at(base, (self.p_w, self.p_h), value[self.p_index].astype(np.int32))
        np.maximum.accumulate(base, axis=0, out=base)
        np.maximum.accumulate(base, axis=1, out=base)
        if not self.free:
            stack = base.astype(np.int64)
            for w in range(1, self.k_w + 1):
                if (base[w] == base[w - 1]).all():
                    stack[w] = stack[w - 1]
                else:
                    stack[w] = self.close(stack[w])
            return Tables(base, stack)
        free = base.astype(np.int64)
        grown: list[int] = []  # lengths worth more than the one before: the smaller part of a cut is one of them
        for w in range(1, self.k_w + 1):
            line = np.maximum(base[w], free[w - 1])
            parts = np.array([i for i in grown if 2 * i <= w], dtype=np.int64)
            if len(parts):
                np.maximum(line, (free[parts] + free[w - parts]).max(axis=0), out=line)
            if (line == free[w - 1]).all():
                free[w] = line
            else:
                free[w] = self.close(line)
                grown.append(w)
        return Tables(base, free)

    def value_of(self, tables: Tables, area: GridArea) -> int:
        """The value of one clear area."""
        w, h, rule = area
        if w <= 0 or h <= 0:
            return 0
        if rule in (ANY, RIP_ONLY):
            return int(tables.best[w, h])
        return int(self.row_line(tables, h)[w])

    def row_line(self, tables: Tables, h: int) -> Whole:
        """Values of crosscut-then-rip boards of all lengths with width h."""
        if h not in tables.rows:
            tables.rows[h] = self.close(tables.best[:, h])
        return tables.rows[h]

    def stock_values(self, tables: Tables) -> dict[int, Dearest]:
        """For each stock its best partition."""
        out = {}
        for stock, ways in self.areas.items():
            values = [sum(self.value_of(tables, a) for a in way) for way in ways]
            out[stock] = Dearest(max(values), values.index(max(values)))
        return out

    def splits(self, tables: Tables, way: list[GridArea], least: int, most: int = 8) -> list[list[GridArea]]:
        """Ways to part a board once so that the halves are worth ``least`` together, the dearest first, and whole."""
        np = self.np
        out = [way]
        if len(way) != 1:
            return out
        ((w, h, rule),) = way
        if rule != ANY:
            return out
        free = tables.best
        choices = []
        for axis, line, size in (("x", free[:, h], w), ("y", free[w], h)):
            half = size // 2
            if half:
                sums = line[1 : half + 1] + line[size - 1 : size - half - 1 : -1]
                for i in np.flatnonzero(sums >= least).tolist():
                    choices.append((-int(sums[i]), axis, i + 1))
        choices.sort()
        for _, axis, i in choices[:: max(1, len(choices) // most)][:most]:
            if axis == "x":
                out.append([GridArea(i, h, rule), GridArea(w - i, h, rule)])
            else:
                out.append([GridArea(w, i, rule), GridArea(w, h - i, rule)])
        return out

    def pattern(self, tables: Tables, value: Whole, way: list[GridArea]) -> dict[int, int]:
        """Pieces (column -> count) that make up the value of areas."""
        out: dict[int, int] = {}
        for area in way:
            if area.w > 0 and area.h > 0:
                for column, n in self.trace(tables, value, area).items():
                    out[column] = out.get(column, 0) + n
        return out

    def trace(self, tables: Tables, value: Whole, area: GridArea) -> dict[int, int]:
        """Take the value of an area apart into the pieces that give it; what is known of its parts is kept."""
        out = tables.traced.get(area)
        if out is None:
            out = {}
            parts = self.part(tables, value, area)
            if isinstance(parts, int):
                if parts >= 0:
                    out[parts] = 1
            else:
                for part in parts:
                    for column, n in self.trace(tables, value, part).items():
                        out[column] = out.get(column, 0) + n
            tables.traced[area] = out
        return out

    def part(self, tables: Tables, value: Whole, area: GridArea) -> int | tuple[GridArea, ...]:
        """The piece that gives an area its value (-1: worth nothing), or the parts that do."""
        np = self.np
        w, h, rule = area
        half = w // 2
        if rule == CROSSCUT_THEN_RIP:
            line = self.row_line(tables, h)
            if line[w] == tables.best[w, h]:
                return (GridArea(w, h, RIP_ONLY),)
            i = 1 + int(np.argmax(line[1 : half + 1] + line[w - 1 : w - half - 1 : -1]))
            return GridArea(i, h, rule), GridArea(w - i, h, rule)
        table = tables.best
        full = table[w, h]
        if full == 0:
            return -1
        if full == tables.base[w, h]:
            fits = (self.p_w <= w) & (self.p_h <= h) & (value[self.p_index] == full)
            return int(self.p_index[int(np.argmax(fits))])
        if h > 1:
            sums = table[w, 1 : h // 2 + 1] + table[w, h - 1 : h - h // 2 - 1 : -1]
            i = int(np.argmax(sums))
            if sums[i] == full:
                return GridArea(w, i + 1, rule), GridArea(w, h - i - 1, rule)
        if rule == RIP_ONLY:
            return (GridArea(w - 1, h, rule),)
        i = 1 + int(np.argmax(table[1 : half + 1, h] + table[w - 1 : w - half - 1 : -1, h]))
        return GridArea(i, h, rule), GridArea(w - i, h, rule)
