"""What the record of a piece shows of its drawing: the piece by itself, and a table of its cuts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct, field

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.text import Cell, Column, Group, Row, Run, Table, Text, plain
from shopdocs.core.length import ZERO
from shopdocs.core.problems import Position
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.shown import Shown
from shopdocs.documents.drawn.strip import Strips
from shopdocs.documents.figures import length_figure
from shopdocs.documents.fitting.joint_cuts import cut_name, size_words
from shopdocs.documents.job import Job
from shopdocs.documents.own_cuts import short_names
from shopdocs.documents.piece_drawings import DrawnGroup, joints_of, place_key
from shopdocs.model.joining import COUNTED_FROM, FACE_NAMES, Face, the_face
from shopdocs.work.space.ends import gauged_extents
from shopdocs.work.space.let_in import is_let_in
from shopdocs.work.space.placed import Bore, Feature, PlacedPiece, Spot, face_of, side_of


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


class _Cut(Struct):
    """What is marked out alike for several joints: their numbers, and where each lies along the piece."""

    name: str
    where: str
    across: Text
    size: str
    joints: list[str] = field(default_factory=list)
    along: list[Run] = field(default_factory=list)


def cuts_table(job: Job, gauged: Gauged, at: Position) -> Table | None:
    """Every cut and tenon of a piece: the face or the end it is in, where it lies along from end A or the shoulder
    there, where across it and from what, how large and how deep it is. Joints that are cut alike stand in one row."""
    unit, piece = job.display.units, gauged.piece
    found: dict[object, _Cut] = {}
    for number, features in joints_of(job, piece):
        for kind in dict.fromkeys(feature.kind for feature in features):
            alike = [feature for feature in features if feature.kind is kind]
            one, along = _marked_out(job, gauged, number, alike, at)
            row = found.setdefault((one.name, one.where, plain(one.across), one.size), one)
            row.joints.append(number)
            row.along += [", ", *along] if row.along else along
    if not found:
        return None
    shoulder = "shoulder at " if gauged_extents(piece)[0].start.shoulder else ""
    columns = (
        Column("Joint", "right", share=0.1, strong=True),
        Column("Cut", share=0.4),
        Column("In", share=0.3),
        Column(f"from {shoulder}end A", "right", unit, share=0.4),
        Column("Across", share=0.5),
        Column("Size", share=0.5),
    )
    rows = [
        Row((Cell.of(", ".join(row.joints)), Cell.of(row.name), Cell.of(row.where), Cell(tuple(row.along)),
             Cell(row.across), Cell.of(row.size)))
        for row in found.values()
    ]  # fmt: skip
    return Table(f"cuts-{piece.mark}", columns, (Group(tuple(rows)),))


def _marked_out(
    job: Job, gauged: Gauged, number: str, features: Sequence[Feature], at: Position
) -> tuple[_Cut, list[Run]]:
    """What one joint cuts or leaves standing of a kind, and where it lies along the piece."""
    piece, name = gauged.piece, cut_name(job, features[0].kind, number)
    there = {id(shown.cuboid): shown for shown in gauged.shown if not shown.at_mouth}
    corners = [_corners(there.get(id(feature)), feature, piece) for feature in features]
    faces = [_face_of(there.get(id(feature)), feature, piece) for feature in features]
    where = " and ".join(the_face(face) for face in dict.fromkeys(faces))
    look, figure = side_of(faces[0])[0], f"{piece.mark} · joint {number} {name}"
    across: list[Run] = []
    for axis in (k for k in (1, 2) if k != look):
        across += ["; "] if across else []
        across += _ranges(job, corners, axis, gauged, f"{figure} · {'across' if axis == 1 else 'deep'}", at)
        across.append(f" from the {_zero(gauged, axis)}")
    along = _ranges(job, corners, 0, gauged, f"{figure} · along", at)
    many = f"{len(features)} × " if len(features) > 1 else ""
    sizes = dict.fromkeys(size_words(job, feature, gauged) for feature in features)
    return _Cut(name, where, tuple(across), many + "; ".join(sizes)), along


def _zero(gauged: Gauged, axis: int) -> str:
    shoulder = gauged_extents(gauged.piece)[axis].start.shoulder
    return f"{'shoulder at ' if shoulder else ''}{FACE_NAMES[COUNTED_FROM[axis]]}"


def _ranges(
    job: Job, corners: Sequence[tuple[Spot, Spot]], axis: int, gauged: Gauged, figure: str, at: Position
) -> list[Run]:
    """From where to where cuts lie along an axis, each once."""
    runs: list[Run] = []
    flush = gauged_extents(gauged.piece)[axis].start.flush
    for low, high in sorted({(low[axis] + flush, high[axis] + flush) for low, high in corners}):
        runs += [", "] if runs else []
        runs.append(length_figure(figure, low, job.display, at))
        runs += ["–", length_figure(figure, high, job.display, at)] if low != high else []
    return runs


def _corners(shown: Shown | None, feature: Feature, piece: PlacedPiece) -> tuple[Spot, Spot]:
    """Where a cut begins and ends; of one that goes in at an angle the middle of its mouth, for a bit is set there."""
    if shown is None:
        return place_key(feature)
    slant = shown.cuboid.slant
    if slant is not None and not shown.cuboid.adds and not is_let_in(shown.cuboid):
        return slant.centre, slant.centre
    return _to_shoulder(shown, piece)


def _face_of(shown: Shown | None, feature: Feature, piece: PlacedPiece) -> Face:
    """The face that a cut is in; of what stands out the end or the edge it stands out of."""
    if shown is None:
        return feature.face if isinstance(feature, Bore) else Face.FACE
    if not shown.cuboid.adds:
        return shown.face
    lo, hi, size = shown.cuboid.lo, shown.cuboid.hi, piece.size
    out = [face_of(k, high) for k in range(3) for high in (False, True) if (hi[k] > size[k] if high else lo[k] < ZERO)]
    return out[0] if out else shown.face
