"""The lumber sheet and the shopping list: what to buy and what it costs."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import (
    Bullets,
    Cell,
    Checklist,
    Column,
    Group,
    Paragraph,
    Row,
    Step,
    Table,
    Text,
    Weight,
    text,
)
from shopdocs.core.display import decimal, trimmed
from shopdocs.documents.figures import (
    count_figure,
    decimal_figure,
    grams_figure,
    length_text,
    money_figure,
    volume_figure,
)
from shopdocs.documents.job import Job
from shopdocs.facts.lumber import BOARD_MEASURE
from shopdocs.model.parts import Material, MaterialKind
from shopdocs.work.cutlist import dressed_size
from shopdocs.work.lumber import MaterialNeed


def lumber_sheet(job: Job) -> Document:
    solid = [need for need in job.needs if need.material.kind is not MaterialKind.SHEET]
    sheets = [need for need in job.needs if need.material.kind is MaterialKind.SHEET]
    blocks: list[Block] = []
    if solid:
        blocks.append(_solid_table(job, solid))
    if sheets:
        blocks.append(_sheet_table(job, sheets))
    blocks += _total(job)
    blocks.append(Paragraph(_rules(job, bool(solid), bool(sheets)), Weight.QUIET))
    return Document("lumber", "Lumber sheet", "What do I buy, and what does it cost?", tuple(blocks))


def describe_stock(job: Job, material: Material) -> str:
    """What to ask for at the yard."""
    display = job.display
    species = material.species or material.name
    if material.kind is MaterialKind.SHEET and material.sheet and material.thickness:
        return f"{species}, {display.length(material.thickness)} thick, sheets {display.size(*material.sheet)}"
    if material.kind is MaterialKind.SOFTWOOD and material.nominal:
        size = dressed_size(material)
        real = f", dressed {display.size(size.thickness, size.width)}" if size else ""
        nominal = "×".join(trimmed(measure, 3) for measure in material.nominal)
        return f"{species}, nominal {nominal}{real}"
    rough = f"{material.quarters}/4" if material.quarters else display.length(material.rough) if material.rough else ""
    return f"{species}, {rough} rough sawn"


def _solid_table(job: Job, needs: list[MaterialNeed]) -> Table:
    currency = job.shop.currency
    columns = [
        Column("Material", strong=True, share=1.6),
        Column("Pieces", "right", share=0.1),
        Column("Net", "right", "bf", share=0.4),
        Column("Rough", "right", "bf", share=0.4),
        Column("To buy", "right", "bf", share=0.4, strong=True),
        Column("To buy", "right", "m³", share=0.4),
    ]
    priced = any(need.price is not None for need in needs)
    if priced:
        columns += [Column("Rate", "right", share=0.8), Column("Price", "right", currency, share=0.6)]
    rows = [_solid_row(job, need, priced) for need in needs]
    if len(needs) > 1:
        rows.append(_solid_totals(job, needs, priced))
    return Table("lumber", tuple(columns), (Group(tuple(rows)),), ticks=True)


def _solid_row(job: Job, need: MaterialNeed, priced: bool) -> Row:
    material, name = need.material, need.material.name
    cells = [
        Cell.of(f"{name} · {describe_stock(job, material)}"),
        Cell.of(count_figure(f"{name} · pieces", need.pieces, material.at)),
        Cell.of(decimal_figure(f"{name} · net", need.net.board_feet, 2, "bf", material.at)),
        Cell.of(decimal_figure(f"{name} · rough", need.rough.board_feet, 2, "bf", material.at)),
        Cell.of(decimal_figure(f"{name} · to buy", need.buy.board_feet, 2, "bf", material.at), strong=True),
        Cell.of(decimal_figure(f"{name} · to buy", need.buy.cubic_metres, 4, "m³", material.at)),
    ]
    if priced:
        cells += [Cell.of(_rate(job, material)), _price_cell(job, need)]
    return Row(tuple(cells))


def _price_cell(job: Job, need: MaterialNeed) -> Cell:
    if need.price is None:
        return Cell.of("—")
    at = need.material.places.get("price", need.material.at)
    return Cell.of(decimal_figure(f"{need.material.name} · price", need.price, 2, job.shop.currency or "money", at))


def _rate(job: Job, material: Material) -> str:
    if material.price is None:
        return "—"
    return f"{decimal(material.price.amount, 2)} per {material.price.per.value}"


def _solid_totals(job: Job, needs: list[MaterialNeed], priced: bool) -> Row:
    def total(measure: str, amount: str, places: int) -> Cell:
        value = sum((getattr(getattr(need, amount), measure) for need in needs), Fraction(0))
        unit = "bf" if measure == "board_feet" else "m³"
        return Cell.of(decimal_figure(f"all lumber · {amount}", value, places, unit))

    cells = [
        Cell.of("All lumber"),
        Cell.of(count_figure("all lumber · pieces", sum(need.pieces for need in needs))),
        total("board_feet", "net", 2),
        total("board_feet", "rough", 2),
        total("board_feet", "buy", 2),
        total("cubic_metres", "buy", 4),
    ]
    if priced:
        price = sum((need.price for need in needs if need.price is not None), Fraction(0))
        cells += [Cell.of(""), Cell.of(decimal_figure("all lumber · price", price, 2, job.shop.currency or "money"))]
    return Row(tuple(cells), total=True)


def _sheet_table(job: Job, needs: list[MaterialNeed]) -> Table:
    columns = [
        Column("Sheet goods", strong=True, share=2),
        Column("Pieces", "right", share=0.1),
        Column("Net", "right", "m²", share=0.4),
        Column("To buy", "right", "m²", share=0.4),
        Column("Sheets, at least", "right", share=0.5, strong=True),
    ]
    priced = any(need.price is not None for need in needs)
    if priced:
        columns += [Column("Rate", "right", share=0.8), Column("Price", "right", job.shop.currency, share=0.6)]
    rows = []
    for need in needs:
        name, at = need.material.name, need.material.at
        cells = [
            Cell.of(f"{name} · {describe_stock(job, need.material)}"),
            Cell.of(count_figure(f"{name} · pieces", need.pieces, at)),
            Cell.of(decimal_figure(f"{name} · net", need.net.square_metres, 3, "m²", at)),
            Cell.of(decimal_figure(f"{name} · to buy", need.buy.square_metres, 3, "m²", at)),
            Cell.of(count_figure(f"{name} · sheets", need.sheets or 0, at), strong=True),
        ]
        if priced:
            cells += [Cell.of(_rate(job, need.material)), _price_cell(job, need)]
        rows.append(Row(tuple(cells)))
    return Table("sheets", tuple(columns), (Group(tuple(rows)),), ticks=True)


def total_price(job: Job) -> Fraction | None:
    prices = [need.price for need in job.needs if need.price is not None]
    return sum(prices, Fraction(0)) if prices else None


def _total(job: Job) -> list[Block]:
    total = total_price(job)
    if total is None:
        return []
    unpriced = [need.material.name for need in job.needs if need.price is None]
    missing = f" Without a price: {', '.join(unpriced)}." if unpriced else ""
    return [
        Paragraph(
            text("Wood and sheets together: ", money_figure("all · price", total, job.shop.currency), f".{missing}"),
            Weight.STRONG,
        )
    ]


def _rules(job: Job, solid: bool, sheets: bool) -> Text:
    shop = job.shop
    waste = f"{trimmed(shop.allowances.waste * 100, 1)} %"
    runs: list[str] = []
    if solid:
        runs.append(
            "One board foot is 144 cubic inches: sawn or nominal thickness × width × length, thickness under 1 in "
            f"counted as 1 in ({BOARD_MEASURE}). "
            "Net counts the pieces with their joinery, rough adds the milling allowances, to buy adds "
            f"{waste} for waste. "
        )
        if any(need.material.kind is MaterialKind.SOFTWOOD for need in job.needs):
            runs.append("Softwood is counted by its nominal size; dressed sizes after PS 20. ")
    if sheets:
        runs.append(f"Sheets are counted by area with {waste} for waste; the cuts may ask for more. ")
    if shop.defaults:
        runs.append(f"No shop file set: {', '.join(shop.defaults)}; cautious defaults were taken.")
    return tuple(runs)


def shopping_list(job: Job) -> Document:
    blocks: list[Block] = [Checklist(tuple(_wood_steps(job)), "Wood")]
    hardware = [
        Step(text(count_figure(f"{item.name} · to buy", item.count, item.at), f" × {item.buy or item.name}"))
        for item in job.build.hardware
        if item.count
    ]
    if hardware:
        blocks.append(Checklist(tuple(hardware), "Hardware"))
    glue = list(_glue_steps(job))
    if glue:
        blocks.append(Checklist(tuple(glue), "Glue and finish"))
    if job.build.buy:
        blocks.append(Checklist(tuple(Step(text(line)) for line in job.build.buy), "Also"))
    notes = [material.note for material in job.build.materials if material.note]
    if notes:
        blocks.append(Bullets(tuple(text(note) for note in notes)))
    question = "What must be in the shop before I start?"
    return Document("shopping", "Shopping list", question, tuple(blocks))


def _wood_steps(job: Job) -> list[Step]:
    steps = []
    for need in job.needs:
        material = need.material
        if need.sheets is not None:
            amount: Text = text(count_figure(f"{material.name} · sheets", need.sheets, material.at), " sheets")
        elif job.display.units == "mm" and not material.quarters and material.kind is MaterialKind.HARDWOOD:
            amount = text(
                decimal_figure(f"{material.name} · to buy", need.buy.cubic_metres, 4, "m³", material.at), " m³"
            )
        else:
            amount = text(decimal_figure(f"{material.name} · to buy", need.buy.board_feet, 1, "bf", material.at), " bf")
        longest = max(row.rough.length for group in job.groups if group.material is material for row in group.rows)
        widest = max(row.rough.width for group in job.groups if group.material is material for row in group.rows)
        detail = (
            "no board shorter than ",
            *length_text(f"{material.name} · longest", longest, job.display, material.at),
            ", none narrower than ",
            *length_text(f"{material.name} · widest", widest, job.display, material.at),
            " for the widest piece",
        )
        steps.append(Step(text(describe_stock(job, material)), detail if need.sheets is None else (), amount))
    return steps


def _glue_steps(job: Job) -> list[Step]:
    steps = []
    grams = sum((work.mix.grams for work in job.stages if work.mix), Fraction(0))
    if job.build.gluing is not None:
        at = job.build.gluing.at
        amount = text("about ", grams_figure("adhesive", grams, job.display, at)) if grams else ()
        steps.append(Step(text(job.build.gluing.adhesive), text(job.build.gluing.note), amount))
    if job.finish is not None:
        litres = job.finish.litres
        amount = text("about ", volume_figure("finish", litres, job.display, job.finish.finish.at)) if litres else ()
        detail = f"{job.finish.finish.coats} coats" + (f"; {job.finish.finish.note}" if job.finish.finish.note else "")
        steps.append(Step(text(job.finish.finish.kind), text(detail), amount))
        if job.finish.grits:
            grits = ", ".join(str(grit) for grit in job.finish.grits)
            steps.append(Step(text(f"abrasives, grit {grits}")))
    return steps
