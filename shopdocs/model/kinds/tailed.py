"""What the kinds with a dovetail's slope share."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import Joint

SLOPES = (4, 10)  # 1 in so many: 6 for softwood, 8 for hardwood; common practice, no source


def slope_doubts(joint: Joint) -> Iterator[Problem]:
    """Tails that hold nothing, or whose corners break off."""
    if joint.slope is not None and not SLOPES[0] <= joint.slope <= SLOPES[1]:
        wrong = f"the tails of '{joint.name}' slope 1 in {joint.slope}"
        right = "a slope of 1 in 6 for softwood, 1 in 8 for hardwood is usual (common practice)"
        yield warning(joint.places.get("slope", joint.at), "tail-slope", wrong, right)
