"""What the record of a piece shows of its drawing: the piece by itself, and a table of its cuts."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.text import Cell, Column, Group, Row, Run, Table
from shopdocs.core.length import ZERO
from shopdocs.core.problems import Position
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.shown import Shown
from shopdocs.documents.drawn.strip import Strips
from shopdocs.documents.figures import length_figure
from shopdocs.documents.fitting.joint_cuts import cut_name
from shopdocs.documents.job import Job
from shopdocs.documents.own_cuts import short_names
from shopdocs.documents.piece_drawings import DrawnGroup, joints_of, place_key
from shopdocs.model.joining import COUNTED_FROM, FACE_NAMES
from shopdocs.work.space.ends import gauged_extents
from shopdocs.work.space.placed import PlacedPiece, Spot


class OwnDrawing(Struct, frozen=True):
    """The drawing of one piece, for its record."""

    mark: str
    drawing: Drawing


def own_drawings(job: Job, group: DrawnGroup, room_mm: tuple[float, float]) -> Iterator[OwnDrawing]:
    """The drawing of each piece of a group, with the joint numbers of that piece."""
    strips = job.once(("strips", room_mm), lambda: Strips(job.display, room_mm))
    for piece in group.pieces:
        numbers = [number for number, _ in joints_of(job, piece)]
        drawing = strips.of(piece, numbers, group.placed, short_names(job, group.marks))
        yield OwnDrawing(piece.mark, drawing)  # the record's own title says which piece it is


def _to_shoulder(shown: Shown, piece: PlacedPiece) -> tuple[Spot, Spot]:
    """A cut or a tenon from corner to corner. A tenon that a round is turned down to begins where the round ends, as
    it is drawn: what of it lies deeper in the wood shows nowhere."""
    lo, hi = shown.lo, shown.hi
    if not shown.cuboid.adds or piece.turned is None:
        return lo, hi
    if lo[0] < ZERO:
        return lo, (min(hi[0], ZERO), hi[1], hi[2])
    return (max(lo[0], piece.length), lo[1], lo[2]), hi


def cuts_table(job: Job, gauged: Gauged, at: Position) -> Table | None:
    """Every cut and tenon of a piece with where it lies: from end A, from the face edge, from the face side; from the
    shoulder where one shows there."""
    display, unit, rows, piece = job.display, job.display.units, [], gauged.piece
    extents = gauged_extents(piece)
    there = {id(shown.cuboid): _to_shoulder(shown, piece) for shown in gauged.shown}
    for number, features in joints_of(job, piece):
        for kind in dict.fromkeys(feature.kind for feature in features):
            corners = [there.get(id(feature), place_key(feature)) for feature in features if feature.kind is kind]
            cells = [Cell.of(number), Cell.of(cut_name(job, kind, number))]
            for axis, name in enumerate(("along", "across", "deep")):
                figure = f"{piece.mark} · joint {number} {cut_name(job, kind, number)} · {name}"
                runs: list[Run] = []
                flush = extents[axis].start.flush
                for low, high in sorted({(low[axis] + flush, high[axis] + flush) for low, high in corners}):
                    runs += [", "] if runs else []
                    runs.append(length_figure(figure, low, display, at))
                    runs += ["–", length_figure(figure, high, display, at)] if low != high else []
                cells.append(Cell(tuple(runs)))
            rows.append(Row(tuple(cells)))
    columns = (
        Column("Joint", "right", share=0.1, strong=True),
        Column("Cut", share=0.4),
        *(
            Column(
                f"from {'shoulder at ' if extent.start.shoulder else ''}{FACE_NAMES[face]}", "right", unit, share=0.4
            )
            for face, extent in zip(COUNTED_FROM, extents, strict=True)
        ),
    )
    return Table(f"cuts-{piece.mark}", columns, (Group(tuple(rows)),)) if rows else None
