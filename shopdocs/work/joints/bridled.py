"""Bridles at an angle: two legs at the top of an A, a leg that leans astride a rail.

Both pieces are written over each other, as for a lap at an angle. The entering piece keeps the middle of its thickness
there, as a tenon between two cheek cuts; the receiving one gives up just that, in a mortise open at its end.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Severity
from shopdocs.core.turn import Vector, dot, near
from shopdocs.work.joints.frame import Doubt, Joinery, JointSizes, thin
from shopdocs.work.joints.lapped import ALONG, LEAST_ANGLE, Layer, cut_over, flat_to
from shopdocs.work.joints.lying import FLAT, LEAST, MISS, clipped_by, face_on
from shopdocs.work.joints.tenons import tenon_thickness
from shopdocs.work.shapes.carved import spread
from shopdocs.work.shapes.slopes import Plane, Polygon
from shopdocs.work.space.askew_piece import way_in_build
from shopdocs.work.space.placed import FeatureKind, PlacedPiece
from shopdocs.work.space.slanting import Sides

HORN = Length(25)  # what is left on past a joint to be sawn off flush (common practice, no source)
Way = tuple[int, bool]
WAYS: tuple[Way, ...] = tuple((axis, high) for axis in range(3) for high in (False, True))


def bridled(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes, sides: Sides) -> Joinery:
    """The bridle of two pieces that meet at an angle in one plane, and lie over each other there."""
    flat = flat_to(entering, receiving)
    if flat is None:
        wrong = f"{entering.mark} and {receiving.mark} have no faces that lie in one plane"
        right = "let both lean in one plane, or make it a mortise and tenon"
        return _none(sizes, Doubt("lean-joint", wrong, right))
    mine, theirs, way = flat
    one, two = (Layer.of(piece, axis, way, sides(piece)) for piece, axis in ((entering, mine), (receiving, theirs)))
    shared = clipped_by(face_on(one.planes, one.face(True)), two.around)
    if min(one.high, two.high) - max(one.low, two.low) <= MISS or not shared or spread(shared) < LEAST:
        wrong = f"{entering.mark} does not lie over {receiving.mark}"
        right = f"a bridle at an angle is written to the outside: let {entering.mark} run on across {receiving.mark}, "
        return _none(sizes, Doubt("not-touching", wrong, f"{right}and the mortise is cut to it"))
    thick, doubts = tenon_thickness(entering.mark, entering.size[mine], sizes)
    thick = min(thick, entering.size[mine])
    low = (one.low + one.high - thick.float_mm()) / 2
    span = low, low + thick.float_mm()
    mouth = _mouth(one, two, shared)
    doubts += [*_level(one, two), *mouth.doubts, *_walls(two, span), *_sizes(sizes, entering)]
    between = math.degrees(math.acos(min(1.0, abs(dot(way_in_build(entering, 0), way_in_build(receiving, 0))))))
    if between < LEAST_ANGLE:
        wrong = f"{entering.mark} and {receiving.mark} meet at {between:.1f}°"
        doubts.append(Doubt("lean-steep", wrong, f"at least {LEAST_ANGLE:g}°: let them lean farther apart"))
    cheeks = [
        cut_over(one, shared, _levels(one, *reach), one.looks(upper), FeatureKind.CHEEK_CUT, sizes.name)
        for upper, reach in ((False, (one.low, span[0])), (True, (span[1], one.high)))
        if reach[1] - reach[0] > MISS
    ]
    slot = cut_over(two, mouth.outline, _levels(two, *span), False, FeatureKind.SLOT, sizes.name)
    stops, frees = _ways(one, two, way, mouth.floor.out)
    area = 2 * Fraction(near(spread(shared)).mm)
    return Joinery(
        sizes.kind,
        None,
        None,
        tuple(cheeks),
        (slot,),
        glue_area=area,
        long_grain=area,
        doubts=tuple(doubts),
        stops=stops,
        frees=frees,
    )


def _none(sizes: JointSizes, doubt: Doubt) -> Joinery:
    return Joinery(sizes.kind, None, None, doubts=(doubt,))


def _levels(layer: Layer, low: float, high: float) -> tuple[Length, Length]:
    """A range along the direction that both pieces are flat to, from a piece's own face."""
    ends = (low - layer.low, high - layer.low) if layer.looks(True) else (layer.high - high, layer.high - low)
    return near(ends[0]), near(ends[1])


def _level(one: Layer, two: Layer) -> list[Doubt]:
    """Whether the entering piece stands out past a face of the other."""
    hangs = max(two.low - one.low, one.high - two.high)
    if hangs <= MISS:
        return []
    mine, theirs, whole = one.piece.mark, two.piece.mark, two.high - two.low
    if one.high - one.low > whole + MISS:
        wrong = f"{mine} is {exact_text(near(one.high - one.low))} thick there, {theirs} only {exact_text(near(whole))}"
        return [Doubt("wider-than-its-mate", wrong, f"make {mine} at most {exact_text(near(whole))} thick")]
    wrong = f"{mine} stands {exact_text(near(hangs))} past {theirs}"
    return [Doubt("hangs-over", wrong, "bring the faces of both pieces level, or set the thinner one in between")]


class _Mouth(Struct, frozen=True):
    """The open mortise on the face of its piece, from its floor to the end that it is open at, and what is doubted."""

    outline: Polygon
    floor: Plane
    doubts: tuple[Doubt, ...] = ()


def _mouth(one: Layer, two: Layer, shared: Polygon) -> _Mouth:
    """The open mortise of the receiving piece: sawn from its end, through what is left on there past the tenon."""
    face, sides = face_on(two.planes, two.face(True)), _long_sides(one)
    beyond = [clipped_by(face, [plane.turned()]) for plane in sides]
    far = [max((plane.over(spot) for spot in left), default=0.0) for plane, left in zip(sides, beyond, strict=True)]
    mine, theirs, floor = one.piece.mark, two.piece.mark, sides[far.index(max(far))]
    outline, doubts = clipped_by(face, [floor]), []
    if min(spread(left) if left else 0.0 for left in beyond) >= LEAST:
        horn = exact_text(near(min(far)))
        if min(far) > HORN.float_mm():
            wrong = f"{theirs} runs on {horn} past {mine}, and its mortise is not open at an end"
            right = f"end it at the outside of {mine}, or make it a half lap"
            if sum(_wood_beyond(one, plane) for plane in _long_sides(two)) == 1:
                right = (
                    f"swap from and into, so that {mine}, which ends there, is astride {theirs}; or make it a half lap"
                )
            return _Mouth(shared, floor, (Doubt("bridle-not-at-the-end", wrong, right),))
        wrong = f"{theirs} runs on {horn} past {mine}, on both sides of its open mortise"
        right = f"saw that off flush with {mine} when the glue has set, or end {theirs} there"
        doubts.append(Doubt("bridle-horn", wrong, right, Severity.WARNING))
    if spread(clipped_by(face, sides)) - spread(shared) >= LEAST:
        wrong = f"{mine} ends inside {theirs}, and leaves the open mortise empty beside it"
        doubts.append(Doubt("bridle-short", wrong, f"let {mine} run on to the outside of {theirs}", Severity.WARNING))
    return _Mouth(outline, floor, tuple(doubts))


def _long_sides(layer: Layer) -> list[Plane]:
    """The two sides of a piece that run along it, of those around its face."""
    along = way_in_build(layer.piece, 0)
    return [plane for plane in layer.around if abs(dot(plane.out, along)) < ALONG]


def _ways(one: Layer, two: Layer, way: Vector, floor: Vector) -> tuple[tuple[Way, ...], tuple[Way, ...]]:
    """The ways of the build in which the entering piece cannot be drawn off, and the one nearest to the length of the
    other, where it goes out of the mouth along none of them: as out of a post that leans and is astride a rail."""
    shoulders = [plane.out for plane in _long_sides(two) if _wood_beyond(one, plane)]

    def slides(m: Vector) -> bool:
        clear = dot(m, floor) < FLAT and abs(dot(m, way)) < FLAT
        return clear and all(dot(m, out) > -FLAT for out in shoulders)

    if any(slides(_unit(each)) for each in WAYS):
        return (), ()
    along = way_in_build(two.piece, 0)
    out = along if dot(along, floor) < 0 else (-along[0], -along[1], -along[2])
    free = max(WAYS, key=lambda each: dot(_unit(each), out))
    return tuple(each for each in WAYS if each != free), (free,)


def _unit(way: Way) -> Vector:
    axis, high = way
    found = [0.0, 0.0, 0.0]
    found[axis] = 1.0 if high else -1.0
    return found[0], found[1], found[2]


def _wood_beyond(layer: Layer, plane: Plane) -> bool:
    """Whether a piece goes on past a side of the other."""
    left = clipped_by(face_on(layer.planes, layer.face(True)), [plane.turned()])
    return bool(left) and spread(left) >= LEAST


def _walls(two: Layer, span: tuple[float, float]) -> list[Doubt]:
    """Wood left beside the open mortise."""
    left = near(min(span[0] - two.low, two.high - span[1]))
    return thin("thin-wall", f"the mortise in {two.piece.mark}", left, "make the tenon thinner or move the piece")


def _sizes(sizes: JointSizes, entering: PlacedPiece) -> list[Doubt]:
    """Sizes that mean nothing here."""
    if sizes.length is None and not sizes.proud:
        return []
    what = "its length" if sizes.length is not None else "what stands proud"
    wrong = f"{what} is written, and the tenon of {entering.mark} is as long as it lies over the other piece"
    return [Doubt("bridle-length", wrong, "leave it out: the place of the piece says where it ends")]
