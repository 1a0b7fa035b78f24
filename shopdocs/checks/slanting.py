"""Holes that run on from one piece into another at an angle: whether they meet it, and stay in its wood."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.core.turn import near
from shopdocs.model.joining import Face, Hardware, HolePlace, the_face
from shopdocs.work.computed import Computed
from shopdocs.work.holes.slanting_holes import SEEN, depth_left, leads_into, runs_into, segment, spare
from shopdocs.work.space.features import OWN
from shopdocs.work.space.placed import Bore, Cuboid, PlacedPiece
from shopdocs.work.space.slanting import SlantingMate, is_reached, sides_of, slanting_mate, wood_at

STEEPEST = 45.0  # degrees off square: no bit is led along a steeper line (common practice, no source)
THINNEST = Length(5)  # wood beside a hole, in millimetres (common practice, no source)


def lines_that_miss(work: Computed) -> Iterator[Problem]:
    """Hardware that is to meet a piece at an angle, and whose holes do not lead there."""
    pieces = {piece.mark: (part, piece) for part, piece in work.build.pieces()}
    for item in work.build.hardware:
        for place in item.on:
            mate = slanting_mate(place, pieces, work.build.cuts) if place.meets and not item.beside else None
            if mate is not None:
                yield from _missed(item, place, mate)


def _missed(item: Hardware, place: HolePlace, mate: SlantingMate) -> Iterator[Problem]:
    if item.mate_cuts:
        wrong = f"'{item.name}' has a recess in '{place.meets}', which is not square to '{place.piece}'"
        yield error(place.at, "lean-hole", wrong, "no recess goes in at an angle: take hardware that needs none there")
        return
    for hole in item.holes if item.mate_holes is None else item.mate_holes:
        gone = mate.passed(hole.along, hole.across)
        if gone is None:
            wrong = f"the line of '{item.name}' in '{place.piece}' misses '{place.meets}'"
            right = f"move it on to '{place.meets}', which is not square to it"
        elif not is_reached(gone[1]):
            far = exact_text(near(round(abs(gone[1]), 1)))
            wrong = f"'{item.name}' meets '{place.meets}', which is {far} away along its line"
            right = "name the piece that it is fastened to"
        else:
            continue
        yield error(place.at, "not-met" if gone else "lean-hole", wrong, right)
        return


def holes_at_an_angle(work: Computed) -> Iterator[Problem]:
    """Slanting holes that are too steep, run out of the wood, or run into what else is cut in their piece."""
    told: set[tuple[Position, str]] = set()
    for problem in _at_an_angle(work):
        if (problem.at, problem.code) not in told:
            told.add((problem.at, problem.code))
            yield problem


def _at_an_angle(work: Computed) -> Iterator[Problem]:
    pieces = work.space.pieces if work.space is not None else {}
    slanting = {hole.piece for hole in work.holes if hole.bore.slanting is not None}
    at = {(hole.piece, hole.hardware): hole.place.at for hole in work.holes if hole.bore.slanting is not None}
    crosses = {item.name: item.crosses for item in work.build.hardware}
    names = {str(meeting.number): joint.name for joint, meeting in work.build.meetings()}
    for mark in (mark for mark in pieces if mark in slanting):
        piece = pieces[mark]
        for bore in piece.bores:
            if bore.slanting is not None and (mark, bore.joint) in at:
                told = list(_in_wood(mark, bore, spare(piece, bore), at[mark, bore.joint]))
                yield from told or _at_its_floor(work, piece, bore, at[mark, bore.joint])
        for bore, other in runs_into(piece):
            own = other.joint.startswith(OWN)
            called = other.joint.removeprefix(OWN) if own else names.get(other.joint, other.joint)
            if (mark, bore.joint) not in at or called in (bore.joint, *crosses.get(bore.joint, ())):
                continue
            what = f"the {other.kind} of '{called}'" if isinstance(other, Cuboid) else f"the hole of '{called}'"
            wrong = f"the slanting hole of '{bore.joint}' in '{mark}' runs into {what}"
            right = "move it away" if own else f"move it away, or say that it is meant: crosses: {called}"
            yield error(at[mark, bore.joint], "lean-hole", wrong, right)


def _in_wood(mark: str, bore: Bore, found: tuple[Face, float], at: Position) -> Iterator[Problem]:
    assert bore.slanting is not None
    face, wood = found
    off, called = bore.slanting.off, f"the hole of '{bore.joint}' in '{mark}'"
    if off > STEEPEST:
        wrong = f"{called} goes in {off:.1f}° off square"
        right = f"at most {STEEPEST:g}° can be bored: drill from '{mark}' instead, square to its face, with meets:"
        yield error(at, "lean-hole", wrong, right)
        return
    left = depth_left(bore)
    if left is not None and left <= ZERO:
        wrong = f"{called} comes through: it is {exact_text(bore.depth or ZERO)} deep along its line"
        right = f"there are {exact_text(near(round((bore.depth or ZERO).float_mm() + left.float_mm(), 1)))} of wood"
        yield error(at, "lean-hole", wrong, f"{right}; take a shorter screw, or move it")
    elif wood == -math.inf:
        wrong = f"{called} comes out of {the_face(face)}, and not opposite where it goes in"
        yield error(at, "lean-hole", wrong, "let it end in the wood, or move it")
    elif wood <= 0:
        where = the_face(face)
        wrong = f"{called} runs out at the edge of {where}: it goes in {off:.1f}° off square"
        yield error(at, "lean-hole", wrong, "move it inward, or let it end in the wood")
    elif wood < THINNEST.float_mm():
        wrong = f"{called} leaves {exact_text(near(round(wood, 1)))} of wood beside it on {the_face(face)}"
        yield warning(at, "lean-hole", wrong, f"leave at least {exact_text(THINNEST)} (common practice)")


def _at_its_floor(work: Computed, piece: PlacedPiece, bore: Bore, at: Position) -> Iterator[Problem]:
    """A hole at an angle that ends too near another face, or comes out beside its middle line."""
    assert bore.slanting is not None
    if bore.depth is None:
        return
    _, end = segment(piece, bore)
    radius, sides = bore.diameter.float_mm() / 2, sides_of(piece, work.build.cuts)
    face, wood = wood_at(sides, end, bore.slanting.way, radius, bore.face)
    if wood >= THINNEST.float_mm():
        return
    called = f"the slanting hole of '{bore.joint}' in '{piece.mark}'"
    right = f"make it less deep, or move it; leave at least {exact_text(THINNEST)} (common practice)"
    if wood <= 0:
        yield error(at, "lean-hole", f"{called} comes out of {the_face(face)} at its floor", right)
    else:
        wrong = f"{called} ends {exact_text(near(round(wood, 1)))} from {the_face(face)}"
        yield warning(at, "lean-hole", wrong, right)


def holes_that_lead_on(work: Computed) -> Iterator[Problem]:
    """Holes that come out against a piece that leans or is tipped, and do not say that they go on into it."""
    if work.space is None:
        return
    told: set[Position] = set()
    for hole, mark, off in leads_into(work.build, work.space, work.holes):
        if hole.place.meets == mark or hole.place.at in told:
            continue
        told.add(hole.place.at)
        wrong = f"'{hole.hardware}' comes out of '{hole.piece}' against '{mark}'"
        wrong += f", {off:.1f}° off square to it" if off > SEEN else ", which is tipped with it"
        yield warning(hole.place.at, "lean-hole", wrong, f"write meets: {mark}, and the hole there is worked out")


CHECKS = (lines_that_miss, holes_at_an_angle, holes_that_lead_on)
