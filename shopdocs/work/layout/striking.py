"""Pieces taken off a board in a slot, for the compiler (see ``rows``)."""

from __future__ import annotations

from shopdocs.work.layout.laying import find_spots
from shopdocs.work.layout.numbered import Facts
from shopdocs.work.layout.rows import RandomRow, Rows, Slots
from shopdocs.work.layout.slots import copy_node, draw, drop_slot, nodes_in, take_slot, write
from shopdocs.work.layout.tree import AREAS, EMPTY, LEAF, ROW, STACK


def take_apart(facts: Facts, hand: Rows, s: int, n: int) -> int:
    """All pieces of a board become loose, behind the ``n`` that are; returns how many are loose then."""
    for k in range(hand.slots.board[s].nodes):
        node = hand.slots.node[s, k]
        if node.kind == LEAF and facts.codes[node.code].leads:
            hand.next_loose[n] = facts.codes[node.code].kind
            n += 1
    return n


def keep_all(slots: Slots, s: int) -> None:
    """Mark no node as gone."""
    for k in range(slots.board[s].nodes):
        slots.work[k].gone = 0


def strike(slots: Slots, s: int, k: int, struck: int) -> int:
    """Mark the branch at ``k`` as gone, the codes of its pieces go to ``off`` behind ``struck`` others."""
    for i in range(k, k + nodes_in(slots, s, k)):
        slots.work[i].gone = 1
        if slots.node[s, i].kind == LEAF:
            slots.off[struck] = slots.node[s, i].code
            struck += 1
    return struck


def strike_share(hand: Rows, s: int, share: float) -> int:
    """Mark a random ``share`` of all branches as gone, each with all its pieces; see ``tree.thin``."""
    keep_all(hand.slots, s)
    struck = k = 0
    while k < hand.slots.board[s].nodes:
        if hand.slots.node[s, k].kind >= AREAS or draw(hand.random) >= share:
            k += 1
            continue
        struck = strike(hand.slots, s, k, struck)
        k += nodes_in(hand.slots, s, k)
    return struck


def leaves_in(slots: Slots, s: int, k: int) -> int:
    """How many pieces lie in the branch at ``k``."""
    n = 0
    for i in range(k, k + nodes_in(slots, s, k)):
        if slots.node[s, i].kind == LEAF:
            n += 1
    return n


def strike_stretch(hand: Rows, s: int, many: int) -> int:
    """Mark about ``many`` pieces that share one stretch as gone; see ``tree.carve``."""
    keep_all(hand.slots, s)
    at = 0
    total = leaves_in(hand.slots, s, 0)
    while total > many or hand.slots.node[s, at].kind == AREAS:
        n = kids_of(hand.slots, s, at)
        chosen = chosen_kid(hand.slots, s, n, draw(hand.random) * total)
        total = leaves_in(hand.slots, s, hand.slots.work[chosen].path)
        if total <= many and hand.slots.node[s, at].kind != AREAS:
            return strike_kids(hand.slots, hand.random, s, n, chosen, many)
        at = hand.slots.work[chosen].path
    return strike(hand.slots, s, at, 0)


def kids_of(slots: Slots, s: int, at: int) -> int:
    """Note the children of a group in ``path``; returns how many."""
    n = 0
    k = at + 1
    while k < at + slots.node[s, at].code:
        slots.work[n].path = k
        n += 1
        k += nodes_in(slots, s, k)
    return n


def chosen_kid(slots: Slots, s: int, n: int, place: float) -> int:
    """Which of ``n`` children holds the piece at a place, counted in pieces."""
    i = 0
    while i < n - 1:
        pieces = leaves_in(slots, s, slots.work[i].path)
        if place < pieces:
            break
        place -= pieces
        i += 1
    return i


def strike_kids(slots: Slots, random: RandomRow, s: int, n: int, chosen: int, many: int) -> int:
    """Mark the chosen one of ``n`` children as gone and others drawn, until ``many`` pieces are; one child stays."""
    struck = 0
    while struck < many and (n > 1 or not struck):
        struck = strike(slots, s, slots.work[chosen].path, struck)
        n -= 1
        for i in range(chosen, n):
            slots.work[i].path = slots.work[i + 1].path
        chosen = int(draw(random) * n)
    return struck


def rest_of(facts: Facts, hand: Rows, old: int, start: int, end: int, later: int) -> bool:
    """Note board ``old`` without what was struck, and without the whole of each group among it, as number ``later``.

    ``start`` to ``end`` are the loose pieces that it gave. False where nothing is left.
    """
    state = hand.state
    board = hand.slots.board[old]
    used, mark = board.used, board.mark
    for i in range(start, end):
        kind = facts.kinds[hand.next_loose[i]]
        used -= kind.size
        mark -= kind.mark
    for k in range(board.nodes):
        node = hand.slots.node[old, k]
        if node.kind == LEAF and hand.seen[facts.codes[node.code].kind] == state.lap:
            hand.slots.work[k].gone = 1
    s = take_slot(hand)
    if not rebuild(hand.slots, old, s):
        drop_slot(hand)
        return False
    hand.slots.board[s].form = board.form
    hand.slots.board[s].used = used
    hand.slots.board[s].mark = mark
    find_spots(facts, hand.slots, s)
    hand.later[later] = s
    return True


def rebuild(slots: Slots, old: int, new: int) -> int:
    """Write a board without the pieces that are gone to a new slot, in normal form; returns pieces left."""
    pieces = count_alive(slots, old)
    if pieces:
        write_alive(slots, old, new)
        measure(slots, new)
    return pieces


def count_alive(slots: Slots, s: int) -> int:
    """Work out how much is left: of a piece itself (1 or 0), of a group how many children (``a``). Returns pieces."""
    pieces = 0
    for k in range(slots.board[s].nodes - 1, -1, -1):
        kind, mine = slots.node[s, k].kind, slots.work[k]
        mine.a = 0
        if kind == LEAF:
            mine.a = 0 if mine.gone else 1
            pieces += mine.a
        elif kind != EMPTY:
            kid, end = k + 1, k + slots.node[s, k].code
            while kid < end:
                if slots.work[kid].a:
                    mine.a += 1
                kid += nodes_in(slots, s, kid)
    return pieces


def write_alive(slots: Slots, old: int, new: int) -> None:
    """Write what is left of a board to another slot. Of each node is known the kind of the group that takes it in
    (``b``) and, once written, where its branch ended in the old board (``c``)."""
    many = deep = k = 0
    slots.work[0].b = 0
    while k < slots.board[old].nodes:
        while deep and slots.work[slots.work[deep - 1].path].c <= k:
            deep -= 1
            close_group(slots, new, deep, many)
        kind, mine, end = slots.node[old, k].kind, slots.work[k], k + nodes_in(slots, old, k)
        if not mine.a:
            if mine.b == AREAS:
                write(slots, new, many, 0, 0, EMPTY, 0)
                many += 1
            k = end
            continue
        taker = mine.b
        kept = kind in (LEAF, AREAS) or (mine.a > 1 and kind != taker)
        if kept:
            copy_node(slots, old, k, new, many)
            if kind != LEAF:
                slots.work[many].c = end
                slots.work[deep].path = many
                deep += 1
            many += 1
            taker = kind
        elif taker == AREAS:
            taker = 0
        kid = k + 1
        while kid < end:
            slots.work[kid].b = taker
            kid += nodes_in(slots, old, kid)
        k += 1
    while deep:
        deep -= 1
        close_group(slots, new, deep, many)
    slots.board[new].nodes = many


def close_group(slots: Slots, s: int, deep: int, many: int) -> None:
    """A group that is written whole learns how many nodes it has."""
    at = slots.work[deep].path
    slots.node[s, at].code = many - at


def measure(slots: Slots, s: int) -> None:
    """Work out the sizes of all groups of a board."""
    for k in range(slots.board[s].nodes - 1, -1, -1):
        node = slots.node[s, k]
        if node.kind != ROW and node.kind != STACK:
            continue
        along = across = 0
        kid, end = k + 1, k + node.code
        while kid < end:
            inner = slots.node[s, kid]
            along += inner.w if node.kind == ROW else inner.h
            across = max(across, inner.h if node.kind == ROW else inner.w)
            kid += nodes_in(slots, s, kid)
        node.w = along if node.kind == ROW else across
        node.h = across if node.kind == ROW else along
