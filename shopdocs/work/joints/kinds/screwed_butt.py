"""Screwed butt."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Severity
from shopdocs.core.turn import near
from shopdocs.model.joining import OPPOSITE, the_face
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, area, middle, overhang
from shopdocs.work.joints.lying import lying
from shopdocs.work.space.placed import Bore, FeatureKind, PlacedPiece, side_of
from shopdocs.work.space.slanting import Passed, Side, Sides, passed, wood_at

LEAST_WOOD = Length(3)  # before the tip of a screw (common practice, no source)


def screwed_butt(frame: Frame, sizes: JointSizes) -> Joinery:
    """`count` screws through the receiving piece into the entering one. `thickness` is the clearance hole, `width` the
    pilot hole, `length` the screw; holes whose diameter is not given are left to the screw tables, by `centres`."""
    u = middle(frame.shared_u)
    centres = tuple(frame.centre(u, place) for place in frame.spread(sizes.count))
    entering: list[Bore] = []
    receiving: list[Bore] = []
    doubts = overhang(frame)
    doubts += _too_short_or_long(frame.entering, frame.receiving, sizes, frame.depth, frame.entering.extent[frame.n])
    for centre in centres:
        if sizes.thickness is not None:
            outside = OPPOSITE[frame.meets]
            receiving.append(
                frame.bore(frame.receiving, FeatureKind.SCREW_HOLE, centre, outside, sizes.thickness, None, sizes.name)
            )
        if sizes.width is not None and sizes.length is not None and sizes.length > frame.depth:
            deep = sizes.length - frame.depth
            entering.append(
                frame.bore(frame.entering, FeatureKind.PILOT_HOLE, centre, frame.enters, sizes.width, deep, sizes.name)
            )
    shared = area(frame.shared_u[1] - frame.shared_u[0], frame.shared_v[1] - frame.shared_v[0])
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        tuple(entering),
        tuple(receiving),
        centres=centres,
        glue_area=shared,
        doubts=tuple(doubts),
    )


def at_an_angle(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes, sides: Sides) -> Joinery:
    """The same where the two do not stand square to the build: the screws go in square to the outside of the receiving
    piece, and keep their line in the entering one, square to where it lies against the other."""
    on = lying(entering, receiving, sides)
    if isinstance(on, Doubt):
        return Joinery(sizes.kind, None, None, doubts=(on,))
    axis = side_of(on.meets)[0]
    if axis == 0:
        wrong = f"the screws would go through {receiving.mark} along its whole length"
        right = f"join {receiving.mark} into {entering.mark}, so that they go through the other one"
        return Joinery(sizes.kind, on.enters, on.meets, doubts=(Doubt("screws-along", wrong, right),))
    depth, outside = receiving.size[axis], OPPOSITE[on.meets]
    centres = on.spread_out(sizes.count)
    found = [passed(entering, sides(entering), spot, on.way) for spot in centres]
    lines = [line for line in found if line is not None]
    pilots: list[Bore] = []
    clearances: list[Bore] = []
    for spot, line in zip(centres, lines, strict=False):
        if sizes.thickness is not None:
            at = list(receiving.spot_in_piece(spot))
            at[axis] = receiving.size[axis] if side_of(outside)[1] else Length(0)
            mouth = (at[0], at[1], at[2])
            clearances.append(Bore(FeatureKind.SCREW_HOLE, outside, mouth, sizes.thickness, None, sizes.name))
        if sizes.width is not None and sizes.length is not None and sizes.length > depth:
            kind, deep = FeatureKind.PILOT_HOLE, sizes.length - depth
            pilots.append(Bore(kind, line.enters, line.mouth, sizes.width, deep, sizes.name, slanting=line.slanting))
    room = min((_wood_along(line) for line in lines), default=Length(0))
    doubts = _too_short_or_long(entering, receiving, sizes, depth, room)
    doubts += [] if doubts else _near_a_face(entering, sizes, depth, lines, sides(entering))
    return Joinery(
        sizes.kind,
        on.enters,
        on.meets,
        tuple(pilots),
        tuple(clearances),
        centres=tuple(centres),
        glue_area=Fraction(near(on.area).mm),
        doubts=tuple(doubts),
    )


def _near_a_face(
    entering: PlacedPiece, sizes: JointSizes, depth: Length, lines: Sequence[Passed], own: Sequence[Side]
) -> list[Doubt]:
    """Screws whose tips come near another face of the piece that they bite in."""
    thick = sizes.width or sizes.thickness
    if sizes.length is None or thick is None:
        return []
    deep = (sizes.length - depth).float_mm()
    tips = [[v.float_mm() + deep * w for v, w in zip(line.mouth, line.way, strict=True)] for line in lines]
    found = [
        wood_at(own, tip, line.way, thick.float_mm() / 2, line.enters) for tip, line in zip(tips, lines, strict=True)
    ]
    face, wood = min(found, key=lambda one: one[1])
    if wood >= LEAST_WOOD.float_mm():
        return []
    right = f"take shorter screws, or move the piece; leave at least {exact_text(LEAST_WOOD)} (common practice)"
    if wood <= 0:
        wrong = f"the screws come out of {the_face(face)} of {entering.mark}"
        return [Doubt("screw-too-long", wrong, right)]
    wrong = (
        f"the tips of the screws come within {exact_text(near(round(wood, 1)))} of {the_face(face)} of {entering.mark}"
    )
    return [Doubt("thin-wall", wrong, right, Severity.WARNING)]


def _wood_along(line: Passed) -> Length:
    """How far a screw can go in along its line before it comes out again."""
    away = [(b - a).float_mm() for a, b in zip(line.mouth, line.exit, strict=True)]
    return near(sum(a * b for a, b in zip(away, line.way, strict=True)))


def _too_short_or_long(
    entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes, depth: Length, room: Length
) -> list[Doubt]:
    """Screws that do not reach through what they go through, or come out of what they bite in."""
    if sizes.length is None:
        return []
    long, doubts = exact_text(sizes.length), []
    if sizes.length <= depth:
        wrong = f"the screws are {long} long, {receiving.mark} is {exact_text(depth)} thick"
        doubts.append(Doubt("screw-too-short", wrong, "take longer screws or counterbore"))
    through = depth + room
    if sizes.length > through:
        wrong = f"the screws are {long} long and come out of {entering.mark}, by {exact_text(sizes.length - through)}"
        doubts.append(Doubt("screw-too-long", wrong, f"take screws shorter than {exact_text(through)}"))
    return doubts


GEOMETRY = Geometry(screwed_butt, askew=at_an_angle)
