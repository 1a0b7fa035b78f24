"""Rounds of ruin and recreate as machine code, for long searches.

The same moves as in ``search``, over boards written as ``flat`` describes, which also names the arrays.
"""

from __future__ import annotations

from math import log
from typing import Any

from shopdocs.work.layout.flat import (
    BOARDS,
    BOARDS_NOW,
    CHEAPEST,
    CODE,
    FAILED,
    FAR,
    FIRST_MEMBER,
    FIRST_WAY,
    FREE,
    FREE_NOW,
    FRESH,
    GONE,
    KIND,
    LATER,
    LEADS,
    LIMITS,
    LOOSE,
    LOOSE_NOW,
    MADE,
    MARK,
    MARK_OF,
    MARKS,
    MET_NODES,
    MOST_H,
    MOST_W,
    NEXT_BOARDS,
    NEXT_LOOSE,
    NEXT_STOCK,
    NODES,
    OWNER,
    PRICE,
    QUOTA,
    REST,
    ROOM_H,
    ROOM_W,
    ROOMY,
    ROUND,
    SEEN,
    SHAPE,
    SHAPE_PRICE,
    SHAPE_SIZE,
    SHAPE_STOCK,
    SHAPES,
    SIZE,
    STOCK,
    STOCKS,
    TRIAL,
    TYPE_OF,
    USED,
    WAY_CODE,
    WAY_H,
    WAY_W,
    add,
    copied,
    draw,
    drop_slot,
    empty_board,
    fast,
    find_spots,
    put,
    rebuild,
    strike_share,
    strike_stretch,
    take_slot,
    tightest,
    write_signs,
)
from shopdocs.work.layout.tree import LEAF

GOING, COMPLETE, FEWER = range(3)
ENTRY = 2  # numbers before the signs of a board met: its shape and how many nodes


@fast
def thinned(
    fact: Any,
    node: Any,
    spot: Any,
    info: Any,
    number: Any,
    lists: Any,
    work: Any,
    random: Any,
    old: Any,
    share: Any,
    close: Any,
    n: Any,
) -> Any:
    """Board ``old`` without some of its pieces, which become loose, as a new one (-1: nothing is left), and how many
    are loose then."""
    for k in range(info[old, NODES]):
        lists[GONE, k] = 0
    if close:
        strike_stretch(node[old], lists, random, close)
    else:
        strike_share(node[old], lists, random, info[old, NODES], share)
    used, mark = info[old, USED], info[old, MARK_OF]
    for k in range(info[old, NODES]):
        if not lists[GONE, k] or node[old, k, KIND] != LEAF:
            continue
        t = fact[TYPE_OF, node[old, k, CODE]]
        if fact[FIRST_MEMBER, t + 1] - fact[FIRST_MEMBER, t] > 1:  # a group goes as a whole, counted once
            if lists[SEEN, t] == number[ROUND]:
                continue
            lists[SEEN, t] = number[ROUND]
        lists[NEXT_LOOSE, n] = t
        n += 1
        used -= fact[SIZE, t]
        mark -= fact[MARK, t]
    for k in range(info[old, NODES]):
        if node[old, k, KIND] == LEAF and lists[SEEN, fact[TYPE_OF, node[old, k, CODE]]] == number[ROUND]:
            lists[GONE, k] = 1
    s = take_slot(info, number, lists)
    if not rebuild(node[old], info[old, NODES], node[s], info[s], lists, work):
        drop_slot(number, lists)
        return -1, n
    info[s, SHAPE], info[s, USED], info[s, MARK_OF] = info[old, SHAPE], used, mark
    find_spots(fact, node[s], spot[s], info[s], number, work)
    return s, n


@fast
def take_apart(fact: Any, node: Any, info: Any, lists: Any, s: Any, n: Any) -> Any:
    """All pieces of a board become loose; returns how many are loose then."""
    for k in range(info[s, NODES]):
        if node[s, k, KIND] == LEAF and fact[LEADS, node[s, k, CODE]]:
            lists[NEXT_LOOSE, n] = fact[TYPE_OF, node[s, k, CODE]]
            n += 1
    return n


@fast
def copy(lists: Any, start: Any, end: Any, n: Any) -> None:
    """Copy the first ``n`` numbers of one list to another."""
    for i in range(n):
        lists[end, i] = lists[start, i]


@fast
def room_on(fact: Any, info: Any, s: Any) -> Any:
    """The area of a board without pieces."""
    return fact[SHAPE_SIZE, info[s, SHAPE]] - info[s, USED]


@fast
def ruin(fact: Any, node: Any, spot: Any, info: Any, number: Any, lists: Any, work: Any, random: Any, way: Any) -> Any:
    """Take some boards of the plan in hand apart. Returns boards, loose pieces and price of the candidate."""
    n, many_loose, price = number[BOARDS_NOW], number[LOOSE_NOW], number[PRICE]
    copy(lists, BOARDS, NEXT_BOARDS, n)
    copy(lists, LOOSE, NEXT_LOOSE, many_loose)
    copy(lists, STOCK, NEXT_STOCK, number[STOCKS])
    few, most, near, empty, _, pieces = way
    average = pieces / n if n else 1.0
    goal = few + (most - few) * draw(random)
    many = max(1 + int(draw(random) * 3.0), int(goal / average))
    share = goal / (many * average)
    close = 0
    if share <= 0.6 and draw(random) < near:
        close = max(1, int(share * average + 0.5))
    share = 1.0 if share > 0.6 else share * 0.7
    later = 0
    while many > 0 and n:
        i = int(draw(random) * n)
        for _ in range(int(empty + draw(random))):
            j = int(draw(random) * n)
            if room_on(fact, info, lists[NEXT_BOARDS, j]) > room_on(fact, info, lists[NEXT_BOARDS, i]):
                i = j
        old = lists[NEXT_BOARDS, i]
        n -= 1
        for j in range(i, n):
            lists[NEXT_BOARDS, j] = lists[NEXT_BOARDS, j + 1]
        many -= 1
        rest = -1
        if share < 1.0:
            rest, many_loose = thinned(
                fact, node, spot, info, number, lists, work, random, old, share, close, many_loose
            )
        else:
            many_loose = take_apart(fact, node, info, lists, old, many_loose)
        if rest < 0:
            shape = info[old, SHAPE]
            price -= fact[SHAPE_PRICE, shape]
            lists[NEXT_STOCK, fact[SHAPE_STOCK, shape]] -= 1
        else:
            lists[LATER, later] = rest
            later += 1
    for i in range(later):
        lists[NEXT_BOARDS, n + i] = lists[LATER, i]
    return n + later, many_loose, price


@fast
def in_order(fact: Any, lists: Any, real: Any, random: Any, n: Any) -> None:
    """Sort the loose pieces largest first, longest, widest or in any order, with some noise."""
    style = draw(random)
    noise = 0.1 + 0.6 * draw(random) if style < 0.6 else 0.3
    for i in range(n):
        t = lists[NEXT_LOOSE, i]
        way = fact[FIRST_WAY, fact[FIRST_MEMBER, t]]
        if style < 0.6:
            x = -fact[SIZE, t] * (1 + noise * draw(random))
        elif style < 0.75:
            x = -fact[WAY_W, way] * (1 + noise * draw(random))
        elif style < 0.9:
            x = -fact[WAY_H, way] * (1 + noise * draw(random))
        else:
            x = draw(random)
        j = i
        while j and real[j] > x:
            real[1 + j] = real[j]
            lists[NEXT_LOOSE, j] = lists[NEXT_LOOSE, j - 1]
            j -= 1
        real[1 + j] = x
        lists[NEXT_LOOSE, j] = t


@fast
def open_board(
    fact: Any,
    node: Any,
    spot: Any,
    known: Any,
    info: Any,
    number: Any,
    lists: Any,
    work: Any,
    random: Any,
    t: Any,
    price: Any,
    goal: Any,
) -> Any:
    """A new board with a piece of type ``t`` that goal and stock allow, cheap for its size first; -1 if none."""
    best = -1
    least = 0.0
    spread = 0.6 if draw(random) < 0.85 else 30.0
    for shape in range(number[SHAPES]):
        stock = fact[SHAPE_STOCK, shape]
        if price + fact[SHAPE_PRICE, shape] > goal or lists[NEXT_STOCK, stock] >= fact[LIMITS, stock]:
            continue
        s = empty_board(fact, node, spot, info, number, lists, work, shape)
        fits = add(fact, node, spot, known, info, number, lists, work, s, t)
        drop_slot(number, lists)
        worth = (fact[SHAPE_PRICE, shape] + 1e-9) / fact[SHAPE_SIZE, shape] * (0.7 + spread * draw(random))
        if fits and (best < 0 or worth < least):
            best, least = shape, worth
    if best < 0:
        return -1
    s = empty_board(fact, node, spot, info, number, lists, work, best)
    add(fact, node, spot, known, info, number, lists, work, s, t)
    return s


@fast
def enter(lists: Any, q: Any, i: Any, board: Any) -> Any:
    """Note candidate's board ``i`` as the one with room number ``q``, and its room; returns the next number."""
    lists[ROOMY, q] = i
    lists[ROOM_W, q] = board[MOST_W]
    lists[ROOM_H, q] = board[MOST_H]
    return q + 1


@fast
def recreate(
    fact: Any,
    node: Any,
    spot: Any,
    known: Any,
    info: Any,
    number: Any,
    lists: Any,
    work: Any,
    random: Any,
    real: Any,
    weight_of: Any,
    n: Any,
    many: Any,
    price: Any,
    goal: Any,
    most_open: Any,
) -> Any:
    """Put the loose pieces on the candidate's boards, see ``Search.recreate``.

    Returns boards, pieces left loose, price and the weight left loose.
    """
    in_order(fact, lists, real, random, many)
    slim = low = FAR
    for i in range(many):
        t = lists[NEXT_LOOSE, i]
        for w in range(fact[FIRST_WAY, fact[FIRST_MEMBER, t]], fact[FIRST_WAY, fact[FIRST_MEMBER, t] + 1]):
            slim = min(slim, fact[WAY_W, w])
            low = min(low, fact[WAY_H, w])
    rooms = 0
    for i in range(n):
        lists[FRESH, i] = 0
        s = lists[NEXT_BOARDS, i]
        if info[s, MOST_W] >= slim and info[s, MOST_H] >= low:
            rooms = enter(lists, rooms, i, info[s])
    cheapest = number[CHEAPEST]
    number[TRIAL] += 1
    left = 0
    weight = 0.0
    for turn in range(many):
        t = lists[NEXT_LOOSE, turn]
        at = -1
        if lists[FAILED, t] != number[TRIAL]:
            first = fact[FIRST_MEMBER, t]
            if fact[FIRST_MEMBER, t + 1] - first == 1:
                least = FAR
                best = chosen = place = -1
                for way in range(fact[FIRST_WAY, first], fact[FIRST_WAY, first + 1]):
                    w, h = fact[WAY_W, way], fact[WAY_H, way]
                    for q in range(rooms):
                        if lists[ROOM_W, q] >= w and lists[ROOM_H, q] >= h:
                            s = lists[NEXT_BOARDS, lists[ROOMY, q]]
                            tight, i = tightest(fact, spot[s], known[s], info[s], way)
                            if tight < least:
                                least, best, chosen, place = tight, i, way, q
                if chosen >= 0:
                    at = lists[ROOMY, place]
                    s = lists[NEXT_BOARDS, at]
                    k, mode = spot[s, best, 2], spot[s, best, 3]
                    if info[s, OWNER] != number[ROUND]:
                        s = copied(node, info, number, lists, s)
                        lists[NEXT_BOARDS, at] = s
                    w, h, code = fact[WAY_W, chosen], fact[WAY_H, chosen], fact[WAY_CODE, chosen]
                    put(node[s], info[s], lists, k, mode, w, h, code)
                    info[s, USED] += fact[SIZE, t]
                    info[s, MARK_OF] += fact[MARK, t]
                    find_spots(fact, node[s], spot[s], info[s], number, work)
                    enter(lists, place, at, info[s])
            else:
                for i in range(n):
                    s = copied(node, info, number, lists, lists[NEXT_BOARDS, i])
                    find_spots(fact, node[s], spot[s], info[s], number, work)
                    if add(fact, node, spot, known, info, number, lists, work, s, t):
                        lists[NEXT_BOARDS, i] = s
                        at = i
                        for q in range(rooms):
                            if lists[ROOMY, q] == i:
                                enter(lists, q, i, info[s])
                        break
                    drop_slot(number, lists)
            if at < 0 and price + cheapest <= goal:
                s = open_board(fact, node, spot, known, info, number, lists, work, random, t, price, goal)
                if s >= 0:
                    price += fact[SHAPE_PRICE, info[s, SHAPE]]
                    lists[NEXT_STOCK, fact[SHAPE_STOCK, info[s, SHAPE]]] += 1
                    lists[NEXT_BOARDS, n] = s
                    at = n
                    rooms = enter(lists, rooms, n, info[s])
                    n += 1
                    number[TRIAL] += 1
        if at >= 0:
            lists[FRESH, at] = 1
            continue
        lists[FAILED, t] = number[TRIAL]
        lists[REST, left] = t
        left += 1
        weight += weight_of[t]
        if weight > most_open:
            break
    copy(lists, REST, NEXT_LOOSE, left)
    return n, left, price, weight


@fast
def remember(node: Any, info: Any, number: Any, met: Any, marks: Any, s: Any) -> None:
    """Note a board of pieces not met before, while there is room for it."""
    mask = marks.shape[0] - 1
    at = (info[s, MARK_OF] >> 20) & mask
    while marks[at]:
        if marks[at] == info[s, MARK_OF]:
            return
        at = (at + 1) & mask
    n, start = info[s, NODES], number[MET_NODES]
    if not number[QUOTA] or 2 * number[MARKS] >= marks.shape[0] or start + n + ENTRY > met.shape[0]:
        return
    marks[at] = info[s, MARK_OF]
    number[MARKS] += 1
    number[QUOTA] -= 1
    met[start] = info[s, SHAPE]
    met[start + 1] = n
    write_signs(node, info, s, met, start + ENTRY)
    number[MET_NODES] = start + n + ENTRY


@fast
def run(
    fact: Any,
    weight_of: Any,
    boards: Any,
    hand: Any,
    way: Any,
    start: Any,
    end: Any,
    count: Any,
    goal: Any,
    missing: Any,
) -> Any:
    """Rounds ``start`` to ``end`` of ``count`` with falling heat.

    Returns GOING, or at once COMPLETE when no piece is left loose or FEWER when pieces of less area than ``missing``
    (0: all pieces had boards) are.
    """
    node, spot, known, info = boards
    number, lists, real, work, random, met, marks = hand
    for turn in range(start, end):
        number[ROUND] += 1
        lists[MADE, 0] = 0
        warmth = way[4] * (1 - turn / count)
        most_open = real[0] - warmth * log(draw(random) + 1e-12)
        n, many, price = ruin(fact, node, spot, info, number, lists, work, random, way)
        n, many, price, weight = recreate(
            fact, node, spot, known, info, number, lists, work, random, real, weight_of, n, many, price, goal, most_open
        )
        if weight > most_open:
            for i in range(1, lists[MADE, 0] + 1):
                lists[FREE, number[FREE_NOW]] = lists[MADE, i]
                number[FREE_NOW] += 1
            continue
        for i in range(n):
            if lists[FRESH, i]:
                remember(node, info, number, met, marks, lists[NEXT_BOARDS, i])
        # boards of the plan in hand and trial boards that are not in the candidate go back to the free slots
        for i in range(n):
            info[lists[NEXT_BOARDS, i], OWNER] = -number[ROUND]
        for i in range(number[BOARDS_NOW]):
            give_back(info, number, lists, lists[BOARDS, i])
        for i in range(1, lists[MADE, 0] + 1):
            give_back(info, number, lists, lists[MADE, i])
        copy(lists, NEXT_BOARDS, BOARDS, n)
        copy(lists, NEXT_LOOSE, LOOSE, many)
        copy(lists, NEXT_STOCK, STOCK, number[STOCKS])
        number[BOARDS_NOW], number[LOOSE_NOW], number[PRICE] = n, many, price
        real[0] = weight
        if not many:
            return COMPLETE
        if missing:
            area = 0
            for i in range(many):
                area += fact[SIZE, lists[LOOSE, i]]
            if area < missing:
                return FEWER
    return GOING


@fast
def give_back(info: Any, number: Any, lists: Any, s: Any) -> None:
    """Put a slot that the candidate does not use on the free list."""
    if info[s, OWNER] != -number[ROUND]:
        lists[FREE, number[FREE_NOW]] = s
        number[FREE_NOW] += 1
