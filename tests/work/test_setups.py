"""What is set once serves every piece that is alike in it, whatever it is made of and however thick; by hand from the
dimensions of the samples."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from shopdocs.core.length import Length
from shopdocs.pipeline.checking import checked
from shopdocs.work.setups import Kind, setups
from tests.work.boards_case import write_case

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"


def found(path: Path) -> dict[tuple[str, Fraction], set[str]]:
    """Marks by the kind of setting and its size in millimetres."""
    work = checked(str(path), None).work
    assert work is not None
    return {(setup.kind, setup.size.mm): set(setup.marks) for setup in setups(work.build, work.groups)}


def test_one_fence_for_rails_and_stretchers_of_two_thicknesses() -> None:
    """Front rails and divider are 30 thick and 50 wide, the long stretchers 25 thick and 50 wide."""
    table = found(SAMPLES / "potting_table" / "build.yaml")
    assert table[Kind.WIDTH, Fraction(50)] == {"FU", "FD", "MU", "LS1", "LS2"}


def test_distances_between_shoulders() -> None:
    """Front rails and back apron lie between legs 60 wide that stand 40 in from 1200: 1200 - 2 * (40 + 60) = 1000. Side
    aprons and end stretchers: 600 - 2 * (30 + 60) = 420. All of the bench's rails between legs of 1-3/4 that stand 1 in
    from 44 by 15: 38-1/2 and 9-1/2 in; its stretcher is housed and has no shoulders."""
    table = found(SAMPLES / "potting_table" / "build.yaml")
    assert table[Kind.SHOULDERS, Fraction(1000)] == {"FU", "FD", "AB"}
    assert table[Kind.SHOULDERS, Fraction(420)] == {"AL", "AR", "EL", "ER"}
    bench = found(SAMPLES / "threshold_bench" / "build.yaml")
    shoulders = {size: marks for (kind, size), marks in bench.items() if kind is Kind.SHOULDERS}
    assert shoulders == {
        Length.inches("38.5").mm: {"RF", "RB"},
        Length.inches("9.5").mm: {"RL", "RR"},
    }


def test_one_shoulder_line_for_tenons_of_one_length() -> None:
    """Tenons of 24 on three aprons, of 10.5 on three runners, of 22.5 on two front rails, 35 on two end stretchers;
    through 25 mm and 5 proud on the two long ones; of 15 at both ends of the one divider."""
    table = found(SAMPLES / "potting_table" / "build.yaml")
    lines = {size: marks for (kind, size), marks in table.items() if kind is Kind.FROM_END}
    assert lines[Fraction(24)] == {"AL", "AR", "AB"}
    assert lines[Fraction("10.5")] == {"RC", "RU1", "RU2"}
    assert lines[Fraction("22.5")] == {"FU", "FD"}
    assert lines[Fraction(35)] == {"EL", "ER"}
    assert lines[Fraction(30)] == {"LS1", "LS2"}
    assert lines[Fraction(15)] == {"MU"}


def test_what_keeps_the_width_of_its_board_is_not_ripped(tmp_path: Path) -> None:
    """PS 20: a dressed 1x6 measures 3/4 x 5-1/2 in."""
    build = """
materials: {pine: {kind: softwood, nominal: 1x6}, ash: {kind: hardwood, rough: 4/4}}
parts:
  side: {material: pine, size: 3/4 x 5-1/2 x 16, count: 2}
  rail: {material: ash, size: 3/4 x 5-1/2 x 20, count: 2}
  end: {material: ash, size: 5/8 x 5-1/2 x 8, count: 2}
"""
    table = found(write_case(tmp_path, build))
    assert table[Kind.WIDTH, Length.inches("5.5").mm] == {"R1", "R2", "E1", "E2"}
    assert not [kind for kind, _ in table if kind in (Kind.SHOULDERS, Kind.LENGTH)]


def test_a_panel_shares_no_setting(tmp_path: Path) -> None:
    """Its strips are planed and cut to length when they are one board: as thick and as long as the rail, it is not
    planed or cut with it."""
    words = """
build: {title: Lid, mark: L, units: mm}
materials: {oak: {kind: hardwood, rough: 30}}
parts:
  lid: {material: oak, size: 20 x 300 x 500, strips: STRIPS, pieces: [P]}
  rail: {material: oak, size: 20 x 60 x 500, pieces: [R]}
"""
    path = tmp_path / "build.yaml"
    for strips, shared in ((1, {Kind.LENGTH, Kind.THICKNESS}), (3, set())):
        path.write_text(words.replace("STRIPS", str(strips)), "utf-8")
        assert {kind for (kind, _), marks in found(path).items() if {"P", "R"} <= marks} == shared
