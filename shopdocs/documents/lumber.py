"""The lumber sheet: the boards to buy, what they cost at least, and every board with its cuts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import (
    Bullets,
    Cell,
    Column,
    Figure,
    Group,
    Paragraph,
    Row,
    Run,
    Table,
    Text,
    Weight,
    plain,
    text,
)
from shopdocs.core.display import added
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.documents.figures import (
    count_figure,
    decimal_figure,
    marks_text,
    money_figure,
    percent_figure,
)
from shopdocs.documents.how.buying import measures_of
from shopdocs.documents.how.rules import note, where_notes_are
from shopdocs.documents.job import Job
from shopdocs.documents.yard.board_drawings import board_drawings, drawings_text
from shopdocs.documents.yard.low_boards import low_boards
from shopdocs.documents.yard.nearly import idle_blocks, nearly_blocks
from shopdocs.documents.yard.words import (
    FEET_PLACES,
    VOLUME_PLACES,
    Measures,
    board_size,
    bought_text,
    bought_volume,
    equal_boards,
    feet_text,
    metres_text,
    reason_text,
    stock_title,
)
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.results import MaterialPlan, SawnBoard
from shopdocs.work.boards.supply import SURFACE, Board
from shopdocs.work.lumber_needs import MaterialNeed

SURFACE_COLUMN, BY_SURFACE = "Surface", "By surface"
FOOT_METRES = Fraction(3048, 10000)  # by definition


def lumber_sheet(job: Job) -> Document:
    """What to buy by material, what comes from the rack, what was left out and why, then every board with its cuts."""
    solid = [plan for plan in job.boards.materials if plan.material.kind is not MaterialKind.SHEET]
    sheets = [plan for plan in job.boards.materials if plan.material.kind is MaterialKind.SHEET]
    blocks: list[Block] = []
    if any(plan.bought for plan in solid):
        blocks.append(_boards_table(job, solid))
    if any(plan.bought for plan in sheets):
        blocks.append(_sheets_table(job, sheets))
    rack = [plan for plan in job.boards.materials if len(plan.bought) < len(plan.boards)]
    if rack:
        blocks.append(_rack_table(job, rack))
    blocks += _to_take(job)
    blocks += _left_out(job)
    blocks += [*idle_blocks(job), *nearly_blocks(job)]
    blocks.append(_summary(job))
    drawn = any(plan.boards for plan in job.boards.materials)
    blocks += where_notes_are((*drawings_text(job.shop, job.display), note(job, "boards").strip()) if drawn else ())
    every = [(plan, board_drawings(plan, job.display, job.shop)) for plan in job.boards.materials]
    usual = [drawing for _, drawings in every for drawing in drawings]
    low = low_boards(every, job.display, job.shop)
    question = "What do I buy, what does it cost, and how do I saw it?"
    instead = (*blocks, *low) if low != usual else ()
    return Document("lumber", "Lumber", question, (*blocks, *usual), runs_on=True, instead=instead)


# --- what to buy -----------------------------------------------------------------------------------------------------


def _boards_table(job: Job, plans: list[MaterialPlan]) -> Table:
    unit, money = job.display.units, _priced(plans)
    columns = [
        Column("Boards", strong=True, share=0.3),
        Column("Material", share=1.1),
        Column("Count", "right", share=0.2),
        Column("T × W × L", "right", unit, share=0.6),
    ]
    feet, metres = _bought_by(job, plans)
    if feet:
        columns += [
            Column(f"Exact{note(job, 'measure')}", "right", "bf each", share=0.3),
            Column(SURFACE_COLUMN, "right", "ft² each", share=0.3),
        ]
    if metres:
        columns.append(Column(f"Volume{note(job, 'measure')}", "right", "m³ each", share=0.3))
    if money:
        columns += [
            Column("Each", "right", job.shop.currency, share=0.5),
            Column("Price", "right", job.shop.currency, share=0.5, strong=True),
        ]
    groups = []
    for plan in plans:
        rows = tuple(_board_row(job, plan, boards, feet, metres, money) for boards in equal_boards(plan.bought))
        if rows:
            groups.append(Group(rows, note=_origin(job, plan)))
    return _but_idle(Table("boards", tuple(columns), tuple(groups), ticks=True), SURFACE_COLUMN)


def _but_idle(table: Table, title: str) -> Table:
    """The table without the column of this title where it tells nothing: softwood has no surface measure."""
    number = next((k for k, column in enumerate(table.columns) if column.title == title), None)
    every = [row for group in table.groups for row in group.rows]
    if number is None or not every or any(plain(row.cells[number].text) != "—" for row in every):
        return table

    before, after = slice(number), slice(number + 1, None)
    groups = tuple(
        replace(group, rows=tuple(replace(row, cells=row.cells[before] + row.cells[after]) for row in group.rows))
        for group in table.groups
    )
    return replace(table, columns=table.columns[before] + table.columns[after], groups=groups)


def _origin(job: Job, plan: MaterialPlan) -> str:
    return f"A usual size: list what your yard has in the shop file{note(job, 'random')}" if plan.assumed else ""


def _priced(plans: list[MaterialPlan]) -> bool:
    return any(board.board.price is not None for plan in plans for board in plan.bought)


def _bought_by(job: Job, plans: Sequence[MaterialPlan]) -> tuple[bool, bool]:
    """Whether some of the boards to buy are counted in board feet, and some in cubic metres."""
    measures, bought = measures_of(job), {plan.material.name for plan in plans if plan.bought}
    return bool(bought & measures.feet), bool(bought & measures.metres)


def _board_row(job: Job, plan: MaterialPlan, boards: list[SawnBoard], feet: bool, metres: bool, money: bool) -> Row:
    board, count = boards[0].board, len(boards)
    name = f"{plan.material.name} · {boards[0].mark}"
    cells = [
        Cell.of(marks_text([each.mark for each in boards])),
        Cell.of(stock_title(job.display, plan.material)),
        Cell.of(count_figure(f"{name} · count", count, board.at)),
        Cell(board_size(job.display, name, board)),
    ]
    mine = plan.material.name in measures_of(job).feet
    if feet:
        exact = decimal_figure(f"{name} · exact", board.feet, 2, "bf", board.at)
        surface = count_figure(f"{name} · surface", board.surface, board.at) if board.surface is not None else "—"
        cells += [Cell.of(exact if mine else "—"), Cell.of(surface if mine else "—")]
    if metres:
        volume = decimal_figure(f"{name} · volume", board.cubic_metres, VOLUME_PLACES, "m³", board.at)
        cells.append(Cell.of("—" if mine else volume))
    return Row(tuple(cells + _money_cells(job, name, board, count, money)))


def _money_cells(job: Job, name: str, board: Board, count: int, money: bool) -> list[Cell]:
    if not money:
        return []
    if board.price is None:
        return [Cell.of("—"), Cell.of("—")]
    unit = job.shop.currency or "money"
    return [
        Cell.of(decimal_figure(f"{name} · each", board.price, 2, unit, board.at)),
        Cell.of(decimal_figure(f"{name} · price", board.price * count, 2, unit, board.at), strong=True),
    ]


def _sheets_table(job: Job, plans: list[MaterialPlan]) -> Table:
    money = _priced(plans)
    columns = [
        Column("Sheets", strong=True, share=0.3),
        Column("Material", share=1.1),
        Column("Count", "right", share=0.2),
        Column("T × W × L", "right", job.display.units, share=0.6),
        Column("Area", "right", "ft² each" if _in_square_feet(job) else "m² each", share=0.3),
    ]
    if money:
        columns += [
            Column("Each", "right", job.shop.currency, share=0.5),
            Column("Price", "right", job.shop.currency, share=0.5, strong=True),
        ]
    groups = []
    for plan in plans:
        rows = []
        for boards in equal_boards(plan.bought):
            board, name = boards[0].board, f"{plan.material.name} · {boards[0].mark}"
            cells = [
                Cell.of(marks_text([each.mark for each in boards])),
                Cell.of(stock_title(job.display, plan.material)),
                Cell.of(count_figure(f"{name} · count", len(boards), board.at)),
                Cell(board_size(job.display, name, board)),
                Cell.of(_sheet_area(job, f"{name} · area", board)),
            ]
            rows.append(Row(tuple(cells + _money_cells(job, name, board, len(boards), money))))
        if rows:
            groups.append(Group(tuple(rows)))
    return Table("sheets", tuple(columns), tuple(groups), ticks=True)


def _in_square_feet(job: Job) -> bool:
    """Whether sheets are measured in feet: as the boards beside them are sold, whatever lengths are printed in."""
    measures = measures_of(job)
    one_measure = bool(measures.feet) is not bool(measures.metres)
    return bool(measures.feet) if one_measure else job.display.units == "in"


def _sheet_area(job: Job, name: str, board: Board) -> Figure:
    if not _in_square_feet(job):
        return decimal_figure(name, board.square_metres, 3, "m²", board.at)
    return decimal_figure(name, board.square_metres / FOOT_METRES**2, 2, "ft²", board.at)


def _rack_table(job: Job, plans: list[MaterialPlan]) -> Table:
    rows = []
    for plan in plans:
        for each in plan.boards:
            board = each.board
            if board.on_hand:
                name = f"{plan.material.name} · {each.mark}"
                marks = marks_text(list(dict.fromkeys(piece.name for piece in each.pieces)))
                cells = (Cell.of(each.mark), Cell.of(plan.material.name), Cell(board_size(job.display, name, board)))
                rows.append(Row((*cells, Cell.of(marks))))
    columns = (
        Column("From the rack", strong=True, share=0.6),
        Column("Material", share=0.6),
        Column("T × W × L", "right", job.display.units, share=0.4),
        Column("Gives", share=2.0),
    )
    return Table("rack", columns, (Group(tuple(rows)),), ticks=True)


def _to_take(job: Job) -> list[Block]:
    plans = job.boards.materials
    runs: list[Run] = ["To buy: ", *bought_text(measures_of(job), job.shop.tally, "all", plans)]
    prices = [plan.price for plan in plans if plan.bought and plan.price is not None]
    if prices:
        runs += [", ", money_figure("all · price", sum(prices, Fraction(0)), job.shop.currency)]
    unpriced = [plan.material.name for plan in plans if plan.bought and plan.price is None]
    runs.append(".")
    if unpriced and prices:
        runs.append(f" Without a price: {', '.join(unpriced)}.")
    return [Paragraph(tuple(runs), Weight.STRONG)]


def _left_out(job: Job) -> list[Block]:
    """Pieces on no board, with the reason."""
    items: list[Text] = []
    for plan in job.boards.materials:
        for left in plan.left_out:
            part = left.row.part
            strips = (" strip" if left.count == 1 else " strips") if part.strips > 1 else ""
            items.append(
                (
                    f"{part.name}, ",
                    count_figure(f"{part.name} · on no board", left.count, part.at),
                    f"{strips} of {plan.material.name} ({marks_text(left.marks)}): ",
                    *reason_text(job.display, left),
                    f"; {left.help}.",
                )
            )
    if not items:
        return []
    return [Paragraph(text("On no board, and not in the sums: get wood for"), Weight.STRONG), Bullets(tuple(items))]


# --- how good the plan is --------------------------------------------------------------------------------------------


def _summary(job: Job) -> Table:
    """What the pieces take, what the boards hold by each measure, and the proven least price."""
    needs = {need.material.name: need for need in job.needs}
    plans, measures, why = job.boards.materials, measures_of(job), note(job, "choosing")
    columns = (
        Column("Material", strong=True, share=1.0),
        Column("Blanks", "right", share=0.1),
        *_amount_columns(job, measures),
        Column(f"Yield{why}", "right", "%", share=0.3),
        Column("Lowest possible", "right", job.shop.currency, share=0.4),
        Column("Above lowest", "right", "%", share=0.3),
    )
    rows = tuple(_summary_row(job, plan, needs[plan.material.name]) for plan in plans)
    total = (_summary_total(job, plans),) if len(plans) > 1 else ()
    return _but_idle(Table("lumber", columns, (Group((*rows, *total)),)), BY_SURFACE)


def _amount_columns(job: Job, measures: Measures) -> tuple[Column, ...]:
    """Columns of one unit carry it in their head; where both measures are on the sheet every cell says its own."""
    surface = job.shop.tally == SURFACE
    unit = "" if measures.mixed else "m³" if measures.metres else "bf"
    columns = [Column("Net", "right", unit, share=0.3), Column("Rough", "right", unit, share=0.3)]
    if not measures.feet:
        return (*columns, Column("To buy", "right", unit, share=0.3, strong=True))
    return (
        *columns,
        Column("To buy, exact", "right", unit, share=0.3, strong=not surface),
        Column(BY_SURFACE, "right", "bf", share=0.3, strong=surface),
    )


def _amount_cells(
    measures: Measures, name: str, plans: Sequence[MaterialPlan], needs: Sequence[MaterialNeed], at: Position = NOWHERE
) -> tuple[Cell, ...]:
    """Net, rough and boards of the solid wood among these, all of one measure."""
    solid = [plan for plan in plans if plan.material.kind is not MaterialKind.SHEET]
    wood = [need for need in needs if need.material.kind is not MaterialKind.SHEET]
    if not solid:
        return (Cell.of("—"),) * (4 if measures.feet else 3)
    amounts = [("net", [need.net for need in wood]), ("rough", [need.rough for need in wood])]
    if solid[0].material.name in measures.metres:
        made = [(word, added((one.cubic_metres for one in each), VOLUME_PLACES)) for word, each in amounts]
        made.append(("boards", added(map(bought_volume, solid), VOLUME_PLACES)))
        cells = [Cell(_with_unit(measures, metres_text(f"{name} · {word}", value, at))) for word, value in made]
        return (*cells, *([Cell.of("—")] if measures.feet else []))
    made = [(word, added((one.board_feet for one in each), FEET_PLACES)) for word, each in amounts]
    made.append(("exact", added((plan.measured.exact for plan in solid), FEET_PLACES)))
    cells = [Cell(_with_unit(measures, feet_text(f"{name} · {word}", value, FEET_PLACES, at))) for word, value in made]
    return (*cells, Cell.of(_by_surface(f"{name} · by surface", solid, at)))


def _with_unit(measures: Measures, amount: Text) -> Text:
    return amount if measures.mixed else amount[:1]


def _by_surface(name: str, plans: Sequence[MaterialPlan], at: Position) -> Figure | str:
    """Board feet by surface measure, whole where all is hardwood; softwood beside hardwood counts exactly."""
    if not any(plan.measured.tally for plan in plans):
        return "—"
    feet = added((plan.measured.by(SURFACE) for plan in plans), FEET_PLACES)
    whole = all(plan.measured.tally for plan in plans)
    return decimal_figure(name, feet, 0 if whole else 2, "bf", at)


def _summary_row(job: Job, plan: MaterialPlan, need: MaterialNeed) -> Row:
    material, name = plan.material, plan.material.name
    cells = (
        Cell.of(name),
        Cell.of(count_figure(f"{name} · to saw", need.sawn, material.at)),
        *_amount_cells(measures_of(job), name, (plan,), (need,), material.at),
        Cell.of(percent_figure(f"{name} · yield", plan.used, material.at)),
        _least_cell(job, name, plan.bound if plan.in_money and plan.bought else None),
        Cell.of(percent_figure(f"{name} · over the least", plan.gap, material.at) if plan.boards else "—"),
    )
    return Row(cells)


def _least_cell(job: Job, name: str, bound: Fraction | None) -> Cell:
    unit = job.shop.currency or "money"
    return Cell.of(decimal_figure(f"{name} · least price", bound, 2, unit) if bound is not None else "—")


def _summary_total(job: Job, plans: tuple[MaterialPlan, ...]) -> Row:
    """Sums over all materials; board feet and cubic metres do not add up."""
    measures = measures_of(job)
    money = [plan for plan in plans if plan.in_money]
    bound = sum((plan.bound for plan in money), Fraction(0))
    cost = sum((plan.cost for plan in money), Fraction(0))
    cells = (
        Cell.of("All"),
        Cell.of(count_figure("all · to saw", sum(need.sawn for need in job.needs))),
        *(_amount_cells(measures, "all", plans, job.needs) if not measures.mixed else (Cell.of(""),) * 4),
        Cell.of(""),
        _least_cell(job, "all", bound if money else None),
        Cell.of(percent_figure("all · over the least", (cost - bound) / bound) if money and bound else "—"),
    )
    return Row(cells, total=True)
