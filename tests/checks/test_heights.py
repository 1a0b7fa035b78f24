"""Seats and tops that stand far from what is usual: ADA Standards 903.5 has 17 to 19 in for a bench; the other ranges
are common practice, no source. An inch beyond the range is nobody's business (common practice, no source)."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.pipeline.checking import checked
from tests.sample_jobs import SAMPLES, checked_sample

PLAIN = """
build: {{title: {title}, mark: H, units: in, overall: 40 x 14 x {height}{more}}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 8/4}}}}
parts: {{slab: {{material: oak, size: 1-1/2 x 7 x 40, count: 2}}}}
"""
SEATED = """
build: {{title: {title}, mark: H, units: in}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 8/4}}}}
parts:
  end: {{material: oak, size: 1-1/2 x 14 x 32, runs: {{length: z, width: y}},
    pieces: {{L: {{x: 0, y: 0, z: 0}}, R: {{x: 41-1/2, y: 0, z: 0}}}}}}
  seat: {{material: oak, size: 1-1/2 x 14 x 40, runs: {{length: x, width: y}},
    pieces: {{S: {{x: 1-1/2, y: 0, z: to {height}}}}}}}
joints: {{s: {{kind: housing, from: seat, into: end, depth: 1/2}}}}
"""


def told(tmp_path: Path, text: str, title: str, height: str, more: str = "") -> list[str]:
    (tmp_path / "build.yaml").write_text(text.format(title=title, height=height, more=more), "utf-8")
    found = checked(str(tmp_path / "build.yaml"), None)
    assert found.work is not None, found.problems
    return [f"{p.at.line}: {p.wrong}; {p.right}" for p in found.problems if p.code == "usual-height"]


@pytest.mark.parametrize(
    ("title", "height", "doubted"),
    [
        ("Hall bench", "18", False),
        ("Hall bench", "20", False),  # an inch above
        ("Hall bench", "20-1/4", True),
        ("Hall bench", "15", True),
        ("Dining table", "29", False),
        ("Dining table", "26", True),
        ("Coffee table", "16", False),  # nobody dines at it
        ("Workbench", "34", False),
        ("Potting bench", "34", False),
        ("Writing desk", "34", True),
        ("Bar stool", "29", False),
        ("Bar stool", "24", True),
        ("Bench hook", "2", False),
        ("Kitchen chair", "34", False),  # that is how high its back is
        ("Desk for a small room", "25", True),
    ],
)
def test_a_height_is_doubted(tmp_path: Path, title: str, height: str, doubted: bool) -> None:
    assert bool(told(tmp_path, PLAIN, title, height)) is doubted


def test_it_says_what_is_usual_and_that_it_is_no_rule(tmp_path: Path) -> None:
    (line,) = told(tmp_path, PLAIN, "Hall bench", "22")
    assert line.startswith("2: the top stands 22 in above the floor; 17 in to 19 in is usual for the seat of a bench")
    assert "ADA Standards" in line and "no rule" in line


def test_the_seat_counts_where_there_is_one(tmp_path: Path) -> None:
    # ends that reach 32 in, and the seat between them
    assert not told(tmp_path, SEATED, "Settle, a bench with high ends", "18")
    assert not told(tmp_path, SEATED, "Hall bench", "18")
    (line,) = told(tmp_path, SEATED, "Hall bench", "24")
    assert "'seat' stands 24 in above the floor" in line


def test_no_doubt_of_what_hangs_on_a_wall_or_is_a_sample(tmp_path: Path) -> None:
    assert not told(tmp_path, PLAIN, "Folding desk", "20", ", free standing: no")
    for folder in SAMPLES:
        assert not [p for p in checked_sample(folder).problems if p.code == "usual-height"]
