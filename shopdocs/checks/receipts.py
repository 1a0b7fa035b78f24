"""Boards on a receipt that cannot be."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.checks.boards import price_problem
from shopdocs.core.display import exact_text
from shopdocs.core.problems import Problem, error, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material, MaterialKind
from shopdocs.model.stock import MEASURES, Receipt, ReceiptLine, SoldBy, same_currency
from shopdocs.work.boards.counting import sold_by, sold_in_feet
from shopdocs.work.boards.supply import own_size, same_name


def check_receipt(receipt: Receipt, build: Build, shop: Shop) -> list[Problem]:
    """Every problem of a receipt that could be read."""
    rack = {board.mark.casefold() for board in shop.rack}
    pieces = {piece.mark.casefold() for _, piece in build.pieces()}
    found = [
        problem for line in receipt.lines for problem in _line(line, build.material(line.material), shop, rack, pieces)
    ]
    sums = (*_sums_of_nothing(receipt, build, shop), *_other_currency(receipt, build, shop))
    return [*found, *_numbered_alike(receipt), *sums]


def _sums_of_nothing(receipt: Receipt, build: Build, shop: Shop) -> Iterator[Problem]:
    """A sum in a measure that no board of the receipt is counted in."""
    counted: set[SoldBy] = set()
    for line in receipt.lines:
        material = build.material(line.material)
        counted |= set(sold_by(line, material, receipt, sold_in_feet(line, material, build.units, shop)))
    for by in receipt.said:
        if by not in counted:
            name = MEASURES[by]
            wrong = f"no board of the receipt is counted in {name}: the sum cannot be checked against any"
            yield warning(receipt.places.get(name, receipt.at), "sum", wrong, f"remove '{name}', or check the boards")


def _other_currency(receipt: Receipt, build: Build, shop: Shop) -> Iterator[Problem]:
    """Amounts in another currency than the prices that they are held against."""
    priced = any(line.rate is None and build.material(line.material).price is not None for line in receipt.lines)
    if receipt.currency and shop.currency and priced and not same_currency(receipt.currency, shop.currency):
        wrong = f"the receipt is in {receipt.currency}, the shop's prices are in {shop.currency}"
        at = receipt.places.get("currency", receipt.at)
        yield warning(at, "money", wrong, "write the rate of each line as the seller asks it")


def _numbered_alike(receipt: Receipt) -> Iterator[Problem]:
    """Several boards of one line are numbered W-1, W-2; another line may be called so already."""
    given = {line.mark.casefold(): line for line in receipt.lines if line.mark}
    for line in receipt.lines:
        numbered = (f"{line.mark}-{n}" for n in range(1, line.count + 1) if line.mark and line.count > 1)
        taken = next(((mark, given[mark.casefold()]) for mark in numbered if mark.casefold() in given), None)
        if taken is not None:
            mark, other = taken
            wrong = f"the mark '{mark}' is that of a board in line {line.at.line}, {line.count} of '{line.mark}'"
            at = other.places.get("mark", other.at)
            yield error(at, "duplicate-mark", wrong, "give every board a mark of its own")


def _line(line: ReceiptLine, material: Material, shop: Shop, rack: set[str], pieces: set[str]) -> Iterator[Problem]:
    width, length = own_size(material, line.width, line.length)
    for key, value in (("width", width), ("length", length)):
        if value is None:
            wrong = f"the board of '{material.name}' lacks '{key}'"
            yield error(line.at, "missing-key", wrong, f"add '{key}': a {material.kind.value} has none of its own")
    at = line.places.get("width", line.at)
    if width is not None and width <= shop.kerf:
        wrong = f"a board {exact_text(width)} wide is no wider than the saw cut ({exact_text(shop.kerf)})"
        yield error(at, "board", wrong, "check the width and its unit")
    if length is not None and length <= shop.end_trim * 2 and material.kind is not MaterialKind.SHEET:
        wrong = f"a board {exact_text(length)} long has nothing left when both ends are trimmed"
        yield warning(line.places.get("length", line.at), "board", wrong, "check the length and its unit")
    if width is not None and length is not None and width > length and material.kind is not MaterialKind.SHEET:
        wrong = f"the board is wider ({exact_text(width)}) than long ({exact_text(length)})"
        yield warning(at, "board", wrong, "the length runs along the grain; check both")
    if line.mark and line.mark.casefold() in rack:
        yield error(
            line.places.get("mark", line.at),
            "duplicate-mark",
            f"a board on the rack is called '{line.mark}' too",
            "give every board a mark of its own",
        )
    if line.mark.casefold() in pieces:
        wrong = f"a board and a piece are both called '{line.mark}'"
        yield warning(line.places.get("mark", line.at), "mark", wrong, "give the board another mark")
    if line.rate is not None:
        yield from price_problem(material, line.rate, line.places.get("rate", line.at))
    if material.kind is MaterialKind.SHEET and SoldBy.BOARD_FOOT in line.said:
        wrong = f"'{material.name}' is a sheet and has no board feet"
        yield warning(line.places.get("board feet", line.at), "board-feet", wrong, "remove the board feet")


def materials_not_bought(receipt: Receipt, build: Build, shop: Shop) -> list[Problem]:
    """Materials of parts that are neither on the receipt nor on the rack."""
    there = [line.material for line in receipt.lines] + [board.material for board in shop.rack]
    used = {part.material for part in build.parts}
    return [
        warning(receipt.at, "not-bought", f"there is no board of '{material.name}'", "add it, or buy it")
        for material in build.materials
        if material.name in used and not any(same_name(material.name, name) for name in there)
    ]
