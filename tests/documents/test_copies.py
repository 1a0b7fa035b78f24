"""Several copies built at once: wood, labels and shopping are those of all of them, drawings those of one."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.digest import digest
from shopdocs.blocks.sheets import Labels
from shopdocs.blocks.text import Checklist, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import Job
from shopdocs.documents.noting import ordinal
from shopdocs.documents.records import record_pages
from shopdocs.pipeline import check_build
from tests.sample_jobs import SAMPLES, job_of

BENCH = next(folder for folder in SAMPLES if folder.name == "threshold_bench")
COPIES = 3


@pytest.fixture(scope="module")
def jobs(tmp_path_factory: pytest.TempPathFactory) -> tuple[Job, Job]:
    """One bench, and three at once, without a yard: as much as is needed may be bought."""
    made = []
    for copies in (1, COPIES):
        folder = tmp_path_factory.mktemp("copies")
        text = (BENCH / "build.yaml").read_text("utf-8")
        text = text.replace("  units: in\n", f"  units: in\n  copies: {copies}\n", 1)
        (folder / "build.yaml").write_text(text, "utf-8")
        made.append(job_of(folder / "build.yaml"))
    return made[0], made[1]


def _sheet(job: Job, name: str):  # type: ignore[no-untyped-def]
    return next(document for document in make_documents(job, (name,)) if document.name == name)


def test_every_copy_s_pieces_are_sawn(jobs: tuple[Job, Job]) -> None:
    one, three = jobs
    for alone, all_ in zip(one.needs, three.needs, strict=True):
        assert (
            all_.rough.cubic_metres == alone.rough.cubic_metres * COPIES
            if hasattr(all_.rough, "cubic_metres")
            else True
        )
        assert all_.sawn == alone.sawn * COPIES
    laid = [
        (piece.mark, piece.strip) for plan in three.boards.materials for board in plan.boards for piece in board.pieces
    ]
    left = sum(len(plan.left_out) for plan in three.boards.materials)
    assert len(laid) == len(set(laid)) and not left
    assert {"FL·1", "FL·2", "FL·3", "T·3"} <= {mark for mark, _ in laid}
    assert len(laid) == COPIES * (9 + 3)  # nine pieces of one board, and a top of three strips


def test_the_cut_list_counts_all(jobs: tuple[Job, Job]) -> None:
    table = next(block for block in walk(_sheet(jobs[1], "cut-list").blocks) if isinstance(block, Table))
    counts = {plain(row.cells[0].text): plain(row.cells[2].text) for group in table.groups for row in group.rows}
    assert counts == {"leg": "12", "long rail": "6", "short rail": "6", "stretcher": "3", "top": "3"}


def test_each_copy_has_its_labels_and_they_share_a_record(jobs: tuple[Job, Job]) -> None:
    labels = next(b for b in walk(_sheet(jobs[1], "labels").blocks) if isinstance(b, Labels)).labels
    alone = next(b for b in walk(_sheet(jobs[0], "labels").blocks) if isinstance(b, Labels)).labels
    assert len(labels) == COPIES * len(alone)
    assert len({label.mark for label in labels}) == len(labels)
    assert [page.name for page in record_pages(jobs[1])] == [page.name for page in record_pages(jobs[0])]


def _amounts(job: Job) -> dict[str, Fraction]:
    found: dict[str, Fraction] = {}
    for block in walk(_sheet(job, "shopping").blocks):
        if isinstance(block, Checklist) and block.title in ("Hardware", "Glue and finish"):
            for step in block.steps:
                for run in step.text:
                    if not isinstance(run, str):
                        found[run.name] = run.value
    return found


def test_the_shopping_list_counts_all(jobs: tuple[Job, Job]) -> None:
    one, three = (_amounts(job) for job in jobs)
    assert one["top button · to buy"] == 6  # as the build says
    assert three == {name: value * COPIES for name, value in one.items()}


def test_drawings_and_stages_are_those_of_one(jobs: tuple[Job, Job]) -> None:
    for name in ("piece-drawings", "templates", "edges", "mate-marks", "look-alikes"):
        assert digest(_sheet(jobs[0], name)) == digest(_sheet(jobs[1], name)), name


def test_more_than_can_be_laid_out_is_refused(tmp_path: Path) -> None:
    text = (BENCH / "build.yaml").read_text("utf-8")
    for copies, said in (
        ("0", "0 is out of range"),
        ("100", "100 is out of range"),
        ("six", "'six' is not a whole number"),
    ):
        (tmp_path / "build.yaml").write_text(
            text.replace("  units: in\n", f"  units: in\n  copies: {copies}\n", 1), "utf-8"
        )
        assert said in str(check_build(str(tmp_path / "build.yaml"))[2][0])
    many = "build: {title: Pegs, mark: P, units: in, copies: 60}\nmaterials: {oak 4/4: {kind: hardwood}}\n"
    many += "parts: {peg: {material: oak 4/4, size: 3/4 x 1 x 5, count: 90}}\n"
    (tmp_path / "build.yaml").write_text(many, "utf-8")
    told = [str(problem) for problem in check_build(str(tmp_path / "build.yaml"))[2]]
    assert "build.yaml:1:50: 60 copies of 90 pieces are 5400 pieces; at most 5000" in told[0]


@pytest.mark.parametrize(
    ("number", "said"), [(1, "1st"), (2, "2nd"), (3, "3rd"), (11, "11th"), (12, "12th"), (21, "21st")]
)
def test_ordinals(number: int, said: str) -> None:
    assert ordinal(number) == said  # as English writes them
