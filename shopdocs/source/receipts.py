"""Reads a receipt, YAML or a table (CSV): boards that were bought, what the seller counted and asked for them."""

from __future__ import annotations

import re
from collections.abc import Mapping as Names
from fractions import Fraction
from typing import Any

from shopdocs.core.display import Units
from shopdocs.core.length import INCH, Length
from shopdocs.core.problems import Position, Problem, error
from shopdocs.model.build import Build
from shopdocs.model.parts import Material
from shopdocs.model.stock import Receipt, ReceiptLine, Said, SoldBy, same_currency
from shopdocs.source.given import Given, text_of
from shopdocs.source.groups import Keys
from shopdocs.source.groups import key as _key
from shopdocs.source.keys import (
    LengthText,
    NumberText,
    PriceText,
    TextList,
    UnitsWord,
    WholeText,
    Words,
)
from shopdocs.source.nodes import Mapping, Node, Scalar, shorten
from shopdocs.source.root_node import read_root
from shopdocs.source.shape import shape
from shopdocs.source.table import table_rows
from shopdocs.source.values import Values, suggestion
from shopdocs.source.yard_rack import MOST_BOARDS, board_mark, read_defects

_QUARTERS = re.compile(r"(\d{1,2})/4")
_MONEY = re.compile(r"([^\d\s.,+-]{0,3})\s*(\d{1,9}(?:\.\d{1,4})?)\s*([^\d\s.,+-]{0,3})")
_COMMA = re.compile(r"[^\d-]{0,3}(\d{1,3})((?:[., ']\d{3})*)([.,])(\d{1,2})[^\d]{0,3}")
_DECIMAL = re.compile(r"\d{1,7}(?:\.(\d{1,6}))?")
_SIGNS = {SoldBy.BOARD_FOOT: ("bf",), SoldBy.CUBIC_METRE: ("m³", "m3"), SoldBy.SQUARE_METRE: ("m²", "m2")}
_COUNTED = {
    SoldBy.BOARD_FOOT: ("board feet", "write 5.42 or 8 4/12"),
    SoldBy.CUBIC_METRE: ("cubic metres", "write 0.0585"),
    SoldBy.SQUARE_METRE: ("square metres", "write 3.125"),
}
_BELOW_ONE = re.compile(r"0,(\d{1,6})")
_MIXED = re.compile(r"(?:(\d{1,7})[- ])?(\d{1,4})/(\d{1,4})")


class BoughtKeys(Keys):
    """Boards of one size on a receipt. A table (CSV) has these as its columns."""

    mark: Words | None = _key("what is chalked on the board; B1, B2 … by default", example="W1")
    material: Words = _key("name of the material in the build", needed=True, example="ash 5/4")
    thickness: LengthText | None = _key(
        "in quarters of an inch as sold, or as measured; the material's by default", example="5/4"
    )
    width: LengthText | None = _key("width as measured; dressed softwood and sheets have their own", example="6-1/2")
    length: LengthText | None = _key("length as measured; sheets have their own", example="8 ft 2 in")
    count: WholeText | None = _key("how many boards of this size; 1 by default", example="2")
    rate: PriceText | None = _key("price as asked; the material's by default", example="7.60 per bf")
    board_feet: NumberText | None = _key("the seller's board feet for the line", "board feet", example="5.42")
    cubic_metres: NumberText | None = _key("the seller's cubic metres for the line", "cubic metres", example="0.0585")
    square_metres: NumberText | None = _key("the seller's square metres for the line", "square metres", example="3.125")
    amount: NumberText | None = _key("what the seller asked for the line", example="41.19")
    defects: TextList | None = _key(
        "stretches to avoid, from the left end; in a table separated by semicolons",
        example="[0 to 3, 40 to 43 across 0 to 2-1/2]",
    )


class ReceiptKeys(Keys):
    """What was bought, and the seller's sums."""

    seller: Words | None = _key("who sold it", example="Quillmere Sawyers")
    date: Words | None = _key("date of the receipt", example="9 May 2031")
    units: UnitsWord | None = _key("what a number without a unit means; the build's by default", example="in")
    currency: Words | None = _key("sign or letters printed with prices; the shop's by default", example="$")
    board_feet: NumberText | None = _key("the seller's sum of board feet", "board feet", example="14")
    cubic_metres: NumberText | None = _key("the seller's sum of cubic metres", "cubic metres", example="0.214")
    square_metres: NumberText | None = _key("the seller's sum of square metres", "square metres", example="9.38")
    total: NumberText | None = _key("what was paid for the boards, without taxes", example="106.40")
    boards: list[BoughtKeys] = _key("the boards", needed=True)


class ReceiptSource(Keys):
    """A receipt file."""

    receipt: ReceiptKeys = _key("the receipt", needed=True)


def receipt_schema() -> dict[str, Any]:
    """A receipt file as JSON Schema (draft 2020-12)."""
    from shopdocs.source.json_schema import schema_of

    return schema_of(ReceiptSource, "shopdocs receipt")


COLUMNS = tuple(BoughtKeys.keys)
NEEDED = tuple(key.written for key in BoughtKeys.keys.values() if key.needed)


def read_receipt(given: Given, build: Build) -> tuple[Receipt | None, list[Problem]]:
    """The receipt in a file, as far as it can be read, and all problems met."""
    node, problems = _root(given)
    if node is None:
        return None, problems
    source, shape_problems, left_out = shape(node, ReceiptSource)
    problems += shape_problems
    if source is None:
        return None, problems
    keys = source.receipt
    units: Units = build.units
    if keys.units is not None:
        units = "mm" if keys.units.text.strip().lower() == "mm" else "in"
    values = Values(units, nameless=True)
    values.forgiven |= left_out
    values.word(keys.units, ("in", "mm"), "unit")
    lines = _lines(keys, {m.name: m for m in build.materials}, values)
    receipt = Receipt(
        lines=tuple(lines),
        seller=values.brief(keys.seller),
        date=values.brief(keys.date),
        currency=_currency(keys, values),
        said=_said(keys, values),
        total=_money(keys.total, values),
        file=given.name,
        at=keys.at,
        places=keys.places,
    )
    return receipt, problems + values.problems


def _root(given: Given) -> tuple[Node | None, list[Problem]]:
    path = given.name
    if not path.lower().endswith((".csv", ".tsv", ".txt")):
        return read_root(given)
    text, problems = text_of(given)
    if text is None:
        return None, problems
    at = Position(path, 1, 1)
    rows, problems = table_rows(text, path, COLUMNS, NEEDED, wording=("mark", "material"))
    if not rows.items and not problems:
        problems.append(error(at, "empty", "the table has no rows", f"its columns are {', '.join(COLUMNS)}"))
    if not rows.items:  # the reason is reported already; having no boards is not a second mistake
        return None, problems
    for row in rows.items:
        if isinstance(row, Mapping) and "defects" in row.entries:
            row.entries["defects"] = (row.entries["defects"][0], _parted(row.entries["defects"][1]))
    return Mapping(at, {"receipt": (at, Mapping(at, {"boards": (at, rows)}))}), problems


def _parted(node: Node) -> Node:
    """A cell with several stretches, parted by semicolons, as a list with places."""
    from shopdocs.source.nodes import Sequence

    if not isinstance(node, Scalar):
        return node
    items: list[Node] = []
    start = 0
    for part in node.text.split(";"):
        column = node.at.column + start + (len(part) - len(part.lstrip())) + (1 if node.quoted else 0)
        if part.strip():
            items.append(Scalar(Position(node.at.file, node.at.line, column), part.strip(), False))
        start += len(part) + 1
    return Sequence(node.at, items)


def _lines(keys: ReceiptKeys, materials: Names[str, Material], values: Values) -> list[ReceiptLine]:
    found: list[ReceiptLine] = []
    taken: dict[str, Position] = {}
    boards = 0
    if not keys.boards and not values.noted_within(keys.at):
        values.note(keys.place("boards"), "empty", "the receipt has no boards", "add at least one")
    for entry in keys.boards:
        line = _line(entry, materials, taken, values)
        if line is None:
            continue
        boards += line.count
        if boards > MOST_BOARDS:
            wrong = f"more than {MOST_BOARDS} boards up to here"
            values.note(entry.place("count"), "size", wrong, "check the counts, or split the receipt")
            break
        found.append(line)
    return found


def _line(
    keys: BoughtKeys, materials: Names[str, Material], taken: dict[str, Position], values: Values
) -> ReceiptLine | None:
    before = len(values.problems)
    name = _material(keys.material, materials, values)
    mark = board_mark(keys.mark, taken, values) if keys.mark is not None else ""
    thickness, quarters = _thickness(keys.thickness, values)
    width = values.length(keys.width, least=1)
    length = values.length(keys.length, least=1)
    line = ReceiptLine(
        mark=mark,
        material=name or "",
        count=values.whole(keys.count, 1, most=MOST_BOARDS) or 1,
        width=width,
        length=length,
        thickness=thickness,
        quarters=quarters,
        rate=values.price(keys.rate),
        said=_said(keys, values),
        amount=_money(keys.amount, values),
        defects=read_defects(keys.defects, length, width, values),
        at=keys.at,
        places=keys.places,
    )
    return line if name and len(values.problems) == before else None


def _material(node: Scalar, materials: Names[str, Material], values: Values) -> str | None:
    """The build's own name of a material; letter case and spaces are forgiven."""
    text = values.line(node)
    found = next((name for name in materials if name.casefold() == text.casefold()), None)
    if found is None and not values.is_forgiven(node.text):
        wrong = f"no material of the build is called '{shorten(text)}'"
        values.note(node.at, "unknown-name", wrong, suggestion(text, materials, "material"))
    return found


def _thickness(node: Scalar | None, values: Values) -> tuple[Length | None, int | None]:
    match = _QUARTERS.fullmatch(node.text.strip()) if node is not None else None
    if match and int(match.group(1)):
        quarters = int(match.group(1))
        return INCH * Fraction(quarters, 4), quarters
    return values.length(node, least=1), None


def _said(keys: BoughtKeys | ReceiptKeys, values: Values) -> dict[SoldBy, Said]:
    """The seller's figures by what they count."""
    nodes = {
        SoldBy.BOARD_FOOT: keys.board_feet,
        SoldBy.CUBIC_METRE: keys.cubic_metres,
        SoldBy.SQUARE_METRE: keys.square_metres,
    }
    return {by: said for by, node in nodes.items() if (said := _figure(node, by, values)) is not None}


def _figure(node: Scalar | None, by: SoldBy, values: Values) -> Said | None:
    if node is None or values.is_forgiven(node.text):
        return None
    text = node.text.strip().lower()
    text = next((text[: -len(sign)] for sign in _SIGNS[by] if text.endswith(sign)), text).strip()
    decimal, mixed = _DECIMAL.fullmatch(text), _MIXED.fullmatch(text)
    if decimal and Fraction(text):
        return Said(Fraction(text), Fraction(1, 10 ** len(decimal.group(1) or "")))
    halves = mixed and int(mixed.group(3)) and int(mixed.group(2)) and not (mixed.group(1) and _is_whole(mixed))
    if mixed and halves and by is SoldBy.BOARD_FOOT:
        parts = int(mixed.group(3))
        return Said(int(mixed.group(1) or 0) + Fraction(int(mixed.group(2)), parts), Fraction(1, parts))
    name, right = _COUNTED[by]
    wrong = f"'{shorten(node.text)}' is not a number of {name}"
    values.note(node.at, "number", wrong, _with_point(text) or right)
    return None


def _is_whole(mixed: re.Match[str]) -> bool:
    """Whether the fraction of a mixed number is one or more: then it is a slip."""
    return int(mixed.group(2)) >= int(mixed.group(3))


def _money(node: Scalar | None, values: Values) -> Fraction | None:
    if node is None or values.is_forgiven(node.text):
        return None
    match = _MONEY.fullmatch(node.text.strip())
    if match is None:
        right = _with_point(node.text) or "write 41.19, without commas"
        values.note(node.at, "money", f"'{shorten(node.text)}' is not an amount of money", right)
        return None
    return Fraction(match.group(2))


def _currency(keys: ReceiptKeys, values: Values) -> str:
    """The sign printed with prices: the receipt's own, else that of its first amount with one. Amounts with another are
    told: sums of two currencies are none."""
    told = values.brief(keys.currency, 8)
    for node in (*(line.amount for line in keys.boards), keys.total):
        match = _MONEY.fullmatch(node.text.strip()) if node is not None else None
        sign = (match.group(1) or match.group(3)) if match is not None else ""
        if node is None or not sign:
            continue
        told = told or sign
        if not same_currency(sign, told):
            wrong = f"'{shorten(node.text)}' is in {sign}, others on this receipt are in {told}"
            values.note(node.at, "money", wrong, "write every amount in one currency")
    return told


def _with_point(text: str) -> str:
    """How a number with a decimal comma, or with signs between its thousands, is written here; empty where it may be
    meant in two ways."""
    below_one, match = _BELOW_ONE.fullmatch(text.strip()), _COMMA.fullmatch(text.strip())
    if below_one is not None:
        return f"write 0.{below_one.group(1)}"
    if match is None:
        return ""
    whole, thousands, point, part = match.groups()
    digits = "".join(sign for sign in thousands if sign.isdigit())
    signs = set(thousands) - set(digits)
    return f"write {whole}{digits}.{part}" if len(signs) < 2 and point not in signs else ""
