"""Which of many boxes lie near a place, without looking at all of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from shopdocs.core.box import AXES, Box, Corner


class Buckets:
    """Boxes sorted into equal cubes of space, as long as such a box is on the average."""

    def __init__(self, boxes: Sequence[Box]) -> None:
        self._edge = max(1, sum(max(box.size) for box in boxes) // max(1, len(boxes)))
        self._of: dict[Corner, list[int]] = {}
        for i, box in enumerate(boxes):
            for cube in self._cubes(box):
                self._of.setdefault(cube, []).append(i)

    def __call__(self, near: Box) -> list[int]:
        """The indexes, in order, of the boxes in the cubes that a box reaches into: all that overlap it are among
        them."""
        return sorted({i for cube in self._cubes(near) for i in self._of.get(cube, ())})

    def _cubes(self, box: Box) -> Iterator[Corner]:
        x, y, z = (range(box.lo[k] // self._edge, box.hi[k] // self._edge + 1) for k in AXES)
        return product(x, y, z)
