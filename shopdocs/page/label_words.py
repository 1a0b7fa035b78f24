"""The words of a part label under its mark: one order and one scale of type on every label sheet.

The mark takes what height the words leave, never less than `LEAST_MARK` of it. Before anything is left out the words
are shortened; then whole kinds go in the order of LABEL_LOSS.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping

from msgspec import Struct, field
from msgspec.structs import replace

from shopdocs.blocks.sheets import LABEL_LOSS, PieceLabel, Sticking
from shopdocs.page.items import Face
from shopdocs.page.typesetter import Typesetter

LEAD = 1.13
CAPITAL = 0.66  # height of capitals, as part of the type size
SIZES = 1.2  # type of the sizes, as part of that of the other words
LEAST_MARK, MOST_MARK = 0.27, 0.62  # height of the mark, as part of the label's inside
WARN_INDENT = 1.15  # room of the triangle before a warning, as part of its type size
MARK_WIDE, MARK_GAP = 1.3, 0.5  # of a reference mark with its arris, and before it, as parts of the words' type
JOIN = " · "
MOST_LINES = 2  # of one size: read at a glance, or not at all
_STEP = re.compile("^([a-z ]+?) (?=[≈0-9⁰¹²³⁴⁵⁶⁷⁸⁹])")
_UNIT = re.compile(" (in|mm)$")
_LONG = re.compile(" (in|mm) long$")
SIDES = {
    "here": "",
    "behind": "",
    "left": "← face side",
    "right": "face side →",
    "up": "face side ↑",
    "down": "face side ↓",
    "": "",
}


class Said(Struct, frozen=True):
    """One line of words; a warning has a triangle before its first line."""

    kind: str
    text: str
    face: Face
    size: float
    indent: float = 0.0
    triangle: bool = False
    stuck: Sticking | None = None  # whose reference mark stands after the words


class Column(Struct):
    """The lines under a mark, or beside it; `lost` are the kinds that were left out."""

    room: float
    detail: float
    ts: Typesetter
    lines: list[Said] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)

    @property
    def height(self) -> float:
        """Height of the lines, points."""
        return sum(line.size * LEAD for line in self.lines)

    def add(self, kind: str, content: str, face: Face = "regular", most: int = 1, warn: bool = False) -> bool:
        """Up to `most` lines; False where they would not do, and nothing stands."""
        size = self.detail
        indent = size * WARN_INDENT if warn else 0.0
        if self.ts.widest_word(content, face, size) > self.room - indent:
            return False
        broken = self.ts.wrap(content, face, size, self.room - indent)
        if len(broken) > most:
            return False
        self.lines += [Said(kind, line, face, size, indent, warn and not i) for i, line in enumerate(broken)]
        return True


def held(content: str) -> str:
    """The words with no-break spaces, so that they stay on one line."""
    return content.replace(" ", "\u00a0")


def size_type(labels: list[tuple[PieceLabel, float]], detail: float, ts: Typesetter) -> float:
    """The type of the sizes: as large as all of them fit in the room each label has, at least that of other words."""
    size = detail * SIZES
    for label, room in labels:
        for wordings in zip(label.sizes, label.short_sizes or label.sizes, strict=True):
            size = max(ts.shrunk(held(ts.clean(words)), "semibold", size, room, detail) for words in wordings)
    return size


def _ways_to_say_less() -> Iterator[Mapping[str, int]]:
    """How many lines of each kind may stand, less and less; the sizes go last."""
    for most in ({}, {"sizes": 0}):
        for kind, lines in (("", 0), *_LESS):
            most[kind] = lines
            yield most


class Blocks:
    """The lines of each kind of words of one label, set once for every length in which they are tried. `types` are
    those of words and of sizes."""

    def __init__(self, label: PieceLabel, room: float, types: tuple[float, float], ts: Typesetter) -> None:
        self.label, self.room, self.types, self.ts = label, room, types, ts
        self._made: dict[tuple[str, bool, int], Column] = {}

    def block(self, kind: str, short: bool, most: int) -> Column:
        """The lines of one kind, at most `most`."""
        found = self._made.get((kind, short, most))
        if found is None:
            found = self._made[kind, short, most] = Column(self.room, self.types[0], self.ts)
            if most:
                _ADDS[kind](found, self.label, short, self.types[0] if short else self.types[1], most)
            elif _has(self.label, kind):
                found.lost.append(kind)
        return found

    def column(self, without: Collection[str], high: float) -> Column:
        """The words within `high`: at length, else in short, else without what matters least. What is `without` stands
        elsewhere."""
        for short in (False, True):
            made = self._column(without, {}, short)
            if made.height <= high and not made.lost:
                return made
        for most in _ways_to_say_less():
            made = self._column(without, most, True)
            if made.height <= high:
                break
        return made

    def _column(self, without: Collection[str], most: Mapping[str, int], short: bool) -> Column:
        """`most` are the lines that a kind may take, where it is limited."""
        made = Column(self.room, self.types[0], self.ts)
        for kind in _ADDS:
            if kind in without:
                continue
            block = self.block(kind, short, most.get(kind, 9))
            made.lost += block.lost
            if kind == "stage" and block.lines and made.lines and made.lines[-1].kind == "mates":
                longer = made.lines[-1].text + held(JOIN) + block.lines[0].text
                if self.ts.width(longer, "regular", made.detail) <= made.room:
                    made.lines[-1] = Said("mates", longer, "regular", made.detail)
                    continue
            made.lines += block.lines
        return made


# What goes first, and down to how many lines: joints go line by line. Sizes go only where they alone have no room.
_LESS = tuple(
    (kind, lines) for kind in LABEL_LOSS if kind != "sizes" for lines in ((2, 1, 0) if kind == "mates" else (0,))
)


def _has(label: PieceLabel, kind: str) -> bool:
    told: dict[str, object] = {
        "name": label.name,
        "sizes": label.sizes,
        "mates": label.meets,
        "stage": label.stage,
        "warning": label.warning,
        "sticking": label.sticking,
    }
    return bool(told[kind])


def _add_name(made: Column, label: PieceLabel, short: bool, size: float, most: int) -> None:
    name = made.ts.clean(label.name)
    if name and not made.add("name", name, "semibold"):
        made.lost.append("name")


def _add_sizes(made: Column, label: PieceLabel, short: bool, size: float, most: int) -> None:
    """Each on one line in the first wording that fits, else parted beside its name, at last before a ×; half a size is
    worse than none."""
    ts, lines = made.ts, []
    for whole, brief in zip(label.sizes, label.short_sizes or label.sizes, strict=True):
        whole, brief = held(ts.clean(whole)), held(ts.clean(brief))
        tight = brief.replace("\u00a0×\u00a0", "×")
        tries = ((whole, size), (brief, size), (whole, made.detail), (brief, made.detail), (tight, made.detail))
        one = next((Said("sizes", w, "semibold", s) for w, s in tries if ts.width(w, "semibold", s) <= made.room), None)
        if one is not None:
            lines.append(one)
            continue
        parted = _STEP.sub(lambda found: held(found[1]) + " ", brief.replace("\u00a0", " ")).replace(" × ", "×")
        parted = _LONG.sub("\u00a0\\1\u00a0long", _UNIT.sub("\u00a0\\1", parted))
        if ts.widest_word(parted, "semibold", made.detail) > made.room:
            parted = parted.replace("×", " ×")  # a line that begins with × goes on from the one above
        broken = ts.wrap(parted, "semibold", made.detail, made.room)
        if ts.widest_word(parted, "semibold", made.detail) > made.room or len(broken) > MOST_LINES:
            parted = re.sub("\u00a0(in|mm)(?=$|\u00a0long$)", "", parted)
            broken = ts.wrap(parted, "semibold", made.detail, made.room)  # rather no unit than no size
        if ts.widest_word(parted, "semibold", made.detail) > made.room or len(broken) > MOST_LINES:
            made.lost.append("sizes")
            return
        lines += [Said("sizes", line, "semibold", made.detail) for line in broken]
    made.lines += lines


def _add_mates(made: Column, label: PieceLabel, short: bool, size: float, most: int) -> None:
    """As many whole mates as two lines hold (three in short), and how many there are more."""
    items = [held(made.ts.clean(meet)) for meet in label.meets]
    items = [f"{item}\u00a0" for item in items[:-1]] + items[-1:]  # apart by two spaces where lines are broken, too
    lead = "joints\u00a0" if items and items[0][:1].isdigit() and not short else ""
    for count in range(len(items), 0, -1):
        more = [f"+{len(items) - count}" + ("" if short else "\u00a0more")] if count < len(items) else []
        if made.add("mates", lead + " ".join([*items[:count], *more]), most=min(most, 3 if short else 2)):
            made.lost += ["some mates"] if more else []
            return
    made.lost += ["mates"] if items else []


def _add_stage(made: Column, label: PieceLabel, short: bool, size: float, most: int) -> None:
    stage = held(made.ts.clean(label.stage))
    if stage and not made.add("stage", stage):
        made.lost.append("stage")


def _add_warning(made: Column, label: PieceLabel, short: bool, size: float, most: int) -> None:
    wordings = [label.short_warning, label.warning] if short else [label.warning]
    wordings = [made.ts.clean(words) for words in wordings if words]
    if wordings and not any(made.add("warning", words, "semibold", 2, True) for words in wordings):
        made.lost.append("warning")


def _add_sticking(made: Column, label: PieceLabel, short: bool, size: float, most: int) -> None:
    """Where it is stuck, and where the face side lies from there, which the V of a face edge says as well."""
    stuck = label.sticking
    if stuck is None:
        return
    side = held(SIDES[stuck.face_side])
    marked = made.room - mark_room(stuck, made.detail)
    for said, room in ((side, marked), *([("", marked)] if stuck.mark == "V" else []), (side, made.room)):
        for words in sticking_words(stuck):
            one = words + (held(JOIN) + said if said else "")
            if made.ts.width(one, "regular", made.detail) <= room and made.add("sticking", one):
                _put_mark(made, stuck)
                return
    for words in sticking_words(stuck):
        if made.add("sticking", f"{words} {side}".strip(), most=2):
            _put_mark(made, stuck)
            return
    made.lost.append("sticking")


def _put_mark(made: Column, stuck: Sticking) -> None:
    """The reference mark after the last line, or told."""
    last = made.lines[-1]
    if not stuck.mark:
        return
    if made.ts.width(last.text, last.face, last.size) + mark_room(stuck, last.size) <= made.room + 0.01:
        made.lines[-1] = replace(last, stuck=stuck)
    else:
        made.lost.append("reference")


def mark_room(stuck: Sticking, size: float) -> float:
    """Width that the reference mark takes after words of this type, points."""
    return size * (MARK_GAP + MARK_WIDE) if stuck.mark else 0.0


def sticking_words(stuck: Sticking) -> tuple[str, ...]:
    """Where a label is stuck, the longest wording first."""
    where = stuck.face.partition(",")[0]
    low = stuck.face.replace(", underneath", ", below")  # the shorter word before none
    every = dict.fromkeys((f"stick on: {stuck.face}", f"on {stuck.face}", f"on {low}", f"on {where}"))
    return tuple(held(words) for words in every)


_ADDS: dict[str, Callable[[Column, PieceLabel, bool, float, int], None]] = {
    "name": _add_name,
    "sizes": _add_sizes,
    "mates": _add_mates,
    "stage": _add_stage,
    "warning": _add_warning,
    "sticking": _add_sticking,
}
