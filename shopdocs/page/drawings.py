"""Line drawings on paper: scale, line kinds after ISO 128, dimensions after ISO 129-1, words that keep clear.

A drawing is laid out in points with the lower left corner of its box at (0, 0); `across` and `up` are points of paper
for one millimetre of the thing drawn.
"""

from __future__ import annotations

import math
from array import array
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache, partial
from itertools import chain, groupby
from typing import cast

from msgspec import Struct

from shopdocs.blocks.drawing import (
    Arrow,
    CentreMark,
    Circle,
    Dimension,
    Drawing,
    Fill,
    Leader,
    Line,
    Polygon,
    Shape,
    Stroke,
    Words,
)
from shopdocs.blocks.scales import SCALES, scale_text
from shopdocs.page import items as paper
from shopdocs.page.dimensions import set_dimensions
from shopdocs.page.flow import Paint, Strip
from shopdocs.page.items import POINTS_PER_MM, Box, Disc, Face, Frame, Item, Path, TextRun, mm
from shopdocs.page.pad import Pad, arrow_head, words_box
from shopdocs.page.style import style
from shopdocs.page.typesetter import Typesetter

WORDS_SIZE = 9.0
TITLE_AIR = 8.0  # points, about the title of a drawing
UNIT_WORDS = {"mm": "mm", "in": "inches"}


SHORT_DASH = (mm(0.6), mm(0.5))  # of what is too small for the usual dashes
MANY = 100  # lines: worth knowing again
SMALL = mm(3.0)  # radius of a circle that would show fewer than four of them
SKETCH_SHARES = tuple(Fraction(share, 100) for share in (100, 97, 94, 91, 88, 84, 80))  # of its size, tried in turn


Spot = tuple[float, float]


class Laid(Struct):
    """A drawing on paper: items, and the box around everything, words included."""

    items: list[Item]
    box: Box
    true: tuple[float, float]


def lay_out(
    drawing: Drawing,
    scale: Fraction,
    ts: Typesetter,
    printer: tuple[Fraction, Fraction] = (Fraction(1), Fraction(1)),
) -> Laid:
    """The drawing at `scale`; `printer` stretches it across and up so that a printer that errs prints it true."""
    across = float(scale * printer[0]) * POINTS_PER_MM
    up = float(scale * printer[1]) * POINTS_PER_MM
    pad = Pad(across, up, ts, (drawing.width, drawing.height))
    pad.reach((0.0, 0.0), pad.at((drawing.width, drawing.height)))
    for kind, run in groupby(drawing.shapes, _alike):
        if isinstance(kind, Stroke):  # nearly all that a drawing holds
            _lines(pad, tuple(cast(Iterator[Line], run)))
            continue
        for shape in run:
            _shape(pad, shape)
    set_dimensions(pad, [shape for shape in drawing.shapes if isinstance(shape, Dimension)])
    return Laid(
        pad.items + pad.late,
        (pad.low_x, pad.low_y, pad.high_x, pad.high_y),
        pad.at((drawing.width, drawing.height)),
    )


def _alike(shape: Shape) -> object:
    """The stroke of a line; of anything else what it is."""
    return shape.stroke if type(shape) is Line else type(shape)


def _shape(pad: Pad, shape: Shape) -> None:
    """Anything but a line or a dimension."""
    if isinstance(shape, Polygon):
        _polygon(pad, shape)
    elif isinstance(shape, Circle):
        _circle(pad, shape)
    elif isinstance(shape, CentreMark):
        _centre(pad, shape)
    elif isinstance(shape, Words):
        _words(pad, shape)
    elif isinstance(shape, Leader):
        _leader(pad, shape)
    elif isinstance(shape, Arrow):
        _arrow(pad, shape)


class _Same:
    """Lines that are known again only as the same objects: to compare them one by one takes as long as to set them."""

    __slots__ = ("_numbers", "lines")

    def __init__(self, lines: tuple[Line, ...]) -> None:
        self.lines = lines  # kept, so that no others take their numbers
        self._numbers = tuple(map(id, lines))

    def __hash__(self) -> int:
        return hash(self._numbers)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self._numbers == other._numbers


def _lines(pad: Pad, lines: tuple[Line, ...]) -> None:
    """Lines of one stroke that follow each other, in one pass."""
    found, low, high = (_set_again if len(lines) > MANY else _set)(_Same(lines), pad.across, pad.up)
    pad.items += found
    pad.reach(low, high)


def _set(same: _Same, across: float, up: float) -> tuple[list[paper.Line], Spot, Spot]:
    """The lines on paper, and the low and the high corner of the box round them."""
    width, dash = style().strokes[same.lines[0].stroke]
    found: list[paper.Line] = []
    for (a, b), (c, d), _, ink in same.lines:
        x0, y0, x1, y1 = a.as_float * across, b.as_float * up, c.as_float * across, d.as_float * up
        if ink != "on" and (long := math.hypot(x1 - x0, y1 - y0)):
            aside = width / 2 / long * (1 if ink == "left" else -1)
            dx, dy = -(y1 - y0) * aside, (x1 - x0) * aside
            x0, y0, x1, y1 = x0 + dx, y0 + dy, x1 + dx, y1 + dy
        found.append(paper.Line(x0, y0, x1, y1, width, dash))
    left, bottom, right, top, *_ = zip(*found, strict=True)
    low = min(min(left), min(right)), min(min(bottom), min(top))
    return found, low, (max(max(left), max(right)), max(max(bottom), max(top)))


_set_again = lru_cache(maxsize=4)(_set)  # the records of all pieces show the same lines of the build


def _fill(kind: Fill, ts: Typesetter) -> float | None:
    return {"none": None, "paper": 1.0, "tint": ts.style.tint, "ink": 0.0}[kind]


def _polygon(pad: Pad, shape: Polygon) -> None:
    width, dash = pad.ts.style.strokes[shape.stroke]
    points = tuple(pad.at(point) for point in shape.points)
    pad.items.append(Path(points, shape.closed, width, dash, _fill(shape.fill, pad.ts)))
    pad.reach(*points)


def _circle(pad: Pad, shape: Circle) -> None:
    width, dash = pad.ts.style.strokes[shape.stroke]
    x, y = pad.at(shape.centre)
    radius = shape.radius.float_mm() * (pad.across + pad.up) / 2
    if shape.stroke is Stroke.HIDDEN and radius < SMALL:
        dash = SHORT_DASH
    pad.items.append(Disc(x, y, radius, width, dash, _fill(shape.fill, pad.ts)))
    pad.reach((x - radius, y - radius), (x + radius, y + radius))


def _centre(pad: Pad, shape: CentreMark) -> None:
    x, y = pad.at(shape.centre)
    a, b = shape.reach.float_mm() * pad.across, shape.reach.float_mm() * pad.up
    dash = SHORT_DASH if shape.hidden else ()
    for dx, dy in ((a, 0.0), (-a, 0.0), (0.0, b), (0.0, -b)) if shape.hidden else ((a, 0.0), (0.0, b)):
        # from the middle outwards when dashed, so that all four arms are dashed alike
        start = (x, y) if shape.hidden else (x - dx, y - dy)
        pad.line(start, (x + dx, y + dy), pad.ts.style.thin, dash)


def _words(pad: Pad, shape: Words) -> None:
    ts = pad.ts
    face: Face = "bold" if shape.strong else "regular"
    size = max(shape.size_pt, ts.style.floor)
    content = ts.clean(shape.text)
    wide = ts.width(content, face, size)
    x, y = pad.at(shape.at)
    x, y = x + mm(shape.dx_mm), y + mm(shape.dy_mm)
    back = {"left": 0.0, "centre": wide / 2, "right": wide}[shape.anchor]
    if shape.angle == 90:
        x, y = x + size * 0.33, y - back
    else:
        x, y = x - back, y - size * 0.33
    if shape.boxed:
        a, b, c, d = words_box(x, y, wide, size, shape.angle)
        pad.late.append(paper.rectangle(a - 1.5, b - 0.5, c + 1.5, d + 0.5, 0.0, 1.0))
    pad.words(x, y, content, face, size, shape.angle)


def _leader(pad: Pad, shape: Leader) -> None:
    ts = pad.ts
    face: Face = "bold" if shape.strong else "regular"
    size = shape.size_pt or WORDS_SIZE + (1.0 if shape.strong else 0.0)
    tip, at = pad.at(shape.tip), pad.at(shape.at)
    pad.line(tip, at, ts.style.thin)
    pad.items.append(Disc(tip[0], tip[1], mm(0.5), 0.0, (), 0.0))
    content = ts.clean(shape.text)
    wide = ts.width(content, face, size)
    right = at[0] >= tip[0]
    flat = abs(at[0] - tip[0]) < 0.35 * abs(at[1] - tip[1])
    if flat:
        above = at[1] >= tip[1]
        x, y = at[0] - wide / 2, at[1] + (2.5 if above else -size * 0.72 - 2.5)
    else:
        x, y = at[0] + (2.5 if right else -2.5 - wide), at[1] - size * 0.3
    a, b, c, d = words_box(x, y, wide, size, 0)
    pad.late.append(paper.rectangle(a - 1.0, b, c + 1.0, d, 0.0, 1.0))
    pad.words(x, y, content, face, size, 0)


def _arrow(pad: Pad, shape: Arrow) -> None:
    start, end = pad.at(shape.start), pad.at(shape.end)
    pad.line(start, end, pad.ts.style.visible)
    pad.items.append(arrow_head(start, end, mm(3.4), mm(1.5)))
    if shape.text:
        size = WORDS_SIZE
        content = pad.ts.clean(shape.text)
        wide = pad.ts.width(content, "regular", size)
        dx, dy = end[0] - start[0], end[1] - start[1]
        if abs(dy) >= abs(dx):
            x, y = start[0] - wide / 2, start[1] + (-size * 0.72 - 3.0 if dy > 0 else 3.0)
        else:
            x, y = start[0] + (-wide - 3.0 if dx > 0 else 3.0), start[1] - size * 0.3
        pad.words(x, y, content, "regular", size, 0)


def fitted(drawing: Drawing, room: float, tall: float, ts: Typesetter) -> tuple[Laid, Fraction]:
    """The drawing at the largest usual scale at which it and its words fit `room` by `tall` points. A sketch tells no
    scale, so where its words need room it is made a little smaller and nothing is said of it."""
    clear = 2 * mm(drawing.clear_mm)
    scales = (drawing.scale, *SCALES) if drawing.scale else SCALES
    if drawing.scale and drawing.sketch:
        scales = (*(drawing.scale * share for share in SKETCH_SHARES), *SCALES)
    if drawing.scale is None:
        tall = min(tall, mm(drawing.tallest_mm) + clear)
    for scale in scales:
        wide = drawing.width.float_mm(scale) * POINTS_PER_MM
        high = drawing.height.float_mm(scale) * POINTS_PER_MM
        if wide > room or high > tall:
            continue
        laid = lay_out(drawing, scale, ts)
        if laid.box[2] - laid.box[0] <= room + 0.01 and laid.box[3] - laid.box[1] <= tall + 0.01:
            if drawing.scale and scale != drawing.scale and not drawing.sketch:
                ts.note(f"drawing {drawing.name}: {scale_text(drawing.scale)} does not fit, set at {scale_text(scale)}")
            return laid, scale
    least = (
        min(
            Fraction(int(room)) / Fraction(max(1, math.ceil(drawing.width.mm))),
            Fraction(int(tall)) / Fraction(max(1, math.ceil(drawing.height.mm))),
        )
        / 4
    )
    ts.note(f"drawing {drawing.name}: fits at no usual scale")
    return lay_out(drawing, least, ts), least


class Pictures:
    """Drawings set while a document is tried in several ways: each is laid out once for a room, and kept as long as the
    document is at hand."""

    def __init__(self, ts: Typesetter) -> None:
        self.ts = ts
        self._set: dict[tuple[int, float, float], tuple[Drawing, float, Paint]] = {}

    def strips(self, drawing: Drawing, room: float, tall: float) -> list[Strip]:
        """The drawing centred, its name and scale under it, in `room` by `tall` points."""
        key = (id(drawing), room, tall)  # the drawing is kept beside, so that no other one takes its number
        if key not in self._set:
            self._set[key] = (drawing, *_captioned(drawing, room, tall, self.ts))
        _, height, paint = self._set[key]
        opening = Strip(height, partial(_under_title, drawing, paint, room, self.ts)) if drawing.title else None
        return [Strip(height, paint, before=14.0 if drawing.captioned else 2.0, opening=opening)]


def _under_title(
    drawing: Drawing, paint: Paint, room: float, ts: Typesetter, frame: Frame, left: float, top: float
) -> None:
    """Paints a drawing with its title, as a heading at the left of it; without where that has no room there."""
    size, first = ts.style.section, len(frame.items)
    paint(frame, left, top)
    title = ts.clean(drawing.title)
    wide, low = ts.width(title, "bold", size), top - size * 1.25
    drawn = [spot for item in frame.items[first:] for spot in _spots(item, ts) if spot[1] > low - TITLE_AIR]
    if all(x > left + wide + TITLE_AIR for x, _ in drawn) and wide <= room:
        frame.items.append(TextRun(left, top - size * 0.9, "bold", size, title))
        frame.outline.append((2, title, top))


def _spots(item: Item, ts: Typesetter) -> list[Spot]:
    """Places that tell where an item begins at the left and how high it reaches."""
    if isinstance(item, paper.Line):
        return [(min(item.x0, item.x1), max(item.y0, item.y1))]
    if isinstance(item, Path):
        return [(min(x for x, _ in item.points), max(y for _, y in item.points))]
    if isinstance(item, Disc):
        return [(item.x - item.radius, item.y + item.radius)]
    if isinstance(item, TextRun) and item.angle:
        return [(item.x - item.size, item.y + ts.width(item.text, item.face, item.size))]
    return [(item.x, item.y + item.size)] if isinstance(item, TextRun) else []


class _Run(Struct, frozen=True):
    """Lines of one width in little memory: a picture of many pieces is laid out at several scales, and has thousands of
    them. `places` holds the four numbers of each."""

    places: array[float]
    width: float
    dash: paper.Dash

    def moved(self, dx: float, dy: float) -> list[paper.Line]:
        """The lines moved by (dx, dy)."""
        width, dash, each = self.width, self.dash, iter(self.places)
        fours = zip(each, each, each, each, strict=True)
        return [paper.Line(x0 + dx, y0 + dy, x1 + dx, y1 + dy, width, dash) for x0, y0, x1, y1 in fours]


def _kept(items: Iterable[Item]) -> list[_Run | list[Item]]:
    """The items in their order, lines of one width that follow each other as a run."""
    found: list[_Run | list[Item]] = []
    for alike, run in groupby(items, lambda item: item[4:] if type(item) is paper.Line else None):
        if alike is None:
            found.append(list(run))
        else:
            lines = cast(Iterator[paper.Line], run)
            found.append(_Run(array("d", chain.from_iterable(line[:4] for line in lines)), *alike))
    return found


def _captioned(drawing: Drawing, room: float, tall: float, ts: Typesetter) -> tuple[float, Paint]:
    """The height of a drawing with its caption, and how both are painted."""
    caption_size = ts.style.quiet
    caption_high = caption_size * 1.3 + 7.0 if drawing.captioned else 2.0
    laid, scale = fitted(drawing, room, tall - caption_high - 14.0, ts)
    x0, y0, x1, y1 = laid.box
    name = (
        ts.cut(ts.clean(drawing.name), "semibold", caption_size, room - (0 if drawing.sketch else 60))
        if drawing.captioned
        else ""
    )
    name_wide = ts.width(name, "semibold", caption_size)
    usual = (scale in SCALES or scale >= 1 or drawing.unit) and not drawing.pictorial
    note = f"scale {scale_text(scale)}" if usual else "not to scale"
    if drawing.sketch:
        note, caption_high = "", caption_high if name else 2.0
    note += f", lengths in {UNIT_WORDS[drawing.unit]}" if drawing.unit else ""
    whole = name_wide + (8.0 if name else 0.0) + ts.width(note, "regular", caption_size)
    kept = _kept(laid.items)

    def paint(frame: Frame, left: float, top: float) -> None:
        dx = left + (room - (x1 - x0)) / 2 - x0
        dy = top - y1
        for some in kept:
            frame.items += some.moved(dx, dy) if isinstance(some, _Run) else paper.shifted(some, dx, dy)
        if not drawing.captioned:
            return
        low = top - (y1 - y0) - caption_high + 4.0
        x = left + (room - whole) / 2
        if name:
            frame.items.append(TextRun(x, low, "semibold", caption_size, name))
            x += name_wide + 8.0
        frame.items.append(TextRun(x, low, "regular", caption_size, note))

    return y1 - y0 + caption_high, paint
