"""How long paper takes, each against a floor measured in the same run: the same items written straight to a canvas.

Work and floor take turns; what counts is processor time, the least of several rounds.

Run it as a script: python tests/bench/paper.py
"""

from __future__ import annotations

import io
import re
import time
from collections.abc import Callable

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from shopdocs.blocks.sheets import Block, CodeText, Document, Imprint, Labels, PieceLabel, Sticking
from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.core.display import mixed_number
from shopdocs.core.length import Length
from shopdocs.output import pdf
from shopdocs.output.pdf import write_pdf
from shopdocs.page import qr
from shopdocs.page.compose import Composed, compose
from shopdocs.page.items import Line, Path, Symbol, TextRun
from shopdocs.page.paper import paper
from shopdocs.page.typeface import font_file

ROUNDS = 5
RUN = re.compile("1+")  # a row of a symbol is drawn as its runs of dark modules
IMPRINT = Imprint("Plant stand", "PS", "A", "", "")


def labels(count: int) -> Block:
    return Labels(
        tuple(
            PieceLabel(
                f"S{i}",
                "PS",
                "slat",
                (f"finished {mixed_number(Length.inches('1/2').inch)} × 2 × {i % 40} in",),
                (),
                ("1 FL", "2 FR"),
                f"stage {i % 5}",
                "not S2: mirror image",
                "not S2",
                (CodeText(f"HTTPS://EXAMPLE.ORG/R/PS-{i}"),),
                Sticking("face side, outside", "up", "up, face edge", "here"),
            )
            for i in range(count)
        ),
        "letter-30",
    )


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
                path = " ".join(
                    f"{run.start()} {-number} {run.end() - run.start()} 1 re"
                    for number, row in enumerate(item.rows)
                    for run in RUN.finditer(row)
                )
                canvas._code.append(
                    f"q {item.module:.4f} 0 0 {item.module:.4f} {item.x:.3f} {item.y:.3f} cm {path} f Q"
                )
        canvas.drawText(words)
        canvas.showPage()
    canvas.save()


def timed(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def measure(name: str, block: Block) -> None:
    document = Document("bench", "Bench", "", (block,))
    laid, written, ground = [], [], []
    for _ in range(ROUNDS):
        qr.modules.cache_clear()
        pdf._paths.clear()
        results: list[Composed] = []
        laid.append(timed(lambda: results.append(compose([document], IMPRINT, paper("letter")))))  # noqa: B023
        composed, out = results[0], io.BytesIO()
        written.append(timed(lambda: write_pdf(composed, out)))  # noqa: B023
        ground.append(timed(lambda: floor(composed)))  # noqa: B023
    pages, size = len(composed.frames), len(out.getvalue()) / 1000
    ratio = (min(laid) + min(written)) / min(ground)
    print(
        f"{name:28} {pages:4} pages  lay out {min(laid):5.2f} s  write {min(written):5.2f} s  "
        f"floor {min(ground):5.2f} s  ratio {ratio:4.2f}  {size:6.0f} kB"
    )


def main() -> None:
    measure("warm up", table(10))
    measure("750 labels with codes", labels(750))
    measure("table of 1,000 rows", table(1_000))
    measure("table of 10,000 rows", table(10_000))


if __name__ == "__main__":
    main()
