"""The cut list: what is sawn, from what, how big at each step."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block, Document, InColumns, Together
from shopdocs.blocks.text import Cell, Column, Group, Paragraph, Row, Table, Text, plain, text
from shopdocs.documents.figures import count_figure, marks_text, size_text, strips_text
from shopdocs.documents.how.rules import note, where_notes_are
from shopdocs.documents.job import Job
from shopdocs.documents.look_alikes import mirrored
from shopdocs.documents.noting import copies_blocks, piece_notes
from shopdocs.documents.own_cuts import cut_blocks
from shopdocs.documents.piece_drawings import has_piece_drawings
from shopdocs.documents.rounds import FINISHED, finished_name, has_rounds, turned_to
from shopdocs.documents.seasons import season_blocks
from shopdocs.documents.setups import set_up_once, setups_tables
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind
from shopdocs.work.cut_list import CutGroup, CutRow, Size, bare_mark, stock_thickness

STOCK = {MaterialKind.HARDWOOD: "rough sawn", MaterialKind.SOFTWOOD: "dressed", MaterialKind.SHEET: "sheet"}


COUNTED = "Pieces are counted for all of them; a mark such as {mark} is that piece of the {number}."


def cut_list(job: Job) -> Document:
    """One table for every material, notes under their pieces; then the mirror images and the setups to keep."""
    blocks: list[Block] = [*copies_blocks(job, COUNTED), _table(job), *_turned(job)]
    twins = mirrored(job)
    if twins:
        blocks.append(Paragraph(text("Mirror images, mark them as you cut them: ", "; ".join(twins), ".")))
    told = dict.fromkeys(words for joint in job.build.joints if (words := KINDS[joint.kind].measured))
    if told:
        blocks.append(Paragraph(text(" ".join(told))))
    season = season_blocks(job)
    told_below = (
        *cut_blocks(job, has_piece_drawings(job)),
        *((Together(tuple(season)),) if season else ()),
    )
    tables, where = setups_tables(job), where_notes_are()
    usual = (*blocks, *told_below, *set_up_once(tables, beside=True), *where)
    # less tall: in two columns, read down the first and then the second
    columns = InColumns((*told_below, *set_up_once(tables, beside=False)))
    question = "What do I saw, from what, and how big at each step?"
    instead = (*blocks, columns, *where) if told_below and tables else ()
    return Document("cut-list", "Cut list", question, usual, runs_on=True, instead=instead)


def _table(job: Job) -> Table:
    """Thickness × width × length in all columns; the three sizes of a piece stand close to each other."""
    unit = f"T × W × L, {job.display.units}"
    columns = (
        Column("Part", strong=True, share=0.8),
        Column("Marks", share=1.0),
        Column("Pieces", "right", share=0.05),
        Column(f"Rough{note(job, 'milling')}", "right", unit, share=0.1),
        Column(f"With joinery{note(job, 'sizes')}", "right", unit, share=0.1),
        Column(FINISHED, "right", unit, share=0.1, strong=True),
    )
    groups = tuple(_group(job, group) for group in job.groups)
    return Table("cut-list", columns, groups, ticks=True)


def _group(job: Job, group: CutGroup) -> Group:
    return Group(tuple(_row(job, row) for row in group.rows), f"{group.material.name}: {_stock_words(job, group)}")


def _stock_words(job: Job, group: CutGroup) -> str:
    """What the pieces are sawn from; planed only where they are thinner than that."""
    material = group.material
    words = [*([material.species] if material.species else []), STOCK[material.kind]]
    if material.kind is not MaterialKind.SHEET and group.thickness != stock_thickness(material):
        words.append(f"planed to {job.display.bare(group.thickness)} {job.display.units}")
    return ", ".join(words)


def _row(job: Job, row: CutRow) -> Row:
    part = row.part
    cells = (
        Cell.of(part.name),
        Cell(_marks(row)),
        Cell.of(count_figure(f"{part.name} · pieces", len(row.pieces) * job.build.copies, part.at)),
        Cell((*_strips(row), *_size(job, row, "rough", row.rough))),
        Cell(_size(job, row, "with joinery", row.joinery) if row.joinery != row.finished else ("as finished",)),
        Cell(_size(job, row, "finished", row.finished), strong=True),
    )
    return Row(cells, note=piece_notes(part, row.pieces))


def _turned(job: Job) -> list[Block]:
    """What is turned from these sizes, and to what, said once of all that are turned alike: "post PL, rung RF RU: the
    finished sizes are before turning, then turned to Ø 1 in"; labels and drawings call that size so."""
    rows = [row for group in job.groups for row in group.rows] if has_rounds(job) else []
    alike: dict[tuple[str, str], list[tuple[str, Text]]] = {}
    for row in rows:
        mark = bare_mark(row.pieces[0].mark)
        if told := turned_to(job, mark):
            name = finished_name(job, row.part, mark).lower()
            of = f"{row.part.name} {marks_text([p.mark for p in row.pieces])}"
            alike.setdefault((name, plain(told)), []).append((of, told))
    runs: Text = ()
    for (name, _), pieces in alike.items():
        sizes = "size is" if len(pieces) == 1 else "sizes are"
        before = "" if name == FINISHED.lower() else f"the {FINISHED.lower()} {sizes} {name}, then "
        runs = (*runs, "; " if runs else "", f"{', '.join(of for of, _ in pieces)}: {before}", *pieces[0][1])
    return [Paragraph((*runs, "."))] if runs else []


def _marks(row: CutRow) -> Text:
    """The pieces, and the strips they are glued up from."""
    marks = [piece.mark for piece in row.pieces]
    if row.part.strips == 1:
        return text(marks_text(marks))
    strips = ", ".join(strips_text(row.part.strip_marks(mark)) for mark in marks)
    return text(f"{marks_text(marks)} (glued up from {strips})")


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
