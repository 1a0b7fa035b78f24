"""Checks of what a build has only one of: an end cut that is its only cut, a screw that is its only screw."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.checks.doubts.bench import nearly
from shopdocs.pipeline import check_build
from tests.small_builds import rail_and_top


def told(folder: Path, text: str) -> dict[str, str]:
    """What is told, by its code."""
    (folder / "build.yaml").write_text(text, "utf-8")
    return {each.code: f"{each.wrong}; {each.right}" for each in check_build(str(folder / "build.yaml"))[2]}


PEG = """
build: {title: Peg rail, mark: P, units: mm}
materials: {ash: {kind: hardwood, rough: 27}}
parts: {rail: {material: ash, size: 20 x 60 x 400, pieces: [R]}}
cuts: {sloped end: {kind: end cut, angle: 20, on: [{piece: R, edge: B and far edge}]}}
hardware: {peg: {holes: [{bit: 8, depth: 12}], on: [{piece: R, face: face, along: ALONG, across: ACROSS}]}}
"""


def test_a_hole_in_what_the_only_end_cut_takes(tmp_path: Path) -> None:
    """60 tan 20° = 21.8 falls off at the far edge: a hole 392 along lies in it there, one 300 along does not."""
    far = PEG.replace("ACROSS", "52")
    assert "runs into the hole of 'peg'" in told(tmp_path, far.replace("ALONG", "392"))["end-cut"]
    assert "end-cut" not in told(tmp_path, far.replace("ALONG", "300"))


def test_how_far_a_screw_has_to_go_begins_at_its_seat(tmp_path: Path) -> None:
    """A rail 80 high, the head 15 deep in it: 65 to go, and the screw is 60 long."""
    screw = """\
hardware:
  rail screw:
    holes: [{screw: 4 x 60 mm, as: clearance, depth: through}, {bit: 10, as: recess, depth: 15}]
    on: [{piece: R, face: far edge, along: [60, 340], across: 12.5, meets: T}]
"""
    said = told(tmp_path, rail_and_top(80) + screw)["screw-length"]
    assert "does not reach 'T' through 'R'" in said
    assert "it has 65 mm to go before it bites" in said


@pytest.mark.parametrize(
    ("one", "other", "slip"),
    [
        ("maple 27", "mapel 27", True),  # letters change places
        ("oak 8/4", "oak 4/8", True),  # figures do
        ("Birch ply 6", "birch plyy 6", True),
        ("ash 5/4", "ash 6/4", False),  # two materials
        ("maple 27", "mapel 34", False),
        ("oak 27", "ash 27", False),
    ],
)
def test_names_that_are_a_slip_of_the_pen_for_each_other(one: str, other: str, slip: bool) -> None:
    assert nearly(one, other) is nearly(other, one) is slip
