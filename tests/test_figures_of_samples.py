"""Every figure that stands on a sheet of a sample is the rounded form of its exact value: read back by the reader of
lengths, which knows nothing of how they are printed."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.text import Figure
from shopdocs.blocks.walk import figures
from shopdocs.core.display import ROUNDED, Units, rounded
from shopdocs.core.length import Length
from shopdocs.documents.records import record_pages
from shopdocs.source.arithmetic import evaluate
from tests.sample_jobs import SAMPLES, sample_documents, sample_job

BIT_STEP = Length("0.01")  # bits in millimetres are named to a hundredth


def read_back(shown: str, units: Units) -> tuple[Length, bool]:
    """The length that stands there, and whether it is marked as rounded."""
    plain = shown.replace(ROUNDED, "").replace("\u00a0", " ").split(" (")[0].removeprefix("Ø ").strip()
    return evaluate(plain, units), ROUNDED in shown.split(" (")[0]


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda path: path.name)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_every_length_on_a_sheet_is_its_exact_value_rounded(folder: Path, units: Units) -> None:
    job = sample_job(folder, units)
    seen = 0
    for document in (*sample_documents(folder, units), *record_pages(job)):
        for figure in figures(document.blocks):
            if figure.unit == "mm":
                check_length(figure, units, job.display.step)
                seen += 1
    assert seen > 40


def check_length(figure: Figure, units: Units, step: Length) -> None:
    exact = Length(figure.value)
    stands, marked = read_back(figure.shown, units)
    if stands == exact:
        return
    assert marked, f"{figure.name}: {figure.shown} is not {exact!r} and does not say so"
    near = {rounded(exact, step), rounded(exact, BIT_STEP)}
    assert stands in near, f"{figure.name}: {figure.shown} for {exact!r}"


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda path: path.name)
def test_units_change_nothing_but_the_display(folder: Path) -> None:
    found: list[list[tuple[str, Fraction, str]]] = []
    both: tuple[Units, Units] = ("in", "mm")
    for units in both:
        documents = [d for d in sample_documents(folder, units) if d.name in ("cut-list", "labels", "templates")]
        found.append([(f.name, f.value, f.unit) for d in documents for f in figures(d.blocks) if "index" not in f.name])
    assert found[0] == found[1]
