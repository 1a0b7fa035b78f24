"""The outlines of a face's own cuts on its templates: knife round them through the paper."""

from __future__ import annotations

from msgspec import Struct

from shopdocs.blocks.drawing import Line
from shopdocs.core.length import Length
from shopdocs.documents.job import Job
from shopdocs.model.cutting import Stretch
from shopdocs.work.holes.face_holes import FaceHoles


class Outline(Struct, frozen=True):
    """One cut on a face: from and to along and across it, as holes are measured there; `depth` None goes through."""

    kind: str
    name: str
    along: Stretch
    across: Stretch
    depth: Length | None


def outlines_of(job: Job, face: FaceHoles) -> tuple[Outline, ...]:
    """The cuts of a face that all its pieces share, measured from where one gauges."""
    of_piece = [_of(job, face, mark) for mark in face.marks]
    return tuple(outline for outline in of_piece[0] if all(outline in others for others in of_piece))


def _of(job: Job, face: FaceHoles, mark: str) -> list[Outline]:
    found = []
    for cut in job.cuts:
        for place in cut.on:
            if (place.piece, place.face, place.second) != (mark, face.face, None):
                continue
            low, high = (end + face.along.start.flush for end in place.along)
            # `across` of a face that counts from its far edge is turned round already
            from_edge = face.across.end if face.from_far_edge else face.across.start
            near, far = (end + from_edge.flush for end in place.across)
            if face.from_far_edge:
                near, far = face.height - far, face.height - near
            found.append(Outline(str(cut.kind), cut.name, (low, high), (near, far), cut.depth))
    return found


def outline_lines(outline: Outline, along: Stretch, across: Stretch) -> list[Line]:
    """Its sides as lines in the face's own measures, as far as they lie on the paper between `along` and `across`."""
    lines: list[Line] = []
    low, high = max(outline.along[0], along[0]), min(outline.along[1], along[1])
    near, far = max(outline.across[0], across[0]), min(outline.across[1], across[1])
    if low >= high or near >= far:
        return []
    for at in outline.along:
        if along[0] < at < along[1]:
            lines.append(Line((at, near), (at, far)))
    for at in outline.across:
        if across[0] < at < across[1]:
            lines.append(Line((low, at), (high, at)))
    return lines
