"""The pins of a breadboard end are a step of their own, once for all ends of a stage."""

from __future__ import annotations

from pathlib import Path

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.glue_up import glue_up
from tests.sample_jobs import job_of

TOP = """
build: {title: Board top, mark: BT, units: mm, free standing: no}
materials: {oak: {kind: hardwood, species: white oak, rough: 27}}
parts:
  panel:
    material: oak
    size: 20 x 300 x 600
    runs: {length: x, width: y}
    pieces: {T: {x: 60, y: 0, z: 0}}
  cleat:
    material: oak
    size: 20 x 60 x 300
    runs: {length: y, width: x}
    pieces: {EL: {x: 0, y: 0, z: 0}, ER: {x: 660, y: 0, z: 0}}
joints:
  ends: {kind: breadboard end, pieces: [T into EL, T into ER], thickness: 7, length: 30, width: 6}
gluing:
  adhesive: yellow PVA
  stages: [{title: Ends, pieces: [T, EL, ER]}]
"""


def test_pins_are_tried_dry_and_driven_after_the_ends_are_on(tmp_path: Path) -> None:
    """Common practice, no source: the middle pin first, for it alone holds; the outer ones with no glue in the slot."""
    path = tmp_path / "build.yaml"
    path.write_text(TOP, "utf-8")
    lists = [block for block in walk(glue_up(job_of(path)).blocks) if isinstance(block, Checklist)]
    dry = [plain(step.text) for each in lists if each.title.startswith("Dry run") for step in each.steps]
    assert "Pins of joints 1, 2 go in dry" in dry
    (wet,) = [each for each in lists if each.title == "With wet glue"]
    told = [plain(step.text) for step in wet.steps]
    at = told.index("Drive the pins of joints 1, 2, the middle one of each first")
    assert told[at + 1] == "No clamps: the joints hold"
    assert all("over T" in words or "into" in words for words in told[at - 2 : at])
    assert "heads alone" in plain(wet.steps[at].detail)
    assert sum("pin" in f"{plain(step.text)} {plain(step.detail)}".lower() for step in wet.steps) == 1
