"""Two places of a build that say different things of one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, warning
from shopdocs.core.typeset import typed
from shopdocs.facts.adhesives import adhesive
from shopdocs.facts.screws import pilot_hole, shank_diameter, thread_diameter
from shopdocs.facts.working_time import clamp_hours
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Hardware, Hole, HoleUse, Screw, the_face
from shopdocs.work.computed import Computed
from shopdocs.work.space.drilled import Drilled, wood_group

# Common practice, no source.
NEAR_PILOT = (Fraction(3, 4), Fraction(5, 4))  # of the pilot that the tables give
SHORT_WAIT = Fraction(3, 4)  # of the time in clamps that the glue asks for
LONG_OPEN = 2  # times the open time that the glue has

_GAUGE = r"(?:#|\bnumber\s+|\bno\.?\s*|\bgauge\s+)(\d{1,2})\b(?:\s*[x×]\s*(\d+(?:-\d+/\d+)?(?:/\d+)?))?"
_METRIC = r"(?<![\d./-])(\d(?:\.\d)?)\s*(?:mm\s*)?[x×]\s*(\d{2,3})(?![\d./-])"


def counts(build: Build, shop: Shop) -> Iterator[Problem]:
    """How many are bought, and at how many places they go."""
    for item in build.hardware:
        if not item.on or not item.count or "count" not in item.places or item.count == len(item.on):
            continue
        wrong = f"'{item.name}' is bought {item.count} times and goes on at {len(item.on)} places"
        less = item.count < len(item.on)
        right = "buy as many as there are places" if less else "leave out count, or place the others too"
        yield warning(item.places["count"], "count", wrong, right)


def words_of_screws(build: Build, shop: Shop) -> Iterator[Problem]:
    """A size in the words for the shopping list that is none of the item's screws."""
    for item in build.hardware:
        screws = [hole.screw for hole in item.holes if hole.screw is not None]
        if not screws:
            continue
        for key, words in (("buy", item.buy), ("note", item.note)):
            said = _other_size(typed(words), screws)
            if said:
                told = " and ".join(dict.fromkeys(screw.text for screw in screws))
                wrong = f"the words of '{item.name}' say {said}, its holes {told}"
                yield warning(item.places.get(key, item.at), "screw-words", wrong, "write one size in both places")


def _other_size(words: str, screws: list[Screw]) -> str:
    """The size that the words name and no screw is; "" where they agree or name none."""
    gauges = {screw.gauge for screw in screws if screw.gauge is not None}
    diameters = {screw.diameter for screw in screws if screw.diameter is not None}
    lengths = {screw.length for screw in screws if screw.length is not None}
    found = re.search(_GAUGE, words, re.I)
    if found and gauges:
        long = _inches(found.group(2)) if found.group(2) else None
        if int(found.group(1)) not in gauges or (long is not None and lengths and long not in lengths):
            return found.group().strip()
    found = re.search(_METRIC, words)
    if not found or not diameters:
        return ""
    other = Length(found.group(1)) not in diameters or (lengths and Length(found.group(2)) not in lengths)
    return found.group().strip() if other else ""


def _inches(text: str) -> Length | None:
    """A length as it is written in words; None for a fraction of nothing, such as 1/0."""
    whole, _, part = text.partition("-") if "-" in text else (("", "", text) if "/" in text else (text, "", ""))
    if "/" in part and int(part.rpartition("/")[2]) == 0:
        return None
    return Length.inches(Fraction(whole or 0) + Fraction(part or 0))


def bits_of_screws(build: Build, shop: Shop) -> Iterator[Problem]:
    """A bit of the maker's own that does not suit the screw beside it."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    for item in build.hardware:
        told: set[int] = set()
        for place in item.on:
            for hole in item.holes:
                if hole.bit is None or hole.screw is None or id(hole) in told or place.piece not in parts:
                    continue
                problem = _bit(item, hole, wood_group(build, parts[place.piece]))
                if problem is not None:
                    told.add(id(hole))
                    yield problem


def _bit(item: Hardware, hole: Hole, wood: str) -> Problem | None:
    screw, bit = hole.screw, hole.bit
    assert screw is not None and bit is not None
    size = screw.gauge if screw.gauge is not None else screw.diameter
    if size is None:
        return None
    if hole.use is HoleUse.PILOT and not screw.bolt:
        usual = pilot_hole(size, "softwood" if wood == "softwood" else "hardwood").diameter
        low, high = (usual * share for share in NEAR_PILOT)
        if low <= bit <= high:
            return None
        wrong = f"the pilot of '{item.name}' is {exact_text(bit)} for a {screw.text} screw in {wood}"
        return warning(hole.at, "pilot-bit", wrong, f"the table gives {exact_text(usual)}; leave out bit to take it")
    thread = shank_diameter(size) if isinstance(size, int) else thread_diameter(size)
    if hole.use is HoleUse.CLEARANCE and bit < thread:
        called = screw.text if screw.bolt else f"{screw.text} screw"
        wrong = f"the clearance hole of '{item.name}' is {exact_text(bit)}, its {called} {exact_text(thread)}"
        return warning(hole.at, "clearance-bit", wrong, "take a larger bit, or leave out bit to take the table's")
    return None


def times_of_glue(build: Build, shop: Shop) -> Iterator[Problem]:
    """Times that the build states and the glue's own, by its kind and the temperature of the shop."""
    gluing = build.gluing
    glue = adhesive(gluing.adhesive) if gluing is not None else None
    if gluing is None or glue is None:
        return
    usual = min(glue.clamp_minutes[0] / 60, clamp_hours(glue, gluing.shop_celsius)[0])
    told = [(gluing.clamp_hours, gluing.places.get("clamp time"), "clamp time")]
    told += [(stage.wait_hours, stage.places.get("wait"), f"wait of '{stage.title}'") for stage in gluing.stages]
    for hours, at, what in told:
        if hours is not None and at is not None and hours < usual * SHORT_WAIT:
            wrong = f"the {what} is {_hours(hours)}, {gluing.adhesive} stays in clamps {_hours(usual)}"
            yield warning(at, "short-wait", wrong, "wait longer; the glue's own data sheet decides")
    at = gluing.places.get("open time")
    high = max(glue.open_minutes[1], (glue.tight_minutes or glue.open_minutes)[1])
    if gluing.open_minutes is not None and at is not None and gluing.open_minutes > high * LONG_OPEN:
        ours, its = _minutes(gluing.open_minutes), _minutes(high)
        wrong = f"{gluing.adhesive} is written as open for {ours}, and its kind stays open for {its} at most"
        yield warning(at, "open-time-long", wrong, "copy the time from the label of the pot, with label at:")


def _hours(hours: Fraction) -> str:
    return f"{float(hours * 60):.0f} min" if hours < 2 else f"{float(hours):g} h"


def _minutes(minutes: Fraction) -> str:
    return f"{float(minutes):g} min"


def holes_told_twice(work: Computed) -> Iterator[Problem]:
    """The same hole at the same spot, once more: by a line written twice, or by hardware that meets from both sides."""
    seen: dict[tuple[object, ...], Drilled] = {}
    for hole in work.holes:
        first = seen.setdefault((hole.piece, hole.face, hole.along, hole.across, hole.bore.use, hole.bore.bit), hole)
        if first is not hole:
            by = "twice" if first.hardware == hole.hardware else f"by '{first.hardware}' already"
            wrong = f"'{hole.hardware}' drills {the_face(hole.face)} of '{hole.piece}' at one spot {by}"
            yield warning(hole.place.at, "hole-twice", wrong, "write each hole once; move it, or leave one of them out")


CHECKS_OF_WORK = (holes_told_twice,)
CHECKS = (counts, words_of_screws, bits_of_screws, times_of_glue)
