"""A drawing while it is laid out, in points, its box's lower left corner at (0, 0)."""

from __future__ import annotations

import math

from msgspec import Struct, field

from shopdocs.blocks.drawing import Point
from shopdocs.page import items as paper
from shopdocs.page.items import Box, Face, Item, Path, TextRun
from shopdocs.page.typesetter import Typesetter


class Pad(Struct):
    """The drawing being laid out. `taken` are boxes of words already set."""

    across: float
    up: float
    ts: Typesetter
    size: Point
    items: list[Item] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)
    late: list[Item] = field(default_factory=list)
    low_x: float = 0.0
    low_y: float = 0.0
    high_x: float = 0.0
    high_y: float = 0.0

    def at(self, point: Point) -> tuple[float, float]:
        """A point of the drawing on the paper, in points."""
        return point[0].as_float * self.across, point[1].as_float * self.up

    def reach(self, *points: tuple[float, float]) -> None:
        """Take in these points: the box of the drawing grows to hold them."""
        for x, y in points:
            if x < self.low_x:
                self.low_x = x
            elif x > self.high_x:
                self.high_x = x
            if y < self.low_y:
                self.low_y = y
            elif y > self.high_y:
                self.high_y = y

    def line(self, a: tuple[float, float], b: tuple[float, float], width: float, dash: paper.Dash = ()) -> None:
        """Draw a line of this width between two places on the paper, points."""
        self.items.append(paper.Line(a[0], a[1], b[0], b[1], width, dash))
        self.reach(a, b)

    def free(self, box: Box) -> bool:
        """Whether nothing that was set lies in the box."""
        return not any(meets(box, other) for other in self.taken)

    def words(self, x: float, y: float, content: str, face: Face, size: float, angle: int) -> Box:
        """Sets clean words from (x, y) and remembers their box."""
        box = words_box(x, y, self.ts.width(content, face, size), size, angle)
        self.late.append(TextRun(x, y, face, size, content, angle))
        self.taken.append(box)
        self.reach((box[0], box[1]), (box[2], box[3]))
        return box


def meets(a: Box, b: Box) -> bool:
    """Whether two boxes share some of the paper; edges that only touch do not count."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def words_box(x: float, y: float, width: float, size: float, angle: int) -> Box:
    """The box of a line of type from its base line start: figures and capitals, a little air."""
    if angle == 90:
        return (x - size * 0.72, y, x + size * 0.2, y + width)
    return (x, y - size * 0.2, x + width, y + size * 0.72)


def arrow_head(start: tuple[float, float], end: tuple[float, float], length: float, width: float) -> Path:
    """A filled head at `end` of the line from `start`."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    long = math.hypot(dx, dy) or 1.0
    ux, uy = dx / long, dy / long
    bx, by = end[0] - ux * length, end[1] - uy * length
    half = width / 2
    return Path(
        ((end[0], end[1]), (bx - uy * half, by + ux * half), (bx + uy * half, by - ux * half)),
        True,
        0.0,
        (),
        0.0,
    )
