"""Room for words on a paper that is cut out: what is drawn stays free, and no words reach over its outline. What finds
no room there stands beside the paper, for nothing is left out."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import product
from typing import Literal

from shopdocs.blocks.drawing import Point, Shape, Words
from shopdocs.core.length import Length

Box = tuple[float, float, float, float]

EDGE_MM = 1.2  # words keep this far from the outline
STEP_MM = 1.5  # between the places that are tried for words
EM = 0.60 * 25.4 / 72  # width of a bold capital or figure, a generous mean, in millimetres by point of type
BESIDE_PT = 9.0  # words that stand beside the paper
HIGH = 0.80 * 25.4 / 72  # height of a line of words likewise


def exact(mm: float) -> Length:
    """A place on the paper, to 1/100 mm."""
    return Length(Fraction(round(mm * 100), 100))


def meets(a: Box, b: Box) -> bool:
    """Whether two boxes overlap."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


class PaperRoom:
    """Finds room for words within the outline. Millimetres of paper, the origin at its lower left corner."""

    def __init__(self, wide: float, high: float) -> None:
        self.wide, self.high = wide, high
        self.taken: list[Box] = []

    def keep_off(self, centre: Point, aside: float, above: float) -> None:
        """Leave so much free on either side of a place, and above and below it."""
        x, y = centre[0].float_mm(), centre[1].float_mm()
        self.taken.append((x - aside, y - above, x + aside, y + above))

    def keep_off_line(self, start: Point, end: Point) -> None:
        """Leave the line free to be knifed along."""
        xs, ys = (sorted((start[k].float_mm(), end[k].float_mm())) for k in (0, 1))
        self.taken.append((xs[0] - 0.8, ys[0] - 0.8, xs[1] + 0.8, ys[1] + 0.8))

    def claim(self, box: Box) -> bool:
        """Whether nothing lies in the box; it is taken then."""
        if any(meets(box, other) for other in self.taken):
            return False
        self.taken.append(box)
        return True

    def set(
        self,
        content: str,
        sizes: Sequence[float],
        wish: tuple[float, float],
        angles: Sequence[Literal[0, 90]],
        within: Box | None = None,
    ) -> list[Shape]:
        """The words at the largest of the sizes that finds room, as near to `wish` as can be; nothing without room.
        `within` limits the places of their middle."""
        low_x, low_y, high_x, high_y = within or (0.0, 0.0, self.wide, self.high)
        for size in sizes:
            for angle in angles:
                a, b = len(content) * EM * size / 2, HIGH * size / 2
                a, b = (b, a) if angle == 90 else (a, b)
                xs = _steps(max(low_x, a + EDGE_MM), min(high_x, self.wide - a - EDGE_MM), wish[0])
                ys = _steps(max(low_y, b + EDGE_MM), min(high_y, self.high - b - EDGE_MM), wish[1])
                for x, y in sorted(product(xs, ys), key=lambda spot: abs(spot[0] - wish[0]) + abs(spot[1] - wish[1])):
                    box = (x - a, y - b, x + a, y + b)
                    if not any(meets(box, other) for other in self.taken):
                        self.taken.append((box[0] - 1.0, box[1] - 1.0, box[2] + 1.0, box[3] + 1.0))
                        return [Words((exact(x), exact(y)), content, size, angle=angle, strong=True)]
        return []


def or_beside(found: list[Shape], content: str, at: tuple[float, float], dy_mm: float = 0.0) -> list[Shape]:
    """What was found room for; else the words beside the paper, at a place on its outline and so far up from there."""
    x, y = at
    return found or [Words((exact(x), exact(y)), content, BESIDE_PT, strong=True, dy_mm=dy_mm)]


def _steps(low: float, high: float, wish: float) -> list[float]:
    """Places from low to high, the wish among them where it lies between."""
    if high < low:
        return []
    start = min(max(wish, low), high)
    below = [start - STEP_MM * k for k in range(1, int((start - low) / STEP_MM) + 1)]
    return [start, *below, *(start + STEP_MM * k for k in range(1, int((high - start) / STEP_MM) + 1))]
