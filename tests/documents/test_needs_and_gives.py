"""What the movement sheet says a tie needs and what the build gives it, read back from the print: what is enough never
seems less than what is needed, and what is not never seems enough."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.documents.movement import movement_sheet
from tests.documents.test_figures_of_samples import read_back
from tests.sample_jobs import BY_NAME, PLACED, sample_job


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_what_is_enough_is_no_less_than_what_is_needed_as_it_is_printed(folder: Path, units: Units) -> None:
    tables = [block for block in walk(movement_sheet(sample_job(folder, units)).blocks) if isinstance(block, Table)]
    rows = [row for table in tables if table.name == "movement-held" for group in table.groups for row in group.rows]
    for row in rows:
        *_, needs, gives, enough = (plain(cell.text) for cell in row.cells)
        if enough in ("yes", "no"):
            one, two = (read_back(re.sub(rf" {units} .*", "", words), units) for words in (needs, gives))
            assert (two >= one) is (enough == "yes"), (needs, gives, enough)


def test_two_millimetres_are_one_figure_in_inches() -> None:
    """The table's buttons: 2 mm are needed and 2 mm given. 2 / 25.4 = 5.04 / 64 = 2.52 / 32: a 64th finer it would be
    5/64, which is less than 3/32."""
    tables = [
        b for b in walk(movement_sheet(sample_job(BY_NAME["sorting_table"], "in")).blocks) if isinstance(b, Table)
    ]
    ((*_, needs, gives, enough),) = (
        [plain(cell.text) for cell in row.cells]
        for table in tables
        if table.name == "movement-held"
        for group in table.groups
        for row in group.rows
    )
    assert needs == gives
    assert enough == "yes"


def test_what_holds_stands_in_the_order_of_the_build() -> None:
    """The table's inner slats TS2 to TS5 each lie between two others: between them they are held by TS1 to TS6."""
    sheet = movement_sheet(sample_job(BY_NAME["potting_table"], "mm"))
    tables = [block for block in walk(sheet.blocks) if isinstance(block, Table) and block.name == "movement-held"]
    told = {plain(row.cells[0].text): plain(row.cells[1].text) for group in tables[0].groups for row in group.rows}
    assert told["TS2–TS5"] == "TS1–TS6"
