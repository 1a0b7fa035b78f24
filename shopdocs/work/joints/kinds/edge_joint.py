"""Edge joint."""

from __future__ import annotations

from shopdocs.core.problems import Severity
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, area
from shopdocs.work.space.placed import side_of


def edge_joint(frame: Frame, sizes: JointSizes) -> Joinery:
    """Two boards glued edge to edge; nothing is cut."""
    doubts = []
    for piece, face in ((frame.entering, frame.enters), (frame.receiving, frame.meets)):
        if side_of(face)[0] != 1:
            doubts.append(
                Doubt(
                    "not-edge-to-edge",
                    f"{piece.mark} meets its mate with its {face}, not with an edge",
                    "place the boards edge to edge",
                    Severity.WARNING,
                )
            )
    shared = area(frame.shared_u[1] - frame.shared_u[0], frame.shared_v[1] - frame.shared_v[0])
    return Joinery(sizes.kind, frame.enters, frame.meets, glue_area=shared, long_grain=shared, doubts=tuple(doubts))


GEOMETRY = Geometry(edge_joint)
