"""Dimensions in rows beside a view: shorter ones nearer, none over the words or arrows of another (ISO 129-1)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from shopdocs.blocks.drawing import Circle, Dimension, Leader, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.core.length import Length
from shopdocs.documents.drawn.leaders import spaced

FIRST_MM = 8.0  # from the view to its first dimension line
STEP_MM = 6.5  # from line to line
CHARACTER_MM = 1.75  # mean width of a figure at 9 pt
_ARROWS_MM = 6.5  # arrows set outside, and the words beside them
_RUN_STEP_MM = 3.9  # between upright figures of a running dimension


@dataclass(frozen=True, slots=True)
class Measure:
    """A length to be shown, between two points of the drawing. `value` is the true length: the drawing may be broken
    between the points, or larger than the scale says."""

    start: Point
    end: Point
    text: str
    value: Length


def words_mm(text: str) -> float:
    return CHARACTER_MM * len(text)


def taken(measure: Measure, axis: int, scale: Fraction) -> tuple[float, float]:
    """The span of its row that a dimension takes, in millimetres of paper."""
    ends = sorted(float(point[axis].mm * scale) for point in (measure.start, measure.end))
    wide = words_mm(measure.text)
    if ends[1] - ends[0] >= wide + 2.0:
        return ends[0], ends[1]
    return ends[0] - _ARROWS_MM - wide, ends[1] + _ARROWS_MM + wide


def in_rows(
    measures: Iterable[Measure], axis: Literal["x", "y"], side: int, scale: Fraction, first: float = FIRST_MM
) -> tuple[list[Dimension], int]:
    """The measures as dimensions on one side of a view (`side` -1 below or left, 1 above or right), and how many rows
    they take. Equal measures are shown once."""
    k = 0 if axis == "x" else 1
    unique = dict.fromkeys(m for m in measures if m.start[k] != m.end[k])
    rows: list[list[tuple[float, float]]] = []
    shown = []
    for measure in sorted(unique, key=lambda m: (abs(m.end[k] - m.start[k]), m.start[k], m.end[k])):
        low, high = taken(measure, k, scale)
        row = next(
            (r for r, spans in enumerate(rows) if all(high <= a + 0.01 or b <= low + 0.01 for a, b in spans)), None
        )
        if row is None:
            row = len(rows)
            rows.append([])
        rows[row].append((low, high))
        offset = side * (first + STEP_MM * row)
        shown.append(Dimension(measure.start, measure.end, measure.text, axis, offset, measure.value))
    return shown, len(rows)


def rows_height(rows: int) -> float:
    """Paper that so many rows take."""
    return FIRST_MM + STEP_MM * rows if rows else 0.0


def running(
    origin: Point, stations: Sequence[tuple[Point, str]], side: int, scale: Fraction, start_mm: float = 3.0
) -> list[Shape]:
    """Running dimensions along x (ISO 129-1): from one origin, the figure standing upright at the end of each
    extension line. `origin` and the stations lie on the border of the view; `side` is -1 below it and 1 above."""
    order = sorted(dict.fromkeys([(origin, "0"), *stations]), key=lambda s: s[0][0])
    xs = [float(point[0].mm * scale) for point, _ in order]
    shapes: list[Shape] = []

    def off(point: Point, x_mm: float, y_mm: float) -> Point:
        return _true(x_mm, scale), point[1] + _true(side * y_mm, scale)

    for (point, text), x, set_x in zip(order, xs, spaced(xs, _RUN_STEP_MM), strict=True):
        gap, knee, foot = off(point, x, 1.0), off(point, x, start_mm), off(point, set_x, start_mm + 3.0)
        end = off(point, set_x, start_mm + 5.0)
        shapes += [Line(gap, knee, Stroke.THIN), Line(knee, foot, Stroke.THIN), Line(foot, end, Stroke.THIN)]
        words = off(point, set_x, start_mm + 6.0)
        shapes.append(Words(words, text, 9.0, "right" if side < 0 else "left", 90, strong=text == "0"))
    return shapes


def _true(paper_mm: float, scale: Fraction) -> Length:
    return Length(Fraction(round(Fraction(paper_mm) / scale * 1000), 1000))


def extents_mm(shapes: Iterable[Shape], scale: Fraction) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of everything in millimetres of paper, words and dimension lines included."""
    xs: list[float] = []
    ys: list[float] = []

    def reach(point: Point, *, left: float = 0.0, right: float = 0.0, down: float = 0.0, up: float = 0.0) -> None:
        x, y = float(point[0].mm * scale), float(point[1].mm * scale)
        xs.extend((x - left, x + right))
        ys.extend((y - down, y + up))

    for shape in shapes:
        if isinstance(shape, Line):
            reach(shape.start)
            reach(shape.end)
        elif isinstance(shape, Polygon):
            for point in shape.points:
                reach(point)
        elif isinstance(shape, Circle):
            radius = float(shape.radius.mm * scale)
            reach(shape.centre, left=radius, right=radius, down=radius, up=radius)
        elif isinstance(shape, Leader):
            wide = words_mm(shape.text) + 1.5
            reach(shape.at, left=wide, right=wide, down=2.0, up=2.0)
        elif isinstance(shape, Words):
            _words_reach(shape, reach)
        elif isinstance(shape, Dimension):
            low, high = taken(_measure_of(shape), 0 if shape.axis == "x" else 1, scale)
            borders = [float(p[1 if shape.axis == "x" else 0].mm * scale) for p in (shape.start, shape.end)]
            base = (max(borders) if shape.offset_mm > 0 else min(borders)) + shape.offset_mm
            along, off = (xs, ys) if shape.axis == "x" else (ys, xs)
            along.extend((low, high))
            # the words stand above the line, or left of it
            off.extend((base - 2.0, base + 4.0) if shape.axis == "x" else (base - 4.0, base + 2.0))
    return min(xs), min(ys), max(xs), max(ys)


def _measure_of(shape: Dimension) -> Measure:
    k = 0 if shape.axis == "x" else 1
    return Measure(shape.start, shape.end, shape.text, shape.value or abs(shape.end[k] - shape.start[k]))


def _words_reach(shape: Words, reach: Callable[..., None]) -> None:
    wide = words_mm(shape.text)
    before, after = {"left": (0.0, wide), "centre": (wide / 2, wide / 2), "right": (wide, 0.0)}[shape.anchor]
    if shape.angle == 90:
        reach(shape.at, left=1.6, right=1.6, down=before, up=after)
    else:
        reach(
            shape.at, left=before - shape.dx_mm, right=after + shape.dx_mm, down=1.6 - shape.dy_mm, up=1.6 + shape.dy_mm
        )
