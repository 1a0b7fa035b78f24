"""Pieces that fail what is left of another board, or a board of the rack, by so little that the maker may decide.

Rough sizes hold a milling allowance. Where only a part of it is missing the piece can still be got out with care, and
that is worth a look where it spares a board that would be bought.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Shop
from shopdocs.work.boards.clear import between_trims, clear_places
from shopdocs.work.boards.plan import thick_enough
from shopdocs.work.boards.results import Area, MaterialPlan, SawnBoard, SawnPiece
from shopdocs.work.boards.stock import Board, rack_boards
from shopdocs.work.cutlist import CutRow

FORGONE = Fraction(2, 3)  # of an allowance, at most; common practice, no source


@dataclass(frozen=True, slots=True)
class Near:
    """A piece that would go on a place on another board, and what it is short of: `long` in length, `wide` in width;
    both 0 where it fits. `left_over` says that the place is an offcut, not on an untouched board of the rack; there
    `clear` says that defects bound it."""

    piece: SawnPiece
    board: str
    place: Area
    left_over: bool
    clear: bool
    long: Length
    wide: Length


@dataclass(frozen=True, slots=True)
class Spared:
    """A board that need not be bought if all its pieces go elsewhere, at least one of them a little short."""

    board: SawnBoard
    pieces: tuple[Near, ...]


@dataclass(frozen=True, slots=True)
class _Place:
    """A clear rectangle that no piece takes."""

    mark: str
    board: Board
    area: Area
    left_over: bool


def spared_boards(plan: MaterialPlan, shop: Shop) -> tuple[Spared, ...]:
    """Boards to buy whose pieces all nearly fit on offcuts or on the rack, those with the fewest pieces first; what one
    takes no other can have, and a board that lends its offcut is not itself spared."""
    places = [*_offcuts(plan.boards), *_untouched(plan, shop)]
    lending: set[str] = set()
    gone: set[str] = set()
    found = []
    for board in sorted(reversed(plan.bought), key=lambda board: len(board.pieces)):
        if board.mark in lending or any(piece.row.part.one_board for piece in board.pieces):
            continue
        free = [place for place in places if place.mark != board.mark and place.mark not in gone]
        moved = _moved(board.pieces, free, shop)
        if moved is None or not any(near.long or near.wide for near, _ in moved):
            continue
        for near, place in moved:
            places = [other for other in places if not _shares(other, place, shop)]
            lending.add(near.board)
        gone.add(board.mark)
        found.append(Spared(board, tuple(near for near, _ in moved)))
    return tuple(found)


def _offcuts(boards: Iterable[SawnBoard]) -> list[_Place]:
    return [_Place(board.mark, board.board, cut, True) for board in boards for cut in board.offcuts]


def _untouched(plan: MaterialPlan, shop: Shop) -> list[_Place]:
    """Places on boards of the rack that nothing was laid on: between their trimmed ends, clear of defects."""
    taken = {board.mark for board in plan.boards}
    found = []
    for board in rack_boards(plan.material, shop):
        whole = between_trims(board, shop)
        if board.mark not in taken and whole is not None:
            found += [_Place(board.mark, board, area, False) for area in clear_places(whole, board.defects)]
    return found


def _shares(one: _Place, other: _Place, shop: Shop) -> bool:
    """Whether two places are on one stretch of a board, so that no crosscut parts them."""
    a, b = one.area, other.area
    apart = a.x + a.length + shop.kerf <= b.x or b.x + b.length + shop.kerf <= a.x
    return one == other or (one.mark == other.mark and not one.left_over and not other.left_over and not apart)


def _moved(pieces: Sequence[SawnPiece], places: list[_Place], shop: Shop) -> list[tuple[Near, _Place]] | None:
    """Each piece with a place of its own, the largest first on the smallest that will do; None where one finds none."""
    free = sorted(places, key=lambda place: place.area.length.mm * place.area.width.mm)
    moved = []
    for piece in sorted(pieces, key=lambda piece: piece.area.length.mm * piece.area.width.mm, reverse=True):
        nears = [(near, place) for place in free if (near := _near(piece, place, shop)) is not None]
        if not nears:
            return None
        best = min(nears, key=lambda pair: _missing(pair[0]))
        free = [place for place in free if not _shares(place, best[1], shop)]
        moved.append(best)
    return moved


def _missing(near: Near) -> Fraction:
    """The larger share of an allowance that would be forgone."""
    spare_long, spare_wide = allowances(near.piece.row)
    shares = [short / spare for short, spare in ((near.long, spare_long), (near.wide, spare_wide)) if spare]
    return max(shares, default=Fraction(0))


def _near(piece: SawnPiece, place: _Place, shop: Shop) -> Near | None:
    row = piece.row
    if not thick_enough(place.board, row, shop):
        return None
    area = place.area
    long, wide = max(row.rough.length - area.length, ZERO), max(row.rough.width - area.width, ZERO)
    spare_long, spare_wide = allowances(row)
    if long > spare_long * FORGONE or wide > spare_wide * FORGONE:
        return None
    bounded = not place.left_over and bool(place.board.defects)
    return Near(piece, place.mark, area, place.left_over, bounded, long, wide)


def allowances(row: CutRow) -> tuple[Length, Length]:
    """What a rough piece or strip has to spare in length and in width."""
    return row.rough.length - row.joinery.length, row.rough.width - row.joinery.width / row.part.strips
