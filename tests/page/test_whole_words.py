"""Words of a template stand whole: no join strikes through them, no edge of a tile cuts them, nothing is shortened."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import FullScale, Words
from shopdocs.core.length import Length
from shopdocs.page.items import Clip, Line, Path, TextRun
from shopdocs.page.tile_joins import run_box
from tests.page import paper_sample as sample
from tests.values import replace

NAMES = tuple(f"NAME NUMBER {number} OF A LONG STRIP" for number in range(9))


def worded(step: int, off: int, angle: int) -> FullScale:
    """A strip of half a metre full of words: wherever a join lies, it meets some."""
    drawing = sample.pins("500")
    words = tuple(
        Words((Length(off + step * i), Length(45)), name, 9.0, angle=angle, strong=True)  # type: ignore[arg-type]
        for i, name in enumerate(NAMES)
        if off + step * i < 480
    )
    return FullScale("Pins", replace(drawing, shapes=(*drawing.shapes, *words)), ("bit 5 mm",), "pins")


@pytest.mark.parametrize("key", ["letter", "a4"])
@pytest.mark.parametrize(("step", "off", "angle"), [(62, 30, 0), (58, 20, 0), (55, 41, 0)])
def test_words_stand_whole_on_a_tile(key: str, step: int, off: int, angle: int) -> None:
    block = worded(step, off, angle)
    pages = sample.composed((sample.Document("d", "Templates", "", (block,)),), key)
    assert len(pages.frames) > 1
    shown = set()
    for frame in pages.frames:
        (window,) = [item for item in frame.items if isinstance(item, Clip)]
        inside = [item for item in frame.items if isinstance(item, TextRun) and item.text in NAMES]
        seams = [
            item
            for item in frame.items
            if isinstance(item, Line)
            and item.dash
            and (item.x0 == item.x1 or item.y0 == item.y1)
            and window.x0 + 2 < item.x0 < window.x1 - 2
        ]
        for run in inside:
            x0, y0, x1, y1 = run_box(run)
            assert window.x0 - 1 <= x0 and x1 <= window.x1 + 1
            assert window.y0 - 1 <= y0 and y1 <= window.y1 + 1
            for seam in seams:
                if seam.x0 == seam.x1 and abs(seam.y1 - seam.y0) > 30:
                    assert not x0 < seam.x0 < x1 or not (min(seam.y0, seam.y1) < y1 and max(seam.y0, seam.y1) > y0)
                if seam.y0 == seam.y1 and abs(seam.x1 - seam.x0) > 30 and seam.dash == frame_cut(frame):
                    assert not y0 < seam.y0 < y1
        shown |= {run.text for run in inside}
    assert shown == {shape.text for shape in block.drawing.shapes if isinstance(shape, Words)}


def test_the_white_under_words_stands_only_where_they_do() -> None:
    """A tile that leaves words to the next one leaves no gap for them in what is drawn."""
    block = worded(62, 30, 0)
    words = tuple(replace(one, boxed=True) for one in block.drawing.shapes if isinstance(one, Words))
    others = tuple(one for one in block.drawing.shapes if not isinstance(one, Words))
    boxed = replace(block, drawing=replace(block.drawing, shapes=(*others, *words)))
    pages = sample.composed((sample.Document("d", "Templates", "", (boxed,)),), "a4")
    assert len(pages.frames) > 1
    for frame in pages.frames:
        runs = [run_box(item) for item in frame.items if isinstance(item, TextRun)]
        whites = [item.points for item in frame.items
                  if isinstance(item, Path) and item.fill == 1.0 and not item.width]  # fmt: skip
        for (x0, y0), _, (x1, y1), _ in whites:
            assert [box for box in runs if x0 <= box[0] and y0 <= box[1] and box[2] <= x1 and box[3] <= y1]


def frame_cut(frame: object) -> tuple[float, ...]:
    """The dash of a join."""
    from shopdocs.blocks.drawing import Stroke
    from shopdocs.page.style import style

    return style().strokes[Stroke.CUT][1]


def test_facts_and_title_of_a_tiled_template_are_told_in_full() -> None:
    facts = tuple(
        f"Hole {i}: Ø 5 mm, 12 mm deep, shelf pin; {i * 32} mm from end A, 20 mm from face edge" for i in range(30)
    )
    title = " ".join(f"S{i}" for i in range(60)) + " · shelf · face side"
    block = replace(worded(62, 30, 0), facts=facts, title=title)
    pages = sample.composed((sample.Document("d", "Templates", "", (block,)),), "a4")
    assert not [note for note in pages.notes if "cut short, no room" in note]
    words = " ".join(item.text for item in pages.frames[0].items if isinstance(item, TextRun))
    assert all(fact.split("; ")[1].split(",")[0] in words for fact in facts)
    assert all(f"S{i}" in words for i in range(60))
