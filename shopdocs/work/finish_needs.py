"""How much finish: areas of what is coated, litres, grits."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from shopdocs.facts.finish_types import FinishType, finish_type, grit_sequence
from shopdocs.model.build import Build
from shopdocs.model.joining import Finish
from shopdocs.work.cut_list import CutGroup, bare_mark, surface_area
from shopdocs.work.scene.surfaces import shaped_away


class FinishWork(Struct, frozen=True):
    """Area in square metres of all faces at finished size, tapers, curves and cut-outs as they are (joints and grooves
    are not taken off: a little too much is enough),
    litres for all coats, and the grits."""

    finish: Finish
    kind: FinishType | None
    area: Fraction
    coverage: Fraction | None
    litres: Fraction | None
    grits: tuple[int, ...]


def finish_work(build: Build, groups: Iterable[CutGroup]) -> FinishWork | None:
    """What the finish takes; None without one in the build."""
    finish = build.finish
    if finish is None:
        return None
    kind = finish_type(finish.kind)
    rows = [row for group in groups for row in group.rows]
    shaped = shaped_away(build) if build.cuts else {}
    area = sum((surface_area(row.finished) * len(row.pieces) for row in rows), Fraction(0))
    area += sum((shaped.get(bare_mark(piece.mark), Fraction(0)) for row in rows for piece in row.pieces), Fraction(0))
    coverage = finish.coverage or (kind.planned_coverage if kind else None)
    litres = area * finish.coats / coverage if coverage else None
    grits = finish.grits or (grit_sequence(kind) if kind else ())
    return FinishWork(finish, kind, area, coverage, litres, grits)
