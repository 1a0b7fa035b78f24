"""In which order things of the page's full width stand on pages where their order is free, so that they take few."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from functools import lru_cache

TRIED = 300  # orders at random, always the same ones, where the last page is to be low


def order_of(heights: Sequence[float], room: float, body: float, low: bool = False) -> list[int]:
    """The order of things so high, on a page with `room` left and then on pages of `body`; points. Their own order is
    kept where another one spares no page, and on every page. Where the last page is to be `low`, what it holds is as
    little as was found, on no more pages."""
    return [*_low_order(tuple(heights), room, body)] if low else _few_pages(heights, room, body)


@lru_cache(maxsize=512)
def _low_order(heights: tuple[float, ...], room: float, body: float) -> tuple[int, ...]:
    own = list(range(len(heights)))
    best: list[list[int]] = []
    least = (len(own), 0.0)
    for order in (own, sorted(own, key=lambda i: -heights[i]), *_by_chance(len(own))):
        # orders that come to more pages than the best are given up at once, which is two thirds of the time here
        pages = _filled(order, heights, room, body, least[0])
        if pages is None:
            continue
        first, *later = pages
        full = [sum([heights[i] for i in page]) for page in later or [first]]
        cost = len(later), min(full)
        if not best or cost < least:
            later.sort(key=lambda page: -sum([heights[i] for i in page]))
            best, least = [first, *later], cost
    return tuple(i for page in best for i in sorted(page))


@lru_cache(maxsize=64)
def _by_chance(count: int) -> list[list[int]]:
    """Orders at random of so many things, always the same ones."""
    chance, own = random.Random(0), range(count)
    return [chance.sample(own, count) for _ in range(TRIED)]


def _few_pages(heights: Sequence[float], room: float, body: float) -> list[int]:
    own = list(range(len(heights)))
    best, pages = own, _pages_in(own, heights, room, body)
    for order in (own, sorted(own, key=lambda i: -heights[i])):
        filled = _filled(order, heights, room, body, pages - 2)
        if filled is not None:
            # the page at hand stays the first; what it holds may not fit another, which may be as high
            later = sorted(filled[1:], key=min)
            best, pages = [i for page in (filled[0], *later) for i in sorted(page)], len(filled)
    return best


def _pages_in(order: Sequence[int], heights: Sequence[float], room: float, body: float) -> int:
    """How many pages are begun or gone on with when all stand in this order; the one at hand counts as one."""
    pages, left = 1, room
    for i in order:
        if heights[i] > left:
            pages, left = pages + 1, body
        left -= heights[i]
    return pages


def _filled(
    order: Sequence[int], heights: Sequence[float], room: float, body: float, most: float = math.inf
) -> list[list[int]] | None:
    """Each thing on the first page that has room for it, that at hand the first; None where that would take more than
    `most` pages after it."""
    pages: list[list[int]] = [[]]
    left = [room]
    for i in order:
        high = heights[i]
        for page, rest in enumerate(left):
            if high <= rest:
                pages[page].append(i)
                left[page] = rest - high
                break
        else:
            if len(left) > most:
                return None
            pages.append([i])
            left.append(body - high)
    return pages
