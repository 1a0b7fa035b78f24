"""Seats and tops that stand far from where people sit and eat. A doubt, no rule: the piece may be made to measure."""

from __future__ import annotations

import re
from collections.abc import Iterator

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Position, Problem, warning
from shopdocs.facts.ergonomics import outside
from shopdocs.work.computed import Computed

FAR = Length.inches(1)  # beyond the usual range; so much is taste (common practice, no source)
# What a build is, by its title, with the range that holds for it; the first that fits. A table is for dining only where
# it says so: others are stood at, or set beside a chair.
CALLED = (
    ("bar stool", "bar stool"),
    ("counter stool", "counter stool"),
    ("dining table", "table"),
    ("kitchen table", "table"),
    ("bar table", "bar"),
    ("counter table", "counter"),
    ("writing table", "desk"),
    ("desk", "desk"),
    ("bench", "bench"),
    ("chair", "seat"),
)
LAST = r"(?!\s+(?!(for|with|in|of|to|by|at|and|on)\b)\w)"  # a bench hook is no bench, a desk tray no desk
OTHERWISE = r"\b(work|joiner|saw|sawing|shaving|potting|tool|child|children|high|nursing|toy|doll|step)"
SAT_ON = ("bar stool", "counter stool", "bench", "seat")


def usual_heights(work: Computed) -> Iterator[Problem]:
    """The seat, or the top of a table, more than a little above or below what is usual."""
    build = work.build
    title = build.title.casefold()  # each pattern costs more to make than to use
    likely = [(words, key) for words, key in CALLED if words in title]
    key = next((key for words, key in likely if re.search(rf"\b{words}\b{LAST}", build.title, re.I)), "")
    if not key or re.search(OTHERWISE, build.title, re.I) or not build.free_standing:
        return
    found = _height(work, key)
    if found is None:
        return
    what, height, at = found
    usual = outside(key, height)
    if usual is not None and not usual.low - FAR <= height <= usual.high + FAR:
        span = exact_text(usual.low)
        if usual.high != usual.low:
            span += f" to {exact_text(usual.high)}"
        wrong = f"{what} stands {exact_text(height)} above the floor"
        right = f"{span} is usual for the {usual.what} ({usual.source}); no rule, and yours may be right"
        yield warning(at, "usual-height", wrong, right)


def _height(work: Computed, key: str) -> tuple[str, Length, Position] | None:
    """What is sat on or sat at, how high it is, and its place in the file; None where that cannot be told."""
    from shopdocs.work.scene.overall import heights, overall_of

    build = work.build
    seats = {part.name: part for part in build.parts if re.search(r"\bseat\b", part.name, re.I)}
    if key in SAT_ON and seats and work.space is not None:
        tops = [height for height in heights(work.space) if height.part in seats]
        highest = max(tops, key=lambda height: height.top, default=None)
        return None if highest is None else (f"'{highest.part}'", highest.top, seats[highest.part].at)
    backed = any(re.search(r"\b(back|backrest|crest)\b", part.name, re.I) for part in build.parts)
    overall = overall_of(build, work.space)
    if overall is None or key == "seat" or (key in SAT_ON and (backed or seats)):
        return None
    return "the top", overall.height, build.places.get("overall", build.at)


CHECKS_OF_WORK = (usual_heights,)
