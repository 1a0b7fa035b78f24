"""What a build weighs, for the caution on tipping."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from shopdocs.pipeline.checking import checked
from shopdocs.work.scene.overall import pounds_of


def test_a_board_by_hand(tmp_path: Path) -> None:
    # Two boards of white oak 1 x 12 x 24 in: 1/3 ft3. Specific gravity 0.68 (Wood Handbook, Table 5-3) on the volume at
    # 12 %: 62.4 x 0.68 x 1.12 = 47.52 lb/ft3 (chapter 4), 15.84 lb. (62.4 is 1000 kg/m3 to three figures.)
    (tmp_path / "build.yaml").write_text(
        "build: {title: Boards, mark: B, units: in}\n"
        "materials: {oak: {kind: hardwood, species: white oak, rough: 8/4}, ply: {kind: sheet, thickness: 1/2}}\n"
        "parts: {board: {material: oak, size: 1 x 12 x 24, count: 2}}\n"
    )
    work = checked(str(tmp_path / "build.yaml"), None).work
    assert work is not None
    pounds = pounds_of(work.build)
    assert pounds is not None and abs(pounds - Fraction("15.84")) < Fraction("0.02")


def test_a_turned_rung_by_hand(tmp_path: Path) -> None:
    # Stock 2 x 2 x 24 in of white oak, round for 18 in: a frustum 12 long from 1 to 2 across, pi x 12 (1 + 2 + 4) / 12
    # = 21.99115 in3, a cylinder of 2 across over 6, 18.84956 in3; 6 in stay square: 24 in3. Together 64.84071 in3 or
    # 0.0375235 ft3, at 47.52 lb/ft3 (see above) 1.78312 lb.
    (tmp_path / "build.yaml").write_text(
        "build: {title: Rung, mark: B, units: in}\n"
        "materials: {oak: {kind: hardwood, species: white oak, rough: 10/4}}\n"
        "parts: {rung: {material: oak, size: 2 x 2 x 24, count: 1}}\n"
        "cuts: {round: {kind: round, on: [{piece: rung}], diameters: ['0, 1', '12, 2', '18, 2']}}\n"
    )
    work = checked(str(tmp_path / "build.yaml"), None).work
    assert work is not None
    pounds = pounds_of(work.build)
    assert pounds is not None and abs(pounds - Fraction("1.78312")) < Fraction("0.002")


def test_a_leg_with_a_pommel_by_hand(tmp_path: Path) -> None:
    # The same stock, 2 across all along but for a pommel of 6 in: a cylinder of 18 in, 56.54867 in3, and 24 in3 square:
    # 80.54867 in3 or 0.0466138 ft3, at 47.52 lb/ft3 2.21509 lb.
    (tmp_path / "build.yaml").write_text(
        "build: {title: Leg, mark: B, units: in}\n"
        "materials: {oak: {kind: hardwood, species: white oak, rough: 10/4}}\n"
        "parts: {leg: {material: oak, size: 2 x 2 x 24, count: 1}}\n"
        "cuts: {round: {kind: round, on: [{piece: leg}], diameters: ['0, 2', 'length, 2'], pommels: [9 to 15]}}\n"
    )
    work = checked(str(tmp_path / "build.yaml"), None).work
    assert work is not None
    pounds = pounds_of(work.build)
    assert pounds is not None and abs(pounds - Fraction("2.21509")) < Fraction("0.002")
