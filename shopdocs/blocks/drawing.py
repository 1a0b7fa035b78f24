"""Line drawings in true lengths.

Coordinates are exact lengths of the thing drawn, x to the right, y up. Sizes of type and offsets of dimension lines are
lengths on paper and carry the suffix `_pt` or `_mm`: they do not scale with the drawing.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from typing import Literal, NamedTuple

from msgspec import Struct

from shopdocs.blocks.text import Figure
from shopdocs.core.length import Length
from shopdocs.core.outline import Outline

Point = tuple[Length, Length]


class Stroke(StrEnum):
    """Line kinds after ISO 128: the output gives each its width and dash."""

    VISIBLE = "visible"
    HIDDEN = "hidden"
    CENTRE = "centre"
    THIN = "thin"  # dimension, leader, hatch
    REFERENCE = "reference"  # the edge to gauge from, heavy
    KNIFE = "knife"  # a shoulder, squared round with the knife
    CUT = "cut"  # cut the paper here
    FOLD = "fold"  # fold the paper here


Fill = Literal["none", "paper", "tint", "ink"]


class Line(NamedTuple):
    """A straight line between two points of the drawing, in real size. Its ink lies `on` it, or wholly to the left or
    right of it as one goes from start to end: then its other side is the line."""

    start: Point
    end: Point
    stroke: Stroke = Stroke.VISIBLE
    ink: Literal["on", "left", "right"] = "on"


class Polygon(Struct, frozen=True):
    """Points in real size joined by lines; `closed` joins the last to the first, `fill` shades what lies within."""

    points: tuple[Point, ...]
    stroke: Stroke = Stroke.VISIBLE
    fill: Fill = "none"
    closed: bool = True


class Circle(Struct, frozen=True):
    """A circle in real size."""

    centre: Point
    radius: Length
    stroke: Stroke = Stroke.VISIBLE
    fill: Fill = "none"


class CentreMark(Struct, frozen=True):
    """A cross of two thin lines, `reach` beyond the centre on each side, at true scale; dashed where what it marks is
    `hidden` behind the wood."""

    centre: Point
    reach: Length
    hidden: bool = False


class Words(Struct, frozen=True):
    """Text in a drawing. `anchor` is the point's place in the text; `angle` 0 reads from below, 90 from the right.
    `boxed` clears the paper under the words. A mark is set bold and boxed."""

    at: Point
    text: str
    size_pt: float = 9.0
    anchor: Literal["left", "centre", "right"] = "centre"
    angle: Literal[0, 90] = 0
    strong: bool = False
    boxed: bool = False
    dx_mm: float = 0.0
    dy_mm: float = 0.0


class Dimension(Struct, frozen=True):
    """A dimension line after ISO 129-1: measured between two points along x or y, drawn `offset_mm` of paper away from
    them (positive is up or right), slim arrowheads, text above the line. `value` is the true length where the drawing
    is broken between the points, None where their distance is it."""

    start: Point
    end: Point
    text: str
    axis: Literal["x", "y"]
    offset_mm: float
    value: Length | None = None


class Leader(Struct, frozen=True):
    """A thin line from a dot on the thing to words beside it, of `size_pt` (0 for the usual size)."""

    tip: Point
    at: Point
    text: str
    strong: bool = False
    size_pt: float = 0.0


class Arrow(Struct, frozen=True):
    """A slim arrow from start to end at true scale, with words at its tail."""

    start: Point
    end: Point
    text: str = ""


Shape = Line | Polygon | Circle | CentreMark | Words | Dimension | Leader | Arrow


class Drawing(Struct, frozen=True):
    """Shapes within the box (0, 0) to (width, height). Without `scale` it is fitted to the space given, by one of the
    usual scales; `scale` 1 is full size. `name` stands under it. `clear_mm` is kept free around the box on paper for
    dimension lines and words."""

    name: str
    width: Length
    height: Length
    shapes: tuple[Shape, ...]
    scale: Fraction | None = None
    clear_mm: float = 0.0
    tallest_mm: float = 120.0
    figures: tuple[Figure, ...] = ()  # the numbers in its words
    unit: str = ""  # what its dimensions are in ("mm", "in"), told once beside the scale
    larger: tuple[Drawing, ...] = ()  # the same, the largest first, for where its page has room left
    captioned: bool = True  # its name and scale under it; without, they are told elsewhere
    sketch: bool = False  # nothing is to scale in it, and no scale is told
    pictorial: bool = False  # seen at an angle: no size can be taken off it, at whatever scale it happens to be drawn
    title: str = ""  # set at its left where it opens a page and leaves the room
    like: str = ""  # drawings of one name stay at one scale: the `larger` of all of them go by the same scales


class FullScale(Struct, frozen=True):
    """A drawing that is used as a template: printed at 1:1, cut out or pricked through. It gets check bars in both axes
    on every sheet and is tiled with join marks where it is larger than the page. `title` and `facts` head every tile,
    `thumbnail` (in millimetres of paper) stands beside them and shows where it lies. Not `corrected`, it is printed as
    if the printer were true (to find out how far it is not)."""

    title: str
    drawing: Drawing
    facts: tuple[str, ...] = ()
    anchor: str = ""
    figures: tuple[Figure, ...] = ()  # the numbers in `facts`
    corrected: bool = True
    thumbnail: Drawing | None = None


class Pattern(FullScale, frozen=True, kw_only=True):
    """The outline of a piece at full size. `outline` is the whole of it where the drawing shows half; files of it are
    called `file`, without ending. Narrow tiles of one pattern stand beside each other on a page."""

    outline: Outline
    file: str = ""
