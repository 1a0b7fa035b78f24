"""Words: coverage, fitting, tables and flow."""

from __future__ import annotations

import itertools
import unicodedata
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from shopdocs.page import typeface
from shopdocs.page.items import Line, Path, TextRun
from shopdocs.page.typesetter import Typesetter
from tests.page import paper_sample as sample

SHEET_CHARACTERS = "0123456789⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉⁄×±≤≥≈−′″→↑↓←°·…–—Ø"


@pytest.mark.parametrize("face", typeface.FACES)
def test_every_character_of_the_sheets_has_a_glyph(face: typeface.Face) -> None:
    assert set(SHEET_CHARACTERS) <= set(typeface.metrics(face).widths)


@pytest.mark.parametrize("face", typeface.FACES)
def test_figures_are_of_equal_width(face: typeface.Face) -> None:
    widths = typeface.metrics(face).widths
    assert len({widths[figure] for figure in "0123456789"}) == 1


def test_widths_agree_with_the_library_that_draws() -> None:
    pdfmetrics.registerFont(TTFont("measured", typeface.font_file("regular")))
    words = "Saw the long pieces first, 27 × 2"
    assert typeface.width(words, "regular", 10) == pytest.approx(pdfmetrics.stringWidth(words, "measured", 10))


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=40))
def test_clean_text_can_always_be_drawn(words: str) -> None:
    shown, missing = typeface.clean(words)
    assert all(char in typeface.metrics(face).widths for char in shown for face in typeface.FACES)
    for char in missing:
        assert f"[U+{ord(char):04X}]" in shown
    if not missing:
        assert unicodedata.normalize("NFC", shown) == shown


def test_what_has_no_glyph_becomes_visible_and_is_reported() -> None:
    document = sample.Document("d", "木 bench", "", (sample.Paragraph(("e\u0301 and \u6728",)),))
    pages = sample.composed((document,))
    words = [item.text for item in pages.frames[0].items if isinstance(item, TextRun)]
    assert "[U+6728] bench" in words
    assert "é and [U+6728]" in words
    assert pages.missing == ("木",)


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet="abcW .-/1", max_size=120), st.floats(20, 300))
def test_wrapped_lines_fit_and_keep_every_character(words: str, room: float) -> None:
    ts = Typesetter()
    lines = ts.wrap(words, "regular", 10, room)
    assert all(ts.width(line, "regular", 10) <= room + 1e-6 for line in lines)
    assert "".join(lines).replace(" ", "") == words.replace(" ", "")


@settings(max_examples=80, deadline=None)
@given(st.text(alphabet="abcW 1", min_size=1, max_size=80), st.floats(20, 200), st.integers(1, 3))
def test_lines_to_a_limit_end_in_an_ellipsis(words: str, room: float, most: int) -> None:
    ts = Typesetter()
    whole = ts.wrap(words, "regular", 10, room)
    lines = ts.wrap_to(words, "regular", 10, room, most)
    assert len(lines) <= most
    assert all(ts.width(line, "regular", 10) <= room + 1e-6 for line in lines)
    if len(whole) > most:
        shown = "".join(lines).removesuffix("…").replace(" ", "")
        assert lines[-1].endswith("…")
        assert words.replace(" ", "").startswith(shown)


def test_a_long_title_shrinks_then_wraps() -> None:
    document = sample.Document("d", "Q" * 200, "", ())
    frame = sample.composed((document,)).frames[0]
    big = [item for item in frame.items if isinstance(item, TextRun) and item.face == "bold" and item.size > 12]
    assert "".join(item.text for item in big) == "Q" * 200


def rows_by_page(pages: sample.Composed) -> list[list[str]]:
    return [
        [item.text for item in frame.items if isinstance(item, TextRun) and item.text.startswith("S")]
        for frame in pages.frames
    ]


@pytest.mark.parametrize("rows", range(36, 80))
def test_no_page_holds_one_row_of_a_table(rows: int) -> None:
    table = sample.Table(
        "t",
        (sample.Column("Mark"),),
        (sample.Group(tuple(sample.Row((sample.Cell.of(f"S{i}"),)) for i in range(rows))),),
    )
    pages = rows_by_page(sample.composed((sample.Document("d", "t", "", (table,)),)))
    assert [word for page in pages for word in page] == [f"S{i}" for i in range(rows)]
    assert min(len(page) for page in pages) >= 2


def test_heads_are_repeated_and_groups_are_continued() -> None:
    document = sample.Document("d", "t", "", (sample.cut_table(120),))
    pages = sample.composed((document,)).frames
    assert len(pages) > 2
    for frame in pages:
        words = [item.text for item in frame.items if isinstance(item, TextRun)]
        assert words.count("Thick") == 1
    assert any(isinstance(item, TextRun) and item.text == "Slats (continued)" for item in pages[1].items)


def test_a_heading_never_ends_a_page() -> None:
    for lines in range(40, 60):
        blocks = [sample.Paragraph((f"line {i}",)) for i in range(lines)]
        document = sample.Document("d", "t", "", (*blocks, sample.Heading("Last", 1), sample.cut_table(3)))
        for frame in sample.composed((document,)).frames:
            words = [item.text for item in frame.items if isinstance(item, TextRun)]
            if "Last" in words:
                assert "Thick" in words


def test_numbers_end_on_one_edge_and_rows_carry_boxes() -> None:
    frame = sample.composed((sample.Document("d", "t", "", (sample.cut_table(5),)),)).frames[0]
    # the column "Long": 1/32 to 5/32 in the rows of slats and 27 in those of legs
    shown = {sample.inch(f"{i}/32") for i in range(1, 6)} | {"27"}
    ends = [
        item.x + typeface.width(item.text, item.face, item.size)
        for item in frame.items
        if isinstance(item, TextRun) and item.text in shown
    ]
    assert len(ends) == 9
    assert max(ends) - min(ends) < 0.01
    boxes = [item for item in frame.items if isinstance(item, Path) and item.closed and item.fill is None]
    assert len(boxes) == 9, "one for each row that is no total"
    sides = {round(box.points[1][0] - box.points[0][0], 3) for box in boxes}
    assert len(sides) == 1


def test_a_total_is_ruled_above_and_strong() -> None:
    frame = sample.composed((sample.Document("d", "t", "", (sample.cut_table(5),)),)).frames[0]
    total = next(item for item in frame.items if isinstance(item, TextRun) and item.text == "Total")
    assert total.face == "semibold"
    assert any(isinstance(item, Line) and 0 < item.y0 - total.y < 16 for item in frame.items)


def test_a_crowded_table_breaks_words_but_never_numbers() -> None:
    table = sample.Table(
        "t",
        (sample.Column("A" * 40), sample.Column("B", "right", "mm")),
        (sample.Group((sample.Row((sample.Cell.of("x" * 300), sample.Cell.of("1234.5"))),)),),
    )
    words = [
        item.text
        for item in sample.composed((sample.Document("d", "t", "", (table,)),)).frames[0].items
        if isinstance(item, TextRun)
    ]
    assert "1234.5" in words
    assert "".join(word for word in words if set(word) == {"x"}) == "x" * 300


def test_the_top_line_names_build_sheet_revision_and_page() -> None:
    pages = sample.composed(sample.words_documents())
    for number, frame in enumerate(pages.frames, 1):
        words = [item.text for item in frame.items if isinstance(item, TextRun)]
        assert {"PS", "Plant stand", frame.title} <= set(words)
        assert f"revision B   ·   2026-02-11   ·   page {number} of {len(pages.frames)}" in words


def test_the_title_sheet_says_its_title_once_in_the_top_line() -> None:
    sheet = sample.Document("title", "Plant stand", "", (sample.Paragraph(("What it is.",)),))
    frame = sample.composed((sheet,)).frames[0]
    words = [item.text for item in frame.items if isinstance(item, TextRun)]
    assert words.count("Plant stand") == 2, "once in the top line, once as the sheet's own title"


def test_contents_show_page_numbers_of_what_is_in_the_set() -> None:
    frame = sample.composed(sample.words_documents()).frames[0]
    head = next(item for item in frame.items if isinstance(item, TextRun) and item.text == "Page")
    edge = head.x + typeface.width(head.text, head.face, head.size)
    under = [
        item.text
        for item in frame.items
        if isinstance(item, TextRun)
        and item.y < head.y
        and item.x + typeface.width(item.text, item.face, item.size) == pytest.approx(edge, abs=0.05)
    ]
    assert under == ["2"], "the cut list begins on page 2; the other target is in no document"


def short(name: str, lines: int) -> sample.Document:
    return sample.Document(name, name.title(), "", tuple(sample.Paragraph((f"{name} {i}",)) for i in range(lines)))


@pytest.mark.parametrize(
    ("first", "second", "pages"), [(8, 8, 1), (14, 6, 1), (6, 14, 1), (14, 14, 1), (24, 24, 2), (8, 36, 2), (36, 8, 2)]
)
def test_short_documents_share_a_page(first: int, second: int, pages: int) -> None:
    set_of_two = sample.composed((short("shopping", first), short("finish", second)))
    assert len(set_of_two.frames) == pages
    assert [(entry.title, entry.page) for entry in set_of_two.outline] == [("Shopping", 0), ("Finish", pages - 1)]
    assert set_of_two.frames[0].title == ("Shopping, Finish" if pages == 1 else "Shopping")
    assert set(set_of_two.anchors) == {"shopping", "finish"}


def test_endless_words_stay_inside_every_page() -> None:
    long = ("endless words " * 600).strip()
    number = ("1" * 300,)
    blocks = (
        sample.Heading(long, 1),
        sample.Paragraph((long,)),
        sample.Facts(((long, (long,)), ("x", (long,)))),
        sample.Bullets(((long,),)),
        sample.Caution(long, long),
        sample.Checklist((sample.Step((long,), (long,), number, long),), long),
        sample.Table(
            "t",
            (sample.Column(long), sample.Column("B", "right", long)),
            (sample.Group((sample.Row((sample.Cell.of(long), sample.Cell.of("1" * 300))),), long, long),),
        ),
        sample.Code("HTTPS://SHOP.EXAMPLE", long),
        sample.SideBySide(((sample.Paragraph((long,)),), (sample.Caution(long, long),)), (1, 1)),
    )
    pages = sample.composed((sample.Document("d", long, long, blocks),))
    keep = 12 * 72 / 25.4
    for frame in pages.frames:
        for item in frame.items:
            if isinstance(item, TextRun):
                assert item.size >= 8
                assert item.y >= keep
                assert item.x + typeface.width(item.text, item.face, item.size) <= frame.width - keep
    assert any(note.startswith("cut short, no room") for note in pages.notes)


def test_a_heading_stays_with_a_template_that_fills_the_page() -> None:
    template = sample.FullScale("Pins", sample.pins("500"))
    document = sample.Document("d", "t", "", (sample.Paragraph(("first",)), sample.Heading("Rails", 1), template))
    for frame in sample.composed((document,)).frames:
        words = [item.text for item in frame.items if isinstance(item, TextRun)]
        if "Rails" in words:
            assert "tile 1 of 3" in words


def test_many_columns_stay_inside_the_page() -> None:
    columns = tuple(sample.Column(f"Col{i}", "right") for i in range(24))
    row = sample.Row(tuple(sample.Cell.of(f"{i}00") for i in range(24)))
    frame = sample.composed(
        (sample.Document("d", "t", "", (sample.Table("t", columns, (sample.Group((row, row)),)),)),)
    ).frames[0]
    for item in frame.items:
        if isinstance(item, TextRun):
            assert item.x + typeface.width(item.text, item.face, item.size) <= frame.width - 12 * 72 / 25.4


def test_an_empty_detail_takes_no_line() -> None:
    def lowest(detail: tuple[str, ...]) -> float:
        steps = (sample.Step(("first",), detail), sample.Step(("last",)))
        frame = sample.composed((sample.Document("d", "t", "", (sample.Checklist(steps),)),)).frames[0]
        return next(item.y for item in frame.items if isinstance(item, TextRun) and item.text == "last")

    assert lowest(("",)) == lowest(()) > lowest(("more",))


@pytest.mark.parametrize("lines", range(20, 40))
def test_no_page_holds_one_step_of_a_checklist(lines: int) -> None:
    steps = tuple(sample.Step((f"S{i}",)) for i in range(12))
    filled = [sample.Paragraph((f"line {i}",)) for i in range(lines)]
    pages = rows_by_page(sample.composed((sample.Document("d", "t", "", (*filled, sample.Checklist(steps, "Left"))),)))
    assert sum(len(page) for page in pages) == 12
    assert all(len(page) != 1 for page in pages)


def test_a_few_lines_do_not_take_a_page_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """What overflows by little is set tighter, all rows within the margins; what overflows by much is set as usual."""
    column, note = sample.Column("Row"), sample.Paragraph(("Closing words of the sheet.",))

    def pages(rows: int) -> list[object]:
        table = sample.Table(
            "t", (column,), (sample.Group(tuple(sample.Row((sample.Cell.of(f"row {i}"),)) for i in range(rows))),)
        )
        return list(sample.composed((sample.Document("d", "t", "", (table, note)),)).frames)

    with monkeypatch.context() as patch:
        patch.setattr("shopdocs.page.typesetter.Typesetter.set_closer", lambda ts, air=1.0, table=None: None)
        most = max(rows for rows in range(20, 60) if len(pages(rows)) == 1)
    (frame,) = pages(most + 1)
    words = [item for item in frame.items if isinstance(item, TextRun)]  # type: ignore[attr-defined]
    assert {f"row {i}" for i in range(most + 1)} <= {item.text for item in words}
    assert min(item.y for item in words) >= 12 * 72 / 25.4
    levels = sorted(item.y for item in words if item.text.startswith("row "))
    assert min(b - a for a, b in itertools.pairwise(levels)) >= 10.5 * 1.15, "lines of 10.5 pt never touch"
    assert len(pages(most + 25)) == 2


def test_facts_that_fit_one_row_stand_in_one() -> None:
    """A grid of three equal columns has no room for the long one of three facts; a finer grid has, and none overlap."""
    mix = "15 g, the smallest mix, on a tenth of a foot"
    facts = sample.Facts((("Time", ("14 min",)), ("Glue", (mix,)), ("Clamps", ("2",))))
    (frame,) = sample.composed((sample.Document("d", "D", "", (facts,)),)).frames
    runs = {item.text: item for item in frame.items if isinstance(item, TextRun)}
    values = [runs[text] for text in ("14 min", mix, "2")]
    assert len({run.y for run in values}) == 1
    for one, two in itertools.pairwise(values):
        assert one.x + typeface.width(one.text, one.face, one.size) + 8.0 < two.x


def test_a_last_line_of_a_word_or_two_gets_more_where_there_are_no_more_lines_for_it() -> None:
    """A last line under a fifth of the width is filled from the lines before it, which give up no more than a quarter
    of theirs. Where no width from three quarters up gives a longer last line in as many lines, it stays."""
    ts, dice = Typesetter(), Random(11)
    words = [
        "saw",
        "plane",
        "the",
        "long",
        "edge",
        "of",
        "each",
        "board",
        "square",
        "and",
        "true",
        "before",
        "it",
        "is",
        "glued",
        "up",
        "to",
        "a",
        "panel",
    ]
    outcomes = set()
    for _ in range(400):
        content = " ".join(dice.choices(words, k=dice.randint(6, 24)))
        room = dice.uniform(90, 260)
        plain, shown = ts.wrap(content, "regular", 9, room), ts.lines(content, "regular", 9, room)
        least = 0.2 * room
        assert " ".join(shown) == content and len(shown) == len(plain)
        if len(plain) < 2 or ts.width(plain[-1], "regular", 9) >= least:
            assert shown == plain
            continue
        longest = max((ts.width(line, "regular", 9) for line in shown[:-1]), default=0.0)
        narrowed = [ts.wrap(content, "regular", 9, room * (1 - 0.04 * part)) for part in range(1, 7)]
        better = [
            lines for lines in narrowed if len(lines) == len(plain) and ts.width(lines[-1], "regular", 9) >= least
        ]
        if better:
            assert ts.width(shown[-1], "regular", 9) >= least and longest <= room
            assert shown == better[0], "no narrower than is needed"
        else:
            assert shown == plain
        outcomes.add(narrowed.index(better[0]) if better else -1)
    assert outcomes >= set(range(6)), "each width is the first to do it for some words"
