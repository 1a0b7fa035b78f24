"""Cautions: short, and deferring to those who know more."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.core.length import INCH, Length
from shopdocs.facts import cautions


def test_cautions_are_short_and_defer() -> None:
    every = [found for found in vars(cautions).values() if isinstance(found, cautions.Caution)]
    assert len(every) >= 7
    assert len({caution.key for caution in every}) == len(every)
    for caution in every:
        assert len(caution.text) < 240
        assert caution.sources
        if caution is not cautions.DRILLING:
            assert any(word in caution.text.casefold() for word in ("data sheet", "local", "licensed"))


@pytest.mark.parametrize(
    ("height", "pounds", "cubic_feet", "tips"),
    [
        (30, 60, "4", True),  # a case 30 in high and 18 in deep
        (27, 30, "3.2", True),  # on every limit
        (26, 200, "30", False),
        (72, 29, "30", False),
        (72, 200, "3.1", False),
        (72, None, None, True),  # nobody said: it counts as within the scope
        (72, None, "0", False),
    ],
)
def test_who_gets_the_tip_over_caution(height: int, pounds: int | None, cubic_feet: str | None, tips: bool) -> None:
    # 16 CFR 1261.2 with ASTM F2057-23 (read): at least 27 in, 30 lb and 3.2 ft³ of enclosed storage, all three.
    weight = None if pounds is None else Fraction(pounds)
    assert cautions.may_tip(INCH * height, weight, None if cubic_feet is None else Fraction(cubic_feet)) is tips
    assert Length.inches(27) == cautions.TIP_OVER_HEIGHT
