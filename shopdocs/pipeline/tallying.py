"""From a receipt to its tally: what was bought, and the pieces laid on those boards."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopdocs.core.display import Display
from shopdocs.core.problems import Position, Problem, error, has_errors, in_reading_order
from shopdocs.model.build import Build, Shop
from shopdocs.pipeline.asked import as_asked
from shopdocs.pipeline.checking import checked
from shopdocs.pipeline.files import closing_lines, pages_of
from shopdocs.pipeline.pages import typesetting_notes
from shopdocs.pipeline.request import Outcome, Progress, Request

if TYPE_CHECKING:
    from shopdocs.documents.yard.receipts import TallyJob
    from shopdocs.model.stock import Receipt
    from shopdocs.page.compose import Composed


def tally(request: Request, receipt: str, out: str, progress: Progress = lambda step: None) -> Outcome:
    """Measure a receipt and lay the pieces of the build on the boards that were bought; its sheet is put into `out`."""
    from shopdocs.checks.receipts import check_receipt, materials_not_bought
    from shopdocs.source.given import read_given
    from shopdocs.source.receipts import read_receipt
    from shopdocs.work.boards.reasons import capped_problems

    progress("reading")
    read = checked(request.build, request.shop)
    build, shop = read.build, read.shop
    if build is None or has_errors(read.problems):
        return Outcome(read.problems)
    bill = read_given(receipt)
    found, more = read_receipt(bill, build)  # what is doubtful in the build, `check` and `render` have told
    if found is not None:
        more += check_receipt(found, build, shop)
    if found is None or has_errors(more):
        return Outcome(in_reading_order(more))
    more += materials_not_bought(found, build, shop)
    progress("laying out again")
    job = _tally_job(build, *as_asked(request, build, shop)[:2], found)
    progress("writing")
    files, composed, notes = _tally_files(job)
    notes += capped_problems(refit.plan.material for refit in job.refits if refit.capped)
    problems = in_reading_order((*more, *notes))
    from shopdocs.documents.tally import tally_lines
    from shopdocs.output.folder import FolderProblem, publish

    try:
        publish(files, Path(out), keep_others=True, inputs=[Path(given.name) for given in (*read.given, bill)])
    except FolderProblem as fault:
        return Outcome((*problems, error(Position(out or "--out", 1, 1), "out", fault.wrong, fault.right)))
    return Outcome(problems, closing_lines(files, pages_of({"tally": composed})), tally_lines(job))


def _tally_job(build: Build, shop: Shop, display: Display, receipt: Receipt) -> TallyJob:
    from shopdocs.documents.yard.receipts import TallyJob
    from shopdocs.work.boards.cure import refit
    from shopdocs.work.boards.receipts import measure
    from shopdocs.work.computed import Computed

    measured = measure(receipt, build, shop)
    groups = Computed(build, shop).sawn
    return TallyJob(build, shop, display, receipt, measured, refit(build, shop, groups, measured))


def _tally_files(job: TallyJob) -> tuple[dict[str, bytes], Composed, list[Problem]]:
    """The sheet, its tables and figures by their relative names."""
    from io import BytesIO

    from shopdocs import __version__
    from shopdocs.blocks.text import Table
    from shopdocs.blocks.walk import walk
    from shopdocs.documents.tally import tally_sheet
    from shopdocs.output.csv import table_csv
    from shopdocs.output.figures_json import figures_json
    from shopdocs.output.pdf import write_pdf
    from shopdocs.page.compose import compose
    from shopdocs.page.paper import paper

    document = tally_sheet(job)
    composed = compose((document,), job.imprint, paper(job.shop.paper))
    target = BytesIO()
    write_pdf(composed, target, title=f"{job.build.title} · {document.title}")
    facts = {"paper": job.shop.paper, "units": job.display.units, "made by": f"shopdocs {__version__}"}
    files = {"tally.pdf": target.getvalue()}
    for block in walk(document.blocks):
        if isinstance(block, Table):
            files[f"tables/tally-{block.name}.csv"] = table_csv(block).encode()
    files["tally-figures.json"] = figures_json((document,), job.imprint, facts)
    return files, composed, typesetting_notes(job.build, {"tally": composed})
