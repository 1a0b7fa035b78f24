"""Every page of every sample, in inches on Letter and in millimetres on A4 (all four
ways: tests/bench/white.py): nothing over words, digits that can be read, no page nearly half empty without a reason
that is named in the catalogue or that lies in the sheet that follows.

Digits of 2 mm are the sheets' own rule; heights of the typeface's figures are read from the font in test_frame_checks.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing, FullScale
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.documents.catalogue import CATALOGUE, WHITE
from shopdocs.page.items import TextRun
from tests.page.frame_checks import (
    discs_astray,
    laid_items,
    least_digit_mm,
    small_digits,
    text_over_text,
    words_covered,
)
from tests.page.whole_sets import MOST_EMPTY, PAPERS, cases, whole_set
from tests.sample_jobs import SAMPLES, sample_documents

LEAST_MM = 2.0
LEAST_WORDS_MM = 1.9  # a whole number in words and tables; a fraction there has 0.8 of it
RAISED = str.maketrans("", "", "²³")  # of square feet and cubic metres
CASES = [pytest.param(*case, id=f"{case[0].name}-{case[1]}-{case[2]}") for case in cases() if case[1:] in PAPERS[:2]]
BOTH = [pytest.param(folder, units, id=f"{folder.name}-{units}") for folder in SAMPLES for units, _ in PAPERS[:2]]


@pytest.mark.thorough
@pytest.mark.parametrize(("folder", "units", "key"), CASES)
def test_no_words_lie_over_words(folder: Path, units: Units, key: str) -> None:
    """Nor are words hidden by the white under others, nor by the number of a step."""
    for frame in whole_set(folder, units, key).composed.frames:
        assert not text_over_text(frame.items), (frame.title, frame.set_number)
        assert not words_covered(frame.items), (frame.title, frame.set_number)
        if frame.document == "glue-up":  # discs elsewhere are holes, drawn where they are bored
            assert not discs_astray(frame.items), frame.set_number


@pytest.mark.thorough
@pytest.mark.parametrize(("folder", "units", "key"), CASES)
def test_no_page_is_half_empty_without_a_reason(folder: Path, units: Units, key: str) -> None:
    for frame, share, reason in whole_set(folder, units, key).white():
        assert share <= MOST_EMPTY or reason, (frame.title, frame.set_number, f"{share:.0%}")


def test_reasons_are_given_for_sheets_there_are() -> None:
    assert set(WHITE) <= {entry.name for entry in CATALOGUE}


def drawings(folder: Path, units: Units) -> Iterator[tuple[str, Drawing]]:
    for document in sample_documents(folder, units):
        for block in walk(document.blocks):
            if isinstance(block, Drawing):
                yield document.name, block
            elif isinstance(block, FullScale):
                yield document.name, block.drawing


@pytest.mark.thorough
@pytest.mark.parametrize(("folder", "units"), BOTH)
def test_digits_on_drawings_are_two_millimetres_high(folder: Path, units: Units) -> None:
    for name, drawing in drawings(folder, units):
        assert not small_digits(laid_items(drawing), LEAST_MM), (name, drawing.name)


@pytest.mark.thorough
@pytest.mark.parametrize(("folder", "units", "key"), CASES)
def test_numbers_in_words_can_be_read(folder: Path, units: Units, key: str) -> None:
    """All but labels, which are as small as the pieces they are for."""
    for frame in whole_set(folder, units, key).composed.frames:
        for item in frame.items if frame.document != "labels" else ():
            if isinstance(item, TextRun):
                fraction = "\u2044" in item.text
                run = item if fraction else item._replace(text=item.text.translate(RAISED))
                assert least_digit_mm(run) >= LEAST_WORDS_MM * (0.8 if fraction else 1.0), item.text
