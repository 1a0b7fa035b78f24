"""How pieces of nearly one size are told apart: by hand."""

from __future__ import annotations

from pathlib import Path

from shopdocs.blocks.text import plain
from shopdocs.documents.look_alikes import _sizes_apart
from tests.sample_jobs import job_of

# Three laths of one stock: B is 1 longer than A, C is as long as A and 0.5 wider.
LATHS = """
build: {title: Laths, mark: L, units: mm}
materials: {oak: {kind: hardwood, rough: 27}}
parts:
  a: {material: oak, size: 20 x 40 x 300, runs: {length: x, width: z}, pieces: {A: {x: 0, y: 0, z: 0}}}
  b: {material: oak, size: 20 x 40 x 301, runs: {length: x, width: z}, pieces: {B: {x: 0, y: 50, z: 0}}}
  c: {material: oak, size: 20 x 40.5 x 300, runs: {length: x, width: z}, pieces: {C: {x: 0, y: 100, z: 0}}}
"""


def test_what_to_measure(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(LATHS, "utf-8")
    job = job_of(path)
    assert job.space is not None
    a, b, c = (job.space.pieces[mark] for mark in "ABC")
    assert plain(_sizes_apart(job, a, b)) == "measure: A 300 long, B 301 long"
    assert plain(_sizes_apart(job, b, c)) == "measure: B 301 long, C 300 long, B 40 wide, C 40.5 wide"
    assert plain(_sizes_apart(job, a, a)) == ""
