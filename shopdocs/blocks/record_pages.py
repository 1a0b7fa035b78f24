"""What the record pages are made of beside their documents."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from shopdocs.blocks.sheets import Document

# What is ticked off on a record, in the order of the work; what goes in without glue is fitted.
STEPS = ("sawn", "planed", "turned", "jointed", "drilled", "glued", "fitted")


@dataclass(frozen=True, slots=True)
class Listing:
    """One way to list the pieces: a title ("By stage"), and groups of records by their names, each with its own."""

    title: str
    groups: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Records:
    """All of the record site: a document a piece, what stands in the list of them, the ways to list them, the `steps`
    that each piece goes through (by the name of its record; all of STEPS where none are said), and the pages of pieces
    that are no longer part of the build. Of several `copies` each piece is ticked by itself."""

    pages: tuple[Document, ...]
    index: Document
    listings: tuple[Listing, ...] = ()
    steps: Mapping[str, tuple[str, ...]] = field(default_factory=dict, hash=False)
    gone: tuple[Document, ...] = ()
    copies: int = 1
