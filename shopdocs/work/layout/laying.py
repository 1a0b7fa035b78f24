"""Pieces laid on boards in slots, for the compiler (see ``rows``)."""

from __future__ import annotations

from shopdocs.work.layout.numbered import Facts
from shopdocs.work.layout.rows import Rows, Slots
from shopdocs.work.layout.slots import copy_node, drop_slot, nodes_in, take_slot, write
from shopdocs.work.layout.tree import ANY, AREAS, CROSSCUT_THEN_RIP, EMPTY, LEAF, ROW, STACK

FAR = 1 << 62


def start(facts: Facts, hand: Rows) -> None:
    """Before the first round with boards that were just loaded: work their spots out."""
    for i in range(hand.state.boards_now):
        if not hand.slots.board[hand.boards[i]].version:
            find_spots(facts, hand.slots, hand.boards[i])


def find_spots(facts: Facts, slots: Slots, s: int) -> None:
    """Work out the spots of a board, in the order of ``tree.openings_of``."""
    state, board = slots.state, slots.board[s]
    shape = facts.shapes[board.form]
    at = 1 if shape.last_area - shape.first_area > 1 else 0
    board.spots = board.most_w = board.most_h = 0
    for i in range(shape.first_area, shape.last_area):
        area = facts.areas[i]
        if slots.node[s, at].kind == EMPTY:
            note(slots, s, area.w, area.h, at, 0)
        elif area.rule == ANY:
            free_spots(slots, s, at, area.w, area.h)
        else:
            stretch_spots(slots, s, at, area.w, area.h, area.rule)
        at += nodes_in(slots, s, at)
    state.version += 1
    board.version = state.version


def note(slots: Slots, s: int, w: int, h: int, k: int, mode: int) -> None:
    """Write a spot down, where it is large enough for some piece."""
    state, board = slots.state, slots.board[s]
    if w < state.least_w or h < state.least_h:
        return
    spot = slots.spot[s, board.spots]
    spot.w = w
    spot.h = h
    spot.node = k
    spot.mode = mode
    board.spots += 1
    board.most_w = max(board.most_w, w)
    board.most_h = max(board.most_h, h)


def free_spots(slots: Slots, s: int, at: int, w: int, h: int) -> None:
    """Spots of an area cut in any order. Of each node is known how much room it has, w (``a``) by h (``b``), and the
    kind of the group that holds it (``c``)."""
    first = slots.work[at]
    first.a = w
    first.b = h
    first.c = 0
    for k in range(at, at + nodes_in(slots, s, at)):
        node, mine = slots.node[s, k], slots.work[k]
        more_w, more_h = mine.a - node.w, mine.b - node.h
        if mine.c != ROW:
            note(slots, s, more_w, mine.b, k, ROW)
        if mine.c != STACK:
            note(slots, s, mine.a, more_h, k, STACK)
        if node.kind == LEAF:
            continue
        kid, stop = k + 1, k + node.code
        while kid < stop:
            inner, room = slots.node[s, kid], slots.work[kid]
            room.a = inner.w + more_w if node.kind == ROW else mine.a
            room.b = mine.b if node.kind == ROW else inner.h + more_h
            room.c = node.kind
            kid += nodes_in(slots, s, kid)


def stretch_spots(slots: Slots, s: int, at: int, w: int, h: int, rule: int) -> None:
    """Spots of an area crosscut to rough lengths, then ripped: a row of stacks and nothing deeper."""
    node = slots.node[s, at]
    more_w = w - node.w
    if rule == CROSSCUT_THEN_RIP:
        note(slots, s, more_w, h, at, ROW)
    if node.kind != ROW:
        note(slots, s, w, h - node.h, at, STACK)
        return
    kid, stop = at + 1, at + node.code
    while kid < stop:
        inner = slots.node[s, kid]
        note(slots, s, inner.w + more_w, h - inner.h, kid, STACK)
        kid += nodes_in(slots, s, kid)


def put(slots: Slots, s: int, k: int, mode: int, w: int, h: int, code: int) -> None:
    """Lay a piece beside node ``k`` of a board, as ``tree.put`` does."""
    board = slots.board[s]
    if mode == 0:
        write(slots, s, k, w, h, LEAF, code)
        return
    deep = path_to(slots, s, k)
    node = slots.node[s, k]
    end = k + nodes_in(slots, s, k)
    old_w, old_h = node.w, node.h
    grown = 1 if node.kind == mode else 2
    for i in range(board.nodes - 1, end - 1, -1):
        copy_node(slots, s, i, s, i + grown)
    if grown == 2:
        for i in range(end - 1, k - 1, -1):
            copy_node(slots, s, i, s, i + 1)
        node.kind = mode
        node.code = end - k + 2
    else:
        node.code += 1
    write(slots, s, end + grown - 1, w, h, LEAF, code)
    node.w = old_w + w if mode == ROW else max(old_w, w)
    node.h = max(old_h, h) if mode == ROW else old_h + h
    board.nodes += grown
    grow_path(slots, s, deep, grown, old_w, old_h, node.w, node.h)


def path_to(slots: Slots, s: int, k: int) -> int:
    """Note the groups around node ``k``, outermost first; returns how many."""
    deep = at = 0
    while at != k:
        slots.work[deep].path = at
        deep += 1
        at += 1
        while at + nodes_in(slots, s, at) <= k:
            at += nodes_in(slots, s, at)
    return deep


def grow_path(slots: Slots, s: int, deep: int, grown: int, old_w: int, old_h: int, new_w: int, new_h: int) -> None:
    """Let the ``deep`` groups on the path grow with what they hold: by ``grown`` nodes, from an old size to a new."""
    while deep:
        deep -= 1
        group = slots.node[s, slots.work[deep].path]
        group.code += grown
        if group.kind == AREAS:
            return
        w, h = group.w, group.h
        group.w = w + new_w - old_w if group.kind == ROW else max(w, new_w)
        group.h = max(h, new_h) if group.kind == ROW else h + new_h - old_h
        old_w, old_h, new_w, new_h = w, h, group.w, group.h


def sort_loose(hand: Rows, n: int) -> None:
    """Sort the first ``n`` loose pieces by their keys."""
    for i in range(1, n):
        x, t = hand.keys[i], hand.next_loose[i]
        j = i
        while j and (hand.keys[j - 1] > x or (hand.keys[j - 1] == x and hand.next_loose[j - 1] > t)):
            hand.keys[j] = hand.keys[j - 1]
            hand.next_loose[j] = hand.next_loose[j - 1]
            j -= 1
        hand.keys[j] = x
        hand.next_loose[j] = t


def find_rooms(hand: Rows, n: int, slim: int, low: int) -> None:
    """Note which of the candidate's ``n`` boards have room for a piece as slim and as low as this."""
    state = hand.state
    state.rooms = 0
    for i in range(n):
        board = hand.slots.board[hand.next_boards[i]]
        if board.most_w >= slim and board.most_h >= low:
            hand.room[state.rooms].at = i
            state.rooms += 1
            enter(hand, state.rooms - 1)


def enter(hand: Rows, q: int) -> None:
    """Note how much room the board with room number ``q`` has."""
    room = hand.room[q]
    board = hand.slots.board[hand.next_boards[room.at]]
    room.w = board.most_w
    room.h = board.most_h


def tightest(facts: Facts, slots: Slots, s: int, i: int) -> int:
    """How tight the tightest spot of a board is for a piece lying so, FAR if there is none; see ``known``."""
    way, board = facts.ways[i], slots.board[s]
    known = slots.known[s, way.code]
    if known.version == board.version:
        return known.tight
    known.version = board.version
    known.tight = FAR
    for k in range(board.spots):
        spot = slots.spot[s, k]
        x, y = spot.w - way.w, spot.h - way.h
        if x >= 0 and y >= 0 and min(x, y) < known.tight:
            known.tight = min(x, y)
            known.spot = k
    return known.tight


def lay_tightest(facts: Facts, hand: Rows, t: int) -> int:
    """Lay a piece of type ``t`` in the tightest opening of all boards; returns which board, -1 where none has room."""
    member = facts.members[facts.kinds[t].first_member]
    least = FAR
    chosen = place = -1
    for i in range(member.first_way, member.last_way):
        way = facts.ways[i]
        for q in range(hand.state.rooms):
            room = hand.room[q]
            if room.w >= way.w and room.h >= way.h:
                tight = tightest(facts, hand.slots, hand.next_boards[room.at], i)
                if tight < least:
                    least, chosen, place = tight, i, q
    if chosen < 0:
        return -1
    at = hand.room[place].at
    s = hand.next_boards[at]
    spot = hand.slots.spot[s, hand.slots.known[s, facts.ways[chosen].code].spot]
    if hand.slots.board[s].owner != hand.state.lap:
        s = copied(hand, s)
        hand.next_boards[at] = s
    lay(facts, hand.slots, s, spot.node, spot.mode, chosen)
    hand.slots.board[s].used += facts.kinds[t].size
    hand.slots.board[s].mark += facts.kinds[t].mark
    enter(hand, place)
    return at


def lay(facts: Facts, slots: Slots, s: int, k: int, mode: int, i: int) -> None:
    """Lay a piece beside node ``k`` of a board that may be changed."""
    way = facts.ways[i]
    put(slots, s, k, mode, way.w, way.h, way.code)
    find_spots(facts, slots, s)


def copied(hand: Rows, old: int) -> int:
    """A new slot with the tree of board ``old``, without its spots."""
    s = take_slot(hand)
    for k in range(hand.slots.board[old].nodes):
        copy_node(hand.slots, old, k, s, k)
    hand.slots.board[s].nodes = hand.slots.board[old].nodes
    hand.slots.board[s].form = hand.slots.board[old].form
    hand.slots.board[s].used = hand.slots.board[old].used
    hand.slots.board[s].mark = hand.slots.board[old].mark
    return s


def lay_whole(facts: Facts, hand: Rows, i: int, t: int) -> bool:
    """Lay a whole group on one of the candidate's boards; False where it has no room."""
    s = copied(hand, hand.next_boards[i])
    find_spots(facts, hand.slots, s)
    if not add(facts, hand.slots, s, t):
        drop_slot(hand)
        return False
    hand.next_boards[i] = s
    for q in range(hand.state.rooms):
        if hand.room[q].at == i:
            enter(hand, q)
    return True


def add(facts: Facts, slots: Slots, s: int, t: int) -> bool:
    """Lay a piece or group of type ``t`` on a board, each in its tightest spot; False if it has no room."""
    kind = facts.kinds[t]
    for m in range(kind.first_member, kind.last_member):
        member = facts.members[m]
        least = FAR
        chosen = -1
        for i in range(member.first_way, member.last_way):
            tight = tightest(facts, slots, s, i)
            if tight < least:
                least, chosen = tight, i
        if chosen < 0:
            return False
        spot = slots.spot[s, slots.known[s, facts.ways[chosen].code].spot]
        lay(facts, slots, s, spot.node, spot.mode, chosen)
    slots.board[s].used += kind.size
    slots.board[s].mark += kind.mark
    return True


def empty_board(facts: Facts, hand: Rows, i: int) -> int:
    """A new slot with a board without pieces."""
    s = take_slot(hand)
    shape = facts.shapes[i]
    areas = shape.last_area - shape.first_area
    first = 0
    if areas > 1:
        first = 1
        write(hand.slots, s, 0, 0, 0, AREAS, areas + 1)
    for k in range(first, first + areas):
        write(hand.slots, s, k, 0, 0, EMPTY, 0)
    board = hand.slots.board[s]
    board.nodes = first + areas
    board.form = i
    board.used = 0
    board.mark = shape.mark
    find_spots(facts, hand.slots, s)
    return s


def opened(facts: Facts, hand: Rows, shape: int, t: int) -> bool:
    """Whether an empty board of a shape has room for a piece of type ``t``."""
    s = empty_board(facts, hand, shape)
    fits = add(facts, hand.slots, s, t)
    drop_slot(hand)
    return fits


def keep_opened(facts: Facts, hand: Rows, shape: int, t: int) -> None:
    """Put the board that was opened behind the candidate's others."""
    state = hand.state
    s = empty_board(facts, hand, shape)
    add(facts, hand.slots, s, t)
    hand.next_boards[state.next_boards_now] = s
    hand.room[state.rooms].at = state.next_boards_now
    state.rooms += 1
    enter(hand, state.rooms - 1)
