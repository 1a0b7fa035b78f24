"""All steps, from a build to its set; step 7 swaps the folder in whole."""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from shopdocs.core.memory import give_back
from shopdocs.core.problems import Position, Problem, error, has_errors, in_reading_order, warning
from shopdocs.pipeline.asked import as_asked, job_of
from shopdocs.pipeline.checking import besides, checked
from shopdocs.pipeline.files import closing_lines, other_files, pages_of, pdfs_of, put_lists, put_records, recorded
from shopdocs.pipeline.pages import lay_out
from shopdocs.pipeline.request import Outcome, Progress, Request
from shopdocs.pipeline.revisions import changes_since
from shopdocs.pipeline.second_process import Begin, Meanwhile, second_process

if TYPE_CHECKING:
    from shopdocs.blocks.sheets import Document
    from shopdocs.documents.job import Job
    from shopdocs.documents.revised.compare import Changes
    from shopdocs.output.folder import Origin
    from shopdocs.output.spool import Files, Places
    from shopdocs.source.given import Given

    # The documents, what makes all files that are no PDFs, and what is wrong.
    _Made = tuple[tuple[Document, ...], Callable[[], Files], tuple[Problem, ...]]


MANY = 200  # pieces


def render_alone(request: Request, out: str, progress: Progress = lambda step: None) -> Outcome:
    """`render`, where no other set is made at the same time: a second core may help."""
    with second_process() as begin:
        return render(request, out, progress, begin)


def render(request: Request, out: str, progress: Progress = lambda step: None, begin: Begin = Meanwhile) -> Outcome:
    """All steps; the set is in `out` when no error was met, else `out` is as it was. `begin` may have some of it done
    by a second process."""
    from shopdocs.work.boards.reasons import capped_problems, left_out_problems, plain_problems

    progress("reading")
    found = checked(request.build, request.shop)
    work, problems = found.work, found.problems
    if work is None or has_errors(problems):
        return Outcome(problems)
    shop, display, more = as_asked(request, work.build, found.shop)
    if has_errors(more):
        return Outcome(in_reading_order((*problems, *more)))
    progress("computing")
    job = job_of(request, work, shop, display)
    documents, others, wrong = (
        _one_by_one(request, job, out) if request.only or request.since else _at_once(request, job, out, begin)
    )
    if wrong:
        return Outcome(in_reading_order((*problems, *wrong)))
    _let_go(job)
    composed, notes = lay_out(request, job, documents, shop, progress)
    notes += besides(left_out_problems(job.boards), problems)
    notes += capped_problems(plan.material for plan in job.boards.materials if plan.capped)
    notes += plain_problems(job.boards)
    problems = in_reading_order((*problems, *more, *notes))
    progress("writing")
    printed = pages_of(composed)
    written = pdfs_of(job, documents, composed, progress)
    progress("writing the records")
    files = others().preceded_by(written)
    from shopdocs.output.folder import FolderProblem, publish

    at = Position(out or "--out", 1, 1)
    try:
        stale = publish(
            files,
            Path(out),
            keep_others=bool(request.only),
            origin=_origin_of(found.given, job, request.date),
            inputs=[Path(given.name) for given in found.given],
        )
    except FolderProblem as fault:
        return Outcome((*problems, error(at, "out", fault.wrong, fault.right)))
    return Outcome((*problems, *_removed(at, stale)), closing_lines(files, printed))


def _one_by_one(request: Request, job: Job, out: str) -> _Made:
    """Only some sheets, or a set that shows what changed: for that the whole state of the build must be known first."""
    from shopdocs.documents.catalogue import make_documents
    from shopdocs.documents.records import record_pages

    documents = make_documents(job, request.only)
    made = None if request.only else recorded(job, documents, record_pages(job), out)
    changes, wrong = changes_since(request, made) if made else (None, ())
    if changes is not None:
        documents = told_with(job, documents, changes)
    return documents, lambda: other_files(request, job, documents, made), wrong


def _at_once(request: Request, job: Job, out: str, begin: Begin) -> _Made:
    """The whole set: sheets of single pieces, records and lists may be made meanwhile, for they need little of what the
    other sheets do."""
    from shopdocs.documents.catalogue import OF_PIECES, make_documents, of_pieces
    from shopdocs.documents.drawn.build_pictures import work_out_standing
    from shopdocs.documents.records import record_pages
    from shopdocs.output.spool import Files
    from shopdocs.page.typeface import FACES, metrics

    files = Files()
    files.open_aside()

    def of_single_pieces() -> Generator[dict[str, Document], Callable[[], tuple[Document | str, ...]], Places]:
        pieces = of_pieces(job)
        given = yield pieces
        records = recorded(job, (), record_pages(job), out)
        if _is_large(job):
            _let_go_of_all(job)  # the records need but a picture of it
        records = put_records(files, job, records)
        _let_go(job)  # before the documents come, which fill as much
        documents = tuple(pieces[each] if isinstance(each, str) else each for each in given())
        return put_lists(files, request, job, documents, records.with_sheets(documents)).places()

    for face in FACES:
        metrics(face)  # read once for both: pages and records are set in it
    if job.alike is not None:
        job.alike.work_out()  # once for both
    if not _is_large(job):
        work_out_standing(job)
    meanwhile = begin(of_single_pieces)
    documents = make_documents(job, pieces=meanwhile.first)
    meanwhile.give(tuple(each.name if each.name in OF_PIECES else each for each in documents))  # there they are
    return documents, lambda: files.placed(meanwhile.last()), ()


def _let_go(job: Job) -> None:
    """Let go of the pictures that the documents drew, and of what was worked out of many pieces."""
    from shopdocs.documents.drawn.build_pictures import forget_pictures

    forget_pictures(job)
    if _is_large(job):
        _let_go_of_all(job)


def _let_go_of_all(job: Job) -> None:
    """Let go of all that takes much memory; where it is asked for again it is worked out again."""
    job.let_go()
    give_back()


def _is_large(job: Job) -> bool:
    """Whether a build has so many pieces that memory counts more than the time to work something out twice."""
    return sum(1 for _ in job.build.pieces()) >= MANY


def told_with(job: Job, documents: tuple[Document, ...], changes: Changes) -> tuple[Document, ...]:
    """The documents with a sheet of the changes behind the title, and marks beside what changed."""
    from shopdocs.documents.catalogue import LOOSE
    from shopdocs.documents.revised.marked import marked
    from shopdocs.documents.revised.sheet import changes_sheet
    from shopdocs.documents.title import title_sheet

    rest = [marked(document, changes.old, job.check_word) for document in documents[1:]]
    sheet = changes_sheet(changes)
    return (title_sheet(job, (sheet, *rest), LOOSE), sheet, *rest)


def _origin_of(given: Sequence[Given], job: Job, date: str) -> Origin:
    """By what one tells whether files of an earlier run are still true."""
    from shopdocs import __version__
    from shopdocs.output.folder import Origin

    build, shop = given[0].data, given[1].data if len(given) > 1 else b""
    printed = "-".join((job.display.units, job.shop.paper, *date.split()))
    return Origin.of([__version__.encode(), build, shop], printed)


def _removed(at: Position, stale: tuple[str, ...]) -> list[Problem]:
    """What was taken away because the build, the shop file or the way of printing changed since it was made."""
    shown = dict.fromkeys(name.partition("/")[0] + ("/" if "/" in name else "") for name in stale)
    wrong = f"removed, as they were made before the last change: {', '.join(shown)}"
    return [warning(at, "stale", wrong, "render without --only to make them again")] if stale else []
