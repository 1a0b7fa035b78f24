"""What records share is what each of them would say by itself, and a state is written as its copy would be."""

from __future__ import annotations

import json
from enum import Enum
from hashlib import sha256

from msgspec import Struct
from msgspec.structs import astuple

from shopdocs.blocks.digest import AT_ONCE, LETTERS, digest
from shopdocs.blocks.drawing import Line
from shopdocs.blocks.text import Facts, Figure
from shopdocs.blocks.walk import walk
from shopdocs.core.display import exact_text
from shopdocs.core.problems import Position
from shopdocs.documents.records import record_pages
from shopdocs.documents.revised.state import state_of
from shopdocs.output.figures_json import figures_json
from tests.sample_jobs import BY_NAME, sample_job


def plain_words(content: object) -> list[str]:
    """All that content says, thing by thing, by its kinds alone."""
    if isinstance(content, str) and not isinstance(content, Enum):
        return [content]
    if isinstance(content, Position):
        return []
    if isinstance(content, Line):
        return ["Line", *(word for one in content for word in plain_words(one))]
    if isinstance(content, (tuple, list)):
        return [f"({len(content)}", *(word for one in content for word in plain_words(one))]
    if isinstance(content, Struct):
        return [type(content).__name__, *(word for one in astuple(content) for word in plain_words(one))]
    return [repr(content)]


def test_a_digest_is_of_all_that_is_said() -> None:
    job = sample_job(BY_NAME["threshold_bench"], "in")
    pages = record_pages(job)
    for page in pages:
        told = "\0".join(plain_words(page)).encode("utf-8", "surrogatepass")
        assert digest(page) == sha256(told).hexdigest()[:LETTERS], page.title
    assert len({digest(page) for page in pages}) == len(pages)


def test_a_long_digest_is_taken_part_by_part_of_one_text() -> None:
    """Of more words than are taken at once, the check word out of them wherever it is; hashlib of the whole text."""
    words = tuple(f"oak {number} tarima" for number in range(3 * AT_ONCE + 1))
    told = "\0".join((f"({len(words)}", *words)).encode()
    assert digest(words) == sha256(told).hexdigest()[:LETTERS]
    assert digest(words, "tarima") == sha256(told.replace(b"tarima", b"")).hexdigest()[:LETTERS]


def test_the_edges_of_a_piece_are_the_same_when_all_was_let_go() -> None:
    space = sample_job(BY_NAME["threshold_bench"], "in").space
    assert space is not None
    before = {mark: space.edges(mark) for mark in space.pieces}
    space.let_go()
    assert not space.__dict__ and {mark: space.edges(mark) for mark in space.pieces} == before


def test_what_is_said_of_pieces_is_the_same_when_all_was_let_go() -> None:
    """The pieces are measured once for all that is asked of them, and again after they were let go of."""
    job = sample_job(BY_NAME["threshold_bench"], "in")
    alike, space = job.alike, job.space
    assert alike is not None and space is not None and alike.fitting is space.fitting

    def told() -> list[object]:
        return [(alike.edges(mark), alike.mistakes(mark), alike.others(mark)) for mark in space.pieces]

    before, pages = told(), record_pages(job)
    job.let_go()
    assert not vars(space) and not job.shared
    assert told() == before and record_pages(job) == pages


def test_the_sizes_of_a_record_are_those_of_its_own_piece() -> None:
    """Against the cut list's row of the piece, in exact millimetres, and the part's words in both systems."""
    job = sample_job(BY_NAME["plate_rack"], "in")
    for page, (_, piece) in zip(record_pages(job), job.build.pieces(), strict=True):
        facts = next(block for block in walk(page.blocks) if isinstance(block, Facts))
        row = job.rows[piece.mark]
        for size in (row.finished, row.joinery, row.rough):
            wanted = [size.thickness.mm, size.width.mm, size.length.mm]
            told = [[run.value for run in value if isinstance(run, Figure)] for _, value in facts.pairs]
            assert wanted in told or size is row.joinery, (piece.mark, exact_text(size.length))


def test_a_state_is_written_as_its_copy_is() -> None:
    job = sample_job(BY_NAME["plate_rack"], "in")
    state = state_of(job, (), record_pages(job))
    written = json.loads(figures_json((), job.imprint, state=state.told()))["state"]
    assert written == json.loads(json.dumps(state.as_json())) and written["pieces"]
