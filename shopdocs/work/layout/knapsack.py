"""The least price of whole boards that satisfies several proven needs at once.

A need (total, worth) says: whatever boards a plan uses, the sum of their ``worth`` (by stock) is at least
``total``. Only whole numbers enter. With few boards this beats every single need by far.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from shopdocs.work.layout.tuning import KNAPSACK_CHOICES, KNAPSACK_NODES


class Need(NamedTuple):
    """Boards must be worth this total together, each by its stock."""

    total: int
    worth: Sequence[int]


class _Spent(Exception):
    pass


def least_whole_price(
    needs: Sequence[Need], prices: Sequence[int], limits: Sequence[int], lower: int, upper: int
) -> int:
    """A price no choice of whole boards meeting all needs can undercut: at least ``lower``, at most ``upper``."""
    price, _ = cheapest_choice(needs, prices, limits, lower, upper)
    return price


def cheapest_choice(
    needs: Sequence[Need], prices: Sequence[int], limits: Sequence[int], lower: int, upper: int
) -> tuple[int, list[int] | None]:
    """``least_whole_price`` and, where one choice of boards (counts by stock) below ``upper`` has it, that choice."""
    order = sorted(range(len(prices)), key=lambda s: (-prices[s], s))
    span = upper - lower
    for part in (1, 4, 16):
        ceiling = lower + -(-span // part)
        try:
            price, choice = _search(needs, prices, limits, order, ceiling)
            return max(lower, price), choice
        except _Spent:
            continue
    return lower, None


def _search(
    needs: Sequence[Need], prices: Sequence[int], limits: Sequence[int], order: list[int], ceiling: int
) -> tuple[int, list[int] | None]:
    best = ceiling
    choice: list[int] | None = None
    taken = [0] * len(prices)
    nodes = 0
    count = len(order)
    # cheapest price for a unit of worth among the stocks from a place on, for each need, as (price, worth)
    rates: list[list[tuple[int, int]]] = []
    for _, worth in needs:
        rate = [(1, 0)] * (count + 1)
        for place in range(count - 1, -1, -1):
            s = order[place]
            p, w = rate[place + 1]
            rate[place] = (prices[s], worth[s]) if worth[s] * p > w * prices[s] else (p, w)
        rates.append(rate)

    def visit(place: int, price: int, rest: list[int]) -> None:
        nonlocal best, nodes, choice
        nodes += 1
        if nodes > KNAPSACK_NODES:
            raise _Spent
        if all(r <= 0 for r in rest):
            if price < best:
                best, choice = price, list(taken)
            return
        if place == count:
            return
        for r, rate in zip(rest, rates, strict=True):
            if r > 0:
                p, w = rate[place]
                if w == 0 or price + -(-r * p // w) >= best:
                    return
        s = order[place]
        cost = prices[s]
        most = limits[s]
        if cost:
            most = min(most, (best - 1 - price) // cost)
        enough = 0
        for r, (_, worth) in zip(rest, needs, strict=True):
            if r > 0 and worth[s]:
                enough = max(enough, -(-r // worth[s]))
        most = min(most, enough)
        for n in range(most, -1, -1):
            if price + n * cost < best:
                taken[s] = n
                visit(
                    place + 1, price + n * cost, [r - n * worth[s] for r, (_, worth) in zip(rest, needs, strict=True)]
                )
        taken[s] = 0

    visit(0, 0, [total for total, _ in needs])
    return best, choice


def roomiest(
    needs: Sequence[Need], prices: Sequence[int], limits: Sequence[int], upper: int, weighed: int
) -> list[list[int]] | None:
    """All choices of whole boards for at most ``upper`` that meet the needs, most room to spare first.

    Room is the least surplus over the first ``weighed`` needs, as a share of the need. None where there are too many
    choices to look at.
    """
    order = sorted(range(len(prices)), key=lambda s: (-prices[s], s))
    found: list[tuple[float, list[int]]] = []
    taken = [0] * len(prices)
    nodes = 0
    cheapest = min(prices, default=1)  # boards that cost nothing are all taken, so nothing ends the search early

    def visit(place: int, left: int, rest: list[int]) -> None:
        nonlocal nodes
        nodes += 1
        if nodes > KNAPSACK_CHOICES:
            raise _Spent
        if place == len(order) or left < cheapest:
            if all(r <= 0 for r in rest):
                room = min([-r / n for r, (n, _) in zip(rest[:weighed], needs, strict=False) if n], default=0.0)
                found.append((-room, list(taken)))
            return
        s = order[place]
        most = limits[s] if not prices[s] else min(limits[s], left // prices[s])
        for n in range(most, -1 if prices[s] else most - 1, -1):
            taken[s] = n
            visit(
                place + 1, left - n * prices[s], [r - n * worth[s] for r, (_, worth) in zip(rest, needs, strict=True)]
            )
        taken[s] = 0

    try:
        visit(0, upper, [total for total, _ in needs])
    except _Spent:
        return None
    return [choice for _, choice in sorted(found)]
