"""Fits words into widths, and remembers what could not be shown as it was written."""

from __future__ import annotations

import re
from functools import lru_cache

from shopdocs.blocks.text import Text, plain
from shopdocs.page import typeface
from shopdocs.page.items import Face
from shopdocs.page.style import Style, style

ELLIPSIS = "…"
SHORT_LINE = 0.2  # of the width; a last line that is shorter is a word or two
EVENING_STEP, EVENING_STEPS = 0.04, 6  # of the width that the lines before it may give up
_UNIT = re.compile(r"(×|mm|cm|m|in|ft|m²|m³|ft²|bf|L|ml|g|kg|h|min|°C|°F|%)[.,;:)]*")
_NUMBER = re.compile(r"[0-9¼½¾⅛⅜⅝⅞\u2080-\u2089]$")


def _short(content: str) -> str:
    return content if len(content) <= 60 else content[:59] + ELLIPSIS


class Typesetter:
    """Measures and breaks text. `missing` lists characters without a glyph, `notes` sentences on text that was cut or
    codes that were left out, each once and in the order met."""

    __slots__ = ("_missing", "_notes", "air", "style", "table")

    def __init__(self) -> None:
        self.style: Style = style()
        self.air = 1.0  # share of the usual white between rows and blocks
        self.table = self.style.table  # type of the rows of tables
        self._missing: dict[str, None] = {}
        self._notes: dict[str, None] = {}

    @property
    def missing(self) -> tuple[str, ...]:
        """Characters that the typeface lacks, in the order in which they were met."""
        return tuple(self._missing)

    @property
    def notes(self) -> tuple[str, ...]:
        """Sentences about what could not be set as it was meant, each once."""
        return tuple(self._notes)

    def set_closer(self, air: float = 1.0, table: float | None = None) -> None:
        """Set what follows with this share of the usual white, and table rows in this type (points); else as usual."""
        self.air, self.table = air, table or self.style.table

    def note(self, sentence: str) -> None:
        """Keep a sentence about what could not be set as it was meant."""
        self._notes[sentence] = None

    def clean(self, content: str) -> str:
        """The words as they can be set; what the typeface lacks becomes visible and is kept in `missing`."""
        shown, missing = typeface.clean(content)
        if missing:
            self._missing.update(dict.fromkeys(missing))
        return shown

    def words(self, content: Text) -> str:
        """A text with its figures as plain words, clean."""
        return self.clean(plain(content))

    def width(self, content: str, face: Face, size: float) -> float:
        """Width of words on one line, points."""
        return typeface.width(content, face, size)

    def cut(self, content: str, face: Face, size: float, room: float) -> str:
        """The text, ended by an ellipsis where it is wider than `room` (and that is noted)."""
        shown = self.shortened(content, face, size, room)
        if shown != content:
            self.note(f"cut short, no room: {_short(content)}")
        return shown

    def shortened(self, content: str, face: Face, size: float, room: float) -> str:
        """As `cut`, without a note."""
        if typeface.width(content, face, size) <= room:
            return content
        low, high = 0, len(content)
        while low < high:
            middle = (low + high + 1) // 2
            if typeface.width(content[:middle].rstrip() + ELLIPSIS, face, size) <= room:
                low = middle
            else:
                high = middle - 1
        return content[:low].rstrip() + ELLIPSIS

    def shrunk(self, content: str, face: Face, size: float, room: float, least: float | None = None) -> float:
        """The largest type size up to `size` at which the text fits, not below `least` (the floor of the style)."""
        least = self.style.floor if least is None else least
        em = typeface.width(content, face, 1.0)
        if em * size <= room or em == 0:
            return size
        return max(least, int(room / em * 20) / 20)

    def wrap(self, content: str, face: Face, size: float, room: float) -> list[str]:
        """Lines no wider than `room`; a word that is wider is broken between characters. At least one line; a no-break
        space holds, and a number keeps its unit."""
        if typeface.width(content, face, size) <= room:
            return [content]
        return [*_wrapped(content, face, size, room)]

    def wrap_to(self, content: str, face: Face, size: float, room: float, most: int) -> list[str]:
        """As `wrap`, at most `most` lines; the last ends in an ellipsis where words are left over."""
        lines = self.wrap(content, face, size, room)
        if len(lines) <= most:
            return lines
        used = sum(len(line.replace(" ", "")) for line in lines[: most - 1])
        start = 0
        while used:
            used -= content[start] != " "
            start += 1
        return [*lines[: most - 1], self.shortened(content[start:].strip(), face, size, room)]

    def lines(self, content: str, face: Face, size: float, room: float, most: int = 36) -> list[str]:
        """As `wrap_to`, and what was cut is noted. The limit keeps a strip shorter than any page."""
        shown = self.wrap_to(content, face, size, room, most)
        if 1 < len(shown) < most and typeface.width(shown[-1], face, size) < room * SHORT_LINE:
            shown = self._evened(content, face, size, room, shown)
        if shown[-1].endswith(ELLIPSIS) and not content.endswith(ELLIPSIS):
            self.note(f"cut short, no room: {_short(content)}")
        return shown

    def _evened(self, content: str, face: Face, size: float, room: float, lines: list[str]) -> list[str]:
        """As many lines, the last one longer, where slightly shorter ones before it do that."""
        for part in range(1, EVENING_STEPS + 1):
            narrower = room * (1.0 - EVENING_STEP * part)
            if self.widest_word(content, face, size) > narrower:
                break
            tried = self.wrap(content, face, size, narrower)
            if len(tried) != len(lines):
                break
            if typeface.width(tried[-1], face, size) >= room * SHORT_LINE:
                return tried
        return lines

    def widest_word(self, content: str, face: Face, size: float) -> float:
        """Width of the widest word, points: no narrower column can hold them without breaking one."""
        if " " not in content:
            return typeface.width(content, face, size)
        return max(typeface.width(word, face, size) for word in content.split(" "))


@lru_cache(maxsize=2**13)  # a document is set in several ways, and most of its words stand alike in them
def _wrapped(content: str, face: Face, size: float, room: float) -> tuple[str, ...]:
    lines: list[str] = []
    line = ""
    for word in _held(content, face, size, room):
        longer = f"{line} {word}" if line else word
        if typeface.width(longer, face, size) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while len(line) > 1 and typeface.width(line, face, size) > room:
            head = _head(line, face, size, room)
            lines.append(line[:head])
            line = line[head:]
    if line or not lines:
        lines.append(line)
    return tuple(lines)


def _held(content: str, face: Face, size: float, room: float) -> list[str]:
    """The words, a number in one with the unit or the × after it or with the Ø before it where that fits."""
    out: list[str] = []
    for word in filter(None, content.split(" ")):
        held = f"{out[-1]} {word}" if out else ""
        measured = out and ((_UNIT.fullmatch(word) and _NUMBER.search(out[-1])) or out[-1] in ("Ø", "≈", "#"))
        if measured and typeface.width(held, face, size) <= room:
            out[-1] = held
        else:
            out.append(word)
    return out


def _head(word: str, face: Face, size: float, room: float) -> int:
    """How many characters of `word` fit; breaks after a joint of the word where one is near the end."""
    em = 0.0
    widths = typeface.metrics(face).widths
    count = 0
    for char in word:
        em += widths[char]
        if em * size / 1000 > room:
            break
        count += 1
    count = max(1, min(count, len(word) - 1))
    for back in range(count, max(count // 2, 1), -1):
        if word[back - 1] in "-/_.,:;":
            return back
    return count
