"""The tally: a receipt measured by both rules, and the pieces laid out on the boards that were bought."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.blocks.sheets import Block, Document, Imprint
from shopdocs.blocks.text import (
    Bullets,
    Cell,
    Column,
    Figure,
    Group,
    Heading,
    Paragraph,
    Row,
    Run,
    Table,
    Text,
    Weight,
    plain,
)
from shopdocs.core.display import MINUS, Display, decimal
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.documents.boards import board_drawings, drawings_text
from shopdocs.documents.figures import count_figure, decimal_figure, marks_text, money_figure, size_text
from shopdocs.documents.stock import board_size, describe_stock, reason_text
from shopdocs.facts.lumber import BOARD_MEASURE, NHLA
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.model.stock import Receipt
from shopdocs.work.boards.cure import Refit
from shopdocs.work.boards.measure import RULES, Bought, Measure
from shopdocs.work.boards.results import MaterialPlan
from shopdocs.work.boards.stock import EXACT, SURFACE

RULE_NAMES = {
    EXACT: "exact measure",
    SURFACE: "surface measure",
    "each board rounded up to a whole board foot": "rounding each board up",
}

ROUNDED = ", rounded"


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


def tally_sheet(job: TallyJob) -> Document:
    blocks: list[Block] = []
    if job.receipt.seller or job.receipt.date:
        words = " · ".join(word for word in (job.receipt.seller, job.receipt.date) if word)
        blocks.append(Paragraph((words,)))
    blocks.append(_receipt_table(job))
    blocks.append(Paragraph(verdict(job), Weight.STRONG))
    sums = _sums_table(job)
    if sums is not None:
        blocks.append(sums)
    blocks.append(Paragraph(_rules(), Weight.QUIET))
    blocks += [Heading("Do the boards suffice?", 2), _fit_table(job), Paragraph(fit_text(job), Weight.STRONG)]
    missing = _missing(job)
    if missing:
        blocks.append(Bullets(tuple(missing)))
    plans = [refit.plan for refit in job.refits]
    if any(plan.boards for plan in plans):
        blocks.append(Paragraph(drawings_text(plans, job.shop, job.display), Weight.QUIET))
    for plan in plans:
        blocks += board_drawings(plan, job.display, job.shop)
    question = "Does the receipt agree, and do these boards suffice?"
    return Document("tally", "Tally", question, tuple(blocks))


# --- the receipt -----------------------------------------------------------------------------------------------------


def _receipt_table(job: TallyJob) -> Table:
    columns = (
        Column("Boards", strong=True, share=1.2),
        Column("Width × length", "right", job.display.units, share=1.2),
        Column("Exact", "right", "bf", share=0.4),
        Column("By surface", "right", "bf", share=0.4),
        Column("Seller", "right", "bf", share=0.4, strong=True),
        Column("Apart", "right", "bf", share=0.4),
        Column("The seller counts by", share=1.4),
    )
    groups: dict[tuple[str, str], list[Row]] = {}
    for bought in job.measure.lines:
        groups.setdefault((bought.material.name, _stock_words(job, bought)), []).append(_receipt_row(job, bought))
    made = tuple(Group(tuple(rows), name, words) for (name, words), rows in groups.items())
    return Table("receipt", columns, made, ticks=True)


def _stock_words(job: TallyJob, bought: Bought) -> str:
    """What was bought, with its own thickness where the receipt gives one."""
    words = describe_stock(job.display, bought.material)
    if bought.thickness is None or bought.line.quarters == bought.material.quarters is not None:
        return words
    sold = bought.line.quarters is not None and bought.line.quarters >= 4
    thickness = f"{bought.line.quarters}/4" if sold else job.display.length(bought.thickness)
    return f"{words}; bought {thickness} thick"


def _receipt_row(job: TallyJob, bought: Bought) -> Row:
    line, name = bought.line, f"receipt · {bought.marks[0]}"
    at = line.at

    def feet(rule: str) -> Cell:
        value = bought.feet.get(rule)
        return Cell.of(decimal_figure(f"{name} · {rule}", value, 2, "bf", at) if value is not None else "—")

    places = line.places.get("board feet", at)
    size = size_text(name, job.display, ("width", bought.width, at), ("length", bought.length, at))
    said = Cell.of(decimal_figure(f"{name} · seller", line.feet, 2, "bf", places) if line.feet is not None else "—")
    apart = Cell.of(apart_figure(f"{name} · apart", bought.apart) if bought.apart is not None else "—")
    return Row(
        (
            Cell.of(marks_text(bought.marks)),
            Cell(size),
            feet(EXACT),
            feet(SURFACE),
            said,
            apart,
            Cell.of(_by(bought) if line.feet is not None else "—"),
        )
    )


def _by(bought: Bought) -> str:
    """The rules that give the seller's figure, and whether only after rounding it as printed."""
    said = bought.line.feet
    names = [
        RULE_NAMES[rule] + (ROUNDED if said is not None and bought.feet[rule] != said else "")
        for rule in bought.rules[:2]
    ]
    return " or ".join(names) or "no rule here"


def apart_figure(name: str, value: Fraction, unit: str = "bf") -> Figure:
    """A difference with its sign."""
    shown = decimal(abs(value), 2)
    sign = "" if shown == "0.00" else "+" if value > 0 else MINUS
    return Figure(name, sign + shown, value, unit, NOWHERE)


def _sums_table(job: TallyJob) -> Table | None:
    """Sums by rule and how far the seller's are from them."""
    sums = job.measure.sums
    if not sums.feet and not sums.money:
        return None
    money = bool(sums.money)
    columns = [Column("Sum", strong=True, share=1.6), Column("Board feet", "right", "bf", share=0.5)]
    columns += [Column("Seller apart", "right", "bf", share=0.5)]
    if money:
        columns += [
            Column("Price", "right", job.currency, share=0.5),
            Column("Seller apart", "right", job.currency, share=0.5),
        ]
    rows = []
    for rule in RULES:
        if rule not in sums.feet and rule not in sums.money:
            continue
        rows.append(
            _sum_row(job, f"by {RULE_NAMES[rule]}", rule, sums.feet.get(rule), sums.money.get(rule), money, False)
        )
    if sums.seller_feet is not None or sums.seller_money is not None:
        rows.append(_sum_row(job, "the seller", "seller", sums.seller_feet, sums.seller_money, money, True))
    return Table("sums", tuple(columns), (Group(tuple(rows)),))


def _sum_row(
    job: TallyJob, words: str, name: str, feet: Fraction | None, asked: Fraction | None, money: bool, total: bool
) -> Row:
    sums, unit = job.measure.sums, job.currency or "money"

    def apart(mine: Fraction | None, said: Fraction | None, what: str) -> Cell:
        if total or mine is None or said is None:
            return Cell.of("" if total else "—")
        return Cell.of(apart_figure(f"sum · {name} · apart", said - mine, what))

    cells = [
        Cell.of(words),
        Cell.of(decimal_figure(f"sum · {name}", feet, 2, "bf") if feet is not None else "—"),
        apart(feet, sums.seller_feet, "bf"),
    ]
    if money:
        cells += [
            Cell.of(decimal_figure(f"sum · {name} · price", asked, 2, unit) if asked is not None else "—"),
            apart(asked, sums.seller_money, unit),
        ]
    return Row(tuple(cells), total=total)


def verdict(job: TallyJob) -> Text:
    """Whether the seller's board feet and money agree, by how much they do not, and which rule explains it."""
    sums = job.measure.sums
    runs: list[Run] = []
    if sums.seller_feet is not None and sums.feet:
        runs += ["The seller counts ", decimal_figure("sum · seller", sums.seller_feet, 2, "bf"), " bf: "]
        runs += _how(sums.seller_feet - sums.feet[EXACT], sums.feet_rules, "bf", "")
    if sums.seller_money is not None and sums.money:
        lead = " For " if runs else "The seller asks "
        runs += [lead, money_figure("sum · seller · price", sums.seller_money, job.currency), ": "]
        runs += _how(sums.seller_money - sums.money[EXACT], sums.money_rules, job.currency or "money", job.currency)
        if sums.lines_money is not None and sums.lines_money != sums.seller_money:
            figure = money_figure("sum · seller · lines", sums.lines_money, job.currency)
            runs += [" The seller's own lines add up to ", figure, "."]
    if not runs:
        return ("The receipt names no sum of board feet or money that could be held against a rule.",)
    return tuple(runs)


def _how(apart: Fraction, rules: tuple[str, ...], unit: str, currency: str) -> list[Run]:
    if EXACT in rules:
        both = ", and surface measure gives the same" if SURFACE in rules else ""
        rounded = ROUNDED if apart else ""
        return [f"that is the {'price by ' if currency else ''}exact measure{rounded}{both}."]
    amount = decimal_figure("sum · apart", abs(apart), 2, unit)
    if currency:
        amount = money_figure("sum · apart", abs(apart), currency)
    tail = "" if currency else f" {unit}"
    word = f"{tail} {'more' if apart > 0 else 'less'} than by exact measure; "
    why = f"{RULE_NAMES[rules[0]]} explains it." if rules else "no rule here explains it: ask the seller."
    return [amount, word, why]


def _rules() -> Text:
    return (
        "Exact: thickness × width × length over 144 cubic inches, thickness under 1 in counted as 1 in "
        f"({BOARD_MEASURE}). By surface measure: width times whole feet of length, each hardwood board rounded to "
        "whole square feet, times the thickness; a bundle of one thickness is rounded to whole board feet "
        f"({NHLA.title}). "
        "Apart is the seller's figure less the one here; figures agree within half of the last printed digit.",
    )


# --- do they suffice -------------------------------------------------------------------------------------------------


def _fit_table(job: TallyJob) -> Table:
    columns = (
        Column("Material", strong=True, share=1.0),
        Column("Sawn from", share=1.4),
        Column("Stay whole", share=1.0),
        Column("Pieces placed", "right", share=0.3),
        Column("Missing", "right", share=0.3, strong=True),
    )
    rows = []
    for refit in job.refits:
        plan, name = refit.plan, refit.plan.material.name
        placed, missing, at = placed_in(plan), missing_in(plan), plan.material.at
        rows.append(
            Row(
                (
                    Cell.of(name),
                    Cell.of(marks_text([board.mark for board in plan.boards]) or "—"),
                    Cell.of(marks_text(refit.spare) or "—"),
                    Cell(_counted(f"{name} · pieces placed", placed, at)),
                    Cell(_counted(f"{name} · missing", missing, at)),
                )
            )
        )
    return Table("fit", columns, (Group(tuple(rows)),))


def fit_text(job: TallyJob) -> Text:
    """Whether everything fits."""
    placed = sum(placed_in(refit.plan).pieces for refit in job.refits)
    missing = sum(missing_in(refit.plan).pieces for refit in job.refits)
    if not missing:
        have = "pieces have their" if placed != 1 else "piece has its"
        return ("Everything fits: ", count_figure("pieces placed", placed), f" {have} place.")
    are = "pieces have" if missing != 1 else "piece has"
    return (count_figure("pieces missing", missing), f" {are} no place on these boards.")


@dataclass(frozen=True, slots=True)
class Counted:
    """Pieces of the build, and how many strips stand for those that are glued up of strips."""

    pieces: int
    strips: int


def placed_in(plan: MaterialPlan) -> Counted:
    """Pieces that are on the boards whole: of a glued one, every strip."""
    sawn = Counter(piece.mark for board in plan.boards for piece in board.pieces)
    strips = {piece.mark: piece.row.part.strips for board in plan.boards for piece in board.pieces}
    whole = [mark for mark, count in sawn.items() if count >= strips[mark]]
    return Counted(len(whole), sum(sawn[mark] for mark in sawn if strips[mark] > 1))


def missing_in(plan: MaterialPlan) -> Counted:
    """Pieces that lack something, were it but one strip."""
    marks = {mark for left in plan.left_out for mark in left.marks}
    return Counted(len(marks), sum(left.count for left in plan.left_out if left.row.part.strips > 1))


def _counted(name: str, counted: Counted, at: Position) -> Text:
    shown = (count_figure(name, counted.pieces, at),)
    if not counted.strips:
        return shown
    return (*shown, " (", count_figure(f"{name} · strips", counted.strips, at), f" strip{_s(counted.strips)})")


def _s(count: int) -> str:
    return "" if count == 1 else "s"


def _missing(job: TallyJob) -> list[Text]:
    """What is missing and why, and what would cure it."""
    found: list[Text] = []
    for refit in job.refits:
        for left in refit.plan.left_out:
            part = left.row.part
            count = count_figure(f"{part.name} · missing", left.count, part.at)
            reason = reason_text(job.display, left)
            strips = f" strip{_s(left.count)}" if part.strips > 1 else ""
            found.append((f"{part.name}, ", count, f"{strips} missing ({marks_text(left.marks)}): ", *reason, "."))
        if refit.cure is not None:
            found.append(_cure_text(job, refit))
    return found


def _cure_text(job: TallyJob, refit: Refit) -> Text:
    """The board to buy, tried by laying out again with it."""
    assert refit.cure is not None
    boards, name = refit.cure.boards, refit.plan.material.name
    if not boards:
        return (f"No board of {name} tried here would hold all that is missing.",)
    runs: list[Run] = [f"With one more board of {name}, " if len(boards) == 1 else f"With more boards of {name}, "]
    for index, board in enumerate(boards):
        runs += [" and " if index else "", *board_size(job.display, f"{name} · cure", board)]
    runs += [f" {job.display.units}"]
    prices = [board.price for board in boards if board.price is not None]
    if len(prices) == len(boards):
        runs += [" for ", money_figure(f"{name} · cure · price", sum(prices, Fraction(0)), job.currency)]
    kind = "sheets" if refit.plan.material.kind is MaterialKind.SHEET else "boards"
    best = "" if len(boards) > 1 else f"; the {'cheapest' if prices else 'smallest'} of the {kind} tried"
    runs.append(f", everything fits (laid out again with {'it' if len(boards) == 1 else 'them'}{best}).")
    return tuple(runs)


def tally_lines(job: TallyJob) -> tuple[str, ...]:
    """The same in a few lines for the terminal."""
    return (plain(verdict(job)), plain(fit_text(job)), *(f"  {plain(item)}" for item in _missing(job)))
