"""A build stands where its maker counted from: counted from another corner of the room it is the same furniture, and
every page is the same, word by word and line by line to a tenth of a millimetre."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.golden import small
from tests.golden.dump import dumped

NUMBER = re.compile(r"-?\d+\.\d+")
PLACES = re.compile(r"(?<=[{ ])(x|y): ([^,}#\n]+)(?=[,}])")
ACROSS = re.compile(r"(across (x|y) at )([^,}#\n]+)(?=[,}])")
SPANS = re.compile(r"(^to | to |^centred on |^evenly from |^spread from )")
BY = {"x": 30, "y": 20}
MOST = 0.15  # mm; a line is written to a tenth


def elsewhere(text: str) -> str:
    """The build with all that is counted from the corner of the room counted from another."""
    begin = text.index("\nparts:")
    after = re.search(r"\n(?=[a-z]\w*:)", text[begin + 1 :])
    end = begin + 1 + after.start() if after else len(text)

    def place(found: re.Match[str]) -> str:
        axis = found[1]
        told = SPANS.split(found[2])
        return f"{axis}: {''.join(moved(each, axis) if k % 2 == 0 else each for k, each in enumerate(told))}"

    def moved(spot: str, axis: str) -> str:
        """What counts from another piece goes with it."""
        return spot if not spot or re.search(r"[A-Z]\w*\.[a-z]", spot) else f"{spot.strip()} + {BY[axis]}"

    parts = PLACES.sub(place, text[begin:end])
    parts = ACROSS.sub(lambda found: f"{found[1]}{found[3].strip()} + {BY[found[2]]}", parts)
    return text[:begin] + parts + text[end:]


def pages(text: str, path: Path, folder: Path) -> list[str]:
    """What stands on every page."""
    written = folder / path.name
    written.write_text(text, "utf-8")
    shop = path.with_name(f"{path.stem}.shop.yaml")
    if shop.exists():
        (folder / shop.name).write_bytes(shop.read_bytes())
    return [line for frame in small.laid_out(written, False)[0].frames for line in dumped(frame)]


PLACED = [path for path in small.SMALL if elsewhere(path.read_text("utf-8")) != path.read_text("utf-8")]


@pytest.mark.thorough
@pytest.mark.parametrize("path", PLACED, ids=lambda path: path.stem)
def test_counted_from_another_corner_every_page_is_the_same(path: Path, tmp_path: Path) -> None:
    written = path.read_text("utf-8")
    first, other = pages(written, path, tmp_path), pages(elsewhere(written), path, tmp_path)
    assert [NUMBER.sub("", line) for line in first] == [NUMBER.sub("", line) for line in other]
    for one, two in zip(first, other, strict=True):
        apart = (abs(float(a) - float(b)) for a, b in zip(NUMBER.findall(one), NUMBER.findall(two), strict=True))
        assert max(apart, default=0.0) < MOST, (one, two)
