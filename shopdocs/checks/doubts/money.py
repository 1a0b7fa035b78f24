"""Money out of the order of its kind, and boards larger than any yard has.

All bounds are common practice, no source; they are wide enough for any currency whose unit buys a loaf of bread or a
few of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import INCH, Length
from shopdocs.core.problems import Position, Problem, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material, MaterialKind, Price, PriceUnit
from shopdocs.model.stock import RackBoard, YardBoard

USUAL: dict[PriceUnit, tuple[int, int]] = {
    PriceUnit.BOARD_FOOT: (1, 150),
    PriceUnit.CUBIC_METRE: (200, 60_000),
    PriceUnit.SQUARE_METRE: (2, 1_000),
    PriceUnit.FOOT: (0, 100),
    PriceUnit.METRE: (0, 300),
    PriceUnit.SHEET: (5, 2_000),
}
BETTER: dict[PriceUnit, PriceUnit] = {
    PriceUnit.BOARD_FOOT: PriceUnit.CUBIC_METRE,
    PriceUnit.CUBIC_METRE: PriceUnit.BOARD_FOOT,
}
ACROSS = {"width": "wide", "length": "long"}
MOST_APART = 3  # times that one thickness of a wood costs what another does
THICKEST = INCH * 4 + INCH / 4  # 16/4 and a little: the thickest that is sawn for furniture
WIDEST, LONGEST = Length(700), Length(6500)  # of a solid board: no yard stacks wider or longer ones


def prices_out_of_order(build: Build, shop: Shop) -> Iterator[Problem]:
    """Per board foot where per cubic metre was meant, and the other way round."""
    for material in build.materials:
        if material.price is not None:
            yield from _price(f"'{material.name}'", material.price, material.places.get("price", material.at))
    for board in shop.yard:
        if board.price is not None:
            yield from _price(f"'{board.material}' in the yard", board.price, board.places.get("price", board.at))


def _price(what: str, price: Price, at: Position) -> Iterator[Problem]:
    low, high = USUAL.get(price.per, (0, 10**9))
    if low <= price.amount <= high:
        return
    other = BETTER.get(price.per)
    told = f"{_money(price.amount)} per {price.per.value}"
    right = f"{f'{low} to' if low else 'up to'} {high} is usual (common practice)"
    if other is not None and USUAL[other][0] <= price.amount <= USUAL[other][1]:
        right += f"; did you mean per {other.value}?"
    yield warning(at, "price-range", f"{what} costs {told}", right)


def _money(amount: Fraction) -> str:
    """As a price tag says it: 9.20, 760."""
    return f"{float(amount):.2f}".removesuffix(".00")


def boards_of_no_yard(build: Build, shop: Shop) -> Iterator[Problem]:
    """A board wider or longer than trees and lorries are: a slip of the unit."""
    kinds = {material.name: material.kind for material in build.materials}
    boards: tuple[YardBoard | RackBoard, ...] = (*shop.yard, *shop.rack)
    for board in boards:
        if kinds.get(board.material) is MaterialKind.SHEET or board.material not in kinds:
            continue
        for key, size, most in (("width", board.width, WIDEST), ("length", board.length, LONGEST)):
            if size is not None and size > most:
                wrong = f"a board of '{board.material}' is {exact_text(size)} {ACROSS[key]}"
                right = f"up to {exact_text(most)} is usual (common practice); check the unit"
                yield warning(board.places.get(key, board.at), "board-size", wrong, right)


def stock_of_no_yard(build: Build, shop: Shop) -> Iterator[Problem]:
    """Sawn stock thicker than any that is sold: 64 where 6/4 was meant."""
    for material in build.materials:
        if material.rough is not None and material.rough > THICKEST:
            wrong = f"'{material.name}' is {exact_text(material.rough)} thick in the rough"
            right = f"up to {exact_text(THICKEST)} is usual (common practice); check the unit, or write quarters: 6/4"
            yield warning(material.places.get("rough", material.at), "rough-stock", wrong, right)


def prices_of_one_wood(build: Build, shop: Shop) -> Iterator[Problem]:
    """Two thicknesses of one wood, of which one costs many times what the other does: a point in the wrong place."""
    woods: dict[tuple[str, PriceUnit], list[Material]] = {}
    for material in build.materials:
        if material.kind is MaterialKind.HARDWOOD and material.species and material.price is not None:
            woods.setdefault((material.species.casefold(), material.price.per), []).append(material)
    for (_, per), materials in woods.items():
        prices = {material.price.amount: material for material in materials if material.price is not None}
        low, high = min(prices), max(prices)
        if low > 0 and high > low * MOST_APART:
            dear, cheap = prices[high], prices[low]
            wrong = f"'{dear.name}' costs {_money(high)} per {per.value}, '{cheap.name}' of the same wood {_money(low)}"
            right = f"thicker stock costs up to {MOST_APART} times as much (common practice); check the decimal points"
            yield warning(dear.places.get("price", dear.at), "price-apart", wrong, right)


def prices_nearly_named(build: Build, shop: Shop) -> Iterator[Problem]:
    """A price for a material that the build nearly names."""
    names = {material.name.casefold(): material for material in build.materials}
    for name, (_, at) in shop.prices.items():
        if name.casefold() in names:
            continue
        close = get_close_matches(name.casefold(), [key for key, m in names.items() if m.price is None], 1, 0.8)
        if close:
            wrong = f"no material of the build is called '{name}', so its price is not used"
            yield warning(at, "unknown-name", wrong, f"did you mean '{names[close[0]].name}'?")


CHECKS = (prices_out_of_order, boards_of_no_yard, stock_of_no_yard, prices_nearly_named, prices_of_one_wood)
