"""The printer check: does this printer print true?"""

from __future__ import annotations

from shopdocs.blocks.drawing import Drawing, FullScale, Line, Polygon, Stroke, Words
from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Checklist, Paragraph, Step, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.job import Job

# The square's side, what counts as true, and sizes such as one might measure, by the unit that is printed. Half a
# millimetre and a 64th of an inch are what one can read off a rule (common practice, no source).
_SQUARES = {
    "mm": (Length(100), "100 mm", "half a millimetre", "99.6 mm and 100.2 mm"),
    "in": (Length.inches(4), "4 in", "¹⁄₆₄ in", "3⁶³⁄₆₄ in and 4¹⁄₆₄ in"),
}


def printer_check(job: Job) -> Document:
    """A square of 100 mm, or of 4 in where inches are printed, and what to do with its measured sides."""
    side, told, near, such = _SQUARES[job.display.units]
    square = Polygon(((ZERO, ZERO), (side, ZERO), (side, side), (ZERO, side)), Stroke.VISIBLE)
    drawing = Drawing(
        name="",
        width=side,
        height=side,
        shapes=(
            square,
            Line((ZERO, ZERO), (side, side), Stroke.THIN),
            Words((side / 2, ZERO), f"across: {told}", 10, strong=True, dy_mm=-4),
            Words((ZERO, side / 2), f"up: {told}", 10, angle=90, strong=True, dx_mm=-4),
        ),
        clear_mm=10,
    )
    steps = (
        Step(text("Print this sheet at 100 % (actual size), on the paper you use for templates")),
        Step(text("Measure the square across, from middle of line to middle of line"), blank="across"),
        Step(text("Measure it up the sheet the same way"), blank="up"),
        Step(
            text(f"Off by more than {near}: write what you measured into the shop file"),
            text(f"under printer, across and up, such as {such}; templates printed from then on are corrected"),
        ),
    )
    blocks: tuple[Block, ...] = (
        Checklist(steps),
        Paragraph(text("The square itself is printed without any correction.")),
        FullScale(f"Square of {told}", drawing, corrected=False),
    )
    return Document("printer-check", "Printer check", "Does this printer print true?", blocks)
