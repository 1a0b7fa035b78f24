"""Faces and edges of bodies as arrays, made once of a solid and taken for every view of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from shopdocs.core.box import Corner
from shopdocs.work.shapes.convex import Polygon
from shopdocs.work.shapes.lines_about import SlopedEdge
from shopdocs.work.shapes.vectors import Vector

if TYPE_CHECKING:
    import numpy as np

    Floats = np.ndarray[Any, np.dtype[np.float64]]
    Flags = np.ndarray[Any, np.dtype[np.bool_]]
    Numbers = np.ndarray[Any, np.dtype[np.int64]]

_FAN = 6  # sides of a part of a face with many corners


class Faces(NamedTuple):
    """Flat convex faces: their corners (n, most, 3), the last one of each repeated, and where they look (n, 3)."""

    spots: Floats
    outs: Floats

    def looking(self, toward: Corner, home: Corner) -> Faces:
        """Those that look to the eye, moved."""
        seen = along(self.outs, toward) > 1e-9
        return Faces(self.spots[seen] + home, self.outs[seen])


def faces_of(polygons: Sequence[Polygon], outs: Sequence[Vector]) -> Faces:
    """Faces by their corners and the directions they look."""
    import numpy as np

    most = max((len(polygon) for polygon in polygons), default=0)
    padded = [[*polygon, *[polygon[-1]] * (most - len(polygon))] for polygon in polygons]
    spots = np.array(padded, dtype=float).reshape(len(polygons), most, 3)
    return Faces(spots, np.array(outs, dtype=float).reshape(-1, 3))


def shown_faces_of(shown: Iterable[tuple[Polygon, Vector]], fanned: bool) -> Faces:
    """Faces as they screen what is behind them; `fanned`, those with many corners are split into parts of few: all
    are padded to the most corners of any."""
    polygons: list[Polygon] = []
    outs: list[Vector] = []
    for face, out in shown:
        if len(face) > 2:
            parts = list(_fan(face)) if fanned else [face]
            polygons += parts
            outs += [out] * len(parts)
    return faces_of(polygons, outs)


def _fan(face: Polygon) -> Iterator[Polygon]:
    for first in range(1, len(face) - 1, _FAN):
        yield (face[0], *face[first : first + _FAN + 1])


def all_faces(some: Sequence[Faces]) -> Faces:
    """All of them together."""
    import numpy as np

    some = [faces for faces in some if len(faces.outs)]
    if not some:
        return Faces(np.zeros((0, 0, 3)), np.zeros((0, 3)))
    most = max(faces.spots.shape[1] for faces in some)
    padded = [np.pad(faces.spots, ((0, 0), (0, most - faces.spots.shape[1]), (0, 0)), "edge") for faces in some]
    return Faces(np.concatenate(padded), np.concatenate([faces.outs for faces in some]))


class EdgeSides(NamedTuple):
    """Edges by their ends (n, 3) and whether they are soft (n), and the sides of all of them: to which edge each
    belongs (k), the directions from the edge into the face and of the face (k, 3)."""

    start: Numbers
    end: Numbers
    soft: Flags
    owner: Numbers
    into: Floats
    out: Floats

    def drawn(self, toward: Corner) -> Flags:
        """Which edges are drawn in a view: of the soft ones those beside which one face looks to the eye, and another
        does not."""
        import numpy as np

        many = len(self.soft)
        lit = np.bincount(self.owner[along(self.out, toward) > 1e-9], minlength=many)
        drawn: Flags = ~self.soft | ((lit > 0) & (lit < np.bincount(self.owner, minlength=many)))
        return drawn


def edge_sides(edges: Sequence[SlopedEdge]) -> EdgeSides:
    """Edges and their sides as arrays."""
    import numpy as np

    sides = [side for edge in edges for side in edge.sides]
    return EdgeSides(
        np.array([edge.start for edge in edges], dtype=np.int64).reshape(-1, 3),
        np.array([edge.end for edge in edges], dtype=np.int64).reshape(-1, 3),
        np.array([edge.soft for edge in edges], dtype=bool),
        np.repeat(np.arange(len(edges)), [len(edge.sides) for edge in edges]),
        np.array([side.into for side in sides], dtype=float).reshape(-1, 3),
        np.array([side.out for side in sides], dtype=float).reshape(-1, 3),
    )


def along(ways: Floats, toward: Corner) -> Floats:
    """The product of directions (n, 3) and the way to the eye."""
    a, b, c = toward
    found: Floats = ways[:, 0] * a + ways[:, 1] * b + ways[:, 2] * c
    return found
