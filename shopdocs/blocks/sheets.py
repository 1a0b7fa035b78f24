"""Documents, labels and the ways blocks are put side by side."""

from __future__ import annotations

from typing import Literal, Union

from msgspec import Struct

from shopdocs.blocks.drawing import Drawing, FullScale
from shopdocs.blocks.text import Bullets, Caution, Checklist, Facts, Figure, Gauge, Heading, Paragraph, Stop, Table
from shopdocs.core.length import Length


class Code(Struct, frozen=True):
    """A QR symbol with `data`; `caption` is set under it."""

    data: str
    caption: str = ""


Way = Literal["", "up", "right"]
FaceMark = Literal["", "loop", "V"]
Side = Literal["", "here", "behind", "up", "down", "left", "right"]


class Sticking(Struct, frozen=True):
    """Where a label is stuck, lying along the grain: `face` in words ("face edge, outside"); `arrow` is the way its
    arrow points ("" for none) and `points` to what ("up, end B"); `face_side` is where the face side lies from there;
    `room` is the width of the face, None where nothing limits it. `mark` is the reference mark that the face carries
    on the wood ("" for a back face or a far edge), `arris` the side of the label on which its arris lies. `is_reversed`
    where the left of the build is on the right of who reads it."""

    face: str
    arrow: Way = ""
    points: str = ""
    face_side: Side = ""
    room: Length | None = None
    mark: FaceMark = ""
    arris: Literal["up", "down"] = "up"
    is_reversed: bool = False


class CodeText(Struct, frozen=True):
    """One wording of what a code holds; `lost` are the kinds of what it leaves out of what the label says."""

    text: str
    lost: tuple[str, ...] = ()


class PieceLabel(Struct, frozen=True):
    """What one label carries. `mark` is the loudest thing on it. `sizes` say which they are ("finished ³⁄₄ × 2 × 9 in",
    "with joinery 10 in long"), and which faces taper; `short_sizes` are the same with less room. `meets` are short
    ("1 FL": joint 1, with FL); `stage` names all stages where glue comes to the piece ("stages 1, 3"); `warning` is a
    look-alike note. `codes` are wordings of its code, the whole one first. Where not all has room the page leaves out
    words in the order of LABEL_LOSS, and tells it."""

    mark: str
    build_mark: str
    name: str
    sizes: tuple[str, ...] = ()
    short_sizes: tuple[str, ...] = ()
    meets: tuple[str, ...] = ()
    stage: str = ""
    warning: str = ""
    short_warning: str = ""
    codes: tuple[CodeText, ...] = ()
    sticking: Sticking | None = None
    anchor: str = ""
    figures: tuple[Figure, ...] = ()  # the numbers in `sizes`


# What a label or its code leaves out, the first first, where not all has room; what stands free beside the mark stays.
LABEL_LOSS = ("stage", "mates", "name", "warning", "sticking", "sizes")


class Labels(Struct, frozen=True):
    """Labels on the label sheet named `sheet` (layouts/label_sheets.toml), the first `used` places left empty."""

    labels: tuple[PieceLabel, ...]
    sheet: str
    used: int = 0


class SideBySide(Struct, frozen=True):
    """Blocks in columns of equal height, e.g. a drawing beside a code. `shares` are widths in parts. `larger` say
    the same with larger pictures, the largest first, for where a page has room."""

    columns: tuple[tuple[Block, ...], ...]
    shares: tuple[float, ...]
    larger: tuple[SideBySide, ...] = ()


class InColumns(Struct, frozen=True):
    """Blocks in `count` columns of about equal height, read down the first and then down the second; what a page has no
    room for goes on in as many columns on the next."""

    blocks: tuple[Block, ...]
    count: int = 2


class Together(Struct, frozen=True):
    """Blocks that must not be parted by a page break. Neighbours that all `move` may change places where that spares a
    page; `narrow` are the same for a column of half the page, where two may stand beside each other, `closer` are other
    forms of the same that may take less height."""

    blocks: tuple[Block, ...]
    moves: bool = False
    narrow: tuple[Block, ...] = ()
    closer: tuple[tuple[Block, ...], ...] = ()


class Marked(Struct, frozen=True):
    """A block with a bar beside it at the margin: it is other than in the revision before."""

    block: Block


class NewPage(Struct, frozen=True):
    """What follows begins on a page of its own."""


class TitlePage(Struct, frozen=True):
    """What follows begins on a page of its own, under the document's title; what comes before stands at the foot of the
    page of the document before."""


Block = Union[
    Heading,
    Paragraph,
    Facts,
    Bullets,
    Caution,
    Stop,
    Gauge,
    Checklist,
    Table,
    Drawing,
    FullScale,
    Code,
    Labels,
    SideBySide,
    InColumns,
    Together,
    Marked,
    NewPage,
    TitlePage,
]


class Document(Struct, frozen=True):
    """One document of the set. `name` is its short name in file names and `--only`; `question` is what it answers at
    the bench, set as a subtitle on its first page. `runs_on` is whether it may begin on the last page of the one before
    and go on over pages of its own; others share a page only whole. `instead` are the same blocks in another order, set
    where it spares a page; so are those `ahead`, of which some stand before the title, parted by a TitlePage."""

    name: str
    title: str
    question: str
    blocks: tuple[Block, ...]
    runs_on: bool = False
    instead: tuple[Block, ...] = ()
    ahead: tuple[Block, ...] = ()


class Imprint(Struct, frozen=True):
    """What the line at the head of every page and the PDF's metadata say of the build. `check` is the word for what it
    was made from (core/check_word.py); without a `date` a line is left to write one. A `licence` stands at the foot of
    every page."""

    title: str
    mark: str
    revision: str
    maker: str
    date: str
    check: str = ""
    licence: str = ""
