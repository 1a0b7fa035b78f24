"""Numbers in brackets lead to the page that explains them, and titles of works stand there alone, in quotation
marks."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.documents.appendix import appendix, quoted
from shopdocs.documents.cut_list import cut_list
from shopdocs.documents.finish import finish_sheet
from shopdocs.documents.job import Job
from shopdocs.documents.lumber import lumber_sheet
from shopdocs.documents.shopping import shopping_list
from shopdocs.facts.finish_types import FINISHES
from shopdocs.facts.lumber_tables import BOARD_MEASURE, NHLA
from shopdocs.facts.source import Confidence, Source
from shopdocs.page.columns import in_columns
from shopdocs.page.flow import Strip
from tests.sample_jobs import BY_NAME as SAMPLES_BY_NAME
from tests.sample_jobs import SAMPLES, job_of, sample_job
from tests.small_builds import shelf_between_sides


def told(document: Document) -> list[str]:
    heads = [c.title for b in walk(document.blocks) if isinstance(b, Table) for c in b.columns]
    return [*heads, *(plain(runs) for block in walk(document.blocks) for runs in texts(block))]


def sheets(job: Job) -> list[Document]:
    made = [cut_list(job), lumber_sheet(job), shopping_list(job)]
    return [*made, finish_sheet(job)] if job.finish is not None else made


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_every_number_in_brackets_has_its_note(path: Path, units: str) -> None:
    job = sample_job(path, units)  # type: ignore[arg-type]
    found = [re.match(r"\[\d+\]", line) for line in told(appendix(job))]
    notes = [match.group() for match in found if match]
    assert notes == [f"[{number}]" for number in range(1, len(notes) + 1)]
    seen = 0
    for document in sheets(job):
        led = [numbers for line in told(document) for numbers in re.findall(r"\[([\d, ]+)\]", line)]
        numbers = {number for each in led for number in each.split(", ")}
        assert {f"[{number}]" for number in numbers} <= set(notes)
        seen += len(numbers)
    assert seen


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_titles_of_works_stand_on_the_appendix_alone_and_in_quotation_marks(path: Path) -> None:
    job = sample_job(path, "in")
    titles = [source.title for source in (BOARD_MEASURE, NHLA, *(finish.coverage_source for finish in FINISHES))]
    for document in sheets(job):
        assert not [title for title in titles for line in told(document) if title and title in line]
    for line in told(appendix(job)):
        for title in titles:
            assert line.count(title) == line.count(f"“{title}”"), line


def test_practice_is_no_work() -> None:
    assert quoted(Source("coverage by hand", Confidence.PRACTICE)) == ""
    assert quoted(Source("PS 20", Confidence.READ, edition="2020", table="Table 3")) == "“PS 20”, 2020, Table 3"


GLUED = shelf_between_sides() + "gluing:\n  adhesive: ADHESIVE\n  stages:\n    - {title: All, pieces: [L, R, S]}\n"
EPOXY = "Mixed epoxy makes its own heat"
OF_GLUE = {"pot life", "time in the clamps", "full strength", "mixing ratio", "glue for an area", "largest batch"}


# What a sheet takes from works on glue, by hand: what the label of the pot gives is not theirs. White PVA is not mixed,
# urea resin goes two to one by weight, and a slow epoxy has no ratio of its kind. What is common practice, as the full
# strength of resorcinol, is nobody's work.
@pytest.mark.parametrize(
    ("adhesive", "taken"),
    [
        ("white PVA", {"time in the clamps", "full strength", "glue for an area"}),
        ("slow epoxy", OF_GLUE - {"mixing ratio"}),
        ("urea-formaldehyde", OF_GLUE - {"largest batch"}),
        ("slow epoxy\n  pot life: 20 min", OF_GLUE - {"mixing ratio", "pot life"}),
        ("slow epoxy\n  clamp time: 12 h", OF_GLUE - {"mixing ratio", "time in the clamps"}),
        ("urea-formaldehyde\n  ratio: 2:1 by weight", OF_GLUE - {"largest batch", "mixing ratio"}),
    ],
)
def test_what_is_taken_from_works_on_glue(tmp_path: Path, adhesive: str, taken: set[str]) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(GLUED.replace("ADHESIVE", adhesive), "utf-8")
    lines = told(appendix(job_of(path)))
    names = [re.split(", | and ", what.lower()) for line in lines for what in re.findall(r"([^.”]+): “", line)]
    assert {what.strip() for some in names for what in some if what.strip() in OF_GLUE} == taken
    assert any(f"{EPOXY}: “" in line for line in lines) == ("epoxy" in adhesive)


def test_thread_roots_and_dressed_sizes_name_their_works() -> None:
    """The bench has screws in pilots of its own; the tote is of dressed pine, nominal 1x6, whose width a state's rules
    of PS 20 were read for."""
    bench, tote = (told(appendix(sample_job(SAMPLES_BY_NAME[n], "in"))) for n in ("threshold_bench", "seed_tote"))
    assert any("Roots of threads: “NDS”" in line for line in bench)
    sizes = " ".join(line[line.index("Dressed sizes: ") :] for line in tote if "Dressed sizes: " in line)
    assert "“PS 20”" in sizes and "0080-07-07-.06”, Table 4" in sizes


def test_a_work_stands_under_how_it_was_read() -> None:
    """Of the bench: Eq. 13-2 of the handbook was read of in another page, its Table 13-5 itself, and Eq. 4-5 is from
    memory (their entries in facts/movement.py say so); each stands in the paragraph of its kind, and nowhere else."""
    lines = told(appendix(sample_job(SAMPLES_BY_NAME["threshold_bench"], "in")))
    kinds = ("Read.", "Read at second hand.", "From the trade, not checked.")
    read, second, memory = (next(line for line in lines if line.startswith(kind)) for kind in kinds)
    for line, place in ((read, "Table 13-5"), (second, "Eq. 13-2"), (memory, "Eq. 4-5")):
        assert f"“Wood Handbook FPL-GTR-190”, (2010), {place}" in line
        assert sum(place in other for other in lines) == 1


def strip(height: float, keep: bool = False) -> Strip:
    return Strip(height, lambda frame, left, top: None, keep=keep)


def heights(strips: list[Strip], room: float, body: float) -> list[float]:
    return [each.height for each in in_columns(strips, room, body, (100.0, 10.0, 2), 14.0)]


def test_both_columns_are_of_about_one_length_and_go_on_on_the_next_page() -> None:
    """By hand: seven lines of 10 are four beside three, 40 high. Of twenty, 84 less 14 of air has room for seven in
    each column, and the six that remain are three beside three. A heading stays with the line that follows: of three
    lines with the second tied to the third, one stands beside two."""
    lines = [strip(10.0) for _ in range(7)]
    assert heights(lines, 500.0, 500.0) == [40.0]
    assert heights(lines, 84.0, 500.0) == [40.0]
    more = [strip(10.0) for _ in range(20)]
    assert heights(more, 84.0, 500.0) == [70.0, 30.0]
    assert heights(more, 60.0, 500.0) == [100.0], "too little room to begin there"
    assert heights([strip(10.0), strip(10.0, keep=True), strip(10.0)], 500.0, 500.0) == [20.0]


def test_three_columns_are_even_as_well() -> None:
    """By hand: seven lines of 10 are three, three and one, or three, two and two: 30 high; nine lines are 30 high, ten
    are 40."""
    for count, tall in ((7, 30.0), (9, 30.0), (10, 40.0)):
        (made,) = in_columns([strip(10.0) for _ in range(count)], 500.0, 500.0, (100.0, 10.0, 3), 14.0)
        assert made.height == tall


def test_columns_that_have_no_room_at_all_begin_on_the_next_page() -> None:
    """Less is left than the 14 of air before them, or the page is full to its last point."""
    for room in (13.9, 0.0, -0.1):
        assert heights([strip(10.0) for _ in range(7)], room, 500.0) == [40.0]
