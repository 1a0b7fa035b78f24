"""Screws as steps: the pilot that is bored dry, through the hole of the other piece, and the screws that are driven."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from shopdocs.blocks.text import Figure, Step, text
from shopdocs.documents.figures import count_figure
from shopdocs.documents.fitting.wording import listed, numbers_text
from shopdocs.documents.job import Job
from shopdocs.model.joining import HoleUse, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.order.stages import StageWork
from shopdocs.work.scene.in_space import bore_of
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.placed import Bore, Feature, PlacedPiece

HOW = "Wax the threads, drive by hand; for brass screws, cut the thread with a steel one first."


def pilot_words(job: Job, name: str, pieces: Iterable[str], both: bool = False) -> str:
    """How the pilots of hardware, or of a line of joinery, are bored through the other piece: "Pilots Ø 3.5 mm, 20 mm
    deep, in AL and AR, marked through the holes in TS1–TS6." Empty where it has none. Told for holes of which one
    piece is among `pieces`, or both."""
    wanted = frozenset(pieces)
    own: dict[tuple[object, ...], list[Drilled]] = {}
    for hole in job.holes:
        if hole.hardware != name or not hole.through_mate:
            continue
        if len(wanted & {hole.piece, hole.through_mate}) > both:
            own.setdefault((hole.bore.bit, hole.bore.depth), []).append(hole)
    told = []
    for holes in own.values():
        first = holes[0].bore
        deep = f", {job.display.length(first.depth)} deep" if first.depth is not None else ""
        where = listed(_in_order(job, (hole.piece for hole in holes)))
        through = listed(_in_order(job, (hole.through_mate for hole in holes)))
        told.append(f"Ø {job.display.drill(first.bit)}{deep}, in {where}, marked through the holes in {through}")
    return f"Pilots {'; '.join(told)}." if told else ""


def _in_order(job: Job, marks: Iterable[str]) -> list[str]:
    found = frozenset(marks)
    return [piece.mark for _, piece in job.build.pieces() if piece.mark in found]


def with_pilots(job: Job, piece: PlacedPiece) -> PlacedPiece:
    """The piece with the pilots that were worked out for it. Those that are marked through the other piece say so."""
    marked = {}
    for hole in job.holes_in(piece.mark):
        if hole.through_mate:
            found = bore_of(hole, job.part_of(piece.mark))
            marked[found.face, found.centre] = replace(found, marked=True)
    features: list[Feature] = []
    for feature in piece.features:
        if isinstance(feature, Bore) and marked.pop((feature.face, feature.centre), None) is not None:
            features.append(replace(feature, marked=True))
        else:
            features.append(feature)
    return replace(piece, features=(*features, *marked.values()))


def _screwed(work: StageWork) -> dict[str, list[tuple[Joint, Meeting]]]:
    found: dict[str, list[tuple[Joint, Meeting]]] = {}
    for joint, meeting in work.meetings:
        if KINDS[joint.kind].screwed:
            found.setdefault(joint.name, []).append((joint, meeting))
    return found


def pilot_steps(job: Job, work: StageWork) -> Iterator[Step]:
    """Dry, before the glue: the pilots of what is screwed in a stage, the screws and the driver."""
    for name, pairs in _screwed(work).items():
        pieces = {mark for _, meeting in pairs for mark in (meeting.entering, meeting.receiving)}
        told = pilot_words(job, name, pieces, both=True) or _given(job, name, pieces)
        count = count_figure(f"{name} · screws", sum(joint.count for joint, _ in pairs), pairs[0][0].at)
        numbers = numbers_text([meeting.number for _, meeting in pairs])
        plural = "s" if len(pairs) > 1 else ""
        first = "Clearance holes, countersunk if the heads are to lie flush, then pilots."
        screws = _screws(count)
        detail = " ".join(filter(None, (first, told)))
        yield Step(
            text("Bored for ", count, f"{screws}, joint{plural} {numbers}; driver and screws to hand"), text(detail)
        )


def _given(job: Job, name: str, pieces: set[str]) -> str:
    """The pilots that the build gives and that are measured out."""
    own = [h for h in job.holes if h.hardware == name and h.piece in pieces and h.bore.use is HoleUse.PILOT]
    return f"Pilots Ø {job.display.drill(own[0].bore.bit)}." if own else ""


def driving_steps(work: StageWork) -> Iterator[Step]:
    """What is driven when the pieces are together."""
    for name, pairs in _screwed(work).items():
        count = count_figure(f"{name} · screws", sum(joint.count for joint, _ in pairs), pairs[0][0].at)
        through = listed(dict.fromkeys(meeting.receiving for _, meeting in pairs))
        into = listed(dict.fromkeys(meeting.entering for _, meeting in pairs))
        yield Step(text("Drive ", count, f"{_screws(count)} through {through} into {into}"), text(HOW))


def _screws(count: Figure) -> str:
    return " screw" if count.value == 1 else " screws"
