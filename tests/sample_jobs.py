"""The samples, read, worked out and drawn once for all tests of a process that look at their sheets.

What is kept is never changed by those who look at it. Tests of one sample run in one process (tests/conftest.py); what
others ask of it they read from a folder that all processes of a run share."""

from __future__ import annotations

import os
import pickle
import re
from functools import cache
from io import BytesIO
from pathlib import Path

from shopdocs.blocks.sheets import Document
from shopdocs.core.display import Units
from shopdocs.documents.catalogue import LOOSE, TITLE, make_documents
from shopdocs.documents.job import Job, make_job
from shopdocs.documents.records import record_pages
from shopdocs.output.pdf import write_pdf
from shopdocs.page.compose import Composed, compose
from shopdocs.page.paper import paper
from shopdocs.pipeline import check_build
from shopdocs.pipeline.checking import Checked, checked
from tests.values import replace

SAMPLES = sorted((Path(__file__).parent.parent / "sample_builds").iterdir())
PLACED = [folder for folder in SAMPLES if folder.name != "seed_tote"]  # that has no joints and no places
BY_NAME = {folder.name: folder for folder in SAMPLES}
PAPER: dict[Units, str] = {"in": "letter", "mm": "a4"}  # what goes with the units, and what the samples ask for
BOTH: tuple[Units, Units] = ("in", "mm")
SHARED: list[Path] = []  # the folder of this run, where there are several processes


@cache
def checked_sample(folder: Path) -> Checked:
    """A sample as it is read and checked, with what was computed on the way."""
    return checked(str(folder / "build.yaml"), None)


def own_units(folder: Path) -> Units:
    """The units the sample is written in; asked of its text, since tests are collected by them."""
    (written,) = re.findall(r"(?m)^ +units: (\w+)$", (folder / "build.yaml").read_text("utf-8"))
    return next(units for units in BOTH if units == written)


@cache
def sample_job(folder: Path, units: Units) -> Job:
    """A sample in these units for the paper that goes with them, labels to be cut from plain paper."""
    found = checked_sample(folder)
    build = found.build
    assert build is not None, found.problems
    display = build.display if build.units == units else build.display.turned()
    job = make_job(build, replace(found.shop, paper=PAPER[units]), display, "", "cut", work=found.work)
    job.once(("tests", "name"), lambda: f"{folder.name}-{units}")
    return job


def job_of(path: Path) -> Job:
    """A build file as it is written, labels to be cut from plain paper; a sample is worked out once."""
    if path.name == "build.yaml" and BY_NAME.get(path.parent.name) == path.parent:
        return sample_job(path.parent, own_units(path.parent))
    build, shop, problems = check_build(str(path))
    assert build is not None, problems
    return make_job(build, shop, build.display, "", "cut")


def documents_of(job: Job) -> tuple[Document, ...]:
    """All documents of a job, made once; those of a sample once for all processes, but for two that make them at the
    same time."""
    name = job.shared.get(("tests", "name"))
    if name is None or not SHARED:
        return job.once(("tests", "documents"), lambda: tuple(make_documents(job)))
    return job.once(("tests", "documents"), lambda: _read_or_made(SHARED[0] / f"{name}.pickle", job))


def _read_or_made(kept: Path, job: Job) -> tuple[Document, ...]:
    if kept.exists():
        documents: tuple[Document, ...] = pickle.loads(kept.read_bytes())
        return documents
    documents = tuple(make_documents(job))
    own = kept.with_suffix(f".{os.getpid()}")
    own.write_bytes(pickle.dumps(documents))
    own.replace(kept)  # so that nobody reads half of it
    return documents


def document_of(job: Job, name: str) -> Document:
    """One document of a job, made once. Raises StopIteration where there is none of that name."""
    if name == TITLE or ("tests", "documents") in job.shared:  # the title names the others
        return next(document for document in documents_of(job) if document.name == name)
    return job.once(("tests", name), lambda: next(d for d in make_documents(job, (name,)) if d.name == name))


def records_of(job: Job) -> tuple[Document, ...]:
    """The record pages in the order of the pieces, made once."""
    return job.once(("tests", "records"), lambda: tuple(record_pages(job)))


def sample_documents(folder: Path, units: Units) -> tuple[Document, ...]:
    """All documents of a sample in these units."""
    return documents_of(sample_job(folder, units))


def bound_documents(folder: Path, units: Units) -> tuple[Document, ...]:
    """Those of them that are bound into the set."""
    return tuple(document for document in sample_documents(folder, units) if document.name not in LOOSE)


@cache
def sample_pages(folder: Path, units: Units) -> Composed:
    """The pages of the set, on the paper that goes with the units."""
    return compose(bound_documents(folder, units), sample_job(folder, units).imprint, paper(PAPER[units]))


@cache
def sample_pdf(folder: Path, units: Units) -> bytes:
    """These pages as they are written."""
    target = BytesIO()
    write_pdf(sample_pages(folder, units), target)
    return target.getvalue()
