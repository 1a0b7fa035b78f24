"""Builds with mistakes, each expected problem beside its line.

`tests/cases/NAME.yaml` is a build; `NAME.shop.yaml` beside it is its shop file. In a comment

    # ! code: words      an error in this line, with this code, whose text holds these words
    # ! code@9: words    the same, in column 9
    # ? code@9: words    a warning
    # !12:9 code: words  in line 12, column 9, for what no comment can stand beside
    # ! code: words; more  an error that holds the first words in what is wrong and the others in what would be right
    # ! code: ; more       one that holds these in what would be right

Words without a semicolon stand in what is wrong, so that the two never change places unseen. Several may follow each
other in one line. Every expected problem must be met, and no other.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from shopdocs.core.problems import Problem, Severity
from shopdocs.pipeline import check_build
from tests.golden.told import FOLDER, kept, told

CASES = Path(__file__).parent / "cases"
BUILDS = sorted(path for path in CASES.glob("*.yaml") if not path.name.endswith(".shop.yaml"))

_MARK = re.compile(r"#\s([!?])(?:(\d+):(\d+))?\s([a-z-]+)(?:@(\d+))?(?::\s+(.*?))?\s*(?=#\s[!?]|$)")


@dataclass(frozen=True)
class Expected:
    """One problem that a case names; `column` 0 leaves it open."""

    file: str
    line: int
    column: int
    code: str
    words: str
    severity: Severity

    def fits(self, problem: Problem) -> bool:
        return (
            (problem.at.file, problem.at.line, problem.code, problem.severity)
            == (self.file, self.line, self.code, self.severity)
            and self.column in (0, problem.at.column)
            and (self.words in problem.wrong or self._says_both(problem))
        )

    def _says_both(self, problem: Problem) -> bool:
        wrong, both, right = self.words.partition("; ")
        return bool(both) and wrong in problem.wrong and right in problem.right


def expected(path: Path) -> list[Expected]:
    found = []
    for number, line in enumerate(path.read_text("utf-8").split("\n"), 1):
        for sign, at_line, at_column, code, column, words in _MARK.findall(line):
            severity = Severity.ERROR if sign == "!" else Severity.WARNING
            place = (int(at_line), int(at_column)) if at_line else (number, int(column or 0))
            found.append(Expected(str(path), *place, code, words, severity))
    return found


@cache
def problems(path: Path) -> tuple[Problem, ...]:
    shop = path.with_name(f"{path.stem}.shop.yaml")
    return check_build(str(path), str(shop) if shop.exists() else None)[2]


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_every_mistake_is_told_at_its_place_and_nothing_else(path: Path) -> None:
    shop = path.with_name(f"{path.stem}.shop.yaml")
    wanted = expected(path) + (expected(shop) if shop.exists() else [])
    left = list(problems(path))
    missed = []
    for one in wanted:
        hit = next((problem for problem in left if one.fits(problem)), None)
        if hit is None:
            missed.append(one)
        else:
            left.remove(hit)
    told = "\n".join(f"told, not expected: {problem.code} {problem}" for problem in left)
    lacks = "\n".join(f"expected, not told: {one}" for one in missed)
    assert not left and not missed, f"\n{told}\n{lacks}"


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_every_word_and_figure_is_as_it_was_read(path: Path) -> None:
    """After a change that is meant, read what is said now and renew it: python tests/golden/renew.py told"""
    assert told(problems(path)) == kept(path.stem)


def test_an_stands_before_a_vowel() -> None:
    """In everything that is told: an arch, an edge joint, but a groove. Before u, o and h it goes by the ear."""
    wrong = re.compile(r"\ba [aei][a-z]+|\ban [b-df-gj-np-tv-z][a-z]+")
    said = {path.stem: re.sub(r"'[^']*'", "", path.read_text("utf-8")) for path in FOLDER.glob("*.txt")}
    assert {name: found for name, text in said.items() if (found := wrong.findall(text))} == {}


def test_nothing_is_kept_of_a_case_that_is_no_more() -> None:
    names = {path.stem for path in FOLDER.glob("*.txt")}
    assert {name for name in names if not name.startswith("slips-")} <= {path.stem for path in BUILDS}


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_problems_stand_in_reading_order_and_say_what_would_be_right(path: Path) -> None:
    found = problems(path)
    assert [problem.at for problem in found] == sorted(problem.at for problem in found)
    for problem in found:
        assert str(problem).isprintable()
        assert problem.wrong
        assert problem.right
        assert not problem.wrong.endswith(".")


def test_marks_of_a_case_are_read() -> None:
    """The convention itself: a line without marks, one with two, one for another line."""
    path = CASES / "yaml_traps.yaml"
    found = expected(path)
    assert [(one.code, one.column, one.severity) for one in found[:3]] == [
        ("address", 12, Severity.ERROR),
        ("yes-no", 18, Severity.ERROR),
        ("screw", 16, Severity.ERROR),
    ]
    assert found[2].line == found[3].line
    assert found[2].words == "'wood' is not a screw size"
    elsewhere = expected(CASES / "syntax_unclosed.yaml")
    assert [(one.line, one.column) for one in elsewhere] == [(2, 6)]
