"""The order of a glue-up in words: one step for each straight move, all joints that close at once in it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from msgspec.structs import replace

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Bullets, Checklist, Heading, Step, Stop, Text, text
from shopdocs.documents.figures import marks_text
from shopdocs.documents.fitting.closing_together import ClosingTogether
from shopdocs.documents.fitting.driving import pilot_words
from shopdocs.documents.fitting.dry_run import is_fitted_elsewhere
from shopdocs.documents.fitting.wording import joined, listed
from shopdocs.documents.job import Job
from shopdocs.documents.seasons import alike, room_left, room_to_leave
from shopdocs.model.joining import Hardware, Joint, JointKind
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.order.closing import Closing, JoinedPair, Order, Outcome
from shopdocs.work.order.runs import Run, is_again, runs_of
from shopdocs.work.order.stages import StageWork
from shopdocs.work.order.unglued import Added, Unglued
from shopdocs.work.scene.opened import Moves, opened
from shopdocs.work.seasons.tie import Sort

NO_ORDER = "No straight order was found"
_UNORDERED = {
    Outcome.NO_PLACES: "In the order they are written; give every piece a place, and the order is worked out:",
    Outcome.TOO_MANY: "In the order they are written; there are too many pieces to work out an order:",
}


NO_GLUE = re.compile(r"\b(no|without) glue\b", re.IGNORECASE)


class Notes:
    """What is said of a kind of joint and the notes of joints, each once: at the first step that closes one of them.
    Nobody reads a note with glue on the hands: of glued joints, the dry run has them."""

    def __init__(self) -> None:
        self._given: set[str] = set()

    def say_dry(self, joints: Sequence[JoinedPair]) -> set[str]:
        """The names of those joints whose notes say themselves, for the first time here, that no glue goes in."""
        told = {joint.name for joint, _ in joints if not joint.glued and NO_GLUE.search(joint.note or "")}
        return {name for name in told if f"note of {name}" not in self._given}

    def of(self, joints: Sequence[JoinedPair]) -> str:
        """What has not been said yet about these joints, as sentences; empty when all has."""
        lines = dict.fromkeys(joint for joint, _ in joints)
        fresh = [told for joint in lines for told in (*self._how(joint), *self._note(joint))]
        return " ".join(_sentence(note) for note in fresh)

    def _how(self, joint: Joint) -> Iterator[str]:
        how = KINDS[joint.kind].how if joint.glued else ""
        if how and how not in self._given:
            self._given.add(how)
            yield how

    def _note(self, joint: Joint) -> Iterator[str]:
        fresh = bool(joint.note) and not joint.glued and f"note of {joint.name}" not in self._given
        self._given.add(f"note of {joint.name}")
        if fresh:
            yield joint.note


def _sentence(note: str) -> str:
    return note if note.endswith((".", "!", "?")) else f"{note}."


def locked_stage(order: Order) -> list[Block]:
    """Instead of steps, where the pieces of a stage hold each other: nothing here is to be glued."""
    marks = marks_text(list(order.locked), 12)
    why = (
        f"{marks} lock each other in: none of them, and no group of them, can be drawn off the others straight, on a "
        "slant or round one corner. Look for a tenon or a tongue that is caught at both ends, or a piece that belongs "
        "in an earlier stage. Put that right in the build file, and print this sheet again."
    )
    joints = tuple(text(f"{meeting.number}  ", *text(joined(joint.kind, meeting))) for joint, meeting in order.rest)
    return [
        Stop(f"Do not glue this stage. {NO_ORDER}", why),
        Heading("Its joints, in no order", 2),
        Bullets(joints),
    ]


def jointless_stage(work: StageWork) -> list[Block]:
    """Instead of steps, where the build names no joint between the pieces of a stage."""
    marks = marks_text([*work.stage.uses, *work.stage.pieces], 24)
    why = (
        f"The build names no joint between {marks}, so order, time, glue and clamps cannot be worked out. Name "
        "their joints in the build file, and print this sheet again."
    )
    return [Stop("Do not glue this stage. It closes no joint", why)]


def wet_steps(
    job: Job, work: StageWork, notes: Notes, batches: Mapping[int, Sequence[Step]] | None = None
) -> Iterator[Step]:
    """What is closed while the glue is wet; `batches` are the steps that mix more glue, by the number of the joint they
    are first spread on."""
    batches, order = batches or {}, work.order
    if order.outcome in _UNORDERED and order.rest:
        yield Step(text(_UNORDERED[order.outcome]))
    together = ClosingTogether(job, work)
    for number, run in enumerate(runs_of(job.build, work)[0], 1):
        joints = [meeting.number for closing in run for _, meeting in closing.joints]
        yield from (step for each in joints for step in batches.get(each, ()))
        yield together.said(_counted(number, _step(run, notes)), run)
    for pair in order.rest:
        yield from batches.get(pair[1].number, ())
        yield _joint_step(pair, notes)


def later_steps(job: Job, work: StageWork, notes: Notes) -> list[Step]:
    """What goes in dry when the glue has set; without a joint only hardware can hold it."""
    wet, later = runs_of(job.build, work)
    return [
        _counted(
            number,
            _step(run, notes) if run[0].joints else Step(text(f"{_in_place(run)}, held only by its hardware")),
        )
        for number, run in enumerate(later, len(wet) + 1)
    ]


def _counted(number: int, step: Step) -> Step:
    """With the number of its arrow in the picture."""
    return replace(step, text=(f"{number}\u00a0\u00a0", *step.text))


def _step(run: Run, notes: Notes) -> Step:
    """One move, or several that are alike: what goes on, onto what and from where; the joints in the quieter line
    below."""
    what = [name for closing in run for name in closing.what]
    closing = run[0]
    joints = [pair for each in run for pair in each.joints]
    if is_again(run):
        return Step(text(f"The same again with {listed(what)}"), text(_numbers_of(joints)))
    if not closing.onto:
        return Step(text(f"Start with {marks_text(what)}"))
    if not joints:
        return Step(text(f"{_in_place(run)}, no glue"), text(SHUT_IN))
    onto, together = listed(closing.onto), " together" if len(closing.onto) > 2 else ""
    if any(each.onto != closing.onto for each in run) and all(len(each.onto) == 1 for each in run):
        told = [_closing_joints(joints, notes), notes.of(joints)]
        return Step(text(f"{_each_onto_its_own(run)}, {way_words(closing, True)}"), text(" ".join(filter(None, told))))
    same = [each for each in run if each.onto == closing.onto]
    what = [name for each in same for name in each.what]
    one_by_one = ", one at a time" if len(same) > 1 else ""
    words = f"{listed(what)} {_how(run)} {onto}{together}, {way_words(closing, len(same) > 1)}{one_by_one}"
    others = [each for each in run if each.onto != closing.onto]
    joints = [pair for each in same for pair in each.joints]
    told = [_closing_joints(joints, notes), notes.of(joints)]
    if others:
        words += f"; {listed(name for each in others for name in each.what)} likewise"
        told.insert(1, _numbers_of([pair for each in others for pair in each.joints]))
    return Step(text(words), text(" ".join(filter(None, told))))


def _each_onto_its_own(run: Run) -> str:
    """ "FL over SL and FR over SR"."""
    found: dict[str, list[Closing]] = {}
    for closing in run:
        found.setdefault(closing.onto[0], []).append(closing)
    *most, last = [
        f"{listed(name for one in every for name in one.what)} {_how(tuple(every))} {onto}"
        for onto, every in found.items()
    ]
    return f"{', '.join(most)} and {last}"


def _in_place(run: Run) -> str:
    """What no joint ties, and where it comes from."""
    what = f"{listed([name for closing in run for name in closing.what])} in place"
    return f"{what}, {way_words(run[0])}" if run[0].onto else what


SHUT_IN = "It cannot go in later."
FROM = {
    (0, False): "from the right",
    (0, True): "from the left",
    (1, False): "from the rear",
    (1, True): "from the front",
    (2, False): "from above",
    (2, True): "from below",
}


def way_words(closing: Closing, several: bool = False) -> str:
    """Where what moves comes from, or `several` alike do; round a corner both ways, in their order; on a slant both at
    once."""
    if closing.also is not None:
        return f"{FROM[closing.toward]} and {FROM[closing.also]} at once, on a slant of 45°"
    if closing.first is None:
        own = "each along its own length" if several else "along its own length"
        along = own if closing.along in closing.marks else f"along {closing.along}"
        return f"{FROM[closing.toward]}, {along}" if closing.along else FROM[closing.toward]
    return f"brought in {FROM[closing.first]}, then on {FROM[closing.toward]}"


def _joint_step(pair: JoinedPair, notes: Notes) -> Step:
    """A joint by itself, where no move of the build is known."""
    joint, meeting = pair
    told = " ".join(filter(None, (_closing_joints([pair], notes), notes.of([pair]))))
    return Step(text(joined(joint.kind, meeting)), text(told))


def _how(run: Run) -> str:
    """What moves goes into all of the others, over all of them, or both."""
    joints, marks = [pair for each in run for pair in each.joints], {mark for each in run for mark in each.marks}
    if all(KINDS[joint.kind].flat for joint, _ in joints):
        return "against"
    enters = [meeting.entering in marks for _, meeting in joints]
    receives = [meeting.receiving in marks for _, meeting in joints]
    if all(enters) and not any(KINDS[joint.kind].flat for joint, _ in joints):
        return "into"
    return "over" if all(receives) else "onto"


def _closing_joints(joints: Sequence[JoinedPair], notes: Notes) -> str:
    """ "Joints 20 DT end B into DR, 22 DB end B into DR, mortise and tenon; 24 …"; that there is no glue is said where
    no note behind it says so."""
    kinds: dict[tuple[JointKind, bool, bool], list[str]] = {}
    dry = notes.say_dry(joints)
    for joint, meeting in joints:
        told = f"{meeting.number}\u00a0{joined(joint.kind, meeting)}"
        kinds.setdefault((joint.kind, joint.glued, joint.name in dry), []).append(told)
    each = [
        ", ".join(told) + ("" if KINDS[kind].said else f", {kind.value}") + ("" if glued or said else ", no glue")
        for (kind, glued, said), told in kinds.items()
    ]
    return f"Joint{'s' if len(joints) > 1 else ''} {'; '.join(each)}."


def _numbers_of(joints: Sequence[JoinedPair]) -> str:
    """ "Joints 29, 30, 33, 34 as before." """
    numbers = sorted(meeting.number for _, meeting in joints)
    return f"Joint{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))} as before."


# What no glue holds.


def unglued_steps(job: Job, left: Unglued, notes: Notes, first: Iterable[Step] = ()) -> Checklist:
    """What goes on without glue: in its order, equal pieces as one step, with what is there to hold them; `first`
    is what must be done before any of it."""
    parts = {piece.mark: part.name for part, piece in job.build.pieces()}
    steps, drawers = list(first), _drawers(job)
    if left.locked:
        words = f"{listed(left.locked)} lock each other in: {NO_ORDER[:1].lower()}{NO_ORDER[1:]}; try them dry"
        steps.append(Step(text(words)))
    for _, run in groupby(left.added, key=lambda added: _alike(added, parts)):
        every = list(run)
        one = every[0]
        steps += [_step((closing,), notes) for added in every for closing in added.before if closing.onto]
        words = _with_verb(_unglued_words(every), every, drawers, job)
        joints = [pair for added in every for pair in added.joints]
        told = [_closing_joints(joints, notes)] if joints else []
        held = [h for h in one.hardware if not _fitted_before(job, h) and not is_fitted_elsewhere(job, h)]
        told += [f"Hardware: {', '.join(_put_on(job, item, every) for item in held)}."] if held else []
        told += filter(None, (pilot_words(job, item.name, pieces_of(every)) for item in one.hardware))
        told += [] if told or one.hardware else ["The build names no joint and no hardware to hold it."]
        note = [_sentence(hardware.note) for hardware in held if hardware.note]
        words_told = " ".join(filter(None, (*told, *note, notes.of(joints))))
        steps.append(Step(text(words), (words_told, *_play_left(job, held))))
    return Checklist(tuple(steps), f"Without glue, onto {left.main}")


def _play_left(job: Job, held: Sequence[Hardware]) -> Text:
    """How much play hardware is left on the day, where what it holds moves over the year."""
    names = {hardware.name for hardware in held}
    told: Text = ()
    for tie, *_ in alike([tie for tie in job.ties if tie.sort is Sort.HELD and tie.through in names]):
        left = next(iter(room_left(job, tie)), None) or room_to_leave(job, tie)
        if left is not None:
            told += text(" Leave ", left, f" of play each way at each {tie.through}.")
    return told


def _drawers(job: Job) -> list[frozenset[str]]:
    """The pieces of each drawer."""
    if job.space is None:
        return []
    pieces = job.space.scene.pieces
    units = opened(job.build, job.space.scene).units
    return [frozenset(pieces[i].mark for i in unit.pieces) for unit in units if unit.moves is Moves.DRAWER]


def _with_verb(words: str, every: Sequence[Added], drawers: Sequence[frozenset[str]], job: Job) -> str:
    """What is done with it, where the build lets one know: a drawer is slid in, what has hinges hung, what has screws
    of its own screwed on."""
    hardware = [item for item in every[0].hardware if not _fitted_before(job, item)]
    if any(drawer >= set(every[0].pieces) or drawer <= set(every[0].pieces) for drawer in drawers):
        return f"Slide in {words}"
    if any("hinge" in f"{item.name} {item.buy}".lower() for item in hardware):
        return f"Hang {words}"
    screwed = any(pilot_words(job, item.name, pieces_of(every)) for item in hardware)  # into another piece
    if not screwed:
        return words
    driven, comes = _driven(job, every[0].hardware, every), words.rpartition(", ")[2]
    told = f"Screw on {words.replace(', from ', ', brought in from ')}"  # the way it comes is not that of its screws
    return told if driven in ("", comes) else f"{told}; drive the screws {driven}"


def _put_on(job: Job, item: Hardware, every: Sequence[Added]) -> str:
    """What goes on with a thing by its name; what `holds` it from its own screws by count and act, for nobody else
    tells it: "8 × button, screwed to T from below, tongues in the grooves"."""
    marks = set(pieces_of(every))
    if not item.holds or not marks.issuperset(item.holds):
        return item.name
    told = f"{item.count} × {item.name}" if item.count > 1 else item.name
    holes = [hole for hole in job.holes if hole.hardware == item.name]
    if holes and all(hole.piece in marks for hole in holes):
        where = listed(dict.fromkeys(hole.piece for hole in holes))
        told += " ".join(filter(None, (f", screwed to {where}", _driven(job, [item], every))))
    return f"{told}, tongue{'s' * (item.count > 1)} in the groove{'s' * (item.count > 1)}" if item.rides else told


def _driven(job: Job, hardware: Iterable[Hardware], every: Sequence[Added]) -> str:
    """From where the screws of what goes on are driven, by the faces that their holes are in; "" where that differs."""
    names, marks = {item.name for item in hardware}, set(pieces_of(every))
    holes = [hole for hole in job.holes if hole.hardware in names and hole.piece in marks and not hole.through_mate]
    if job.space is None:
        return ""
    looks = {job.space.pieces[hole.piece].pose.look_of(hole.face) for hole in holes}
    if len(looks) != 1:
        return ""
    axis, upper = looks.pop()
    return FROM[axis, not upper]


def _unglued_words(every: Sequence[Added]) -> str:
    """What goes on, with the marks of what goes by another name, and where it comes from."""
    one = every[0]
    if len(one.things) > 1:
        words = f"{listed(one.things)} as one"
    elif len(one.pieces) > 1:
        words = "; ".join(f"{added.things[0]} ({marks_text(list(added.pieces))})" for added in every)
    else:
        words = marks_text([name for added in every for name in added.things])
    return f"{words}, {way_words(one.closing)}" if one.closing is not None else words


def _fitted_before(job: Job, hardware: Hardware) -> bool:
    """Whether a stage fits it, whose dry run says so."""
    stages = [work.stage for work in job.stages]
    return any(hardware.stage == stage.title or hardware.name in stage.hardware for stage in stages)


def pieces_of(every: Iterable[Added]) -> list[str]:
    """The marks of all that is added."""
    return [mark for added in every for mark in added.pieces]


def _alike(added: Added, parts: dict[str, str]) -> object:
    """What things have in common that go on as one step."""
    if added.before or len(added.things) > 1:
        return added.things
    numbers = tuple(meeting.number for _, meeting in added.joints)
    way = way_words(added.closing) if added.closing is not None else ""
    made_of = tuple(sorted(parts[mark] for mark in added.pieces))
    return made_of, way, tuple(hardware.name for hardware in added.hardware), numbers
