"""Sizes in the maker's own words carry the units of the set too. By hand: an inch is 25.4 mm, 3/8 in 9.525, 276 mm
10.866 in, which is nearest to 10-7/8."""

from __future__ import annotations

import pytest

from shopdocs.core.display import Display, Units
from shopdocs.core.typeset import typeset
from shopdocs.documents.noted_sizes import told_in
from tests.documents.test_words_of_the_trade import strings
from tests.sample_jobs import BY_NAME, sample_documents


@pytest.mark.parametrize(
    ("words", "written", "told"),
    [
        ("276 mm apart", "mm", "276 mm (≈10-7/8 in) apart"),
        ("a slot 25.4 mm wide, 50.8 mm long", "mm", "a slot 25.4 mm (1 in) wide, 50.8 mm (2 in) long"),
        ("12.7 cm off", "mm", "12.7 cm (5 in) off"),
        ("Leave 3/8 in of shoulder", "in", "Leave 3/8 in (≈9.5 mm) of shoulder"),
        ("8-3/4 in wide outside", "in", "8-3/4 in (≈222.5 mm) wide outside"),  # 222.25, half way, is rounded up
        ("10 in long", "in", "10 in (254 mm) long"),
        # no lengths, goods, sizes of several measures, and what says both already
        ("Drive 2 in each end", "in", "Drive 2 in each end"),
        ("four in all, one in a stud", "in", "four in all, one in a stud"),
        ("a box of 2 in nails", "in", "a box of 2 in nails"),
        ("Bore with the 1 mm bit", "mm", "Bore with the 1 mm bit"),
        ("a screw 5 x 60 mm", "mm", "a screw 5 x 60 mm"),
        ("up to 7 in (180 mm) high", "in", "up to 7 in (180 mm) high"),
    ],
)
def test_a_length_in_a_note_is_told_in_the_units_of_the_set(words: str, written: Units, told: str) -> None:
    other: Units = "mm" if written == "in" else "in"
    assert told_in(typeset(words), written, Display.of(other)).replace("\u00a0", " ") == typeset(told)
    assert told_in(typeset(words), written, Display.of(written)) == typeset(words)


@pytest.mark.parametrize(
    ("name", "units", "told"),
    [
        ("loft_stool", "in", "40 mm (≈1-9/16 in) long"),  # 1.575 in, of 32nds the nearest 1-9/16
        ("spice_cabinet", "in", "276 mm (≈10-7/8 in) apart"),
        ("threshold_bench", "mm", "Leave 3/8 in (≈9.5 mm) of shoulder"),
        ("seed_tote", "mm", "lower edges 3/4 in (≈19 mm) above the feet"),
    ],
)
def test_a_set_in_the_other_units_tells_them(name: str, units: Units, told: str) -> None:
    said = " ".join(strings(sample_documents(BY_NAME[name], units))).replace("\u00a0", " ")
    assert typeset(told) in said


def test_boards_are_told_by_the_size_they_are_sold_by_as_well() -> None:
    """The ash of the stool is 52 × 150 × 2000 mm at the yard, and its price is by the cubic metre."""
    said = " ".join(strings(sample_documents(BY_NAME["loft_stool"], "in"))).replace("\u00a0", " ")
    assert "in (52 × 150 × 2000 mm)" in said
    assert "Boards are sold by the sizes in brackets" in said
