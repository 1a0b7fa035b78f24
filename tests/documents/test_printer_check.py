"""The printer check in the units of the shop, and what a measured bar makes of templates."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale, Words
from shopdocs.core.display import Units
from shopdocs.core.length import Length
from shopdocs.documents.printer_check import printer_check
from shopdocs.source.given import read_given
from shopdocs.source.shop import read_shop
from tests.sample_jobs import SAMPLES, sample_job


# By definition an inch is 25.4 mm; whole inches for those who measure in inches.
@pytest.mark.parametrize(("units", "side", "told"), [("in", Length("101.6"), "4 in"), ("mm", Length(100), "100 mm")])
def test_the_square_is_whole_in_the_units_that_are_printed(units: Units, side: Length, told: str) -> None:
    (square,) = [block for block in printer_check(sample_job(SAMPLES[0], units)).blocks if isinstance(block, FullScale)]
    assert (square.drawing.width, square.drawing.height) == (side, side)
    words = [shape.text for shape in square.drawing.shapes if isinstance(shape, Words)]
    assert words == [f"across: {told}", f"up: {told}"]
    assert not square.corrected


# By hand: 3-63/64 in is 255/64 in of 4; 99.6 mm is 99.6 of 100; 10.02 cm is 100.2 of 100.
@pytest.mark.parametrize(
    ("units", "written", "share"),
    [
        ("in", "3-63/64", Fraction(255, 256)),
        ("in", "3-63/64 in", Fraction(255, 256)),
        ("in", "99.6 mm", Fraction(996, 1000)),
        ("in", "10.02 cm", Fraction(1002, 1000)),
        ("mm", "99.6", Fraction(996, 1000)),
        ("mm", "4-1/64 in", Fraction(257, 256)),
    ],
)
def test_a_bar_is_held_against_the_side_it_was_measured_on(
    tmp_path: Path, units: str, written: str, share: Fraction
) -> None:
    path = tmp_path / "shop.yaml"
    path.write_text(f"shop: {{units: {units}, printer: {{across: '{written}'}}}}\n", "utf-8")
    shop, problems = read_shop(read_given(str(path)))
    assert shop is not None and not problems
    assert shop.printer.across == share


def test_a_scaled_print_is_told_in_its_own_bar(tmp_path: Path) -> None:
    path = tmp_path / "shop.yaml"
    path.write_text("shop: {units: in, printer: {up: 3-3/4}}\n", "utf-8")
    _, problems = read_shop(read_given(str(path)))
    assert [problem.wrong for problem in problems] == ["the 4 in bar measures '3-3/4'"]
