"""Frames as text: small, readable, stable; the golden form of a document.

`dump` has one line an item, positions in millimetres from the left and the top of the page, to a tenth. `words` has
what is written alone, line by line as one reads, so that it stays the same where a sheet is only drawn anew.
"""

from __future__ import annotations

from shopdocs.page.compose import Composed
from shopdocs.page.items import POINTS_PER_MM, Clip, Disc, Frame, Item, Line, Link, Path, Symbol, TextRun, Unclip


def dump(composed: Composed) -> str:
    """All frames, then the outline, the anchors and what could not be shown."""
    lines: list[str] = []
    for frame in composed.frames:
        lines += dumped(frame)
    lines.append("outline")
    for entry in composed.outline:
        lines.append(f"  {'  ' * entry.level}{entry.title} > {entry.page + 1}")
    if composed.anchors:
        lines.append("anchors")
        lines += [f"  {name} > {page + 1}" for name, (page, _) in sorted(composed.anchors.items())]
    for char in composed.missing:
        lines.append(f"missing U+{ord(char):04X}")
    lines += [f"note {note}" for note in composed.notes]
    return "\n".join(lines) + "\n"


def words(composed: Composed) -> str:
    """The words of all frames, one line for all that stands at one height, from left to right."""
    lines: list[str] = []
    for frame in composed.frames:
        lines.append(f"page {frame.set_number} {frame.document} {frame.number}/{frame.of}")
        rows: dict[int, list[TextRun]] = {}
        for item in frame.items:
            if isinstance(item, TextRun):
                rows.setdefault(round(-item.y), []).append(item)
        for _, runs in sorted(rows.items()):
            lines.append("  " + " | ".join(run.text for run in sorted(runs, key=lambda run: run.x)))
    return "\n".join(lines) + "\n"


def dumped(frame: Frame) -> list[str]:
    """A page and its items, a line each."""
    width, height = (f"{side.float_mm():g}" for side in frame.exact_size)
    kind = " true-scale" if frame.true_scale else ""
    head = f"page {frame.set_number} {frame.document} {frame.number}/{frame.of} {width} x {height} mm{kind}"
    return [head, *(f"  {_item(item, frame.height)}" for item in frame.items)]


def _mm(value: float) -> str:
    text = f"{value / POINTS_PER_MM:.1f}"
    return "0.0" if text == "-0.0" else text


def _item(item: Item, high: float) -> str:
    def at(x: float, y: float) -> str:
        return f"{_mm(x)},{_mm(high - y)}"

    if isinstance(item, TextRun):
        turn = " up" if item.angle else ""
        ink = " white" if item.ink else ""
        return f"text {at(item.x, item.y)} {item.face} {item.size:g}{turn}{ink} | {item.text}"
    if isinstance(item, Line):
        return f"line {at(item.x0, item.y0)} {at(item.x1, item.y1)} {_drawn(item)}"
    if isinstance(item, Path):
        points = " ".join(at(x, y) for x, y in item.points)
        return f"{'shape' if item.closed else 'path'} {points} {_drawn(item)}{_filled(item.fill)}"
    if isinstance(item, Disc):
        drawn = "" if item.fill is not None else f" {_drawn(item)}"
        return f"circle {at(item.x, item.y)} r{item.radius / POINTS_PER_MM:.2f}{drawn}{_filled(item.fill)}"
    if isinstance(item, Symbol):
        return f"code {at(item.x, item.y)} {len(item.rows)} modules of {item.module / POINTS_PER_MM:.3f}"
    if isinstance(item, Link):
        return f"link {at(item.x0, item.y1)} {at(item.x1, item.y0)} > {item.anchor}"
    if isinstance(item, Clip):
        return f"clip {at(item.x0, item.y1)} {at(item.x1, item.y0)}"
    assert isinstance(item, Unclip)
    return "unclip"


def _drawn(item: Line | Path | Disc) -> str:
    """How wide a line is, and the strokes and gaps of its dashes, in millimetres."""
    dashes = "/".join(f"{length / POINTS_PER_MM:.1f}" for length in item.dash)
    return f"w{item.width / POINTS_PER_MM:.2f}" + (f" dashed {dashes}" if dashes else "")


def _filled(fill: float | None) -> str:
    return "" if fill is None else f" fill {fill:g}"
