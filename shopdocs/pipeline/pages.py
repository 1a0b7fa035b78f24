"""Steps 4 and 5: make the documents that are wanted and lay them out on pages."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from shopdocs.core.problems import Problem, warning
from shopdocs.model.build import Build, Shop
from shopdocs.pipeline.request import Progress, Request

if TYPE_CHECKING:
    from shopdocs.blocks.sheets import Document
    from shopdocs.documents.job import Job
    from shopdocs.page.compose import Composed


def lay_out(
    request: Request, job: Job, documents: tuple[Document, ...], shop: Shop, progress: Progress
) -> tuple[dict[str, Composed], list[Problem]]:
    """The documents, each laid out by name, and all of them as "set" unless only some are wanted."""
    from shopdocs.documents.catalogue import LOOSE
    from shopdocs.page.compose import compose, means_of
    from shopdocs.page.extract import extract
    from shopdocs.page.paper import paper

    sheet = paper(shop.paper)
    correction = (1 / shop.printer.across, 1 / shop.printer.up)
    composed: dict[str, Composed] = {}
    means = {each.name: own for each, own in zip(documents, means_of(len(documents), sheet, correction), strict=True)}
    notes = _not_made(request, job)
    whole = None
    if not request.only:
        progress("laying out the set")
        bound = tuple(document for document in documents if document.name not in LOOSE)
        whole = compose(bound, job.imprint, sheet, correction, [means[document.name] for document in bound])
        composed["set"] = whole
    for document in documents:
        progress(f"laying out {document.name}")
        found = extract(whole, document.name) if whole is not None else None
        own = means.pop(document.name)
        composed[document.name] = found or compose((document,), job.imprint, sheet, correction, [own])
        own.forget()
    return composed, notes + typesetting_notes(job.build, composed)


def _not_made(request: Request, job: Job) -> list[Problem]:
    from shopdocs.documents.catalogue import CATALOGUE

    return [
        warning(job.build.at, "not-made", f"'{entry.name}' was asked for but is not made", entry.why_not)
        for entry in CATALOGUE
        if entry.name in request.only and not entry.exists(job)
    ]


def typesetting_notes(build: Build, composed: dict[str, Composed]) -> list[Problem]:
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
    from shopdocs.page.label_layout import ON_NARROW
    from shopdocs.page.label_sheets import larger_sheets

    if note.startswith("label sheet"):
        return "load that paper for the labels, or choose a sheet of the other size"
    if found := re.match(r"no room (.*) of sheet (\S+) for", note):
        where, key = found.groups()
        larger = larger_sheets(key, where == ON_NARROW)
        told = "the piece's record page says it; no label sheet in the list has more room there"
        return f"take larger labels, such as --labels {larger[0]}; `shopdocs list` names the sheets" if larger else told
    if note.startswith("drawing"):
        return "look at that drawing before you rely on it"
    return "look at the sheet, shorten or replace the text"
