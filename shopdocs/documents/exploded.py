"""The build as a picture: apart with its marks, and from three sides with its overall size."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Cell, Column, Group, Heading, Paragraph, Row, Table, Weight, text
from shopdocs.documents.drawn.pictures import Label, assembled, exploded, overall_views, unseen
from shopdocs.documents.figures import count_figure, marks_text, size_text
from shopdocs.documents.job import Job
from shopdocs.model.parts import Part
from shopdocs.work.order.stages import StageWork
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import PlacedPiece, Scene

SHEET_MM = 178.0  # the width that every paper has
APART_MM = (SHEET_MM, 198.0)
STANDING_MM = (110.0, 52.0)  # beside what is said of the build
LARGER_STANDING_MM = (100.0, 90.0, 80.0, 72.0, 65.0, 58.0)  # as tall where the title sheet has room
STAGE_MM = (SHEET_MM, 130.0)
VIEWS_MM = (SHEET_MM, 112.0)
LARGE_VIEWS_MM = (SHEET_MM, 100.0)
LARGER_VIEWS_MM = (210.0, 180.0, 155.0, 130.0)  # as tall where their page has room
FEW_PARTS = 9  # their list stands under the picture, and leaves the next page to the views
FEW_PIECES = 24  # each has its mark in the one picture; beyond that in pictures of some pieces each
LIKE_PIECES = 4  # more pieces of one part share a leader where not every piece has its own
MOST_MARKS = 48  # more leaders round one picture are a thicket
GROUP_MARKS = 30  # pieces of one picture where no stage says what belongs together
MOST_DETAILED = 160  # pieces; more of them fill a sheet with lines, and their joints are smaller than a dot


def in_space(job: Job) -> bool:
    return job.space is not None


def exploded_drawing(job: Job) -> Document:
    assert job.space is not None
    space, scene = job.space, job.space.scene
    pictured = _pictured(scene)
    contacts = space.contacts if pictured is scene else find_contacts(pictured)
    few = len(scene.pieces) <= FEW_PIECES
    blocks: list[Block] = [exploded(contacts, APART_MM, name=job.build.title, labels=None if few else _labels(job))]
    if not few:
        count = len(scene.pieces)
        words = f"The pictures on the next pages show the {count} pieces a few at a time, each with its mark."
        if job.stages:
            words += " A stage shows what is new in it, apart, or in place with what was glued before."
        blocks.append(Paragraph(text(words), Weight.QUIET))
    blocks.append(_parts_list(job))
    unplaced = [piece.mark for _, piece in job.build.pieces() if piece.mark not in space.pieces]
    if unplaced:
        blocks.append(Paragraph(text("Not in the picture, their place is not said: ", marks_text(unplaced), ".")))
    hidden = unseen(scene) if len(scene.pieces) <= MOST_DETAILED else ()
    if hidden:
        words = "Hidden in the picture of the title sheet: "
        blocks.append(Paragraph(text(words, marks_text(hidden), ".")))
    room = LARGE_VIEWS_MM if len(job.build.parts) <= FEW_PARTS else VIEWS_MM
    rooms = [room, *((SHEET_MM, tall) for tall in LARGER_VIEWS_MM)]
    blocks.append(overall_views(pictured, job.display, rooms, "front, top and right side"))
    if not few:
        blocks += _group_pictures(job, pictured)
    return Document("exploded", "Exploded drawing", "Which piece is which, and where does it go?", tuple(blocks))


def standing_picture(job: Job) -> Drawing | None:
    """The build as it stands, for the title sheet; None where no piece has a place."""
    if job.space is None:
        return None
    drawing = assembled(_pictured(job.space.scene), STANDING_MM, name=job.build.title)
    return replace(drawing, larger=tuple(replace(drawing, tallest_mm=tall) for tall in LARGER_STANDING_MM))


def _labels(job: Job) -> list[Label]:
    """Leaders for a picture that is too small for every mark: one a piece, or one for all pieces of a part."""
    assert job.space is not None
    parts = [tuple(piece.mark for piece in part.pieces if piece.mark in job.space.pieces) for part in job.build.parts]
    few = sum(len(marks) if len(marks) <= LIKE_PIECES else 1 for marks in parts) <= MOST_MARKS
    labels: list[Label] = []
    for marks in parts:
        if few and len(marks) <= LIKE_PIECES:
            labels += [(mark, (mark,)) for mark in marks]
        elif marks:
            middle = len(marks) // 2
            labels.append((marks_text(marks, 3), (*marks[middle:], *reversed(marks[:middle]))))
    return labels if len(labels) <= MOST_MARKS else []


def _group_pictures(job: Job, pictured: Scene) -> list[Block]:
    """Some pieces at a time, apart and each with its mark."""
    assert job.space is not None
    blocks: list[Block] = []
    pieces = {piece.mark: piece for piece in pictured.pieces}
    for title, marks, work in _groups(job):
        picture = _in_place(job, work, marks, pieces) if work is not None else None
        if picture is None:
            scene = Scene.of(pieces[mark] for mark in marks)
            picture = exploded(find_contacts(scene), STAGE_MM, name=marks_text(marks, 16))
        blocks += [Heading(title, 2), picture]
    return blocks


def _in_place(job: Job, work: StageWork, marks: tuple[str, ...], pieces: Mapping[str, PlacedPiece]) -> Drawing | None:
    """What a stage adds to things of earlier stages, all in place: the new pieces by their marks, the things by their
    names. None where it uses none, or a new piece would not be seen."""
    glued = {name: thing for earlier in job.stages[: work.number - 1] for name, thing in earlier.things.items()}
    if not work.stage.uses or any(title not in glued for title in work.stage.uses):
        return None
    used = {title: [mark for mark in glued[title] if mark in pieces] for title in work.stage.uses}
    scene = Scene.of(pieces[mark] for mark in dict.fromkeys((*marks, *(m for thing in used.values() for m in thing))))
    if len(scene.pieces) > MOST_DETAILED or unseen(scene, among=marks):
        return None
    labels: list[Label] = [(mark, (mark,)) for mark in marks]
    labels += [(title, tuple(thing)) for title, thing in used.items()]
    return assembled(scene, STAGE_MM, name=f"{marks_text(marks, 16)} in place", labels=labels)


def _groups(job: Job) -> Iterator[tuple[str, tuple[str, ...], StageWork | None]]:
    """What belongs together, with a title: the new pieces of each stage, and the stage where they are all of them; the
    others in the order of their parts."""
    assert job.space is not None
    left = {piece.mark: part for part, piece in job.build.pieces() if piece.mark in job.space.pieces}
    for work in job.stages:
        marks = [mark for mark in work.loose if mark in left]
        for title, some_marks in _portions(f"Stage {work.number}, {work.stage.title}", marks):
            yield title, some_marks, work if len(some_marks) == len(marks) else None
        for mark in marks:
            del left[mark]
    some = len(left) < len(job.space.pieces)
    rest = "Pieces outside the glue-up stages" if some else "Pieces in the order of the list"
    for title, some_marks in _portions(rest, list(left)):
        yield title, some_marks, None


def _portions(title: str, marks: Sequence[str]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """As few portions of even size as hold no more than a picture can mark."""
    count = -(-len(marks) // GROUP_MARKS) if len(marks) > MOST_MARKS else min(1, len(marks))
    for part in range(count):
        low, high = len(marks) * part // count, len(marks) * (part + 1) // count
        yield (title if count == 1 else f"{title}: {part + 1} of {count}"), tuple(marks[low:high])


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
