"""What the record pages are made of beside their documents."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import overload

from msgspec import Struct, field

from shopdocs.blocks.sheets import Document

# What is ticked off on a record, in the order of the work; what goes in without glue is fitted.
STEPS = ("sawn", "planed", "turned", "jointed", "drilled", "shaped", "glued", "fitted")


class Pages(Sequence[Document]):
    """Pages that are made one by one, when they are asked for: those of a thousand pieces fill much of the memory.
    `heads` are the same pages without what is only seen when one is opened: their names, titles and anchors."""

    def __init__(self, heads: Sequence[Document], made: Callable[[int], Document]) -> None:
        self.heads, self._made = heads, made

    @overload
    def __getitem__(self, number: int) -> Document: ...
    @overload
    def __getitem__(self, number: slice) -> tuple[Document, ...]: ...
    def __getitem__(self, number: int | slice) -> Document | tuple[Document, ...]:
        if isinstance(number, slice):
            return tuple(self[each] for each in range(*number.indices(len(self))))
        return self._made(range(len(self))[number])

    def __len__(self) -> int:
        return len(self.heads)


class Listing(Struct, frozen=True):
    """One way to list the pieces: a title ("By stage"), and groups of records by their names, each with its own."""

    title: str
    groups: tuple[tuple[str, tuple[str, ...]], ...]


class Records(Struct, frozen=True):
    """All of the record site: a document a piece, what stands in the list of them, the ways to list them, the `steps`
    that each piece goes through (by the name of its record; all of STEPS where none are said), and the pages of pieces
    that are no longer part of the build. Of several `copies` each piece is ticked by itself."""

    pages: Sequence[Document]
    index: Document
    listings: tuple[Listing, ...] = ()
    steps: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    gone: tuple[Document, ...] = ()
    copies: int = 1

    @property
    def heads(self) -> Sequence[Document]:
        """The pages by their names, titles and anchors."""
        return self.pages.heads if isinstance(self.pages, Pages) else self.pages
