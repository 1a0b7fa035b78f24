"""What a stage says while its glue is wet: of what it can be checked for, and of clamps only where there are some."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.glue_up import has_stages
from tests.documents.test_notes import job_of
from tests.sample_jobs import SAMPLES, document_of, own_units, sample_job

STAGED = [folder for folder in SAMPLES if has_stages(sample_job(folder, own_units(folder)))]


@pytest.mark.parametrize("folder", STAGED, ids=lambda folder: folder.name)
def test_legs_that_splay_are_not_checked_for_square_corners(folder: Path) -> None:
    """The stool is the one sample whose legs lean: corner to corner they are no frame; from foot to foot they are."""
    told = [plain(step.detail) for one in lists(folder) for step in one.steps]
    square, feet = (any(words in said for said in told) for words in ("square corner to corner", "from foot to foot"))
    assert feet is (folder.name == "loft_stool")
    assert square is (folder.name != "loft_stool")


# A shelf in sliding dovetails: driven in from the front, they hold themselves, and no clamp could draw them tighter.
SHELF = """
build: {title: Shelf, mark: S, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 34}}
parts:
  side:
    material: oak
    size: 20 x 200 x 400
    runs: {length: z, width: y}
    pieces: {L: {x: 0, y: 0, z: 0}, R: {mirror: L across x at 300}}
  shelf:
    material: oak
    thickness: 20
    width: 200
    runs: {length: x, width: y}
    pieces: {S: {x: L.right to R.left, y: 0, z: 200}}
joints: {shelf: {kind: sliding dovetail, from: shelf, into: side, depth: 8}}
gluing: {adhesive: yellow PVA, clamp time: 1 h, shop: 19 C, stages: [{title: All, pieces: [L, R, S]}]}
"""


def test_a_stage_that_needs_no_clamp_puts_none_on(tmp_path: Path) -> None:
    (document,) = make_documents(job_of(SHELF, tmp_path), ("glue-up",))
    lists = [block for block in walk(document.blocks) if isinstance(block, Checklist)]
    steps = [plain(step.text) for one in lists for step in one.steps]
    assert "Clamps on" not in steps and "No clamps: the joints hold" in steps
    assert not any(step.startswith("Leave them on") for step in steps)
    assert "In the clamps" not in {one.title for one in lists}


def lists(folder: Path) -> list[Checklist]:
    document = document_of(sample_job(folder, own_units(folder)), "glue-up")
    return [block for block in walk(document.blocks) if isinstance(block, Checklist)]
