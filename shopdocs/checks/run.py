"""All checks, in one tuple."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from shopdocs.checks import boards, gluing, holes, joints, sizes, space
from shopdocs.core.problems import Problem
from shopdocs.model.build import Build, Shop

Check = Callable[[Build, Shop], Iterator[Problem]]
CHECKS: tuple[Check, ...] = (
    *sizes.CHECKS,
    *boards.CHECKS,
    *joints.CHECKS,
    *holes.CHECKS,
    *gluing.CHECKS,
    *space.CHECKS,
)


# What is absent can be told only of a build that was read whole: a part with a mistake of its own is not missing.
OF_THE_WHOLE = frozenset({"unused", "no-stage", "loose", "overall"})


def check(build: Build, shop: Shop, whole: bool = True) -> list[Problem]:
    """Every problem of a build that could be read; `whole` says that nothing of it was left out for its mistakes."""
    found = [problem for each in CHECKS for problem in each(build, shop)]
    return found if whole else [problem for problem in found if problem.code not in OF_THE_WHOLE]
