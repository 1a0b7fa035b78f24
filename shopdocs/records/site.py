"""The record pages: one page a piece and a list of them, plain files that work from any folder, without a network.

The code on a piece's label leads to its page. The pages need nothing but themselves: style sheet, script and pictures
stand in each, nothing is fetched. The script keeps ticks of what is done on the phone and sends nothing; without it the
pages say all but these. Where a host serves them (https, or this machine), a worker keeps all of them for offline.

An anchor leads, on the pages, to the record of the piece when it is `piece-NAME` and there is such a record, else to
the place of that name on the same page, else to the first such place on another page. A link without any such place is
set as plain words.
"""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.record_pages import STEPS, Records
from shopdocs.blocks.sheets import Document, Imprint
from shopdocs.blocks.walk import anchors, links
from shopdocs.core.assets import layouts_folder
from shopdocs.core.slug import ANCHOR, INDEX, is_record_name, record_file
from shopdocs.output.html import Target, anchor_id, fragment, page

TEMPLATE = "record.html.j2"
OFFLINE = "offline.js"
# A mark with more letters than this takes two places in the list, or a whole line.
_WIDE_MARK = 4
_WHOLE_LINE = 11
_MOST_LETTERS = 25


class Tile(Struct, frozen=True):
    """A link to the record called `name` in the list of pieces, and the steps that its piece goes through; where there
    are `copies`, each of them."""

    name: str
    mark: str
    steps: tuple[str, ...]
    room: Literal["", "wide", "whole"]
    copies: int = 1

    @property
    def ticks(self) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
        """What can be ticked off, copy by copy: which copy ("FL·2", empty where there is one), and for each step the
        name under which its tick is kept ("sawn·2"), and the step."""
        if self.copies == 1:
            return (("", tuple((step, step) for step in self.steps)),)
        numbers = range(1, self.copies + 1)
        return tuple((f"{self.mark}·{n}", tuple((f"{step}·{n}", step) for step in self.steps)) for n in numbers)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all its ticks."""
        return tuple(name for _, ticks in self.ticks for name, _ in ticks)

    @property
    def file(self) -> str:
        """The file that it leads to."""
        return record_file(self.name)


Groups = tuple[tuple[str, tuple[Tile, ...]], ...]


class Listed(Struct, frozen=True):
    """A listing with its tiles; one without a title is not folded."""

    title: str
    groups: Groups


def record_site(records: Records, imprint: Imprint) -> Iterator[tuple[str, bytes]]:
    """All files of the site one after the other, each with its name: the pages, then the worker that keeps them on a
    phone for offline.

    Each of the pages is the record of one piece: its `name` is `record_slug` of the full mark, its `title` the full
    mark, its `question` says what the piece is ("leg"). Without listings, neighbours with the same question stand in
    one group of the list, unless the cells of the index link to every record. Drawings that the index begins with stand
    above the list, its other blocks below. Raises ValueError when a name is not a name of a record or comes twice.
    """
    pages = records.heads
    _check_names((*pages, *records.gone))
    places = _places((*pages, *records.gone), records.index)
    tiles = [
        replace(_tile(document, imprint, records.steps.get(document.name, STEPS)), copies=records.copies)
        for document in pages
    ]
    digests: dict[str, bytes] = {}
    for name, content in _site_pages(records, tiles, imprint, places):
        digests[name] = hashlib.sha256(content).digest()
        yield name, content
    yield OFFLINE, _offline(digests)


def _site_pages(
    records: Records, tiles: Sequence[Tile], imprint: Imprint, places: Mapping[str, str]
) -> Iterator[tuple[str, bytes]]:
    yield record_file(INDEX), _list(records, tiles, imprint, places)
    for number, document in enumerate(records.pages):
        before = tiles[number - 1] if number else None
        after = tiles[number + 1] if number + 1 < len(tiles) else None
        yield tiles[number].file, _record(document, tiles[number], (before, after), imprint, places)
    for document in records.gone:
        yield record_file(document.name), _record(document, None, (None, None), imprint, places)


def _offline(digests: Mapping[str, bytes]) -> bytes:
    """The worker, with the names of all files and a digest of what is in them."""
    digest = hashlib.sha256()
    for name, content in sorted(digests.items()):
        digest.update(f"{name} ".encode() + content)
    words = (layouts_folder() / "record_offline.js").read_text("utf-8")
    files = ", ".join(f'"{name}"' for name in digests)  # names are letters, digits, - and _: nothing to escape
    return words.replace("@VERSION@", digest.hexdigest()[:16]).replace("@FILES@", files).encode()


def _check_names(pages: Sequence[Document]) -> None:
    seen: set[str] = set()
    for document in pages:
        name = document.name
        if not is_record_name(name):
            raise ValueError(f"{name!r} is not a name of a record")
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


def _list(records: Records, tiles: Sequence[Tile], imprint: Imprint, places: Mapping[str, str]) -> bytes:
    index = records.index
    target = _target(index, places)
    drawn = next((i for i, block in enumerate(index.blocks) if not isinstance(block, Drawing)), len(index.blocks))
    taken: set[str] = set()
    title = index.title or imprint.title
    values = {
        "heading": _joined(title, imprint.title),
        "title": title,
        "what": index.question,
        "kind_of_page": "list",
        "letters": _letters(title),
        "listings": _listings(records, tiles),
        "lead": fragment(index.blocks[:drawn], target, taken),
        "body": fragment(index.blocks[drawn:], target, taken),
        "gone": tuple(_tile(document, imprint, ()) for document in records.gone),
    }
    return _page({**_EMPTY, **values}, imprint)


def _listings(records: Records, tiles: Sequence[Tile]) -> tuple[Listed, ...]:
    if records.listings:
        named = {tile.name: tile for tile in tiles}
        return tuple(
            Listed(
                listing.title,
                tuple((name, tuple(named[record] for record in found)) for name, found in listing.groups),
            )
            for listing in records.listings
        )
    linked = set(links(records.index.blocks))
    if all(ANCHOR + document.name in linked for document in records.heads):
        return ()
    pairs = zip(records.heads, tiles, strict=True)
    groups = groupby(pairs, key=lambda pair: pair[0].question)
    return (Listed("", tuple((name, tuple(tile for _, tile in some)) for name, some in groups)),)


# What a page may have and most have not.
_EMPTY: Mapping[str, object] = {
    "piece": "", "ticks": (), "listings": (), "lead": "", "gone": (), "before": None, "after": None,
}  # fmt: skip


def _record(
    document: Document,
    tile: Tile | None,
    beside: tuple[Tile | None, Tile | None],
    imprint: Imprint,
    places: Mapping[str, str],
) -> bytes:
    """The page of a piece; without a `tile` that of one that is no longer part of the build."""
    mark = _short_mark(document.title, imprint)
    values = {
        "heading": _joined(document.title, document.question, imprint.title),
        "title": mark,
        "what": document.question,
        "kind_of_page": "piece" if tile else "piece former",
        "letters": _letters(mark),
        "body": fragment(document.blocks, _target(document, places)),
        "piece": document.name if tile else "",
        "ticks": tile.ticks if tile and tile.steps else (),
        "before": beside[0],
        "after": beside[1],
    }
    return _page({**_EMPTY, **values}, imprint)


def _page(values: Mapping[str, object], imprint: Imprint) -> bytes:
    revision = f"revision {imprint.revision}" if imprint.revision else ""
    check = f"check word {imprint.check}" if imprint.check else ""
    foot = _joined(imprint.title, revision, imprint.maker, imprint.date, check, imprint.licence)
    index = values["kind_of_page"] == "list"
    return page(TEMPLATE, {**values, "index": index, "imprint": imprint, "foot": foot}).encode("utf-8")


def _joined(*parts: str) -> str:
    return " · ".join(dict.fromkeys(part for part in parts if part))


def _tile(document: Document, imprint: Imprint, steps: tuple[str, ...]) -> Tile:
    mark = _short_mark(document.title, imprint)
    letters = _letters(mark)
    room: Literal["", "wide", "whole"] = "whole" if letters > _WHOLE_LINE else "wide" if letters > _WIDE_MARK else ""
    return Tile(document.name, mark, steps, room)


def _short_mark(title: str, imprint: Imprint) -> str:
    """The piece's own mark: the build's stands in the tab above it."""
    short = title.removeprefix(f"{imprint.mark}-") if imprint.mark else title
    return short or title


def _letters(content: str) -> int:
    """How many letters wide a mark is, for the style sheet, which knows up to 25 of them; the full-width letters of
    East Asian scripts count double (UAX #11)."""
    wide = sum(2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in content)
    return min(max(1, wide), _MOST_LETTERS)
