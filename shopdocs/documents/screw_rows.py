"""Every screw in one row: what to bore for it, in the order of boring, from the wood it passes to the plug on its head.

The bits that are to be changed stand in the drilling schedule; here one reads what one screw needs altogether.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopdocs.blocks.text import Cell, Column, Figure, Group, Row, Run, Table
from shopdocs.core.display import hundredths, trimmed
from shopdocs.core.length import Length
from shopdocs.documents.figures import length_figure, marks_text, screw_text
from shopdocs.documents.job import Job
from shopdocs.facts.screws import screw_for
from shopdocs.model.joining import HoleUse, Joint
from shopdocs.work.space.drilled import Drilled

NONE = "–"
PLUGGED = Length(5)  # a shallower counterbore holds no plug: common practice, no source
SCREWED = (HoleUse.CLEARANCE, HoleUse.PILOT)
COLUMNS = (
    Column("Screw", strong=True, share=1.0),
    Column("For", share=1.2),
    Column("Clearance", share=1.4),
    Column("Pilot", share=1.4),
    Column("Countersink", share=0.9),
    Column("Counterbore", share=1.0),
    Column("Plug", share=0.8),
)


def screw_table(job: Job) -> Table | None:
    """A row for each screw, of each hardware or joint, that passes a piece and wants more than that one boring; None
    where none does. Columns in which nothing would stand are left away."""
    found = {key: holes for key, holes in _by_screw(job.holes).items() if _is_several(holes)}
    rows = [_row(job, name, screw, holes) for (name, screw), holes in found.items()]
    if not rows:
        return None
    kept = [k for k in range(len(COLUMNS)) if any(row.cells[k] != Cell.of(NONE) for row in rows)]
    shown = tuple(Row(tuple(row.cells[k] for k in kept)) for row in rows)
    return Table("screws", tuple(COLUMNS[k] for k in kept), (Group(shown),))


def _is_several(holes: Iterable[Drilled]) -> bool:
    borings = {hole.bore.use for hole in holes} | {"sunk" for hole in holes if hole.bore.head}
    return HoleUse.CLEARANCE in borings and len(borings) > 1


def _by_screw(holes: Iterable[Drilled]) -> dict[tuple[str, str], list[Drilled]]:
    """The holes of each screw, with the recesses that lie on their centres."""
    every = list(holes)
    found: dict[tuple[str, str], list[Drilled]] = {}
    for hole in every:
        if hole.bore.use in SCREWED:
            told = screw_text(hole.bore.screw).replace(" ", "\u00a0") if hole.bore.screw else ""
            found.setdefault((hole.hardware, told), []).append(hole)
    recesses = {_centre(hole): hole for hole in every if hole.bore.use is HoleUse.RECESS}
    for own in found.values():
        own += list(dict.fromkeys(recesses[at] for hole in own if (at := _centre(hole)) in recesses))
    return found


def _centre(hole: Drilled) -> tuple[object, ...]:
    return hole.hardware, hole.piece, hole.face, hole.along, hole.across


def _row(job: Job, name: str, screw: str, holes: list[Drilled]) -> Row:
    return Row(
        (
            Cell.of(screw or _of_joint(job, name) or "as bought"),
            Cell.of(name),
            _cell(_bored(job, name, holes, HoleUse.CLEARANCE)),
            _cell(_bored(job, name, holes, HoleUse.PILOT)),
            _cell(_sunk(job, holes)),
            _cell(_bored(job, name, holes, HoleUse.RECESS)),
            _cell(_plugs(job, holes)),
        )
    )


def screw_size_words(job: Job, joint: Joint) -> str:
    """The screw of a screwed joint, by the size that passes its clearance hole: "4 × 40 mm", "#8 × 1¼ in"; "" where the
    build does not tell."""
    size = screw_for(joint.thickness) if joint.thickness is not None else None
    long = job.display.length(joint.length) if joint.length is not None else ""
    if size is None:
        return f"{long} long" if long else ""
    if isinstance(size, int):
        return f"#{size} × {long}" if long else f"#{size}"
    if joint.length is not None and joint.length.mm.denominator == 1:
        return (
            f"{trimmed(size.mm, 2)} × {hundredths(joint.length)}"  # as on the box, whatever the sheets are printed in
        )
    if long and job.display.units == "mm":
        return f"{trimmed(size.mm, 2)} × {long}"
    return f"Ø {trimmed(size.mm, 2)} mm" + (f", {long} long" if long else "")


def _of_joint(job: Job, name: str) -> str:
    joints = [joint for joint in job.build.joints if joint.name == name]
    return screw_size_words(job, joints[0]).replace(" ", "\u00a0") if joints else ""


def _cell(told: Iterable[list[Run]]) -> Cell:
    runs: list[Run] = []
    for one in told:
        runs += ["; ", *one] if runs else one
    return Cell.of(*runs) if runs else Cell.of(NONE)


def _bored(job: Job, name: str, holes: list[Drilled], use: HoleUse) -> Iterator[list[Run]]:
    """Bit, depth and pieces of the holes of one use."""
    alike: dict[tuple[object, ...], list[Drilled]] = {}
    for hole in holes:
        if hole.bore.use is use:
            alike.setdefault((hole.bore.bit, hole.bore.depth, hole.bore.slot), []).append(hole)
    order = {piece.mark: i for i, (_, piece) in enumerate(job.build.pieces())}
    for own in alike.values():
        first = own[0]
        bore, at = first.bore, first.hole.at
        figure = Figure(f"{name} · {use.value} bit of its screw", job.display.drill(bore.bit), bore.bit.mm, "mm", at)
        runs: list[Run] = ["Ø ", figure]
        if bore.slot:
            slot = length_figure(f"{name} · slot of its screw", bore.slot, job.display, at, unit=True)
            runs += [", slotted ", slot]
        if bore.depth:
            deep = length_figure(f"{name} · {use.value} depth of its screw", bore.depth, job.display, at, unit=True)
            runs += [", ", deep, " deep"]
        elif use is HoleUse.CLEARANCE:
            runs.append(", through")
        marks = sorted({hole.piece for hole in own}, key=lambda mark: order.get(mark, len(order)))
        runs.append(f" in {marks_text(marks)}")
        yield runs


def _sunk(job: Job, holes: list[Drilled]) -> Iterator[list[Run]]:
    for head, angle in dict.fromkeys((hole.bore.head, hole.bore.angle) for hole in holes):
        if head and angle:
            yield [f"{angle.degrees}° to Ø {job.display.alone().length(head)}"]


def _plugs(job: Job, holes: list[Drilled]) -> Iterator[list[Run]]:
    """A plug is as wide as the counterbore over a screw's head; over a slot it would stop the screw from moving."""
    heads = {_centre(hole): hole for hole in holes if hole.bore.use is HoleUse.CLEARANCE}
    over = [
        (hole, heads[_centre(hole)]) for hole in holes if hole.bore.use is HoleUse.RECESS and _centre(hole) in heads
    ]
    deep = [(hole.bore, head.bore) for hole, head in over if hole.bore.depth is None or hole.bore.depth >= PLUGGED]
    for bit in dict.fromkeys(recess.bit for recess, head in deep if not head.slot):
        yield [f"Ø {job.display.drill(bit)}, where it shows"]
    if any(head.slot for _, head in deep):
        yield ["none: it slides"]
