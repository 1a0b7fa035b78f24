"""Rectangles on boards.

A board is seen with its length from left to right and its width upwards; a position is that of a lower left corner.
"""

from __future__ import annotations

from msgspec import Struct

from shopdocs.core.length import Length


class Area(Struct, frozen=True):
    """A rectangle on a board."""

    x: Length
    y: Length
    length: Length
    width: Length
