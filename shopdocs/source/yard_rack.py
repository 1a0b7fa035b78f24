"""Decodes boards: what the yard sells, what is on the rack, and the stretches to avoid."""

from __future__ import annotations

import re
from collections.abc import Iterable

from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position
from shopdocs.model.stock import Defect, RackBoard, YardBoard
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.parts import MARK
from shopdocs.source.shop_schema import RackKeys, YardKeys
from shopdocs.source.values import Values

MOST_BOARDS = 2000
_ACROSS = re.compile(r"\s+across\s+")
_TO = re.compile(r"\s+to\s+")


def read_yard(entries: Iterable[YardKeys] | None, values: Values) -> tuple[YardBoard, ...]:
    """The boards that can be bought; faulty rows are noted and left out."""
    found = []
    for keys in entries or ():
        width = values.length(keys.width, least=1)
        length = values.length(keys.length, least=1)
        price = values.price(keys.price)
        count = values.whole(keys.count, least=0, most=MOST_BOARDS)
        material = values.line(keys.material)
        faulty = any(
            node is not None and value is None
            for node, value in ((keys.width, width), (keys.length, length), (keys.price, price), (keys.count, count))
        )
        if not faulty and material and not values.is_forgiven(keys.material.text):
            found.append(YardBoard(material, width, length, price, count, keys.at, keys.places))
    return tuple(found)


def read_rack(entries: Iterable[RackKeys] | None, values: Values) -> tuple[RackBoard, ...]:
    """The boards that are there already, with their defects; faulty rows are noted and left out."""
    found: list[RackBoard] = []
    taken: dict[str, Position] = {}
    for keys in entries or ():
        mark = board_mark(keys.mark, taken, values)
        width = values.length(keys.width, least=1)
        length = values.length(keys.length, least=1)
        thickness = values.length(keys.thickness, least=1)
        defects = read_defects(keys.defects, length, width, values)
        material = values.line(keys.material)
        faulty = any(
            node is not None and value is None for node, value in ((keys.width, width), (keys.thickness, thickness))
        )
        if mark and length is not None and not faulty and not values.is_forgiven(keys.material.text):
            found.append(RackBoard(mark, material, width, length, thickness, defects, keys.at, keys.places))
    return tuple(found)


def board_mark(node: Scalar, taken: dict[str, Position], values: Values) -> str:
    """A mark of its own for a board; empty after a problem."""
    mark = values.line(node)
    if values.is_forgiven(node.text):
        return ""
    if not MARK.fullmatch(mark):
        right = "one to eight letters, digits and inner hyphens, such as R1"
        values.note(node.at, "mark", f"'{shorten(mark)}' cannot be a mark", right)
        return ""
    earlier = taken.get(mark.casefold())
    if earlier is not None:
        wrong = f"the mark '{mark}' is taken in line {earlier.line}"
        values.note(node.at, "duplicate-mark", wrong, "give every board a mark of its own")
        return ""
    taken[mark.casefold()] = node.at
    return mark


def read_defects(
    nodes: Iterable[Scalar] | None, length: Length | None, width: Length | None, values: Values
) -> tuple[Defect, ...]:
    """Stretches such as '20 to 24' or '40 to 43 across 0 to 2-1/2', each within its board."""
    return tuple(d for node in nodes or () if (d := _defect(node, length, width, values)) is not None)


def _defect(node: Scalar, length: Length | None, width: Length | None, values: Values) -> Defect | None:
    along, *across = _ACROSS.split(node.text.strip())
    spans = [_span(node, along, length, "length", values)]
    spans += [_span(node, text, width, "width", values) for text in across[:1]]
    if len(across) > 1:
        values.note(node.at, "defect", f"'{shorten(node.text)}' crosses twice", "write 40 to 43 across 0 to 2-1/2")
        return None
    if any(span is None for span in spans):
        return None
    (start, end), *rest = (span for span in spans if span is not None)
    return Defect(start, end, *(rest[0] if rest else (None, None)))


def _span(node: Scalar, text: str, most: Length | None, what: str, values: Values) -> tuple[Length, Length] | None:
    """Both ends of 'A to B'; what reaches past the board ends with it."""
    ends = _TO.split(text.strip())
    if len(ends) != 2:
        right = "write 20 to 24, or 40 to 43 across 0 to 2-1/2"
        values.note(node.at, "defect", f"'{shorten(node.text)}' is not a stretch of a board", right)
        return None
    offset = 1 if node.quoted else 0
    read: list[Length] = []
    for end in ends:
        column = node.at.column + max(node.text.find(end), 0) + offset
        value = values.length(Scalar(Position(node.at.file, node.at.line, column), end, False), least=0)
        if value is None:
            return None
        read.append(value)
    low, high = read
    if low >= high:
        values.note(
            node.at, "defect", f"'{shorten(text)}' ends where it begins or before", "write the nearer end first"
        )
        return None
    if most is not None and low >= most:
        values.note(node.at, "defect", f"'{shorten(text)}' lies beyond the board's {what}", "measure from its left end")
        return None
    return max(low, ZERO), min(high, most) if most is not None else high
