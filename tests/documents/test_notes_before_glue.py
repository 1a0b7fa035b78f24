"""What the maker noted of a joint is read before the glue is open, and stands at its own piece; a panel is cut once
it is one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Bullets, Checklist, Heading, Paragraph, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import Job
from tests.documents.test_notes import job_of
from tests.sample_jobs import PLACED, document_of, sample_job
from tests.small_builds import shelf_between_sides

# A shelf S between two sides of strips; L is a stage of its own, R is glued up in the stage that closes the shelf.
RACK = (
    shelf_between_sides("\n    strips: 2", ", note: Try it dry first")
    + """\
cuts:
  pull: {kind: recess, depth: 3, on: [{piece: side, face: face, along: 20 to 60, across: 90 to 110}]}
gluing:
  adhesive: slow PVA
  stages:
    - {title: Left side, pieces: [L]}
    - {title: Case, pieces: [R, S], uses: [Left side]}
"""
)
# Without places: the bottom B goes into four grooves and is not drawn, K has nothing at all; both have notes.
TRAY = """
build: {title: Tray, mark: T, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 27}}
parts:
  side: {material: oak, size: 12 x 60 x 300, pieces: [A, B]}
  bottom: {material: oak, size: 6 x 200 x 280, pieces: [C], note: Quarter-sawn}
  wedge: {material: oak, size: 6 x 20 x 40, pieces: [W], note: From an offcut}
joints:
  bottom: {kind: tongue and groove, depth: 5, thickness: 6, pieces: [C into A, C into B], note: No glue in there}
cuts:
  grip: {kind: cut-out, on: [{piece: side, face: face side, along: 100 to 200, across: 10 to 34}]}
"""


def lists(job: Job) -> dict[str, list[str]]:
    """The steps of every list of the glue-up, stage by stage, with what is told under them."""
    found: dict[str, list[str]] = {}
    stage = ""
    for block in walk(glue_up(job).blocks):
        if isinstance(block, Heading) and block.text[:1].isdigit():
            stage = block.text[0]
        if isinstance(block, Checklist):
            title = block.title if block.title.startswith("Dry run") else f"{stage} {block.title}"
            found.setdefault(title, []).extend(f"{plain(s.text)} {plain(s.detail)}".strip() for s in block.steps)
    return found


def test_a_note_of_a_joint_is_read_at_the_dry_run(tmp_path: Path) -> None:
    told = lists(job_of(RACK, tmp_path))
    at = [title for title, steps in told.items() if any("Try it dry first" in step for step in steps)]
    assert at == ["Dry run 2  Case"]
    (step,) = (step for step in told["Dry run 2  Case"] if "Try it dry first" in step)
    assert {"1", "2"} <= {*re.findall(r"\d+", step)}


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_no_note_of_a_joint_stands_among_steps_with_wet_glue(folder: Path) -> None:
    """Of joints that are glued; that a panel floats is said where it goes in."""
    job = sample_job(folder, "mm")
    notes = [joint.note for joint in job.build.joints if joint.note and joint.glued]
    wet = [
        step for title, steps in lists(job).items() if "With wet glue" in title or "at once" in title for step in steps
    ]
    assert wet and not [step for step in wet for note in notes if note in step]


def test_a_panel_is_cut_when_it_is_one(tmp_path: Path) -> None:
    """L is in strips before stage 1, R before stage 2 is one: it is glued up before all stages."""
    told = lists(job_of(RACK, tmp_path))
    assert not any("is cut in" in step for step in told["Dry run 1  Left side"])
    after = told["1 When the glue has set"]
    assert next(i for i, step in enumerate(after) if step.startswith("Scrape and plane L")) < after.index(
        "Pull is cut in L"
    )
    assert "Pull is cut in R" in told["Dry run 2  Case"]


def under_headings(document: Document) -> Iterator[tuple[str, str]]:
    heading = ""
    for block in walk(document.blocks):
        if isinstance(block, Heading):
            heading = block.text
        elif isinstance(block, (Bullets, Paragraph)):
            yield from ((heading, plain(line)) for line in texts(block))


def test_notes_of_pieces_without_a_drawing_name_them(tmp_path: Path) -> None:
    """Not under the heading of the piece drawn last; and a piece with two tongues is not said to have no joints."""
    job = job_of(TRAY, tmp_path)
    drawn = next(d for d in make_documents(job) if d.name == "piece-drawings")
    found = list(under_headings(drawn))
    for words in ("C: Quarter-sawn", "C: Joints 1, 2: No glue in there", "W: From an offcut"):
        assert ("Not drawn", words) in found
    told = [words for heading, words in found if heading == "Not drawn"]
    assert "No joints or holes, so the cut list is enough: W." in told
    assert any(words.startswith("Nothing but joints") and words.endswith(": C.") for words in told)
    marks = document_of(job, "mate-marks")
    assert not any("No glue in there" in plain(line) for block in walk(marks.blocks) for line in texts(block))
