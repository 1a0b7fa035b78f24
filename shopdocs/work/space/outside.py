"""Which long faces of a piece look out of the build: nothing of the build lies in front of them, and they look away
from its middle. The back of a rack is seen from the front as well, between the rails, but there one looks into the
rack."""

from __future__ import annotations

from collections.abc import Mapping

from shopdocs.model.joining import Face
from shopdocs.work.space.placed import PlacedPiece, Scene, side_of

LONG_FACES = (Face.FACE, Face.EDGE, Face.BACK, Face.FAR_EDGE)


def outside_faces(scene: Scene) -> Mapping[str, frozenset[Face]]:
    """By mark, the long faces that one can see straight onto in the standing build, from that side of it on which the
    piece lies; both sides of one in the very middle, and the top of any. A face that looks at the floor is none of
    them. What is in front of a face is judged by the bodies of the pieces, without their tenons."""
    import numpy as np

    if not scene.pieces:
        return {}
    low = np.array([solid.body.lo for solid in scene.solids], dtype=np.int64)
    high = np.array([solid.body.hi for solid in scene.solids], dtype=np.int64)
    middle = low.min(axis=0) + high.max(axis=0)  # twice
    found: dict[str, frozenset[Face]] = {}
    for number, piece in enumerate(scene.pieces):
        meets = (low < high[number]) & (high > low[number])  # by axis: whether each piece overlaps this one along it
        clear = []
        for face in LONG_FACES:
            axis, upper = piece.pose.look_of(face)
            beside = meets[:, (axis + 1) % 3] & meets[:, (axis + 2) % 3]
            beyond = high[:, axis] > high[number, axis] if upper else low[:, axis] < low[number, axis]
            off = (low[number] + high[number] - middle)[axis] * (1 if upper else -1)
            looks_out = upper if axis == 2 else off >= 0
            if looks_out and not (beside & beyond).any():
                clear.append(face)
        found[piece.mark] = frozenset(clear)
    return found


def open_cuts(piece: PlacedPiece) -> Mapping[Face, int]:
    """How many mortises, housings and the like are open at each long face of a piece."""
    counts = dict.fromkeys(LONG_FACES, 0)
    for cuboid in piece.cuboids:
        for face in LONG_FACES:
            axis, upper = side_of(face)
            reaches = cuboid.hi[axis] >= piece.size[axis] if upper else not cuboid.lo[axis].mm > 0
            counts[face] += reaches and not cuboid.adds
    return counts
