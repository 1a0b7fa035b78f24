"""The tally: a receipt measured by both rules, and the pieces laid out on the boards that were bought."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from msgspec import Struct

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import (
    Bullets,
    Cell,
    Column,
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
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.documents.figures import count_figure, marks_text, money_figure, size_text
from shopdocs.documents.yard.board_drawings import board_drawings, drawings_text
from shopdocs.documents.yard.nearly import near_text
from shopdocs.documents.yard.receipts import TallyJob, receipt_blocks, verdict
from shopdocs.documents.yard.words import board_size, lengths_text, reason_text
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.cure import Refit
from shopdocs.work.boards.least import Least
from shopdocs.work.boards.results import MaterialPlan


def tally_sheet(job: TallyJob) -> Document:
    """The receipt line by line, whether these boards give every piece, and where each piece comes out of them."""
    blocks: list[Block] = []
    if job.receipt.seller or job.receipt.date:
        words = " · ".join(word for word in (job.receipt.seller, job.receipt.date) if word)
        blocks.append(Paragraph((words,)))
    blocks += receipt_blocks(job)
    blocks += [Heading("Are the boards enough?", 2), _fit_table(job), Paragraph(fit_text(job), Weight.STRONG)]
    missing = _missing(job)
    if missing:
        blocks.append(Bullets(tuple(missing)))
    plans = [refit.plan for refit in job.refits]
    if any(refit.capped for refit in job.refits):
        words = "The search was ended by the clock, so another run may lay the boards out otherwise."
        blocks.append(Paragraph((words,), Weight.QUIET))
    if any(plan.boards for plan in plans):
        blocks.append(Paragraph(drawings_text(job.shop, job.display), Weight.QUIET))
    for plan in plans:
        blocks += board_drawings(plan, job.display, job.shop)
    question = "Does the receipt agree, and are these boards enough?"
    return Document("tally", "Tally", question, tuple(blocks))


# --- do they suffice -------------------------------------------------------------------------------------------------


def _fit_table(job: TallyJob) -> Table:
    columns = (
        Column("Material", strong=True, share=1.0),
        Column("Sawn from", share=1.4),
        Column("Not cut", share=1.0),
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
        lead, are = ("all ", "pieces are") if placed != 1 else ("the ", "piece is")
        return (f"Everything fits: {lead}", count_figure("pieces placed", placed), f" {are} on these boards.")
    do = "pieces do" if missing != 1 else "piece does"
    return (count_figure("pieces missing", missing), f" {do} not fit on these boards.")


class Counted(Struct, frozen=True):
    """Pieces of the build, and how many strips stand for those that are glued up from strips."""

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
    """What is missing and why, what would cure it, and the boards that are no use for this build."""
    found: list[Text] = []
    for refit in job.refits:
        for left in refit.plan.left_out:
            part = left.row.part
            count = count_figure(f"{part.name} · missing", left.count, part.at)
            reason = reason_text(job.display, left)
            strips = f" strip{_s(left.count)}" if part.strips > 1 else ""
            found.append((f"{part.name}, ", count, f"{strips} missing ({marks_text(left.marks)}): ", *reason, "."))
        if refit.near:
            runs: list[Run] = ["Nearly fits, decide at the bench: "]
            for index, near in enumerate(refit.near):
                runs += ["; " if index else "", *near_text(job.display, near)]
            found.append((*runs, "."))
        if refit.cure is not None:
            found.append(_cure_text(job, refit))
        for marks, idle in refit.useless:
            name = f"{marks[0]} · left alone"
            why = lengths_text(name, idle.reason, idle.lengths, job.display, idle.board.at)
            stay = "stays" if len(marks) == 1 else "stay"
            found.append((f"{marks_text(marks)} {stay} whole, {refit.plan.material.name}: ", *why, "."))
    return found


def _cure_text(job: TallyJob, refit: Refit) -> Text:
    """The board to buy, tried by laying out again with it."""
    assert refit.cure is not None
    boards, name = refit.cure.boards, refit.plan.material.name
    kind = "sheet" if refit.plan.material.kind is MaterialKind.SHEET else "board"
    if not boards:
        return (f"No {kind} of {name} tried here would hold all that is missing.",)
    runs: list[Run] = [f"With one more {kind} of {name}, " if len(boards) == 1 else f"With more {kind}s of {name}, "]
    for index, (board, count) in enumerate(Counter(boards).items()):
        runs.append(" and " if index else "")
        if len(boards) > 1:
            runs += [count_figure(f"{name} · cure · boards", count), " of "]
        runs += board_size(job.display, f"{name} · cure", board)
    runs += [f" {job.display.units}"]
    prices = [board.price for board in boards if board.price is not None]
    if len(prices) == len(boards):
        runs += [" for ", money_figure(f"{name} · cure · price", sum(prices, Fraction(0)), job.currency)]
    best = "" if len(boards) > 1 else f"; the {'cheapest' if prices else 'smallest'} of the {kind}s tried"
    runs.append(f", everything fits (laid out again with {'it' if len(boards) == 1 else 'them'}{best}).")
    return (*runs, *_least_text(job, name, kind, refit.cure.least))


def _least_text(job: TallyJob, name: str, kind: str, least: Least | None) -> Text:
    """The exact size below which no single board was found to hold what is missing, ends and kerfs included."""
    if least is None:
        return ()
    name = f"{name} · least"
    size = size_text(name, job.display, ("width", least.width, NOWHERE), ("length", least.length, NOWHERE), unit=True)
    kind = "piece of a sheet" if kind == "sheet" else kind
    return (f" The least single {kind} that holds what is missing is ", *size, ".")


def tally_lines(job: TallyJob) -> tuple[str, ...]:
    """The same in a few lines for the terminal."""
    return (plain(verdict(job)), plain(fit_text(job)), *(f"  {plain(item)}" for item in _missing(job)))
