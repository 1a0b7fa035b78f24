"""Tapers and arches held against everything else at their piece.

Joints, holes and other cuts are marked out on the square piece, and whatever touches a tapered face would meet it at an
angle. So nothing of that is taken on a face that tapers: the taper has to begin beyond it. In the other faces there may
be what leaves a wall of wood before the taper.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations
from typing import TYPE_CHECKING

from msgspec.structs import replace

from shopdocs.core.box import touch
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position, Problem, error
from shopdocs.model.joining import the_face
from shopdocs.work.computed import Computed
from shopdocs.work.scene.own_cuts import all_cuts, own_cuts, own_name
from shopdocs.work.space.features import OWN, PIECE_AXES, Bore, Cuboid, Feature, FeatureKind, face_of, side_of

if TYPE_CHECKING:
    from shopdocs.work.scene.in_space import Space

WALL = Length(5)  # between the floor of a cut or a hole and a taper behind it (common practice, no source)
FLAT = Length(1) / 100  # thinner is flat: where pieces touch that lean is worked out to 1/1000 mm
_DRAWN = FeatureKind.OUTLINE  # sawn square to another face; in the same one it is told by `outlines`
_Span = tuple[Length, Length]


def tapers_that_meet(work: Computed) -> Iterator[Problem]:
    """Tapers of one piece that leave no wood between them, or begin in each other."""
    at, told = places_of(work), set()
    for mark, tapers in _tapers(work).items():
        for one, other in combinations(tapers, 2):
            axis = _slopes(one)
            gap = max(max(other.lo[k] - one.hi[k], one.lo[k] - other.hi[k]) for k in (0, axis))
            key = at[other.joint, mark]
            if axis != _slopes(other) or gap > ZERO or key in told or _in_line(one, other):
                continue
            told.add(key)
            wrong = f"the tapers {named(one)} and {named(other)} leave no wood between them in '{mark}'"
            yield error(key, "taper", wrong, "take less off, or let one begin later")


def arches_in_the_way(work: Computed) -> Iterator[Problem]:
    """Joints, holes and other cuts of a piece in the wood that an arch takes; pieces that lie against it there."""
    at, told = places_of(work), set()
    for mark, arches in _shaped(work, FeatureKind.ARCH).items():
        for arch in arches:
            place = at[arch.joint, mark]
            wrong = in_its_block(work, mark, arch, _but(arch, work, mark)) or _against_it(work.space, mark, arch)
            if wrong and place not in told:
                told.add(place)
                right = "make it shorter, or move it"
                if _in_sawn_end(arch, features_of(work, mark)):
                    right = "draw it on the face side, which an end off square does not cut short: kind: outline"
                yield error(place, "arch", f"the arch {named(arch)} of '{mark}' {wrong}", right)


def _in_sawn_end(arch: Cuboid, features: Iterable[Feature]) -> bool:
    """Whether an arch is cut in an end that is sawn off square over the thickness alone: an outline of the face side
    goes by such an end."""
    assert arch.flare is not None
    if side_of(arch.flare.at)[0]:
        return False
    at_a = arch.lo[0] == ZERO
    return any(
        isinstance(one, Cuboid)
        and one.kind is FeatureKind.END_CUT
        and one.flare is not None
        and (one.lo[0] <= ZERO) == at_a
        and one.flare.axis is PIECE_AXES[2]
        and one.flare.skew_to is None
        for one in features
    )


def arches_that_meet(work: Computed) -> Iterator[Problem]:
    """Arches from two sides of a piece that are as deep together as it is."""
    at, told = places_of(work), set()
    for mark, arches in _shaped(work, FeatureKind.ARCH).items():
        for one, other in combinations(arches, 2):
            gaps = [max(other.lo[k] - one.hi[k], one.lo[k] - other.hi[k]) for k in range(3)]
            place = at[other.joint, mark]
            if gaps[0] < ZERO and max(gaps) == ZERO and gaps.count(ZERO) == 1 and place not in told:
                told.add(place)
                names = " and ".join(dict.fromkeys((named(one), named(other))))
                wrong = f"the arches {names} leave no wood between them in '{mark}'"
                yield error(place, "arch", wrong, "make one of them less deep")


def _but(cut: Cuboid, work: Computed, mark: str) -> list[Feature]:
    return [
        one for one in features_of(work, mark) if one != cut and not (isinstance(one, Cuboid) and one.kind is _DRAWN)
    ]


def in_its_block(work: Computed, mark: str, block: Cuboid, features: Iterable[Feature]) -> str:
    """Which of these features of a piece lies in the block that a cut takes; empty where none does."""
    for feature in features:
        if isinstance(feature, Cuboid):
            over = all(feature.lo[k] < block.hi[k] and block.lo[k] < feature.hi[k] for k in range(3))
        else:
            over = _bored_into(feature, work, mark, block)
        if over:
            return f"runs into {what_of(feature, work)}"
    return ""


def _bored_into(bore: Bore, work: Computed, mark: str, arch: Cuboid) -> bool:
    part = next(part for part, piece in work.build.pieces() if piece.mark == mark)
    size = (part.length, part.width, part.thickness)
    reach = max(bore.diameter, bore.head or ZERO, bore.slot or ZERO) / 2
    axis, high = side_of(bore.face)
    deep = bore.depth if bore.depth is not None else size[axis]
    for k in range(3):
        low, top = bore.centre[k] - reach, bore.centre[k] + reach
        if k == axis:
            low, top = (size[k] - deep, size[k]) if high else (ZERO, deep)
        if top <= arch.lo[k] or arch.hi[k] <= low:
            return False
    return True


def _in_line(one: Cuboid, other: Cuboid) -> bool:
    """Whether two tapers of one face run to different ends and at most begin at one place."""
    return one.hi[0] <= other.lo[0] or other.hi[0] <= one.lo[0]


def tapers_in_the_way(work: Computed) -> Iterator[Problem]:
    """Joints, holes and other cuts of a piece where it tapers; pieces that lie against it there."""
    at, told = places_of(work), set()
    for mark, tapers in _tapers(work).items():
        for taper in tapers:
            place = at[taper.joint, mark]
            wrong = _in_its_way(work, mark, taper) or _against_it(work.space, mark, taper)
            if wrong and place not in told:
                told.add(place)
                right = "begin the taper beyond it, or move it; it needs a square face, and wood before the taper"
                yield error(place, "taper", f"the taper {named(taper)} of '{mark}' {wrong}", right)


def _in_its_way(work: Computed, mark: str, taper: Cuboid) -> str:
    for feature in features_of(work, mark):
        if isinstance(feature, Cuboid) and feature.kind in (FeatureKind.TAPER, FeatureKind.END_CUT, _DRAWN):
            continue
        low, high = _along(feature, work, mark)
        block = _taken_over(taper, max(low, taper.lo[0]), min(high, taper.hi[0]))
        if block is not None and (wrong := in_its_block(work, mark, block, [feature])):
            return wrong
    return ""


def _taken_over(taper: Cuboid, low: Length, high: Length) -> Cuboid | None:
    """What a taper takes over a stretch, as a block as deep as it is at the narrow end of the stretch, and the wall
    that has to stay before it; None of an empty stretch."""
    assert taper.flare is not None and taper.flare.only is not None
    if high <= low:
        return None
    axis, to_end_a = _slopes(taper), taper.flare.only is face_of(0, True)
    into = taper.hi[0] - low if to_end_a else high - taper.lo[0]
    deep = (taper.hi[axis] - taper.lo[axis]) * (into / (taper.hi[0] - taper.lo[0])) + WALL
    lo, hi = [low, *taper.lo[1:]], [high, *taper.hi[1:]]
    if side_of(taper.flare.at)[1]:  # it looks inward to the high side: the face that tapers is the low one
        hi[axis] = lo[axis] + deep
    else:
        lo[axis] = hi[axis] - deep
    return replace(taper, lo=(lo[0], lo[1], lo[2]), hi=(hi[0], hi[1], hi[2]))


def what_of(feature: Feature, work: Computed) -> str:
    """A cut or a hole as a message calls it."""
    if isinstance(feature, Cuboid) and feature.own:
        return f"the {feature.kind} {named(feature)}"
    joints = {str(meeting.number): joint.name for joint, meeting in work.build.meetings()}
    if feature.joint not in joints:
        return f"the {feature.kind} of '{feature.joint}'"
    return f"the {feature.kind} of joint {feature.joint} '{joints[feature.joint]}'"


def _along(feature: Feature, work: Computed, mark: str) -> _Span:
    if isinstance(feature, Cuboid):
        return feature.lo[0], feature.hi[0]
    axis, high = side_of(feature.face)
    if axis == 0:
        length = next(part.length for part, piece in work.build.pieces() if piece.mark == mark)
        deep = feature.depth if feature.depth is not None else length
        return (length - deep, length) if high else (ZERO, deep)
    wide = max(feature.diameter, feature.head or ZERO, feature.slot or ZERO) / 2
    return feature.centre[0] - wide, feature.centre[0] + wide


def _against_it(space: Space | None, mark: str, taper: Cuboid) -> str:
    """Which piece lies against what a taper takes, or in it."""
    if space is None or mark not in space.pieces:
        return ""
    from shopdocs.work.shapes.carved import Carved

    scene = space.scene
    index = scene.index(mark)
    piece, solid = scene.pieces[index], scene.solids[index]
    if isinstance(solid, Carved):
        return _against_what_leans(space, index, taper)
    cuts = [cuboid for cuboid in piece.cuboids if not cuboid.adds and not cuboid.askew]
    block = solid.cuts[cuts.index(taper)]
    for number, other in enumerate(scene.solids):
        if number != index and (block.overlap(other.body) is not None or touch(block, other.body) is not None):
            face = face_of(_slopes(taper), taper.hi[_slopes(taper)] == piece.size[_slopes(taper)])
            return f"on {the_face(face)} runs past '{scene.pieces[number].mark}', which lies against it"
    return ""


def _against_what_leans(space: Space, index: int, taper: Cuboid) -> str:
    """The same on a piece that is off square: by where others would touch it if it did not taper, in its own
    coordinates."""
    from shopdocs.work.shapes.carved import bodies_of, touches

    scene = space.scene
    piece, ticks = scene.pieces[index], scene.ticks
    whole = bodies_of(replace(piece, features=tuple(one for one in piece.features if one != taper)).solid(ticks))
    for number, other in enumerate(scene.solids):
        for touch_ in touches(whole, bodies_of(other), ticks.per_mm) if number != index else ():
            where = [[ticks.length(v) for v in corner] for corner in (touch_.where.lo, touch_.where.hi)]
            lo, hi = piece.range_in_piece(*where)
            if all(_meet(lo[k], hi[k], taper.lo[k], taper.hi[k]) for k in range(3)):
                face = face_of(_slopes(taper), taper.hi[_slopes(taper)] == piece.size[_slopes(taper)])
                return f"on {the_face(face)} runs past '{scene.pieces[number].mark}', which lies against it"
    return ""


def _meet(low: Length, high: Length, start: Length, stop: Length) -> bool:
    """Whether a stretch that is touched and one that is taken off share more than an end; one that is flat lies in it
    or at its end."""
    if high - low <= FLAT:
        return low <= stop + FLAT and start <= high + FLAT
    return low < stop and start < high


def _slopes(taper: Cuboid) -> int:
    """The axis a taper draws the piece in along: square to the face that slopes."""
    assert taper.flare is not None
    return side_of(taper.flare.at)[0]


def _tapers(work: Computed) -> dict[str, list[Cuboid]]:
    return _shaped(work, FeatureKind.TAPER)


def _shaped(work: Computed, kind: FeatureKind) -> dict[str, list[Cuboid]]:
    found = {mark: [cut for cut in cuts if cut.kind is kind] for mark, cuts in own_cuts(work.build).items()}
    return {mark: cuts for mark, cuts in found.items() if cuts}


def features_of(work: Computed, mark: str) -> tuple[Feature, ...]:
    """What is cut and drilled in a piece: with its joints where it has a place, else what is known without."""
    if work.space is not None and mark in work.space.pieces:
        return work.space.pieces[mark].features
    part = next(part for part, piece in work.build.pieces() if piece.mark == mark)
    cuts, holes = own_cuts(work.build).get(mark, ()), [hole for hole in work.holes if hole.piece == mark]
    if not holes:
        return tuple(cuts)
    from shopdocs.work.scene.in_space import bore_of

    return (*cuts, *(bore_of(hole, part) for hole in holes))


def named(cuboid: Cuboid) -> str:
    """The name of a cut of the maker's own, in quotes."""
    return f"'{cuboid.joint.removeprefix(OWN)}'"


def places_of(work: Computed) -> dict[tuple[str, str], Position]:
    """Where the cuts of pieces stand in the source, by name and mark."""
    return {(own_name(cut), place.piece): place.at for cut in all_cuts(work.build) for place in reversed(cut.on)}


CHECKS = (tapers_that_meet, tapers_in_the_way, arches_in_the_way, arches_that_meet)
