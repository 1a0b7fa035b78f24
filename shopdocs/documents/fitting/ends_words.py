"""What ends and edges mean that a template is laid to: the shoulder, or the real end with what goes into a joint."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from shopdocs.documents.drawn.laid_template import Laid
from shopdocs.documents.drawn.template import edge_names
from shopdocs.documents.job import Job
from shopdocs.model.cutting import CutKind
from shopdocs.model.joining import Face
from shopdocs.work.holes.face_holes import FaceHoles

_UNKNOWN = "the part in the joint"  # of a piece without a place


def ends_words(face: FaceHoles, from_ends: Collection[bool], called: Mapping[str, str]) -> list[str]:
    """A sentence each on shoulders and on real ends. `from_ends`: from which ends the template is laid (False end A,
    True end B), `called` what the names on the paper are called in prose."""
    level, first, second = edge_names(face)
    used = [(first, face.along.start)] if False in from_ends else []
    used += [(second, face.along.end)] if True in from_ends else []
    used.append((level, face.across.start))
    told: dict[str, list[str]] = {}
    for name, ending in used:
        if ending.shoulder:
            beyond = dict.fromkeys(kind.tip or _UNKNOWN for kind in ending.beyond) or {_UNKNOWN: None}
            told.setdefault(" or ".join(beyond), []).append(called[name])
    facts = []
    for beyond_words, names in told.items():
        verb = "mean" if len(names) > 1 else "means"
        facts.append(f"{' and '.join(names)} {verb} the shoulder, not {beyond_words}.")
    real = [called[name] for name, ending in used if ending.flush and not ending.shoulder]
    if real:
        words = "are those" if len(real) > 1 else "is that"
        facts.append(f"{' and '.join(real)} {words} of the piece as sawn, with what goes into its joints.")
    return [fact[0].upper() + fact[1:] for fact in facts]


def long_points(job: Job, laid: Laid, called: Mapping[str, str]) -> list[str]:
    """A sentence on each end that a template is laid to and that is sawn off square: all counts from its long point,
    wherever that lies."""
    face = laid.face
    if face.face in (Face.A, Face.B):
        return []
    _, first, second = edge_names(face)
    lines = [window.from_far_end if window.index is None else window.index_from_end for window, _ in laid.places]
    sawn = {
        place.face is Face.B
        for cut in job.build.cuts
        if cut.kind is CutKind.END_CUT
        for place in cut.on
        if place.piece in face.marks
    }
    names = dict.fromkeys(called[second if end else first] for end in lines if end in sawn)
    told = [f"{name} is sawn off square: count from its long point." for name in names]
    return [fact[0].upper() + fact[1:] for fact in told]
