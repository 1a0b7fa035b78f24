"""The cause before its shadow: where one slip has many consequences, it is told first and they are counted under it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopdocs.core.problems import Problem, Severity, in_reading_order


@dataclass(frozen=True, slots=True)
class Rule:
    """Problems of the codes `causes` explain those of the codes `shadows`; only where both speak of the same hardware
    or part first, if `same`; only where the cause speaks of a piece that the other names, if `near`; only where the
    cause is an error, not a doubt, if `sure`; only of those that say `words`, if any are given; each cause for itself,
    of what is told at its own place, if `there`."""

    causes: frozenset[str]
    shadows: frozenset[str]
    same: bool = False
    words: str = ""
    near: bool = False
    sure: bool = False
    there: bool = False


def _rule(
    causes: str,
    shadows: str,
    *,
    same: bool = False,
    words: str = "",
    near: bool = False,
    sure: bool = False,
    there: bool = False,
) -> Rule:
    return Rule(frozenset(causes.split()), frozenset(shadows.split()), same, words, near, sure, there)


_SIZES = (
    "tenon-thickness tenon-length tenon-width tongue-thickness tongue-length cut-depth joint-room tail-length "
    "tenon-too-thick tenon-too-wide no-tenon-left"
)
_COLLIDES = "clash hangs-over joints-meet-inside joints-close-inside near-miss loose overall"
_OF_THAT_JOINT = "thin-wall tenon-thick no-room thin-floor thin-lap"

RULES = (
    _rule("setting", "no-board"),
    _rule("label-time", "open-time"),
    _rule(_SIZES, _COLLIDES),
    _rule(_SIZES, _OF_THAT_JOINT, near=True),
    _rule("thick-stock", "unused"),
    # a doubt about a thin floor says nothing of a stated height: both are told
    _rule(
        "left-out clash below-floor thin-floor short-grain loose uneven-feet joints-meet-inside", "overall", sure=True
    ),
    _rule("left-out", "no-joint loose clamps no-order near-miss uneven-feet"),
    _rule("left-out", "no-stage", near=True),
    _rule("glued-twice named-twice", "no-stage", words="is in no glue-up stage"),
    _rule("glued-twice named-twice", "no-order clamps"),
    _rule("named-twice", "no-stage", words="taken up by no stage"),
    _rule("holes-many", "hole-twice"),
    _rule("thickness", "unused"),
    _rule("short-grain", "below-floor"),
    _rule("landing outside", "screw-length misaligned", same=True),
    _rule("hole-in-joint", "landing", same=True, near=True),  # what it lands on is the tenon in that mortise
    _rule("no-way-in clash", "no-order"),
    _rule("bridle-not-at-the-end", "no-order", sure=True),  # closed at its end, an open mortise holds what is in it
    _rule("clash", "hangs-over clamps"),
    _rule("clash outside", "loose"),
    _rule("not-touching lean-joint tilt-joint", "short-grain", there=True),  # by which face it goes in is not known
    _rule("lean round", "not-touching", there=True),
)
_NAMES = re.compile(r"'([^']+)'")


def cause_first(problems: Sequence[Problem]) -> list[Problem]:
    """The problems in reading order, those that follow from another taken out and counted with it. What explains an
    error is an error itself: nothing is printed before it is mended."""
    left = list(in_reading_order(problems))
    for rule in RULES:
        causes = [one for one in left if one.code in rule.causes]
        causes = [one for one in causes if not rule.sure or one.severity is Severity.ERROR]
        for cause in causes if rule.there or rule.near else causes[:1]:
            left = _told_with(left, cause, rule)
    return left


def _told_with(problems: list[Problem], cause: Problem, rule: Rule) -> list[Problem]:
    """The problems without those that follow from the cause."""
    under = [one for one in problems if _follows(one, cause, rule)]
    if not under:
        return problems
    severity = min(cause.severity, *(one.severity for one in under))
    more = cause.more + len(under) + sum(one.more for one in under)
    told = replace(cause, more=more, severity=severity)
    return [told if one is cause else one for one in problems if one is cause or one not in under]


def _follows(one: Problem, cause: Problem, rule: Rule) -> bool:
    if one is cause or one.code not in rule.shadows or rule.words not in one.wrong:
        return False
    if rule.there and one.at != cause.at:
        return False
    if rule.near and not set(_NAMES.findall(one.wrong)) & set(_NAMES.findall(cause.wrong)):
        return False
    return not rule.same or _first_name(one) == _first_name(cause) != ""


def _first_name(problem: Problem) -> str:
    found = _NAMES.search(problem.wrong)
    return found.group(1) if found else ""
