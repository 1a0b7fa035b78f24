"""Goal-driven ruin and recreate: the same pieces for less money.

The goal is a price below the best known. Boards are given up until the rest is cheap enough; the pieces then
without a board are worked back in by taking a few boards apart again and again. Pieces without a board are
counted by their area; when none is left the goal is met and a lower one is set.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, log
from random import Random

from shopdocs.work.layout import tree as trees
from shopdocs.work.layout.packing import Board, add, board_of, put
from shopdocs.work.layout.pool import Pool
from shopdocs.work.layout.task import Task


@dataclass(frozen=True, slots=True)
class Manner:
    """How boards are taken apart and what is taken for better.

    ``few`` to ``many`` pieces come off in a round. ``close`` is the share of rounds in which pieces come off a
    stretch of a board rather than here and there; ``empty`` is how many further boards are drawn on average, of
    which the emptiest is taken.
    ``heat`` is what may be lost at first, as a share of a board's area; ``worth`` the weight that the set cover's
    worth of a loose piece has against its area. A run of rounds is at most ``longest`` and at most ``growth`` times
    as long as the one before; ``runs`` is how many go from one set cover to the next after the first ``early`` runs,
    ``choose`` whether whole boards of the pool are chosen.
    """

    few: float = 4.0
    many: float = 20.0
    close: float = 0.0
    empty: float = 0.4
    heat: float = 0.004
    worth: float = 0.7
    longest: int = 32_000
    growth: int = 2
    runs: int = 1
    early: int = 1
    choose: bool = True


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
        self.scale = max((e[6] and task.shapes[e[0]].size) for e in empties) or 1
        self.manner = Manner()
        self.weight: list[float] = [float(x) for x in task.size]
        self.reset(boards, left)

    def reset(self, boards: list[Board], left: list[int]) -> None:
        """Take a plan as the best one and set the next goal."""
        self.best = list(boards)
        self.best_left = list(left)
        self.missing = sum(n * s for n, s in zip(left, self.task.size, strict=True))
        self.best_price = sum(b[6] for b in boards)
        for b in boards:
            self.pool.add(b[5], b[0], b[1])
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
            worth = [b[7] / areas[b[0]].size * (0.5 + draw()) if b[6] else 9.0 for b in self.boards]
            i = worth.index(min(worth))
            gone = self.boards.pop(i)
            price -= gone[6]
            self.loose.extend(self.kinds(gone))
        self.begin(price)

    def begin(self, price: int) -> None:
        """Count price, stock and area of the boards and loose pieces to start from."""
        self.price = price
        self.used = [0] * len(self.task.limits)
        for b in self.boards:
            self.used[self.task.shapes[b[0]].stock] += 1
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
        price = sum(b[6] for b in boards)
        if price <= self.goal:
            self.boards = boards
            self.loose = [t for t, n in enumerate(left) for _ in range(n)]
            self.begin(price)

    def start_with(self, boards: list[Board]) -> None:
        """Go on from these boards, empty ones as a rule, with all other pieces put on them afresh."""
        left = list(self.task.demand)
        for b in boards:
            for t in self.kinds(b):
                left[t] -= 1
        self.boards = boards
        self.loose = [t for t, n in enumerate(left) for _ in range(n)]
        self.begin(sum(b[6] for b in boards))
        full, self.loose, _, _, _ = self.recreate(self.boards, self.loose, self.price, self.used, inf)
        self.boards = [b for b in full if b[1] is not None]
        self.begin(sum(b[6] for b in self.boards))

    def kinds(self, board: Board) -> list[int]:
        """The types on a board."""
        type_of = self.task.type_of
        members = self.task.members
        out = []
        seen: dict[int, int] = {}
        for code in trees.codes(board[1]):
            t = type_of[code]
            many = len(members[t])
            if many == 1:
                out.append(t)
            else:
                seen[t] = seen.get(t, 0) + 1
                if seen[t] == many:
                    out.append(t)
        return out

    def run(self, count: int, heat: float, stop: Callable[[], bool], most: int = 1 << 62) -> int:
        """``count`` rounds of ruin and recreate with falling ``heat``, at most ``most``.

        Returns the rounds made; stops early when done or when ``stop`` says so (asked every 16 rounds).
        """
        draw = self.rng.random
        for number in range(min(count, most)):
            if self.done or (number & 15 == 0 and stop()):
                return number
            warmth = heat * self.scale * (1 - number / count)
            most_open = self.open_area - warmth * log(draw() + 1e-12)
            boards, loose, price, used, area = self.ruin_and_recreate(most_open)
            if area <= most_open:
                if not self.pool.full:
                    for i in self.fresh:
                        b = boards[i]
                        self.pool.add(b[5], b[0], b[1])
                self.boards, self.loose, self.price, self.used = boards, loose, price, used
                self.open_area = area
                if not loose or (self.missing and sum([self.task.size[t] for t in loose]) < self.missing):
                    left = [0] * len(self.task.demand)
                    for t in loose:
                        left[t] += 1
                    self.reset(boards, left)
        return min(count, most)

    def ruin_and_recreate(self, most_open: float) -> tuple[list[Board], list[int], int, list[int], float]:
        """One candidate: some boards taken apart, their pieces and the loose ones put back; see ``recreate``."""
        rng = self.rng
        draw = rng.random
        boards = list(self.boards)
        loose = list(self.loose)
        price = self.price
        used = list(self.used)
        later: list[Board] = []
        average = self.pieces / len(boards) if boards else 1.0
        manner = self.manner
        goal = manner.few + (manner.many - manner.few) * draw()
        shapes = self.task.shapes
        many = max(1 + int(draw() * 3.0), int(goal / average))
        share = goal / (many * average)
        # a branch goes with all its pieces, so a smaller share of branches takes this share of pieces
        close = max(1, int(share * average + 0.5)) if share <= 0.6 and draw() < manner.close else 0
        share = 1.0 if share > 0.6 else share * 0.7
        while many > 0 and boards:
            i = int(draw() * len(boards))
            for _ in range(int(manner.empty + draw())):
                j = int(draw() * len(boards))
                if shapes[boards[j][0]].size - boards[j][7] > shapes[boards[i][0]].size - boards[i][7]:
                    i = j
            old = boards.pop(i)
            many -= 1
            rest = self.thinned(old, share, close, loose) if share < 1.0 else None
            if rest is None:
                if share >= 1.0:
                    loose.extend(self.kinds(old))
                price -= old[6]
                used[shapes[old[0]].stock] -= 1
            else:
                later.append(rest)
        boards.extend(later)
        return self.recreate(boards, loose, price, used, most_open)

    def thinned(self, board: Board, share: float, close: int, loose: list[int]) -> Board | None:
        """The board without some of its pieces, which become loose; None if nothing is left.

        Taken off are ``close`` pieces of one stretch or, where that is 0, a random ``share`` of all.
        """
        task = self.task
        removed: list[int] = []
        if close:
            tree = trees.carve(board[1], close, self.rng.random, removed)
        else:
            tree = trees.thin(board[1], share, self.rng.random, removed)
        type_of = task.type_of
        key = board[5]
        area = board[7]
        groups = set()
        for code in removed:
            t = type_of[code]
            if len(task.members[t]) > 1:
                groups.add(t)
                continue
            loose.append(t)
            key -= task.unit[t]
            area -= task.size[t]
        for t in groups:
            tree = trees.without(tree, {part[0][3] >> 1: 1 for part in task.members[t]})
            loose.append(t)
            key -= task.unit[t]
            area -= task.size[t]
        if tree is None:
            return None
        return board_of(task, board[0], tree, key, area)

    def recreate(
        self, boards: list[Board], loose: list[int], price: int, used: list[int], most_open: float
    ) -> tuple[list[Board], list[int], int, list[int], float]:
        """Put loose pieces on boards in a noisy order, opening boards while the goal allows.

        Returns boards, pieces left loose, price, boards used of each stock and the weight left loose. Given up as
        soon as that weight is over ``most_open``: the rest of the pieces is then nowhere.
        """
        task = self.task
        draw = self.rng.random
        size = task.size
        members = task.members
        areas = [s.areas for s in task.shapes]
        unit = task.unit
        far = 1 << 62
        style = draw()
        if style < 0.6:
            noise = 0.1 + 0.6 * draw()
            order = sorted([(-size[t] * (1 + noise * draw()), t) for t in loose])
        elif style < 0.75:
            order = sorted([(-members[t][0][0][0] * (1 + 0.3 * draw()), t) for t in loose])
        elif style < 0.9:
            order = sorted([(-members[t][0][0][1] * (1 + 0.3 * draw()), t) for t in loose])
        else:
            order = sorted([(draw(), t) for t in loose])
        rest: list[int] = []
        weight = self.weight
        open_area = 0.0
        cheapest = min([e[6] for e in self.empties], default=0)
        failed: set[int] = set()
        fresh: set[int] = set()
        # a piece fits only where its two sides do: boards too full for every loose piece are left out at once
        slim = min([leaf[0] for t in loose for leaf in members[t][0]], default=far)
        low = min([leaf[1] for t in loose for leaf in members[t][0]], default=far)
        roomy = [i for i, b in enumerate(boards) if b[3] >= slim and b[4] >= low]
        for _, t in order:
            if t in failed:
                rest.append(t)
                open_area += weight[t]
                if open_area > most_open:
                    break
                continue
            parts = members[t]
            new: Board | None = None
            at = -1
            if len(parts) == 1:
                least = far
                for leaf in parts[0]:
                    w = leaf[0]
                    h = leaf[1]
                    code = leaf[3]
                    for i in roomy:
                        b = boards[i]
                        if b[3] >= w and b[4] >= h:
                            known = b[8].get(code)
                            if known is None:
                                tight = far
                                for spot in b[2]:
                                    x = spot[0] - w
                                    y = spot[1] - h
                                    if x >= 0 and y >= 0:
                                        if y < x:
                                            x = y
                                        if x < tight:
                                            tight = x
                                            found = spot
                                known = b[8][code] = (tight, found) if tight < far else ()
                            if known and known[0] < least:
                                least = known[0]
                                at = i
                                chosen = leaf
                if at >= 0:
                    b = boards[at]
                    spot = b[8][chosen[3]][1]
                    new = board_of(
                        task,
                        b[0],
                        put(b[1], spot[2], spot[3], chosen, len(areas[b[0]])),
                        b[5] + unit[t],
                        b[7] + size[t],
                    )
            else:
                for i, b in enumerate(boards):
                    new = add(task, b, t)
                    if new is not None:
                        at = i
                        break
            if new is None:
                if price + cheapest <= self.goal:
                    new = self.open_board(t, price, used)
                if new is None:
                    failed.add(t)
                    rest.append(t)
                    open_area += weight[t]
                    if open_area > most_open:
                        break
                    continue
                price += new[6]
                used[task.shapes[new[0]].stock] += 1
                at = len(boards)
                boards.append(new)
                roomy.append(at)
                failed.clear()
            else:
                boards[at] = new
            fresh.add(at)
        self.fresh = fresh
        return boards, rest, price, used, open_area

    def open_board(self, kind: int, price: int, used: list[int]) -> Board | None:
        """A new board with a piece of ``kind`` that the goal and the stock allow; cheap for its size first."""
        task = self.task
        best = None
        least = 0.0
        draw = self.rng.random
        spread = 0.6 if draw() < 0.85 else 30.0
        for e in self.empties:
            shape = task.shapes[e[0]]
            if price + e[6] > self.goal or used[shape.stock] >= task.limits[shape.stock]:
                continue
            new = add(task, e, kind)
            if new is None:
                continue
            if len(self.empties) == 1:
                return new
            worth = (e[6] + 1e-9) / shape.size * (0.7 + spread * draw())
            if best is None or worth < least:
                best, least = new, worth
        return best
