"""Stages that are each other's mirror image are told once, and what is said of both is true of both.

Read by hand from the builds: the ends of the bench, of the potting table and of the rack stand mirrored left and right;
the rack's upper frame has shorter slats than the lower one, and the cabinet has no two sub-assemblies of one make.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document, SideBySide, Together
from shopdocs.blocks.text import Bullets, Checklist, Heading, Row, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.fitting.by_side import by_side, can_be_one
from shopdocs.documents.fitting.twin_stages import stages_title, twin_of, twin_stages
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.look_alikes import look_alikes
from shopdocs.documents.mate_marks import mate_marks
from tests.sample_jobs import BY_NAME, PLACED, own_units, sample_job


def twins(name: str) -> list[tuple[int, ...]]:
    runs = twin_stages(sample_job(BY_NAME[name], own_units(BY_NAME[name]))).values()
    return sorted({tuple(work.number for work in run) for run in runs if len(run) > 1})


def test_which_stages_are_of_one_make() -> None:
    assert twins("threshold_bench") == twins("potting_table") == twins("plate_rack") == [(1, 2)]
    assert twins("spice_cabinet") == twins("loft_stool") == []


def test_each_piece_has_its_twin() -> None:
    job = sample_job(BY_NAME["threshold_bench"], "in")
    assert twin_of(job, job.stages[0], job.stages[1]) == {"FL": "FR", "BL": "BR", "RL": "RR"}
    assert twin_of(job, job.stages[0], job.stages[2]) == {}
    assert stages_title(job.stages[:2]) == "Stages 1 and 2, Left end and Right end"
    assert stages_title(job.stages[2:3]) == "Stage 3, Frame"


def test_one_sentence_for_both_sides() -> None:
    """What differs is told with its pieces, where it stands; in brackets already it needs no others."""
    told = [("FL", "mortise on the right, housing underneath"), ("FR", "mortise on the left, housing underneath")]
    assert by_side(told) == "mortise on the right (FR: on the left), housing underneath"
    out = [("FL", "turned (8 mm too far left)"), ("FR", "turned (8 mm too far right)")]
    assert by_side(out) == "turned (8 mm too far left; FR: too far right)"
    assert by_side(told[:1]) == told[0][1]
    assert can_be_one([words for _, words in told])
    assert not can_be_one(["mortise on the right", "groove on the right"])
    assert not can_be_one([f"mortise {side}" for side in ("on the right", "on the left", "at the rear")])
    assert not can_be_one(["end A up", "end A down"])  # what lies the other way up is another matter


def rows_of(document: Document) -> dict[str, list[Row]]:
    """The rows of its table by the title of their group."""
    found = next(block for block in walk(document.blocks) if isinstance(block, Table))
    return {group.title: list(group.rows) for group in found.groups}


def test_the_legs_of_the_bench_are_one_row() -> None:
    """Worked out in test_mistakes: each leg also goes in a quarter round, 3/8 toward its own side; its face side looks
    to the front or the rear, the mortise of its long rail inwards."""
    rows = rows_of(look_alikes(sample_job(BY_NAME["threshold_bench"], "in")))["Stages 1 and 2, Left end and Right end"]
    cells = {plain(row.cells[0].text): [plain(cell.text) for cell in row.cells[1:5]] for row in rows}
    assert cells["FL  FR  BL  BR"] == [
        "a quarter turn (³⁄₈ in too far left; FR  BR: too far right)",
        "face side to the front (BL  BR: to the rear)",
        "mortise on the right (FR  BR: on the left)",
        "only at stage 3, Frame",
    ]
    assert cells["RL  RR"][2] == "housing on the right (RR: on the left), underneath"


def test_a_swap_that_only_a_depth_tells_says_which_cut_takes_what() -> None:
    """The long rails' tenons are 1 1/4 in, the short ones' 11/16: the deeper mortise is the long rail's; outside they
    are alike. Both legs are shown cut through."""
    rows = rows_of(look_alikes(sample_job(BY_NAME["threshold_bench"], "in")))["Stages 1 and 2, Left end and Right end"]
    (swap,) = (row for row in rows if plain(row.cells[1].text).startswith("swapped"))
    assert plain(swap.cells[3].text).startswith("the deeper mortise takes RF or RB; stood on end A, face side to you: ")
    right, wrong = swap.cells[5:]
    assert right.drawing is not None and wrong.drawing is not None
    assert plain(right.text) == "BL, cut through"


def test_rails_of_which_any_goes_in_for_any_are_one_row() -> None:
    """The rack's four rails, from its build: the back stands in grooves of the rear two, the hook strip is screwed to
    the upper front one. A rear rail in front leaves one without a groove behind, and the back finds it."""
    rows = rows_of(look_alikes(sample_job(BY_NAME["plate_rack"], "in")))["Stage 3, Upper frame"]
    told = [[plain(cell.text) for cell in row.cells] for row in rows if "different joints" in plain(row.cells[1].text)]
    assert [row[0] for row in told] == ["BD, BU, FD, FU"]
    assert told[0][3] == (
        "BD: groove in the face edge; BU: groove in the far edge; FU: 3 pilot holes in the back face; FD: none of these"
    )
    assert told[0][4] == "FD and FU: nothing stops it; others only at stage 5, Final glue-up"


@pytest.mark.parametrize("name", ["threshold_bench", "potting_table"])
def test_mate_marks_of_both_stand_under_one_head(name: str) -> None:
    groups = rows_of(mate_marks(sample_job(BY_NAME[name], own_units(BY_NAME[name]))))
    first, *_ = groups
    assert first == "Stages 1 and 2, Left end and Right end" and len(groups[first]) == 2


@pytest.mark.parametrize("name", ["threshold_bench", "potting_table", "sorting_table"])
def test_twins_stand_beside_each_other_and_their_mistakes_once_below(name: str) -> None:
    job = sample_job(BY_NAME[name], own_units(BY_NAME[name]))
    (block,) = (b for b in glue_up(job).blocks if isinstance(b, Together) and len(stage_heads(b)) > 1)
    assert [head.text for head in stage_heads(block)] == ["1  Left end", "2  Right end"]
    beside, *under = block.blocks
    assert isinstance(beside, SideBySide) and len(beside.columns) == 2
    for work, column in zip(job.stages[:2], beside.columns, strict=True):
        steps = " ".join(plain(s.text) for b in walk(column) if isinstance(b, Checklist) for s in b.steps)
        assert all(mark in steps for mark in work.stage.pieces)
        assert not any(isinstance(one, Bullets) for one in walk(column))
    (told,) = (one for one in under if isinstance(one, Bullets))
    words = [plain(item) for item in told.items]
    assert len(words) == len(set(words))


def stage_heads(block: Together) -> list[Heading]:
    return [one for one in walk(block.blocks) if isinstance(one, Heading) and one.anchor.startswith("stage-")]


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_both_ways_to_lay_the_stages_say_the_same(folder: Path) -> None:
    """Beside each other or in little height, every step stands on the sheet, once, in the order of the stages."""
    document = glue_up(sample_job(folder, "mm"))
    if document.instead:
        for blocks in (document.blocks, document.instead):
            assert steps_of(blocks) == sorted(steps_of(blocks), key=lambda step: step[0])
        assert sorted(steps_of(document.blocks)) == sorted(steps_of(document.instead))


def steps_of(blocks: tuple[object, ...]) -> list[tuple[int, str]]:
    """The steps with the number of the stage they stand under."""
    found: list[tuple[int, str]] = []
    stage = 0
    for block in walk(blocks):  # type: ignore[arg-type]
        if isinstance(block, Heading) and block.anchor.startswith("stage-"):
            stage = int(block.anchor.removeprefix("stage-"))
        if isinstance(block, Checklist):
            found += [(stage, f"{plain(step.text)} {plain(step.detail)}") for step in block.steps]
    return found
