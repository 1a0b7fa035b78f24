"""Pieces in space that collide, miss each other, or hang in the air, and joints that cannot exist there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from shopdocs.checks.meetings import numbers_held_twice
from shopdocs.core.display import exact_text, hundredths
from shopdocs.core.length import Length
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.model.build import Build
from shopdocs.model.joining import HoleUse, the_face
from shopdocs.work.computed import Computed
from shopdocs.work.holes.fastening import Fastening
from shopdocs.work.joints.joinery import cuts_run_together, cuts_that_meet
from shopdocs.work.scene.in_space import Space
from shopdocs.work.scene.meant_gaps import real_gaps
from shopdocs.work.scene.overall import contradicts
from shopdocs.work.space.contacts import Pair

LARGEST = Length(10_000)  # no piece of furniture is longer; a coordinate has slipped
RIGHT_HOLD = "name its joint, a screw or dowel through both, or the hardware that holds it (holds: …)"
_OF_ONE = ("not-touching", "not-face-to-face")  # a doubt about one meeting, not about the sizes of the joint
MOST_TOLD = 12  # of one kind, so that one slip does not bury the rest


def in_space(work: Computed) -> Iterator[Problem]:
    """All checks that need places."""
    build, space = work.build, work.space
    if space is None:
        return
    at = {piece.mark: piece.at for _, piece in build.pieces()}
    for found in (
        _joints(build, space),
        _inside(build, space, at),
        _collisions(build, space, at),
        _near_misses(build, space, at),
        _held(work, space, at),
        _extent(build, space, at),
    ):
        yield from few(found)


def few(problems: Iterator[Problem]) -> Iterator[Problem]:
    """The first of them, and how many more there are."""
    told, more, last = 0, 0, None
    for problem in problems:
        if told < MOST_TOLD:
            told += 1
            yield problem
        else:
            more, last = more + 1, problem
    if last is not None:
        right = "put the first ones right, then check again"
        yield Problem(last.at, last.code, f"and {more} more of this kind", right, last.severity)


def _joints(build: Build, space: Space) -> Iterator[Problem]:
    """What is doubtful about the joints, once for each kind of doubt in a line of joinery."""
    told: set[tuple[str, str, str, Position]] = set()
    for joint, meeting in build.meetings():
        joinery = space.joinery.get(meeting.number)
        for doubt in joinery.doubts if joinery else ():
            key = (joint.name, doubt.code, doubt.right, meeting.at if doubt.code in _OF_ONE else joint.at)
            if key in told:
                continue
            told.add(key)
            wrong = f"joint {meeting.number} of '{joint.name}': {doubt.wrong}"
            yield Problem(meeting.at, doubt.code, wrong, doubt.right, doubt.severity)


def _inside(build: Build, space: Space, at: dict[str, Position]) -> Iterator[Problem]:
    told = {frozenset(map(str, numbers)) for numbers in numbers_held_twice(build)}
    mates: defaultdict[str, dict[str, str]] = defaultdict(dict)
    for _, meeting in build.meetings():
        mates[meeting.entering][str(meeting.number)] = meeting.receiving
        mates[meeting.receiving][str(meeting.number)] = meeting.entering
    for piece in space.scene.pieces:
        for doubt in cuts_that_meet(piece, told, mates[piece.mark]):
            yield Problem(at[piece.mark], doubt.code, doubt.wrong, doubt.right, doubt.severity)


def _names(space: Space, pair: Pair) -> tuple[str, str]:
    return space.scene.pieces[pair.first].mark, space.scene.pieces[pair.second].mark


def _collisions(build: Build, space: Space, at: dict[str, Position]) -> Iterator[Problem]:
    joined = {frozenset((m.entering, m.receiving)) for _, m in build.meetings()}
    uncut = {frozenset((m.entering, m.receiving)) for _, m in build.meetings() if _left_uncut(space, m.number)}
    inside = _met_inside(build, space)
    for pair in space.contacts.pairs:
        one, other = _names(space, pair)
        if not pair.overlap or frozenset((one, other)) in uncut:
            continue
        boxes = [space.scene.solids[i].body for i in (pair.first, pair.second)]
        shared = boxes[0].overlap(boxes[1])
        if shared is None and frozenset((one, other)) in inside:
            continue  # their joints run into each other in a third piece, where it is told
        size = " x ".join(exact_text(space.scene.ticks.length(side)) for side in shared.size) if shared else ""
        if frozenset((one, other)) in joined:
            size = f" ({size})" if size else ""
            wrong = f"'{one}' and '{other}' take the same space in spite of their joint{size}"
            yield error(at[one], "clash", wrong, "check the joint's sizes and both places")
        else:
            wrong = f"'{one}' and '{other}' overlap by {size or 'what a joint adds to one of them'}"
            yield error(at[one], "clash", wrong, "move one of them, or name the joint that lets one into the other")


def _met_inside(build: Build, space: Space) -> set[frozenset[str]]:
    """Pairs of pieces whose tenons, or the like, meet inside a third one: the cuts for them run into each other."""
    entering = {str(meeting.number): meeting.entering for _, meeting in build.meetings()}
    return {
        frozenset((entering[one], entering[two]))
        for piece in space.scene.pieces
        for one, two in cuts_run_together(piece)
        if one in entering and two in entering
    }


def _left_uncut(space: Space, number: int) -> bool:
    """Whether a joint cannot be cut at all, which is told already."""
    made = space.joinery.get(number)
    return made is not None and bool(made.doubts) and not made.entering and not made.receiving


def _near_misses(build: Build, space: Space, at: dict[str, Position]) -> Iterator[Problem]:
    meant = {gap.pair for each in build.gaps for gap in real_gaps(build, space, each)}
    for pair in space.contacts.pairs:
        if pair.meets or not pair.gaps:
            continue
        one, other = _names(space, pair)
        if frozenset((one, other)) in meant:
            continue
        gap = exact_text(space.scene.ticks.length(min(touch.gap for touch in pair.gaps)))
        wrong = f"'{one}' and '{other}' miss each other by {gap}"
        yield warning(
            at[one], "near-miss", wrong, "say under gaps: that it is left on purpose, as play is, or let them touch"
        )


def _held(work: Computed, space: Space, at: dict[str, Position]) -> Iterator[Problem]:
    """Pieces that touch nothing, and pieces that touch but that nothing holds: no joint, no fastener that passes
    between them and a neighbour. What hinges, buttons and brackets hold no hole can tell; the maker says it."""
    held = {mark for _, m in work.build.meetings() for mark in (m.entering, m.receiving)}
    held |= {mark for hardware in work.build.hardware for mark in hardware.holds}
    bound = work.fastening.bound if work.fastening else frozenset()
    fastened = {one for one, _ in bound}
    for index, piece in enumerate(space.scene.pieces):
        neighbours = [pair for pair in space.contacts.of_piece[index] if pair.meets]
        if not neighbours and len(space.scene.pieces) > 1 and piece.mark not in held:
            wrong = f"'{piece.mark}' touches no other piece"
            yield warning(at[piece.mark], "loose", wrong, "check its place, or say what holds it (holds:)")
        elif piece.mark not in held and index not in fastened and neighbours:
            mates = sorted({mark for pair in neighbours for mark in _names(space, pair)} - {piece.mark})
            more = f" and {len(mates) - 4} more" if len(mates) > 4 else ""
            wrong = f"'{piece.mark}' lies against {', '.join(mates[:4])}{more}, and nothing holds it"
            yield warning(at[piece.mark], "loose", wrong, _wrong_way(work.fastening, index) or RIGHT_HOLD)


def _wrong_way(fastening: Fastening | None, piece: int) -> str:
    """What would be right where a wood screw's hole begins on the side that the loose piece covers: turn it round."""
    for mouth in fastening.mouths if fastening else ():
        line = mouth.line
        screws = line.use is HoleUse.CLEARANCE and line.screw is not None and not line.screw.bolt
        if mouth.neighbour == piece and screws and not mouth.outward and not mouth.off:
            way = f"'{line.name}' is drilled into '{line.mark}' from {the_face(line.face)}, which it covers"
            return f"{way}: drill from the opposite side, where the screw's head is"
    return ""


def _extent(build: Build, space: Space, at: dict[str, Position]) -> Iterator[Problem]:
    ticks, bounds = space.scene.ticks, space.scene.bounds
    size = [ticks.length(side) for side in bounds.size]
    if max(size) > LARGEST:
        axis = size.index(max(size))
        far = max(range(len(space.scene.solids)), key=lambda i: space.scene.solids[i].body.hi[axis])
        mark = space.scene.pieces[far].mark
        long = exact_text(size[axis])
        if "/" in long and long.endswith("mm"):  # such as 9616000/401 mm
            long = hundredths(size[axis])
        wrong = f"the build is {long} from end to end, with '{mark}' at the far end"
        yield warning(at[mark], "far", wrong, "check the units of its place")
    if build.overall is not None and contradicts(build, space):
        said = (build.overall.width, build.overall.depth, build.overall.height)
        real, written = (" x ".join(exact_text(side) for side in sides) for sides in (size, said))
        wrong = f"the pieces in their places measure {real}, not {written}{_farthest(space, size, said)}"
        yield error(build.places.get("overall", build.at), "overall", wrong, "correct the overall size or a place")


def _farthest(space: Space, real: Sequence[Length], said: Sequence[Length]) -> str:
    """Which pieces reach farthest where the build is larger than it is said to be; "" where that is not clear."""
    axis = next((k for k in range(3) if real[k] > said[k]), None)
    if axis is None:
        return ""
    bounds, solids = space.scene.bounds, space.scene.solids
    ends = (
        [i for i, solid in enumerate(solids) if solid.body.lo[axis] == bounds.lo[axis]],
        [i for i, solid in enumerate(solids) if solid.body.hi[axis] == bounds.hi[axis]],
    )
    marks = [space.scene.pieces[i].mark for i in (*ends[0][:2], *ends[1][:2])]
    return f"; {', '.join(dict.fromkeys(marks))} reach farthest" if marks else ""


CHECKS = (in_space,)
