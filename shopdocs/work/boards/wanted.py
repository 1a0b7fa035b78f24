"""What is laid on boards: equal pieces or strips together, which boards can give them, and why some are on none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.reasons import CERTAIN, LeftOut, Reason, why_left_out
from shopdocs.work.boards.supply import Board, rack_boards, yard_boards
from shopdocs.work.cut_list import CutGroup, CutRow, stock_thickness


class Item(Struct):
    """What one want of the layout stands for: equal pieces or strips, those not yet on a board."""

    row: CutRow
    labels: list[tuple[str, int]]
    group: str | None


def thick_enough(board: Board, row: CutRow, shop: Shop) -> bool:
    """Whether a piece can be planed out of a board: one as thick as the material's own is trusted."""
    if board.thickness is None or board.material.kind is MaterialKind.SHEET:
        return True
    own = stock_thickness(board.material)
    milled = board.material.kind is MaterialKind.HARDWOOD and board.material.thickness is None
    need = row.part.thickness + (shop.allowances.thickness if milled else ZERO)
    return board.thickness >= need or (own is not None and board.thickness >= own)


def items_of(rows: Sequence[CutRow]) -> list[Item]:
    """One for each row; one for each piece whose strips come out of one board."""
    items = []
    for row in rows:
        strips = range(1, row.part.strips + 1) if row.part.strips > 1 else range(1)
        if row.part.one_board == "=":
            items += [Item(row, [(piece.mark, n) for n in strips], f"= {piece.mark}") for piece in row.pieces]
        else:
            labels = [(piece.mark, n) for piece in row.pieces for n in strips]
            items.append(Item(row, labels, row.part.one_board or None))
    return items


def left_out(items: Sequence[Item], boards: Sequence[Board], shop: Shop) -> Iterable[LeftOut]:
    """Those that are on no board yet, row by row, each with the reason."""
    by_row: dict[int, list[tuple[str, int]]] = {}
    rows: Mapping[int, CutRow] = {id(item.row): item.row for item in items}
    for item in items:
        if item.labels:
            by_row.setdefault(id(item.row), []).extend(item.labels)
    thick: dict[Length, list[Board]] = {}  # many rows are of one thickness,
    reasons: dict[object, Reason] = {}  # and many of one size
    for key, labels in by_row.items():
        row = rows[key]
        if row.part.thickness not in thick:
            thick[row.part.thickness] = [board for board in boards if thick_enough(board, row, shop)]
        size = (row.part.thickness, row.rough, row.part.turns, row.part.one_board)
        if size not in reasons:
            reasons[size] = why_left_out(row, thick[row.part.thickness], boards, shop)
        reason = reasons[size]
        marks = tuple(dict.fromkeys(mark for mark, _ in labels))
        yield LeftOut(row, marks, len(labels), reason.wrong, reason.right, reason.key, reason.lengths)


def on_no_board(build: Build, shop: Shop, groups: Iterable[CutGroup]) -> Iterator[LeftOut]:
    """What no board can give, however it is sawn: too large for each of them, or too thick. Nothing is laid out."""
    rows: dict[str, list[CutRow]] = {}
    for group in groups:
        rows.setdefault(group.material.name, []).extend(group.rows)
    materials = [build.material(name) for name in rows]
    for material in sorted(materials, key=lambda material: material.kind is MaterialKind.SHEET):
        mine = rows[material.name]
        every = (*rack_boards(material, shop), *yard_boards(material, build, shop, mine))
        boards = [board for board in every if board.count != 0]
        yield from (left for left in left_out(items_of(mine), boards, shop) if left.key in CERTAIN)
