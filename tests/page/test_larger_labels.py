"""What is advised where a label has no room for its words: a sheet of larger labels if there is one, by the table of
label sheets (layouts/label_sheets.toml), read by hand: of those on A4 the a4-8 is the largest, 99.1 × 67.7 mm."""

from __future__ import annotations

import pytest

from shopdocs.page.label_sheets import label_sheet, label_sheet_keys, larger_sheets
from shopdocs.pipeline.pages import _what_helps


@pytest.mark.parametrize(
    ("note", "told"),
    [
        ("no room on labels of sheet a4-21 for the warning: FL", "--labels a4-14"),  # a4-24-wide is lower
        ("no room on labels of sheet a4-8 for the warning: FL", "record page"),
        ("no room on labels as low as a narrow face of sheet a4-14 for the stage: FL", "record page"),  # a4-8 as wide
        ("no room on labels as low as a narrow face of sheet a4-21 for the stage: FL", "--labels a4-14"),
        ("no room in codes of labels of sheet letter-30 for the joints: FL", "--labels letter-20"),
        ("cut short, no room: Walnut", "shorten"),
    ],
)
def test_larger_labels_are_advised_where_they_have_more_room(note: str, told: str) -> None:
    assert told in _what_helps(note)


def test_larger_is_no_smaller_either_way() -> None:
    for key in label_sheet_keys():
        for other in map(lambda name: label_sheet(name, ""), larger_sheets(key, wider=False)):
            own = label_sheet(key, other.paper)
            assert other.paper == own.paper
            assert other.width >= own.width and other.height >= own.height and other != own
