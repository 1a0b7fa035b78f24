"""A point of a picture lies where it is seen, to a thousandth of a millimetre: the nearest, and of two as near the even
one, as the standard library rounds a fraction."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import example, given
from hypothesis import strategies as st

from shopdocs.core.box import Ticks
from shopdocs.work.shapes.projection import View

steps = st.integers(-(10**6), 10**6)
units = st.fractions(min_value=Fraction(1, 50), max_value=2, max_denominator=50)


@given(st.tuples(steps, steps, steps), units, st.sampled_from([1, 20, 1000, 2540, 4000]))
@example((1, 0, 0), Fraction(1, 2), 1000)  # half a thousandth: none
@example((3, 0, 0), Fraction(1, 2), 1000)  # one and a half: two
@example((5, 0, 0), Fraction(1, 2), 1000)  # two and a half: two
@example((-1, 0, 0), Fraction(1, 2), 1000)
@example((-3, 0, 0), Fraction(1, 2), 1000)
def test_a_point_is_rounded_to_the_nearest_thousandth(spot: tuple[int, int, int], unit: Fraction, per_mm: int) -> None:
    x, y, z = spot
    view = View("", (0, 0, 1), (1, -1, 0), (1, 1, 2), unit, unit)
    true = [(x - y) * unit / per_mm, (x + y + 2 * z) * unit / per_mm]
    found = view.picture(spot, Ticks(per_mm))
    assert [value.mm for value in found] == [Fraction(round(value * 1000), 1000) for value in true]
