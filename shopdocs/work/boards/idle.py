"""Boards that no piece is laid on, and why: those of the rack, and those of the yard's list that could give none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from shopdocs.core.length import Length
from shopdocs.model.build import Build, Shop
from shopdocs.work.boards.area import Area
from shopdocs.work.boards.clear import between_trims, clear_places, fits
from shopdocs.work.boards.results import MaterialPlan
from shopdocs.work.boards.supply import Board, rack_boards, yard_boards
from shopdocs.work.boards.wanted import thick_enough
from shopdocs.work.cut_list import CutRow


class Idle(Struct, frozen=True):
    """A board and why it is left alone, {} standing for each of `lengths`; empty where it is just not
    needed. One that is not `useful` can give none of the pieces."""

    board: Board
    reason: str
    lengths: tuple[Length, ...] = ()
    useful: bool = False


def idle_boards(plan: MaterialPlan, build: Build, shop: Shop) -> tuple[Idle, ...]:
    """Boards of the rack that stay there, and boards of the yard's list that are no use for this build."""
    taken = {board.mark for board in plan.boards}
    rack = [why_idle(board, plan, shop) for board in rack_boards(plan.material, shop) if board.mark not in taken]
    listed = yard_boards(plan.material, build, shop, _rows(plan))
    yard = [why_idle(board, plan, shop) for board in listed if not board.assumed and board.count != 0]
    return (*rack, *(idle for idle in yard if not idle.useful))


def _rows(plan: MaterialPlan) -> list[CutRow]:
    """The rows of the cut list that the plan is for, each once."""
    placed = [piece.row for board in plan.boards for piece in board.pieces]
    return list({id(row): row for row in (*placed, *(left.row for left in plan.left_out))}.values())


def why_idle(board: Board, plan: MaterialPlan, shop: Shop) -> Idle:
    """Why nothing of the plan is laid on a board."""
    rows = _rows(plan)
    thick = [row for row in rows if thick_enough(board, row, shop)]
    if not thick and board.thickness is not None:
        need = min(row.part.thickness for row in rows) + shop.allowances.thickness
        wrong = "too thin: the thinnest piece takes {}, milling included, it has {}"
        return Idle(board, wrong, (need, board.thickness))
    whole = between_trims(board, shop)
    if whole is None:
        return Idle(board, "nothing is left when its ends are trimmed")
    if not _some_fit(thick, (whole,)):
        return _too_small(board, thick, whole)
    fit = [row for row in thick if _some_fit((row,), clear_places(whole, board.defects))]
    if not fit:
        return Idle(board, "no stretch clear of its defects is large enough for a piece")
    if all(row.part.one_board for row in fit):
        return Idle(board, "the pieces that it could give must come from one board with others", useful=True)
    return Idle(board, "", useful=True)


def _some_fit(rows: Iterable[CutRow], places: Sequence[Area]) -> bool:
    return any(fits(row, place) for row in rows for place in places)


def _too_small(board: Board, rows: Sequence[CutRow], whole: Area) -> Idle:
    shortest, narrowest = min(row.rough.length for row in rows), min(row.rough.width for row in rows)
    if not any(row.part.turns for row in rows):
        if shortest > whole.length:
            return Idle(board, "too short: the shortest piece is sawn {}, it gives {}", (shortest, whole.length))
        if narrowest > whole.width:
            return Idle(board, "too narrow: the narrowest piece is sawn {}, it gives {}", (narrowest, whole.width))
    return Idle(board, "too small for every piece")
