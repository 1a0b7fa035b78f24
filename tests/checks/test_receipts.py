"""What is told of a receipt: each doubt at its key, by its code, what is wrong before what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.pipeline import Request, tally

BUILD = """
build: {title: Trial, mark: T, units: in}
materials:
  oak 4/4: {kind: hardwood, species: white oak}
  ply: {kind: sheet, thickness: 3/4, sheet: 48 x 96}
parts:
  rail: {material: oak 4/4, size: 3/4 x 4 x 20, pieces: [R]}
  back: {material: ply, size: 3/4 x 12 x 20, pieces: [B]}
"""
OAK = "    - {material: oak 4/4, width: 6, length: 96}\n"
PLY = "    - {material: ply, width: 48, length: 96}\n"


# A sheet is sold by its area, so it has no board feet; a board is longer than wide along its grain; and two things of
# one mark would be one in every table.
@pytest.mark.parametrize(
    ("boards", "code", "column", "wrong", "right"),
    [
        (
            OAK + PLY.replace("}", ", board feet: 32}"),
            "board-feet",
            "board feet",
            "'ply' is a sheet and has no board feet",
            "remove the board feet",
        ),
        (
            OAK.replace("width: 6, length: 96", "width: 96, length: 6") + PLY,
            "board",
            "",
            "the board is wider (96 in) than long (6 in)",
            "the length runs along the grain; check both",
        ),
        (
            OAK.replace("}", ", mark: r}") + PLY,
            "mark",
            "mark",
            "a board and a piece are both called 'r'",
            "give the board another mark",
        ),
        (OAK, "not-bought", "", "there is no board of 'ply'", "add it, or buy it"),
        # A sheet is sold by its area, so a sum of board feet has nothing to be held against.
        (
            PLY + "  board feet: 32\n",
            "sum",
            "board feet",
            "no board of the receipt is counted in board feet: the sum cannot be checked against any",
            "remove 'board feet', or check the boards",
        ),
    ],
)
def test_a_doubt_about_a_receipt(tmp_path: Path, boards: str, code: str, column: str, wrong: str, right: str) -> None:
    build, receipt = tmp_path / "build.yaml", tmp_path / "receipt.yaml"
    build.write_text(BUILD, "utf-8")
    receipt.write_text(f"receipt:\n  boards:\n{boards}", "utf-8")
    problems = tally(Request(build=str(build)), str(receipt), str(tmp_path / "out")).problems
    (found,) = (problem for problem in problems if problem.code == code)
    assert (found.wrong, found.right) == (wrong, right)
    line = receipt.read_text("utf-8").splitlines()[found.at.line - 1]
    assert not column or line[found.at.column - 1 :].startswith((column, line.partition(f"{column}: ")[2]))
