"""Faces of pieces named in places: FL.right, and what looks like it."""

from __future__ import annotations

import re
from typing import NamedTuple

from shopdocs.model.parts import Direction

SIDES: dict[str, tuple[Direction, bool]] = {
    "left": (Direction.X, False),
    "right": (Direction.X, True),
    "front": (Direction.Y, False),
    "back": (Direction.Y, True),
    "bottom": (Direction.Z, False),
    "top": (Direction.Z, True),
}
CENTRES = ("centre", "center")  # of a piece: halfway between its faces along the direction that is written
# A word and the word behind its full stop. Neither goes back over what it has read, however long that is.
_DOTTED = re.compile(r"(?<![\w-])([\w-]++)\.(?=(\w++))")


class Named(NamedTuple):
    """What is written as the face of a piece, from `start` to `end` of a text."""

    piece: str
    side: str
    start: int
    end: int


def dotted(text: str) -> list[Named]:
    """Every word with a full stop and a word behind it; a mark begins and ends with a letter or a digit."""
    found: list[Named] = []
    if "." not in text:
        return found
    for match in _DOTTED.finditer(text):
        piece = match.group(1).lstrip("-_")
        if piece and piece[-1] not in "-_" and not match.group(2)[0].isdigit():
            found.append(Named(piece, match.group(2), match.end(1) - len(piece), match.end(2)))
    return found


def sides_along(direction: Direction) -> tuple[str, str]:
    """The two sides along a direction, the low one first: "left", "right"."""
    low, high = (name for name, (own, _) in SIDES.items() if own is direction)
    return low, high


def faces_in(text: str, centres: bool = False) -> list[Named]:
    """Those whose second word is a side, or, with `centres`, the centre; in FL.left.right the second is no face of a
    piece called left."""
    found: list[Named] = []
    for each in dotted(text):
        if (each.side in SIDES or (centres and each.side in CENTRES)) and not (found and each.start < found[-1].end):
            found.append(each)
    return found
