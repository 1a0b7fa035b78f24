"""Sentences that say the same but for the side: told once, with the side of each."""

from __future__ import annotations

import re
from collections.abc import Sequence

_SIDE = re.compile(
    r"(?:\b(?:at|on|to|nearer) the |\btoo far )(?:left|right|front|rear)\b|\btoo far (?:forward|back)\b"
    r"|\bunderneath\b|\bon top\b"
)
MOST_SIDES = 2  # in one place of a sentence; more are no help to tell apart


def but_for_sides(words: str) -> str:
    """The words without which side they name: equal for what is told the same of two pieces, one at each side."""
    return _SIDE.sub("…", words)


def by_side(told: Sequence[tuple[str, str]]) -> str:
    """ "mortise on the right (FR: on the left)": one sentence out of those that are the same but for the sides, each
    with the pieces it is told of. The first names its sides bare, the others with their pieces."""
    every = [(pieces, words, _SIDE.findall(words)) for pieces, words in told]
    (_, first, sides), *_ = every
    parts, out, deep = _SIDE.split(first), [], 0
    for number, before in enumerate(parts):
        out.append(before)
        deep += before.count("(") - before.count(")")
        if number == len(sides):
            break
        others: dict[str, list[str]] = {}
        for pieces, _, named in every:
            if named[number] != sides[number]:
                others.setdefault(named[number], []).append(pieces)
        words = "; ".join(f"{'  '.join(pieces)}: {side}" for side, pieces in others.items())
        out.append(sides[number])
        if words:
            out.append(f"; {words}" if deep else f" ({words})")
    return "".join(out)


def can_be_one(told: Sequence[str]) -> bool:
    """Whether sentences differ in nothing but sides, and name few of them in each place."""
    if len({but_for_sides(words) for words in told}) != 1:
        return False
    named = zip(*(_SIDE.findall(words) for words in told), strict=True)
    return all(len(set(sides)) <= MOST_SIDES for sides in named)
