"""Where things lie that share sheets: rectangles packed one by one into the largest free rectangles.

Each thing may be laid in several ways (upright or turned, words over it or beside it). Lengths are points, x from the
left of a sheet, y from its top.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import lru_cache
from math import ceil

from msgspec import Struct

Size = tuple[float, float]
MORE_ORDERS = 200
Free = tuple[float, float, float, float]  # left, top, right, bottom


class Place(Struct, frozen=True):
    """`way` counts the ways the thing may be laid from 0."""

    sheet: int
    way: int
    x: float
    y: float


def share(things: Sequence[Sequence[Size]], wide: float, highs: tuple[float, float], air: float) -> tuple[Place, ...]:
    """A place for every thing, on few sheets. `highs` are the height left on the first sheet and that of all others;
    `air` is kept between neighbours. Every thing must have a way that fits an empty sheet (else ValueError).

    The order given is kept where another one saves no sheet, so that neighbours in the text are neighbours on paper.
    Where orders by size leave more sheets than the areas alone would take, some more are tried, always the same ones,
    and every thing laid in one way or another, which may leave more beside it than the way that is lowest.
    """
    return _shared(tuple(map(tuple, things)), wide, highs, air)


@lru_cache(maxsize=128)  # a document is set several times before it stands
def _shared(
    things: tuple[tuple[Size, ...], ...], wide: float, highs: tuple[float, float], air: float
) -> tuple[Place, ...]:
    given = list(range(len(things)))
    by_height = sorted(given, key=lambda i: -min(high for _, high in things[i]))
    by_area = sorted(given, key=lambda i: -min(w * h for w, h in things[i]))
    best: dict[int, Place] = {}
    orders = [given, by_height, by_area]
    chance = random.Random(0)
    orders += [chance.sample(given, len(given)) for _ in range(MORE_ORDERS)]
    least = _least(things, wide, highs, air)
    tries: list[tuple[list[int], list[int]]] = [(order, []) for order in orders]
    tries += [(order, [chance.randrange(len(ways)) for ways in things]) for order in orders]
    for order, only in tries:
        if any(things[i][way][0] > wide or things[i][way][1] > highs[1] for i, way in enumerate(only)):
            continue  # it fits no sheet so
        best = _packed(things, order, only, wide, highs, air, _sheets(best)) or best
        if _sheets(best) <= least:
            break
    return tuple(best[i] for i in given)


def _least(things: Sequence[Sequence[Size]], wide: float, highs: tuple[float, float], air: float) -> int:
    """How many sheets the area alone would need."""
    area = sum(min((w + air) * (h + air) for w, h in ways) for ways in things)
    area -= (wide + air) * (highs[0] + air)
    return 1 + max(0, ceil(area / ((wide + air) * (highs[1] + air)) - 1e-9))


def _sheets(places: dict[int, Place]) -> int:
    return len({place.sheet for place in places.values()})


def _packed(
    things: Sequence[Sequence[Size]],
    order: Sequence[int],
    only: Sequence[int],
    wide: float,
    highs: tuple[float, float],
    air: float,
    fewer_than: int,
) -> dict[int, Place]:
    """One try: things in an order, each laid in any way, or in the one of `only`. It is given up, and no places come of
    it, where it would take `fewer_than` sheets or more; 0 leaves that open."""
    used_first = False
    frees: list[list[Free]] = [[(0.0, 0.0, wide + air, highs[0] + air)]]
    out: dict[int, Place] = {}
    for index in order:
        ways = [(w + air, h + air) for w, h in things[index]]
        tried = [only[index]] if only else range(len(ways))
        sheet = 0
        spot = _spot(frees[0], ways, tried)
        while spot is None:
            sheet += 1
            if sheet == len(frees):
                frees.append([(0.0, 0.0, wide + air, highs[1] + air)])
                if (spot := _spot(frees[sheet], ways, tried)) is None:
                    raise ValueError("a template is larger than a sheet")
            else:
                spot = _spot(frees[sheet], ways, tried)
        way, x, y = spot
        out[index] = Place(sheet, way, x, y)
        used_first = used_first or not sheet
        if fewer_than and len(frees) - (not used_first) >= fewer_than:
            return {}
        frees[sheet] = _without(frees[sheet], (x, y, x + ways[way][0], y + ways[way][1]))
    return out


def _spot(frees: list[Free], ways: Sequence[Size], tried: Sequence[int]) -> tuple[int, float, float] | None:
    """The place whose lower end is highest on the sheet, then the one farthest left."""
    spots = [
        (top + high, left, number, top)
        for left, top, right, bottom in frees
        for number, (wide, high) in ((number, ways[number]) for number in tried)
        if wide <= right - left + 0.01 and high <= bottom - top + 0.01
    ]
    if not spots:
        return None
    _, left, number, top = min(spots)
    return number, left, top


def _without(frees: list[Free], taken: Free) -> list[Free]:
    """The free rectangles left when one is taken out of all that it touches; none lies within another."""
    x0, y0, x1, y1 = taken
    out: list[Free] = []
    for free in frees:
        left, top, right, bottom = free
        if x0 >= right or x1 <= left or y0 >= bottom or y1 <= top:
            out.append(free)
            continue
        parts = ((left, top, x0, bottom), (x1, top, right, bottom), (left, top, right, y0), (left, y1, right, bottom))
        out += [(a, b, c, d) for a, b, c, d in parts if c - a > 1.0 and d - b > 1.0]
    out = list(dict.fromkeys(out))
    return [one for one in out if not any(other != one and _holds(other, one) for other in out)]


def _holds(outer: Free, inner: Free) -> bool:
    return outer[0] <= inner[0] and outer[1] <= inner[1] and outer[2] >= inner[2] and outer[3] >= inner[3]
