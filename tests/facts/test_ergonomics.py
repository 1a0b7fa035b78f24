"""Usual sizes against the standards that could be read; everything else is common practice and only ordered."""

from __future__ import annotations

import pytest

from shopdocs.core.length import Length
from shopdocs.facts import ergonomics
from shopdocs.facts.source import Confidence
from tests.facts.rows import close, must_fail_when_corrupted

# ADA Standards 903.5: inches, and the millimetres printed beside them, rounded to 5 mm.
ADA = (("bench", "17", "19", 430, 485),)


def check_ada(table: tuple[ergonomics.UsualSize, ...]) -> None:
    found = {row.key: row for row in table}
    for key, low, high, low_mm, high_mm in ADA:
        row = found[key]
        assert (row.low, row.high) == (Length.inches(low), Length.inches(high))
        assert close(row.low.mm, low_mm, "2.5")
        assert close(row.high.mm, high_mm, "2.5")


@pytest.mark.parametrize("field", ["low", "high"])
def test_ada_ranges(field: str) -> None:
    check_ada(ergonomics.USUAL_SIZES)
    read = tuple(row for row in ergonomics.USUAL_SIZES if row.source.confidence is Confidence.READ)
    assert len(read) == len(ADA)
    must_fail_when_corrupted(check_ada, read, field, lambda size: size + Length.inches("0.5"))


def test_ranges_are_ranges() -> None:
    keys = [row.key for row in ergonomics.USUAL_SIZES]
    assert len(keys) == len(set(keys))
    assert all(row.low <= row.high for row in ergonomics.USUAL_SIZES)


def test_outside() -> None:
    assert ergonomics.outside("seat", Length.inches(17)) is None
    assert ergonomics.outside("seat", Length.inches(16)) is None
    low_stool = ergonomics.outside("seat", Length.inches(12))
    assert low_stool is not None
    assert low_stool.key == "seat"
    assert ergonomics.outside("hat rack", Length(1)) is None


def test_seat_and_table_fit_each_other() -> None:
    # Common practice, no source: 10 to 13 in from seat to table, and the middle chair goes to the middle table.
    seat, table = ergonomics.usual_size("seat"), ergonomics.usual_size("table")
    assert seat is not None
    assert table is not None
    middle = (table.low + table.high - seat.low - seat.high) / 2
    assert Length.inches(10) <= middle <= Length.inches(13)
