"""Boards in slots, for the compiler: nodes, slots taken and given back, the plan in hand and the candidate."""

from __future__ import annotations

from shopdocs.work.layout.numbered import Facts
from shopdocs.work.layout.rows import Numbers, RandomRow, Rows, Slots
from shopdocs.work.layout.tree import AREAS, LEAF, ROW

ENTRY = 2  # numbers before the signs of a board met: its shape and how many nodes


def draw(random: RandomRow) -> float:
    """A number from 0 up to 1 (xorshift64*, Vigna 2016). Its constants are fields, so that they have no sign either."""
    x = random.state
    x ^= x >> random.right
    x ^= x << random.left
    x ^= x >> random.again
    random.state = x
    return float((x * random.times) >> random.last) * 1.1102230246251565e-16


def begin(hand: Rows) -> None:
    """A new round: the candidate is the plan in hand."""
    state = hand.state
    for i in range(state.boards_now):
        hand.next_boards[i] = hand.boards[i]
    for i in range(state.loose_now):
        hand.next_loose[i] = hand.loose[i]
    for i in range(len(hand.stock)):
        hand.next_stock[i] = hand.stock[i]
    state.next_boards_now = state.boards_now
    state.next_loose_now = state.loose_now
    state.next_price = state.price
    state.lap += 1
    state.made_now = 0


def give_up(hand: Rows) -> None:
    """Let the candidate go, with all slots taken for it."""
    for i in range(hand.state.made_now):
        free_slot(hand, hand.made[i])


def take_over(hand: Rows) -> None:
    """The candidate becomes the plan in hand; slots that it does not use become free."""
    state = hand.state
    for i in range(state.next_boards_now):
        hand.slots.board[hand.next_boards[i]].owner = -state.lap
    for i in range(state.boards_now):
        if hand.slots.board[hand.boards[i]].owner != -state.lap:
            free_slot(hand, hand.boards[i])
    for i in range(state.made_now):
        if hand.slots.board[hand.made[i]].owner != -state.lap:
            free_slot(hand, hand.made[i])
    for i in range(state.next_boards_now):
        hand.boards[i] = hand.next_boards[i]
    for i in range(state.next_loose_now):
        hand.loose[i] = hand.next_loose[i]
    for i in range(len(hand.stock)):
        hand.stock[i] = hand.next_stock[i]
    state.boards_now = state.next_boards_now
    state.loose_now = state.next_loose_now
    state.price = state.next_price
    state.open_area = state.next_open


def take_slot(hand: Rows) -> int:
    """A free slot, noted as taken in this round."""
    state = hand.state
    state.free_now -= 1
    s = hand.free[state.free_now]
    hand.slots.board[s].owner = state.lap
    hand.made[state.made_now] = s
    state.made_now += 1
    return s


def drop_slot(hand: Rows) -> None:
    """Give the slot taken last back."""
    state = hand.state
    state.made_now -= 1
    free_slot(hand, hand.made[state.made_now])


def free_slot(hand: Rows, s: int) -> None:
    """Note a slot as free."""
    state = hand.state
    hand.free[state.free_now] = s
    state.free_now += 1


def remember(hand: Rows, s: int) -> None:
    """Note a board of pieces not met before, while there is room for it."""
    state, board = hand.state, hand.slots.board[s]
    size = len(hand.marks)
    at = (board.mark >> 20) & (size - 1)
    while hand.marks[at]:
        if hand.marks[at] == board.mark:
            return
        at = (at + 1) & (size - 1)
    start = state.met_now
    if not state.quota or 2 * state.marks >= size or start + board.nodes + ENTRY > len(hand.met):
        return
    hand.marks[at] = board.mark
    state.marks += 1
    state.quota -= 1
    hand.met[start] = board.form
    hand.met[start + 1] = board.nodes
    write_signs(hand, s, start + ENTRY)
    state.met_now = start + board.nodes + ENTRY


def write_signs(hand: Rows, s: int, start: int) -> None:
    """A board's nodes as one number each: a piece's code, or -(8 * number of nodes + kind)."""
    for k in range(hand.slots.board[s].nodes):
        node = hand.slots.node[s, k]
        hand.met[start + k] = node.code if node.kind == LEAF else -8 * node.code - node.kind


def shape_of(hand: Rows, s: int) -> int:
    """The shape of a board."""
    return hand.slots.board[s].form


def room_on(facts: Facts, hand: Rows, s: int) -> int:
    """The area of a board without pieces."""
    return facts.shapes[hand.slots.board[s].form].size - hand.slots.board[s].used


def close_up(boards: Numbers, i: int, n: int) -> None:
    """Take board ``i`` out; ``n`` are left."""
    for j in range(i, n):
        boards[j] = boards[j + 1]


def nodes_in(slots: Slots, s: int, k: int) -> int:
    """How many nodes the branch at ``k`` has, itself among them."""
    node = slots.node[s, k]
    return node.code if ROW <= node.kind <= AREAS else 1


def write(slots: Slots, s: int, k: int, w: int, h: int, kind: int, code: int) -> None:
    """Write a node down."""
    node = slots.node[s, k]
    node.w = w
    node.h = h
    node.kind = kind
    node.code = code


def copy_node(slots: Slots, s: int, k: int, into: int, at: int) -> None:
    """Copy a node to another place."""
    node = slots.node[s, k]
    write(slots, into, at, node.w, node.h, node.kind, node.code)
