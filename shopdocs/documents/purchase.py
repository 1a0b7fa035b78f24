"""Several builds bought for together: all their pieces laid out on one purchase of lumber."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from shopdocs.core.check_word import check_word
from shopdocs.core.problems import NOWHERE, Problem, error
from shopdocs.documents.job import Job, make_job
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material
from shopdocs.work.boards.plan import Effort, boards_plan
from shopdocs.work.computed import Computed
from shopdocs.work.cut_list import CutGroup, CutRow, piece_sizes
from shopdocs.work.lumber_needs import needs

TITLE = "One purchase"
MARK = "ALL"


def not_together(builds: Sequence[Build]) -> Iterator[Problem]:
    """What keeps builds from being bought for together: one mark for two builds, one name for two materials."""
    marks: dict[str, Build] = {}
    materials: dict[str, tuple[Material, Build]] = {}
    for build in builds:
        other = marks.setdefault(build.mark, build)
        if other is not build:
            wrong = f"'{build.mark}' is the mark of {other.title} too, so their pieces could not be told apart"
            yield error(build.places.get("mark", build.at), "mark", wrong, "give one of the builds another mark")
        for material in build.materials:
            known, owner = materials.setdefault(material.name, (material, build))
            if _stock(known) != _stock(material):
                wrong = f"'{material.name}' is another material in {owner.title}"
                yield error(material.at, "material", wrong, "give one of them another name, or make them the same")


def _stock(material: Material) -> Material:
    """A material as the yard knows it: what is written of it, not where, and without its note."""
    return replace(material, note="", at=NOWHERE, places={})


def purchase_job(builds: Sequence[Build], shop: Shop, label_sheet: str, effort: int | None = None) -> Job:
    """A job that holds nothing but the pieces of all builds, each under its build's mark and its own (TB-FL), laid out
    on boards together. The builds are such that `not_together` finds nothing; sizes are shown as in the first."""
    materials: dict[str, Material] = {}
    for build in builds:
        for material in build.materials:
            materials.setdefault(material.name, material)
    first = builds[0]
    together = Build(
        title=f"{TITLE}: {', '.join(build.title for build in builds)}",
        mark=MARK,
        display=first.display,
        maker=first.maker,
        date=first.date,
        materials=tuple(materials.values()),
        content=check_word(build.content for build in builds),
        at=first.at,
    )
    groups = _merged([group for build in builds for group in _marked(build, Computed(build, shop).sawn)])
    job = make_job(together, shop, first.display, "", label_sheet)
    return dataclasses.replace(
        job,
        groups=groups,
        rows=piece_sizes(groups),
        needs=needs(together, shop, groups),
        boards=boards_plan(together, shop, groups, Effort(effort)),
    )


def _marked(build: Build, groups: Sequence[CutGroup]) -> Iterator[CutGroup]:
    """The groups with every piece under its full mark."""

    def full(row: CutRow) -> CutRow:
        return replace(row, pieces=tuple(replace(piece, mark=build.full_mark(piece.mark)) for piece in row.pieces))

    for group in groups:
        yield replace(group, rows=tuple(map(full, group.rows)))


def _merged(groups: Sequence[CutGroup]) -> tuple[CutGroup, ...]:
    """One group for each material and thickness."""
    rows: dict[tuple[str, object], list[CutGroup]] = {}
    for group in groups:
        rows.setdefault((group.material.name, group.thickness), []).append(group)
    return tuple(replace(same[0], rows=tuple(row for group in same for row in group.rows)) for same in rows.values())
