"""The samples, read and worked out once for all tests that look at their sheets."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from shopdocs.blocks.sheets import Document
from shopdocs.core.display import Units
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import Job, make_job
from shopdocs.pipeline import check_build

SAMPLES = sorted((Path(__file__).parent.parent / "sample_builds").iterdir())


def job_of(path: Path) -> Job:
    """A build file as it is written, labels to be cut from plain paper."""
    build, shop, problems = check_build(str(path))
    assert build is not None, problems
    return make_job(build, shop, build.display, "", "cut")


@cache
def sample_job(folder: Path, units: Units) -> Job:
    """A sample in these units, labels to be cut from plain paper."""
    build, shop, _ = check_build(str(folder / "build.yaml"))
    assert build is not None
    display = build.display if build.units == units else build.display.turned()
    return make_job(build, shop, display, "", "cut")


@cache
def sample_documents(folder: Path, units: Units) -> tuple[Document, ...]:
    return tuple(make_documents(sample_job(folder, units)))
