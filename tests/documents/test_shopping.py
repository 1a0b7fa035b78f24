"""What a shopping list asks for, counted by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.documents.shopping import shopping_list
from tests.sample_jobs import job_of

FRAME = """
build: {{title: Frame, mark: F, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts:
  rail: {{material: oak, size: 20 x 60 x 300, pieces: [R1, R2]}}
  stile: {{material: oak, size: 20 x 60 x 600, pieces: [S1, S2]}}
joints:
  corner:
    {joint}
    pieces: [R1 into S1 at A, R1 into S2 at B, R2 into S1 at A, R2 into S2 at B]
"""


@pytest.mark.parametrize(
    ("joint", "screws"),
    [
        ("kind: screwed butt, count: 3, length: 50", 12),  # four corners, three each
        ("kind: mortise and tenon, thickness: 7, length: 30", 0),
        ("kind: housing, depth: 6", 0),
    ],
)
def test_only_joints_with_screws_ask_for_screws(tmp_path: Path, joint: str, screws: int) -> None:
    text = FRAME.format(joint=joint.replace(", ", "\n    "))
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    made = shopping_list(job_of(tmp_path / "build.yaml"))
    told = "\n".join(plain(line) for block in walk(made.blocks) for line in texts(block))
    assert ("screw" in told) == bool(screws)
    assert not screws or str(screws) in told.split()
