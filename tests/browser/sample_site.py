"""A made-up bench whose record pages hold every kind of block, long words, and names that mean harm."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.drawing import Dimension, Drawing, FullScale, Line, Polygon, Stroke
from shopdocs.blocks.sheets import (
    Block,
    Code,
    Document,
    Imprint,
    InColumns,
    Labels,
    Marked,
    NewPage,
    PieceLabel,
    SideBySide,
    TitlePage,
    Together,
)
from shopdocs.blocks.text import (
    Bullets,
    Caution,
    Cell,
    Checklist,
    Column,
    Facts,
    Figure,
    Gauge,
    Group,
    Heading,
    Paragraph,
    Row,
    Step,
    Stop,
    Table,
    Weight,
    text,
)
from shopdocs.core.length import Length
from shopdocs.core.slug import record_anchor, record_slug

IMPRINT = Imprint("Hall bench", "HB", "A", "Ada Quill", "2031-04-01")
MARKS = ("HB-FL", "HB-FR", "HB-fl", "HB-木", "HB-A LONG MARK WITHOUT/AN END", "HB-" + "M" * 70)
HARM = (
    '<b>&"../x',
    "</style><script>alert(1)</script>",
    "javascript:alert(1)",
    "' onmouseover='alert(1)",
    '"><img src=x onerror=alert(1)>',
    "{{ 7 * 7 }}{% include 'x' %}",
    "]]><!--",
    "\u202egnol",
    "a\x00b\ud800",
    "W" * 120,
    "1³⁄₄ × 3¹⁄₂",
    "9" * 100 + " mm " + "¹" * 80 + "⁄" + "₁" * 80 + " in",
)


def leg_length() -> Figure:
    return Figure("leg · length", "17¹³⁄₁₆", Fraction(285, 16) * Fraction(254, 10), "mm")


def drawing(name: str, long: int = 1000) -> Drawing:
    zero, wide, high = Length(0), Length(long), Length(90)
    shapes = (
        Polygon(((zero, zero), (wide, zero), (wide, high), (zero, high)), fill="paper"),
        Line((zero, zero), (wide, zero), Stroke.REFERENCE),
        Dimension((zero, zero), (wide, zero), "39³⁄₈", "x", -8.0),
    )
    return Drawing(name, wide, high, shapes, None, 12.0)


def _holes() -> Table:
    """Four short columns and one of running words, as a record has them."""
    columns = (Column("Face"), Column("Along", "right", "in"), Column("Across", "right", "in"), Column("Bit"))
    cells = (Cell.of("end A"), Cell.of("17¹³⁄₁₆"), Cell.of("⁷⁄₈"), Cell.of("Ø ⁷⁄₆₄ in, ¹⁄₂ in deep, countersunk"))
    return Table("holes", columns, (Group((Row(cells),)),))


def every_block(word: str) -> tuple[Block, ...]:
    """One block of each kind with `word` wherever a word may stand."""
    some = text(word, leg_length())
    rows = (
        Row((Cell.of(word, link="nowhere"), Cell(some), Cell.of("−3"), Cell.of(word), Cell()), anchor=word),
        Row((Cell.of("HB-FR", link=record_anchor("HB-FR")), Cell.of("x"), Cell(), Cell(some, strong=True), Cell(some))),
        Row((Cell.of("total"),), total=True),
    )
    columns = tuple(Column(title, unit="in") for title in (word, "From face edge", "Depth", "Bit", ""))
    label = PieceLabel(word, word, word, (word,), (word,), (word,), word, word)
    return (
        Heading(word, 1, f"chapter {word}"),
        Heading(word, 2),
        Paragraph(some),
        Paragraph(some, Weight.STRONG),
        Paragraph(some, Weight.QUIET),
        Facts(((word, some), ("Stage", text("2")), ("Points up", text("end A"))), anchor="facts"),
        Bullets((some, text(word))),
        Caution(word, word),
        Stop(word, word),
        Gauge(some, 0.5),
        Checklist((Step(some, some, some, word), Step(text("Dry-fit"))), word),
        Table(word, columns, (Group(rows, word, word),), ticks=True),
        Table("meets", (Column("Piece"), Column(word)), (Group((Row((Cell.of("FL", link="facts"), Cell.of("1"))),)),)),
        _holes(),
        drawing(word),
        FullScale(word, drawing(word), (word,), "template"),
        Code(word, word),
        Labels((label,), "letter-30"),
        Marked(Paragraph(some)),
        NewPage(),
        TitlePage(),
        SideBySide(((Paragraph(text("left")), drawing("left")), (Together((Paragraph(text("right")),)),)), (1.0, 2.0)),
        InColumns((Paragraph(text("first column")), Paragraph(text("second column")))),
    )


def pages() -> tuple[Document, ...]:
    plain = [Document(record_slug(m), m, "leg", every_block("rail into leg, front left")) for m in MARKS]
    harmful = [Document(record_slug(f"HB-{word}"), f"HB-{word}", word, every_block(word)) for word in HARM]
    return (*plain, *harmful)


def index() -> Document:
    """Links to one piece only, so that the pages have to list all of them."""
    link = Cell.of("front left leg", link=record_anchor("HB-FL"))
    table = Table("also", (Column("Piece"),), (Group((Row((link,)), Row((Cell.of("template", link="template"),)))),))
    return Document("index", "Hall bench", "Which piece is this?", (table, drawing("From the front", 1200)))
