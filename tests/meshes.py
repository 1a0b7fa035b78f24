"""The wood of a solid as manifold3d has it, for tests that hold the program's own geometry against that library."""

from __future__ import annotations

import manifold3d
import numpy as np

from shopdocs.core.box import Box
from shopdocs.work.shapes.solid import Solid


def block(box: Box, per_mm: float = 1.0) -> manifold3d.Manifold:
    """A box given in ticks, `per_mm` of them a millimetre."""
    low, size = ([float(v) / per_mm for v in corner] for corner in (box.lo, box.size))
    return manifold3d.Manifold.cube(size).translate(low)


def of_boxes(solid: Solid) -> manifold3d.Manifold:
    """The body with what joints add and less what they cut away, slopes left out: from the boxes that were asked for,
    not from the cells that the program makes of them."""
    whole = block(solid.body)
    for add in solid.adds:
        whole += block(add)
    for cut in solid.cuts:
        whole -= block(cut)
    return whole


def of_cells(solid: Solid, per_mm: float = 1.0) -> manifold3d.Manifold:
    """The flat cells of a solid, and the hull of each of its bodies that slopes or is cut at an angle."""
    parts = [block(cell, per_mm) for cell in solid.plain_cells]
    if solid.slants:
        low = np.array(solid.body.lo)
        for body in solid.sloped.bodies:
            corners = np.unique(np.round(np.array([spot for face in body.faces for spot in face]), 3), axis=0)
            parts.append(manifold3d.Manifold.hull_points((corners + low) / per_mm))
    return manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add)
