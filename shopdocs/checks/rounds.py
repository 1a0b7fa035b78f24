"""Rounds held against everything else at their piece.

A round has no faces and no arrises. What is cut along a face or an arris cannot lie where the piece is round; what is
bored may, square to its centre line and through it. A tenon at a round end is turned with it, and round.
"""

from __future__ import annotations

from collections.abc import Iterator, Set

from shopdocs.checks.tapers import features_of, places_of, what_of
from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.core.rounds import Round
from shopdocs.model.build import Build
from shopdocs.model.cutting import CutKind, CutPlace
from shopdocs.model.joining import Face, the_face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.joint_names import Trait
from shopdocs.model.parts import MaterialKind, Part
from shopdocs.work.computed import Computed
from shopdocs.work.joints.off_square import leans
from shopdocs.work.space.placed import Bore, Cuboid, Feature, FeatureKind, side_of

_MISSES = Length("0.5")  # a hole so far beside the centre line of a round is meant to meet it


def _rounds(build: Build) -> Iterator[tuple[CutPlace, Round, Part]]:
    parts = {piece.mark: part for part, piece in build.pieces()}
    for cut in build.cuts:
        if cut.kind is CutKind.ROUND:
            for place in cut.on:
                if place.turned is not None:
                    yield place, place.turned, parts[place.piece]


def rounds_that_meet(work: Computed) -> Iterator[Problem]:
    """Pieces that are turned twice, and those that no lathe or plane makes round."""
    done: set[str] = set()
    for place, _, part in _rounds(work.build):
        if place.piece in done:
            right = "write all its diameters in one round, and what stays square between them as its pommels"
            yield error(place.at, "round", f"'{place.piece}' is turned twice", right)
        done.add(place.piece)
        if work.build.material(part.material).kind is MaterialKind.SHEET:
            wrong = f"'{place.piece}' is of {part.material}, and sheet goods are not turned"
            yield error(place.at, "round", wrong, "make it of solid wood")


def cuts_in_rounds(work: Computed) -> Iterator[Problem]:
    """Cuts and joints along a face or an arris that is turned away."""
    at, told = places_of(work), set()
    for place, turned, part in _rounds(work.build):
        features = features_of(work, place.piece)
        on_flats = {one.joint for one in features if Trait.PLANED in one.kind.traits}
        for feature in features:
            wrong, right = _cannot(feature, turned, part, work, on_flats)
            where: Position = at.get((feature.joint, place.piece), place.at)
            key = (wrong, where)
            if wrong and key not in told:
                told.add(key)
                yield error(where, "round", f"'{place.piece}' {wrong}", right)


def _cannot(feature: Feature, turned: Round, part: Part, work: Computed, on_flats: Set[str]) -> tuple[str, str]:
    """What is wrong about a cut or a hole of a turned piece, and what would be right; empty where nothing is, as of the
    joints that have a flat of their own."""
    if isinstance(feature, Bore):
        return _bore_beside(feature, turned, part, work)
    if feature.joint in on_flats:
        return "", ""
    at_a, at_b = turned.start == ZERO, turned.end == part.length
    if feature.adds:
        end = Face.A if feature.lo[0] < ZERO else Face.B if feature.hi[0] > part.length else None
        if end is None or not (at_a if end is Face.A else at_b):
            return "", ""
        return _turned_tenon(feature, turned, end, work)
    if Trait.ROUND in feature.kind.traits or not turned.covers(feature.lo[0], feature.hi[0]):
        return "", ""
    if feature.kind is FeatureKind.END_CUT:
        end = Face.A if feature.lo[0] <= ZERO else Face.B
        wrong = f"is round at {the_face(end)}, which is sawn off square: no bevel can be laid to a round"
        return wrong, "leave it square there, as far as the cut and its shoulder go"
    begins = next(max(feature.lo[0], low) for low, high in turned.stretches if feature.lo[0] < high)
    spot = f"{exact_text(begins)} from end A"
    wrong = f"is round at {spot}, where {what_of(feature, work)} would be"
    if feature.own:
        return wrong, "a round has no faces and no arrises: move the cut to where it stays square"
    return wrong, "leave it square there, or join it by a round tenon, which is bored"


def _turned_tenon(tenon: Cuboid, turned: Round, end: Face, work: Computed) -> tuple[str, str]:
    left = turned.spots[0 if end is Face.A else -1][1]
    if Trait.ROUND not in tenon.kind.traits:
        wrong = f"is round at {the_face(end)}, where {what_of(tenon, work)} would be"
        return wrong, "make it a round tenon, or leave the piece square there"
    if tenon.size[1] > left:
        wrong = f"is {exact_text(left)} across at {the_face(end)}, its tenon {exact_text(tenon.size[1])}"
        return wrong, f"make the tenon {exact_text(left)} at most: then it has no shoulder"
    return "", ""


def _bore_beside(bore: Bore, turned: Round, part: Part, work: Computed) -> tuple[str, str]:
    """A hole into the side of a round goes through its centre line; one in its end lies inside it."""
    axis, _ = side_of(bore.face)
    if axis == 0:
        end = 0 if bore.face is Face.A else -1
        if turned.spots[end][0] != (ZERO if end == 0 else part.length):
            return "", ""
        off = [abs((bore.centre[k] - (part.width, part.thickness)[k - 1] / 2).float_mm()) for k in (1, 2)]
        if (off[0] ** 2 + off[1] ** 2) ** 0.5 + bore.diameter.float_mm() / 2 < turned.spots[end][1].float_mm() / 2:
            return "", ""
        return f"has {what_of(bore, work)} beside its round end", "move the hole nearer to the middle"
    across = 3 - axis
    if not turned.within(bore.centre[0], bore.centre[0]):
        return "", ""
    off_line = bore.centre[across] - (part.width, part.thickness)[across - 1] / 2
    if abs(off_line) > _MISSES:
        wrong = f"is round where {what_of(bore, work)} is drilled, {exact_text(abs(off_line))} beside its centre line"
        return wrong, "drill it through the middle, where a bit does not slide off"
    here = turned.at(bore.centre[0])
    if here is not None and bore.diameter >= here:
        return f"is {exact_text(here)} across where {what_of(bore, work)} is drilled", "take a smaller bit"
    return "", ""


def joints_without_places(work: Computed) -> Iterator[Problem]:
    """Joints at the round end of a piece that has no place, by their kind."""
    if work.space is not None:
        return
    turned = {place.piece: (place, found, part) for place, found, part in _rounds(work.build)}
    for joint, meeting in work.build.meetings():
        if meeting.entering in turned and meeting.end is not None and not KINDS[joint.kind].bored:
            place, found, part = turned[meeting.entering]
            at_a = meeting.end.value == Face.A.value
            if (found.start == ZERO) if at_a else (found.end == part.length):
                wrong = f"'{meeting.entering}' is round at end {meeting.end.value}, where joint '{joint.name}' would be"
                yield error(place.at, "round", wrong, "make it a round tenon, or leave the piece square there")


def arrises_of_rounds(work: Computed) -> Iterator[Problem]:
    """Arrises that are to be chamfered or left square on a piece that has none."""
    done: set[str] = set()
    for _, turned, part in _rounds(work.build):
        if part.name in done or not turned.throughout(part.length):
            continue
        done.add(part.name)
        for word, edges in (("chamfer", part.chamfer), ("leave square", part.leave_square)):
            if edges:
                wrong = f"'{part.name}' is round from end to end, and has no arrises to {word}"
                yield error(part.place(word), "round", wrong, f"leave '{word}' out")


def shoulders_beside_rounds(work: Computed) -> Iterator[Problem]:
    """Shoulders that reach past where a turned piece is square: beside the round they lie on nothing. A joint that is
    cut there is told by itself."""
    turned = {place.piece: (place, found, part) for place, found, part in _rounds(work.build)}
    pieces = work.space.pieces if work.space is not None else {}
    for joint, meeting in work.build.meetings():
        marks = meeting.entering, meeting.receiving
        if meeting.receiving not in turned or KINDS[joint.kind].bored or not pieces.keys() >= set(marks):
            continue
        entering, receiving = (pieces[mark] for mark in marks)
        if leans(entering) or leans(receiving) or entering.pose.build_axis(0) == receiving.pose.build_axis(0):
            continue
        place, found, part = turned[meeting.receiving]
        own = (f for f in receiving.cuboids if f.joint == str(meeting.number))
        if any(found.covers(feature.lo[0], feature.hi[0]) for feature in own):
            continue
        (low, *_), (high, *_) = receiving.range_in_piece(entering.at, entering.far)
        for begins, ends in found.squares(part.length):
            over = max(begins - low if begins else ZERO, high - ends if ends < part.length else ZERO)
            if begins <= (low + high) / 2 <= ends and over > ZERO:
                wrong = f"the shoulder of '{marks[0]}' reaches {exact_text(over)} past where '{marks[1]}' is square"
                stretch = f"{exact_text(max(low, ZERO))} to {exact_text(min(high, part.length))}"
                yield warning(
                    place.at, "round", wrong, f"leave it square from {stretch} from end A, or see a gap there"
                )


CHECKS = (rounds_that_meet, cuts_in_rounds, joints_without_places, arrises_of_rounds, shoulders_beside_rounds)
