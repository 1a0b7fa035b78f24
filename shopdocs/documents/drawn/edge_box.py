"""A piece as a box with its arrises as they are worked: a chamfer as two lines, a square arris as one heavy line.

One isometric view, true to hand, of the corner with the most chamfers. The three arrises behind are dashed where one of
them is not square, and left away where all are, or where all twelve are alike. Long pieces are broken. Line kinds tell
everything, no colour.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import product

from shopdocs.blocks.drawing import Drawing, Line, Point, Shape, Words
from shopdocs.core.length import Length
from shopdocs.documents.drawn.edge_shape import ShapedBox, shape_of
from shopdocs.documents.drawn.edge_view import (
    CHAMFERED,
    CHARACTER_MM,
    Corner,
    EdgeBox,
    Flat,
    Mark,
    PaperStroke,
    seen_from,
)
from shopdocs.model.joining import Face
from shopdocs.work.space.arrises import EdgeFinding, EdgeName
from shopdocs.work.space.placed import PlacedPiece

# What is drawn along, across and deep at most, beyond which the piece is broken, and at least, so that double lines can
# be told apart; of a `small` drawing less.
SIZES_MM = {False: ((28, 14, 11), (12, 8, 6)), True: ((19, 10, 8), (10, 7, 6))}

NONE_IN_PART: Mapping[EdgeName, Sequence[tuple[Length, Length]]] = {}

# Of corners with as many chamfers the one that is looked at first: end A, the face edge and the face side.
_CORNERS: tuple[Corner, ...] = tuple(
    (end, front, top)
    for top, front, end in product((Face.FACE, Face.BACK), (Face.EDGE, Face.FAR_EDGE), (Face.A, Face.B))
)


def edge_box(
    piece: PlacedPiece,
    findings: Sequence[EdgeFinding],
    strips: int = 1,
    small: bool = False,
    in_part: Mapping[EdgeName, Sequence[tuple[Length, Length]]] = NONE_IN_PART,
) -> Drawing:
    """The piece, without what its joints add, in millimetres of paper; thin lines are the seams of its strips.
    `in_part`: where arrises are bevelled or rounded, but not from end to end."""
    edges = {found.edge: found for found in findings}

    def told(corner: Corner) -> int:
        return sum(edges[edge].verdict in CHAMFERED or edge in in_part for edge in seen_from(corner))

    corner, sizes = max(_CORNERS, key=told), SIZES_MM[small]
    outline = shape_of(piece)
    box = EdgeBox(piece, edges, corner, *sizes, in_part)
    if outline is not None:
        box = ShapedBox(piece, edges, corner, *sizes, in_part, outline)
    marks: list[Mark] = [*box.lines(), *box.seams(strips), *box.names()]
    low, high = _frame(marks)
    shapes = tuple(_shape(mark, low) for mark in marks)
    return Drawing("", Length(high[0] - low[0]), Length(high[1] - low[1]), shapes, Fraction(1), 0.0, 60.0, sketch=True)


def _frame(marks: Sequence[Mark]) -> tuple[Flat, Flat]:
    """Around everything, names included."""
    xs, ys = [], []
    for mark in marks:
        if isinstance(mark, PaperStroke):
            xs += [mark.start[0], mark.end[0]]
            ys += [mark.start[1], mark.end[1]]
        else:
            half = CHARACTER_MM * len(mark.text) / 2
            xs += [mark.at[0] - half, mark.at[0] + half]
            ys += [mark.at[1] - 2, mark.at[1] + 2]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _shape(mark: Mark, low: Flat) -> Shape:
    def true(at: Flat) -> Point:
        return Length(at[0] - low[0]), Length(at[1] - low[1])

    if isinstance(mark, PaperStroke):
        return Line(true(mark.start), true(mark.end), mark.stroke)
    return Words(true(mark.at), mark.text, 9.0, "centre")
