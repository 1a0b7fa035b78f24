"""Shared by the table tests: closeness to a printed figure, and proof that a checking function notices a wrong row."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from shopdocs.facts.source import Confidence, Source
from tests.values import replace


def close(value: Fraction, printed: Fraction | int | str, tolerance: Fraction | str) -> bool:
    """Is `value` within `tolerance` (half of the last printed digit) of a printed figure?"""
    return abs(value - Fraction(printed)) <= Fraction(tolerance)


def is_read(source: Source) -> bool:
    """Was the value read, in the source or in a page that repeats it?"""
    return source.confidence in (Confidence.READ, Confidence.SECONDARY)


def half_digit(printed: str) -> Fraction:
    """Half of the last printed digit: '0.164' gives 0.0005."""
    places = len(printed.partition(".")[2])
    return Fraction(1, 2 * 10**places)


def corrupted(table: tuple[Any, ...], index: int, field: str, change: Callable[[Any], Any]) -> tuple[Any, ...]:
    """A copy of `table` with one field of one row changed."""
    row = table[index]
    return (*table[:index], replace(row, **{field: change(getattr(row, field))}), *table[index + 1 :])


def must_fail_when_corrupted(
    check: Callable[[Any], None], table: tuple[Any, ...], field: str, change: Callable[[Any], Any]
) -> None:
    """Change `field` of each row in turn; `check`, which passes on `table`, must raise every time."""
    check(table)
    for index, row in enumerate(table):
        if getattr(row, field) is None:
            continue
        try:
            check(corrupted(table, index, field, change))
        except (AssertionError, KeyError):
            continue
        raise AssertionError(f"a wrong {field} in row {index} ({row}) went unnoticed")
