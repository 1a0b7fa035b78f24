"""Documents, labels and the ways blocks are put side by side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Union

from shopdocs.blocks.drawing import Drawing, FullScale
from shopdocs.blocks.text import Bullets, Caution, Checklist, Facts, Figure, Heading, Paragraph, Table


@dataclass(frozen=True, slots=True)
class Code:
    """A QR symbol with `data`; `caption` is set under it."""

    data: str
    caption: str = ""


@dataclass(frozen=True, slots=True)
class PieceLabel:
    """What one label carries. `mark` is the loudest thing on it. `up` names what points up along the arrow ("end B",
    "face side", or "" for no arrow). `saw` is what is sawn where that is more than `size` ("saw 41 in long"). `meets`
    are short ("1 FL": joint 1, with FL); `stage` is short ("stage 1"), `stages` names all stages where glue comes to
    the piece more than once ("stages 1, 3"); `warning` is a look-alike note. Where not all has room
    the page leaves out the name first, then the stage, the mates, what points up, the warning."""

    mark: str
    build_mark: str
    name: str
    size: str
    up: str
    meets: tuple[str, ...]
    stage: str
    warning: str
    code: str
    anchor: str = ""
    figures: tuple[Figure, ...] = ()  # the numbers in `size` and `saw`
    saw: str = ""
    stages: str = ""
    short_warning: str = ""  # where the whole one has no room; "" for none
    short_code: str = ""  # for labels too small for `code`; "" where that is an address
    short_size: str = ""  # without the unit, for labels too narrow for `size`
    short_saw: str = ""
    short_meets: tuple[str, ...] = ()  # the other pieces alone


@dataclass(frozen=True, slots=True)
class Labels:
    """Labels on the label sheet named `sheet` (layouts/label_sheets.toml), the first `used` places left empty."""

    labels: tuple[PieceLabel, ...]
    sheet: str
    used: int = 0


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Blocks in columns of equal height, e.g. a drawing beside a code. `shares` are widths in parts."""

    columns: tuple[tuple[Block, ...], ...]
    shares: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Together:
    """Blocks that must not be parted by a page break."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class NewPage:
    pass


Block = Union[
    Heading, Paragraph, Facts, Bullets, Caution, Checklist, Table, Drawing, FullScale, Code, Labels, SideBySide,
    Together, NewPage,
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Document:
    """One document of the set. `name` is its short name in file names and `--only`; `question` is what it answers at
    the bench, set as a subtitle on its first page."""

    name: str
    title: str
    question: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Imprint:
    """What the line at the head of every page and the PDF's metadata say of the build. `check` is the word for what it
    was made from (core/check_word.py); without a `date` a line is left to write one."""

    title: str
    mark: str
    revision: str
    maker: str
    date: str
    check: str = ""
