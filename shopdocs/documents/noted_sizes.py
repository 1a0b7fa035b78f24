"""Sizes in the maker's own words, told in the units of the set as well.

A note stays as it is written; behind a length with its unit stands the same in the units that the set is printed in:
whoever reads it holds a rule in those. What goods are called by is left alone: a 1 mm bit stays one.
"""

from __future__ import annotations

import re

from msgspec.structs import replace

from shopdocs.core.display import FRACTION_SLASH, Display, Units
from shopdocs.core.length import Length
from shopdocs.core.typeset import typed
from shopdocs.model.build import Build
from shopdocs.model.joining import Stage

_FRACTION = rf"\d*[⁰¹²³⁴⁵⁶⁷⁸⁹]+{FRACTION_SLASH}[₀₁₂₃₄₅₆₇₈₉]+"  # as `core/typeset.py` sets them
_NUMBER = rf"(?:{_FRACTION}|\d+(?:\.\d+)?)"
_GOODS = r"(?! ?(?:bits?|nails?|screws?|pins?|brads?|bolts?|dowels?|plugs?|chisels?|drills?|clamps?|brush|brushes)\b)"
# "2 in each end" tells of no inches: a whole number does only before what a measure is followed by.
_MEASURED = (
    r"(?= (?:wide|long|deep|thick|high|tall|square|apart|proud|from|above|below|behind|over|under|beyond|past|off|of|"
    r"left|and|or|to|back)\b|[.,;:)]|$)"
)
_ALONE = r"(?<![\d./×#x-])(?<!× )(?<!x )"  # not within a fraction or a size of several measures
_AFTER = r"(?! ?[×(/])"
_WRITTEN: dict[Units, re.Pattern[str]] = {
    "in": re.compile(rf"{_ALONE}(?:({_FRACTION}) in\b|({_NUMBER}) in\b{_MEASURED}){_AFTER}{_GOODS}"),
    "mm": re.compile(rf"{_ALONE}({_NUMBER}) (mm|cm)\b{_AFTER}{_GOODS}"),
}
_SMALL = {"in": Length.inches("1/8"), "mm": Length(3)}  # below it, no coarser than a kerf (common practice, no source)


def told_in(words: str, written: Units, display: Display) -> str:
    """The words with the other units behind each length: "276 mm (≈10⁷⁄₈ in) apart"; `written` are those of the build.
    In the build's own units the words as they are."""
    if not words or written == display.units:
        return words
    alone = display.alone()

    def both(found: re.Match[str]) -> str:
        length = _length(found, written)
        shown = alone.small(length) if length < _SMALL[display.units] else alone.length(length)
        return f"{found.group()} ({shown})".replace(" in)", "\u00a0in)").replace(" mm)", "\u00a0mm)")

    return _WRITTEN[written].sub(both, words)


def _length(found: re.Match[str], written: Units) -> Length:
    if written == "mm":
        return Length(found[1]) * (10 if found[2] == "cm" else 1)
    whole, _, part = typed(found[1] or found[2]).rpartition("-")
    return Length.inches(part) + Length.inches(whole or 0)


def noted_in(build: Build, display: Display) -> Build:
    """The build with its notes told in the units of the set; the very same where nothing in them changes."""

    def told(words: str) -> str:
        return told_in(words, build.units, display)

    def every(lines: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(map(told, lines))

    def stage(one: Stage) -> Stage:
        return replace(
            one,
            first=every(one.first),
            dry_fit=every(one.dry_fit),
            after=every(one.after),
            when_set=every(one.when_set),
            note=told(one.note),
        )

    if build.units == display.units:
        return build
    noted = replace(
        build,
        intro=told(build.intro),
        materials=tuple(replace(one, note=told(one.note)) for one in build.materials),
        parts=tuple(
            replace(
                one,
                note=told(one.note),
                private=told(one.private),
                pieces=tuple(replace(piece, note=told(piece.note)) for piece in one.pieces),
            )
            for one in build.parts
        ),
        joints=tuple(replace(one, note=told(one.note)) for one in build.joints),
        hardware=tuple(replace(one, note=told(one.note)) for one in build.hardware),
        cuts=tuple(replace(one, note=told(one.note)) for one in build.cuts),
    )
    if (gluing := build.gluing) is not None:
        stages = tuple(map(stage, gluing.stages))
        noted = replace(noted, gluing=replace(gluing, note=told(gluing.note), stages=stages))
    if (finish := build.finish) is not None:
        steps = every(finish.steps)
        noted = replace(noted, finish=replace(finish, note=told(finish.note), steps=steps))
    return build if noted == build else noted
