"""The gaps of the movement sheet read back from the print: what is left is the difference of what stands beside it."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import figures, texts, walk
from shopdocs.core.display import Units
from shopdocs.documents.movement import movement_sheet
from tests.documents.test_figures_of_samples import read_back
from tests.sample_jobs import BY_NAME, PLACED, SAMPLES, sample_documents, sample_job


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_a_gap_less_what_it_closes_by_is_what_is_left_as_printed(folder: Path, units: Units) -> None:
    """By hand, of the potting table's drawers: 2 mm are 5.04 / 64 in, printed 5/64; closing by 3/64 leaves 2/64."""
    tables = [block for block in walk(movement_sheet(sample_job(folder, units)).blocks) if isinstance(block, Table)]
    rows = [row for table in tables if table.name == "gaps" for group in table.groups for row in group.rows]
    for row in rows:
        made, closes, damp = (read_back(plain(cell.text), units) for cell in row.cells[3:])
        assert made - closes == damp
    assert rows or "gaps:" not in (folder / "build.yaml").read_text("utf-8")


def test_no_unit_stands_beside_its_own_letters() -> None:
    """ "1/8 in in total" is read as a slip of the pen."""
    for folder in PLACED:
        for block in walk(movement_sheet(sample_job(folder, "in")).blocks):
            assert not any(re.search(r"\bin in\b", plain(words)) for words in texts(block))


GIVEN = re.compile(r" · (gap|play (left|right|front|rear|below|above)|made|off what it lies over|room left)$")


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_one_gap_is_one_figure_on_all_sheets(folder: Path, units: Units) -> None:
    """What is left between two pieces is told alike wherever it stands, never as less than it is but for 1/50 mm."""
    told: dict[Fraction, set[str]] = {}
    for document in sample_documents(folder, units):
        for figure in figures(document.blocks):
            if GIVEN.search(figure.name):
                told.setdefault(figure.value, set()).add(figure.shown.removesuffix(f" {units}"))
    for value, shown in told.items():
        assert len(shown) == 1, shown
        assert read_back(shown.pop(), units).mm >= value - Fraction(1, 50)


@pytest.mark.parametrize(
    ("name", "units", "value", "shown"),
    [
        ("spice_cabinet", "in", Fraction(2), "≈⁵⁄₆₄"),  # 2 / 25.4 = 5.04 / 64: 0.016 mm more, which nobody sees
        ("potting_table", "in", Fraction(2), "≈⁵⁄₆₄"),
        ("threshold_bench", "mm", Fraction("3.175"), "≈3.2"),  # 1/8 in, up to the next tenth
    ],
)
def test_a_gap_is_rounded_up_by_hand(name: str, units: Units, value: Fraction, shown: str) -> None:
    found = [
        figure.shown.removesuffix(f" {units}")
        for document in sample_documents(BY_NAME[name], units)
        for figure in figures(document.blocks)
        if GIVEN.search(figure.name) and figure.value == value
    ]
    assert len(found) > 1
    assert set(found) == {shown}
