"""How much lumber, by the yard's measures.

Board feet go by sawn (hardwood) or nominal (softwood) thickness and count anything under an inch as an inch. Three
amounts a material: *net* (the pieces with their joinery), *rough* (with milling allowances, what is sawn out of
boards), *to buy* (with waste). Metric volume and square measure stand beside them.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil

from msgspec import Struct

from shopdocs.core.length import INCH, Length
from shopdocs.facts.lumber_tables import board_feet
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material, MaterialKind, PriceUnit
from shopdocs.work.boards.results import MaterialPlan
from shopdocs.work.cut_list import CutGroup, CutRow, Size, dressed_size

FOOT_MM = INCH.mm * 12


class Amount(Struct, frozen=True):
    """A quantity in the measures that apply: board feet, cubic metres, square metres of sheet, running metres."""

    board_feet: Fraction = Fraction(0)
    cubic_metres: Fraction = Fraction(0)
    square_metres: Fraction = Fraction(0)
    metres: Fraction = Fraction(0)

    def __add__(self, other: Amount) -> Amount:
        return Amount(
            self.board_feet + other.board_feet,
            self.cubic_metres + other.cubic_metres,
            self.square_metres + other.square_metres,
            self.metres + other.metres,
        )

    def times(self, factor: Fraction | int) -> Amount:
        """Every measure times `factor`."""
        return Amount(
            self.board_feet * factor, self.cubic_metres * factor, self.square_metres * factor, self.metres * factor
        )


class MaterialNeed(Struct, frozen=True):
    """What one material comes to. `sheets` is the least number of sheets by area (sheet goods only); `price` is for
    the amount to buy, None without a price in the build."""

    material: Material
    sawn: int
    net: Amount
    rough: Amount
    buy: Amount
    sheets: int | None
    price: Fraction | None


def counted(material: Material, size: Size) -> Amount:
    """What one piece of this size uses of a material, by the material's own measure.

    Hardwood: sawn thickness times width times length. Softwood: the nominal board's length, shared by the pieces that
    fit side by side in its width. Sheets: area.
    """
    if material.kind is MaterialKind.SHEET:
        area = size.width.mm * size.length.mm / 1_000_000
        volume = area * (material.thickness or size.thickness).mm / 1000
        return Amount(cubic_metres=volume, square_metres=area)
    if material.kind is MaterialKind.SOFTWOOD and material.nominal:
        return _softwood(material, size)
    thickness = material.rough or size.thickness
    feet = board_feet(thickness, size.width, size.length)
    return Amount(feet, thickness.mm * size.width.mm * size.length.mm / 10**9, metres=size.length.mm / 1000)


def _softwood(material: Material, size: Size) -> Amount:
    assert material.nominal is not None
    nominal_thickness, nominal_width = (Length.inches(measure) for measure in material.nominal)
    board = dressed_size(material)
    abreast = max(1, int(board.width / size.width)) if board else 1
    share = size.length / abreast
    feet = board_feet(nominal_thickness, nominal_width, share)
    real = (board.thickness.mm * board.width.mm) if board else nominal_thickness.mm * nominal_width.mm
    return Amount(feet, real * share.mm / 10**9, metres=share.mm / 1000)


def needs(build: Build, shop: Shop, groups: Iterable[CutGroup]) -> tuple[MaterialNeed, ...]:
    """Every used material's need, in the order of the build."""
    rows: dict[str, list[CutRow]] = {}
    for group in groups:
        rows.setdefault(group.material.name, []).extend(group.rows)
    return tuple(_need(build.material(name), rows[name], shop) for name in rows)


def _need(material: Material, rows: list[CutRow], shop: Shop) -> MaterialNeed:
    net, rough = Amount(), Amount()
    for row in rows:
        net += counted(material, row.joinery).times(len(row.pieces))
        rough += counted(material, row.rough).times(row.sawn)
    buy = rough.times(1 + shop.allowances.waste)
    sheets = None
    if material.kind is MaterialKind.SHEET and material.sheet:
        area = material.sheet.width.mm * material.sheet.length.mm / 1_000_000
        sheets = ceil(buy.square_metres / area)
    sawn = sum(row.sawn for row in rows)
    return MaterialNeed(material, sawn, net, rough, buy, sheets, price_of(material, buy, sheets))


def random_need(plan: MaterialPlan, shop: Shop) -> Amount:
    """What to buy where a yard sells random sizes: the rough pieces that no board of the rack gives, and the waste."""
    sawn = [piece.row for board in plan.bought for piece in board.pieces]
    rough = sum((counted(plan.material, row.rough) for row in sawn), Amount())
    for left in plan.left_out:
        rough += counted(plan.material, left.row.rough).times(left.count)
    return rough.times(1 + shop.allowances.waste)


def price_of(material: Material, amount: Amount, sheets: int | None) -> Fraction | None:
    """The price of an amount by the material's price unit; None where the unit does not fit the material."""
    if material.price is None:
        return None
    measures: dict[PriceUnit, Fraction | None] = {
        PriceUnit.BOARD_FOOT: amount.board_feet or None,
        PriceUnit.CUBIC_METRE: amount.cubic_metres,
        PriceUnit.SQUARE_METRE: amount.square_metres or None,
        PriceUnit.FOOT: amount.metres * 1000 / FOOT_MM or None,
        PriceUnit.METRE: amount.metres or None,
        PriceUnit.SHEET: Fraction(sheets) if sheets is not None else None,
        PriceUnit.PIECE: None,
    }
    measure = measures[material.price.per]
    return measure * material.price.amount if measure is not None else None
