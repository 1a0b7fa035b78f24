"""Words for boards that several sheets share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.blocks.text import Run, Text
from shopdocs.core.display import Display, added, decimal, trimmed
from shopdocs.core.length import Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.documents.figures import count_figure, decimal_figure, length_text, size_text
from shopdocs.model.build import Shop
from shopdocs.model.parts import Material, MaterialKind, Price, PriceUnit
from shopdocs.work.boards.reasons import LeftOut
from shopdocs.work.boards.results import MaterialPlan, SawnBoard
from shopdocs.work.boards.supply import Board, counts_in_feet, sold_thickness
from shopdocs.work.cut_list import dressed_size
from shopdocs.work.lumber_needs import random_need

VOLUME_PLACES, FEET_PLACES = 4, 2  # of a cubic metre, of a board foot
UNIT_SIGNS = {PriceUnit.CUBIC_METRE: "m³", PriceUnit.SQUARE_METRE: "m²"}


def describe_stock(display: Display, material: Material) -> str:
    """What to ask for at the yard; how large the boards or sheets are stands beside it."""
    species = material.species or material.name
    if material.kind is MaterialKind.SHEET and material.thickness:
        return f"{species}, {display.length(material.thickness)} thick"
    if material.kind is MaterialKind.SOFTWOOD and material.nominal:
        size = dressed_size(material)
        real = f", dressed {display.size(size.thickness, size.width)}" if size else ""
        nominal = " × ".join(trimmed(measure, 3) for measure in material.nominal)
        return f"{species}, nominal {nominal}{real}"
    rough = f"{material.quarters}/4" if material.quarters else display.length(material.rough) if material.rough else ""
    told = "" if species.endswith(rough) else f"{rough} "  # a name such as 'oak 4/4' says it already
    return f"{species}, {told}rough sawn"


def stock_title(display: Display, material: Material) -> str:
    """'ash 8/4: white ash, 8/4 rough sawn': the name in the build, and what to ask for at the yard."""
    asked = describe_stock(display, material)
    return asked if asked.startswith(material.name) else f"{material.name}: {asked}"


def board_size(display: Display, name: str, board: Board, unit: bool = False) -> Text:
    """Thickness × width × length of a board as it is sold, as figures."""
    names = ("thickness", "width", "length")[-len(measures_of_board(board)) :]
    measured = zip(names, measures_of_board(board), strict=True)
    return size_text(name, display, *((what, value, board.at) for what, value in measured), unit=unit)


def measures_of_board(board: Board) -> tuple[Length, ...]:
    """Thickness, width and length of a board as it is sold; without the thickness where the build names none."""
    thick = sold_thickness(board.material, board.thickness)
    return (*(() if thick is None else (thick,)), board.width, board.length)


def price_words(rate: Price) -> str:
    """'9.20 per bf', '1450.00 per m³'."""
    amount = decimal(rate.amount, 2) if (rate.amount * 100).denominator == 1 else trimmed(rate.amount, 4)
    return f"{amount} per {UNIT_SIGNS.get(rate.per, rate.per.value)}"


def equal_boards(boards: Sequence[SawnBoard]) -> list[list[SawnBoard]]:
    """Boards drawn together where they are bought alike, in their order."""
    alike: dict[Board, list[SawnBoard]] = {}
    for board in boards:
        alike.setdefault(board.board, []).append(board)
    return list(alike.values())


@dataclass(frozen=True, slots=True)
class Measures:
    """The measures by which solid wood is bought. Each material has one, board feet or cubic metres: names of those in
    `feet` and in `metres`."""

    feet: frozenset[str]
    metres: frozenset[str]

    @staticmethod
    def of(display: Display, shop: Shop, plans: Sequence[MaterialPlan]) -> Measures:
        """The measure of each solid wood in these plans; sheets have none."""
        solid = [plan.material for plan in plans if plan.material.kind is not MaterialKind.SHEET]
        feet = {material.name for material in solid if counts_in_feet(display.units, shop, material)}
        return Measures(frozenset(feet), frozenset(material.name for material in solid) - feet)

    @property
    def mixed(self) -> bool:
        """Whether some wood is bought by the board foot and some by the cubic metre."""
        return bool(self.feet and self.metres)


def bought_text(measures: Measures, rule: str, name: str, plans: Sequence[MaterialPlan]) -> Text:
    """'3 boards, 15.00 bf', '3 boards, 0.0354 m³' or '2 sheets': what is bought of some materials, board feet by the
    shop's rule."""
    solid = [plan for plan in plans if plan.material.kind is not MaterialKind.SHEET and plan.bought]
    boards = sum(len(plan.bought) for plan in solid)
    sheets = sum(len(plan.bought) for plan in plans) - boards
    runs: list[Run] = []
    if boards:
        runs += [count_figure(f"{name} · boards", boards), f" board{'s' if boards != 1 else ''}, "]
        feet = [plan for plan in solid if plan.material.name in measures.feet]
        metres = [plan for plan in solid if plan.material.name in measures.metres]
        if feet:
            runs += feet_text(f"{name} · to buy", added((plan.measured.by(rule) for plan in feet), FEET_PLACES))
        if metres:
            volume = added(map(bought_volume, metres), VOLUME_PLACES)
            runs += [", " if feet else "", *metres_text(f"{name} · volume to buy", volume)]
    if sheets:
        runs += [" and " if runs else "", count_figure(f"{name} · sheets", sheets)]
        runs.append(f" sheet{'s' if sheets != 1 else ''}")
    return tuple(runs) or ("nothing to buy",)


def bought_volume(plan: MaterialPlan) -> Fraction:
    """Cubic metres of the boards to buy, as sawn: the volumes that are printed of each, added up."""
    return added((board.board.cubic_metres for board in plan.bought), VOLUME_PLACES)


def random_sizes_text(measures: Measures, plan: MaterialPlan, shop: Shop) -> Text:
    """'15.0 bf' or '0.0354 m³': what to buy where the yard sells random sizes, waste included."""
    amount, name, at = random_need(plan, shop), f"{plan.material.name} · with waste", plan.material.at
    if plan.material.name in measures.metres:
        return metres_text(name, amount.cubic_metres, at)
    return feet_text(name, amount.board_feet, 1, at)


def sold_in_random_sizes(plan: MaterialPlan) -> bool:
    """Whether boards of a usual size stand for what a yard may sell in any: something must be bought at all."""
    return plan.assumed and plan.material.kind is MaterialKind.HARDWOOD and bool(plan.bought or plan.left_out)


def feet_text(name: str, feet: Fraction, places: int = FEET_PLACES, at: Position = NOWHERE) -> Text:
    """Board feet with their unit, to so many places."""
    return (decimal_figure(name, feet, places, "bf", at), " bf")


def metres_text(name: str, metres: Fraction, at: Position = NOWHERE) -> Text:
    """Cubic metres with their unit, to four places."""
    return (decimal_figure(name, metres, VOLUME_PLACES, "m³", at), " m³")


def reason_text(display: Display, left: LeftOut) -> Text:
    """Why pieces are on no board, its lengths as figures."""
    return lengths_text(f"{left.row.part.name} · on no board", left.reason, left.lengths, display, left.row.part.at)


def lengths_text(name: str, words: str, lengths: Sequence[Length], display: Display, at: Position) -> Text:
    """Words in which {} stands for each of the lengths."""
    first, *rest = words.split("{}")
    runs: list[Run] = [first]
    for length, more in zip(lengths, rest, strict=True):
        runs += [*length_text(name, length, display, at), more]
    return tuple(runs)
