"""How documents follow each other in a set: which begins a page, and which begins under the one before, so that the set
takes few pages; then how large their pictures may be on these pages.

Every document is tried with the usual white and with less, from a page of its own and under every way the one before
it may end. Few pages come first; then whole tables, sheets that begin a page, and much white.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Document, SideBySide, TitlePage, Together
from shopdocs.blocks.text import Table
from shopdocs.blocks.walk import walk
from shopdocs.page.growing import grown
from shopdocs.page.pairing import closed, paired
from shopdocs.page.setting import Means, Setting

TIGHT, CLOSE = 0.65, 0.5  # of the white between rows and blocks, if that saves a page; CLOSE with smaller tables
MOST_ENDS = 5  # ways in which documents may have ended that are gone on with
# What is given for a page fewer is given least of all for these, from our own eyes: a table parted, or a last page
# nearly empty; a page with much white; a sheet that begins under another and goes on; one that stands under another
# whole; each step of white.
PARTED, HOLLOW, RUN_ON, UNDER, CLOSER = 8, 5, 3, 1, 2
AHEAD = 12  # and for a block that stands before the title of its sheet, which leaves the sheet before less room
NOT_SO = 1_000_000  # pages, where a document could not stand where it should


class Way(Struct, frozen=True):
    """A document as it is set: with what share of the usual white, tables in which type (None for the usual), whether
    it begins `under` the one before, and whether its last page is to be `low`."""

    document: Document
    means: Means
    air: float = 1.0
    table: float | None = None
    under: bool = False
    low: bool = False

    def set(self, before: Setting | None) -> Setting | None:
        """The document set so, behind the one `before`; None where it cannot stand under it."""
        ts = self.means.ts
        ts.set_closer(self.air, self.table)
        setting: Setting | None = Setting(self.document, self.means, self.low)
        assert setting is not None
        if not self.under:
            setting.run()
        elif before is None or not setting.run_on(before.flow):
            setting = None
        ts.set_closer()
        return setting


class _End(Struct, frozen=True):
    """One way in which all documents so far may end: pages, what was given for them, the last document as it is set."""

    pages: int
    given: int
    setting: Setting
    ways: tuple[Way, ...]

    @property
    def used(self) -> float:
        """How much of the last page is used, points."""
        return self.setting.flow.body - self.setting.flow.room


def bound(documents: Sequence[Document], means: Sequence[Means]) -> list[Way]:
    """How each document is set, so that all take few pages; their pictures as large as these pages hold."""
    ends: list[_End] = []
    for document, own in zip(documents, means, strict=True):
        ends = _best(list(_after(ends, document, own)))
    if not ends:
        return []
    ways = min(ends, key=_closed).ways
    return [way for run in _runs(ways) for way in _grown(run)]


def settings_of(ways: Sequence[Way]) -> list[Setting]:
    """The documents as they are set, one behind the other."""
    found: list[Setting] = []
    for way in ways:
        setting = way.set(found[-1] if found else None)
        assert setting is not None, "a way that was found"
        found.append(setting)
    return found


def opened(way: Way, setting: Setting) -> None:
    """Adds title and anchor of a document that begins under another to that page."""
    if way.under:
        way.means.ts.set_closer(way.air, way.table)
        setting.opened()
        way.means.ts.set_closer()


def _ways(document: Document, means: Means) -> Iterator[tuple[int, Way]]:
    """The document with all its white and with less, in both orders of its blocks where it brings another, its blocks
    beside each other and in closer forms where they may; with what is given for it."""
    moving = any(isinstance(block, Together) and block.moves for block in document.blocks)
    hows = ((1.0, None), (TIGHT, None), (CLOSE, means.ts.style.table_close))
    orders = [_orders(document, means, air, table) for air, table in hows]
    for other, ones in enumerate(zip(*orders, strict=True)):
        for step, ((air, table), one) in enumerate(zip(hows, ones, strict=True)):
            for low in (False, True) if moving else (False,):
                yield step * CLOSER + other + low, Way(one, means, air, table, low=low)
    if document.ahead:
        ahead = replace(document, blocks=document.ahead)
        for step, (air, table) in enumerate(hows):
            yield step * CLOSER + AHEAD, Way(ahead, means, air, table)


def _orders(document: Document, means: Means, air: float, table: float | None) -> list[Document]:
    """The document in both orders of its blocks, and with those that may change places in the forms that are lowest
    with so much white."""
    orders = [document, *([replace(document, blocks=document.instead)] if document.instead else [])]
    moving = [block for block in document.blocks if isinstance(block, Together) and block.moves]
    means.ts.set_closer(air, table)
    height = Setting(document, means).share_of
    if any(block.narrow for block in moving):
        orders.append(replace(document, blocks=paired(document.blocks, height)))
    if any(block.closer for block in moving):
        closer = closed(document.blocks, height)
        orders += [replace(document, blocks=closer), replace(document, blocks=paired(closer, height))]
    means.ts.set_closer()
    return orders


def _after(ends: Sequence[_End], document: Document, means: Means) -> Iterator[_End]:
    """Every way in which the document may follow."""
    first = min(ends, key=_closed, default=None)
    for given, way in _ways(document, means):
        if not any(isinstance(block, TitlePage) for block in way.document.blocks):
            setting = way.set(None)
            assert setting is not None, "a document can always begin a page"
            pages, before = _closed(first) if first is not None else (0, 0)
            ways = first.ways if first is not None else ()
            worth = before + given + _ugly(setting)
            yield _End(pages + len(setting.frames), worth, setting, (*ways, way))
        for end in ends:
            begun = replace(way, under=True)
            under = begun.set(end.setting)
            if under is not None:
                worth = end.given + given + _ugly(under) + (RUN_ON if under.frames else UNDER)
                yield _End(end.pages + len(under.frames), worth, under, (*end.ways, begun))


def _closed(end: _End) -> tuple[int, int]:
    """Pages, and what was given for them where the next document begins a page; a last page may stay nearly empty, or
    with much white, then."""
    setting = end.setting
    white = PARTED if setting.ends_nearly_empty else HOLLOW if setting.ends_hollow else 0
    return end.pages, end.given + white


def _ugly(setting: Setting) -> int:
    """What is given for tables that are parted and for pages that are left with much white."""
    return PARTED * setting.flow.broken + HOLLOW * setting.flow.hollow


def _best(ends: Sequence[_End]) -> list[_End]:
    """Those of the fewest pages: the one for which least was given, and those that end highest."""
    least = min(end.pages for end in ends)
    found: list[_End] = []
    for end in sorted((end for end in ends if end.pages == least), key=lambda end: (end.given, end.used)):
        if all(end.used < other.used - 1.0 for other in found):
            found.append(end)
    return [found[0], *found[1:][1 - MOST_ENDS :]]


def _runs(ways: Sequence[Way]) -> list[list[Way]]:
    """The documents parted where one begins a page."""
    runs: list[list[Way]] = []
    for way in ways:
        if way.under:
            runs[-1].append(way)
        else:
            runs.append([way])
    return runs


def _grown(run: Sequence[Way]) -> list[Way]:
    """Documents that share pages, their pictures as large as these pages hold: first those of the document that has
    most of them, which gives them some of its white as well."""
    ways = list(run)
    for place in sorted(range(len(ways)), key=lambda i: -_growing(ways[i].document)):
        way, before = ways[place], settings_of(ways[:place])
        if _growing(way.document) and way.air > TIGHT:
            closer = replace(way, air=TIGHT)
            if _cost(before, [closer, *ways[place + 1 :]]) <= _cost(before, ways[place:]):
                way = closer

        def cost(
            document: Document, way: Way = way, place: int = place, before: Sequence[Setting] = before
        ) -> tuple[int, ...]:
            return _cost(before, [replace(way, document=document), *ways[place + 1 :]])

        ways[place] = replace(way, document=grown(way.document, cost))
    return ways


def _cost(before: Sequence[Setting], ways: Sequence[Way]) -> tuple[int, ...]:
    """Pages of documents behind those that are set; what is parted or left over on them; how many go on on a page of
    their own."""
    settings: list[Setting] = []
    for way in ways:
        setting = way.set((settings or before)[-1] if settings or before else None)
        if setting is None:
            return (NOT_SO,)
        settings.append(setting)
    broken = sum(one.flow.broken for one in settings) + settings[-1].ends_nearly_empty
    return sum(len(one.frames) for one in settings), broken, sum(bool(one.frames) for one in settings)


def _growing(document: Document) -> int:
    """How many drawings at a scale, and columns and tables with drawings, bring larger ones of themselves."""
    blocks = [*walk(document.blocks)]
    drawings = sum(bool(block.larger and block.scale) for block in blocks if isinstance(block, Drawing))
    return drawings + sum(bool(block.larger) for block in blocks if isinstance(block, (SideBySide, Table)))
