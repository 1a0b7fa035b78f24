"""A doubt is answered once and stays answered; an answer to nothing is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.cli import main
from shopdocs.pipeline import check_build

BUILD = """\
build: {title: Rack, mark: RK, units: in}
materials:
  oak 4/4: {kind: hardwood}
parts:
  key: {material: oak 4/4, size: 3/4 x 4 x 2, count: 1}
  'rail, upper': {material: oak 4/4, size: 3/4 x 6 x 3, count: 1, mark: U}
"""


def _told(folder: Path, text: str) -> list[str]:
    (folder / "build.yaml").write_text(text, "utf-8")
    return [f"{problem.code}: {problem.wrong}" for problem in check_build(str(folder / "build.yaml"))[2]]


def test_the_line_to_copy_answers_every_doubt(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert len(_told(tmp_path, BUILD)) == 2
    assert main(["check", str(tmp_path / "build.yaml")]) == 0
    line = capsys.readouterr().err.splitlines()[-1].partition("write in the build: ")[2]
    assert line == "meant: [short-grain key, 'short-grain rail, upper']"
    assert _told(tmp_path, BUILD + line + "\n") == []
    assert main(["check", "--strict", str(tmp_path / "build.yaml")]) == 0


def test_one_answer_leaves_the_other_doubt(tmp_path: Path) -> None:
    told = _told(tmp_path, BUILD + "meant: [Short-grain  KEY]\n")  # as people write
    assert len(told) == 1 and "rail, upper" in told[0]


def test_an_answer_to_nothing_is_told(tmp_path: Path) -> None:
    told = check_build(str(_written(tmp_path, BUILD + "meant: [short-grain kee]\n")))[2]
    found = next(problem for problem in told if problem.code == "meant")
    assert "did you mean 'short-grain key'?" in found.right and found.at.line == 7


def test_an_error_is_never_answered(tmp_path: Path) -> None:
    wrong = BUILD.replace("3/4 x 4 x 2", "2 x 4 x 2")  # thicker than the stock
    told = check_build(str(_written(tmp_path, wrong + "meant: [thickness key]\n")))[2]
    assert any(problem.code == "thickness" for problem in told)
    assert not any(problem.code == "meant" for problem in told)  # what it answers may show once the error is mended


def _written(folder: Path, text: str) -> Path:
    path = folder / "build.yaml"
    path.write_text(text, "utf-8")
    return path
