"""What leans goes to thousandths of a millimetre; a sixteenth of an inch is no whole number of them. Every sheet of a
stand in inches is made all the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.problems import Severity
from shopdocs.documents.catalogue import make_documents
from shopdocs.page.compose import compose
from shopdocs.page.paper import paper
from shopdocs.pipeline import check_build
from tests.sample_jobs import job_of

STAND = """
build: {title: Fern stand, mark: FS, units: in}
materials:
  cherry 8/4: {kind: hardwood, species: black cherry, rough: 8/4}
  cherry 5/4: {kind: hardwood, species: black cherry, rough: 5/4}
parts:
  top:
    material: cherry 5/4
    size: 1 x 14 x 14
    strips: 2
    runs: {length: x, width: y}
    pieces: {T: {x: 0, y: 0, z: 26}}
  leg:
    material: cherry 8/4
    thickness: 1-1/2
    width: 1-1/2
    runs: {length: z, width: x}
    pieces:
      FL: {x: centred on 3, y: centred on 3, z: 0 to T.bottom, lean: {splay: 1 in 10, rake: 1 in 10}}
      FR: {mirror: FL across x at 7}
      BL: {mirror: FL across y at 7}
      BR: {mirror: FR across y at 7}
  rail:
    material: cherry 5/4
    thickness: 3/4
    width: 2
    runs: {length: x, width: z}
    pieces:
      RF: {x: FL.right to FR.left, y: centred on (FL.front + FL.back) / 2, z: 8}
      RB: {mirror: RF across y at 7}
joints:
  legs: {kind: round tenon, from: leg, into: top, thickness: 3/4, length: 5/8}
  rails: {kind: mortise and tenon, from: rail, into: leg, thickness: 1/4, length: 5/8}
hardware:
  glide: {holes: [{bit: 3/16, depth: 5/8}], on: [{piece: leg, face: A, along: width / 2, across: thickness / 2}]}
gluing: {adhesive: slow epoxy, stages: [{title: All, pieces: [FL, FR, BL, BR, RF, RB, T]}]}
finish: {kind: hardwax oil, coats: 2}
"""


@pytest.mark.thorough
def test_every_sheet_is_made(tmp_path: Path) -> None:
    file = tmp_path / "build.yaml"
    file.write_text(STAND, "utf-8")
    job = job_of(file)
    documents = make_documents(job, ())
    names = {document.name for document in documents}
    assert {"glue-up", "mate-marks", "angles", "piece-drawings", "look-alikes", "labels", "templates"} <= names
    assert compose(documents, job.imprint, paper("letter")).frames


@pytest.mark.parametrize("hole", ["bit: 1/4, depth: 3/4", "bit: 1, depth: 1-1/4"])
def test_holes_beside_a_mortise_need_no_common_measure_with_its_room(tmp_path: Path, hole: str) -> None:
    """1/16 in of room is 127/80 mm, no whole number of thousandths; 1/4, 3/4 and 1 in are."""
    file = tmp_path / "build.yaml"
    file.write_text(STAND.replace("bit: 3/16, depth: 5/8", hole), "utf-8")
    build, _, problems = check_build(str(file))
    assert build is not None
    assert not [each for each in problems if each.severity is Severity.ERROR]
