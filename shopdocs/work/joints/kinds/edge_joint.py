"""Edge joint."""

from __future__ import annotations

from shopdocs.core.problems import Severity
from shopdocs.model.joining import the_face
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, area
from shopdocs.work.space.placed import side_of

ALONG, ACROSS = 0, 1  # axes of a piece


def edge_joint(frame: Frame, sizes: JointSizes) -> Joinery:
    """Two boards glued edge to edge; nothing is cut."""
    doubts = []
    for piece, face in ((frame.entering, frame.enters), (frame.receiving, frame.meets)):
        axis, _ = side_of(face)
        if axis == ALONG:
            doubts.append(
                Doubt(
                    "end-grain",
                    f"{piece.mark} is glued at {the_face(face)}, on end grain, which glue hardly holds",
                    "give it a tenon, dowels or a lap there (common practice)",
                    Severity.WARNING,
                )
            )
        elif axis != ACROSS and not doubts:  # once a joint
            doubts.append(
                Doubt(
                    "not-edge-to-edge",
                    f"{piece.mark} is glued at {the_face(face)}, not at an edge",
                    "place the boards edge to edge",
                    Severity.WARNING,
                )
            )
    shared = area(frame.shared_u[1] - frame.shared_u[0], frame.shared_v[1] - frame.shared_v[0])
    return Joinery(sizes.kind, frame.enters, frame.meets, glue_area=shared, long_grain=shared, doubts=tuple(doubts))


GEOMETRY = Geometry(edge_joint)
