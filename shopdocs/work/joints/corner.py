"""Two ends that take the same corner: both pieces run through it, as in a finger joint or a mitre."""

from __future__ import annotations

from msgspec import Struct

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.model.joining import Face
from shopdocs.work.joints.frame import Doubt, Frame, Joinery, JointSizes, Range, body_alone
from shopdocs.work.space.placed import PlacedPiece, Scene, Spot


class Corner(Struct, frozen=True):
    """The block of the build that two pieces share at a corner, from `lo` to `hi`. `n` is the axis the entering piece
    runs along, `m` that of the receiving one, `v` the third, which they share from `across`. `enters` and `meets` are
    the ends they have there; `doubts` what keeps it from being a corner."""

    lo: Spot
    hi: Spot
    n: int
    m: int
    v: int
    across: Range
    enters: Face
    meets: Face
    doubts: tuple[Doubt, ...] = ()

    @property
    def sides(self) -> tuple[Length, Length]:
        """How far the corner goes along the entering piece, and along the receiving one."""
        return self.hi[self.n] - self.lo[self.n], self.hi[self.m] - self.lo[self.m]


def corner_of(entering: PlacedPiece, receiving: PlacedPiece) -> Corner | None:
    """The corner of two pieces at right angles whose bodies share a block; None where they do not."""
    n, m = entering.pose.build_axis(0), receiving.pose.build_axis(0)
    scene = Scene.of([body_alone(entering), body_alone(receiving)])
    shared = scene.solids[0].body.overlap(scene.solids[1].body)
    if shared is None or n == m:
        return None
    (a, b, c), (d, e, f) = ([scene.ticks.length(value) for value in spot] for spot in (shared.lo, shared.hi))
    lo, hi, v = (a, b, c), (d, e, f), 3 - n - m
    mine, theirs = _end(entering, lo, hi, n), _end(receiving, lo, hi, m)
    doubts = [*_not_there(entering, receiving, lo, hi, n, mine), *_not_there(receiving, entering, lo, hi, m, theirs)]
    return Corner(lo, hi, n, m, v, (lo[v], hi[v]), mine or Face.B, theirs or Face.B, tuple(doubts))


def _end(piece: PlacedPiece, lo: Spot, hi: Spot, axis: int) -> Face | None:
    """The end of a piece at which a block lies; None where it lies at both, or at neither."""
    low, high = lo[axis] == piece.at[axis], hi[axis] == piece.far[axis]
    return None if low == high else piece.pose.face_toward(axis, high)


def _not_there(piece: PlacedPiece, other: PlacedPiece, lo: Spot, hi: Spot, axis: int, end: Face | None) -> list[Doubt]:
    """The end of a piece must lie level with the outside of the other."""
    if end is not None and (lo[axis], hi[axis]) == (other.at[axis], other.far[axis]):
        return []
    deep = exact_text(hi[axis] - lo[axis])
    return [
        Doubt(
            "not-at-a-corner",
            f"{piece.mark} reaches {deep} into {other.mark}, which is "
            f"{exact_text(other.extent[axis])} thick there, and its end is not level with the outside",
            f"write both pieces over the whole corner: let the end of {piece.mark} lie level with the outside of "
            f"{other.mark}",
        )
    ]


def no_corner(frame: Frame, sizes: JointSizes) -> Joinery:
    """What is said where the pieces touch instead of running through the corner together."""
    mark, other = frame.entering.mark, frame.receiving.mark
    doubt = Doubt(
        "not-at-a-corner",
        f"{mark} only touches {other}, and both run through the corner of a {sizes.kind.value}",
        f"write both over the whole corner: {mark} to the outside of {other}, and {other} to that of {mark}",
    )
    return Joinery(sizes.kind, frame.enters, frame.meets, doubts=(doubt,))
