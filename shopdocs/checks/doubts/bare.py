"""Ends and edges that lie against another piece and are held there by nothing, while their like are joined."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import Face, the_face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.computed import Computed
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.placed import side_of

WHOLE = 0.8  # of an end or an edge that lies against another piece: by less of it, it only passes (own rule)
FACES = tuple(face for face in Face if side_of(face)[0] != 2)  # ends and edges


def bare_ends(work: Computed) -> Iterator[Problem]:
    """A rail or slat joined at one end whose other end only lies against a piece, and a panel that runs in grooves
    along some edges and only lies against pieces along the others."""
    space = work.space
    if space is None or not work.build.joints:
        return
    tied = {frozenset((m.entering, m.receiving)) for _, m in work.build.meetings()} | _screwed(work)
    ends, panels = _held(work, space)
    told: dict[tuple[str, str, bool], list[str]] = {}
    for mark, face, other in _against(space):
        if frozenset((mark, other)) in tied:
            continue
        if mark in panels or (side_of(face)[0] == 0 and ends.get(mark, set()) - {face}):
            told.setdefault((the_face(face), other, mark in panels), []).append(mark)
    places = {piece.mark: piece.at for _, piece in work.build.pieces()}
    for (where, other, panel), marks in told.items():
        each = "each of " if len(marks) > 1 else ""
        who = each + " ".join(marks[:6]) + (" …" if len(marks) > 6 else "")
        held = "its other edges run in grooves" if panel else "the other end is joined"
        wrong = f"{where} of {who} lies against {other}, and nothing holds it there; {held}"
        yield warning(places[marks[0]], "bare-end", wrong, f"name '{other}' or its part in that joint too")


def _screwed(work: Computed) -> set[frozenset[str]]:
    """Pairs that fasteners tie, or hardware that says what it holds."""
    found: set[frozenset[str]] = set()
    if work.fastening is not None:
        pieces = work.fastening.space.scene.pieces
        found |= {frozenset((pieces[i].mark, pieces[j].mark)) for i, j in work.fastening.bound}
    for item in work.build.hardware:
        found |= {frozenset((place.piece, mark)) for place in item.on for mark in (*item.holds, place.meets) if mark}
    return found


def _held(work: Computed, space: Space) -> tuple[Mapping[str, set[Face]], set[str]]:
    """The ends of each piece that go into joints, and the panels that run in grooves."""
    ends: dict[str, set[Face]] = {}
    panels: set[str] = set()
    for joint, meeting in work.build.meetings():
        joinery = space.joinery.get(meeting.number)
        if joinery is None or joinery.enters is None:
            continue
        if side_of(joinery.enters)[0] == 0:
            ends.setdefault(meeting.entering, set()).add(joinery.enters)
        if KINDS[joint.kind].rides and not joint.glued:
            panels.add(meeting.entering)
    return ends, panels


def _against(space: Space) -> Iterator[tuple[str, Face, str]]:
    """Ends and edges of pieces most of which lies against one other piece."""
    scene = space.scene
    for pair in space.contacts.pairs:
        for touch in pair.touches:
            for number, mate, high in (
                (pair.first, pair.second, touch.high),
                (pair.second, pair.first, not touch.high),
            ):
                piece = scene.pieces[number]
                face = piece.pose.face_toward(touch.axis, high)
                if face not in FACES:
                    continue
                size = scene.solids[number].body.size
                whole = size[0] * size[1] * size[2] // size[touch.axis]
                if touch.area >= WHOLE * whole:
                    yield piece.mark, face, scene.pieces[mate].mark


CHECKS_OF_WORK = (bare_ends,)
