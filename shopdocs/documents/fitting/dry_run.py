"""Before the glue is opened: what must not wait until a stage is closed, and the dry run of each stage."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, pairwise

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.sheets import Block, InColumns, SideBySide
from shopdocs.blocks.text import Checklist, Step, Stop, plain, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.figures import marks_text
from shopdocs.documents.fitting.clamp_words import clamp_steps
from shopdocs.documents.fitting.crossed_holes import pin_bored_steps, pinned
from shopdocs.documents.fitting.driving import pilot_steps
from shopdocs.documents.fitting.wording import anded, listed, stepped
from shopdocs.documents.job import Job
from shopdocs.documents.noting import joint_note
from shopdocs.documents.own_cuts import cut_steps
from shopdocs.model.joining import FACE_NAMES, Face, Hardware, HoleUse
from shopdocs.model.parts import MaterialKind
from shopdocs.work.order.closing import Outcome
from shopdocs.work.order.gates import ClosedFace, Gate, gate_at_last, gates_of, hardware_closed_off
from shopdocs.work.order.reach import closed_off, covered
from shopdocs.work.order.stages import StageWork
from shopdocs.work.scene.opened import opened

TAPED = "Tape what takes glue, and the mate marks beside it: they stay bare."
IN_ORDER = "Strips lie in the order of their letters, and the triangle across them is whole"
DRY_RUNS = 3  # beside each other
# `REACH` and `HAND_REACH`, in words that are easily kept.
LEFT = {"in": Length.inches("1/8"), "mm": Length(1)}  # steps in which the room that is left is told
DRIVER, HAND = {"in": "6 in", "mm": "150 mm"}, {"in": "3 in", "mm": "75 mm"}


def dry_runs(job: Job, tall: int = 0) -> list[Block]:
    """What is done and laid ready before the glue is opened, stage by stage, down one column and then down the next; a
    row of them at a time where that would take more than the page they begin on has as a rule. Where they may be so
    many lines `tall`, columns are equally long, and one may begin within a dry run."""
    lists = [Checklist(tuple(_before(job, work)), f"Dry run {work.number}  {work.stage.title}") for work in job.stages]
    wide = min(len(lists), DRY_RUNS)
    columns = _columns(lists, wide)
    most = max((_tall(column) for column in columns), default=0)
    if tall and most <= tall and wide > 1:
        return [InColumns(tuple(lists), wide)]
    if most <= (tall or MOST_LINES):
        return [SideBySide(columns, (1.0,) * wide)] if lists else []
    rows = [lists[i : i + wide] for i in range(0, len(lists), wide)]
    return [
        SideBySide(tuple((one,) for one in row) + ((),) * (wide - len(row)), (1.0,) * wide)  # columns as those above
        for row in rows
    ]


def _columns(lists: Sequence[Checklist], wide: int) -> tuple[tuple[Checklist, ...], ...]:
    """The lists in their order in so many columns, none empty, the longest as short as can be."""
    ways = (
        tuple(tuple(lists[i:j]) for i, j in pairwise((0, *cuts, len(lists))))
        for cuts in combinations(range(1, len(lists)), wide - 1)
    )
    return min(ways, key=lambda columns: max(_tall(column) for column in columns)) if lists else ()


def _tall(column: Sequence[Checklist]) -> int:
    return sum(_lines(one) for one in column)


MOST_LINES = 32  # about what stands under each other on the first page
WHOLE_PAGE = 60
_LETTERS, _SMALL_LETTERS = 26, 34  # of a column, about


def _lines(one: Checklist) -> int:
    """About how many lines a list takes."""
    told = ((len(plain(step.text)), len(plain(step.detail))) for step in one.steps)
    return 2 + sum(1 + words // _LETTERS + -(-small // _SMALL_LETTERS) for words, small in told)


def stops(job: Job, work: StageWork) -> Iterator[Stop]:
    """What must be done before this stage closes the way to it; what stays in reach is a step of the dry run."""
    gate_here = next(gate for each, gate in _gates(job) if each.number == work.number)
    if gate_here.anything:
        yield Stop(*_finish_first(job, gate_here))
    for fitted in _fitted(job, work):
        if fitted.gate:
            yield Stop(fitted.words, f"{fitted.note} {_no_driver(job)}".strip())
    caught = [each.mark for each in job.shut_in if each.number == work.number]
    if caught:
        why = "The stage does not list it, and it cannot go in afterwards. Lay it in dry, without glue."
        yield Stop(f"{marks_text(caught)} in place first", why)


def _gates(job: Job) -> list[tuple[StageWork, Gate]]:
    """Every stage with what it closes off, and with a finish what the hardware that goes on before it covers."""

    def made() -> list[tuple[StageWork, Gate]]:
        gates = zip(job.stages, gates_of(job.stages, job.space), strict=True)
        return [(work, replace(gate, under=tuple(_under(job, work)))) for work, gate in gates]

    return job.once(("gates",), made)


def _under(job: Job, work: StageWork) -> Iterator[ClosedFace]:
    """The faces under hardware that stays on once this stage is closed, where no piece comes to lie on it."""
    if job.space is None or job.finish is None:
        return
    for fitted in _fitted(job, work):
        for mark in fitted.marks if fitted.gate else ():
            if not covered(job.space, mark, fitted.name, work.members):
                bores = job.space.pieces[mark].bores
                for face in dict.fromkeys(bore.face for bore in bores if bore.joint == fitted.name):
                    yield ClosedFace(mark, face, ZERO, (fitted.name,))


def finished_before(job: Job) -> list[int]:
    """The stages before which something is sanded and finished, since no hand gets to it afterwards."""
    return [work.number for work, gate in _gates(job) if gate.anything] if job.finish is not None else []


def closed_at_last(job: Job) -> bool:
    """Whether something is sanded and finished before what goes on without glue."""
    return job.finish is not None and _last_gate(job).anything


def _last_gate(job: Job) -> Gate:
    """What is closed off by what goes on without glue."""
    return gate_at_last(job.stages, [gate for _, gate in _gates(job)], job.space, _moving(job))


def _no_driver(job: Job) -> str:
    return f"No room for a driver afterwards: it needs {DRIVER[job.display.units]} straight out from the hole."


def _why_panels(job: Job, marks: Iterable[str]) -> str:
    """Wood that moves shows its edges; what does not is out of reach of a brush in its grooves."""
    sheets = {material.name for material in job.build.materials if material.kind is MaterialKind.SHEET}
    stock = {piece.mark: part.material for part, piece in job.build.pieces()}
    if all(stock[mark] in sheets for mark in marks):
        return "No rag or brush gets into its corners later."
    return "Where a panel shrinks in its grooves, bare wood would show."


def _finish_first(job: Job, gate: Gate) -> tuple[str, str]:
    """What is sanded and finished before it is closed off, and why."""
    told = []
    if gate.panels:
        told.append(_why_panels(job, gate.panels))
    if gate.least is not None:
        least = stepped(gate.least, LEFT[job.build.units], up=False)
        told.append(
            f"As little as {job.display.length(least)} is left there once it is closed; a hand with a sanding block "
            f"needs {HAND[job.display.units]} (common practice)."
        )
    if gate.under:
        names = anded(list(dict.fromkeys(f"the {name}" for face in gate.under for name in face.by)))
        told.append(f"Nothing gets under {names} again.")
    if any(joint.glued for mark in _finished(gate) for joint, _ in job.meets[mark]):
        told.append(TAPED)
    done = "Sand and finish" if job.finish is not None else "Scrape and sand"
    grits = job.finish.grits if job.finish is not None else ()
    to = f" (sand to {max(grits)} grit)" if grits else ""
    return f"{done} first{to}: {_what(job, gate)}", " ".join(told)


def _finished(gate: Gate) -> set[str]:
    """The pieces that are finished before a stage closes them off."""
    return {face.mark for face in (*gate.faces, *gate.rounds, *gate.under)} | set(gate.panels)


def _what(job: Job, gate: Gate) -> str:
    """ "DP with all edges; P1 and P2 all round; face edge of RU1 and RU2"."""
    order = {piece.mark: i for i, (_, piece) in enumerate(job.build.pieces())}

    def in_order(marks: Iterable[str]) -> str:
        return listed(sorted(marks, key=lambda mark: order[mark]))

    what = [f"{listed(gate.panels)} with all edges"] if gate.panels else []
    what += [f"{in_order(face.mark for face in gate.rounds)} all round"] if gate.rounds else []
    return "; ".join(
        (
            *what,
            *(
                f"{FACE_NAMES[face]} of {in_order(marks)}"
                for face, marks in _by_face((*gate.faces, *gate.under)).items()
            ),
        )
    )


def finished_first(job: Job) -> Iterator[tuple[str, str]]:
    """What is finished before it is closed off, with the stage that does so."""
    for work, gate in _gates(job):
        if gate.anything:
            yield f"Before stage {work.number}, {work.stage.title}", _what(job, gate)
    last = _last_gate(job)
    if last.anything:
        yield "Before the last pieces go on, without glue", _what(job, last)


def _moving(job: Job) -> frozenset[str]:
    """Pieces of doors and drawers: what runs out of the build, and what hangs on a hinge."""
    if job.space is None or not job.stages:
        return frozenset()
    pieces = job.space.scene.pieces
    found = {pieces[i].mark for unit in opened(job.build, job.space.scene).units for i in unit.pieces}
    hung = {
        mark
        for hardware in job.build.hardware
        if "hinge" in f"{hardware.name} {hardware.buy}".lower()
        for mark in (*(place.piece for place in hardware.on), *hardware.holds)
    }
    things = sorted(job.stages[-1].things.values(), key=len, reverse=True)
    found.update(mark for marks in things[1:] if hung & set(marks) for mark in marks)
    return frozenset(found)


def _by_face(faces: Iterable[ClosedFace]) -> dict[Face, list[str]]:
    found: dict[Face, list[str]] = {}
    for each in faces:
        if each.mark not in found.setdefault(each.face, []):
            found[each.face].append(each.mark)
    return found


def last_steps(job: Job) -> Iterator[Step]:
    """Before anything goes on without glue: hardware and faces that it would close off."""
    if job.space is None or not job.stages:
        return
    for name, marks in _closed_off_at_last(job).items():
        yield Step(text(f"{capital(name)} on {listed(marks)} first"), text(_no_driver(job)))
    gate = _last_gate(job)
    if gate.anything:
        words, why = _finish_first(job, gate)
        yield Step(text(words), text(why.replace(f" {TAPED}", "")))


def _closed_off_at_last(job: Job) -> dict[str, list[str]]:
    """Hardware that no driver gets at once all that goes on without glue is there, with its pieces."""
    if job.space is None or not job.stages:
        return {}
    still = job.space.pieces.keys() - _moving(job)
    fixed = [marks for marks in job.stages[-1].things.values() if set(marks) <= still]
    return hardware_closed_off(job.build, job.space, fixed)


def fitted_last(job: Job) -> list[Step]:
    """Hardware that no step and no gate has told of: it stays in reach, and goes on when all the glue has set."""
    if not job.stages:
        return []
    told: set[str] = set()
    for work in job.stages:
        told |= {h.name for h in job.build.hardware if h.stage == work.stage.title or h.name in work.stage.hardware}
        told |= pinned(job, (meeting for _, meeting in work.meetings)).keys()
        if job.space is not None:
            told |= hardware_closed_off(job.build, job.space, work.ready.values()).keys()
    told |= _closed_off_at_last(job).keys()
    told |= {item.name for added in (job.left.added if job.left is not None else ()) for item in added.hardware}
    return [
        Step(text(_counted_on(item, [place.piece for place in item.on])), text(item.note))
        for item in job.build.hardware
        if item.on and item.name not in told and not item.crosses and not is_fitted_elsewhere(job, item)
    ]


WALL = re.compile(r"\b(wall|hang(s|er|ing)?)\b", re.I)


def hangs_it(job: Job, item: Hardware) -> bool:
    """Whether hardware goes into the wall that the build hangs on: its screws pass through what they are drilled in,
    and what it is called or bought as says so, where no stage names it. A plate that is screwed on first, to be hung,
    has pilot holes."""
    if any(item.stage == work.stage.title or item.name in work.stage.hardware for work in job.stages):
        return False
    screwed = [hole for hole in item.holes if hole.screw is not None]
    through = screwed and all(hole.use is HoleUse.CLEARANCE and hole.depth is None for hole in screwed)
    return bool(through) and not job.build.free_standing and WALL.search(f"{item.name} {item.buy}") is not None


def is_fitted_elsewhere(job: Job, item: Hardware) -> bool:
    """Whether hardware is none to fit while the build goes together: it goes into the wall, or is only the holes that
    another one's screws pass through, of which none is bought."""
    return item.count == 0 or hangs_it(job, item)


def hung_by(job: Job) -> list[tuple[str, str]]:
    """What goes into the wall, counted, and its note."""
    every = [item for item in job.build.hardware if item.count and hangs_it(job, item)]
    return [(_counted_on(item, [place.piece for place in item.on]), item.note) for item in every]


def _counted_on(item: Hardware, marks: Sequence[str]) -> str:
    """ "2 × keyhole plate on BU"."""
    count = len(marks) or len(item.on) or item.count
    on = f" on {marks_text(list(dict.fromkeys(marks)))}" if marks else ""
    return f"{count} × {item.name}{on}" if count > 1 else f"{capital(item.name)}{on}"


def _before(job: Job, work: StageWork) -> list[Step]:
    """In the order of the hands: what is sawn and turned already, what is made ready, the dry fit, what one looks at
    while it is together, the clamps."""
    stage = work.stage
    steps = cut_steps(job, work) if not work.panels else []  # what is still in strips is cut when it is one
    steps += [Step(text(line)) for line in stage.first]
    steps += [Step(text(f"Fitted: {one.words}"), text(one.note)) for one in _fitted(job, work) if not one.gate]
    steps += _joint_notes(job, work)
    if work.panels:
        steps.append(Step(text(IN_ORDER)))
    steps += pilot_steps(job, work)
    steps += pin_bored_steps(job, work)
    if work.order.outcome is Outcome.LOCKED:
        return [*steps, Step(text("Try how far it goes together: no order was found"))]
    steps += [_fit_dry(work), *(Step(text(line)) for line in stage.dry_fit)]
    if stage.tools:
        steps.append(Step(text("Tools within reach: ", ", ".join(stage.tools))))
    return [*steps, *clamp_steps(job, work)]


def _joint_notes(job: Job, work: StageWork) -> Iterator[Step]:
    """The notes of joints that are glued here, each before the first stage that closes one of them."""
    earlier = {joint.name for one in job.stages[: work.number - 1] for joint, _ in one.meetings}
    for joint in dict.fromkeys(joint for joint, _ in work.meetings):
        if joint.note and joint.glued and joint.name not in earlier:
            yield Step(text(joint_note(joint, [meeting.number for meeting in joint.meetings])))


def _fit_dry(work: StageWork) -> Step:
    """The dry fit, in the order in which the pieces go on."""
    strips = [strip for part, piece in work.panels for strip in part.strip_marks(piece.mark)]
    if strips:
        return Step(text("Dry fit: ", marks_text(strips)))
    moves = [marks_text(list(closing.what)) for closing in (*work.order.closings, *work.order.later)]
    loose = marks_text(list(work.stage.pieces)) if work.stage.pieces else ", ".join(work.stage.uses)
    if len(moves) < 2:
        return Step(text("Dry fit, mate marks on, labels off: ", loose))
    if not any(len(marks) > 1 for marks in work.ready.values()):
        return Step(text("Dry fit in this order, mate marks on, labels off: ", ", ".join(moves)))
    bare = f"; mate marks on, labels off: {marks_text(list(work.loose))}" if work.loose else ""
    return Step(text(f"Dry fit in this order: {', '.join(moves)}{bare}"))


class _Fitted(Struct, frozen=True):
    """Hardware that goes on before the glue of a stage, in words, with its note; what it is called, and the pieces of
    the stage that it sits on; and whether the stage closes the way to it (`gate`)."""

    words: str
    note: str
    gate: bool
    name: str = ""
    marks: tuple[str, ...] = ()


def _fitted(job: Job, work: StageWork) -> Iterator[_Fitted]:
    """Hardware that goes on before the glue, as many as sit on pieces of the stage."""
    named = [h for h in job.build.hardware if h.stage == work.stage.title or h.name in work.stage.hardware]
    known = {hardware.name for hardware in named}
    pieces = work.members
    driven = pinned(job, (meeting for _, meeting in work.meetings))  # told where its joints are closed
    shut = hardware_closed_off(job.build, job.space, work.ready.values()) if job.space is not None else {}
    for name, marks in shut.items():
        if name not in known and name not in driven:
            words = f"{f'{len(marks)} × {name}' if len(marks) > 1 else capital(name)} on {marks_text(marks)}"
            yield _Fitted(words, "", True, name, tuple(dict.fromkeys(marks)))
    for hardware in named:
        if hardware.name in driven:
            continue
        places = [place.piece for place in hardware.on if place.piece in pieces]
        words = _counted_on(hardware, places)
        space = job.space
        gate = space is not None and any(closed_off(space, mark, hardware.name, work.members) for mark in places)
        yield _Fitted(words, hardware.note, gate, hardware.name, tuple(dict.fromkeys(places)))
    for name in dict.fromkeys(work.stage.hardware):
        if name not in known:
            yield _Fitted(capital(name), "", False)


def capital(words: str) -> str:
    """With a capital letter."""
    return words[:1].upper() + words[1:]
