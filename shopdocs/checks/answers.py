"""Doubts and the maker's answers: what is written under `meant:` is not told again, and what answers nothing is."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from msgspec.structs import replace

from shopdocs.core.check_word import check_word, fingerprint
from shopdocs.core.problems import Position, Problem, Severity, warning

MOST_NAMES = 3
_QUOTED = re.compile(r"'([^']{1,60})'")


def answerable(problems: Iterable[Problem]) -> list[Problem]:
    """The problems, every warning with what it is about: the first names it puts in quotes; where two of one kind would
    then have one answer, or none is named, a word made of what it says."""
    found = list(problems)
    named = [_named(problem) for problem in found]
    often = Counter(problem.answer for problem in named)
    return [_told_apart(one, often) for one in named]


def _told_apart(problem: Problem, often: Counter[str]) -> Problem:
    if problem.severity is not Severity.WARNING or (problem.about and often[problem.answer] == 1):
        return problem
    return replace(problem, about=f"{problem.about} {_word(problem)}".strip())


def _named(problem: Problem) -> Problem:
    if problem.severity is not Severity.WARNING or problem.about:
        return problem
    names = list(dict.fromkeys(" ".join(name.split()) for name in _QUOTED.findall(problem.wrong)))[:MOST_NAMES]
    return replace(problem, about=" ".join(names))


def _word(problem: Problem) -> str:
    """A word of what a doubt says: another when the doubt is another."""
    return check_word([fingerprint(problem.wrong.encode("utf-8", "surrogatepass"))])


def unanswered(problems: Sequence[Problem], meant: Sequence[tuple[str, Position]], whole: bool) -> list[Problem]:
    """The problems without the doubts that are answered. An answer to nothing is a warning itself, unless the build is
    not `whole`: then what it answers may not have been looked for."""
    answers = {_plain(answer) for answer, _ in meant}
    asked = {_plain(problem.answer): problem.answer for problem in problems if problem.answer}
    left = [problem for problem in problems if not problem.answer or _plain(problem.answer) not in answers]
    for answer, at in meant if whole else ():
        if _plain(answer) not in asked:
            close = get_close_matches(_plain(answer), asked, 1)
            right = f"did you mean '{asked[close[0]]}'?" if close else "take it out"
            left.append(warning(at, "meant", f"'{answer}' answers no warning of this build", right))
    return left


def _plain(answer: str) -> str:
    return " ".join(answer.casefold().split())
