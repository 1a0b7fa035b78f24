"""What the maker noted down, printed where it is needed: notes of parts and pieces where they are sawn, of joints where
they are cut and closed, of hardware where it is bought."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Bullets, Paragraph, Text, text
from shopdocs.documents.figures import count_figure, marks_text
from shopdocs.documents.fitting.wording import numbers_text
from shopdocs.documents.job import Job
from shopdocs.model.build import Build
from shopdocs.model.joining import Joint
from shopdocs.model.parts import Part, Piece
from shopdocs.work.cut_list import copy_mark


def joint_notes(joints: Iterable[Joint]) -> list[Block]:
    """The notes of joints, with the numbers of their meetings."""
    items: list[Text] = [
        text(f"{joint.name}, {numbers_text([meeting.number for meeting in joint.meetings])}: {joint.note}")
        for joint in joints
        if joint.note and joint.meetings
    ]
    return [Bullets(tuple(items))] if items else []


def joint_note(joint: Joint, numbers: Sequence[int]) -> str:
    """ "Joints 1–4: Leave the ends proud." """
    return f"Joint{'s' if len(numbers) > 1 else ''} {numbers_text(numbers)}: {joint.note}"


def copies_blocks(job: Job, words: str) -> list[Block]:
    """Where several copies are built at once, how many, and what that means for this sheet: `words` may name the
    `{mark}` of a piece in the last copy and its `{number}`."""
    copies = job.build.copies
    if copies == 1:
        return []
    first = next(piece.mark for _, piece in job.build.pieces())
    told = words.format(mark=copy_mark(first, copies, copies), number=ordinal(copies))
    return [
        Paragraph(
            (
                count_figure("copies", copies, job.build.places.get("copies", job.build.at)),
                f" are built at once. {told}",
            )
        )
    ]


def ordinal(number: int) -> str:
    """Which one in a row: 1st, 2nd, 3rd, 4th, 11th."""
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th") if number % 100 not in (11, 12, 13) else "th"
    return f"{number}{ending}"


def piece_notes(part: Part, pieces: Iterable[Piece]) -> str:
    """The note of a part, then those of these pieces of it: "Lip the front edge. L: left; R: right"."""
    told: dict[str, list[str]] = {}
    for piece in pieces:
        if piece.note and piece.note != part.note:
            told.setdefault(piece.note, []).append(piece.mark)
    own = "; ".join(f"{marks_text(marks)}: {note}" for note, marks in told.items())
    return " ".join(filter(None, (part.note, own)))


def hardware_notes(build: Build) -> list[Block]:
    """The notes of hardware that has no line of its own on the shopping list: nothing of it is bought."""
    items = [text(f"{item.name}: {item.note}") for item in build.hardware if item.note and not item.count]
    return [Bullets(tuple(items))] if items else []


def notes_of(job: Job, part: Part, marks: Sequence[str]) -> list[Bullets]:
    """What the maker noted of pieces of one part, as a list; nothing where there is nothing."""
    items = note_lines(job, part, marks)
    return [Bullets(tuple(items))] if items else []


def note_lines(job: Job, part: Part, marks: Sequence[str]) -> list[Text]:
    """What the maker noted of these pieces: of the part, of a piece with its mark, of a joint with its numbers, where
    the piece that goes in is drawn, and of hardware whose holes are here."""
    items: list[Text] = [text(part.note)] if part.note else []
    told: dict[str, list[str]] = {}
    for piece in part.pieces:
        if piece.mark in marks and piece.note and piece.note != part.note:
            told.setdefault(piece.note, []).append(piece.mark)
    items += [text(f"{marks_text(own)}: {note}") for note, own in told.items()]
    for joint in job.build.joints:
        numbers = [m.number for m in joint.meetings if m.entering in marks] if joint.note else []
        if numbers:
            items.append(text(joint_note(joint, numbers)))
    for item in job.build.hardware:
        if item.note and any(hole.hardware == item.name and hole.piece in marks for hole in job.holes):
            items.append(text(f"{item.name[:1].upper()}{item.name[1:]}: {item.note}"))
    return items
