"""The customer edition: the plan for those who buy it, on both papers, in both units, with nothing of the maker's own.

Prices, private notes and all that the shop file says stay with the maker; cautious defaults stand in for a shop, and
the sheets say so. Who builds by the plan measures kerf, clamps and boards of their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from shopdocs.core.display import IN_WORDS, Units
from shopdocs.core.problems import Position, Problem, error, has_errors, in_reading_order
from shopdocs.core.slug import plain_name
from shopdocs.pipeline.asked import as_asked, job_of
from shopdocs.pipeline.checking import checked
from shopdocs.pipeline.files import closing_lines, files_of, pages_of, recorded
from shopdocs.pipeline.pages import lay_out
from shopdocs.pipeline.request import Outcome, Progress, Request, Written

if TYPE_CHECKING:
    from shopdocs.model.build import Build, Shop
    from shopdocs.work.computed import Computed

PAPERS = ("letter", "a4")
LABELS = "cut"  # plain paper: nobody knows what labels the customer has
SEPARATE = "printer-check"


def render_customers(request: Request, out: str, progress: Progress = lambda step: None) -> Outcome:
    """The customer edition as the folder `out`: a plan for each paper and unit that is asked for (else all four), the
    printer check, the tables, and the record pages."""
    progress("reading")
    found = checked(request.build, request.shop)
    if found.work is None or has_errors(found.problems):
        return Outcome(found.problems)
    work, shop = for_customers(found.work.build)
    own = request.units or work.build.units
    papers = (request.paper,) if request.paper else PAPERS
    units: tuple[Units, ...] = (request.units,) if request.units else tuple(IN_WORDS)
    first = (request.paper or ("letter" if own == "in" else "a4"), own)  # the records are in these
    files: dict[str, bytes] = {}
    told: list[Written] = []
    problems: list[Problem] = list(found.problems)
    for paper in papers:
        for unit in units:
            progress(f"the plan for {paper} in {IN_WORDS[unit]}")
            like = replace(request, paper=paper, units=unit, labels=LABELS, labels_used=0)
            made, lines, notes = _plan(like, work, shop, (paper, unit) == first, progress)
            files |= made
            told += [line for line in lines if line.name not in {before.name for before in told}]
            problems += notes
    text = _read_me(work.build, sorted(name for name in files if name.endswith(".pdf")))
    files["read-me.txt"] = text.encode()
    from shopdocs.output.folder import FolderProblem, publish

    at = Position(out or "--out", 1, 1)
    try:
        publish(files, Path(out), keep_others=False, inputs=[Path(given.name) for given in found.given])
    except FolderProblem as fault:
        return Outcome((*in_reading_order(problems), error(at, "out", fault.wrong, fault.right)))
    return Outcome(in_reading_order(problems), tuple(told))


def for_customers(build: Build) -> tuple[Computed, Shop]:
    """The build without prices and private notes, computed with nobody's shop."""
    from shopdocs.source.shop import default_shop
    from shopdocs.work.computed import Computed

    shop = default_shop()
    open_ = replace(
        build,
        materials=tuple(
            replace(one, price=None, places={k: v for k, v in one.places.items() if k != "price"})
            for one in build.materials
        ),
        parts=tuple(replace(part, private="") for part in build.parts),
    )
    return Computed(open_, shop), shop


def _plan(
    request: Request, work: Computed, shop: Shop, records: bool, progress: Progress
) -> tuple[dict[str, bytes], list[Written], list[Problem]]:
    """One plan: its PDF, its printer check and tables by their speaking names; the record pages where `records`."""
    from shopdocs.documents.catalogue import make_documents
    from shopdocs.documents.records import record_pages

    shop, display, more = as_asked(request, work.build, shop)
    job = job_of(request, work, shop, display)
    documents = make_documents(job)
    composed, notes = lay_out(request, job, documents, shop, progress)
    composed = {name: each for name, each in composed.items() if name in ("set", SEPARATE)}
    printed = pages_of(composed)
    kept = recorded(job, documents, record_pages(job)) if records else None
    made = files_of(request, job, documents, composed, kept, progress)
    named = {new: content for name, content in made.items() if (new := _name(name, request, work.build))}
    return named, list(_lines(named, printed, request, work.build)), [*more, *notes]


def _name(name: str, request: Request, build: Build) -> str:
    """What a file of the set is called among those of the other papers and units."""
    assert request.units is not None
    unit = IN_WORDS[request.units]
    if name == "set.pdf":
        title = plain_name(build.title, plain_name(build.mark, "plan"))
        revision = f"-revision-{plain_name(build.revision, 'x')}" if build.revision else ""
        return f"{title}-plan{revision}-{request.paper}-{unit}.pdf"
    if name == f"{SEPARATE}.pdf":
        return f"{SEPARATE}-{request.paper}-{unit}.pdf"
    return name.replace("tables/", f"tables-{unit}/", 1) if name.startswith("tables/") else name


def _lines(files: dict[str, bytes], printed: dict[str, int], request: Request, build: Build) -> Iterator[Written]:
    pages = {f"{name}.pdf": files[_name(f"{name}.pdf", request, build)] for name in printed}
    for line in closing_lines({**files, **pages}, printed):
        yield replace(line, name=_name(line.name, request, build))
    assert request.units is not None
    tables = [content for name, content in files.items() if name.startswith("tables-")]
    if tables:
        yield Written(f"tables-{IN_WORDS[request.units]}/", f"{len(tables)} files", sum(map(len, tables)))


def _read_me(build: Build, plans: list[str]) -> str:
    """Which file to print, and how."""
    lines = [
        build.title + (f", revision {build.revision}" if build.revision else ""),
        "",
        "Print the plan for your paper and your rule:",
        *(f"  {name}" for name in plans if not name.startswith(SEPARATE)),
        "",
        "Print at 100 % (actual size). Then measure both check bars on a page of templates before you drill by it.",
        "If they are off, print the printer check and measure that.",
        "",
        "Open records/index.html in a browser for a page about each piece; the tables open in any spreadsheet.",
        "Allowances, kerf and clamps are cautious usual values: your own shop decides.",
    ]
    return "\n".join([*lines, *(["", build.licence] if build.licence else []), ""])
