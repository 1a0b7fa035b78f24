"""The numbered steps from a file to a folder of paper.

1 read the build and the shop · 2 check · 3 compute · 4 make documents · 5 lay out pages · 6 write to a temporary
place · 7 swap it in whole. A step that meets errors ends the run; nothing is written then.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from shopdocs.core.display import Display, Units
from shopdocs.core.problems import Position, Problem, error, has_errors, in_reading_order, warning
from shopdocs.model.build import Build, Shop

if TYPE_CHECKING:
    from shopdocs.blocks.sheets import Document
    from shopdocs.documents.job import Job
    from shopdocs.documents.yard.receipts import TallyJob
    from shopdocs.model.stock import Receipt
    from shopdocs.output.folder import Origin
    from shopdocs.page.compose import Composed
    from shopdocs.work.computed import Computed

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Request:
    """What was asked for. None or empty means: as the shop file says, else by the build."""

    build: str
    shop: str | None = None
    only: tuple[str, ...] = ()
    paper: str | None = None
    units: Units | None = None
    labels: str | None = None
    labels_used: int | None = None
    records: str | None = None
    effort: int | None = None
    date: str = ""  # to be printed instead of the build's


@dataclass(frozen=True, slots=True)
class Written:
    """One line of the closing table: a file (or folder), its pages or files, its bytes."""

    name: str
    count: str
    size: int


@dataclass(frozen=True, slots=True)
class Outcome:
    problems: tuple[Problem, ...]
    written: tuple[Written, ...] = ()
    said: tuple[str, ...] = ()  # what was found, in a few lines


def check_build(build: str, shop: str | None = None) -> tuple[Build | None, Shop, tuple[Problem, ...]]:
    """Steps 1 and 2: everything that is wrong or doubtful, in reading order."""
    work, bench, problems = _checked(build, shop)
    return work.build if work is not None else None, bench, problems


def _checked(build: str, shop: str | None) -> tuple[Computed | None, Shop, tuple[Problem, ...]]:
    """As `check_build`, with what was computed on the way."""
    from shopdocs.checks.run import check
    from shopdocs.facts.adhesives import adhesive_kinds
    from shopdocs.facts.finish_types import finish_kinds
    from shopdocs.source.decode import Vocabulary, read_build
    from shopdocs.source.shop import default_shop, read_shop
    from shopdocs.work.computed import Computed

    found, problems = read_build(build, Vocabulary(adhesive_kinds(), finish_kinds()))
    bench: Shop | None = default_shop()
    shop = shop or _shop_beside(build)
    if shop is not None:
        bench, more = read_shop(shop)
        problems += more
    bench = bench or default_shop()
    problems += _check_labels(bench)
    work = Computed(found, bench) if found is not None else None
    if work is not None:
        problems += check(work, whole=not has_errors(problems))
        if not has_errors(problems):
            problems += _besides(_on_no_board(work), problems)
    return work, bench, in_reading_order(problems)


def _besides(new: list[Problem], told: Iterable[Problem]) -> list[Problem]:
    """Those of `new` that are no consequence of a slip of the unit told at the same place."""
    slips = {problem.at for problem in told if problem.code == "unit"}
    return [problem for problem in new if problem.at not in slips]


def _on_no_board(work: Computed) -> list[Problem]:
    """Pieces that no board can give, however it is sawn; a first answer of the layout tells."""
    from shopdocs.work.boards.plan import Effort, boards_plan
    from shopdocs.work.boards.reasons import left_out_problems

    plan = boards_plan(work.build, work.shop, work.groups, Effort(0, sawn=False))
    return left_out_problems(plan, certain=True)


def _shop_beside(build: str) -> str | None:
    """`shop.yaml` in the build's folder is used without being named."""
    path = Path(build)
    beside = path.parent / "shop.yaml"
    # These make no fault of a name that is too long; a link that leads nowhere is no shop left out on purpose.
    there = os.path.isfile(path) and os.path.lexists(beside)
    return str(beside) if there and beside.name != path.name else None


def _check_labels(shop: Shop) -> list[Problem]:
    from shopdocs.page.label_sheets import label_sheet, label_sheet_keys
    from shopdocs.page.paper import paper_keys

    if not shop.labels:
        return []
    at = shop.places.get("labels", shop.at)
    keys = label_sheet_keys()
    if shop.labels not in keys:
        return [error(at, "labels", f"no label sheet is called '{shop.labels}'", "known: " + ", ".join(keys))]
    sheet = label_sheet(shop.labels, shop.paper or paper_keys()[0])
    if shop.labels_used >= sheet.count:
        used_at = shop.places.get("labels used", at)
        wrong = f"{shop.labels_used} labels used of a sheet of {sheet.count}"
        return [error(used_at, "labels", wrong, "take a new sheet and write 0")]
    return []


def render(request: Request, out: str, progress: Progress = lambda step: None) -> Outcome:
    """All steps; the set is in `out` when no error was met, else `out` is as it was."""
    from shopdocs.work.boards.reasons import capped_problems, left_out_problems

    progress("reading")
    work, shop, problems = _checked(request.build, request.shop)
    if work is None or has_errors(problems):
        return Outcome(problems)
    shop, display, more = _as_asked(request, work.build, shop)
    if has_errors(more):
        return Outcome(in_reading_order((*problems, *more)))
    progress("computing")
    job = _job(request, work, shop, display)
    composed, documents, notes = _lay_out(request, job, shop, progress)
    notes += _besides(left_out_problems(job.boards), problems)
    notes += capped_problems(plan.material for plan in job.boards.materials if plan.capped)
    problems = in_reading_order((*problems, *more, *notes))
    progress("writing")
    files = _files(request, job, documents, composed, progress)
    from shopdocs.output.folder import FolderProblem, publish

    at = Position(out or "--out", 1, 1)
    try:
        stale = publish(
            files, Path(out), keep_others=bool(request.only), origin=_origin(request, job), inputs=_inputs(request)
        )
    except FolderProblem as fault:
        return Outcome((*problems, error(at, "out", fault.wrong, fault.right)))
    return Outcome((*problems, *_removed(at, stale)), _closing(files, composed))


def _origin(request: Request, job: Job) -> Origin:
    """By what one tells whether files of an earlier run are still true."""
    from shopdocs import __version__
    from shopdocs.output.folder import Origin

    paths = (request.build, request.shop or _shop_beside(request.build))
    contents = [Path(path).read_bytes() if path else b"" for path in paths]
    dated = "-".join(request.date.split())
    printed = "-".join(filter(None, (job.display.units, job.shop.paper, dated)))
    return Origin.of([__version__.encode(), *contents], printed)


def _removed(at: Position, stale: tuple[str, ...]) -> list[Problem]:
    """What was taken away because the build, the shop file or the way of printing changed since it was made."""
    shown = dict.fromkeys(name.partition("/")[0] + ("/" if "/" in name else "") for name in stale)
    wrong = f"removed, for they were made before the last change: {', '.join(shown)}"
    return [warning(at, "stale", wrong, "render without --only to make them again")] if stale else []


def _inputs(request: Request) -> list[Path]:
    """The files that a set is made from."""
    shop = request.shop or _shop_beside(request.build)
    return [Path(request.build), *([Path(shop)] if shop is not None else [])]


def _as_asked(request: Request, build: Build, shop: Shop) -> tuple[Shop, Display, list[Problem]]:
    """Options win over the shop file."""
    shop = replace(
        shop,
        paper=request.paper or shop.paper or ("letter" if build.units == "in" else "a4"),
        labels=request.labels or shop.labels,
        labels_used=shop.labels_used if request.labels_used is None else request.labels_used,
    )
    shop = replace(shop, labels=shop.labels or ("L30" if shop.paper == "letter" else "A21"))
    display = build.display
    if request.units is not None and request.units != display.units:
        display = replace(display.turned(), both=display.both)
    at = Position("--labels", 1, 1)
    return shop, display, [replace(problem, at=at) for problem in _check_labels(shop)]


def _job(request: Request, work: Computed, shop: Shop, display: Display) -> Job:
    """`shop` differs from the one that was computed with in paper and labels only."""
    from shopdocs.documents.job import make_job
    from shopdocs.work.boards.plan import Effort

    records = request.records if request.records is not None else work.build.records or shop.records
    build = replace(work.build, date=request.date) if request.date else work.build
    return make_job(build, shop, display, records, shop.labels, Effort(request.effort), work)


def _lay_out(
    request: Request, job: Job, shop: Shop, progress: Progress
) -> tuple[dict[str, Composed], tuple[Document, ...], list[Problem]]:
    """The documents wanted, each laid out by name, and all of them as "set" unless only some are wanted."""
    from shopdocs.documents.catalogue import LOOSE, make_documents
    from shopdocs.page.compose import compose
    from shopdocs.page.extract import extract
    from shopdocs.page.paper import paper

    sheet = paper(shop.paper)
    correction = (1 / shop.printer.across, 1 / shop.printer.up)
    documents = make_documents(job, request.only)
    composed: dict[str, Composed] = {}
    notes = _not_made(request, job)
    whole = None
    if not request.only:
        progress("laying out the set")
        bound = tuple(document for document in documents if document.name not in LOOSE)
        whole = compose(bound, job.imprint, sheet, correction)
        composed["set"] = whole
    for document in documents:
        progress(f"laying out {document.name}")
        found = extract(whole, document.name) if whole is not None else None
        composed[document.name] = found or compose((document,), job.imprint, sheet, correction)
    return composed, documents, notes + _typesetting_notes(job.build, composed)


def _not_made(request: Request, job: Job) -> list[Problem]:
    from shopdocs.documents.catalogue import CATALOGUE

    return [
        warning(job.build.at, "not-made", f"'{entry.name}' was asked for and is not made", entry.why_not)
        for entry in CATALOGUE
        if entry.name in request.only and not entry.exists(job)
    ]


def _typesetting_notes(build: Build, composed: dict[str, Composed]) -> list[Problem]:
    """What could not be set as it was written: characters without a glyph, words that were cut."""
    at = build.places.get("title", build.at)
    found: dict[str, None] = {}
    for each in composed.values():
        found.update(dict.fromkeys(each.notes))
        if each.missing:
            shown = " ".join(f"{ch} (U+{ord(ch):04X})" for ch in each.missing[:12])
            found[f"the typeface lacks {shown}, printed as its number"] = None
    return [warning(at, "typesetting", note, _what_helps(note)) for note in found]


def _what_helps(note: str) -> str:
    """What to do about a note of the typesetter."""
    if note.startswith("label sheet"):
        return "load that paper for the labels, or choose a sheet of the other size"
    if "label" in note:
        return "take larger labels; `shopdocs list` names the sheets"
    if note.startswith("drawing"):
        return "look at that drawing before you rely on it"
    return "look at the sheet, shorten or replace the text"


def _files(
    request: Request,
    job: Job,
    documents: tuple[Document, ...],
    composed: dict[str, Composed],
    progress: Progress,
) -> dict[str, bytes]:
    """Every file of the set by its relative name."""
    from io import BytesIO

    from shopdocs.blocks.text import Table
    from shopdocs.blocks.walk import walk
    from shopdocs.output.csv import table_csv
    from shopdocs.output.pdf import write_pdf

    files: dict[str, bytes] = {}
    titles = {document.name: document.title for document in documents}
    for name, each in composed.items():
        progress(f"writing {name}.pdf")
        target = BytesIO()
        title = f"{job.build.title} · {titles[name]}" if name in titles and name != "title" else job.build.title
        write_pdf(each, target, title=title)
        files[f"{name}.pdf"] = target.getvalue()
    tables = {
        block.name: block for document in documents for block in walk(document.blocks) if isinstance(block, Table)
    }
    for name, table in tables.items():
        files[f"tables/{name}.csv"] = table_csv(table).encode()
    if not request.only:
        progress("writing the records")
        files |= _records(job, documents)
    return files


def _records(job: Job, documents: tuple[Document, ...]) -> dict[str, bytes]:
    """The record pages and the list of every figure, on sheets and records alike."""
    from shopdocs import __version__
    from shopdocs.documents.records import record_index, record_pages
    from shopdocs.output.figures_json import figures_json
    from shopdocs.records.site import record_site

    pages = record_pages(job)
    index = record_index(job)
    files = {f"records/{name}": content for name, content in record_site(pages, index, job.imprint).items()}
    facts = {"paper": job.shop.paper, "units": job.display.units, "made by": f"shopdocs {__version__}"}
    files["figures.json"] = figures_json((*documents, *pages), job.imprint, facts).encode()
    return files


def _closing(files: dict[str, bytes], composed: dict[str, Composed]) -> tuple[Written, ...]:
    """The closing table: each PDF with its pages, each folder with its files."""
    written = []
    for name, each in composed.items():
        pages = len(each.frames)
        written.append(Written(f"{name}.pdf", f"{pages} page{'s' if pages != 1 else ''}", len(files[f"{name}.pdf"])))
    for folder in ("records", "tables"):
        inside = [content for name, content in files.items() if name.startswith(f"{folder}/")]
        if inside:
            written.append(Written(f"{folder}/", f"{len(inside)} files", sum(map(len, inside))))
    for name in ("figures.json", "tally-figures.json"):
        if name in files:
            written.append(Written(name, "", len(files[name])))
    return tuple(written)


def tally(request: Request, receipt: str, out: str, progress: Progress = lambda step: None) -> Outcome:
    """Measure a receipt and lay the pieces of the build on the boards that were bought; its sheet is put into `out`."""
    from shopdocs.checks.receipts import check_receipt, materials_not_bought
    from shopdocs.source.receipt import read_receipt
    from shopdocs.work.boards.reasons import capped_problems

    progress("reading")
    build, shop, problems = check_build(request.build, request.shop)
    if build is None or has_errors(problems):
        return Outcome(problems)
    found, more = read_receipt(receipt, build)  # what is doubtful in the build, `check` and `render` have told
    if found is not None:
        more += check_receipt(found, build, shop)
    if found is None or has_errors(more):
        return Outcome(in_reading_order(more))
    more += materials_not_bought(found, build, shop)
    progress("laying out again")
    job = _tally_job(build, *_as_asked(request, build, shop)[:2], found)
    progress("writing")
    files, composed, notes = _tally_files(job)
    notes += capped_problems(refit.plan.material for refit in job.refits if refit.capped)
    problems = in_reading_order((*more, *notes))
    from shopdocs.documents.tally import tally_lines
    from shopdocs.output.folder import FolderProblem, publish

    try:
        publish(files, Path(out), keep_others=True, inputs=[*_inputs(request), Path(receipt)])
    except FolderProblem as fault:
        return Outcome((*problems, error(Position(out or "--out", 1, 1), "out", fault.wrong, fault.right)))
    return Outcome(problems, _closing(files, {"tally": composed}), tally_lines(job))


def _tally_job(build: Build, shop: Shop, display: Display, receipt: Receipt) -> TallyJob:
    from shopdocs.documents.yard.receipts import TallyJob
    from shopdocs.work.boards.cure import refit
    from shopdocs.work.boards.measure import measure
    from shopdocs.work.computed import Computed

    measured = measure(receipt, build, shop)
    groups = Computed(build, shop).groups
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
    files["tally-figures.json"] = figures_json((document,), job.imprint, facts).encode()
    return files, composed, _typesetting_notes(job.build, {"tally": composed})


def write_starter(folder: str) -> tuple[tuple[Problem, ...], tuple[str, ...]]:
    """Write a small commented build and shop into a new or empty folder; problems, and the files written."""
    from shopdocs.core.assets import layouts_folder

    at = Position(folder, 1, 1)
    if not folder.strip():
        return (error(Position("start", 1, 1), "out", "the folder has no name", "name a new folder"),), ()
    target = Path(folder)
    source = layouts_folder() / "starter"
    names = sorted(path.name for path in source.iterdir())
    there = [name for name in names if os.path.lexists(target / name)]
    if there:
        return (error(at, "exists", f"'{there[0]}' is there already", "name a new folder"),), ()
    try:
        target.mkdir(parents=True, exist_ok=True)
        for name in names:
            (target / name).write_bytes((source / name).read_bytes())
    except OSError as fault:
        return (error(at, "out", f"the folder cannot be written ({fault.strerror})", "choose another"),), ()
    return (), tuple(str(target / name) for name in names)


def schema_text(shop: bool, receipt: bool = False) -> str:
    """The JSON Schema of the build file, of the shop file or of a receipt."""
    import json

    from shopdocs.source.receipt import receipt_schema
    from shopdocs.source.schema import build_schema
    from shopdocs.source.shop_schema import shop_schema

    schema = receipt_schema if receipt else shop_schema if shop else build_schema
    return json.dumps(schema(), indent=2, ensure_ascii=False)


def reference_text() -> str:
    """Every key of both files with its meaning, as Markdown."""
    from shopdocs.source.reference import reference

    return reference()


def names_text() -> str:
    """Names that stand for something: documents, label sheets, joints, adhesives, finishes, hole patterns, papers."""
    from shopdocs.core.assets import layout_table
    from shopdocs.documents.catalogue import NAMES
    from shopdocs.facts.adhesives import adhesive_lines
    from shopdocs.facts.finish_types import finish_kinds
    from shopdocs.model.joint_kinds import kind_lines
    from shopdocs.page.label_sheets import label_sheet_keys
    from shopdocs.page.paper import paper_keys

    lists = {
        "documents (--only)": NAMES,
        "papers (--paper)": paper_keys(),
        "label sheets (--labels)": label_sheet_keys(),
        "joints (kind), what each joins, and the keys for its sizes": tuple(kind_lines()),
        "holes that are meant to meet (crosses, under hardware)": (
            "drawbore pin, peg        crosses the joint whose tenons or dowels it goes through",
            "                         (offset: how much nearer to the shoulder the tenon's hole lies)",
            "cross dowel, barrel nut  crosses the bolt that ends in it",
        ),
        "adhesives, and how long they stay open at 20 °C (the label of the pot wins)": adhesive_lines(),
        "finishes": finish_kinds(),
        "hole patterns": tuple(layout_table("hardware_patterns")),
    }
    return "\n".join(f"{title}\n  " + "\n  ".join(names) for title, names in lists.items())
