"""What the labels say: what is sawn has room on every sheet, and a piece tells all stages at which glue comes to it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Labels, PieceLabel
from shopdocs.core.display import Units
from shopdocs.core.length import Length
from shopdocs.page.compose import compose
from shopdocs.page.items import TextRun
from shopdocs.page.label_sheets import label_sheet_keys
from shopdocs.page.paper import paper
from shopdocs.page.style import style
from tests.sample_jobs import BOTH, BY_NAME, PAPER, SAMPLES, document_of, sample_job
from tests.values import replace

SHEETS = [key for key in label_sheet_keys() if not key.startswith("cut")]


def label_block(folder: Path, units: Units) -> Labels:
    (block,) = document_of(sample_job(folder, units), "labels").blocks
    assert isinstance(block, Labels)
    return block


def shown_on(label: PieceLabel, sheet: str, key: str) -> tuple[str, tuple[str, ...]]:
    """All words of one label, and what is noted."""
    job = sample_job(BY_NAME["plate_rack"], "mm")
    document = replace(document_of(job, "labels"), blocks=(Labels((label,), sheet),))
    pages = compose((document,), job.imprint, paper(key))
    runs = [item for frame in pages.frames for item in frame.items if isinstance(item, TextRun)]
    assert min(run.size for run in runs) >= style().floor
    return " / ".join(run.text for run in runs).replace("\u00a0", " "), pages.notes


def squeezed(words: str) -> str:
    return re.sub("[ /]", "", words)


def told(label: PieceLabel, shown: str) -> dict[str, bool]:
    """What of a label stands in the words that are shown of it, by the name a note has for it."""
    mates = [meet.split()[-1] for meet in label.meets]
    whole = squeezed(shown)
    sizes = [re.sub("[a-z]", "", squeezed(size)) for size in label.sizes]
    stuck = label.sticking
    return {
        "the name": label.name in shown,
        "the stage": label.stage in shown,
        "the joints": all(re.search(rf"\b{re.escape(mate)}\b", shown) for mate in mates),
        "the sizes": all(size in re.sub("[a-z]", "", whole) for size in sizes),
        "the warning": not label.warning or squeezed(label.short_warning or label.warning) in whole,
        "where to stick it": stuck is None or f"on {stuck.face.partition(',')[0]}" in shown.replace(":", ""),
        "what the arrow points to": stuck is None or not stuck.arrow or stuck.points in shown,
    }


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_what_is_not_shown_is_told(folder: Path, sheet: str) -> None:
    """Mark, code and arrow stand on every label."""
    for label in label_block(folder, "mm").labels:
        shown, notes = shown_on(label, sheet, "a4" if sheet.startswith("a4") else "letter")
        lost = {
            note.partition(" for ")[2].partition(":")[0].replace("some", "the")
            for note in notes
            if note.startswith("no room on labels")
        }
        found = told(label, shown)
        missing = {kind for kind, stands in found.items() if not stands}
        assert missing <= lost, (label.mark, missing - lost, shown)
        assert not lost & {"the code", "the arrow", "the end of the mark"}
        assert re.search(rf"(^| ){re.escape(label.mark)}( |$)", shown)


# One inch high or more, a label has room for its size and what is sawn, in figures of the build's own units.
@pytest.mark.parametrize("sheet", [key for key in SHEETS if key not in ("letter-80", "a4-65")])
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_sizes_stand_on_all_but_the_smallest_labels(folder: Path, sheet: str) -> None:
    units: Units = "in" if folder.name in ("threshold_bench", "seed_tote", "plate_rack") else "mm"
    for label in label_block(folder, units).labels:
        shown, _ = shown_on(label, sheet, "letter")
        assert told(label, shown)["the sizes"], (label.mark, shown)


def test_words_go_in_one_order() -> None:
    """Smaller and smaller labels of one piece: of the words under the mark none goes before those that matter less.
    Name and stage stand beside the mark where that leaves them room."""
    order = ["the joints", "the warning", "where to stick it", "the sizes"]
    label = next(label for label in label_block(BY_NAME["plate_rack"], "mm").labels if label.mark == "FD")
    for high in (60, 50, 40, 34, 30, 26, 22, 18, 9):
        stuck = replace(label.sticking, room=Length(high))  # type: ignore[type-var]
        shown, _ = shown_on(replace(label, sticking=stuck), "a4-12", "a4")
        found = [told(label, shown)[kind] for kind in order]
        assert found == sorted(found), (high, shown)


def test_a_warning_of_one_kind_names_all_pieces() -> None:
    job = sample_job(next(folder for folder in SAMPLES if folder.name == "potting_table"), "mm")
    document = document_of(job, "labels")
    (block,) = document.blocks
    assert isinstance(block, Labels)
    notes = compose((replace(document, blocks=(replace(block, sheet="a4-65"),)),), job.imprint, paper("a4")).notes
    kinds = [note.partition(":")[0] for note in notes if note.startswith("no room")]
    assert len(kinds) == len(set(kinds))


@pytest.mark.parametrize(
    ("sample", "expected"),
    [
        # read from the builds: which stage has both pieces of a joint on the bench for the first time
        ("threshold_bench", {"FL": "stages 1, 3", "RL": "stages 1, 3", "RR": "stages 2, 3", "RF": "", "T": ""}),
        ("spice_cabinet", {"TP": "stages 2, 3", "HR": "stages 2, 3", "R": "", "S1": "", "L": "stages 2, 3", "DP": ""}),
        ("potting_table", {"FL": "stages 1, 4", "AL": "", "EL": "stages 1, 4", "RU1": "", "AB": "stages 3, 4"}),
    ],
)
def test_a_piece_that_gets_glue_again_tells_all_its_stages(sample: str, expected: dict[str, str]) -> None:
    folder = next(folder for folder in SAMPLES if folder.name == sample)
    job = sample_job(folder, "mm")
    said = {label.mark: label.stage for label in label_block(folder, "mm").labels}
    assert {mark: said[mark] if "stages" in said[mark] else "" for mark in expected} == expected
    assert job.stages


@pytest.mark.parametrize("units", BOTH)
@pytest.mark.parametrize("name", ["seed_tote", "threshold_bench", "sorting_table", "plate_rack"])
def test_a_size_on_a_label_has_its_unit_before_its_name(name: str, units: Units) -> None:
    """ "finished" goes before the unit does: a size without a name is the finished one. What is not the finished size
    keeps its whole name: "joinery" says less than "with joinery". No piece of these is narrow."""
    job = sample_job(BY_NAME[name], units)
    composed = compose([document_of(job, "labels")], job.imprint, paper(PAPER[units]))
    runs = [item for frame in composed.frames for item in frame.items if isinstance(item, TextRun)]
    sizes = [run.text.replace("\u00a0", " ") for run in runs if "×" in run.text]
    assert len(sizes) >= len(job.build.parts)
    for words in sizes:
        assert re.search(rf" {units}$", words), words
    assert not [words for words in sizes if words.startswith("joinery")]
