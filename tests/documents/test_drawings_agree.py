"""Piece drawings say what the labels say: sizes, joint numbers with their partners, and every piece once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing, Words
from shopdocs.blocks.sheets import Labels, PieceLabel, Together
from shopdocs.blocks.text import Heading, Paragraph, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.core.length import ZERO
from tests.sample_jobs import BY_NAME, PLACED, document_of, own_units, sample_job

CASES = [
    pytest.param(folder, units, id=f"{folder.name}-{units}") for folder in PLACED for units in (own_units(folder),)
]


@dataclass(frozen=True)
class Drawn:
    """What one drawing says: marks of its pieces, the words of their size, and (piece, joint, partner)."""

    marks: tuple[str, ...]
    size: str
    joints: frozenset[tuple[str, str, str]]


def expanded(words: str) -> Iterator[str]:
    """The marks in "SH1–SH12" and the like, one by one."""
    for word in words.split():
        row = re.fullmatch(r"(\D+)(\d+)–\1(\d+)", word)
        if row:
            yield from (f"{row[1]}{number}" for number in range(int(row[2]), int(row[3]) + 1))
        elif word not in ("and", "mirrored"):
            yield word


def drawn(folder: Path, units: Units) -> Iterator[Drawn]:
    for block in document_of(sample_job(folder, units), "piece-drawings").blocks:
        if not isinstance(block, Together):
            continue
        inner = list(walk(block.blocks))
        heading = next(b for b in inner if isinstance(b, Heading))
        part = next(p for p in sample_job(folder, units).build.parts if heading.text.startswith(f"{p.name}  "))
        marks = tuple(expanded(heading.text.removeprefix(part.name)))
        # What is round from end to end has its size as it goes to the lathe.
        step = " before turning" if is_round(folder, units, part.name) else " finished"
        told = [b.name for b in inner if isinstance(b, Drawing) and step in b.name]
        told += [plain(b.text) for b in inner if isinstance(b, Paragraph) and step in plain(b.text)]
        yield Drawn(marks, told[0], frozenset(joints(inner, marks)))


def is_round(folder: Path, units: Units, name: str) -> bool:
    """Whether the pieces of a part are turned from end to end, as its build says: from 0 to its length."""
    build = sample_job(folder, units).build
    part = next(part for part in build.parts if part.name == name)
    rounds = [place.turned for cut in build.cuts for place in cut.on if place.piece in {p.mark for p in part.pieces}]
    return any(one is not None and (one.start, one.end) == (ZERO, part.length) for one in rounds)


def joints(blocks: Sequence[object], marks: tuple[str, ...]) -> Iterator[tuple[str, str, str]]:
    for table in (b for b in blocks if isinstance(b, Table) and b.name.startswith("joints-")):
        for row in (row for group in table.groups for row in group.rows):
            cells = [plain(cell.text).replace("\u00a0", " ") for cell in row.cells]
            if len(marks) == 1:
                yield marks[0], cells[0], cells[1]
            else:
                found = re.findall(r"(\d+) → ([^\s,;]+)", " ".join(cells[1:]))
                yield from ((cells[0], number, partner) for number, partner in found)


def labels_of(folder: Path, units: Units) -> dict[str, PieceLabel]:
    (block,) = document_of(sample_job(folder, units), "labels").blocks
    assert isinstance(block, Labels)
    return {label.mark: label for label in block.labels}


@pytest.mark.parametrize(("folder", "units"), CASES)
def test_sizes_on_drawings_are_those_of_the_labels(folder: Path, units: Units) -> None:
    labels = labels_of(folder, units)
    checked = 0
    for one in drawn(folder, units):
        size, step = re.findall("(.*?) (finished|before turning)", one.size.replace("\u00a0", " "))[0]
        for mark in one.marks:
            assert labels[mark].sizes[0].replace("\u00a0", " ") == f"{step} {size} {units}", mark
            checked += 1
    assert checked >= 8


@pytest.mark.parametrize(("folder", "units"), CASES)
def test_joints_on_drawings_are_those_of_the_labels(folder: Path, units: Units) -> None:
    labels = labels_of(folder, units)
    told = [joint for one in drawn(folder, units) for joint in one.joints]
    assert len(told) > 10
    for mark, number, partner in told:
        assert f"{number} {partner}" in labels[mark].meets, mark


@pytest.mark.parametrize(("folder", "units"), CASES)
def test_every_piece_with_joints_is_on_one_drawing(folder: Path, units: Units) -> None:
    counted = Counter(mark for one in drawn(folder, units) for mark in one.marks)
    assert set(counted.values()) == {1}
    for _, piece in sample_job(folder, units).build.pieces():
        assert counted[piece.mark] == 1 or not sample_job(folder, units).meets[piece.mark], piece.mark


FACES = "face side|back face|face edge|far edge"
OPPOSITE = {"face side": "back face", "back face": "face side", "face edge": "far edge", "far edge": "face edge"}


def looks(folder: Path) -> Iterator[tuple[tuple[str, ...], dict[str, str]]]:
    """Marks of the pieces of one drawing, and which face its views say looks up, to the rear and so on; what is told of
    a face tells the opposite one as well."""
    against = {"up": "down", "down": "up", "front": "rear", "rear": "front", "left": "right", "right": "left"}
    job = sample_job(folder, own_units(folder))
    for block in document_of(job, "piece-drawings").blocks:
        if not isinstance(block, Together):
            continue
        inner = list(walk(block.blocks))
        heading = next(b for b in inner if isinstance(b, Heading))
        part = next(p for p in job.build.parts if heading.text.startswith(f"{p.name}  "))
        told: dict[str, str] = {}
        for drawing in (b for b in inner if isinstance(b, Drawing)):
            for words in (s.text for s in drawing.shapes if isinstance(s, Words)):
                found = re.fullmatch(rf"({FACES}), (up|down|front|rear|left|right)", words)
                if found:
                    told |= {found[2]: found[1], against[found[2]]: OPPOSITE[found[1]]}
        yield tuple(expanded(heading.text.removeprefix(part.name))), told


@pytest.mark.parametrize("name", ["potting_table", "spice_cabinet", "plate_rack"])
def test_faces_on_drawings_look_where_labels_point(name: str) -> None:
    """The label's arrow names what is up, or to the rear, of its piece, as it stands in the build. Of a mirrored pair
    the first is drawn, and both have the same face up. (Pieces drawn alike that stand differently are told of none.)"""
    folder = BY_NAME[name]
    labels = labels_of(folder, own_units(folder))
    checked = 0
    for marks, told in looks(folder):
        stuck = labels[marks[0]].sticking
        if stuck is None or not told:
            continue
        way, _, face = stuck.points.partition(", ")
        if way in told and face in OPPOSITE:
            assert told[way] == face, (marks[0], told, stuck.points)
            checked += 1
        on, _, where = stuck.face.partition(", ")
        if where in ("on top", "underneath") and told.keys() >= {"up"}:
            assert told["up" if where == "on top" else "down"] == on, (marks[0], told, stuck.face)
            checked += 1
    assert checked > 2
