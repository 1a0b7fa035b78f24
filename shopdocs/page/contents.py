"""Tables of contents on sheets that stand for themselves."""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from shopdocs.blocks.sheets import Block, Document, InColumns, Marked, SideBySide, Together
from shopdocs.blocks.text import Table


def without_lost_pages(document: Document, known: Collection[str]) -> Document:
    """The document without columns of page numbers that lead to none of the `known` anchors: what they lead to is on
    other paper."""
    found, other = (tuple(_of(block, known) for block in blocks) for blocks in (document.blocks, document.instead))
    return document if found == document.blocks else replace(document, blocks=found, instead=other)


def _of(block: Block, known: Collection[str]) -> Block:
    if isinstance(block, Table):
        return _table(block, known)
    if isinstance(block, (Together, InColumns)):
        return replace(block, blocks=tuple(_of(inner, known) for inner in block.blocks))
    if isinstance(block, Marked):
        return Marked(_of(block.block, known))
    return _sides(block, known) if isinstance(block, SideBySide) else block


def _sides(block: SideBySide, known: Collection[str]) -> SideBySide:
    columns = tuple(tuple(_of(inner, known) for inner in column) for column in block.columns)
    return replace(block, columns=columns, larger=tuple(_sides(each, known) for each in block.larger))


def _table(table: Table, known: Collection[str]) -> Table:
    rows = [row for group in table.groups for row in group.rows]
    kept = []
    for index in range(len(table.columns)):
        cells = [row.cells[index] for row in rows if index < len(row.cells)]
        numbers = [cell.link for cell in cells if cell.link and not cell.text]
        if not numbers or any(link in known for link in numbers):
            kept.append(index)
    if len(kept) == len(table.columns):
        return table
    groups = tuple(
        replace(
            group,
            rows=tuple(
                replace(row, cells=tuple(row.cells[i] for i in kept if i < len(row.cells))) for row in group.rows
            ),
        )
        for group in table.groups
    )
    return replace(table, columns=tuple(table.columns[i] for i in kept), groups=groups)
