"""Boards as rows of whole numbers, and what ``moves`` does to one of them, for the compiler.

A board is a tree (see ``tree``) in reading order, a node being its size, its kind and the code of its piece or the
number of its nodes. The first node is AREAS where the board has several clear areas; an area without pieces is a node
EMPTY. A board stands in a slot; its number is what ``moves`` hands on as a board. Each function that ``hand`` has too
takes the same arguments and does the same; ``machine`` compiles all of them.

No object of a class ``...Row`` is ever made: it names the fields of the items of an array (``machine.fields_of``).
"""

from __future__ import annotations

from typing import NamedTuple, Protocol, TypeAlias, TypeVar

T_co = TypeVar("T_co", covariant=True)


class NodeRow:
    """A node: its size, its kind, and the code of its piece or the number of its nodes."""

    w: int
    h: int
    kind: int
    code: int


class SpotRow:
    """An opening: what fits, beside which node and how (see ``tree``)."""

    w: int
    h: int
    node: int
    mode: int


class KnownRow:
    """The tightest spot of a board for a piece: found for which version of it, how tight (FAR: none) and which."""

    version: int
    tight: int
    spot: int


class BoardRow:
    """A board: how many nodes and spots, the widest and highest of these, the area used, its shape, the sum of marks,
    a number new with each change, and the round in which the slot was taken (negative: in use by the candidate)."""

    nodes: int
    spots: int
    most_w: int
    most_h: int
    used: int
    form: int
    mark: int
    version: int
    owner: int


class RoomRow:
    """A board of the candidate that has room, and how much."""

    at: int
    w: int
    h: int


class WorkRow:
    """Room for numbers of a node: gone or not; a path; three more that each user names."""

    gone: int
    path: int
    a: int
    b: int
    c: int


class StateRow:
    """See ``hand.State``; then the counters of slots, versions, rooms and boards met."""

    pieces: int
    cheapest: int
    boards_now: int
    loose_now: int
    price: int
    open_area: float
    next_boards_now: int
    next_loose_now: int
    next_price: int
    next_open: float
    lap: int
    trial: int
    turn: int
    least_w: int
    least_h: int
    free_now: int
    made_now: int
    version: int
    rooms: int
    marks: int
    met_now: int
    quota: int


Bits: TypeAlias = int  # 64 of them, without a sign


class RandomRow:
    """Where the drawing of random numbers stands, and the numbers it works with (see ``slots.draw``)."""

    state: Bits
    right: Bits
    left: Bits
    again: Bits
    times: Bits
    last: Bits


class Table(Protocol[T_co]):
    """Numbered rows."""

    def __getitem__(self, at: int) -> T_co: ...


class Grid(Protocol[T_co]):
    """Numbered rows of each slot."""

    def __getitem__(self, at: tuple[int, int]) -> T_co: ...


class Numbers(Protocol):
    """A list of whole numbers."""

    def __getitem__(self, at: int) -> int: ...

    def __setitem__(self, at: int, value: int) -> None: ...

    def __len__(self) -> int: ...


class Reals(Protocol):
    """A list of numbers."""

    def __getitem__(self, at: int) -> float: ...

    def __setitem__(self, at: int, value: float) -> None: ...


class Slots(NamedTuple):
    """The slots with their boards, with room for a path and for codes struck off on the way."""

    state: StateRow
    board: Table[BoardRow]
    node: Grid[NodeRow]
    spot: Grid[SpotRow]
    known: Grid[KnownRow]
    work: Table[WorkRow]
    off: Numbers


class Rows(NamedTuple):
    """See ``hand.Hand``; then the slots with their boards, those that are free and those taken in this round, what is
    needed on the way, and the boards met, written as signs, with a table of the marks of all met so far."""

    state: StateRow
    boards: Numbers
    next_boards: Numbers
    later: Numbers
    fresh: Numbers
    loose: Numbers
    next_loose: Numbers
    rest: Numbers
    keys: Reals
    stock: Numbers
    next_stock: Numbers
    seen: Numbers
    failed: Numbers
    weight: Reals
    off: Numbers
    random: RandomRow
    slots: Slots
    free: Numbers
    made: Numbers
    room: Table[RoomRow]
    met: Numbers
    marks: Numbers
