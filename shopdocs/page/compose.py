"""From documents to frames: every page of the set, the line at its head, its anchors and its outline."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from itertools import zip_longest

from shopdocs.blocks.sheets import Document, Imprint
from shopdocs.page.flow import Flow
from shopdocs.page.growing import grown
from shopdocs.page.items import Frame, TextRun
from shopdocs.page.paper import Paper
from shopdocs.page.running import running_line
from shopdocs.page.setting import Means, Setting
from shopdocs.page.typesetter import Typesetter

TIGHT, CLOSE = 0.65, 0.5  # of the white between rows and blocks, if that saves a page; CLOSE with smaller tables


@dataclass(frozen=True, slots=True)
class OutlineEntry:
    """`level` 0 is a document, 1 a chapter, 2 a section; `page` counts from 0, `y` is a height on it."""

    level: int
    title: str
    page: int
    y: float


@dataclass(frozen=True, slots=True)
class Composed:
    """The finished pages. `anchors` lead to (page from 0, height in points). `missing` are characters that no face
    carries, `notes` sentences on text that was cut, codes that were left out, drawings set smaller than asked."""

    frames: tuple[Frame, ...]
    anchors: dict[str, tuple[int, float]]
    outline: tuple[OutlineEntry, ...]
    imprint: Imprint
    missing: tuple[str, ...]
    notes: tuple[str, ...]


def compose(
    documents: Sequence[Document],
    imprint: Imprint,
    paper: Paper,
    printer: tuple[Fraction, Fraction] = (Fraction(1), Fraction(1)),
) -> Composed:
    """Lays the documents on `paper`, each from a new page. `printer` stretches true-scale parts across and up (nominal
    over measured). Raises KeyError when a label sheet is not known."""
    ts = Typesetter()
    frames: list[Frame] = []
    before: Setting | None = None
    for document, after in zip_longest(documents, documents[1:]):
        means = Means(paper, printer, ts)
        document = _ordered(document, partial(_pages, after=after, means=means))
        setting = _set(document, means, before)
        if before is not None and setting.frames:
            before, setting = _together(before, setting) or _run_on(before, setting, after) or (before, setting)
        if before is not None:
            _finish(before, frames)
        before = setting
    if before is not None:
        _finish(before, frames)
    outline = [
        OutlineEntry(level, title, page, y) for page, frame in enumerate(frames) for level, title, y in frame.outline
    ]
    for frame in frames:
        frame.items[0:0] = running_line(frame, imprint, paper, len(frames), ts)
    anchors: dict[str, tuple[int, float]] = {}
    for page, frame in enumerate(frames):
        for name, y in frame.anchors:
            anchors.setdefault(name, (page, y))
    for frame in frames:
        frame.items += _page_numbers(frame, anchors, ts)
    return Composed(tuple(frames), anchors, tuple(outline), imprint, ts.missing, ts.notes)


def _ordered(document: Document, cost: Callable[[Document], tuple[int, int]]) -> Document:
    """The document with its pictures grown, its blocks in the other order that it brings where that spares a page."""
    if document.instead:
        other = replace(document, blocks=document.instead)
        if cost(other)[0] < cost(document)[0]:
            document = other
    return grown(document, cost)


def _finish(setting: Setting, frames: list[Frame]) -> None:
    """Paints a document that will not be set again, and adds its pages to those before."""
    setting.flow.paint()
    for number, frame in enumerate(setting.frames, 1):
        frame.number, frame.of, frame.set_number = number, len(setting.frames), len(frames) + number
    frames += setting.frames


def _together(before: Setting, setting: Setting) -> tuple[Setting, Setting] | None:
    """Both with less white where the second then has room on the last page of the first; None where it has not, or
    where the first shares a page already and cannot be set again."""
    if not before.frames or before.shared or len(setting.frames) > 1 or not setting.may_join(before.flow):
        return None
    for air, table in ((TIGHT, None), (CLOSE, before.ts.style.table_close)):
        closer = _closer(before.document, before.means, air, table)
        if closer.cost > before.cost:
            continue
        under = Setting(setting.document, setting.means)
        setting.ts.set_closer(TIGHT)
        joined = under.joins(closer.flow)
        setting.ts.set_closer()
        if joined:
            return closer, under
    return None


def _run_on(before: Setting, setting: Setting, after: Document | None) -> tuple[Setting, Setting] | None:
    """Both where the second begins on the last page of the first and so takes a page less, with less white where only
    that spares it; None where nothing is spared, or where the document `after` would need the page."""
    if setting.shared or not setting.document.runs_on or not setting.may_join(before.flow):
        return None
    ts = setting.ts
    alone = len(setting.frames) + _pages_after(setting, after)
    hows: list[tuple[float, float | None]] = [(1.0, None), (TIGHT, None), (CLOSE, ts.style.table_close)]
    firsts = [before]
    if before.frames and not before.shared:
        closer = (_closer(before.document, before.means, *how) for how in hows[1:])
        firsts += [one for one in closer if one.cost <= before.cost]
    best: tuple[int, Setting, Setting, tuple[float, float | None]] | None = None
    for first in firsts:
        for how in hows:
            ts.set_closer(*how)
            under = Setting(setting.document, setting.means)
            begun = under.run_on(first.flow)
            ts.set_closer()
            pages = len(under.frames) + _pages_after(under, after) if begun else alone
            if pages < (best[0] if best else alone):
                best = pages, first, under, how
    if best is None:
        return None
    _, first, under, how = best
    ts.set_closer(*how)
    under.opened()
    ts.set_closer()
    return first, under


def _pages_after(setting: Setting, after: Document | None) -> int:
    """How many pages the document `after` adds, begun under this one where that spares a page."""
    if after is None:
        return 0
    alone = _set(after, setting.means, None)
    if not _page_after(setting, after) or (setting.flow.frame is not None and _together(setting, alone)):
        return 0
    counts = [len(alone.frames)]
    for air in (1.0, TIGHT) if after.runs_on else ():
        setting.ts.set_closer(air)
        under = Setting(after, setting.means)
        counts += [len(under.frames)] if under.run_on(setting.flow) else []
        setting.ts.set_closer()
    return min(counts)


def _page_after(setting: Setting, after: Document | None) -> int:
    """1 where the document `after` this one could not stand under it, else 0."""
    if after is None or setting.flow.frame is None or setting.flow.frame.bare:
        return 0
    hows = ((1.0, None), (TIGHT, None), (CLOSE, setting.ts.style.table_close))
    return 0 if any(_joined(after, setting.flow, setting.means, *how) for how in hows) else 1


def _set(document: Document, means: Means, before: Setting | None) -> Setting:
    """The document on its pages. Where much of them would be empty, a table runs over onto another page, or it takes a
    page of its own, all is set again with less white between rows and blocks, at last with smaller tables, and stays
    so if that spares a page, keeps a table whole or puts more on the last page."""
    ts = means.ts
    setting = Setting(document, means)
    setting.run(before.flow if before else None)
    if setting.loose or setting.cost[1]:
        closer = [_closer(document, means, *how) for how in ((TIGHT, None), (CLOSE, ts.style.table_close))]
        best = min(closer, key=lambda one: one.cost)
        if best.cost < setting.cost:
            return best
    elif len(setting.frames) == 1 and before is not None:
        for how in ((TIGHT, None), (CLOSE, ts.style.table_close)):
            ts.set_closer(*how)
            closer_set = Setting(document, means)
            joined = closer_set.joins(before.flow)
            ts.set_closer()
            if joined:
                return closer_set
    return setting


def _pages(document: Document, after: Document | None, means: Means) -> tuple[int, int]:
    """How many pages the document takes by itself, with less white if that saves one; one more where the document
    `after` it could not stand under it. Then how often a table is broken, as `cost` has it."""
    setting = _set(document, means, None)
    count, broken = setting.cost
    return count + _page_after(setting, after), broken


def _joined(document: Document, before: Flow, means: Means, air: float, table: float | None) -> bool:
    """Whether the document could stand under another, with this share of the usual white, and tables in that type."""
    means.ts.set_closer(air, table)
    found = Setting(document, means).strips_under(before) is not None
    means.ts.set_closer()
    return found


def _closer(document: Document, means: Means, air: float, table: float | None) -> Setting:
    """The document by itself, set with less white, and with the rows of its tables in another type."""
    means.ts.set_closer(air, table)
    closer = Setting(document, means)
    closer.run()
    means.ts.set_closer()
    return closer


def _page_numbers(frame: Frame, anchors: dict[str, tuple[int, float]], ts: Typesetter) -> list[TextRun]:
    out: list[TextRun] = []
    for x, y, face, size, anchor, at_right in frame.page_numbers:
        if anchor in anchors:
            shown = str(anchors[anchor][0] + 1)
            out.append(TextRun(x - ts.width(shown, face, size) if at_right else x, y, face, size, shown))
    return out
