"""Step 3: the job to compute, where what is asked for wins over the shop file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from shopdocs.core.display import Display
from shopdocs.core.problems import Position, Problem
from shopdocs.model.build import Build, Shop
from shopdocs.pipeline.checking import check_labels
from shopdocs.pipeline.request import Request

if TYPE_CHECKING:
    from shopdocs.documents.job import Job
    from shopdocs.work.computed import Computed


def as_asked(request: Request, build: Build, shop: Shop) -> tuple[Shop, Display, list[Problem]]:
    """Options win over the shop file."""
    shop = replace(
        shop,
        paper=request.paper or shop.paper or ("letter" if build.units == "in" else "a4"),
        labels=request.labels or shop.labels,
        labels_used=shop.labels_used if request.labels_used is None else request.labels_used,
    )
    shop = replace(shop, labels=shop.labels or ("letter-30" if shop.paper == "letter" else "a4-21"))
    display = build.display
    if request.units is not None and request.units != display.units:
        display = replace(display.turned(), both=display.both)
    at = Position("--labels", 1, 1)
    return shop, display, [replace(problem, at=at) for problem in check_labels(shop)]


def job_of(request: Request, work: Computed, shop: Shop, display: Display) -> Job:
    """`shop` differs from the one that was computed with in paper and labels only."""
    from shopdocs.documents.job import make_job
    from shopdocs.work.boards.plan import Effort

    records = request.records if request.records is not None else work.build.records or shop.records
    build = replace(work.build, date=request.date) if request.date else work.build
    return make_job(build, shop, display, records, shop.labels, Effort(request.effort), work, request.edition)
