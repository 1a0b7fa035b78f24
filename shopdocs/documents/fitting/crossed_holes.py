"""What holes go through that are meant to cross others, in words: pins through tenons, pegs through dowels, nuts on
bolts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from shopdocs.blocks.text import Step, text
from shopdocs.documents.figures import marks_text
from shopdocs.documents.fitting.wording import listed, numbers_text
from shopdocs.documents.job import Job
from shopdocs.model.joining import Hardware, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.holes.crossed_holes import Crossing, TenonHole, tenon_holes
from shopdocs.work.order.stages import StageWork
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.placed import PlacedPiece


def crossing_words(job: Job, holes: Iterable[Drilled]) -> str:
    """ "through joints 1, 2, in the tenon 1.5 mm nearer to the shoulder"; "across bed bolt"; "" for other holes."""
    return _words(job, [found for hole in holes if (found := _crossing_of(job, hole))])


def like_crossings(job: Job, hole: Drilled, marks: Sequence[str]) -> str:
    """The same of a hole that stands for the same one in several pieces."""
    first = _crossing_of(job, hole)
    if first is None:
        return ""
    mine = first.hole
    same = [
        crossing
        for crossing in job.crossings
        if crossing.hole.piece in marks
        and (crossing.item, crossing.hole.face, crossing.hole.along, crossing.hole.across)
        == (first.item, mine.face, mine.along, mine.across)
    ]
    return _words(job, same)


def _crossing_of(job: Job, hole: Drilled) -> Crossing | None:
    """By what the build says of it: on a template its place may count from another end."""
    return next((each for each in job.crossings if (each.hole.place, each.hole.hole) == (hole.place, hole.hole)), None)


def _words(job: Job, found: Sequence[Crossing]) -> str:
    numbers = sorted({meeting.number for crossing in found for meeting in crossing.meetings})
    told = []
    if numbers:
        told.append(f"through {_joints(numbers)}")
    told += [f"through {name}" for name in dict.fromkeys(name for each in found for name in each.joints)]
    told += [f"across {name}" for name in dict.fromkeys(name for each in found for name in each.hardware)]
    offset = next((each.item.offset for each in found if each.item.offset), None)
    if offset is not None:
        told.append(f"in the tenon {job.display.alone().length(offset)} nearer to the shoulder")
    return ", ".join(told)


def _joints(numbers: Sequence[int]) -> str:
    return f"joint{'s' if len(numbers) > 1 else ''} {numbers_text(numbers)}"


def drawbore_notes(job: Job) -> list[str]:
    """How to find the hole in a tenon for a drawbore pin (common practice)."""
    items = {crossing.item.name: crossing.item for crossing in job.crossings if crossing.item.offset}
    return [_how_to(job, item) for item in items.values()]


def _how_to(job: Job, item: Hardware) -> str:
    offset = job.display.alone().length(item.offset) if item.offset else ""
    tenons = list(dict.fromkeys(hole.mark for hole in _tenon_holes(job) if hole.crossing.item == item))
    of = f" of {marks_text(tenons)}" if tenons else ""
    name = item.name[:1].upper() + item.name[1:]
    return (
        f"{name}: bore the mortised piece first, without the tenon. Close the joint dry, prick the tenon{of} through "
        f"the hole, draw it out, move the mark {offset} toward the shoulder, and bore it there (common practice)."
    )


def _tenon_holes(job: Job) -> tuple[TenonHole, ...]:
    return job.once(("tenon holes",), lambda: tuple(tenon_holes(job.crossings, job.build, job.space)))


def with_tenon_holes(job: Job, piece: PlacedPiece) -> PlacedPiece:
    """The piece with the holes that drawbore pins have in its tenons."""
    bores = [
        replace(hole.bore, note=f"drawbore {job.display.bare(hole.offset)}")
        for hole in _tenon_holes(job)
        if hole.mark == piece.mark
    ]
    return piece.with_features(*bores)


def pinned(job: Job, meetings: Iterable[Meeting]) -> dict[str, list[Crossing]]:
    """The hardware that goes through any of these joints, by its name."""
    numbers = {meeting.number for meeting in meetings}
    found: dict[str, list[Crossing]] = {}
    for crossing in job.crossings:
        if any(meeting.number in numbers for meeting in crossing.meetings):
            found.setdefault(crossing.item.name, []).append(crossing)
    return found


def pin_steps(job: Job, work: StageWork) -> Iterator[Step]:
    """Drawbore pins, which are driven while the glue is wet: each pulls its shoulder tight; and those of breadboard
    ends, of which one is tight."""
    sliding = _with_pins(work)
    if sliding:
        words = f"Drive the pins of {_joints([m.number for m in sliding])}, the middle one of each first"
        yield Step(text(words), text("The outer ones in the middle of their slots, with glue on their heads alone."))
    for name, found in _drawn(job, work).items():
        how = "each draws its shoulder tight" if len(found) > 1 else "it draws the shoulder tight"
        yield Step(text(f"{_counted(name, found)} driven through {_joints(_numbers(found))}"), text(how))


def _with_pins(work: StageWork) -> list[Meeting]:
    """Breadboard ends: joints that slide, and are held by pins."""
    return [meeting for joint, meeting in work.meetings if KINDS[joint.kind].slides and joint.glued]


def pin_bored_steps(job: Job, work: StageWork) -> Iterator[Step]:
    """Dry, before the glue: tenons are bored for drawbore pins, nearer to the shoulder; the pins of breadboard ends are
    tried in their slots."""
    sliding = _with_pins(work)
    if sliding:
        words = f"Pins of {_joints([m.number for m in sliding])} go in dry"
        yield Step(
            text(words), text("The middle one is tight; the outer ones stand free in their slots to both sides.")
        )
    for name, found in _drawn(job, work).items():
        offset = next(each.item.offset for each in found if each.item.offset)
        marks = dict.fromkeys(meeting.entering for each in found for meeting in each.meetings)
        near = f"{job.display.alone().length(offset)} nearer to the shoulder than in {_marks_of(found)}"
        words = f"Tenons of {listed(marks)} bored for {_counted(name, found)}, {near}"
        yield Step(text(words), text("Pins pointed, so that they find their way through."))


def peg_steps(job: Job, work: StageWork) -> Iterator[Step]:
    """Pegs that draw nothing: their hole goes on through the tenon when the glue holds the joint where it is."""
    for name, found in _pinned(job, work, drawn=False).items():
        drills = " and ".join(dict.fromkeys(job.display.drill(each.hole.bore.bit) for each in found))
        words = f"Bore Ø {drills} on through {_joints(_numbers(found))}, drive {_counted(name, found)} with glue"
        yield Step(text(words), text(f"The hole in {_marks_of(found)} guides the bit (common practice)."))


def _drawn(job: Job, work: StageWork) -> dict[str, list[Crossing]]:
    return _pinned(job, work, drawn=True)


def _pinned(job: Job, work: StageWork, drawn: bool) -> dict[str, list[Crossing]]:
    every = pinned(job, (meeting for _, meeting in work.meetings))
    return {name: found for name, found in every.items() if any(each.item.offset for each in found) == drawn}


def _counted(name: str, found: Sequence[Crossing]) -> str:
    return f"{len(found)} × {name}"


def _numbers(found: Sequence[Crossing]) -> list[int]:
    return sorted({meeting.number for crossing in found for meeting in crossing.meetings})


def _marks_of(found: Sequence[Crossing]) -> str:
    return listed(dict.fromkeys(each.hole.piece for each in found))


def pin_lines(job: Job) -> list[str]:
    """For mate marks: what must not be written where a pin's hole is bored."""
    lines = []
    for name, found in pinned(job, (meeting for _, meeting in job.build.meetings())).items():
        numbers = sorted({meeting.number for crossing in found for meeting in crossing.meetings})
        lines.append(f"{name}: goes through {_joints(numbers)}; keep the marks clear of its hole")
    return lines
