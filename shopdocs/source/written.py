"""Doubts about how a thing is written, before anybody asks what it means: fractions that stand on no rule, dates that
are none, names that nothing uses."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from math import gcd

from shopdocs.core.display import Units, plain_mixed_number
from shopdocs.core.problems import Problem, warning
from shopdocs.source.arithmetic import tidy
from shopdocs.source.nodes import Scalar, shorten

FINEST = 64  # parts of an inch on a maker's rule (common practice, no source)
HABIT = 3  # so many are slips, more are how this maker writes (own rule)
_MIXED = re.compile(r"(?<![\w./])(\d{1,6})(?:-|\s+)(\d{1,9})/(\d{1,9})(?![\w./])")
_ALONE = re.compile(r"()\s*(\d{1,9})/(\d{1,9})\s*(?:in|\")?\s*")
_WORD = re.compile(r"[^\W\d]\w*")
_COMMENT = re.compile(r"(?:^|(?<=\s))#.*")

MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip
_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_SEASONS = ("spring", "summer", "autumn", "fall", "winter")
_NAMED = "|".join((*MONTHS, *(f"{name[:most]}\\.?" for name in MONTHS for most in (3, 4))))
_DATES = (
    rf"(?P<day>\d\d?)(?:st|nd|rd|th)?(?: of)? (?P<month>{_NAMED}),? \d{{4}}",
    rf"(?P<month>{_NAMED}) (?P<day>\d\d?)(?:st|nd|rd|th)?,? \d{{4}}",
    rf"(?P<month>{_NAMED})(?:,? \d{{4}})?",
    rf"(?:{'|'.join(_SEASONS)}),? \d{{4}}",
    r"\d{4}-(?P<number>\d\d)-(?P<day>\d\d)",
    r"\d\d?([./-])\d\d?\1(?:\d\d|\d{4})",
    r"\d{4}",
)


def is_date(text: str) -> bool:
    """Whether a text can be read as a date in English: 9 March 2032, March 9, 2032, 2032-03-09, 9.3.2032, 3/9/32,
    March 2032, Spring 2032, 2032. A day that its month does not have is none."""
    line = " ".join(text.split())
    match = next((found for form in _DATES if (found := re.fullmatch(form, line, re.I | re.ASCII))), None)
    if match is None:
        return False
    named = match.groupdict()
    if named.get("month"):
        month = next(n for n, name in enumerate(MONTHS, 1) if name.startswith(named["month"].lower().rstrip(".")))
    else:
        month = int(named.get("number") or 1)
    return 1 <= month <= 12 and 1 <= int(named.get("day") or 1) <= _DAYS[month - 1]


def date_doubts(node: Scalar | None, text: str) -> Iterator[Problem]:
    """A date of the build that cannot be read as one."""
    if node is not None and text and not is_date(text):
        wrong = f"'{shorten(text)}' reads as no date, and every page prints it"
        yield warning(node.at, "date", wrong, "write it as 9 March 2032 or 2032-03-09")


def fraction_doubts(nodes: Iterable[Scalar], units: Units) -> list[Problem]:
    """Inches written with a fraction that is on no rule (3/100), or not in its lowest terms (5-2/4): a slip of the pen,
    unless the maker writes so all the time. Quotients of names, such as W / 3, are none of these."""
    found: dict[str, list[Problem]] = {"stands on no rule": [], "low": []}
    if units == "in":
        for node in {node.at: node for node in nodes}.values():
            for offset, text, parts in _fractions(node.text):
                kind = _doubted(parts)
                if kind:
                    found[kind].append(_doubt(node, offset, text, parts, kind))
    return [problem for kind in found.values() if len(kind) <= HABIT for problem in kind]


def _fractions(text: str) -> Iterator[tuple[int, str, tuple[int, int, int]]]:
    """Every mixed number of a text, and the fraction that is all of it: where it stands, as written, its numbers."""
    tidied = tidy(text)
    alone = _ALONE.fullmatch(tidied)
    for match in [alone] if alone else _MIXED.finditer(tidied):
        whole, over, under = (int(number or 0) for number in match.groups())
        offset = match.start() if tidied == text else 0
        yield offset, match.group().strip(), (whole, over, under)


def _doubted(parts: tuple[int, int, int]) -> str:
    _, over, under = parts
    if not over or not under:
        return ""
    least = under // gcd(over, under)
    if least > FINEST or least & (least - 1):
        return "stands on no rule"
    return "low" if least != under else ""


def _doubt(node: Scalar, offset: int, text: str, parts: tuple[int, int, int], kind: str) -> Problem:
    whole, over, under = parts
    value = whole + Fraction(over, under)
    if kind == "low":
        return warning(
            node.place(offset),
            "fraction",
            f"'{text}' is {plain_mixed_number(value)}",
            "check the number, or write it so",
        )
    near = Fraction(round(value * FINEST), FINEST)
    instead = f"the nearest 1/{FINEST} is {plain_mixed_number(near)}" if near else "check the number"
    return warning(node.place(offset), "fraction", f"'{text}' stands on no inch rule", instead)


def unused_dimensions(entries: Mapping[str, Scalar], data: bytes) -> list[Problem]:
    """Dimensions whose name stands nowhere else in the file: another, or a bare number, stands where it was meant."""
    if not entries:
        return []
    text = data.decode("utf-8", "replace")
    words = Counter(_WORD.findall(_COMMENT.sub("", text) if "#" in text else text))
    own = Counter(word for name in entries for word in _WORD.findall(name))
    return [
        warning(
            node.at, "unused", f"no size or place goes by the dimension '{shorten(name)}'", "use it, or take it out"
        )
        for name, node in entries.items()
        if isinstance(node, Scalar) and any(words[word] <= own[word] for word in _WORD.findall(name))
    ]
