"""Holes that are meant to cross others, because the build says so: whether they do.

A pin crosses a dowel or another pin where all of the narrower one lies in the wider, and each goes beyond the axis of
the other; a nut its bolt where their axes meet. It crosses a joint where its whole round goes through what the joint
holds, at least half way. One hole of a pattern does for each of its places.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from shopdocs.checks.hollows import STEPS, Words
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, error, warning
from shopdocs.model.build import Build
from shopdocs.model.joining import Hardware
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.computed import Computed
from shopdocs.work.holes.fastening import Line
from shopdocs.work.holes.hollows import Cut, Hollowed, all_within, along, hollowed_pieces
from shopdocs.work.space.drilled import Drilled

_USUAL = "write less; 1/32 to 1/16 in or 1 to 1.5 mm is common practice"
Miss = tuple[float, str, str]  # how far it misses, what is wrong, what would be right


def crossings(work: Computed) -> Iterator[Problem]:
    """Hardware that, at one of its places, crosses nothing it is meant to; and names that nothing crosses."""
    yield from _offsets(work.build, work.holes)
    asking = {item.name: item for item in work.build.hardware if item.crosses}
    if not asking:
        return
    joints = {meeting.number: joint.name for joint, meeting in work.build.meetings()}
    placed = set(work.space.pieces) if work.space else set()
    crossed: dict[str, set[str]] = defaultdict(set)
    for hollowed in hollowed_pieces(work.build, work.holes, work.fastening):
        words = Words(hollowed, STEPS[work.build.units], joints, frozenset(), frozenset(), {})
        for item, lines in _by_place(hollowed, asking):
            found = [_crossed(words, item, line) for line in lines]
            crossed[item.name].update(name for names, _ in found for name in names)
            if not any(names for names, _ in found):
                yield _missed(work.build, item, lines[0], [miss for _, misses in found for miss in misses], placed)
    for item in asking.values():
        if not item.on:
            wrong = f"'{item.name}' is to cross {_names(item)}, and has no hole"
            at = item.places.get("crosses", item.at)
            yield warning(at, "crosses", wrong, "add its holes and where they are (on), or leave crosses out")
        for name in item.crosses:
            if crossed[item.name] and name not in crossed[item.name]:
                wrong, at = f"no hole of '{item.name}' crosses '{name}'", item.places.get("crosses", item.at)
                yield error(at, "crosses", wrong, "leave that name out, or move a hole")


def _offsets(build: Build, holes: Iterable[Drilled]) -> Iterator[Problem]:
    """Offsets of what crosses no tenon, those that no pin would pass, and those beyond a quarter of the hole, which
    bend the pin more than is usual (common practice, no source)."""
    tenoned = {joint.name for joint in build.joints if KINDS[joint.kind].tenoned}
    widest: dict[str, Length] = {}
    for hole in holes:
        widest[hole.hardware] = max(hole.bore.bit, widest.get(hole.hardware, ZERO))
    for item in build.hardware:
        if item.offset is None:
            continue
        at = item.places.get("offset", item.at)
        if not tenoned & set(item.crosses):
            wrong = f"'{item.name}' has an offset, and crosses no joint with a tenon"
            yield error(at, "offset", wrong, "name the joint under crosses, or leave offset out")
        elif item.name in widest and item.offset * 2 >= widest[item.name]:
            wrong = f"the offset of '{item.name}' is half as wide as its hole or more, and no pin would pass"
            yield error(at, "offset", wrong, _USUAL)
        elif item.name in widest and item.offset * 4 > widest[item.name]:
            wrong = f"the offset of '{item.name}' is more than a quarter of its hole's width, and the pin may break"
            yield warning(at, "offset", wrong, _USUAL)


def _by_place(hollowed: Hollowed, asking: Mapping[str, Hardware]) -> Iterator[tuple[Hardware, list[Line]]]:
    """The holes of one place of hardware in this piece."""
    places: dict[tuple[str, object], list[Line]] = defaultdict(list)
    for line in hollowed.lines:
        if not line.joint and line.name in asking:
            places[line.name, line.at].append(line)
    for (name, _), lines in places.items():
        yield asking[name], lines


def _names(item: Hardware) -> str:
    return " or ".join(f"'{name}'" for name in item.crosses)


def _missed(build: Build, item: Hardware, line: Line, misses: list[Miss], placed: set[str]) -> Problem:
    names = _names(item)
    if misses:
        _, wrong, right = min(misses)
        return error(line.at, "crosses", wrong, right)
    joints = {joint.name for joint in build.joints} & set(item.crosses)
    if joints and line.mark not in placed:
        wrong = f"whether '{item.name}' crosses {names} in '{line.mark}' cannot be told: the piece has no place"
        return warning(line.at, "crosses", wrong, "give the pieces of the joint their places")
    wrong = f"'{item.name}' is to cross {names}, which has no hole and no cut in '{line.mark}'"
    return error(line.at, "crosses", wrong, "name what it crosses in this piece, or leave crosses out")


def _crossed(words: Words, item: Hardware, line: Line) -> tuple[set[str], list[Miss]]:
    """Which of the names a hole crosses in its piece, and how it misses the others."""
    done, misses = set(), []
    for name in item.crosses:
        holes = [other for other in words.piece.lines if other.name == name]
        cuts = [cut for cut in words.piece.cuts if not cut.adds and words.joints[cut.joint] == name]
        targets = [_miss(words, line, other) for other in holes] + [_miss_of_cut(words, line, cut) for cut in cuts]
        if None in targets:
            done.add(name)
        misses += [miss for miss in targets if miss is not None]
    return done, misses


def _miss(words: Words, line: Line, other: Line) -> Miss | None:
    what = f"{words.hole(line)} does not cross {words.hole(other)} (line {other.at.line}) inside '{line.mark}'"
    if line.axis == other.axis:
        return float("inf"), f"{what}: both run the same way", "a pin goes in from a face beside"
    third = 3 - line.axis - other.axis
    bolt = any(each.screw is not None and each.screw.bolt for each in (line, other))
    allowed = words.aligned if bolt else max(words.aligned, float(abs(line.radius - other.radius)))
    aside = abs(line.entry[third] - other.entry[third]) - line.slack[third] - other.slack[third]
    if aside > allowed:
        by = words.at_least(aside - (0 if bolt else allowed))
        way = words.way(third, line)
        return float(aside), f"{what}: it passes {words.at_least(aside)} beside its middle", f"move it {by} {way}"
    for one, two in ((line, other), (other, line)):
        reach = one.along(two.entry[one.axis])
        short = reach - one.along(one.end)
        if short > 0:
            ends, it = ("it ends", "it") if one is line else ("that one ends", words.hole(other))
            wrong = f"{what}: {ends} {words.at_least(short)} before they meet"
            return float(short), wrong, f"drill {it} deeper than {words.at_least(reach)}"
    return None


def _miss_of_cut(words: Words, line: Line, cut: Cut) -> Miss | None:
    what = f"{words.hole(line)} does not cross what {words.cut(cut)} holds in '{line.mark}'"
    begins, ends = along(line, cut)
    deep = line.along(line.end)
    if not all_within(line, [cut.held]):
        off = [
            max(cut.held.lo[k] - line.entry[k] + line.radius, line.entry[k] + line.radius - cut.held.hi[k], 0)
            for k in line.across
        ]
        k = line.across[off.index(max(off))]
        by = words.at_least(max(off))
        return float(max(off)), f"{what}: it passes {by} beside it", f"move it {by} {words.way(k, line)}"
    if begins <= 0 or 2 * (deep - begins) < ends - begins:
        half = words.at_least((begins + ends) / 2)
        return float(ends - deep), f"{what}: it ends too soon", f"drill it at least {half} deep, better through"
    return None


CHECKS = (crossings,)
