"""Seams between the strips of a panel, in pictures: they run where there is wood, and along the floor of a notch."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from shopdocs.blocks.drawing import Point
from shopdocs.core.box import Corner, Ticks
from shopdocs.documents.drawn.rims import seams
from shopdocs.pipeline.checking import checked
from shopdocs.work.shapes.projection import ISOMETRIC
from shopdocs.work.space.placed import PlacedPiece

# A panel of three strips of 100, 300 wide, 20 thick and 400 high, its face edge to the front, its face side to
# the left.
# A notch takes 150 off its front from 250 above the floor up.
BUILD = """
build: {title: Stepped side, mark: SS, units: mm}
materials: {ash: {kind: hardwood, rough: 27}}
parts:
  side:
    material: ash
    size: 20 x 300 x 400
    strips: 3
    runs: {length: z, width: y}
    pieces: {S: {x: 0, y: 0, z: 0}}
"""
NOTCH = "cuts: {step: {kind: notch, depth: 150, on: [{piece: S, face: face edge, along: 250 to 400}]}}\n"


def drawn(text: str, tmp_path: Path) -> list[tuple[Corner, Corner]]:
    """The seams as they are drawn, turned back from the picture into millimetres of the build; a line on an arris may
    end a tick short of it."""
    path = tmp_path / "build.yaml"
    path.write_text(BUILD + text, "utf-8")
    work = checked(str(path), None).work
    assert work is not None and work.space is not None
    scene = work.space.scene
    solids = [piece.solid(scene.ticks) for piece in scene.pieces]
    lines = seams(scene.pieces, solids, [(0, 0, 0)], {"S": 3}, scene.ticks, ISOMETRIC)
    known = {ISOMETRIC.picture(spot, scene.ticks): at for at, spot in _grid(scene.pieces[0], scene.ticks)}

    def spot_of(end: Point) -> Corner:
        (near,) = {
            at for there, at in known.items() if all(abs(a.mm - b.mm) < 1 for a, b in zip(end, there, strict=True))
        }
        return near

    found = [sorted((spot_of(line.start), spot_of(line.end))) for line in lines]
    return sorted((start, end) for start, end in found)


def _grid(piece: PlacedPiece, ticks: Ticks) -> Iterator[tuple[Corner, Corner]]:
    """Spots where a seam can end, in millimetres and in ticks: seen sides only, so that no two share a picture."""
    one = ticks.count(piece.length) // 400
    for at in ((x, y, z) for x in (0, 20) for y in (100, 200) for z in (0, 250, 400)):
        if at[0] == 20 or at[2] != 0:
            yield at, (at[0] * one, at[1] * one, at[2] * one)


def test_seams_of_a_whole_panel(tmp_path: Path) -> None:
    assert drawn("", tmp_path) == [
        ((0, 100, 400), (20, 100, 400)),
        ((0, 200, 400), (20, 200, 400)),
        ((20, 100, 0), (20, 100, 400)),
        ((20, 200, 0), (20, 200, 400)),
    ]


def test_a_seam_ends_at_a_notch_and_runs_along_its_floor(tmp_path: Path) -> None:
    assert drawn(NOTCH, tmp_path) == [
        ((0, 100, 250), (20, 100, 250)),
        ((0, 200, 400), (20, 200, 400)),
        ((20, 100, 0), (20, 100, 250)),
        ((20, 200, 0), (20, 200, 400)),
    ]
