"""Flow: strips from top to bottom, broken into pages.

A strip is a piece of the page's full width that is never cut: a line of a paragraph, a row of a table, a drawing. It
knows its height and how to paint itself; it is painted once its page is known.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from shopdocs.page.items import Frame

HOLLOW_SHARE = 0.4  # of a page: more white than that is much

Paint = Callable[[Frame, float, float], None]


class Strip(Struct):
    """`paint(frame, left, top)` draws it. `before` is white space above it, dropped at the top of a page. `keep` holds
    it on the page of the strip that follows. `head` is repeated above it when it opens a page, and `opening` then
    stands in its place: without the line that parts it from what came before. `again` is set above it where it opens a
    column of several, if there is room; if not, the `again` of that. `parted` tells how many groups of blocks that no
    page holds begin with it, `true_scale` that lengths on it are meant to be measured."""

    height: float
    paint: Paint
    before: float = 0.0
    keep: bool = False
    head: Strip | None = None
    opening: Strip | None = None
    again: Strip | None = None
    parted: int = 0
    true_scale: bool = False


def stacked(strips: list[Strip]) -> float:
    """Height of strips set one under the other."""
    return sum(strip.height + strip.before for strip in strips) - (strips[0].before if strips else 0.0)


def paint_stack(strips: list[Strip], frame: Frame, left: float, top: float) -> None:
    """Paint strips under each other onto a frame, from `top` downwards; points."""
    y = top
    for index, strip in enumerate(strips):
        if index:
            y -= strip.before
        elif strip.opening is not None:
            strip = strip.opening
        frame.true_scale |= strip.true_scale
        strip.paint(frame, left, y)
        y -= strip.height


class Flow:
    """Fills the pages of one document. `open_page` makes a frame; `top` and `bottom` are heights on it. Strips are
    placed first, and painted when all is well: a document is tried in several ways."""

    def __init__(self, open_page: Callable[[], Frame], left: float, top: float, bottom: float) -> None:
        self._open_page = open_page
        self.left = left
        self.top = top
        self.bottom = bottom
        self.frame: Frame | None = None
        self.y = top
        self.empty = True
        self.headed = False  # whether nothing but the title of a document stands over what comes next
        self._placed: list[tuple[Paint, Frame, float]] = []
        self._turned = False
        self.first_end = top  # how high the first page ends that is left
        self.hollow = 0  # pages left with much white
        self.broken = 0  # how often something that belongs together, such as a table, breaks across pages

    @property
    def body(self) -> float:
        """Height of the room for blocks on a page, points."""
        return self.top - self.bottom

    @property
    def room(self) -> float:
        """Height left on this page."""
        return self.y - self.bottom if self.frame is not None else self.body

    @property
    def is_hollow(self) -> bool:
        """Whether much of this page is left."""
        return self.room > self.body * HOLLOW_SHARE

    def new_page(self) -> Frame:
        """Open a page and go on at its top."""
        self._leave()
        self.frame = self._open_page()
        self.y = self.top
        self.empty = True
        return self.frame

    def standing_on(self, frame: Frame) -> int:
        """How many strips of this document are placed on a page."""
        return sum(each is frame for _, each, _ in self._placed)

    def close(self) -> None:
        """The next strip opens a page."""
        self._leave()
        self.frame = None

    def _leave(self) -> None:
        if self.frame is None:
            return
        self.hollow += self.is_hollow
        if not self._turned:
            self._turned, self.first_end = True, self.y

    def place(self, strips: list[Strip]) -> None:
        """Places strips; those tied by `keep` stay together as long as one page can hold them."""
        start = 0
        count = len(strips)
        while start < count:
            end = start
            while strips[end].keep and end + 1 < count:
                end += 1
            chain = strips[start : end + 1] if end > start else [strips[start]]
            self._place_chain(chain)
            start = end + 1

    def _place_chain(self, chain: list[Strip]) -> None:
        first = chain[0]
        height = stacked(chain) if len(chain) > 1 else first.height
        lead = 0.0 if self.empty else first.before
        if self.frame is None or (not self.empty and self.y - lead - height < self.bottom - 0.01):
            self.new_page()
        for strip in chain:
            self._place_one(strip)

    def _place_one(self, strip: Strip) -> None:
        if self.frame is None:
            self.new_page()
        lead = 0.0 if self.empty else strip.before
        if not self.empty and self.y - lead - strip.height < self.bottom - 0.01:
            self.new_page()
            lead = 0.0
        assert self.frame is not None
        self.broken += strip.parted
        self.frame.true_scale |= strip.true_scale
        if self.empty and strip.head is not None:
            self.broken += 1
            self._placed.append((strip.head.paint, self.frame, self.y))
            self.y -= strip.head.height
            self.empty = False
            strip = strip.opening or strip
        elif self.empty or self.headed:
            strip = strip.opening or strip
        self.y -= lead
        self._placed.append((strip.paint, self.frame, self.y))
        self.y -= strip.height
        self.empty = self.headed = False

    def paint(self) -> None:
        """Paints what is placed, in its order."""
        for paint, frame, y in self._placed:
            paint(frame, self.left, y)
        self._placed.clear()
