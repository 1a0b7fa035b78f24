"""The printer check: does this printer print true?"""

from __future__ import annotations

from shopdocs.blocks.drawing import Drawing, FullScale, Line, Polygon, Stroke, Words
from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Checklist, Paragraph, Step, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.job import Job

SIDE = Length(100)


def printer_check(job: Job) -> Document:
    """A square of 100 mm and what to do with its measured sides."""
    square = Polygon(((ZERO, ZERO), (SIDE, ZERO), (SIDE, SIDE), (ZERO, SIDE)), Stroke.VISIBLE)
    drawing = Drawing(
        name="",
        width=SIDE,
        height=SIDE,
        shapes=(
            square,
            Line((ZERO, ZERO), (SIDE, SIDE), Stroke.THIN),
            Words((SIDE / 2, ZERO), "across: 100 mm", 10, strong=True, dy_mm=-4),
            Words((ZERO, SIDE / 2), "up: 100 mm", 10, angle=90, strong=True, dx_mm=-4),
        ),
        clear_mm=10,
    )
    steps = (
        Step(text("Print this sheet at 100 % (actual size), on the paper of the templates")),
        Step(text("Measure the square from middle of line to middle of line"), blank="across"),
        Step(text("The same up the sheet"), blank="up"),
        Step(
            text("Off by more than half a millimetre: write what you measured into the shop file"),
            text("under printer, across and up, such as 99.6 mm and 100.2 mm; later templates are then corrected"),
        ),
    )
    blocks: tuple[Block, ...] = (
        Checklist(steps),
        Paragraph(text("The square itself is printed without any correction.")),
        FullScale("Square of 100 mm", drawing, corrected=False),
    )
    return Document("printer-check", "Printer check", "Does this printer print true?", blocks)
