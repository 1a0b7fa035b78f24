"""The view of one corner of a piece, drawn as a box on paper: its lines, seams and names of faces."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from shopdocs.blocks.drawing import Stroke
from shopdocs.core.length import Length
from shopdocs.model.joining import FACE_NAMES, Face
from shopdocs.work.shapes.projection import COS_30
from shopdocs.work.space.arrises import EDGES, EdgeFinding, EdgeName, Verdict, edge_name
from shopdocs.work.space.placed import PlacedPiece, side_of

CHAMFER_MM = Fraction(6, 5)  # between the two lines of a chamfer
BREAK_MM = 2
NAMES_MM = Fraction(5, 2)  # from a face to its name
CHARACTER_MM = Fraction(7, 4)  # mean width of a letter at 9 pt
_HALF = Fraction(1, 2)
_WHOLE = (Verdict.CHAMFER, Verdict.SHAPED)  # drawn with two lines from end to end
CHAMFERED = (*_WHOLE, Verdict.STOPPED)


Flat = tuple[Fraction, Fraction]  # millimetres of paper
Spot = tuple[Fraction, Fraction, Fraction]  # along, across, deep on the drawn box
Corner = tuple[Face, Face, Face]  # the end, edge and side that one looks at


def seen_from(corner: Corner) -> list[EdgeName]:
    """The nine arrises that are seen from a corner."""
    return [edge for edge in EDGES if set(edge) & set(corner)]


class PaperStroke(Struct, frozen=True):
    """A line on paper, in millimetres."""

    start: Flat
    end: Flat
    stroke: Stroke


class NameOnPaper(Struct, frozen=True):
    """The name of a face on paper, and where its middle is, in millimetres."""

    at: Flat
    text: str


Mark = PaperStroke | NameOnPaper


class EdgeBox:
    """The view of one corner of a piece as the box it is."""

    def __init__(
        self,
        piece: PlacedPiece,
        edges: Mapping[EdgeName, EdgeFinding],
        corner: Corner,
        most_mm: Sequence[int],
        least_mm: Sequence[int],
        in_part: Mapping[EdgeName, Sequence[tuple[Length, Length]]],
    ) -> None:
        self.edges, self.in_part = edges, in_part
        self.end, self.front, self.top = corner
        self.shown = set(corner)
        self.length = piece.length
        # the wider side of the section fills what it may
        scale = most_mm[1] / max(piece.width, piece.thickness).mm
        whole = [side.mm * scale for side in piece.size]
        self.broken = [side > most for side, most in zip(whole, most_mm, strict=True)]
        self.size = [
            min(max(side, Fraction(least)), Fraction(most))
            for side, least, most in zip(whole, least_mm, most_mm, strict=True)
        ]
        # seen from above, length and width turn to the left of each other on a piece of one hand, to the right on the
        # other; every face that is looked at from its other side turns them round
        turned = sum(face in (Face.BACK, Face.FAR_EDGE, Face.B) for face in corner) % 2 == 1
        self.sense = Fraction(-1) if piece.pose.right_handed != turned else Fraction(1)

    def spot(self, at: Spot) -> Flat:
        """Paper place of a point of the piece."""
        along, across, deep = (
            self.size[axis] - v if self._near(axis) in (Face.B, Face.FAR_EDGE, Face.BACK) else v
            for axis, v in enumerate(at)
        )
        return self.sense * COS_30 * (along - across), (along + across) * _HALF - deep

    def _near(self, axis: int) -> Face:
        return (self.end, self.front, self.top)[axis]

    def lines(self) -> Iterator[PaperStroke]:
        """The lines of all arrises: those of a chamfer lie on both faces it cuts, or beside the arris on the one that
        is seen."""
        hidden = [edge for edge in EDGES if not set(edge) & self.shown]
        told = {self.edges[edge].verdict for edge in hidden} != {Verdict.SQUARE} or set(hidden) & set(self.in_part)
        if told and len({found.verdict for found in self.edges.values()}) > 1:
            for edge in hidden:
                yield from self._behind(edge)
        for edge in seen_from((self.end, self.front, self.top)):
            yield from self._seen(edge)

    def _seen(self, edge: EdgeName) -> Iterator[PaperStroke]:
        verdict = self.edges[edge].verdict
        if verdict not in CHAMFERED and edge not in self.in_part:
            stroke = Stroke.THIN if verdict is Verdict.EASE else Stroke.REFERENCE
            yield from self._run(edge, None, Fraction(0), Fraction(1), stroke)
            return
        spans = self._spans(edge)
        faces = [face for face in edge if face in self.shown]
        for low, high in spans:
            for face in faces:
                yield from self._run(edge, face, low, high, Stroke.VISIBLE)
            if len(faces) == 1:
                yield from self._run(edge, None, low, high, Stroke.VISIBLE)
        for low, high in _between(spans):
            yield from self._run(edge, None, low, high, Stroke.REFERENCE)

    def _behind(self, edge: EdgeName) -> Iterator[PaperStroke]:
        chamfered = self.edges[edge].verdict in CHAMFERED or edge in self.in_part
        for face in edge if chamfered else (None,):
            yield from self._run(edge, face, Fraction(0), Fraction(1), Stroke.HIDDEN)

    def _spans(self, edge: EdgeName) -> list[tuple[Fraction, Fraction]]:
        """The stretches of an arris with a chamfer, as shares of its length."""
        found = self.edges[edge]
        if found.verdict in _WHOLE:
            return [(Fraction(0), Fraction(1))]
        stopped = found.free if found.verdict is Verdict.STOPPED else ()
        spans = sorted((*stopped, *self.in_part.get(edge, ())))
        return [(low.mm / found.length.mm, high.mm / found.length.mm) for low, high in spans]

    def _run(
        self, edge: EdgeName, face: Face | None, low: Fraction, high: Fraction, stroke: Stroke
    ) -> Iterator[PaperStroke]:
        """A line along an arris, or beside it on a face; it ends where the chamfers of the face's other arrises begin,
        and is broken with the piece."""
        (axis,) = {0, 1, 2} - {side_of(f)[0] for f in edge}
        at = [Fraction(0)] * 3
        for one in edge:
            k, far = side_of(one)
            at[k] = self.size[k] if far else Fraction(0)
        ends = [low * self.size[axis], high * self.size[axis]]
        if face is not None:
            (other,) = (f for f in edge if f is not face)
            k, far = side_of(other)
            at[k] += -CHAMFER_MM if far else CHAMFER_MM
            for place, far in ((0, False), (1, True)):
                side = _end(axis, far)
                if ends[place] == (self.size[axis] if far else 0) and self._cut(face, side):
                    ends[place] += -CHAMFER_MM if far else CHAMFER_MM
        spans = [(ends[0], ends[1])]
        if self.broken[axis]:
            middle, half = self.size[axis] / 2, Fraction(BREAK_MM) / 2
            spans = [(ends[0], min(ends[1], middle - half)), (max(ends[0], middle + half), ends[1])]
        for one_end, two_end in spans:
            if one_end < two_end:
                start, end = list(at), list(at)
                start[axis], end[axis] = one_end, two_end
                yield PaperStroke(self.spot(_spot(start)), self.spot(_spot(end)), stroke)

    def _cut(self, face: Face, side: Face) -> bool:
        return self.edges[edge_name(face, side)].verdict in _WHOLE

    def seams(self, strips: int) -> Iterator[PaperStroke]:
        """Between the strips, on the side and the end that are seen."""
        top = self.size[2] if self.top is Face.BACK else Fraction(0)
        end = self.size[0] if self.end is Face.B else Fraction(0)
        for k in range(1, strips):
            across = self.size[1] * k / strips
            yield PaperStroke(
                self.spot((Fraction(0), across, top)), self.spot((self.size[0], across, top)), Stroke.THIN
            )
            yield PaperStroke(
                self.spot((end, across, Fraction(0))), self.spot((end, across, self.size[2])), Stroke.THIN
            )

    def names(self) -> Iterator[NameOnPaper]:
        """The names of the three faces: two in one row under the faces they name, one over the top."""
        long, wide, deep = self.size
        # measured from the corner that one looks at
        low = -deep - NAMES_MM - 1
        for face, share, way in ((self.end, wide, -1), (self.front, long, 1)):
            words = FACE_NAMES[face]
            clear = CHARACTER_MM * len(words) / 2 + 1  # so that neighbours in the row do not touch
            yield NameOnPaper((self.sense * way * max(COS_30 * share / 2, clear), low), words)
        yield NameOnPaper((self.sense * COS_30 * (long - wide), (long + wide) * _HALF + NAMES_MM), FACE_NAMES[self.top])


def _end(axis: int, far: bool) -> Face:
    return ((Face.A, Face.B), (Face.EDGE, Face.FAR_EDGE), (Face.FACE, Face.BACK))[axis][far]


def _between(spans: Sequence[tuple[Fraction, Fraction]]) -> Iterator[tuple[Fraction, Fraction]]:
    at = Fraction(0)
    for low, high in spans:
        if low > at:
            yield at, low
        at = high
    if at < 1:
        yield at, Fraction(1)


def _spot(at: Sequence[Fraction]) -> Spot:
    return at[0], at[1], at[2]
