"""A document may begin on the last page of the one before where that spares a page; nothing is lost and all keeps its
order. The pages are reckoned by hand: some 40 lines of words fill one."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.drawing import Drawing, FullScale, Line
from shopdocs.blocks.sheets import Document, SideBySide, TitlePage, Together
from shopdocs.blocks.text import Heading, Paragraph, text
from shopdocs.core.length import Length
from shopdocs.page.compose import Composed, compose
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT
from tests.values import replace


def lines(name: str, count: int, runs_on: bool = False) -> Document:
    blocks = tuple(Paragraph(text(f"{name} {number}.")) for number in range(count))
    return Document(name.lower(), name, "", blocks, runs_on=runs_on)


def said(composed: Composed, *names: str) -> list[str]:
    runs = [
        (number, -item.y, item.text)
        for number, frame in enumerate(composed.frames)
        for item in frame.items
        if isinstance(item, TextRun) and item.text.endswith(".") and item.text.split()[0] in names
    ]
    return [words for *_, words in sorted(runs)]


def test_it_begins_under_the_one_before_where_that_spares_a_page() -> None:
    """Half a page and a page and a quarter: two pages and not three."""
    first = lines("First", 15)
    apart = compose((first, lines("Second", 46)), IMPRINT, paper("a4"))
    both = compose((first, lines("Second", 46, True)), IMPRINT, paper("a4"))
    assert (len(apart.frames), len(both.frames)) == (3, 2)
    assert [both.anchors[name][0] for name in ("first", "second")] == [0, 0]
    assert [(entry.title, entry.page) for entry in both.outline] == [("First", 0), ("Second", 0)]
    assert both.frames[0].title == "First, Second"
    assert said(both, "First", "Second") == [f"First {i}." for i in range(15)] + [f"Second {i}." for i in range(46)]


def test_it_begins_a_page_where_nothing_is_spared() -> None:
    """Two documents of more than half a page each take two pages in any case."""
    both = compose((lines("First", 25), lines("Second", 30, True)), IMPRINT, paper("a4"))
    assert len(both.frames) == 2
    assert both.anchors["second"][0] == 1


def test_a_set_takes_few_pages_as_a_whole() -> None:
    """0.6, 0.7 and 0.6 of a page, none of which stands whole under the one before: begun under each other, the three
    take two pages; by themselves three. What they hold is reckoned by the lines of one page."""
    full = next(n for n in range(30, 60) if len(compose((lines("First", n + 1),), IMPRINT, paper("a4")).frames) > 1)
    some = [lines(name, round(full * part), True) for name, part in (("First", 0.6), ("Second", 0.65), ("Third", 0.5))]
    apart = compose([replace(document, runs_on=False) for document in some], IMPRINT, paper("a4"))
    both = compose(some, IMPRINT, paper("a4"))
    assert (len(apart.frames), len(both.frames)) == (3, 2)
    counts = [len(document.blocks) for document in some]
    names = ("First", "Second", "Third")
    assert said(both, *names) == [f"{name} {i}." for name, n in zip(names, counts, strict=True) for i in range(n)]


def test_what_is_cut_out_stands_on_no_page_of_another() -> None:
    """A template behind words that begin under another document is on a page of its own, with its true scale."""
    template = FullScale("a template", Drawing("hole", Length(80), Length(110), (), Fraction(1)))
    words = lines("Second", 26).blocks
    documents = (lines("First", 8), Document("second", "Second", "", (*words, template), runs_on=True))
    composed = compose(documents, IMPRINT, paper("a4"))
    assert [frame.title for frame in composed.frames] == ["First, Second", "Second"]
    assert [frame.true_scale for frame in composed.frames] == [False, True]


def test_the_other_setting_is_taken_where_it_spares_a_page() -> None:
    """Two blocks of 0.6 of a page take two pages; set in 0.4 each, one. Of one block the first setting stays."""
    tall, small = (
        [Together((Drawing(f"{name} {high}", Length(100), Length(high), (), Fraction(1)),)) for name in "ab"]
        for high in (150, 100)
    )
    both = compose((Document("d", "D", "", tuple(tall), instead=tuple(small)),), IMPRINT, paper("a4"))
    one = compose((Document("d", "D", "", tuple(tall[:1]), instead=tuple(small[:1])),), IMPRINT, paper("a4"))
    assert len(both.frames) == 1 and len(one.frames) == 1
    assert drawn(both) == ["a 100", "b 100"] and drawn(one) == ["a 150"]


def test_what_may_stand_before_the_title_does_so_where_that_spares_a_page() -> None:
    """Behind 20 lines a document of a page less eight lines, and six more: both stand on a page of its own, in their
    order. Where they are a page less one, the six would begin a third page: they stand at the foot of the first, before
    the title, and where that is full they cannot."""
    first = lines("First", 20)
    full = next(n for n in range(30, 60) if len(compose((lines("Second", n + 1),), IMPRINT, paper("a4")).frames) > 1)
    for rest, foot in ((full - 8, False), (full - 1, True)):
        second, third = lines("Second", rest).blocks, lines("Third", 6).blocks
        document = Document("second", "Second", "", (*second, *third), ahead=(*third, TitlePage(), *second))
        both = compose((first, document), IMPRINT, paper("a4"))
        assert len(both.frames) == 2
        assert both.anchors["second"] == (1, both.anchors["second"][1]) and both.frames[0].title == "First"
        told = said(both, "Second", "Third")
        assert told == [f"{p.text[0]}" for p in ((*third, *second) if foot else (*second, *third))]
        if foot:
            with_more = compose((first, replace(document, ahead=())), IMPRINT, paper("a4"))
            assert len(with_more.frames) == 3
            crowded = compose((lines("First", full - 2), document), IMPRINT, paper("a4"))
            assert len(crowded.frames) == 3 and said(crowded, "Second", "Third")[-1] == "Third 5."


def drawn(composed: Composed) -> list[str]:
    runs = (item for frame in composed.frames for item in frame.items if isinstance(item, TextRun))
    return [run.text for run in runs if run.text[:2] in ("a ", "b ")]


def test_a_heading_stays_with_what_is_too_tall_for_one_page() -> None:
    """Two thirds of a page is full where a heading, a line, a picture of half a page and 60 more lines begin that would
    stay together if a page held them: the heading and its line go on to the page of the picture."""
    tall = Drawing(
        "", Length(100), Length(140), (Line((Length(0), Length(0)), (Length(100), Length(140))),), Fraction(1)
    )
    rest = (Paragraph(text(f"Third {number}.")) for number in range(60))
    stage = Together((Heading("Stage.", 1), Paragraph(text("Second line.")), SideBySide(((tall,),), (1.0,)), *rest))
    composed = compose((replace(lines("First", 30), blocks=(*lines("First", 30).blocks, stage)),), IMPRINT, paper("a4"))
    assert [said(composed, "First", "Stage.", "Second").index(word) for word in ("Stage.", "Second line.")] == [30, 31]
    pages = {
        item.text: number
        for number, frame in enumerate(composed.frames)
        for item in frame.items
        if isinstance(item, TextRun)
    }
    assert pages["First 29."] == 0
    assert pages["Stage."] == pages["Second line."] == 1
