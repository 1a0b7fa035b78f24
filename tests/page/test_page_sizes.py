"""Papers and label sheets against the standards and against sums that must come out."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.core.length import Length
from shopdocs.page.label_sheets import keep_inside, label_sheet, label_sheet_keys
from shopdocs.page.paper import paper, paper_keys

# ISO 216 (A4) and ANSI/ASME Y14.1 (size A).
STANDARD_SIZES = {"a4": (Length(210), Length(297)), "letter": (Length.inches("8.5"), Length.inches(11))}

# Geometry of label sheets as sold, by columns, rows, label, gap: the 30-up, 21-up, 8-up and 40-up rows are read in
# published layout lists (a label template wiki; "Address labels A4 21 per sheet"; a list of label sizes in a public
# repository), to the last digit printed there.
PUBLISHED = {
    "letter-30": (3, 10, Length.inches("2.625"), Length.inches(1), Length.inches("0.125"), Length(0)),
    "a4-21": (3, 7, Length("63.5"), Length("38.1"), Length("2.5"), Length(0)),
    "a4-8": (2, 4, Length("99.1"), Length("67.7"), Length("2.5"), Length(0)),
    "a4-40": (4, 10, Length("52.5"), Length("29.7"), Length(0), Length(0)),
}
# First label's corner: 30-up wiki page (0.1875 in, 0.5 in), 21-up page (7.2 mm, 15.15 mm); half their last digit.
CORNERS = {
    "letter-30": (Length.inches("0.1875"), Length.inches("0.5"), Length.inches("0.00005")),
    "a4-21": (Length("7.2"), Length("15.15"), Length("0.051")),
}


@pytest.mark.parametrize("key", STANDARD_SIZES)
def test_paper_has_its_standard_size(key: str) -> None:
    assert (paper(key).width, paper(key).height) == STANDARD_SIZES[key]


def test_every_paper_is_in_a_standard() -> None:
    assert set(paper_keys()) == set(STANDARD_SIZES)


@pytest.mark.parametrize("key", STANDARD_SIZES)
def test_margins_are_at_least_twelve_millimetres(key: str) -> None:
    sheet = paper(key)
    assert min(sheet.left, sheet.right, sheet.top, sheet.bottom) >= Length(12)


@pytest.mark.parametrize("key", PUBLISHED)
def test_label_sheet_as_published(key: str) -> None:
    columns, rows, width, height, gap_across, gap_down = PUBLISHED[key]
    sheet = label_sheet(key, "letter")
    assert (sheet.columns, sheet.rows, sheet.width, sheet.height) == (columns, rows, width, height)
    assert (sheet.step_across - sheet.width, sheet.step_down - sheet.height) == (gap_across, gap_down)


@pytest.mark.parametrize("key", CORNERS)
def test_first_label_corner_as_published(key: str) -> None:
    left, top, half_digit = CORNERS[key]
    sheet = label_sheet(key, "letter")
    assert abs(sheet.left - left) <= half_digit
    assert abs(sheet.top - top) <= half_digit


SHEETS = [(key, page) for key in label_sheet_keys() for page in (("letter", "a4") if key == "cut" else ("letter",))]


@pytest.mark.parametrize(("key", "page"), SHEETS)
def test_labels_lie_on_their_sheet_without_touching(key: str, page: str) -> None:
    sheet = label_sheet(key, page)
    stock = paper(sheet.paper)
    places = list(sheet.places())
    assert len(set(places)) == sheet.columns * sheet.rows
    assert sheet.step_across >= sheet.width
    assert sheet.step_down >= sheet.height
    left, top = places[0]
    last_left, last_top = places[-1]
    assert min(left, top) >= Length(0)
    assert last_left + sheet.width <= stock.width
    assert last_top + sheet.height <= stock.height


@pytest.mark.parametrize("key", [key for key in label_sheet_keys() if not key.startswith("cut")])
def test_die_cut_grids_are_centred(key: str) -> None:
    """Common practice, no source: a grid of labels lies in the middle of its sheet."""
    sheet = label_sheet(key, "letter")
    stock = paper(sheet.paper)
    across = sheet.step_across * (sheet.columns - 1) + sheet.width
    down = sheet.step_down * (sheet.rows - 1) + sheet.height
    assert sheet.left * 2 + across == stock.width
    assert sheet.top * 2 + down == stock.height


def test_print_stays_two_millimetres_inside_the_die_line() -> None:
    """Common practice, no source: feed errs by a millimetre, two are kept."""
    assert keep_inside() == Length(Fraction(2))
