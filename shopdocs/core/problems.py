"""Positions in a source text and problems as values.

A problem is data: where it is, what is wrong, what would be right. Stages return problems, nobody prints or raises them
on the way; the command line shows all of them at once in reading order.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum

from msgspec import Struct


class Position(Struct, frozen=True, order=True):
    """A place in a source file; line and column count from 1, as editors do."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


NOWHERE = Position("", 0, 0)


class Severity(IntEnum):
    """An error stops the run (exit code 2); a warning is told and the set is printed."""

    ERROR = 0
    WARNING = 1


class Problem(Struct, frozen=True):
    """One mistake or doubt.

    `code` is a stable short name ("unknown-key"); `wrong` says what is there, `right` what would be right. Neither
    ends in a full stop; both are one line. `about` names what a doubt is about ("RF"), so that the maker can answer it;
    "" where nothing can be answered. `more` counts what follows from it and is not told apart.
    """

    at: Position
    code: str
    wrong: str
    right: str
    severity: Severity = Severity.ERROR
    about: str = ""
    more: int = 0

    @property
    def answer(self) -> str:
        """What is written under `meant:` to answer this doubt: "near-miss RF FL"; "" for what is no doubt."""
        return f"{self.code} {self.about}" if self.about and self.severity is Severity.WARNING else ""

    def __str__(self) -> str:
        kind = "" if self.severity is Severity.ERROR else "warning: "
        rest = f" (and {self.more} more that follow{'s' if self.more == 1 else ''} from it)" if self.more else ""
        return f"{self.at}: {kind}{self.wrong}{rest}; {self.right}"


def error(at: Position, code: str, wrong: str, right: str) -> Problem:
    """A problem that stops the run: `code` is stable, `wrong` says what is the matter, `right` what would be right."""
    return Problem(at, code, wrong, right, Severity.ERROR)


def warning(at: Position, code: str, wrong: str, right: str) -> Problem:
    """A problem that is told and stops nothing; arguments as for `error`."""
    return Problem(at, code, wrong, right, Severity.WARNING)


def in_reading_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Sorted by file, line, column, errors first, each problem once."""
    unique = dict.fromkeys(problems)
    return tuple(sorted(unique, key=lambda p: (p.at, p.severity, p.code, p.wrong)))


def has_errors(problems: Iterable[Problem]) -> bool:
    """Whether any of them stops the run."""
    return any(p.severity is Severity.ERROR for p in problems)
