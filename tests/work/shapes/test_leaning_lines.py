"""Hidden lines of pieces that lean against rays cast through sample points (see `test_sloping_lines`): each piece is
six half-spaces, turned by a matrix that is made here."""

from __future__ import annotations

import math
import random
from itertools import combinations, product

import numpy as np
import pytest

from shopdocs.core.length import Length
from shopdocs.model.parts import Direction
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import FRONT, ISOMETRIC, ISOMETRIC_BELOW, ISOMETRIC_LEFT, RIGHT, TOP, View
from shopdocs.work.space.placed import PlacedPiece, Pose, Scene, Toward
from tests.work.shapes.test_sloping_lines import Body, Rays, Vector, on_line
from tests.work.space.test_leaning import random_lean


def turned(right: float, rear: float) -> np.ndarray:
    """Raked about the left-right line, then splayed in the piece's own front face."""
    rake = math.atan(rear)
    splay = -math.atan(right * math.cos(rake))
    c, s, d, e = math.cos(rake), math.sin(rake), math.cos(splay), math.sin(splay)
    return np.array([[1, 0, 0], [0, c, -s], [0, s, c]]) @ np.array([[d, 0, e], [0, 1, 0], [-e, 0, d]])


class Blocks(Rays):
    """Rays through blocks, each by its middle, its axes as the columns of a matrix, and half its size along each."""

    def __init__(self, blocks: list[tuple[np.ndarray, np.ndarray, np.ndarray]], view: View) -> None:
        self.view = view
        self.wood = []
        for middle, axes, half in blocks:
            body: Body = []
            for k in range(3):
                for sign in (1, -1):
                    out = sign * axes[:, k]
                    body.append(((out[0], out[1], out[2]), float(out @ middle + half[k])))
            self.wood.append(([self._met(body)], []))


def pictured(view: View, start: Vector, end: Vector) -> float:
    """How long a line is in the picture."""
    way = np.subtract(end, start)
    return math.hypot(float(way @ view.right), float(way @ view.up))


def edges(block: tuple[np.ndarray, np.ndarray, np.ndarray]) -> list[tuple[Vector, Vector]]:
    middle, axes, half = block
    corners = [(bits, middle + axes @ (half * np.array(bits))) for bits in product((-1, 1), repeat=3)]
    return [
        (tuple(one), tuple(two))
        for (a, one), (b, two) in combinations(corners, 2)
        if sum(p != q for p, q in zip(a, b, strict=True)) == 1
    ]


def near_line(view: View, drawn: list, spot: Vector) -> float:
    """How far the picture of a point lies from the nearest line drawn."""
    flat = np.array([view.right, view.up], dtype=float)
    at = flat @ np.array(spot)
    far = math.inf
    for start, end in drawn:
        one, two = flat @ np.array(start), flat @ np.array(end)
        way = two - one
        part = min(1.0, max(0.0, float((at - one) @ way / (way @ way))))
        far = min(far, float(np.linalg.norm(at - one - part * way)))
    return far


@pytest.mark.parametrize("view", [ISOMETRIC, ISOMETRIC_LEFT, ISOMETRIC_BELOW, FRONT, TOP, RIGHT], ids=lambda v: v.name)
def test_seen_lines_of_leaning_pieces_are_those_the_rays_see(view: View) -> None:
    rnd = random.Random(view.name)
    seen = unseen = 0
    for _ in range(5):
        pieces: list[PlacedPiece] = []
        blocks = []
        for _ in range(3):
            piece, lean, (wide, thick) = random_lean(rnd)
            axes = turned(float(lean.right), float(lean.rear))
            long = piece.length.float_mm()
            down = lean.height.float_mm() / axes[2, 2] / 2
            middle = np.array([v.float_mm() for v in lean.top]) - down * axes[:, 2]
            pieces.append(piece)
            blocks.append((middle, axes, np.array([wide.float_mm(), thick.float_mm(), long]) / 2))
        low = [rnd.randint(-50, 250), rnd.randint(-50, 250), rnd.randint(100, 300)]
        size = [rnd.randint(100, 300), rnd.randint(60, 200), rnd.randint(10, 40)]
        at = Length(low[0]), Length(low[1]), Length(low[2])
        pose = Pose(*(Toward(direction) for direction in (Direction.X, Direction.Y, Direction.Z)))
        pieces.append(PlacedPiece("B", "board", at, Length(size[0]), Length(size[1]), Length(size[2]), pose))
        blocks.append((np.array(low) + np.array(size) / 2, np.eye(3), np.array(size) / 2))
        scene = Scene.of(pieces, Length("0.001"))
        picture = outline(scene.solids, view, scene.ticks)
        drawn = [
            tuple(tuple(v / scene.ticks.per_mm for v in spot) for spot in (line.start, line.end))
            for line in picture.visible
        ]
        rays = Blocks(blocks, view)
        for start, end in rnd.choices([edge for block in blocks for edge in edges(block)], k=100):
            part = rnd.uniform(0.02, 0.98)
            spot = tuple(a + (b - a) * part for a, b in zip(start, end, strict=True))
            long = math.dist(start, end)
            way = tuple((b - a) / long for a, b in zip(start, end, strict=True))
            if pictured(view, start, end) < 3:
                continue  # seen nearly from its end
            shown = rays.seen(spot, way)  # type: ignore[arg-type]
            if shown is not None:
                if shown and not on_line(view, drawn, spot):  # type: ignore[arg-type]
                    # a face that is all but edge-on: its other edge is drawn, no farther off than a pencil line is wide
                    assert near_line(view, drawn, spot) < 0.15, (view.name, spot, way)
                    continue
                assert on_line(view, drawn, spot) == shown, (view.name, spot, way)  # type: ignore[arg-type]
                seen, unseen = seen + shown, unseen + (not shown)
    assert seen > 60
    assert unseen > 40
