"""Drawings as SVG text. Every word is escaped; nothing is fetched, nothing runs."""

from __future__ import annotations

import re
from functools import lru_cache
from html import escape
from itertools import groupby

from shopdocs.blocks.drawing import Drawing
from shopdocs.page import typeface
from shopdocs.page.drawings import fitted
from shopdocs.page.items import (
    POINTS_PER_MM,
    Box,
    Clip,
    Dash,
    Disc,
    Face,
    Frame,
    Item,
    Line,
    Link,
    Path,
    Symbol,
    TextRun,
    Unclip,
    mm,
)
from shopdocs.page.typesetter import Typesetter

_WEIGHTS: dict[Face, int] = {"regular": 400, "semibold": 600, "bold": 700}
_FAMILY = "'Source Sans Pro','Source Sans 3',system-ui,sans-serif"


def drawing_svg(drawing: Drawing, width_mm: float, tallest_mm: float = 400.0) -> str:
    """A drawing fitted to `width_mm` of screen or paper at one of the usual scales, as one `svg` element. It
    carries the drawing's name as its title."""
    laid, _ = fitted(drawing, mm(width_mm), mm(tallest_mm), Typesetter())
    x0, y0, x1, y1 = laid.box
    air = 2.0
    return _svg(laid.items, (x0 - air, y0 - air, x1 + air, y1 + air), drawing.name)


def page_svg(frame: Frame) -> str:
    """A page as it prints, its whole paper, as one `svg` element; set in the typeface of the sheets where the reader
    has it. Links lead nowhere in it."""
    wide, high = frame.width, frame.height
    parts = [_head(wide, high, f"{frame.title}, page {frame.number}")]
    parts.append(f'<rect width="{_n(wide)}" height="{_n(high)}" fill="#fff"/>')
    for item in frame.items:
        if isinstance(item, Clip):
            x, y, w, h = item.x0, high - item.y1, item.x1 - item.x0, item.y1 - item.y0
            box = f"{_n(x)} {_n(y)} {_n(w)} {_n(h)}"
            parts.append(f'<svg x="{_n(x)}" y="{_n(y)}" width="{_n(w)}" height="{_n(h)}" viewBox="{box}">')
        elif isinstance(item, Unclip):
            parts.append("</svg>")
        elif isinstance(item, Symbol):
            parts.append(_symbol(item, high))
        elif not isinstance(item, Link):
            parts.append(_element(item, 0.0, high))
    parts.append("</svg>")
    return "\n".join(parts)


def _symbol(item: Symbol, top: float) -> str:
    """All dark modules as one path."""
    size, path = _n(item.module), []
    for number, row in enumerate(item.rows):
        for run in re.finditer("1+", row):
            path.append(f"M{run.start()} {number}h{len(run.group())}v1h-{len(run.group())}z")
    place = f"translate({_n(item.x)} {_n(top - item.y - item.module * len(item.rows))}) scale({size})"
    return f'<path transform="{place}" shape-rendering="crispEdges" d="{"".join(path)}"/>'


def _svg(items: list[Item], box: Box, title: str) -> str:
    x0, y0, x1, y1 = box
    wide, high = x1 - x0, y1 - y0
    parts = [_head(wide, high, title)]
    for _, alike in groupby(items, _stroked):
        some = tuple(alike)
        parts.append(_strokes(some, x0, y1) if len(some) > 1 else _element(some[0], x0, y1))
    parts.append("</svg>")
    return "\n".join(parts)


def _head(wide: float, high: float, title: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{wide / POINTS_PER_MM:.2f}mm" '
        f'height="{high / POINTS_PER_MM:.2f}mm" viewBox="0 0 {_n(wide)} {_n(high)}" font-family="{_FAMILY}">\n'
        f"<title>{_safe(title or 'drawing')}</title>"  # a picture needs a name for those who do not see it
    )


@lru_cache(maxsize=2**14)  # corners share most of their places, and pictures of one build most of their corners
def _n(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


def _safe(content: str) -> str:
    """Escaped for element text and attributes; characters that XML forbids become visible."""
    return escape(typeface.clean(content)[0], quote=True)


def _ink(brightness: float) -> str:
    level = round(brightness * 255)
    return f"#{level:02x}{level:02x}{level:02x}"


def _stroke(width: float, dash: Dash) -> str:
    if not width:
        return ' stroke="none"'
    dashed = f' stroke-dasharray="{" ".join(_n(part) for part in dash)}"' if dash else ""
    return f' stroke="#000" stroke-width="{_n(width)}"{dashed}'


def _filled(fill: float | None) -> str:
    return ' fill="none"' if fill is None else f' fill="{_ink(fill)}"'


def _element(item: Item, left: float, top: float) -> str:
    if isinstance(item, TextRun):
        return _text(item, item.x - left, top - item.y)
    if isinstance(item, Line):
        ends = f'x1="{_n(item.x0 - left)}" y1="{_n(top - item.y0)}" x2="{_n(item.x1 - left)}" y2="{_n(top - item.y1)}"'
        return f"<line {ends}{_stroke(item.width, item.dash)}/>"
    if isinstance(item, Path):
        points = " ".join(f"{_n(x - left)},{_n(top - y)}" for x, y in item.points)
        kind = "polygon" if item.closed else "polyline"
        return f'<{kind} points="{points}"{_filled(item.fill)}{_stroke(item.width, item.dash)}/>'
    if isinstance(item, Disc):
        at = f'cx="{_n(item.x - left)}" cy="{_n(top - item.y)}" r="{_n(item.radius)}"'
        return f"<circle {at}{_filled(item.fill)}{_stroke(item.width, item.dash)}/>"
    raise TypeError(type(item).__name__)


def _stroked(item: Item) -> object:
    """Equal for lines that are drawn alike; for anything else itself."""
    return (item.width, item.dash) if isinstance(item, Line) else id(item)


@lru_cache(maxsize=4)  # the records of all pieces show the same lines of the build
def _strokes(lines: tuple[Line, ...], left: float, top: float) -> str:
    """Lines that are drawn alike as one path: a picture of many pieces is a third as long so. One that begins where the
    last ended goes on."""
    steps, last = [], ""
    for line in lines:
        start = f"{_n(line.x0 - left)} {_n(top - line.y0)}"
        end = f"{_n(line.x1 - left)} {_n(top - line.y1)}"
        if end == last:
            start, end = end, start
        steps.append(f"L{end}" if start == last else f"M{start}L{end}")
        last = end
    return f'<path d="{"".join(steps)}" fill="none"{_stroke(lines[0].width, lines[0].dash)}/>'


def _text(item: TextRun, x: float, y: float) -> str:
    """Set fractions become raised and lowered figures by `dy`, as on paper."""
    turn = f' transform="rotate(-90 {_n(x)} {_n(y)})"' if item.angle else ""
    ink = f' fill="{_ink(item.ink)}"' if item.ink else ""
    weight = f' font-weight="{_WEIGHTS[item.face]}"' if item.face != "regular" else ""
    wide = _n(typeface.width(item.text, item.face, item.size))  # holds the layout where another typeface steps in
    held = f' textLength="{wide}" lengthAdjust="spacingAndGlyphs"' if len(item.text) > 1 else ""
    place = f'x="{_n(x)}" y="{_n(y)}" font-size="{_n(item.size)}" xml:space="preserve"{held}'
    return f"<text {place}{weight}{ink}{turn}>{_spans(item)}</text>"


def _spans(item: TextRun) -> str:
    style = typeface.fraction_style()
    size = item.size * style.scale
    out: list[str] = []
    at = 0
    for match in typeface.FRACTION.finditer(item.text):
        out.append(_safe(item.text[at : match.start()]))
        down, up = -style.numerator_rise * size, -style.denominator_rise * size
        over, slash, under = match.groups()
        sized = f'font-size="{_n(size)}"'
        gap = typeface.gap_before(item.text, match.start()) * item.size
        apart = f'dx="{_n(gap)}" ' if gap else ""
        if over == typeface.ONES:
            apart = f'dx="{_n(gap)} {_n(-style.ones * size)}" '
        out.append(f'<tspan {apart}{sized} dy="{_n(down)}">{over}</tspan>')
        out.append(f'<tspan {sized} dy="{_n(-down)}">{slash}</tspan>')
        out.append(f'<tspan {sized} dy="{_n(up)}">{under}</tspan>')
        at = match.end()
        out.append(f'<tspan dy="{_n(-up)}">\u200b</tspan>')
    out.append(_safe(item.text[at:]))
    return "".join(out)
