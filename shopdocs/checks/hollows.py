"""Holes that run into each other inside a piece, or into a cut of one of its joints, or leave hardly any wood.

What is meant to meet, and is never told:

- Holes on one axis: a clearance hole over its pilot, a recess for a head or a nut. (Two pilots from opposite faces are
  told: the tips of their screws would meet.)
- Holes of one pattern at one place, as a keyhole hanger has them, unless both take a screw.
- A hole that comes out wholly inside a recess.
- A bolt and a plain hole or a recess that crosses its axis: that of its cross nut.
- What the build says is meant to (`crosses`); whether it does is looked at in `crossing.py`.
- A hole whose whole round passes through a cut of a joint, seen along the hole, and goes at least half way across it:
  it pins or screws what the joint holds there (a draw-bore pin through a tenon, a screw into the end of one). A
  clearance hole need not go so far, its screw goes on. A hole that begins in the cut must go on beyond it.

A recess fastens nothing, and a dowel of one joint has no business in another: they are told in every cut. Everything
here only warns: a hole may have a purpose that the build does not tell.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cached_property
from math import ceil, floor

from msgspec import Struct

from shopdocs.checks.fastening import ALIGNED, reached, softwood, stopped_by_pilot
from shopdocs.checks.meetings import numbers_held_twice
from shopdocs.checks.space import few
from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import HoleUse, the_face
from shopdocs.work.computed import Computed
from shopdocs.work.holes.fastening import Line, apart
from shopdocs.work.holes.hollows import (
    Cut,
    Hollowed,
    Nearness,
    all_within,
    along,
    beside,
    between_holes,
    cut_numbers,
    farthest,
    hollowed_pieces,
    into,
    to_cut,
    to_face,
)
from shopdocs.work.space.placed import OWN, side_of

THINNEST = Length(3)  # wood beside a hole: its radius, and no more than this (common practice, no source)
MOST_PAIRS = 100_000  # of hollows near each other in one piece; no piece of furniture comes near it
STEPS = {"in": Length.inches("1/64"), "mm": Length("0.1")}  # to which what follows from a round is rounded, for safety
_USES = {
    HoleUse.CLEARANCE: "clearance hole",
    HoleUse.PILOT: "pilot hole",
    HoleUse.PLAIN: "hole",
    HoleUse.RECESS: "recess",
}
_MEASURES = ("along", "across")


def holes_within_pieces(work: Computed) -> Iterator[Problem]:
    """All checks of what is hollow inside one piece."""
    step, soft = STEPS[work.build.units], softwood(work.build)
    names = {meeting.number: joint.name for joint, meeting in work.build.meetings()}
    names |= {number: name.removeprefix(OWN) for name, number in cut_numbers(work.build).items()}
    twice = numbers_held_twice(work.build)
    crosses = {item.name: item.crosses for item in work.build.hardware if item.crosses}
    found: dict[str, list[Problem]] = defaultdict(list)
    told, seen = set(), set()
    for piece in hollowed_pieces(work.build, work.holes, work.fastened):
        if piece.likeness in seen:
            continue
        seen.add(piece.likeness)
        for problem in _within(Words(piece, step, names, soft, twice, crosses)):
            if (problem.at, problem.code) not in told:
                told.add((problem.at, problem.code))
                found[problem.code].append(problem)
    for problems in found.values():
        yield from few(iter(problems))


class Words(Struct, frozen=True, dict=True):
    """How the hollows of one piece are spoken of; `joints` are the names of joints by the number of the
    meeting, `soft` the marks of the pieces of softwood, `twice` the numbers of two meetings of the same two pieces,
    `crosses` what hardware is meant to cross, by its name."""

    piece: Hollowed
    step: Length
    joints: Mapping[int, str]
    soft: frozenset[str]
    twice: frozenset[frozenset[int]]
    crosses: Mapping[str, tuple[str, ...]]

    @cached_property
    def thinnest(self) -> float:
        """The thinnest wall common practice leaves, in ticks."""
        return float(THINNEST.mm * self.piece.ticks.per_mm)

    @cached_property
    def aligned(self) -> float:
        """How far apart two axes may lie, in ticks, and still count as one line."""
        return float(ALIGNED.mm * self.piece.ticks.per_mm)

    def hole(self, line: Line) -> str:
        """A hole with whose it is."""
        whose = f"joint {line.joint} '{line.name}'" if line.joint else f"'{line.name}'"
        return f"the {_USES[line.use]} of {whose}"

    def cut(self, cut: Cut) -> str:
        """A joint's cut with the joint's number and name."""
        if cut.joint < 0:
            return f"the {cut.kind.value} '{self.joints[cut.joint]}'"
        return f"the {cut.kind.value} of joint {cut.joint} '{self.joints[cut.joint]}'"

    def meant(self, line: Line, name: str) -> bool:
        """Whether a hole of hardware is meant to cross the hardware or the joint of this name."""
        return not line.joint and name in self.crosses.get(line.name, ())

    def at_least(self, ticks: float) -> str:
        """Ticks as a length, rounded up: for what is needed."""
        return self._rounded(ticks, up=True)

    def at_most(self, ticks: float) -> str:
        """Ticks as a length, rounded down: for what there is."""
        return self._rounded(ticks, up=False)

    def _rounded(self, ticks: float, up: bool) -> str:
        steps = ticks / float(self.piece.ticks.per_mm) / self.step.float_mm()
        whole = ceil(steps - 1e-6) if up else floor(steps + 1e-6)
        return exact_text(self.step * Fraction(whole))

    def mend(self, near: Nearness, mover: Line) -> str:
        """What to do so that two hollows no longer run into each other, the least change first."""
        shift = f"move it at least {self.at_least(near.shift)} {self.way(near.way, mover)}"
        less = [(line.along(line.end) - depth, line is not mover, depth, line) for line, depth in near.depths]
        if not less:
            return shift
        by, _, depth, line = min(less, key=lambda each: each[:3])
        name = "it" if line is mover else self.hole(line)
        shallow = f"drill {name} at most {self.at_most(depth)} deep"
        return f"{shallow}, or {shift}" if by <= near.shift else f"{shift}, or {shallow}"

    def way(self, way: int | None, line: Line) -> str:
        """Which way to move a hole, in the words of its face; "away" where no way is known."""
        if way is None:
            return "away"
        own = [k for k in (0, 1, 2) if k != side_of(line.face)[0]]
        return f"{_MEASURES[own.index(self.piece.piece.pose.piece_axis(way))]} {the_face(line.face)}"


def _within(words: Words) -> Iterator[Problem]:
    piece = words.piece
    cuts: dict[tuple[Line, int, bool], list[tuple[Cut, Nearness]]] = defaultdict(list)
    for number, (line, other) in enumerate(piece.near(ceil(words.thinnest))):
        if number == MOST_PAIRS:
            wrong = f"so many holes lie close together in '{line.mark}' that not all are checked against each other"
            yield warning(line.at, "holes-many", wrong, "spread them out, or leave out what is written twice")
            break
        if isinstance(other, Line):
            yield from _of_holes(words, *sorted((line, other), key=lambda each: each.at))
        elif other.joint != line.joint and not words.meant(line, words.joints[other.joint]):
            cuts[line, other.joint, other.adds].append((other, to_cut(line, other)))
    for (line, _, adds), near in cuts.items():
        yield from _on_tenon(words, line, near) if adds else _of_cut(words, line, near)
    for line in piece.lines:
        wood = to_face(line, piece.body)
        if 0 <= wood < _thinnest(words, line) and not line.joint:
            yield _thin(words, line, wood, _thinnest(words, line), "the next face")


# --- holes ------------------------------------------------------------------------------------------------------------


def _of_holes(words: Words, first: Line, last: Line) -> Iterator[Problem]:
    """Told at the later of the two."""
    for head, pilot in ((first, last), (last, first)):
        # With its head in the wood we know how deep the screw goes; plates differ in thickness.
        if head.use is HoleUse.CLEARANCE and not head.through and (head.countersunk or head.seat):
            yield from stopped_by_pilot(head, pilot, words.piece.ticks, words.soft)
    near = between_holes(first, last)
    if near.wall >= words.thinnest or _belong_together(words, first, last):
        return
    other = f"{words.hole(first)} (line {first.at.line})"
    if near.wall < 0:
        wrong = f"{words.hole(last)} runs {words.at_least(-near.wall)} into {other} inside '{last.mark}'"
        yield warning(last.at, "holes-meet", wrong, words.mend(near, last))
    elif near.wall < (least := min(_thinnest(words, first), _thinnest(words, last))) and not _of_one_place(first, last):
        yield _thin(words, last, near.wall, least, other)


def _belong_together(words: Words, one: Line, other: Line) -> bool:
    if words.meant(one, other.name) or words.meant(other, one.name):
        return True
    if one.axis != other.axis:
        return _bolt_and_nut(words, one, other) or _bolt_and_nut(words, other, one)
    if apart(one, other) <= words.aligned:
        return one.ahead == other.ahead or not one.use is other.use is HoleUse.PILOT or _of_one_place(one, other)
    if _of_one_place(one, other):
        return one.screw is None or other.screw is None
    return _in_recess(one, other) or _in_recess(other, one)


def _of_one_place(one: Line, other: Line) -> bool:
    return (one.at, one.joint) == (other.at, other.joint)


def _bolt_and_nut(words: Words, bolt: Line, nut: Line) -> bool:
    third = 3 - bolt.axis - nut.axis
    return (
        bolt.screw is not None
        and bolt.screw.bolt
        and nut.use in (HoleUse.PLAIN, HoleUse.RECESS)
        and abs(bolt.entry[third] - nut.entry[third]) <= words.aligned
    )


def _in_recess(recess: Line, line: Line) -> bool:
    return recess.use is HoleUse.RECESS and farthest(recess, line) + line.radius <= recess.radius


def _thinnest(words: Words, line: Line) -> float:
    """How little wood may be beside a hole; a recess may lie close to an edge, as those of hinges do."""
    return 0.0 if line.use is HoleUse.RECESS else min(words.thinnest, float(line.radius))


def _thin(words: Words, line: Line, wall: float, least: float, what: str) -> Problem:
    left = f"{words.at_most(wall)} of" if wall * words.piece.ticks.length(1).mm >= words.step.mm else "hardly any"
    wrong = f"{words.hole(line)} leaves {left} wood in '{line.mark}' before {what}"
    return warning(line.at, "wood-left", wrong, f"common practice leaves at least {words.at_least(least)} there")


# --- cuts of joints ---------------------------------------------------------------------------------------------------


def _of_cut(words: Words, line: Line, near: list[tuple[Cut, Nearness]]) -> Iterator[Problem]:
    """A hole and what one joint cuts out of the same piece."""
    met = [(cut, each) for cut, each in near if each.wall < 0]
    if not met:
        cut, closest = min(near, key=lambda each: each[1].wall)
        least = _thinnest(words, line)
        if 0 <= closest.wall < least:
            yield _thin(words, line, closest.wall, least, words.cut(cut))
        return
    cut, most = min(met, key=lambda each: each[1].wall)
    if line.joint and line.use is HoleUse.PLAIN and frozenset((line.joint, cut.joint)) in words.twice:
        return  # reported as two joints in one place
    reach = f"{words.hole(line)} runs {words.at_least(-most.wall)} into {words.cut(cut)} inside '{line.mark}'"
    if not all_within(line, [each.held for each, _ in met]):
        yield warning(line.at, "hole-in-joint", reach, words.mend(most, line) + _or_into(words, line, cut, most))
        return
    spans = [along(line, each) for each, _ in met]
    begins, ends, deep = min(low for low, _ in spans), max(high for _, high in spans), line.along(line.end)
    if begins <= 0 and deep <= ends:
        wrong = f"{words.hole(line)} lies in {words.cut(cut)} of '{line.mark}', where there is no wood"
        yield warning(line.at, "hole-in-joint", wrong, f"drill it deeper than {words.at_most(ends)}, or move it")
    elif (line.use is HoleUse.RECESS and begins > 0) or (line.use is HoleUse.PLAIN and line.joint):
        yield warning(line.at, "hole-in-joint", reach, words.mend(most, line))
    elif begins > 0 and line.use is not HoleUse.CLEARANCE and 2 * (deep - begins) < ends - begins:
        right = f"drill it at most {words.at_most(begins)} deep, or on through what the joint holds there"
        yield warning(line.at, "hole-in-joint", reach, right)


def _or_into(words: Words, line: Line, cut: Cut, near: Nearness) -> str:
    """Where a pin or a screw that misses a tenon by a little can be moved on to it instead."""
    inward = into(line, cut.held)
    if inward is None or inward[1] != near.way or line.use is HoleUse.RECESS or line.joint or not line.through:
        return ""
    return f", or {words.at_least(inward[0])} the other way, so that it goes through what the joint holds"


def _on_tenon(words: Words, line: Line, near: list[tuple[Cut, Nearness]]) -> Iterator[Problem]:
    """A hole on an end or an edge that a joint makes longer: it begins on the tenon or beside it, not half on it."""
    before = [cut for cut, _ in near if along(line, cut)[1] == 0 and reached(line, cut.box)]
    if before and not all_within(line, [cut.box for cut in before]):
        wrong = f"{words.hole(line)} in '{line.mark}' begins half on {words.cut(before[0])}"
        shift, way = beside(line, before[0].box)
        yield warning(line.at, "hole-in-joint", wrong, words.mend(Nearness(0, shift, way), line))


CHECKS = (holes_within_pieces,)
