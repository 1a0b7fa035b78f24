"""Thickness × width × length on every sheet, width × length on a board, by hand: a rail and the board it comes from, of
which no two measures are equal. A head or a letter says which is which."""

from __future__ import annotations

import re

import pytest

from shopdocs.blocks.sheets import Document, Labels
from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import Job
from tests.documents.test_lumber_sheet import job_of
from tests.sample_jobs import records_of
from tests.work.boards_case import write_case

# Finished 3/4 x 3 x 20; with a tenon of 1 at either end 22 long. Sawn 1/4 wider and 1 longer, of 4/4: 1 x 3-1/4 x 23,
# from a board 1 x 7 x 60.
BUILD = """
materials: {elm 4/4: {kind: hardwood}}
parts:
  rail: {material: elm 4/4, size: 3/4 x 3 x 20, pieces: [R]}
  post: {material: elm 4/4, size: 3/4 x 5 x 30, pieces: [P, Q]}
joints:
  ends: {kind: mortise and tenon, thickness: 1/4, width: 2, length: 1, pieces: [R into P at A, R into Q at B]}
hardware:
  peg: {holes: [{bit: 1/4, depth: 3/8}], on: [{piece: R, face: face, along: 5, across: 1}]}
"""
SHOP = """
  kerf: 1/8
  milling: {thickness: 1/4, width: 1/4, length: 1}
  yard: [{material: elm 4/4, width: 7, length: 60}]
"""
FINISHED, JOINERY, ROUGH, BOARD = "³⁄₄ × 3 × 20", "³⁄₄ × 3 × 22", "1 × 3¹⁄₄ × 23", "1 × 7 × 60"


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    return job_of(write_case(tmp_path_factory.mktemp("order"), BUILD, SHOP))


def sheet(job: Job, name: str) -> Document:
    return next(document for document in make_documents(job) if document.name == name)


def words(document: Document) -> str:
    return "\n".join(plain(line) for block in walk(document.blocks) for line in texts(block)).replace("\u00a0", " ")


def test_the_cut_list_heads_its_columns_with_the_order(job: Job) -> None:
    table = next(b for b in walk(sheet(job, "cut-list").blocks) if isinstance(b, Table) and b.name == "cut-list")
    (row,) = (row for group in table.groups for row in group.rows if plain(row.cells[0].text) == "rail")
    titles = [column.title.split(" [")[0] for column in table.columns]
    told = {title: plain(cell.text) for title, cell in zip(titles, row.cells, strict=False)}
    assert (told["Rough"], told["With joinery"], told["Finished"]) == (ROUGH, JOINERY, FINISHED)
    heads = dict(zip(titles, (column.unit for column in table.columns), strict=True))
    assert all("T × W × L" in heads[title] for title in ("Rough", "With joinery", "Finished"))


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("lumber", (BOARD, "3¹⁄₄ × 23")),
        ("shopping", (BOARD,)),
        ("piece-drawings", (f"{FINISHED} finished, {JOINERY} with joinery", "thickness × width × length")),
    ],
)
def test_sheets_say_it_in_the_order(job: Job, name: str, wanted: tuple[str, ...]) -> None:
    document = sheet(job, name)
    drawn = " ".join(re.findall(r"text='([^']*)'", repr(document.blocks)))
    captions = " ".join(re.findall(r"name='([^']*)'", repr(document.blocks)))
    every = f"{words(document)} {drawn} {captions}".replace("\u00a0", " ")
    for size in wanted:
        assert size in every, size


def test_label_and_record_say_it_in_the_order(job: Job) -> None:
    (labels,) = (block for block in sheet(job, "labels").blocks if isinstance(block, Labels))
    (label,) = (label for label in labels.labels if label.mark == "R")
    assert label.sizes[0] == f"finished {FINISHED} in" and label.sizes[1] == "with joinery 22 in long"
    page = next(p for (_, piece), p in zip(job.build.pieces(), records_of(job), strict=True) if piece.mark == "R")
    told = words(page)
    assert all(size in told for size in (FINISHED, JOINERY, ROUGH))
