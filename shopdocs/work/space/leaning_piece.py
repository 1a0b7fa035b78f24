"""A piece that leans, as a placed piece."""

from __future__ import annotations

from msgspec.structs import replace

from shopdocs.core.box import Ticks
from shopdocs.core.turn import Turn, near
from shopdocs.model.parts import Lean
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.hewing import hewn
from shopdocs.work.space.placed import FeatureKind, Pose, Spot


class LeaningPiece(AskewPiece, frozen=True, dict=True):
    """A piece that leans about the middle of its top."""

    lean: Lean | None = None

    @staticmethod
    def of(mark: str, part: str, lean: Lean, size: Spot, pose: Pose, material: str) -> LeaningPiece:
        """A piece of this length, width and thickness."""
        extent = [size[pose.piece_axis(k)] for k in range(3)]
        past = (extent[2].float_mm() - lean.height.float_mm() / lean.turn.z[2]) / 2  # its long point above the middle
        if not lean.level:
            past = sum(abs(v) * extent[k].float_mm() / 2 for k, v in enumerate(lean.slopes(True)))
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

    @property
    def about(self) -> Spot:
        """The middle of its top."""
        assert self.lean is not None
        return self.lean.top

    def level_bounds(self) -> tuple[Spot, Spot]:
        """The upright box round the body with level ends."""
        assert self.lean is not None
        lean, turn = self.lean, self.turn
        top = [value.float_mm() for value in lean.top]
        half = [value.float_mm() / 2 for value in self.plumb_extent]
        spots = []
        for a in (-half[0], half[0]):
            for b in (-half[1], half[1]):
                side = turn.of((a, b, 0.0))
                for level in (lean.top[2].float_mm(), lean.foot.float_mm()):
                    down = (level - top[2] - side[2]) / turn.z[2]
                    if not lean.level:
                        at_top = level == lean.top[2].float_mm()
                        rise, over = lean.slopes(at_top)
                        down = (level - top[2]) / turn.z[2] + rise * a + over * b
                    spots.append([top[k] + side[k] + down * turn.z[k] for k in range(3)])
        lows, highs = ([near(pick(spot[k] for spot in spots)) for k in range(3)] for pick in (min, max))
        if not lean.level:
            return (lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2])
        return (lows[0], lows[1], lean.foot), (highs[0], highs[1], lean.top[2])

    def solid(self, ticks: Ticks) -> Solid:
        """The piece as it leans in the build, in ticks."""
        assert self.lean is not None
        sawn = self.lean.level and any(cuboid.kind is FeatureKind.END_CUT for cuboid in self.cuboids)
        return hewn(self, ticks, self.plumb, self.turn, self.lean.top, self.lean.foot if sawn else None)
