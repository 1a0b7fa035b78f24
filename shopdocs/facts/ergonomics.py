"""Usual sizes of furniture for people: for warnings only, never a rule.

A piece outside these ranges may be right for the one who ordered it; the maker is asked, not stopped.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopdocs.core.length import Length
from shopdocs.facts.source import COMMON_PRACTICE, Confidence, Source


@dataclass(frozen=True, slots=True)
class UsualSize:
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
    _inches("seat", "seat height of a chair", "16", "18"),
    _inches("bench", "seat height of a bench", "17", "19", Source("ADA Standards", Confidence.READ, table="903.5")),
    _inches("table", "height of a dining table", "28", "30"),
    _inches("desk", "height of a desk", "28.5", "30"),
    _inches(
        "work surface",
        "height of a dining or work surface",
        "28",
        "34",
        Source("ADA Standards", Confidence.READ, table="902.3"),
    ),
    _inches("seat to table", "from seat to table top", "10", "13"),
    _inches("counter stool", "seat height of a counter stool", "24", "26"),
    _inches("bar stool", "seat height of a bar stool", "28", "30"),
    _inches("counter", "height of a counter table", "36", "36"),
    _inches("bar", "height of a bar table", "42", "42"),
    _inches(
        "place",
        "width of a place at table",
        "24",
        "30",
        Source("Panero & Zelnik, Human Dimension & Interior Space", Confidence.MEMORY),
    ),
)


def usual_size(key: str) -> UsualSize | None:
    """The range by its key ('seat', 'table'); None where nothing is known."""
    return next((row for row in USUAL_SIZES if row.key == key), None)


def outside(key: str, length: Length) -> UsualSize | None:
    """The range a length falls outside of; None where it lies within, or where nothing is known."""
    row = usual_size(key)
    return None if row is None or row.contains(length) else row
