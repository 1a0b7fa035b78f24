"""The radius and the heights of arches, against shapely's circle and sums done by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
import shapely

from shopdocs.core.length import Length
from shopdocs.documents.arches import heights, radius_of
from shopdocs.documents.piece_drawings import drawn_groups
from shopdocs.model.joining import Face
from tests.sample_jobs import BY_NAME, sample_job


def test_radius_by_hand() -> None:
    """A chord of 8 with a rise of 2: 4 x 4 = 2 x (2 R - 2), so R = 5, the triangle of 3, 4 and 5."""
    assert radius_of(Length(8), Length(2)) == Length(5)
    # a chord of 804 with a rise of 30: 402 x 402 / 60 + 15 = 2693.4 + 15
    assert radius_of(Length(804), Length(30)) == Length(Fraction(27084, 10))


@pytest.mark.parametrize(("chord", "rise"), [(804, 30), (304, 20), (100, 50), (1000, 3)])
def test_heights_lie_on_the_circle(chord: int, rise: int) -> None:
    """Every height with its place out from the middle is the radius away from the centre: checked with shapely, which
    measures the distance between two points."""
    step, every = heights(Length(chord), Length(rise), "mm")
    radius = radius_of(Length(chord), Length(rise)).float_mm()
    centre = shapely.Point(0, rise - radius)
    assert 1 <= len(every) <= 6
    for number, height in enumerate(every, 1):
        out = step.float_mm() * number
        assert 0 < out < chord / 2
        assert centre.distance(shapely.Point(out, height.float_mm())) == pytest.approx(radius, abs=0.002)


def test_a_shallow_arch_is_measured_where_its_curve_is_seen() -> None:
    """The table's short apron is 24 thick and 110 wide, its arch 20 high in the far edge: less than the edge is thick,
    yet on the edge it is two lines. On the face its crest stands at 110 - 20 from the face edge, and it runs from 40
    to 384 - 40; the edge carries nothing and is not drawn."""
    job = sample_job(BY_NAME["sorting_table"], "mm")
    (group,) = (group for group in drawn_groups(job) if "AL" in group.marks)
    gauged = group.gauged
    told = {level.mm for end in (Face.A, Face.B) for level in gauged.levels(Face.FACE, end)}
    assert {90, 110} <= told
    assert {40, 344} <= {station.mm for station in gauged.stations(Face.FACE)}
    assert Face.FAR_EDGE not in gauged.faces
