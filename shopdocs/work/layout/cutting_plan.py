"""The cutting plan: what to take, how to saw it, what it costs and how good it provably is."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from time import perf_counter

from msgspec import Struct

from shopdocs.work.layout.bounds import bound_for_placed
from shopdocs.work.layout.cut_order import Cut, Sawn, saw_up
from shopdocs.work.layout.packing import Board, empty_boards
from shopdocs.work.layout.problem import Job, Rect, check
from shopdocs.work.layout.solve import Clock, solve
from shopdocs.work.layout.task import LeftOver, Task, prepare
from shopdocs.work.layout.tidy import tidy
from shopdocs.work.layout.tuning import (
    DEFAULT_LARGE,
    DEFAULT_SECONDS,
    DEFAULT_SECONDS_LARGE,
    FIRST,
    LARGE,
    SWIFT_AFTER,
    TIDY_SECONDS,
    TIDY_SHARE,
)


class BoundError(Exception):
    """A proven bound above the price: an error of this program that must never reach paper."""


class Placed(Struct, frozen=True):
    """One piece on a board: want id, rough size as it lies, turned across the grain or not."""

    want: str
    x: int
    y: int
    length: int
    width: int
    turned: bool


class BoardPlan(Struct, frozen=True):
    """One board sawn up. ``area`` is that of the whole stock, ``used`` that of its pieces."""

    stock: str
    price: int
    pieces: tuple[Placed, ...]
    cuts: tuple[Cut, ...]
    offcuts: tuple[Rect, ...]
    area: int
    used: int


class Unplaced(Struct, frozen=True):
    """``count`` copies of a want that are on no board, and why."""

    want: str
    count: int
    reason: str


class Plan(Struct, frozen=True):
    """All boards of a job. ``bound`` is a proven lower bound on the price of the pieces that are placed.

    ``effort`` is the number of search rounds made; ``capped`` says that the clock ended the search, so that
    another run might give another plan.
    """

    boards: tuple[BoardPlan, ...]
    price: int
    bound: int
    unplaced: tuple[Unplaced, ...]
    effort: int
    capped: bool

    @property
    def gap(self) -> Fraction:
        """By how much of the bound the price may be above the best possible one; 0 is proven best."""
        if self.price == self.bound:
            return Fraction(0)
        return Fraction(self.price - self.bound, self.bound) if self.bound else Fraction(1)


def lay_out(
    job: Job, effort: int | None = None, seed: int = 0, seconds: float | None = None, neat: bool = True
) -> Plan:
    """Lay a job's pieces on its stock.

    ``effort`` is a number of search rounds: FIRST gives the first answer at once, None a good default. ``seconds``
    only caps the time. ``neat`` lays the pieces of all but a first answer once more so that offcuts come together.
    Same job, effort and seed give the same plan unless the cap ends the search; more effort never costs more. Raises
    ValueError for numbers without sense and BoundError if a bound exceeds the price.
    """
    begin = perf_counter()
    check(job)
    task = prepare(job)
    large = sum(task.demand) > LARGE
    if effort is None:
        effort = DEFAULT_LARGE if large else SWIFT_AFTER
    if seconds is None:
        seconds = DEFAULT_SECONDS_LARGE if large else DEFAULT_SECONDS
    neat = neat and effort != FIRST
    clock = Clock(seconds - (perf_counter() - begin))
    spare = min(TIDY_SECONDS, TIDY_SHARE * seconds) if neat else 0.0
    clock.end -= spare
    answer = solve(task, effort, seed, clock)
    clock.end += spare
    bound = answer.bound if not any(answer.left) else bound_for_placed(task, answer.left)
    price = sum(b.price for b in answer.boards)
    if bound > price:
        raise BoundError(f"bound {bound} above price {price}")
    kept, late = tidied(task, answer.boards, seed, clock) if neat else (answer.boards, False)
    boards = _boards(task, kept)
    return Plan(boards, price, bound, _unplaced(task, answer.left), answer.rounds, answer.capped or late)


def tidied(task: Task, boards: Sequence[Board], seed: int, clock: Clock) -> tuple[Sequence[Board], bool]:
    """The boards laid neatly, and whether the clock ended that."""
    over = clock.steps()
    late = False

    def stop() -> bool:
        nonlocal late
        late = late or over()
        return late

    kept = tidy(task, boards, empty_boards(task), seed, stop)
    return kept, late


def _boards(task: Task, boards: Sequence[Board]) -> tuple[BoardPlan, ...]:
    """Boards in the order of the stock list, pieces given to wants in their order."""
    job = task.job
    done: dict[tuple[int, int], Sawn] = {}
    next_copy = [0] * len(task.wants_of)
    out = []
    for board in sorted(boards, key=lambda b: (task.shapes[b.shape].stock, b.shape, b.key)):
        shape = task.shapes[board.shape]
        stock = job.stocks[shape.stock]
        sawn = done.get((board.shape, board.key))
        if sawn is None:
            sawn = done[(board.shape, board.key)] = saw_up(task, shape, board.tree)
        pieces = []
        for code, r in sawn.pieces:
            member = code >> 1
            want = job.wants[task.wants_of[member][next_copy[member]]]
            next_copy[member] += 1
            turned = r.length != want.length + job.saw.length_allowance
            pieces.append(Placed(want.id, r.x, r.y, r.length, r.width, turned))
        used = sum(p.length * p.width for p in pieces)
        out.append(
            BoardPlan(stock.id, stock.price, tuple(pieces), sawn.cuts, sawn.offcuts, stock.length * stock.width, used)
        )
    return tuple(out)


def _unplaced(task: Task, left: tuple[int, ...]) -> tuple[Unplaced, ...]:
    """What fits no stock, what the stock did not suffice for, and groups no board can hold."""
    wants = task.job.wants
    out = {each.want: each for each in task.left_over}
    for t, n in enumerate(left):
        if not n:
            continue
        for piece in task.members[t]:
            copies = task.wants_of[piece.number]
            for i in copies[len(copies) - n :]:
                group = wants[i].together
                why = "stock exhausted" if group is None else f"no board left that holds all of group {group!r}"
                before = out[i].copies if i in out else 0
                out[i] = LeftOver(i, before + 1, why)
    return tuple(Unplaced(wants[i].id, n, why) for i, n, why in sorted(out.values()))
