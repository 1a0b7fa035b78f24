"""Piece drawings say what the labels say: sizes, joint numbers with their partners, and every piece once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Labels, PieceLabel, Together
from shopdocs.blocks.text import Heading, Paragraph, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from tests.sample_jobs import PLACED, document_of, own_units, sample_job

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
        told = [b.name for b in inner if isinstance(b, Drawing) and b.name]
        told += [plain(b.text) for b in inner if isinstance(b, Paragraph) and " finished" in plain(b.text)]
        yield Drawn(marks, told[0], frozenset(joints(inner, marks)))


def joints(blocks: list[object], marks: tuple[str, ...]) -> Iterator[tuple[str, str, str]]:
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
        finished = one.size.replace("\u00a0", " ").split(" finished")[0]
        for mark in one.marks:
            assert labels[mark].sizes[0].replace("\u00a0", " ") == f"finished {finished} {units}", mark
            checked += 1
    assert checked > 8


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
