"""Part labels: what each says of its piece, in the figures and the words of the cut list."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from shopdocs.blocks.sheets import Document, Labels, PieceLabel
from shopdocs.blocks.text import Figure
from shopdocs.core.display import Display
from shopdocs.core.slug import record_anchor
from shopdocs.documents.figures import length_figure, strips_text
from shopdocs.documents.job import Job, other
from shopdocs.documents.label_code import codes_of
from shopdocs.documents.look_alikes import label_warning
from shopdocs.documents.rounds import finished_name, turned_label
from shopdocs.documents.sticking import sticking
from shopdocs.documents.tapers import taper_label
from shopdocs.model.parts import Axis, Part, Piece
from shopdocs.work.cut_list import Size, copy_mark

# The steps of a piece, by the names that the cut list heads its columns with.
FINISHED, JOINERY, ROUGH = "finished", "with joinery", "rough"


def labels(job: Job) -> Document:
    """A label for each piece, in the order of the build, copy after copy; the strips of a glued-up piece have theirs
    before it."""
    made = tuple(
        label
        for copy in range(1, job.build.copies + 1)
        for part, piece in job.build.pieces()
        for label in (*_strip_labels(job, part, piece, copy), _label(job, part, piece, copy))
    )
    block = Labels(made, job.label_sheet, job.shop.labels_used)
    return Document("labels", "Labels", "Which piece is this, and which way up?", (block,))


def _label(job: Job, part: Part, piece: Piece, copy: int) -> PieceLabel:
    display, row = job.display.alone(), job.rows[piece.mark]
    mark = copy_mark(piece.mark, copy, job.build.copies)
    warning = label_warning(job, piece.mark)
    steps = _steps(row.finished, row.joinery, finished_name(job, part, piece.mark).lower())
    words = [
        part.name,
        *(size_words(display, step, size, whole) for step, size, whole in steps),
        *filter(None, (tapers := taper_label(job, piece.mark) or turned_label(job, piece.mark),)),
    ]
    meets = tuple(f"{meeting.number} {other(meeting, piece.mark)}" for _, meeting in job.meets[piece.mark])
    stage = stages_words(job, piece.mark)
    glue = sticking(job, part, piece)
    if glue.is_reversed and (found := re.fullmatch(r"(?!not )(.*) to the (left|right)", warning)):
        warning = f"{found[1]} {found[2]}, from front"  # the build's left is the reader's right
    return PieceLabel(
        mark=mark,
        build_mark=job.build.mark,
        name=part.name,
        sizes=tuple(words[1:]),
        short_sizes=(
            *(_short_size(display, step, size, whole) for step, size, whole in steps),
            *filter(None, (tapers.replace("turned to ", "").removesuffix(f" {display.units}"),)),
        ),
        meets=meets,
        stage=stage,
        warning=warning,
        short_warning=warning.partition(":")[0] if warning.startswith("not ") else "",
        codes=codes_of(job, mark, part.name, words[1:], meets, stage, warning, piece.mark),
        sticking=glue,
        anchor=f"label-{record_anchor(job.build.full_mark(mark))}",
        figures=_figures(display, part, mark, steps),
    )


def stages_words(job: Job, mark: str) -> str:
    """Every stage at which glue comes to the piece: "stage 3", "stages 1, 3"; "" where it is glued in none."""
    first = job.stage_of.get(mark)
    if first is None:
        return ""
    again = job.again_of.get(mark, ())
    return f"stages {', '.join(str(work.number) for work in (first, *again))}" if again else f"stage {first.number}"


def _steps(finished: Size, joinery: Size, name: str = FINISHED) -> list[tuple[str, Size, bool]]:
    """The sizes a label tells, each by its name; the last says whether all three measures are told, or the length alone
    because only it is larger."""
    steps = [(name, finished, True)]
    if joinery != finished:
        longer = (joinery.thickness, joinery.width) == (finished.thickness, finished.width)
        steps.append((JOINERY, joinery, not longer))
    return steps


def size_words(display: Display, step: str, size: Size, whole: bool = True) -> str:
    """ "finished ⁷⁄₈ × 3¹⁄₂ × 38¹⁄₂ in", "with joinery 41 in long": a size and which it is."""
    if not whole:
        return f"{step} {display.length(size.length)} long"
    return f"{step} {display.size(size.thickness, size.width, size.length)}"


def _short_size(display: Display, step: str, size: Size, whole: bool) -> str:
    """Without its name where it is the finished one, which a piece is known by; never without its unit."""
    words = size_words(display, step, size, whole)
    return words.removeprefix(f"{FINISHED} ")


def _figures(display: Display, part: Part, mark: str, steps: Sequence[tuple[str, Size, bool]]) -> tuple[Figure, ...]:
    found = []
    for step, size, whole in steps:
        measures = ((Axis.THICKNESS, size.thickness), (Axis.WIDTH, size.width), (Axis.LENGTH, size.length))
        for axis, value in measures if whole else measures[2:]:
            found.append(length_figure(f"{mark} · {step} {axis.value}", value, display, part.place(axis.value)))
    return tuple(found)


def _strip_labels(job: Job, part: Part, piece: Piece, copy: int) -> Iterator[PieceLabel]:
    """A label for each strip a piece is glued up from: it comes off when the panel is planed, and the piece's own goes
    on. A strip meets its neighbours and has no record of its own; its code opens that of the piece."""
    whole = copy_mark(piece.mark, copy, job.build.copies)
    marks = part.strip_marks(whole)
    glued = (f"stage {work.number}" for work in job.stages if (part, piece) in work.panels)
    stage = next(glued, "panel first")
    steps = [(ROUGH, job.rows[piece.mark].rough, True)]
    display = job.display.alone()
    sizes = tuple(size_words(display, *step) for step in steps)
    name, warning = f"strip of {whole}, {part.name}", f"{strips_text(marks)} look alike"
    for number, mark in enumerate(marks):
        beside = [*marks[max(0, number - 1) : number], *marks[number + 1 : number + 2]]
        meets = (f"{'between' if len(beside) > 1 else 'beside'} {' and '.join(beside)}",)
        yield PieceLabel(
            mark=mark,
            build_mark=job.build.mark,
            name=name,
            sizes=sizes,
            short_sizes=tuple(_short_size(display, *step) for step in steps),
            meets=meets,
            stage=stage,
            warning=warning,
            codes=codes_of(job, mark, name, sizes, meets, stage, warning, piece.mark),
            anchor=f"label-{record_anchor(job.build.full_mark(mark))}",
            figures=_figures(display, part, mark, steps),
        )
