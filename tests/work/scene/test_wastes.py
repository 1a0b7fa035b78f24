"""Rounded corners, cut-outs, notches and recesses with rounded corners: their wood and their sections against
manifold3d, which takes cylinders and boxes off a box, and what runs into them against shapely."""

from __future__ import annotations

import random
from pathlib import Path

import manifold3d
import pytest
import shapely

from shopdocs.core.box import Ticks
from shopdocs.core.length import Length
from shopdocs.model.joining import Face
from shopdocs.pipeline.checking import checked
from shopdocs.work.scene.own_cuts import own_cuts
from shopdocs.work.scene.wastes import runs_into, spots_of
from shopdocs.work.space.likeness import marking_ticks, shape_in_build, turns_onto
from shopdocs.work.space.placed import Bore, Cuboid, FeatureKind, PlacedPiece
from tests.meshes import of_cells
from tests.small_builds import one_piece

HEAD = one_piece("slab", "%d x %d x %d", "length: x, width: z", "S: {x: 3, y: 5, z: 7}", 52) + "cuts:\n"


def rounded(low: tuple[float, float], high: tuple[float, float], radius: float, where: str) -> shapely.Polygon:
    """A rectangle with its corners rounded, by shapely: grown from a smaller one. Where it opens at an end or an edge
    it is drawn beyond, so that the corners there stay square."""
    (a, b), (c, d) = low, high
    beyond = radius * 2 + 1
    a, c = (a - beyond if "left" in where else a), (c + beyond if "right" in where else c)
    b, d = (b - beyond if "under" in where else b), (d + beyond if "over" in where else d)
    return shapely.box(a + radius, b + radius, c - radius, d - radius).buffer(radius, quad_segs=200)


def shaped(seed: int) -> tuple[str, shapely.Polygon, tuple[shapely.Polygon, float], list[int]]:
    """A build of one board with corners rounded, a cut-out, a notch and a recess; what is left of its face side, and
    the recess with its depth."""
    chance = random.Random(seed)
    long, wide, thick = chance.randint(500, 900), chance.randint(160, 260), chance.randint(18, 30)
    left = shapely.box(0, 0, long, wide)
    cuts = []
    for end, x, inward in (("A", 0, 1), ("B", long, -1)):
        radius = chance.randint(5, wide // 2)
        for y, up in ((0, 1), (wide, -1)):
            xs, ys = sorted((x, x + inward * radius)), sorted((y, y + up * radius))
            corner = shapely.box(xs[0], ys[0], xs[1], ys[1])
            left -= corner - shapely.Point(x + inward * radius, y + up * radius).buffer(radius, quad_segs=200)
        cuts.append(f"  corners {end}: {{kind: rounding, width: {radius}, on: [{{piece: S, corners: {end}}}]}}")
    hole = chance.randint(20, 40), chance.randint(60, 110)
    radius = chance.randint(3, min(hole) // 2)
    low = chance.randint(wide // 2 + 10, wide // 2 + 30), chance.randint(60, wide - 30 - hole[0])
    left -= rounded(low, (low[0] + hole[1], low[1] + hole[0]), radius, "")
    along, across = f"{low[0]} to {low[0] + hole[1]}", f"{low[1]} to {low[1] + hole[0]}"
    place = f"{{piece: S, face: face side, along: {along}, across: {across}}}"
    cuts.append(f"  hole: {{kind: cut-out, radius: {radius}, on: [{place}]}}")
    at = low[0] + hole[1] + 20
    deep, notch = chance.randint(10, 40), chance.randint(40, 60)
    radius = chance.randint(3, min(deep, notch // 2))
    left -= rounded((at, 0), (at + notch, deep), radius, "under")
    place = f"{{piece: S, face: back, along: {at} to {at + notch}, across: 0 to {deep}}}"
    cuts.append(f"  notch: {{kind: notch, depth: through, radius: {radius}, on: [{place}]}}")
    radius, floor = chance.randint(2, 15), chance.randint(2, thick - 2)
    recess = rounded((at, 60), (at + 40, 100), radius, "")
    place = f"{{piece: S, face: back, along: {at} to {at + 40}, across: 60 to 100}}"
    cuts.append(f"  recess: {{kind: recess, depth: {floor}, radius: {radius}, on: [{place}]}}")
    return HEAD % (thick, wide, long) + "\n".join(cuts) + "\n", left, (recess, floor), [long, wide, thick]


def slab(shape: shapely.Polygon, thick: float) -> manifold3d.Manifold:
    rings = [list(shape.exterior.coords)[:-1], *[list(ring.coords)[:-1] for ring in shape.interiors]]
    return manifold3d.Manifold.extrude(manifold3d.CrossSection(rings, manifold3d.FillRule.EvenOdd), thick)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(30))
def test_wood_of_random_boards(seed: int, tmp_path: Path) -> None:
    """Its volume, and nothing of it beside the other's by more than the straight pieces lie beside the arcs: 1/900 of
    the radius, or 1/20 mm."""
    text, left, (recess, floor), size = shaped(seed)
    path = tmp_path / "trial.yaml"
    path.write_text(text, "utf-8")
    found = checked(str(path), None)
    assert found.work is not None and found.work.space is not None, (text, found.problems)
    piece = found.work.space.pieces["S"]
    ticks = Ticks.of(piece.lengths()).fine()
    ours = of_cells(piece.own_solid(ticks), ticks.per_mm)
    wanted = slab(left, size[2]) - slab(recess, floor).translate([0, 0, size[2] - floor])
    assert ours.volume() == pytest.approx(wanted.volume(), rel=5e-4), text
    assert (ours ^ wanted).volume() >= wanted.volume() * (1 - 5e-4)
    edge = ours.slice(0.5 * (size[2] - floor))
    assert edge.area() == pytest.approx(left.area, rel=5e-4)
    # what others may lie against is inside the wood, and nearly all of it
    touching = sum(box.volume for box in piece.own_solid(ticks).touching) / ticks.per_mm**3
    assert wanted.volume() * 0.97 < touching <= ours.volume() * (1 + 1e-9)


def cut_of(tmp_path: Path, cut: str) -> tuple[Cuboid, PlacedPiece]:
    path = tmp_path / "trial.yaml"
    path.write_text(HEAD % (20, 200, 600) + cut, "utf-8")
    found = checked(str(path), None)
    assert found.work is not None and found.work.space is not None, found.problems
    return own_cuts(found.work.build)["S"][0], found.work.space.pieces["S"]


@pytest.mark.parametrize("seed", range(40))
def test_what_runs_into_a_rounded_corner(seed: int, tmp_path: Path) -> None:
    """A hole or a block near a corner of radius 100, against the spandrel by shapely."""
    chance = random.Random(seed)
    waste, piece = cut_of(tmp_path, "  corner: {kind: rounding, width: 100, on: [{piece: S, edge: B and far edge}]}\n")
    spandrel = shapely.box(500, 100, 600, 200) - shapely.Point(500, 100).buffer(100, quad_segs=4000)
    assert shapely.Polygon(spots_of(waste)).symmetric_difference(spandrel).area < 2.5
    x, y, wide = chance.randint(500, 595), chance.randint(100, 195), chance.randint(4, 30)
    spot = Length(x), Length(y)
    bore = Bore(FeatureKind.HOLE, Face.FACE, (*spot, Length(0)), Length(wide), Length(10))
    disc = shapely.Point(x, y).buffer(wide / 2, quad_segs=200)
    beside = disc.boundary.distance(spandrel.boundary)
    if beside > 0.1 or disc.intersection(spandrel).area > 1:
        assert runs_into(waste, bore, piece.size) == (disc.intersection(spandrel).area > 0)
    lo, hi = (*spot, Length(3)), (spot[0] + Length(wide), spot[1] + Length(7), Length(9))
    block = Cuboid(FeatureKind.MORTISE, lo, hi)
    box = shapely.box(x, y, x + wide, y + 7)
    if box.boundary.distance(spandrel.boundary) > 0.1 or box.intersection(spandrel).area > 1:
        assert runs_into(waste, block, piece.size) == (box.intersection(spandrel).area > 0)


@pytest.mark.parametrize(
    ("cut", "ways"),
    [
        # a hand hole in the middle of the width: the board may be turned over about its length
        ("{kind: cut-out, radius: 15, on: [{piece: S, face: face side, along: 500 to 530, across: 50 to 150}]}", 2),
        ("{kind: cut-out, radius: 15, on: [{piece: S, face: face side, along: 500 to 530, across: 40 to 140}]}", 1),
        # all corners alike: about each of its three axes
        ("{kind: rounding, width: 30, on: [{piece: S, corners: all}]}", 4),
        ("{kind: rounding, width: 30, on: [{piece: S, corners: B}]}", 2),
        ("{kind: rounding, width: 30, on: [{piece: S, edge: B and far edge}]}", 1),
    ],
)
def test_how_many_ways_a_rounded_board_lies_alike(tmp_path: Path, cut: str, ways: int) -> None:
    """Counted by hand: turns that put the board where it was."""
    _, piece = cut_of(tmp_path, f"  one: {cut}\n")
    shape = shape_in_build(piece, marking_ticks([piece]))
    assert len(turns_onto(shape, shape)) == ways
