"""A receipt measured by the rules of the trade, and held against what the seller counted and asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import count, islice
from math import ceil

from shopdocs.core.display import round_half_up
from shopdocs.core.length import Length
from shopdocs.facts.lumber import Halves, Tally, counted_thickness, tally_board_feet
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material, MaterialKind, Price, PriceUnit
from shopdocs.model.stock import Receipt, ReceiptLine
from shopdocs.work.boards.plan import Names
from shopdocs.work.boards.stock import (
    EXACT,
    SURFACE,
    counts_in_feet,
    cubic_metres_of,
    feet_of,
    measured_thickness,
    own_size,
    price_of_board,
)

RAISED = "surface measure, every half raised"
WHOLE = "each board rounded up to a whole board foot"
RULES = (EXACT, SURFACE, RAISED, WHOLE)
SELLER = "the seller's own board feet"
MONEY_RULES = (*RULES, SELLER)
CENT = Fraction(1, 100)


@dataclass(frozen=True, slots=True)
class Bought:
    """One line of a receipt with its sizes filled in, its board feet and its price by each rule (the whole line's), and
    the rules that give the seller's board feet and the seller's price. `surface` are the line's whole square feet; not
    `by_foot`, the line is metric lumber that nobody counts in board feet."""

    line: ReceiptLine
    material: Material
    width: Length
    length: Length
    marks: tuple[str, ...]
    rate: Price | None
    feet: Mapping[str, Fraction]
    surface: int | None
    rules: tuple[str, ...] = ()
    money: Mapping[str, Fraction] = field(default_factory=dict)
    money_rules: tuple[str, ...] = ()
    by_foot: bool = True

    @property
    def thickness(self) -> Length | None:
        return self.line.thickness

    @property
    def cubic_metres(self) -> Fraction:
        """Volume of the whole line as sawn."""
        return cubic_metres_of(self.material, self.width, self.length, self.thickness) * self.line.count

    @property
    def apart(self) -> Fraction | None:
        """The seller's board feet less the exact ones; None where the seller gave none."""
        return self.line.feet - self.feet[EXACT] if self.line.feet is not None and self.feet else None

    @property
    def money_apart(self) -> Fraction | None:
        """What the seller asks less the price by exact measure; None where either is missing."""
        return self.line.amount - self.money[EXACT] if self.line.amount is not None and self.money else None


@dataclass(frozen=True, slots=True)
class Held:
    """What the seller says on `lines` of the `of` lines that could name it, the same by each rule here, the rules that
    explain it, and the marks of the boards whose own line none explains."""

    said: Fraction
    by_rule: Mapping[str, Fraction]
    rules: tuple[str, ...]
    lines: int = 0
    of: int = 0
    odd: tuple[str, ...] = ()

    @property
    def apart(self) -> Fraction:
        return self.said - self.by_rule[EXACT]


@dataclass(frozen=True, slots=True)
class Sums:
    """Sums of a receipt: board feet and money by rule, what the seller says, and the rules that explain it.

    `seller_feet` and `seller_money` hold the seller's sums, or those of lines that all name a figure, `some_feet` and
    `some_money` only the lines that name one. `lines_money` is the sum of the seller's lines, None where one has no
    amount; `asked` is what was asked, also where nothing here can be held against it."""

    feet: Mapping[str, Fraction]
    money: Mapping[str, Fraction]
    seller_feet: Held | None = None
    seller_money: Held | None = None
    some_feet: Held | None = None
    some_money: Held | None = None
    asked: Fraction | None = None
    lines_money: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    lines: tuple[Bought, ...]
    sums: Sums


def measure(receipt: Receipt, build: Build, shop: Shop) -> Measure:
    """Every line by every rule. Lines without a width or length of their own are left to the checks before."""
    lines = []
    given = {line.mark.casefold() for line in receipt.lines if line.mark}
    stem = Names(build).stem
    free = (mark for n in count(1) if (mark := f"{stem}{n}").casefold() not in given)
    for line in receipt.lines:
        material = build.material(line.material)
        width, length = own_size(material, line.width, line.length)
        if width is None or length is None:
            continue
        marks = _marks(line, free)
        by_foot = receipt.feet is not None or line.feet is not None or counts_in_feet(build.units, shop, material)
        lines.append(replace(_bought(line, material, width, length, marks), by_foot=by_foot))
    lines = [_held(line) for line in _by_surface(lines)]
    return Measure(tuple(lines), _sums(receipt, lines))


def _marks(line: ReceiptLine, free: Iterator[str]) -> tuple[str, ...]:
    """The marks of a line's boards: its own, numbered where there are several, else the next that are free."""
    if not line.mark:
        return tuple(islice(free, line.count))
    return (line.mark,) if line.count == 1 else tuple(f"{line.mark}-{n}" for n in range(1, line.count + 1))


def _bought(line: ReceiptLine, material: Material, width: Length, length: Length, marks: tuple[str, ...]) -> Bought:
    feet: dict[str, Fraction] = {}
    if measured_thickness(material, line.thickness) is not None:
        one = feet_of(material, width, length, line.thickness)
        feet = {EXACT: one * line.count, WHOLE: Fraction(ceil(one) * line.count)}
    return Bought(line, material, width, length, marks, line.rate or material.price, feet, None)


def _by_surface(lines: Sequence[Bought]) -> list[Bought]:
    """The lines with their surface measure: every board is rounded, exact halves of one bundle up and down in turn.
    Where a seller who raises every half would count otherwise, that stands beside it."""
    found = list(lines)
    for (_, thickness), places in _bundles(lines).items():
        turns, raised = (_tally(lines, places, thickness, halves) for halves in (Halves.ALTERNATE, Halves.UP))
        begin = 0
        for place in places:
            line = lines[place]
            end = begin + line.line.count
            one, other = (sum(tally.measures[begin:end]) for tally in (turns, raised))
            counted = counted_thickness(thickness).inch
            more = {SURFACE: one * counted} | ({RAISED: other * counted} if other != one else {})
            found[place] = replace(line, feet={**line.feet, **more}, surface=one)
            begin = end
    return found


def _bundles(lines: Sequence[Bought]) -> dict[tuple[str, Length], list[int]]:
    """Places of the lines that are one bundle: hardwood of one material and thickness; softwood has no surface
    measure."""
    bundles: dict[tuple[str, Length], list[int]] = {}
    for place, line in enumerate(lines):
        thickness = measured_thickness(line.material, line.thickness)
        if line.material.kind is MaterialKind.HARDWOOD and thickness is not None:
            bundles.setdefault((line.material.name, thickness), []).append(place)
    return bundles


def _tally(lines: Sequence[Bought], places: Iterable[int], thickness: Length, halves: Halves) -> Tally:
    mine = (lines[place] for place in places)
    return tally_board_feet(
        thickness, [size for line in mine for size in [(line.width, line.length)] * line.line.count], halves
    )


def _held(bought: Bought) -> Bought:
    """The line held against what the seller counts and asks; a price may be rounded to the cent board by board."""
    line, money = bought.line, _money(bought)
    return replace(
        bought,
        rules=_explains(line.feet, line.feet_step, bought.feet),
        money=money,
        money_rules=_explains(line.amount, CENT * line.count, money),
    )


def _money(bought: Bought) -> dict[str, Fraction]:
    """What the line should cost by each rule, to the cent; by other units than board feet every rule says the same."""
    rate, line = bought.rate, bought.line
    if rate is None:
        return {}
    if rate.per is PriceUnit.BOARD_FOOT:
        feet = dict(bought.feet) | ({SELLER: line.feet} if line.feet is not None and bought.feet else {})
        return {rule: _to_cent(value * rate.amount) for rule, value in feet.items()}
    one = price_of_board(bought.material, rate, bought.width, bought.length, EXACT, line.thickness)
    return {EXACT: one * line.count} if one is not None else {}


def _to_cent(amount: Fraction) -> Fraction:
    return Fraction(round_half_up(amount * 100), 100)


def _explains(said: Fraction | None, step: Fraction, by_rule: Mapping[str, Fraction]) -> tuple[str, ...]:
    """The rules that give what the seller said, to half of its last printed digit; those that give it exactly win."""
    if said is None:
        return ()
    near = tuple(rule for rule in MONEY_RULES if rule in by_rule and abs(by_rule[rule] - said) <= step / 2)
    return tuple(rule for rule in near if by_rule[rule] == said) or near


def _stands_for(rule: str, figures: Mapping[str, Fraction]) -> str:
    """The rule that a line which `rule` does not touch counts by: without halves to raise by surface measure, softwood
    and what is not sold by the board foot exactly."""
    if rule in figures:
        return rule
    return SURFACE if rule == RAISED and SURFACE in figures else EXACT


def _sums(receipt: Receipt, lines: Sequence[Bought]) -> Sums:
    solid = [line for line in lines if line.feet and line.by_foot]
    told = [line for line in solid if line.line.feet is not None]
    feet, some_feet = _feet_sums(solid), _some_feet(told, len(solid)) if told else None
    money, some_money = _money_sums(receipt, lines, feet), _some_money(lines)
    all_lines, all_priced = len(told) == len(solid), all(line.line.amount is not None for line in lines)
    seller_feet = some_feet if all_lines and receipt.feet is None else None
    if receipt.feet is not None and feet:
        odd = some_feet.odd if some_feet is not None else ()
        seller_feet = Held(receipt.feet, feet, _explains(receipt.feet, receipt.feet_step, feet), odd=odd)
    elif seller_feet is not None:
        seller_feet = replace(seller_feet, by_rule=feet)
    added = _sum(line.line.amount or Fraction(0) for line in lines) if all_priced and lines else None
    asked, seller_money = receipt.total if receipt.total is not None else added, None
    if asked is not None and money:
        cents = CENT * sum(line.line.count for line in lines)
        odd = some_money.odd if some_money is not None else ()
        seller_money = Held(asked, money, _explains(asked, cents, money), odd=odd)
    return Sums(
        feet=feet,
        money=money,
        seller_feet=seller_feet,
        seller_money=seller_money,
        some_feet=some_feet if seller_feet is None else None,
        some_money=some_money if seller_money is None else None,
        asked=asked,
        lines_money=added,
    )


def _feet_sums(solid: Sequence[Bought]) -> dict[str, Fraction]:
    """Board feet of all lines by rule. By surface measure a bundle's sum is rounded to whole board feet, and softwood,
    which has no surface measure, counts exactly."""
    if not solid:
        return {}
    feet = {rule: _sum(line.feet[rule] for line in solid) for rule in (EXACT, WHOLE)}
    bundles = _bundles(solid)
    if bundles:
        bare = _sum(line.feet[EXACT] for line in solid if line.surface is None)
        for rule, halves in ((SURFACE, Halves.ALTERNATE), (RAISED, Halves.UP)):
            tallies = (_tally(solid, places, thickness, halves) for (_, thickness), places in bundles.items())
            feet[rule] = bare + sum(tally.board_feet for tally in tallies)
        if feet[RAISED] == feet[SURFACE]:
            del feet[RAISED]
    return feet


def _some_feet(told: Sequence[Bought], many: int) -> Held:
    """The seller's board feet line by line: a rule explains them that explains every line."""
    said = _sum(line.line.feet or Fraction(0) for line in told)
    there = [rule for rule in RULES if any(rule in line.feet for line in told)]
    by_rule = {rule: _sum(line.feet[_stands_for(rule, line.feet)] for line in told) for rule in there}
    rules = tuple(rule for rule in there if all(_stands_for(rule, line.feet) in line.rules for line in told))
    return Held(said, by_rule, rules, len(told), many, _marks_of(line for line in told if not line.rules))


def _some_money(lines: Sequence[Bought]) -> Held | None:
    """What the seller asks on the lines that have a price both there and here."""
    known = [line for line in lines if line.money and line.line.amount is not None]
    if not known:
        return None
    said = _sum(line.line.amount or Fraction(0) for line in known)
    there = [rule for rule in MONEY_RULES if any(rule in line.money for line in known)]
    by_rule = {rule: _sum(line.money[_stands_for(rule, line.money)] for line in known) for rule in there}
    rules = tuple(r for r in there if all(_stands_for(r, line.money) in line.money_rules for line in known))
    return Held(said, by_rule, rules, len(known), len(lines), _marks_of(line for line in known if not line.money_rules))


def _marks_of(lines: Iterable[Bought]) -> tuple[str, ...]:
    return tuple(mark for line in lines for mark in line.marks)


def _money_sums(receipt: Receipt, lines: Sequence[Bought], feet: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """Money by rule over all lines; a line that a rule does not touch counts by the exact one. Empty where a line has
    no price."""
    if not lines or not all(line.money for line in lines):
        return {}
    rules = [rule for rule in MONEY_RULES if any(rule in line.money for line in lines)]
    sums = {rule: _sum(line.money[_stands_for(rule, line.money)] for line in lines) for rule in rules}
    rates = {line.rate for line in lines if line.feet}
    (rate,) = rates if len(rates) == 1 else (None,)
    if SELLER not in sums and receipt.feet is not None and rate is not None and rate.per is PriceUnit.BOARD_FOOT:
        others = _sum(line.money[EXACT] for line in lines if not line.feet)
        sums[SELLER] = _to_cent(receipt.feet * rate.amount) + others
    return sums


def _sum(values: Iterable[Fraction]) -> Fraction:
    return sum(values, Fraction(0))
