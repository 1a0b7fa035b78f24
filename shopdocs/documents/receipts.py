"""A receipt on paper: what was bought by both rules, what it should cost, and how far the seller is from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.blocks.sheets import Block, Imprint
from shopdocs.blocks.text import Cell, Column, Figure, Group, Paragraph, Row, Run, Table, Text, Weight
from shopdocs.core.display import MINUS, Display, decimal
from shopdocs.core.problems import NOWHERE
from shopdocs.documents.figures import count_figure, decimal_figure, marks_text, money_figure, size_text
from shopdocs.documents.stock import describe_stock, price_words
from shopdocs.facts.lumber import BOARD_MEASURE, NHLA
from shopdocs.model.build import Build, Shop
from shopdocs.model.stock import Receipt
from shopdocs.work.boards.cure import Refit
from shopdocs.work.boards.measure import RAISED, RULES, SELLER, WHOLE, Bought, Held, Measure
from shopdocs.work.boards.stock import EXACT, SURFACE

RULE_NAMES = {
    EXACT: "exact measure",
    SURFACE: "surface measure",
    RAISED: "surface measure with every half raised",
    WHOLE: "rounding each board up",
    SELLER: "the seller's own board feet",
}
ROUNDED = ", rounded"
BY = "by "


@dataclass(frozen=True, slots=True)
class TallyJob:
    """A receipt and everything computed from it."""

    build: Build
    shop: Shop
    display: Display
    receipt: Receipt
    measure: Measure
    refits: tuple[Refit, ...]

    @property
    def currency(self) -> str:
        return self.receipt.currency or self.shop.currency

    @property
    def imprint(self) -> Imprint:
        build = self.build
        return Imprint(build.title, build.mark, build.revision, build.maker or self.shop.name, build.date)


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
    feet, metres = _by_foot(job), any(_in_metres(line) for line in job.measure.lines)
    columns = [
        Column("Boards", strong=True, share=1.2),
        Column("Width × length", "right", job.display.units, share=1.2),
    ]
    if metres:
        columns.append(Column("Volume", "right", "m³", share=0.4))
    if feet:
        columns += [
            Column("Exact", "right", "bf", share=0.4),
            Column("By surface", "right", "bf", share=0.4),
            Column("Seller", "right", "bf", share=0.4, strong=True),
            Column("Apart", "right", "bf", share=0.4),
            Column("The seller counts by", share=1.4),
        ]
    groups: dict[tuple[str, str], list[Row]] = {}
    for bought in job.measure.lines:
        row = _receipt_row(job, bought, feet, metres)
        groups.setdefault((bought.material.name, _stock_words(job, bought)), []).append(row)
    made = tuple(Group(tuple(rows), name, words) for (name, words), rows in groups.items())
    return Table("receipt", tuple(columns), made, ticks=True)


def _by_foot(job: TallyJob) -> bool:
    return any(line.feet and line.by_foot for line in job.measure.lines)


def _in_metres(bought: Bought) -> bool:
    return bool(bought.feet) and not bought.by_foot


def _stock_words(job: TallyJob, bought: Bought) -> str:
    """What was bought, with its own thickness where the receipt gives one."""
    words = describe_stock(job.display, bought.material)
    if bought.thickness is None or bought.line.quarters == bought.material.quarters is not None:
        return words
    sold = bought.line.quarters is not None and bought.line.quarters >= 4
    thickness = f"{bought.line.quarters}/4" if sold else job.display.length(bought.thickness)
    return f"{words}; bought {thickness} thick"


def _receipt_row(job: TallyJob, bought: Bought, by_foot: bool, metres: bool) -> Row:
    line, name, at = bought.line, _name(bought), bought.line.at
    size = size_text(name, job.display, ("width", bought.width, at), ("length", bought.length, at))
    cells = [Cell.of(marks_text(bought.marks)), Cell(size)]
    if metres:
        volume = decimal_figure(f"{name} · volume", bought.cubic_metres, 4, "m³", at)
        cells.append(Cell.of(volume if _in_metres(bought) else "—"))
    if by_foot:
        for rule in (EXACT, SURFACE):
            value = bought.feet.get(rule) if bought.by_foot else None
            cells.append(Cell.of("—" if value is None else decimal_figure(f"{name} · {rule}", value, 2, "bf", at)))
        place = line.places.get("board feet", at)
        said = "—" if line.feet is None else decimal_figure(f"{name} · seller", line.feet, 2, "bf", place)
        apart = "—" if bought.apart is None else apart_figure(f"{name} · apart", bought.apart)
        counts = "—" if line.feet is None else _explained(bought.rules, line.feet, bought.feet)
        cells += [Cell.of(said), Cell.of(apart), Cell.of(counts)]
    return Row(tuple(cells))


def _name(bought: Bought) -> str:
    return f"receipt · {bought.marks[0]}"


def _explained(rules: Sequence[str], said: Fraction, by_rule: Mapping[str, Fraction]) -> str:
    """The rules that give the seller's figure, and whether only after rounding it as printed."""
    told = [rule for rule in rules if rule != SELLER] or rules  # the seller's own feet only where no rule gives them
    names = [RULE_NAMES[rule] + (ROUNDED if by_rule[rule] != said else "") for rule in told[:2]]
    return " or ".join(names) or "no rule here"


def apart_figure(name: str, value: Fraction, unit: str = "bf") -> Figure:
    """A difference with its sign."""
    shown = decimal(abs(value), 2)
    sign = "" if shown == "0.00" else "+" if value > 0 else MINUS
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
        Column("Apart", "right", job.currency, share=0.4),
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
    if not sums.feet and not sums.money:
        return None
    columns = [Column("Sum", strong=True, share=1.6)]
    if sums.feet:
        columns += [
            Column("Board feet", "right", "bf", share=0.5),
            Column("Seller apart", "right", "bf", share=0.5),
        ]
    if sums.money:
        columns += [
            Column("Price", "right", job.currency, share=0.5),
            Column("Seller apart", "right", job.currency, share=0.5),
        ]
    rules = [rule for rule in RULES if rule in sums.feet or rule in sums.money]
    rows = [_sum_row(job, BY + RULE_NAMES[rule], rule, sums.feet.get(rule), sums.money.get(rule)) for rule in rules]
    feet, asked = (held.said if held is not None else None for held in (sums.seller_feet, sums.seller_money))
    if feet is not None or asked is not None:
        rows.append(_sum_row(job, "the seller", "seller", feet, asked, total=True))
    return Table("sums", tuple(columns), (Group(tuple(rows)),))


def _sum_row(
    job: TallyJob, words: str, name: str, feet: Fraction | None, asked: Fraction | None, total: bool = False
) -> Row:
    sums, unit = job.measure.sums, money_unit(job)

    def apart(mine: Fraction | None, seller: Held | None, what: str) -> Cell:
        if total or mine is None or seller is None:
            return Cell.of("" if total else "—")
        return Cell.of(apart_figure(f"sum · {name} · apart", seller.said - mine, what))

    cells = [Cell.of(words)]
    if sums.feet:
        cells.append(Cell.of(decimal_figure(f"sum · {name}", feet, 2, "bf") if feet is not None else "—"))
        cells.append(apart(feet, sums.seller_feet, "bf"))
    if sums.money:
        cells.append(Cell.of(decimal_figure(f"sum · {name} · price", asked, 2, unit) if asked is not None else "—"))
        cells.append(apart(asked, sums.seller_money, unit))
    return Row(tuple(cells), total=total)


# --- what it comes to ------------------------------------------------------------------------------------------------


def verdict(job: TallyJob) -> Text:
    """Whether the seller's board feet and money agree, by how much they do not, and which rule explains it."""
    sums = job.measure.sums
    runs: list[Run] = []
    if sums.seller_feet is not None:
        runs += _feet_verdict(sums.seller_feet, "The seller counts ")
    elif sums.some_feet is not None:
        runs += _feet_verdict(sums.some_feet, *_on_some("counts", sums.some_feet))
    if sums.seller_money is not None:
        runs += _money_verdict(job, sums.seller_money, " For " if runs else "The seller asks ")
        if sums.lines_money is not None and sums.lines_money != sums.seller_money.said:
            figure = money_figure("sum · seller · lines", sums.lines_money, job.currency)
            runs += [" The seller's own lines add up to ", figure, "."]
    elif sums.some_money is not None:
        lead = " " if runs else ""
        runs += _money_verdict(job, sums.some_money, lead, *_on_some("asks", sums.some_money))
    if sums.asked is not None and sums.seller_money is None:
        unpriced = [mark for line in job.measure.lines if not line.money for mark in line.marks]
        have = "has" if len(unpriced) == 1 else "have"
        lead = f"{' ' if runs else ''}The sum of money cannot be held against a rule: "
        runs.append(f"{lead}{marks_text(unpriced)} {have} no price in the build or on the receipt.")
    if not runs:
        return ("The receipt names no board feet or money that could be held against a rule.",)
    return tuple(runs)


def _on_some(does: str, held: Held) -> tuple[Run, ...]:
    count = count_figure(f"sum · seller · lines that {does}", held.lines)
    return ("On ", count, f" of {held.of} lines the seller {does} ")


def _feet_verdict(held: Held, *lead: Run) -> list[Run]:
    def amount(what: str, value: Fraction) -> Text:
        return (decimal_figure(f"sum · {what}", value, 2, "bf"), " bf")

    return [*lead, *amount("seller", held.said), ": ", *_how(held, "exact measure", "by exact measure", amount)]


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
        told = "it is the price of the board feet that the seller counts" if rules[0] == SELLER else ""
        return [*runs, f"{told or RULE_NAMES[rules[0]] + ' explains it'}."]
    runs.append(f"no rule here explains {marks_text(held.odd) if held.odd else 'it'}")
    near = min(held.by_rule, key=lambda rule: abs(held.said - held.by_rule[rule]))
    off = held.said - held.by_rule[near]
    if near != EXACT and not held.odd:
        runs += [f" ({RULE_NAMES[near]} comes nearest, the seller is ", *amount("nearest", abs(off)), f" {_more(off)})"]
    return [*runs, ": ask the seller."]


def _more(apart: Fraction) -> str:
    return "more" if apart > 0 else "less"


def _rules(job: TallyJob) -> Text:
    runs = ""
    if _by_foot(job):
        runs = (
            "Exact: thickness × width × length over 144 cubic inches, thickness under 1 in counted as 1 in "
            f"({BOARD_MEASURE}). By surface measure: width times whole feet of length, each hardwood board rounded to "
            "whole square feet, times the thickness; a bundle of one thickness is rounded to whole board feet "
            f"({NHLA.title}). "
        )
        if any(RAISED in line.feet for line in job.measure.lines):
            runs += "Exact halves are raised and lowered in turn; some sellers raise every one. "
    if any(_in_metres(line) for line in job.measure.lines):
        runs += "Volume: thickness as sawn × width × length. "
    runs += "Apart is the seller's figure less the one here; figures agree within half of the last printed digit."
    return (runs,)
