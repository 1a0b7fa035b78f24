"""Whether the boards that were bought suffice, and what single board would cure it where they do not."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import Length
from shopdocs.facts.lumber_tables import FOOT
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material, MaterialKind
from shopdocs.work.boards.idle import Idle, why_idle
from shopdocs.work.boards.least import Least, least_board
from shopdocs.work.boards.near import Near, gained_pieces
from shopdocs.work.boards.plan import Effort, Names, material_plan
from shopdocs.work.boards.receipts import Bought, Measure
from shopdocs.work.boards.results import MaterialPlan
from shopdocs.work.boards.supply import (
    ASSUMED_WIDTHS,
    Board,
    make_board,
    rack_boards,
    yard_boards,
)
from shopdocs.work.cut_list import CutGroup, CutRow, dressed_size

TALLY = Effort(600)
TRY = Effort(150)
MOST_TRIED = 24
LENGTHS = {
    "in": tuple(FOOT * count for count in (3, 4, 5, 6, 8, 10, 12)),
    "mm": tuple(Length(count) for count in (900, 1200, 1500, 1800, 2400, 3000, 3600)),
}


class Cure(Struct, frozen=True):
    """Boards of the yard with which everything would fit; none where no board tried would do. `least` is the smallest
    single board that holds what is missing. `capped` says that the clock ended the search on one of those tried."""

    boards: tuple[Board, ...]
    least: Least | None = None
    capped: bool = False


class Refit(Struct, frozen=True):
    """The pieces of one material on the boards really there; `spare` are the marks of boards that stay whole, `useless`
    those of them that can give none of the pieces, and why; `near` are missing pieces that nearly fit somewhere."""

    plan: MaterialPlan
    spare: tuple[str, ...]
    cure: Cure | None
    useless: tuple[tuple[tuple[str, ...], Idle], ...] = ()
    near: tuple[Near, ...] = ()

    @property
    def capped(self) -> bool:
        """Whether the clock ended a search, so that another run may find otherwise."""
        return self.plan.capped or (self.cure is not None and self.cure.capped)


def refit(build: Build, shop: Shop, groups: Iterable[CutGroup], bought: Measure) -> tuple[Refit, ...]:
    """Lay every used material's pieces on the boards bought and those on the rack."""
    rows: dict[str, list[CutRow]] = {}
    for group in groups:
        rows.setdefault(group.material.name, []).extend(group.rows)
    names = Names(build, {line.line.at: line.marks for line in bought.lines})
    return tuple(_refit(build, shop, build.material(name), mine, bought, names) for name, mine in rows.items())


def _refit(
    build: Build, shop: Shop, material: Material, rows: Sequence[CutRow], bought: Measure, names: Names
) -> Refit:
    mine = [line for line in bought.lines if line.material.name == material.name]
    marked: list[tuple[tuple[str, ...], Board]] = [((board.mark,), board) for board in rack_boards(material, shop)]
    marked += [(line.marks, _board(line, shop)) for line in mine]
    boards = tuple(board for _, board in marked)
    plan = material_plan(material, rows, boards, shop, names, TALLY)
    used = {board.mark for board in plan.boards}
    spare = tuple(mark for marks, _ in marked for mark in marks if mark not in used)
    idle = [(marks, why_idle(board, plan, shop)) for marks, board in marked if used.isdisjoint(marks)]
    cure = find_cure(build, shop, rows, boards, plan) if plan.left_out else None
    useless = tuple((marks, why) for marks, why in idle if not why.useful)
    single = [replace(board, mark=mark) for marks, board in marked for mark in marks]
    return Refit(plan, spare, cure, useless, gained_pieces(plan, shop, single))


def _board(line: Bought, shop: Shop) -> Board:
    board = make_board(
        line.material,
        line.width,
        line.length,
        shop,
        thickness=line.thickness,
        defects=line.line.defects,
        count=line.line.count,
        at=line.line.at,
    )
    return replace(board, price=None)  # paid already: what counts is how little wood is cut up


def find_cure(build: Build, shop: Shop, rows: Sequence[CutRow], boards: Sequence[Board], plan: MaterialPlan) -> Cure:
    """The cheapest single board (or smallest, without prices) with which everything fits, found by laying out anew with
    each of the yard's list, else with each usual size and with the least board as it is sold; where none does, the
    boards that the missing pieces take by themselves; nothing where they fit none."""
    material = plan.material
    listed = [board for board in yard_boards(material, build, shop, rows) if not board.assumed and board.count != 0]
    least = least_board(build, shop, material, plan.left_out)
    usual = usual_sizes(build, shop, material)
    capped = False
    exact = [least.sold] if least is not None and material.kind is not MaterialKind.SHEET else []
    for sizes in (listed, [*exact, *usual]):
        for board in _in_order(sizes, plan)[:MOST_TRIED]:
            one = replace(board, count=1, price=None, mark="")
            trial = material_plan(material, rows, (*boards, one), shop, Names(build), TRY)
            capped = capped or trial.capped
            if not trial.left_out:
                return Cure((board,), least, capped)
    if least is not None:  # what has its place keeps it, and the rest is known to go on this board
        return Cure((least.sold,), least, capped)
    stock = listed or usual
    owned = [replace(board, price=Fraction(0), on_hand=True) for board in boards]
    trial = material_plan(material, rows, (*owned, *stock), shop, Names(build), TRY)
    bought = () if trial.left_out else tuple(board.board for board in trial.bought)
    return Cure(bought, capped=capped or trial.capped)


def usual_sizes(build: Build, shop: Shop, material: Material) -> list[Board]:
    """Sizes to look for where the yard's list holds none that helps (common practice, no source)."""
    if material.kind is MaterialKind.SHEET:
        return [make_board(material, *material.sheet, shop)] if material.sheet else []
    dressed = dressed_size(material)
    widths = (dressed.width,) if dressed else ASSUMED_WIDTHS[build.units]
    return [make_board(material, width, length, shop) for width in widths for length in LENGTHS[build.units]]


def _in_order(boards: Iterable[Board], plan: MaterialPlan) -> list[Board]:
    """Those that hold the largest missing piece at all, cheapest first, smallest first at one price."""
    rough = [left.row.rough for left in plan.left_out]
    long, wide = max(size.length for size in rough), max(size.width for size in rough)
    turns = any(left.row.part.turns for left in plan.left_out)
    fit = [b for b in boards if (b.length >= long and b.width >= wide) or (turns and b.width >= long)]
    return sorted(fit, key=lambda b: (b.price is None, b.price or 0, b.square_metres))
