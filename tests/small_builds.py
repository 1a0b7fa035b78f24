"""Builds of a few pieces that tests of several things begin with; what they try is added at the end."""

from __future__ import annotations


def rail_and_top(underside: int) -> str:
    """A top T 24 thick, `underside` mm over the floor, on a rail R 25 thick and 80 high, 50 from its end and 20 from
    its front; more parts may follow."""
    return f"""
build: {{title: Rail and top, mark: R, units: mm}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 34}}}}
parts:
  top:
    material: oak
    size: 24 x 300 x 500
    runs: {{length: x, width: y}}
    pieces: {{T: {{x: 0, y: 0, z: {underside}}}}}
  rail:
    material: oak
    size: 25 x 80 x 400
    runs: {{length: x, width: z}}
    pieces: {{R: {{x: 50, y: 20, z: to T.bottom}}}}
"""


def frame(*joint: str) -> str:
    """Two rails between two stiles, 20 x 60, without places, all four corners one joint with these keys."""
    keys = "".join(f"    {key}\n" for key in joint)
    return f"""
build: {{title: Frame, mark: F, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts:
  rail: {{material: oak, size: 20 x 60 x 300, pieces: [R1, R2]}}
  stile: {{material: oak, size: 20 x 60 x 600, pieces: [S1, S2]}}
joints:
  corner:
{keys}    pieces: [R1 into S1 at A, R1 into S2 at B, R2 into S1 at A, R2 into S2 at B]
"""


def one_piece(name: str, size: str, runs: str, piece: str, rough: int = 34) -> str:
    """One part of oak and its one piece, `piece` being its mark and place; cuts or hardware may follow."""
    return f"""
build: {{title: {name.title()}, mark: {name[0].upper()}, units: mm}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: {rough}}}}}
parts:
  {name}:
    material: oak
    size: {size}
    runs: {{{runs}}}
    pieces: {{{piece}}}
"""


def shelf_between_sides(side: str = "", joint: str = "") -> str:
    """A shelf S housed 6 deep in two sides L and R, 264 apart, all 18 thick and 200 deep; more keys of the sides and of
    the joint, and then cuts or gluing, may follow."""
    return f"""
build: {{title: Rack, mark: K, units: mm}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 27}}}}
parts:
  side:
    material: oak
    size: 18 x 200 x 400{side}
    runs: {{length: z, width: y}}
    pieces:
      L: {{x: 0, y: 0, z: 0}}
      R: {{mirror: L across x at 300}}
  shelf:
    material: oak
    thickness: 18
    width: 200
    runs: {{length: x, width: y}}
    pieces: {{S: {{x: L.right to R.left, y: 0, z: 150}}}}
joints:
  shelf in sides: {{kind: housing, from: shelf, into: side, depth: 6{joint}}}
"""
