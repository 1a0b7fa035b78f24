"""A top with a breadboard end, held from below: what its screws hold, and its pins, which hold nothing there."""

from __future__ import annotations

from pathlib import Path

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import make_job
from shopdocs.pipeline import check_build

# The pins of EL stand half way along a tongue of 30, at x = 60 - 15 = 45, just where the rail below begins: the one in
# the middle, 8 thick, comes out half on it. A screw of 50 goes through the rail of 40 and 10 into the panel.
BUILD = """
build: {title: Tray, mark: T, units: mm}
materials: {maple: {kind: hardwood, rough: 50}}
parts:
  panel:
    {material: maple, size: 22 x 380 x 600, runs: {length: x, width: y}, pieces: {P: {x: 60, y: 0, z: 0}}}
  end:
    {material: maple, size: 22 x 60 x 380, runs: {length: y, width: x}, pieces: {EL: {x: 0, y: 0, z: 0}}}
  rail:
    {material: maple, size: 40 x 60 x 200, runs: {length: y, width: x}, pieces: {R: {x: 45, y: 90, z: to P.bottom}}}
joints: {end: {kind: breadboard end, from: panel, into: end, thickness: 7, length: 30, width: 8, count: 3}}
hardware:
  top screw:
    holes: [{screw: 4 x 50 mm, as: clearance, depth: through}]
    on: [{piece: R, face: back, along: 50, across: ACROSS}]
gluing: {adhesive: yellow PVA, stages: [{title: Top, pieces: [P, EL]}]}
"""


def _steps(tmp_path: Path, across: int) -> tuple[str, set[str]]:
    path = tmp_path / "build.yaml"
    path.write_text(BUILD.replace("ACROSS", str(across)), "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None
    assert shop is not None
    lists = [each for each in walk(glue_up(make_job(build, shop, build.display, "", "a4-21")).blocks)
             if isinstance(each, Checklist) and each.title.startswith("Without glue")]  # fmt: skip
    return " ".join(plain(step.detail) for each in lists for step in each.steps), {problem.code for problem in problems}


def test_pins_of_a_breadboard_end_fasten_nothing_below(tmp_path: Path) -> None:
    _, codes = _steps(tmp_path, 40)
    assert "landing" not in codes


def test_a_screw_that_misses_its_neighbour_is_still_told(tmp_path: Path) -> None:
    """At x = 45 + 15 = 60 it comes out on the seam between the panel and its end."""
    _, codes = _steps(tmp_path, 15)
    assert "landing" in codes


def test_a_screw_from_the_other_piece_is_named_where_it_goes_on(tmp_path: Path) -> None:
    told, _ = _steps(tmp_path, 40)
    assert "top screw" in told
    assert "no hardware that holds it" not in told
