"""What stands on a label, walked through the glue-up: its stages, what it joins, which way up it goes.

Labels, glue-up and look-alikes are read as they are printed and held against each other.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import PieceLabel
from shopdocs.blocks.text import Bullets, Checklist, Heading, plain
from shopdocs.blocks.walk import walk
from tests.documents.test_drawings_agree import expanded
from tests.documents.test_stages_and_counts_agree import (
    CASES,
    STAGE,
    cells,
    groups,
    joints_by_stage,
    labels,
    rows_of,
    sheet,
)

OPPOSITE = {"end A": "end B", "face side": "back face", "face edge": "far edge"}
OPPOSITE |= {other: face for face, other in OPPOSITE.items()}
FACE = "|".join(OPPOSITE)
LIES = re.compile(rf"({FACE}) (up|down|to the left|to the right|to the front|to the rear)\b")
POINTS = re.compile(rf"(up|down|left|right|front|rear), ({FACE})")
BACK = {"up": "down", "to the left": "to the right", "to the front": "to the rear"}
BACK |= {other: way for way, other in BACK.items()}


def numbers(words: str) -> set[int]:
    return {int(number) for number in re.findall(r"\d+", words)}


@pytest.mark.parametrize("folder", CASES)
def test_the_stages_of_a_label_are_those_whose_steps_name_its_joints(folder: Path) -> None:
    """In every stage on a label a joint of the piece is closed, or its strips are glued, or it is there without glue;
    and a joint on the label is closed in no other stage."""
    closed, told, checked = joints_by_stage(folder), steps_by_stage(folder), 0
    for mark, label in labels(folder).items():
        own = {int(meet.split()[0]) for meet in label.meets if meet.split()[0].isdecimal()}
        for stage in numbers(label.stage):
            assert own & closed[stage] or mark in told[stage], (mark, stage)
            checked += 1
        for stage, joints in closed.items():
            assert not own & joints or stage in numbers(label.stage), (mark, stage)
    assert checked > 6


@pytest.mark.parametrize("folder", CASES)
def test_a_label_names_all_stages_of_its_glue_and_no_other(folder: Path) -> None:
    """Those in which a joint of the piece is closed, and that in which its strips are glued; the word is "stages"
    where there are several."""
    closed, told = joints_by_stage(folder), steps_by_stage(folder)
    every = labels(folder)
    strips = {mark: strips_of(mark, every) for mark in every}
    for mark, label in every.items():
        own = {int(meet.split()[0]) for meet in label.meets if meet.split()[0].isdecimal()}
        glued = {stage for stage, joints in closed.items() if own & joints}
        of_strip = mark if any(mark in some for some in strips.values()) else next(iter(strips[mark]), "")
        glued |= {stage for stage, marks in told.items() if of_strip in marks}
        word = "stages" if len(glued) > 1 else "stage"
        assert label.stage == (f"{word} {', '.join(map(str, sorted(glued)))}" if glued else ""), mark


@pytest.mark.parametrize("folder", CASES)
def test_what_two_labels_say_of_one_joint(folder: Path) -> None:
    """The number of a joint stands on the labels of the two pieces that it joins, on each with the mark of the other;
    of a strip its label names the strips before and after it."""
    every = labels(folder)
    joined: dict[int, list[tuple[str, ...]]] = defaultdict(list)
    for mark, label in every.items():
        for meet in label.meets:
            number, *other = meet.split()
            if number.isdecimal():
                joined[int(number)].append((mark, *other))
    assert sorted(joined) == list(range(1, len(joined) + 1)) and joined
    for number, ((one, other), *more) in joined.items():
        assert more == [(other, one)], number
    for mark in every:
        strips = sorted(strips_of(mark, every))
        for k, strip in enumerate(strips):
            beside = [strips[n] for n in (k - 1, k + 1) if 0 <= n < len(strips)]
            words = f"between {beside[0]} and {beside[1]}" if len(beside) > 1 else f"beside {beside[0]}"
            assert list(every[strip].meets) == [words], strip
            assert every[strip].name.startswith(f"strip of {mark}, "), strip


def strips_of(mark: str, every: Iterable[str]) -> set[str]:
    """The strips of a piece: its mark and a small letter."""
    return {other for other in every if re.fullmatch(rf"{mark}[a-z]", other)}


def steps_by_stage(folder: Path) -> dict[int, set[str]]:
    """The marks that the large words of each stage's steps name."""
    found: dict[int, set[str]] = defaultdict(set)
    stage = 0
    for block in walk(sheet(folder, "glue-up").blocks):
        if isinstance(block, Heading) and (head := re.fullmatch(STAGE, block.text)):
            stage = int(head.group(1))
        if isinstance(block, Checklist) and stage:
            for step in block.steps:
                words = re.sub(r",|;| and\b|\d+\u00a0\u00a0", " ", plain(step.text))
                if strips := re.search(r"\b(\w+)([a-z])–\1([a-z])", words):
                    first, last = (ord(letter) for letter in strips.groups()[1:])
                    found[stage] |= {f"{strips[1]}{chr(letter)}" for letter in range(first, last + 1)}
                for word in words.split():
                    found[stage] |= {word, *expanded(word)} if re.fullmatch(r"[A-Z]\w*(–[A-Z]\w*)?", word) else set()
    return found


def lies(words: str) -> Iterator[tuple[str, str]]:
    """Which face lies which way; of the opposite face the opposite way is said as well."""
    for face, way in LIES.findall(words):
        yield face, way
        yield OPPOSITE[face], BACK[way]


def of_one(words: str, mark: str) -> str:
    """Of "face side to the front (BL BR: to the rear)" what is said of one piece."""
    found = re.compile(r"((?:to|at|on) the \w+) \(([^():]+): ([^()]+)\)")
    return found.sub(lambda each: each[3] if mark in expanded(each[2]) else each[1], words)


def of_label(label: PieceLabel) -> Iterator[tuple[str, str]]:
    yield from lies(label.warning)
    if label.sticking is not None and (found := POINTS.fullmatch(label.sticking.points)):
        way = found[1] if found[1] in ("up", "down") else f"to the {found[1]}"
        yield from lies(f"{found[2]} {way}")


@pytest.mark.parametrize("folder", CASES)
def test_which_way_up_is_the_same_on_label_stage_and_look_alikes(folder: Path) -> None:
    """A face that the label says is up, or an end that it says is to the left, is so wherever else it is told."""
    said: dict[str, dict[str, str]] = {mark: dict(of_label(label)) for mark, label in labels(folder).items()}
    told: list[tuple[str, str]] = []
    for block in walk(sheet(folder, "glue-up").blocks):
        if isinstance(block, Bullets):
            lines = [plain(item).partition(". Also fit") for item in block.items]
            told += [(names, right) for whole, also, _ in lines if also for names, _, right in [whole.partition(": ")]]
    for _, _, rows in groups(sheet(folder, "look-alikes"), "look-alikes"):
        told += [(row[0], row[2]) for row in map(cells, rows)]
    checked = 0
    for names, right in told:
        for mark in expanded(re.sub(r",| and\b", " ", names)):
            for face, way in lies(of_one(right, mark)):
                if mark in said:
                    assert said[mark].setdefault(face, way) == way, (mark, face, names, right)
                    checked += 1
    if folder.name in ("threshold_bench", "plate_rack"):
        assert checked > 8


@pytest.mark.parametrize("folder", CASES)
def test_what_a_label_joins_is_what_the_step_brings_together(folder: Path) -> None:
    """ "5 RL" on the label of FL: the line of joint 5 in the steps names both."""
    lines = " ".join(
        plain(step.detail).replace("\u00a0", " ")
        for block in walk(sheet(folder, "glue-up").blocks)
        if isinstance(block, Checklist)
        for step in block.steps
    )
    marks = {row[0]: row for row in map(cells, rows_of(sheet(folder, "cut-list"), "cut-list"))}
    assert marks
    named = {int(n): {one, two} for n, one, two in re.findall(JOINS, lines)}
    assert named
    for mark, label in labels(folder).items():
        for meet in label.meets:
            number, *others = meet.split()
            if number.isdecimal() and int(number) in named:
                assert {mark, *others} == named[int(number)], (mark, meet)


JOINS = r"\b(\d+) (\w+)(?: end [AB])? (?:\w+ )?(?:into|through|in|over|onto|to|against|with) (?:the \w+ of )?(\w+)"
