"""The boards that may be taken for a material, what they measure by both rules, and what they cost.

Where the shop file names no board of a material the usual ones are assumed, and marked so: hardwood 6 in × 8 ft (or
150 mm × 2.5 m), wider and longer only where a piece asks for it; dressed softwood at its own width in 8, 10 and 12 ft;
sheet goods by the material's sheet. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.core.display import Units, to_places
from shopdocs.core.length import INCH, Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.facts.lumber_tables import (
    FOOT,
    Tally,
    board_feet,
    counted_thickness,
    exact_surface_measure,
    surface_measure,
    tally_board_feet,
)
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import FlatSize, Material, MaterialKind, Price, PriceUnit
from shopdocs.model.stock import Defect, RackBoard, YardBoard
from shopdocs.work.cut_list import CutRow, dressed_size, stock_thickness

ASSUMED_WIDTHS = {
    "in": tuple(INCH * count for count in (6, 8, 10, 12)),
    "mm": tuple(Length(count) for count in (150, 200, 250, 300)),
}
ASSUMED_LENGTHS = {
    "in": tuple(FOOT * count for count in (8, 10, 12, 14, 16)),
    "mm": tuple(Length(count) for count in (2500, 3000, 3500, 4000, 5000)),
}
SOFTWOOD_LENGTHS = {
    "in": tuple(FOOT * count for count in (8, 10, 12)),
    "mm": tuple(Length(count) for count in (2400, 3000, 3600)),
}
EXACT, SURFACE = "exact", "surface measure"


@dataclass(frozen=True, slots=True)
class Board:
    """One kind of board: `feet` by exact measure (0 for sheets), `surface` its whole square feet (None where the rule
    does not apply), `price` of one to the cent, None without a rate that fits. `thickness` is None where it is the
    material's. `on_hand` boards cost nothing; `mark` names a single board, `count` is how many there are."""

    material: Material
    width: Length
    length: Length
    thickness: Length | None = None
    feet: Fraction = Fraction(0)
    surface: int | None = None
    price: Fraction | None = None
    count: int | None = None
    mark: str = ""
    defects: tuple[Defect, ...] = ()
    on_hand: bool = False
    assumed: bool = False
    at: Position = NOWHERE

    @property
    def square_metres(self) -> Fraction:
        """Area of one face, exact."""
        return self.width.mm * self.length.mm / 1_000_000

    @property
    def cubic_metres(self) -> Fraction:
        """Volume, exact."""
        return cubic_metres_of(self.material, self.width, self.length, self.thickness)


@dataclass(frozen=True, slots=True)
class Measured:
    """Board feet of several boards by both rules; `tally` is None where surface measure does not apply."""

    exact: Fraction
    tally: Tally | None

    def by(self, rule: str) -> Fraction:
        """Board feet by a rule: whole ones by surface measure, else the exact volume."""
        return Fraction(self.tally.board_feet) if rule == SURFACE and self.tally is not None else self.exact


def same_name(one: str, other: str) -> bool:
    """Names of materials in two files: letter case and spaces are forgiven."""
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()


def measured_thickness(material: Material, thickness: Length | None = None) -> Length | None:
    """The thickness that board measure goes by: sawn for hardwood, nominal for softwood; None for sheets."""
    if material.kind is MaterialKind.SHEET:
        return None
    if material.kind is MaterialKind.SOFTWOOD and material.nominal:
        return Length.inches(material.nominal.thickness)
    return thickness or material.rough


def feet_of(material: Material, width: Length, length: Length, thickness: Length | None = None) -> Fraction:
    """Board feet of one board, exact; softwood by its nominal size."""
    counted = measured_thickness(material, thickness)
    if counted is None:
        return Fraction(0)
    if material.kind is MaterialKind.SOFTWOOD and material.nominal:
        width = Length.inches(material.nominal.width)
    return board_feet(counted, width, length)


def cubic_metres_of(material: Material, width: Length, length: Length, thickness: Length | None = None) -> Fraction:
    """Volume of one board as it is sold, in cubic metres: hardwood by its sawn thickness even where it is planed."""
    return width.mm * length.mm * (sold_thickness(material, thickness) or INCH).mm / 10**9


def sold_thickness(material: Material, thickness: Length | None) -> Length | None:
    """The thickness that volume is sold by."""
    return thickness or material.rough if material.kind is MaterialKind.HARDWOOD else stock_thickness(material)


def counts_in_feet(units: Units, shop: Shop, material: Material) -> bool:
    """Whether lumber of a material is counted in board feet, else in cubic metres: as it is paid; without such a price
    as it is sold, quarters and nominal sizes by the board foot; metric lumber in a metric build only where the shop
    file names a rule for board feet."""
    if material.price is not None and material.price.per in (PriceUnit.BOARD_FOOT, PriceUnit.CUBIC_METRE):
        return material.price.per is PriceUnit.BOARD_FOOT
    sold = units == "in" or material.quarters is not None or material.nominal is not None
    return sold or "board-foot rule" not in shop.defaults


def price_of_board(
    material: Material, rate: Price | None, width: Length, length: Length, rule: str, thickness: Length | None = None
) -> Fraction | None:
    """What one board comes to, exact; `to_cent` of it is asked for. None without a rate, or by a measure that does not
    fit."""
    if rate is None:
        return None
    feet = feet_of(material, width, length, thickness)
    if rule == SURFACE and material.kind is MaterialKind.HARDWOOD:
        counted = measured_thickness(material, thickness)
        feet = surface_measure(width, length) * counted_thickness(counted).inch if counted else feet
    area = width.mm * length.mm / 1_000_000
    deep = sold_thickness(material, thickness)
    measures: dict[PriceUnit, Fraction | None] = {
        PriceUnit.BOARD_FOOT: feet or None,
        PriceUnit.CUBIC_METRE: area * deep.mm / 1000 if deep else None,
        PriceUnit.SQUARE_METRE: area,
        PriceUnit.FOOT: length / FOOT,
        PriceUnit.METRE: length.mm / 1000,
        PriceUnit.SHEET: Fraction(1) if material.kind is MaterialKind.SHEET else None,
        PriceUnit.PIECE: Fraction(1),
    }
    measure = measures[rate.per]
    return measure * rate.amount if measure is not None else None


def to_cent(amount: Fraction) -> Fraction:
    """Money as it is written on a bill, board by board: what is added up is what is printed."""
    return to_places(amount, 2)


def own_size(material: Material, width: Length | None, length: Length | None) -> tuple[Length | None, Length | None]:
    """Width and length of a board, those not written taken from the material (dressed softwood, a sheet)."""
    board = dressed_size(material)
    if width is None and board is not None:
        width = board.width
    if material.kind is MaterialKind.SHEET and material.sheet:
        width, length = width or material.sheet.width, length or material.sheet.length
    return width, length


def make_board(
    material: Material,
    width: Length,
    length: Length,
    shop: Shop,
    rate: Price | None = None,
    thickness: Length | None = None,
    defects: tuple[Defect, ...] = (),
    count: int | None = None,
    mark: str = "",
    on_hand: bool = False,
    assumed: bool = False,
    at: Position = NOWHERE,
) -> Board:
    """A board with its measures; what is on hand costs nothing."""
    by_surface = material.kind is MaterialKind.HARDWOOD and exact_surface_measure(width, length) > 0
    price = price_of_board(material, rate or material.price, width, length, shop.tally)
    return Board(
        material=material,
        width=width,
        length=length,
        thickness=thickness,
        feet=feet_of(material, width, length),
        surface=surface_measure(width, length) if by_surface else None,
        price=Fraction(0) if on_hand else to_cent(price) if price is not None else None,
        count=count,
        mark=mark,
        defects=defects,
        on_hand=on_hand,
        assumed=assumed,
        at=at,
    )


def rack_boards(material: Material, shop: Shop) -> tuple[Board, ...]:
    """The boards on the rack that are of this material."""
    mine = [board for board in shop.rack if same_name(board.material, material.name)]
    return tuple(made for board in mine if (made := _rack(material, board, shop)) is not None)


def _rack(material: Material, board: RackBoard, shop: Shop) -> Board | None:
    width, length = own_size(material, board.width, board.length)
    if width is None or length is None:
        return None
    return make_board(
        material, width, length, shop, None, board.thickness, board.defects, 1, board.mark, on_hand=True, at=board.at
    )


def yard_boards(material: Material, build: Build, shop: Shop, rows: Iterable[CutRow]) -> tuple[Board, ...]:
    """What the yard sells of a material by the shop file, else what is assumed."""
    mine = [line for line in shop.yard if same_name(line.material, material.name)]
    listed = tuple(made for line in mine if (made := _yard(material, line, shop)) is not None)
    return listed or assumed_boards(material, build, shop, rows)


def _yard(material: Material, line: YardBoard, shop: Shop) -> Board | None:
    width, length = own_size(material, line.width, line.length)
    if width is None or length is None:
        return None
    return make_board(material, width, length, shop, line.price, count=line.count, at=line.at)


def assumed_boards(material: Material, build: Build, shop: Shop, rows: Iterable[CutRow]) -> tuple[Board, ...]:
    """The boards that are assumed where the shop file says nothing."""
    units, rough = build.units, [row.rough for row in rows]
    if material.kind is MaterialKind.SHEET:
        sizes = [material.sheet] if material.sheet else []
    elif material.kind is MaterialKind.SOFTWOOD:
        board = dressed_size(material)
        sizes = [FlatSize(board.width, length) for length in SOFTWOOD_LENGTHS[units]] if board else []
    else:
        width = _first(ASSUMED_WIDTHS[units], max(size.width for size in rough))
        length = _first(ASSUMED_LENGTHS[units], max(size.length for size in rough) + shop.end_trim * 2)
        sizes = [FlatSize(width, length)]
    return tuple(make_board(material, *size, shop, assumed=True, at=material.at) for size in sizes)


def _first(sizes: Sequence[Length], least: Length) -> Length:
    """The smallest that is enough, else the largest there is."""
    return next((size for size in sizes if size >= least), max(sizes))


def measured(material: Material, boards: Sequence[Board]) -> Measured:
    """Both rules over boards of one material."""
    exact = sum((board.feet for board in boards), Fraction(0))
    thickness = measured_thickness(material)
    if material.kind is not MaterialKind.HARDWOOD or thickness is None:
        return Measured(exact, None)
    return Measured(exact, tally_board_feet(thickness, [(board.width, board.length) for board in boards]))
