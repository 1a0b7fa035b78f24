"""A piece as a box, with its twelve edges drawn by what becomes of them.

Two isometric views from opposite corners show all six faces, true to hand; both are to the scale of the section, and
long pieces are broken. An edge that stays square is heavy, a chamfered one double, an eased one dashed: line kinds tell
it, never a colour.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from shopdocs.blocks.drawing import Drawing, Line, Point, Shape, Stroke, Words
from shopdocs.core.length import Length
from shopdocs.documents.drawn.pictures import SCALES
from shopdocs.documents.fitting.alike import FACE_WORDS
from shopdocs.model.joining import Face
from shopdocs.work.joints.frame import opposite
from shopdocs.work.shapes.projection import COS_30
from shopdocs.work.space.arrises import EDGES, EdgeName, Verdict
from shopdocs.work.space.placed import PlacedPiece, side_of

ROOM_MM = 84.0  # both views with their names, so that two drawings stand side by side on every paper
SECTION_MM = 15.0  # the wider side of the section
# the thinner side is drawn at least so thick, for double lines to be read as such; a wide board is then broken across
# its width as well
THIN_MM = 4.2
LONGEST_MM = (27, 17, 17)  # along, across, deep; beyond them the piece is broken
APART_MM = 0.55  # the two lines of a chamfered edge, from the edge to each
BREAK_MM = 1.8
GAP_MM = 5  # between the views
NAMES_MM = 2.4  # from a face to its name
CHARACTER_MM = Fraction(7, 4)  # mean width of a letter at 9 pt
_HALF = Fraction(1, 2)

Anchor = Literal["left", "centre", "right"]
Flat = tuple[Fraction, Fraction]  # millimetres of paper


def edge_box(piece: PlacedPiece, verdicts: Mapping[EdgeName, Verdict], name: str = "") -> Drawing:
    """Both views of a piece side by side."""
    scale = _scale(piece)
    for share in (Fraction(1), Fraction(9, 10), Fraction(8, 10), Fraction(7, 10)):
        drawing = _drawn(piece, verdicts, name, scale, share)
        if drawing.width.float_mm(scale) <= ROOM_MM:
            break
    return drawing


def _drawn(
    piece: PlacedPiece, verdicts: Mapping[EdgeName, Verdict], name: str, scale: Fraction, share: Fraction
) -> Drawing:
    """Both views, every side drawn up to that share of the most it may take."""
    near = _Box(piece, scale, share, Face.FACE, Face.EDGE, Face.A)
    far = _Box(piece, scale, share, Face.BACK, Face.FAR_EDGE, Face.B)
    shapes: list[Shape] = []
    boxes = [_framed(list(box.shapes(verdicts))) for box in (near, far)]
    high = max(size[1] for _, size in boxes)
    at = Fraction(0)
    for found, size in boxes:
        shapes += [_moved(shape, (at, (high - size[1]) / 2), scale) for shape in found]
        at += size[0] + GAP_MM
    wide = at - GAP_MM
    return Drawing(name, Length(wide / scale), Length(high / scale), tuple(shapes), scale, 0.0, 60.0)


def _scale(piece: PlacedPiece) -> Fraction:
    wide, thin = max(piece.width, piece.thickness), min(piece.width, piece.thickness)
    best = next((s for s in SCALES if wide.float_mm(s) <= SECTION_MM), SCALES[-1])
    return next((s for s in reversed(SCALES[: SCALES.index(best) + 1]) if thin.float_mm(s) >= THIN_MM), SCALES[0])


@dataclass(frozen=True, slots=True)
class _Stroke:
    """A line on paper, in millimetres, before it is moved into its drawing."""

    start: Flat
    end: Flat
    stroke: Stroke


@dataclass(frozen=True, slots=True)
class _Name:
    at: Flat
    text: str
    anchor: Anchor


_Mark = _Stroke | _Name


class _Box:
    """One view: `top`, `front` and `end` are the faces it shows, lying up, to the reader and to the other side."""

    def __init__(self, piece: PlacedPiece, scale: Fraction, share: Fraction, top: Face, front: Face, end: Face) -> None:
        self.top, self.front, self.end = top, front, end
        whole = [side.mm * scale for side in piece.size]
        most = [share * longest for longest in LONGEST_MM]
        self.broken = [side > limit for side, limit in zip(whole, most, strict=True)]
        self.size = [min(side, limit) for side, limit in zip(whole, most, strict=True)]
        # seen from above, length and width turn to the left of each other on a piece of one hand, to the right on the
        # other; the view from the opposite corner turns them round
        first = piece.pose.right_handed == (top is Face.FACE)
        self.sense = Fraction(-1) if first else Fraction(1)

    def spot(self, along: Fraction, across: Fraction, deep: Fraction) -> Flat:
        """Paper place of a point measured from the end, front and top that are shown."""
        return self.sense * COS_30 * (along - across), (along + across) * _HALF - deep

    def corner(self, faces: set[Face]) -> Flat:
        """The corner of these three faces."""
        measures = [Fraction(0)] * 3
        for face in faces:
            axis, _ = side_of(face)
            if face not in (self.top, self.front, self.end):
                measures[axis] = self.size[axis]
        return self.spot(measures[0], measures[1], measures[2])

    def shapes(self, verdicts: Mapping[EdgeName, Verdict]) -> Iterator[_Mark]:
        shown = {self.top, self.front, self.end}
        for edge in EDGES:
            if not shown & set(edge):
                continue
            axis = next(k for k in range(3) if k not in {side_of(face)[0] for face in edge})
            near = {0: self.end, 1: self.front, 2: self.top}[axis]
            start, end = self.corner({*edge, near}), self.corner({*edge, opposite(near)})
            pieces = _broken(start, end, self.size[axis]) if self.broken[axis] else [(start, end)]
            for one, two in pieces:
                yield from _edge(one, two, verdicts[edge])
        yield from self._names()

    def _names(self) -> Iterator[_Mark]:
        """The names of the three faces: two in one row under the faces they name, one over the top."""
        long, wide, deep = self.size
        zero, off = Fraction(0), Fraction(NAMES_MM)
        low = self.spot(zero, zero, deep)[1] - off - 1
        sides = ((self.end, self.spot(zero, wide / 2, deep), -1), (self.front, self.spot(long / 2, zero, deep), 1))
        for face, middle, way in sides:
            words = FACE_WORDS[face]
            clear = CHARACTER_MM * len(words) / 2 + 1  # so that neighbours in the row do not touch
            yield _Name((self.sense * way * max(abs(middle[0]), clear), low), words, "centre")
        top_x, top_y = self.spot(long, wide, zero)
        yield _Name((top_x, top_y + off + 1), FACE_WORDS[self.top], "centre")


def _broken(start: Flat, end: Flat, long: Fraction) -> list[tuple[Flat, Flat]]:
    dx, dy = end[0] - start[0], end[1] - start[1]
    low, high = (long - Fraction(BREAK_MM)) / 2 / long, (long + Fraction(BREAK_MM)) / 2 / long

    def at(share: Fraction) -> Flat:
        return start[0] + dx * share, start[1] + dy * share

    return [(start, at(low)), (at(high), end)]


def _edge(start: Flat, end: Flat, verdict: Verdict) -> Iterator[_Stroke]:
    if verdict is Verdict.SQUARE:
        yield _Stroke(start, end, Stroke.REFERENCE)
        return
    dx, dy = float(end[0] - start[0]), float(end[1] - start[1])
    long = (dx * dx + dy * dy) ** 0.5 or 1.0
    if verdict is Verdict.EASE:
        yield from _dashes(start, end, long)
        return
    off = (Fraction(round(-dy / long * APART_MM * 1000), 1000), Fraction(round(dx / long * APART_MM * 1000), 1000))
    # kept back from the corners, so that the double lines of neighbours do not cross
    back = Fraction(round(min(0.9, long / 6) / long * 10000), 10000)
    ex, ey = (end[0] - start[0]) * back, (end[1] - start[1]) * back
    one, two = (start[0] + ex, start[1] + ey), (end[0] - ex, end[1] - ey)
    for sign in (1, -1):
        yield _Stroke(
            (one[0] + sign * off[0], one[1] + sign * off[1]), (two[0] + sign * off[0], two[1] + sign * off[1]),
            Stroke.THIN,
        )  # fmt: skip


def _dashes(start: Flat, end: Flat, long: float) -> Iterator[_Stroke]:
    """Short heavy dashes, an odd number of equal parts, so that both ends are drawn."""
    parts = max(3, 2 * round(long / 2.2 / 2) + 1)
    for i in range(0, parts, 2):
        low, high = Fraction(i, parts), Fraction(i + 1, parts)
        yield _Stroke(
            (start[0] + (end[0] - start[0]) * low, start[1] + (end[1] - start[1]) * low),
            (start[0] + (end[0] - start[0]) * high, start[1] + (end[1] - start[1]) * high),
            Stroke.VISIBLE,
        )


def _framed(marks: list[_Mark]) -> tuple[list[_Mark], Flat]:
    """The marks moved so that everything, names included, lies right of and above (0, 0); and its room."""
    xs, ys = [], []
    for mark in marks:
        if isinstance(mark, _Stroke):
            xs += [mark.start[0], mark.end[0]]
            ys += [mark.start[1], mark.end[1]]
        else:
            wide = CHARACTER_MM * len(mark.text)
            left = {"left": Fraction(0), "centre": wide / 2, "right": wide}[mark.anchor]
            xs += [mark.at[0] - left, mark.at[0] - left + wide]
            ys += [mark.at[1] - 2, mark.at[1] + 2]
    low = (min(xs), min(ys))
    back = [_shifted(mark, (-low[0], -low[1])) for mark in marks]
    return back, (max(xs) - low[0], max(ys) - low[1])


def _shifted(mark: _Mark, by: Flat) -> _Mark:
    def plus(at: Flat) -> Flat:
        return at[0] + by[0], at[1] + by[1]

    if isinstance(mark, _Stroke):
        return _Stroke(plus(mark.start), plus(mark.end), mark.stroke)
    return _Name(plus(mark.at), mark.text, mark.anchor)


def _moved(mark: _Mark, by: Flat, scale: Fraction) -> Shape:
    """The mark as a shape of the drawing, whose lengths are true ones."""

    def true(at: Flat) -> Point:
        return Length(at[0] / scale), Length(at[1] / scale)

    moved = _shifted(mark, by)
    if isinstance(moved, _Stroke):
        return Line(true(moved.start), true(moved.end), moved.stroke)
    return Words(true(moved.at), moved.text, 9.0, moved.anchor)
