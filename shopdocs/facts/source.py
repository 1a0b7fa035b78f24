"""Where a number comes from, and how far to trust it.

Every table of this package carries a `Source`; documents print `str(source)` below what they computed from it, so
that a maker can see which figures were read in a standard and which are only habit.
"""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct


class Confidence(StrEnum):
    """How far to trust a value, from read in the standard itself down to workshop habit."""

    READ = "read in source"
    SECONDARY = "read in secondary page"
    COMPUTED = "computed"
    MEMORY = "from memory"
    PRACTICE = "common practice, no source"


class Source(Struct, frozen=True):
    """A published work, the place in it, and how its values reached this package.

    `title` is empty where only workshop habit stands behind a value. `page` names the page that was read where the work
    itself was not.
    """

    title: str
    confidence: Confidence
    edition: str = ""
    table: str = ""
    page: str = ""

    def __str__(self) -> str:
        """As printed: 'PS 20, dressed dry', 'ASME B18.2.8 1999 (common value, to be checked)', 'common practice'."""
        if not self.title:
            return "common practice" if self.confidence is Confidence.PRACTICE else str(self.confidence)
        joint = ":" if self.title.startswith("ISO ") and self.edition else " "  # ISO cites its standards so
        text = ", ".join(word for word in (f"{self.title}{joint}{self.edition}".strip(), self.table) if word)
        if self.confidence is Confidence.MEMORY:
            return f"{text} (common value, to be checked)"
        if self.confidence is Confidence.PRACTICE:
            return f"{text} (common practice)"
        return text


COMMON_PRACTICE = Source("", Confidence.PRACTICE)
