"""Labels and their codes."""

from __future__ import annotations

import re

import numpy as np
import pypdfium2 as pdfium
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from qrcode.main import QRCode

from shopdocs.blocks.sheets import Labels
from shopdocs.page import qr
from shopdocs.page.items import Line, Symbol, TextRun
from shopdocs.page.label_sheets import keep_inside, label_sheet, label_sheet_keys
from tests.page import paper_sample as sample
from tests.values import replace

MM = 25.4 / 72
SHEETS = [key for key in label_sheet_keys() if not key.startswith("cut-")]
WITH_CODES = [key for key in SHEETS if key != "letter-80"]  # its codes hold the mark alone


def decoded(pages: sample.Composed) -> list[str]:
    """What an independent decoder reads from 200 dpi pictures of the pages."""
    out: list[str] = []
    for page in pdfium.PdfDocument(sample.pdf_bytes(pages)):
        picture = page.render(scale=200 / 72, grayscale=True).to_numpy()
        out += [code.text for code in zxingcpp.read_barcodes(np.ascontiguousarray(picture.squeeze()))]
    return out


@pytest.mark.parametrize("sheet", WITH_CODES)
def test_codes_are_read_back_from_the_page(sheet: str) -> None:
    pages = sample.composed((sample.labels(sheet),))
    assert sorted(decoded(pages)) == sorted(f"HTTPS://SHOP.EXAMPLE/R/PS-{mark}" for mark in sample.MARKS)


@pytest.mark.parametrize("sheet", WITH_CODES)
def test_codes_keep_module_and_quiet_zone(sheet: str) -> None:
    """ISO/IEC 18004: four modules of white on all sides. 0.41 mm a module: common practice, no source."""
    pages = sample.composed((sample.labels(sheet),))
    geometry = label_sheet(sheet, "letter")
    frame = pages.frames[0]
    corners = [(left.points, frame.height - top.points) for left, top in geometry.places()]
    words = [item for item in frame.items if isinstance(item, TextRun) and not item.angle]
    for symbol in (item for item in frame.items if isinstance(item, Symbol)):
        side = symbol.module * len(symbol.rows)
        quiet = 4 * symbol.module - 0.01
        assert symbol.module * MM >= 0.41 - 1e-6
        left, top = next(
            (x, y)
            for x, y in corners
            if x < symbol.x < x + geometry.width.points and y - geometry.height.points < symbol.y < y
        )
        assert symbol.x + side + quiet <= left + geometry.width.points
        assert symbol.y + side + quiet <= top
        assert symbol.y - quiet >= top - geometry.height.points
        for run in words:
            if run.y < symbol.y + side and run.y > symbol.y and left <= run.x < symbol.x:
                assert run.x + qr_width(run) <= symbol.x - quiet + 0.02


def qr_width(run: TextRun) -> float:
    from shopdocs.page.typeface import width

    return width(run.text, run.face, run.size)


def test_one_inch_labels_carry_an_eighteen_millimetre_symbol() -> None:
    """Common practice, no source: 18 mm on one-inch labels."""
    frame = sample.composed((sample.labels("letter-30"),)).frames[0]
    symbol = next(item for item in frame.items if isinstance(item, Symbol))
    assert symbol.module * len(symbol.rows) * MM == pytest.approx(18.0)


def test_the_smallest_codes_hold_the_mark_and_say_so() -> None:
    """ISO/IEC 18004: 31 characters take version 2 at level M, 25 modules and a quiet zone of 8; on a label half an inch
    high that is 0.385 mm a module, under 0.41. The mark alone takes version 1, 21 modules."""
    sheet = "letter-80"
    pages = sample.composed((sample.labels(sheet),))
    symbols = [item for frame in pages.frames for item in frame.items if isinstance(item, Symbol)]
    assert len(symbols) == len(sample.MARKS)
    assert {len(symbol.rows) for symbol in symbols} == {21}
    assert sorted(decoded(pages)) == sorted(f"PS-{mark}" for mark in sample.MARKS)
    assert any(note.startswith(f"no room in codes of labels of sheet {sheet} for the address") for note in pages.notes)


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_mark_is_the_loudest_and_all_stays_inside(sheet: str) -> None:
    pages = sample.composed((sample.labels(sheet),))
    geometry = label_sheet(sheet, "letter")
    inside = keep_inside().points
    frame = pages.frames[0]
    places = [(left.points, frame.height - top.points) for left, top in geometry.places()]
    for mark, (left, top) in zip(sample.MARKS, places, strict=False):
        mine = [
            item
            for item in frame.items
            if isinstance(item, TextRun)
            and left - 0.1 <= item.x <= left + geometry.width.points
            and top - geometry.height.points - 0.1 <= item.y <= top
        ]
        loud = max(mine, key=lambda item: item.size)
        assert loud.text == mark
        assert loud.face == "bold"
        for item in mine:
            wide = qr_width(item)
            right, high = (item.x, item.y + wide) if item.angle else (item.x + wide, item.y + item.size * 0.66)
            assert right <= left + geometry.width.points - inside + 0.02
            assert high <= top - inside + 0.02
            assert item.y >= top - geometry.height.points + inside - 0.02


def test_words_of_a_sheet_stand_in_one_type_and_what_is_left_out_is_counted() -> None:
    """Also where one label has more to say than the others."""
    sizes, codes = ("finished 12 × 140 × 560 mm",), (sample.CodeText("piece"),)
    few = [sample.PieceLabel("P", "SC", name, sizes, codes=codes) for name in ("leg", "top rail")]
    meets = tuple(f"{i} S{i}" for i in range(30))
    busy = sample.PieceLabel("L", "SC", "side", sizes, (), meets, "stage 1", codes=codes)
    (frame,) = sample.composed((sample.Document("labels", "Labels", "", (Labels((*few, busy), "a4-21"),)),)).frames
    runs = [item for item in frame.items if isinstance(item, TextRun)]
    assert len({round(run.size, 3) for run in runs if run.text in ("leg", "top rail", "side", "stage\u00a01")}) == 1
    words = " ".join(run.text for run in runs).replace("\u00a0", " ")
    assert re.search(r"\+\d+", words)


def test_joints_stand_apart_by_more_than_their_own_words() -> None:
    """Between a joint and the next stand two spaces, within one a single one, on broken lines as well."""
    meets = tuple(f"{i} S{i}" for i in range(1, 12))
    label = sample.PieceLabel("L", "SC", "side", ("finished 12 × 140 × 560 mm",), (), meets, "stage 1")
    (frame,) = sample.composed((sample.Document("labels", "Labels", "", (Labels((label,), "a4-21"),)),)).frames
    lines = [run.text for run in frame.items if isinstance(run, TextRun) and re.search(r"\d\u00a0S\d", run.text)]
    assert len(lines) == 2
    for line in lines:
        joints = re.findall(r"\d+\u00a0S\d+", line)
        assert "\u00a0 ".join(joints) in line and len(joints) > 2


def test_a_size_is_never_cut() -> None:
    """Half a size would be taken for a size: it stands whole, on one line or two, or not at all."""
    (whole,) = sample.label("FL").sizes
    for sheet in SHEETS:
        frame = sample.composed((sample.labels(sheet, count=1),)).frames[0]
        shown = [item.text.replace("\u00a0", " ") for item in frame.items if isinstance(item, TextRun)]
        pieces = [text for text in shown if "×" in text or "finished" in text]
        assert not any(text == "in" for text in shown)
        assert "".join(pieces).replace(" ", "").removesuffix("in") in ("", whole.replace(" ", "").removesuffix("in"))


@pytest.mark.parametrize("sheet", ["a4-65", "letter-30", "cut"])
def test_a_size_too_long_for_the_label_is_left_out_and_noted(sheet: str) -> None:
    long = " × ".join([sample.inch("1421/32")] * 12) + " in"
    block = sample.Labels((replace(sample.label("FL"), sizes=(long,), short_sizes=()),), sheet)
    pages = sample.composed((sample.Document("d", "t", "", (block,)),))
    assert not any(isinstance(item, TextRun) and "×" in item.text for item in pages.frames[0].items)
    assert any(note == f"no room on labels of sheet {block.sheet} for the sizes: FL" for note in pages.notes)


@pytest.mark.parametrize(("room", "sheet"), [("15", "letter-30"), ("20", "a4-21"), ("30", "a4-24"), ("4", "letter-30")])
def test_a_narrow_face_takes_a_narrow_label(room: str, sheet: str) -> None:
    """All stands above a line to cut along, so high over the foot that the label is as high as the face is wide; none
    is lower than 10 mm (own choice)."""
    stuck = replace(sample.label("FL").sticking or sample.Sticking(""), room=sample.Length(room))
    block = sample.Labels((replace(sample.label("FL"), sticking=stuck),), sheet)
    (frame,) = sample.composed((sample.Document("d", "t", "", (block,)),)).frames
    (cut,) = [item for item in frame.items if isinstance(item, Line) and item.dash and item.y0 == item.y1]
    geometry = label_sheet(sheet, "letter")
    top = frame.height - geometry.top.points
    assert (top - cut.y0) * MM == pytest.approx(max(float(room), 10.0))
    for item in frame.items:
        if isinstance(item, TextRun):
            assert item.y > cut.y0 + keep_inside().points * 0.5
        if isinstance(item, Symbol):
            assert item.y - 4 * item.module >= cut.y0 - 0.01
    assert {"FL"} <= {item.text for item in frame.items if isinstance(item, TextRun)}


@pytest.mark.parametrize("used", [0, 4, 29, 30])
def test_used_places_stay_empty(used: int) -> None:
    pages = sample.composed((sample.labels("letter-30", used, 3),))
    places = list(label_sheet("letter-30", "letter").places())
    spots = []
    for frame in pages.frames:
        for item in frame.items:
            if isinstance(item, TextRun) and item.face == "bold":
                x, y = item.x, frame.height - item.y
                spots.append(
                    next(
                        index
                        for index, (left, top) in enumerate(places)
                        if left.points <= x < left.points + 189 and top.points <= y < top.points + 72
                    )
                )
    assert spots == [(used + offset) % 30 for offset in range(3)]


@settings(max_examples=30, deadline=None)
@given(st.text(alphabet="0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:", min_size=1, max_size=120))
def test_symbols_decode_and_are_as_small_as_level_m_allows(data: str) -> None:
    rows = qr.modules(data)
    # ISO/IEC 18004: a symbol of version V has 4 V + 17 modules a side; the library finds V for level M
    plain = QRCode(error_correction=0, border=0)
    plain.add_data(data, optimize=0)
    assert len(rows) == 4 * plain.best_fit(start=1) + 17
    picture = np.array([[0 if module == "1" else 255 for module in row] for row in rows], dtype=np.uint8)
    picture = np.pad(np.kron(picture, np.ones((4, 4), dtype=np.uint8)), 16, constant_values=255)
    found = zxingcpp.read_barcodes(picture)
    assert [code.text for code in found] == [data]


# ISO/IEC 18004 capacities, alphanumeric: version 2 holds 38 characters at level M and 29 at level Q; version 3 holds 61
# and 47.
@pytest.mark.parametrize(("count", "side", "level"), [(29, 25, "Q"), (30, 25, "M"), (38, 25, "M"), (39, 29, "Q")])
def test_error_level_q_where_it_costs_nothing(count: int, side: int, level: str) -> None:
    rows = qr.modules("A" * count)
    assert len(rows) == side
    picture = np.array([[0 if module == "1" else 255 for module in row] for row in rows], dtype=np.uint8)
    picture = np.pad(np.kron(picture, np.ones((4, 4), dtype=np.uint8)), 16, constant_values=255)
    assert zxingcpp.read_barcodes(picture)[0].ec_level == level


def test_data_beyond_every_symbol_are_refused() -> None:
    with pytest.raises(ValueError, match="fit no QR symbol"):
        qr.modules("x" * 5000)


def test_label_sheet_that_does_not_exist() -> None:
    with pytest.raises(KeyError):
        sample.composed((sample.labels("no such sheet"),))
