"""Outlines of random shaped pieces: tapers, arches, notches, rounded and bevelled corners and ends off square, against
shapely, which takes them off a rectangle one by one."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest
import shapely

from shopdocs.model.joining import Face
from shopdocs.pipeline.checking import checked
from shopdocs.work.scene.outlines import shapes_of
from shopdocs.work.scene.own_cuts import own_cuts
from shopdocs.work.space.ends import PLAIN
from tests.small_builds import one_piece

HEAD = one_piece("slab", "25 x %d x %d", "length: x, width: z", "S: {x: 0, y: 0, z: 0}", 52) + "cuts:\n"


def shaped(seed: int) -> tuple[str, shapely.Polygon]:
    """A build of one board, and its outline by shapely, the face edge along y = 0."""
    chance = random.Random(seed)
    long, wide = chance.randint(500, 900), chance.randint(90, 160)
    left = shapely.box(0, 0, long, wide)
    cuts = []
    for number, (edge, base, inward) in enumerate((("edge", 0, 1), ("far edge", wide, -1))):
        kind = chance.choice(["taper", "arch", "arch"] if number == 0 else ["taper", "arch", "notch", "round notch"])
        if kind == "taper":
            begins, off = chance.randint(200, long // 2), chance.randint(5, wide // 3)
            left -= shapely.Polygon([(0, base), (0, base + inward * off), (begins, base)])
            run = f"{begins} to 0"
            cuts.append(
                f"  c{number}: {{kind: taper, to: {wide - off}, on: [{{piece: S, face: {edge}, along: {run}}}]}}"
            )
        elif kind == "arch":
            low, chord = chance.randint(80, 150), chance.randint(100, long - 260)
            rise = chance.randint(3, min(wide // 3, chord // 2))
            radius = (chord * chord / 4 + rise * rise) / (2 * rise)
            centre = shapely.Point(low + chord / 2, base + inward * (rise - radius))
            left -= centre.buffer(radius, quad_segs=8000)
            run = f"{low} to {low + chord}"
            cuts.append(f"  c{number}: {{kind: arch, depth: {rise}, on: [{{piece: S, face: {edge}, along: {run}}}]}}")
        elif kind == "notch":
            low, deep = chance.randint(100, 200), chance.randint(5, wide // 3)
            left -= shapely.box(low, base, low + 60, base + inward * deep)
            run = f"{low} to {low + 60}"
            cuts.append(f"  c{number}: {{kind: notch, depth: {deep}, on: [{{piece: S, face: {edge}, along: {run}}}]}}")
        elif kind == "round notch":
            low, deep = chance.randint(100, 200), chance.randint(8, wide // 3)
            radius = chance.randint(3, min(deep, 29))
            inner = shapely.box(low, wide - deep, low + 60, wide + 99).buffer(-radius, join_style="mitre")
            left -= inner.buffer(radius, quad_segs=4000)
            across = f"along: {low} to {low + 60}, across: {wide - deep} to width"
            place = f"{{piece: S, face: face side, {across}}}"
            cuts.append(f"  c{number}: {{kind: notch, depth: through, radius: {radius}, on: [{place}]}}")
    end = chance.choice(["round", "bevel", "saw", "arch", "plain"])
    # the corner that it is at: never one that a taper ends at
    at_a, high = (False, True) if "kind: taper" in str(cuts) else (chance.random() < 0.5, chance.random() < 0.5)
    where = f"{'A' if at_a else 'B'} and {'far edge' if high else 'edge'}"

    def at(along: float, across: float) -> tuple[float, float]:
        """So far from the corner."""
        return along if at_a else long - along, wide - across if high else across

    if end == "round":
        radius = chance.randint(5, 40)
        corner = shapely.Polygon([at(0, 0), at(radius, 0), at(radius, radius), at(0, radius)])
        left -= corner - shapely.Point(at(radius, radius)).buffer(radius, quad_segs=4000)
        cuts.append(f"  end: {{kind: rounding, width: {radius}, on: [{{piece: S, edge: {where}}}]}}")
    elif end == "bevel":
        a, b = chance.randint(5, 40), chance.randint(5, 40)
        left -= shapely.Polygon([at(0, a), at(0, 0), at(b, 0)])
        cuts.append(f"  end: {{kind: bevel, width: {a}, depth: {b}, on: [{{piece: S, edge: {where}}}]}}")
    elif end == "saw":
        angle = chance.randint(3, 25)
        off = wide * math.tan(math.radians(angle))
        left -= shapely.Polygon([at(0, 0), at(0, wide), at(off, 0)])
        cuts.append(f"  end: {{kind: end cut, angle: {angle}, on: [{{piece: S, edge: {where}}}]}}")
    elif end == "arch":  # hollow, from edge to edge
        rise = chance.randint(3, 30)
        radius = (wide * wide / 4 + rise * rise) / (2 * rise)
        left -= shapely.Point(at(rise - radius, wide / 2)).buffer(radius, quad_segs=8000)
        cuts.append(f"  end: {{kind: arch, depth: {rise}, on: [{{piece: S, face: {'A' if at_a else 'B'}}}]}}")
    return HEAD % (wide, long) + "\n".join(cuts) + "\n", left


@pytest.mark.parametrize("seed", range(24))
def test_outlines_of_random_boards(seed: int, tmp_path: Path) -> None:
    text, wanted = shaped(seed)
    path = tmp_path / "trial.yaml"
    path.write_text(text, "utf-8")
    found = checked(str(path), None)
    assert found.work is not None, (text, found.problems)
    part = found.work.build.parts[0]
    cuts = own_cuts(found.work.build)["S"]
    (shape,) = shapes_of((part.length, part.width, part.thickness), cuts, lambda face: PLAIN)
    assert shape.face is Face.FACE
    ours = shapely.Polygon(shape.outline.spots())
    assert ours.is_valid
    # an end sawn off square is rounded to 1/1000 mm
    assert ours.boundary.hausdorff_distance(wanted.boundary) < 0.02, text
    assert shape.outline.area == pytest.approx(wanted.area, rel=1e-5)
