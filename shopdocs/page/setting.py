"""One document on its pages: every block as strips, in the order of the document."""

from __future__ import annotations

import weakref
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import groupby, takewhile

from shopdocs.blocks.drawing import Drawing, FullScale
from shopdocs.blocks.sheets import (
    Block,
    Code,
    Document,
    InColumns,
    Labels,
    Marked,
    NewPage,
    SideBySide,
    TitlePage,
    Together,
)
from shopdocs.blocks.text import Bullets, Caution, Checklist, Facts, Gauge, Heading, Paragraph, Stop, Table
from shopdocs.blocks.walk import walk
from shopdocs.page import qr
from shopdocs.page.bars import barred, gauge_strips, stop_strips
from shopdocs.page.changing_places import order_of
from shopdocs.page.columns import in_columns
from shopdocs.page.drawings import Pictures
from shopdocs.page.flow import Flow, Strip, paint_stack, stacked
from shopdocs.page.items import Frame, Line, Symbol, TextRun, mm
from shopdocs.page.label_layout import label_pages
from shopdocs.page.paper import Paper
from shopdocs.page.prose import (
    PARTED,
    bullet_strips,
    caution_strips,
    checklist_strips,
    fact_strips,
    heading_strips,
    lines_strip,
    paragraph_strips,
    parting_line,
)
from shopdocs.page.tables import table_strips
from shopdocs.page.tiles import full_scale_strips
from shopdocs.page.typesetter import Typesetter

HEADER_ROOM = mm(8.0)  # from the top margin to where text may begin
COLUMN_GAP = 18.0
CODE_MM = 22.0
JOIN_AIR = 30.0
ALONE = 4  # times as bad as a part that goes on overleaf is a heading that is left without it
RUN_ON_SHARE = 0.12  # of a page; less than this of a document, its title too, does not begin under another
REST_SHARE = 0.06  # of a page; no document that begins under another ends with less than this on a page of its own
TAIL_SHARE = 0.2  # of a page; a last page with less than this is nearly empty
WHOLE_SHARE = 0.3  # of a page; a table no taller is not parted
ASKED_GAP = 14.0  # between a title and its question, where one line has room for both
TIED_AIR = 20.0  # at most above a heading, or above what follows it


class Means:
    """What a document is set with, and what is laid out of it already: it is tried in several ways, and most of its
    blocks stand alike in many of them. Kept as long as the document is at hand."""

    def __init__(self, paper: Paper, printer: tuple[Fraction, Fraction], ts: Typesetter) -> None:
        self.paper, self.printer, self.ts = paper, printer, ts
        self.pictures = Pictures(ts)
        self._laid: dict[tuple[object, ...], tuple[Sequence[Block], list[Strip]]] = {}
        self._labels: dict[int, tuple[Labels, list[tuple[Paper, Frame]]]] = {}

    def forget(self) -> None:
        """Let go of what is laid out."""
        self.pictures = Pictures(self.ts)
        self._laid.clear()
        self._labels.clear()

    def laid(self, where: str, blocks: Sequence[Block], lay_out: Callable[[], list[Strip]]) -> list[Strip]:
        """The strips that `lay_out` makes of the blocks in such a place, with the white and the type of now. Nothing
        may change them any more."""
        key = (where, self.ts.air, self.ts.table, *map(id, blocks))
        if key not in self._laid:
            self._laid[key] = blocks, lay_out()  # the blocks too, so that no others take their numbers
        return self._laid[key][1]

    def label_pages(self, block: Labels) -> list[tuple[Paper, Frame]]:
        """The sheets of labels, which stand alike however the document is set. Nothing may change them any more."""
        if id(block) not in self._labels:
            self._labels[id(block)] = block, label_pages(block, self.paper, self.ts)
        return self._labels[id(block)][1]


class Setting:
    """Sets one document; with what may change places so that little stands on its last page where that is to be
    `low`."""

    def __init__(self, document: Document, means: Means, low: bool = False) -> None:
        self.document = document
        self.low = low
        self.paper = paper = means.paper
        self.printer = means.printer
        self.ts = means.ts
        self.means = means
        self.frames: list[Frame] = []
        self._begun: tuple[Frame, float] | None = None  # the page of another on which it begins, and how high
        self.room = paper.text_width
        top = paper.height.points - paper.top.points - HEADER_ROOM
        own = weakref.ref(self)  # a setting that is only tried goes at once, with its pages

        def new_frame() -> Frame:
            setting = own()
            assert setting is not None
            return setting._frame(paper)

        self.flow = Flow(new_frame, paper.left.points, top, paper.bottom.points)

    @property
    def ends_nearly_empty(self) -> bool:
        """Whether the last of several pages has next to nothing, where rows and blocks end as it happened."""
        pages = len(self.frames) + (self._begun is not None)
        if pages < 2 or not self.frames or any(frame.bare or frame.true_scale for frame in self.frames):
            return False
        return self.flow.room > self.flow.body * (1.0 - TAIL_SHARE)

    @property
    def ends_hollow(self) -> bool:
        """Whether the last page has much white that another document may still have."""
        frame = self.flow.frame
        return frame is not None and not frame.bare and not frame.true_scale and self.flow.is_hollow

    def _frame(self, paper: Paper) -> Frame:
        frame = Frame(paper.width.points, paper.height.points, self.document.name, self.document.title)
        frame.exact_size = (paper.width, paper.height)
        if not self.frames and self._begun is None:
            self._begin(frame, frame.height)
        self.frames.append(frame)
        return frame

    def _begin(self, frame: Frame, y: float) -> None:
        """The document's outline entry, and its name as an anchor."""
        frame.outline.append((0, self.ts.clean(self.document.title), y))
        frame.anchors.append((self.document.name, y))

    def run(self) -> None:
        """Sets all blocks from a new page."""
        blocks = self.document.blocks
        opening = _opening(self.document, self.room, self.ts)
        if not blocks or not self._stands_alone(blocks, stacked(opening)):
            self.flow.place(opening)
            self.flow.headed = True
        for group in self._groups(blocks):
            self._place(group)

    def share_of(self, block: Together, in_column: bool) -> float:
        """How much of a page's height a block takes, across the page or in its narrow form in one of two columns."""
        room = (self.room - COLUMN_GAP) / 2 if in_column else self.room
        inner = block.narrow if in_column else block.blocks
        return stacked(self._with_air([strip for one in inner for strip in self._strips(one, room)])) / self.flow.body

    def _groups(self, blocks: Sequence[Block]) -> Iterator[list[Block]]:
        """What goes together, those that may change places in the order that suits the page at hand."""
        for moves, group in groupby(_tied(blocks), _moves):
            groups = list(group)
            yield from self._in_order(groups) if moves else groups

    def run_on(self, before: Flow) -> bool:
        """Begins the document under the one before and goes on over pages of its own where it may; whether enough of it
        stands there. Nothing is added to the page of the one before until `opened`."""
        if not self.document.blocks or not self._may_join(before):
            return False
        assert before.frame is not None
        start = before.y - JOIN_AIR * self.ts.air
        self.flow.frame, self.flow.y, self.flow.empty = before.frame, start, False
        ahead = next((i for i, block in enumerate(self.document.blocks) if isinstance(block, TitlePage)), 0)
        if ahead:
            return self._run_ahead(ahead)
        self._begun = (before.frame, start)
        self.flow.place(_opening(self.document, self.room, self.ts))
        self.flow.headed = True
        least: float | None = start - self.flow.body * RUN_ON_SHARE
        shown = False  # whether more than a first paragraph stands on the page of the other
        for number, group in enumerate(self._groups(self.document.blocks)):
            if self.flow.frame is before.frame and any(isinstance(block, FullScale) for block in walk(group)):
                self.flow.new_page()  # what is cut out stands on no page of another
            stood = self.flow.standing_on(before.frame)
            self._place(group)
            moved_on = self.flow.frame is not before.frame
            opening = not number and all(isinstance(block, (Heading, Paragraph)) for block in group)
            shown = shown or (not opening and self.flow.standing_on(before.frame) > stood)
            if moved_on and (
                not self.document.runs_on or (least is not None and (self.flow.first_end > least or not shown))
            ):
                return False
            least = None if moved_on else least
        return not self._leaves_a_rest

    def _run_ahead(self, count: int) -> bool:
        """Sets so many blocks on the page at hand, then title and all others from a new page; whether they had room."""
        page = self.flow.frame
        for group in _tied(self.document.blocks[:count]):
            self._place(group)
        if self.flow.frame is not page:
            return False
        self.flow.close()
        self.flow.place(_opening(self.document, self.room, self.ts))
        self.flow.headed = True
        for group in self._groups(self.document.blocks[count + 1 :]):
            self._place(group)
        return True

    @property
    def _leaves_a_rest(self) -> bool:
        """Whether so little stands on the last page that one would overlook it over the document that follows there."""
        last = self.frames[-1] if self.frames else None
        if last is None or last.bare or last.true_scale or self.flow.frame is not last:
            return False
        return self.flow.body - self.flow.room < self.flow.body * REST_SHARE

    def opened(self) -> None:
        """Adds title, anchor and a line above it to the page on which a document that runs on begins; nothing where its
        title stands on a page of its own."""
        if self._begun is None:
            return
        frame, y = self._begun
        self._begin(frame, y)
        frame.title = f"{frame.title}, {self.document.title}"
        above = y + JOIN_AIR * self.ts.air / 2
        frame.items.append(Line(self.flow.left, above, self.flow.left + self.room, above, self.ts.style.hair))

    def _may_join(self, before: Flow) -> bool:
        """Whether this document and the one before are such that they may share a page at all."""
        if before.frame is None or before.frame.bare or before.frame.true_scale:
            return False
        blocks = self.document.blocks
        return not any(isinstance(block, (NewPage, Labels)) for block in blocks) and not isinstance(
            blocks[0], FullScale
        )

    def _stands_alone(self, blocks: Sequence[Block], opening: float) -> bool:
        """Whether the document begins without its title: label sheets have no room for one, and templates whose sheets
        would be more or smaller under it say in their own headings what they are."""
        run = list(takewhile(lambda block: isinstance(block, FullScale), blocks))
        if not run:
            return isinstance(blocks[0], Labels)
        body = self.flow.body
        under = self._full_scale(run, self.room, body - opening, body)
        alone = self._full_scale(run, self.room, body, body)
        fits = under[0].height + under[0].before <= body - opening
        return len(under) > len(alone) or not fits

    def _full_scale(self, run: Sequence[Block], room: float, first_room: float, body: float) -> list[Strip]:
        blocks = [block for block in run if isinstance(block, FullScale)]
        return full_scale_strips(blocks, room, first_room, body, self.printer, self.ts)

    def _in_order(self, groups: list[list[Block]]) -> list[list[Block]]:
        """Groups that may change places, in the order that takes few pages from here on."""
        laid = [self.means.laid("group", group, partial(self._group_strips, group)) for group in groups]
        heights = [stacked(strips) + strips[0].before for strips in laid]
        order = order_of(heights, self.flow.room, self.flow.body + min(strips[0].before for strips in laid), self.low)
        return [groups[i] for i in order]

    def _place(self, group: list[Block]) -> None:
        first = group[0]
        if isinstance(first, NewPage):
            self.flow.close()
        elif isinstance(first, Labels):
            for stock, made in self.means.label_pages(first):
                frame = self._frame(stock)
                frame.items += made.items
                frame.anchors += made.anchors
                frame.bare, frame.over = made.bare, made.over
            self.flow.close()
        elif any(
            isinstance(block, (FullScale, InColumns)) for block in walk(group)
        ):  # these depend on the room that is left
            self.flow.place(self._group_strips(group))
        else:
            self.flow.place(self.means.laid("group", group, lambda: self._group_strips(group)))

    def _group_strips(self, group: Sequence[Block]) -> list[Strip]:
        strips: list[Strip] = []
        for full_scale, run in groupby(group, lambda block: isinstance(block, FullScale)):
            above = stacked(strips) + 2 * TIED_AIR if strips else 0.0
            if full_scale:
                strips += self._full_scale(list(run), self.room, self.flow.room - above, self.flow.body - above)
                continue
            for block in run:
                above = stacked(strips) + 2 * TIED_AIR if strips else 0.0
                strips += self._strips(block, self.room, above)
        return self._with_air(strips)

    def _with_air(self, strips: list[Strip]) -> list[Strip]:
        for strip in strips:
            strip.before *= self.ts.air
        return strips

    def _strips(self, block: Block, room: float, above: float = 0.0) -> list[Strip]:
        """`above` is the height of headings that stay with the block."""
        ts, body = self.ts, self.flow.body - above
        if isinstance(block, Heading):
            return heading_strips(block, room, ts)
        if isinstance(block, Paragraph):
            return paragraph_strips(block, room, ts)
        if isinstance(block, Facts):
            return fact_strips(block, room, ts)
        if isinstance(block, Bullets):
            return bullet_strips(block, room, ts)
        if isinstance(block, Caution):
            return caution_strips(block, room, ts)
        if isinstance(block, Stop):
            return stop_strips(block, room, ts)
        if isinstance(block, Gauge):
            return gauge_strips(block, room, ts)
        if isinstance(block, Checklist):
            return checklist_strips(block, room, ts)
        if isinstance(block, Table):
            return _whole(table_strips(block, room, ts), self.flow.body * WHOLE_SHARE)
        if isinstance(block, Drawing):
            return self.means.pictures.strips(block, room, body)
        if isinstance(block, FullScale):
            return self._full_scale((block,), room, self.flow.room - above, body)
        if isinstance(block, Code):
            return code_strips(block, room, ts)
        if isinstance(block, SideBySide):
            return self._side_by_side(block, room)
        if isinstance(block, InColumns):
            width = (room - COLUMN_GAP * (block.count - 1)) / block.count
            strips = self._with_air([strip for inner in block.blocks for strip in self._in_column(inner, width)])
            left = self.flow.room - above if not self.flow.empty else body
            found = in_columns(strips, left, body, (width, COLUMN_GAP, block.count), 14.0)
            for rest in found[1:]:
                rest.parted += 1
            return found
        if isinstance(block, Marked):
            return barred(self._strips(block.block, room, above))
        if isinstance(block, Together):
            strips = [strip for inner in block.blocks for strip in self._strips(inner, room)]
            if stacked(strips) <= body:  # too tall for any page: flows on, as its blocks would by themselves
                for strip in strips[:-1]:
                    strip.keep = True
            elif strips:
                head = self._head(strips, body)
                alone = not head and strips[0].height < max(strip.height for strip in strips)
                strips[0].parted += ALONE if alone else 1
                for strip in head:  # a heading is not left behind at the foot of the page before
                    strip.keep = True
            return strips
        return []

    def _in_column(self, block: Block, room: float) -> list[Strip]:
        """A block in columns that it may go on through."""
        if isinstance(block, Checklist):
            return checklist_strips(block, room, self.ts, in_columns=True)
        strips = self._strips(block, room)
        for strip in strips if isinstance(block, Table) else ():
            strip.again = strip.head  # of a table that goes on in the next column as on the next page
        return strips

    @staticmethod
    def _head(strips: list[Strip], body: float) -> list[Strip]:
        """The strips before the tallest, where they fit on a page with it."""
        tallest = max(range(len(strips)), key=lambda k: strips[k].height)
        return strips[:tallest] if stacked(strips[: tallest + 1]) <= body else []

    def _side_by_side(self, block: SideBySide, room: float) -> list[Strip]:
        """Columns as one strip; one under the other where they are taller than a page or too narrow."""
        inner = room - COLUMN_GAP * (len(block.columns) - 1)
        shares = sum(block.shares)
        widths = [inner * share / shares for share in block.shares]
        columns = [
            self._with_air([strip for one in column for strip in self._strips(one, width)])
            for column, width in zip(block.columns, widths, strict=True)
        ]
        height = max((stacked(column) for column in columns), default=0.0)
        if height > self.flow.body:
            return [strip for column in block.columns for one in column for strip in self._strips(one, room)]

        def paint(frame: Frame, left: float, top: float) -> None:
            x = left
            for column, width in zip(columns, widths, strict=True):
                paint_stack(column, frame, x, top)
                x += width + COLUMN_GAP

        true_scale = any(strip.true_scale for column in columns for strip in column)
        plain = Strip(height, paint, before=14.0, true_scale=true_scale)
        chapters = [column[0] for column in columns if column and column[0].opening and column[0].head is None]
        if not chapters:
            return [plain]

        def parted(frame: Frame, left: float, top: float) -> None:
            parting_line(frame, left, top, room, ts)
            paint(frame, left, top)

        ts = self.ts
        return [Strip(height, parted, before=PARTED, opening=plain, true_scale=true_scale)]


def _moves(group: list[Block]) -> bool:
    """Whether a group is one block that may change places with others."""
    return len(group) == 1 and isinstance(group[0], Together) and group[0].moves


def _whole(strips: list[Strip], tallest: float) -> list[Strip]:
    """The strips tied to each other where they are no taller than that together."""
    if stacked(strips) <= tallest:
        for strip in strips[:-1]:
            strip.keep = True
    return strips


def _tied(blocks: Sequence[Block]) -> list[list[Block]]:
    """A heading goes with what follows it, so that it never ends a page; templates go together, to share sheets."""
    groups: list[list[Block]] = []
    for block in blocks:
        last = groups[-1][-1] if groups else None
        headed = isinstance(last, Heading) and not isinstance(block, (NewPage, Labels))
        if headed or (isinstance(last, FullScale) and isinstance(block, FullScale)):
            groups[-1].append(block)
        else:
            groups.append([block])
    return groups


def _opening(document: Document, room: float, ts: Typesetter) -> list[Strip]:
    """Title and question, at the top of the document's first page."""
    style = ts.style
    title = ts.clean(document.title)
    size = ts.shrunk(title, "bold", style.title, room, style.chapter)
    lines = ts.lines(title, "bold", size, room, 4)
    beside = ts.width(title, "bold", size) + ASKED_GAP
    if document.question and beside + ts.width(document.question, "regular", style.question) <= room:
        return [_headed(lines[0], size, ts.clean(document.question), beside, style.question)]
    strips = [lines_strip(lines, "bold", size, size * 1.12)]
    if document.question:
        asked = ts.lines(ts.clean(document.question), "regular", style.question, room, 6)
        strips.append(lines_strip(asked, "regular", style.question, style.question * 1.3, before=1.0, after=4.0))
    strips[0].keep = True
    return strips


def _headed(title: str, size: float, asked: str, beside: float, small: float) -> Strip:
    """A title with its question on the same line."""
    base = size * 1.12 * 0.78

    def paint(frame: Frame, left: float, top: float) -> None:
        frame.items.append(TextRun(left, top - base, "bold", size, title))
        frame.items.append(TextRun(left + beside, top - base, "regular", small, asked))

    return Strip(size * 1.12 + 4.0, paint, keep=True)


def code_strips(code: Code, room: float, ts: Typesetter) -> list[Strip]:
    """A QR symbol at the left with its caption under it."""
    try:
        side = qr.side_for(code.data, CODE_MM, room)
    except ValueError as failure:
        ts.note(f"code {code.caption or code.data[:40]}: {failure}; left out")
        return []
    if side is None:
        ts.note(f"code {code.caption or code.data[:40]}: no room for readable modules; left out")
        return []
    rows = qr.modules(code.data)
    module = side / len(rows)
    quiet = qr.QUIET * module
    size = ts.style.quiet
    lead = size * 1.25
    x_in = min(quiet, max(0.0, room - side))
    caption = ts.lines(ts.clean(code.caption), "regular", size, max(room - x_in, side), 6) if code.caption else []
    height = quiet + side + quiet + lead * len(caption)

    def paint(frame: Frame, left: float, top: float) -> None:
        frame.items.append(Symbol(left + x_in, top - quiet - side, module, rows))
        for index, line in enumerate(caption):
            y = top - 2 * quiet - side - lead * index - lead * 0.78
            frame.items.append(TextRun(left + x_in, y, "regular", size, line))

    return [Strip(height, paint, before=8.0)]
