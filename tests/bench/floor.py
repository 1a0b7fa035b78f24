"""The floor under paper: placed items straight to a canvas, by nothing but reportlab and the typeface's files.

    python tests/bench/floor.py PICKLE

The pickle holds plain tuples, made by `placed.py` from what a run placed; nothing of shopdocs is imported here. The
floor writes the PDFs that the run wrote, each page of each of them once: the same words, lines, paths and codes (the
rows of a code as runs, in one path), with the fewest calls. It lays out, fits and computes nothing, and makes no
records, tables or lists of figures. Prints the processor seconds of unpickling, which do not count.
"""

from __future__ import annotations

import io
import pickle
import re
import sys
import time
from typing import Any

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

RUN = re.compile("1+")


def draw(canvas: Canvas, words: Any, item: tuple[Any, ...]) -> None:
    kind, *given = item
    if kind == "text":
        x, y, face, size, text = given
        words.setFont(face, size)
        words.setTextOrigin(x, y)
        words.textOut(text)
    elif kind == "line":
        canvas.line(*given)
    elif kind == "disc":
        canvas.circle(*given)
    elif kind == "path":
        path = canvas.beginPath()
        path.moveTo(*given[0][0])
        for point in given[0][1:]:
            path.lineTo(*point)
        canvas.drawPath(path)
    elif kind == "code":
        x, y, module, rows = given
        runs = (
            f"{run.start()} {-number} {run.end() - run.start()} 1 re"
            for number, row in enumerate(rows)
            for run in RUN.finditer(row)
        )
        canvas._code.append(f"q {module:.4f} 0 0 {module:.4f} {x:.3f} {y:.3f} cm {' '.join(runs)} f Q")


def write(frames: list[Any]) -> bytes:
    out = io.BytesIO()
    canvas = Canvas(out, pageCompression=1, initialFontName="regular")
    for width, height, items in frames:
        canvas.setPageSize((width, height))
        words = canvas.beginText()
        for item in items:
            draw(canvas, words, item)
        canvas.drawText(words)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def main() -> None:
    began = time.process_time()
    with open(sys.argv[1], "rb") as file:
        fonts, files = pickle.load(file)
    print(time.process_time() - began)
    rl_config.useA85 = 0
    for face, name in fonts.items():
        pdfmetrics.registerFont(TTFont(face, name))
    for frames in files:
        write(frames)


if __name__ == "__main__":
    main()
