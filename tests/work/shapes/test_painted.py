"""The coarse picture of what leans, against outlines by shapely: the hull of the corners of each body."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from shopdocs.work.shapes.carved import Carved
from shopdocs.work.shapes.pixels import FINE_MM, pixels
from shopdocs.work.shapes.projection import FRONT, ISOMETRIC, View
from tests.sample_jobs import BY_NAME, sample_job

SCALE = 0.2


@pytest.mark.parametrize("view", [FRONT, ISOMETRIC], ids=lambda view: view.name)
def test_what_leans_is_painted_within_its_outline_alone(view: View) -> None:
    """The legs and stretchers of the stool lean and cross each other in the picture. A square well inside one outline
    and outside all others shows that piece; one outside all of them shows paper; where several cross, one of those."""
    space = sample_job(BY_NAME["loft_stool"], "mm").space
    assert space is not None
    ticks = space.scene.ticks
    solids = [solid for solid in space.scene.solids if isinstance(solid, Carved)]
    assert len(solids) >= 4
    units = float(view.across_unit), float(view.up_unit)
    flat = np.array([view.right, view.up], dtype=float).T * units * SCALE / ticks.per_mm
    outlines = []
    for solid in solids:
        bodies = (*solid.core, *(pin.body for pin in solid.pins))
        corners = [np.array([spot for face in body.faces for spot in face]) + solid.body.lo for body in bodies]
        outlines.append(shapely.union_all([shapely.MultiPoint(each @ flat).convex_hull for each in corners]))
    left, bottom, right, top = shapely.union_all(outlines).bounds
    found = pixels(solids, view, ticks, SCALE, (left - 5, bottom - 5), (right + 5, top + 5))
    rows, columns = np.indices(found.solids.shape)
    xs, ys = found.low[0] + (columns + 0.5) * FINE_MM, found.low[1] + (rows + 0.5) * FINE_MM
    within = np.array([shapely.contains_xy(each.buffer(-0.1), xs, ys) for each in outlines])
    near = np.array([shapely.contains_xy(each.buffer(0.1), xs, ys) for each in outlines])
    shows = found.solids - 1
    assert (shows[~near.any(axis=0)] == -1).all()
    painted = shows >= 0
    assert np.take_along_axis(near, np.maximum(shows, 0)[None], 0)[0][painted].all()
    alone = (near.sum(axis=0) == 1) & (within.sum(axis=0) == 1)
    assert alone.sum() > 300
    assert (shows[alone] == within.argmax(axis=0)[alone]).all()
