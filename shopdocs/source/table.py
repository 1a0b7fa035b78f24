"""Tables of text (RFC 4180, also with semicolons or tabs) into nodes that know their place.

Spreadsheet programs write tables in their own ways: a first line such as `sep=;` names the separator, and where commas
part no cells they stand for decimal points.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from difflib import get_close_matches

from shopdocs.core.problems import Position, Problem, error
from shopdocs.source.nodes import Mapping, Scalar, Sequence, shorten

MOST_ROWS = 5000
_NAMED_SEPARATOR = re.compile(r'("?)sep=([^\w\s"]|\t)\1[ ,;\t]*(?:\n|$)', re.I)
_DECIMAL_COMMA = re.compile(r"(?<![\d.,])(?:(\d+),(\d{1,2}|\d{4,})|(0),(\d+))(?![\d.,])")

Cell = tuple[Position, str, bool]


def table_rows(
    text: str, file: str, known: Collection[str], needed: Collection[str], wording: Collection[str] = ()
) -> tuple[Sequence, list[Problem]]:
    """The rows of a table as groups of keys, and what is wrong with it. The first row names the columns; only `known`
    ones are read, letter case aside, and those `needed` must be there; all but those of `wording` hold numbers. Empty
    cells count as not written, empty rows are passed over."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    problems: list[Problem] = []
    rows = Sequence(Position(file, 1, 1))
    separator, begin = _separator(text)
    lines = _lines(text, file, separator, problems, begin)
    head = next(lines, [])
    other = _other_separator(head, separator) if begin else ""
    if other:
        wrong = f"the first line says that {_name(separator)} parts the cells, and it is {_name(other)}"
        problems.append(error(rows.at, "separator", wrong, "leave the first line out, or name there what parts them"))
        return rows, problems
    names = [_column(cell, known, problems) for cell in head]
    for name in {name for name in names if name and names.count(name) > 1}:
        again = [cell for cell, each in zip(head, names, strict=True) if each == name][1]
        problems.append(error(again[0], "duplicate-key", f"the column '{name}' is written twice", "leave one of them"))
        return rows, problems
    missing = [name for name in needed if name not in names]
    if head and missing and not problems:  # an unknown column name has been reported already
        right = f"the first row names the columns: {', '.join(known)}"
        problems.append(error(head[0][0], "missing-key", f"there is no column '{missing[0]}'", right))
    if missing:
        return rows, problems
    for number, cells in enumerate(lines):
        if number == MOST_ROWS:
            problems.append(error(cells[0][0], "size", f"more than {MOST_ROWS} rows", "split the table"))
            break
        if len(cells) > len(names) and any(content.strip() for _, content, _ in cells[len(names) :]):
            wrong = f"{len(cells)} cells under {len(names)} column{'s' if len(names) != 1 else ''}"
            problems.append(
                error(cells[len(names)][0], "shape", wrong, "put a value that holds the separator in quotes")
            )
            continue
        row = Mapping(cells[0][0])
        for name, (at, content, quoted) in zip(names, cells, strict=False):
            if name and content.strip():
                told = content if separator == "," or name in wording else _with_points(content)
                row.entries[name] = (at, Scalar(at, told.strip(), quoted))
        if row.entries:
            rows.items.append(row)
    return rows, problems


def _separator(text: str) -> tuple[str, int]:
    """What parts the cells, and where the rows begin: behind a first line that names it."""
    named = _NAMED_SEPARATOR.match(text)
    if named is not None:
        return named.group(2), named.end()
    head = text.lstrip("\n").split("\n", 1)[0]
    return max(",;\t", key=head.count), 0


def _other_separator(head: list[Cell], separator: str) -> str:
    """What parts the names of columns in a head that reads as one cell; empty where nothing does."""
    names = head[0][1] if len(head) == 1 and not head[0][2] else ""
    return next((each for each in ",;\t" if each != separator and each in names), "")


def _name(separator: str) -> str:
    return "a tab" if separator == "\t" else f"'{separator}'"


def _with_points(text: str) -> str:
    """Numbers with a decimal comma, written with a point; three digits behind it may be meant as thousands."""
    return _DECIMAL_COMMA.sub(lambda match: match.group().replace(",", "."), text)


def _column(cell: Cell, known: Collection[str], problems: list[Problem]) -> str:
    """The name of a column; empty, after a problem, where no such column is known."""
    at, content, _ = cell
    name = " ".join(content.lower().replace("_", " ").split())
    if name in known or not name:
        return name
    close = get_close_matches(name, known, 1, 0.6)
    right = f"did you mean '{close[0]}'?" if close else "known columns are " + ", ".join(known)
    problems.append(error(at, "unknown-key", f"there is no column '{shorten(content)}'", right))
    return ""


def _lines(text: str, file: str, separator: str, problems: list[Problem], begin: int) -> Iterator[list[Cell]]:
    """Rows of cells; a quoted cell may hold separators, doubled quotes and line ends. `begin` is where the line
    begins."""
    at, line, end = begin, 1 + text.count("\n", 0, begin), len(text)
    row: list[Cell] = []
    while at <= end:
        place = Position(file, line, at - begin + 1)
        quoted = text[at : at + 1] == '"'
        if quoted:
            close = at + 1
            while True:
                close = text.find('"', close)
                if close < 0:
                    problems.append(error(place, "quotes", "a quote is not closed", 'add "'))
                    return
                if text[close + 1 : close + 2] != '"':
                    break
                close += 2
            content = text[at + 1 : close].replace('""', '"')
            line += text.count("\n", at, close)
            if "\n" in text[at:close]:
                begin = text.rindex("\n", at, close) + 1
            at = close + 1
        else:
            content = ""
        stop = at
        while stop < end and text[stop] not in (separator, "\n"):
            stop += 1
        if not quoted:
            content = text[at:stop]
        elif text[at:stop].strip():
            wrong = f"'{shorten(text[at:stop])}' stands behind the closing quote"
            problems.append(error(place, "quotes", wrong, 'put the whole cell in quotes, and "" for a quote within'))
        row.append((place, content, quoted))
        at = stop + 1
        if stop >= end or text[stop] == "\n":
            if any(cell[1].strip() for cell in row):
                yield row
            row = []
            line, begin = line + 1, at
