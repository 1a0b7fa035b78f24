"""What waits until the glue has set: pegs that are bored for and driven, tenons left proud, all of it pared flush."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from shopdocs.blocks.text import Step, text
from shopdocs.core.display import ROUNDED
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.figures import length_figure
from shopdocs.documents.fitting.crossed_holes import peg_steps, pinned
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.model.joining import Meeting
from shopdocs.work.order.stages import StageWork
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.placed import PlacedPiece, Spot
from shopdocs.work.space.tipped_board import tipped_together

# What a tenon is sawn back to once the glue has set, before it is pared: common practice, no source.
LEFT_PROUD = {"in": Length.inches("1/8"), "mm": Length(3)}


def trimming_steps(job: Job, work: StageWork) -> Iterator[Step]:
    """Pegs go in, proud tenons are sawn back, then pared with pegs and all; never in the clamps, where a jaw sits on
    them."""
    yield from peg_steps(job, work)
    left = LEFT_PROUD[job.build.units]
    proud: dict[Length, list[str]] = {}
    for joint, meeting in work.meetings:
        if joint.glued and joint.proud > Length(0):
            proud.setdefault(joint.proud, []).append(meeting.entering)
    for high, marks in proud.items():
        names = listed(dict.fromkeys(marks))
        shown = length_figure(f"stage {work.number} · proud", high, job.display, unit=True)
        if high > left:
            to = length_figure(f"stage {work.number} · sawn back to", left, job.display, unit=True)
            about = "" if to.shown.startswith(ROUNDED) else "about "
            yield Step(
                text(f"Saw the tenons of {names}, ", shown, f" proud, back to {about}", to),
                text(
                    "Later pare or plane them flush, working in from the edges, or leave them proud and "
                    "chamfered (common practice)."
                ),
            )
        else:
            yield Step(text(f"Pare the tenons of {names} flush, from ", shown, " proud"))
    level = ends_out_level(work, job.space)
    if level:
        yield Step(
            text(f"Plane flush: {listed(level)}"),
            text("Where the ends come through. Work in from the edges."),
        )
    pegs = [name for name in pinned(job, (meeting for _, meeting in work.meetings))]
    if pegs:
        yield Step(text(f"Saw off and pare flush: {listed(pegs)}"))


def ends_out_level(work: StageWork, space: Space | None) -> list[str]:
    """The pieces glued in a stage whose tenons or tails come out level with the far side."""
    pairs = [meeting for joint, meeting in work.meetings if joint.glued and not joint.proud]
    return list(dict.fromkeys(meeting.entering for meeting in pairs if space is not None and _level(space, meeting)))


def ends_under_jaws(work: StageWork, space: Space | None, pressed: Iterable[tuple[int, int]]) -> list[str]:
    """The pieces that come out level where the jaws of clamps press: a pad there would keep the joint open on an end a
    hair long, and glue itself on. `pressed` are joints by number, each with the axis of the build along which a clamp
    goes: along the tails it is their ends that come out, across them the ends of the pins between them."""
    if space is None:
        return []
    found: list[str] = []
    by_number = {meeting.number: meeting for joint, meeting in work.meetings if joint.glued and not joint.proud}
    for number, axis in pressed:
        meeting, made = by_number.get(number), space.joinery.get(number)
        if meeting is None or made is None or made.enters is None or not _level(space, meeting):
            continue
        along = space.pieces[meeting.entering].pose.look_of(made.enters)[0] == axis
        found.append(meeting.entering if along else meeting.receiving)
    return list(dict.fromkeys(found))


def _level(space: Space, meeting: Meeting) -> bool:
    """Whether what goes in ends level with the far side of what it goes through: nobody saws it so that it does not
    want a shaving."""
    made = space.joinery.get(meeting.number)
    if made is None or made.enters is None:
        return False
    piece, through = space.pieces[meeting.entering], space.pieces[meeting.receiving]
    if tipped_together(piece, through):
        piece, through = piece.upright(), through.upright()
    axis, high = piece.pose.look_of(made.enters)
    side = (max if high else min)(spot[axis] for spot in _corners(through, [ZERO] * 3, through.size))
    ends = [
        spot[axis]
        for cuboid in piece.cuboids
        if cuboid.adds and cuboid.joint == str(meeting.number)
        for spot in _corners(piece, cuboid.lo, cuboid.hi)
    ]
    return bool(ends) and (max if high else min)(ends) == side


def _corners(piece: PlacedPiece, lo: Sequence[Length], hi: Sequence[Length]) -> tuple[Spot, Spot]:
    return piece.spot_in_build(lo), piece.spot_in_build(hi)
