"""Holes that miss their face, break through, or have no bit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from shopdocs.core.display import exact_text, hundredths
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, error, warning
from shopdocs.model.joining import HoleUse, the_face
from shopdocs.model.parts import Part
from shopdocs.work.computed import Computed
from shopdocs.work.holes.face_holes import face_size, inside
from shopdocs.work.space.drilled import Drilled


def holes_that_miss(work: Computed) -> Iterator[Problem]:
    """Holes outside their face, heads over an edge, holes deeper than the wood; each line of the build is told once."""
    parts = {piece.mark: part for part, piece in work.build.pieces()}
    told: set[tuple[object, ...]] = set()
    beyond = [hole for hole in work.holes if not inside(parts[hole.piece], hole)]
    reaching = {id(hole) for hole in beyond}
    yield from _patterns_too_long(parts, beyond, work.holes)
    for hole in work.holes:
        part = parts[hole.piece]
        key = (part.name, hole.place.at, hole.hole)
        if key in told:
            continue
        told.add(key)
        within = hole.bore.slanting is not None or id(hole) not in reaching  # of one at an angle its rim is looked at
        if not within and not _is_too_long(part, _of_pattern(hole, work.holes)):
            yield from _outside(part, hole)
        yield from _head_over_edge(part, hole)
        yield from _too_deep(part, hole)
        yield from _no_bit(hole)
        yield from _slot(hole)


def _of_pattern(hole: Drilled, holes: Iterable[Drilled]) -> list[Drilled]:
    """The holes that one line of the build puts in a face together."""
    own = (hole.hardware, hole.place, hole.piece, hole.face)
    return [one for one in holes if (one.hardware, one.place, one.piece, one.face) == own]


def _reach(holes: Sequence[Drilled]) -> tuple[Length, Length]:
    """How far holes reach together along and across a face, from rim to rim."""
    along = [hole.along + hole.bore.bit * side / 2 for hole in holes for side in (-1, 1)]
    across = [hole.across + hole.bore.bit * side / 2 for hole in holes for side in (-1, 1)]
    return max(along) - min(along), max(across) - min(across)


def _is_too_long(part: Part, holes: Sequence[Drilled]) -> bool:
    """Whether several holes find no room on their face wherever the pattern is put."""
    width, height, _ = face_size(part, holes[0].face)
    along, across = _reach(holes)
    return len(holes) > 1 and not any(hole.hole.open for hole in holes) and (along > width or across > height)


def _patterns_too_long(
    parts: Mapping[str, Part], beyond: Iterable[Drilled], holes: Iterable[Drilled]
) -> Iterator[Problem]:
    """Hardware whose holes lie farther apart than its face is long or wide; told once for each line. `beyond` are those
    of the holes that do not lie on their face."""
    told: set[object] = set()
    for hole in beyond:
        part, own = parts[hole.piece], _of_pattern(hole, holes)
        if hole.place.at in told or not _is_too_long(part, own):
            continue
        told.add(hole.place.at)
        (along, across), (width, height, _) = _reach(own), face_size(part, hole.face)
        reach, room = (along, width) if along > width else (across, height)
        where = f"{the_face(hole.face)} of '{hole.piece}'"
        wrong = f"the holes of '{hole.hardware}' reach over {exact_text(reach)}, farther than {where}"
        right = f"there is {exact_text(room)} of wood; take hardware with its holes closer together, or turn it"
        yield error(hole.place.at, "outside", wrong, right)


def _outside(part: Part, hole: Drilled) -> Iterator[Problem]:
    if inside(part, hole):
        return
    width, height, _ = face_size(part, hole.face)
    least = min(width, height)
    if hole.bore.bit > least:
        wide = exact_text(hole.bore.bit)
        wrong = f"the hole of '{hole.hardware}' is {wide} wide, more than {the_face(hole.face)} of '{hole.piece}'"
        right = f"there is {exact_text(least)} of wood; take smaller hardware, a smaller bit or a wider piece"
        yield error(hole.place.at, "outside", wrong, right)
        return
    if hole.hole.open and _opens_at_one_edge(part, hole):
        return
    wrong = (
        f"the hole of '{hole.hardware}' at {exact_text(hole.along)} along, {exact_text(hole.across)} across "
        f"lies outside {the_face(hole.face)} of '{hole.piece}'"
    )
    radius, room = exact_text(hole.bore.bit / 2), f"{exact_text(width)} x {exact_text(height)}"
    right = f"with its radius of {radius} it must lie within {room}"
    yield error(hole.place.at, "outside", wrong, right)


def _opens_at_one_edge(part: Part, hole: Drilled) -> bool:
    """Whether a recess has its middle on the face, and reaches past it at one edge alone."""
    width, height, _ = face_size(part, hole.face)
    radius = hole.bore.bit / 2
    past = [hole.along < radius, hole.along + radius > width, hole.across < radius, hole.across + radius > height]
    return sum(past) == 1 and ZERO <= hole.along <= width and ZERO <= hole.across <= height


def _head_over_edge(part: Part, hole: Drilled) -> Iterator[Problem]:
    """A countersink is wider than its hole."""
    head = hole.bore.head
    if head is None or not inside(part, hole):
        return
    width, height, _ = face_size(part, hole.face)
    over = head / 2 - min(hole.along, width - hole.along, hole.across, height - hole.across)
    if over > ZERO:
        wrong = f"the countersink of '{hole.hardware}' in '{hole.piece}' breaks out {exact_text(over)} past the edge"
        right = f"its head is {exact_text(head)} wide; move the hole at least that far in, or leave it flat"
        yield warning(hole.place.at, "outside", wrong, right)


def _too_deep(part: Part, hole: Drilled) -> Iterator[Problem]:
    _, _, under = face_size(part, hole.face)
    depth = hole.bore.depth
    if depth is None or hole.hole.through or hole.bore.slanting is not None:
        return
    near = under - depth < min(hole.bore.bit, under / 6) and hole.bore.use is not HoleUse.CLEARANCE
    if depth < under and not near:
        return
    at = hole.hole.at
    what = "recess" if hole.bore.use is HoleUse.RECESS else f"{hole.bore.use.value} hole"
    wrong = f"the {what} of '{hole.hardware}' is {exact_text(depth)} deep in '{hole.piece}'"
    if depth >= under:
        right = f"the wood is {exact_text(under)} there; go less deep, or write depth: through"
        yield error(at, "depth", wrong, right)
    else:
        yield warning(
            at, "depth", f"{wrong}, {exact_text(under - depth)} from coming through", "set the stop with care"
        )


def _no_bit(hole: Drilled) -> Iterator[Problem]:
    if hole.bore.choice is None and hole.bore.wanted > ZERO:
        wrong = f"the shop has no bit for the {hole.bore.use.value} hole of '{hole.hardware}'"
        wanted = hole.bore.wanted  # bits are bought by 64ths of an inch or by the millimetre
        size = exact_text(wanted) if 64 % wanted.inch.denominator == 0 else hundredths(wanted)
        yield warning(hole.hole.at, "bit", wrong, f"{size} is wanted")


def _slot(hole: Drilled) -> Iterator[Problem]:
    if hole.bore.slot is not None and hole.bore.slot <= hole.bore.bit:
        wrong = f"the slot of '{hole.hardware}' is {exact_text(hole.bore.slot)} long"
        yield error(hole.hole.at, "slot", wrong, f"a slot is longer than its bit, {exact_text(hole.bore.bit)}")


CHECKS = (holes_that_miss,)
