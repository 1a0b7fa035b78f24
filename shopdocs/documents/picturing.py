"""The build as a picture: apart with its marks, and from three sides with its overall size."""

from __future__ import annotations

from dataclasses import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Cell, Column, Group, Heading, Paragraph, Row, Table, Weight, text
from shopdocs.documents.drawn.pictures import assembled, exploded, overall_views, unseen
from shopdocs.documents.figures import count_figure, marks_text, size_text
from shopdocs.documents.job import Job
from shopdocs.model.parts import Part
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Scene

SHEET_MM = 178.0  # the width that every paper has
APART_MM = (SHEET_MM, 198.0)
STANDING_MM = (72.0, 46.0)  # beside what is said of the build
STAGE_MM = (SHEET_MM, 130.0)
VIEWS_MM = (SHEET_MM, 112.0)
LARGE_VIEWS_MM = (SHEET_MM, 150.0)
FEW_PARTS = 9  # their list stands under the picture, and leaves the next page to the views
MOST_MARKS = 72  # more leaders than that fill no sheet
MOST_DETAILED = 160  # pieces; more of them fill a sheet with lines, and their joints are smaller than a dot


def in_space(job: Job) -> bool:
    return job.space is not None


def exploded_drawing(job: Job) -> Document:
    assert job.space is not None
    space, scene = job.space, job.space.scene
    marked = len(scene.pieces) <= MOST_MARKS
    contacts = space.contacts if len(scene.pieces) <= MOST_DETAILED else find_contacts(_pictured(scene))
    blocks: list[Block] = [exploded(contacts, APART_MM, name=job.build.title, marks=marked)]
    if not marked:
        words = f"{len(scene.pieces)} pieces are more than one picture can mark; the list says what belongs together."
        blocks.append(Paragraph(text(words), Weight.QUIET))
        blocks += _stage_pictures(job)
    blocks.append(_parts_list(job))
    unplaced = [piece.mark for _, piece in job.build.pieces() if piece.mark not in space.pieces]
    if unplaced:
        blocks.append(Paragraph(text("Not in the picture, their place is not said: ", marks_text(unplaced), ".")))
    hidden = unseen(scene) if len(scene.pieces) <= MOST_DETAILED else ()
    if hidden:
        words = "Hidden in the picture of the title sheet: "
        blocks.append(Paragraph(text(words, marks_text(hidden), ".")))
    room = LARGE_VIEWS_MM if len(job.build.parts) <= FEW_PARTS else VIEWS_MM
    blocks.append(overall_views(_pictured(scene), job.display, room, "front, top and right side"))
    return Document("exploded", "Exploded drawing", "Which piece is which, and where does it go?", tuple(blocks))


def standing_picture(job: Job) -> Drawing | None:
    """The build as it stands, for the title sheet; None where no piece has a place."""
    return assembled(_pictured(job.space.scene), STANDING_MM, name=job.build.title) if job.space is not None else None


def _stage_pictures(job: Job) -> list[Block]:
    """The new pieces of each stage with their marks, where the whole has too many of them."""
    assert job.space is not None
    blocks: list[Block] = []
    for work in job.stages:
        pieces = [job.space.pieces[mark] for mark in work.loose if mark in job.space.pieces]
        if 1 < len(pieces) <= MOST_MARKS:
            picture = exploded(find_contacts(Scene.of(pieces)), STAGE_MM, name=f"stage {work.number}")
            blocks += [Heading(f"Stage {work.number}, {work.stage.title}", 2), picture]
    return blocks


def _pictured(scene: Scene) -> Scene:
    """The scene, or only the bodies of its pieces where so many are drawn so small that no joint could be seen."""
    if len(scene.pieces) <= MOST_DETAILED:
        return scene
    return Scene.of(replace(piece, features=()) for piece in scene.pieces)


def _parts_list(job: Job) -> Table:
    columns = (
        Column("Marks", strong=True, share=1.6),
        Column("Part", share=1.0),
        Column("Pieces", "right", share=0.1),
        Column("Finished size", "right", job.display.units, share=1.2),
        Column("Material", share=1.0),
    )
    rows = tuple(_row(job, part) for part in job.build.parts)
    return Table("parts", columns, (Group(rows),))


def _row(job: Job, part: Part) -> Row:
    size = size_text(
        f"{part.name} · finished",
        job.display,
        ("thickness", part.thickness, part.place("thickness")),
        ("width", part.width, part.place("width")),
        ("length", part.length, part.place("length")),
    )
    cells = (
        Cell.of(marks_text([piece.mark for piece in part.pieces])),
        Cell.of(part.name),
        Cell.of(count_figure(f"{part.name} · pieces", len(part.pieces), part.at)),
        Cell(size),
        Cell.of(part.material),
    )
    return Row(cells)
