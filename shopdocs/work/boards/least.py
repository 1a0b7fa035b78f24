"""The least single board that holds what has no place: its exact size, and the size it would be sold in.

How lumber is sold is common practice, no source: hardwood in any width and by whole feet or decimetres of length,
asked for here in whole inches or centimetres of width; dressed softwood at its own width by two feet or 300 mm; sheet
goods cut to size.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations_with_replacement
from math import ceil, floor

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.display import Units
from shopdocs.core.length import INCH, ZERO, Length
from shopdocs.facts.lumber_tables import FOOT
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import FlatSize, Material, MaterialKind
from shopdocs.work.boards.plan import Effort, laid_on
from shopdocs.work.boards.reasons import LeftOut
from shopdocs.work.boards.supply import ASSUMED_LENGTHS, ASSUMED_WIDTHS, Board, make_board
from shopdocs.work.cut_list import dressed_size

MOST_PIECES = 40  # what takes more is not a single board
MOST_WIDTHS = 16
MOST_STACKED = 4
TRIES = 16  # layouts for one width
TRY = Effort(100, sawn=False)
WIDTH_STEPS: dict[Units, Length] = {"in": INCH, "mm": Length(10)}
LENGTH_STEPS: dict[Units, Length] = {"in": FOOT, "mm": Length(100)}
SOFTWOOD_STEPS: dict[Units, Length] = {"in": FOOT * 2, "mm": Length(300)}
TICK: dict[Units, Length] = {"in": INCH * Fraction(1, 64), "mm": Length(Fraction(1, 10))}


class Least(Struct, frozen=True):
    """The least `width` and `length` of one board that holds what is missing, kerfs and trimmed ends included, and the
    board as it is `sold`."""

    width: Length
    length: Length
    sold: Board


def least_board(build: Build, shop: Shop, material: Material, left: Sequence[LeftOut]) -> Least | None:
    """The cheapest such board as sold, the smallest without prices; None where no board of a size that is sold does."""
    if not left or sum(each.count for each in left) > MOST_PIECES:
        return None
    best: Least | None = None
    for width in _widths(build.units, shop, material, left):
        low = _shortest(width, build.units, shop, material, left)
        if best is not None and _rank(_sold(build.units, shop, material, width, low)) > _rank(best.sold):
            continue
        size = _least_size(build, shop, material, left, width, low)
        if size is None:
            continue
        found = Least(*size, _sold(build.units, shop, material, *size))
        if best is None or _by_size(found) < _by_size(best):
            best = found
    return best


def _by_size(least: Least) -> tuple[tuple[Fraction, Fraction], Fraction]:
    return _rank(least.sold), least.width.mm * least.length.mm


def _rank(board: Board) -> tuple[Fraction, Fraction]:
    return board.price if board.price is not None else board.square_metres, board.square_metres


def _up(length: Length, step: Length) -> Length:
    return step * ceil(length / step)


def _sold(units: Units, shop: Shop, material: Material, width: Length, length: Length) -> Board:
    """The board of at least this size that a yard sells."""
    dressed = dressed_size(material)
    if dressed is not None:
        return make_board(material, dressed.width, _up(length, SOFTWOOD_STEPS[units]), shop)
    sheet = material.kind is MaterialKind.SHEET
    steps = WIDTH_STEPS if sheet else LENGTH_STEPS
    board = make_board(material, _up(width, WIDTH_STEPS[units]), _up(length, steps[units]), shop)
    return replace(board, price=None) if sheet else board  # a part of a sheet has a price of its own


def _trims(shop: Shop, material: Material) -> tuple[Length, Length]:
    """What a board loses at both ends and at both edges."""
    sheet = material.kind is MaterialKind.SHEET
    trim = shop.sheet_trim if sheet else shop.end_trim
    trim = max(trim, shop.kerf) if trim else trim
    return trim * 2, trim * 2 if sheet else ZERO


def _widths(units: Units, shop: Shop, material: Material, left: Sequence[LeftOut]) -> list[Length]:
    """The widths at which one more piece finds room beside others, as far as boards are that wide."""
    _, edges = _trims(shop, material)
    rough = [each.row.rough for each in left]
    least = max(_across(each) for each in left)
    dressed = dressed_size(material)
    if dressed is not None:
        return [dressed.width] if dressed.width >= least else []
    sheet = material.sheet if material.kind is MaterialKind.SHEET else None
    widest = sheet.width if sheet else max(ASSUMED_WIDTHS[units])
    sizes = {size.width for size in rough} | {each.row.rough.length for each in left if each.row.part.turns}
    found = set()
    for many in range(1, MOST_STACKED + 1):
        for stack in combinations_with_replacement(sorted(sizes), many):
            width = sum(stack, ZERO) + shop.kerf * (many - 1) + edges
            if least + edges <= width <= max(widest, least + edges):
                found.add(width)
    return sorted(found)[:MOST_WIDTHS]


def _longest(units: Units, shop: Shop, material: Material, left: Sequence[LeftOut]) -> Length:
    """The longest board that is sold; one that a single piece takes is asked for, however long."""
    ends, _ = _trims(shop, material)
    sheet = material.sheet if material.kind is MaterialKind.SHEET else None
    usual = sheet.length if sheet else max(ASSUMED_LENGTHS[units])
    return max(usual, *(each.row.rough.length + ends for each in left))


def _shortest(width: Length, units: Units, shop: Shop, material: Material, left: Sequence[LeftOut]) -> Length:
    """No board of this width that is shorter can hold it all: by area, and by the longest piece."""
    ends, edges = _trims(shop, material)
    area = sum((each.row.rough.length.mm * each.row.rough.width.mm * each.count for each in left), Fraction(0))
    long = max(_along(each) for each in left)
    return _up(max(Length(area / (width - edges).mm), long) + ends, TICK[units])


def _along(left: LeftOut) -> Length:
    """The least that a piece takes of a board's length."""
    size = left.row.rough
    return min(size.length, size.width) if left.row.part.turns else size.length


def _across(left: LeftOut) -> Length:
    """The least that a piece takes of a board's width."""
    size = left.row.rough
    return min(size.length, size.width) if left.row.part.turns else size.width


def _least_size(
    build: Build, shop: Shop, material: Material, left: Sequence[LeftOut], width: Length, low: Length
) -> FlatSize | None:
    """What is really taken on the shortest board of this width on which a layout is found."""
    ends, edges = _trims(shop, material)
    tick = TICK[build.units]

    def taken(length: Length) -> FlatSize | None:
        laid = laid_on(build, shop, left, make_board(material, width, length, shop), TRY)
        if laid is None:
            return None
        reach = max(piece.area.x + piece.area.length for piece in laid.pieces)
        high = max(piece.area.y + piece.area.width for piece in laid.pieces)
        return FlatSize(high + edges / 2, reach + ends / 2)

    size = taken(low) or taken(_longest(build.units, shop, material, left))
    for _ in range(TRIES):
        if size is None or size.length - low <= tick:
            break
        middle = tick * floor((low + size.length) / tick / 2)
        shorter = taken(middle)
        if shorter is None:
            low = middle
        else:
            size = shorter
    return size
