"""Pieces that cannot be put together, told though no stage is written yet."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.problems import Problem, warning
from shopdocs.work.computed import Computed
from shopdocs.work.order.interlocked import FREED, interlocked


def locked_without_stages(work: Computed) -> Iterator[Problem]:
    """Pieces that lock each other in. For builds without stages: each stage tells its own."""
    marks = interlocked(work.build, work.space, work.obstacles)
    if marks:
        listed = ", ".join(f"'{mark}'" for mark in marks[:6]) + (f" and {len(marks) - 6} more" if marks[6:] else "")
        wrong = f"{listed} lock each other in: they cannot be put together by straight moves in any order"
        at = next(piece.at for _, piece in work.build.pieces() if piece.mark == marks[0])
        yield warning(at, "no-order", wrong, FREED)


CHECKS = (locked_without_stages,)
