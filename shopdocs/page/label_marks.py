"""The reference mark on a label: the loop of a face side or the V of a face edge, with the arris that it runs to.

It stands after the words that say where to stick the label, the right way round for a label that lies so.
"""

from __future__ import annotations

from shopdocs.blocks.drawing import Polygon
from shopdocs.blocks.face_marks import Way, face_edge_mark, face_side_mark
from shopdocs.blocks.sheets import Sticking
from shopdocs.core.length import Length
from shopdocs.page.items import Item, Line, Path
from shopdocs.page.label_words import MARK_GAP, MARK_WIDE

TALL = 1.1  # of the mark, as part of the type of the words; it keeps within their line
SINK = 0.2  # how far it reaches under the base of the words
HEAVY, LIGHT = 0.9, 0.5  # strokes in points: the mark, the arris


def reference_mark(stuck: Sticking, x: float, base: float, size: float) -> list[Item]:
    """The mark of a label's face, the words before it ending at `x` on a base line at `base`, their type `size`; all
    in points. Nothing for a face that bears no mark."""
    if not stuck.mark:
        return []
    draw = face_side_mark if stuck.mark == "loop" else face_edge_mark
    left, right = x + size * MARK_GAP, x + size * (MARK_GAP + MARK_WIDE)
    low, high = base - size * SINK, base + size * (TALL - SINK)
    arris = high if stuck.arris == "up" else low
    into: Way = "down" if stuck.arris == "up" else "up"
    shape = draw((Length(0), Length(0)), into, Length(1000))
    points = _laid(shape, (left + right) / 2, arris, size * TALL)
    return [Line(left, arris, right, arris, LIGHT), Path(points, False, HEAVY)]


def _laid(shape: Polygon, x: float, y: float, size: float) -> tuple[tuple[float, float], ...]:
    return tuple((x + float(a.mm) / 1000 * size, y + float(b.mm) / 1000 * size) for a, b in shape.points)
