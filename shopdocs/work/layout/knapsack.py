"""The least price of whole boards that satisfies several proven needs at once.

A need (total, worth) says: whatever boards a plan uses, the sum of their ``worth`` (by stock) is at least
``total``. Only whole numbers enter. With few boards this beats every single need by far.
"""

from __future__ import annotations

from collections.abc import Sequence

Need = tuple[int, Sequence[int]]
NODES = 4000


class _Spent(Exception):
    pass


def least_whole_price(
    needs: Sequence[Need], prices: Sequence[int], limits: Sequence[int], lower: int, upper: int
) -> int:
    """A price no choice of whole boards meeting all needs can undercut: at least ``lower``, at most ``upper``."""
    order = sorted(range(len(prices)), key=lambda s: (-prices[s], s))
    span = upper - lower
    for part in (1, 4, 16):
        ceiling = lower + -(-span // part)
        try:
            return max(lower, _search(needs, prices, limits, order, ceiling))
        except _Spent:
            continue
    return lower


def _search(needs: Sequence[Need], prices: Sequence[int], limits: Sequence[int], order: list[int], ceiling: int) -> int:
    best = ceiling
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
        nonlocal best, nodes
        nodes += 1
        if nodes > NODES:
            raise _Spent
        if all(r <= 0 for r in rest):
            best = min(best, price)
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
                visit(
                    place + 1, price + n * cost, [r - n * worth[s] for r, (_, worth) in zip(rest, needs, strict=True)]
                )

    visit(0, 0, [total for total, _ in needs])
    return best
