"""Every figure that stands on a sheet of a sample is the rounded form of its exact value: read back by the reader of
lengths, which knows nothing of how they are printed."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.text import Figure
from shopdocs.blocks.walk import figures
from shopdocs.core.display import ROUNDED, Units, rounded
from shopdocs.core.length import Length
from shopdocs.source.arithmetic import evaluate
from tests.sample_jobs import SAMPLES, records_of, sample_documents, sample_job

BIT_STEP = Length("0.01")  # bits in millimetres are named to a hundredth
KERF_STEPS = {"in": Length.inches("1/64"), "mm": Length("0.1")}  # what a kerf is rounded to


def read_back(shown: str, units: Units) -> Length:
    """The length that stands there."""
    plain = shown.replace(ROUNDED, "").replace("\u00a0", " ").split(" (")[0].removeprefix("Ø ").strip()
    return evaluate(plain, units)


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda path: path.name)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_every_length_on_a_sheet_is_its_exact_value_rounded(folder: Path, units: Units) -> None:
    job = sample_job(folder, units)
    seen = 0
    for document in (*sample_documents(folder, units), *records_of(job)):
        before = ""  # the size whose first figure carries the mark of rounding for all
        for figure in figures(document.blocks):
            if figure.unit == "mm":
                size = figure.name.rpartition(" · ")[0]
                said = ROUNDED in figure.shown or (before == size != "")
                if not figure.name.endswith(OVER_THE_YEAR):  # the sum of what is printed
                    check_length(figure, units, job.display.step, said)
                before = size if said else ""
                seen += 1
    assert seen > 40


OVER_THE_YEAR = " · over the year"


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda path: path.name)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_what_wood_does_over_the_year_is_the_sum_of_what_stands_beside_it(folder: Path, units: Units) -> None:
    """Swells and shrinks as they are printed, each no finer than 1/64 in or 0.1 mm, add up to what is printed in all;
    that is no more than such a step off the exact sum. Where nobody measured the day of making, it may do either by
    as much as it does in all."""
    job = sample_job(folder, units)
    (sheet,) = (document for document in sample_documents(folder, units) if document.name == "movement")
    told = {figure.name: figure for figure in figures(sheet.blocks)}
    found = [name.removesuffix(OVER_THE_YEAR) for name in told if name.endswith(OVER_THE_YEAR)]
    for name in found:
        whole, *parts = (told[f"{name} · {what}"] for what in ("over the year", "swells", "shrinks"))
        stands = [read_back(part.shown, units) for part in parts]
        total = read_back(whole.shown, units)
        assert total == (stands[0] + stands[1] if job.year.worked is not None else stands[0]), name
        assert abs((total - Length(whole.value)).mm) <= KERF_STEPS[units].mm, name
        assert ROUNDED in whole.shown or total == Length(whole.value), name
    assert found or folder.name in ("spice_cabinet", "loft_stool", "seed_tote")


GAPS = re.compile(
    r" · (gap|play (left|right|front|rear|below|above)|made|off what it lies over|room left|season|gives|needs)$"
)
OFFSETS = re.compile(r" · (step|height \d+)$")  # of an arch, at even steps of the rule that is printed


def check_length(figure: Figure, units: Units, step: Length, marked: bool) -> None:
    exact = Length(figure.value)
    stands = read_back(figure.shown, units)
    if stands == exact:
        return
    assert marked, f"{figure.name}: {figure.shown} is not {exact!r} and does not say so"
    near = {rounded(exact, step), rounded(exact, BIT_STEP), rounded(exact, KERF_STEPS[units])}
    if GAPS.search(figure.name):  # never less than it is, but for 1/50 mm
        less = exact - min(exact, Length("0.02"))
        near = {each * math.ceil(some / each) for each in (step, KERF_STEPS[units]) for some in (exact, less)}
    assert stands in near, f"{figure.name}: {figure.shown} for {exact!r}"


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda path: path.name)
def test_units_change_nothing_but_the_display(folder: Path) -> None:
    found: list[list[tuple[str, Fraction, str]]] = []
    both: tuple[Units, Units] = ("in", "mm")
    for units in both:
        documents = [d for d in sample_documents(folder, units) if d.name in ("cut-list", "labels", "templates")]
        shown = [f for d in documents for f in figures(d.blocks) if "index" not in f.name]
        found.append([(f.name, f.value, f.unit) for f in shown if not OFFSETS.search(f.name)])
    assert found[0] == found[1]
