"""Joints of pieces that meet at an angle because one of them leans: a tenon at a shoulder off square.

The tenon runs on along its own piece, whatever the angle; the mortise goes in at that angle. The shoulder is the face
of the other piece. A leg has a level shoulder at the underside of its seat, a stretcher one that lies on its leg.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from shopdocs.core.display import exact_text
from shopdocs.core.length import PI, ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.core.turn import Vector, dot, near
from shopdocs.model.joining import Face, the_face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.joints.frame import (
    SHOULDER_SHARE,
    TENON_DEPTH_SHARE,
    TENON_SHARE,
    THINNEST_WALL,
    Doubt,
    Geometry,
    Joinery,
    JointSizes,
    thin,
)
from shopdocs.work.joints.lying import planes_of
from shopdocs.work.space.askew_piece import way_in_build, way_in_piece
from shopdocs.work.space.leaning_piece import LeaningPiece
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Slant, Spot, face_of, side_of
from shopdocs.work.space.slanting import Sides
from shopdocs.work.space.tipped_board import TippedPiece

# Degrees off square, common practice, no source.
STEEPEST = 45.0  # no bit is led along a steeper line
CHOPPED = 60.0  # a chisel is, as for a brace that stands steeper than it reaches out; beyond it the wood breaks out
HAIR = 0.002  # millimetres: so much less, so that what is rounded never stands out of the face
LEAST = 1e-6  # of a direction: less is none
MISS = 0.05  # millimetres off the other face: more is a miss


@dataclass(frozen=True, slots=True)
class Line:
    """The middle line of a tenon: where it meets the other face, and which way it goes in, in the build. Into a round
    it goes where that faces, `chord` is how far it would come out of it again, `across` its diameter there, and `tilt`
    how steep its side is against its centre line."""

    spot: Vector
    way: Vector
    enters: Face
    meets: Face
    chord: float | None = None
    across: Length | None = None
    tilt: float = 0.0


def leans(piece: PlacedPiece) -> bool:
    """Whether a piece leans."""
    return isinstance(piece, LeaningPiece)


def askew(
    entering: PlacedPiece,
    receiving: PlacedPiece,
    sizes: JointSizes,
    halved: Callable[[PlacedPiece, PlacedPiece, JointSizes, Line], Joinery],
    geometry: Geometry,
    sides: Sides,
) -> Joinery:
    """The joint of two pieces of which one leans; `halved` works out what stands with half of it in either, `geometry`
    what its kind makes of faces that lie on each other, by the `sides` of the pieces."""
    if geometry.askew is not None:
        return geometry.askew(entering, receiving, sizes, sides)
    if not KINDS[sizes.kind].askew:
        wrong = f"{KINDS[sizes.kind].called} cannot join {entering.mark} and {receiving.mark}, which meet at an angle"
        able = [told.called for told in KINDS.values() if told.askew]
        right = f"make it {', '.join(able[:-1])} or {able[-1]}, or let both stand plumb"
        return _none(sizes, Doubt("lean-joint", wrong, right))
    if isinstance(entering, LeaningPiece) and (end := _at_a_side(entering, receiving, sides)) is not None:
        room = KINDS[sizes.kind].room
        return (halved if room is not None and room.halved else joined)(entering, receiving, sizes, end)
    if isinstance(receiving, TippedPiece):
        wrong = f"{entering.mark} leans, and {receiving.mark} is tipped"
        right = f"let {receiving.mark} go into {entering.mark} by an end, or lie level"
        return _none(sizes, Doubt("lean-joint", wrong, right))
    if leans(entering) and leans(receiving):
        wrong = f"{entering.mark} and {receiving.mark} both lean"
        right = f"let the middle of an end of {entering.mark} lie on a side of {receiving.mark}"
        return _none(sizes, Doubt("lean-joint", wrong, right))
    line = _up(entering, receiving) if isinstance(entering, LeaningPiece) else _level(entering, receiving, sizes)
    if isinstance(line, Doubt):
        return _none(sizes, line)
    room = KINDS[sizes.kind].room
    made = halved if room is not None and room.halved else joined
    return made(entering, receiving, sizes, line)


def _at_a_side(leg: LeaningPiece, other: PlacedPiece, sides: Sides) -> Line | None:
    """Along a leaning piece into the side of another that its end is sawn to; None where neither end is."""
    assert leg.lean is not None
    lean, up = leg.lean, leg.turn.z
    for top in (True, False):
        if lean.ends[top] is None:
            continue
        long = 0.0 if top else lean.height.float_mm() / up[2]
        a, b, c = (value.float_mm() - long * u for value, u in zip(lean.top, up, strict=True))
        spot, way = (a, b, c), (up if top else (-up[0], -up[1], -up[2]))
        own = sides(other)
        for side, plane in zip(own, planes_of(other, own), strict=True):
            if side_of(side.face)[0] and dot(plane.out, way) < 0 and abs(plane.over(spot)) <= MISS:
                return Line(spot, way, leg.pose.face_toward(2, top), side.face)
    return None


def _none(sizes: JointSizes, doubt: Doubt) -> Joinery:
    return Joinery(sizes.kind, None, None, doubts=(doubt,))


def _up(leg: LeaningPiece, seat: PlacedPiece) -> Line | Doubt:
    """Along a leaning leg into a piece above its top or below its foot."""
    assert leg.lean is not None
    turn, lean = leg.turn, leg.lean
    for top in (True, False):
        level = lean.top[2] if top else lean.foot
        if (seat.at[2] if top else seat.far[2]) == level:
            spot = [v.float_mm() for v in lean.top]
            if not top:
                long = lean.height.float_mm() / turn.z[2]
                spot = [a - long * b for a, b in zip(spot, turn.z, strict=True)]
            way = turn.z if top else (-turn.z[0], -turn.z[1], -turn.z[2])
            enters = leg.pose.face_toward(2, top)
            return Line((spot[0], spot[1], spot[2]), way, enters, seat.pose.face_toward(2, not top))
    tall = f"{exact_text(lean.foot)} to {exact_text(lean.top[2])}"
    wrong = f"{leg.mark} reaches from {tall}, and {seat.mark} begins at neither"
    side = f"to end at a side of {seat.mark}, place the middle of its top or foot in that side"
    under = f"let it reach to its shoulder: z: {exact_text(lean.foot)} to {seat.mark}.bottom"
    right = under if lean.foot < seat.at[2] else side
    return Doubt("not-touching", wrong, right)


def is_turned_down(piece: PlacedPiece, at_b: bool, sizes: JointSizes) -> bool:
    """Whether the end of a turned piece is as thick as its tenon, so that it has no shoulder."""
    turned = piece.turned
    if turned is None or (turned.end < piece.length if at_b else turned.start > ZERO):
        return False
    return turned.spots[-1 if at_b else 0][1] <= (sizes.thickness or ZERO)


def _level(rail: PlacedPiece, leg: PlacedPiece, sizes: JointSizes) -> Line | Doubt:
    """Along a level piece into a leaning one beside its end. One that is tipped about its own length is level too."""
    assert isinstance(leg, LeaningPiece) and leg.lean is not None
    k = rail.pose.build_axis(0)
    if k == 2:
        wrong = f"{rail.mark} stands upright, and {leg.mark} leans"
        return Doubt("lean-joint", wrong, "into a leaning piece only level rails and stretchers go")
    middle = [v.float_mm() for v in rail.spot_in_build([size / 2 for size in rail.size])]
    normal = (leg.turn.x, leg.turn.y)[k]
    half = leg.size[leg.pose.piece_axis(k)].float_mm() / 2
    top = [v.float_mm() for v in leg.lean.top]
    away = [middle[i] - top[i] if i != k else 0.0 for i in range(3)]
    high = leg.at[k] + leg.far[k] > rail.at[k] + rail.far[k]  # the leg lies beyond the rail's high end
    at = top[k] + ((-half if high else half) - dot(normal, away)) / normal[k]
    end = (rail.far[k] if high else rail.at[k]).float_mm()
    turned_down = is_turned_down(rail, high == rail.pose.length.forward, sizes)
    if rail.turned is not None and not turned_down:
        wrong = f"{rail.mark} is round, and {leg.mark} leans: a shoulder off square cannot be turned"
        return Doubt("round-shoulder", wrong, "turn it down to the diameter of its tenon at that end")
    own = way_in_piece(rail, normal)
    reach = sum(abs(own[i] / own[0]) * rail.size[i].float_mm() / 2 for i in (1, 2))
    reach = 0.0 if turned_down else reach
    long = at + reach if high else at - reach
    if abs(end - long) > MISS or not leg.lean.foot.float_mm() <= middle[2] <= top[2]:
        wrong = f"{rail.mark} does not end at the face of {leg.mark}"
        side = ("left", "front")[k] if high else ("right", "back")[k]
        return Doubt("not-touching", wrong, f"let it end there: {leg.mark}.{side}")
    spot = list(middle)
    spot[k] = at
    way = [0.0, 0.0, 0.0]
    way[k] = 1.0 if high else -1.0
    enters = rail.pose.face_toward(k, high)
    return Line((spot[0], spot[1], spot[2]), (way[0], way[1], way[2]), enters, leg.pose.face_toward(k, not high))


def joined(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes, line: Line) -> Joinery:
    """A tenon along a line, and the mortise for it."""
    thick, wide, doubts = _section(entering, sizes)
    round_ = KINDS[sizes.kind].bored
    mouth, axis = _mouth(receiving, line), side_of(line.meets)[0]
    way = way_in_piece(receiving, line.way)
    straight = abs(way[axis])  # cosine of the angle off square
    through = KINDS[sizes.kind].room is None or (round_ and sizes.length is None)
    depth = receiving.size[axis] if line.chord is None else near(line.chord * straight)
    slope = math.sqrt(max(0.0, 1 - straight * straight)) / straight
    slant = Slant(
        line.meets,
        mouth,
        way,
        _one_way(way_in_piece(receiving, way_in_build(entering, 2))),
        thick,
        None if round_ else wide,
    )
    half = max(thick.float_mm(), wide.float_mm()) / 2
    if through:
        reach = near(depth.float_mm() / straight)
        long = _up_to(near(reach.float_mm() + half * slope), sizes.step) + sizes.proud
    else:
        reach = long = sizes.length or sizes.about(depth * TENON_DEPTH_SHARE)
        slant = replace(slant, deep=long + sizes.room)
        left = near(depth.float_mm() - (long + sizes.room).float_mm() * straight - half * slope * straight)
        doubts += thin("thin-floor", f"the mortise in {receiving.mark}", left, "shorten the tenon")
    doubts += steep(entering, receiving, straight, STEEPEST if round_ else CHOPPED)
    doubts += inside(entering, receiving, slant, through, line.across)
    bare = is_turned_down(entering, line.enters is Face.B, sizes)
    back = near(thick.float_mm() / 2 * (slope + line.tilt) + MISS) if bare else ZERO
    tenon = _tenon(entering, line, long, thick, wide, round_, sizes.name, back)
    if through and tenon.slant is not None:
        flush = _flush(entering, receiving, line, reach + sizes.proud)
        tenon = replace(tenon, slant=replace(tenon.slant, flush=flush))
    kinds = (FeatureKind.ROUND_MORTISE, FeatureKind.MORTISE)
    cut = Cuboid(kinds[not round_], *block(receiving, slant), False, sizes.name, slant=slant)
    around = PI * thick.mm if round_ else 2 * (thick.mm + wide.mm)
    size = entering.size[0]
    added = max(tenon.hi[0] - size, -tenon.lo[0], ZERO)
    return Joinery(
        sizes.kind,
        line.enters,
        line.meets,
        (tenon,),
        (cut,),
        added,
        ZERO if through else sizes.room,
        glue_area=around * reach.mm,
        long_grain=around * reach.mm / 2,
        doubts=tuple(doubts),
        stops=side_ways(entering, line),
    )


def _one_way(across: Vector) -> Vector:
    """Of a direction and its opposite always the same one, so that equal mortises are equal."""
    a, b, c = across
    first = next((value for value in across if abs(value) > LEAST), 1.0)
    return across if first > 0 else (-a + 0.0, -b + 0.0, -c + 0.0)


def _section(piece: PlacedPiece, sizes: JointSizes) -> tuple[Length, Length, list[Doubt]]:
    """Thickness and width of the tenon, both the diameter of a round one."""
    if KINDS[sizes.kind].bored:
        least = min(piece.width, piece.thickness)
        thick = sizes.thickness or sizes.about(least / 2)
        wide = thick
    else:
        thick = sizes.thickness or sizes.about(piece.thickness * TENON_SHARE)
        shoulder = sizes.shoulder if sizes.shoulder is not None else sizes.about(piece.width * SHOULDER_SHARE)
        wide = sizes.width or piece.width - shoulder * 2
    doubts = []
    if thick > piece.thickness or wide > piece.width or wide <= ZERO:
        wrong = f"a tenon of {exact_text(thick)} x {exact_text(wide)} does not fit on {piece.mark}"
        doubts.append(Doubt("tenon-too-thick", wrong, "make it smaller than its piece"))
    return thick, wide, doubts


def _mouth(piece: PlacedPiece, line: Line) -> Spot:
    """The middle of the mortise on the face of the receiving piece, in its coordinates, to 1/1000 mm."""
    found = list(piece.spot_in_piece(tuple(near(v) for v in line.spot)))
    axis, high = side_of(line.meets)
    if line.chord is None:
        found[axis] = piece.size[axis] if high else ZERO
    return (found[0], found[1], found[2])


def _tenon(
    piece: PlacedPiece,
    line: Line,
    long: Length,
    thick: Length,
    wide: Length,
    round_: bool,
    name: str,
    back: Length = ZERO,
) -> Cuboid:
    """The tenon in piece coordinates, from behind its shoulder to its tip; it is `long` from the middle of that. One
    without a shoulder begins `back` in its piece, where the other is not met yet on any side."""
    size, high = piece.size, line.enters is Face.B
    shoulder = piece.spot_in_piece(tuple(near(v) for v in line.spot))[0]
    past = size[0] - shoulder if high else shoulder  # the long point beyond the middle
    along = (shoulder - past, shoulder + long) if high else (shoulder - long, shoulder + past)
    if back:
        along = (shoulder - back, along[1]) if high else (along[0], shoulder + back)
    lo = (along[0], (size[1] - wide) / 2, (size[2] - thick) / 2)
    hi = (along[1], (size[1] + wide) / 2, (size[2] + thick) / 2)
    way = (1.0 if high else -1.0, 0.0, 0.0)
    slant = Slant(
        line.enters, (shoulder, size[1] / 2, size[2] / 2), way, (0.0, 0.0, 1.0), thick, None if round_ else wide
    )
    return Cuboid((FeatureKind.TENON, FeatureKind.ROUND_TENON)[round_], lo, hi, True, name, slant=slant)


def _flush(entering: PlacedPiece, receiving: PlacedPiece, line: Line, reach: Length) -> tuple[Vector, Vector]:
    """The plane that a through tenon is sawn off at: parallel to the face it comes out of, in entering coordinates."""
    far = [a + (reach.float_mm() - HAIR) * b for a, b in zip(line.spot, line.way, strict=True)]
    a, b, c = (v.float_mm() for v in entering.spot_in_piece([near(v) for v in far]))
    axis, high = side_of(line.meets)
    out = way_in_build(receiving, axis)
    away = tuple(-v for v in out) if high else out
    return (a, b, c), way_in_piece(entering, away)


def side_ways(entering: PlacedPiece, line: Line) -> tuple[tuple[int, bool], ...]:
    """The ways of the build in which what goes in along a line cannot be drawn off: all but back along its piece."""
    main = entering.pose.build_axis(0)
    free = (main, line.way[main] < 0)
    return tuple((k, high) for k in range(3) for high in (False, True) if (k, high) != free)


def block(piece: PlacedPiece, slant: Slant) -> tuple[Spot, Spot]:
    """The box round the rim of a mortise, as deep as it goes square to its face."""
    axis, high = side_of(slant.face)
    rim = slant.mouth()
    lo, hi = ([near(pick(spot[k] for spot in rim)) for k in range(3)] for pick in (min, max))
    size = piece.size[axis]
    deep = size if slant.deep is None else near(slant.deep.float_mm() * abs(slant.way[axis]))
    at = slant.centre[axis]
    lo[axis], hi[axis] = (max(at - deep, ZERO), at) if high else (at, min(at + deep, size))
    return (lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])


def steep(entering: PlacedPiece, receiving: PlacedPiece, straight: float, most: float = STEEPEST) -> list[Doubt]:
    """The doubt, if any, about pieces that meet too far off square; `straight` is the cosine of the angle."""
    degrees = math.degrees(math.acos(min(1.0, straight)))
    if round(degrees, 3) <= most:  # a lean of just so many may be written
        return []
    wrong = f"{entering.mark} meets {receiving.mark} {degrees:.1f}° off square"
    if degrees <= CHOPPED:
        return [
            Doubt("lean-steep", wrong, f"at most {most:g}° is bored: make it a mortise and tenon, which is chopped")
        ]
    return [Doubt("lean-steep", wrong, f"at most {CHOPPED:g}°: bring it nearer to square, or lap it over the other")]


def inside(
    entering: PlacedPiece, receiving: PlacedPiece, slant: Slant, through: bool, across: Length | None = None
) -> list[Doubt]:
    """Whether the mortise has wood all round on its face, and where it comes out; in a round, `across` it."""
    axis, high = side_of(slant.face)
    levels: list[Length | None] = [None]
    if through and across is None:
        levels.append(ZERO if high else receiving.size[axis])
    less = [0.0, 0.0, 0.0]
    if across is not None:
        less[3 - axis] = (receiving.size[3 - axis] - across).float_mm() / 2
    for level in levels:
        rim = slant.mouth(level)
        spare = min(
            min(min(spot[k] for spot in rim), receiving.size[k].float_mm() - max(spot[k] for spot in rim)) - less[k]
            for k in range(3)
            if k != axis
        )
        if near(spare) <= ZERO:
            where = "misses" if level is None else "comes out beside"
            past = f"runs {exact_text(near(-spare))} past" if near(spare) < ZERO else "runs out at"
            wrong = f"{entering.mark} {where} {receiving.mark}: its mortise {past} the edge"
            right = "move it inward, let it lean less, or make the other wider"
            return [Doubt("lean-misses", wrong, right)]
        if spare < THINNEST_WALL.float_mm():
            wrong = f"the mortise for {entering.mark} leaves {exact_text(near(spare))} of wood in {receiving.mark}"
            right = "common practice leaves at least 6 mm or 1/4 in: move it inward, or make the tenon thinner"
            return [Doubt("thin-wall", wrong, right, Severity.WARNING)]
    return [] if through or across is not None else _at_the_floor(entering, receiving, slant)


def _at_the_floor(entering: PlacedPiece, receiving: PlacedPiece, slant: Slant) -> list[Doubt]:
    """Whether a mortise that goes in at an angle keeps its wall as far as its floor, beside it."""
    axis, _ = side_of(slant.face)
    deep = (slant.deep or ZERO).float_mm()
    rim = [[value + deep * way for value, way in zip(spot, slant.way, strict=True)] for spot in _section_rim(slant)]
    beside = {
        face_of(k, high): min((receiving.size[k].float_mm() - spot[k]) if high else spot[k] for spot in rim)
        for k in range(3)
        if k != axis
        for high in (False, True)
    }
    face, spare = min(beside.items(), key=lambda one: one[1])
    if spare >= THINNEST_WALL.float_mm():
        return []
    right = "move it away from there, let it lean less, or make the tenon shorter or thinner"
    if near(spare) <= ZERO:
        wrong = f"the mortise for {entering.mark} comes out of {the_face(face)} of {receiving.mark} at its floor"
        return [Doubt("lean-misses", wrong, right)]
    wrong = f"the mortise for {entering.mark} comes within {exact_text(near(spare))} of {the_face(face)}"
    wrong += f" of {receiving.mark} at its floor"
    return [Doubt("thin-wall", wrong, f"{right}; common practice leaves at least 6 mm or 1/4 in", Severity.WARNING)]


def _section_rim(slant: Slant) -> tuple[Vector, ...]:
    """The rim of a mortise as it is seen along it, about the middle of its mouth."""
    level = replace(slant, out=(-slant.way[0], -slant.way[1], -slant.way[2]))
    return level.mouth()


def _up_to(length: Length, step: Length) -> Length:
    """The next whole number of steps that is no less."""
    return step * -(-length.mm // step.mm)
