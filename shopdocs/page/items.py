"""What stands on a frame: plain tuples in points (1/72 in), origin at the bottom left corner of the page, y up.

A frame is one page: its size and the items placed on it, in painting order.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple, Union

from msgspec import Struct, field

from shopdocs.core.length import Length

Face = Literal["regular", "semibold", "bold"]
Dash = tuple[float, ...]

POINTS_PER_MM = 72 / 25.4


def mm(value: float) -> float:
    """Millimetres of paper in points."""
    return value * POINTS_PER_MM


class TextRun(NamedTuple):
    """Words from the base line at (x, y), leftmost first. `angle` 0 or 90 degrees; `ink` 0 is black, 1 white."""

    x: float
    y: float
    face: Face
    size: float
    text: str
    angle: int = 0
    ink: float = 0.0


class Line(NamedTuple):
    """A straight line, points from the lower left corner of the page; `dash` is lengths of strokes and gaps."""

    x0: float
    y0: float
    x1: float
    y1: float
    width: float
    dash: Dash = ()


class Path(NamedTuple):
    """A polygon or polyline. `width` 0 strokes nothing; `fill` is brightness from 0 (black) to 1, or None."""

    points: tuple[tuple[float, float], ...]
    closed: bool
    width: float
    dash: Dash = ()
    fill: float | None = None


class Disc(NamedTuple):
    """A circle, points; `fill` is its brightness from 0 (black) to 1, None for an outline."""

    x: float
    y: float
    radius: float
    width: float
    dash: Dash = ()
    fill: float | None = None


class Symbol(NamedTuple):
    """A QR symbol: (x, y) its lower left corner without quiet zone, `rows` from the top, '1' a dark module."""

    x: float
    y: float
    module: float
    rows: tuple[str, ...]


class Link(NamedTuple):
    """An area that leads to an anchor of the same set."""

    x0: float
    y0: float
    x1: float
    y1: float
    anchor: str


class Clip(NamedTuple):
    """Until the next `Unclip`, only what lies in this rectangle is painted."""

    x0: float
    y0: float
    x1: float
    y1: float


class Unclip(NamedTuple):
    """Ends the last `Clip`: from here the whole page may be painted on again."""


class PageNumber(NamedTuple):
    """Where the page number of an anchor is to stand once all pages are known; `x` is its left or its right edge."""

    x: float
    y: float
    face: Face
    size: float
    anchor: str
    at_right: bool


Item = Union[TextRun, Line, Path, Disc, Symbol, Link, Clip, Unclip]
Box = tuple[float, float, float, float]


class Frame(Struct):
    """One page while it is laid out. `anchors` and `outline` carry the height y they point to; `outline` entries are
    (level, title, y). `bare` pages (label sheets) have no line of ours. `true_scale` tells that lengths on it are
    meant to be measured."""

    width: float
    height: float
    document: str
    title: str
    items: list[Item] = field(default_factory=list)
    anchors: list[tuple[str, float]] = field(default_factory=list)
    outline: list[tuple[int, str, float]] = field(default_factory=list)
    page_numbers: list[PageNumber] = field(default_factory=list)
    bare: bool = False
    over: float = 0.0  # of a bare page, what is free over its first row of labels
    true_scale: bool = False
    number: int = 0  # in its document, from 1
    of: int = 0
    set_number: int = 0  # in the whole set, from 1
    exact_size: tuple[Length, Length] = (Length(0), Length(0))


def rectangle(
    x0: float, y0: float, x1: float, y1: float, width: float, fill: float | None = None, dash: Dash = ()
) -> Path:
    """A closed path along four sides, points; `fill` is a brightness from 0 (black) to 1."""
    return Path(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), True, width, dash, fill)


def shifted(items: Iterable[Item], dx: float, dy: float) -> list[Item]:
    """The same items moved by (dx, dy)."""
    out: list[Item] = []
    for item in items:
        if isinstance(item, Line):
            x0, y0, x1, y1, width, dash = item
            out.append(Line(x0 + dx, y0 + dy, x1 + dx, y1 + dy, width, dash))
        elif isinstance(item, Path):
            out.append(item._replace(points=tuple([(x + dx, y + dy) for x, y in item.points])))
        elif isinstance(item, (TextRun, Disc, Symbol)):
            out.append(item._replace(x=item.x + dx, y=item.y + dy))
        elif isinstance(item, Unclip):
            out.append(item)
        else:
            out.append(item._replace(x0=item.x0 + dx, y0=item.y0 + dy, x1=item.x1 + dx, y1=item.y1 + dy))
    return out
