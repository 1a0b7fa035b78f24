"""What can be checked of any page of any set: words over words, digits too small, pages left empty, leaders astray.

Measures come from the items of the frame and the typeface's own widths and heights, not from what the layout reckoned
with. Each function returns what is wrong, in words, so that a test can say `assert not ...`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations

import shapely

from shopdocs.blocks.drawing import Drawing
from shopdocs.page import typeface
from shopdocs.page.drawings import fitted, lay_out
from shopdocs.page.items import POINTS_PER_MM, Disc, Frame, Item, Line, Path, Symbol, TextRun, mm
from shopdocs.page.paper import Paper
from shopdocs.page.typesetter import Typesetter

Spot = tuple[float, float]
Box = tuple[float, float, float, float]

BAND = mm(5.0)
# Source Sans Pro: digits are 635 or more, superscript and subscript figures 390 or more thousandths of the type size
# high (read from the outlines of the font's own files; tested in test_frame_checks.py).
DIGIT, SMALL_DIGIT = 0.635, 0.390


def ink_box(run: TextRun) -> Box:
    """The box of a line of type from base line to the height of its capitals, in points."""
    wide, high = typeface.width(run.text, run.face, run.size), run.size * 0.66
    if run.angle:
        return run.x - high, run.y, run.x, run.y + wide
    return run.x, run.y, run.x + wide, run.y + high


def text_over_text(items: Iterable[Item]) -> list[str]:
    """Pairs of words that lie over one another."""
    runs = [item for item in items if isinstance(item, TextRun) and item.text.strip()]
    boxes = [ink_box(run) for run in runs]
    order = sorted(range(len(runs)), key=lambda i: boxes[i][0])
    found = []
    for place, i in enumerate(order):
        a = boxes[i]
        for j in order[place + 1 :]:
            b = boxes[j]
            if b[0] >= a[2] - 0.3:
                break
            if min(a[3], b[3]) - max(a[1], b[1]) > 0.3:
                found.append(f"{runs[i].text!r} over {runs[j].text!r}")
    return found


def words_covered(items: Sequence[Item], slack: float = 0.3) -> list[str]:
    """Words that white laid after them, as under the words of a box, hides in part."""
    found = []
    for place, item in enumerate(items):
        if not isinstance(item, TextRun) or not item.text.strip():
            continue
        a, b, c, d = ink_box(item)
        if c - a <= 2 * slack:
            continue
        core = shapely.box(a + slack, b + slack, c - slack, max(d - slack, b + slack))
        after = (one for one in items[place + 1 :] if isinstance(one, Path) and one.fill == 1.0 and len(one.points) > 2)
        if any(shapely.Polygon(one.points).intersects(core) for one in after):
            found.append(f"white over {item.text!r}")
    return found


def discs_astray(items: Iterable[Item], least: float = mm(2.5)) -> list[str]:
    """Discs with numbers, of `least` radius or more, that lie over each other, or partly over words."""
    every = list(items)
    discs = [item for item in every if isinstance(item, Disc) and item.radius >= least]
    runs = [(item, shapely.box(*ink_box(item))) for item in every if isinstance(item, TextRun) and item.text.strip()]
    found = []
    for place, one in enumerate(discs):
        for two in discs[:place]:
            if math.dist((one.x, one.y), (two.x, two.y)) < one.radius + two.radius:
                found.append("a disc over a disc")
        round_ = shapely.Point(one.x, one.y).buffer(one.radius)
        found += [f"a disc over {run.text!r}" for run, box in runs if box.intersects(round_) and not round_.covers(box)]
    return found


def line_through_text(items: Sequence[Item]) -> list[str]:
    """Words that a line painted after them runs through, or before them with no white laid between."""
    found = []
    lines = [(at, item) for at, item in enumerate(items) if isinstance(item, Line)]
    for place, item in enumerate(items):
        if not isinstance(item, TextRun) or not item.text.strip():
            continue
        a, b, c, d = ink_box(item)
        core = shapely.box(a + 0.3, b + 0.4, c - 0.3, d - 0.4) if c - a > 0.8 and d - b > 1.0 else None
        if core is None:
            continue
        for at, other in lines:
            if _beside(other, (a, b, c, d)):
                continue
            if core.intersects(shapely.LineString([(other.x0, other.y0), (other.x1, other.y1)])):
                white = any(
                    isinstance(one, Path) and one.fill == 1.0 and shapely.Polygon(one.points).buffer(0.1).contains(core)
                    for one in items[at + 1 : place]
                )
                if at > place or not white:
                    found.append(f"a line through {item.text!r}")
                    break
    return found


def _beside(line: Line, box: Box) -> bool:
    """Whether a line has nothing to do with a box: all of it lies on one side."""
    return (
        max(line.x0, line.x1) < box[0]
        or min(line.x0, line.x1) > box[2]
        or max(line.y0, line.y1) < box[1]
        or min(line.y0, line.y1) > box[3]
    )


def least_digit_mm(run: TextRun) -> float:
    """How high the smallest digit of some words is on paper; infinite where they have none."""
    scale = typeface.fraction_style().scale
    high = math.inf
    for char in run.text:
        if char in "⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉":
            high = min(high, SMALL_DIGIT * scale)
        elif char.isdigit():
            high = min(high, DIGIT)
    return high * run.size / POINTS_PER_MM


def small_digits(items: Iterable[Item], least_mm: float = 2.0) -> list[str]:
    """Words with a digit lower than `least_mm` on paper."""
    return [
        f"{item.text!r}: {least_digit_mm(item):.2f} mm"
        for item in items
        if isinstance(item, TextRun) and least_digit_mm(item) < least_mm
    ]


def laid_items(drawing: Drawing, room_mm: tuple[float, float] = (190.0, 250.0)) -> list[Item]:
    """A drawing as a page of that room would set it."""
    ts = Typesetter()
    if drawing.scale is not None:
        return lay_out(drawing, drawing.scale, ts).items
    return fitted(drawing, mm(room_mm[0]), mm(room_mm[1]), ts)[0].items


def leaders_astray(leaders: Iterable[tuple[str, Spot, Spot]], outlines: Mapping[str, Sequence[Spot]]) -> list[str]:
    """Leaders (name, tip, end) that run over the outline of something they do not name. `outlines` are what is seen of
    each thing, by name."""
    shapes = {name: shapely.Polygon(points).buffer(-0.2) for name, points in outlines.items()}
    return [
        f"{name} runs over {other}"
        for name, tip, at in leaders
        for other, shape in shapes.items()
        if other != name and shapely.LineString([tip, at]).intersection(shape).length > 0.3
    ]


def leaders_crossed(leaders: Sequence[tuple[str, Spot, Spot]]) -> list[str]:
    """Pairs of leaders that cross."""
    lines = [(name, shapely.LineString([tip, at])) for name, tip, at in leaders]
    return [f"{one} crosses {two}" for (one, a), (two, b) in combinations(lines, 2) if a.crosses(b)]


def item_box(item: Item) -> Box | None:
    if isinstance(item, TextRun):
        return ink_box(item)
    if isinstance(item, Line):
        return min(item.x0, item.x1), min(item.y0, item.y1), max(item.x0, item.x1), max(item.y0, item.y1)
    if isinstance(item, Path):
        xs, ys = [p[0] for p in item.points], [p[1] for p in item.points]
        return min(xs), min(ys), max(xs), max(ys)
    if isinstance(item, Disc):
        return item.x - item.radius, item.y - item.radius, item.x + item.radius, item.y + item.radius
    if isinstance(item, Symbol):
        side = item.module * len(item.rows)
        return item.x, item.y, item.x + side, item.y + side
    return None


def empty_share(frame: Frame, paper: Paper) -> float:
    """How much of the page within its margins is empty, from 0 to 1: in bands of 5 mm, what lies left and right of all
    that stands in a band or the one above or below it is empty, and a band with nothing near is empty whole."""
    left, right = paper.left.points, frame.width - paper.right.points
    low, high = paper.bottom.points, frame.height - paper.top.points
    count = max(1, int((high - low) / BAND))
    spans: list[tuple[float, float] | None] = [None] * count
    for box in _boxes(frame.items):
        for band in range(max(0, int((box[1] - low) / BAND) - 1), min(count, int((box[3] - low) / BAND) + 2)):
            span = spans[band]
            one, two = max(left, box[0]), min(right, box[2])
            spans[band] = (one, two) if span is None else (min(span[0], one), max(span[1], two))
    used = sum(max(0.0, span[1] - span[0]) for span in spans if span is not None)
    return 1.0 - used / (count * (right - left))


def _boxes(items: Iterable[Item]) -> Iterator[Box]:
    for item in items:
        box = item_box(item)
        if box is not None:
            yield box
