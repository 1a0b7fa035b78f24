"""Cautions: short, and deferring to those who know more."""

from __future__ import annotations

import pytest

from shopdocs.core.length import INCH, Length
from shopdocs.facts import cautions


def test_cautions_are_short_and_defer() -> None:
    assert len({caution.key for caution in cautions.CAUTIONS}) == len(cautions.CAUTIONS)
    for caution in cautions.CAUTIONS:
        assert len(caution.text) < 240
        assert caution.sources
        if caution is not cautions.DRILLING:
            assert any(word in caution.text.casefold() for word in ("data sheet", "local", "licensed"))
        assert caution.fact


@pytest.mark.parametrize(
    ("height", "depth", "tips"), [(26, 10, False), (27, 13, True), (27, 14, False), (72, 12, True), (30, 40, False)]
)
def test_who_gets_the_tip_over_caution(height: int, depth: int, tips: bool) -> None:
    # 16 CFR 1261: in scope from 27 in high (read); twice as tall as deep is common practice.
    assert cautions.may_tip(INCH * height, INCH * depth) is tips
    assert Length.inches(27) == cautions.TIP_OVER_HEIGHT
