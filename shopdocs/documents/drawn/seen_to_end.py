"""Where the arrow of a move ends that goes in from behind a piece."""

from __future__ import annotations

from itertools import product

from shopdocs.core.box import Box, Corner
from shopdocs.documents.drawn.hull import hull, is_clear
from shopdocs.work.order.straight import Way
from shopdocs.work.shapes.projection import ISOMETRIC
from shopdocs.work.space.placed import Scene

STEPS = 48  # in which its tip is drawn back, at most by three quarters of it


def seen_to_end(arrow: tuple[Corner, Corner, str], scene: Scene, onto: Box, toward: Way) -> tuple[Corner, Corner, str]:
    """The arrow (tail, tip, words, in ticks of the build) of what goes `toward` a piece that is the box `onto` in the
    picture. One that goes to a face that looks away from the eye ends where the piece begins to hide it: drawn on over
    the piece, its tip would seem to lie on the nearer face, in a mortise that may be another joint's."""
    (axis, high), (start, end, words) = toward, arrow
    if (ISOMETRIC.toward[axis] > 0) != high:
        return arrow
    corners = product(*zip(onto.lo, onto.hi, strict=True))
    border = hull([ISOMETRIC.picture((x, y, z), scene.ticks) for x, y, z in corners])
    for part in range(1, STEPS * 3 // 4):
        a, b, c = (v + round((u - v) * part / STEPS) for u, v in zip(start, end, strict=True))
        if is_clear([ISOMETRIC.picture((a, b, c), scene.ticks)], border):
            return start, (a, b, c), words
    return arrow
