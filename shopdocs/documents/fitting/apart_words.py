"""How pieces that can be taken for each other are told apart, in words: by what is cut where, by a measure, by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from shopdocs.blocks.text import Run, Text, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.fitting.alike import Alike, Other, own_shape
from shopdocs.documents.fitting.wording import anded
from shopdocs.documents.job import Job
from shopdocs.model.joining import FACE_NAMES, Face
from shopdocs.model.joint_names import several
from shopdocs.work.joints.joinery import added_at
from shopdocs.work.space.likeness import MIRROR, Kind, Likeness, LookAlike, form_of, marking_ticks, shape_in_build
from shopdocs.work.space.placed import Bore, Cuboid, PlacedPiece, side_of

SHORT = {
    Likeness.MIRROR: "mirror image",
    Likeness.OTHER_JOINTS: "different joints",
    Likeness.NEAR_SIZE: "nearly the same size",
}
ELSEWHERE = "the same joints on the same faces, but elsewhere: measure from end A"
Cut = tuple[str, str]  # "2 mortises", "in the face side"


def tell_apart(job: Job, kinds: Sequence[Kind], pair: LookAlike) -> Text:
    """What to look at or to measure, so as not to take a piece of one of these kinds for one of another."""
    assert job.alike is not None
    alike = job.alike
    pieces = [alike.space.pieces[kind.marks[0]] for kind in kinds]
    if pair.likeness is Likeness.NEAR_SIZE:
        return sizes_apart(job, pieces[0], pieces[1])
    if pair.likeness is Likeness.MIRROR and own_shape(pieces[0]) == own_shape(pieces[1]):
        left, right = sorted(kinds, key=lambda kind: not alike.space.pieces[kind.marks[0]].pose.right_handed)
        one, two = (marks_text(alike.in_order(kind.marks)) for kind in (left, right))
        return text(f"stood on end A, face side to you: face edge left on {one}, right on {two}")
    return text(_joints_apart(alike, kinds))


def sizes_apart(job: Job, one: PlacedPiece, two: PlacedPiece) -> Text:
    """The measures in which two pieces differ; their length with tenons and the like, as a rule laid on them has it."""
    runs: list[Run] = []
    longs = [piece.length + added_at(piece, Face.A) + added_at(piece, Face.B) for piece in (one, two)]
    joinery = " with joinery" if longs != [one.length, two.length] else ""
    for axis, name in enumerate(("long", "wide", "thick")):
        sizes = longs if axis == 0 else [piece.size[axis] for piece in (one, two)]
        if sizes[0] == sizes[1]:
            continue
        runs.append(", " if runs else "measure: ")
        name += joinery if axis == 0 else ""
        for number, piece in enumerate((one, two)):
            figure = length_figure(f"{piece.mark} · {name}", sizes[number], job.display)
            runs += [f" {name}, " if number else "", f"{piece.mark} ", figure]
        runs.append(f" {name}")
    return tuple(runs)


def likeness_words(alike: Alike, likeness: Likeness, marks: Sequence[str]) -> str:
    """In which way pieces of these marks are easily mixed up. What is said to differ is what does: the joints, or where
    those are alike or mirrored, what is cut or drilled for hardware."""
    if likeness is not Likeness.OTHER_JOINTS:
        return SHORT[likeness]
    pieces = [alike.space.pieces[mark] for mark in marks]
    jointed = [replace(p, features=tuple(each for each in p.features if each.joint.isdecimal())) for p in pieces]
    ticks = marking_ticks(jointed)
    first, *others = (shape_in_build(piece, ticks) for piece in jointed)
    own, mirrored = form_of(first), form_of(first.turned(MIRROR))
    forms = {form_of(shape) for shape in others}
    if forms == {mirrored} and mirrored != own:
        return SHORT[Likeness.MIRROR]
    if forms != {own}:
        return SHORT[likeness]
    added = [Counter(feature for feature in piece.features if not feature.joint.isdecimal()) for piece in pieces]
    differ = [feature for one in added for feature in one if any(one[feature] != other[feature] for other in added)]
    found = {("holes" if isinstance(feature, Bore) else "cuts"): None for feature in differ}
    return f"different {' and '.join(sorted(found))}" if found else SHORT[likeness]


def _joints_apart(alike: Alike, kinds: Sequence[Kind]) -> str:
    """By what each is known among the others: a cut that none of them has. Where several have no such cut, all that not
    all of them share, face by face."""
    every = [_cuts(alike.space.pieces[kind.marks[0]]) for kind in kinds]
    names = [marks_text(alike.in_order(kind.marks)) for kind in kinds]
    known = [next((cut for cut in mine if sum(cut in cuts for cuts in every) == 1), None) for mine in every]
    if sum(cut is None for cut in known) <= 1:
        none = ": none of these" if len(kinds) > 2 else ""
        told = [f"{name}: {' '.join(cut)}" for name, cut in zip(names, known, strict=True) if cut is not None]
        told += [f"{name}{none}" for name, cut in zip(names, known, strict=True) if cut is None and none]
        return "; ".join(told)
    own = [[cut for cut in mine if not all(cut in cuts for cuts in every)] for mine in every]
    return "; ".join(f"{name}: {_by_place(cuts)}" for name, cuts in zip(names, own, strict=True) if cuts) or ELSEWHERE


def _by_place(cuts: Iterable[Cut]) -> str:
    """ "2 recesses and 6 pilot holes in the back face, groove in the face edge"."""
    places: dict[str, list[str]] = {}
    for what, where in cuts:
        places.setdefault(where, []).append(what)
    return ", ".join(f"{anded(what)} {where}" for where, what in places.items())


def _cuts(piece: PlacedPiece) -> list[Cut]:
    """What is cut into or stands out of each face, counted."""
    counts: dict[Cut, int] = {}
    for feature in piece.features:
        face = opening(piece, feature) if isinstance(feature, Cuboid) else feature.face
        adds = isinstance(feature, Cuboid) and feature.adds
        where = f"{'at' if adds else 'in'} the {FACE_NAMES[face]}".replace("the end", "end")
        key = (feature.kind.value, where)
        counts[key] = counts.get(key, 0) + 1
    bored = {bore.kind.value for bore in piece.bores}  # what is cut is seen before holes are
    found = sorted(counts.items(), key=lambda each: each[0][0] in bored)
    return [(several(kind, count), where) for (kind, where), count in found]


def opening(piece: PlacedPiece, cuboid: Cuboid) -> Face:
    """The face a cut is open at, or an added part stands out of. Where there are several: sides before ends, and of the
    sides the one into which it is cut least deep, as a hinge's recess is into the edge."""
    order = (Face.FACE, Face.EDGE, Face.BACK, Face.FAR_EDGE, Face.A, Face.B)
    found = []
    for face in order if not cuboid.adds else reversed(order):
        axis, high = side_of(face)
        low, top = cuboid.lo[axis], cuboid.hi[axis] - piece.size[axis]
        if (top > ZERO if high else low < ZERO) or (not cuboid.adds and not (top if high else low)):
            found.append(face)
    if cuboid.adds:
        return found[0] if found else Face.FACE
    return min(found, key=lambda face: (face in (Face.A, Face.B), _deep(cuboid, face)), default=Face.FACE)


def _deep(cuboid: Cuboid, face: Face) -> Length:
    axis = side_of(face)[0]
    return cuboid.hi[axis] - cuboid.lo[axis]


def told_apart(alike: Alike, mark: str, others: Sequence[Other]) -> str:
    """What a piece differs by from all of the others; of joints one that it has and they have not, or that all of them
    have and it has not."""
    likeness = others[0].likeness
    if likeness is not Likeness.OTHER_JOINTS:
        return SHORT[likeness]
    mine, *theirs = (_cuts(alike.space.pieces[one]) for one in (mark, *(o.marks[0] for o in others)))
    own = [cut for cut in mine if not any(cut in each for each in theirs)]
    foreign = [cut for cut in theirs[0] if cut not in mine and all(cut in each for each in theirs)]
    if own:
        return f"this has {_counted(own[0])}"
    if foreign and not foreign[0][0][0].isdigit():
        return f"this has no {' '.join(foreign[0])}"
    words = likeness_words(alike, likeness, [mark, *(other.marks[0] for other in others)])
    return _wanting(alike, mark, others) or words


def _wanting(alike: Alike, mark: str, others: Sequence[Other]) -> str:
    """ "this has no groove and no pilot hole": kinds of which the piece has none, and each of the others one or the
    other; "" where one of them has no more kinds."""
    mine, *theirs = (
        dict.fromkeys(feature.kind.value for feature in alike.space.pieces[one].features)
        for one in (mark, *(other.marks[0] for other in others))
    )
    more = [[kind for kind in kinds if kind not in mine] for kinds in theirs]
    if not all(more):
        return ""
    return "this has " + " and ".join(f"no {kind}" for kind in dict.fromkeys(kinds[0] for kinds in more))


def _counted(cut: Cut) -> str:
    """ "a hole in the face edge", "2 recesses in the back face"."""
    words = " ".join(cut)
    return words if words[0].isdigit() else f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def deeper_cuts(right: PlacedPiece, wrong: PlacedPiece) -> list[Cuboid]:
    """The cuts of the piece that lies right that go in deeper than what is cut into the other piece on the same side of
    the build; none where a side has other kinds of cuts, for that is what one sees first."""
    found: list[Cuboid] = []
    mine, theirs = _by_side(right), _by_side(wrong)
    for side in mine.keys() & theirs.keys():
        one, two = mine[side], theirs[side]
        if {cut.kind for cut in one} == {cut.kind for cut in two}:
            found += [cut for cut in one if all(_in_from(cut, right, side) > _in_from(o, wrong, side) for o in two)]
    return found


def _by_side(piece: PlacedPiece) -> dict[tuple[int, bool], list[Cuboid]]:
    sides: dict[tuple[int, bool], list[Cuboid]] = {}
    for cuboid in piece.cuboids:
        if not cuboid.adds:
            sides.setdefault(piece.pose.look_of(opening(piece, cuboid)), []).append(cuboid)
    return sides


def _in_from(cuboid: Cuboid, piece: PlacedPiece, side: tuple[int, bool]) -> Length:
    axis = piece.pose.piece_axis(side[0])
    return min(cuboid.hi[axis], piece.size[axis]) - max(cuboid.lo[axis], ZERO)
