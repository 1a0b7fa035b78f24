"""The list of all figures, against values worked out by hand from the definition of the inch (25.4 mm)."""

from __future__ import annotations

import json
from fractions import Fraction

from shopdocs.blocks.drawing import Dimension, Drawing, FullScale
from shopdocs.blocks.sheets import Document, Imprint, SideBySide, Together
from shopdocs.blocks.text import (
    Bullets,
    Cell,
    Checklist,
    Column,
    Facts,
    Figure,
    Group,
    Paragraph,
    Row,
    Step,
    Table,
)
from shopdocs.blocks.walk import anchors, figures, links, walk
from shopdocs.core.length import Length
from shopdocs.core.problems import Position
from shopdocs.output.figures_json import figures_json

IMPRINT = Imprint("Hall bench", "HB", "A", "Ada Quill", "2031-04-01", "nomadu")


def number(name: str) -> Figure:
    return Figure(name, name, Fraction(1), "")


def drawing(name: str) -> Drawing:
    across = Dimension((Length(3), Length(0)), (Length("47.45"), Length(9)), "1³⁄₄", "x", -8.0)
    up = Dimension((Length(0), Length(50)), (Length(1), Length(10)), "40", "y", 8.0)
    return Drawing(name, Length(60), Length(60), (across, up))


def test_every_place_that_can_hold_a_figure_is_found_in_reading_order() -> None:
    table = Table("t", (Column("a"),), (Group((Row((Cell.of(number("6"), link="y"),), anchor="x"),)),))
    blocks = (
        Paragraph((number("1"), "and", number("2"))),
        Together((Facts((("size", (number("3"),)),)), Bullets(((number("4"),),)))),
        SideBySide(
            (
                (Checklist((Step((number("5"),), (number("5b"),), (number("5c"),)),)),),
                (Together((table,)), drawing("front")),
            ),
            (1, 1),
        ),
        FullScale("template", drawing("holes"), anchor="z"),
    )
    shown = [figure.shown for figure in figures(blocks)]
    assert shown == ["1", "2", "3", "4", "5", "5b", "5c", "6", "1³⁄₄", "40", "1³⁄₄", "40"]
    assert len(list(walk(blocks))) == 10
    assert list(anchors(blocks)) == ["x", "z"]
    assert list(links(blocks)) == ["y"]


def test_exact_values_units_and_places() -> None:
    at = Position("build.yaml", 12, 5)
    third = Figure("slat · gap", "≈8.5", Fraction(25, 3), "mm", at)
    feet = Figure("ash · net", "4.17", Fraction(25, 6), "bf")
    leg = Figure("leg · length", "17¹⁄₈", Fraction(137, 8) * Fraction(254, 10), "mm", at)
    document = Document("cut-list", "Cut list", "", (Paragraph((third, feet, leg)), drawing("front")))
    read = json.loads(figures_json([document], IMPRINT, {"paper": "a4"}))
    assert read["build"] == {
        "title": "Hall bench",
        "mark": "HB",
        "revision": "A",
        "maker": "Ada Quill",
        "date": "2031-04-01",
        "check word": "nomadu",
        "paper": "a4",
    }
    source = {"file": "build.yaml", "line": 12, "column": 5}
    common = {"document": "cut-list"}
    assert read["figures"] == [
        common | {"name": "slat · gap", "shown": "≈8.5", "exact": "25/3", "unit": "mm", "mm": 25 / 3, "source": source},
        common | {"name": "ash · net", "shown": "4.17", "exact": "25/6", "unit": "bf"},
        common
        | {"name": "leg · length", "shown": "17¹⁄₈", "exact": "434.975", "unit": "mm", "mm": 434.975, "source": source},
        common | {"name": "front · dimension", "shown": "1³⁄₄", "exact": "44.45", "unit": "mm", "mm": 44.45},
        common | {"name": "front · dimension", "shown": "40", "exact": "40", "unit": "mm", "mm": 40},
    ]


def test_the_text_is_stable_readable_and_survives_any_name() -> None:
    odd = Figure('\ud800 "木" \\ \n', "½", Fraction(1, 2), "in")
    documents = [Document("a", "A", "", (Paragraph((odd,)),)), Document("b", "B", "", (Paragraph((number("x"),)),))]
    written = figures_json(documents, IMPRINT)
    assert written == figures_json(documents, IMPRINT)
    text = written.decode("utf-8")
    assert [line.strip()[:16] for line in text.splitlines()[3:5]] == ['{"document": "a"', '{"document": "b"']
    assert json.loads(text)["figures"][0]["name"] == odd.name


def test_no_figures_is_an_empty_list() -> None:
    assert json.loads(figures_json([], IMPRINT))["figures"] == []
