"""Boards as rows of whole numbers, and what is done to one of them, as machine code.

For ``rounds``, compiled by Numba. A board is a tree (see ``tree``) in reading order, a node being ``(w, h, kind, code
or number of nodes)``. Its first node is AREAS where the board has several clear areas; an area without pieces is a
node EMPTY. A spot is an opening ``(w, h, node, mode)``. Boards stand in slots ``s``; arrays are handed on one by one,
because that is what compiled functions take without cost:

* ``fact[row, i]``: the task; rows WAY_W to LIMITS. Type t has the members FIRST_MEMBER of t up to that of t + 1,
  member m the ways to lie FIRST_WAY of m up to that of m + 1, a shape its areas in the same manner;
* ``node[s, k]``, ``spot[s, i]``, ``info[s]`` with columns NODES to OWNER: the boards; ``tree``, ``spots`` and
  ``board`` are those of one slot;
* ``known[s, code]``: the tightest spot of a board for a piece, as (version of the board, tightness, spot);
* ``number``: counters BOARDS_NOW to QUOTA; ``lists[row, i]``: rows BOARDS to GONE;
* ``way``: how boards are taken apart, see ``search.Manner``: few, many, close, empty, the heat as an area, and how
  many pieces there are in all;
* ``real``: the weight left loose, then keys to sort by; ``work``: room for three numbers a node;
* ``met``, ``marks``: the boards met, written as signs, and the marks of all met so far.

Numba stores compiled code by the names of what goes in, so no class of our own does.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast
from zlib import crc32

import numpy as np
from numba import njit

from shopdocs.work.layout.tree import ANY, AREAS, CROSSCUT_THEN_RIP, EMPTY, LEAF, ROW, STACK

FAR = 1 << 62
W, H, KIND, CODE = range(4)
NODES, SPOTS, MOST_W, MOST_H, USED, SHAPE, MARK_OF, VERSION, OWNER = range(9)
BOARDS_NOW, LOOSE_NOW, PRICE, FREE_NOW, NEW_VERSION, ROUND, TRIAL, MARKS = range(8)
MET_NODES, LEAST_W, LEAST_H, SHAPES, STOCKS, CHEAPEST, QUOTA = range(8, 15)
WAY_W, WAY_H, WAY_CODE, FIRST_MEMBER, FIRST_WAY, TYPE_OF, LEADS, SIZE, MARK = range(9)
FIRST_AREA, AREA_W, AREA_H, AREA_RULE, SHAPE_PRICE, SHAPE_SIZE, SHAPE_STOCK, SHAPE_MARK, LIMITS = range(9, 18)
BOARDS, LOOSE, STOCK, NEXT_BOARDS, NEXT_LOOSE, NEXT_STOCK, FREE, MADE, LATER = range(9)
ROOMY, ROOM_W, ROOM_H, FRESH, REST, FAILED, SEEN, PATH, GONE = range(9, 18)
COLUMNS, COUNTERS, LISTS = OWNER + 1, QUOTA + 1, GONE + 1

STAMP = crc32(Path(__file__).read_bytes())

F = TypeVar("F", bound=Callable[..., Any])


def fast(function: F) -> F:
    """Compile a function, once for all later runs where the compiled code can be stored.

    References to arrays are not counted: nothing is made or let go in here, and counting takes most of the time. The
    store watches the file of the function alone; what this file says goes into the name under which it is stored.
    """
    function.__qualname__ = f"{function.__name__}_{STAMP:08x}"
    options: dict[str, Any] = {"_nrt": False, "nogil": True, "error_model": "numpy"}
    try:
        return cast(F, njit(cache=True, **options)(function))
    except RuntimeError:  # no folder to store it in
        return cast(F, njit(**options)(function))


@fast
def draw(random: Any) -> Any:
    """A number from 0 up to 1 (xorshift64*, Vigna 2016)."""
    x = random[0]
    x ^= x >> np.uint64(12)
    x ^= x << np.uint64(25)
    x ^= x >> np.uint64(27)
    random[0] = x
    return np.float64((x * np.uint64(2685821657736338717)) >> np.uint64(11)) * 1.1102230246251565e-16


@fast
def nodes_in(tree: Any, k: Any) -> Any:
    """How many nodes the branch at ``k`` has, itself among them."""
    return tree[k, CODE] if ROW <= tree[k, KIND] <= AREAS else 1


@fast
def find_spots(fact: Any, tree: Any, spots: Any, board: Any, number: Any, work: Any) -> None:
    """Work out the spots of a board, in the order of ``tree.openings_of``."""
    least_w, least_h = number[LEAST_W], number[LEAST_H]
    first, last = fact[FIRST_AREA, board[SHAPE]], fact[FIRST_AREA, board[SHAPE] + 1]
    at = 1 if last - first > 1 else 0
    n = 0
    for area in range(first, last):
        end = at + nodes_in(tree, at)
        whole_w, whole_h, rule = fact[AREA_W, area], fact[AREA_H, area], fact[AREA_RULE, area]
        if tree[at, KIND] == EMPTY:
            if whole_w >= least_w and whole_h >= least_h:
                n = note(spots, n, whole_w, whole_h, at, 0)
        elif rule == ANY:
            work[at, 0] = whole_w
            work[at, 1] = whole_h
            work[at, 2] = 0
            for k in range(at, end):
                wide, high = work[k, 0], work[k, 1]
                more_w, more_h = wide - tree[k, W], high - tree[k, H]
                if work[k, 2] != ROW and more_w >= least_w:
                    n = note(spots, n, more_w, high, k, ROW)
                if work[k, 2] != STACK and more_h >= least_h:
                    n = note(spots, n, wide, more_h, k, STACK)
                kind = tree[k, KIND]
                if kind == LEAF:
                    continue
                kid, stop = k + 1, k + tree[k, CODE]
                while kid < stop:
                    work[kid, 0] = tree[kid, W] + more_w if kind == ROW else wide
                    work[kid, 1] = high if kind == ROW else tree[kid, H] + more_h
                    work[kid, 2] = kind
                    kid += nodes_in(tree, kid)
        else:
            more_w = whole_w - tree[at, W]
            if rule == CROSSCUT_THEN_RIP and more_w >= least_w:
                n = note(spots, n, more_w, whole_h, at, ROW)
            if tree[at, KIND] != ROW:
                if whole_h - tree[at, H] >= least_h:
                    n = note(spots, n, whole_w, whole_h - tree[at, H], at, STACK)
            else:
                kid = at + 1
                while kid < end:
                    if whole_h - tree[kid, H] >= least_h:
                        n = note(spots, n, tree[kid, W] + more_w, whole_h - tree[kid, H], kid, STACK)
                    kid += nodes_in(tree, kid)
        at = end
    board[SPOTS] = n
    most_w = most_h = 0
    for i in range(n):
        most_w = max(most_w, spots[i, W])
        most_h = max(most_h, spots[i, H])
    board[MOST_W] = most_w
    board[MOST_H] = most_h
    number[NEW_VERSION] += 1
    board[VERSION] = number[NEW_VERSION]


@fast
def note(spots: Any, n: Any, w: Any, h: Any, k: Any, mode: Any) -> Any:
    """Write a spot down as number ``n``; returns the next number."""
    spots[n, 0] = w
    spots[n, 1] = h
    spots[n, 2] = k
    spots[n, 3] = mode
    return n + 1


@fast
def put(tree: Any, board: Any, lists: Any, k: Any, mode: Any, w: Any, h: Any, code: Any) -> None:
    """Lay a piece beside node ``k`` of a board, as ``tree.put`` does."""
    n = board[NODES]
    if mode == 0:
        tree[k, W] = w
        tree[k, H] = h
        tree[k, KIND] = LEAF
        tree[k, CODE] = code
        return
    deep = at = 0
    while at != k:
        lists[PATH, deep] = at
        deep += 1
        at += 1
        while at + nodes_in(tree, at) <= k:
            at += nodes_in(tree, at)
    end = k + nodes_in(tree, k)
    old_w, old_h = tree[k, W], tree[k, H]
    grown = 1 if tree[k, KIND] == mode else 2
    for i in range(n - 1, end - 1, -1):
        for x in range(4):
            tree[i + grown, x] = tree[i, x]
    if grown == 2:
        for i in range(end - 1, k - 1, -1):
            for x in range(4):
                tree[i + 1, x] = tree[i, x]
        tree[k, KIND] = mode
        tree[k, CODE] = end - k + 2
    else:
        tree[k, CODE] += 1
    leaf = end + grown - 1
    tree[leaf, W] = w
    tree[leaf, H] = h
    tree[leaf, KIND] = LEAF
    tree[leaf, CODE] = code
    tree[k, W] = old_w + w if mode == ROW else max(old_w, w)
    tree[k, H] = max(old_h, h) if mode == ROW else old_h + h
    new_w, new_h = tree[k, W], tree[k, H]
    while deep:
        deep -= 1
        at = lists[PATH, deep]
        tree[at, CODE] += grown
        kind = tree[at, KIND]
        if kind == AREAS:
            break
        w, h = tree[at, W], tree[at, H]
        tree[at, W] = w + new_w - old_w if kind == ROW else max(w, new_w)
        tree[at, H] = max(h, new_h) if kind == ROW else h + new_h - old_h
        old_w, old_h = w, h
        new_w, new_h = tree[at, W], tree[at, H]
    board[NODES] = n + grown


@fast
def tightest(fact: Any, spots: Any, known: Any, board: Any, way: Any) -> Any:
    """The tightest spot of a board for a piece lying so: how tight (FAR if none) and which."""
    code = fact[WAY_CODE, way]
    if known[code, 0] != board[VERSION]:
        look_for(spots, board[SPOTS], fact[WAY_W, way], fact[WAY_H, way], known[code])
        known[code, 0] = board[VERSION]
    return known[code, 1], known[code, 2]


@fast
def look_for(spots: Any, n: Any, w: Any, h: Any, found: Any) -> None:
    """Note the tightest of ``n`` spots for a piece of this size, and how tight it is."""
    least = FAR
    best = -1
    for i in range(n):
        x = spots[i, 0] - w
        y = spots[i, 1] - h
        if x >= 0 and y >= 0 and min(x, y) < least:
            least = min(x, y)
            best = i
    found[1] = least
    found[2] = best


@fast
def strike(lists: Any, start: Any, end: Any) -> None:
    """Mark nodes as gone."""
    for k in range(start, end):
        lists[GONE, k] = 1


@fast
def strike_share(tree: Any, lists: Any, random: Any, n: Any, share: Any) -> None:
    """Mark a random ``share`` of all branches as gone, each with all its pieces; see ``tree.thin``."""
    k = 0
    while k < n:
        kind = tree[k, KIND]
        if kind >= AREAS or draw(random) >= share:
            k += 1
            continue
        end = k + nodes_in(tree, k)
        strike(lists, k, end)
        k = end


@fast
def leaves_in(tree: Any, k: Any) -> Any:
    """How many pieces lie in the branch at ``k``."""
    n = 0
    for i in range(k, k + nodes_in(tree, k)):
        if tree[i, KIND] == LEAF:
            n += 1
    return n


@fast
def strike_stretch(tree: Any, lists: Any, random: Any, many: Any) -> None:
    """Mark about ``many`` pieces that share one stretch as gone; see ``tree.carve``."""
    at = 0
    total = leaves_in(tree, 0)
    while True:
        if total <= many and tree[at, KIND] != AREAS:
            strike(lists, at, at + nodes_in(tree, at))
            return
        left = draw(random) * total
        n = 0
        chosen = -1
        k = at + 1
        end = at + tree[at, CODE]
        while k < end:
            lists[PATH, n] = k
            pieces = leaves_in(tree, k)
            if chosen < 0 and left < pieces:
                chosen = n
                total = pieces
            left -= pieces
            n += 1
            k += nodes_in(tree, k)
        if chosen < 0:
            chosen = n - 1
            total = leaves_in(tree, lists[PATH, chosen])
        if total > many or tree[at, KIND] == AREAS:
            at = lists[PATH, chosen]
            continue
        off = 0
        start = n
        while off < many and (n > 1 or n == start):
            k = lists[PATH, chosen]
            off += leaves_in(tree, k)
            strike(lists, k, k + nodes_in(tree, k))
            n -= 1
            for i in range(chosen, n):
                lists[PATH, i] = lists[PATH, i + 1]
            chosen = int(draw(random) * n)
        return


@fast
def rebuild(tree: Any, n: Any, out: Any, board: Any, lists: Any, work: Any) -> Any:
    """Write to ``out`` a tree of ``n`` nodes without the pieces ``gone``, in normal form; returns pieces left.

    A node needs to know its children left (``work[k, 0]``), the kind of the group that takes it in (``work[k, 1]``)
    and, once written, where its branch ended in the old tree (``work[k, 2]``).
    """
    pieces = 0
    for k in range(n - 1, -1, -1):
        kind = tree[k, KIND]
        alive = 0
        if kind == LEAF:
            alive = 0 if lists[GONE, k] else 1
            pieces += alive
        elif kind != EMPTY:
            kid, end = k + 1, k + tree[k, CODE]
            while kid < end:
                if work[kid, 0]:
                    alive += 1
                kid += nodes_in(tree, kid)
        work[k, 0] = alive
    if not pieces:
        return 0
    many = deep = k = 0
    work[0, 1] = 0
    while k < n:
        while deep and work[lists[PATH, deep - 1], 2] <= k:
            deep -= 1
            out[lists[PATH, deep], CODE] = many - lists[PATH, deep]
        kind, taker = tree[k, KIND], work[k, 1]
        end = k + nodes_in(tree, k)
        if not work[k, 0]:
            if taker == AREAS:
                out[many, W] = out[many, H] = out[many, CODE] = 0
                out[many, KIND] = EMPTY
                many += 1
            k = end
            continue
        kept = kind in (LEAF, AREAS) or (work[k, 0] > 1 and kind != taker)
        if kept:
            for i in range(4):
                out[many, i] = tree[k, i]
            if kind != LEAF:
                work[many, 2] = end
                lists[PATH, deep] = many
                deep += 1
            many += 1
        kid = k + 1
        while kid < end:
            work[kid, 1] = kind if kept else taker if taker != AREAS else 0
            kid += nodes_in(tree, kid)
        k += 1
    while deep:
        deep -= 1
        out[lists[PATH, deep], CODE] = many - lists[PATH, deep]
    board[NODES] = many
    for k in range(many - 1, -1, -1):
        kind = out[k, KIND]
        if kind in (ROW, STACK):
            along = across = 0
            kid, end = k + 1, k + out[k, CODE]
            while kid < end:
                along += out[kid, W] if kind == ROW else out[kid, H]
                across = max(across, out[kid, H] if kind == ROW else out[kid, W])
                kid += nodes_in(out, kid)
            out[k, W] = along if kind == ROW else across
            out[k, H] = across if kind == ROW else along
    return pieces


@fast
def take_slot(info: Any, number: Any, lists: Any) -> Any:
    """A free slot, noted as made in this round."""
    number[FREE_NOW] -= 1
    s = lists[FREE, number[FREE_NOW]]
    info[s, OWNER] = number[ROUND]
    lists[MADE, 0] += 1
    lists[MADE, lists[MADE, 0]] = s
    return s


@fast
def drop_slot(number: Any, lists: Any) -> None:
    """Give the slot taken last back."""
    s = lists[MADE, lists[MADE, 0]]
    lists[MADE, 0] -= 1
    lists[FREE, number[FREE_NOW]] = s
    number[FREE_NOW] += 1


@fast
def copied(node: Any, info: Any, number: Any, lists: Any, old: Any) -> Any:
    """A new slot with the tree of board ``old``, without its spots."""
    s = take_slot(info, number, lists)
    for k in range(info[old, NODES]):
        for i in range(4):
            node[s, k, i] = node[old, k, i]
    info[s, NODES] = info[old, NODES]
    info[s, SHAPE] = info[old, SHAPE]
    info[s, USED] = info[old, USED]
    info[s, MARK_OF] = info[old, MARK_OF]
    return s


@fast
def empty_board(fact: Any, node: Any, spot: Any, info: Any, number: Any, lists: Any, work: Any, shape: Any) -> Any:
    """A new slot with a board without pieces."""
    s = take_slot(info, number, lists)
    areas = fact[FIRST_AREA, shape + 1] - fact[FIRST_AREA, shape]
    first = 0
    if areas > 1:
        first = 1
        node[s, 0, W] = node[s, 0, H] = 0
        node[s, 0, KIND] = AREAS
        node[s, 0, CODE] = areas + 1
    for k in range(first, first + areas):
        node[s, k, W] = node[s, k, H] = 0
        node[s, k, KIND] = EMPTY
        node[s, k, CODE] = 0
    info[s, NODES] = first + areas
    info[s, SHAPE] = shape
    info[s, USED] = 0
    info[s, MARK_OF] = fact[SHAPE_MARK, shape]
    find_spots(fact, node[s], spot[s], info[s], number, work)
    return s


@fast
def add(
    fact: Any, node: Any, spot: Any, known: Any, info: Any, number: Any, lists: Any, work: Any, s: Any, t: Any
) -> Any:
    """Lay a piece or group of type ``t`` on board ``s``, each in its tightest spot; False if it has no room."""
    for m in range(fact[FIRST_MEMBER, t], fact[FIRST_MEMBER, t + 1]):
        least = FAR
        found = chosen = -1
        for way in range(fact[FIRST_WAY, m], fact[FIRST_WAY, m + 1]):
            if info[s, MOST_W] >= fact[WAY_W, way] and info[s, MOST_H] >= fact[WAY_H, way]:
                tight, i = tightest(fact, spot[s], known[s], info[s], way)
                if tight < least:
                    least, found, chosen = tight, i, way
        if found < 0:
            return False
        k, mode = spot[s, found, 2], spot[s, found, 3]
        put(node[s], info[s], lists, k, mode, fact[WAY_W, chosen], fact[WAY_H, chosen], fact[WAY_CODE, chosen])
        find_spots(fact, node[s], spot[s], info[s], number, work)
    info[s, USED] += fact[SIZE, t]
    info[s, MARK_OF] += fact[MARK, t]
    return True


@fast
def write_signs(node: Any, info: Any, s: Any, out: Any, start: Any) -> None:
    """A board's nodes as one number each: a piece's code, or -(8 * number of nodes + kind)."""
    for k in range(info[s, NODES]):
        kind = node[s, k, KIND]
        out[start + k] = node[s, k, CODE] if kind == LEAF else -8 * node[s, k, CODE] - kind
