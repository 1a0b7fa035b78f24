"""Rounded corners and outlines held against each other and against everything else at their piece."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product

from msgspec.structs import replace

from shopdocs.checks.tapers import features_of, named, places_of, what_of
from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, error
from shopdocs.model.joining import Face, the_face
from shopdocs.model.joint_names import Trait
from shopdocs.work.computed import Computed
from shopdocs.work.scene.own_cuts import own_cuts, own_name
from shopdocs.work.scene.wastes import runs_into, shapes_outline
from shopdocs.work.space.features import PIECE_AXES, Bore, Cuboid, Feature, FeatureKind, Spot, face_of, side_of

ROOT = Length(1)  # of the wood behind a tenon that must be there
_CLOSED = (FeatureKind.MORTISE, FeatureKind.CUT_OUT, FeatureKind.NOTCH)  # cuts of one's own that need wood all round


def corners_too_large(work: Computed) -> Iterator[Problem]:
    """Rounded corners of which two take more than there is between them, and corners rounded twice."""
    at, told = places_of(work), set()
    for mark, size, wastes in _of_pieces(work):
        corners = [cut for cut in wastes if cut.kind is FeatureKind.ROUNDING]
        for one, other in combinations(corners, 2):
            place, shared = at[other.joint, mark], _ends_of(one, size) & _ends_of(other, size)
            if place in told or not shared:
                continue
            if len(shared) == 2:
                told.add(place)
                wrong = f"{named(one)} and {named(other)} round one corner of '{mark}'"
                yield error(place, "radius", wrong, "take one of them out")
                continue
            (face,) = shared
            axis = 1 - side_of(face)[0]
            over = one.size[axis] + other.size[axis] - size[axis]
            if over > ZERO:
                told.add(place)
                alike = one.size[axis] == other.size[axis]
                wrong = f"the two corners at {the_face(face)} of '{mark}' take {exact_text(over)} more than it has"
                most = exact_text(size[axis] / 2 if alike else size[axis])
                right = f"make the radius {most} at most" if alike else f"together they may take {most}"
                yield error(place, "radius", wrong, right)


def _ends_of(corner: Cuboid, size: Spot) -> set[Face]:
    """The end and the edge that a corner lies between."""
    return {face_of(axis, corner.hi[axis] >= size[axis] and corner.lo[axis] > ZERO) for axis in (0, 1)}


def shapes_in_the_way(work: Computed) -> Iterator[Problem]:
    """Joints, holes and other cuts in what a rounded corner or an outline takes."""
    at, told = places_of(work), set()
    for mark, size, wastes in _of_pieces(work):
        features = features_of(work, mark)
        for waste in wastes:
            place = at[waste.joint, mark]
            for feature in features:
                if place in told or feature == waste or not _needs_wood(feature, size):
                    continue
                if runs_into(waste, _rooted(feature, size), size):
                    told.add(place)
                    wrong = f"the {waste.kind} {named(waste)} of '{mark}' runs into {what_of(feature, work)}"
                    yield error(place, "outline", wrong, "make it smaller, or move what lies there")


def outlines_written_twice(work: Computed) -> Iterator[Problem]:
    """What shapes the border of a face that has an outline: that says where the wood ends there."""
    at, told = places_of(work), set()
    follows = {own_name(cut) for cut in work.build.cuts if cut.follows}
    every = own_cuts(work.build)
    for mark, size, wastes in _of_pieces(work):
        drawn = {_through(waste): waste for waste in wastes if waste.kind is FeatureKind.OUTLINE}
        for cut, (axis, outline) in product(every[mark], drawn.items()):
            if cut.joint == outline.joint or not _shapes_border(cut, size, axis):
                continue
            place = max(at[cut.joint, mark], at[outline.joint, mark])
            if place in told:
                continue
            told.add(place)
            if cut.joint in follows:
                wrong = f"'{mark}' leans, and its ends are off square on the face of the outline {named(outline)}"
                right = "draw the outline on the faces beside it, or shape the piece by tapers"
                yield error(at[outline.joint, mark], "outline", wrong, right)
                continue
            wrong = f"the {cut.kind} {named(cut)} and the outline {named(outline)} shape one face of '{mark}'"
            yield error(place, "outline", wrong, "draw it with the outline, and take it out")


def _through(cut: Cuboid) -> int:
    """The axis that a cut with an outline, a slope or a curve goes right through along."""
    assert cut.flare is not None
    return 3 - PIECE_AXES.index(cut.flare.axis) - side_of(cut.flare.at)[0]


def _shapes_border(cut: Cuboid, size: Spot, axis: int) -> bool:
    """Whether a cut takes something off the border of the faces square to an axis."""
    if cut.kind is FeatureKind.CUT_OUT or cut.lo[axis] > ZERO or cut.hi[axis] < size[axis]:
        return False
    if cut.flare is not None:
        return _through(cut) == axis and not cut.flare.skew
    return any(cut.lo[k] <= ZERO or cut.hi[k] >= size[k] for k in range(3) if k != axis)


def _rooted(feature: Feature, size: Spot) -> Feature:
    """A tenon, or what else stands out of a piece, with a little of the wood that it grows out of."""
    if not isinstance(feature, Cuboid) or not feature.adds:
        return feature
    lo, hi = list(feature.lo), list(feature.hi)
    for k in range(3):
        lo[k] = lo[k] - ROOT if lo[k] >= size[k] else lo[k]
        hi[k] = hi[k] + ROOT if hi[k] <= ZERO else hi[k]
    return replace(feature, lo=(lo[0], lo[1], lo[2]), hi=(hi[0], hi[1], hi[2]))


def _needs_wood(feature: Feature, size: Spot) -> bool:
    """Whether a cut or a hole must lie in wood; a trench may run out at a rounded corner."""
    if isinstance(feature, Bore):
        return True
    if feature.own:
        return feature.kind in _CLOSED
    runs_out = any(feature.lo[k] <= ZERO and feature.hi[k] >= size[k] for k in range(3))
    return not (Trait.TRENCH in feature.kind.traits and runs_out)


def _of_pieces(work: Computed) -> Iterator[tuple[str, Spot, list[Cuboid]]]:
    """Every piece whose outline is shaped so, with its size."""
    sizes = {piece.mark: (part.length, part.width, part.thickness) for part, piece in work.build.pieces()}
    for mark, cuts in own_cuts(work.build).items():
        wastes = [cut for cut in cuts if shapes_outline(cut)]
        if wastes:
            yield mark, sizes[mark], wastes


CHECKS = (corners_too_large, outlines_written_twice, shapes_in_the_way)
