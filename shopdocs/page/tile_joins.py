"""Tiles of a template that is larger than the page, and how they are joined."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import Stroke
from shopdocs.page import items as paper
from shopdocs.page.drawings import Laid
from shopdocs.page.items import Box, Clip, Item, Path, TextRun, mm
from shopdocs.page.pad import meets, words_box
from shopdocs.page.typeface import width
from shopdocs.page.typesetter import Typesetter

OVERLAP = mm(12.0)  # what two tiles both show, at least
DIAMOND = mm(4.2)  # from the middle of a join mark to its corners
PARTS = (0.25, 0.75)  # where the join marks stand along a join
JOIN_AIR = mm(0.8)  # between join marks and words
SHIFT = mm(1.0)  # by which words are moved along a join until they are clear
THIN = mm(0.2)  # hatching is no wider
NARROW = mm(90.0)  # words on the joins of a narrower pattern are short, clear of its lines
TOLD = mm(4.2)  # what words take beyond them
HOLE_AIR = mm(5.0)  # the centre mark of a hole stays clear of a join; half of it where holes stand close
HEAVY = mm(0.5)  # words stay clear of a line as wide as this


Span = tuple[float, float]


class Plan(Struct, frozen=True):
    """Tiles of `wide` by `high` points over the drawing's box. `lefts` and `lows` are the lower left corners, from the
    left and from the top; `seams_x` and `seams_y` are the joins between neighbours, in the drawing's own points."""

    laid: Laid
    wide: float
    high: float
    lefts: tuple[float, ...]
    lows: tuple[float, ...]
    seams_x: tuple[float, ...]
    seams_y: tuple[float, ...]

    @property
    def columns(self) -> int:
        """How many sheets lie side by side."""
        return len(self.lefts)

    @property
    def rows(self) -> int:
        """How many sheets lie above each other."""
        return len(self.lows)

    @property
    def count(self) -> int:
        """How many sheets the drawing is spread over."""
        return self.columns * self.rows


def plan_tiles(laid: Laid, wide: float, high: float) -> Plan:
    """As few tiles as cover the drawing, spread evenly; joins where they cross no hole and few words. Where tiles lie
    over each other by too little to keep a join off the holes, there is one more of them."""
    x0, y0, x1, y1 = laid.box
    lefts, seams_x = _joined((x0, x1), wide, _spans(laid.items, 0), (TOLD, 0.0))
    lows, seams_y = _joined((y0, y1), high, _spans(laid.items, 1), (0.0, TOLD))
    return Plan(
        replace(laid, items=_off_seams(laid.items, seams_x, seams_y, (x0, y0, x1, y1))),
        min(wide, x1 - x0),
        min(high, y1 - y0),
        tuple(lefts),
        tuple(reversed(lows)),
        tuple(seams_x),
        tuple(reversed(seams_y)),
    )


def run_box(run: TextRun) -> Box:
    """The box of words that are set, points."""
    return words_box(run.x, run.y, width(run.text, run.face, run.size), run.size, run.angle)


def _off_seams(items: list[Item], seams_x: list[float], seams_y: list[float], box: Box) -> list[Item]:
    """The items with words moved to one side of each join that would strike through them, with their frame if they have
    one: the side on which most of them stand, clear of the join's own words. So every tile that shows them shows them
    whole."""
    out = list(items)
    for number, run in enumerate(items):
        if not isinstance(run, TextRun):
            continue
        frame = next((k for k, item in enumerate(items) if isinstance(item, Path) and _frames(item, run)), None)
        dx, dy = _off(run_box(run) if frame is None else _path_box(items[frame]), seams_x, seams_y, box)
        for k in (number, *(() if frame is None else (frame,))):
            (out[k],) = paper.shifted([items[k]], dx, dy)
    return out


def _path_box(item: Item) -> Box:
    assert isinstance(item, Path)
    xs, ys = zip(*item.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _frames(path: Path, run: TextRun) -> bool:
    """Whether a path is the small box that words stand in, as those that say where to tape do."""
    outer, inner = _path_box(path), run_box(run)
    small = all(outer[k + 2] - outer[k] < inner[k + 2] - inner[k] + 3 * run.size for k in (0, 1))
    return small and outer[0] <= inner[0] and outer[1] <= inner[1] and outer[2] >= inner[2] and outer[3] >= inner[3]


def _off(found: Box, seams_x: list[float], seams_y: list[float], box: Box) -> tuple[float, float]:
    """How far to move what lies in a box, so that no join strikes it."""
    moved = [0.0, 0.0]
    for axis, seams, told in ((0, seams_x, (TOLD, 0.0)), (1, seams_y, (0.0, TOLD))):
        for seam in seams:
            low, high = found[axis] + moved[axis], found[axis + 2] + moved[axis]
            before, behind = DIAMOND + told[0] + JOIN_AIR, DIAMOND + told[1] + JOIN_AIR
            if not seam - before < high or not low < seam + behind:
                continue
            back, forth = seam - before - high, seam + behind - low
            moved[axis] += back if (low + high) / 2 <= seam and low + back >= box[axis] else forth
    return moved[0], moved[1]


def _joined(
    reach: tuple[float, float], window: float, spans: list[tuple[float, float, int]], told: tuple[float, float]
) -> tuple[list[float], list[float]]:
    """Where tiles begin along one axis, and where they are joined: one tile more where a join would strike a hole that
    it then passes by."""
    starts = _starts(*reach, window)
    seams, struck = _seams(starts, window, spans, told)
    if struck:
        closer = _starts(*reach, window, 1)
        others, fewer = _seams(closer, window, spans, told)
        if fewer < struck:
            return closer, others
    return starts, seams


def _starts(low: float, end: float, window: float, more: int = 0) -> list[float]:
    total = end - low
    if total <= window + 0.01:
        return [low]
    count = ceil((total - OVERLAP) / (window - OVERLAP)) + more
    step = (total - window) / (count - 1)
    return [low + step * index for index in range(count)]


def _spans(items: list[Item], axis: int) -> list[tuple[float, float, int]]:
    """What a join should not cross along one axis: holes above all, then words."""
    spans: list[tuple[float, float, int]] = []
    runs = [item for item in items if isinstance(item, TextRun)]
    for item in items:
        if isinstance(item, paper.Disc):
            middle = (item.x, item.y)[axis]
            spans.append((middle - item.radius - HOLE_AIR, middle + item.radius + HOLE_AIR, 10))
        elif isinstance(item, TextRun):
            box = run_box(item)
            spans.append((box[axis], box[axis + 2], 1))
        elif isinstance(item, Path) and any(_frames(item, run) for run in runs):
            box = _path_box(item)
            spans.append((box[axis], box[axis + 2], 1))
    return spans


def _seams(
    starts: list[float], window: float, spans: list[tuple[float, float, int]], told: tuple[float, float]
) -> tuple[list[float], int]:
    """Places of the joins, and how many holes they strike; `told` is what their words take before and behind them."""
    out: list[float] = []
    struck = 0
    for start, following in pairwise(starts):
        low, high = following + DIAMOND, start + window - DIAMOND
        middle = (low + high) / 2
        reach = int((high - low) / 2 / mm(1.0))
        places = [middle + mm(1.0) * offset for offset in range(-reach, reach + 1)]

        def cost(place: float, middle: float = middle) -> tuple[int, int, float]:
            before, behind = DIAMOND + told[0], DIAMOND + told[1]
            crossed = sum(weight for a, b, weight in spans if a - behind < place < b + before)
            through = sum(weight > 1 and a + HOLE_AIR / 2 < place < b - HOLE_AIR / 2 for a, b, weight in spans)
            return through, crossed, abs(place - middle)

        out.append(min(places, key=cost))
        struck += cost(out[-1])[0]
    return out, struck


def touches(item: Item, window: Clip) -> bool:
    """Whether any part can show in the window (its bounding box does)."""
    if isinstance(item, paper.Line):
        xs, ys = (item.x0, item.x1), (item.y0, item.y1)
    elif isinstance(item, Path):
        xs, ys = tuple(x for x, _ in item.points), tuple(y for _, y in item.points)  # type: ignore[assignment]
    elif isinstance(item, paper.Disc):
        xs = (item.x - item.radius, item.x + item.radius)
        ys = (item.y - item.radius, item.y + item.radius)
    elif isinstance(item, TextRun):
        box = run_box(item)
        xs, ys = (box[0], box[2]), (box[1], box[3])
    else:
        return True
    return max(xs) >= window.x0 and min(xs) <= window.x1 and max(ys) >= window.y0 and min(ys) <= window.y1


def joins(
    plan: Plan, column: int, row: int, dx: float, dy: float, ts: Typesetter, drawn: Sequence[Item] = ()
) -> list[Item]:
    """Join lines of one tile, each with two numbered diamonds that meet on both tiles. (dx, dy) is where the drawing's
    origin lies on the frame. The words keep off its holes and words, and off all lines of what is `drawn` there, where
    they can."""
    taken = _Taken(_held(paper.shifted(plan.laid.items, dx, dy)), list(_lines(drawn)))
    inked = list(_lines(plan.laid.items)) if drawn else []
    x0, y0 = plan.lefts[column] + dx, plan.lows[row] + dy
    x1, y1 = x0 + plan.wide, y0 + plan.high
    here = row * plan.columns + column + 1
    upright = plan.rows * (plan.columns - 1)
    out: list[Item] = []
    for side, seam in ((column - 1, -1), (column, 1)):
        if 0 <= side < plan.columns - 1:
            number = row * (plan.columns - 1) + side + 1
            at = plan.seams_x[side]
            marks = [mark + dy for mark in _marks(inked, 0, at, plan.lows[row], plan.high)]
            out += _seam_upright(at + dx, (y0, y1), marks, number, _told(seam, here + seam), taken, ts)
    for side, seam in ((row - 1, -1), (row, 1)):
        if 0 <= side < plan.rows - 1:
            number = upright + side * plan.columns + column + 1
            text = _told(seam, here + seam * plan.columns, bool(drawn) and plan.wide < NARROW)
            at = plan.seams_y[side]
            marks = [mark + dx for mark in _marks(inked, 1, at, plan.lefts[column], plan.wide)]
            out += _seam_level(at + dy, (x0, x1), marks, number, text, taken, ts)
    return out


def _marks(inked: Sequence[Box], axis: int, seam: float, low: float, long: float) -> list[float]:
    """Where the marks of a join that begins at `low` and is so `long` stand along it: as near their usual places as
    they lie on no line of what is `inked`, and apart. In the drawing's own points, so that both tiles have them alike.
    """
    across = (seam - DIAMOND - JOIN_AIR, seam + DIAMOND + JOIN_AIR)
    near = [
        line
        for line in inked
        if min(line[axis], line[axis + 2]) < across[1] and max(line[axis], line[axis + 2]) > across[0]
    ]
    reach = DIAMOND + JOIN_AIR
    found: list[float] = []
    for part in PARTS:
        usual = low + long * part
        inward = 1 if part < 0.5 else -1  # what lies outward is waste, and cut away
        steps = range(int(long / 2 / SHIFT) + 1)
        places = [usual + way * step * SHIFT for way in (inward, -inward) for step in steps]
        places = [at for at in places if low + reach <= at <= low + long - reach] or [usual]
        apart = [at for at in places if all(abs(at - other) >= 2 * reach for other in found)] or places

        def struck(at: float) -> int:
            box = (
                (across[0], at - reach, across[1], at + reach)
                if axis == 0
                else (at - reach, across[0], at + reach, across[1])
            )
            return sum(_crosses(line, box) for line in near)

        found.append(min(apart, key=struck))
    return found


def _told(way: int, other: int, short: bool = False) -> str:
    if short:
        return f"tile {other} here" if way > 0 else f"on tile {other}"
    return f"glue tile {other} here" if way > 0 else f"cut here, lay on tile {other}"


def _diamond(x: float, y: float, number: int, ts: Typesetter) -> list[Item]:
    reach = DIAMOND
    content = str(number)
    size = ts.style.quiet
    wide = ts.width(content, "bold", size)
    return [
        Path(((x - reach, y), (x, y - reach), (x + reach, y), (x, y + reach)), True, ts.style.thin, (), 1.0),
        TextRun(x - wide / 2, y - size * 0.33, "bold", size, content),
    ]


class _Taken(Struct, frozen=True):
    """What the words of a join keep off: `boxes`, and `lines`, each from its start to its end."""

    boxes: Sequence[Box]
    lines: Sequence[Box]

    def struck(self, box: Box) -> int:
        """How much of it words in a box would strike."""
        return sum(meets(box, other) for other in self.boxes) + sum(_crosses(line, box) for line in self.lines)


def _held(items: list[Item]) -> list[Box]:
    """Holes with their crosses, heavy lines, and words."""
    found: list[Box] = []
    for item in items:
        if isinstance(item, paper.Disc):
            reach = item.radius + HOLE_AIR / 2
            found.append((item.x - reach, item.y - reach, item.x + reach, item.y + reach))
        elif isinstance(item, paper.Line) and item.width >= HEAVY:
            (low_x, high_x), (low_y, high_y) = sorted((item.x0, item.x1)), sorted((item.y0, item.y1))
            found.append((low_x - HEAVY, low_y - HEAVY, high_x + HEAVY, high_y + HEAVY))
        elif isinstance(item, TextRun):
            found.append(run_box(item))
    return found


def _lines(drawn: Sequence[Item]) -> Iterator[Box]:
    """The lines of a drawing but for hatching, each as the box from its start to its end."""
    for item in drawn:
        if isinstance(item, paper.Line) and item.width > THIN:
            yield item.x0, item.y0, item.x1, item.y1
        elif isinstance(item, Path) and item.width:
            ends = [*item.points, item.points[0]] if item.closed else item.points
            for (a, b), (c, d) in pairwise(ends):
                yield a, b, c, d


def _crosses(line: Box, box: Box) -> bool:
    """Whether a straight line comes into a box: some part of it lies between all four sides (Liang and Barsky)."""
    a, b, c, d = line
    first, last = 0.0, 1.0
    for start, way, low, high in ((a, c - a, box[0], box[2]), (b, d - b, box[1], box[3])):
        if way == 0.0:
            if not low <= start <= high:
                return False
            continue
        one, two = sorted(((low - start) / way, (high - start) / way))
        first, last = max(first, one), min(last, two)
    return first <= last


def _along_join(
    low: float, high: float, marks: Sequence[float], words: float, box_at: Callable[[float], Box], taken: _Taken
) -> float:
    """Where words of this width begin on a join from `low` to `high`: as near its middle as they strike nothing."""
    middle = (low + high - words) / 2
    reach = int(max(0.0, (high - low - words) / 2 - mm(2.0)) / SHIFT)
    places = [middle + way * step * SHIFT for step in range(reach + 1) for way in (1, -1)]

    def cost(start: float) -> tuple[int, float]:
        beside = any(start - JOIN_AIR < mark + DIAMOND and mark - DIAMOND < start + words + JOIN_AIR for mark in marks)
        return taken.struck(box_at(start)) + (beside and middle != start), abs(start - middle)

    return min(places, key=cost)


def _seam_upright(
    x: float, ends: Span, marks: Sequence[float], number: int, text: str, taken: _Taken, ts: Typesetter
) -> list[Item]:
    y0, y1 = ends
    wide, dash = ts.style.strokes[Stroke.CUT]
    size = ts.style.quiet
    out: list[Item] = [paper.Line(x, y0, x, y1, wide, dash)]
    for mark in marks:
        out += _diamond(x, mark, number, ts)
    high = ts.width(text, "regular", size)
    at = x - 3.2 - _beyond(high, marks)

    def box(start: float) -> Box:
        return at + 1.0 - size * 0.8, start - 2.0, at + 2.2, start + high + 2.0

    start = _along_join(y0, y1, marks, high, box, taken)
    out.append(paper.rectangle(*box(start), 0.0, 1.0))
    out.append(TextRun(at, start, "regular", size, text, 90))
    return out


def _seam_level(
    y: float, ends: Span, marks: Sequence[float], number: int, text: str, taken: _Taken, ts: Typesetter
) -> list[Item]:
    x0, x1 = ends
    width, dash = ts.style.strokes[Stroke.CUT]
    size = ts.style.quiet
    out: list[Item] = [paper.Line(x0, y, x1, y, width, dash)]
    for mark in marks:
        out += _diamond(mark, y, number, ts)
    wide = ts.width(text, "regular", size)
    at = y + 3.2 + _beyond(wide, marks)

    def box(start: float) -> Box:
        return start - 2.0, at - 2.2, start + wide + 2.0, at - 0.2 + size * 0.8

    start = _along_join(x0, x1, marks, wide, box, taken)
    out.append(paper.rectangle(*box(start), 0.0, 1.0))
    out.append(TextRun(start, at, "regular", size, text))
    return out


def _beyond(words: float, marks: Sequence[float]) -> float:
    """How much farther than usual words of this width stand from a join with marks there: clear of the corners of its
    diamonds where they find no room between them."""
    between = abs(marks[1] - marks[0]) - 2 * (DIAMOND + JOIN_AIR)
    return 0.0 if words + 4.0 <= between else DIAMOND + JOIN_AIR
