"""All checks, in their order."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from shopdocs.checks import boards, joints, movement, sizes
from shopdocs.checks.doubts import bench, grain_and_feet, heights, money, ranges, usual
from shopdocs.core.problems import Problem
from shopdocs.model.build import Build, Shop
from shopdocs.model.cutting import SHAPES, CutKind
from shopdocs.work.computed import Computed

Check = Callable[[Build, Shop], Iterator[Problem]]
CheckOfWork = Callable[[Computed], Iterator[Problem]]


def _checks(build: Build) -> Iterator[Check]:
    """The checks of what was written; those are loaded that the build has something for."""
    yield from (*sizes.CHECKS, *boards.CHECKS, *joints.CHECKS)
    if build.joints:
        from shopdocs.checks import meetings

        yield from meetings.CHECKS
    yield from (*ranges.CHECKS, *usual.CHECKS, *grain_and_feet.CHECKS, *money.CHECKS, *bench.CHECKS)
    if build.joints or build.hardware or build.gluing is not None:
        from shopdocs.checks.doubts import agree, siblings

        yield from (*siblings.CHECKS, *agree.CHECKS)


def _checks_of_work(build: Build) -> Iterator[CheckOfWork]:
    """The checks of what was computed of it."""
    if build.hardware:
        from shopdocs.checks import holes

        yield from holes.CHECKS
        if any(piece.place and (piece.place.lean or piece.place.tilt) for _, piece in build.pieces()):
            from shopdocs.checks import slanting

            yield from slanting.CHECKS
    if build.gluing is not None:
        from shopdocs.checks import gluing

        yield from gluing.CHECKS
    if build.joints and (build.gluing is None or not build.gluing.stages):
        from shopdocs.checks import interlocked

        yield from interlocked.CHECKS
    placed = any(piece.place for _, piece in build.pieces())
    if placed:
        from shopdocs.checks import space

        yield from (*space.CHECKS, *grain_and_feet.CHECKS_OF_WORK)
    if build.hardware or build.joints:
        from shopdocs.checks import crossed_holes, fastening, hollows, meetings, pilots

        yield from (*meetings.CHECKS_OF_WORK, *fastening.CHECKS, *pilots.CHECKS, *hollows.CHECKS, *crossed_holes.CHECKS)
    if build.hardware:
        from shopdocs.checks.doubts import agree, buttons, doors

        yield from (*doors.CHECKS_OF_WORK, *agree.CHECKS_OF_WORK, *buttons.CHECKS_OF_WORK)
    if placed:
        from shopdocs.checks.doubts import bare, opening

        yield from (*opening.CHECKS_OF_WORK, *bare.CHECKS_OF_WORK)
    yield from heights.CHECKS_OF_WORK
    if build.cuts or build.joints or build.hardware:
        from shopdocs.checks import own_cuts

        yield from own_cuts.CHECKS
    if build.cuts:
        from shopdocs.checks.doubts import thin

        yield from thin.CHECKS_OF_WORK
    if any(cut.kind in (CutKind.TAPER, CutKind.ARCH) for cut in build.cuts):
        from shopdocs.checks import tapers

        yield from tapers.CHECKS
    if any(cut.kind is CutKind.ROUND for cut in build.cuts):
        from shopdocs.checks import rounds

        yield from rounds.CHECKS
    if any(cut.kind in SHAPES for cut in build.cuts):
        from shopdocs.checks import outlines

        yield from outlines.CHECKS
    if any(cut.kind is CutKind.END_CUT for cut in build.cuts):
        from shopdocs.checks import end_cuts

        yield from end_cuts.CHECKS
    if build.gaps:
        from shopdocs.checks import gaps

        yield from gaps.CHECKS
    yield from movement.CHECKS


# Only a build that was read whole can be said to lack something: a part with a mistake of its own is not missing.
OF_THE_WHOLE = frozenset(
    {"unused", "no-joint", "no-stage", "loose", "overall", "left-out", "uneven-feet", "above-floor"}
)


def check(work: Computed, whole: bool = True) -> list[Problem]:
    """Every problem of a build that could be read; `whole` says that nothing of it was left out for its mistakes."""
    found = [problem for each in _checks(work.build) for problem in each(work.build, work.shop)]
    found += [problem for check_work in _checks_of_work(work.build) for problem in check_work(work)]
    return found if whole else [problem for problem in found if problem.code not in OF_THE_WHOLE]
