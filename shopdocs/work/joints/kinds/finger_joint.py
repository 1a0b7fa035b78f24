"""Finger joint."""

from __future__ import annotations

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import Face
from shopdocs.model.kinds.finger_joint import disagree, fingers, glued, right_way
from shopdocs.work.joints.corner import Corner, corner_of, no_corner
from shopdocs.work.joints.frame import Doubt, Geometry, Joinery, JointSizes
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece

THINNEST_FINGER = Length(3)  # common practice, no source: a narrower one breaks before the glue holds it


def finger_joint(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes) -> Joinery | None:
    """Fingers of both pieces by turns across their corner: each piece is cut away where the other has one."""
    corner = corner_of(entering, receiving)
    if corner is None:
        return None
    low, high = corner.across
    along, beside = corner.sides
    if entering.pose.build_axis(1) != corner.v:
        return Joinery(sizes.kind, corner.enters, corner.meets, doubts=(_flat(entering, receiving),))
    face_edge_low = entering.pose.look_of(Face.EDGE) == (corner.v, False)
    found = fingers(high - low, sizes.count, sizes.width, entering.thickness)
    spans = [(low + a, low + b) if face_edge_low else (high - b, high - a) for a, b in found]
    mine, theirs = spans[0::2], spans[1::2]
    sides, floors = glued(found, beside, along)
    return Joinery(
        sizes.kind,
        corner.enters,
        corner.meets,
        tuple(_notch(corner, entering, span, sizes.name) for span in theirs),
        tuple(_notch(corner, receiving, span, sizes.name) for span in mine),
        glue_area=sides + floors,
        long_grain=sides,
        doubts=(*corner.doubts, *_doubts(corner, sizes, found)),
    )


def _notch(corner: Corner, piece: PlacedPiece, span: tuple[Length, Length], name: str) -> Cuboid:
    lo, hi = list(corner.lo), list(corner.hi)
    lo[corner.v], hi[corner.v] = span
    return Cuboid(FeatureKind.NOTCH, *piece.range_in_piece(lo, hi), joint=name)


def _flat(entering: PlacedPiece, receiving: PlacedPiece) -> Doubt:
    return Doubt(
        "fingers-flat",
        f"{entering.mark} and {receiving.mark} meet flat, and fingers join boards that stand on edge",
        "make a bridle or a half lap, or turn both pieces on edge",
    )


def _doubts(corner: Corner, sizes: JointSizes, found: list[tuple[Length, Length]]) -> list[Doubt]:
    across = corner.across[1] - corner.across[0]
    wrong = disagree(across, sizes.count, sizes.width)
    if wrong:
        return [Doubt("fingers-do-not-fit", wrong, right_way(across, sizes.count, sizes.width))]
    least = min(b - a for a, b in found)
    if least < THINNEST_FINGER:
        return [
            Doubt(
                "thin-finger",
                f"the thinnest finger is {exact_text(least)} wide",
                f"take fewer or wider ones; common practice makes none thinner than {exact_text(THINNEST_FINGER)}",
                Severity.WARNING,
            )
        ]
    usual = found[0][1] - found[0][0]
    if least * 2 < usual:
        return [
            Doubt(
                "odd-finger",
                f"the last finger is {exact_text(least)} wide, the others {exact_text(usual)}",
                "say how many (count), and all are alike",
                Severity.WARNING,
            )
        ]
    return []


GEOMETRY = Geometry(no_corner, finger_joint)
