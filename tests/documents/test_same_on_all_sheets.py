"""The same fact on different sheets is the same: sizes and their order, joints and mates, stages, what points up.

Each sheet is read as it is printed, and held against the others, for every piece of every sample in both units.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document, Labels, PieceLabel
from shopdocs.blocks.text import Facts, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.documents.job import Job
from tests.documents.test_drawings_agree import expanded
from tests.sample_jobs import SAMPLES, records_of, sample_documents, sample_job

BOTH: tuple[Units, Units] = ("in", "mm")
CASES = [pytest.param(folder, units, id=f"{folder.name}-{units}") for folder in SAMPLES for units in BOTH]
LENGTH = r"≈?[0-9.⁰¹²³⁴⁵⁶⁷⁸⁹⁄₀₁₂₃₄₅₆₇₈₉]+"


def by_name(folder: Path, units: Units, name: str) -> Document | None:
    return next((document for document in sample_documents(folder, units) if document.name == name), None)


def labels_of(folder: Path, units: Units) -> dict[str, PieceLabel]:
    document = by_name(folder, units, "labels")
    assert document is not None
    (block,) = document.blocks
    assert isinstance(block, Labels)
    return {label.mark: label for label in block.labels}


def numbers_in(words: str) -> list[int]:
    """The numbers of "3", "5–8, 11", or "17, 19 … 27", which goes on by the step of its first two; of "1, 3; 2, 4"
    those of one end before those of the other."""
    if ";" in words:
        return [number for part in words.split("; ") for number in numbers_in(part)]
    if stepped := re.fullmatch(r"(\d+), (\d+) … (\d+)", words):
        first, second, last = map(int, stepped.groups())
        return list(range(first, last + 1, second - first))
    runs = re.findall(r"(\d+)(?:–(\d+))?", words)
    return [number for first, last in runs for number in range(int(first), int(last or first) + 1)]


def pages_of(job: Job) -> dict[str, Document]:
    pages = records_of(job)
    return {piece.mark: page for (_, piece), page in zip(job.build.pieces(), pages, strict=True)}


def facts_of(page: Document) -> dict[str, str]:
    facts = next(block for block in page.blocks if isinstance(block, Facts))
    return {name: plain(value) for name, value in facts.pairs}


def stage_told(page: Document) -> str:
    """The stages in which a piece goes in, glued or dry."""
    told = facts_of(page)
    return told.get("Glued in") or told.get("Goes in", "").removesuffix(", dry")


def main_unit(words: str) -> str:
    """Without the other system in brackets."""
    return re.sub(r"\s*\(.*?\)", "", words.replace("\u00a0", " ")).strip()


def table(document: Document, name: str) -> Table | None:
    return next((block for block in walk(document.blocks) if isinstance(block, Table) and block.name == name), None)


@pytest.mark.parametrize(("folder", "units"), CASES)
def test_sizes_are_the_same_on_label_record_and_cut_list(folder: Path, units: Units) -> None:
    """Thickness × width × length everywhere."""
    job, cut = sample_job(folder, units), by_name(folder, units, "cut-list")
    assert cut is not None
    listed = table(cut, "cut-list")
    assert listed is not None
    heads = [column.title for column in listed.columns]
    cells = [[main_unit(plain(cell.text)) for cell in row.cells] for group in listed.groups for row in group.rows]
    printed = {dict(zip(heads, row, strict=False))["Finished"] for row in cells}
    labels = labels_of(folder, units)
    for mark, page in pages_of(job).items():
        told = {name: main_unit(value) for name, value in facts_of(page).items()}
        whole, *joinery = [told for told in labels[mark].sizes if not told.startswith("tapers")]
        name = "Before turning" if "Before turning" in told else "Finished"  # of what is round from end to end
        assert whole == f"{name.lower()} {told[name]}"
        assert told[name].removesuffix(f" {units}") in printed
        assert bool(joinery) == ("With joinery" in told)
        if joinery:
            sawn = told["With joinery"].removesuffix(f" {units}").split(" × ")
            said = re.findall(LENGTH, joinery[0])
            assert [one.strip("≈") for one in said] in ([one.strip("≈") for one in sawn], [sawn[2].strip("≈")])


@pytest.mark.parametrize(("folder", "units"), CASES)
def test_joints_and_mates_are_the_same_on_label_record_and_mate_marks(folder: Path, units: Units) -> None:
    job, labels = sample_job(folder, units), labels_of(folder, units)
    numbered = {str(meeting.number): {meeting.entering, meeting.receiving} for _, meeting in job.build.meetings()}
    for mark, page in pages_of(job).items():
        meets = table(page, f"meets-{mark}")
        rows = [row for group in meets.groups for row in group.rows] if meets is not None else []
        on_record = {(plain(row.cells[0].text), plain(row.cells[1].text)) for row in rows}
        on_label = {tuple(meet.split(" ", 1)) for meet in labels[mark].meets}
        assert on_label == on_record
        assert all(numbered[number] == {mark, mate} for number, mate in on_label)
    pencilled = by_name(folder, units, "mate-marks")
    marked = table(pencilled, "mate-marks") if pencilled is not None else None
    for row in (row for group in marked.groups for row in group.rows) if marked is not None else ():
        numbers, one, _, other, *_ = (plain(cell.text) for cell in row.cells)
        pieces = [(mark, mate) for mark in expanded(one) for mate in expanded(other)]
        if ";" in numbers:  # all of one end, then all of the other
            pieces = [(mark, mate) for mate in expanded(other) for mark in expanded(one)]
        assert [numbered[str(number)] for number in numbers_in(numbers)] == [set(pair) for pair in pieces]


@pytest.mark.parametrize(("folder", "units"), CASES)
def test_stages_are_the_same_on_label_record_and_glue_up(folder: Path, units: Units) -> None:
    job, labels = sample_job(folder, units), labels_of(folder, units)
    for mark, page in pages_of(job).items():
        on_record = re.findall(r"stage (\d+)", stage_told(page))
        assert re.findall(r"\d+", labels[mark].stage) == on_record
    glue_up = by_name(folder, units, "glue-up")
    assert (glue_up is not None) == bool(job.stages)


@pytest.mark.parametrize(("folder", "units"), CASES)
def test_what_points_up_and_where_the_label_goes_are_the_same(folder: Path, units: Units) -> None:
    labels = labels_of(folder, units)
    for mark, page in pages_of(sample_job(folder, units)).items():
        up, stuck = facts_of(page).get("Points up", ""), labels[mark].sticking
        assert stuck is not None
        assert facts_of(page)["Label on"] == stuck.face
        if stuck.points.startswith("up, "):
            assert stuck.points == f"up, {up}"
        elif stuck.points:  # on a level face no arrow points up: that face itself looks up, or its opposite does
            assert up in ("face side", "back face", "face edge", "far edge")
