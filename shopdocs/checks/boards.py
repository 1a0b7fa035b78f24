"""Boards of the shop file that cannot be, or that no saw could use."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.display import exact_text
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material, MaterialKind, Price, PriceUnit
from shopdocs.model.stock import RackBoard, YardBoard
from shopdocs.work.boards.supply import own_size, same_name

OF_SHEETS = (PriceUnit.SHEET, PriceUnit.PIECE, PriceUnit.SQUARE_METRE, PriceUnit.CUBIC_METRE)
OF_LUMBER = (PriceUnit.BOARD_FOOT, PriceUnit.CUBIC_METRE, PriceUnit.FOOT, PriceUnit.METRE, PriceUnit.PIECE)


def boards_without_size(build: Build, shop: Shop) -> Iterator[Problem]:
    """A board of rough lumber has the width and length that are written; only others have sizes of their own."""
    for board, material in _known(build, shop):
        width, length = own_size(material, board.width, board.length)
        for key, value in (("width", width), ("length", length)):
            if value is None:
                wrong = f"the board of '{material.name}' lacks '{key}'"
                yield error(board.at, "missing-key", wrong, f"add '{key}': a {material.kind.value} has none of its own")


def boards_too_small(build: Build, shop: Shop) -> Iterator[Problem]:
    """Boards narrower than the saw cut, or that end trim leaves nothing of."""
    for board, material in _known(build, shop):
        width, length = own_size(material, board.width, board.length)
        at = board.places.get("width", board.at)
        if width is not None and width <= shop.kerf:
            wrong = f"a board {exact_text(width)} wide is no wider than the saw cut ({exact_text(shop.kerf)})"
            yield error(at, "board", wrong, "check the width and its unit")
        elif length is not None and length <= shop.end_trim * 2:
            wrong = f"a board {exact_text(length)} long has nothing left when both ends are trimmed"
            right = f"the end trim is {exact_text(shop.end_trim)}: check the length and its unit"
            yield warning(board.places.get("length", board.at), "board", wrong, right)


def marks_of_pieces(build: Build, shop: Shop) -> Iterator[Problem]:
    """A board and a piece with the same mark are confused at the bench."""
    pieces = {piece.mark.casefold() for _, piece in build.pieces()}
    for board in shop.rack:
        if board.mark.casefold() in pieces:
            wrong = f"a board on the rack and a piece are both called '{board.mark}'"
            yield warning(board.places.get("mark", board.at), "mark", wrong, "give the board another mark")


def prices_that_do_not_fit(build: Build, shop: Shop) -> Iterator[Problem]:
    """A board of the yard with a price by a measure that it is not sold by; it would count as one without a price."""
    for board, material in _known(build, shop):
        if isinstance(board, YardBoard) and board.price is not None:
            yield from price_problem(material, board.price, board.places.get("price", board.at))


def price_problem(material: Material, price: Price, at: Position) -> Iterator[Problem]:
    """A warning where a price of boards or sheets is by a measure that says nothing of them."""
    sheet = material.kind is MaterialKind.SHEET
    if price.per not in (OF_SHEETS if sheet else OF_LUMBER):
        wrong = f"'{material.name}' is {material.kind.trade}, and its price is per {price.per.value}"
        sold = (
            "sheets are priced per sheet, piece, m2 or m3" if sheet else "boards are priced per bf, m3, ft, m or piece"
        )
        yield warning(at, "price", wrong, sold)


def boards_without_price(build: Build, shop: Shop) -> Iterator[Problem]:
    """A board without a price among others that have one: no cheapest choice can be found, the smallest is taken."""
    for material in build.materials:
        mine = [board for board in shop.yard if same_name(board.material, material.name) and board.count != 0]
        bare = [board for board in mine if board.price is None and material.price is None]
        if bare and len(bare) < len(mine):
            wrong = (
                f"this board of '{material.name}' has no price, others have: boards are chosen by size, not by price"
            )
            yield warning(bare[0].at, "price", wrong, "add 'price' to it, or to the material")


def groups_of_several_materials(build: Build, shop: Shop) -> Iterator[Problem]:
    """Pieces of two materials can never come from one board."""
    first: dict[str, str] = {}
    for part in build.parts:
        if not part.one_board.startswith("group "):
            continue
        material = first.setdefault(part.one_board, part.material)
        if material != part.material:
            name = part.one_board.removeprefix("group ")
            wrong = f"'{part.name}' is of '{part.material}', others of '{name}' are of '{material}'"
            yield error(part.place("one board"), "one-board", wrong, "pieces from one board have one material")


def _all(shop: Shop) -> list[YardBoard | RackBoard]:
    return [*shop.yard, *shop.rack]


def _known(build: Build, shop: Shop) -> Iterator[tuple[YardBoard | RackBoard, Material]]:
    for board in _all(shop):
        material = next((m for m in build.materials if same_name(m.name, board.material)), None)
        if material is not None:
            yield board, material


CHECKS = (
    boards_without_size,
    boards_too_small,
    marks_of_pieces,
    prices_that_do_not_fit,
    boards_without_price,
    groups_of_several_materials,
)
