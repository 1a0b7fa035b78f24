"""The moves of the search, written once: some boards are taken apart and their pieces put back another way.

Python runs them as they stand here, on boards that are trees; what is done to one board then stands in ``hand``.
Compiled (``machine``), the names that come from ``hand`` stand for their namesakes in ``rows``, where a board is the
number of a slot. So only what both can do is used here: numbers, and lists that keep their length.
"""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

from shopdocs.work.layout.hand import (
    begin,
    close_up,
    draw,
    find_rooms,
    give_up,
    keep_opened,
    lay_tightest,
    lay_whole,
    opened,
    remember,
    rest_of,
    room_on,
    shape_of,
    sort_loose,
    start,
    strike_share,
    strike_stretch,
    take_apart,
    take_over,
)
from shopdocs.work.layout.tuning import (
    BRANCHES,
    BY_AREA,
    BY_LENGTH,
    BY_WIDTH,
    LEAST_NOISE,
    LEAST_WORTH,
    MORE_NOISE,
    NOISE,
    OFTEN,
    SPREAD,
    WHOLE,
    WIDE_SPREAD,
)

if TYPE_CHECKING:
    from shopdocs.work.layout.hand import Hand
    from shopdocs.work.layout.numbered import Facts
    from shopdocs.work.layout.packing import Board
    from shopdocs.work.layout.tuning import Manner

GOING, COMPLETE, FEWER = 0, 1, 2
FAR = 1 << 62


def run(
    facts: Facts, hand: Hand, manner: Manner, heat: float, first: int, end: int, count: int, goal: int, missing: int
) -> int:
    """Rounds ``first`` to ``end`` of ``count`` with ``heat``, an area, that falls to 0.

    Returns GOING, or at once COMPLETE when no piece is left loose or FEWER when pieces of less area than ``missing``
    (0: all pieces had boards) are; ``turn`` is then the next round.
    """
    state = hand.state
    start(facts, hand)
    for turn in range(first, end):
        most_open = state.open_area - heat * (1 - turn / count) * log(draw(hand.random) + 1e-12)
        begin(hand)
        ruin(facts, hand, manner)
        recreate(facts, hand, goal, most_open)
        if state.next_open > most_open:
            give_up(hand)
            continue
        for i in range(state.next_boards_now):
            if hand.fresh[i] == state.lap:
                remember(hand, hand.next_boards[i])
        take_over(hand)
        state.turn = turn + 1
        if not state.loose_now:
            return COMPLETE
        if missing and loose_area(facts, hand) < missing:
            return FEWER
    state.turn = end
    return GOING


def loose_area(facts: Facts, hand: Hand) -> int:
    """The area of the pieces without a board."""
    area = 0
    for i in range(hand.state.loose_now):
        area += facts.kinds[hand.loose[i]].size
    return area


def ruin(facts: Facts, hand: Hand, manner: Manner) -> None:
    """Take some of the candidate's boards apart, so that a few pieces or some more become loose."""
    state, boards, random = hand.state, hand.next_boards, hand.random
    n = state.next_boards_now
    average = state.pieces / n if n else 1.0
    goal = manner.few + (manner.many - manner.few) * draw(random)
    many = max(1 + int(draw(random) * 3.0), int(goal / average))
    share = goal / (many * average)
    close = 0
    if share <= WHOLE and draw(random) < manner.close:
        close = max(1, int(share * average + 0.5))
    share = 1.0 if share > WHOLE else share * BRANCHES
    later = 0
    while many > 0 and n:
        i = int(draw(random) * n)
        for _ in range(int(manner.empty + draw(random))):
            j = int(draw(random) * n)
            if room_on(facts, hand, boards[j]) > room_on(facts, hand, boards[i]):
                i = j
        old = boards[i]
        n -= 1
        many -= 1
        close_up(boards, i, n)
        if share < 1.0 and thinned(facts, hand, old, share, close, later):
            later += 1
            continue
        if share >= 1.0:
            state.next_loose_now = take_apart(facts, hand, old, state.next_loose_now)
        shape = facts.shapes[shape_of(hand, old)]
        state.next_price -= shape.price
        hand.next_stock[shape.stock] -= 1
    for i in range(later):
        boards[n + i] = hand.later[i]
    state.next_boards_now = n + later


def thinned(facts: Facts, hand: Hand, old: Board, share: float, close: int, later: int) -> bool:
    """Board ``old`` without some of its pieces, which become loose; False where nothing is left of it.

    Taken off are ``close`` pieces of one stretch or, where that is 0, a random ``share`` of all. A group goes as a
    whole. What is left is noted as board ``later`` of those that go behind the others.
    """
    state, loose, off = hand.state, hand.next_loose, hand.off
    first = n = state.next_loose_now
    struck = strike_stretch(hand, old, close) if close else strike_share(hand, old, share)
    for i in range(struck):
        t = facts.codes[off[i]].kind
        kind = facts.kinds[t]
        if kind.last_member - kind.first_member > 1:
            if hand.seen[t] == state.lap:
                continue
            hand.seen[t] = state.lap
        loose[n] = t
        n += 1
    state.next_loose_now = n
    return rest_of(facts, hand, old, first, n, later)


def recreate(facts: Facts, hand: Hand, goal: int, most_open: float) -> None:
    """Put the loose pieces on the candidate's boards in a noisy order, opening boards while the goal allows.

    Given up as soon as the weight left loose is over ``most_open``: the rest of the pieces is then nowhere.
    """
    state, kinds, loose = hand.state, facts.kinds, hand.next_loose
    failed, rest, fresh = hand.failed, hand.rest, hand.fresh
    many, lap, trial = state.next_loose_now, state.lap, state.trial + 1
    in_order(facts, hand, many)
    # a piece fits only where its two sides do: boards too full for every loose piece are left out at once
    slim = low = FAR
    for i in range(many):
        kind = kinds[loose[i]]
        if kind.slim < slim:
            slim = kind.slim
        if kind.low < low:
            low = kind.low
    find_rooms(hand, state.next_boards_now, slim, low)
    left = 0
    open_area = 0.0
    for turn in range(many):
        t = loose[turn]
        if failed[t] != trial:
            kind = kinds[t]
            if kind.last_member - kind.first_member == 1:
                at = lay_tightest(facts, hand, t)
            else:
                at = lay_group(facts, hand, t)
            if at < 0 and state.next_price + state.cheapest <= goal and open_board(facts, hand, t, goal):
                at = state.next_boards_now - 1
                trial += 1
            if at >= 0:
                fresh[at] = lap
                continue
            failed[t] = trial
        rest[left] = t
        left += 1
        open_area += hand.weight[t]
        if open_area > most_open:
            break
    for i in range(left):
        loose[i] = rest[i]
    state.next_loose_now, state.next_open, state.trial = left, open_area, trial


def in_order(facts: Facts, hand: Hand, n: int) -> None:
    """Sort the loose pieces largest first, longest, widest or in any order, with some noise."""
    kinds, loose, keys, random = facts.kinds, hand.next_loose, hand.keys, hand.random
    style = draw(random)
    if style < BY_AREA:
        noise = LEAST_NOISE + MORE_NOISE * draw(random)
        for i in range(n):
            keys[i] = -kinds[loose[i]].size * (1 + noise * draw(random))
    elif style < BY_LENGTH:
        for i in range(n):
            keys[i] = -kinds[loose[i]].w * (1 + NOISE * draw(random))
    elif style < BY_WIDTH:
        for i in range(n):
            keys[i] = -kinds[loose[i]].h * (1 + NOISE * draw(random))
    else:
        for i in range(n):
            keys[i] = draw(random)
    sort_loose(hand, n)


def lay_group(facts: Facts, hand: Hand, t: int) -> int:
    """Lay a group on the first of the candidate's boards that has room; returns which, -1 where none has."""
    for i in range(hand.state.next_boards_now):
        if lay_whole(facts, hand, i, t):
            return i
    return -1


def open_board(facts: Facts, hand: Hand, t: int, goal: int) -> bool:
    """A new last board with a piece of type ``t`` that goal and stock allow, cheap for its size first."""
    state, next_stock, random = hand.state, hand.next_stock, hand.random
    price = state.next_price
    best = -1
    least = 0.0
    spread = SPREAD if draw(random) < OFTEN else WIDE_SPREAD
    shapes = len(facts.shapes)
    for i in range(shapes):
        shape = facts.shapes[i]
        if price + shape.price > goal or next_stock[shape.stock] >= facts.limits[shape.stock]:
            continue
        if not opened(facts, hand, i, t):
            continue
        worth = 0.0
        if shapes > 1:
            worth = (shape.price + 1e-9) / shape.size * (LEAST_WORTH + spread * draw(random))
        if best < 0 or worth < least:
            best, least = i, worth
    if best < 0:
        return False
    keep_opened(facts, hand, best, t)
    shape = facts.shapes[best]
    state.next_price = price + shape.price
    next_stock[shape.stock] += 1
    state.next_boards_now += 1
    return True
