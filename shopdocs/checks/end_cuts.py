"""Ends sawn off square held against everything else at their piece.

Joints and holes are marked out on the square piece, and one that enters at such an end, or lies in what falls off,
would lose part of itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from shopdocs.checks.tapers import features_of, in_its_block, places_of
from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length, total
from shopdocs.core.problems import Problem, error
from shopdocs.model.joining import Face, the_face
from shopdocs.model.joint_names import Trait
from shopdocs.work.computed import Computed
from shopdocs.work.scene.own_cuts import own_cuts, own_name
from shopdocs.work.space.let_in import is_let_in
from shopdocs.work.space.placed import OWN, PIECE_AXES, Bore, Cuboid, FeatureKind, face_of, side_of

_BESIDE = (FeatureKind.TAPER, FeatureKind.BEVEL, FeatureKind.ROUNDING, FeatureKind.END_CUT)


def end_cuts_in_the_way(work: Computed) -> Iterator[Problem]:
    """Joints, holes and other cuts in what an end cut takes, and joints that enter at such an end."""
    at = places_of(work)
    follows = {own_name(cut) for cut in work.build.cuts if cut.follows}
    for mark, ends in _ends(work).items():
        for end in ends:
            size = next(part.length for part, piece in work.build.pieces() if piece.mark == mark)
            beyond = (end.lo[0] - size, *end.lo[1:]) if end.lo[0] <= ZERO else end.lo
            reach = (end.hi[0] + size, *end.hi[1:]) if end.hi[0] >= size else end.hi
            block = replace(end, lo=(beyond[0], beyond[1], beyond[2]), hi=(reach[0], reach[1], reach[2]))
            others = [one for one in features_of(work, mark) if one != end and _matters(one) and not _goes_by_it(one)]
            if end.joint in follows:  # its tenon stands out there, and is made for it; holes go into the sawn end
                face = face_of(0, end.hi[0] >= size)
                others = [one for one in others if not (isinstance(one, Cuboid) and _made_for(one, face))]
                others = [one for one in others if not (isinstance(one, Bore) and (one.face is face or one.slanting))]
                others = [one for one in others if not (isinstance(one, Cuboid) and one.kind is FeatureKind.ARCH)]
            if wrong := in_its_block(work, mark, block, others):
                told = f"the end cut '{end.joint.removeprefix(OWN)}' of '{mark}' {wrong}"
                yield error(at[end.joint, mark], "end-cut", told, "keep that end square, or move what lies there")


def end_cuts_that_meet(work: Computed) -> Iterator[Problem]:
    """Two cuts of one end, and cuts of both ends that leave no length at one of the long arrises."""
    at = places_of(work)
    for mark, ends in _ends(work).items():
        part = next(part for part, piece in work.build.pieces() if piece.mark == mark)
        by_end: dict[bool, list[Cuboid]] = {}
        for end in ends:
            by_end.setdefault(end.hi[0] >= part.length, []).append(end)
        for high, cuts in by_end.items():
            if len(cuts) > 1:
                face = the_face(face_of(0, high))
                wrong = f"{face} of '{mark}' is sawn off square {'twice' if len(cuts) == 2 else f'{len(cuts)} times'}"
                yield error(at[cuts[1].joint, mark], "end-cut", wrong, "a compound cut has angle and tilt in one entry")
        least = min(
            part.length - total([_taken(end, corner) for end in ends])
            for corner in product((False, True), (False, True))
        )
        if least <= ZERO and ends:
            wrong = f"the end cuts of '{mark}' leave no length on one side; {exact_text(-least)} is missing"
            yield error(at[ends[-1].joint, mark], "end-cut", wrong, "set smaller angles, or make the piece longer")


def _taken(end: Cuboid, corner: tuple[bool, bool]) -> Length:
    """What a cut takes off the length at a long arris: by whether that is at the far edge, and at the back face."""
    assert end.flare is not None and end.flare.only is not None
    whole, skew = end.hi[0] - end.lo[0], end.flare.skew
    axis, long_high = side_of(end.flare.only)
    off = whole - skew if corner[axis - 1] != long_high else ZERO
    if end.flare.skew_to is not None and corner[1] == side_of(end.flare.skew_to)[1]:
        off = off + skew
    return off


def _made_for(cuboid: Cuboid, end: Face) -> bool:
    """Whether it is what a joint cuts or adds at an angle, for this end."""
    return cuboid.slant is not None and (cuboid.adds or cuboid.slant.face is end)


def _goes_by_it(feature: object) -> bool:
    """Whether it is a lap or a bridle at an angle, whose outline goes by the end as it is sawn."""
    return isinstance(feature, Cuboid) and is_let_in(feature) and Trait.OVERLAPS in feature.kind.traits


def _matters(feature: object) -> bool:
    if not isinstance(feature, Cuboid) or feature.kind not in _BESIDE:
        return not (isinstance(feature, Cuboid) and feature.kind is FeatureKind.OUTLINE)
    if feature.flare is None or feature.kind not in (FeatureKind.BEVEL, FeatureKind.ROUNDING):
        return False
    return 0 in (PIECE_AXES.index(feature.flare.axis), side_of(feature.flare.at)[0])


def _ends(work: Computed) -> dict[str, list[Cuboid]]:
    found = {
        mark: [cut for cut in cuts if cut.kind is FeatureKind.END_CUT] for mark, cuts in own_cuts(work.build).items()
    }
    return {mark: cuts for mark, cuts in found.items() if cuts}


CHECKS = (end_cuts_in_the_way, end_cuts_that_meet)
