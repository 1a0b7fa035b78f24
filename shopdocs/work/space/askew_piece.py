"""A piece that does not stand square to the build, as a placed piece: the only kind whose places are not those of its
pose alone."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Iterator, Sequence
from functools import cached_property

from shopdocs.core.box import Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.core.turn import Turn, Vector, near
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.hewing import hewn
from shopdocs.work.space.placed import PlacedPiece, Spot, squared


class AskewPiece(PlacedPiece, frozen=True, dict=True):
    """A piece off square. `at`, `far` and `extent` are those of the upright box round its body, `box` the size of that;
    `plumb` is the low corner of the body as it would stand square to the build, and it turns from there about `about`.
    Places are those of the true piece, to 1/1000 mm."""

    plumb: Spot = (ZERO, ZERO, ZERO)
    box: tuple[Length, ...] = ()

    @property
    @abstractmethod
    def turn(self) -> Turn:
        """Where the directions of the square piece point."""

    @property
    @abstractmethod
    def about(self) -> Spot:
        """The point that it turns about."""

    @cached_property
    def extent(self) -> Spot:
        """Size of the upright box round the body along x, y and z."""
        a, b, c = self.box or self.plumb_extent
        return (a, b, c)

    @property
    def plumb_extent(self) -> Spot:
        """Size of the body along x, y and z as it would stand square to the build."""
        a, b, c = (self.size[self.pose.piece_axis(k)] for k in range(3))
        return (a, b, c)

    def upright(self) -> PlacedPiece:
        """The piece as it would stand square to the build."""
        features = squared(self.features)
        return PlacedPiece(
            self.mark, self.part, self.plumb, *self.size, self.pose, features, self.material, self.turned
        )

    def spot_in_build(self, spot: Sequence[Length]) -> Spot:
        """A point of the piece in build coordinates, to 1/1000 mm."""
        away = [0.0, 0.0, 0.0]
        for axis, toward in enumerate(self.pose.axes):
            k = toward.index
            far = self.plumb[k] + self.plumb_extent[k]
            at = self.plumb[k] + spot[axis] if toward.forward else far - spot[axis]
            away[k] = (at - self.about[k]).float_mm()
        x, y, z = (near(self.about[k].float_mm() + v) for k, v in enumerate(self.turn.of(away)))
        return (x, y, z)

    def spot_in_piece(self, spot: Sequence[Length]) -> Spot:
        """A point of the build in piece coordinates, to 1/1000 mm."""
        about = self.about
        back = self.turn.back([(spot[k] - about[k]).float_mm() for k in range(3)])
        stands = [near(about[k].float_mm() + back[k]) for k in range(3)]
        a, b, c = (
            stands[t.index] - self.plumb[t.index]
            if t.forward
            else self.plumb[t.index] + self.plumb_extent[t.index] - stands[t.index]
            for t in self.pose.axes
        )
        return (a, b, c)

    def range_in_piece(self, lo: Sequence[Length], hi: Sequence[Length]) -> tuple[Spot, Spot]:
        """The box in piece coordinates round a box of the build."""
        return _around(self.spot_in_piece, lo, hi)

    def range_in_build(self, lo: Sequence[Length], hi: Sequence[Length]) -> tuple[Spot, Spot]:
        """The box in build coordinates round a box of the piece."""
        return _around(self.spot_in_build, lo, hi)

    def lengths(self) -> Iterator[Length]:
        """Every length that fixes the piece and its cuboids."""
        yield from PlacedPiece.lengths(self)
        yield from self.plumb

    def solid(self, ticks: Ticks) -> Solid:
        """The piece as it stands in the build, in ticks."""
        return hewn(self, ticks, self.plumb, self.turn, self.about)


def _around(moved: Callable[[Sequence[Length]], Spot], lo: Sequence[Length], hi: Sequence[Length]) -> tuple[Spot, Spot]:
    spots = [moved((x, y, z)) for x in (lo[0], hi[0]) for y in (lo[1], hi[1]) for z in (lo[2], hi[2])]
    (a, b, c), (d, e, f) = ([pick(spot[k] for spot in spots) for k in range(3)] for pick in (min, max))
    return (a, b, c), (d, e, f)


def way_in_piece(piece: PlacedPiece, way: Sequence[float]) -> Vector:
    """A direction of the build in piece coordinates."""
    stands = piece.turn.back(way) if isinstance(piece, AskewPiece) else way
    a, b, c = (stands[t.index] if t.forward else -stands[t.index] for t in piece.pose.axes)
    return a, b, c


def way_in_build(piece: PlacedPiece, axis: int) -> Vector:
    """Where a piece axis points in the build."""
    toward = piece.pose.axes[axis]
    way = [0.0, 0.0, 0.0]
    way[toward.index] = 1.0 if toward.forward else -1.0
    return piece.turn.of(way) if isinstance(piece, AskewPiece) else (way[0], way[1], way[2])
