"""Every character that was laid out stands in the PDF, and no other: read back by PDFium, which knows nothing of
how the codes of a subset font were written (ISO 32000-1, 7.3.4.2 and 9.10.3)."""

from __future__ import annotations

import unicodedata
from collections import Counter
from io import BytesIO
from pathlib import Path

import pypdfium2 as pdfium
import pytest

from shopdocs.blocks.sheets import Document, Imprint
from shopdocs.blocks.text import Paragraph, text
from shopdocs.core.display import Units
from shopdocs.output.pdf import write_pdf
from shopdocs.page.compose import Composed, compose
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from tests.sample_jobs import BOTH, SAMPLES, sample_pages, sample_pdf


def laid_out(composed: Composed) -> list[Counter[str]]:
    """The characters of each page, blanks aside."""
    pages = []
    for frame in composed.frames:
        words = "".join(item.text for item in frame.items if isinstance(item, TextRun))
        pages.append(counted(words))
    return pages


def printed(written: bytes) -> list[Counter[str]]:
    return [counted(page.get_textpage().get_text_range()) for page in pdfium.PdfDocument(written)]


def counted(words: str) -> Counter[str]:
    return Counter(ch for ch in unicodedata.normalize("NFC", words) if not ch.isspace())


def differences(composed: Composed, written: bytes) -> list[tuple[int, Counter[str], Counter[str]]]:
    pairs = zip(laid_out(composed), printed(written), strict=True)
    return [(n, a - b, b - a) for n, (a, b) in enumerate(pairs, 1) if a != b]


@pytest.mark.parametrize("units", BOTH)
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda path: path.name)
def test_the_characters_of_the_samples(folder: Path, units: Units) -> None:
    assert differences(sample_pages(folder, units), sample_pdf(folder, units)) == []


def test_more_characters_than_one_subset_holds() -> None:
    """Latin, Greek and Cyrillic letters, fractions and signs, some 300: more than one subset font has codes for."""
    blocks_of_letters = ((0x21, 0x7E), (0xA1, 0x17F), (0x391, 0x3C9), (0x410, 0x44F))
    every = [chr(code) for block in blocks_of_letters for code in range(*block)]
    shown = [ch for ch in (*every, *"⁰¹²³⁴⁵⁶⁷⁸⁹⁄₀₁₂₃₄₅₆₇₈₉≈×±≤→−") if unicodedata.category(ch) not in ("Cn", "Cf")]
    blocks = tuple(Paragraph(text("".join(shown[start : start + 40]))) for start in range(0, len(shown), 40))
    document = Document("t", "()\\", "", blocks)
    composed = compose((document,), Imprint("t", "T", "", "", ""), paper("a4"))
    assert not composed.missing
    assert len(set(shown)) > 256
    target = BytesIO()
    write_pdf(composed, target)
    assert differences(composed, target.getvalue()) == []
