"""What the maker noted down, printed where it is needed: notes of parts and pieces where they are sawn, of joints where
they are cut and closed, of hardware where it is bought."""

from __future__ import annotations

from collections.abc import Iterable

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Bullets, Text, text
from shopdocs.documents.figures import marks_text
from shopdocs.model.build import Build
from shopdocs.model.joining import Joint


def joint_notes(joints: Iterable[Joint]) -> list[Block]:
    """The notes of joints, with the numbers of their meetings."""
    items: list[Text] = [
        text(f"{joint.name}, {numbers_text(meeting.number for meeting in joint.meetings)}: {joint.note}")
        for joint in joints
        if joint.note and joint.meetings
    ]
    return [Bullets(tuple(items))] if items else []


def numbers_text(numbers: Iterable[int]) -> str:
    """Numbers of joints; runs drawn together as for marks: 1–4 9."""
    return marks_text([str(number) for number in numbers])


def piece_notes(build: Build) -> list[Block]:
    """The notes of parts and of their pieces, a line for each."""
    items: list[Text] = []
    for part in build.parts:
        told: dict[str, list[str]] = {}
        for piece in part.pieces:
            if piece.note and piece.note != part.note:
                told.setdefault(piece.note, []).append(piece.mark)
        own = [f"{marks_text(marks)} {note}" for note, marks in told.items()]
        if part.note:
            items.append(text(f"{part.name}: {part.note}"))
        if own:
            items.append(text(f"{part.name}: {'; '.join(own)}"))
    return [Bullets(tuple(items))] if items else []


def hardware_notes(build: Build) -> list[Block]:
    """The notes of hardware that has no line of its own on the shopping list: nothing of it is bought."""
    items = [text(f"{item.name}: {item.note}") for item in build.hardware if item.note and not item.count]
    return [Bullets(tuple(items))] if items else []
