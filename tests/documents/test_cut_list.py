"""What the cut list and the shopping list say is sawn, planed and bought."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.documents.cut_list import cut_list
from shopdocs.documents.how.sawing import milling as milling_rule
from shopdocs.documents.shopping import shopping_list
from tests.documents.test_lumber_sheet import job_of
from tests.work.boards_case import write_case

PINE = "materials: {pine: {kind: softwood, nominal: 1x6}}\nparts:\n"
PLY = "materials: {ply: {kind: sheet, thickness: 1/2, sheet: 60 x 60}}\nparts:\n"


def words_of(document: Document) -> str:
    return " ".join(plain(runs) for block in walk(document.blocks) for runs in texts(block))


def settings_of(document: Document) -> list[str]:
    tables = [block for block in walk(document.blocks) if isinstance(block, Table) and block.name == "setups"]
    return [group.title.partition(":")[0] for table in tables for group in table.groups]


# PS 20: a dressed 1x6 measures 3/4 x 5-1/2 in.
@pytest.mark.parametrize(
    ("width", "thickness", "ripped", "planed"),
    [("5-1/2", "3/4", False, False), ("4", "3/4", True, False), ("5-1/2", "1/2", False, True)],
)
def test_dressed_boards_are_ripped_and_planed_only_below_their_own_size(
    tmp_path: Path, width: str, thickness: str, ripped: bool, planed: bool
) -> None:
    parts = "".join(
        f"  {name}: {{material: pine, size: {thickness} x {width} x {long}, count: 1, mark: {name[0].upper()}}}\n"
        for name, long in (("side", 16), ("end", 8))
    )
    sheet = cut_list(job_of(write_case(tmp_path, PINE + parts)))
    assert ("Width" in settings_of(sheet)) == ripped
    table = next(block for block in walk(sheet.blocks) if isinstance(block, Table) and block.name == "cut-list")
    assert all(("planed" in group.title) == planed for group in table.groups)


@pytest.mark.parametrize(
    ("build", "milling", "told"),
    [
        (PINE + "  a: {material: pine, size: 3/4 x 5-1/2 x 16, count: 1}", "1/4", ("to the length",)),
        (PINE + "  a: {material: pine, size: 3/4 x 4 x 16, count: 1}", "1/4", ("to the width", "to the length")),
        (PLY + "  a: {material: ply, size: 1/2 x 4 x 16, count: 1}", "1/4", ("cut to size",)),
    ],
)
def test_the_note_on_allowances_names_only_allowances_that_a_row_has(
    tmp_path: Path, build: str, milling: str, told: tuple[str, ...]
) -> None:
    shop = f"kerf: 1/8\n  milling: {{thickness: 1/8, width: {milling}, length: 1}}\n  end trim: 0"
    sentence = plain(milling_rule(job_of(write_case(tmp_path, build, shop))))
    for words in ("to the width", "to the length", "cut to size"):
        assert (words in sentence) == (words in told), sentence
    assert ("Rough sizes add" in sentence) == ("to the length" in told)


def test_a_sheet_is_asked_for_in_the_one_size_that_is_bought(tmp_path: Path) -> None:
    build = PLY + "  a: {material: ply, size: 1/2 x 4 x 16, count: 1}"
    shop = "kerf: 1/8\n  end trim: 0\n  yard: [{material: ply, width: 24, length: 30}]"
    words = words_of(shopping_list(job_of(write_case(tmp_path, build, shop))))
    assert "¹⁄₂ × 24 × 30 in" in words
    assert "60" not in words


def test_what_is_noted_of_a_piece_stands_under_it(tmp_path: Path) -> None:
    """The note of a part first, then those of its pieces by their marks, those noted alike together; nothing under a
    part without notes, and no list of them elsewhere."""
    parts = """
  side: {material: pine, size: 3/4 x 5-1/2 x 16, pieces: {L: {note: left}, R: {note: right}}, note: Face sides out.}
  end: {material: pine, size: 3/4 x 5-1/2 x 8, pieces: {E1: {note: short}, E2: {note: short}}}
  tray: {material: pine, size: 3/4 x 5-1/2 x 7, count: 1, mark: T}
"""
    sheet = cut_list(job_of(write_case(tmp_path, PINE + parts[1:])))
    table = next(block for block in walk(sheet.blocks) if isinstance(block, Table) and block.name == "cut-list")
    notes = {plain(row.cells[0].text): row.note for group in table.groups for row in group.rows}
    assert notes == {"side": "Face sides out. L: left; R: right", "end": "E1  E2: short", "tray": ""}
    assert words_of(sheet).count("Face sides out.") == words_of(sheet).count("short") == 1
