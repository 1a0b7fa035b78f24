"""A door that lies over its opening has no play in it: how far it is off what is behind stands in a line of words."""

from __future__ import annotations

from shopdocs.blocks.text import Bullets, Heading, Table, plain
from shopdocs.blocks.walk import walk
from tests.sample_jobs import BY_NAME, PLACED, document_of, own_units, sample_job


def test_a_door_over_its_opening_is_told_in_a_line() -> None:
    """By the build file the cabinet's door stands 2 mm off its sides, top and bottom, whose fronts are level. The
    shelves behind it are as near, but lie within the opening."""
    blocks = [*walk(document_of(sample_job(BY_NAME["spice_cabinet"], "mm"), "movement").blocks)]
    lines = [plain(item) for block in blocks if isinstance(block, Bullets) for item in block.items]

    assert "Door DL  DR  DT  DB  DP lies over L, R, TP and BT, 2 mm off them" in [
        line.replace("\N{NO-BREAK SPACE}", " ") for line in lines
    ]
    assert "Doors over their openings" in [
        b.text if isinstance(b.text, str) else plain(b.text) for b in blocks if isinstance(b, Heading)
    ]


def test_no_row_of_the_sheet_is_mostly_empty() -> None:
    for folder in PLACED:
        for block in walk(document_of(sample_job(folder, own_units(folder)), "movement").blocks):
            for row in (row for group in block.groups for row in group.rows) if isinstance(block, Table) else ():
                assert sum(not cell.text for cell in row.cells) <= 1, [plain(cell.text) for cell in row.cells]
