"""Holes of neighbours that should meet, holes that come out beside the wood, screws that are too long or too short.

Everything here only warns: a hole may have a purpose that the build does not tell.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence, Set

from shopdocs.checks.space import few
from shopdocs.core.box import Box, Ticks, less_all
from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, warning
from shopdocs.facts.screws import shank_diameter
from shopdocs.model.build import Build
from shopdocs.model.joining import HoleUse, Screw, the_face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.computed import Computed
from shopdocs.work.holes.fastening import FASTENING, Fastening, Line, Mouth, Passage, apart
from shopdocs.work.space.drilled import wood_group

COVER = Length("1.5")  # wood beyond the tip of a screw, so that it does not show (common practice, no source)
ALIGNED = Length("0.25")  # holes this close are on one axis: finer than a scribed line (common practice, no source)
_TOWARDS = (("to the left", "to the right"), ("to the front", "to the rear"), ("down", "up"))
_SCREWS = (HoleUse.CLEARANCE, HoleUse.PILOT)


def holes_between_pieces(work: Computed) -> Iterator[Problem]:
    """All checks of holes where placed pieces touch."""
    fastening = work.fastening
    if fastening is None or not fastening.lines:
        return
    soft = softwood(work.build)
    pinned = {meeting.number for joint, meeting in work.build.meetings() if KINDS[joint.kind].slides}
    for found in (
        _landings(fastening, pinned),
        _mates(fastening),
        _lengths(fastening, soft, not work.build.free_standing),
    ):
        yield from few(_once(found))


def _once(problems: Iterator[Problem]) -> Iterator[Problem]:
    """One place in the file stands for many pieces; what is wrong is told of the first that has it."""
    told = set()
    for problem in problems:
        key = (problem.at, problem.code)
        if key not in told:
            told.add(key)
            yield problem


def _hole(line: Line) -> str:
    return f"the {'' if line.use is HoleUse.PLAIN else line.use.value + ' '}hole of '{line.name}' in '{line.mark}'"


def _text(fastening: Fastening, ticks: int) -> str:
    return exact_text(fastening.ticks.length(ticks))


def _wood_screw(line: Line) -> Screw | None:
    return line.screw if line.screw is not None and not line.screw.bolt else None


# --- where a hole comes out -------------------------------------------------------------------------------------------


def _landings(fastening: Fastening, pinned: Set[int]) -> Iterator[Problem]:
    """Holes that come out at the edge of a neighbour, on a seam, or just beside it. Pins of the joints of these numbers
    end at the face where they come out; what lies under it is not fastened by them."""
    by_line: dict[Line, list[Mouth]] = defaultdict(list)
    for mouth in fastening.mouths:
        if mouth.outward and mouth.line.use in FASTENING and mouth.line.joint not in pinned:
            by_line[mouth.line].append(mouth)
    for line, mouths in by_line.items():
        for plane in dict.fromkeys(mouth.plane for mouth in mouths):
            problem = _landing(fastening, line, plane, mouths)
            if problem is not None:
                yield problem


def _landing(fastening: Fastening, line: Line, plane: int, mouths: list[Mouth]) -> Problem | None:
    rectangles: dict[int, list[Box]] = defaultdict(list)
    for facing in fastening.touches(line.piece, line.axis):
        if facing.high == line.ahead and facing.where.lo[line.axis] == plane and reached(line, facing.where):
            rectangles[facing.neighbour].append(facing.where)
    if not rectangles:
        beside = min(mouths, key=lambda mouth: mouth.off)
        return _beside(fastening, line, beside) if line.end == plane and beside.off else None
    if any(_covered(line, boxes) for boxes in rectangles.values()):
        return None
    marks = [fastening.space.scene.pieces[neighbour].mark for neighbour in rectangles]
    if _covered(line, [box for boxes in rectangles.values() for box in boxes]):
        wrong = f"{_hole(line)} comes out on the seam between {' and '.join(map(repr, marks[:2]))}"
        return warning(line.at, "landing", wrong, "move it on to one of them")
    neighbour = min(rectangles, key=lambda each: min(line.off(box) for box in rectangles[each]))
    mark = fastening.space.scene.pieces[neighbour].mark
    past, way, back = _past(line, Box.around(rectangles[neighbour]))
    wrong = f"{_hole(line)} comes out {_text(fastening, past)} past the edge of '{mark}', {way}"
    return warning(line.at, "landing", wrong, f"move it at least that far {back}, so that it lands on wood")


def _beside(fastening: Fastening, line: Line, mouth: Mouth) -> Problem | None:
    """A wood screw that comes out in the open though a neighbour is near; a bolt or a wire may be meant to."""
    if line.use is not HoleUse.CLEARANCE or _wood_screw(line) is None:
        return None
    mark = fastening.space.scene.pieces[mouth.neighbour].mark
    wrong = f"{_hole(line)} comes out beside '{mark}', its axis {_text(fastening, mouth.off)} from where they touch"
    return warning(line.at, "landing", wrong, f"move it on to '{mark}', or farther away if it is not to go there")


def reached(line: Line, box: Box) -> bool:
    """Whether the round of a hole comes out on some of a rectangle."""
    return all(box.lo[k] < line.entry[k] + line.radius and line.entry[k] - line.radius < box.hi[k] for k in line.across)


def _covered(line: Line, boxes: list[Box]) -> bool:
    """Whether rectangles hold the whole round of a hole (the square about it, where they are several)."""
    if any(line.within(box) for box in boxes):
        return True
    if len(boxes) < 2:
        return False
    square = _flat(line, [e - line.radius for e in line.entry], [e + line.radius for e in line.entry])
    return not less_all([square], [_flat(line, box.lo, box.hi) for box in boxes])


def _flat(line: Line, lo: Sequence[int], hi: Sequence[int]) -> Box:
    """A rectangle square to a hole as a box one tick thick, so that it has a volume."""
    u, v = line.across
    return Box((lo[u], lo[v], 0), (hi[u], hi[v], 1))


def _past(line: Line, box: Box) -> tuple[int, str, str]:
    """How far the round of a hole reaches past a rectangle, which way, and which way is back."""
    found = []
    for k in line.across:
        found.append((box.lo[k] - (line.entry[k] - line.radius), _TOWARDS[k][0], _TOWARDS[k][1]))
        found.append((line.entry[k] + line.radius - box.hi[k], _TOWARDS[k][1], _TOWARDS[k][0]))
    return max(found)


# --- holes of two pieces ----------------------------------------------------------------------------------------------


def _mates(fastening: Fastening) -> Iterator[Problem]:
    """Holes of touching pieces that open onto each other."""
    sides: dict[tuple[int, int, int, int], tuple[list[Mouth], list[Mouth]]] = {}
    for mouth in fastening.mouths:
        line = mouth.line
        if line.use in FASTENING:
            low, high = sorted((line.piece, mouth.neighbour))
            lists = sides.setdefault((low, high, line.axis, mouth.plane), ([], []))
            lists[line.piece == high].append(mouth)
    for ones, others in sides.values():
        for one, other in _paired(fastening, ones, others):
            if _off_axis(fastening, one.line, other.line):
                yield _misaligned(fastening, one.line, other.line)
            else:
                yield from _unfit(one, other)


def _paired(fastening: Fastening, ones: list[Mouth], others: list[Mouth]) -> list[tuple[Mouth, Mouth]]:
    """Every hole with the nearest of the other piece that it was meant to meet; none twice."""
    if not ones or not others:
        return []
    key = ones[0].line.across[0]
    others = sorted(others, key=lambda mouth: mouth.line.entry[key])
    places = [mouth.line.entry[key] for mouth in others]
    reach = fastening.near + max(mouth.line.radius + mouth.line.slack[key] for mouth in (*ones, *others)) * 2
    found = []
    for i, one in enumerate(ones):
        at = one.line.entry[key]
        for j in range(bisect_left(places, at - reach), bisect_right(places, at + reach)):
            distance = apart(one.line, others[j].line)
            if distance <= _farthest(fastening, one.line, others[j].line):
                found.append((distance, i, j))
    taken: set[tuple[bool, int]] = set()
    pairs = []
    for _, i, j in sorted(found):
        if (False, i) not in taken and (True, j) not in taken:
            taken |= {(False, i), (True, j)}
            pairs.append((ones[i], others[j]))
    return pairs


def _farthest(fastening: Fastening, one: Line, other: Line) -> int:
    """How far apart two holes may be that are meant to meet: some way for one fastener, others where they overlap."""
    overlapping = one.radius + other.radius
    screws = one.use in _SCREWS and other.use in _SCREWS and one.use is not other.use and _same_screw(one, other)
    dowels = one.use is other.use is HoleUse.PLAIN and one.radius == other.radius
    if screws or dowels:
        return max(overlapping, fastening.near)
    return overlapping


def _same_screw(one: Line, other: Line) -> bool:
    if one.screw is None or other.screw is None:
        return True
    return (one.screw.gauge, one.screw.diameter) == (other.screw.gauge, other.screw.diameter)


def _off_axis(fastening: Fastening, one: Line, other: Line) -> bool:
    return fastening.ticks.length(apart(one, other)) > ALIGNED


def _misaligned(fastening: Fastening, one: Line, other: Line) -> Problem:
    """Told at the later of the two."""
    first, last = sorted((one, other), key=lambda line: line.at)
    ways = []
    for k in last.across:
        off = last.entry[k] - first.entry[k]
        if abs(off) > last.slack[k] + first.slack[k]:
            ways.append(f"{_text(fastening, abs(off))} {_TOWARDS[k][off > 0]}")
    along, across = (exact_text(value) for value in fastening.measures_on(first, last))
    wrong = f"{_hole(last)} misses {_hole(first)} (line {first.at.line}) by {' and '.join(ways)}"
    right = f"they meet if its centre is {along} along, {across} across {the_face(last.face)} of '{last.mark}'"
    return warning(last.at, "misaligned", wrong, right)


def _unfit(one: Mouth, other: Mouth) -> Iterator[Problem]:
    """Two holes on one axis that do not serve one fastener. `one` and `other` touch each other's pieces."""
    if one.line.use in _SCREWS and other.line.use in _SCREWS:
        near = _near(one, other)
        if near is not None:
            yield from _screwed(near.line, (other if near is one else one).line)
    elif _differ(one, other):
        first, last = sorted((one.line, other.line), key=lambda line: line.at)
        wrong = f"{_hole(last)} and {_hole(first)} (line {first.at.line}) face each other and differ in width"
        yield warning(last.at, "unfit", wrong, "one dowel fills both only where they are the same")


def _differ(one: Mouth, other: Mouth) -> bool:
    """Whether two dowel holes are not for one dowel."""
    plain = one.line.use is other.line.use is HoleUse.PLAIN
    return plain and not one.outward and not other.outward and one.line.radius != other.line.radius


def _near(one: Mouth, other: Mouth) -> Mouth | None:
    """The hole that the screw's head is at: the one drilled from outside, else the one that goes through; of two such
    the countersunk one. None where that leaves it open."""
    for choice in (
        [m for m in (one, other) if m.outward],
        [m for m in (one, other) if m.line.through],
        [m for m in (one, other) if m.outward and m.line.countersunk],
    ):
        if len(choice) == 1:
            return choice[0]
    return None


def _screwed(near: Line, far: Line) -> Iterator[Problem]:
    lines = sorted((near, far), key=lambda line: line.at)
    at, first = lines[1].at, lines[0].at.line
    both = f"{_hole(lines[1])} and {_hole(lines[0])} (line {first})"
    if not _same_screw(near, far):
        sizes = " and ".join(line.screw.text for line in lines[::-1] if line.screw)
        wrong = f"{both} are for different screws, {sizes}"
        yield warning(at, "unfit", wrong, "write the same screw for both")
    elif near.use is HoleUse.PILOT and far.use is HoleUse.CLEARANCE:
        right = f"clearance in '{near.mark}', where the head is, and pilot in '{far.mark}'"
        yield warning(at, "unfit", f"{both} are the wrong way about", right)
    elif near.use is far.use is HoleUse.PILOT:
        wrong = f"{both} are both pilots: the thread bites in both pieces and cannot draw them together"
        yield warning(at, "unfit", wrong, f"make the one in '{near.mark}' a clearance hole")
    elif near.use is far.use is HoleUse.CLEARANCE:
        if not far.through and _wood_screw(far) is not None:
            wrong = f"{both} both let the screw pass: its thread bites nowhere"
            yield warning(at, "unfit", wrong, f"make the one in '{far.mark}' a pilot hole")
    elif near.radius <= far.radius:
        wrong = f"{both}: the clearance is no wider than the pilot"
        yield warning(at, "unfit", wrong, "the screw slides in the one and bites in the other")


# --- lengths of screws ------------------------------------------------------------------------------------------------


def _lengths(fastening: Fastening, soft: frozenset[str], wall: bool) -> Iterator[Problem]:
    """Wood screws that come out at the far side of the last piece, do not reach it, or are stopped by their pilot;
    `wall` where the furniture is screwed to one."""
    nearest: dict[Line, Mouth] = {}
    for mouth in fastening.mouths:
        line = mouth.line
        if not mouth.outward or mouth.off or line.use is not HoleUse.CLEARANCE or _wood_screw(line) is None:
            continue
        if line not in nearest or line.along(mouth.plane) < line.along(nearest[line].plane):
            nearest[line] = mouth
    for line, mouth in nearest.items():
        screw = _wood_screw(line)
        if screw is None or screw.length is None:
            continue
        passage = fastening.passage(mouth)
        yield from _too_long_or_short(fastening, mouth, passage, screw.length, wall)
        if passage.into and passage.before:  # the head is at another piece, so how far the screw goes is not known
            for pilot in fastening.of_piece.get(passage.into[-1], ()):
                yield from stopped_by_pilot(line, pilot, fastening.ticks, soft)


def _too_long_or_short(
    fastening: Fastening, mouth: Mouth, passage: Passage, length: Length, wall: bool
) -> Iterator[Problem]:
    line, pieces = mouth.line, fastening.space.scene.pieces
    last = pieces[passage.into[-1]].mark if passage.into else ""
    size = f"the {exact_text(length)} screw of '{line.name}'"
    if not passage.into:
        depth = _text(fastening, passage.before - line.seat)
        wrong = f"{size} does not reach '{pieces[mouth.neighbour].mark}' through '{line.mark}'"
        yield warning(line.at, "screw-length", wrong, f"it has {depth} to go before it bites; take a longer one")
    elif passage.beyond:
        wrong = f"{size} through '{line.mark}' comes out of '{last}' by {_text(fastening, passage.beyond)}"
        room = _text(fastening, passage.room - line.seat)
        on = f"; if it goes on into the wall, bore a clearance hole right through '{last}' too" if wall else ""
        yield warning(line.at, "screw-length", wrong, f"it must be shorter than {room}{on}")
    elif passage.room:
        left = fastening.ticks.length(passage.room - line.seat) - length
        if left < COVER:
            wrong = f"{size} through '{line.mark}' ends {exact_text(left)} from coming out of '{last}'"
            yield warning(line.at, "screw-length", wrong, "take a shorter one")


def softwood(build: Build) -> frozenset[str]:
    """Marks of the pieces that are drilled as softwood."""
    return frozenset(piece.mark for part, piece in build.pieces() if wood_group(build, part) == "softwood")


def stopped_by_pilot(head: Line, pilot: Line, ticks: Ticks, soft: frozenset[str]) -> Iterator[Problem]:
    """A pilot so shallow that the screw, its head where `head` begins, meets solid wood before it is home.

    In hardwood the pilot goes nearly as deep as the screw (the last of it, as long as the screw is thick, is the point
    that needs none: common practice, no source); in softwood clearance hole and pilot together are at least half the
    screw. Source: Canadian Wood Council, lead holes for wood screws.
    """
    screw = _wood_screw(head)
    if (
        screw is None
        or screw.length is None
        or pilot.use is not HoleUse.PILOT
        or pilot.through
        or (pilot.axis, pilot.ahead) != (head.axis, head.ahead)
        or ticks.length(apart(head, pilot)) > ALIGNED
    ):
        return
    thick = shank_diameter(screw.gauge) if screw.gauge is not None else screw.diameter or ZERO
    home = ticks.length(head.along(pilot.end) - head.seat)
    is_soft = pilot.mark in soft
    needed = screw.length / 2 if is_soft else screw.length - thick
    if home < needed:
        whole = screw.length / 2 if is_soft else screw.length
        deep = ticks.length(abs(pilot.end - pilot.entry[pilot.axis])) + whole - home
        wrong = f"{_hole(pilot)} ends {exact_text(screw.length - home)} before the tip of the {screw.text} screw"
        right = "at least, half the screw with its clearance hole" if is_soft else "so that the screw goes home"
        yield warning(pilot.hole_at, "pilot-depth", wrong, f"drill it {exact_text(deep)} deep {right}")


CHECKS = (holes_between_pieces,)
