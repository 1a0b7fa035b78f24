"""The list of the set: every document, in the order it is bound, with the condition under which it exists."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopdocs.blocks.sheets import Document
from shopdocs.documents.buying import lumber_sheet, shopping_list
from shopdocs.documents.cutting import cut_list
from shopdocs.documents.front import title_sheet
from shopdocs.documents.gluing import glue_up, has_stages
from shopdocs.documents.job import Job
from shopdocs.documents.labelling import labels
from shopdocs.documents.printer import printer_check
from shopdocs.documents.templates import has_templates, templates


def _always(job: Job) -> bool:
    return True


@dataclass(frozen=True, slots=True)
class Entry:
    """`name` is what `--only` takes and the file is called; `why_not` says what in the build would bring it about."""

    name: str
    make: Callable[[Job], Document]
    exists: Callable[[Job], bool] = _always
    why_not: str = ""


CATALOGUE: tuple[Entry, ...] = (
    Entry("cut-list", cut_list),
    Entry("lumber", lumber_sheet),
    Entry("shopping", shopping_list),
    Entry("labels", labels),
    Entry("templates", templates, has_templates, "no hardware has holes on a piece"),
    Entry("glue-up", glue_up, has_stages, "gluing has no stages"),
    Entry("printer-check", printer_check),
)
TITLE = "title"
NAMES: tuple[str, ...] = (TITLE, *(entry.name for entry in CATALOGUE))


def make_documents(job: Job, only: tuple[str, ...] = ()) -> tuple[Document, ...]:
    """The documents of the set, title sheet first; `only` names those wanted, empty means all that exist."""
    made = tuple(e.make(job) for e in CATALOGUE if e.exists(job) and (not only or e.name in only))
    return made if only and TITLE not in only else (title_sheet(job, made), *made)
