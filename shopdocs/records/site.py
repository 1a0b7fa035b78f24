"""The record pages: one page a piece and a list of them, plain files that work from any folder, without a network.

The code on a piece's label leads to its page. The pages need nothing but themselves: the style sheet stands in each, no
script, no picture, no typeface is fetched.

An anchor leads, on the pages, to the record of the piece when it is `piece-NAME` and there is such a record, else to
the place of that name on the same page, else to the first such place on another page. A link without any such place is
set as plain words.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

from shopdocs.blocks.sheets import Document, Imprint
from shopdocs.blocks.walk import anchors, links
from shopdocs.core.slug import ANCHOR, INDEX, record_file
from shopdocs.output.html import Target, anchor_id, fragment, page

TEMPLATE = "record.html.j2"
_NAME = re.compile(r"[a-z0-9][a-z0-9_-]*")
# A mark with more letters than this takes two places in the list, or a whole line.
_WIDE_MARK = 4
_WHOLE_LINE = 11


@dataclass(frozen=True, slots=True)
class Tile:
    """A link to a record in the list of pieces."""

    mark: str
    file: str
    room: Literal["", "wide", "whole"]


def record_site(pages: Sequence[Document], index: Document, imprint: Imprint) -> dict[str, bytes]:
    """All files of the site, by name.

    Each of `pages` is the record of one piece: its `name` is `record_slug` of the full mark, its `title` the full mark,
    its `question` says what the piece is ("leg"); neighbours with the same question stand in one group of the list.
    `index` is what stands below that list, or takes its place when its own cells link to every record. Raises
    ValueError when a name is no name of a record or comes twice.
    """
    _check_names(pages)
    places = _places(pages, index)
    tiles = [_tile(document, imprint) for document in pages]
    site = {record_file(INDEX): _list(index, pages, tiles, imprint, places)}
    for number, document in enumerate(pages):
        before = tiles[number - 1] if number else None
        after = tiles[number + 1] if number + 1 < len(tiles) else None
        site[tiles[number].file] = _record(document, before, after, imprint, places)
    return site


def _check_names(pages: Sequence[Document]) -> None:
    seen: set[str] = set()
    for document in pages:
        name = document.name
        if not _NAME.fullmatch(name) or name == INDEX:
            raise ValueError(f"{name!r} is no name of a record")
        if name in seen:
            raise ValueError(f"two records are named {name!r}")
        seen.add(name)


def _places(pages: Sequence[Document], index: Document) -> dict[str, str]:
    """The file in which each anchor stands; records by the anchors of their pieces come first."""
    places = {ANCHOR + document.name: record_file(document.name) for document in pages}
    for name, document in ((INDEX, index), *((document.name, document) for document in pages)):
        for anchor in anchors(document.blocks):
            places.setdefault(anchor, f"{record_file(name)}#{anchor_id(anchor)}")
    return places


def _target(document: Document, places: Mapping[str, str]) -> Target:
    here = set(anchors(document.blocks))

    def address(anchor: str) -> str | None:
        place = places.get(anchor)
        if anchor in here and place is not None and "#" in place:
            return f"#{anchor_id(anchor)}"
        return place

    return address


def _list(
    index: Document, pages: Sequence[Document], tiles: Sequence[Tile], imprint: Imprint, places: Mapping[str, str]
) -> bytes:
    linked = set(links(index.blocks))
    listed = () if all(ANCHOR + document.name in linked for document in pages) else zip(pages, tiles, strict=True)
    groups = [(name, [tile for _, tile in some]) for name, some in groupby(listed, key=lambda pair: pair[0].question)]
    title = index.title or imprint.title
    values = {
        "heading": _joined(title, imprint.title),
        "title": title,
        "what": index.question,
        "index": True,
        "letters": _letters(title),
        "groups": groups,
        "body": fragment(index.blocks, _target(index, places)),
    }
    return _page(values, imprint)


def _record(
    document: Document, before: Tile | None, after: Tile | None, imprint: Imprint, places: Mapping[str, str]
) -> bytes:
    mark = _short_mark(document.title, imprint)
    values = {
        "heading": _joined(document.title, document.question, imprint.title),
        "title": mark,
        "what": document.question,
        "index": False,
        "letters": _letters(mark),
        "groups": (),
        "body": fragment(document.blocks, _target(document, places)),
        "before": before,
        "after": after,
    }
    return _page(values, imprint)


def _page(values: Mapping[str, object], imprint: Imprint) -> bytes:
    revision = f"revision {imprint.revision}" if imprint.revision else ""
    foot = _joined(imprint.title, revision, imprint.maker, imprint.date, imprint.licence)
    return page(TEMPLATE, {**values, "imprint": imprint, "foot": foot}).encode("utf-8")


def _joined(*parts: str) -> str:
    return " · ".join(dict.fromkeys(part for part in parts if part))


def _tile(document: Document, imprint: Imprint) -> Tile:
    mark = _short_mark(document.title, imprint)
    letters = _letters(mark)
    return Tile(
        mark, record_file(document.name), "whole" if letters > _WHOLE_LINE else "wide" if letters > _WIDE_MARK else ""
    )


def _short_mark(title: str, imprint: Imprint) -> str:
    """The piece's own mark: the build's stands in the tab above it."""
    short = title.removeprefix(f"{imprint.mark}-") if imprint.mark else title
    return short or title


def _letters(content: str) -> int:
    """How many letters wide a mark is; the full-width letters of East Asian scripts count double (UAX #11)."""
    return sum(2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in content) or 1
