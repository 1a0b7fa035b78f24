"""Builds and shops as text, and boards sawn up again one cut after another."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from shopdocs.core.length import Length
from shopdocs.model.build import Build, Shop
from shopdocs.pipeline import check_build
from shopdocs.work.boards.plan import Effort, boards_plan
from shopdocs.work.boards.results import Area, BoardsPlan, SawnBoard
from shopdocs.work.cut_list import CutGroup, cut_groups

ROOT = Path(__file__).parents[2]
SAMPLES = ("threshold_bench", "spice_cabinet", "seed_tote")
HEAD = "build: {title: Trial, mark: TR, units: in}\n"
PLAIN_SHOP = (
    "kerf: 1/8\n  milling: {thickness: 0, width: 0, length: 0}\n  end trim: 0\n  keep offcuts: 2 x 12\n  tally: exact"
)

Box = tuple[Fraction, Fraction, Fraction, Fraction]


def write_case(folder: Path, build: str, shop: str = PLAIN_SHOP) -> Path:
    """A build and the shop beside it; `shop` are the lines under `shop:`."""
    (folder / "shop.yaml").write_text(f"shop:\n  {shop.strip()}\n", "utf-8")
    path = folder / "build.yaml"
    path.write_text(HEAD + build, "utf-8")
    return path


def read_case(path: Path) -> tuple[Build, Shop, tuple[CutGroup, ...]]:
    build, shop, problems = check_build(str(path))
    assert build is not None
    assert not [problem for problem in problems if not problem.severity]
    return build, shop, cut_groups(build, shop)


def plan_case(path: Path, effort: Effort | None = None) -> tuple[Build, Shop, BoardsPlan]:
    build, shop, groups = read_case(path)
    return build, shop, boards_plan(build, shop, groups, effort)


def sample_plans() -> list[tuple[Build, Shop, BoardsPlan]]:
    return [plan_case(ROOT / "sample_builds" / name / "build.yaml") for name in SAMPLES]


def inches(text: str) -> Length:
    return Length.inches(sum((Fraction(part) for part in text.split("-")), Fraction(0)))


def box(area: Area) -> Box:
    return (area.x.mm, area.y.mm, (area.x + area.length).mm, (area.y + area.width).mm)


def saw_again(board: SawnBoard, kerf: Length) -> set[Box]:
    """What lies on the bench after every cut was made in its order, each through a stretch that is there."""
    there: set[Box] = {(Fraction(0), Fraction(0), board.board.length.mm, board.board.width.mm)}
    for place, cut in enumerate(board.cuts, 1):
        assert cut.number == place
        over = box(cut.over)
        assert over in there, f"{board.mark}: cut {cut.number} goes through what is not there"
        there.remove(over)
        x0, y0, x1, y1 = over
        at = cut.at.mm
        if cut.crosscut:
            assert x0 <= at < x1
            parts = [(x0, y0, at, y1), (at + kerf.mm, y0, x1, y1)]
        else:
            assert y0 <= at < y1
            parts = [(x0, y0, x1, at), (x0, at + kerf.mm, x1, y1)]
        there |= {part for part in parts if part[0] < part[2] and part[1] < part[3]}
    return there


def apart(boxes: Iterable[Box], kerf: Fraction) -> bool:
    """Whether every two of them are at least a kerf apart along one axis."""
    every = list(boxes)
    return all(
        a[2] + kerf <= b[0] or b[2] + kerf <= a[0] or a[3] + kerf <= b[1] or b[3] + kerf <= a[1]
        for i, a in enumerate(every)
        for b in every[:i]
    )
