"""A small invented set that uses every block: a plant stand by an invented maker."""

from __future__ import annotations

import io
from fractions import Fraction

from shopdocs.blocks.drawing import (
    Arrow,
    CentreMark,
    Circle,
    Dimension,
    Drawing,
    FullScale,
    Leader,
    Line,
    Point,
    Polygon,
    Shape,
    Stroke,
    Words,
)
from shopdocs.blocks.sheets import (
    Code,
    CodeText,
    Document,
    Imprint,
    Labels,
    NewPage,
    PieceLabel,
    SideBySide,
    Sticking,
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
    Group,
    Heading,
    Paragraph,
    Row,
    Step,
    Table,
    Weight,
)
from shopdocs.core.display import mixed_number
from shopdocs.core.length import Length
from shopdocs.output.pdf import write_pdf
from shopdocs.page.compose import Composed, compose
from shopdocs.page.paper import paper

IMPRINT = Imprint("Plant stand", "PS", "B", "Slow Plane Shop", "2026-02-11")
ONE = (Fraction(1), Fraction(1))
HOSTILE = '<b>&"../x'


def inch(value: str) -> str:
    return mixed_number(Fraction(value))


def at(x: str, y: str) -> Point:
    return Length.inches(x), Length.inches(y)


def box(x0: str, y0: str, x1: str, y1: str, stroke: Stroke = Stroke.VISIBLE) -> Polygon:
    return Polygon((at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)), stroke)


def front_view() -> Drawing:
    shapes: tuple[Shape, ...] = (
        box("0", "27", "14", "28"),
        box("1", "0", "5/2", "27"),
        box("23/2", "0", "13", "27"),
        Line(at("5/2", "24"), at("23/2", "24")),
        Line(at("1/2", "25"), at("5/2", "25"), Stroke.HIDDEN),
        Line(at("7", "-1"), at("7", "29"), Stroke.CENTRE),
        Words(at("7/4", "12"), "FL", strong=True, boxed=True),
        Leader(at("7", "25"), at("9", "20"), f"rail, {inch('7/8')} thick"),
        Arrow(at("6", "3"), at("6", "8"), "up"),
        Dimension(at("0", "0"), at("1", "0"), "1", "x", -7),
        Dimension(at("1", "0"), at("5/2", "0"), inch("3/2"), "x", -7),
        Dimension(at("5/2", "0"), at("23/2", "0"), "9", "x", -7),
        Dimension(at("23/2", "0"), at("13", "0"), inch("3/2"), "x", -7),
        Dimension(at("13", "0"), at("14", "0"), "1", "x", -7),
        Dimension(at("0", "0"), at("14", "0"), "14", "x", -14),
        Dimension(at("14", "27"), at("14", "28"), "1", "y", 6),
        Dimension(at("14", "24"), at("14", "27"), "3", "y", 6),
        Dimension(at("14", "0"), at("14", "28"), "28", "y", 13),
    )
    return Drawing("Front view", Length.inches(14), Length.inches(28), shapes, clear_mm=18)


def pins(long: str = "150") -> Drawing:
    """A strip 60 mm wide with holes of 5 mm each 40 mm along it, 20 mm from the reference edge."""
    width = Length(long)
    count = int(width.mm // 40)
    holes: list[Shape] = []
    for index in range(count):
        centre = (Length(20 + 40 * index), Length(20))
        holes += [Circle(centre, Length("2.5")), CentreMark(centre, Length(6))]
    outline = Polygon(
        ((Length(0), Length(0)), (width, Length(0)), (width, Length(60)), (Length(0), Length(60))), Stroke.CUT
    )
    edge = Line((Length(0), Length(0)), (width, Length(0)), Stroke.REFERENCE)
    fold = Line((Length(0), Length(40)), (width, Length(40)), Stroke.FOLD)
    return Drawing("pins", width, Length(60), (outline, edge, fold, *holes))


def template(long: str = "150") -> Document:
    block = FullScale("Pins on the rail", pins(long), ("bit 5 mm", "12 mm deep"), "pins")
    return Document("templates", "Drilling templates", "Where do the holes go?", (block,))


def cut_table(rows: int = 40) -> Table:
    columns = (
        Column("Mark", strong=True, share=0.5),
        Column("Piece", share=2),
        Column("Thick", "right", "in"),
        Column("Wide", "right", "in"),
        Column("Long", "right", "in"),
        Column("Pieces", "right"),
    )
    lines = tuple(
        Row(tuple(Cell.of(word) for word in (f"S{i}", "slat", inch("1/2"), inch("9/4"), inch(f"{i}/32"), "1")))
        for i in range(1, rows + 1)
    )
    total = Row((Cell.of("Total"), Cell(), Cell(), Cell(), Cell(), Cell.of(str(rows))), total=True)
    legs = tuple(
        Row(tuple(Cell.of(word) for word in (mark, "leg", "2", "2", "27", "1")), anchor=f"leg-{mark}")
        for mark in ("FL", "FR", "BL", "BR")
    )
    groups = (Group(legs, "Legs", "Mill all four from one board."), Group((*lines, total), "Slats"))
    return Table("cut", columns, groups, ticks=True)


def label(mark: str) -> PieceLabel:
    return PieceLabel(
        mark,
        "PS",
        "leg",
        (f"finished {inch('7/4')} × {inch('7/4')} × 27 in",),
        (f"finished {inch('7/4')}×{inch('7/4')}×27",),
        ("1 RF", "2 RB"),
        "stage 2",
        "not BL: mirror image",
        "not BL",
        (CodeText(f"HTTPS://SHOP.EXAMPLE/R/PS-{mark}"), CodeText(f"PS-{mark}", ("address",))),
        Sticking("face side, outside", "up", "up, face edge", "here", Length(200)),
        f"label-{mark}",
    )


MARKS = ("FL", "FR", "BL", "BR", "RF", "RB", "S1", "S2", "S3", "S4", "S5", "S6")


def labels(sheet: str, used: int = 0, count: int = len(MARKS)) -> Document:
    return Document(
        "labels", "Labels", "Which piece is this?", (Labels(tuple(map(label, MARKS[:count])), sheet, used),)
    )


def words_documents() -> tuple[Document, ...]:
    """Every block but labels and templates."""
    first = Document(
        "title",
        "Plant stand",
        "What am I building, and how big is it?",
        (
            front_view(),
            Facts((("Overall size", ("14 × 14 × 28 in",)), ("Maker", ("Slow Plane Shop",)))),
            Table(
                "contents",
                (Column("Sheet"), Column("Question", share=3), Column("Page", "right")),
                (
                    Group(
                        (
                            Row((Cell.of("Cut list", link="cut"), Cell.of("What do I saw?"), Cell(link="cut-list"))),
                            Row((Cell.of("Not in this set"), Cell.of("?"), Cell(link="nowhere"))),
                        )
                    ),
                ),
            ),
        ),
    )
    second = Document(
        "cut-list",
        "Cut list",
        "What do I saw, and how big?",
        (
            Paragraph(("Saw the long pieces first. Size ", Figure("x", inch("3/4"), Fraction("19.05"), "mm"), " in.")),
            Heading("Members", 2, "cut"),
            cut_table(),
            Paragraph(("Finished sizes.",), Weight.QUIET),
        ),
    )
    third = Document(
        "glue-up",
        "Glue-up",
        "In what order?",
        (
            Heading("Before", 1),
            Bullets((("Dry fit once.",), ("Wax the cauls.",))),
            Caution("Epoxy warms in the cup", "Mix small batches; follow the data sheet."),
            Checklist(
                (
                    Step(("Mix 40 g",), ("open 35 min at 66 °F",), ("0:00",), "mixed at"),
                    Step(("Spread on both tenons",), (), ("4 min",)),
                ),
                "Stage 1",
            ),
            NewPage(),
            SideBySide(
                (
                    (front_view(),),
                    (Paragraph(("Seen from the front.",)), Code("HTTPS://SHOP.EXAMPLE/R/PS-FL", "record of FL")),
                ),
                (1.5, 1),
            ),
            Together((Heading("After", 2), Paragraph(("Scrape the squeeze-out.",)))),
        ),
    )
    return first, second, third


def everything() -> tuple[Document, ...]:
    return (*words_documents(), template(), template("500"), labels("letter-30", 4), labels("a4-21"), labels("cut"))


def composed(
    documents: tuple[Document, ...], key: str = "letter", printer: tuple[Fraction, Fraction] = ONE
) -> Composed:
    return compose(documents, IMPRINT, paper(key), printer)


def pdf_bytes(pages: Composed) -> bytes:
    out = io.BytesIO()
    write_pdf(pages, out)
    return out.getvalue()
