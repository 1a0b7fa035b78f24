"""Stages, counts, sizes and ends are the same wherever they stand: glue-up, mate marks, look-alikes, title, exploded
drawing, cut list, boards, piece drawings, labels and records.

Each sheet is read as it is printed and held against the others; nothing is asked of what they were made from.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from shopdocs.blocks.drawing import Drawing, Leader, Words
from shopdocs.blocks.sheets import Document, PieceLabel
from shopdocs.blocks.text import Checklist, Facts, Heading, Paragraph, Row, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents import stage_rooms as sheets
from shopdocs.documents.drawn.pictures import Picture
from shopdocs.documents.glue_up import glue_up
from tests.documents.test_drawings_agree import expanded
from tests.documents.test_same_on_all_sheets import (
    by_name,
    facts_of,
    labels_of,
    main_unit,
    numbers_in,
    stage_told,
    table,
)
from tests.sample_jobs import BY_NAME, PLACED, own_units, records_of, sample_job
from tests.values import replace

CASES = [pytest.param(folder, id=folder.name) for folder in PLACED]
STAGE = r"(\d+)[\s\u00a0]+(.+)"
JOINT = r"(?:Joints? |, |; )(\d+)(?=\u00a0\S|, \d| as before)"  # "Joints 1 RF end A into FL, 3 RB …; 5, 6 as before"


def sheet(folder: Path, name: str) -> Document:
    found = by_name(folder, own_units(folder), name)
    assert found is not None, name
    return found


def rows_of(document: Document, name: str) -> list[Row]:
    found = table(document, name)
    assert found is not None, name
    return [row for group in found.groups for row in group.rows]


def cells(row: Row) -> list[str]:
    return [plain(cell.text).replace("\u00a0", " ").strip() for cell in row.cells]


def labels(folder: Path) -> dict[str, PieceLabel]:
    return labels_of(folder, own_units(folder))


def stages_of_glue_up(folder: Path) -> dict[int, str]:
    """Number and title of each stage, from the heads of their pages."""
    heads = [b.text for b in walk(sheet(folder, "glue-up").blocks) if isinstance(b, Heading) and b.level == 1]
    found = [re.fullmatch(STAGE, head) for head in heads]
    return {int(each.group(1)): each.group(2) for each in found if each is not None}


def joints_by_stage(folder: Path) -> dict[int, set[int]]:
    """The joints that the steps of each stage close, those of glue and those that follow it."""
    closed: dict[int, set[int]] = defaultdict(set)
    stage = 0
    for block in walk(sheet(folder, "glue-up").blocks):
        if isinstance(block, Heading) and (head := re.fullmatch(STAGE, block.text)):
            stage = int(head.group(1))
        if isinstance(block, Checklist) and stage:
            if block.title.startswith("Without glue"):
                break  # what goes on after all stages
            for step in block.steps:
                closed[stage] |= {int(n) for n in re.findall(JOINT, plain(step.detail))}
    return closed


def groups(document: Document, name: str) -> Iterator[tuple[list[int], str, list[Row]]]:
    """The stages that divide a table: their numbers, their titles, rows."""
    found = table(document, name)
    for group in found.groups if found is not None else ():
        if head := re.fullmatch(r"Stages? (\d+(?:, \d+)*(?: and \d+)?), (.+)", group.title):
            yield [int(number) for number in re.findall(r"\d+", head.group(1))], head.group(2), list(group.rows)


@pytest.mark.parametrize("folder", CASES)
def test_a_stage_has_one_number_and_one_title_on_every_sheet(folder: Path) -> None:
    stages = stages_of_glue_up(folder)
    assert list(stages) == list(range(1, len(stages) + 1)) and stages
    glue_up = sheet(folder, "glue-up")
    calendar = [re.fullmatch(STAGE, cells(row)[0]) for row in rows_of(glue_up, "glue-up-calendar")]
    assert {int(each.group(1)): each.group(2) for each in calendar if each} == stages
    dry = [re.fullmatch(rf"Dry run {STAGE}", b.title) for b in walk(glue_up.blocks) if isinstance(b, Checklist)]
    assert {int(each.group(1)): each.group(2) for each in dry if each} == stages
    order = [cells(row)[1] for row in rows_of(sheet(folder, "title"), "build-order")]
    told = [step.removeprefix("Glue up ").split(":")[0] for step in order]
    assert [title for title in told if title in stages.values()] == list(stages.values())
    for name in ("mate-marks", "look-alikes"):
        for numbers, title, _ in groups(sheet(folder, name), name):
            *first, last = (stages[number] for number in numbers)
            assert title == (f"{', '.join(first)} and {last}" if first else last), name
    said = 0
    for page in records_of(sample_job(folder, own_units(folder))):
        for number, title in re.findall(r"stage (\d+), ([^;(]+)", stage_told(page)):
            assert stages[int(number)] == title.strip()
            said += 1
    assert said > 3
    finish = " ".join(
        plain(s.text) for b in walk(sheet(folder, "finish").blocks) if isinstance(b, Checklist) for s in b.steps
    )
    for number, title in re.findall(r"Before stage (\d+), ([^:]+?)(?= Before| The glue|$)", finish):
        assert finish.count(f"Before stage {number}, {stages[int(number)]}") == 1, title


@pytest.mark.parametrize("folder", CASES)
def test_a_joint_is_closed_marked_and_labelled_in_one_stage(folder: Path) -> None:
    closed, pieces, checked = joints_by_stage(folder), labels(folder), 0
    for numbers, _, rows in groups(sheet(folder, "mate-marks"), "mate-marks"):
        marked: set[int] = set()
        for row in rows:
            joint, one, _, other, *_ = cells(row)
            here = set(numbers_in(joint))
            (number,) = (number for number in numbers if here <= closed[number])  # a row is of one stage
            marked |= here
            for mark in (*expanded(one), *expanded(other)):
                assert number in map(int, re.findall(r"\d+", pieces[mark].stage)), (joint, mark)
                checked += 1
        assert marked == set().union(*(closed[number] for number in numbers)), numbers
    assert checked > 6


def legend(folder: Path) -> Iterator[tuple[str, str]]:
    """The marks of every part with its name, as the exploded drawing tells them."""
    for block in sheet(folder, "exploded").blocks:
        if isinstance(block, Paragraph) and " · " in plain(block.text):
            for told in plain(block.text).split(" · "):
                marks = re.match(r"(?:[A-Z][A-Za-z]*\d*(?:–[A-Z][A-Za-z]*\d+)?\u00a0+)+", told)
                assert marks is not None, told
                yield marks[0].replace("\u00a0", " "), told[marks.end() :].replace("\u00a0", " ")


@pytest.mark.parametrize("folder", CASES)
def test_pieces_and_counts_are_the_same_on_title_exploded_drawing_and_cut_list(folder: Path) -> None:
    named = {part: list(expanded(marks)) for marks, part in legend(folder)}
    total = 0
    for part, marks, count, *_ in map(cells, rows_of(sheet(folder, "cut-list"), "cut-list")):
        assert list(expanded(re.sub(r"\(.*\)", "", marks))) == named.pop(part), part
        total += int(count)
    assert not named
    facts = next(b for b in walk(sheet(folder, "title").blocks) if isinstance(b, Facts))
    said = dict((name, plain(value)) for name, value in facts.pairs)["Pieces"]
    first = {meet.split()[0] for label in labels(folder).values() for meet in label.meets}
    numbers = {int(word) for word in first - {"beside", "between"}}  # a strip lies beside another one
    assert said.startswith(f"{total} ") and said.endswith(f", {len(numbers)} joints")
    assert numbers == set(range(1, len(numbers) + 1))


@pytest.mark.parametrize("folder", CASES)
def test_rough_sizes_are_the_same_on_cut_list_records_and_boards(folder: Path) -> None:
    """On a board stands width × length of what is sawn there."""
    rough: dict[str, str] = {}
    for row in map(cells, rows_of(sheet(folder, "cut-list"), "cut-list")):
        marks = re.sub(r"\(.*\)", "", row[1])
        rough |= dict.fromkeys(expanded(marks), re.sub(r"^\d+ strips of ", "", main_unit(row[3])))
    for page in records_of(sample_job(folder, own_units(folder))):
        mark = page.title.split("-", 1)[1]
        facts = facts_of(page)
        told = main_unit(facts.get("Rough") or facts["Each rough"])
        assert told.endswith(f"{rough[mark]} {own_units(folder)}"), mark
    drawn = 0
    for block in walk(sheet(folder, "lumber").blocks):
        for words in (s.text for s in getattr(block, "shapes", ()) if isinstance(s, Words)):
            found = re.fullmatch(r"(\S+?)[\s\u00a0]+(≈?\S+ × \S+)", words.replace("\u00a0", " "))
            if found and found[1] in rough:
                assert rough[found[1]].split(" × ", 1)[1].replace("≈", "") == found[2].replace("≈", ""), words
                drawn += 1
    assert drawn > 3


# Left and right on a drawing are those of the one who looks at the face side; on a label those of the furniture.
SEEN = {
    "the front": ("left", "right"),
    "the rear": ("right", "left"),
    "the left": ("rear", "front"),
    "the right": ("front", "rear"),
    "above": ("left", "right"),
    "below": ("left", "right"),  # drawn with its left end at the left, too
}


@pytest.mark.parametrize("folder", CASES)
def test_ends_lie_on_drawings_as_labels_say(folder: Path) -> None:
    """End A at the bottom of a drawing: end B up on the label. At the left, seen from the rear: end A to the right."""
    pieces, checked = labels(folder), Counter[str]()
    for block in walk(sheet(folder, "piece-drawings").blocks):
        if not isinstance(block, Table) or not any(column.title == "Face side seen" for column in block.columns):
            continue
        drawn = ""  # where the drawing has end A: as the first piece lies
        for mark, where, *_ in (cells(row) for group in block.groups for row in group.rows):
            if ", end A" not in where:  # all lie alike but for their face edges
                assert re.fullmatch(r"from .+, face edge .+", where), where
                continue
            found = re.fullmatch(r"from (.+), end A (\w+)(: 0 is at end B)?(?:, face edge .+)?", where)
            assert found is not None, where
            drawn = drawn or found[2]
            if not found[3]:  # a mirror image has a drawing of its own
                checked["as drawn"] += 1
            else:
                assert found[2] != drawn, mark
            label = pieces[mark]
            if found[2] in ("bottom", "top") and label.sticking is not None:
                assert label.sticking.points == f"up, end {'B' if found[2] == 'bottom' else 'A'}", mark
                checked["up"] += 1
            told = re.fullmatch(r"end A to the (\w+)", label.warning)
            if told is not None and found[2] in ("left", "right"):
                assert told[1] == SEEN[found[1]][found[2] == "right"], mark
                checked["to a side"] += 1
    if folder.name in ("threshold_bench", "sorting_table"):
        assert checked["up"] == 4 and checked["to a side"] >= 2


def stage_pages(document: Document) -> dict[int, tuple[set[str], str]]:
    """By stage the marks that its pictures bear, or the words for a second one like it, and what else its page says."""
    pages: dict[int, tuple[set[str], str]] = {}
    stage = 0
    for block in walk(document.blocks):
        if isinstance(block, Heading) and block.level == 1:
            head = re.fullmatch(STAGE, block.text)
            stage = int(head.group(1)) if head else 0
        marks, told = pages.setdefault(stage, (set(), ""))
        if isinstance(block, Drawing):
            marks |= {shape.text for shape in block.shapes if isinstance(shape, Words | Leader)}
        if isinstance(block, Paragraph):
            pages[stage] = (marks, f"{told}\n{plain(block.text)}")
        if isinstance(block, Checklist):  # a second drawer is not drawn: its steps are those of the first
            again = [plain(step.text) for step in block.steps if re.search("same again|likewise", plain(step.text))]
            marks |= set(re.findall(r"\b[A-Z]+\d*\b", " ".join(again)))
    return pages


@pytest.mark.parametrize("folder", CASES)
def test_every_piece_that_goes_on_bears_its_mark_in_the_picture_or_is_told_without_one(folder: Path) -> None:
    pages, checked = stage_pages(sheet(folder, "glue-up")), 0
    for page in records_of(sample_job(folder, own_units(folder))):
        first = re.search(r"stage (\d+)", stage_told(page))
        if first is None or "Glued up from" in facts_of(page):  # a panel's picture shows its strips
            continue
        mark = page.title.split("-", 1)[1]
        marks, told = pages[int(first.group(1))]
        bare = re.search(r"Not marked in the picture[^:]*: (.*)\.", told)
        assert mark in marks or mark in expanded(re.sub(r",| and", " ", bare.group(1)) if bare else ""), mark
        checked += 1
    assert checked > 4


def test_a_piece_without_room_for_its_mark_is_named_under_the_picture(monkeypatch: pytest.MonkeyPatch) -> None:
    folder = BY_NAME["threshold_bench"]
    real = sheets.stage_picture

    def crowded(*asked: Any) -> Picture | None:
        found = real(*asked)
        return replace(found, unmarked=("RL",)) if found is not None else None

    monkeypatch.setattr(sheets, "stage_picture", crowded)
    told = stage_pages(glue_up(replace(sample_job(folder, "in"))))[1][1]  # with nothing made before
    assert "Not marked in the picture, where there was no room: RL." in told


@pytest.mark.parametrize("folder", CASES)
def test_every_stage_says_what_it_waits_for(folder: Path) -> None:
    """One pair of hands: what waits for no stage and no clamps begins when the one before is in its clamps."""
    rows = [cells(row) for row in rows_of(sheet(folder, "glue-up"), "glue-up-calendar")][:-1]
    for _, waits, begins, *_ in rows:
        assert waits and (waits == "nothing") == (begins == "at once"), waits
