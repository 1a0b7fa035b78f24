"""The same boards for the same money, sawn with larger offcuts and fewer cuts.

A price says nothing of what is left over, and the search leaves room wherever it falls. Here pieces of emptier
boards go to fuller ones and the pieces of each board are laid again, as long as the offcuts worth keeping come
together. No board is given up and none is added.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from shopdocs.work.layout import tree as trees
from shopdocs.work.layout.cut_order import saw_up
from shopdocs.work.layout.packing import Board, add, board_of, put, types_in
from shopdocs.work.layout.task import Piece, Task
from shopdocs.work.layout.tuning import TIDY_CUT, TIDY_SOURCES, TIDY_TRIES, TIDY_WORK


def tidy(
    task: Task, boards: Sequence[Board], empties: Sequence[Board], seed: int, stop: Callable[[], bool]
) -> list[Board]:
    """Boards of the same stocks and pieces, at least as neat as before, within a fixed amount of work.

    What is not looked at before ``stop`` stays as it is.
    """
    rng = Random(seed)
    out = gathered(task, list(boards), stop)
    empty_of = {e.shape: e for e in empties}
    done: dict[tuple[int, int], Board] = {}
    work = TIDY_WORK
    for b in sorted(out, key=lambda b: (b.used / task.shapes[b.shape].size, b.shape, b.key)):
        if (b.shape, b.key) not in done:
            kinds = types_in(task, trees.codes(b.tree))
            tries = 0 if stop() else min(TIDY_TRIES, work // max(1, len(kinds)))
            work -= tries * len(kinds)
            done[b.shape, b.key] = neatened(task, b, empty_of[b.shape], kinds, tries, rng.random)
    return [done[b.shape, b.key] for b in out]


def neatness(task: Task, board: Board) -> float:
    """How much of a board comes off in large offcuts: the sum of the squares of their areas, less a little for
    each cut; the unit is the area of the largest stock."""
    job = task.job
    unit = max(s.length * s.width for s in job.stocks)
    sawn = saw_up(task, task.shapes[board.shape], board.tree)
    return sum([(r.length * r.width / unit) ** 2 for r in sawn.offcuts]) - TIDY_CUT * len(sawn.cuts)


def gathered(task: Task, boards: list[Board], stop: Callable[[], bool]) -> list[Board]:
    """Pieces of the emptiest boards put on fuller ones where both together become neater."""

    def room(i: int) -> int:
        return task.shapes[boards[i].shape].size - boards[i].used

    ranked = sorted(range(len(boards)), key=lambda i: (-room(i), i))
    for source in ranked[:TIDY_SOURCES]:
        if stop():
            break
        kinds = sorted(types_in(task, trees.codes(boards[source].tree)), key=lambda t: (-task.size[t], t))
        for t in kinds:
            if len(types_in(task, trees.codes(boards[source].tree))) < 2:
                break
            now: float | None = None
            for target in ranked:
                if target == source or room(target) > room(source):
                    continue
                new = add(task, boards[target], t)
                rest = without_one(task, boards[source], t) if new is not None else None
                if new is None or rest is None:
                    continue
                if now is None:
                    now = neatness(task, boards[source])
                if neatness(task, rest) + neatness(task, new) > now + neatness(task, boards[target]):
                    boards[source], boards[target] = rest, new
                    break
    return boards


def without_one(task: Task, board: Board, kind: int) -> Board | None:
    """The board without one piece (or group) of a type; None if it held nothing else."""
    tree = trees.without(board.tree, {piece.number: 1 for piece in task.members[kind]})
    if tree is trees.NOTHING:
        return None
    return board_of(task, board.shape, tree, board.key - task.unit[kind], board.used - task.size[kind])


def neatened(
    task: Task, board: Board, empty: Board, kinds: Sequence[int], tries: int, draw: Callable[[], float]
) -> Board:
    """The neatest of ``tries`` ways to lay the pieces of a board, each made from the one before."""
    best, most = board, neatness(task, board)
    now, level = best, most
    for _ in range(tries):
        new = laid_again(task, now, empty, kinds, draw)
        if new is None:
            continue
        value = neatness(task, new)
        if value >= level:
            now, level = new, value
            if value > most + 1e-12:
                best, most = new, value
    return best


def laid_again(task: Task, board: Board, empty: Board, kinds: Sequence[int], draw: Callable[[], float]) -> Board | None:
    """The board with some or all of its pieces laid afresh; None where not all find room again."""
    loose = []
    now: Board | None = board
    share = draw()
    for t in kinds:
        if draw() < share:
            loose.append(t)
            now = without_one(task, now, t) if now is not None else None
    if len(loose) == len(kinds) or now is None:
        now, loose = empty, list(kinds)
    by = int(3 * draw())
    noise = draw()
    keys = [(-measured(task.members[t][0], by) * (1 + noise * draw()), t) for t in loose]
    for _, t in sorted(keys):
        now = laid(task, now, t, draw)
        if now is None:
            return None
    return now


def measured(piece: Piece, by: int) -> int:
    """A piece's area, its length or its width, for ``by`` 0, 1 or 2."""
    w, h = piece.as_it_lies
    return (piece.size, w, h)[by]


def laid(task: Task, board: Board, kind: int, draw: Callable[[], float]) -> Board | None:
    """The board with one more of type ``kind`` in openings that are tight one way or the other, or None."""
    tree, spots = board.tree, board.spots
    areas = task.shapes[board.shape].areas
    parts = task.members[kind]
    for number, piece in enumerate(parts):
        ways: list[tuple[float, int, trees.Opening, trees.Node]] = []
        for leaf in piece.ways:
            w, h, _, _, _ = leaf
            for spot in spots:
                spot_w, spot_h, _, _ = spot
                x, y = spot_w - w, spot_h - h
                if x >= 0 and y >= 0:
                    ways.append(((x if draw() < 0.5 else y) * (0.5 + draw()), len(ways), spot, leaf))
        if not ways:
            return None
        _, _, (_, _, path, mode), leaf = min(ways)
        tree = put(tree, path, mode, leaf, len(areas))
        if number + 1 < len(parts):
            spots = trees.openings_of(tree, areas, task.least_w, task.least_h)
    return board_of(task, board.shape, tree, board.key + task.unit[kind], board.used + task.size[kind])
