"""What a sheet gives is smaller than the sheet by the trim at both ends and at both edges; sums by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.length import Length
from shopdocs.work.boards.reasons import left_out_problems
from tests.work.boards_case import plan_case, write_case

# A sheet of 600 x 1000 with 10 trimmed off all round gives 580 x 980.
PLY = """
materials: {{ply: {{kind: sheet, thickness: 12 mm, sheet: 600 mm x 1000 mm}}}}
parts:
  panel: {{material: ply, size: {}, {}}}
"""
SHOP = "kerf: 3 mm\n  sheet trim: 10 mm\n  tally: exact"


@pytest.mark.parametrize(
    ("units", "wide", "long"),
    # PS 1-19: 4 x 8 ft, of 304.8 mm each; a panel association's page of tolerances has 1220 x 2440 mm for it
    [("in", "1219.2", "2438.4"), ("mm", "1220", "2440")],
)
def test_a_sheet_of_no_size_is_as_it_is_sold(tmp_path: Path, units: str, wide: str, long: str) -> None:
    text = PLY.format("12 mm x 580 mm x 980 mm", "count: 1").replace(", sheet: 600 mm x 1000 mm", "")
    path = write_case(tmp_path, text, SHOP)
    path.write_text(path.read_text("utf-8").replace("units: in", f"units: {units}"), "utf-8")
    build, _, _ = plan_case(path)
    (ply,) = build.materials
    assert ply.sheet == (Length(wide), Length(long))


@pytest.mark.parametrize(
    ("size", "more", "told"),
    [
        ("12 mm x 580 mm x 980 mm", "count: 1", ""),
        ("12 mm x 580 mm x 981 mm", "count: 1", "too long: 981 mm is sawn, the longest board gives 980 mm"),
        ("12 mm x 581 mm x 980 mm", "count: 1", "too wide: 581 mm is sawn, the widest board gives 580 mm"),
        ("12 mm x 980 mm x 580 mm", "count: 1, turns: yes", ""),
        ("12 mm x 981 mm x 580 mm", "count: 1, turns: yes", "too long: 981 mm is sawn"),
    ],
)
def test_a_panel_fits_between_the_trims(tmp_path: Path, size: str, more: str, told: str) -> None:
    *_, plan = plan_case(write_case(tmp_path, PLY.format(size, more), SHOP))
    problems = left_out_problems(plan)
    assert len(problems) == bool(told)
    assert all(told in problem.wrong for problem in problems)
