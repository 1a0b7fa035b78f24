"""The words of a part label: the mark loudest, then as much as fits, in order of importance."""

from __future__ import annotations

import re
from collections.abc import Iterator
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
DESCENT = 0.25  # of letters under the line, as part of the type size

# Share of the height for the mark, size of the other words, their leading, and whether in short; tried until all fits.
TRIES = (
    (0.42, 1.0, LEAD, False),
    (0.40, 0.92, LEAD, False),
    (0.37, 0.85, LEAD, False),
    (0.34, 0.78, LEAD, False),
    (0.32, 0.7, LEAD, False),
    (0.30, 0.6, LEAD, False),
    (0.30, 0.0, LEAD, False),
    (0.28, 0.0, CLOSE, False),
    (0.30, 0.0, LEAD, True),
    (0.28, 0.0, CLOSE, True),
)
LAST_AT_LENGTH = 7
# How bad it is to leave something out. What is sawn is never left out for other words; of these what tells at the bench
# that a piece is wrong or lies wrong goes last, and the name, which the mark stands for, first.
LOSS = {
    "mark": 200,
    "size": 100,
    "saw": 100,
    "warning": 40,
    "up": 30,
    "mates": 16,
    "some mates": 8,
    "stage": 4,
    "name": 1,
}
JOIN = "   ·   "
JOIN_SHORT = " · "
_LEADING_WORD = re.compile("^([a-z]+)\u00a0")  # 'saw', 'rough'


@dataclass(frozen=True, slots=True)
class Room:
    """Where words may stand: `box` beside the code. Above `clear` the mark's line may reach to `far`, over the code.
    `up` says that no arrow tells what points up, and words have to."""

    box: Box
    far: float
    clear: float
    up: bool

    @property
    def high(self) -> float:
        """Height of the box, points."""
        return self.box[3] - self.box[1]

    @property
    def wide(self) -> float:
        """Width of the box, points."""
        return self.box[2] - self.box[0]

    def beside_mark(self, tall: float, size: float) -> float:
        """Width of the line of a mark so tall, with words of this size beside it."""
        return self.far - self.box[0] if self.box[3] - tall - size * DESCENT >= self.clear else self.wide


@dataclass(frozen=True, slots=True)
class Said:
    """What a label says, at length or in short: for each thing its wordings, the best first."""

    name: str
    sizes: tuple[tuple[str, tuple[str, ...]], ...]  # what is lost without it, its wordings
    warnings: tuple[str, ...]
    up: str
    meets: tuple[str, ...]
    stage: str


def said(label: PieceLabel, short: bool, up: bool, ts: Typesetter) -> Said:
    """The label's words, clean, with no-break spaces where a line may not end."""
    sizes = (("size", _wordings(label.size, label.short_size, ts)), ("saw", _wordings(label.saw, label.short_saw, ts)))
    warnings = dict.fromkeys((label.short_warning, label.warning) if short else (label.warning, label.short_warning))
    told = up and label.up and label.up not in label.warning
    meets = label.short_meets or label.meets if short else label.meets
    return Said(
        name=ts.clean(label.name),
        sizes=tuple((kind, wordings) for kind, wordings in sizes if wordings),
        warnings=tuple(ts.clean(warning) for warning in warnings if warning),
        up=ts.clean(f"{label.up} up").replace(" ", "\u00a0") if told else "",
        meets=tuple(ts.clean(meet).replace(" ", "\u00a0") for meet in meets),
        stage=ts.clean(label.stages or label.stage).replace(" ", "\u00a0"),
    )


def _wordings(whole: str, short: str, ts: Typesetter) -> tuple[str, ...]:
    """A size as it is told, without its unit, and with no space about the times signs."""
    each = dict.fromkeys((whole, short, short.replace(" × ", "×")))
    return tuple(ts.clean(words).replace(" ", "\u00a0") for words in each if words)


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
        """Height of the mark's capitals, points."""
        return self.size * CAPITAL

    def paint(self, frame: Frame, x: float, base: float, ts: Typesetter) -> None:
        """Set the build's mark and the piece's after it on the line `base`, from `x` on; points."""
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


def parted(wordings: tuple[str, ...]) -> tuple[str, ...]:
    """A size that is wider than the label with spaces where its line may end: before and after the figures; if that is
    not enough, after the times signs."""
    beside = [_LEADING_WORD.sub(r"\1 ", words).replace("\u00a0long", " long") for words in wordings]
    return (*beside, beside[0].replace("×\u00a0", "× "))


@dataclass(slots=True)
class Words:
    """Lines under the mark. `lost` are the kinds of what was cut or left out."""

    left: float
    room: float
    ts: Typesetter
    lead: float = LEAD
    lines: list[tuple[str, Face, float, bool, bool]] = field(default_factory=list)  # indented, with a triangle
    lost: list[str] = field(default_factory=list)

    def add(self, content: str, face: Face, size: float, most: int = 1, *, warn: bool = False) -> bool:
        """Up to `most` lines, shrunk before they are broken; False where they do not fit, and nothing stands."""
        ts = self.ts
        room = self.room - (size * WARN_INDENT if warn else 0.0)
        small = ts.shrunk(content, face, size, room)
        fits = min(most, int((self.left + 0.01) / (small * self.lead)))
        broken = ts.wrap(content, face, small, room)
        if len(broken) > fits or ts.widest_word(content, face, small) > room:
            return False
        for number, line in enumerate(broken):
            self.lines.append((line, face, small, warn, warn and number == 0))
            self.left -= small * self.lead
        return True

    def add_size(self, kind: str, wordings: tuple[str, ...], size: float) -> None:
        """On one line, in the first wording that has room; else on several, parted where least harm is done: half a
        size is worse than none."""
        tries = [*((words, 1) for words in wordings), *((words, 3) for words in parted(wordings))]
        if not any(self.add(words, "regular", size, most) for words, most in tries):
            self.lost.append(kind)

    def add_meets(self, items: tuple[str, ...], size: float) -> None:
        """As many whole mates as two lines hold, and how many more there are: '1 FL  2 FR  +3 more'."""
        for count in range(len(items), 0, -1):
            more = [f"+{len(items) - count}\u00a0more"] if count < len(items) else []
            if self.add("  ".join([*items[:count], *more]), "regular", size, 2):
                self.lost += ["some mates"] if more else []
                return
        self.lost += ["mates"] if items else []


def loss(lost: list[str]) -> int:
    """What it costs to leave all of these out, by the weights of `LOSS`."""
    return sum(LOSS[kind] for kind in lost)


@dataclass(frozen=True, slots=True)
class Common:
    """What the labels of a set share, so that they look alike: the first of the tries, and the largest type of name and
    size. A label with more to say goes on from there to smaller words."""

    first: int = 0
    name: float = 100.0
    size: float = 100.0


SMALLEST_SHARE = 0.75  # of the largest type of a name; a label that needs less has its own


def common_words(labels: list[tuple[PieceLabel, Room]], ts: Typesetter) -> Common:
    """The tries that most labels need, and the smallest type that keeps their names and sizes on one line."""
    if not labels:
        return Common()
    needed = sorted(_best(label, room, Common(), ts)[0] for label, room in labels)
    first = min(needed[(len(needed) - 1) * 3 // 4], LAST_AT_LENGTH)  # short is only what has to be
    names, sizes = [], []
    for label, room in labels:
        largest = _type_sizes(room.high, TRIES[first][1], ts)[0]
        told = said(label, TRIES[first][3], room.up, ts)
        names.append(ts.shrunk(told.name, "semibold", largest, room.wide))
        sizes += [ts.shrunk(wordings[0], "regular", largest, room.wide) for _, wordings in told.sizes]
    return Common(first, _smallest(names), _smallest(sizes))


def _smallest(types: list[float]) -> float:
    return min((each for each in types if each >= max(types) * SMALLEST_SHARE), default=100.0)


def _type_sizes(high: float, factor: float, ts: Typesetter) -> tuple[float, float]:
    """Type of name and size, and of what stands under them."""
    floor = ts.style.floor
    return max(floor, min(17.0, high * 0.155) * factor), max(floor, min(13.0, high * 0.125) * factor)


@dataclass(frozen=True, slots=True)
class _Arrangement:
    mark: Mark
    words: Words
    beside: TextRun | None
    under: float


def _arrangements(label: PieceLabel, room: Room, number: int, common: Common, ts: Typesetter) -> Iterator[_Arrangement]:
    """With the stage beside the mark, or what points up, or nothing, as far as there is room; with the name, then
    without."""
    share, factor, lead, short = TRIES[number]
    first, second = _type_sizes(room.high, factor, ts)
    under = first * 0.3
    told = said(label, short, room.up, ts)
    wanted = min(80.0, room.high * share)
    mark = fitted_mark(label, wanted, room.beside_mark(wanted * CAPITAL, second), ts)
    line = room.beside_mark(mark.height, second)
    beside = [""]
    for words in (told.up, told.stage):
        if words and mark.width + 10.0 + ts.width(words, "regular", second) <= line:
            beside.insert(0, words)
    for name in dict.fromkeys((told.name, "")):
        for words in beside:
            set_words = Words(room.high - mark.height - under, room.wide, ts, lead)
            set_words.lost += ["mark"] if mark.cut else []
            if told.name and not (name and set_words.add(name, "semibold", min(first, common.name), 2)):
                set_words.lost.append("name")
            for kind, wordings in told.sizes:
                set_words.add_size(kind, wordings, min(first, common.size))
            _add_the_rest(set_words, told, words, second)
            run = TextRun(line - ts.width(words, "regular", second), 0.0, "regular", second, words) if words else None
            yield _Arrangement(mark, set_words, run, under)


def _add_the_rest(words: Words, told: Said, beside: str, size: float) -> None:
    """Mates, what points up, stage and warning under each other, but for what stands beside the mark; where room is
    short the warning has it first, then what points up, then the mates."""
    ts = words.ts
    up, stage = ("" if each == beside else each for each in (told.up, told.stage))
    meets = told.meets
    if stage and meets and ts.width(JOIN.join(("  ".join(meets), stage)), "regular", size) <= words.room:
        meets, stage = (JOIN.join(("  ".join(meets), stage)).replace(" ", "\u00a0"),), ""
    elif stage and up and ts.width(up + JOIN_SHORT + stage, "regular", size) <= words.room:
        up, stage = up + JOIN_SHORT.replace(" ", "\u00a0") + stage, ""
    above, words.lines = words.lines, []
    warned = any(words.add(warning, "semibold", size, 2, warn=True) for warning in told.warnings)
    words.lost += ["warning"] if told.warnings and not warned else []
    groups, words.lines = [words.lines], []
    for kind, content in (("up", up), ("mates", ""), ("stage", stage)):
        if kind == "mates":
            words.add_meets(meets, size)
        elif content and not words.add(content, "regular", size):
            words.lost.append(kind)
        groups.append(words.lines)
        words.lines = []
    warning, points_up, mates, stages = groups
    words.lines = above + mates + points_up + stages + warning


def _best(label: PieceLabel, room: Room, common: Common, ts: Typesetter) -> tuple[int, _Arrangement]:
    """The first try that loses no words, else that which loses what matters least."""
    best: tuple[int, _Arrangement] | None = None
    for number in range(common.first, len(TRIES)):
        for tried in _arrangements(label, room, number, common, ts):
            if best is None or loss(tried.words.lost) < loss(best[1].words.lost):
                best = number, tried
            if not best[1].words.lost:
                return best
    assert best is not None
    return best


def set_column(frame: Frame, label: PieceLabel, room: Room, common: Common, ts: Typesetter) -> list[str]:
    """Mark, name, size, mates, stage and warning in a column; smaller words, then shorter ones, before any of them is
    lost. What was lost."""
    x0, _, _, y1 = room.box
    _, best = _best(label, room, common, ts)
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
    return words.lost
