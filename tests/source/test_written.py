"""Doubts about what is written: dates against the calendar, fractions against a rule divided to sixty-fourths."""

from __future__ import annotations

import calendar

import pytest

from shopdocs.core.problems import Position
from shopdocs.source.nodes import Scalar
from shopdocs.source.written import MONTHS, fraction_doubts, is_date, unused_dimensions


def scalar(text: str, line: int = 1) -> Scalar:
    return Scalar(Position("b.yaml", line, 1), text, False)


@pytest.mark.parametrize("month", range(1, 13))
def test_days_are_those_of_the_calendar(month: int) -> None:
    """Against the standard library's calendar of a leap year, 2032."""
    most = calendar.monthrange(2032, month)[1]
    name = calendar.month_name[month]
    for day in (1, most):
        for form in (f"{day} {name} 2032", f"{name} {day}, 2032", f"2032-{month:02}-{day:02}", f"{day}. {name} 2032"):
            assert is_date(form.replace(". ", " ")), form
    for day in (0, most + 1):
        for form in (f"{day} {name} 2032", f"{name} {day}, 2032", f"2032-{month:02}-{day:02}"):
            assert not is_date(form), form


def test_month_names_are_those_of_the_calendar() -> None:
    assert tuple(name.lower() for name in calendar.month_name[1:]) == MONTHS
    assert all(is_date(f"9 {name} 2032") for name in calendar.month_abbr[1:])


@pytest.mark.parametrize(
    "text", ["March 2032", "Spring, 2032", "2032", "9.3.2032", "3/9/32", "the 9th of March 2032"[4:], "Sept. 9 2032"]
)
def test_other_ways_to_write_a_date(text: str) -> None:
    assert is_date(text)


@pytest.mark.parametrize(
    "text", ["9 Mrch 2032", "9 March 2032ß", "2032-13-01", "2032-00-01", "9 March 32032", "soon", "3/9-32", ""]
)
def test_what_is_no_date(text: str) -> None:
    assert not is_date(text)


@pytest.mark.parametrize(
    ("text", "wrong", "right"),
    [
        ("3/100", "'3/100' stands on no inch rule", "the nearest 1/64 is 1/32"),  # 1.92 of 64
        ("W - 2-5/7", "'2-5/7' stands on no inch rule", "the nearest 1/64 is 2-23/32"),  # 45.7 of 64
        ("1/128", "'1/128' stands on no inch rule", "check the number"),  # half of 1/64, the even one is none
        ("5-2/4", "'5-2/4' is 5-1/2", "check the number, or write it so"),
        ("12/16 in", "'12/16 in' is 3/4", "check the number, or write it so"),
        ("2 6/8", "'2 6/8' is 2-3/4", "check the number, or write it so"),
    ],
)  # fmt: skip
def test_fractions_that_were_hardly_meant(text: str, wrong: str, right: str) -> None:
    (problem,) = fraction_doubts([scalar(text), scalar(text)], "in")
    assert (problem.wrong, problem.right) == (wrong, right)
    assert problem.at.column == text.index(wrong.split("'")[1]) + 1
    assert fraction_doubts([scalar(text)], "mm") == []


@pytest.mark.parametrize(
    "text", ["3/4", "1-63/64", "W / 3", "W * 2/3", "1/3 * W", "(W - 1-1/2) / 3", "0/4", "10 / 4", "W/6-1/2"]
)
def test_fractions_that_may_be_meant(text: str) -> None:
    assert fraction_doubts([scalar(text)], "in") == []


def test_more_than_three_are_a_habit() -> None:
    slips = [scalar("4/16", line) for line in range(1, 4)]
    other = [scalar("3/7", 9)]
    assert len(fraction_doubts(slips + other, "in")) == 4
    assert [p.at.line for p in fraction_doubts([*slips, scalar("2-2/4", 4), *other], "in")] == [9]


def test_a_dimension_is_used_wherever_its_name_stands() -> None:
    text = b"""
dimensions: {wide: 20, seat height: 17, lip: 1, height: 3} # lip, said in a comment
parts: {seat: {size: 1 x wide x seat height}}
"""
    entries = {name: scalar("1", line) for line, name in enumerate(("wide", "seat height", "lip", "height"), 1)}
    assert [(p.at.line, p.code) for p in unused_dimensions(entries, text)] == [(3, "unused")]
    assert "'lip'" in unused_dimensions(entries, text)[0].wrong
