"""A piece drawing with its joints named on it, as its sheet's table names them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

from shopdocs.blocks.drawing import Drawing, Point, Shape, Words
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.measures import Box, words_mm
from shopdocs.documents.drawn.notes import Ground, ground, runs_through, within
from shopdocs.documents.drawn.pictures import moved
from shopdocs.documents.drawn.piece_drawing import PieceSheet, fitted_sheet
from shopdocs.documents.drawn.piece_views import PieceView, PieceViews
from shopdocs.work.space.placed import Bore, Cuboid, Feature, PlacedPiece, Spot, side_of

Joints = Sequence[tuple[str, Sequence[Feature]]]  # names, and the features that make each joint

_NAME_HALF_MM = (2.0, 1.6)  # half of a name of two figures
_CLEAR_MM = 0.9  # around it
_MOST_HIDDEN = 0.36  # a name that would hide more of its joint stands beside it
_ROUND_MM = 0.5
_GAPS_MM = (0.8, 1.8, 3.0, 4.5, 6.0)  # between a joint and a name beside it
# What a name beside its joint rather goes round: the border, a line, another joint, words; nearer to another joint than
# to its own it would be taken for that one's.
_OUTSIDE, _OVER_LINE, _OVER_JOINT, _OVER_WORDS, _NEARER = 2.5, 4.0, 8.0, 40.0, 12.0


@dataclass(frozen=True)
class FittedPiece:
    """A piece drawn for a room of paper, before its joints are named."""

    sheet: PieceSheet

    @cached_property
    def _bare(self) -> Drawing:
        return self.sheet.drawing("-")

    def in_room(self, display: Display, room_mm: tuple[float, float]) -> FittedPiece:
        """The same piece in another room."""
        return FittedPiece(fitted_sheet(self.sheet.gauged, display, room_mm))

    def drawing(self, name: str, joints: Joints = ()) -> Drawing:
        """The drawing; each of `joints` is a name and the features that make the joint."""
        views, box = self.sheet.views, self.sheet.box
        low = (views.true(box[0]), views.true(box[1]))
        words = [moved(shape, low) for shape in _names(views, joints, ground(self.sheet.shapes, views.scale), box)]
        return replace(self._bare, name=name, shapes=(*self._bare.shapes, *words))


def fitted_piece(piece: PlacedPiece, display: Display, room_mm: tuple[float, float]) -> FittedPiece:
    """The piece at the scale that `fitted_sheet` finds."""
    return FittedPiece(fitted_sheet(Gauged(piece), display, room_mm))


def fitted_pair(
    one: PlacedPiece, two: PlacedPiece, display: Display, room_mm: tuple[float, float]
) -> tuple[FittedPiece, FittedPiece]:
    """Two pieces of a handed pair at one scale, so that they mirror each other."""
    sheets = [fitted_sheet(Gauged(piece), display, room_mm) for piece in (one, two)]
    least = min(sheet.scale for sheet in sheets)
    first, second = (
        sheet if sheet.scale == least else fitted_sheet(sheet.gauged, display, room_mm, least) for sheet in sheets
    )
    return FittedPiece(first), FittedPiece(second)


def _names(views: PieceViews, joints: Joints, taken: Ground, sheet: Box) -> list[Shape]:
    """The name of each joint on its largest cut or tenon, in the view that looks on it; beside it where the name would
    hide it."""
    words: list[Shape] = []
    drawn = [(shown, main_feature(features), features) for shown, features in joints]
    for shown, feature, _ in drawn:
        view = _view_of(views, feature)
        spot = views.shown_middle(feature) if isinstance(feature, Cuboid) else feature.centre
        at = _beside_border(views, view, feature, spot)
        named, own = _name_box(shown, _paper(views, at)), _feature_box(views, view, feature)
        if _share_hidden(own, named) > _MOST_HIDDEN or (isinstance(feature, Cuboid) and not _overlap(own, named)):
            others = [
                _feature_box(views, view, other)
                for _, main, features in drawn if main is not feature
                for other in features if _view_of(views, main) is view
            ]  # fmt: skip
            (low, high) = (_paper(views, corner) for corner in views.corners(view))
            x, y = _beside(shown, own, taken, others, (*low, *high), sheet)
            named, at = _name_box(shown, (x, y)), (views.true(x), views.true(y))
        taken = replace(taken, words=(*taken.words, named))
        words.append(Words(at, shown, 9.0, strong=True, boxed=True))
    return words


def _view_of(views: PieceViews, feature: Feature) -> PieceView:
    return views.face_edge if looks_to_edge(views.piece, feature) else views.face_side


def _paper(views: PieceViews, at: Point) -> tuple[float, float]:
    return at[0].float_mm(views.scale), at[1].float_mm(views.scale)


def _name_box(shown: str, at: tuple[float, float]) -> Box:
    wide, high = max(_NAME_HALF_MM[0], words_mm(shown) / 2 + 0.3), _NAME_HALF_MM[1]
    return at[0] - wide, at[1] - high, at[0] + wide, at[1] + high


def _feature_box(views: PieceViews, view: PieceView, feature: Feature) -> Box:
    """What a feature takes of a view, in millimetres of paper."""
    if isinstance(feature, Cuboid):
        low = [max(a, b) for a, b in zip(feature.lo, views.lo, strict=True)]
        high = [min(a, b) for a, b in zip(feature.hi, views.hi, strict=True)]
    else:
        axis, far = side_of(feature.face)
        depth = feature.depth if feature.depth is not None else views.piece.size[axis]
        wide = max(feature.diameter, feature.head or ZERO, feature.slot or ZERO) / 2
        low = [value - wide for value in feature.centre]
        high = [value + wide for value in feature.centre]
        low[axis] = feature.centre[axis] - (depth if far else ZERO)
        high[axis] = feature.centre[axis] + (ZERO if far else depth)
    one = _paper(views, view.place((low[0], low[1], low[2])))
    two = _paper(views, view.place((high[0], high[1], high[2])))
    return min(one[0], two[0]), min(one[1], two[1]), max(one[0], two[0]), max(one[1], two[1])


def _overlap(one: Box, two: Box) -> float:
    wide, high = min(one[2], two[2]) - max(one[0], two[0]), min(one[3], two[3]) - max(one[1], two[1])
    return max(wide, 0.0) * max(high, 0.0)


def _apart(one: Box, two: Box) -> float:
    """How far two boxes are apart; 0 where they touch."""
    wide, high = max(one[0], two[0]) - min(one[2], two[2]), max(one[1], two[1]) - min(one[3], two[3])
    return math.hypot(max(wide, 0.0), max(high, 0.0))


def _share_hidden(feature: Box, name: Box) -> float:
    """How much of a feature a name over it would hide."""
    area = (feature[2] - feature[0]) * (feature[3] - feature[1])
    return _overlap(feature, name) / area if area > 0.0 else 0.0


def _beside(shown: str, own: Box, taken: Ground, others: Sequence[Box], inside: Box, sheet: Box) -> tuple[float, float]:
    """The place beside a feature where its name hides the least: no words, hardly a line, no other joint; on the view
    itself (`inside`) rather than beyond its border."""
    wide, high = (_name_box(shown, (0.0, 0.0))[k] for k in (2, 3))
    middle_x, middle_y = (own[0] + own[2]) / 2, (own[1] + own[3]) / 2
    best: tuple[float, float, float] | None = None
    far_x, far_y = 2 * wide + _GAPS_MM[-1] + _ROUND_MM, 2 * high + _GAPS_MM[-1] + _ROUND_MM
    taken = taken.near((own[0] - far_x, own[1] - far_y, own[2] + far_x, own[3] + far_y))
    for gap in _GAPS_MM:
        xs = (own[0] - gap - wide, middle_x - wide / 2, middle_x, middle_x + wide / 2, own[2] + gap + wide)
        ys = (own[1] - gap - high, middle_y - high / 2, middle_y, middle_y + high / 2, own[3] + gap + high)
        for x, y in product(xs, ys):
            box = _name_box(shown, (x, y))
            if (xs[0] < x < xs[-1] and ys[0] < y < ys[-1]) or not within(box, sheet):
                continue
            cost = gap + 0.5 * min(abs(x - middle_x) / wide, abs(y - middle_y) / high)
            cost += 0.0 if within(box, inside) else _OUTSIDE
            if best is not None and cost >= best[0]:
                continue
            # names clear the paper under them, a little more than they are large
            cleared = (box[0] - _ROUND_MM, box[1] - _ROUND_MM, box[2] + _ROUND_MM, box[3] + _ROUND_MM)
            cost += _OVER_LINE * sum(runs_through(line, cleared) for line in taken.lines)
            cost += _OVER_WORDS * sum(_overlap(box, other) > 0.0 for other in taken.words)
            cost += _OVER_JOINT * sum(_overlap(box, other) > 0.0 for other in others)
            cost += _NEARER * sum(_apart(box, other) <= _apart(box, own) for other in others)
            if best is None or cost < best[0]:
                best = (cost, x, y)
    return best[1:] if best is not None else (middle_x, middle_y)


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
    """The middle of a cut, or of a hole's mouth, as a point of the piece."""
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
