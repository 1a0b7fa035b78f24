"""Usual sizes of furniture for people: for warnings only, never a rule.

A piece outside these ranges may be right for the one who ordered it; the maker is asked, not stopped.
"""

from __future__ import annotations

from msgspec import Struct

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.facts.source import COMMON_PRACTICE, Confidence, Source


class UsualSize(Struct, frozen=True):
    """What is measured, and between which lengths it usually lies."""

    key: str
    what: str
    low: Length
    high: Length
    source: Source

    def contains(self, length: Length) -> bool:
        """Whether the length lies in the usual range; the ends of the range count as usual."""
        return self.low <= length <= self.high


def _inches(key: str, what: str, low: str, high: str, source: Source = COMMON_PRACTICE) -> UsualSize:
    return UsualSize(key, what, Length.inches(low), Length.inches(high), source)


USUAL_SIZES = (
    _inches("seat", "seat of a chair", "16", "18"),
    _inches("bench", "seat of a bench", "17", "19", Source("ADA Standards", Confidence.READ, table="903.5")),
    _inches("table", "top of a dining table", "28", "30"),
    _inches("desk", "top of a desk", "28.5", "30"),
    _inches("counter stool", "seat of a counter stool", "24", "26"),
    _inches("bar stool", "seat of a bar stool", "28", "30"),
    _inches("counter", "top of a counter table", "36", "36"),
    _inches("bar", "top of a bar table", "42", "42"),
)


def usual_size(key: str) -> UsualSize | None:
    """The range by its key ('seat', 'table'); None where nothing is known."""
    return next((row for row in USUAL_SIZES if row.key == key), None)


def usual_lines() -> tuple[str, ...]:
    """A line for each range, in inches."""
    wide = max(len(row.what) for row in USUAL_SIZES)
    spans = [
        (row, f"{_plain(row.low)}" + (f" to {_plain(row.high)}" if row.high > row.low else "")) for row in USUAL_SIZES
    ]
    return tuple(f"{row.what:<{wide}}  {span} in" for row, span in spans)


def _plain(length: Length) -> str:
    return exact_text(length).removesuffix(" in")


def outside(key: str, length: Length) -> UsualSize | None:
    """The range a length falls outside of; None where it lies within, or where nothing is known."""
    row = usual_size(key)
    return None if row is None or row.contains(length) else row
