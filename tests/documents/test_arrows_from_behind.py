"""An arrow to a face that one does not see ends where its piece begins to hide it (by shapely)."""

from __future__ import annotations

from itertools import product

import pytest
import shapely

from shopdocs.core.box import Corner
from shopdocs.documents.drawn.build_pictures import drawn_back
from shopdocs.documents.job import Job
from shopdocs.work.order.closing import Closing
from shopdocs.work.shapes.projection import ISOMETRIC
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Scene
from tests.sample_jobs import BY_NAME, sample_job


def flat(scene: Scene, corner: Corner) -> tuple[float, float]:
    x, y = ISOMETRIC.picture(corner, scene.ticks)
    return x.float_mm(), y.float_mm()


def first_rail(job: Job) -> tuple[Scene, Closing, Corner, shapely.Polygon]:
    """The second step of the first stage: the scene of its pieces, the tip of its arrow and the outline of the leg."""
    assert job.space is not None
    work = job.stages[0]
    assert work.order is not None
    scene = Scene.of([job.space.pieces[mark] for mark in sorted(work.members)])
    closings = work.order.closings
    shifts, arrows = drawn_back(find_contacts(scene), closings, [str(n + 1) for n in range(len(closings))])
    closing = next(one for one in closings if one.onto)
    number = str(closings.index(closing) + 1)
    (tip,) = [going.end for going in arrows if going.words == number]
    leg = scene.index(closing.onto[0])
    body = scene.solids[leg].bounds.shifted(shifts[leg])
    corners = product(*zip(body.lo, body.hi, strict=True))
    return scene, closing, tip, shapely.MultiPoint([flat(scene, (x, y, z)) for x, y, z in corners]).convex_hull


@pytest.mark.parametrize("name", ["sorting_table", "potting_table"])
def test_a_rail_that_goes_in_from_the_rear_points_at_the_rear(name: str) -> None:
    """The side apron goes into the front leg from the rear, where nobody sees: an arrow that ended on the leg would end
    on the right face, beside or in the mortise of the front rail."""
    scene, closing, tip, leg = first_rail(sample_job(BY_NAME[name], "mm"))
    axis, high = closing.toward
    assert (axis, high) == (1, False)  # to the front, so from the rear
    point = shapely.Point(flat(scene, tip))
    assert not leg.buffer(-0.01).contains(point)
    assert leg.distance(point) < 40  # of the build: it still ends at the leg
