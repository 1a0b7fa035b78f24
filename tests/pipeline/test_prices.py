"""Prices belong to the shop file: there they count as they did in the build, which is told to give them up."""

from __future__ import annotations

from pathlib import Path

from shopdocs.cli import main
from shopdocs.pipeline import check_build

BUILD = """\
build: {title: Stool, mark: ST, units: in}
materials:
  oak 4/4: {kind: hardwood}
  'ply, 1/4': {kind: sheet, thickness: 1/4}
parts:
  seat: {material: oak 4/4, size: 3/4 x 6 x 12, count: 2}
  back: {material: 'ply, 1/4', size: 1/4 x 6 x 12, count: 1}
"""
SHOP = "shop:\n  units: in\n  prices: {oak 4/4: 6.00 per bf, 'ply, 1/4': 38 per sheet, elm: 4 per bf}\n"


def _codes(folder: Path, build: str, shop: str) -> list[tuple[str, str, str]]:
    (folder / "build.yaml").write_text(build, "utf-8")
    (folder / "shop.yaml").write_text(shop, "utf-8")
    found = check_build(str(folder / "build.yaml"))[2]
    return [(problem.code, Path(problem.at.file).name, problem.right) for problem in found]


def test_prices_in_a_build_are_told_once_with_the_line_to_move(tmp_path: Path) -> None:
    priced = BUILD.replace("hardwood}", "hardwood, price: 6.005 per bf}").replace(
        "1/4}\n", "1/4, price: 38 per sheet}\n", 1
    )
    told = [one for one in _codes(tmp_path, priced, "shop: {units: in}\n") if one[0] == "price-in-plan"]
    assert [one[2] for one in told] == [
        "move them to the shop file: prices: {oak 4/4: 6.0050 per bf, 'ply, 1/4': 38.00 per sheet}"
    ]
    moved = told[0][2].partition("shop file: ")[2]
    assert not [one for one in _codes(tmp_path, BUILD, f"shop:\n  {moved}\n") if one[0] != "unused"]


def test_the_shop_s_price_wins_and_other_builds_materials_may_stand_there(tmp_path: Path) -> None:
    (tmp_path / "build.yaml").write_text(BUILD.replace("hardwood}", "hardwood, price: 9 per bf}"), "utf-8")
    (tmp_path / "shop.yaml").write_text(SHOP, "utf-8")
    build, _, _ = check_build(str(tmp_path / "build.yaml"))
    assert build is not None
    assert [material.price.amount for material in build.materials if material.price] == [6, 38]


def test_the_same_money_wherever_the_price_stands(tmp_path: Path) -> None:
    sums = []
    for number, (build, shop) in enumerate(
        (
            (BUILD, SHOP),
            (BUILD.replace("hardwood}", "hardwood, price: 6 per bf}"), SHOP.replace("oak 4/4: 6.00 per bf, ", "")),
        )
    ):
        folder = tmp_path / str(number)
        folder.mkdir()
        (folder / "build.yaml").write_text(build, "utf-8")
        (folder / "shop.yaml").write_text(shop, "utf-8")
        assert main(["render", str(folder / "build.yaml"), "--only", "lumber", "--out", str(folder / "set")]) == 0
        sums.append((folder / "set" / "tables" / "lumber.csv").read_bytes())
    assert sums[0] == sums[1]


def test_a_price_by_the_wrong_measure_is_told_in_the_shop_file(tmp_path: Path) -> None:
    shop = SHOP.replace("38 per sheet", "38 per bf")
    assert ("price", "shop.yaml") in [one[:2] for one in _codes(tmp_path, BUILD, shop)]
    assert ("price", "shop.yaml") in [one[:2] for one in _codes(tmp_path, BUILD, SHOP.replace("6.00 per bf", "cheap"))]
