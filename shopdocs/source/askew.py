"""Which pieces of a build lean or are tipped, and where their faces stand for the pieces that are placed by them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from shopdocs.core.length import Length
from shopdocs.model.parts import Direction, Lean, Tilt
from shopdocs.source.drafts import PartDraft, PieceDraft
from shopdocs.source.leaning import face_at, lean_of, middle_of, middle_of_top
from shopdocs.source.nodes import Scalar
from shopdocs.source.tilting import known_companions, mirrored, tilt_of, told_of_image
from shopdocs.source.values import Values

Span = tuple[Length, Length]


class Askew:
    """What is off square among pieces: `spans` and `mirrors` (the mirrored piece, across what, and where) are filled in
    as they become known."""

    def __init__(
        self,
        parts: Mapping[str, PartDraft],
        pieces: Mapping[str, PieceDraft],
        spans: Mapping[str, Mapping[Direction, Span]],
        mirrors: Mapping[str, tuple[str, Direction, Scalar]],
        values: Values,
    ) -> None:
        self.parts, self.pieces, self.spans, self.mirrors, self.values = parts, pieces, spans, mirrors, values
        self._leans: dict[str, Lean | None] = {}
        self._tilts: dict[str, Tilt | None] = {}
        self._bare = all(piece.tilt is None for piece in pieces.values())
        if not self._bare:
            known_companions(pieces, values)

    def know_companions(self) -> None:
        """Takes out, with a problem, what is tipped with the mirror image of a piece that is not tipped, or that is
        tipped as itself; to be called when it is known what mirrors what."""
        for piece in () if self._bare else self.pieces.values():
            if piece.tilt is not None and piece.tilt.along in self.mirrors:
                told_of_image(piece, self._leader(piece), self.values)

    def _leader(self, piece: PieceDraft) -> PieceDraft:
        """The piece that it is tipped as, or itself where it goes round in a circle."""
        found = piece
        for _ in self.pieces:
            mark = found.tilt.along if found.tilt is not None and found.tilt.along else found.mark
            found = self.pieces[self.mirrors[mark][0] if mark in self.mirrors else mark]
            if found is piece:
                break
        return found

    # --- pieces that lean --------------------------------------------------------------------------------------------

    @cached_property
    def _leaning_parts(self) -> frozenset[str]:
        """The parts of which a piece leans; its mirror images lean as well, and so do all its pieces."""
        return frozenset(piece.part for piece in self.pieces.values() if piece.lean is not None)

    def leans(self, mark: str) -> bool:
        """Whether a piece leans: all pieces of a part do, or none."""
        return self.pieces[mark].part in self._leaning_parts

    def lean_of(self, piece: PieceDraft, seen: int = 0) -> Lean | None:
        """How a piece leans; a mirror image leans the other way across its plane."""
        spans = self.spans[piece.mark]
        if piece.mark in self.mirrors and seen < len(self.pieces):
            source, across, _ = self.mirrors[piece.mark]
            found = self.lean_of(self.pieces[source], seen + 1)
            if found is None or len(spans) != 3:
                return None
            right = -found.right if across is Direction.X else found.right
            rear = -found.rear if across is Direction.Y else found.rear
            return Lean(right, rear, middle_of_top(spans), spans[Direction.Z][0], found.at)
        if piece.lean is None or len(spans) != 3:
            return None
        if piece.mark not in self._leans:
            self._leans[piece.mark] = lean_of(piece, self.parts[piece.part].runs, spans, self._middle, self.values)
        return self._leans[piece.mark]

    @cached_property
    def _middle(self) -> tuple[Length | None, Length | None]:
        """The middle of the build from left to right and from front to rear, by the tops of all pieces that lean."""
        return middle_of([self.spans[mark] for mark in self.pieces if self.leans(mark)])

    def leaning_face(self, mark: str, direction: Direction, high: bool, level: Length) -> Length | None:
        """Where a side of a leaning piece stands at the height `level`."""
        lean = self.lean_of(self.pieces[mark])
        low, far = self.spans[mark][direction]
        return face_at(lean, direction, (far - low) / 2, high, level) if lean is not None else None

    # --- pieces that are tipped --------------------------------------------------------------------------------------

    def tilt_of(self, piece: PieceDraft) -> Tilt | None:
        """How a piece is tipped: by itself, with another, or as the mirror image of what is."""
        if self._bare or len(self.spans[piece.mark]) != 3:
            return None
        if piece.mark not in self._tilts:
            self._tilts[piece.mark] = self._tilt_of(piece)
        return self._tilts[piece.mark]

    def _tilt_of(self, piece: PieceDraft) -> Tilt | None:
        if piece.mark in self.mirrors:
            name, across, _ = self.mirrors[piece.mark]
            source = self.pieces[name]
            found = self.tilt_of(source)
            if found is None:
                return None
            mine, theirs = self.spans[piece.mark][across], self.spans[name][across]
            return mirrored(found, across, (mine[0] + mine[1] + theirs[0] + theirs[1]) / 4)
        if piece.tilt is None:
            return None
        if piece.tilt.along:
            return self.tilt_of(self.pieces[piece.tilt.along])
        return tilt_of(piece, self.parts[piece.part].runs, self.spans[piece.mark], self.values)

    def _root(self, piece: PieceDraft) -> str:
        """The piece that a piece is tipped with: itself, if with no other."""
        return piece.tilt.along if piece.tilt is not None and piece.tilt.along else piece.mark

    def _moves(self, mark: str, direction: Direction, beside: PieceDraft | None) -> bool:
        """Whether the faces of a piece along a direction may stand elsewhere than it is placed, seen by `beside`."""
        piece = self.pieces[mark]
        if self._bare or (beside is not None and self._root(piece) == self._root(beside)):
            return False
        root = self.pieces.get(self._root(piece), piece)
        runs = self.parts[root.part].runs
        return (
            (piece.tilt is not None or piece.mirror is not None) and runs is not None and runs.length is not direction
        )

    def also_needed(
        self, faces: Mapping[str, set[Direction]], beside: PieceDraft | None
    ) -> Iterator[tuple[str, Direction]]:
        """What else has to be known before the faces of tipped pieces are."""
        if self._bare:
            return
        for mark, directions in faces.items():
            if any(self._moves(mark, direction, beside) for direction in directions):
                piece = self.pieces[mark]
                alike = [one for one in self.parts[piece.part].pieces if one.tilt is not None]
                roots = {self._root(piece), *(self._root(one) for one in (alike if piece.mirror is not None else ()))}
                for name in {mark, *roots} & self.pieces.keys() - ({beside.mark} if beside is not None else set()):
                    yield from ((name, direction) for direction in Direction)

    def tipped_face(self, mark: str, direction: Direction, high: bool, beside: PieceDraft | None) -> Length | None:
        """Where a tipped piece reaches to along a direction, as `beside` sees it; None where its face stands as it is
        placed."""
        if not self._moves(mark, direction, beside):
            return None
        tilt = self.tilt_of(self.pieces[mark])
        if tilt is None:
            return None
        spans = [self.spans[mark][each] for each in Direction]
        ends = tilt.box([span[0] for span in spans], [span[1] for span in spans])
        return ends[high][tuple(Direction).index(direction)]
