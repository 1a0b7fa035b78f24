"""Gaps that are meant, held against those that are there."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.display import exact_text
from shopdocs.core.problems import Problem, error, warning
from shopdocs.work.computed import Computed
from shopdocs.work.scene.meant_gaps import real_gaps


def gaps_as_meant(work: Computed) -> Iterator[Problem]:
    """A gap that is not there, and one of another size than is said."""
    for meant in work.build.gaps:
        found = real_gaps(work.build, work.space, meant) if work.space is not None else ()
        if not found:
            names = " and ".join(f"'{'/'.join(marks[:3])}'" for marks in meant.between)
            wrong = f"the gap '{meant.name}' is not there: {names} do not face each other with room between"
            yield error(meant.at, "no-gap", wrong, "name two pieces or parts that do, or take the line out")
            continue
        for gap in found:
            if gap.size != meant.size:
                pair = f"'{gap.one}' and '{gap.other}'"
                wrong = f"{pair} are {exact_text(gap.size)} apart, '{meant.name}' says {exact_text(meant.size)}"
                yield warning(meant.at, "gap", wrong, "move one of them, or write the right size")
                break


CHECKS = (gaps_as_meant,)
