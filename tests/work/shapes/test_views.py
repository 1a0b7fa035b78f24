"""Every view is a drawing as descriptive geometry has it: the eye looks at right angles onto the picture, `right` and
`up` are at right angles, and lengths come out as ISO 5456-2 (orthographic) and ISO 5456-3 (isometric) have them."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import cos, hypot, radians

import numpy as np
import pytest

from shopdocs.core.box import Box, Ticks
from shopdocs.core.length import Length
from shopdocs.work.shapes.pixels import FINE_MM, Pixels
from shopdocs.work.shapes.projection import CORNERS, VIEWS, View

EVERY = {**{view.name: view for view in VIEWS}, **{f"corner {k}": view for k, view in enumerate(CORNERS)}}


@pytest.mark.parametrize("view", EVERY.values(), ids=EVERY)
def test_the_eye_stands_before_the_picture(view: View) -> None:
    """Right, up and toward the eye make a right-handed set of directions, so no view is a mirror image."""
    right, up, toward = (np.array(part) for part in (view.right, view.up, view.toward))
    assert right @ up == right @ toward == up @ toward == 0
    assert np.linalg.det([right, up, toward]) > 0


def test_the_corners_are_those_of_a_cube_the_upper_ones_first() -> None:
    assert {view.toward for view in CORNERS} == set(product((1, -1), repeat=3))
    assert [view.toward[2] for view in CORNERS] == [1] * 4 + [-1] * 4
    assert all(view.up[2] > 0 for view in CORNERS)  # what stands upright stands so in the picture


@pytest.mark.parametrize("view", EVERY.values(), ids=EVERY)
def test_lengths_along_the_axes(view: View) -> None:
    """An orthographic view shows two axes at true length and one as a point; an isometric one shows all three at one
    length, here the true one, at 30 degrees to the horizontal or upright."""
    shown = []
    for axis in range(3):
        spot = [Length(0)] * 3
        spot[axis] = Length(1000)
        x, y = view.picture_of(spot)
        shown.append((float(x.mm), float(y.mm)))
    long = [hypot(x, y) for x, y in shown]
    if view.across_unit == Fraction(1):
        assert sorted(long) == [0, 1000, 1000]
    else:
        assert long == pytest.approx([1000] * 3, abs=0.002)
        assert [abs(x) for x, _ in shown] == pytest.approx([1000 * cos(radians(30))] * 2 + [0], abs=0.002)


def test_the_pixel_at_a_spot_is_the_one_whose_middle_lies_there() -> None:
    """Also where the paper begins farther to the right than up; a pixel to either side of the middle it is another."""
    found = Pixels(np.zeros((40, 60), dtype=np.int32), (10.0, -5.0))
    for row, column in ((0, 0), (3, 7), (39, 59)):
        x, y = found.spot(row, column)
        assert found.place((x, y)) == (row, column)
        assert found.place((x + FINE_MM, y)) == (row, column + 1) and found.place((x, y + FINE_MM)) == (row + 1, column)
        assert (x, y) == pytest.approx((10 + (column + 0.5) * FINE_MM, -5 + (row + 0.5) * FINE_MM))


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.name)
def test_the_frame_of_a_box_is_that_of_its_eight_corners(view: View) -> None:
    """All eight corners are pictured one by one, the slow way."""
    box, ticks = Box((-7, 3, 11), (160, 42, 95)), Ticks(3)
    spots = [view.picture((x, y, z), ticks) for x in (-7, 160) for y in (3, 42) for z in (11, 95)]
    xs, ys = sorted(x for x, _ in spots), sorted(y for _, y in spots)
    assert view.frame(box, ticks) == ((xs[0], ys[0]), (xs[-1], ys[-1]))
