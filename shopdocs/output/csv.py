"""Tables as CSV after RFC 4180, for those who keep a spreadsheet and for checks from outside.

Comma, CRLF, quotes where needed, one head line. The text begins with a byte order mark (U+FEFF) and is meant to be
written as UTF-8: without the mark a common spreadsheet program reads fractions and primes in the wrong character set.

A column that holds figures is followed by their exact values, "Length exact (mm)"; where a cell holds several
("1¾ × 3½"), there is one exact column for each; counts need none. Groups with titles get a first column "group",
tables with totals a last column "line" that says "row" or "total", so that a sum does not count totals twice. Notes,
pictures and tick boxes are left out.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence

from shopdocs.blocks.text import Cell, Column, Figure, Row, Table, figures_of, plain
from shopdocs.core.display import MINUS
from shopdocs.output.exact import exact_for_spreadsheet, exact_number

BYTE_ORDER_MARK = "\ufeff"

_NUMBER = re.compile(rf"[+\-{MINUS}]?[0-9]+(?:\.[0-9]+)?")
# What makes a spreadsheet take a cell for a formula, also in full width, also after blanks or a quote.
_FORMULA = re.compile(r"[\s\x00-\x1f\"'\ufeff\u200b]*[=+\-@＝＋－＠].|[\t\r\n]", re.DOTALL)

# By what a spreadsheet may part cells or rows instead of the comma, as its language or its user says.
_OTHER_SEPARATORS = re.compile(r"([;|\t\r\n])")


def table_csv(table: Table) -> str:
    """The table as CSV text. A text that a spreadsheet would run as a formula begins with an apostrophe; numbers,
    negative ones too, stay numbers."""
    shown = [index for index, column in enumerate(table.columns) if not column.picture_mm]
    kept = [table.columns[index] for index in shown]
    rows = [(group.title, row) for group in table.groups for row in group.rows]
    exact = [
        _figure_columns(column, [_cell(row, index) for _, row in rows])
        for index, column in zip(shown, kept, strict=True)
    ]
    grouped = any(title for title, _ in rows)
    totals = any(row.total for _, row in rows)

    head = ["group"] if grouped else []
    for column, columns in zip(kept, exact, strict=True):
        head += [_titled(_plain(column.title), column.unit), *columns]
    lines = [[_safe(title) for title in ([*head, "line"] if totals else head)]]
    for title, row in rows:
        line = [_safe(title)] if grouped else []
        for index, columns in zip(shown, exact, strict=True):
            line += _values(_cell(row, index), columns)
        if totals:
            line.append("total" if row.total else "row")
        lines.append(line)

    out = io.StringIO(newline="")
    csv.writer(out).writerows(lines)
    return BYTE_ORDER_MARK + out.getvalue()


def _cell(row: Row, index: int) -> Cell:
    return row.cells[index] if index < len(row.cells) else Cell()


def _plain(title: str) -> str:
    """A head without the number that leads to the appendix, which a spreadsheet has not."""
    return re.sub(r"\s*\[\d+\]", "", title)


def _titled(title: str, unit: str) -> str:
    return f"{title} ({unit})".strip() if unit else title


def _figure_columns(column: Column, cells: Sequence[Cell]) -> list[str]:
    """Head of each exact column that follows this one; the unit stands in it where all its figures share one."""
    found = [figures_of(cell.text) for cell in cells]
    if all(_is_count(figure) for figures in found for figure in figures):
        return []
    count = max((len(figures) for figures in found), default=0)
    heads = []
    for number in range(count):
        units = {figures[number].unit for figures in found if len(figures) > number}
        name = f"{_plain(column.title)} exact {number + 1 if count > 1 else ''}".strip()
        heads.append(_titled(name, units.pop() if len(units) == 1 else ""))
    return heads


def _is_count(figure: Figure) -> bool:
    """Pieces, holes, sheets: what is shown is the exact value already."""
    return figure.unit == "count" and figure.shown == exact_number(figure.value)


def _values(cell: Cell, exact_heads: Sequence[str]) -> list[str]:
    figures = figures_of(cell.text)
    exact = [_exact(figure, head) for figure, head in zip(figures, exact_heads, strict=False)]
    return [_safe(plain(cell.text)), *exact, *[""] * (len(exact_heads) - len(exact))]


def _exact(figure: Figure, head: str) -> str:
    number = exact_for_spreadsheet(figure.value)
    told = not figure.unit or head.endswith(f"({figure.unit})")
    return number if told else _safe(f"{number} {figure.unit}")


def _safe(content: str) -> str:
    """Text that no spreadsheet runs. A typographic minus before a number becomes the one that is counted with; null
    characters, which end a cell early, are dropped."""
    content = content.replace("\x00", "").encode("utf-8", "replace").decode("utf-8")
    if _NUMBER.fullmatch(content):
        return content.replace(MINUS, "-")
    head, *rest = _OTHER_SEPARATORS.split(content)
    mark = "'" if _FORMULA.match(content) else ""
    return mark + head + "".join(rest[at] + _harmless(rest[at + 1]) for at in range(0, len(rest), 2))


def _harmless(part: str) -> str:
    """What would be a cell of its own where a spreadsheet parts cells by another sign than the comma: there our quotes,
    which do not stand at the beginning of its cell, keep nothing together."""
    return f"'{part}" if _FORMULA.match(part) and not _NUMBER.fullmatch(part.strip()) else part
