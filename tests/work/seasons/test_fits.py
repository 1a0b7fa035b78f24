"""Which way a drawer is drawn out, and so how deep it is: what the case leaves open tells, not its name."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.length import Length
from shopdocs.pipeline.checking import checked
from shopdocs.work.seasons.fits import fits

# A case of two sides 300 deep and a back on a bottom, without a top, and in it a drawer 220 wide, 250 deep, 90 high.
CASE = """
build: {title: Case, mark: C, units: mm, free standing: no}
materials: {oak: {kind: hardwood, species: white oak, rough: 27}}
parts:
  side:
    material: oak
    size: 18 x 300 x 120
    runs: {length: z, width: LEVEL}
    pieces: {L: {x: 0, y: 0, z: 0}, R: {FAR: 242, NEAR: 0, z: 0}}
  back:
    material: oak
    size: 18 x 120 x 224
    runs: {length: ACROSS, width: z}
    pieces: {K: {ACROSS: 18, LEVEL: 282, z: 0}}
  bottom:
    material: oak
    size: 18 x 264 x 224
    runs: {length: ACROSS, width: LEVEL}
    strips: 3
    pieces: {B: {ACROSS: 18, LEVEL: 18, z: 0}}
  drawer side:
    material: oak
    size: 12 x 90 x 250
    runs: {length: LEVEL, width: z}
    pieces: {DL: {ACROSS: 20, LEVEL: 10, z: 20}, DR: {ACROSS: 228, LEVEL: 10, z: 20}}
  drawer front:
    material: oak
    size: 12 x 90 x 196
    runs: {length: ACROSS, width: z}
    pieces: {DF: {ACROSS: 32, LEVEL: 10, z: 20}, DB: {ACROSS: 32, LEVEL: 248, z: 20}}
joints:
  case: {kind: dowels, pieces: [K into L, K into R, B into L, B into R], thickness: 8, length: 30, count: 2}
  drawer: {kind: dowels, pieces: [DF into DL, DF into DR, DB into DL, DB into DR], thickness: 5, length: 18, count: 2}
"""


@pytest.mark.parametrize(("across", "level"), [("x", "y"), ("y", "x")])
def test_a_drawer_comes_out_where_nothing_stands_before_it(tmp_path: Path, across: str, level: str) -> None:
    """Open above and in front, drawn out to the front: 250 deep, with 2 on either side of its 220 in the 224 between
    the sides, whichever way the case stands."""
    path = tmp_path / "build.yaml"
    text = CASE.replace("FAR", across).replace("NEAR", level).replace("ACROSS", across).replace("LEVEL", level)
    path.write_text(text, "utf-8")
    found = checked(str(path), None)
    assert found.build is not None and found.work is not None, found.problems
    (fit,) = [one for one in fits(found.build, found.work.space, found.work.moves) if one.word == "drawer"]
    assert fit.depth == Length(250)
    way = fit.ways[0]
    assert way.size == Length(220) and way.play == Length(4) and way.opening == Length(224)


def test_a_door_without_the_case_it_hangs_in(tmp_path: Path) -> None:
    """The faults in how the case stands are told; of the door alone nothing can be said."""
    path = tmp_path / "build.yaml"
    text = CASE.replace("FAR", "x").replace("NEAR", "y").replace("ACROSS", "x").replace("LEVEL", "y")
    case, door = (
        text.replace("width: y}", "width: q}")
        .replace("length: x, width: z", "length: q, width: z", 1)
        .split("  drawer side:")
    )
    hinges = (
        "hardware: {butt hinge: {holes: [{bit: 3, depth: 5}], on: [{piece: DF, face: face, along: 20, across: 20}]}}\n"
    )
    path.write_text(f"{case}  door side:{door.replace('drawer', 'door')}{hinges}", "utf-8")
    found = checked(str(path), None)
    assert found.work is not None
    assert any("'q'" in problem.wrong for problem in found.problems)
    assert found.work.fits == ()
