"""Bars of known length, to measure what a printer did."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.core.length import Length
from shopdocs.page.items import POINTS_PER_MM, Item, Line, TextRun, mm
from shopdocs.page.typesetter import Typesetter

BAR_ROOM = mm(13.0)  # a bar with its figures
BAR_MM = 100
BAR_INCHES = 4
Printer = tuple[Fraction, Fraction]


def advice(printer: Printer) -> str:
    """What to do with the bars, and what the correction did."""
    told = "Print at 100 % (actual size), then measure both bars before you trust the sheet."
    if printer == (Fraction(1), Fraction(1)):
        return told
    across, up = (f"{float((factor - 1) * 100):+.2f}".replace("-", "−") for factor in printer)
    return f"{told} Corrected for this printer: {across} % across, {up} % up."


def check_bar(x: float, y: float, axis: str, printer: Printer, ts: Typesetter) -> list[Item]:
    """A bar from (x, y) along `axis`: 100 mm on one side, 4 in on the other, both from the same end."""
    factor = float(printer[0] if axis == "x" else printer[1]) * POINTS_PER_MM
    thin, size = ts.style.thin, ts.style.quiet
    out: list[Item] = []

    def at(along: float, off: float) -> tuple[float, float]:
        return (x + along, y + off) if axis == "x" else (x - off, y + along)

    def line(a: float, b: float, c: float, d: float, width: float) -> None:
        out.append(Line(*at(a, b), *at(c, d), width))

    inches = float(Length.inches(BAR_INCHES).mm)
    line(0.0, 0.0, inches * factor, 0.0, thin)
    for step in range(0, BAR_MM + 1, 5):
        tall = 3.4 if step in (0, BAR_MM) else 2.2 if step % 10 == 0 else 1.2
        line(step * factor, 0.0, step * factor, mm(tall), thin)
    for step in range(4 * BAR_INCHES + 1):
        tall = 3.4 if step in (0, 4 * BAR_INCHES) else 2.2 if step % 4 == 0 else 1.2
        line(step * 6.35 * factor, 0.0, step * 6.35 * factor, -mm(tall), thin)
    angle = 0 if axis == "x" else 90
    for content, off in ((f"{BAR_MM} mm", mm(2.9)), (f"{BAR_INCHES} in", -mm(2.9) - size * 0.66)):
        middle = 50 * factor - ts.width(content, "semibold", size) / 2
        px, py = at(middle, off)
        out.append(TextRun(px, py, "semibold", size, content, angle))
    return out
