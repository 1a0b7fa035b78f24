"""The words of a part label: the mark loudest, then as much as fits, in order of importance."""

from __future__ import annotations

from dataclasses import dataclass, field

from shopdocs.blocks.sheets import PieceLabel
from shopdocs.page.items import Box, Face, Frame, TextRun
from shopdocs.page.prose import warning_triangle
from shopdocs.page.typesetter import Typesetter

LEAD = 1.17
CLOSE = 1.09  # leading of the last try
WARN_INDENT = 1.15  # room of the triangle before a warning, as part of its type size
SMALL_BUILD = 0.42  # the build's mark beside the piece's mark, as part of its size
CAPITAL = 0.66  # height of capitals, as part of the type size

# Share of the height for the mark, size of the other words, and their leading, tried until everything fits.
TRIES = (
    (0.42, 1.0, LEAD), (0.40, 0.92, LEAD), (0.37, 0.85, LEAD), (0.34, 0.78, LEAD), (0.32, 0.7, LEAD),
    (0.30, 0.6, LEAD), (0.30, 0.0, LEAD), (0.28, 0.0, CLOSE),
)  # fmt: skip


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
    lead: float = LEAD
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
    ) -> bool:
        """Up to `most` lines, shrunk before they are broken or cut. `whole` content is left out rather than cut: half a
        size is worse than none. False where nothing stands."""
        if not content:
            return True
        ts = self.ts
        room = self.room - (size * WARN_INDENT if warn else 0.0)
        small = ts.shrunk(content, face, size, room)
        fits = min(most, int((self.left + 0.01) / (small * self.lead)))
        broken = ts.wrap(content, face, small, room)
        torn = whole and ts.widest_word(content, face, small) > room
        if fits <= 0 or torn or (whole and len(broken) > fits):
            self.lost.append(f"left out on a label: {content[:60]}")
            return False
        if len(broken) > fits:
            self.lost.append(f"cut on a label: {content[:60]}")
            broken = ts.wrap_to(content, face, small, room, fits)
        for number, line in enumerate(broken):
            self.lines.append((line, face, small, warn, warn and number == 0))
            self.left -= small * self.lead
        return True


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
        sizes += [ts.shrunk(each, "regular", largest, x1 - x0) for each in _sizes(label, ts)]
    return Common(first, _smallest(names), _smallest(sizes))


def _smallest(types: list[float]) -> float:
    return min(each for each in types if each >= max(types) * SMALLEST_SHARE)


def _type_sizes(high: float, factor: float, ts: Typesetter) -> tuple[float, float]:
    """Type of name and size, and of what stands under them."""
    floor = ts.style.floor
    return max(floor, min(17.0, high * 0.155) * factor), max(floor, min(13.0, high * 0.125) * factor)


def _sizes(label: PieceLabel, ts: Typesetter) -> list[str]:
    """What shows and what is sawn, each on a line of its own; broken after a times sign, or before 'long'."""
    words = (ts.clean(size).replace(" ", "\u00a0") for size in (label.size, label.saw))
    return [each.replace("×\u00a0", "× ").replace("\u00a0long", " long") for each in words if each]


@dataclass(frozen=True, slots=True)
class _Arrangement:
    mark: Mark
    words: Words
    beside: TextRun | None
    under: float


def _arranged(
    label: PieceLabel, high: float, room: float, number: int, common: Common, ts: Typesetter
) -> _Arrangement:
    share, factor, lead = TRIES[number]
    first, second = _type_sizes(high, factor, ts)
    under = first * 0.3
    mark = fitted_mark(label, min(80.0, high * share), room, ts)
    words = _name_and_sizes(label, high - mark.height - under, room, first, lead, common, ts)
    if mark.cut:
        words.lost.append(f"cut on a label: {label.mark[:60]}")
    beside = None
    stage = ts.clean(label.stages or label.stage)
    if label.stages and ts.width(stage, "regular", second) > room:
        words.lost.append(f"left out on a label: {label.stages[:60]}")
        stage = ts.clean(label.stage)
    wide = ts.width(stage, "regular", second)
    if stage and mark.width + 10.0 + wide <= room:
        beside = TextRun(room - wide, 0.0, "regular", second, stage)
        stage = ""
    _add_the_rest(words, label, stage, second, ts)
    return _Arrangement(mark, words, beside, under)


def _add_the_rest(words: Words, label: PieceLabel, stage: str, size: float, ts: Typesetter) -> None:
    """Mates, stage and warning under each other; where room is short the warning has it first, then the stage."""
    items = [ts.clean(meet).replace(" ", "\u00a0") for meet in label.meets]
    both = "   ·   ".join(("  ".join(items), stage))
    if items and stage and ts.width(both, "regular", size) <= words.room:
        items, stage = [both.replace(" ", "\u00a0")], ""
    above = words.lines
    words.lines = []
    if not words.add(ts.clean(label.warning), "semibold", size, 2, warn=True, whole=True) and label.short_warning:
        words.add(ts.clean(label.short_warning), "semibold", size, warn=True, whole=True)
    warned = len(words.lines)
    words.add(stage, "regular", size)
    staged = len(words.lines)
    meets = words.few(items, size, min(2, int((words.left + 0.01) / (size * words.lead))))
    words.add(meets, "regular", size, 2)
    if items and not meets:
        words.lost.append(f"left out on a label: {'  '.join(label.meets)[:60]}")
    rest = words.lines
    words.lines = above + rest[staged:] + rest[warned:staged] + rest[:warned]


def _name_and_sizes(
    label: PieceLabel, high: float, room: float, largest: float, lead: float, common: Common, ts: Typesetter
) -> Words:
    """Where not all of them have room the name goes: the mark says which piece it is, nothing else how to saw it."""
    for name in (ts.clean(label.name), ""):
        words = Words(high, room, ts, lead)
        words.add(name, "semibold", min(largest, common.name), 2)
        stand = [words.add(each, "regular", min(largest, common.size), 3, whole=True) for each in _sizes(label, ts)]
        if all(stand):
            break
    if not name and label.name:
        words.lost.append(f"left out on a label: {label.name[:60]}")
    return words


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
        line_base = y - size * words.lead * 0.8
        if triangle:
            frame.items += warning_triangle(x0, line_base - size * 0.04, size * 0.85)
        x = x0 + (size * WARN_INDENT if indented else 0.0)
        frame.items.append(TextRun(x, line_base, face, size, content))
        y -= size * words.lead + gap


LOW_LEAD = 1.09  # lines of a low label stand close
LOW_NAME = 9.0
LOW_MARKS = (24.0, 22.0, 20.0, 18.0, 16.0, 14.0)  # type of the mark, tried until all words stand beside it
LOW_SHARE = 0.6  # of the width, the most that a mark takes


def set_low(frame: Frame, label: PieceLabel, box: Box, ts: Typesetter) -> None:
    """A label of two or three lines: the build's mark over the piece's at the left, name and sizes beside them."""
    x0, y0, x1, y1 = box
    high, room = y1 - y0, x1 - x0
    floor, gap = ts.style.floor, 6.0
    build, mark = ts.clean(label.build_mark), ts.clean(label.mark)
    sizes = [each.replace(" ", "\u00a0") for each in _sizes(label, ts)]
    most = max((ts.width(each, "regular", floor) for each in sizes), default=0.0)
    wanted = [size for size in LOW_MARKS if size * CAPITAL <= high - (floor if build else 0.0)] or [floor]
    large = next((size for size in wanted if ts.width(mark, "bold", size) + gap + most <= room), wanted[-1])
    large = ts.shrunk(mark, "bold", large, room * LOW_SHARE)
    shown = ts.shortened(mark, "bold", large, room * LOW_SHARE)
    if shown != mark:
        ts.note(f"cut on a label: {label.mark[:60]}")
    _low_mark(frame, (build, shown), large, box, ts)
    x = x0 + max(ts.width(shown, "bold", large), ts.width(build, "regular", floor)) + gap
    _low_words(frame, label, sizes, (x, y0, x1, y1), ts)


def _low_mark(frame: Frame, marks: tuple[str, str], large: float, box: Box, ts: Typesetter) -> None:
    """The build's mark at the floor over the piece's, both in the middle of the height."""
    build, mark = marks
    floor, tall = ts.style.floor, large * CAPITAL
    over = floor * CAPITAL + 3.0 if build else 0.0
    base = (box[1] + box[3]) / 2 - (tall + over) / 2
    frame.items.append(TextRun(box[0], base, "bold", large, mark))
    if build and base + tall + over <= box[3] + 0.01:
        frame.items.append(TextRun(box[0], base + tall + 3.0, "regular", floor, build))


def _low_words(frame: Frame, label: PieceLabel, sizes: list[str], box: Box, ts: Typesetter) -> None:
    """The name and what shows and is sawn, a line each; without the name where they would not stand all."""
    x, y0, x1, y1 = box
    room, high = x1 - x, y1 - y0
    name = ts.clean(label.name)
    count = len(sizes) + bool(name)
    small = min(LOW_NAME, high / (max(count, 2) - 1 + CAPITAL + 0.2) / LOW_LEAD)
    small = max(ts.style.floor, min((ts.shrunk(each, "regular", small, room) for each in sizes), default=small))
    left = int((high - small * (CAPITAL + 0.2)) / (small * LOW_LEAD) + 0.01) + 1
    lines: list[tuple[str, Face]] = []
    for each in sizes:
        broken = ts.wrap(each.replace("×\u00a0", "× "), "regular", small, room)
        if len(broken) > left or ts.widest_word(each.replace("×\u00a0", "× "), "regular", small) > room:
            ts.note(f"left out on a label: {each[:60]}")
            continue
        left -= len(broken)
        lines += [(line, "regular") for line in broken]
    if name and left > 0:
        lines.insert(0, (ts.cut(name, "semibold", small, room), "semibold"))
    elif name:
        ts.note(f"left out on a label: {label.name[:60]}")
    lead = min(small * 1.3, (high - small * (CAPITAL + 0.2)) / max(len(lines) - 1, 1))
    base = (y0 + y1) / 2 + ((len(lines) - 1) * lead - small * CAPITAL) / 2
    for content, face in lines:
        frame.items.append(TextRun(x, base, face, small, content))
        base -= lead
