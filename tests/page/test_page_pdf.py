"""The finished PDF, read by pypdf and PDFium."""

from __future__ import annotations

import io
import re

import pypdfium2 as pdfium
import pytest
from pypdf import PdfReader
from pypdf.generic import Destination

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Paragraph, text
from shopdocs.page import typeface
from shopdocs.page.items import Disc, Line, Path, Symbol, TextRun
from shopdocs.page.typeface import FRACTION, width
from tests.page import paper_sample as sample

FLOOR = 8.0  # points, the least size of type on a sheet


@pytest.fixture(scope="module", params=["letter", "a4"])
def key(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def pages(key: str) -> sample.Composed:
    return sample.composed(sample.everything(), key)


@pytest.fixture(scope="module")
def data(pages: sample.Composed) -> bytes:
    return sample.pdf_bytes(pages)


@pytest.fixture(scope="module")
def reader(data: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(data))


def test_header_is_version_1_7(data: bytes) -> None:
    assert data.startswith(b"%PDF-1.7")


def test_same_frames_give_the_same_bytes(key: str, data: bytes) -> None:
    again = sample.pdf_bytes(sample.composed(sample.everything(), key))
    assert again == data
    assert b"CreationDate (D:20000101000000" in data or b"CreationDate" not in data


def test_catalogue(reader: PdfReader) -> None:
    """ISO 32000-1: ViewerPreferences in table 150, Lang in table 28."""
    catalogue = reader.trailer["/Root"]
    assert catalogue["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert catalogue["/Lang"] == "en"
    assert reader.metadata.title == "Plant stand (PS)"
    assert reader.metadata.author == "Slow Plane Shop"
    assert "revision B" in reader.metadata.subject
    assert reader.metadata.creator == "shopdocs"


def test_boxes_are_the_paper(reader: PdfReader, pages: sample.Composed) -> None:
    for page, frame in zip(reader.pages, pages.frames, strict=True):
        sides = [float(side) for side in (*page.mediabox, *page.trimbox)]
        expected = [0, 0, frame.exact_size[0].points, frame.exact_size[1].points]
        assert sides == pytest.approx(expected * 2, abs=0.001)
        assert "/UserUnit" not in page


def test_page_labels_count_in_each_document(reader: PdfReader, pages: sample.Composed) -> None:
    assert reader.page_labels == [f"{frame.document} {frame.number}" for frame in pages.frames]


def test_only_embedded_subsets_of_the_typeface(reader: PdfReader) -> None:
    names = set()
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            face = font.get_object()
            names.add(re.sub(r"^/[A-Z0-9]+\+", "", face["/BaseFont"]))
            assert face["/Subtype"] == "/TrueType"
            assert "/FontFile2" in face["/FontDescriptor"]
            assert "/ToUnicode" in face
    assert names == {"SourceSansPro-Regular", "SourceSansPro-Semibold", "SourceSansPro-Bold"}


def test_every_glyph_shown_has_an_outline(data: bytes) -> None:
    """PDFium finds a path for each character that is no space in the embedded subset."""
    document = pdfium.PdfDocument(data)
    raw = pdfium.raw
    seen = 0
    for page in document:
        for thing in page.get_objects(filter=(raw.FPDF_PAGEOBJ_TEXT,)):
            font = raw.FPDFTextObj_GetFont(thing)
            assert raw.FPDFFont_GetIsEmbedded(font) == 1
        text = page.get_textpage()
        for index in range(text.count_chars()):
            code = raw.FPDFText_GetUnicode(text, index)
            if chr(code).isspace() or raw.FPDFText_IsGenerated(text, index):
                continue
            left, low, right, top = text.get_charbox(index)
            assert right > left, hex(code)
            assert top > low, hex(code)
            seen += 1
    assert seen > 1000


def test_words_can_be_copied(data: bytes) -> None:
    document = pdfium.PdfDocument(data)
    words = "\n".join(page.get_textpage().get_text_range() for page in document)
    assert "Saw the long pieces first." in words
    assert "What am I building, and how big is it?" in words
    assert "14 × 14 × 28 in" in words
    assert "2 ¹⁄₄" in words  # and no 21/4


def test_outline_follows_documents_and_sections(reader: PdfReader, pages: sample.Composed) -> None:
    flat: list[tuple[int, str, int]] = []

    def walk(entries: list[object], level: int) -> None:
        for entry in entries:
            if isinstance(entry, list):
                walk(entry, level + 1)
            else:
                assert isinstance(entry, Destination)
                flat.append((level, str(entry.title), reader.get_destination_page_number(entry)))

    walk(list(reader.outline), 0)
    tops = [title for level, title, _ in flat if level == 0]
    assert tops == [document.title for document in sample.everything()]
    assert (1, "Members", 1) in flat
    for level, title, page in flat:
        if level == 0:
            assert pages.frames[page].title == title
            assert pages.frames[page].number == 1


def test_links_lead_to_their_anchor(reader: PdfReader, pages: sample.Composed) -> None:
    page, _ = pages.anchors["cut"]
    found = []
    for sheet in reader.pages:
        for note in sheet.get("/Annots", []):
            link = note.get_object()
            assert link["/Subtype"] == "/Link"
            found.append(link["/Dest"][0])
    assert found == [reader.pages[page].indirect_reference] * 2, "the name of the sheet and its page number"


def test_a_link_without_a_target_is_left_out() -> None:
    title, *_ = sample.words_documents()
    alone = PdfReader(io.BytesIO(sample.pdf_bytes(sample.composed((title,)))))
    assert all("/Annots" not in page for page in alone.pages)


def test_no_type_below_the_floor(pages: sample.Composed) -> None:
    assert min(item.size for frame in pages.frames for item in frame.items if isinstance(item, TextRun)) >= FLOOR


def test_nothing_outside_the_margins(pages: sample.Composed) -> None:
    """12 mm on framed pages; on label sheets 2 mm, what print keeps inside the die line."""
    for frame in pages.frames:
        keep = (2.0 if frame.bare else 12.0) * 72 / 25.4
        clip: tuple[float, float, float, float] | None = None
        for item in frame.items:
            if type(item).__name__ == "Clip":
                clip = tuple(item)  # type: ignore[assignment,arg-type]
            elif type(item).__name__ == "Unclip":
                clip = None
            x0, y0, x1, y1 = extent(item)
            if clip:
                x0, y0, x1, y1 = max(x0, clip[0]), max(y0, clip[1]), min(x1, clip[2]), min(y1, clip[3])
            assert x0 >= keep - 0.01, item
            assert y0 >= keep - 0.01, item
            assert x1 <= frame.width - keep + 0.01, item
            assert y1 <= frame.height - keep + 0.01, item


def extent(item: object) -> tuple[float, float, float, float]:
    """The item's own box: for words capital height, as the typeface's metrics give it, and the descent of those letters
    that have one."""
    if isinstance(item, TextRun):
        wide = width(item.text, item.face, item.size)
        high, deep = item.size * typeface.font(item.face).face.capHeight / 1000, item.size * 0.2
        deep = deep if set(item.text) & set("gjpqyQ,;()") else 0.0  # capitals and figures stand on the line
        if item.angle:
            return item.x - high, item.y, item.x + deep, item.y + wide
        return item.x, item.y - deep, item.x + wide, item.y + high
    if isinstance(item, Line):
        return min(item.x0, item.x1), min(item.y0, item.y1), max(item.x0, item.x1), max(item.y0, item.y1)
    if isinstance(item, Path):
        xs, ys = [x for x, _ in item.points], [y for _, y in item.points]
        return min(xs), min(ys), max(xs), max(ys)
    if isinstance(item, Disc):
        return item.x - item.radius, item.y - item.radius, item.x + item.radius, item.y + item.radius
    if isinstance(item, Symbol):
        side = item.module * len(item.rows)
        return item.x, item.y, item.x + side, item.y + side
    return 100.0, 100.0, 100.0, 100.0


def test_words_never_overlap(pages: sample.Composed) -> None:
    """Boxes from base line to capital height; only what is clipped away by a tile's window may cross."""
    for frame in pages.frames:
        if frame.true_scale:
            continue
        boxes = [extent(item) for item in frame.items if isinstance(item, TextRun)]
        boxes.sort()
        for index, a in enumerate(boxes):
            for b in boxes[index + 1 :]:
                if b[0] >= a[2] - 0.1:
                    break
                assert not (a[1] + 0.2 * 8 < b[3] - 0.1 and b[1] + 0.2 * 8 < a[3] - 0.1), (frame.document, a, b)


def test_a_fraction_stands_apart_from_its_whole_number(data: bytes) -> None:
    """Two and a quarter is never read as 21/4: between whole number and numerator there is white of a sixth of the type
    and more, and the numerator stands half way up the whole number and over it, by two fifths at most, as the
    denominator hangs under the base line by a fifth at most."""
    document = pdfium.PdfDocument(data)
    page = document[1]
    text = page.get_textpage()
    words = text.get_text_range()
    start = words.index("2 ¹⁄₄")
    plain, over, _, under = (text.get_charbox(start + index) for index in (0, 2, 3, 4))
    high = plain[3] - plain[1]
    size = high / 0.638  # of the typeface: how high its digits are
    assert over[0] - plain[2] >= size / 6
    assert over[1] - plain[1] == pytest.approx(high / 2, abs=high * 0.12)
    assert plain[3] + high / 4 < over[3] <= plain[3] + high * 0.4
    assert plain[1] - high / 5 <= under[1] < plain[1]
    assert over[1] > under[1]


def test_two_ones_of_a_numerator_stand_together() -> None:
    """3 11/16 is never read as 3 1 1/16: the ones stand closer to each other than the first to the whole number."""
    words = Paragraph(text("3¹¹⁄₁₆ in and 3¹³⁄₁₆ in"))
    data = sample.pdf_bytes(sample.composed((Document("ones", "Ones", "", (words,)),)))
    read = pdfium.PdfDocument(data)[0].get_textpage()
    words_read = read.get_text_range()
    start = words_read.index("¹¹")
    whole, first, second = (read.get_charbox(at) for at in (words_read.rindex("3", 0, start), start, start + 1))
    assert 0 < second[0] - first[2] < (first[0] - whole[2]) * 0.75


def test_hostile_words_print_literally() -> None:
    documents = (
        sample.Document(
            "x",
            sample.HOSTILE,
            f"why {sample.HOSTILE} \\(",
            (
                sample.Heading(sample.HOSTILE, 2),
                sample.Table(
                    "t",
                    (sample.Column(sample.HOSTILE),),
                    (sample.Group((sample.Row((sample.Cell.of(sample.HOSTILE),)),), sample.HOSTILE),),
                ),
            ),
        ),
    )
    data = sample.pdf_bytes(sample.composed(documents))
    words = pdfium.PdfDocument(data)[0].get_textpage().get_text_range()
    assert words.count(sample.HOSTILE) >= 6
    assert "\\(" in words
    assert str(PdfReader(io.BytesIO(data)).outline[0].title) == sample.HOSTILE


def test_set_fraction_pattern_leaves_squares_alone() -> None:
    """m² is a square and no half of a fraction."""
    assert FRACTION.search("4 m²") is None
    assert FRACTION.search("1³⁄₄") is not None


def test_an_empty_set_is_still_a_pdf() -> None:
    assert len(PdfReader(io.BytesIO(sample.pdf_bytes(sample.composed(())))).pages) == 1
