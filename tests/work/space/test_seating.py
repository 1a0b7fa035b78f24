"""How a piece is held where it belongs, and whether it is held as well out of line: by hand, in whole ticks."""

from __future__ import annotations

from shopdocs.core.box import Box
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.seating import Seat, shifts
from tests.values import replace

MORTISE = Box((20, 16, 90), (40, 24, 110))
POST = Solid(Box((0, 0, 0), (40, 40, 200)), cuts=(MORTISE,))
RAIL = Solid(Box((40, 10, 80), (140, 30, 120)), adds=(MORTISE,))


def moved(solid: Solid, x: int, z: int = 0) -> Solid:
    by = (x, 0, z)
    return Solid(solid.body.shifted(by), cuts=tuple(cut.shifted(by) for cut in solid.cuts))


def test_what_holds_a_post_on_its_rail() -> None:
    """The tenon is 20 x 8 x 20. It touches two cheeks of 20 x 20, two of 20 x 8 and the floor of 8 x 20; the shoulder
    is 20 x 40 less the tenon."""
    seat = Seat.of([POST], RAIL)
    assert seat.inside == 20 * 8 * 20
    assert seat.area == 2 * 20 * 20 + 2 * 20 * 8 + 8 * 20 + (20 * 40 - 8 * 20)
    assert seat.holds([POST])


def test_a_shoulder_that_stays_open_is_seen() -> None:
    """A mortise 2 too shallow: the post stands off the shoulder by that, and the tenon is in by 18 of its 20."""
    shallow = replace(POST, cuts=(Box((22, 16, 90), (40, 24, 110)),))
    assert not Seat.of([POST], RAIL).holds([moved(shallow, -2)])


def test_a_mortise_far_too_large_holds_nothing() -> None:
    loose = replace(POST, cuts=(Box((15, 6, 70), (40, 34, 130)),))
    assert not Seat.of([POST], RAIL).holds([loose])


def test_a_mortise_that_is_longer_holds_by_its_cheeks() -> None:
    """Twice as long: both wide cheeks, the floor, one end and what is left of the shoulder."""
    long = replace(POST, cuts=(Box((20, 16, 90), (40, 24, 130)),))
    assert Seat.of([POST], RAIL).holds([long])


def test_it_is_tried_where_the_mortise_comes_level() -> None:
    """With a mortise 6 higher up the post goes on 6 too low; 30 is more than is asked for."""
    higher = replace(POST, cuts=(MORTISE.shifted((0, 0, 6)), MORTISE.shifted((0, 0, -30))))
    assert shifts([higher], [Seat.of([POST], RAIL)], 25) == [(0, 0, -6)]
