"""How long paper takes, each against a floor measured in the same run: the same items written straight to a canvas.

Run it as a script: python tests/bench/paper.py
"""

from __future__ import annotations

import io
import time
from collections.abc import Callable

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from shopdocs.blocks.sheets import Block, Document, Imprint, Labels, PieceLabel
from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.core.display import mixed_number
from shopdocs.core.length import Length
from shopdocs.output.pdf import write_pdf
from shopdocs.page import qr
from shopdocs.page.compose import Composed, compose
from shopdocs.page.items import Line, Path, Symbol, TextRun
from shopdocs.page.paper import paper
from shopdocs.page.typeface import font_file

IMPRINT = Imprint("Plant stand", "PS", "A", "", "")


def labels(count: int) -> Block:
    return Labels(
        tuple(
            PieceLabel(
                f"S{i}", "PS", "slat", f"{mixed_number(Length.inches('1/2').inch)} × 2 × {i % 40} in", "end B",
                ("1 → FL", "2 → FR"), f"stage {i % 5}", "not S2: mirror image", f"HTTPS://EXAMPLE.ORG/R/PS-{i}",
            )
            for i in range(count)
        ),
        "letter-30",
    )  # fmt: skip


def table(rows: int) -> Block:
    heads = ("Mark", "Piece", "Thick", "Wide", "Long", "Note")
    columns = tuple(Column(head, "right" if head in ("Thick", "Wide", "Long") else "left") for head in heads)
    lines = tuple(
        Row(tuple(Cell.of(word) for word in (f"S{i}", "slat", "¹⁄₂", "2¹⁄₄", f"{i}", f"board {i % 97}")))
        for i in range(rows)
    )
    return Table("bench", columns, (Group(lines),), ticks=True)


def floor(composed: Composed) -> None:
    """The same strings and shapes by the canvas's own methods, nothing fitted, no symbol encoded."""
    for face in ("regular", "semibold", "bold"):
        if face not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(face, font_file(face)))
    canvas = Canvas(io.BytesIO(), pageCompression=1, initialFontName="regular")
    for frame in composed.frames:
        words = canvas.beginText()
        for item in frame.items:
            if isinstance(item, TextRun):
                words.setFont(item.face, item.size)
                words.setTextOrigin(item.x, item.y)
                words.textOut(item.text)
            elif isinstance(item, Line):
                canvas.line(item.x0, item.y0, item.x1, item.y1)
            elif isinstance(item, Path):
                path = canvas.beginPath()
                path.moveTo(*item.points[0])
                for point in item.points[1:]:
                    path.lineTo(*point)
                canvas.drawPath(path)
            elif isinstance(item, Symbol):
                path = canvas.beginPath()
                for number, row in enumerate(item.rows):
                    for column, dark in enumerate(row):
                        if dark == "1":
                            path.rect(column, -number, 1, 1)
                canvas.drawPath(path, stroke=0, fill=1)
        canvas.drawText(words)
        canvas.showPage()
    canvas.save()


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def measure(name: str, block: Block) -> None:
    document = Document("bench", "Bench", "", (block,))
    results: list[Composed] = []
    laid = timed(lambda: results.append(compose([document], IMPRINT, paper("letter"))))
    composed = results[0]
    out = io.BytesIO()
    written = timed(lambda: write_pdf(composed, out))
    ground = timed(lambda: floor(composed))
    pages, size = len(composed.frames), len(out.getvalue()) / 1000
    ratio = (laid + written) / ground
    print(f"{name:28} {pages:4} pages  lay out {laid:5.2f} s  write {written:5.2f} s  "
          f"floor {ground:5.2f} s  ratio {ratio:4.2f}  {size:6.0f} kB")  # fmt: skip


def main() -> None:
    measure("warm up", table(10))
    qr.modules.cache_clear()
    measure("750 labels with codes", labels(750))
    measure("table of 1,000 rows", table(1_000))
    measure("table of 10,000 rows", table(10_000))


if __name__ == "__main__":
    main()
