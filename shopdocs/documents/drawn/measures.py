"""Dimensions in rows beside a view: shorter ones nearer, none over the words or arrows of another (ISO 129-1)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count
from typing import Literal

from shopdocs.blocks.drawing import Circle, Dimension, Leader, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.core.length import Length
from shopdocs.documents.drawn.leaders import spaced

FIRST_MM = 8.0  # from the view to its first dimension line
STEP_MM = 6.5  # from line to line
CHARACTER_MM = 1.75  # mean width of a figure at 9 pt
NOTE_CHARACTER_MM = 1.45  # of a note, with its commas and spaces
STEEP = 0.35  # a leader whose run is less of its rise has its words over or under its end
_ARROWS_MM = 6.5  # arrows set outside, and the words beside them
_TAILS_MM = 5.0  # arrows set outside, alone
_TIGHT = 0.85  # of the mean width that words may take
_RUN_STEP_MM = 3.9  # between the figures of a running dimension
_RUN_START_MM = 3.0  # where its extension lines bend toward their figures
_RUN_FIGURES_MM = 9.0  # from the view to the figures
_RUN_OVER_MM = 1.5  # figures reach so far beyond the stations where other dimensions follow


Box = tuple[float, float, float, float]  # left, bottom, right, top in millimetres of paper


@dataclass(frozen=True, slots=True)
class Measure:
    """A length to be shown, between two points of the drawing. `value` is the true length: the drawing may be broken
    between the points, or larger than the scale says."""

    start: Point
    end: Point
    text: str
    value: Length


def words_mm(text: str) -> float:
    """The width that words take in a drawing, in millimetres of paper: so much for each character."""
    return CHARACTER_MM * len(text)


def taken(measure: Measure, axis: int, scale: Fraction) -> tuple[float, float]:
    """The span of its row that a dimension takes, in millimetres of paper."""
    ends = sorted(point[axis].float_mm(scale) for point in (measure.start, measure.end))
    wide = words_mm(measure.text)
    if ends[1] - ends[0] >= wide + 2.0:
        return ends[0], ends[1]
    return ends[0] - _ARROWS_MM - wide, ends[1] + _ARROWS_MM + wide


def in_rows(
    measures: Iterable[Measure],
    axis: Literal["x", "y"],
    side: int,
    scale: Fraction,
    first: float = FIRST_MM,
    kept: Sequence[tuple[float, float, float]] = (),
) -> tuple[list[Dimension], int]:
    """The measures as dimensions on one side of a view (`side` -1 below or left, 1 above or right), and how many rows
    they take. Equal measures are shown once. `kept` are places of other figures (from, to along the axis, and how far
    they reach from the view), which no row runs through."""
    k = 0 if axis == "x" else 1
    unique = dict.fromkeys(m for m in measures if m.start[k] != m.end[k])
    rows: list[list[tuple[float, float]]] = []
    shown = []
    for measure in sorted(unique, key=lambda m: (abs(m.end[k] - m.start[k]), m.start[k], m.end[k])):
        low, high = taken(measure, k, scale)
        near, far = _shown(measure, k, scale)
        within = [reach for start, end, reach in kept if near < end and start < far]
        row = next(
            r for r in count()
            if all(high <= a + 0.01 or b <= low + 0.01 for a, b in (rows[r] if r < len(rows) else ()))
            and first + STEP_MM * r >= max(within, default=0.0)
        )  # fmt: skip
        rows += [[] for _ in range(row + 1 - len(rows))]
        rows[row].append((low, high))
        offset = side * (first + STEP_MM * row)
        shown.append(Dimension(measure.start, measure.end, measure.text, axis, offset, measure.value))
    return shown, len(rows)


def _shown(measure: Measure, axis: int, scale: Fraction) -> tuple[float, float]:
    """The span a dimension really shows on: its words stand between the arrows where they just fit."""
    ends = sorted(point[axis].float_mm(scale) for point in (measure.start, measure.end))
    wide = words_mm(measure.text)
    if ends[1] - ends[0] >= wide * _TIGHT:
        return ends[0] - _TAILS_MM, ends[1] + _TAILS_MM
    return taken(measure, axis, scale)


def rows_height(rows: int) -> float:
    """Paper that so many rows take."""
    return FIRST_MM + STEP_MM * rows if rows else 0.0


def running(
    origin: Point,
    stations: Sequence[tuple[Point, str]],
    side: int,
    scale: Fraction,
    axis: Literal["x", "y"] = "x",
    away: int = 0,
    within: tuple[float, float] | None = None,
) -> list[Shape]:
    """Running dimensions along x or y (ISO 129-1): from one origin, the figure at the end of each extension line.
    `origin` and the stations lie on the border of the view; `side` is -1 below or left of it and 1 above or right.
    Toward `away` (-1 or 1 along the axis, 0 for neither) the figures hardly reach beyond the stations: other dimensions
    stand there. Nor do they leave `within` (millimetres of paper along the axis) as long as they have room in it."""
    k, other = (0, 1) if axis == "x" else (1, 0)
    order = sorted(dict.fromkeys([(origin, "0"), *stations]), key=lambda s: s[0][k])
    places = [point[k].float_mm(scale) for point, _ in order]
    anchor: Literal["left", "right"] = "right" if side < 0 else "left"
    shapes: list[Shape] = []

    def off(point: Point, along_mm: float, out_mm: float) -> Point:
        along, out = true_length(along_mm, scale), point[other] + true_length(side * out_mm, scale)
        return (along, out) if axis == "x" else (out, along)

    rows = spaced(places, _RUN_STEP_MM)
    if away:
        beyond = max(row * away for row in rows) - max(place * away for place in places) - _RUN_OVER_MM
        rows = [row - away * max(beyond, 0.0) for row in rows]
    if within is not None:
        rows = _held(rows, *within)
    for (point, text), at, set_at in zip(order, places, rows, strict=True):
        gap, knee, foot = off(point, at, 1.0), off(point, at, _RUN_START_MM), off(point, set_at, _RUN_START_MM + 3.0)
        end = off(point, set_at, _RUN_START_MM + 5.0)
        shapes += [Line(gap, knee, Stroke.THIN), Line(knee, foot, Stroke.THIN), Line(foot, end, Stroke.THIN)]
        words = off(point, set_at, _RUN_FIGURES_MM)
        shapes.append(Words(words, text, 9.0, anchor, 90 if axis == "x" else 0, strong=text == "0"))
    return shapes


def _held(rows: list[float], low: float, high: float) -> list[float]:
    """Places in order, moved between the bounds with their distance kept; beyond the upper bound where they are too
    many."""
    held: list[float] = []
    for row in reversed(rows):
        high = min(row, high)
        held.insert(0, high)
        high -= _RUN_STEP_MM
    for i, row in enumerate(held):
        held[i] = max(row, low)
        low = held[i] + _RUN_STEP_MM
    return held


def running_height(texts: Iterable[str]) -> float:
    """Paper that running dimensions with these figures take beside the view."""
    return _RUN_FIGURES_MM + max((words_mm(text) for text in texts), default=0.0)


def true_length(paper_mm: float, scale: Fraction) -> Length:
    """What so many millimetres of paper stand for, to 1/1000 mm (halves to the even one)."""
    above, below = paper_mm.as_integer_ratio()
    above, below = above * scale.denominator * 1000, below * scale.numerator
    thousandths, rest = divmod(above, below)
    up = 2 * rest > below or (2 * rest == below and thousandths % 2 == 1)
    return Length.parts(thousandths + up, 1000)


def extents_mm(shapes: Iterable[Shape], scale: Fraction) -> Box:
    """Left, bottom, right and top of everything in millimetres of paper, words and dimension lines included."""
    xs: list[float] = []
    ys: list[float] = []

    def reach(point: Point, *, left: float = 0.0, right: float = 0.0, down: float = 0.0, up: float = 0.0) -> None:
        x, y = point[0].float_mm(scale), point[1].float_mm(scale)
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
            radius = shape.radius.float_mm(scale)
            reach(shape.centre, left=radius, right=radius, down=radius, up=radius)
        elif isinstance(shape, Leader):
            low_x, low_y, high_x, high_y = leader_words(shape, scale)
            xs.extend((low_x, high_x))
            ys.extend((low_y, high_y))
        elif isinstance(shape, Words):
            _words_reach(shape, reach)
        elif isinstance(shape, Dimension):
            low_x, low_y, high_x, high_y = dimension_box(shape, scale)
            xs.extend((low_x, high_x))
            ys.extend((low_y, high_y))
    return min(xs), min(ys), max(xs), max(ys)


def dimension_box(shape: Dimension, scale: Fraction) -> Box:
    """Arrows, line and words of a dimension, in millimetres of paper."""
    k = 0 if shape.axis == "x" else 1
    low, high = taken(_measure_of(shape), k, scale)
    borders = [p[1 - k].float_mm(scale) for p in (shape.start, shape.end)]
    base = (max(borders) if shape.offset_mm > 0 else min(borders)) + shape.offset_mm
    # the words stand above the line, or left of it
    return (low, base - 2.0, high, base + 4.0) if k == 0 else (base - 4.0, low, base + 2.0, high)


def leader_words(shape: Leader, scale: Fraction) -> Box:
    """The words of a leader in millimetres of paper: beside its end, or over or under the end of a steep one."""
    tip, at = ((p[0].float_mm(scale), p[1].float_mm(scale)) for p in (shape.tip, shape.at))
    return words_at_leader(tip, at, shape.text)


def words_at_leader(tip: tuple[float, float], at: tuple[float, float], text: str) -> Box:
    """As `leader_words`, for a leader from `tip` to `at`."""
    wide = NOTE_CHARACTER_MM * len(text)
    if abs(at[0] - tip[0]) < STEEP * abs(at[1] - tip[1]):
        low = at[1] + 0.6 if at[1] >= tip[1] else at[1] - 4.0
        return at[0] - wide / 2, low, at[0] + wide / 2, low + 3.4
    low_x = at[0] + 0.7 if at[0] >= tip[0] else at[0] - 0.7 - wide
    return low_x, at[1] - 1.8, low_x + wide, at[1] + 1.8


def _measure_of(shape: Dimension) -> Measure:
    k = 0 if shape.axis == "x" else 1
    return Measure(shape.start, shape.end, shape.text, shape.value or abs(shape.end[k] - shape.start[k]))


def words_box(shape: Words, scale: Fraction) -> Box:
    """Words of a drawing in millimetres of paper."""
    box: list[float] = []

    def reach(point: Point, *, left: float = 0.0, right: float = 0.0, down: float = 0.0, up: float = 0.0) -> None:
        x, y = point[0].float_mm(scale), point[1].float_mm(scale)
        box.extend((x - left, y - down, x + right, y + up))

    _words_reach(shape, reach)
    return box[0], box[1], box[2], box[3]


def _words_reach(shape: Words, reach: Callable[..., None]) -> None:
    wide = words_mm(shape.text)
    before, after = {"left": (0.0, wide), "centre": (wide / 2, wide / 2), "right": (wide, 0.0)}[shape.anchor]
    if shape.angle == 90:
        reach(shape.at, left=1.6, right=1.6, down=before, up=after)
    else:
        reach(
            shape.at, left=before - shape.dx_mm, right=after + shape.dx_mm, down=1.6 - shape.dy_mm, up=1.6 + shape.dy_mm
        )
