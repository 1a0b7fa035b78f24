"""Pieces where they lie in the assembled build, with what their joints cut away and add.

*Piece coordinates* are what a maker measures: `along` from end A, `across` from the face edge, `deep` from the face
side, in that order. *Build coordinates* are x left to right, y front to rear, z floor to top. A `Pose` ties the two;
it is the only thing that knows how a piece is turned, so a freely rotated piece would be another kind of pose and no
change to shapes or features.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.box import Box, Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.core.rounds import Round
from shopdocs.model.joining import Face
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.features import (
    BUILD_AXES,
    OWN,
    OWN_POSE,
    PIECE_AXES,
    ROUND,
    STRIPS,
    Bore,
    Cuboid,
    Feature,
    FeatureKind,
    Flare,
    Pose,
    Slant,
    Slanting,
    Spot,
    Toward,
    face_of,
    pose_of,
    side_of,
    slope_of,
    squared,
)
from shopdocs.work.space.hewing import hewn

__all__ = [
    "BUILD_AXES",
    "OWN",
    "OWN_POSE",
    "PIECE_AXES",
    "ROUND",
    "STRIPS",
    "Bore",
    "Cuboid",
    "Feature",
    "FeatureKind",
    "Flare",
    "PlacedPiece",
    "Pose",
    "Scene",
    "Slant",
    "Slanting",
    "Spot",
    "Toward",
    "face_of",
    "pose_of",
    "side_of",
    "slope_of",
    "squared",
]


class PlacedPiece(Struct, frozen=True, dict=True):
    """One piece in the build. `at` is the corner of its body with the smallest x, y and z; `length` shoulder to
    shoulder. Features are in piece coordinates. `material` keeps pieces of different stock apart. What is `turned` has
    the body for its stock, and the round in the middle of it."""

    mark: str
    part: str
    at: Spot
    length: Length
    width: Length
    thickness: Length
    pose: Pose
    features: tuple[Feature, ...] = ()
    material: str = ""
    turned: Round | None = None

    @property
    def size(self) -> Spot:
        """Length, width, thickness of the body."""
        return (self.length, self.width, self.thickness)

    @cached_property
    def extent(self) -> Spot:
        """Size of the body along x, y and z."""
        a, b, c = (self.size[self.pose.piece_axis(k)] for k in range(3))
        return (a, b, c)

    @cached_property
    def far(self) -> Spot:
        """The corner of the body with the largest x, y and z."""
        a, b, c = (self.at[k] + self.extent[k] for k in range(3))
        return (a, b, c)

    @cached_property
    def wood(self) -> tuple[tuple[Spot, Spot], ...]:
        """The body of the piece and what joints add to it, in the build, each from its low to its high corner."""
        added = (self.range_in_build(cuboid.lo, cuboid.hi) for cuboid in self.cuboids if cuboid.adds)
        return (self.range_in_build((ZERO, ZERO, ZERO), self.size), *added)

    @cached_property
    def reach(self) -> tuple[Spot, Spot]:
        """The box around all of its `wood`."""
        lows, highs = zip(*self.wood, strict=True)
        a, b, c = (min(low[k] for low in lows) for k in range(3))
        d, e, f = (max(high[k] for high in highs) for k in range(3))
        return (a, b, c), (d, e, f)

    def with_features(self, *more: Feature) -> PlacedPiece:
        """The same piece with more features."""
        return replace(self, features=self.features + more)

    @property
    def cuboids(self) -> Iterator[Cuboid]:
        """What joints add to the piece and cut from it, holes not among it."""
        return (feature for feature in self.features if isinstance(feature, Cuboid))

    @property
    def bores(self) -> Iterator[Bore]:
        """The holes of the piece."""
        return (feature for feature in self.features if isinstance(feature, Bore))

    def upright(self) -> PlacedPiece:
        """The piece as it stands square to the build, and what goes into it at an angle as if it went in square: what
        it looks like on the bench, for whatever compares or marks out pieces by themselves."""
        if all(cuboid.slant is None for cuboid in self.cuboids):
            return self
        return replace(self, features=squared(self.features))

    def spot_in_build(self, spot: Sequence[Length]) -> Spot:
        """A point of the piece in build coordinates."""
        result = [ZERO, ZERO, ZERO]
        for axis, toward in enumerate(self.pose.axes):
            k = toward.index
            result[k] = self.at[k] + spot[axis] if toward.forward else self.far[k] - spot[axis]
        return (result[0], result[1], result[2])

    def spot_in_piece(self, spot: Sequence[Length]) -> Spot:
        """A point of the build in piece coordinates."""
        along, across, deep = (
            spot[t.index] - self.at[t.index] if t.forward else self.far[t.index] - spot[t.index] for t in self.pose.axes
        )
        return (along, across, deep)

    def range_in_piece(self, lo: Sequence[Length], hi: Sequence[Length]) -> tuple[Spot, Spot]:
        """A box of the build in piece coordinates: its low and high corners there."""
        return _range(self.spot_in_piece(lo), self.spot_in_piece(hi))

    def range_in_build(self, lo: Sequence[Length], hi: Sequence[Length]) -> tuple[Spot, Spot]:
        """A box of the piece in build coordinates: its low and high corners there."""
        return _range(self.spot_in_build(lo), self.spot_in_build(hi))

    @property
    def off_square(self) -> bool:
        """Whether its solid is made of convex bodies and not of cuboids."""
        return self.turned is not None or any(cuboid.askew for cuboid in self.cuboids)

    def lengths(self) -> Iterator[Length]:
        """Every length that fixes the piece and its cuboids."""
        yield from self.at
        yield from self.size
        for feature in self.cuboids:
            yield from feature.lo
            yield from feature.hi

    def solid(self, ticks: Ticks) -> Solid:
        """The piece in the build, in ticks. Round holes are left out: they change no contact and no outline."""

        def box(lo: Spot, hi: Spot) -> Box:
            return Box.between(
                [ticks.count(v) for v in self.spot_in_build(lo)], [ticks.count(v) for v in self.spot_in_build(hi)]
            )

        if self.off_square:
            return hewn(self, ticks)
        return self._solid(ticks, box, self.pose.build_axis, self.pose.look_of)

    def own_solid(self, ticks: Ticks) -> Solid:
        """The piece in its own coordinates, in ticks."""
        if self.off_square:
            origin = (ZERO, ZERO, ZERO)
            own = PlacedPiece(self.mark, self.part, origin, *self.size, OWN_POSE, self.features, turned=self.turned)
            return own.solid(ticks)

        def box(lo: Spot, hi: Spot) -> Box:
            return Box.between([ticks.count(v) for v in lo], [ticks.count(v) for v in hi])

        return self._solid(ticks, box, lambda axis: axis, side_of)

    def _solid(
        self,
        ticks: Ticks,
        box: Callable[[Spot, Spot], Box],
        axis_of: Callable[[int], int],
        look_of: Callable[[Face], tuple[int, bool]],
    ) -> Solid:
        square = [f for f in self.cuboids if not f.askew]
        slopes = [slope_of(f, f.flare, box, axis_of, look_of, ticks) for f in square if f.flare is not None]
        return Solid(
            box((ZERO, ZERO, ZERO), self.size),
            tuple(box(f.lo, f.hi) for f in square if f.adds),
            tuple(box(f.lo, f.hi) for f in square if not f.adds),
            tuple(slopes),
        )


class Scene(Struct, frozen=True, dict=True):
    """All pieces of a build, with their solids in one measure of ticks."""

    pieces: tuple[PlacedPiece, ...]
    ticks: Ticks
    solids: tuple[Solid, ...]

    @staticmethod
    def of(pieces: Iterable[PlacedPiece], *also: Length) -> Scene:
        """The scene of these pieces; the ticks divide `also` (tolerances and the like) as well."""
        every = tuple(pieces)
        ticks = Ticks.of([*also, *(length for piece in every for length in piece.lengths())])
        if any(piece.turned or any(cuboid.flare or cuboid.slant for cuboid in piece.cuboids) for piece in every):
            ticks = ticks.fine()
        return Scene(every, ticks, tuple(piece.solid(ticks) for piece in every))

    @cached_property
    def bounds(self) -> Box:
        """Around everything, added tenons included. Raises ValueError for an empty scene."""
        return Box.around(solid.bounds for solid in self.solids)

    @cached_property
    def _numbers(self) -> Mapping[str, int]:
        return {piece.mark: i for i, piece in reversed(list(enumerate(self.pieces)))}

    def index(self, mark: str) -> int:
        """The number of a piece in the scene, by its mark; KeyError where it has none."""
        return self._numbers[mark]


def _range(one: Spot, two: Spot) -> tuple[Spot, Spot]:
    low = (min(one[0], two[0]), min(one[1], two[1]), min(one[2], two[2]))
    return low, (max(one[0], two[0]), max(one[1], two[1]), max(one[2], two[2]))
