"""The look, read once from layouts/style.toml. Names ending in `_pt` stay as they are, other lengths become points."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from shopdocs.blocks.drawing import Stroke
from shopdocs.core.assets import layout_table
from shopdocs.page.items import Dash, mm


class Style(Struct, frozen=True):
    """All in points, `tint` as brightness, `leading` and the fraction's numbers as parts of the type size."""

    floor: float
    body: float
    quiet: float
    step: float
    table: float
    table_close: float
    table_least: float
    head: float
    title: float
    question: float
    chapter: float
    section: float
    header: float
    fraction: float
    leading: float
    hair: float
    rule: float
    thin: float
    visible: float
    tint: float
    tick: float
    tick_line: float
    strokes: dict[Stroke, tuple[float, Dash]]


@cache
def style() -> Style:
    """Type sizes, line widths and boxes of all sheets, from `layouts/style.toml`; points."""
    data = layout_table("style")
    kind, line, box = data["type"], data["line"], data["box"]

    def dashes(name: str) -> Dash:
        return tuple(mm(part) for part in line[name])

    thin, visible = mm(line["thin"]), mm(line["visible"])
    strokes = {
        Stroke.VISIBLE: (visible, ()),
        Stroke.HIDDEN: (thin, dashes("hidden_dash")),
        Stroke.CENTRE: (thin, dashes("centre_dash")),
        Stroke.THIN: (thin, ()),
        Stroke.REFERENCE: (mm(line["reference"]), ()),
        Stroke.KNIFE: (mm(line["knife"]), ()),
        Stroke.CUT: (visible, dashes("cut_dash")),
        Stroke.FOLD: (visible, dashes("fold_dash")),
    }
    return Style(
        floor=kind["floor_pt"],
        body=kind["body_pt"],
        quiet=kind["quiet_pt"],
        step=kind["step_pt"],
        table=kind["table_pt"],
        table_close=kind["table_close_pt"],
        table_least=kind["table_least_pt"],
        head=kind["head_pt"],
        title=kind["title_pt"],
        question=kind["question_pt"],
        chapter=kind["chapter_pt"],
        section=kind["section_pt"],
        header=kind["header_pt"],
        fraction=kind["fraction_pt"],
        leading=kind["leading"],
        hair=line["hair_pt"],
        rule=line["rule_pt"],
        thin=thin,
        visible=visible,
        tint=data["ink"]["tint"],
        tick=mm(box["tick"]),
        tick_line=mm(box["tick_line"]),
        strokes=strokes,
    )
