"""Part labels, and the text that a label's code carries."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.blocks.sheets import Document, Labels, PieceLabel
from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.slug import record_anchor
from shopdocs.documents.figures import length_figure, strips_text
from shopdocs.documents.job import Job, other, up_of
from shopdocs.documents.look_alikes import label_warning
from shopdocs.model.parts import Axis, Part, Piece

# A version 4 symbol at level M holds 62 bytes or 90 upper-case characters (ISO/IEC 18004), the most that keeps its
# modules readable on a one-inch label.
MOST_BYTES = 62
MOST_UPPER = 90
SMALLEST_UPPER = 20  # version 1, level M
_UPPER_SIGNS = set("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")


def labels(job: Job) -> Document:
    made = tuple(
        label
        for part, piece in job.build.pieces()
        for label in (*_strip_labels(job, part, piece), _label(job, part, piece))
    )
    block = Labels(made, job.label_sheet, job.shop.labels_used)
    return Document("labels", "Labels", "Which piece is this, and which way up?", (block,))


def _label(job: Job, part: Part, piece: Piece) -> PieceLabel:
    stage = job.stage_of.get(piece.mark)
    again = job.again_of.get(piece.mark, ())
    warning = label_warning(job, piece.mark)
    return PieceLabel(
        mark=piece.mark,
        build_mark=job.build.mark,
        name=part.name,
        size=job.display.alone().size(part.thickness, part.width, part.length),
        up=up_of(part, piece),
        meets=tuple(f"{meeting.number} {other(meeting, piece.mark)}" for _, meeting in job.meets[piece.mark]),
        stage=f"stage {stage.number}" if stage else "",
        warning=warning,
        code=code_text(job, part, piece),
        figures=tuple(
            length_figure(f"{piece.mark} · {axis.value}", part.along(axis), job.display.alone(), part.place(axis.value))
            for axis in (Axis.THICKNESS, Axis.WIDTH, Axis.LENGTH)
        )
        + tuple(
            length_figure(f"{piece.mark} · saw {axis.value}", size, job.display.alone(), part.place(axis.value))
            for axis, size in _added(job, part, piece)
        ),
        anchor=f"label-{record_anchor(job.build.full_mark(piece.mark))}",
        short_warning=warning.partition(":")[0] if warning.startswith("not ") else warning.replace(" to the ", " "),
        short_code="" if job.address(piece.mark) else _short_code(job, part, piece),
        short_size=job.display.alone().bare_size(part.thickness, part.width, part.length),
        saw=_saw_words(job, part, piece),
        short_saw=_saw_words(job, part, piece, short=True),
        short_meets=_short_meets(job, piece),
        stages=f"stages {', '.join(str(work.number) for work in (stage, *again))}" if stage and again else "",
    )


def _short_meets(job: Job, piece: Piece) -> tuple[str, ...]:
    """The pieces it meets, without the joints' numbers: 'to FL', 'FR'."""
    mates = dict.fromkeys(other(meeting, piece.mark) for _, meeting in job.meets[piece.mark])
    return tuple(mate if index else f"to {mate}" for index, mate in enumerate(mates))


def _added(job: Job, part: Part, piece: Piece) -> list[tuple[Axis, Length]]:
    """The sizes that joints make larger than what shows."""
    sawn = job.rows[piece.mark].joinery
    sizes = ((Axis.THICKNESS, sawn.thickness), (Axis.WIDTH, sawn.width), (Axis.LENGTH, sawn.length))
    return [(axis, size) for axis, size in sizes if size != part.along(axis)]


def _saw_words(job: Job, part: Part, piece: Piece, short: bool = False) -> str:
    """What is sawn, where tenons and the like are added: nobody shall cut at the shoulder. `short` without the unit."""
    alone = job.display.alone()
    added = _added(job, part, piece)
    if not added:
        return ""
    if [axis for axis, _ in added] == [Axis.LENGTH]:
        return f"saw {(alone.bare if short else alone.length)(added[0][1])} long"
    sawn = job.rows[piece.mark].joinery
    return f"saw {(alone.bare_size if short else alone.size)(sawn.thickness, sawn.width, sawn.length)}"


def _strip_labels(job: Job, part: Part, piece: Piece) -> Iterator[PieceLabel]:
    """A label for each strip a piece is glued up of: it comes off when the panel is planed, and the piece's own goes
    on. A strip meets its neighbours and has no record of its own; its code opens that of the piece."""
    marks = part.strip_marks(piece.mark)
    glued = (f"stage {work.number}" for work in job.stages if (part, piece) in work.panels)
    stage = next(glued, "panel first")
    rough = job.rows[piece.mark].rough
    alone = job.display.alone()
    for number, mark in enumerate(marks):
        beside = [*marks[max(0, number - 1) : number], *marks[number + 1 : number + 2]]
        yield PieceLabel(
            mark=mark,
            build_mark=job.build.mark,
            name=f"strip of {piece.mark}, {part.name}",
            size=f"rough {alone.size(rough.thickness, rough.width, rough.length)}",
            up="",
            meets=tuple(f"beside {neighbour}" for neighbour in beside),
            short_size=f"rough {alone.bare_size(rough.thickness, rough.width, rough.length)}",
            stage=stage,
            warning=f"alike: {strips_text(marks)}",
            code=_strip_code(job, part, piece, mark),
            figures=tuple(
                length_figure(f"{mark} · {axis.value}", size, alone, part.place(axis.value))
                for axis, size in (
                    (Axis.THICKNESS, rough.thickness),
                    (Axis.WIDTH, rough.width),
                    (Axis.LENGTH, rough.length),
                )
            ),
            anchor=f"label-{record_anchor(job.build.full_mark(mark))}",
        )


def _strip_code(job: Job, part: Part, piece: Piece, mark: str) -> str:
    words = f"{job.build.full_mark(mark)} / strip of {piece.mark} / {part.name}"
    return job.address(piece.mark) or (words if _fits(words) else job.build.full_mark(mark))


def _short_code(job: Job, part: Part, piece: Piece) -> str:
    """The mark, with the name where both make the smallest symbol."""
    mark = job.build.full_mark(piece.mark)
    text = f"{mark} / {part.name}".upper()
    return text if _is_plain(text) and len(text) <= SMALLEST_UPPER else mark


def code_text(job: Job, part: Part, piece: Piece) -> str:
    """What the code answers: the record's address, or without one a short record in words.

    In words it is set in capitals where that makes the symbol smaller, and ends before it outgrows a label.
    """
    address = job.address(piece.mark)
    if address:
        return address
    sizes = " x ".join(exact_text(size).removesuffix(f" {job.build.units}") for size in _sizes(part))
    joints = " ".join(f"{meeting.number}:{other(meeting, piece.mark)}" for _, meeting in job.meets[piece.mark])
    stage = job.stage_of.get(piece.mark)
    pieces = [
        job.build.full_mark(piece.mark),
        part.name,
        f"{sizes} {job.build.units}",
        f"stage {stage.number}" if stage else "",
        f"joints {joints}" if joints else "",
    ]
    text = ""
    for word in filter(None, pieces):
        longer = f"{text} / {word}" if text else word
        if not _fits(longer):
            break
        text = longer
    text = text or job.build.full_mark(piece.mark)
    return text.upper() if _is_plain(text) else text


def _sizes(part: Part) -> tuple[Length, Length, Length]:
    return part.thickness, part.width, part.length


def _is_plain(text: str) -> bool:
    return set(text.upper()) <= _UPPER_SIGNS


def _fits(text: str) -> bool:
    return len(text) <= MOST_UPPER if _is_plain(text) else len(text.encode()) <= MOST_BYTES
