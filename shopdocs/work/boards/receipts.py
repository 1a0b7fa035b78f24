"""A receipt measured by the rules of the trade, and held against what the seller counted and asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import count, islice
from math import ceil

from shopdocs.core.length import Length
from shopdocs.facts.lumber_tables import Halves, Tally, counted_thickness, tally_board_feet
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material, MaterialKind, Price
from shopdocs.model.stock import Receipt, ReceiptLine, Said, SoldBy
from shopdocs.work.boards.counting import (
    CUSTOMS,
    RAISED,
    RULES,
    SELLER,
    WHOLE,
    metric_amounts,
    rate_measure,
    sold_by,
    sold_in_feet,
    stands_for,
)
from shopdocs.work.boards.plan import Names
from shopdocs.work.boards.supply import (
    EXACT,
    SURFACE,
    feet_of,
    measured_thickness,
    own_size,
    price_of_board,
    to_cent,
)

MONEY_RULES = (*RULES, SELLER)
CENT = Fraction(1, 100)


@dataclass(frozen=True, slots=True)
class Counted:
    """A line in one measure: what it comes to by each rule, what the seller says, and the rules that give that."""

    by_rule: Mapping[str, Fraction]
    said: Said | None = None
    rules: tuple[str, ...] = ()

    @property
    def apart(self) -> Fraction | None:
        """The seller's figure less the exact one; None where the seller gave none."""
        return self.said.amount - self.by_rule[EXACT] if self.said is not None and self.by_rule else None


@dataclass(frozen=True, slots=True)
class Bought:
    """One line of a receipt with its sizes filled in, what it comes to in every measure and its price by each rule (the
    whole line's), and the rules that give the seller's price. `sold_by` are the measures it is held against the seller
    in; `surface` are its whole square feet."""

    line: ReceiptLine
    material: Material
    width: Length
    length: Length
    marks: tuple[str, ...]
    rate: Price | None
    amounts: Mapping[SoldBy, Counted]
    sold_by: tuple[SoldBy, ...] = ()
    surface: int | None = None
    money: Mapping[str, Fraction] = field(default_factory=dict)
    money_rules: tuple[str, ...] = ()

    @property
    def thickness(self) -> Length | None:
        """The thickness the receipt names; None where it names none."""
        return self.line.thickness

    @property
    def feet(self) -> Mapping[str, Fraction]:
        """Board feet by rule; empty for sheets."""
        return self.by_rule(SoldBy.BOARD_FOOT)

    def by_rule(self, by: SoldBy) -> Mapping[str, Fraction]:
        """What each rule makes of the line in a measure, by the name of the rule; empty where the line is not
        counted in it."""
        return self.amounts[by].by_rule if by in self.amounts else {}

    @property
    def money_apart(self) -> Fraction | None:
        """What the seller asks less the price by exact measure; None where either is missing."""
        return self.line.amount - self.money[EXACT] if self.line.amount is not None and self.money else None


@dataclass(frozen=True, slots=True)
class Held:
    """What the seller says on `lines` of the `of` lines that could name it, the same by each rule here, the rules that
    explain it, and the marks of the boards whose own line none explains. `lines` is 0 for a sum that is not theirs."""

    said: Fraction
    by_rule: Mapping[str, Fraction]
    rules: tuple[str, ...]
    lines: int = 0
    of: int = 0
    odd: tuple[str, ...] = ()

    @property
    def apart(self) -> Fraction:
        """What the seller counts beyond the exact measure; below zero where it is less."""
        return self.said - self.by_rule[EXACT]


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum over the lines by rule. `seller` holds the seller's sum, or that of lines that all name a figure; else
    `some` holds the lines that name one."""

    by_rule: Mapping[str, Fraction]
    seller: Held | None = None
    some: Held | None = None


@dataclass(frozen=True, slots=True)
class Sums:
    """Sums of a receipt: in every measure some line is sold by, and in money. `lines_money` is the sum of the seller's
    lines, None where one has no amount; `lines_said` are sums of lines that are not what the seller's sum says, beyond
    its last digit; `asked` is what was asked, also where nothing here can be held against it."""

    amounts: Mapping[SoldBy, Sum]
    money: Sum
    asked: Fraction | None = None
    lines_money: Fraction | None = None
    lines_said: Mapping[SoldBy, Fraction] = field(default_factory=dict)

    def of(self, by: SoldBy) -> Sum:
        """The sum in a measure; an empty one where no line is counted in it."""
        return self.amounts.get(by, Sum({}))


@dataclass(frozen=True, slots=True)
class Measure:
    """The lines of a receipt, each measured by the rules, and their sums."""

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
        by = sold_by(line, material, receipt, sold_in_feet(line, material, build.units, shop))
        lines.append(replace(_bought(line, material, width, length, marks), sold_by=by))
    lines = [_held(line) for line in _by_surface(lines)]
    return Measure(tuple(lines), _sums(receipt, lines))


def _marks(line: ReceiptLine, free: Iterator[str]) -> tuple[str, ...]:
    """The marks of a line's boards: its own, numbered where there are several, else the next that are free."""
    if not line.mark:
        return tuple(islice(free, line.count))
    return (line.mark,) if line.count == 1 else tuple(f"{line.mark}-{n}" for n in range(1, line.count + 1))


def _bought(line: ReceiptLine, material: Material, width: Length, length: Length, marks: tuple[str, ...]) -> Bought:
    amounts = {
        by: Counted(metric_amounts(line, material, width, length, by))
        for by in (SoldBy.CUBIC_METRE, SoldBy.SQUARE_METRE)
    }
    if measured_thickness(material, line.thickness) is not None:
        one = feet_of(material, width, length, line.thickness)
        by_rule = {EXACT: one * line.count, WHOLE: Fraction(ceil(one) * line.count)}
        amounts = {SoldBy.BOARD_FOOT: Counted(by_rule), **amounts}
    return Bought(line, material, width, length, marks, line.rate or material.price, amounts)


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
            feet = Counted({**line.feet, **more})
            found[place] = replace(line, amounts={**line.amounts, SoldBy.BOARD_FOOT: feet}, surface=one)
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
    line = bought.line
    amounts = {
        by: replace(each, said=line.said[by], rules=_explains(line.said[by], each.by_rule)) if by in line.said else each
        for by, each in bought.amounts.items()
    }
    money = _money(replace(bought, amounts=amounts))
    asked = Said(line.amount, CENT * line.count) if line.amount is not None else None
    return replace(bought, amounts=amounts, money=money, money_rules=_explains(asked, money))


def _money(bought: Bought) -> dict[str, Fraction]:
    """What the line should cost by each rule, to the cent; by the piece, sheet or running foot every rule says the
    same."""
    rate, line = bought.rate, bought.line
    by = rate_measure(rate)
    if rate is None:
        return {}
    if by is not None:
        counted = bought.amounts.get(by, Counted({}))
        said = {SELLER: counted.said.amount} if counted.said is not None and counted.by_rule else {}
        return {rule: to_cent(value * rate.amount) for rule, value in {**counted.by_rule, **said}.items()}
    one = price_of_board(bought.material, rate, bought.width, bought.length, EXACT, line.thickness)
    return {EXACT: to_cent(one) * line.count} if one is not None else {}


def _explains(said: Said | None, by_rule: Mapping[str, Fraction]) -> tuple[str, ...]:
    """The rules that give what the seller said, to half of its last printed digit; those that give it exactly win."""
    if said is None:
        return ()
    near = tuple(rule for rule in MONEY_RULES if rule in by_rule and abs(by_rule[rule] - said.amount) <= said.step / 2)
    if EXACT in near:  # what is right to the last digit needs no custom to explain it
        near = tuple(rule for rule in near if rule not in CUSTOMS)
    return tuple(rule for rule in near if by_rule[rule] == said.amount) or near


def _sums(receipt: Receipt, lines: Sequence[Bought]) -> Sums:
    amounts = {by: _sum_in(by, receipt.said.get(by), mine) for by in SoldBy if (mine := _sold(lines, by))}
    rates = _money_sums(receipt, lines)
    some_money = _some_money(lines)
    all_priced = all(line.line.amount is not None for line in lines)
    paid = _sum(line.line.amount or Fraction(0) for line in lines) if all_priced and lines else None
    asked, seller_money = receipt.total if receipt.total is not None else paid, None
    if asked is not None and rates:
        cents = CENT * sum(line.line.count for line in lines)
        odd = some_money.odd if some_money is not None else ()
        each = len(lines) if paid == asked else 0
        seller_money = Held(asked, rates, _explains(Said(asked, cents), rates), each, len(lines), odd)
    return Sums(
        amounts=amounts,
        money=Sum(rates, seller_money, some_money if seller_money is None else None),
        asked=asked,
        lines_money=paid,
        lines_said={by: added for by in amounts if (added := _added(receipt.said.get(by), by, lines)) is not None},
    )


def _sold(lines: Sequence[Bought], by: SoldBy) -> list[Bought]:
    return [line for line in lines if by in line.sold_by and line.by_rule(by)]


def _added(said: Said | None, by: SoldBy, lines: Sequence[Bought]) -> Fraction | None:
    """What the seller's lines add up to where it is not the seller's sum; None also where a line says nothing."""
    each = [line.line.said[by].amount for line in lines if by in line.line.said]
    if said is None or len(each) < len(_sold(lines, by)) or abs(_sum(each) - said.amount) <= said.step / 2:
        return None
    return _sum(each)


def _sum_in(by: SoldBy, said: Said | None, lines: Sequence[Bought]) -> Sum:
    """The lines in one measure, held against the seller's sum, else against the lines that name a figure."""
    told = [line for line in lines if by in line.line.said]
    by_rule = _feet_sums(lines) if by is SoldBy.BOARD_FOOT else _metric_sums(lines, by)
    some = _some(told, by, len(lines)) if told else None
    if said is not None:
        rules, odd = _explains(said, by_rule), some.odd if some is not None else ()
        each = len(told) if len(told) == len(lines) and _added(said, by, lines) is None else 0
        return Sum(by_rule, Held(said.amount, by_rule, rules, each, len(lines), odd))
    if some is not None and len(told) == len(lines):
        return Sum(by_rule, replace(some, by_rule=by_rule))
    return Sum(by_rule, some=some)


def _metric_sums(lines: Sequence[Bought], by: SoldBy) -> dict[str, Fraction]:
    """Cubic or square metres of all lines by every rule that some line knows."""
    figures = [line.by_rule(by) for line in lines]
    there = [rule for rule in RULES if any(rule in each for each in figures)]
    return {rule: _sum(each[stands_for(rule, each)] for each in figures) for rule in there}


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


def _some(told: Sequence[Bought], by: SoldBy, many: int) -> Held:
    """The seller's figures line by line: a rule explains them that explains every line."""
    said = _sum(line.line.said[by].amount for line in told)
    counted = [line.amounts[by] for line in told]
    there = [rule for rule in RULES if any(rule in each.by_rule for each in counted)]
    by_rule = {rule: _sum(each.by_rule[stands_for(rule, each.by_rule)] for each in counted) for rule in there}
    rules = tuple(rule for rule in there if all(stands_for(rule, each.by_rule) in each.rules for each in counted))
    odd = _marks_of(line for line in told if not line.amounts[by].rules)
    return Held(said, by_rule, rules, len(told), many, odd)


def _some_money(lines: Sequence[Bought]) -> Held | None:
    """What the seller asks on the lines that have a price both there and here."""
    known = [line for line in lines if line.money and line.line.amount is not None]
    if not known:
        return None
    said = _sum(line.line.amount or Fraction(0) for line in known)
    there = [rule for rule in MONEY_RULES if any(rule in line.money for line in known)]
    by_rule = {rule: _sum(line.money[stands_for(rule, line.money)] for line in known) for rule in there}
    rules = tuple(r for r in there if all(stands_for(r, line.money) in line.money_rules for line in known))
    return Held(said, by_rule, rules, len(known), len(lines), _marks_of(line for line in known if not line.money_rules))


def _marks_of(lines: Iterable[Bought]) -> tuple[str, ...]:
    return tuple(mark for line in lines for mark in line.marks)


def _money_sums(receipt: Receipt, lines: Sequence[Bought]) -> dict[str, Fraction]:
    """Money by rule over all lines; a line that a rule does not touch counts by the exact one. Empty where a line has
    no price."""
    if not lines or not all(line.money for line in lines):
        return {}
    rules = [rule for rule in MONEY_RULES if any(rule in line.money for line in lines)]
    sums = {rule: _sum(line.money[stands_for(rule, line.money)] for line in lines) for rule in rules}
    for by, said in receipt.said.items():
        mine = [line for line in lines if rate_measure(line.rate) is by]
        rates = {line.rate.amount for line in mine if line.rate is not None}
        if SELLER not in sums and len(rates) == 1 and mine == _sold(lines, by):
            others = _sum(line.money[EXACT] for line in lines if rate_measure(line.rate) is not by)
            sums[SELLER] = to_cent(said.amount * rates.pop()) + others
    return sums


def _sum(values: Iterable[Fraction]) -> Fraction:
    return sum(values, Fraction(0))
