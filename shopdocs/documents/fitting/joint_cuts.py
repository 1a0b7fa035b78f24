"""What a joint cuts or leaves standing, in words, its sizes in one order: thickness × width × length."""

from __future__ import annotations

from collections.abc import Sequence

from shopdocs.core.length import Length
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.fitting.off_square import across_words, slanted_line, slanted_words
from shopdocs.documents.job import Job
from shopdocs.model.joining import Face, the_face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.joint_names import Trait, several
from shopdocs.work.space.let_in import is_let_in
from shopdocs.work.space.placed import PIECE_AXES, Bore, Cuboid, Feature, FeatureKind, PlacedPiece, side_of


def cut_name(job: Job, kind: FeatureKind, number: str) -> str:
    """A cut in the trade's word; what goes in whole by what it goes into."""
    if Trait.HOUSED in kind.traits:
        joint = next((joint for joint, meeting in job.build.meetings() if str(meeting.number) == number), None)
        return KINDS[joint.kind].let_in if joint is not None else "let-in end"
    if kind is FeatureKind.END_LEFT_ON:
        return "square end beside the tails"
    return str(kind)


def cut_words(job: Job, features: Sequence[Feature], piece: PlacedPiece) -> str:
    """What a joint makes of a piece: "mortise 10 × 34, 24 deep"; "3 tails 14 × 24 × 14"."""
    gauged = Gauged(piece)
    told: dict[tuple[str, str], int] = {}
    for feature in features:
        words = _hole(job, feature) if isinstance(feature, Bore) else _cut(job, feature, gauged)
        told[words] = told.get(words, 0) + 1
    return "; ".join(f"{several(name, count)} {size}" for (name, size), count in told.items())


def size_words(job: Job, feature: Feature, gauged: Gauged) -> str:
    """How large a cut is and how deep, and at what angle it goes in: "10 × 34, 24 deep"."""
    if isinstance(feature, Bore):
        return _hole(job, feature)[1]
    words = _cut(job, feature, gauged)[1]
    slant, line = feature.slant, slanted_line(job, feature)
    if slant is None or not line:
        return words
    if not is_let_in(feature):
        deep = "through" if slant.deep is None else f"{job.display.bare(slant.deep)} deep along its own line"
        words = f"{across_words(slant, job.display)}, {deep}"
    return f"{words}, {line}"


def _hole(job: Job, bore: Bore) -> tuple[str, str]:
    deep = f"{job.display.bare(bore.depth)} deep" if bore.depth is not None else "through"
    unseen = f", from {the_face(bore.face)}" if bore.face in (Face.BACK, Face.FAR_EDGE) else ""
    return str(bore.kind), f"Ø {job.display.drill(bore.diameter)}, {deep}{unseen}"


def _cut(job: Job, cuboid: Cuboid, gauged: Gauged) -> tuple[str, str]:
    shown = next(one for one in gauged.shown if one.cuboid == cuboid)
    name = cut_name(job, cuboid.kind, cuboid.joint)
    if cuboid.slant is not None:
        return name, slanted_words(job, cuboid, gauged.piece)
    size = [high - low for low, high in zip(shown.lo, shown.hi, strict=True)]
    if cuboid.adds:
        thick, wide, long = _standing(cuboid, size, gauged)
        return name, job.display.bare_size(thick, wide, long) + _neck(job, cuboid)
    axis = side_of(shown.face)[0]
    one, two = sorted(size[k] for k in range(3) if k != axis)
    deep = "through" if shown.depth is None else f"{job.display.bare(shown.depth)} deep"
    if Trait.TRENCH in cuboid.kind.traits:
        tongue = _tongue(job, cuboid, one)
        narrow = f" for a tongue {job.display.bare(tongue)} thick" if tongue is not None else ""
        return name, f"{job.display.bare(one)} wide{narrow}, {deep}"
    return name, f"{job.display.bare_size(one, two)}, {deep}{_farther_in(job, cuboid, shown.widens)}"


def _farther_in(job: Job, cuboid: Cuboid, widens: Length) -> str:
    """How wide a trench is at its floor, a socket at its wide end, where it widens from its mouth on."""
    if cuboid.flare is None or not widens:
        return ""
    wide = job.display.bare(cuboid.size[PIECE_AXES.index(cuboid.flare.axis)])
    return f", {wide} at the wide end" if Trait.TAILED in cuboid.kind.traits else f", {wide} wide at its floor"


def _neck(job: Job, cuboid: Cuboid) -> str:
    """How thick what stands all along an end is at its shoulders, where it is thinner there."""
    if cuboid.flare is None or Trait.FACES_FLOOR not in cuboid.kind.traits:
        return ""
    thick = cuboid.size[PIECE_AXES.index(cuboid.flare.axis)] - cuboid.flare.by * 2
    return f", {job.display.bare(thick)} thick at its shoulders"


def _tongue(job: Job, cuboid: Cuboid, wide: Length) -> Length | None:
    """How thick the tongue for a groove is, where that is less than the groove is wide."""
    meeting = next((m for _, m in job.build.meetings() if str(m.number) == cuboid.joint), None)
    if meeting is None or job.space is None or Trait.RUNS not in cuboid.kind.traits:
        return None
    found = [
        f.size[2]
        for f in job.space.pieces[meeting.entering].cuboids
        if f.joint == cuboid.joint and Trait.TONGUE in f.kind.traits
    ]
    return found[0] if found and found[0] < wide else None


def _standing(cuboid: Cuboid, size: Sequence[Length], gauged: Gauged) -> tuple[Length, Length, Length]:
    """Thickness, width and length of what stands out: it is as long as it stands out of the body."""
    body = gauged.piece.size
    out = next((k for k in range(3) if cuboid.hi[k].mm <= 0 or cuboid.lo[k] >= body[k]), 0)
    one, two = (size[k] for k in (2, 1, 0) if k != out)
    return one, two, size[out]
