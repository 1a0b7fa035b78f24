"""The lines that `check` proposes where a screw lacks a hole are pasted as they stand, and checked again."""

from __future__ import annotations

import re
from pathlib import Path

from shopdocs.core.problems import Problem
from shopdocs.pipeline.checking import checked

CASES = Path(__file__).parents[1] / "cases"


def told(text: str, folder: Path) -> list[Problem]:
    """What is told of a build."""
    (folder / "build.yaml").write_text(text, "utf-8")
    return list(checked(str(folder / "build.yaml"), None).problems)


def test_every_proposed_hole_can_be_pasted(tmp_path: Path) -> None:
    """Under hardware what is a line of hardware, between the joint's braces what is its sizes; then none is lacking,
    and nothing new is wrong."""
    text = (CASES / "pilots.yaml").read_text("utf-8")
    before = told(text, tmp_path)
    lacking = [problem for problem in before if problem.code in ("no-pilot", "no-clearance")]
    holes = [
        line for problem in lacking for line in re.findall(r"write: (.+\{.*\})$", problem.right) if "joint" not in line
    ]
    sizes = [
        (problem, found) for problem in lacking for found in re.findall(r"write (thickness: .+) \(", problem.right)
    ]
    assert len(holes) == 2 and len(sizes) == 1 and len(holes) + len(sizes) == len(lacking)
    lines = text.splitlines()
    for problem, found in sizes:
        number = problem.at.line - 1
        lines[number] = lines[number].replace("}", f", {found}}}", 1)
    after = told("\n".join([*lines, *(f"  {hole}" for hole in holes)]) + "\n", tmp_path)
    assert {problem.code for problem in after} <= {problem.code for problem in before} - {"no-pilot", "no-clearance"}
