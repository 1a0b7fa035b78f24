"""Step 6: every file of a set by its relative name, and the closing table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.pipeline.request import Progress, Request, Written

if TYPE_CHECKING:
    from shopdocs.blocks.drawing import Pattern
    from shopdocs.blocks.sheets import Document
    from shopdocs.blocks.text import Figure
    from shopdocs.documents.job import Job
    from shopdocs.documents.revised.lost import Lost
    from shopdocs.documents.revised.state import BuildState
    from shopdocs.output.spool import Files
    from shopdocs.page.compose import Composed


PATTERNS = "patterns"  # the folder of the outlines


class Recorded(Struct, frozen=True):
    """The record pages, the state by which a later revision is compared with this one, the pieces that earlier sets in
    the same folder had, and the figures of each page that was written, by its name."""

    pages: tuple[Document, ...]
    state: BuildState
    gone: tuple[Lost, ...] = ()
    figures: Mapping[str, Sequence[Figure]] = {}

    def with_sheets(self, documents: tuple[Document, ...]) -> Recorded:
        """The same, its state that of a set with these documents."""
        from shopdocs.documents.revised.state import with_sheets

        return replace(self, state=with_sheets(self.state, documents))


def recorded(job: Job, documents: tuple[Document, ...], pages: tuple[Document, ...], out: str = "") -> Recorded:
    """The record `pages` and the state of the build as these documents print it; `out` is the folder they go to."""
    from shopdocs.documents.revised.state import state_of
    from shopdocs.pipeline.earlier import gone_since

    state = state_of(job, documents, pages)
    return Recorded(pages, state, gone_since(out, state, job.imprint.date))


def files_of(
    request: Request,
    job: Job,
    documents: tuple[Document, ...],
    composed: dict[str, Composed],
    records: Recorded | None,
    progress: Progress,
) -> Files:
    """Every file of the set by its relative name; `records` are left out where only some sheets are wanted. `composed`
    is emptied."""
    pdfs = pdfs_of(job, documents, composed, progress)
    progress("writing the records")
    return other_files(request, job, documents, records).preceded_by(pdfs)


def pdfs_of(
    job: Job, documents: tuple[Document, ...], composed: dict[str, Composed], progress: Progress
) -> dict[str, bytes]:
    """The PDFs by their names. `composed` is emptied: pages are let go once they are written, for those of a thousand
    pieces fill much of the memory."""
    from io import BytesIO

    from shopdocs.output.pdf import write_pdf

    files: dict[str, bytes] = {}
    titles = {document.name: document.title for document in documents}
    for name in tuple(composed):
        each = composed.pop(name)
        progress(f"writing {name}.pdf")
        target = BytesIO()
        title = f"{job.build.title} · {titles[name]}" if name in titles and name != "title" else job.build.title
        write_pdf(each, target, title=title)
        files[f"{name}.pdf"] = target.getvalue()
    return files


def other_files(request: Request, job: Job, documents: tuple[Document, ...], records: Recorded | None) -> Files:
    """All that is no PDF; `records` are left out where only some sheets are wanted."""
    from shopdocs.output.spool import Files

    files = Files()
    return put_lists(files, request, job, documents, put_records(files, job, records) if records else None)


def put_records(files: Files, job: Job, records: Recorded) -> Recorded:
    """Put the record pages in; the same records, with the figures of their pages in place of the pages."""
    from shopdocs.blocks.record_pages import Pages
    from shopdocs.blocks.walk import figures
    from shopdocs.documents.record_site import records_of
    from shopdocs.documents.revised.lost import gone_pages
    from shopdocs.records.site import record_site

    site = records_of(job, records.pages, gone_pages(records.gone, records.state))
    told: dict[str, tuple[Figure, ...]] = {}

    def opened(number: int) -> Document:
        page = site.pages[number]
        told[page.name] = tuple(figures(page.blocks))
        return page

    for name, content in record_site(replace(site, pages=Pages(site.heads, opened)), job.imprint):
        files.put_aside(f"records/{name}", content)
    return replace(records, pages=(), figures=told)


def put_lists(
    files: Files, request: Request, job: Job, documents: tuple[Document, ...], records: Recorded | None
) -> Files:
    """`files`, with the tables and outlines put in and, where there are `records`, the list of every figure, on sheets
    and records alike."""
    from pathlib import PurePath

    from shopdocs import __version__
    from shopdocs.blocks.drawing import Pattern as Shaped
    from shopdocs.blocks.text import Table
    from shopdocs.blocks.walk import walk
    from shopdocs.documents.revised.lost import as_json
    from shopdocs.output.csv import table_csv
    from shopdocs.output.figures_json import figures_in_pieces

    tables = {
        block.name: block for document in documents for block in walk(document.blocks) if isinstance(block, Table)
    }
    for name, table in tables.items():
        files[f"tables/{name}.csv"] = table_csv(table).encode()
    shapes = [block for document in documents for block in walk(document.blocks) if isinstance(block, Shaped)]
    for name, content in _outlines(shapes).items() if shapes else ():
        files[name] = content
    if records is not None:
        facts = {
            "paper": job.shop.paper,
            "units": job.display.units,
            "build file": PurePath(request.build).name,
            "made by": f"shopdocs {__version__}",
        }
        state, gone = records.state.told(), as_json(records.gone)
        told = partial(figures_in_pieces, documents, job.imprint, facts, state, gone, records.figures)
        files.put_aside_as_made("figures.json", told)
    return files


def _outlines(shapes: Sequence[Pattern]) -> dict[str, bytes]:
    """Every outline by itself, for those who cut it elsewhere."""
    from shopdocs.output.outline_files import outline_dxf, outline_svg, writes_dxf

    files = {f"{PATTERNS}/{shape.file}.svg": outline_svg(shape.outline, shape.title).encode() for shape in shapes}
    if writes_dxf():
        files |= {f"{PATTERNS}/{shape.file}.dxf": outline_dxf(shape.outline).encode() for shape in shapes}
    return files


def pages_of(composed: Mapping[str, Composed]) -> dict[str, int]:
    """How many pages each PDF has."""
    return {name: len(each.frames) for name, each in composed.items()}


def closing_lines(files: Mapping[str, bytes], printed: Mapping[str, int]) -> tuple[Written, ...]:
    """The closing table: each PDF with its pages (`printed`), each folder with its files."""
    written = []
    for name, pages in printed.items():
        written.append(Written(f"{name}.pdf", f"{pages} page{'s' if pages != 1 else ''}", len(files[f"{name}.pdf"])))
    for folder in (PATTERNS, "records", "tables"):
        inside = [name for name in files if name.startswith(f"{folder}/")]
        if inside:
            plain = folder == PATTERNS and not any(name.endswith(".dxf") for name in inside)
            told = f"{len(inside)} files" + (" (DXF needs the extra 'dxf')" if plain else "")
            written.append(Written(f"{folder}/", told, sum(len(files[name]) for name in inside)))
    for name in ("figures.json", "tally-figures.json"):
        if name in files:
            written.append(Written(name, "", len(files[name])))
    return tuple(written)
