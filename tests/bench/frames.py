"""Every page of every sample in both units on both papers against the checks of frames: words over words, words hidden
by white, discs over discs, lines through words, digits too small, pages left empty without a reason. The tests look at
inches on Letter and millimetres on A4 (tests/documents/test_all_pages.py); this takes longer.

Run it as a script: python tests/bench/frames.py [sample]
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopdocs.page.items import Frame, TextRun
from tests.page.frame_checks import (
    discs_astray,
    least_digit_mm,
    line_through_text,
    text_over_text,
    words_covered,
)
from tests.page.whole_sets import MOST_EMPTY, cases, whole_set

LEAST_MM = 1.5  # of a digit anywhere; on drawings the tests ask for 2
RULED = ("title", "glue-up", "templates", "patterns", "labels")  # words stand on lines there, on white or clipped


def defects(frame: Frame) -> Iterator[str]:
    """What is wrong on a page, in words."""
    yield from text_over_text(frame.items)
    yield from words_covered(frame.items)
    if frame.document == "glue-up":
        yield from discs_astray(frame.items)
    if frame.document not in RULED:
        yield from line_through_text(frame.items)
    for item in frame.items if frame.document != "labels" else ():
        if isinstance(item, TextRun) and least_digit_mm(item) < LEAST_MM:
            yield f"{item.text!r}: {least_digit_mm(item):.2f} mm"


def main() -> int:
    count = 0
    for folder, units, key in cases():
        if sys.argv[1:] and folder.name not in sys.argv[1:]:
            continue
        for frame, share, reason in whole_set(folder, units, key).white():
            found = list(defects(frame))
            if share > MOST_EMPTY and not reason:
                found.append(f"{share:.0%} empty")
            count += len(found)
            for words in found:
                print(f"{folder.name}, {units}, {key}, page {frame.set_number}, {frame.title}: {words}")
    print(f"{count} defects")
    return min(count, 1)


if __name__ == "__main__":
    sys.exit(main())
