"""The pictures of the sheet of look-alikes in the sizes that its page may have room for."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from shopdocs.blocks.text import Cell, Row, Table
from shopdocs.documents.drawn.mistaken import PAIR_MM

PICTURE_MM = 18.0  # wide, the column of a picture
TALL_MM, WORTH_IT = 25.0, 1.2  # how tall what is slim and upright is drawn; where it becomes so much larger by it


# How wide and how high pictures may become where the page has the room: the larger, the better a mortise is seen.
ROOMY_MM = ((29.0, 30.0), (23.0, 26.0), (21.0, 20.0))


def with_tall_pictures(table: Table) -> Table:
    """The table with pictures that are slim as tall as that, where the page has the room."""
    return _grown(table, (PAIR_MM[0], TALL_MM))


def with_larger(table: Table) -> Table:
    """The table with all its pictures in larger rooms, as its page may have them."""
    return replace(table, larger=tuple(_grown(table, room) for room in ROOMY_MM))


def _grown(table: Table, room_mm: tuple[float, float]) -> Table:
    wide = max(PICTURE_MM, room_mm[0] + 1.0)
    columns = tuple(replace(one, picture_mm=wide) if one.picture_mm else one for one in table.columns)
    groups = tuple(replace(group, rows=tuple(_row_grown(row, room_mm) for row in group.rows)) for group in table.groups)
    return replace(table, columns=columns, groups=groups)


def _row_grown(row: Row, room_mm: tuple[float, float]) -> Row:
    """Both pictures of a row by the same, so that one still looks like the other."""
    drawn = [cell.drawing for cell in row.cells if cell.drawing is not None]
    sizes = [(one.width.float_mm(one.scale or 1), one.height.float_mm(one.scale or 1)) for one in drawn]
    more = min((min(room_mm[0] / wide, room_mm[1] / tall) for wide, tall in sizes), default=1.0)
    if more < WORTH_IT:
        return row
    times = Fraction(int(more * 100), 100)
    return replace(row, cells=tuple(_larger(cell, times) for cell in row.cells))


def _larger(cell: Cell, times: Fraction) -> Cell:
    drawing = cell.drawing
    return replace(cell, drawing=replace(drawing, scale=(drawing.scale or 1) * times)) if drawing is not None else cell
