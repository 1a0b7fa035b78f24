"""All checks, in one tuple."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from shopdocs.checks import gluing, holes, joints, sizes, space
from shopdocs.core.problems import Problem
from shopdocs.model.build import Build, Shop

Check = Callable[[Build, Shop], Iterator[Problem]]
CHECKS: tuple[Check, ...] = (*sizes.CHECKS, *joints.CHECKS, *holes.CHECKS, *gluing.CHECKS, *space.CHECKS)


def check(build: Build, shop: Shop) -> list[Problem]:
    """Every problem of a build that could be read."""
    return [problem for each in CHECKS for problem in each(build, shop)]
