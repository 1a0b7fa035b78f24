"""Free outlines, cut-outs, rounded corners and tapers of random boards against shapely and manifold3d: area and length
of the outline, volume, sections, what another board lies against, and hidden lines by rays."""

from __future__ import annotations

import math
import random
from pathlib import Path

import numpy as np
import pytest
import shapely

from shopdocs.core.box import Ticks
from shopdocs.core.problems import Severity
from shopdocs.model.joining import Face
from shopdocs.pipeline.checking import checked
from shopdocs.work.computed import Computed
from shopdocs.work.scene.outlines import shapes_of
from shopdocs.work.scene.own_cuts import own_cuts
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.space.ends import PLAIN
from shopdocs.work.space.placed import Scene
from tests.examples import some
from tests.meshes import of_cells
from tests.work.scene.random_shapes import HEAD, Board, board
from tests.work.scene.test_hidden_cuts import CLEAR, VIEWS, Picture, sharp_edges

BOARDS = some(12)
# Chords lie 1/20 mm beside their arc at most: those of a rounding of 1 mm turn by 2 acos(1 - 0.05) = 36 degrees.
SHARP = math.cos(math.radians(40))


def worked(made: Board, folder: Path, more: str = "") -> Computed:
    path = folder / "trial.yaml"
    path.write_text(made.text + more, "utf-8")
    found = checked(str(path), None)
    wrong = [problem for problem in found.problems if problem.severity is Severity.ERROR]
    assert found.work is not None and found.work.space is not None and not wrong, (path.read_text(), wrong)
    return found.work


@pytest.mark.parametrize("seed", range(BOARDS))
def test_outlines(seed: int, tmp_path: Path) -> None:
    """The outline that patterns show: its area and length by exact arcs, its border within 0.02 mm."""
    made = board(seed)
    work = worked(made, tmp_path)
    part = work.build.parts[0]
    shapes = shapes_of((part.length, part.width, part.thickness), own_cuts(work.build)["S"], lambda face: PLAIN)
    (shape,) = [shape for shape in shapes if shape.face is Face.FACE]
    holes = [[spot for side in hole for spot in side.spots()] for hole in shape.outline.holes]
    ours = shapely.Polygon(shape.outline.spots(), holes)
    assert ours.is_valid, made.text
    assert ours.boundary.hausdorff_distance(made.face.boundary) < 0.02, made.text
    assert shape.outline.area == pytest.approx(made.face.area, rel=3e-5)  # its discs have 1600 corners
    assert shape.outline.around == pytest.approx(made.face.length, rel=1e-4)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(BOARDS))
def test_wood(seed: int, tmp_path: Path) -> None:
    """Its volume, where it lies, and sections; arcs are chords there, 1/900 of the radius or 1/20 mm beside them."""
    made = board(seed)
    work = worked(made, tmp_path)
    assert work.space is not None
    piece = work.space.pieces["S"]
    ticks = Ticks.of(piece.lengths()).fine()
    ours, wanted = of_cells(piece.own_solid(ticks), ticks.per_mm), made.solid()
    assert ours.volume() == pytest.approx(wanted.volume(), rel=1e-3), made.text
    assert sum(part.volume() > 1 for part in ours.decompose()) == 1, "no crack, however fine"
    assert (ours ^ wanted).volume() >= wanted.volume() * (1 - 1e-3), made.text
    for level in (0.3, made.size[2] * 0.5, made.size[2] - 0.3):
        assert ours.slice(level).area() == pytest.approx(wanted.slice(level).area(), rel=2e-3), made.text


@pytest.mark.parametrize("seed", range(BOARDS))
def test_what_lies_against_it(seed: int, tmp_path: Path) -> None:
    """A block laid at random against the face side touches it where the outline says, as far as touches are told: by
    boxes within the wood."""
    made = board(seed)
    chance = random.Random(seed)
    long, wide, _ = made.size
    a, b = chance.randint(0, long - 80), chance.randint(0, wide - 50)
    text = made.text.replace(
        "parts:\n",
        "parts:\n  block: {material: oak, size: 20 x 50 x 80, runs: {length: x, width: z}, "
        f"pieces: {{K: {{x: {3 + a}, y: to 5, z: {7 + b}}}}}}}\n",
    )
    made.text = text.replace(
        "pieces: {S: {x: 3, y: 5, z: 7}}",
        "pieces: {S: {x: 3, y: 5, z: 7, face side: front, end A: left, face edge: bottom}}",
    )
    work = worked(made, tmp_path)
    assert work.space is not None
    piece = work.space.pieces["S"]
    low, high = piece.range_in_piece(*work.space.pieces["K"].wood[0])
    box = shapely.box(low[0].float_mm(), low[1].float_mm(), high[0].float_mm(), high[1].float_mm())
    wanted = made.face.intersection(box).area
    scene = work.space.scene
    touches = [touch for pair in work.space.contacts.of_piece[scene.index("K")] for touch in pair.touches]
    area = sum(t.where.size[0] * t.where.size[2] for t in touches) / scene.ticks.per_mm**2
    assert area <= wanted * 1.0001 + 1, made.text
    if wanted > 100:
        assert area > 0, made.text
    if wanted > 3999:
        assert area >= 4000 * 0.97  # beside a slope or a curve boxes leave slivers


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(some(6)))
def test_hidden_lines(seed: int, tmp_path: Path) -> None:
    """Lines of a picture are seen where rays at the triangles of manifold3d say so."""
    made = board(seed)
    work = worked(made, tmp_path)
    assert work.space is not None
    scene: Scene = work.space.scene
    chance = random.Random(seed)
    view = chance.choice(VIEWS)
    ours = of_cells(scene.solids[0], scene.ticks.per_mm)  # held against shapely above
    triangles, edges = sharp_edges(ours, SHARP)
    rays = Picture(triangles, view, SHARP)
    drawn = outline(scene.solids, view, scene.ticks)
    seen = [tuple(np.array(end) / scene.ticks.per_mm for end in (s.start, s.end)) for s in drawn.visible]
    hidden = [tuple(np.array(end) / scene.ticks.per_mm for end in (s.start, s.end)) for s in drawn.hidden]
    flat = [shapely.LineString([rays.flat @ a, rays.flat @ b]) for a, b in seen]
    told = 0
    for _ in range(10):  # of a board with many arcs, seen along it, few lines run alone
        for start, end in [*chance.choices([*seen, *hidden], k=60), *chance.choices(edges, k=60)]:
            part = chance.uniform(0.05, 0.95)
            shown = rays.seen(start, end, part)
            lines = _along(flat, rays.flat @ start, rays.flat @ end, part) if shown is not None else 2
            if lines < 2:  # rays cannot tell two lines that run closer beside each other than they are cast
                told += 1
                assert lines == shown, (made.text, view, start, end, part, shown)
        if told > 5:
            break
    assert told > 5, made.text


def _along(drawn: list[shapely.LineString], start: np.ndarray, end: np.ndarray, part: float) -> int:
    """How many drawn lines, which may be chords of one arc, run along a line about a point of it."""
    shifts = np.array([-CLEAR, 0.0, CLEAR]) / np.hypot(*(end - start)) + part
    spots = shapely.points(start + (end - start) * shifts[:, None])
    near = shapely.distance(np.array(drawn)[:, None], spots[None]) < CLEAR / 8
    return int(near.sum(axis=0).min())


@pytest.mark.parametrize("end", ["A", "B"])
def test_a_foot_in_an_end(end: str, tmp_path: Path) -> None:
    """An arch 30 high over 120 of an end 200 wide is a part of a circle of radius (60² + 30²) / 60 = 75; its wood and
    its outline against shapely's disc."""
    cut = f"  foot: {{kind: arch, depth: 30, on: [{{piece: S, face: {end}, along: 40 to width - 40}}]}}\n"
    x = -45 if end == "A" else 545
    face = shapely.box(0, 0, 500, 200) - shapely.Point(x, 100).buffer(75, quad_segs=2000)
    made = Board(HEAD % (20, 200, 500) + cut, face, (500, 200, 20))
    work = worked(made, tmp_path)
    part = work.build.parts[0]
    (shape,) = shapes_of((part.length, part.width, part.thickness), own_cuts(work.build)["S"], lambda face: PLAIN)
    assert shape.face is Face.FACE
    assert shapely.Polygon(shape.outline.spots()).boundary.hausdorff_distance(face.boundary) < 0.02
    assert work.space is not None
    piece = work.space.pieces["S"]
    ticks = Ticks.of(piece.lengths()).fine()
    ours = of_cells(piece.own_solid(ticks), ticks.per_mm)
    assert ours.volume() == pytest.approx(face.area * 20, rel=1e-3)
    assert (ours ^ made.solid()).volume() == pytest.approx(face.area * 20, rel=1e-3)
