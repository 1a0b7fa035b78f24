"""Hidden lines of random pieces with the maker's own cuts, against rays cast at the same piece as manifold3d makes it.

The rays know triangles alone. A line of the picture is seen exactly where the first triangle met just beside it, on one
side, lies in another plane than on the other side. That is asked of every drawn line, seen or hidden, and of every
sharp edge of the triangles. `tests/bench/hidden_cuts.py` tries more pieces.
"""

from __future__ import annotations

import math
import random
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.pipeline.checking import checked
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import FRONT, ISOMETRIC, ISOMETRIC_BELOW, ISOMETRIC_LEFT, RIGHT, TOP, View
from shopdocs.work.space.placed import Scene
from tests.work.scene.test_own_cuts import build_text

VIEWS = (ISOMETRIC, ISOMETRIC_LEFT, ISOMETRIC_BELOW, FRONT, TOP, RIGHT)
BESIDE = 0.05  # mm to either side of a line
CLEAR = 0.8  # mm along a line within which the answer must stay the same
SHARP = math.cos(math.radians(20))  # chords of a rounding turn by 7.5 degrees: no edges of the wood


class Picture:
    """A piece as triangles, and the directions of a view."""

    def __init__(self, triangles: np.ndarray, view: View, sharp: float = SHARP) -> None:
        self.sharp = sharp  # cosine of the least turn between faces whose line is an edge
        self.toward = np.array(view.toward, float) / math.hypot(*view.toward)
        self.flat = np.array([view.right, view.up], float)
        self.flat /= np.linalg.norm(self.flat, axis=1)[:, None]
        self.triangles, self.corners = triangles, triangles @ self.flat.T  # in the build, and on the picture
        normals = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
        self.normals = normals / np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
        self.depths = triangles @ self.toward

    def first(self, spots: np.ndarray) -> np.ndarray:
        """The triangle met first at places of the picture; -1 where there is none."""
        (a, b, c) = (self.corners[:, k] for k in range(3))
        v0, v1 = b - a, c - a
        area = v0[:, 0] * v1[:, 1] - v0[:, 1] * v1[:, 0]
        area = np.where(abs(area) > 1e-7, area, np.nan)  # those that look at us by their side alone are never met
        v2 = spots[:, None, :] - a[None]
        one = (v2[..., 0] * v1[:, 1] - v2[..., 1] * v1[:, 0]) / area
        two = (v0[:, 0] * v2[..., 1] - v0[:, 1] * v2[..., 0]) / area
        inside = (one >= 0) & (two >= 0) & (one + two <= 1)
        at = self.depths[:, 0] + one * (self.depths[:, 1] - self.depths[:, 0])
        at = np.where(inside, at + two * (self.depths[:, 2] - self.depths[:, 0]), -np.inf)
        found: np.ndarray = np.where(np.isfinite(at.max(axis=1)), at.argmax(axis=1), -1)
        return found

    def apart(self, one: int, other: int) -> bool | None:
        """Whether two triangles lie in different planes; None where they belong to one rounding, or nearly meet."""
        if one == other or min(one, other) < 0:
            return bool(one != other)
        turn = float(self.normals[one] @ self.normals[other])
        off = abs(float(self.normals[one] @ (self.triangles[other, 0] - self.triangles[one, 0])))
        if turn > 1 - 1e-6:
            return None if 1e-3 < off < 0.1 else off >= 0.1
        return None if turn > self.sharp else True

    def seen(self, start: np.ndarray, end: np.ndarray, part: float) -> bool | None:
        """Whether a point of a line is seen; None where another line is too near to tell, or the line looks at us."""
        a, b = self.flat @ start, self.flat @ end
        long = float(np.hypot(*(b - a)))
        if long < 4 * CLEAR:
            return None
        way = (b - a) / long
        off = np.array([-way[1], way[0]])
        answers = set()
        for shift in (-CLEAR, 0.0, CLEAR):
            share = part + shift / long
            if not 0 < share < 1:
                return None
            spot = a + (b - a) * share
            met = self.first(np.array([spot + off * side * BESIDE for side in (-2, -1, 1, 2)]))
            if self.apart(met[0], met[1]) is not False or self.apart(met[2], met[3]) is not False:
                return None
            answers.add(self.apart(met[1], met[2]))
        return answers.pop() if len(answers) == 1 else None


def sharp_edges(
    solid: manifold3d.Manifold, sharp: float = SHARP
) -> tuple[np.ndarray, list[tuple[np.ndarray, np.ndarray]]]:
    """The triangles of a solid, and those of their sides where two meet at an angle."""
    mesh = solid.to_mesh()
    spots, faces = np.array(mesh.vert_properties)[:, :3], np.array(mesh.tri_verts)
    triangles = spots[faces]
    normals = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    long = np.linalg.norm(normals, axis=1)
    normals = normals / np.maximum(long, 1e-12)[:, None]
    beside: dict[tuple[int, int], list[int]] = {}
    for number, face in enumerate(faces):
        for k in range(3):
            if long[number] > 1e-6:
                one, two = sorted((int(face[k]), int(face[(k + 1) % 3])))
                beside.setdefault((one, two), []).append(number)
    edges = [
        (spots[one], spots[two])
        for (one, two), sides in beside.items()
        if len(sides) == 2 and float(normals[sides[0]] @ normals[sides[1]]) < sharp
    ]
    return triangles, edges


def trial(seed: int, folder: Path, lines: int = 60) -> tuple[int, int, list[object]]:
    """How many points of a random piece's picture were seen and hidden, and what is drawn wrong of them."""
    chance = random.Random(seed)
    text, solid = build_text(chance)
    (folder / "trial.yaml").write_text(text, "utf-8")
    work = checked(str(folder / "trial.yaml"), None).work
    assert work is not None and work.space is not None, text
    scene: Scene = work.space.scene
    (piece,) = scene.pieces
    origin, *ends = (np.array([float(v.mm) for v in piece.spot_in_build(_spot(k))]) for k in range(4))
    turn = np.array([end - origin for end in ends])
    triangles, edges = sharp_edges(solid)
    view = chance.choice(VIEWS)
    rays = Picture(triangles @ turn + origin, view)
    drawn = outline(scene.solids, view, scene.ticks)
    seen, hidden = (
        [(np.array(s.start) / scene.ticks.per_mm, np.array(s.end) / scene.ticks.per_mm) for s in some]
        for some in (drawn.visible, drawn.hidden)
    )
    wrong: list[object] = []
    told = [0, 0]
    flat = [(rays.flat @ a, rays.flat @ b) for a, b in seen]
    turned = [(one @ turn + origin, two @ turn + origin) for one, two in edges]
    for start, end in [*chance.choices([*seen, *hidden], k=lines), *chance.choices(turned, k=lines)]:
        part = chance.uniform(0.05, 0.95)
        shown = rays.seen(start, end, part)
        if shown is not None:
            told[not shown] += 1
            if shown != _on(flat, rays.flat @ start, rays.flat @ end, part):
                wrong.append((seed, view.name, start, end, part, shown))
    return told[0], told[1], wrong


def _spot(k: int):  # type: ignore[no-untyped-def]
    from shopdocs.core.length import Length

    return tuple(Length(int(j == k - 1)) for j in range(3))


def _on(lines: list[tuple[np.ndarray, np.ndarray]], start: np.ndarray, end: np.ndarray, part: float) -> bool:
    """Whether a point of a line of the picture lies on another one that runs the same way."""
    at, way = start + (end - start) * part, (end - start) / np.hypot(*(end - start))
    for a, b in lines:
        long = float(np.hypot(*(b - a)))
        if long < 1e-6 or abs((b - a) @ way) < long * (1 - 1e-4):
            continue
        share = float((at - a) @ (b - a)) / long**2
        if -0.05 <= share * long <= long + 0.05 and float(np.hypot(*(a + (b - a) * share - at))) < 0.05:
            return True
    return False


@pytest.mark.parametrize("seed", [0, 3, 5, 7, 8, 9])
def test_lines_of_cuts_are_seen_where_rays_see_them(seed: int, tmp_path: Path) -> None:
    seen, hidden, wrong = trial(seed, tmp_path)
    assert not wrong
    assert seen + hidden > 10
