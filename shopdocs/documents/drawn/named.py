"""A piece drawing with its joints named on it, as its sheet's table names them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from shopdocs.blocks.drawing import Drawing, Shape, Words
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO
from shopdocs.documents.drawn.measures import FIRST_MM, STEP_MM
from shopdocs.documents.drawn.pictures import SCALES, moved
from shopdocs.documents.drawn.piece_views import VIEW_GAP_MM, PieceViews, end_times
from shopdocs.documents.drawn.piecedrawing import _Sheet
from shopdocs.work.space.placed import Cuboid, Feature, PlacedPiece, Spot, side_of

Joints = Sequence[tuple[str, Sequence[Feature]]]  # names, and the features that make each joint

_SHORTEST_MM = 20.0  # a long view is never drawn shorter


@dataclass(frozen=True)
class FittedPiece:
    """A piece drawn for a room of paper, before its joints are named. `fits` is False where no usual scale would do."""

    sheet: _Sheet
    fits: bool

    @cached_property
    def _bare(self) -> Drawing:
        return self.sheet.drawing("-")

    def drawing(self, name: str, joints: Joints = ()) -> Drawing:
        """The drawing; each of `joints` is a name and the features that make the joint."""
        views, box = self.sheet.views, self.sheet.box
        low = (views.true(box[0]), views.true(box[1]))
        words = [moved(shape, low) for shape in _names(views, joints)]
        return replace(self._bare, name=name, shapes=(*self._bare.shapes, *words))


def fitted_piece(piece: PlacedPiece, display: Display, room_mm: tuple[float, float]) -> FittedPiece:
    """The piece at the largest usual scale at which it needs no break, or, where it could not be read then, larger and
    broken; as `piece_drawing`, and without trying scales at which the bare views are larger than the room."""
    best: _Sheet | None = None
    for scale in SCALES:
        if not _could_fit(piece, scale, room_mm):
            continue
        sheet = _Sheet(piece, display, scale, room_mm)
        if not sheet.fits:
            continue
        if best is None or (not sheet.views.fold.cuts and sheet.readable):
            best = sheet
        if not sheet.views.fold.cuts or not sheet.readable:
            break
    return FittedPiece(best or _Sheet(piece, display, SCALES[-1], room_mm), best is not None)


def _names(views: PieceViews, joints: Joints) -> list[Shape]:
    """The name of each joint on its largest cut or tenon, in the view that looks on it."""
    words: list[Shape] = []
    for shown, features in joints:
        feature = main_feature(features)
        view = views.face_edge if looks_to_edge(views.piece, feature) else views.face_side
        words.append(Words(view.place(middle_of(feature)), shown, 9.0, strong=True, boxed=True))
    return words


def _could_fit(piece: PlacedPiece, scale: Fraction, room_mm: tuple[float, float]) -> bool:
    """Whether bare views with the least number of dimensions fit; it costs nothing to ask."""
    wide, thick = float(piece.width.mm * scale), float(piece.thickness.mm * scale)
    times = end_times(piece, scale)
    tall = max(wide + thick + VIEW_GAP_MM, wide * times) + FIRST_MM
    across = 2 * (thick * times + VIEW_GAP_MM) + FIRST_MM + STEP_MM + _SHORTEST_MM
    return tall <= room_mm[1] and across <= room_mm[0]


def main_feature(features: Sequence[Feature]) -> Feature:
    """The largest cut or tenon of a joint, or the middle one of its holes."""
    cuboids = [f for f in features if isinstance(f, Cuboid)]
    if cuboids:
        return max(cuboids, key=lambda c: (c.size[0].mm * c.size[1].mm * c.size[2].mm, c.lo))
    return features[len(features) // 2]


def middle_of(feature: Feature) -> Spot:
    if isinstance(feature, Cuboid):
        a, b, c = ((low + high) / 2 for low, high in zip(feature.lo, feature.hi, strict=True))
        return (a, b, c)
    return feature.centre


def looks_to_edge(piece: PlacedPiece, feature: Feature) -> bool:
    """Whether a cut opens at the face edge or the far edge and not at the face side or the back."""
    if not isinstance(feature, Cuboid):
        return side_of(feature.face)[0] == 1
    if feature.adds:
        return False

    def opens(axis: int) -> bool:
        return feature.lo[axis] <= ZERO or feature.hi[axis] >= piece.size[axis]

    return opens(1) and not opens(2)
