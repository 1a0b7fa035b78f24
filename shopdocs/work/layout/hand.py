"""A search's plan in hand and the candidate made from it, on boards that are trees; what ``moves`` does to a board.

Lists keep their length, the state says how much of each counts. In compiled moves the functions here stand aside for
their namesakes in ``rows``; ``tests/work/layout/test_layout_swift.py`` holds both against each other.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Sequence

from msgspec import Struct

from shopdocs.work.layout import tree as trees
from shopdocs.work.layout.numbered import Facts
from shopdocs.work.layout.packing import Board, add, board_of, put
from shopdocs.work.layout.pool import Pool
from shopdocs.work.layout.task import Task
from shopdocs.work.layout.tree import NOTHING, Node, Opening

FAR = 1 << 62


class State(Struct):
    """Where the search stands: counts, price and weight left loose of the plan in hand and of the candidate.

    ``lap`` and ``trial`` mark what was done in this round, and since a board was opened last. ``pieces`` are all of
    the task, ``cheapest`` is the price of the cheapest board.
    """

    pieces: int
    cheapest: int
    boards_now: int = 0
    loose_now: int = 0
    price: int = 0
    open_area: float = 0.0
    next_boards_now: int = 0
    next_loose_now: int = 0
    next_price: int = 0
    next_open: float = 0.0
    lap: int = 0
    trial: int = 0
    turn: int = 0


class Hand:
    """``boards`` and ``loose`` are the plan in hand, ``stock`` the boards it takes of each stock; ``next_`` what
    becomes of them. ``later`` are boards with pieces taken off, ``off`` the codes of these, ``rest`` loose pieces
    that found no room. ``seen``, ``failed`` (a number a type) and ``fresh`` (a board) hold the round or trial in
    which a group was taken off, a piece found no room, a board was changed."""

    def __init__(self, task: Task, empties: Sequence[Board], random: Callable[[], float], pool: Pool) -> None:
        self.task, self.empties, self.random, self.pool = task, empties, random, pool
        pieces, kinds = sum(task.demand), len(task.demand)
        self.state = State(pieces, min((s.price for s in task.shapes), default=0))
        self.boards: list[Board] = []
        self.next_boards: list[Board] = []
        self.later: list[Board] = []
        self.fresh: list[int] = []
        self.loose, self.next_loose, self.rest = [0] * pieces, [0] * pieces, [0] * pieces
        self.keys = [0.0] * pieces
        self.stock, self.next_stock = [0] * len(task.limits), [0] * len(task.limits)
        self.seen, self.failed = [0] * kinds, [0] * kinds
        self.weight = [0.0] * kinds
        self.off: list[int] = []
        self.thin: Node = NOTHING
        self.rooms: list[int] = []
        self.begun: dict[tuple[int, int], Board | None] = {}

    def load(
        self, boards: Sequence[Board], loose: Sequence[int], stock: Sequence[int], price: int, weight: Sequence[float]
    ) -> None:
        """Take a plan in hand: boards, loose pieces and what a loose piece of each type weighs."""
        state = self.state
        room = len(boards) + state.pieces - len(self.boards)
        if room > 0:
            nothing = self.empties[0]
            for spare in (self.boards, self.next_boards, self.later):
                spare += [nothing] * room
            self.fresh += [0] * room
        self.boards[: len(boards)] = boards
        self.loose[: len(loose)] = loose
        self.stock[:] = stock
        self.weight[:] = weight
        state.boards_now, state.loose_now, state.price = len(boards), len(loose), price
        state.open_area = sum([weight[t] for t in loose])


# draw(random): a number from 0 up to 1; a function of our own would take half as long again as the drawing.
draw = operator.call


def start(facts: Facts, hand: Hand) -> None:
    """Boards that were just loaded know their openings."""


def begin(hand: Hand) -> None:
    """A new round: the candidate is the plan in hand."""
    state = hand.state
    n, loose = state.boards_now, state.loose_now
    hand.next_boards[:n] = hand.boards[:n]
    hand.next_loose[:loose] = hand.loose[:loose]
    hand.next_stock[:] = hand.stock
    state.next_boards_now, state.next_loose_now, state.next_price = n, loose, state.price
    state.lap += 1


def give_up(hand: Hand) -> None:
    """Let the candidate go."""


def take_over(hand: Hand) -> None:
    """The candidate becomes the plan in hand."""
    state = hand.state
    hand.boards, hand.next_boards = hand.next_boards, hand.boards
    hand.loose, hand.next_loose = hand.next_loose, hand.loose
    hand.stock, hand.next_stock = hand.next_stock, hand.stock
    state.boards_now, state.loose_now = state.next_boards_now, state.next_loose_now
    state.price, state.open_area = state.next_price, state.next_open


def remember(hand: Hand, board: Board) -> None:
    """Put a board into the pool."""
    if board.key not in hand.pool.place and not hand.pool.full:
        hand.pool.add(board.key, board.shape, board.tree)


def shape_of(hand: Hand, board: Board) -> int:
    """The shape of a board."""
    return board.shape


def room_on(facts: Facts, hand: Hand, board: Board) -> int:
    """The area of a board without pieces."""
    return facts.shapes[board.shape].size - board.used


def close_up(boards: list[Board], i: int, n: int) -> None:
    """Take board ``i`` out; ``n`` are left."""
    boards.append(boards.pop(i))


def take_apart(facts: Facts, hand: Hand, board: Board, n: int) -> int:
    """All pieces of a board become loose, behind the ``n`` that are; returns how many are loose then."""
    for code in trees.codes(board.tree):
        row = facts.codes[code]
        if row.leads:
            hand.next_loose[n] = row.kind
            n += 1
    return n


def strike_share(hand: Hand, board: Board, share: float) -> int:
    """Take a random ``share`` of the branches off, their codes go to ``off``; see ``tree.thin``. Returns how many."""
    hand.off.clear()
    hand.thin = trees.thin(board.tree, share, hand.random, hand.off)
    return len(hand.off)


def strike_stretch(hand: Hand, board: Board, many: int) -> int:
    """Take about ``many`` pieces of one stretch off, their codes go to ``off``; see ``tree.carve``."""
    hand.off.clear()
    hand.thin = trees.carve(board.tree, many, hand.random, hand.off)
    return len(hand.off)


def rest_of(facts: Facts, hand: Hand, old: Board, start: int, end: int, later: int) -> bool:
    """Note board ``old`` without what was struck, and without the whole of each group among it, as number ``later``.

    ``start`` to ``end`` are the loose pieces that it gave. False where nothing is left.
    """
    task, tree, key, used = hand.task, hand.thin, old.key, old.used
    for t in hand.next_loose[start:end]:
        key -= task.unit[t]
        used -= task.size[t]
        if len(task.members[t]) > 1:
            tree = trees.without(tree, {piece.number: 1 for piece in task.members[t]})
    if tree is NOTHING:
        return False
    hand.later[later] = board_of(task, old.shape, tree, key, used)
    return True


def sort_loose(hand: Hand, n: int) -> None:
    """Sort the first ``n`` loose pieces by their keys."""
    loose = hand.next_loose
    pairs = sorted(zip(hand.keys[:n], loose, strict=False))
    loose[:n] = [t for _, t in pairs]


def find_rooms(hand: Hand, n: int, slim: int, low: int) -> None:
    """Note which of the candidate's ``n`` boards have room for a piece as slim and as low as this."""
    hand.rooms = [i for i, b in enumerate(hand.next_boards[:n]) if b.most_w >= slim and b.most_h >= low]


def lay_tightest(facts: Facts, hand: Hand, t: int) -> int:
    """Lay a piece of type ``t`` in the tightest opening of all boards; returns which board, -1 where none has room."""
    task, boards, rooms = hand.task, hand.next_boards, hand.rooms
    least = FAR
    at = -1
    for leaf in task.members[t][0].ways:
        w, h, _, code, _ = leaf
        for i in rooms:
            b = boards[i]
            if b.most_w >= w and b.most_h >= h:
                known = b.known.get(code)
                if known is not None:
                    tight, found = known
                else:  # looked for in here, because a call for each board takes a third of the time
                    tight, found = FAR, NOWHERE
                    for spot in b.spots:
                        spot_w, spot_h, _, _ = spot
                        if spot_w >= w and spot_h >= h:
                            x = spot_w - w
                            y = spot_h - h
                            if y < x:
                                x = y
                            if x < tight:
                                tight = x
                                found = spot
                    b.known[code] = (tight, found)
                if tight < least:
                    least = tight
                    at = i
                    chosen = leaf
                    place = found
                    if not least:
                        break  # as tight as can be; a later one would not be taken
    if at < 0:
        return -1
    b = boards[at]
    _, _, path, mode = place
    tree = put(b.tree, path, mode, chosen, len(task.shapes[b.shape].areas))
    boards[at] = board_of(task, b.shape, tree, b.key + task.unit[t], b.used + task.size[t])
    return at


NOWHERE: Opening = (0, 0, (), 0)


def lay_whole(facts: Facts, hand: Hand, i: int, t: int) -> bool:
    """Lay a whole group on one of the candidate's boards; False where it has no room."""
    new = add(hand.task, hand.next_boards[i], t)
    if new is None:
        return False
    hand.next_boards[i] = new
    return True


def begun(hand: Hand, shape: int, t: int) -> Board | None:
    """An empty board of a shape with a piece of type ``t``, or None where it has no room; worked out once."""
    known = hand.begun
    if (shape, t) not in known:
        known[shape, t] = add(hand.task, hand.empties[shape], t)
    return known[shape, t]


def opened(facts: Facts, hand: Hand, shape: int, t: int) -> bool:
    """Whether an empty board of a shape has room for a piece of type ``t``."""
    return begun(hand, shape, t) is not None


def keep_opened(facts: Facts, hand: Hand, shape: int, t: int) -> None:
    """Put the board that was opened behind the candidate's others."""
    n = hand.state.next_boards_now
    board = begun(hand, shape, t)
    assert board is not None
    hand.next_boards[n] = board
    hand.rooms.append(n)
