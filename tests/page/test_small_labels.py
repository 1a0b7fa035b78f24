"""What the labels say: what is sawn has room on every sheet, and a piece tells all stages at which glue comes to it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Labels, PieceLabel
from shopdocs.core.display import Units
from shopdocs.documents.labels import labels
from shopdocs.page.compose import compose
from shopdocs.page.items import Symbol, TextRun
from shopdocs.page.label_sheets import label_sheet_keys
from shopdocs.page.paper import paper
from shopdocs.page.style import style
from tests.sample_jobs import SAMPLES, sample_job

SHEETS = [key for key in label_sheet_keys() if not key.startswith("cut")]


def label_block(folder: Path, units: Units) -> Labels:
    (block,) = labels(sample_job(folder, units)).blocks
    assert isinstance(block, Labels)
    return block


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_what_shows_and_what_is_sawn_stand_whole_on_every_sheet(folder: Path, sheet: str) -> None:
    for units in ("in", "mm"):
        job = sample_job(folder, units)  # type: ignore[arg-type]
        block = replace(label_block(folder, units), sheet=sheet)  # type: ignore[arg-type]
        document = replace(labels(job), blocks=(block,))
        pages = compose((document,), job.imprint, paper("letter"))
        runs = [item for frame in pages.frames for item in frame.items if isinstance(item, TextRun)]
        assert min(run.size for run in runs) >= style().floor
        shown = {run.text.replace("\u00a0", "").replace(" ", "") for run in runs}
        for label in block.labels:
            for words in (label.size, label.saw):
                figures = re.sub(r"[a-z ]", "", words)
                whole = any(figures in line for line in shown)
                parts = all(any(part in line for line in shown) for part in figures.split("×"))
                # millimetres turned into 32nds have no room side by side
                assert whole or (parts and units != job.build.units), (label.mark, words)


def told(label: PieceLabel, shown: str) -> dict[str, bool]:
    """What of a label stands in the words that are shown of it, by the name a warning has for it."""
    mates = [meet.split()[-1] for meet in label.meets]
    return {
        "the name": label.name in shown,
        "the stage": (label.stages or label.stage) in shown,
        "the mates": all(re.search(rf"\b{mate}\b", shown) for mate in mates),
        "what points up": not label.up or label.up in shown,
        "the warning": not label.warning or label.warning in shown or label.short_warning in shown,
    }


@pytest.mark.parametrize("sheet", ["a4-65", "letter-80"])
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_what_has_no_room_is_told_and_what_tells_a_piece_apart_goes_last(folder: Path, sheet: str) -> None:
    job = sample_job(folder, "mm")
    for label in label_block(folder, "mm").labels:
        document = replace(labels(job), blocks=(Labels((replace(label, code=""),), sheet),))
        pages = compose((document,), job.imprint, paper("a4"))
        (frame,) = pages.frames
        shown = " / ".join(run.text for run in frame.items if isinstance(run, TextRun)).replace("\u00a0", " ")
        found = told(label, shown.replace(f" {label.mark} ", " ", 1))
        lost = {note.partition(", ")[2].partition(":")[0].replace("some", "the") for note in pages.notes}
        lost -= {"load that paper for the labels"}
        assert {kind for kind, stands in found.items() if not stands} <= lost, (label.mark, shown)
        for later in ("what points up", "the mates"):  # on the bench they matter more than the name
            assert found[later] or not found["the name"], (label.mark, shown)


def test_a_warning_of_one_kind_names_all_pieces() -> None:
    job = sample_job(next(folder for folder in SAMPLES if folder.name == "potting_table"), "mm")
    document = labels(job)
    (block,) = document.blocks
    assert isinstance(block, Labels)
    notes = compose((replace(document, blocks=(replace(block, sheet="a4-65"),)),), job.imprint, paper("a4")).notes
    kinds = [note.partition(":")[0] for note in notes if note.startswith("left out")]
    assert len(kinds) == len(set(kinds)) <= 4
    assert any(note.endswith(": FD") for note in notes), "six mates, and a warning"


@pytest.mark.parametrize(
    ("sample", "expected"),
    [
        # read from the builds: which stage has both pieces of a joint on the bench for the first time
        ("threshold_bench", {"FL": "stages 1, 3", "RL": "stages 1, 3", "RR": "stages 2, 3", "RF": "", "T": ""}),
        ("spice_cabinet", {"TP": "stages 1, 2", "HR": "stages 1, 2", "R": "", "S1": "", "L": "stages 1, 2", "DP": ""}),
        ("potting_table", {"FL": "stages 1, 4", "AL": "", "EL": "stages 1, 4", "RU1": "", "AB": "stages 3, 4"}),
    ],
)
def test_a_piece_that_gets_glue_again_tells_all_its_stages(sample: str, expected: dict[str, str]) -> None:
    folder = next(folder for folder in SAMPLES if folder.name == sample)
    job = sample_job(folder, "mm")
    said = {label.mark: label.stages for label in label_block(folder, "mm").labels}
    assert {mark: said[mark] for mark in expected} == expected
    for label in label_block(folder, "mm").labels:
        if label.stages:
            assert label.stages.startswith(label.stage.replace("stage", "stages") + ", ")
    assert job.stages


def one(sheet: str, label: PieceLabel) -> tuple[list[str], list[Symbol]]:
    folder = SAMPLES[0]
    document = replace(labels(sample_job(folder, "in")), blocks=(Labels((label,), sheet),))
    (frame,) = compose((document,), sample_job(folder, "in").imprint, paper("letter")).frames
    runs = [item.text.replace("\u00a0", " ") for item in frame.items if isinstance(item, TextRun)]
    return runs, [item for item in frame.items if isinstance(item, Symbol)]


LABEL = PieceLabel(
    "FL", "TB", "leg", "60 × 60 × 850 mm", "end B", ("1 RF",), "stage 1", "not FR BL: mirror image", "X" * 80,
    saw="saw 890 mm long", stages="stages 1, 3, 5", short_warning="not FR BL", short_code="TB-FL",
)  # fmt: skip


def test_large_labels_say_everything() -> None:
    runs, _ = one("letter-10", LABEL)
    assert {"stages 1, 3, 5", "saw 890 mm long", "not FR BL: mirror image"} <= {run.strip() for run in runs}


def test_small_labels_take_the_short_code_and_keep_what_is_sawn() -> None:
    runs, codes = one("a4-65", LABEL)
    assert {"60 × 60 × 850 mm", "saw 890 mm long"} <= set(runs)
    assert [len(code.rows) for code in codes] == [21]  # ISO/IEC 18004: version 1
    assert codes[0].module * 25.4 / 72 >= 0.41  # common practice, no source


def test_a_size_is_not_broken_between_its_figures() -> None:
    runs, _ = one("a4-65", replace(LABEL, code="X" * 80, short_code="", saw="saw 89012345678901 mm long"))
    assert all("89012345678901" in run for run in runs if "8901" in run)
