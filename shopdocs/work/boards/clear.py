"""What of a board is clear of trimmed ends and of defects."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from shopdocs.core.length import ZERO
from shopdocs.model.build import Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.model.stock import Defect
from shopdocs.work.boards.area import Area
from shopdocs.work.boards.supply import Board
from shopdocs.work.cut_list import CutRow


def between_trims(board: Board, shop: Shop) -> Area | None:
    """The board without what its ends and a sheet's edges lose; None where that is nothing."""
    sheet = board.material.kind is MaterialKind.SHEET
    ends, edges = (shop.sheet_trim, shop.sheet_trim) if sheet else (shop.end_trim, ZERO)
    length, width = board.length - ends * 2, board.width - edges * 2
    return Area(ends, edges, length, width) if length > ZERO and width > ZERO else None


def fits(row: CutRow, place: Area) -> bool:
    """Whether a rough piece goes into a place, turned where its grain may."""
    long, wide = row.rough.length, row.rough.width
    straight = long <= place.length and wide <= place.width
    return straight or (row.part.turns and long <= place.width and wide <= place.length)


def clear_places(whole: Area, defects: Sequence[Defect]) -> list[Area]:
    """The rectangles within `whole` that no defect touches and that none of the others holds."""
    right, top = whole.x + whole.length, whole.y + whole.width
    blocks = [(d.start, d.end, d.low or ZERO, d.high if d.high is not None else top) for d in defects]
    stops = sorted({whole.x, right} | {x for start, end, _, _ in blocks for x in (start, end) if whole.x < x < right})
    found: list[Area] = []
    for low_x, high_x in combinations(stops, 2):
        rises = whole.y
        for low, high in sorted((low, high) for start, end, low, high in blocks if start < high_x and low_x < end):
            found += [Area(low_x, rises, high_x - low_x, low - rises)] if low > rises else []
            rises = max(rises, high)
        found += [Area(low_x, rises, high_x - low_x, top - rises)] if top > rises else []
    return [area for area in found if not any(other != area and _holds(other, area) for other in found)]


def _holds(outer: Area, inner: Area) -> bool:
    long = outer.x <= inner.x and inner.x + inner.length <= outer.x + outer.length
    return long and outer.y <= inner.y and inner.y + inner.width <= outer.y + outer.width
