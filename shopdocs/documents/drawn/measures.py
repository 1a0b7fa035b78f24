"""Figures on piece drawings: running dimensions from one 0 (ISO 129-1), and the paper that words take."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from shopdocs.blocks.drawing import CentreMark, Circle, Dimension, Leader, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.core.display import Units
from shopdocs.core.length import Length
from shopdocs.documents.drawn.leaders import spaced

LINE_MM = 0.36  # how high a line of type is in millimetres for each point of it
STEEP = 0.35  # a leader whose run is less of its rise has its words over or under its end
# Figures one saws and bores by have digits of 2 mm and more: those of a fraction are 0.507 of the type (the style's
# scale of the typeface's superior and inferior figures), whole ones 0.635.
FIGURE_PT: dict[Units, float] = {"in": 11.25, "mm": 10.5}
_POINT_MM = 25.4 / 72
_SURE = 1.04  # rather too wide
_EM_DIGIT, _EM_FRACTION, _EM_SLASH, _EM_NARROW, _EM_CAPITAL, _EM_SMALL = 0.5, 0.45, 0.22, 0.26, 0.58, 0.5
_EM_GAP = 0.15  # between a whole number and its fraction
_MIXED = re.compile("[0-9][⁰¹²³⁴⁵⁶⁷⁸⁹]+\u2044")
_RUN_KNEE_MM = 1.6  # where its extension lines bend toward their figures
_RUN_FOOT_MM = 4.0
_RUN_END_MM = 5.0
RUN_FIGURES_MM = 5.8  # from the view to the figures
_RUN_OVER_MM = 0.8  # figures reach so far beyond the stations where others stand round the corner


Box = tuple[float, float, float, float]  # left, bottom, right, top in millimetres of paper


@lru_cache(maxsize=4096)
def type_mm(text: str, size_pt: float) -> float:
    """How wide words are set in so many points, reckoned from the kinds of their characters."""
    mixed = len(_MIXED.findall(text)) * _EM_GAP
    return (sum(_em(char) for char in text) + mixed) * size_pt * _POINT_MM * _SURE


def _em(char: str) -> float:
    if char in "⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉":
        return _EM_FRACTION
    if char == "\u2044":
        return _EM_SLASH
    if char.isdigit() or char in "×≈−+=#":
        return _EM_DIGIT
    if char in " .,:;'’|iljtfr()-–/":
        return _EM_NARROW if char not in "tfr–" else 0.36
    return _EM_CAPITAL + 0.08 if char.isupper() or char in "Ømw" else _EM_SMALL


def figures_pt(text: str, size_pt: float) -> float:
    """The size in which words are set, larger where a fraction in them would be too small."""
    return max(size_pt, FIGURE_PT["in"]) if "\u2044" in text else size_pt


def row_mm(size_pt: float) -> float:
    """From one figure of a row to the next."""
    return size_pt * 0.43


def running(
    origin: Point,
    stations: Sequence[tuple[Point, str]],
    side: int,
    scale: Fraction,
    axis: Literal["x", "y"] = "x",
    size_pt: float = 9.0,
    zero: str = "0",
    away: int = 0,
    strong: bool = True,
) -> list[Shape]:
    """Running dimensions along x or y (ISO 129-1): from one origin, the figure at the end of each extension line.
    `origin` and the stations lie on the border of the view; `side` is -1 below or left of it and 1 above or right. The
    origin's own figure is `zero`, and `strong`. Toward `away` (-1 or 1 along the axis, 0 for neither) the figures
    hardly reach beyond the stations: other figures stand round the corner."""
    k, other = (0, 1) if axis == "x" else (1, 0)
    order = sorted(dict.fromkeys([(origin, zero), *stations]), key=lambda s: s[0][k])
    places = [point[k].float_mm(scale) for point, _ in order]
    anchor: Literal["left", "right"] = "right" if side < 0 else "left"
    shapes: list[Shape] = []
    true: dict[float, Length] = {}  # most are asked for again and again

    def known(paper_mm: float) -> Length:
        return true.get(paper_mm) or true.setdefault(paper_mm, true_length(paper_mm, scale))

    def off(point: Point, along_mm: float, out_mm: float) -> Point:
        along, out = known(along_mm), point[other] + known(side * out_mm)
        return (along, out) if axis == "x" else (out, along)

    rows = spaced(places, row_mm(size_pt))
    if away:
        beyond = max(row * away for row in rows) - max(place * away for place in places) - _RUN_OVER_MM
        rows = [row - away * max(beyond, 0.0) for row in rows]
    for (point, text), at, set_at in zip(order, places, rows, strict=True):
        gap, knee, foot = off(point, at, 0.8), off(point, at, _RUN_KNEE_MM), off(point, set_at, _RUN_FOOT_MM)
        shapes += [Line(gap, knee, Stroke.THIN), Line(knee, foot, Stroke.THIN)]
        shapes.append(Line(foot, off(point, set_at, _RUN_END_MM), Stroke.THIN))
        words = off(point, set_at, RUN_FIGURES_MM)
        shapes.append(Words(words, text, size_pt, anchor, 90 if axis == "x" else 0, strong=strong and text == zero))
    return shapes


def running_mm(texts: Iterable[str], size_pt: float) -> float:
    """Paper that running dimensions with these figures take beside the view; 0 for none."""
    return max((RUN_FIGURES_MM + type_mm(text, size_pt) for text in texts), default=0.0)


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
    above, below = scale.numerator, scale.denominator

    def reach(point: Point, *, left: float, right: float, down: float, up: float) -> None:
        x, y = point[0].times(above, below), point[1].times(above, below)
        xs.extend((x - left, x + right))
        ys.extend((y - down, y + up))

    for shape in shapes:
        if isinstance(shape, Line):
            for x, y in (shape.start, shape.end):
                xs.append(x.times(above, below))
                ys.append(y.times(above, below))
        elif isinstance(shape, Polygon):
            xs += [x.times(above, below) for x, _ in shape.points]
            ys += [y.times(above, below) for _, y in shape.points]
        elif isinstance(shape, (Circle, CentreMark)):
            radius = (shape.radius if isinstance(shape, Circle) else shape.reach).float_mm(scale)
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


def joined_boxes(one: Box, two: Box) -> Box:
    """The smallest box that holds both."""
    return min(one[0], two[0]), min(one[1], two[1]), max(one[2], two[2]), max(one[3], two[3])


def dimension_box(shape: Dimension, scale: Fraction) -> Box:
    """Line and words of a dimension, in millimetres of paper."""
    k = 0 if shape.axis == "x" else 1
    low, high = sorted(point[k].float_mm(scale) for point in (shape.start, shape.end))
    borders = [p[1 - k].float_mm(scale) for p in (shape.start, shape.end)]
    base = (max(borders) if shape.offset_mm > 0 else min(borders)) + shape.offset_mm
    # the words stand above the line, or left of it
    return (low, base - 2.0, high, base + 4.0) if k == 0 else (base - 4.0, low, base + 2.0, high)


def leader_words(shape: Leader, scale: Fraction) -> Box:
    """The words of a leader in millimetres of paper: beside its end, or over or under the end of a steep one."""
    tip, at = ((p[0].float_mm(scale), p[1].float_mm(scale)) for p in (shape.tip, shape.at))
    return words_at_leader(tip, at, shape.text, shape.size_pt or 9.0)


def words_at_leader(tip: tuple[float, float], at: tuple[float, float], text: str, size_pt: float) -> Box:
    """As `leader_words`, for a leader from `tip` to `at`."""
    return box_at_leader(tip, at, type_mm(text, size_pt), size_pt * LINE_MM)


def box_at_leader(tip: tuple[float, float], at: tuple[float, float], wide: float, high: float) -> Box:
    """The box of words so wide and high at the end of a leader."""
    if abs(at[0] - tip[0]) < STEEP * abs(at[1] - tip[1]):
        low = at[1] + 0.4 if at[1] >= tip[1] else at[1] - 0.8 - high
        return at[0] - wide / 2, low, at[0] + wide / 2, low + high
    low_x = at[0] + 0.7 if at[0] >= tip[0] else at[0] - 0.7 - wide
    return low_x, at[1] - high / 2, low_x + wide, at[1] + high / 2


def words_box(shape: Words, scale: Fraction) -> Box:
    """Words of a drawing in millimetres of paper."""
    box: list[float] = []

    def reach(point: Point, *, left: float, right: float, down: float, up: float) -> None:
        x, y = point[0].float_mm(scale), point[1].float_mm(scale)
        box.extend((x - left, y - down, x + right, y + up))

    _words_reach(shape, reach)
    return box[0], box[1], box[2], box[3]


def _words_reach(shape: Words, reach: Callable[..., None]) -> None:
    wide, half = type_mm(shape.text, shape.size_pt), shape.size_pt * 0.175
    before, after = {"left": (0.0, wide), "centre": (wide / 2, wide / 2), "right": (wide, 0.0)}[shape.anchor]
    dx, dy = shape.dx_mm, shape.dy_mm
    if shape.angle == 90:
        reach(shape.at, left=half - dx, right=half + dx, down=before - dy, up=after + dy)
    else:
        reach(shape.at, left=before - dx, right=after + dx, down=half - dy, up=half + dy)
