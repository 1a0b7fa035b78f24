"""A catalogue of realistic slips of a maker's pen, one or two lines each.

Nearly none passes in silence, and the cause is told first. Where a slip names the `code` of its doubt, that is told
without fail.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from shopdocs.core.problems import Problem
from shopdocs.pipeline import check_build
from tests.golden.told import FOLDER as READ
from tests.golden.told import kept, slips_told

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "tests" / "cases" / "slips"
MOST_SILENT, LEAST_FIRST = 0.05, 0.90  # shares of the catalogue


def _slips() -> list[tuple[str, dict[str, Any]]]:
    found = []
    for path in sorted(FOLDER.glob("*.yaml")):
        found += [(path.stem, slip) for slip in yaml.safe_load(path.read_text("utf-8"))]
    return found


SLIPS = _slips()


def told(name: str, slip: dict[str, Any], folder: Path) -> tuple[Problem, ...]:
    """What `check` says of a build with the slip in it; the builds are kept beside the slips."""
    sample = FOLDER / name.split("-")[0]
    for file, written in (("build.yaml", not slip.get("shop")), ("shop.yaml", bool(slip.get("shop")))):
        text = (sample / file).read_text("utf-8")
        if written:
            assert slip["old"] in text, slip
            text = text.replace(slip["old"], slip["new"], 1)
        (folder / file).write_text(text, "utf-8")
    return check_build(str(folder / "build.yaml"))[2]


def verdict(slip: dict[str, Any], problems: tuple[Problem, ...]) -> str:
    """ "silent", "first" where the cause is told first, else "later"."""
    if not problems:
        return "silent"
    said = f"{problems[0].wrong}; {problems[0].right}"
    return "first" if str(slip["first"]).casefold() in said.casefold() else "later"


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> dict[int, tuple[Problem, ...]]:
    folder = tmp_path_factory.mktemp("slips")
    return {number: told(name, slip, folder) for number, (name, slip) in enumerate(SLIPS)}


@pytest.fixture(scope="module")
def verdicts(answers: dict[int, tuple[Problem, ...]]) -> dict[int, str]:
    return {number: verdict(SLIPS[number][1], problems) for number, problems in answers.items()}


def _listed(verdicts: dict[int, str], wanted: str) -> str:
    return "\n".join(f"{SLIPS[n][0]}: {SLIPS[n][1]['new']!r}" for n, said in verdicts.items() if said == wanted)


@pytest.mark.thorough
def test_every_word_and_figure_is_as_it_was_read(answers: dict[int, tuple[Problem, ...]]) -> None:
    """After a change that is meant, read what is said now and renew it: python tests/golden/renew.py told"""
    now = slips_told(answers.values())
    assert [name for name, text in now.items() if text != kept(name)] == []
    assert {path.stem for path in READ.glob("slips-*.txt")} == set(now)


@pytest.mark.thorough
def test_nearly_no_slip_passes_in_silence(verdicts: dict[int, str]) -> None:
    silent = sum(said == "silent" for said in verdicts.values())
    assert silent <= MOST_SILENT * len(verdicts), _listed(verdicts, "silent")


@pytest.mark.thorough
def test_the_cause_is_told_first(verdicts: dict[int, str]) -> None:
    first = sum(said == "first" for said in verdicts.values())
    assert first >= LEAST_FIRST * len(verdicts), _listed(verdicts, "later")


@pytest.mark.thorough
def test_a_doubt_that_a_slip_names_is_told(answers: dict[int, tuple[Problem, ...]]) -> None:
    named = {number: slip["code"] for number, (_, slip) in enumerate(SLIPS) if "code" in slip}
    assert len(named) >= 13
    silent = [SLIPS[n][1]["new"] for n, code in named.items() if code not in {one.code for one in answers[n]}]
    assert not silent


def test_samples_raise_no_doubt() -> None:
    for folder in sorted((ROOT / "sample_builds").iterdir()):
        assert check_build(str(folder / "build.yaml"))[2] == (), folder.name
