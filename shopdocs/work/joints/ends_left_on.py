"""What is left of a board beyond the tails on its end.

The end of a board is sawn to length over its whole width, then the waste between the tails is cut out. Where the other
board is narrower (the back of a drawer stands on the bottom), nothing is cut out beside it: the end stays as long as
the tails (common practice, no source). A groove runs on through it, so that the bottom can be slid in, and the tongue
of the bottom with it. Tails lapped by the other board are shorter than it; there the end is cut back.
"""

from __future__ import annotations

from collections.abc import Iterable, MutableMapping

from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.work.space.neighbours import body_of, in_the_way, seen_from, with_changed
from shopdocs.work.space.placed import PIECE_AXES, Cuboid, FeatureKind, PlacedPiece, Spot


def leave_ends_on(pieces: MutableMapping[str, PlacedPiece], joints: Iterable[tuple[str, str, str]]) -> None:
    """Adds the ends beside tails to `pieces` (by mark), and lengthens grooves and tongues through them; `joints` are
    the marks of the entering and the receiving piece, and the joint's name."""
    every = list(joints)
    for entering, receiving, name in every:
        for end in _ends(pieces[entering], pieces[receiving], name):
            if not in_the_way(pieces, pieces[entering], end) - {entering}:
                pieces[entering] = pieces[entering].with_features(end)
                _run_on(pieces, entering, end, every)


def _ends(piece: PlacedPiece, other: PlacedPiece, joint: str) -> list[Cuboid]:
    """What stays beside the through tails of a joint, on both sides of the other board."""
    tails = [f for f in piece.cuboids if f.joint == joint and f.kind is FeatureKind.TAIL and f.flare is not None]
    if not tails or tails[0].flare is None or tails[0].lo[0] < ZERO < tails[0].hi[0]:
        return []
    across = PIECE_AXES.index(tails[0].flare.axis)
    body = seen_from(piece, other, body_of(other))
    if across == 0 or tails[0].hi[0] - tails[0].lo[0] < body.hi[0] - body.lo[0]:
        return []
    found = []
    for low, high in ((ZERO, body.lo[across]), (body.hi[across], piece.size[across])):
        if low < high:
            lo, hi = [ZERO, ZERO, ZERO], list(piece.size)
            lo[0], hi[0] = tails[0].lo[0], tails[0].hi[0]
            lo[across], hi[across] = low, high
            found.append(Cuboid(FeatureKind.END_LEFT_ON, _spot(lo), _spot(hi), True, joint))
    return found


def _run_on(
    pieces: MutableMapping[str, PlacedPiece], mark: str, end: Cuboid, joints: Iterable[tuple[str, str, str]]
) -> None:
    """Grooves that run out at this end of the piece run on through what was left on, with the tongues in them."""
    high = end.lo[0] >= pieces[mark].size[0]
    for entering, receiving, name in joints:
        groove = next((f for f in pieces[mark].cuboids if f.joint == name and f.kind is FeatureKind.GROOVE), None)
        if receiving != mark or groove is None:
            continue
        within = all(end.lo[k] <= groove.lo[k] or groove.hi[k] <= end.hi[k] for k in (1, 2))
        beside = all(max(end.lo[k], groove.lo[k]) < min(end.hi[k], groove.hi[k]) for k in (1, 2))
        runs_out = groove.hi[0] == pieces[mark].size[0] if high else groove.lo[0] == ZERO
        panel = seen_from(pieces[mark], pieces[entering], body_of(pieces[entering]))
        goes_on = panel.hi[0] > pieces[mark].size[0] if high else panel.lo[0] < ZERO
        if not (within and beside and runs_out and goes_on):
            continue
        longer = _to(groove, end.hi[0] if high else end.lo[0], high)
        pieces[mark] = with_changed(pieces[mark], groove, longer)
        tongue = next(f for f in pieces[entering].cuboids if f.joint == name and f.adds)
        seen = seen_from(pieces[mark], pieces[entering], tongue)
        stop = min(panel.hi[0], end.hi[0]) if high else max(panel.lo[0], end.lo[0])
        grown = seen_from(pieces[entering], pieces[mark], _to(seen, stop, high))
        pieces[entering] = with_changed(pieces[entering], tongue, grown)


def _to(cuboid: Cuboid, along: Length, high: bool) -> Cuboid:
    """The cuboid made longer, to a place along its piece."""
    ends = (cuboid.lo[0], along) if high else (along, cuboid.hi[0])
    return replace(cuboid, lo=(ends[0], *cuboid.lo[1:]), hi=(ends[1], *cuboid.hi[1:]))


def _spot(values: list[Length]) -> Spot:
    return (values[0], values[1], values[2])
