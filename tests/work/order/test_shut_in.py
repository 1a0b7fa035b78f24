"""Pieces that nothing holds but the wood round them: which stage shuts them in, by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, Stop, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import make_job
from shopdocs.pipeline import propose_stages
from shopdocs.pipeline.checking import checked
from shopdocs.work.computed import Computed
from shopdocs.work.order.closing import Outcome
from tests.work.order.replay import faults

# Two ends, each with a slot 10 deep that opens nowhere but on the inside; two rails glued between them;
# a shelf that lies 8 deep in both grooves, and no joint of the build says so.
SHELF = """
build: {title: Wall shelf, mark: W, units: mm, free standing: no}
materials:
  ash 34: {kind: hardwood, rough: 34}
parts:
  end:
    material: ash 34
    thickness: 24
    width: 200
    length: 300
    runs: {length: z, width: y}
    pieces:
      L: {x: 0, y: 0, z: 0}
      R: {x: 424, y: 0, z: 0}
  rail:
    material: ash 34
    thickness: 20
    width: 60
    length: 400
    runs: {length: x, width: z}
    pieces:
      T: {x: 24, y: 90, z: 230}
      B: {x: 24, y: 90, z: 10}
  shelf:
    material: ash 34
    thickness: 18
    width: 140
    length: 416
    runs: {length: x, width: y}
    pieces:
      S: {x: 16, y: 30, z: 120}
cuts:
  slot: {kind: recess, depth: 10, on: [{piece: L, face: back, along: 120 to 138, across: 30 to 170}]}
  other slot: {kind: recess, depth: 10, on: [{piece: R, face: face, along: 120 to 138, across: 30 to 170}]}
joints:
  rails: {kind: mortise and tenon, from: rail, into: end, thickness: 8, length: 15, shoulder: 8}
gluing:
  adhesive: slow epoxy
  stages:
    - {title: All of it, pieces: [L, R, T, B]}
"""


def computed(folder: Path, text: str) -> tuple[Computed, list[str]]:
    path = folder / "build.yaml"
    path.write_text(text, "utf-8")
    found = checked(str(path), None)
    assert found.work is not None, found.problems
    return found.work, [f"{each.code}: {each.wrong}; {each.right}" for each in found.problems]


def test_a_shelf_in_stopped_grooves_is_told_and_barred(tmp_path: Path) -> None:
    work, told = computed(tmp_path, SHELF)
    assert [(each.mark, each.number) for each in work.shut_in] == [("S", 1)]
    (line,) = [each for each in told if each.startswith("shut-in")]
    assert "'All of it' shuts 'S' in" in line and "add S to the pieces of 'All of it'" in line
    # that there is no way in for it afterwards is said by that line, and is not a second fault
    assert work.left is not None and work.left.locked
    assert not [each for each in told if each.startswith("no-order")]
    job = make_job(work.build, work.shop, work.build.display, "", "letter-30", work=work)
    bars = [block.title for block in walk(glue_up(job).blocks) if isinstance(block, Stop)]
    assert "S in place first" in bars


def test_named_it_goes_in_before_the_second_end(tmp_path: Path) -> None:
    work, told = computed(tmp_path, SHELF.replace("[L, R, T, B]", "[L, R, T, B, S]"))
    assert not work.shut_in and not [each for each in told if each.startswith("shut-in")]
    order = work.stages[0].order
    assert order.outcome is Outcome.FOUND and not order.later
    names = [closing.what[0] for closing in order.closings]
    assert names.index("S") < max(names.index("L"), names.index("R"))
    assert list(faults(work)) == []
    job = make_job(work.build, work.shop, work.build.display, "", "letter-30", work=work)
    steps = [plain(s.text) for b in walk(glue_up(job).blocks) if isinstance(b, Checklist) for s in b.steps]
    assert any("S in place, from the" in step and "no glue" in step for step in steps)


@pytest.mark.parametrize("front", ["0", "0 - 30"])
def test_a_shelf_in_open_grooves_is_no_matter(front: str, tmp_path: Path) -> None:
    """Grooves right through: the shelf slides in from the front when all is glued."""
    text = SHELF.replace("across: 30 to 170", "across: 0 to 200").replace("y: 30, z: 120", f"y: {front}, z: 120")
    work, told = computed(tmp_path, text)
    assert not work.shut_in and not [each for each in told if each.startswith("shut-in")]


def test_it_is_in_the_stages_that_are_proposed(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    text = SHELF
    head = text.split("  stages:\n")[0]
    path.write_text(head, "utf-8")
    problems, stages = propose_stages(str(path))
    assert not problems
    assert 'first: ["S in without glue: it cannot go in later"]' in stages
    work, told = computed(tmp_path, head + stages)
    assert not [each for each in told if each.split(":")[0] in {"shut-in", "no-stage", "no-order", "open-time"}]
    assert list(faults(work)) == []
