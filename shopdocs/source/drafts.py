"""Parts and pieces as they are written, before their sizes and places are worked out."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct, field

from shopdocs.core.problems import Position
from shopdocs.model.parts import Axis, Direction, Runs
from shopdocs.source.nodes import Scalar

AXES = (Axis.THICKNESS, Axis.WIDTH, Axis.LENGTH)


class LeanDraft(Struct, frozen=True):
    """A lean as written: splay and rake as tangents, and the side that the foot goes to, "" for outward."""

    splay: Fraction
    rake: Fraction
    sideways: str
    lengthways: str
    at: Position


class TiltDraft(Struct, frozen=True):
    """A tilt as written: the tangent of its angle and the way it tips, or the piece `along` with which it is tipped."""

    slope: Fraction
    way: str
    along: str
    at: Position


class PieceDraft(Struct):
    """A piece as written. `coordinates` by direction; `index` of `count` in a run of pieces that share them."""

    mark: str
    part: str
    note: str
    at: Position
    coordinates: dict[Direction, Scalar] = field(default_factory=dict)
    mirror: Scalar | None = None
    sides: dict[str, Scalar] = field(default_factory=dict)
    lean: LeanDraft | None = None
    tilt: TiltDraft | None = None
    index: int = 0
    count: int = 1

    @property
    def is_placed(self) -> bool:
        """Whether the build says where the piece lies, by coordinates or as a mirror image."""
        return bool(self.coordinates) or self.mirror is not None


class PartDraft(Struct):
    """A part as written: sizes where they are, None where they must follow from places."""

    name: str
    at: Position
    runs: Runs | None
    sizes: dict[Axis, Scalar]
    pieces: list[PieceDraft]

    def axis_along(self, direction: Direction) -> Axis | None:
        """Which axis of the part follows a direction of the build; None where `runs` is not written."""
        if self.runs is None:
            return None
        return next(axis for axis in AXES if getattr(self.runs, axis.value) is direction)

    def direction_of(self, axis: Axis) -> Direction | None:
        """Which direction of the build an axis of the part follows; None where `runs` is not written."""
        found: Direction | None = getattr(self.runs, axis.value) if self.runs else None
        return found
