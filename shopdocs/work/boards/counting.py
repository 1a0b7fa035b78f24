"""What a line of a receipt comes to by each way of counting, in every measure that boards are sold by.

Board feet have the rules of the trade (`facts.lumber`). Cubic and square metres are counted from measured sizes, from
nominal ones, from sizes rounded to whole centimetres of width and decimetres of length, or board by board rounded
(common practice, no source: customs differ from yard to yard).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil, floor

from shopdocs.core.display import Units, round_half_up
from shopdocs.core.length import Length
from shopdocs.model.build import Shop
from shopdocs.model.parts import Material, MaterialKind, Price, PriceUnit
from shopdocs.model.stock import Receipt, ReceiptLine, SoldBy
from shopdocs.work.boards.supply import EXACT, SURFACE, counts_in_feet, own_size, sold_thickness

RAISED = "surface measure, every half raised"
WHOLE = "each board rounded up to a whole board foot"
NOMINAL = "nominal size"
DOWN, UP = "sizes rounded down", "sizes rounded up"
NOMINAL_DOWN, NOMINAL_UP = "nominal size, rounded down", "nominal size, rounded up"
EACH = "each board rounded"
SELLER = "the seller's own measure"
RULES = (EXACT, SURFACE, RAISED, WHOLE, NOMINAL, DOWN, UP, NOMINAL_DOWN, NOMINAL_UP, EACH)
CUSTOMS = RULES[4:]  # of sellers by the cubic or square metre
INSTEAD = {RAISED: (SURFACE,), NOMINAL_DOWN: (DOWN, NOMINAL), NOMINAL_UP: (UP, NOMINAL)}

RATES = {
    PriceUnit.BOARD_FOOT: SoldBy.BOARD_FOOT,
    PriceUnit.CUBIC_METRE: SoldBy.CUBIC_METRE,
    PriceUnit.SQUARE_METRE: SoldBy.SQUARE_METRE,
}
WIDTH_STEP, LENGTH_STEP = Length(10), Length(100)
BOARD_STEP = {SoldBy.CUBIC_METRE: Fraction(1, 1000), SoldBy.SQUARE_METRE: Fraction(1, 100)}

Sizes = tuple[Length, Length, Length]  # thickness, width, length


def stands_for(rule: str, figures: Mapping[str, Fraction]) -> str:
    """The rule that a line which `rule` does not touch counts by: without halves to raise by surface measure, what is
    not bought by nominal sizes without them, softwood and what is not sold by measure exactly."""
    return next((each for each in (rule, *INSTEAD.get(rule, ())) if each in figures), EXACT)


def sold_by(line: ReceiptLine, material: Material, receipt: Receipt, by_foot: bool) -> tuple[SoldBy, ...]:
    """The measures in which a line is held against the seller: those it names itself, else the one it is sold by; and
    that of the seller's only sum of board feet or cubic metres where it is solid wood."""
    solid = material.kind is not MaterialKind.SHEET
    sums = [each for each in (SoldBy.BOARD_FOOT, SoldBy.CUBIC_METRE) if each in receipt.said]
    found = {each for each in line.said if solid or each is not SoldBy.BOARD_FOOT}
    usual = SoldBy.BOARD_FOOT if by_foot else SoldBy.CUBIC_METRE
    if solid and len(sums) == 1:
        found |= set(sums)
    elif solid and not found:
        found = {usual}
    rate = line.rate or material.price
    area = rate is not None and rate.per is PriceUnit.SQUARE_METRE
    if area or (SoldBy.SQUARE_METRE in receipt.said and not (solid and found)):
        found |= {SoldBy.SQUARE_METRE}
    return tuple(each for each in SoldBy if each in found)


def sold_in_feet(line: ReceiptLine, material: Material, units: Units, shop: Shop) -> bool:
    """Whether solid wood without a figure of the seller's is counted in board feet: as the line is paid, else as its
    material is sold."""
    if line.rate is not None and line.rate.per in (PriceUnit.BOARD_FOOT, PriceUnit.CUBIC_METRE):
        return line.rate.per is PriceUnit.BOARD_FOOT
    return counts_in_feet(units, shop, material)


def metric_amounts(
    line: ReceiptLine, material: Material, width: Length, length: Length, by: SoldBy
) -> dict[str, Fraction]:
    """Cubic or square metres of a whole line by every rule that says something else than the exact one; nothing where
    the thickness is not known that a volume takes."""
    thickness = sold_thickness(material, line.thickness)
    if thickness is None and by is SoldBy.CUBIC_METRE:
        return {}
    bought = (thickness or Length(1), width, length)
    nominal = _nominal(material, line, bought)
    solid = material.kind is not MaterialKind.SHEET
    sizes = {EXACT: bought, NOMINAL: nominal}
    if solid:
        sizes |= {DOWN: _down(bought), UP: _up(bought), NOMINAL_DOWN: _down(nominal), NOMINAL_UP: _up(nominal)}
    amounts = {rule: _amount(each, by) * line.count for rule, each in sizes.items()}
    step = BOARD_STEP[by]
    amounts[EACH] = round_half_up(_amount(bought, by) / step) * step * line.count
    found: dict[str, Fraction] = {}
    for rule, amount in amounts.items():
        if amount and amount not in found.values():
            found[rule] = amount
    return found


def _amount(sizes: Sizes, by: SoldBy) -> Fraction:
    thickness, width, length = (size.mm / 1000 for size in sizes)
    return thickness * width * length if by is SoldBy.CUBIC_METRE else width * length


def _nominal(material: Material, line: ReceiptLine, bought: Sizes) -> Sizes:
    """The sizes that the material goes by in the trade, where they are others than those measured."""
    thickness, width, length = bought
    if material.kind is MaterialKind.SOFTWOOD and material.nominal:
        return Length.inches(material.nominal.thickness), Length.inches(material.nominal.width), length
    if material.kind is MaterialKind.SHEET:
        sheet_width, sheet_length = own_size(material, None, None)
        return material.thickness or thickness, sheet_width or width, sheet_length or length
    measured = line.thickness is not None and line.quarters is None
    return (material.rough if measured and material.rough else thickness), width, length


def _down(sizes: Sizes) -> Sizes:
    thickness, width, length = sizes
    return thickness, WIDTH_STEP * floor(width / WIDTH_STEP), LENGTH_STEP * floor(length / LENGTH_STEP)


def _up(sizes: Sizes) -> Sizes:
    thickness, width, length = sizes
    return thickness, WIDTH_STEP * ceil(width / WIDTH_STEP), LENGTH_STEP * ceil(length / LENGTH_STEP)


def rate_measure(rate: Price | None) -> SoldBy | None:
    """The measure that a price goes by; None for one by the piece, the sheet or the running foot."""
    return RATES.get(rate.per) if rate is not None else None
