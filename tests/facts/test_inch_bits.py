"""Inch bits that do for metric ones: a hand table, in thousandths of an inch as they are stamped on the bits.

64ths: 5/64 .0781, 7/64 .1094, 9/64 .1406, 11/64 .1719, 13/64 .2031, 7/32 .2188, 15/64 .2344.
"""

from __future__ import annotations

import pytest

from shopdocs.core.length import Length
from shopdocs.facts.inch_bits import inch_bit


@pytest.mark.parametrize(
    ("bit", "passes", "told"),
    [
        ("2.0", None, "5/64"),  # .0787
        ("2.8", None, "7/64"),  # .1102
        ("3.0", None, None),  # .1181: 1/8 is 6 % wider, 7/64 7 % narrower
        ("3.5", None, "9/64"),  # .1378
        ("4.5", "4", "11/64"),  # .1772; a screw of 4 mm is .1575, with 5 % .1654
        ("4.5", "4.2", None),  # .1654 and 5 % are .1736: more than 11/64
        ("5.5", "5", "7/32"),  # .2165, and .1969 with 5 % .2067
        ("6.0", None, "15/64"),  # .2362
        ("1.0", None, None),  # smaller than any of the set
        ("20", None, None),
    ],
)
def test_which_inch_bit_does_for_a_metric_one(bit: str, passes: str | None, told: str | None) -> None:
    found = inch_bit(Length(bit), None if passes is None else Length(passes))
    assert found == (None if told is None else Length.inches(told))
