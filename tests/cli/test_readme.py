"""What the README tells a newcomer to write is written word for word and checked."""

from __future__ import annotations

import re
import textwrap
from pathlib import Path

import pytest

from shopdocs.pipeline import check_build

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
BUILDS = [block for block in re.findall(r"(?ms)^ *```yaml\n(.*?)^ *```", README) if "build:" in block.split("\n")[0]]


def test_there_are_builds_in_it() -> None:
    assert len(BUILDS) >= 2


@pytest.mark.parametrize("text", BUILDS)
def test_its_builds_pass_check_without_a_word(text: str, tmp_path: Path) -> None:
    build = tmp_path / "build.yaml"
    build.write_text(textwrap.dedent(text), "utf-8")
    assert [str(problem) for problem in check_build(str(build))[2]] == []
