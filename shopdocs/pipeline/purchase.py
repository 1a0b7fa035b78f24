"""From several builds to one purchase of lumber: the boards for all of them, and how each is sawn."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from shopdocs.core.problems import Position, Problem, error, has_errors, in_reading_order
from shopdocs.pipeline.asked import as_asked
from shopdocs.pipeline.checking import checked
from shopdocs.pipeline.files import closing_lines, files_of, pages_of
from shopdocs.pipeline.pages import lay_out
from shopdocs.pipeline.request import Outcome, Progress, Request
from shopdocs.source.mark_runs import MOST_PIECES

if TYPE_CHECKING:
    from shopdocs.model.build import Build, Shop
    from shopdocs.source.given import Given

FOLDER = "one-purchase"
SHEETS = ("lumber",)


def buy_together(like: Request, builds: Sequence[str], out: str, progress: Progress = lambda step: None) -> Outcome:
    """The lumber sheet for all builds in a folder below `out`, with what the figures rest on. All must be of one shop;
    a build with errors is told by its own run and keeps this one from being made."""
    found = [checked(build, like.shop) for build in builds]
    if any(one.build is None or has_errors(one.problems) for one in found):
        wrong, right = "no purchase for all was laid out: a build has errors", "mend it, and render again"
        return Outcome((error(Position(out, 1, 1), "purchase", wrong, right),))
    builds_ = [one.build for one in found if one.build is not None]
    problems = list(_not_together(builds_, [one.shop for one in found]))
    if problems:
        return Outcome(in_reading_order(problems))
    request = replace(like, only=SHEETS, labels="cut", labels_used=0)
    shop, display, more = as_asked(request, builds_[0], found[0].shop)
    if has_errors(more):
        return Outcome(in_reading_order(more))
    progress("one purchase")
    return _written(
        request,
        [replace(build, display=display) for build in builds_],
        shop,
        out,
        [g for f in found for g in f.given],
        progress,
    )


def _written(
    request: Request, builds: Sequence[Build], shop: Shop, out: str, given: Sequence[Given], progress: Progress
) -> Outcome:
    from shopdocs.documents.appendix import appendix
    from shopdocs.documents.lumber import lumber_sheet
    from shopdocs.documents.purchase import purchase_job
    from shopdocs.output.folder import FolderProblem, publish

    job = purchase_job(builds, shop, shop.labels, request.effort)
    documents = (lumber_sheet(job), appendix(job))
    composed, notes = lay_out(request, job, documents, shop, progress)
    printed = pages_of(composed)
    files = files_of(request, job, documents, composed, None, progress)
    folder = os.path.join(out, FOLDER)
    try:
        publish(files, Path(folder), keep_others=False, inputs=[Path(one.name) for one in given])
    except FolderProblem as fault:
        return Outcome((*notes, error(Position(folder, 1, 1), "out", fault.wrong, fault.right)))
    return Outcome(in_reading_order(notes), closing_lines(files, printed))


def _not_together(builds: Sequence[Build], shops: Sequence[Shop]) -> list[Problem]:
    from shopdocs.documents.purchase import not_together

    problems = list(not_together(builds))
    for build, shop in zip(builds, shops, strict=True):
        if shop.content != shops[0].content:
            wrong = f"{build.title} is of another shop file than {builds[0].title}"
            problems.append(error(build.at, "shop", wrong, "name one for all: --shop FILE"))
    pieces = sum(len(part.pieces) * build.copies for build in builds for part in build.parts)
    if pieces > MOST_PIECES:
        wrong = f"these builds have {pieces} pieces in all"
        problems.append(error(builds[0].at, "number", wrong, f"at most {MOST_PIECES} are laid out together"))
    return problems
