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
