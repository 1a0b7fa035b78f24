"""A piece drawing with its joints named on it, as its sheet's table names them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from shopdocs.blocks.drawing import Drawing, Point, Shape, Words
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO
from shopdocs.documents.drawn.pictures import moved
from shopdocs.documents.drawn.piece_views import PieceView, PieceViews
from shopdocs.documents.drawn.piecedrawing import PieceSheet, fitted_sheet
from shopdocs.work.space.placed import Bore, Cuboid, Feature, PlacedPiece, Spot, side_of

Joints = Sequence[tuple[str, Sequence[Feature]]]  # names, and the features that make each joint

_NAME_HALF_MM = (2.0, 1.6)  # half of a name of two figures
_CLEAR_MM = 0.9  # around it


@dataclass(frozen=True)
class FittedPiece:
    """A piece drawn for a room of paper, before its joints are named."""

    sheet: PieceSheet

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
    """The piece at the scale that `fitted_sheet` finds."""
    return FittedPiece(fitted_sheet(piece, display, room_mm))


def fitted_pair(
    one: PlacedPiece, two: PlacedPiece, display: Display, room_mm: tuple[float, float]
) -> tuple[FittedPiece, FittedPiece]:
    """Two pieces of a handed pair at one scale, so that they mirror each other."""
    sheets = [fitted_sheet(piece, display, room_mm) for piece in (one, two)]
    least = min(sheet.scale for sheet in sheets)
    first, second = (
        sheet if sheet.scale == least else fitted_sheet(sheet.piece, display, room_mm, least) for sheet in sheets
    )
    return FittedPiece(first), FittedPiece(second)


def _names(views: PieceViews, joints: Joints) -> list[Shape]:
    """The name of each joint on its largest cut or tenon, in the view that looks on it."""
    words: list[Shape] = []
    for shown, features in joints:
        feature = main_feature(features)
        view = views.face_edge if looks_to_edge(views.piece, feature) else views.face_side
        spot = views.shown_middle(feature) if isinstance(feature, Cuboid) else feature.centre
        words.append(Words(_beside_border(views, view, feature, spot), shown, 9.0, strong=True, boxed=True))
    return words


def _beside_border(views: PieceViews, view: PieceView, feature: Feature, spot: Spot) -> Point:
    """Where a name stands: on its joint, or, where that is narrow and lies along a border of the view, beside it, so
    that the name does not blot out the border."""
    if not isinstance(feature, Cuboid):
        return view.place(_beyond(views, view, feature))
    x, y = view.place(spot)
    (low_x, low_y), (high_x, high_y) = views.corners(view)
    moved_to = [x, y]
    for k, axis, low, high in ((0, view.across, low_x, high_x), (1, view.up, low_y, high_y)):
        room = views.true(_NAME_HALF_MM[k] + _CLEAR_MM)
        drawn = feature.hi[axis] - feature.lo[axis]
        if high - low < room * 3 or drawn >= room * 2:
            continue
        half = drawn / 2
        if moved_to[k] - half - low < room / 2:
            moved_to[k] = moved_to[k] + half + room
        elif high - moved_to[k] - half < room / 2:
            moved_to[k] = moved_to[k] - half - room
    return moved_to[0], moved_to[1]


def _beyond(views: PieceViews, view: PieceView, bore: Bore) -> Spot:
    """The centre of a hole that is seen as a circle; else the wood beyond its bottom, clear of its outline."""
    axis, high = side_of(bore.face)
    spot = list(bore.centre)
    if axis != view.look and bore.depth is not None:
        past = bore.depth + views.true(_NAME_HALF_MM[0] + _CLEAR_MM)
        spot[axis] = spot[axis] - past if high else spot[axis] + past
    return spot[0], spot[1], spot[2]


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
