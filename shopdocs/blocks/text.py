"""Words, figures and tables: what a document says, without any paper.

Text is a tuple of runs. A run is a plain string or a `Figure`, a number that stands on a sheet and still knows its
exact value and the source line it came from; that is how every printed figure can be listed for checks from outside.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from shopdocs.core.problems import NOWHERE, Position

if TYPE_CHECKING:
    from shopdocs.blocks.drawing import Drawing


class Figure(Struct, frozen=True):
    """A number on a sheet. `name` says what it is ("leg · length"), `shown` is what is printed, `value` the exact value
    in `unit` (millimetres for a length), `at` where in the source it comes from."""

    name: str
    shown: str
    value: Fraction
    unit: str
    at: Position = NOWHERE


Run = str | Figure
Text = tuple[Run, ...]


def text(*runs: Run) -> Text:
    """Words and figures as one text, in this order."""
    return runs


def plain(content: Text) -> str:
    """The text as it is printed."""
    return "".join(run.shown if isinstance(run, Figure) else run for run in content)


def figures_of(content: Text) -> tuple[Figure, ...]:
    """The figures in a text, in reading order."""
    return tuple(run for run in content if isinstance(run, Figure))


class Weight(StrEnum):
    """How loud a paragraph is set."""

    NORMAL = "normal"
    STRONG = "strong"
    QUIET = "quiet"  # smaller, for notes under a table; still black
    FINE = "fine"  # the smallest, for what is not read at the bench


class Heading(Struct, frozen=True):
    """`level` 1 opens a chapter of the outline, 2 a section. `anchor` is a link target, unique in the set."""

    text: str
    level: int = 1
    anchor: str = ""


class Paragraph(Struct, frozen=True):
    """Running text, broken into lines by the page."""

    text: Text
    weight: Weight = Weight.NORMAL


class Facts(Struct, frozen=True):
    """Short label and value pairs, set side by side where there is room ("Overall size  44 × 15 × 18 in")."""

    pairs: tuple[tuple[str, Text], ...]
    anchor: str = ""


class Bullets(Struct, frozen=True):
    """A list of short points without an order."""

    items: tuple[Text, ...]


class Caution(Struct, frozen=True):
    """A short warning where the hurt would happen; framed, with a drawn triangle, never told by colour alone."""

    title: str
    text: str


class Step(Struct, frozen=True):
    """One line of a checklist: a box to tick, the words, an optional quieter second line, an optional value at the
    right edge (minutes, a time of day to fill in)."""

    text: Text
    detail: Text = ()
    right: Text = ()
    blank: str = ""  # a line to write on, with these words before it ("mixed at")


class Checklist(Struct, frozen=True):
    """Steps with a box each to tick, in order, under an optional title. `large` is set to be read at arm's length, with
    glue on the hands. One `works_by` the figures in its quieter lines: the digits of their fractions are 2 mm high."""

    steps: tuple[Step, ...]
    title: str = ""
    large: bool = False
    works_by: bool = False


class Stop(Struct, frozen=True):
    """A bar across the page, white on black: what must be done before anything below it, and why."""

    title: str
    text: str = ""


class Gauge(Struct, frozen=True):
    """How much of a limit is used: a bar, `used` of it dark. `words` say the same in figures beside it ("14 min of
    60"); `used` above 1 runs over the end of the bar."""

    words: Text
    used: float


Align = Literal["left", "right", "centre"]


class Column(Struct, frozen=True):
    """`share` is the column's part of the width that is left after every column got its widest word. One for pictures
    is `picture_mm` wide, and in no file of the table."""

    title: str
    align: Align = "left"
    unit: str = ""
    share: float = 1.0
    strong: bool = False
    picture_mm: float = 0.0


class Cell(Struct, frozen=True):
    """A cell with a link and no text shows the page number its link leads to (contents). The text of one with a drawing
    is set under it, small."""

    text: Text = ()
    link: str = ""  # an anchor in the same set, or a document's name
    strong: bool = False
    drawing: Drawing | None = None

    @staticmethod
    def of(*runs: Run, link: str = "", strong: bool = False) -> Cell:
        """A cell of words and figures; `link` is the anchor that a tap on it leads to."""
        return Cell(runs, link, strong)


class Row(Struct, frozen=True):
    """Cells from left to right; `anchor` is the name that links lead to, `note` stands behind their words or under
    them, small."""

    cells: tuple[Cell, ...]
    anchor: str = ""
    total: bool = False  # set off by a rule above, in strong type
    note: str = ""


class Group(Struct, frozen=True):
    """Rows that belong together; `title` is set over them, hairlines between groups."""

    rows: tuple[Row, ...]
    title: str = ""
    note: str = ""


class Table(Struct, frozen=True):
    """`ticks` gives every row that is no total a box to tick at its start. `name` names its CSV file. A table of one
    group that `folds` may stand on paper with two rows beside each other, the first half of them at the left. One that
    is `fitted` has its columns of words as wide as makes it lowest; the shares are where that begins. `larger` are the
    same with larger pictures, the largest first, for where the page has room."""

    name: str
    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    ticks: bool = False
    folds: bool = False
    fitted: bool = False
    larger: tuple[Table, ...] = ()
