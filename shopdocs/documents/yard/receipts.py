"""A receipt on paper: what was bought by both rules, what it should cost, and how far the seller is from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from shopdocs.blocks.sheets import Block, Imprint
from shopdocs.blocks.text import Cell, Column, Figure, Group, Paragraph, Row, Run, Table, Text, Weight
from shopdocs.core.display import MINUS, Display, decimal
from shopdocs.core.problems import NOWHERE
from shopdocs.documents.figures import count_figure, decimal_figure, marks_text, money_figure, size_text
from shopdocs.documents.job import imprint_of
from shopdocs.documents.yard.words import describe_stock, price_words
from shopdocs.facts.lumber_tables import BOARD_MEASURE, NHLA
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.model.stock import MEASURES, Receipt, SoldBy
from shopdocs.work.boards.counting import (
    DOWN,
    EACH,
    NOMINAL,
    NOMINAL_DOWN,
    NOMINAL_UP,
    RAISED,
    RULES,
    SELLER,
    UP,
    WHOLE,
)
from shopdocs.work.boards.cure import Refit
from shopdocs.work.boards.receipts import Bought, Held, Measure, Sum
from shopdocs.work.boards.supply import EXACT, SURFACE

RULE_NAMES = {
    EXACT: "exact measure",
    SURFACE: "surface measure",
    RAISED: "surface measure with every half raised",
    WHOLE: "rounding each board up",
    NOMINAL: "nominal size",
    DOWN: "sizes rounded down",
    UP: "sizes rounded up",
    NOMINAL_DOWN: "rounded-down nominal size",
    NOMINAL_UP: "rounded-up nominal size",
    EACH: "rounding each board",
    SELLER: "the seller's own measure",
}
PLURAL = (DOWN, UP)
PLACES = {SoldBy.BOARD_FOOT: 2, SoldBy.CUBIC_METRE: 4, SoldBy.SQUARE_METRE: 3}
NAMED = {SoldBy.BOARD_FOOT: "", SoldBy.CUBIC_METRE: " · volume", SoldBy.SQUARE_METRE: " · area"}
ROUNDED = ", rounded"
BY = "by "


class TallyJob(Struct, frozen=True):
    """A receipt and everything computed from it."""

    build: Build
    shop: Shop
    display: Display
    receipt: Receipt
    measure: Measure
    refits: tuple[Refit, ...]

    @property
    def currency(self) -> str:
        """The receipt's currency, else the shop's."""
        return self.receipt.currency or self.shop.currency

    @property
    def imprint(self) -> Imprint:
        """What every page says of the build and its maker."""
        return imprint_of(self.build, self.shop)


def receipt_blocks(job: TallyJob) -> list[Block]:
    """The boards, their prices where the receipt names one, the verdict, the sums and the rules."""
    blocks: list[Block] = [_receipt_table(job)]
    if any(line.line.amount is not None for line in job.measure.lines):
        blocks.append(_prices_table(job))
    blocks.append(Paragraph(verdict(job), Weight.STRONG))
    sums = _sums_table(job)
    if sums is not None:
        blocks.append(sums)
    blocks.append(Paragraph(_rules(job), Weight.QUIET))
    return blocks


# --- the boards ------------------------------------------------------------------------------------------------------


def _receipt_table(job: TallyJob) -> Table:
    """Every line in each measure that it is sold by. Columns of one unit carry it in their head; where several are on
    the sheet every cell says its own."""
    measures = _measures(job)
    unit = measures[0].value if len(measures) == 1 else ""
    columns = [
        Column("Boards", strong=True, share=1.2),
        Column("Width × length", "right", job.display.units, share=1.2),
    ]
    if measures:
        columns.append(Column("Exact", "right", unit, share=0.4))
    if SoldBy.BOARD_FOOT in measures:
        columns.append(Column("By surface", "right", "bf", share=0.4))
    if measures and _held_in(job):
        columns += [
            Column("Seller", "right", unit, share=0.4, strong=True),
            Column("Off by", "right", unit, share=0.4),
            Column("The seller counts by", share=1.4),
        ]
    groups: dict[tuple[str, str], list[Row]] = {}
    for bought in job.measure.lines:
        rows = groups.setdefault((bought.material.name, _stock_words(job, bought)), [])
        rows += [_receipt_row(job, bought, by, measures) for by in _shown_in(bought) or (None,)]
    made = tuple(Group(tuple(rows), name, words) for (name, words), rows in groups.items())
    return Table("receipt", tuple(columns), made, ticks=True)


def _measures(job: TallyJob) -> list[SoldBy]:
    """What the lines are sold by."""
    return [by for by in SoldBy if any(by in _shown_in(line) for line in job.measure.lines)]


def _shown_in(bought: Bought) -> tuple[SoldBy, ...]:
    return tuple(by for by in bought.sold_by if bought.by_rule(by))


def _held_in(job: TallyJob) -> bool:
    """Whether there are columns for the seller: where board feet have two rules, or some line says something."""
    return SoldBy.BOARD_FOOT in _measures(job) or any(line.line.said for line in job.measure.lines)


def _stock_words(job: TallyJob, bought: Bought) -> str:
    """What was bought, with its own thickness where the receipt gives one."""
    words = describe_stock(job.display, bought.material)
    own = bought.material.thickness if bought.material.kind is MaterialKind.SHEET else bought.material.rough
    if bought.thickness is None or bought.thickness == own:
        return words
    sold = bought.line.quarters is not None and bought.line.quarters >= 4
    thickness = f"{bought.line.quarters}/4" if sold else job.display.length(bought.thickness)
    return f"{words}; bought {thickness} thick"


def _receipt_row(job: TallyJob, bought: Bought, by: SoldBy | None, measures: Sequence[SoldBy]) -> Row:
    """One line in one measure; a sheet that is paid by the piece has none."""
    line, name, at = bought.line, _name(bought), bought.line.at
    size = size_text(name, job.display, ("width", bought.width, at), ("length", bought.length, at))
    counted = bought.amounts[by] if by is not None else None
    rules = [EXACT, *([SURFACE] if SoldBy.BOARD_FOOT in measures else [])] if measures else []
    cells = [Cell.of(marks_text(bought.marks)), Cell(size)]
    if counted is None or by is None:
        empty = len(rules) + (3 if rules and _held_in(job) else 0)
        return Row((*cells, *(Cell.of("—"),) * empty))
    name += NAMED[by]

    def amount(figure: Figure) -> Cell:
        return Cell((figure, f" {by}") if len(measures) > 1 else (figure,))

    for rule in rules:
        value = counted.by_rule.get(rule) if rule == EXACT or by is SoldBy.BOARD_FOOT else None
        shown = None if value is None else decimal_figure(f"{name} · {rule}", value, PLACES[by], by, at)
        cells.append(Cell.of("—") if shown is None else Cell.of(shown) if rule == SURFACE else amount(shown))
    if _held_in(job):
        if counted.said is None or counted.apart is None:
            cells += [Cell.of("—"), Cell.of("—"), Cell.of("—")]
        else:
            place = line.places.get(MEASURES[by], at)
            said = decimal_figure(f"{name} · seller", counted.said.amount, PLACES[by], by, place)
            apart = apart_figure(f"{name} · apart", counted.apart, by, PLACES[by])
            cells += [amount(said), amount(apart)]
            cells.append(Cell.of(_explained(counted.rules, counted.said.amount, counted.by_rule)))
    return Row(tuple(cells))


def _name(bought: Bought) -> str:
    return f"receipt · {bought.marks[0]}"


def _explained(rules: Sequence[str], said: Fraction, by_rule: Mapping[str, Fraction]) -> str:
    """The rules that give the seller's figure, and whether only after rounding it as printed."""
    told = [rule for rule in rules if rule != SELLER] or rules  # the seller's own feet only where no rule gives them
    names = [RULE_NAMES[rule] + (ROUNDED if by_rule[rule] != said else "") for rule in told[:2]]
    return " or ".join(names) or "no rule here"


def apart_figure(name: str, value: Fraction, unit: str, places: int = 2) -> Figure:
    """A difference with its sign."""
    shown = decimal(abs(value), places)
    sign = "" if shown == decimal(Fraction(0), places) else "+" if value > 0 else MINUS
    return Figure(name, sign + shown, value, unit, NOWHERE)


# --- what they cost --------------------------------------------------------------------------------------------------


def _prices_table(job: TallyJob) -> Table:
    """Every line's price by the rules, and what the seller asks for it."""
    surface = any(SURFACE in line.money for line in job.measure.lines)
    columns = [
        Column("Prices", strong=True, share=1.2),
        Column("Rate", "right", share=0.8),
        Column("Exact", "right", job.currency, share=0.4),
        *([Column("By surface", "right", job.currency, share=0.4)] if surface else []),
        Column("Seller", "right", job.currency, share=0.4, strong=True),
        Column("Off by", "right", job.currency, share=0.4),
        Column("The seller asks by", share=1.4),
    ]
    rows = tuple(_price_row(job, bought, surface) for bought in job.measure.lines)
    return Table("prices", tuple(columns), (Group(rows),))


def _price_row(job: TallyJob, bought: Bought, surface: bool) -> Row:
    line, name, at = bought.line, _name(bought), bought.line.at
    unit = money_unit(job)
    cells = [Cell.of(marks_text(bought.marks)), Cell.of(price_words(bought.rate) if bought.rate else "—")]
    for rule in (EXACT, SURFACE) if surface else (EXACT,):
        value = bought.money.get(rule)
        cells.append(Cell.of("—" if value is None else decimal_figure(f"{name} · {rule} · price", value, 2, unit, at)))
    place = line.places.get("amount", at)
    said = "—" if line.amount is None else decimal_figure(f"{name} · seller · price", line.amount, 2, unit, place)
    apart = bought.money_apart
    held = "—" if apart is None else apart_figure(f"{name} · apart · price", apart, unit)
    asks = "—"
    if apart is not None and line.amount is not None:
        several = len(bought.money) > 1
        asks = _explained(bought.money_rules, line.amount, bought.money) if several else _agrees(bought)
    return Row((*cells, Cell.of(said), Cell.of(held), Cell.of(asks)))


def _agrees(bought: Bought) -> str:
    """Where every rule says the same there is one price."""
    return "the rate" if bought.money_rules else "not the rate"


def money_unit(job: TallyJob) -> str:
    """Unit of a figure that is money; what it is counted in may be left open."""
    return job.currency or "money"


# --- the sums --------------------------------------------------------------------------------------------------------


def _sums_table(job: TallyJob) -> Table | None:
    """Sums by rule and how far the seller's are from them."""
    sums = job.measure.sums
    every = [each.by_rule for each in (*sums.amounts.values(), sums.money)]
    if not any(every):
        return None
    columns = [Column("Sum", strong=True, share=1.6)]
    for by in sums.amounts:
        columns.append(Column(MEASURES[by].capitalize(), "right", by, share=0.5))
        columns.append(Column("Seller off by", "right", by, share=0.5))
    if sums.money.by_rule:
        columns += [
            Column("Price", "right", job.currency, share=0.5),
            Column("Seller off by", "right", job.currency, share=0.5),
        ]
    told = _told(job)
    rules = [rule for rule in RULES if rule in told and any(rule in by_rule for by_rule in every)]
    rows = [_sum_row(job, rule) for rule in rules]
    if any(each.seller is not None for each in (*sums.amounts.values(), sums.money)):
        rows.append(_sum_row(job, None))
    return Table("sums", tuple(columns), (Group(tuple(rows)),))


def _told(job: TallyJob) -> set[str]:
    """The rules of the trade, and those customs of metric sellers that explain something here or come nearest."""
    sums, lines = job.measure.sums, job.measure.lines
    told = {EXACT, SURFACE, RAISED, WHOLE}
    for held in (held for each in (*sums.amounts.values(), sums.money) for held in (each.seller, each.some) if held):
        told |= {*held.rules, _nearest(held)}
    for line in lines:
        told |= {*line.money_rules, *(rule for by in _shown_in(line) for rule in line.amounts[by].rules)}
    return told


def _sum_row(job: TallyJob, rule: str | None) -> Row:
    """The sums by one rule, or the seller's own, each with how far the seller is from it."""
    sums, name = job.measure.sums, rule or "seller"
    shown = [(each, NAMED[by], str(by), PLACES[by]) for by, each in sums.amounts.items()]
    if sums.money.by_rule:
        shown.append((sums.money, " · price", money_unit(job), 2))
    cells = [Cell.of(BY + RULE_NAMES[rule] if rule else "the seller")]
    for each, what, unit, places in shown:
        said = each.seller.said if each.seller is not None else None
        value = each.by_rule.get(rule) if rule else said
        figure = f"sum · {name}{what}"
        cells.append(Cell.of(decimal_figure(figure, value, places, unit) if value is not None else "—"))
        if rule is None or value is None or said is None:
            cells.append(Cell.of("—" if rule else ""))
        else:
            cells.append(Cell.of(apart_figure(f"{figure} · apart", said - value, unit, places)))
    return Row(tuple(cells), total=rule is None)


# --- what it comes to ------------------------------------------------------------------------------------------------


def verdict(job: TallyJob) -> Text:
    """Whether the seller's figures and money agree, by how much they do not, and which rule explains it."""
    sums = job.measure.sums
    runs: list[Run] = []
    for by, each in sums.amounts.items():
        runs += _amount_verdict(by, each, sums.lines_said.get(by), " " if runs else "")
    money = sums.money
    if money.seller is not None:
        runs += _money_verdict(job, money.seller, " For " if runs else "The seller asks ")
        if sums.lines_money is not None and sums.lines_money != money.seller.said:
            figure = money_figure("sum · seller · lines", sums.lines_money, job.currency)
            runs += [" The seller's own lines add up to ", figure, "."]
    elif money.some is not None:
        runs += _money_verdict(job, money.some, " " if runs else "", *_on_some("asks", money.some))
    if sums.asked is not None and money.seller is None:
        unpriced = [mark for line in job.measure.lines if not line.money for mark in line.marks]
        have = "has" if len(unpriced) == 1 else "have"
        lead = f"{' ' if runs else ''}The sum of money cannot be held against a rule: "
        runs.append(f"{lead}{marks_text(unpriced)} {have} no price in the build or on the receipt.")
    if not runs:
        return ("The receipt gives no amount and no price to hold against a rule.",)
    return tuple(runs)


def _on_some(does: str, held: Held) -> tuple[Run, ...]:
    count = count_figure(f"sum · seller · lines that {does}", held.lines)
    return ("On ", count, f" of {held.of} lines the seller {does} ")


def _amount_verdict(by: SoldBy, summed: Sum, lines_said: Fraction | None, lead: str) -> list[Run]:
    held = summed.seller or summed.some
    if held is None:
        return []

    def amount(what: str, value: Fraction) -> Text:
        return (decimal_figure(f"sum · {what}{NAMED[by]}", value, PLACES[by], by), f" {by}")

    who = ("The seller counts ",) if summed.seller is not None else _on_some("counts", held)
    how = _how(held, "exact measure", "by exact measure", amount)
    runs: list[Run] = [lead, *who, *amount("seller", held.said), ": ", *how]
    if lines_said is not None:
        runs += [" The seller's own lines add up to ", *amount("seller · lines", lines_said), "."]
    return runs


def _money_verdict(job: TallyJob, held: Held, *lead: Run) -> list[Run]:
    def amount(what: str, value: Fraction) -> Text:
        return (money_figure(f"sum · {what} · price", value, job.currency),)

    by = "by exact measure" if len(held.by_rule) > 1 else "at these rates"
    return [*lead, *amount("seller", held.said), ": ", *_how(held, f"price {by}", by, amount)]


def _how(held: Held, agrees: str, by: str, amount: Callable[[str, Fraction], Text]) -> list[Run]:
    """Whether a figure is the exact one, else how far it is from it and which rule explains it or comes nearest."""
    rules = held.rules
    if EXACT in rules:
        both = ", and surface measure gives the same" if SURFACE in rules else ""
        return [f"that is the {agrees}{ROUNDED if held.apart else ''}{both}."]
    runs: list[Run] = [*amount("apart", abs(held.apart)), f" {_more(held.apart)} than {by}; "]
    if rules:
        explains = f"{RULE_NAMES[rules[0]]} explain{'' if rules[0] in PLURAL else 's'} it"
        return [*runs, "it is the price of what the seller counts." if rules[0] == SELLER else f"{explains}."]
    if held.lines and not held.odd:
        return [*runs, "no one rule explains it, but each line has one of its own: ask the seller which counts."]
    runs.append(f"no rule here explains {marks_text(held.odd) if held.odd else 'it'}")
    near = _nearest(held)
    off = held.said - held.by_rule[near]
    if near != EXACT and not held.odd:
        comes = "come" if near in PLURAL else "comes"
        runs += [f" ({RULE_NAMES[near]} {comes} nearest, the seller is ", *amount("nearest", abs(off))]
        runs.append(f" {_more(off)})")
    return [*runs, ": ask the seller."]


def _nearest(held: Held) -> str:
    """The rule whose figure is nearest to what the seller says."""
    return min(held.by_rule, key=lambda rule: abs(held.said - held.by_rule[rule]))


def _more(apart: Fraction) -> str:
    return "more" if apart > 0 else "less"


def _rules(job: TallyJob) -> Text:
    runs, measures = "", _measures(job)
    if SoldBy.BOARD_FOOT in measures:
        runs = (
            "Exact board feet: thickness × width × length over 144 cubic inches, thickness under 1 in counted as 1 in "
            f"({BOARD_MEASURE}). By surface measure: width times whole feet of length, each hardwood board rounded to "
            "whole square feet, times the thickness; a bundle of one thickness is rounded to whole board feet "
            f"({NHLA.title}). "
        )
        if any(RAISED in line.feet for line in job.measure.lines):
            runs += "Exact halves are raised and lowered in turn; some sellers raise every one. "
    if SoldBy.CUBIC_METRE in measures:
        runs += "Exact cubic metres: thickness as sawn × width × length. "
    if SoldBy.SQUARE_METRE in measures:
        runs += "Exact square metres: width × length. "
    runs += _customs(job, measures)
    runs += "Off by is the seller's figure less the one here; figures agree within half of the last printed digit."
    return (runs,)


def _customs(job: TallyJob, measures: Sequence[SoldBy]) -> str:
    """What the rules of metric sellers mean that are told on this sheet."""
    metric = [by for by in measures if by is not SoldBy.BOARD_FOOT]
    there = {rule for line in job.measure.lines for by in metric for rule in line.by_rule(by)} & _told(job)
    told = []
    if there & {NOMINAL, NOMINAL_DOWN, NOMINAL_UP}:
        told.append("nominal size is the one the material goes by")
    if there & {DOWN, UP, NOMINAL_DOWN, NOMINAL_UP}:
        told.append("rounded down or up are widths to whole centimetres and lengths to whole decimetres")
    if EACH in there:
        steps = {SoldBy.CUBIC_METRE: "0.001 m³", SoldBy.SQUARE_METRE: "0.01 m²"}
        told.append(f"rounding each board is to {' and '.join(steps[by] for by in metric)}")
    return f"Of the customs of sellers, {'; '.join(told)} (common practice, no source). " if told else ""
