"""The cut list: what is sawn, from what, how big at each step."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Cell, Column, Group, Paragraph, Row, Run, Table, Text, Weight, text
from shopdocs.core.display import ROUNDED
from shopdocs.documents.figures import count_figure, length_figure, length_text, marks_text, size_text, strips_text
from shopdocs.documents.job import Job
from shopdocs.documents.look_alikes import mirrored
from shopdocs.documents.noting import piece_notes
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind
from shopdocs.work.cut_list import CutGroup, CutRow, Size, keeps_width, stock_thickness


def cut_list(job: Job) -> Document:
    blocks: list[Block] = [_table(job), *piece_notes(job.build)]
    settings = _settings(job)
    if settings is not None:
        blocks.append(settings)
    twins = mirrored(job)
    if twins:
        blocks.append(Paragraph(text("Mark them as they are cut, they are mirror images: ", "; ".join(twins), ".")))
    blocks.append(Paragraph(text(*_reading(job)), Weight.QUIET))
    return Document("cut-list", "Cut list", "What do I saw, from what, and how big at each step?", tuple(blocks))


def _table(job: Job) -> Table:
    unit = job.display.units
    columns = (
        Column("Part", strong=True, share=1.4),
        Column("Marks", share=1.6),
        Column("Pieces", "right", share=0.2),
        Column("Rough", "right", unit, share=1.2),
        Column("With joinery", "right", unit, share=1.2),
        Column("Finished", "right", unit, share=1.2, strong=True),
    )
    groups = tuple(_group(job, group) for group in job.groups)
    return Table("cut-list", columns, groups, ticks=True)


def _group(job: Job, group: CutGroup) -> Group:
    return Group(tuple(_row(job, row) for row in group.rows), group.material.name, _stock_words(job, group))


def _stock_words(job: Job, group: CutGroup) -> str:
    """What the pieces are sawn from; planed only where they are thinner than that."""
    material = group.material
    stock = {MaterialKind.HARDWOOD: "sawn", MaterialKind.SOFTWOOD: "dressed", MaterialKind.SHEET: "sheet"}
    words = [stock[material.kind], *([material.species] if material.species else [])]
    if material.kind is not MaterialKind.SHEET and group.thickness != stock_thickness(material):
        words.append(f"planed to {job.display.bare(group.thickness)} {job.display.units}")
    return ", ".join(words)


def _row(job: Job, row: CutRow) -> Row:
    part = row.part
    cells = (
        Cell.of(part.name),
        Cell(_marks(row)),
        Cell.of(count_figure(f"{part.name} · pieces", len(row.pieces), part.at)),
        Cell((*_strips(row), *_size(job, row, "rough", row.rough))),
        Cell(_size(job, row, "with joinery", row.joinery) if row.joinery != row.finished else ("as finished",)),
        Cell(_size(job, row, "finished", row.finished), strong=True),
    )
    return Row(cells)


def _marks(row: CutRow) -> Text:
    """The pieces, and the strips they are glued up of."""
    marks = [piece.mark for piece in row.pieces]
    if row.part.strips == 1:
        return text(marks_text(marks))
    strips = "  ".join(strips_text(row.part.strip_marks(mark)) for mark in marks)
    return text(f"{marks_text(marks)} of {strips}")


def _strips(row: CutRow) -> Text:
    """How many strips make one piece, where it is glued up."""
    if row.part.strips == 1:
        return ()
    count = count_figure(f"{row.part.name} · strips", row.part.strips, row.part.place("strips"))
    return (count, " strips of ")


def _size(job: Job, row: CutRow, step: str, size: Size) -> Text:
    name = f"{row.part.name} · {step}"
    return size_text(
        name,
        job.display,
        ("thickness", size.thickness, row.part.place("thickness")),
        ("width", size.width, row.part.place("width")),
        ("length", size.length, row.part.place("length")),
    )


def _settings(job: Job) -> Table | None:
    """Which pieces share a setting of fence or stop."""
    groups = []
    for group in job.groups:
        rows = []
        for setting in group.settings:
            axis = "rip to width" if setting.axis == "width" else "crosscut to length"
            figure = length_figure(f"setting · {axis}", setting.size, job.display)
            cells = (Cell.of(axis), Cell.of(figure, strong=True), Cell.of(marks_text(setting.marks)))
            rows.append(Row(cells))
        if rows:
            groups.append(Group(tuple(rows), f"{group.material.name}, {job.display.length(group.thickness)} thick"))
    if not groups:
        return None
    columns = (
        Column("One setting", share=0.8),
        Column("Size", "right", job.display.units, share=0.5),
        Column("Cut one after another", share=2.4),
    )
    return Table("saw-settings", columns, tuple(groups))


def _reading(job: Job) -> Text:
    """How to read the sizes, and the allowances they were made with."""
    rounded = (
        f" A size that begins with {ROUNDED} was rounded to {job.display.fineness_name} for this sheet."
        if _any_rounded(job)
        else ""
    )
    return (
        "Sizes are thickness × width × length, length along the grain. Finished is what shows, shoulder to shoulder; "
        "with joinery adds tenons and tongues. ",
        *(f"{told} " for told in dict.fromkeys(KINDS[joint.kind].measured for joint in job.build.joints) if told),
        *_milling(job),
        rounded,
    )


def _milling(job: Job) -> Text:
    """What rough sizes are larger by, and which are not."""
    allow, display, at = job.shop.allowances, job.display, job.shop.at
    rows = list(job.rows.values())
    wider = any(row.rough.width * row.part.strips != row.joinery.width for row in rows)
    longer = any(row.rough.length != row.joinery.length for row in rows)
    runs: list[Run] = []
    if wider:
        runs += [*length_text("milling · width", allow.width, display, at), " to the width"]
    if longer:
        runs += [
            " and " if wider else "",
            *length_text("milling · length", allow.length, display, at),
            " to the length",
        ]
    if runs:
        runs = ["Rough adds for milling ", *runs]
        if any(keeps_width(group.material, row) for group in job.groups for row in group.rows):
            runs.append("; what is as wide as its dressed board is not ripped" if wider else "")
    if any(group.material.kind is MaterialKind.SHEET for group in job.groups):
        runs.append("; sheet goods are sawn to size" if runs else "Sheet goods are sawn to size")
    if (wider or longer) and any("milling" in name for name in job.shop.defaults):
        runs.append("; the shop file sets no allowances, these are usual ones")
    return (*runs, ".") if runs else ()


def _any_rounded(job: Job) -> bool:
    return any(
        not job.display.is_exact(measure)
        for row in job.rows.values()
        for size in (row.rough, row.joinery, row.finished)
        for measure in (size.thickness, size.width, size.length)
    )
