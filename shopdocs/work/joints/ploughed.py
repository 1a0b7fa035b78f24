"""Grooves as a plough plane cuts them: from end to end of a piece, and stopped only where they would show.

A groove is first as long as the panel in it. Where more of it would be hidden, under the shoulder of a rail or in the
joint at the end, it is simplest to let the plane run on and off the end. Where the end of the piece can be seen, as
that of a stile, the groove runs into the mortise beside it and is stopped there (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, MutableMapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.box import Box, Ticks, less_all
from shopdocs.core.length import ZERO, Length
from shopdocs.model.joint_names import Trait
from shopdocs.work.space.neighbours import with_changed
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, face_of


def run_grooves_on(pieces: MutableMapping[str, PlacedPiece], joints: Iterable[tuple[str, str, str]]) -> None:
    """Lengthens the grooves in `pieces` (by mark) that run along the grain; `joints` are the marks of the entering and
    the receiving piece, and the joint's name."""
    every = list(joints)
    beside: dict[str, set[str]] = {}
    for entering, receiving, _ in every:
        beside.setdefault(entering, set()).add(receiving)
        beside.setdefault(receiving, set()).add(entering)
    for _, mark, name in every:
        for groove in [f for f in pieces[mark].cuboids if f.joint == name and f.kind is FeatureKind.GROOVE]:
            mouth = _mouth(pieces[mark], groove)
            if mouth is not None:
                hidden_by = [pieces[other] for other in sorted(beside[mark])]
                longer = groove
                for high in (False, True):
                    longer = _Run(pieces[mark], longer, mouth, high).on(hidden_by)
                if longer != groove:
                    pieces[mark] = with_changed(pieces[mark], groove, longer)


def _mouth(piece: PlacedPiece, groove: Cuboid) -> tuple[int, bool] | None:
    """The face of the piece that a groove along its grain opens on: the axis, and whether at its high end."""
    along, *across = groove.size
    if groove.adds or along <= max(across):
        return None
    open_at = [
        (axis, high)
        for axis in (1, 2)
        for high in (False, True)
        if (groove.hi[axis] >= piece.size[axis] if high else groove.lo[axis] <= ZERO)
    ]
    return open_at[0] if len(open_at) == 1 else None


class _Run(Struct, frozen=True, dict=True):
    """One end of a groove, and the way along the piece from there to its end."""

    piece: PlacedPiece
    groove: Cuboid
    mouth: tuple[int, bool]
    high: bool

    @property
    def now(self) -> Length:
        """Where the groove ends."""
        return self.groove.hi[0] if self.high else self.groove.lo[0]

    def to(self, along: Length) -> Cuboid:
        """The groove with its end somewhere else."""
        low, high = (self.groove.lo[0], along) if self.high else (along, self.groove.hi[0])
        return replace(self.groove, lo=(low, *self.groove.lo[1:]), hi=(high, *self.groove.hi[1:]))

    def on(self, others: Sequence[PlacedPiece]) -> Cuboid:
        """The groove as far as the plane runs on behind these pieces."""
        tip = self._tip()
        if not self._beyond(tip, self.now):
            return self.groove
        shows = self._shows(tip, others)
        if shows is None:
            return self.to(tip)
        stops = [stop for stop in self._mortises() if self._beyond(stop, self.now) and self._beyond(shows, stop)]
        return self.to((max if self.high else min)(stops)) if stops else self.groove

    def _beyond(self, one: Length, other: Length) -> bool:
        return one > other if self.high else one < other

    def _in_line(self, cuboid: Cuboid) -> bool:
        return all(max(cuboid.lo[k], self.groove.lo[k]) < min(cuboid.hi[k], self.groove.hi[k]) for k in (1, 2))

    def _tip(self) -> Length:
        """Where the wood ends that lies in line with the groove, or the next groove begins."""
        ends = [self.piece.size[0] if self.high else ZERO]
        ends += [f.hi[0] if self.high else f.lo[0] for f in self.piece.cuboids if f.adds and self._in_line(f)]
        tip = (max if self.high else min)(ends)
        for groove in self._next_grooves():
            near, far = (groove.lo[0], groove.hi[0]) if self.high else (groove.hi[0], groove.lo[0])
            if self._beyond(far, self.now) and self._beyond(tip, near):
                tip = near if self._beyond(near, self.now) else self.now
        return tip

    def _next_grooves(self) -> Iterator[Cuboid]:
        """Other grooves in line with this one."""
        for f in self.piece.cuboids:
            if f.kind is FeatureKind.GROOVE and f.joint != self.groove.joint and not f.adds and self._in_line(f):
                yield f

    def _mortises(self) -> Iterator[Length]:
        """Where mortises in line with the groove begin."""
        for cut in self.piece.cuboids:
            if not cut.adds and not cut.own and Trait.CLOSED in cut.kind.traits and self._in_line(cut):
                yield cut.lo[0] if self.high else cut.hi[0]

    def _shows(self, tip: Length, others: Sequence[PlacedPiece]) -> Length | None:
        """The first place at which a groove as far as `tip` would show; None where it would nowhere."""
        ticks = Ticks.of(length for piece in (self.piece, *others) for length in piece.lengths())
        run = self.to(tip)
        far = replace(run, lo=(self.now, *run.lo[1:])) if self.high else replace(run, hi=(self.now, *run.hi[1:]))
        way, covers = _box(self.piece, far, ticks), [box for piece in others for box in _outer(piece, ticks)]
        n, forward = self.piece.pose.build_axis(0), self.high == self.piece.pose.length.forward
        m, open_high = self.piece.pose.look_of(face_of(*self.mouth))
        covers += [_box(self.piece, groove, ticks) for groove in self._next_grooves()]
        own = self.piece.solid(ticks).cells
        bare: list[int] = []
        for cell in [wood for cell in own if (wood := cell.overlap(way)) is not None]:
            for axis, outward in ((m, open_high), (n, forward)):
                for left in less_all([_skin(cell, axis, outward)], [*own, *covers]):
                    bare.append(left.lo[n] if forward else left.hi[n])
        if not bare:
            return None
        first = [ZERO, ZERO, ZERO]
        first[n] = ticks.length(min(bare) if forward else max(bare))
        return self.piece.spot_in_piece(first)[0]


def _box(piece: PlacedPiece, cuboid: Cuboid, ticks: Ticks) -> Box:
    lo, hi = piece.range_in_build(cuboid.lo, cuboid.hi)
    return Box.between([ticks.count(v) for v in lo], [ticks.count(v) for v in hi])


def _outer(piece: PlacedPiece, ticks: Ticks) -> Iterator[Box]:
    """A piece as it is before anything is cut out: what lies in its mortises is hidden."""
    yield Box.between([ticks.count(v) for v in piece.at], [ticks.count(v) for v in piece.far])
    yield from (_box(piece, cuboid, ticks) for cuboid in piece.cuboids if cuboid.adds)


def _skin(box: Box, axis: int, high: bool) -> Box:
    """What lies against one face of a box, one tick thick."""
    lo, hi = list(box.lo), list(box.hi)
    lo[axis], hi[axis] = (hi[axis], hi[axis] + 1) if high else (lo[axis] - 1, lo[axis])
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))
