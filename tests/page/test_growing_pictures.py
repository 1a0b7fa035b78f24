"""Pictures take the room their pages leave, and no page for it."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing, Leader, Words
from shopdocs.blocks.sheets import Block, Document, Imprint, SideBySide, Together
from shopdocs.blocks.text import Paragraph, text
from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.documents.drawn.build_pictures import stage_picture
from shopdocs.documents.stage_pages import _rooms
from shopdocs.page.binding import bound
from shopdocs.page.compose import compose
from shopdocs.page.growing import grown
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from shopdocs.page.setting import Means
from shopdocs.page.typesetter import Typesetter
from tests.sample_jobs import BY_NAME, SAMPLES, document_of, sample_documents, sample_job
from tests.values import replace

FEW = [folder for folder in SAMPLES if folder.name in ("spice_cabinet", "threshold_bench")]
IMPRINT = Imprint("Trial", "T", "", "", "")


def picture(tall: int) -> Drawing:
    return Drawing(f"{tall} tall", Length(100), Length(tall), (), tallest_mm=float(tall))


def growing(*tall: int) -> Drawing:
    *larger, least = (picture(each) for each in tall)
    return replace(least, larger=tuple(larger))


def names(document: Document) -> list[str]:
    return [block.name for block in walk(document.blocks) if isinstance(block, Drawing)]


def pages(document: Document) -> tuple[int]:
    """A page holds drawings of 250 mm together."""
    tall = sum(int(name.split()[0]) for name in names(document))
    return (-(-tall // 250),)


@pytest.mark.parametrize(
    ("alternatives", "expected"),
    [
        # worked by hand: 250 to a page
        (((240, 150, 50),), ["240 tall"]),
        (((260, 150, 50),), ["150 tall"]),
        (((200, 50), (120, 60)), ["50 tall", "120 tall"]),  # 200 + 60 is too much; then 50 + 120 fits
        (((190, 50), (120, 60)), ["190 tall", "60 tall"]),
        (((50,),), ["50 tall"]),
    ],
)
def test_the_largest_that_adds_no_page(alternatives: tuple[tuple[int, ...], ...], expected: list[str]) -> None:
    blocks: list[Block] = [growing(*each) for each in alternatives]
    assert names(grown(Document("d", "D", "", tuple(blocks)), pages)) == expected
    nested = Document("d", "D", "", (SideBySide((tuple(blocks[:1]), tuple(blocks[1:])), (1.0, 1.0)),))
    assert names(grown(nested, pages)) == expected
    assert names(grown(Document("d", "D", "", (Together(tuple(blocks)),)), pages)) == expected


def test_a_picture_does_not_push_away_the_document_under_it() -> None:
    """Half a page of words stands under a picture of 50 mm, and would not under one of 200."""
    first = Document("a", "First", "", (growing(200, 50),))
    second = Document("b", "Second", "", tuple(Paragraph(text(f"Line {n}.")) for n in range(18)))
    alone = compose((first,), IMPRINT, paper("a4"))
    both = compose((first, second), IMPRINT, paper("a4"))
    assert len(alone.frames) == len(both.frames) == 1
    assert alone.frames[0] is not both.frames[0]


@pytest.mark.parametrize("lines", [1, 20, 60, 100, 140])
def test_what_was_tried_in_many_ways_is_painted_once(lines: int) -> None:
    """Words before, beside and after pictures that grow, with more and less white: all stand once, in their order."""
    words = [f"Line {n}." for n in range(lines)]
    said = [Paragraph(text(line)) for line in words]
    half = lines // 2
    held = Together((growing(90, 60, 30), *said[half : half + 1], growing(80, 40)))
    document = Document("d", "D", "", (*said[:half], held, *said[half + 1 :]))
    follower = Document("e", "E", "", (Paragraph(text("The end.")),))
    frames = compose((document, follower), IMPRINT, paper("a4")).frames
    shown = [
        run.text
        for frame in frames
        for run in sorted((item for item in frame.items if isinstance(item, TextRun)), key=lambda run: -run.y)
    ]
    assert [line for line in shown if line.startswith("Line ") or line == "The end."] == [*words, "The end."]
    assert sum(line.endswith(" tall") for line in shown) == 2


@pytest.mark.thorough
@pytest.mark.parametrize("key", ["a4", "letter"])
@pytest.mark.parametrize("folder", FEW, ids=lambda folder: folder.name)
def test_no_page_is_added_for_larger_pictures(folder: Path, key: str) -> None:
    units = sample_job(folder, "mm").build.units
    drawn = ("title", "exploded", "cut-list", "piece-drawings", "templates")
    documents = [document for document in sample_documents(folder, units) if document.name in drawn]
    small = [replace(document, blocks=tuple(map(least, document.blocks))) for document in documents]
    imprint = sample_job(folder, units).imprint
    assert len(compose(documents, imprint, paper(key)).frames) <= len(compose(small, imprint, paper(key)).frames)


def least(block: Block) -> Block:
    if isinstance(block, Drawing):
        return replace(block, larger=())
    if isinstance(block, Together):
        return replace(block, blocks=tuple(map(least, block.blocks)))
    if isinstance(block, SideBySide):
        return replace(block, columns=tuple(tuple(map(least, column)) for column in block.columns))
    return block


def test_larger_drawings_say_the_same_at_larger_scales() -> None:
    """The top of the bench, the panels of the cabinet: every name and note stands on both."""
    found = 0
    for folder in FEW:
        for document in sample_documents(folder, "mm"):
            for block in walk(document.blocks):
                if isinstance(block, Drawing) and block.larger and block.scale is not None:
                    found += 1
                    scales = [drawing.scale for drawing in (*block.larger, block) if drawing.scale is not None]
                    assert scales == sorted(set(scales), reverse=True)
                    assert len(scales) == len(block.larger) + 1
                    assert all(told(drawing) == told(block) for drawing in block.larger)
    assert found >= 4


def told(drawing: Drawing) -> list[str]:
    """Names and notes; figures may stand in a row at one scale and one by one at another."""
    words = (shape.text for shape in drawing.shapes if isinstance(shape, (Leader, Words)))
    return sorted(word.split(" (1:")[0] for word in words if any(letter.isalpha() for letter in word))


def test_many_pictures_of_their_own_scales_are_tried_a_bounded_number_of_times() -> None:
    """Each step sets the whole document: with steps for every picture, twice as many would take four times as long. 60
    may grow alone, three settings each; of more those of one scale go together."""
    tried = []

    def cost(document: Document) -> tuple[int, ...]:
        tried.append(document)
        return (1,)

    for count in (60, 61, 400):
        tried.clear()
        blocks = tuple(replace(growing(40, 30, 20, 10), scale=Fraction(1, 10 + k % 5)) for k in range(count))
        done = grown(Document("d", "D", "", blocks), cost)
        assert names(done) == ["40 tall"] * count
        assert len(tried) <= 1 + 60 * 3


def test_columns_take_the_largest_setting_that_adds_no_page() -> None:
    """By hand, 250 to a page: of 230, 150 and 60 beside words, with 70 after them, 230 is too much."""
    words = (Paragraph(text("Beside it.")),)
    larger = tuple(SideBySide(((picture(tall),), words), (3.0, 2.0)) for tall in (230, 150))
    sides = SideBySide(((picture(60),), words), (1.0, 1.0), larger)
    found = grown(Document("d", "D", "", (Together((sides,)), picture(70))), pages)
    assert names(found) == ["150 tall", "70 tall"]
    (held, _) = found.blocks
    assert isinstance(held, Together) and held.blocks == (larger[1],)
    assert names(grown(Document("d", "D", "", (sides, picture(240))), pages)) == ["230 tall", "240 tall"]
    assert names(grown(Document("d", "D", "", (sides, picture(190))), pages)) == ["60 tall", "190 tall"]


def test_the_picture_of_a_stage_grows_into_its_page() -> None:
    """The cabinet's left half has two short boards of steps: its picture takes more than half of the page's width, and
    every stage stays on one page."""
    job = sample_job(BY_NAME["spice_cabinet"], "mm")
    document = document_of(job, "glue-up")
    (way,) = bound((document,), [Means(paper("a4"), (Fraction(1), Fraction(1)), Typesetter())])
    least = stage_picture(job, job.stages[1], _rooms(job, job.stages[1])[0])
    assert least is not None and least.drawing.scale is not None
    shown = next(b for b in walk(way.document.blocks) if isinstance(b, Drawing) and b.name == "stage 2")
    assert shown.scale is not None and shown.scale > least.drawing.scale * Fraction(115, 100)
    setting = way.set(None)
    assert setting is not None and not setting.flow.broken
