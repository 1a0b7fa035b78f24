"""Area and litres of finish by sums done by hand."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.finish_needs import finish_work

BUILD = """
build: {{title: Shelf, mark: S, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts:
  board: {{material: oak, size: 20 x 100 x 500, count: 2}}
  rail: {{material: oak, size: 30 x 40 x 1000, count: 1}}
finish: {{kind: oil varnish, {more}}}
"""
# A board has 2 x (20 x 100 + 20 x 500 + 100 x 500) = 124 000 square millimetres, two of them 248 000; the rail
# 2 x (30 x 40 + 30 x 1000 + 40 x 1000) = 142 400. Together 0.3904 square metres.
AREA = Fraction("0.3904")


@pytest.mark.parametrize(
    ("more", "litres"),
    [
        # Published by a maker of varnish: 10 to 12 square metres a litre and coat; the lower one is planned with.
        ("coats: 3", AREA * 3 / 10),
        ("coats: 1", AREA / 10),
        ("coats: 2, coverage: 8", AREA * 2 / 8),  # the can's own figure wins
    ],
)
def test_area_and_litres(tmp_path: Path, more: str, litres: Fraction) -> None:
    (tmp_path / "build.yaml").write_text(BUILD.format(more=more), "utf-8")
    build, shop, problems = check_build(str(tmp_path / "build.yaml"))
    assert build is not None, problems
    work = finish_work(build, Computed(build, shop).groups)
    assert work is not None
    assert work.area == AREA
    assert work.litres == litres
