"""Points of solids that a view shows: on the rims of holes, and where a leader may point."""

from __future__ import annotations

from collections.abc import Iterable, Sequence, Set
from functools import partial
from heapq import nlargest

from shopdocs.core.box import AXES, Box, Corner
from shopdocs.work.shapes.carved import Carved, spread
from shopdocs.work.shapes.hidden import Screens
from shopdocs.work.shapes.projection import View
from shopdocs.work.shapes.slopes import dot
from shopdocs.work.shapes.solid import Solid

_ASKEW_FACES, _LIFT = 3, 8  # faces of a solid off square that are searched, and ticks a point is held before its face
_FACES_FIRST, _FACES_TRIED = 2, 6  # largest faces of a solid, each way, that are searched for a seen spot


def seen_points(
    solids: Sequence[Solid], view: View, points: Sequence[tuple[Corner, int]], screens: Screens | None = None
) -> list[bool]:
    """Whether nothing hides a point that lies on a face; with each point comes the axis its face stands square to.
    `screens` are those of the solids, where they are made already."""
    import numpy as np

    seen = [True] * len(points)
    if not points:
        return seen
    screens = screens or Screens(solids, view)
    for normal in AXES:
        group = [i for i, (_, axis) in enumerate(points) if axis == normal]
        if group:
            spots = np.array([points[i][0] for i in group], dtype=np.int64)
            for i, hidden in zip(group, screens.hides((normal + 1) % 3, spots).tolist(), strict=True):
                seen[i] = not hidden
    return seen


def visible_spots(solids: Sequence[Solid], view: View, wanted: Iterable[int] | None = None) -> list[Corner | None]:
    """For each solid, a point on it that is seen in the view, well inside the seen part of one of its faces; looked for
    on a grid of points on each face, a coarse one on its largest faces first. None where nothing of it is seen, and for
    solids whose number is not among `wanted`, where that is given."""
    screens = Screens(solids, view)
    best: dict[int, Corner | None] = dict.fromkeys(range(len(solids)) if wanted is None else wanted)
    for faces, fine in ((_FACES_FIRST, 6), (_FACES_TRIED, 6), (_FACES_TRIED, 20)):
        lost = [number for number, spot in best.items() if spot is None]
        if lost:
            best |= _best_spots(screens, solids, lost, faces, fine)
    for number, spot in best.items():
        solid = solids[number]
        if spot is None and isinstance(solid, Carved):
            best[number] = _spot_askew(screens, solid)
    return [best.get(number) for number in range(len(solids))]


def _spot_askew(screens: Screens, solid: Carved) -> Corner | None:
    """A seen point of a solid that is off square: the middle of its largest face to the eye, or a point between that
    and the middle of a side, the nearest first."""
    import numpy as np

    toward = screens.toward
    faces = [
        (abs(dot(plane.out, toward)) * spread(face), face)
        for body in solid.core
        for plane, face in zip(body.planes, body.faces, strict=True)
        if dot(plane.out, toward) > 1e-6 and len(face) > 2
    ]
    home = solid.body.lo
    spots: list[Corner] = []
    for _, face in sorted(faces, key=lambda one: -one[0])[:_ASKEW_FACES]:
        middle = [sum(spot[k] for spot in face) / len(face) for k in AXES]
        sides = [[(a[k] + b[k]) / 2 for k in AXES] for a, b in zip(face, (*face[1:], face[0]), strict=True)]
        for part in (0.0, 0.3, 0.55, 0.8):
            for side in sides if part else sides[:1]:
                x, y, z = (
                    round(m + (s - m) * part + h + _LIFT * t)
                    for m, s, h, t in zip(middle, side, home, toward, strict=True)
                )
                spots.append((x, y, z))
    if not spots:
        return None
    hidden = screens.hides(0, np.array(spots, dtype=np.int64)).tolist()
    return next((spot for spot, flag in zip(spots, hidden, strict=True) if not flag), None)


def _best_spots(
    screens: Screens, solids: Sequence[Solid], wanted: Iterable[int], tried: int, fine: int
) -> dict[int, Corner | None]:
    """The best spot of each solid that has one on grids of `fine` - 1 points each way on its `tried` largest faces."""
    import numpy as np

    view = screens.view
    best: dict[int, tuple[tuple[int, int], Corner] | None] = dict.fromkeys(wanted)

    def is_too_narrow(number: int, face: Box, normal: int) -> bool:
        """Whether the face can hold no better spot than is known."""
        known = best[number]
        return known is not None and known[0][0] >= (fine // 2) * min(face.size[k] for k in AXES if k != normal)

    for normal in AXES:
        if not view.toward[normal]:
            continue
        every = [
            (number, cell.face(normal, view.toward[normal] > 0))
            for number in best
            for cell in nlargest(tried, solids[number].whole_cells, key=partial(_face_area, axis=normal))
        ]
        faces = [(number, face) for number, face in every if not is_too_narrow(number, face, normal)]
        covered = screens.covers([_with_a_tick(face, (normal + 1) % 3) for _, face in faces]).tolist()
        faces = [some for some, hidden in zip(faces, covered, strict=True) if not hidden]
        if not faces:
            continue
        spots = [_grid_spots(face, normal, fine) for _, face in faces]
        # a tick to both sides, so that no spot lies just at the foot of another piece
        hidden = screens.hides((normal + 1) % 3, np.array(spots, dtype=np.int64).reshape(-1, 3))
        for (number, face), mine, flags in zip(faces, spots, hidden.reshape(len(faces), -1).tolist(), strict=True):
            if all(flags) or is_too_narrow(number, face, normal):
                continue
            seen = {divmod(k, fine - 1): mine[k] for k, flag in enumerate(flags) if not flag}
            for (i, j), spot in seen.items():
                merit = _merit(face, normal, seen.keys(), i, j)
                now = best[number]
                if now is None or (merit, now[1]) > (now[0], spot):
                    best[number] = (merit, spot)
    return {number: None if choice is None else choice[1] for number, choice in best.items()}


def _face_area(box: Box, axis: int) -> int:
    return box.volume // box.size[axis]


def _with_a_tick(face: Box, axis: int) -> Box:
    """With the tick to both sides of it."""
    lo, hi = list(face.lo), list(face.hi)
    lo[axis], hi[axis] = lo[axis] - 1, hi[axis] + 1
    return Box.between(lo, hi)


def _grid_spots(face: Box, normal: int, fine: int) -> list[Corner]:
    """Points inside a face, row by row."""
    u, v = (normal + 1) % 3, (normal + 2) % 3
    size, spot = face.size, list(face.lo)
    spots: list[Corner] = []
    for i in range(1, fine):
        spot[u] = face.lo[u] + size[u] * i // fine
        for j in range(1, fine):
            spot[v] = face.lo[v] + size[v] * j // fine + (size[v] > 4 * fine)  # a tick off round measures
            spots.append((spot[0], spot[1], spot[2]))
    return spots


def _merit(face: Box, normal: int, seen: Set[tuple[int, int]], i: int, j: int) -> tuple[int, int]:
    """How far the seen part of the face reaches round a grid point, in its narrowest and its widest direction."""
    reach = []
    for di, dj, axis in ((1, 0, (normal + 1) % 3), (0, 1, (normal + 2) % 3)):
        steps = []
        for sign in (1, -1):
            k = 1
            while (i + sign * k * di, j + sign * k * dj) in seen:
                k += 1
            steps.append(k)
        reach.append(min(steps) * face.size[axis])
    return min(reach), max(reach)
