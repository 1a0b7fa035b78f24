"""One piece of each sample reckoned by hand, and what is left for it.

Coefficients: Wood Handbook, FPL-GTR-190 (2010), Table 13-5; moisture in air: Table 4-2 (30 % at 70 °F is 6.2 %, 65 % is
12.0 %); the change is width x coefficient x difference of moisture (Eq. 13-2).
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.core.length import Length
from shopdocs.facts.species_table import SPECIES
from shopdocs.model.build import Climate
from shopdocs.pipeline.checking import checked
from shopdocs.work.computed import Computed
from shopdocs.work.scene.meant_gaps import real_gaps
from shopdocs.work.seasons.tie import Sort
from shopdocs.work.seasons.wood import year_of

SAMPLES = Path(__file__).parents[3] / "sample_builds"


def work_of(name: str) -> Computed:
    work = checked(str(SAMPLES / name / "build.yaml"), None).work
    assert work is not None
    return work


def test_the_top_of_the_bench() -> None:
    # 15 in of flat-sawn white ash, worked at 8 %: 15 x 0.00274 x (12.0 - 8) = 0.1644 in; 15 x 0.00274 x (8 - 6.2) =
    # 0.07398 in. Its buttons ride on rails whose middles are 15 - 2 x (1 + 1/4 + 7/16) = 11-5/8 in apart, and each way
    # that is half of 11.625 x 0.00274 x 4 = 0.127410 in: 0.063705 in, within the 1/8 in that the build gives.
    work = work_of("threshold_bench")
    top = work.moves["top"]
    assert Length.inches(15) * top.grows == Length.inches("0.1644")
    assert Length.inches(15) * top.shrinks == Length.inches("0.07398")
    (tie,) = [tie for tie in work.ties if tie.mark == "T"]
    assert (tie.sort, tie.span, tie.needs) == (Sort.HELD, Length.inches("11.625"), Length.inches("0.063705"))
    assert tie.gives == Length.inches("1/8") and tie.enough


def test_the_drawer_sides_of_the_table() -> None:
    # The driest air is 35 % at 24 °C, the dampest 75 % at 8 °C. Table 4-2 has 35 % at 70 °F (21.1 °C) 6.9 % and 75 % at
    # 90 °F 13.9 %; in the cold a little more than in the warm, so the year is within 6.8 to 6.9 and 14.4 to 15.0 %.
    # The sides are 98 wide: over the drawer stands a gap of 2, of which flat-sawn white oak takes 98 x 0.00365 for 1 %.
    work = work_of("potting_table")
    assert Fraction("6.7") <= work.year.dry <= Fraction("6.9")
    assert Fraction("14.2") <= work.year.wet <= Fraction("15.0")
    tie = next(tie for tie in work.ties if tie.mark == "SL1")
    assert (tie.sort, tie.span, tie.gives) == (Sort.GAP, Length(98), Length(2))
    # Wood Handbook, Eq. 4-5 at 8 °C and 75 %: W 360.18, K 0.81071, K1 6.1756, K2 2.2168, Kh 0.60803, and so 14.82 %,
    # in tenths 14.8. Beyond 14 % the shrinkage counts (Eq. 13-3): tangential 10.5 %, worked at 11 %,
    # 98 x (14.8 - 11) / (30 / 0.105 - 30 + 11) = 98 x 3.8 / 266.714 = 1.3963
    assert work.year.wet == Fraction("14.8")
    assert float(tie.needs.mm) == pytest.approx(1.3963, abs=0.0001)
    assert not work.year.in_range


def test_the_hanging_rail_of_the_cabinet() -> None:
    # 60 mm of flat-sawn black cherry, worked at 9 %: 60 x 0.00248 x (12.0 - 9) = 0.4464 mm
    work = work_of("spice_cabinet")
    assert Length(60) * work.moves["hanging rail"].grows == Length("0.4464")
    assert "side" not in work.moves  # plywood hardly moves


def test_the_side_of_the_tote() -> None:
    # 5-1/2 in of flat-sawn eastern white pine, nobody said how damp it is worked: the whole range either way,
    # 5.5 x 0.00212 x (12.0 - 6.2) = 0.067628 in
    side = work_of("seed_tote").moves["side"]
    assert Length.inches("5.5") * side.grows == Length.inches("5.5") * side.shrinks == Length.inches("0.067628")


def test_the_rear_rails_of_the_plate_rack() -> None:
    # 2 in of flat-sawn hard maple (sugar maple), nobody said how damp it is worked: the whole range either way,
    # 2 x 0.00353 x (12.0 - 6.2) = 0.040948 in. The back in their grooves is plywood.
    work = work_of("plate_rack")
    rail = work.moves["rear rail"]
    assert Length.inches(2) * rail.grows == Length.inches(2) * rail.shrinks == Length.inches("0.040948")
    assert "back" not in work.moves


def test_the_top_of_the_sorting_table() -> None:
    # 560 mm of flat-sawn black cherry, worked at 9 % in air of 35 to 65 % at 20 °C (68 °F; Table 4-2 has 6.9 and 12.0 %
    # at 70 °F): 560 x 0.00248 x (12.0 - 9) = 4.1664 mm. Its buttons ride on aprons 24 thick, 8 behind the face of legs
    # that stand in 40: their middles are 560 - 2 x (40 + 8 + 12) = 440 apart, half of 440 x 0.00248 x 3 = 3.2736 each
    # way, 1.6368 of the 2 that the build gives.
    work = work_of("sorting_table")
    assert (work.year.worked, work.year.wet) == (Fraction(9), Fraction(12))
    assert abs(work.year.dry - Fraction("6.9")) <= Fraction(1, 10)
    assert Length(560) * work.moves["top"].grows == Length("4.1664")
    (tie,) = work.ties
    assert (tie.sort, tie.mark, tie.span, tie.needs) == (Sort.HELD, "T", Length(440), Length("1.6368"))
    assert tie.gives == Length(2) and tie.enough


@pytest.mark.parametrize(
    ("celsius", "humidity", "moisture"),
    # Wood Handbook, Table 4-2, in °F there: 70 and 80, 50 and 60, 30
    [
        ((Fraction(190, 9), Fraction(80, 3)), (30, 65), ("6.1", "12.0")),
        ((Fraction(10), Fraction(140, 9)), (25, 80), ("5.5", "16.4")),
        ((Fraction(190, 9), Fraction(190, 9)), (50, 50), ("9.2", "9.2")),
    ],
)
def test_a_year_spans_the_driest_and_the_dampest(
    celsius: tuple[Fraction, Fraction], humidity: tuple[int, int], moisture: tuple[str, str]
) -> None:
    year = year_of(Climate((Fraction(humidity[0]), Fraction(humidity[1])), celsius))
    # the table prints tenths, and so does the year: each may be rounded the other way
    assert abs(year.dry - Fraction(moisture[0])) <= Fraction(1, 10)
    assert abs(year.wet - Fraction(moisture[1])) <= Fraction(1, 10)


def test_slats_in_a_row_swell_into_the_gaps_between_them(tmp_path: Path) -> None:
    # Slats of 100 in flat-sawn white ash, 2 apart between two posts, worked at 8 % of 6 to 12 %: each grows
    # 100 x 0.00274 x 4 = 1.096 mm. The middle one has 4 of room, and each neighbour takes half of what it grows:
    # 1.096 x 2. A slat at the end has one neighbour that grows, 1.096 x 1.5; the post's 60 run the other way.
    (tmp_path / "shop.yaml").write_text("shop: {worked at: 8 %, climate: {moisture: 6 % to 12 %}}")
    (tmp_path / "build.yaml").write_text(
        "build: {title: Gate, mark: G, units: mm}\n"
        "materials: {ash: {kind: hardwood, species: white ash, rough: 80}}\n"
        "parts:\n"
        "  post: {material: ash, size: 40 x 60 x 500, runs: {length: z, width: y},\n"
        "    pieces: {P: {x: 0, y: 0, z: 0}, Q: {x: 348, y: 0, z: 0}}}\n"
        "  slat: {material: ash, size: 20 x 100 x 500, runs: {length: z, width: x},\n"
        "    pieces: {A: {x: 42, y: 0, z: 0}, B: {x: 144, y: 0, z: 0}, C: {x: 246, y: 0, z: 0}}}\n",
        "utf-8",
    )
    work = checked(str(tmp_path / "build.yaml"), None).work
    assert work is not None
    ties = {tie.mark: tie for tie in work.ties if tie.sort is Sort.GAP}
    assert ties.keys() == {"A", "B", "C"}
    assert [ties[mark].needs for mark in "ABC"] == [Length("1.644"), Length("2.192"), Length("1.644")]
    assert {tie.gives for tie in ties.values()} == {Length(4)} and {tie.span for tie in ties.values()} == {Length(100)}
    assert ties["B"].by == ("A", "C") and ties["A"].by == ("P", "B")
    assert {tie.through for tie in ties.values()} == {""}  # nothing goes through them: the sheet names the neighbours


def test_what_the_maker_says_wins(tmp_path: Path) -> None:
    # Own figure 0.3 % of the width for 1 %; from 7 to 10 % and worked at 9 %: 0.3 x 1 % out, 0.3 x 2 % back. A quarter-
    # sawn board of white oak has 0.0018 for 1 %, of "oak" the one that moves more (red, flat: 0.00369).
    (tmp_path / "shop.yaml").write_text("shop: {worked at: 9 %, climate: {moisture: 7 % to 10 %}}")
    (tmp_path / "build.yaml").write_text(
        "build: {title: Wood, mark: W, units: mm}\n"
        "materials:\n"
        "  own: {kind: hardwood, rough: 27, species: lacewood, moves: 0.3 %}\n"
        "  white: {kind: hardwood, rough: 27, species: white oak, cut: quarter}\n"
        "  any: {kind: hardwood, rough: 27, species: oak}\n"
        "parts:\n"
        "  a: {material: own, size: 20 x 100 x 300, count: 1}\n"
        "  b: {material: white, size: 20 x 100 x 300, count: 1}\n"
        "  c: {material: white, size: 20 x 100 x 300, count: 1, cut: flat}\n"
        "  d: {material: any, size: 20 x 100 x 300, count: 1}\n",
        "utf-8",
    )
    found = checked(str(tmp_path / "build.yaml"), None)
    assert found.work is not None, found.problems
    moves = found.work.moves
    assert (moves["a"].grows, moves["a"].shrinks) == (Fraction("0.003"), Fraction("0.006"))
    assert moves["b"].grows == Fraction("0.0018") and moves["c"].grows == Fraction("0.00365")
    assert moves["d"].grows == max(row.tangential or 0 for row in SPECIES if row.name in ("oak, red", "oak, white"))
    assert moves["d"].assumed and not moves["b"].assumed


def test_slots_of_a_breadboard_end_follow_the_wood(tmp_path: Path) -> None:
    # 400 of hard maple, flat-sawn 0.00353 for 1 %, over 6 to 12 % worked at 6: the outer of three pins stand 400 / 3
    # from the middle and move 400 / 3 x 0.00353 x 6 = 2.824 mm; rounded up to a millimetre the slot gives 3 each way.
    (tmp_path / "shop.yaml").write_text("shop: {worked at: 6 %, climate: {moisture: 6 % to 12 %}}")
    (tmp_path / "build.yaml").write_text(
        "build: {title: Board, mark: B, units: mm}\n"
        "materials: {maple: {kind: hardwood, species: hard maple, rough: 34}}\n"
        "parts:\n"
        "  panel: {material: maple, size: 24 x 400 x 600, runs: {length: x, width: y},\n"
        "    pieces: {P: {x: 60, y: 0, z: 0}}}\n"
        "  end: {material: maple, size: 24 x 60 x 400, runs: {length: y, width: x}, pieces: {E: {x: 0, y: 0, z: 0}}}\n"
        "joints: {end: {kind: breadboard end, from: panel, into: end, thickness: 8, length: 30, width: 8}}\n",
        "utf-8",
    )
    work = checked(str(tmp_path / "build.yaml"), None).work
    assert work is not None
    (tie,) = [tie for tie in work.ties if tie.sort is Sort.SLIDING]
    assert tie.needs == Length("2.824") and tie.gives == Length(3) and tie.enough


def test_the_play_of_the_drawers() -> None:
    # The front rail FU lies from z 820 to 850, the drawer fronts are 96 high from z 722: 2 mm over both, and
    # 2 mm to the leg at either side, whose 60 run left to right.
    work = work_of("potting_table")
    assert work.space is not None
    over, beside, _ = work.build.gaps
    found = {gap.pair: (gap.axis, gap.size) for gap in real_gaps(work.build, work.space, over)}
    assert found == {frozenset(("DF1", "FU")): (2, Length(2)), frozenset(("DF2", "FU")): (2, Length(2))}
    pairs = {gap.pair for gap in real_gaps(work.build, work.space, beside)}
    assert pairs == {frozenset(("DF1", "FL")), frozenset(("DF2", "FR"))}


def test_leaning_legs_hold_the_seat_where_its_holes_are(tmp_path: Path) -> None:
    # The legs splay and rake: their feet stand wider than the holes in the seat, which are 82 from its front and back.
    # Of a seat 340 deep that is 340 - 2 x 82 = 176 across the grain. American elm, flat-sawn, 0.00338 for 1 % (Wood
    # Handbook, Table 13-5): 176 x 0.00338 x (11.0 - 9) = 1.18976. The seat of the sample, 300 deep, is held over 136,
    # less than 6 in, and so wide a rail may be fixed.
    sample = SAMPLES / "loft_stool"
    assert not [tie for tie in work_of("loft_stool").ties if tie.mark == "S"]
    text = (sample / "build.yaml").read_text("utf-8")
    (tmp_path / "shop.yaml").write_text((sample / "shop.yaml").read_text("utf-8"), "utf-8")
    (tmp_path / "build.yaml").write_text(text.replace("  D: 300", "  D: 340"), "utf-8")
    work = checked(str(tmp_path / "build.yaml"), None).work
    assert work is not None
    (tie,) = [tie for tie in work.ties if tie.mark == "S"]
    assert (tie.sort, tie.span, tie.by) == (Sort.FAST, Length(176), ("FL", "BL"))
    assert float(tie.needs.mm) == pytest.approx(1.18976, abs=0.0001)
