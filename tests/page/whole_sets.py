"""Whole sets of the samples on paper, page by page, with how much of each is empty and why that may be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.sheets import Document, Labels
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.documents.catalogue import LOOSE, WHITE, make_documents
from shopdocs.page.compose import Composed, compose
from shopdocs.page.items import Frame
from shopdocs.page.paper import Paper, paper
from tests.page.frame_checks import empty_share, item_box
from tests.sample_jobs import PAPER, SAMPLES, bound_documents, sample_job, sample_pages
from tests.values import replace

MOST_EMPTY = 0.45
SPARED = 0.8  # of a page: the rest of a sheet that runs on under another, less what stays white at the feet of pages
GAP_SHARE = 0.06  # of a page: the least white between two sheets on one page
PAPERS: tuple[tuple[Units, str], ...] = (("in", "letter"), ("mm", "a4"), ("in", "a4"), ("mm", "letter"))


@dataclass(frozen=True)
class WholeSet:
    """The documents that are bound, and their pages."""

    documents: tuple[Document, ...]
    composed: Composed
    paper: Paper

    def white(self) -> Iterator[tuple[Frame, float, str]]:
        """For every page how much of it is empty, and the reason why it may be, "" for none."""
        frames = self.composed.frames
        for i, frame in enumerate(frames):
            share = empty_share(frame, self.paper)
            after = frames[i + 1] if i + 1 < len(frames) else None
            yield frame, share, WHITE.get(frame.document) or self._no_room(frame, after)

    def _no_room(self, frame: Frame, after: Frame | None) -> str:
        """Why the sheet that begins on the page after this one does not stand under it."""
        if after is None:
            return "the set ends"
        begun = [
            document for document in self.documents if self.composed.anchors[document.name][0] == after.set_number - 1
        ]
        if not begun:  # the last sheet of this page goes on there: what it draws at 1:1 stays whole on a page
            if after.document == "glue-up" and self._used(frame) + self._used(after) + GAP_SHARE > 1.0:
                return "a stage is not parted, and no room for the next one here"
            return WHITE.get(after.document, "") if after.true_scale else ""
        following = begun[0]
        if any(isinstance(block, (Labels, FullScale)) for block in walk(following.blocks)):
            return f"{following.name}: a sheet of paper of its own"
        if frame.document == "labels" or frame.true_scale:
            return "labels and templates are cut out"
        if after.document == following.name and after.of > 1:
            last = [other for other in self.composed.frames if other.document == following.name][-1]
            spared = self._used(frame) + self._used(last) + GAP_SHARE < SPARED
            return "" if spared else f"{following.name}: more than a page, and none is spared"
        if self._used(frame) + self._used(after) + GAP_SHARE > 1.0:
            return f"{following.name}: no room for it here"
        return ""

    def _used(self, frame: Frame) -> float:
        """The share of the height between the margins down to the last thing on a page."""
        low, high = self.paper.bottom.points, frame.height - self.paper.top.points
        boxes = (item_box(item) for item in frame.items)
        return (high - min(box[1] for box in boxes if box is not None)) / (high - low)


@cache
def whole_set(folder: Path, units: Units, key: str) -> WholeSet:
    """The set of a sample in these units on this paper, labels to be cut from plain paper."""
    if key == PAPER[units]:  # drawn already
        return WholeSet(bound_documents(folder, units), sample_pages(folder, units), paper(key))
    job = sample_job(folder, units)
    job = replace(job, shop=replace(job.shop, paper=key))
    bound = tuple(document for document in make_documents(job) if document.name not in LOOSE)
    return WholeSet(bound, compose(bound, job.imprint, paper(key)), paper(key))


def cases() -> Iterator[tuple[Path, Units, str]]:
    """All samples in both units on both papers."""
    for folder in SAMPLES:
        for units, key in PAPERS:
            yield folder, units, key
