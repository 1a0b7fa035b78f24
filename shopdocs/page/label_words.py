"""The words of a part label: the mark loudest, then as much as fits, in order of importance."""

from __future__ import annotations

from dataclasses import dataclass, field

from shopdocs.blocks.sheets import PieceLabel
from shopdocs.page.items import Box, Face, Frame, TextRun
from shopdocs.page.prose import warning_triangle
from shopdocs.page.typesetter import Typesetter

LEAD = 1.17
WARN_INDENT = 1.15  # room of the triangle before a warning, as part of its type size
SMALL_BUILD = 0.42  # the build's mark beside the piece's mark, as part of its size
CAPITAL = 0.66  # height of capitals, as part of the type size

# Share of the height for the mark, and size of the other words, tried until everything fits.
TRIES = ((0.42, 1.0), (0.40, 0.92), (0.37, 0.85), (0.34, 0.78), (0.32, 0.7), (0.30, 0.6), (0.30, 0.0))


@dataclass(frozen=True, slots=True)
class Mark:
    """The build's mark small, then the piece's mark; all clean and within the room."""

    build: str
    build_size: float
    mark: str
    size: float
    width: float
    cut: bool

    @property
    def height(self) -> float:
        return self.size * CAPITAL

    def paint(self, frame: Frame, x: float, base: float, ts: Typesetter) -> None:
        if self.build:
            frame.items.append(TextRun(x, base, "regular", self.build_size, self.build))
            x += ts.width(self.build, "regular", self.build_size) + self.build_size * 0.3
        frame.items.append(TextRun(x, base, "bold", self.size, self.mark))


def fitted_mark(label: PieceLabel, wanted: float, room: float, ts: Typesetter) -> Mark:
    """As large as `wanted` and `room` allow. A mark too long at the floor loses the build's mark, then its end."""
    mark, build = ts.clean(label.mark), ts.clean(label.build_mark)
    floor, size = ts.style.floor, wanted
    while True:
        small = max(floor, size * SMALL_BUILD)
        wide = ts.width(mark, "bold", size) + (ts.width(build, "regular", small) + small * 0.3 if build else 0.0)
        if wide <= room:
            return Mark(build, small, mark, size, wide, False)
        if size <= floor:
            break
        size = max(floor, size - max(0.5, size * 0.03))
    size = ts.shrunk(mark, "bold", wanted, room)
    shown = ts.shortened(mark, "bold", size, room)
    return Mark("", floor, shown, size, ts.width(shown, "bold", size), shown != mark)


@dataclass(slots=True)
class Words:
    """Lines under the mark. `lost` tells what was cut or left out."""

    left: float
    room: float
    ts: Typesetter
    lines: list[tuple[str, Face, float, bool, bool]] = field(default_factory=list)  # indented, with a triangle
    lost: list[str] = field(default_factory=list)

    def few(self, items: list[str], size: float, most: int) -> str:
        """As many whole items as `most` lines hold at this size, and how many more there are: '1 FL  2 FR  +3 more'."""
        for count in range(len(items), 0, -1):
            more = [f"+{len(items) - count}\u00a0more"] if count < len(items) else []
            content = "  ".join([*items[:count], *more])
            if len(self.ts.wrap(content, "regular", size, self.room)) <= most:
                return content
        return ""

    def add(
        self, content: str, face: Face, size: float, most: int = 1, *, warn: bool = False, whole: bool = False
    ) -> None:
        """Up to `most` lines, shrunk before they are broken or cut. `whole` content is left out rather than cut: half a
        size is worse than none."""
        if not content:
            return
        ts = self.ts
        room = self.room - (size * WARN_INDENT if warn else 0.0)
        small = ts.shrunk(content, face, size, room)
        fits = min(most, int((self.left + 0.01) / (small * LEAD)))
        broken = ts.wrap(content, face, small, room)
        if fits <= 0 or (whole and len(broken) > fits):
            self.lost.append(f"left out on a label: {content[:60]}")
            return
        if len(broken) > fits:
            self.lost.append(f"cut on a label: {content[:60]}")
            broken = ts.wrap_to(content, face, small, room, fits)
        for number, line in enumerate(broken):
            self.lines.append((line, face, small, warn, warn and number == 0))
            self.left -= small * LEAD


@dataclass(frozen=True, slots=True)
class Common:
    """What the labels of a set share, so that they look alike: the first of the tries, and the largest type of name and
    size. A label with more to say goes on from there to smaller words."""

    first: int = 0
    name: float = 100.0
    size: float = 100.0


SMALLEST_SHARE = 0.75  # of the largest type of a name; a label that needs less has its own


def common_words(labels: list[tuple[PieceLabel, Box]], ts: Typesetter) -> Common:
    """The tries that most labels need, and the smallest type at which their names and sizes stand on one line."""
    if not labels:
        return Common()
    needed = sorted(_best(label, box, Common(), ts)[0] for label, box in labels)
    first = needed[(len(needed) - 1) * 3 // 4]
    names, sizes = [], []
    for label, (x0, y0, x1, y1) in labels:
        largest = _type_sizes(y1 - y0, TRIES[first][1], ts)[0]
        names.append(ts.shrunk(ts.clean(label.name), "semibold", largest, x1 - x0))
        sizes.append(ts.shrunk(_size_words(label, ts), "regular", largest, x1 - x0))
    return Common(first, _smallest(names), _smallest(sizes))


def _smallest(types: list[float]) -> float:
    return min(each for each in types if each >= max(types) * SMALLEST_SHARE)


def _type_sizes(high: float, factor: float, ts: Typesetter) -> tuple[float, float]:
    """Type of name and size, and of what stands under them."""
    floor = ts.style.floor
    return max(floor, min(17.0, high * 0.155) * factor), max(floor, min(13.0, high * 0.125) * factor)


def _size_words(label: PieceLabel, ts: Typesetter) -> str:
    """Broken after a times sign only."""
    words = ts.clean(label.size).replace(" ", "\u00a0")
    # what is sawn on a line of its own; a long size may break in itself
    return words.replace(",\u00a0", ", ") if ",\u00a0" in words else words.replace("×\u00a0", "× ")


@dataclass(frozen=True, slots=True)
class _Arrangement:
    mark: Mark
    words: Words
    beside: TextRun | None
    under: float


def _arranged(
    label: PieceLabel, high: float, room: float, number: int, common: Common, ts: Typesetter
) -> _Arrangement:
    share, factor = TRIES[number]
    first, second = _type_sizes(high, factor, ts)
    under = first * 0.3
    mark = fitted_mark(label, min(80.0, high * share), room, ts)
    words = Words(high - mark.height - under, room, ts)
    if mark.cut:
        words.lost.append(f"cut on a label: {label.mark[:60]}")
    words.add(ts.clean(label.name), "semibold", min(first, common.name), 2)
    words.add(_size_words(label, ts), "regular", min(first, common.size), 2, whole=True)
    stage = ts.clean(label.stage)
    meets = words.few([ts.clean(meet).replace(" ", "\u00a0") for meet in label.meets], second, 2)
    beside = None
    wide = ts.width(stage, "regular", second)
    if stage and mark.width + 10.0 + wide <= room:
        beside = TextRun(room - wide, 0.0, "regular", second, stage)
        stage = ""
    both = "   ·   ".join(part for part in (meets, stage) if part)
    if stage and ts.width(both, "regular", second) <= room:
        meets, stage = both, ""
    words.add(meets, "regular", second, 2)
    words.add(stage, "regular", second)
    words.add(ts.clean(label.warning), "semibold", second, 2, warn=True)
    return _Arrangement(mark, words, beside, under)


def _best(label: PieceLabel, box: Box, common: Common, ts: Typesetter) -> tuple[int, _Arrangement]:
    """The first try that loses no words, else that which loses fewest."""
    x0, y0, x1, y1 = box
    best: tuple[int, _Arrangement] | None = None
    for number in range(common.first, len(TRIES)):
        tried = _arranged(label, y1 - y0, x1 - x0, number, common, ts)
        if best is None or len(tried.words.lost) < len(best[1].words.lost):
            best = number, tried
        if not best[1].words.lost:
            break
    assert best is not None
    return best


def set_column(frame: Frame, label: PieceLabel, box: Box, common: Common, ts: Typesetter) -> None:
    """Mark, name, size, mates, stage and warning in a column; smaller words before any of them is lost."""
    x0, _, _, y1 = box
    _, best = _best(label, box, common, ts)
    for sentence in best.words.lost:
        ts.note(sentence)
    base = y1 - best.mark.height
    best.mark.paint(frame, x0, base, ts)
    if best.beside:
        frame.items.append(best.beside._replace(x=x0 + best.beside.x, y=base))
    words = best.words
    gap = min(words.left / (len(words.lines) + 1), 3.5) if words.lines else 0.0
    y = base - best.under - gap
    for content, face, size, indented, triangle in words.lines:
        line_base = y - size * LEAD * 0.8
        if triangle:
            frame.items += warning_triangle(x0, line_base - size * 0.04, size * 0.85)
        x = x0 + (size * WARN_INDENT if indented else 0.0)
        frame.items.append(TextRun(x, line_base, face, size, content))
        y -= size * LEAD + gap


def set_low(frame: Frame, label: PieceLabel, box: Box, ts: Typesetter) -> None:
    """A label of two lines: the mark at the left, name and size beside it."""
    x0, y0, x1, y1 = box
    high, room = y1 - y0, x1 - x0
    mark = fitted_mark(label, min(26.0, high), room * 0.4, ts)
    middle = (y0 + y1) / 2
    mark.paint(frame, x0, middle - mark.height / 2, ts)
    if mark.cut:
        ts.note(f"cut on a label: {label.mark[:60]}")
    x = x0 + mark.width + 7.0
    lead = min(11.0, high / 2)
    name, small = ts.fit(ts.clean(label.name), "semibold", 9.0, x1 - x)
    frame.items.append(TextRun(x, middle + lead * 0.25, "semibold", small, name))
    size = ts.clean(label.size)
    small = ts.shrunk(size, "regular", 9.0, x1 - x)
    if ts.width(size, "regular", small) <= x1 - x:
        frame.items.append(TextRun(x, middle - lead * 0.75, "regular", small, size))
    else:
        ts.note(f"left out on a label: {size[:60]}")
