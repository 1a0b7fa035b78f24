"""The paper under the drawing of a board: where its rows lie, and which places words and numbers have taken."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

from shopdocs.blocks.drawing import Point, Polygon, Shape, Stroke, Words
from shopdocs.core.length import Length
from shopdocs.documents.drawn.measures import figures_pt, type_mm
from shopdocs.work.boards.results import Area, SawnBoard

ROW_GAP_MM = 9
_BOLD = 1.06  # how much wider than regular type
NUMBER_MM = (1.9, 3.0)  # of paper that a digit and a number's height take


@dataclass(slots=True)
class BoardSheet:
    """A board while it is drawn: where its rows lie, and what is taken by words and numbers, in paper millimetres."""

    board: SawnBoard
    scale: Fraction
    rows: list[tuple[Length, Length]]
    shapes: list[Shape] = field(default_factory=list)
    top: list[Shape] = field(default_factory=list)
    taken: list[tuple[float, float, float, float]] = field(default_factory=list)

    @property
    def gap(self) -> Length:
        return Length(Fraction(ROW_GAP_MM) / self.scale)

    @property
    def height(self) -> Length:
        return self.board.board.width * len(self.rows) + self.gap * (len(self.rows) - 1)

    @property
    def width(self) -> Length:
        return max(end - start for start, end in self.rows)

    def row_of(self, x: Length) -> int:
        return next((i for i, (start, end) in enumerate(self.rows) if start <= x <= end), len(self.rows) - 1)

    def at(self, x: Length, y: Length, row: int | None = None) -> Point:
        row = self.row_of(x) if row is None else row
        below = len(self.rows) - 1 - row
        return x - self.rows[row][0], y + (self.board.board.width + self.gap) * below

    def paper(self, point: Point) -> tuple[float, float]:
        return point[0].float_mm(self.scale), point[1].float_mm(self.scale)

    def free(self, x: float, y: float, wide: float, high: float) -> bool:
        box = (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
        return not any(box[0] < t[2] and t[0] < box[2] and box[1] < t[3] and t[1] < box[3] for t in self.taken)

    def covered(self, x: float, y: float, wide: float, high: float) -> float:
        """How much of this box, square millimetres, is taken."""
        box = (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
        both = ((min(box[2], t[2]) - max(box[0], t[0]), min(box[3], t[3]) - max(box[1], t[1])) for t in self.taken)
        return sum(a * b for a, b in both if a > 0 and b > 0)

    def take(self, x: float, y: float, wide: float, high: float) -> None:
        self.taken.append((x - wide / 2, y - high / 2, x + wide / 2, y + high / 2))

    def rectangle(self, area: Area, stroke: Stroke, fill: str) -> None:
        """What of an area lies in each row."""
        for row, (start, end) in enumerate(self.rows):
            low, high = max(area.x, start), min(area.x + area.length, end)
            if low < high:
                corners = ((low, area.y), (high, area.y), (high, area.y + area.width), (low, area.y + area.width))
                points = tuple(self.at(x, y, row) for x, y in corners)
                self.shapes.append(Polygon(points, stroke, "tint" if fill == "tint" else "paper"))

    def largest(self, area: Area) -> tuple[Area, int]:
        """The longest part of an area that lies in one row, and that row."""
        parts = []
        for row, (start, end) in enumerate(self.rows):
            low, high = max(area.x, start), min(area.x + area.length, end)
            parts.append((high - low, -row, low))
        length, row, low = max(parts)
        return Area(low, area.y, length, area.width), -row

    def words(self, whole: Area, lines: Iterable[tuple[str, bool, float]]) -> str:
        """Set the first of these texts that fits into the area, in its middle; empty where none does."""
        area, row = self.largest(whole)
        middle = self.at(area.x + area.length / 2, area.y + area.width / 2, row)
        x, y = self.paper(middle)
        long, wide = area.length.float_mm(self.scale), area.width.float_mm(self.scale)
        for text, strong, size in lines:
            size = figures_pt(text, size)
            need, high = wide_mm(text, strong, size) + 2.0, size * 0.3528 * 0.95
            for angle, across, along in ((0, long, wide), (90, wide, long)):
                if need <= across and high <= along:
                    aside = self._aside(across - need, along - high) if not angle else 0.0
                    at = (middle[0] + Length(Fraction(round(aside * 100), 100) / self.scale), middle[1])
                    self.top.append(Words(at, text, size, strong=strong, angle=90 if angle else 0))
                    need -= 1.2  # what was kept free at both ends
                    self.take(x + aside, y, *((need, high) if not angle else (high, need)))
                    return text
        return ""

    def _aside(self, spare: float, over: float) -> float:
        """How far words are moved to the right of the middle, so that the number of the rip along a piece too low for
        both stands before them. Nothing where the piece is high enough, or so long that there is room anyhow."""
        room = NUMBER_MM[0] * 2 + 0.9
        return min(spare, room) / 2 if over < NUMBER_MM[1] and spare < 4 * room else 0.0


def wide_mm(text: str, strong: bool, size_pt: float) -> float:
    return type_mm(text, size_pt) * (_BOLD if strong else 1.0)
