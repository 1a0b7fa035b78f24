"""Boards that are tipped: how far, the line of each end on its side, and a guide at full size for what is cut there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

from shopdocs.blocks.drawing import Drawing, FullScale, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.core.angle import Angle
from shopdocs.core.display import trimmed
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position
from shopdocs.documents.borings import angle_figure, runs_left
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.fitting.askew_cuts import AskewCut, askew_cuts
from shopdocs.documents.fitting.off_square import MOST_ACROSS, along_word, is_open_mortise, open_mortise_words
from shopdocs.documents.job import Job
from shopdocs.model.joining import FACE_NAMES, the_face
from shopdocs.model.joint_names import Trait
from shopdocs.model.parts import Tilt
from shopdocs.work.joints.tipped import line_on
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.let_in import Flat, axes_of, is_let_in, marked_side, off_square
from shopdocs.work.space.placed import Cuboid, PlacedPiece, face_of, side_of
from shopdocs.work.space.tipped_board import TippedPiece

TIPPED = (
    "A tilt counts from level, or from plumb for what stands. The ends of such a board are square: the angle is struck "
    "on the side that it goes to. Set the bevel, or the slope, lay its stock on the edge of the side, and strike the "
    "line through the two places that the drawing of the side gives; they check each other."
)
OVER = "square the ends of the line over the edges, and strike it on the other face, too"
AROUND = Length(12)  # of wood that a guide shows round what is cut
SAME = Length("0.01")  # sides as long as each other, but for rounding
NEAR_EDGE = Length(90)  # a guide reaches to an edge that lies no farther from what is cut
_WAYS = {(0, True): "the front", (0, False): "the rear", (1, True): "the right", (1, False): "the left"}


class EndLine(Struct, frozen=True):
    """The line of a tipped board's end on the side that it goes to: how far it lies off a line squared across that
    face, in degrees (90 along it), and what joint it is for."""

    side: str
    off: float
    kind: str
    at: Position


def end_lines(job: Job) -> Iterator[EndLine]:
    """The line of every end of a tipped board that is joined to what stands plumb."""
    if job.space is None:
        return
    for joint, meeting in job.build.meetings():
        board, side = (job.space.pieces.get(mark) for mark in (meeting.entering, meeting.receiving))
        if not isinstance(board, TippedPiece) or side is None or isinstance(side, AskewPiece):
            continue
        made = job.space.joinery.get(meeting.number)
        if made is not None and made.meets is not None:
            way, axis = line_on(board, side), side_of(made.meets)[0]
            first, second = (k for k in range(3) if k != axis)
            off = math.degrees(math.atan2(abs(way[first]), abs(way[second])))
            yield EndLine(side.mark, off, joint.kind.value, joint.at)


def laps_askew(job: Job) -> Iterator[AskewCut]:
    """Every lap or bridle of two pieces that lie over each other at an angle."""
    return (cut for cut in askew_cuts(job) if is_let_in(cut.cuboid) and Trait.OVERLAPS in cut.cuboid.kind.traits)


def tilts_table(job: Job) -> Table | None:
    """What is tipped, how far and which way; None where nothing is."""
    alike: dict[tuple[int, Fraction], list[tuple[str, Tilt]]] = {}
    for _, piece in job.build.pieces():
        tilt = piece.place.tilt if piece.place is not None else None
        if tilt is not None:
            alike.setdefault((tilt.axis, tilt.slope), []).append((piece.mark, tilt))
    if not alike:
        return None
    columns = (
        Column("Tipped", share=1.6, strong=True),
        Column("Tilt, °", "right", share=0.5, strong=True),
        Column("Slope, 1 in", "right", share=0.5),
        Column("What looks up goes to", share=1.0),
    )
    rows = []
    for (axis, slope), pieces in alike.items():
        marks, tilt = [mark for mark, _ in pieces], pieces[0][1]
        angle = Angle(abs(slope))
        rows.append(
            Row(
                (
                    Cell.of(marks_text(marks, 12)),
                    Cell.of(angle_figure(f"tilt of {marks[0]}", angle.degrees, tilt.at)),
                    Cell.of(trimmed(angle.one_in, 2)),
                    Cell.of(_WAYS[axis, slope > 0]),
                )
            )
        )
    return Table("tipped", columns, (Group(tuple(rows)),))


def guides(job: Job) -> Iterator[FullScale]:
    """A guide at full size for every housing and mortise that lies askew; one serves all that are alike."""
    told: dict[tuple[object, ...], list[AskewCut]] = {}
    for found in askew_cuts(job):
        other = Trait.SHOULDERED in found.cuboid.kind.traits and side_of(found.slant.face)[1]
        if is_let_in(found.cuboid) and not other:
            told.setdefault(_alike(found), []).append(found)
    for group in told.values():
        yield _guide(job, group)


def _alike(one: AskewCut) -> tuple[object, ...]:
    """What must be the same for one guide to serve: all but how far from end A it lies. What runs from edge to edge
    looks the same turned half round, so that a guide for it serves on any face and any piece of that width."""
    first, second = axes_of(one.slant)
    piece, slant = one.piece, one.slant
    if _runs_over(one):
        sizes = slant.thick, slant.deep or ZERO, piece.size[second]  # all else follows from these and the angle
        off = round(off_square(one.cuboid), 1)
        return one.cuboid.kind, _rises(one), off, *(round(size.float_mm(), 1) for size in sizes)
    return (
        piece.part,
        piece.pose.right_handed,
        slant.face,
        slant.thick,
        slant.wide,
        slant.deep,
        tuple(round(v, 6) for v in slant.across),
        slant.centre[second],
        piece.size[second],
        one.cuboid.size[first],
    )


def _runs_over(one: AskewCut) -> bool:
    """Whether a lap or the like runs from edge to edge, between two sides that lie the same way."""
    assert one.cuboid.flare is not None
    _, second = axes_of(one.slant)
    whole = one.piece.size[second]
    spots = [spot for side in one.cuboid.flare.waste for spot in (side.start, side.end)]
    runs = [[along for along, across in spots if across == level] for level in (ZERO, whole)]
    if Trait.OVERLAPS not in one.cuboid.kind.traits or {across for _, across in spots} != {ZERO, whole}:
        return False
    low, high = (max(run) - min(run) for run in runs)
    return abs(high - low) <= SAME


def _rises(one: AskewCut) -> bool:
    """Whether its line rises to the right, as one looks at the face with an edge below."""
    (a, b), (c, d) = marked_side(one.cuboid)
    return ((c - a) * (d - b).mm > ZERO) != runs_left(one.piece, one.slant.face)


def _guide(job: Job, group: list[AskewCut]) -> FullScale:
    one, display = group[0], job.display
    slant, cuboid = one.slant, one.cuboid
    first, off = axes_of(slant)[0], off_square(cuboid)
    name = f"guide of joint {one.number}"
    size = display.bare_size(slant.thick, slant.wide if slant.wide is not None else slant.thick)
    deep = "through" if slant.deep is None else f"{display.bare(slant.deep)} deep"
    cut = open_mortise_words(cuboid, display) if is_open_mortise(cuboid) else f"{size}, {deep}"
    across = off <= MOST_ACROSS
    angle = angle_figure(f"{name} · {'off square' if across else 'off the edge'}", off if across else 90 - off, one.at)
    several = len({(each.piece.part, each.slant.face) for each in group}) > 1
    levels: dict[tuple[Length, str], list[AskewCut]] = {}
    for each in sorted(group, key=lambda each: each.slant.centre[first]):
        face = the_face(each.slant.face) if several else ""
        levels.setdefault((each.slant.centre[first], face), []).append(each)
    places = [
        length_figure(f"{name} · {alike[0].enters}", at, display, alike[0].at) for (at, _), alike in levels.items()
    ]
    told = ", ".join(
        f"{place.shown} on {face} of {marks_text([each.piece.mark for each in alike], 6)}"
        if face
        else f"{place.shown} for {marks_text([each.enters for each in alike], 6)}"
        for place, ((_, face), alike) in zip(places, levels.items(), strict=True)
    )
    facts = (
        f"{cuboid.kind} {cut}",
        f"{angle.shown}° off {'square' if across else f'the {along_word(slant.face)}'}",
        f"square a line across, from {FACE_NAMES[face_of(first, False)]} in {display.units}: {told}",
        "lay the dashed middle line on it, the heavy line on its edge; prick the corners through",
        *(OVER,) * (Trait.SHOULDERED in cuboid.kind.traits),
    )
    marks = list(dict.fromkeys(each.piece.mark for each in group))
    title = f"Guide for {marks_text(marks, 8)}" + ("" if several else f", {FACE_NAMES[slant.face]}")
    return FullScale(title, _drawn(one, several), facts, f"guide-{one.number}", (angle, *places))


def _drawn(one: AskewCut, several: bool = False) -> Drawing:
    """The outline of what is cut, the edge beside it, a line squared across its middle, and the line struck; without
    names of edges and ends where it serves `several` faces."""
    slant, piece, cuboid = one.slant, one.piece, one.cuboid
    assert cuboid.flare is not None
    first, second = axes_of(slant)
    level = slant.centre[first]
    along, beside = (cuboid.lo[first] - AROUND, cuboid.hi[first] + AROUND), _beside(cuboid, piece, second)
    mirrored, struck = runs_left(piece, slant.face), _struck(cuboid)
    wide, tall = along[1] - along[0], beside[1] - beside[0]

    def at(a: Length, b: Length) -> Point:
        """A place of the face as it is seen from outside."""
        return (along[1] - a if mirrored else a - along[0]), b - beside[0]

    shapes: list[Shape] = [
        Polygon(tuple(at(along[x], beside[y]) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))), Stroke.HIDDEN),
        Line(at(level, beside[0]), at(level, beside[1]), Stroke.CENTRE),
        Polygon(tuple(at(*side.start) for side in cuboid.flare.waste), Stroke.VISIBLE),
        Line(at(*struck[0]), at(*struck[1]), Stroke.CENTRE),
    ]
    for high in (False, True):
        level_ = piece.size[second] if high else ZERO
        if beside[high] == level_:
            shapes.append(Line(at(along[0], level_), at(along[1], level_), Stroke.REFERENCE))
            middle = at((along[0] + along[1]) / 2, level_)
            word = "edge" if several else FACE_NAMES[face_of(second, high)]
            shapes.append(Words(middle, word.upper(), 7.0, strong=True, boxed=True))
    if several:
        return Drawing("", wide, tall, tuple(shapes))
    end, (x, y) = FACE_NAMES[face_of(first, False)], at(along[0], beside[0] if beside[0] > ZERO else beside[1])
    up = -4.0 if y.mm else 2.0
    if mirrored:
        shapes.append(Words((x, y), f"{end} →", 7.0, "right", dx_mm=-2.0, dy_mm=up))
    else:
        shapes.append(Words((x, y), f"← {end}", 7.0, "left", dx_mm=2.0, dy_mm=up))
    return Drawing("", wide, tall, tuple(shapes))


def _beside(cuboid: Cuboid, piece: PlacedPiece, axis: int) -> tuple[Length, Length]:
    """The stretch across the face that a guide shows: as far as the edges that are near, at least to the nearer one."""
    low, high, whole = cuboid.lo[axis], cuboid.hi[axis], piece.size[axis]
    nearer = low <= whole - high
    return (
        ZERO if nearer or low <= NEAR_EDGE else low - AROUND,
        whole if not nearer or whole - high <= NEAR_EDGE else high + AROUND,
    )


def _struck(cuboid: Cuboid) -> tuple[Flat, Flat]:
    """The marked side, a little longer at both ends."""
    (a, b), (c, d) = marked_side(cuboid)
    share = Fraction(1, 25)
    return (a - (c - a) * share, b - (d - b) * share), (c + (c - a) * share, d + (d - b) * share)
