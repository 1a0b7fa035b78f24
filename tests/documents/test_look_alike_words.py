"""How pieces of nearly one size are told apart: by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Paragraph, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents import look_alikes as sheet
from shopdocs.documents.fitting.apart_words import sizes_apart
from shopdocs.documents.look_alikes import look_alikes, others_words, stage_warnings, turned_words
from tests.sample_jobs import BY_NAME, job_of, sample_job

# Three laths of one stock: B is 1 longer than A, C is as long as A and 0.5 wider.
LATHS = """
build: {title: Laths, mark: L, units: mm}
materials: {oak: {kind: hardwood, rough: 27}}
parts:
  a: {material: oak, size: 20 x 40 x 300, runs: {length: x, width: z}, pieces: {A: {x: 0, y: 0, z: 0}}}
  b: {material: oak, size: 20 x 40 x 301, runs: {length: x, width: z}, pieces: {B: {x: 0, y: 50, z: 0}}}
  c: {material: oak, size: 20 x 40.5 x 300, runs: {length: x, width: z}, pieces: {C: {x: 0, y: 100, z: 0}}}
"""


# Two posts with a rail each, whose mortise is 5 higher in Q than in P: each goes onto the other's rail and stands 5 too
# high or too low.
POSTS = """
build: {title: Posts, mark: P, units: mm}
materials: {oak: {kind: hardwood, rough: 60}}
parts:
  post:
    material: oak
    size: 40 x 40 x 400
    runs: {length: z, width: x}
    pieces: {P: {x: 0, y: 0, z: 0}, Q: {x: 1000, y: 0, z: 0}}
  rail:
    material: oak
    size: 20 x 60 x 200
    runs: {length: x, width: z}
    pieces: {RP: {x: 40, y: 10, z: 100}, RQ: {x: 1040, y: 10, z: 105}}
joints:
  rails: {kind: mortise and tenon, pieces: [RP into P, RQ into Q], thickness: 8, width: 40, length: 25}
"""


def test_a_swap_out_of_line_says_how_far(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(POSTS, "utf-8")
    (table,) = (block for block in walk(look_alikes(job_of(path)).blocks) if isinstance(block, Table))
    told = [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]
    (row,) = (row for row in told if row[0] == "P, Q")
    assert row[1] in (
        "swapped: different joints (P for Q sits 5 mm too high)",
        "swapped: different joints (Q for P sits 5 mm too low)",
    )
    assert row[4] == "nothing stops it"


# Two rails each let into two posts, as alike as eggs but for a hole of 8 bored in the one.
BORED = """
build: {title: Bored, mark: B, units: mm}
materials: {oak: {kind: hardwood, rough: 60}}
parts:
  post: {material: oak, size: 40 x 40 x 400, runs: {length: z, width: x}, pieces: {P: {x: 0, y: 0, z: 0}, Q: {x: 240, y: 0, z: 0}}}
  rail: {material: oak, size: 20 x 60 x 200, runs: {length: x, width: z}, pieces: {R: {x: 40, y: 10, z: 100}, S: {x: 40, y: 10, z: 300}}}
joints:
  rails: {kind: mortise and tenon, from: rail, into: post, thickness: 8, width: 40, length: 25}
hardware:
  knob: {holes: [{bit: 8, as: HOW, depth: 5}], on: [{piece: R, face: face, along: 60, across: 30}], buy: knob}
gluing: {adhesive: yellow PVA, stages: [{title: All, pieces: [P, R, S, Q]}]}
"""  # noqa: E501


@pytest.mark.parametrize(("use", "hole"), [("recess", "flat-bottomed recess"), ("plain", "hole")])
def test_pieces_that_differ_by_a_hole_alone_are_not_said_to_differ_in_joints(
    tmp_path: Path, use: str, hole: str
) -> None:
    """On the sheet, on the stage and on the record, by the words of the template's table."""
    path = tmp_path / "build.yaml"
    path.write_text(BORED.replace("as: HOW", f"as: {use}"), "utf-8")
    job = job_of(path)
    (table,) = (block for block in walk(look_alikes(job).blocks) if isinstance(block, Table))
    rows = [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]
    (row,) = (row for row in rows if row[0] == "R, S")
    assert row[1] == "swapped: different holes"
    assert row[3].startswith(f"R: {hole} in the ")
    assert job.alike is not None
    first, *_ = stage_warnings(job, ["R"], frozenset())
    assert plain(first).startswith("R is not S (different holes)")
    assert others_words(job.alike, "R")[0].startswith(f"not S: this has a {hole} in the ")


def test_what_to_measure(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(LATHS, "utf-8")
    job = job_of(path)
    assert job.space is not None
    a, b, c = (job.space.pieces[mark] for mark in "ABC")
    assert plain(sizes_apart(job, a, b)) == "measure: A 300 long, B 301 long"
    assert plain(sizes_apart(job, b, c)) == "measure: B 301 long, C 300 long, B 40 wide, C 40.5 wide"
    assert plain(sizes_apart(job, a, a)) == ""


def test_a_length_is_measured_over_the_tenons() -> None:
    """Slats of the rack, 5-7/8 and 5-3/4 between their shoulders, with tenons of 3/8 at both ends: a rule laid on them
    shows 6-5/8 and 6-1/2."""
    job = sample_job(BY_NAME["plate_rack"], "in")
    assert job.space is not None
    told = plain(sizes_apart(job, job.space.pieces["D1"], job.space.pieces["U1"]))
    assert told == "measure: D1 6⁵⁄₈ long with joinery, U1 6¹⁄₂ long with joinery"


def test_pairs_that_have_no_room_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """The sheet says how many pairs it leaves out: with room for one, one less than it tells with room for all."""
    folder = BY_NAME["plate_rack"] / "build.yaml"
    every = [plain(b.text) for b in walk(look_alikes(job_of(folder)).blocks) if isinstance(b, Paragraph)]
    assert "Not told here" not in " ".join(every)
    job = job_of(folder)
    assert job.alike is not None
    count = len(sheet._pairs(job, job.alike))
    monkeypatch.setattr(sheet, "MOST_PAIRS", 1)
    told = [plain(b.text) for b in walk(look_alikes(job_of(folder)).blocks) if isinstance(b, Paragraph)]
    assert count > 2 and f"Not told here: {count - 1} more pairs of pieces that can be swapped." in told[0]


def test_a_turn_that_is_right_only_with_another_is_said_to_be_both_at_once() -> None:
    assert turned_words("upside down, end for end") == "upside down and end for end, both at once"
    assert turned_words("half a turn") == "half a turn"
