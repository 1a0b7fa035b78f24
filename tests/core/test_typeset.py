"""Sizes in the maker's own words, set as a printer sets them: times sign with a space on both sides, built fractions.

Expected values are written by hand; the style is that of the computed sizes (`mixed_number`), checked in test_lengths.
"""

from __future__ import annotations

import pytest

from shopdocs.core.typeset import typed, typeset

SET = [
    ("brass strip, 1/2 x 12 in, three screws #6 x 1/2", "brass strip, ¹⁄₂ × 12 in, three screws #6 × ¹⁄₂"),
    ("keyhole plate 5/8 x 1-1/2 in", "keyhole plate ⁵⁄₈ × 1¹⁄₂ in"),
    ("hinge 50 x 20, open, screws 2.5x12", "hinge 50 × 20, open, screws 2.5 × 12"),
    ("cut 45 mm x 20 mm", "cut 45 mm × 20 mm"),
    ("box of 1-1/2 in nails", "box of 1¹⁄₂ in nails"),
    ("leave 3/8 in of shoulder", "leave ³⁄₈ in of shoulder"),
]
LEFT = [
    "of 8/4 ash, and 5/4 for the rails",  # names of rough stock
    "delivered 3/4/2031",  # a date
    "colour 0x41, part 7x, axis x 3",
    "1/4-20 insert",  # a thread
    "and/or",
    "https://shop.invalid/1/2",
]


@pytest.mark.parametrize(("words", "wanted"), SET)
def test_sizes_are_set_and_can_be_typed_again(words: str, wanted: str) -> None:
    assert typeset(words) == wanted
    assert typed(wanted).replace("×", "x").replace("2.5 x 12", "2.5x12") == words
    assert typeset(wanted) == wanted


@pytest.mark.parametrize("words", LEFT)
def test_what_is_no_size_is_left_alone(words: str) -> None:
    assert typeset(words) == words
