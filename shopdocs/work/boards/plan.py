"""Lays the pieces of a build on boards: one job of the cutting layout for each material.

Sizes are the rough ones of the cut list, milling allowances included, so the saw adds only its kerf and the ends of a
board. Boards too thin for some pieces are filled first with the pieces that they can give.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, field, replace
from fractions import Fraction

from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material, MaterialKind
from shopdocs.work.boards.area import Area
from shopdocs.work.boards.reasons import LeftOut
from shopdocs.work.boards.results import BoardsPlan, MaterialPlan, SawCut, SawnBoard, SawnPiece
from shopdocs.work.boards.saw import needed_cuts
from shopdocs.work.boards.supply import Board, measured, rack_boards, yard_boards
from shopdocs.work.boards.ticks import Steps, common_measure, least_sum
from shopdocs.work.boards.wanted import Item, items_of, left_out, thick_enough
from shopdocs.work.cut_list import CutGroup, CutRow
from shopdocs.work.layout import (
    BOARD,
    CROSSCUT,
    FIRST,
    LARGE,
    SHEET,
    SWIFT_AFTER,
    Job,
    Plan,
    Rect,
    Saw,
    Stock,
    Want,
    compiler_installed,
    lay_out,
)

SECONDS = 60.0  # a material; a last resort that is told where it strikes: rounds alone decide which plan is found
ROUNDS = ((20, 1100), (300, 400))  # up to so many pieces, so many search rounds; above, the first answer


@dataclass(frozen=True, slots=True)
class Effort:
    """How long to search: `rounds` (None: by the number of pieces), at most `seconds` a material. Not `sawn`, boards
    get no cuts and offcuts: enough to know which pieces find a place."""

    rounds: int | None = None
    seconds: float = SECONDS
    sawn: bool = True

    def of(self, pieces: int) -> int:
        """How many rounds a material with so many pieces to saw may take."""
        if self.rounds is not None:
            return self.rounds
        return next((rounds for most, rounds in ROUNDS if pieces <= most), FIRST)


@dataclass(slots=True)
class _Filled:
    """The boards that one run of the layout filled, and what they came to."""

    boards: list[SawnBoard] = field(default_factory=list)
    cost: Fraction = Fraction(0)
    bound: Fraction = Fraction(0)
    capped: bool = False


def boards_plan(build: Build, shop: Shop, groups: Iterable[CutGroup], effort: Effort | None = None) -> BoardsPlan:
    """The boards to take for every used material, solid wood before sheets, and how to saw them."""
    effort = effort or Effort()
    rows: dict[str, list[CutRow]] = {}
    for group in groups:
        rows.setdefault(group.material.name, []).extend(group.rows)
    plans = []
    names = Names(build)
    materials = [build.material(name) for name in rows]
    for material in sorted(materials, key=lambda material: material.kind is MaterialKind.SHEET):
        mine = rows[material.name]
        yard = yard_boards(material, build, shop, mine)
        plan = material_plan(material, mine, (*rack_boards(material, shop), *yard), shop, names, effort)
        plans.append(plan)
    asked = effort.rounds or 0
    swift = any(1 < sum(len(item.labels) for item in items_of(mine)) <= LARGE for mine in rows.values())
    return BoardsPlan(tuple(plans), asked, swift and asked > SWIFT_AFTER and not compiler_installed())


class Names:
    """Gives boards their marks, B1, B2 and so on, through all materials; BD1 where a piece is called B1 already.

    `given` are the marks of boards that have theirs, by the place they were written at."""

    def __init__(self, build: Build, given: Mapping[Position, Sequence[str]] | None = None) -> None:
        self.given = {at: list(marks) for at, marks in (given or {}).items()}
        self.taken = {piece.mark.casefold() for _, piece in build.pieces()}
        self.stem = "BD" if any(mark[:1] == "b" and mark[1:].isdigit() for mark in self.taken) else "B"
        self.count = 0

    def of(self, board: Board) -> str:
        """A board's own mark, or one already given to its line, or the next free one."""
        given = self.given.get(board.at)
        return board.mark or (given.pop(0) if given else self.next())

    def next(self) -> str:
        """The next free mark: the stem and a number."""
        self.count += 1
        return f"{self.stem}{self.count}"


def material_plan(
    material: Material, rows: Sequence[CutRow], boards: Sequence[Board], shop: Shop, names: Names, effort: Effort
) -> MaterialPlan:
    """The plan of one material; boards that are too thin for some pieces take those that they suit first."""
    items = items_of(rows)
    row_numbers = {id(row): number for number, row in enumerate(rows)}
    boards = [board for board in boards if board.count != 0]
    in_money = all(board.price is not None for board in boards if not board.on_hand)
    sawn: list[SawnBoard] = []
    cost = bound = Fraction(0)
    capped = False
    suited: dict[frozenset[int], list[Board]] = {}
    for board in boards:
        able = frozenset(index for index, row in enumerate(rows) if thick_enough(board, row, shop))
        if able:
            suited.setdefault(able, []).append(board)
    stages = [(able, suited[able]) for able in sorted(suited, key=len)]
    for number, (able, mine) in enumerate(stages):
        later = frozenset[int]().union(*(other for other, _ in stages[number + 1 :]))
        fit = [item for item in items if item.labels and _takes(item, row_numbers[id(item.row)], able, later)]
        if fit:
            filled = _fill(material, fit, mine, shop, names, effort, in_money)
            sawn += filled.boards
            cost, bound, capped = cost + filled.cost, bound + filled.bound, capped or filled.capped
    if len(stages) > 1:
        least, late = _bound_of_all(material, rows, sawn, boards, shop, names, effort, in_money)
        bound, capped = min(cost, least), capped or late
    left = tuple(left_out(items, boards, shop))
    return MaterialPlan(
        material=material,
        boards=tuple(sawn),
        left_out=left,
        in_money=in_money,
        cost=cost,
        bound=bound,
        measured=measured(material, [board.board for board in sawn if not board.board.on_hand]),
        assumed=any(board.assumed for board in boards),
        capped=capped,
    )


def laid_on(build: Build, shop: Shop, left: Sequence[LeftOut], board: Board, effort: Effort) -> SawnBoard | None:
    """What is left out, all of it on one board; None where no layout is found. Its pieces are not told apart."""
    items = []
    for each in left:
        whole, labels = each.row.part.one_board, [(mark, 0) for mark in each.marks]
        strips = each.row.part.strips
        if whole == "=":
            items += [Item(each.row, [(mark, number)] * strips, f"= {mark}") for mark, number in labels]
        else:
            items.append(Item(each.row, labels[:1] * each.count, whole or None))
    one = replace(board, count=1, mark="", price=Fraction(1))  # what it costs is nothing to how it is filled
    filled = _fill(board.material, items, (one,), shop, Names(build), effort, True)
    return next(iter(filled.boards), None) if not any(item.labels for item in items) else None


def _takes(item: Item, row: int, able: frozenset[int], later: frozenset[int]) -> bool:
    """Whether pieces go on these boards already: those that must stay together wait for the last that suit them."""
    return row in able and (item.group is None or row not in later)


def _bound_of_all(
    material: Material,
    rows: Sequence[CutRow],
    sawn: Sequence[SawnBoard],
    boards: Sequence[Board],
    shop: Shop,
    names: Names,
    effort: Effort,
    in_money: bool,
) -> tuple[Fraction, bool]:
    """A proven least cost of the pieces that have a place, as if every board were thick enough for every piece: where
    boards are filled one kind after another, the bounds of the single runs prove nothing for the whole. And whether the
    clock ended the search for it."""
    placed = {(piece.mark, piece.strip) for board in sawn for piece in board.pieces}
    items = items_of(rows)
    for item in items:
        item.labels = [label for label in item.labels if label in placed]
    filled = _fill(material, [i for i in items if i.labels], boards, shop, deepcopy(names), effort, in_money)
    return Fraction(0) if any(item.labels for item in items) else filled.bound, filled.capped


def _fill(
    material: Material,
    items: Sequence[Item],
    boards: Sequence[Board],
    shop: Shop,
    names: Names,
    effort: Effort,
    in_money: bool,
) -> _Filled:
    """Run the layout over some pieces and boards; pieces that found a place leave their item."""
    sheet = material.kind is MaterialKind.SHEET
    trim = shop.sheet_trim if sheet else shop.end_trim
    trim = max(trim, shop.kerf) if trim else trim
    steps = _steps(items, boards, shop, trim)
    unit = _money_unit(boards) if in_money else _area_unit(boards)
    stocks = tuple(_stock(str(index), board, steps, unit, in_money) for index, board in enumerate(boards))
    wants = tuple(
        Want(
            str(index),
            steps.up(item.row.rough.length),
            steps.up(item.row.rough.width),
            len(item.labels),
            item.row.part.turns,
            item.group,
        )
        for index, item in enumerate(items)
    )
    saw = Saw(
        kerf=steps.up(shop.kerf),
        end_trim=steps.up(trim),
        edge_trim=steps.up(trim) if sheet else 0,
        style=SHEET if sheet else BOARD,
        keep_length=max(1, steps.up(shop.keep.length)),
        keep_width=max(1, steps.up(shop.keep.width)),
    )
    rounds = effort.of(sum(want.count for want in wants))
    plan = lay_out(Job(wants, stocks, saw), rounds, 0, effort.seconds, neat=effort.sawn)
    boards_sawn = _sawn(plan, items, boards, steps, names, effort.sawn, shop.kerf)
    bound = least_sum(plan.bound, plan.price, (stock.price for stock in stocks))
    return _Filled(boards_sawn, plan.price * unit, bound * unit, plan.capped)


def _steps(items: Sequence[Item], boards: Sequence[Board], shop: Shop, trim: Length) -> Steps:
    lengths = [shop.kerf, trim, *shop.keep]
    for item in items:
        lengths += [item.row.rough.width, item.row.rough.length]
    for board in boards:
        lengths += [board.width, board.length]
        for defect in board.defects:
            lengths += [defect.start, defect.end, defect.low or ZERO, defect.high or ZERO]
    return Steps.of(lengths)


def _money_unit(boards: Sequence[Board]) -> Fraction:
    """A whole part of every board's price: what a plan is weighed by."""
    return common_measure(board.price or Fraction(0) for board in boards if not board.on_hand)


def _area_unit(boards: Sequence[Board]) -> Fraction:
    """A whole part of every board's area, in square metres: what a plan without prices is weighed by."""
    return common_measure(board.square_metres for board in boards if not board.on_hand)


def _stock(name: str, board: Board, steps: Steps, unit: Fraction, in_money: bool) -> Stock:
    defects = []
    for defect in board.defects:
        low, high = defect.low or ZERO, defect.high if defect.high is not None else board.width
        x, y = steps.down(defect.start), steps.down(low)
        defects.append(Rect(x, y, steps.up(defect.end) - x, steps.up(high) - y))
    worth = Fraction(0) if board.on_hand else board.price if in_money else board.square_metres
    assert worth is not None
    return Stock(
        name,
        max(1, steps.down(board.length)),  # too short for the coarse step, and for any piece
        max(1, steps.down(board.width)),
        int(worth / unit),
        board.count,
        board.on_hand,
        tuple(defects),
    )


def _sawn(
    plan: Plan,
    items: Sequence[Item],
    boards: Sequence[Board],
    steps: Steps,
    names: Names,
    with_cuts: bool,
    kerf: Length,
) -> list[SawnBoard]:
    def area(rect: Rect) -> Area:
        return Area(*(steps.length(value) for value in (rect.x, rect.y, rect.length, rect.width)))

    found = []
    for laid in plan.boards:
        board = boards[int(laid.stock)]
        pieces = []
        for placed in laid.pieces:
            item = items[int(placed.want)]
            mark, strip = item.labels.pop(0)
            where = area(Rect(placed.x, placed.y, placed.length, placed.width))
            pieces.append(SawnPiece(mark, strip, item.row, where, placed.turned))
        offcuts = tuple(area(rect) for rect in laid.offcuts) if with_cuts else ()
        all_cuts = laid.cuts if with_cuts else ()
        cuts = [SawCut(cut.number, cut.axis == CROSSCUT, steps.length(cut.at), area(cut.over)) for cut in all_cuts]
        kept = [*(piece.area for piece in pieces), *offcuts]
        found.append(
            SawnBoard(
                names.of(board),
                board,
                tuple(pieces),
                needed_cuts(cuts, kept, steps.length(steps.up(kerf)), board.material.kind is MaterialKind.SHEET),
                offcuts,
                Fraction(laid.used, laid.area),
            )
        )
    return found
