"""Patterns of a part of a piece: a rounded corner, what is cut out of a face, an end off square. The rest of the piece
is square, and its outline needs no paper.

Each holds to an end or an edge that one can lay a square to; dashed sides are where the paper ends and the wood goes
on. A piece whose outline is drawn whole has these on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct, field

from shopdocs.core.curves import off_a_corner
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.core.loops import Loop, less, rectangle
from shopdocs.core.outline import Outline, Point, Side
from shopdocs.documents.figures import marks_text
from shopdocs.documents.job import Job
from shopdocs.model.joining import FACE_NAMES, Face
from shopdocs.model.parts import Part
from shopdocs.work.scene.outlines import SEEN_ON, is_corner, is_cut_out, moved_cut_out, moved_waste, shaping_axis
from shopdocs.work.scene.own_cuts import own_cuts, own_name
from shopdocs.work.space.placed import OWN, Cuboid, FeatureKind, Spot, face_of, side_of

BESIDE = Length(60)  # of the piece that a pattern shows beside what is worked: room for a lip and for words
ROUND_A_HOLE = Length(30)  # the same round a cut-out
END_WITHIN = Length(300)  # an end so near to a cut-out is on its pattern, to measure from (common practice, no source)
WHOLE_WIDTH = Length(200)  # a face no wider is on it over its whole width


class Detail(Struct, dict=True):
    """One of them: the outline of the paper, `low` and `high` in true places of the face it is laid on; the names of
    its ends, empty where the wood goes on; the sides where the paper only stops; the pieces it serves."""

    what: str
    part: Part
    face: Face
    outline: Outline
    ends: tuple[str, str]
    rest: frozenset[Side]
    facts: tuple[str, ...]
    edge: str
    marks: list[str] = field(default_factory=list)

    @property
    def title(self) -> str:
        """What it is called on the sheet and on the paper."""
        return f"{marks_text(self.marks, 12)} · {self.what}"


def has_details(job: Job) -> bool:
    """Whether anything is worked that gets one."""
    return next(details(job), None) is not None


def details(job: Job) -> Iterator[Detail]:
    """All of them, each once for the pieces that it serves."""
    found: dict[object, Detail] = {}
    cuts = own_cuts(job.build)
    follows = {own_name(cut) for cut in job.build.cuts if cut.follows}
    for part, piece in job.build.pieces():
        own = [cut for cut in cuts.get(piece.mark, ()) if cut.joint not in follows]
        for detail in _of_piece(part, own, job.display):
            kept = found.setdefault((detail.what, detail.face, detail.outline, detail.ends), detail)
            if piece.mark not in kept.marks:
                kept.marks.append(piece.mark)
    yield from found.values()


def _of_piece(part: Part, cuts: Sequence[Cuboid], display: Display) -> Iterator[Detail]:
    size = part.length, part.width, part.thickness
    shaped = {shaping_axis(cut) for cut in cuts}
    for axis, face in SEEN_ON.items():
        if axis in shaped:
            continue
        for cut in cuts:
            if cut.kind is FeatureKind.ROUNDING and is_corner(cut, size, axis):
                yield _corner(part, cut.size[0], face, min(size[0], size[axis]), display)
            elif is_cut_out(cut, size, axis):
                yield _hole(part, cut, cuts, size, axis, face)
            elif cut.kind is FeatureKind.END_CUT:
                yield from _end(part, cut, size, axis, face)


def _corner(part: Part, radius: Length, face: Face, least: Length, display: Display) -> Detail:
    """A square corner of the paper, rounded; it serves every corner of that radius, turned over where it has to be."""
    wide = min(radius + BESIDE, least)
    square = rectangle((ZERO, ZERO), (wide, wide))
    (loop,) = less([square], [off_a_corner((ZERO, ZERO), (radius, radius))])
    rest = frozenset(side for side in loop if wide in (side.start[0], side.start[1]) and _on(side, wide))
    said = display.bare(radius)
    facts = (f"Radius {said}: for each of these corners; turn it over where the other edge is to the left",)
    what = f"rounded corner, radius {said} {display.units}"
    return Detail(what, part, Face.FACE, Outline(wide, wide, loop), ("END", ""), rest, facts, "EDGE")


def _on(side: Side, wide: Length) -> bool:
    """Whether a side runs along the right or the upper border."""
    return any(side.start[k] == side.end[k] == wide for k in (0, 1))


def _hole(part: Part, cut: Cuboid, every: Sequence[Cuboid], size: Spot, axis: int, face: Face) -> Detail:
    """What is cut out, with the nearest end and the nearer edge to hold to."""
    (low, high), near_end = _window(cut.lo[0], cut.hi[0], size[0], END_WITHIN)
    bottom, top = ZERO, size[axis]
    if size[axis] > WHOLE_WIDTH:
        (bottom, top), _ = _window(cut.lo[axis], cut.hi[axis], size[axis], size[axis])

    def is_shown(one: Cuboid) -> bool:
        return low <= one.lo[0] and one.hi[0] <= high and bottom <= one.lo[axis] and one.hi[axis] <= top

    holes = [
        moved_cut_out(one, axis, (-low, -bottom)) for one in every if is_cut_out(one, size, axis) and is_shown(one)
    ]
    wide, tall = high - low, top - bottom
    corners = [
        moved_waste(one, size, axis, (-low, -bottom)) for one in every if is_corner(one, size, axis) and is_shown(one)
    ]
    (loop,) = less([rectangle((ZERO, ZERO), (wide, tall))], corners)
    real = [low == ZERO, high == size[0], bottom == ZERO, top == size[axis]]
    names = ("END A" if near_end and real[0] else "", "END B" if near_end and real[1] else "")
    edges = ("FACE EDGE", "FAR EDGE") if axis == 1 else ("FACE SIDE", "BACK FACE")
    outline, edge = Outline(wide, tall, loop, tuple(holes)), edges[0]
    if not real[2]:  # it holds to the far edge: that is its lower border
        outline, edge, real = outline.turned_over(), edges[1], [*real[:2], real[3], real[2]]
    rest = frozenset(side for side in outline.sides if _stops(side, outline, real))
    name = cut.joint.removeprefix(OWN)
    facts = () if near_end else ("No end is near: set it by the piece drawing",)
    return Detail(f"{part.name} · {name}", part, face, outline, names, rest, facts, edge)


def _stops(side: Side, outline: Outline, real: Sequence[bool]) -> bool:
    """Whether a side lies where the paper stops and not the wood: `real` are the borders at its left, right, bottom and
    top that are ends and edges of the piece."""
    borders = ((0, ZERO), (0, outline.width), (1, ZERO), (1, outline.height))
    return side.centre is None and any(
        not there and side.start[k] == side.end[k] == at for (k, at), there in zip(borders, real, strict=True)
    )


def _window(low: Length, high: Length, whole: Length, within: Length) -> tuple[tuple[Length, Length], bool]:
    """The stretch that a pattern shows of a face: to the nearer end where that is near enough."""
    at_low = low <= whole - high
    near_end = (low if at_low else whole - high) <= within
    start = max(ZERO, low - ROUND_A_HOLE) if not (near_end and at_low) else ZERO
    end = min(whole, high + ROUND_A_HOLE) if not (near_end and not at_low) else whole
    return (start, end), near_end


def _end(part: Part, cut: Cuboid, size: Spot, axis: int, face: Face) -> Iterator[Detail]:
    """An end off square where it shows as a slope on this face: of a compound cut on the face side and on the face
    edge, each as it is there."""
    flare = cut.flare
    if flare is None or flare.only is None:
        return
    other = side_of(flare.only)[0]
    steep = flare.skew if flare.skew_to is not None and other != axis else cut.size[0] - flare.skew
    slopes = flare.skew_to if other != axis else flare.only
    if slopes is None or side_of(slopes)[0] != axis or steep <= ZERO:
        return
    at_end_a = cut.lo[0] <= ZERO
    # it draws in toward the face `only` looks at; the blade's tilt toward `skew_to`, the shorter side
    short_high = side_of(slopes)[1] if slopes is flare.skew_to else not side_of(slopes)[1]
    wide = min(size[0], cut.size[0] + BESIDE)
    low, top = (ZERO, steep) if short_high else (steep, ZERO)
    corners: list[Point] = [(low, ZERO), (wide, ZERO), (wide, size[axis]), (top, size[axis])]
    if not at_end_a:
        corners = [(ZERO, ZERO), (wide - low, ZERO), (wide - top, size[axis]), (ZERO, size[axis])]
    loop: Loop = tuple(Side(one, two) for one, two in zip(corners, [*corners[1:], corners[0]], strict=True))
    rest = frozenset({loop[1] if at_end_a else loop[3]} if wide < size[0] else set())
    ends = ("END A", "") if at_end_a else ("", "END B")
    facts = ("Mark it out on this face and on the one beside it, and saw to both lines",) if flare.skew else ()
    name = cut.joint.removeprefix(OWN)
    edge = "FACE EDGE" if axis == 1 else "FACE SIDE"
    what = f"{part.name} · {name}, {FACE_NAMES[face_of(0, not at_end_a)]}, {FACE_NAMES[face]}"
    yield Detail(what, part, face, Outline(wide, size[axis], loop), ends, rest, facts, edge)
