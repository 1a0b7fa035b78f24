"""From documents to frames: every page of the set, the line at its head, its anchors and its outline."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from shopdocs.blocks.sheets import Document, Imprint
from shopdocs.blocks.walk import anchors as anchors_of
from shopdocs.page.binding import bound, opened, settings_of
from shopdocs.page.contents import without_lost_pages
from shopdocs.page.items import Frame, TextRun
from shopdocs.page.paper import Paper
from shopdocs.page.running import running_line
from shopdocs.page.setting import Means, Setting
from shopdocs.page.typesetter import Typesetter


class OutlineEntry(Struct, frozen=True):
    """`level` 0 is a document, 1 a chapter, 2 a section; `page` counts from 0, `y` is a height on it."""

    level: int
    title: str
    page: int
    y: float


class Composed(Struct, frozen=True):
    """The finished pages. `anchors` lead to (page from 0, height in points). `missing` are characters that no face
    carries, `notes` sentences on text that was cut, codes that were left out, drawings set smaller than asked."""

    frames: tuple[Frame, ...]
    anchors: dict[str, tuple[int, float]]
    outline: tuple[OutlineEntry, ...]
    imprint: Imprint
    missing: tuple[str, ...]
    notes: tuple[str, ...]


def means_of(count: int, paper: Paper, printer: tuple[Fraction, Fraction]) -> list[Means]:
    """What so many documents are set with, for `compose`."""
    ts = Typesetter()
    return [Means(paper, printer, ts) for _ in range(count)]


def compose(
    documents: Sequence[Document],
    imprint: Imprint,
    paper: Paper,
    printer: tuple[Fraction, Fraction] = (Fraction(1), Fraction(1)),
    means: Sequence[Means] = (),
) -> Composed:
    """Lays the documents on `paper`, each from a new page, or under the one before where that spares one. `printer`
    stretches true-scale parts across and up (nominal over measured). `means` are those that the documents were set with
    before, for the same paper and printer and all with one typesetter: what is laid out already is not laid out again.
    Raises KeyError for an unknown label sheet."""
    if not means:
        means = means_of(len(documents), paper, printer)
    ts = means[0].ts if means else Typesetter()
    known = {name for document in documents for name in (document.name, *anchors_of(document.blocks))}
    documents = [without_lost_pages(document, known) for document in documents]
    frames: list[Frame] = []
    ways = bound(documents, means)
    settings = settings_of(ways)
    for way, setting in zip(ways, settings, strict=True):
        opened(way, setting)
    for setting in settings:
        _finish(setting, frames)
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


def _finish(setting: Setting, frames: list[Frame]) -> None:
    """Paints a document that will not be set again, and adds its pages to those before."""
    setting.flow.paint()
    for number, frame in enumerate(setting.frames, 1):
        frame.number, frame.of, frame.set_number = number, len(setting.frames), len(frames) + number
    frames += setting.frames


def _page_numbers(frame: Frame, anchors: dict[str, tuple[int, float]], ts: Typesetter) -> list[TextRun]:
    out: list[TextRun] = []
    for x, y, face, size, anchor, at_right in frame.page_numbers:
        if anchor in anchors:
            shown = str(anchors[anchor][0] + 1)
            out.append(TextRun(x - ts.width(shown, face, size) if at_right else x, y, face, size, shown))
    return out
