"""A stage begins where its first steps are: a title alone at the foot of a page lies turned over at the bench."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.page.compose import compose
from shopdocs.page.items import Frame, TextRun
from shopdocs.page.paper import paper
from tests.sample_jobs import BY_NAME, SAMPLES, document_of, own_units, sample_job


def headed(frames: list[Frame], name: str) -> tuple[Frame, float]:
    """The page on which a stage begins, and how high."""
    ((frame, y),) = [(frame, y) for frame in frames for anchor, y in frame.anchors if anchor == name]
    return frame, y


def check(folder: Path, key: str) -> None:
    """Compose the glue-up, and find the list of steps under the title of every stage."""
    job = sample_job(folder, own_units(folder))
    if not job.stages:
        return
    frames = compose((document_of(job, "glue-up"),), job.imprint, paper(key)).frames
    for work in job.stages:
        if work.meetings or work.panels:
            frame, y = headed(frames, f"stage-{work.number}")
            under = [run.text for run in frame.items if isinstance(run, TextRun) and run.y < y]
            assert "With wet glue" in " ".join(under), f"{folder.name}: stage {work.number}"


def test_a_stage_begins_on_the_page_of_its_steps() -> None:
    """The second stage of the stool takes a whole page of letter, the lower of the two papers."""
    check(BY_NAME["loft_stool"], "letter")


@pytest.mark.thorough
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
@pytest.mark.parametrize("key", ["a4", "letter"])
def test_every_stage_begins_on_the_page_of_its_steps(folder: Path, key: str) -> None:
    check(folder, key)
