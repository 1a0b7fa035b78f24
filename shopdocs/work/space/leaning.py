"""A piece that leans, as a placed piece: the only kind whose places are not those of its pose alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from shopdocs.core.box import Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.core.turn import Turn, near
from shopdocs.model.parts import Lean
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.hewing import hewn
from shopdocs.work.space.placed import FeatureKind, PlacedPiece, Pose, Spot, squared


@dataclass(frozen=True)
class LeaningPiece(PlacedPiece):
    """A piece that leans. `at`, `far` and `extent` are those of the upright box round its body; `plumb` is the low
    corner of the body as it would stand plumb, and it turns from there about the middle of its top. Places are those of
    the true piece, to 1/1000 mm."""

    plumb: Spot = (ZERO, ZERO, ZERO)
    lean: Lean | None = None
    box: tuple[Length, ...] = ()

    @staticmethod
    def of(mark: str, part: str, lean: Lean, size: Spot, pose: Pose, material: str) -> LeaningPiece:
        """A piece of this length, width and thickness."""
        extent = [size[pose.piece_axis(k)] for k in range(3)]
        past = (extent[2].float_mm() - lean.height.float_mm() / lean.turn.z[2]) / 2  # its long point above the middle
        low = tuple(lean.top[k] - extent[k] / 2 for k in range(2))
        plumb = low[0], low[1], lean.top[2] + near(past) - extent[2]
        bare = LeaningPiece(mark, part, plumb, *size, pose, (), material, plumb=plumb, lean=lean)
        lows, highs = bare.level_bounds()
        return replace(bare, at=lows, box=tuple(high - low for low, high in zip(lows, highs, strict=True)))

    @property
    def turn(self) -> Turn:
        """Where the directions of the plumb piece point."""
        assert self.lean is not None
        return self.lean.turn

    @cached_property
    def extent(self) -> Spot:
        """Size of the upright box round the body along x, y and z."""
        a, b, c = self.box or self._plumb_extent
        return (a, b, c)

    @property
    def _plumb_extent(self) -> Spot:
        a, b, c = (self.size[self.pose.piece_axis(k)] for k in range(3))
        return (a, b, c)

    def level_bounds(self) -> tuple[Spot, Spot]:
        """The upright box round the body with level ends."""
        assert self.lean is not None
        lean, turn = self.lean, self.turn
        top = [value.float_mm() for value in lean.top]
        half = [value.float_mm() / 2 for value in self._plumb_extent]
        spots = []
        for a in (-half[0], half[0]):
            for b in (-half[1], half[1]):
                for level in (lean.top[2].float_mm(), lean.foot.float_mm()):
                    side = turn.of((a, b, 0.0))
                    down = (level - top[2] - side[2]) / turn.z[2]
                    spots.append([top[k] + side[k] + down * turn.z[k] for k in range(3)])
        lows, highs = ([near(pick(spot[k] for spot in spots)) for k in range(3)] for pick in (min, max))
        return (lows[0], lows[1], lean.foot), (highs[0], highs[1], lean.top[2])

    def upright(self) -> PlacedPiece:
        """The piece as it would stand plumb."""
        features = squared(self.features)
        return PlacedPiece(
            self.mark, self.part, self.plumb, *self.size, self.pose, features, self.material, self.turned
        )

    def spot_in_build(self, spot: Sequence[Length]) -> Spot:
        """A point of the piece in build coordinates, to 1/1000 mm."""
        assert self.lean is not None
        away = [0.0, 0.0, 0.0]
        for axis, toward in enumerate(self.pose.axes):
            k = toward.index
            far = self.plumb[k] + self._plumb_extent[k]
            at = self.plumb[k] + spot[axis] if toward.forward else far - spot[axis]
            away[k] = (at - self.lean.top[k]).float_mm()
        x, y, z = (near(self.lean.top[k].float_mm() + v) for k, v in enumerate(self.turn.of(away)))
        return (x, y, z)

    def spot_in_piece(self, spot: Sequence[Length]) -> Spot:
        """A point of the build in piece coordinates, to 1/1000 mm."""
        assert self.lean is not None
        lean = self.lean
        back = self.turn.back([(spot[k] - lean.top[k]).float_mm() for k in range(3)])
        stands = [near(lean.top[k].float_mm() + back[k]) for k in range(3)]
        a, b, c = (
            stands[t.index] - self.plumb[t.index]
            if t.forward
            else self.plumb[t.index] + self._plumb_extent[t.index] - stands[t.index]
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
        """The piece as it leans in the build, in ticks."""
        assert self.lean is not None
        sawn = any(cuboid.kind is FeatureKind.END_CUT for cuboid in self.cuboids)
        return hewn(self, ticks, self.plumb, self.turn, self.lean.top, self.lean.foot if sawn else None)


def _around(moved: Callable[[Sequence[Length]], Spot], lo: Sequence[Length], hi: Sequence[Length]) -> tuple[Spot, Spot]:
    spots = [moved((x, y, z)) for x in (lo[0], hi[0]) for y in (lo[1], hi[1]) for z in (lo[2], hi[2])]
    (a, b, c), (d, e, f) = ([pick(spot[k] for spot in spots) for k in range(3)] for pick in (min, max))
    return (a, b, c), (d, e, f)
