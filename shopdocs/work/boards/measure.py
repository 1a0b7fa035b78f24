"""A receipt measured by the rules of the trade, and held against what the seller counted and asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count, islice
from math import ceil

from shopdocs.core.display import round_half_up
from shopdocs.core.length import Length
from shopdocs.facts.lumber import counted_thickness, surface_measure, tally_board_feet
from shopdocs.model.build import Build
from shopdocs.model.parts import Material, MaterialKind, Price, PriceUnit
from shopdocs.model.stock import Receipt, ReceiptLine
from shopdocs.work.boards.plan import Names
from shopdocs.work.boards.stock import EXACT, SURFACE, feet_of, measured_thickness, own_size, price_of_board

WHOLE = "each board rounded up to a whole board foot"
RULES = (EXACT, SURFACE, WHOLE)


@dataclass(frozen=True, slots=True)
class Bought:
    """One line of a receipt with its sizes filled in and its board feet by each rule (the whole line's)."""

    line: ReceiptLine
    material: Material
    width: Length
    length: Length
    marks: tuple[str, ...]
    thickness: Length | None
    feet: dict[str, Fraction]
    surface: int | None
    rules: tuple[str, ...]
    money: dict[str, Fraction]

    @property
    def apart(self) -> Fraction | None:
        """The seller's board feet less the exact ones; None where the seller gave none."""
        return self.line.feet - self.feet[EXACT] if self.line.feet is not None and self.feet else None


@dataclass(frozen=True, slots=True)
class Sums:
    """Sums of a receipt: board feet and money by rule, what the seller says, and the rules that explain it.

    `lines_money` is the sum of the seller's lines, None where one has no amount."""

    feet: dict[str, Fraction]
    seller_feet: Fraction | None
    feet_rules: tuple[str, ...]
    money: dict[str, Fraction]
    seller_money: Fraction | None
    money_rules: tuple[str, ...]
    lines_money: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    lines: tuple[Bought, ...]
    sums: Sums


def measure(receipt: Receipt, build: Build) -> Measure:
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
        lines.append(_bought(line, material, width, length, marks))
    return Measure(tuple(lines), _sums(receipt, lines))


def _marks(line: ReceiptLine, free: Iterator[str]) -> tuple[str, ...]:
    """The marks of a line's boards: its own, numbered where there are several, else the next that are free."""
    if not line.mark:
        return tuple(islice(free, line.count))
    return (line.mark,) if line.count == 1 else tuple(f"{line.mark}-{n}" for n in range(1, line.count + 1))


def _bought(line: ReceiptLine, material: Material, width: Length, length: Length, marks: tuple[str, ...]) -> Bought:
    feet: dict[str, Fraction] = {}
    surface = None
    thickness = measured_thickness(material, line.thickness)
    if thickness is not None:
        one = feet_of(material, width, length, line.thickness)
        feet = {EXACT: one * line.count, WHOLE: Fraction(ceil(one) * line.count)}
        if material.kind is MaterialKind.HARDWOOD:
            surface = surface_measure(width, length)
            feet[SURFACE] = surface * counted_thickness(thickness).inch * line.count
    rate = line.rate or material.price
    return Bought(
        line=line,
        material=material,
        width=width,
        length=length,
        marks=marks,
        thickness=line.thickness,
        feet=feet,
        surface=surface,
        rules=_explains(line.feet, line.feet_step, feet),
        money=_money(rate, material, width, length, line, feet),
    )


def _money(
    rate: Price | None, material: Material, width: Length, length: Length, line: ReceiptLine, feet: dict[str, Fraction]
) -> dict[str, Fraction]:
    """What the line should cost by each rule, to the cent; by other units than board feet every rule says the same."""
    if rate is None:
        return {}
    if rate.per is PriceUnit.BOARD_FOOT:
        return {rule: Fraction(round_half_up(value * rate.amount * 100), 100) for rule, value in feet.items()}
    one = price_of_board(material, rate, width, length, EXACT, line.thickness)
    return {EXACT: one * line.count} if one is not None else {}


def _explains(said: Fraction | None, step: Fraction, by_rule: dict[str, Fraction]) -> tuple[str, ...]:
    """The rules that give what the seller said, to half of its last printed digit; those that give it exactly win."""
    if said is None:
        return ()
    near = tuple(rule for rule in RULES if rule in by_rule and abs(by_rule[rule] - said) <= step / 2)
    return tuple(rule for rule in near if by_rule[rule] == said) or near


def _sums(receipt: Receipt, lines: Sequence[Bought]) -> Sums:
    solid = [line for line in lines if line.feet]
    feet = {EXACT: _sum(line.feet[EXACT] for line in solid), WHOLE: _sum(line.feet[WHOLE] for line in solid)}
    if any(line.surface is not None for line in solid):
        feet[SURFACE] = _bundles(solid)
    if not solid:
        feet = {}
    said, step = receipt.feet, receipt.feet_step
    if said is None and solid and all(line.line.feet is not None for line in solid):
        said = _sum(line.line.feet or Fraction(0) for line in solid)
        step = max(line.line.feet_step for line in solid) * len(solid)
    rules = _explains(said, step, feet)
    if receipt.feet is None and solid and said is not None:
        rules = tuple(rule for rule in RULES if all(rule in line.rules for line in solid))
    money = _money_sums(lines)
    added = None
    if lines and all(line.line.amount is not None for line in lines):
        added = _sum(line.line.amount or Fraction(0) for line in lines)
    asked = receipt.total if receipt.total is not None else added
    cents = Fraction(len(lines), 100)
    near = tuple(r for r in RULES if r in money and asked is not None and abs(money[r] - asked) <= cents / 2)
    return Sums(feet, said, rules, money, asked, near, added)


def _bundles(lines: Iterable[Bought]) -> Fraction:
    """By surface measure: boards of one material and thickness are one bundle, its sum rounded to whole board feet.
    Softwood has no surface measure and counts exactly."""
    bundles: dict[tuple[str, Length], list[tuple[Length, Length]]] = {}
    total = Fraction(0)
    for line in lines:
        thickness = measured_thickness(line.material, line.thickness)
        if line.surface is None or thickness is None:
            total += line.feet[EXACT]
        else:
            bundle = bundles.setdefault((line.material.name, thickness), [])
            bundle += [(line.width, line.length)] * line.line.count
    return total + sum(tally_board_feet(thickness, boards).board_feet for (_, thickness), boards in bundles.items())


def _money_sums(lines: Sequence[Bought]) -> dict[str, Fraction]:
    """Money by rule over all lines; a line that a rule does not touch counts by the exact one. Empty where a line has
    no price."""
    if not lines or not all(line.money for line in lines):
        return {}
    rules = [rule for rule in RULES if any(rule in line.money for line in lines)]
    return {rule: _sum(line.money.get(rule, line.money[EXACT]) for line in lines) for rule in rules}


def _sum(values: Iterable[Fraction]) -> Fraction:
    return sum(values, Fraction(0))
