"""Bars across the page: what must stop the work, and how much of a limit is used."""

from __future__ import annotations

from msgspec.structs import replace

from shopdocs.blocks.text import Gauge, Stop
from shopdocs.page.flow import Strip
from shopdocs.page.items import Frame, Path, TextRun, rectangle
from shopdocs.page.typesetter import Typesetter

PAD = 8.0
WHITE, BLACK = 1.0, 0.0
BAR, BAR_AWAY = 2.6, 9.0  # a bar at the margin: its width, and how far it stands from the text
GAUGE_TALL = 11.0


def stop_strips(stop: Stop, room: float, ts: Typesetter) -> list[Strip]:
    """White on black over the whole width; the word itself says that it stops, so a poor copy says it too."""
    style = ts.style
    size, small = style.step, style.body
    word = ts.width("STOP", "bold", size) + 14.0
    inner = room - 2 * PAD - word
    title = ts.lines(ts.clean(stop.title), "bold", size, inner, 3)
    words = ts.lines(ts.clean(stop.text), "regular", small, inner, 6) if stop.text else []
    height = PAD * 1.4 + size * 1.22 * len(title) + small * 1.3 * len(words)

    def paint(frame: Frame, left: float, top: float) -> None:
        box = rectangle(left, top - height, left + room, top, 0.0)
        frame.items.append(Path(box.points, True, 0.0, fill=BLACK))
        y = top - PAD * 0.7 - size * 0.92
        frame.items.append(TextRun(left + PAD, y, "bold", size, "STOP", ink=WHITE))
        for line in title:
            frame.items.append(TextRun(left + PAD + word, y, "bold", size, line, ink=WHITE))
            y -= size * 1.22
        y += (size - small) * 0.3
        for line in words:
            frame.items.append(TextRun(left + PAD + word, y, "regular", small, line, ink=WHITE))
            y -= small * 1.3

    return [Strip(height, paint, before=8.0)]


def gauge_strips(gauge: Gauge, room: float, ts: Typesetter) -> list[Strip]:
    """The words, and beside them a bar whose dark part is what is used; a bar that is too short for it ends black."""
    style = ts.style
    size = style.section
    words = ts.cut(ts.words(gauge.words), "semibold", size, room)
    wide = ts.width(words, "semibold", size)
    long = max(room - wide - 14.0, room * 0.2)
    used = min(1.0, max(0.0, gauge.used))

    def paint(frame: Frame, left: float, top: float) -> None:
        y = top - GAUGE_TALL - 1.0
        frame.items.append(TextRun(left, y + GAUGE_TALL * 0.18, "semibold", size, words))
        start = left + room - long
        bar = rectangle(start, y, start + long * used, y + GAUGE_TALL, 0.0)
        frame.items.append(Path(bar.points, True, 0.0, fill=BLACK if gauge.used > 1 else 0.35))
        frame.items.append(rectangle(start, y, start + long, y + GAUGE_TALL, style.rule))

    return [Strip(GAUGE_TALL + 3.0, paint, before=5.0)]


def barred(strips: list[Strip]) -> list[Strip]:
    """The strips with a bar at the margin beside each."""
    return [_barred(strip) for strip in strips]


def _barred(strip: Strip) -> Strip:
    def paint(frame: Frame, left: float, top: float) -> None:
        x = left - BAR_AWAY
        frame.items.append(rectangle(x, top - strip.height, x + BAR, top, 0.0, BLACK))
        strip.paint(frame, left, top)

    opening = None if strip.opening is None else _barred(strip.opening)
    return replace(strip, paint=paint, opening=opening)
