"""The typeface: which characters it carries and how wide they are, without drawing anything.

Source Sans Pro, Regular, Semibold and Bold, in `layouts/fonts` (SIL Open Font License): three files of the package
font-source-sans-pro, which holds 24 in all and weighs four times as much.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from msgspec import Struct

from shopdocs.core.assets import layout_table, layouts_folder
from shopdocs.core.display import FRACTION_SLASH
from shopdocs.page.items import Face

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont

FACES: tuple[Face, ...] = ("regular", "semibold", "bold")
FONT_NAMES: dict[Face, str] = {
    "regular": "SourceSansPro-Regular",
    "semibold": "SourceSansPro-Semibold",
    "bold": "SourceSansPro-Bold",
}
FRACTION = re.compile(f"([⁰¹²³⁴⁵⁶⁷⁸⁹]+)({FRACTION_SLASH})([₀₁₂₃₄₅₆₇₈₉]+)")
ONES = "¹¹"  # the only numerator in which ones meet: denominators go to 64
_WHOLE = frozenset("0123456789")  # a fraction after one of these belongs to a mixed number
_DROPPED = {0xAD: None, 0x200B: None, 0xFEFF: None, 0x2060: None}  # marks that only guide line breaking
_SPACES = re.compile(r"[\t\n\v\f\r\u2028\u2029]+")


class FractionStyle(NamedTuple):
    """How set fractions are drawn: the rises, and by how much closer two ones stand, as parts of their own size, the
    others as parts of the type size."""

    scale: float
    numerator_rise: float
    denominator_rise: float
    gap: float
    ones: float


class Metrics(Struct, frozen=True):
    """Of one face: advance widths in thousandths of the type size by character, and the file it came from."""

    widths: dict[str, float]
    file: str


def font_file(face: Face) -> str:
    """Path of the TrueType file of a face. Raises FileNotFoundError where the installation lacks its data."""
    return str(layouts_folder() / "fonts" / f"{FONT_NAMES[face]}.ttf")


@cache
def font(face: Face) -> TTFont:
    """The face as read from its file, for measuring and for writing."""
    from reportlab.pdfbase.ttfonts import TTFont

    return TTFont(FONT_NAMES[face], font_file(face))


@cache
def metrics(face: Face) -> Metrics:
    """Widths of the characters in thousandths of the type size, as the font file says."""
    read = font(face).face
    widths = {chr(code): float(width) for code, width in read.charWidths.items() if code in read.charToGlyph}
    widths["\u00a0"] = widths[" "]
    return Metrics(widths, font_file(face))


@cache
def fraction_style() -> FractionStyle:
    """How small the figures of a fraction are set, how far they are raised, and the gap behind a whole number."""
    row = layout_table("style")["fraction"]
    return FractionStyle(row["scale"], row["numerator_rise"], row["denominator_rise"], row["gap"], row["ones"])


def gap_before(text: str, start: int) -> float:
    """White before the fraction that begins at `start`, as part of the type size: behind a whole number alone."""
    return fraction_style().gap if start and text[start - 1] in _WHOLE else 0.0


_width_cache: dict[tuple[str, str], float] = {}


def width(text: str, face: Face, size: float) -> float:
    """Width in points of clean text on one line."""
    key = (face, text)
    em = _width_cache.get(key)
    if em is None:
        em = _width_cache[key] = _measure(text, face)
    return em * size


def _measure(text: str, face: Face) -> float:
    widths = metrics(face).widths
    total = sum([widths[char] for char in text])
    if FRACTION_SLASH in text:
        extra = fraction_style().scale - 1
        for match in FRACTION.finditer(text):
            total += extra * sum(widths[char] for char in match.group())
            total += gap_before(text, match.start()) * 1000
            total -= fraction_style().scale * fraction_style().ones * 1000 * (match.group(1) == ONES)
    return total / 1000


@cache
def _covered() -> frozenset[str]:
    sets = [frozenset(metrics(face).widths) for face in FACES]
    return sets[0] & sets[1] & sets[2] - {"\x00", "\r"}


_clean_cache: dict[str, tuple[str, str]] = {}


def clean(text: str) -> tuple[str, str]:
    """The text as it can be drawn, and the characters that no face carries.

    Composed (NFC), breaks and tabs become spaces, and what has no glyph becomes visible, such as [U+6728]: a blank
    box would be taken for nothing.
    """
    found = _clean_cache.get(text)
    if found is None:
        found = (text, "") if text.isascii() and text.isprintable() else _clean(text)
        _clean_cache[text] = found
    return found


def _clean(text: str) -> tuple[str, str]:
    composed = unicodedata.normalize("NFC", _SPACES.sub(" ", text).translate(_DROPPED))
    covered = _covered()
    missing = "".join(dict.fromkeys(char for char in composed if char not in covered))
    if missing:
        composed = "".join(char if char in covered else f"[U+{ord(char):04X}]" for char in composed)
    return composed, missing
