"""The maker's own cuts held against each other and against the joints, and grooves against the tenons behind them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.model.build import Build
from shopdocs.model.joining import the_face
from shopdocs.model.joint_names import Trait
from shopdocs.work.computed import Computed
from shopdocs.work.scene.own_cuts import all_cuts, let_in, own_cuts, own_name
from shopdocs.work.scene.wastes import shapes_outline
from shopdocs.work.space.features import OWN, Cuboid, face_of, side_of
from shopdocs.work.space.let_in import gap_between

if TYPE_CHECKING:
    from shopdocs.work.space.placed import PlacedPiece


def cuts_in_one_place(work: Computed) -> Iterator[Problem]:
    """Two own cuts of one piece that take the same wood: told at the later."""
    at, told = _places(work.build), set()
    for mark, cuts in own_cuts(work.build).items():
        for one, other in combinations(cuts, 2):
            key = one.joint, other.joint
            if key in told or not (_is_block(one) and _is_block(other)) or gap_between(one, other) >= ZERO:
                continue
            told.add(key)
            first, last = f"the {one.kind} {_named(one)}", f"the {other.kind} {_named(other)}"
            if _holds(one, other) or _holds(other, one):
                wrong = f"{last} and {first} are in one place of '{mark}'"
                yield error(at[other.joint, mark], "cuts-meet", wrong, "take one of them out, or move it")
            else:
                wrong = f"{last} runs {exact_text(-gap_between(one, other))} into {first} in '{mark}'"
                yield warning(at[other.joint, mark], "cuts-meet", wrong, "move one of them, unless you want it so")


def cuts_in_joints(work: Computed) -> Iterator[Problem]:
    """Own cuts that run into the cuts of joints. A rabbet along a whole frame is cut before its mitres, and goes on
    round their corners: that is no fault."""
    at, told = _places(work.build), set()
    joints = {str(meeting.number): joint.name for joint, meeting in work.build.meetings()}
    ends = {str(meeting.number): {meeting.entering, meeting.receiving} for _, meeting in work.build.meetings()}
    pieces = work.space.scene.pieces if work.space is not None else ()
    mitred = {cut.joint for piece in pieces for cut in piece.cuboids if Trait.MEETS_SLOPE in cut.kind.traits}
    for piece in pieces:
        own = [cuboid for cuboid in piece.cuboids if cuboid.own and _is_block(cuboid)]
        cut = [cuboid for cuboid in piece.cuboids if not cuboid.adds and not cuboid.own]
        for one in own:
            for other in cut:
                runs_on = all((one.joint, mark) in at for mark in ends[other.joint])
                if runs_on and other.joint in mitred and _goes_round(piece, one, other):
                    continue
                gap = gap_between(one, other)
                key = one.joint, joints.get(other.joint)
                if gap < ZERO and key not in told:
                    told.add(key)
                    wrong = (
                        f"the {one.kind} {_named(one)} runs {exact_text(-gap)} into the {other.kind} of joint "
                        f"{other.joint} '{joints[other.joint]}' in '{piece.mark}'"
                    )
                    yield warning(
                        at[one.joint, piece.mark], "cut-in-joint", wrong, "move it, stop it, or cut it shallower"
                    )


def _goes_round(piece: PlacedPiece, one: Cuboid, other: Cuboid) -> bool:
    """Whether a cut along all of a piece goes on round its mitre, and passes behind the slots for keys there: each is a
    triangle with its right angle at the outer corner, which under a mitre of 45° ends half its leg from the outside."""
    if one.lo[0] > ZERO or one.hi[0] < piece.length:
        return False
    if Trait.MEETS_SLOPE in other.kind.traits:
        return True
    across = 1 if other.lo[2] > ZERO and other.hi[2] < piece.thickness else 2
    off = one.lo[across] if other.lo[across] <= ZERO else piece.size[across] - one.hi[across]
    return off * 2 >= other.hi[0] - other.lo[0]


def grooves_that_nick_tenons(work: Computed) -> Iterator[Problem]:
    """Grooves that run out at an end and go on, under a plough plane, into the tenon there."""
    own_at = _places(work.build)
    joint_of = {str(meeting.number): joint for joint, meeting in work.build.meetings()}
    told = set()
    for piece in work.space.scene.pieces if work.space is not None else ():
        for groove in piece.cuboids:
            if groove.adds or Trait.TRENCH not in groove.kind.traits or groove.flare is not None:
                continue
            for high in (False, True):
                nicked = _nicked(piece, groove, high)
                if nicked is None:
                    continue
                tenon, deep = nicked
                at = own_at[groove.joint, piece.mark] if groove.own else joint_of[groove.joint].at
                if (at, tenon.kind) in told:
                    continue
                told.add((at, tenon.kind))
                which = _named(groove) if groove.own else f"of joint {groove.joint} '{joint_of[groove.joint].name}'"
                wrong = (
                    f"the {groove.kind} {which} runs out at {face_of(0, high)} of '{piece.mark}' and takes "
                    f"{exact_text(deep)} off the {tenon.kind} of joint {tenon.joint} '{joint_of[tenon.joint].name}'"
                )
                yield warning(at, "nicked", wrong, "cut it that much shallower, or stop it before the shoulder")


def _nicked(piece: PlacedPiece, groove: Cuboid, high: bool) -> tuple[Cuboid, Length] | None:
    """What stands out at an end behind a groove that runs out there, and how much of it the groove takes."""
    if (groove.hi[0] < piece.length) if high else (groove.lo[0] > ZERO):
        return None
    for tenon in piece.cuboids:
        stands = tenon.adds and (tenon.hi[0] > piece.length if high else tenon.lo[0] < ZERO)
        if not stands or Trait.CHEEKS not in tenon.kind.traits or tenon.joint == groove.joint:
            continue
        shared = [min(groove.hi[k], tenon.hi[k]) - max(groove.lo[k], tenon.lo[k]) for k in (1, 2)]
        if min(shared) > ZERO:
            return tenon, min(shared)
    return None


def _holds(one: Cuboid, other: Cuboid) -> bool:
    return all(one.lo[k] <= other.lo[k] and other.hi[k] <= one.hi[k] for k in range(3))


def _is_block(cut: Cuboid) -> bool:
    """Whether it takes all of the box round it, but for rounded corners."""
    return cut.flare is None or (bool(cut.flare.waste) and not shapes_outline(cut))


def _named(cuboid: Cuboid) -> str:
    return f"'{cuboid.joint.removeprefix(OWN)}'"


def _places(build: Build) -> dict[tuple[str, str], Position]:
    """Where each cut of each piece is written."""
    return {(own_name(cut), place.piece): place.at for cut in all_cuts(build) for place in reversed(cut.on)}


def recesses_too_deep(work: Computed) -> Iterator[Problem]:
    """Recesses of patterns deeper than their piece is thick."""
    parts = {piece.mark: part for part, piece in work.build.pieces()}
    told = set()
    for cut in all_cuts(work.build)[len(work.build.cuts) :]:
        for place in cut.on:
            part = parts[place.piece]
            under = (part.length, part.width, part.thickness)[side_of(place.face)[0]]
            if cut.depth is not None and cut.depth >= under and place.at not in told:
                told.add(place.at)
                wrong = f"the recess of '{cut.name}' is {exact_text(cut.depth)} deep, '{part.name}' {exact_text(under)}"
                yield error(place.at, "cut-deep", wrong, "check the measures under with:")


def recesses_past_their_face(work: Computed) -> Iterator[Problem]:
    """Recesses of patterns that reach past their face, and those that open at an edge and do not lie at one."""
    pieces = {piece.mark: (part, piece) for part, piece in work.build.pieces()}
    told = set()
    for item in work.build.hardware:
        for recess in let_in(item, pieces):
            part = pieces[recess.piece][0]
            past, where = recess.past(part), f"{the_face(recess.face)} of '{recess.piece}'"
            if recess.place.at in told:
                continue
            if past > ZERO:
                told.add(recess.place.at)
                wrong = f"the recess of '{item.name}' reaches {exact_text(past)} past {where}"
                right = (
                    "take smaller hardware, or move it" if recess.own else "take smaller hardware, or a thicker piece"
                )
                yield error(recess.place.at, "outside", wrong, right)
            elif recess.own and recess.opens and recess.inside(part) > ZERO:
                told.add(recess.place.at)
                wrong = f"the recess of '{item.name}' opens at an edge, and none is there on {where}"
                yield error(
                    recess.place.at,
                    "outside",
                    wrong,
                    "put it on the edge: across: 0, or across: width and its measure below zero",
                )


def pieces_not_met(work: Computed) -> Iterator[Problem]:
    """Patterns that are to meet a piece they cannot reach."""
    if not work.build.hardware:
        return
    from shopdocs.work.space.mates import mate_of
    from shopdocs.work.space.slanting import slanting_mate

    pieces = {piece.mark: (part, piece) for part, piece in work.build.pieces()}
    told = set()
    for item in work.build.hardware:
        for place in item.on:
            if not place.meets or place.at in told:
                continue
            if not item.beside and slanting_mate(place, pieces, work.build.cuts) is not None:
                continue  # held against its line
            mate = mate_of(place, pieces, item.beside)
            if mate is None:
                told.add(place.at)
                wrong = f"'{item.name}' meets '{place.meets}', and one of the two has no place"
                right = "give both x, y and z; a piece does not meet itself"
                yield error(place.at, "not-met", wrong, right)
            elif not mate.reached:
                told.add(place.at)
                wrong = f"'{item.name}' meets '{place.meets}', which is {exact_text(abs(mate.gap))} away"
                yield error(place.at, "not-met", wrong, "name the piece that it is fastened to")


CHECKS = (
    recesses_too_deep,
    recesses_past_their_face,
    pieces_not_met,
    cuts_in_one_place,
    cuts_in_joints,
    grooves_that_nick_tenons,
)
