"""Which way up a piece goes, as its label and its record say it, against the pieces as they are described."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Labels
from shopdocs.documents.job import up_of
from shopdocs.documents.labels import labels
from tests.sample_jobs import job_of

BUILD = """
build: {{title: Shelf, mark: S, units: mm, free standing: no}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts:
  board: {{material: oak, size: 20 x 100 x 300{runs}, pieces: {pieces}}}
"""


def ups(folder: Path, runs: str, pieces: str) -> dict[str, str]:
    path = folder / "build.yaml"
    path.write_text(BUILD.format(runs=runs and f", runs: {{{runs}}}", pieces=pieces), "utf-8")
    job = job_of(path)
    (block,) = labels(job).blocks
    assert isinstance(block, Labels)
    found = {piece.mark: up_of(part, piece) for part, piece in job.build.pieces()}
    for label in block.labels:
        if label.sticking is not None and label.sticking.points.startswith("up, "):
            assert label.sticking.points == f"up, {found[label.mark]}"
        else:  # no arrow in a level face points up, and none is known where the build does not say how a piece lies
            assert found[label.mark] in ("face side", "back face", "")
    return found


@pytest.mark.parametrize(
    ("runs", "up"),
    [
        # Common practice, no source: a leg stands on its end A, a rail is gauged from its upper edge, a lying board
        # shows its face side.
        ("length: z, width: x", "end B"),
        ("length: x, width: z", "face edge"),
        ("length: y, width: x", "face side"),
        ("", ""),  # how it lies is not said
    ],
)
def test_what_points_up_without_places(tmp_path: Path, runs: str, up: str) -> None:
    assert ups(tmp_path, runs, "[B1, B2]") == {"B1": up, "B2": up}


@pytest.mark.parametrize(
    ("runs", "turned", "up"),
    [
        # As it is where nothing is said, then with what the build says to lie below or above instead.
        ("length: z, width: x", "", "end B"),
        ("length: z, width: x", ", end A: top", "end A"),
        ("length: x, width: z", "", "face edge"),
        ("length: x, width: z", ", face edge: bottom", "far edge"),
        ("length: y, width: x", "", "face side"),
        ("length: y, width: x", ", face side: bottom", "back face"),
    ],
)
def test_what_points_up_of_a_placed_piece(tmp_path: Path, runs: str, turned: str, up: str) -> None:
    assert ups(tmp_path, runs, f"{{B: {{x: 0, y: 0, z: 0{turned}}}}}") == {"B": up}
