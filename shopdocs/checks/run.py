"""All checks, in one tuple."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from shopdocs.checks import (
    boards,
    crossing,
    cuts,
    fastening,
    gluing,
    holes,
    hollows,
    joints,
    meetings,
    movement,
    pilots,
    sizes,
    space,
)
from shopdocs.checks.doubts import agree, money, moving, ranges, siblings, wood
from shopdocs.core.problems import Problem
from shopdocs.model.build import Build, Shop
from shopdocs.work.computed import Computed

CHECKS: tuple[Callable[[Build, Shop], Iterator[Problem]], ...] = (
    *sizes.CHECKS,
    *boards.CHECKS,
    *joints.CHECKS,
    *meetings.CHECKS,
    *siblings.CHECKS,
    *agree.CHECKS,
    *ranges.CHECKS,
    *wood.CHECKS,
    *money.CHECKS,
)
CHECKS_OF_WORK: tuple[Callable[[Computed], Iterator[Problem]], ...] = (
    *holes.CHECKS,
    *gluing.CHECKS,
    *space.CHECKS,
    *meetings.CHECKS_OF_WORK,
    *fastening.CHECKS,
    *pilots.CHECKS,
    *hollows.CHECKS,
    *crossing.CHECKS,
    *cuts.CHECKS,
    *movement.CHECKS,
    *wood.CHECKS_OF_WORK,
    *moving.CHECKS_OF_WORK,
)


# Only a build that was read whole can be said to lack something: a part with a mistake of its own is not missing.
OF_THE_WHOLE = frozenset(
    {"unused", "no-joint", "no-stage", "loose", "overall", "left-out", "uneven-feet", "above-floor"}
)


def check(work: Computed, whole: bool = True) -> list[Problem]:
    """Every problem of a build that could be read; `whole` says that nothing of it was left out for its mistakes."""
    found = [problem for each in CHECKS for problem in each(work.build, work.shop)]
    found += [problem for check_work in CHECKS_OF_WORK for problem in check_work(work)]
    return found if whole else [problem for problem in found if problem.code not in OF_THE_WHOLE]
