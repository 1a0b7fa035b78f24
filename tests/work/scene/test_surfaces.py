"""The surface of shaped pieces, by hand and against manifold3d."""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.core.box import Ticks
from shopdocs.pipeline.checking import checked
from shopdocs.work.scene.surfaces import shaped_away
from tests.meshes import of_cells
from tests.work.scene.test_own_cuts import tapered
from tests.work.scene.test_wastes import shaped

HEAD = """
build: {title: Trial, mark: T, units: mm}
materials: {oak: {kind: hardwood, rough: 52}}
parts: {slab: {material: oak, size: 20 x 100 x 400, pieces: [S]}}
cuts:
"""


def difference(path: Path, text: str) -> Fraction:
    """By how many square millimetres the surface of S differs from that of its box."""
    path.write_text(text, "utf-8")
    found = checked(str(path), None)
    assert found.work is not None, found.problems
    return shaped_away(found.work.build).get("S", Fraction(0)) * 1_000_000


@pytest.mark.parametrize(
    ("cut", "wanted"),
    [
        # both corners of an end, radius 50: two faces lose (4 - pi) 50² / 2 each, the rim is 100 + 100 less, 50 pi more
        ("kind: rounding, width: 50, on: [{piece: S, corners: B}]", -(4 - math.pi) * 2500 + 20 * (50 * math.pi - 200)),
        # a hole 30 x 100 with round ends: both faces lose its 70 x 30 + 225 pi, its wall is 140 + 30 pi round
        (
            "kind: cut-out, radius: 15, on: [{piece: S, face: face side, along: 100 to 200, across: 30 to 60}]",
            -2 * (2100 + 225 * math.pi) + 20 * (140 + 30 * math.pi),
        ),
        # sawn 45 degrees across the face: two triangles of 100 x 100 / 2 go; of the rim 100 less, the end longer by
        # 100 (root 2 - 1)
        (
            "kind: end cut, angle: 45, on: [{piece: S, edge: A and far edge}]",
            -2 * 5000 + 20 * (-100 + 100 * (math.sqrt(2) - 1)),
        ),
        # 20 across over 300, square before: the skin pi 20 x 300 for faces 240 round; what the end loses shows at 100
        ("kind: round, on: [{piece: S}], diameters: ['100, 20', '400, 20']", 6000 * math.pi - 72000),
        # all round, a cone from 10 to 20: slant height root(400² + 5²), ends of 25 pi and 100 pi for two of 2000
        (
            "kind: round, on: [{piece: S}], diameters: ['0, 10', '400, 20']",
            math.pi * 15 * math.hypot(400, 5) - 240 * 400 + 125 * math.pi - 4000,
        ),
        # the same with a pommel from 200 to 300: the skin of two stretches of 100, and on both sides of the pommel what
        # stands round a circle of 100 pi mm2
        (
            "kind: round, on: [{piece: S}], diameters: ['100, 20', '400, 20'], pommels: 200 to 300",
            4000 * math.pi - 48000 + 2 * (2000 - 100 * math.pi),
        ),
        # a groove is no shape: it is left out as joints are
        ("kind: groove, depth: 5, on: [{piece: S, face: back, across: 40 to 50}]", 0.0),
    ],
)
def test_surfaces_by_hand(tmp_path: Path, cut: str, wanted: float) -> None:
    found = float(difference(tmp_path / "trial.yaml", HEAD + f"  one: {{{cut}}}\n"))
    assert found == pytest.approx(wanted, abs=15)  # of 94,000: straight pieces stand for arcs


@pytest.mark.parametrize("seed", range(12))
def test_surfaces_of_random_legs(seed: int, tmp_path: Path) -> None:
    """Tapered on one to four faces: that of the same leg by manifold3d, less that of the box."""
    text, wanted = tapered(seed)
    found = float(difference(tmp_path / "trial.yaml", text))
    size = [b - a for a, b in zip(*[wanted.bounding_box()[k : k + 3] for k in (0, 3)], strict=True)]
    box = 2 * (size[0] * size[1] + size[1] * size[2] + size[0] * size[2])
    assert found == pytest.approx(wanted.surface_area() - box, abs=box * 2e-4)


@pytest.mark.parametrize("seed", range(8))
def test_surfaces_of_random_boards(seed: int, tmp_path: Path) -> None:
    """With curves, against the mesh of the same cells and bodies joined by manifold3d."""
    path = tmp_path / "trial.yaml"
    text, *_ = shaped(seed)
    found = float(difference(path, text))
    again = checked(str(path), None)
    assert again.work is not None and again.work.space is not None
    piece = again.work.space.pieces["S"]
    ticks = Ticks.of(piece.lengths()).fine()
    mesh = of_cells(piece.own_solid(ticks), ticks.per_mm)
    box = 2 * sum(float(a.mm * b.mm) for a, b in zip(piece.size, (*piece.size[1:], piece.size[0]), strict=True))
    assert found == pytest.approx(mesh.surface_area() - box, abs=box * 2e-4)
