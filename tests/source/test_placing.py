"""Where pieces lie, and the sizes that follow. Expected values are worked out by hand beside each check."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.core.length import Length
from shopdocs.model.build import Build
from shopdocs.model.joining import End
from shopdocs.model.parts import Piece
from shopdocs.pipeline import Request, check_build, render
from shopdocs.source.order import in_order

SAMPLES = Path(__file__).parents[2] / "sample_builds"

HEAD = """
build: {title: Trial, mark: T, units: in}
dimensions: {W: 40, D: 16, leg: 2}
materials: {ash 12/4: {kind: hardwood}}
parts:
  leg:
    material: ash 12/4
    size: leg x leg x 20
    runs: {length: z, width: x}
    pieces:
      FL: {x: 0, y: 0, z: 0}
      FR: {mirror: FL across x at W / 2}
      BL: {mirror: FL across y at D / 2}
      BR: {mirror: FR across y at D / 2}
"""
RAIL = """
  rail:
    material: ash 12/4
    thickness: 1
    width: 4
    runs: {length: x, width: z}
    pieces:
"""


def read(tmp_path: Path, text: str) -> tuple[Build, list[str]]:
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, _, problems = check_build(str(path))
    assert build is not None
    return build, [str(problem).removeprefix(f"{path}:") for problem in problems]


def piece(build: Build, mark: str) -> Piece:
    return next(piece for _, piece in build.pieces() if piece.mark == mark)


def corner(build: Build, mark: str) -> tuple[Fraction, ...]:
    """The low corner of a piece in inches."""
    place = piece(build, mark).place
    assert place is not None
    return tuple(value.inch for value in place.corner)


def test_mirrored_legs_stand_in_the_corners(tmp_path: Path) -> None:
    # A leg of 2 in at 0 mirrored about 40/2 lies from 38 to 40; about 16/2 from 14 to 16.
    build, _ = read(tmp_path, HEAD)
    assert corner(build, "FR") == (38, 0, 0)
    assert corner(build, "BL") == (0, 14, 0)
    assert corner(build, "BR") == (38, 14, 0)


def test_a_mirrored_piece_is_of_the_other_hand(tmp_path: Path) -> None:
    build, _ = read(tmp_path, HEAD)
    left, right = piece(build, "FL").place, piece(build, "FR").place
    assert left is not None and right is not None
    assert left.face_edge_low != right.face_edge_low, "mirrored across x, along which the width runs"
    assert left.face_side_low == right.face_side_low
    assert left.end_a_low == right.end_a_low


def test_a_length_follows_from_two_faces(tmp_path: Path) -> None:
    # Between legs from 0 to 2 and from 38 to 40 there are 36 in.
    build, problems = read(tmp_path, HEAD + RAIL + "      RF: {x: FL.right to FR.left, y: 1/2, z: to FL.top}\n")
    assert build.part("rail").length == Length.inches(36)
    assert corner(build, "RF") == (2, Fraction(1, 2), 16), "4 in wide, its upper edge at 20"
    assert not [problem for problem in problems if "warning" not in problem]


def test_spread_and_evenly(tmp_path: Path) -> None:
    # Five rails 4 in wide (along z) from 0 to 40. Evenly: (40 - 5 * 4) / 6 = 10/3 between them and at both ends.
    # Spread: (40 - 20) / 4 = 5 between them, the outer ones touch.
    for word, first, step in (("evenly", Fraction(10, 3), Fraction(22, 3)), ("spread", Fraction(0), Fraction(9))):
        text = HEAD + RAIL + f"      R1..R5: {{x: FL.right to FR.left, y: 0, z: {word} from 0 to 40}}\n"
        build, _ = read(tmp_path, text)
        assert [corner(build, f"R{i}")[2] for i in range(1, 6)] == [first + step * i for i in range(5)]


def test_a_run_may_be_the_mirror_image_of_a_run(tmp_path: Path) -> None:
    # Three rails 4 in high in 20 in leave 8 in, 2 in for each of four gaps: they stand at 2, 8, 14 and, mirrored about
    # y = 8, one inch thick at 1/2, lie from 14 1/2 to 15 1/2.
    rails = "      R1..R3: {x: FL.right to FR.left, y: 1/2, z: evenly from 0 to 20}\n"
    rails += "      Q1..Q3: {mirror: R1..R3 across y at D / 2}\n"
    build, _ = read(tmp_path, HEAD + RAIL + rails)
    assert [corner(build, f"Q{n}") for n in (1, 2, 3)] == [(2, Fraction(29, 2), z) for z in (2, 8, 14)]


def test_a_long_circle_is_told_in_few_words(tmp_path: Path) -> None:
    rails = "".join(f"      R{n}: {{x: R{(n + 1) % 300}.right, y: 0, z: 0}}\n" for n in range(300))
    _, problems = read(tmp_path, HEAD + RAIL.replace("width: 4\n", "width: 4\n    length: 9\n") + rails)
    told = [problem for problem in problems if "circle" in problem]
    assert len(told) == 1
    assert "needs x of 'R1'" in told[0]
    assert "needs x of 'R0'" in told[0]
    assert told[0].count(" needs ") < 12


@pytest.mark.parametrize("parts", [("999983", "999979"), ("1000003", "1000033")])
def test_places_without_a_common_measure_still_touch_and_are_drawn(tmp_path: Path, parts: tuple[str, str]) -> None:
    """Sides at 1/p and 1/q with p and q prime: no whole number of ticks divides both and fits 64 bits."""
    p, q = parts
    rails = f"      R: {{x: FL.right to FR.left, y: 1/{p} + 1/2, z: 1/{q} + 1}}\n"
    rails += "      Q: {x: R.left to R.right, y: R.front, z: R.top}\n"
    rails += f"      P: {{x: R.left to R.right, y: 10, z: 1/{q} / 7}}\n"
    joints = "joints: {j: {kind: mortise and tenon, from: rail, into: leg, thickness: 3/8, length: 1, width: 3},\n"
    joints += "  k: {kind: edge joint, pieces: [R into Q]}}\n"
    _, problems = read(tmp_path, HEAD + RAIL + rails + joints)
    assert not any("joint" in problem and "apart" in problem for problem in problems), problems
    outcome = render(Request(str(tmp_path / "b.yaml"), only=("exploded", "piece-drawings")), str(tmp_path / "out"))
    assert (tmp_path / "out" / "exploded.pdf").is_file(), outcome.problems


def test_centred_on(tmp_path: Path) -> None:
    build, _ = read(tmp_path, HEAD + RAIL + "      R: {x: FL.right to FR.left, y: centred on D / 2, z: 3}\n")
    assert corner(build, "R")[1] == Fraction(15, 2), "1 in thick about the middle of 16"


def test_one_line_of_joinery_stands_for_every_place_where_they_touch(tmp_path: Path) -> None:
    text = (
        HEAD
        + RAIL
        + "      RF: {x: FL.right to FR.left, y: 1/2, z: to FL.top}\n"
        + "      RB: {x: BL.right to BR.left, y: to BL.back - 1/2, z: to BL.top}\n"
        + "joints: {j: {kind: mortise and tenon, from: rail, into: leg, thickness: 3/8, length: 1}}\n"
    )
    build, problems = read(tmp_path, text)
    found = {(m.entering, m.receiving, m.end) for _, m in build.meetings()}
    # End A of a piece that runs along x is its left end unless the build says otherwise.
    assert found == {("RF", "FL", End.A), ("RF", "FR", End.B), ("RB", "BL", End.A), ("RB", "BR", End.B)}
    assert not problems


@pytest.mark.parametrize(
    ("rail", "expected"),
    [
        ("R: {x: FL.right to FR.lft, y: 0, z: 0}", ["'FR' has no face called 'lft'; did you mean 'left'?"]),
        ("R: {x: FX.right to FR.left, y: 0, z: 0}", ["no piece is marked 'FX'"]),
        ("R: {x: FL.top to FR.left, y: 0, z: 0}", ["'FL.top' is a place along z, not along x"]),
        ("R: {x: FR.left to FL.right, y: 0, z: 0}", ["'R' runs from 38 in to 2 in"]),
        ("R: {x: FL.right to FR.left, y: 0}", ["'R' lacks its z"]),
        ("R: {x: 2, y: 0, z: 0}", ["'rail' lacks 'length'"]),
        ("R: {x: FL.right to R.left, y: 0, z: 0}", ["places go round in a circle"]),
        ("R9..R1: {x: FL.right to FR.left, y: 0, z: 0}", ["'R9..R1' is a run of no pieces"]),
        ("R: {mirror: FL across x at 3}", ["'FL' is no other piece of 'rail'"]),
        ("R: {mirror: nothing}", ["'nothing' is not a mirror image"]),
        ("R: {x: FL.right to FR.left, y: 0, z: 0, end A: top}", ["end A of 'R' cannot look top"]),
        ("R1..R9: {x: FL.right to FR.left, y: 0, z: spread from 0 to 20}", ["9 × 4 in do not fit into 20 in"]),
    ],
)
def test_what_is_wrong_with_a_place_is_told_at_its_line(tmp_path: Path, rail: str, expected: list[str]) -> None:
    text = HEAD + RAIL + f"      {rail}\n"
    line = text[: text.index(rail)].count("\n") + 1
    _, problems = read(tmp_path, text)
    errors = [problem for problem in problems if "warning" not in problem]
    for words in expected:
        assert any(words in problem for problem in errors), (words, errors)
    lines = {int(problem.split(":")[0]) for problem in errors}
    assert lines <= {line, text[: text.index("rail:")].count("\n") + 1}, errors


def test_a_size_that_is_given_twice_and_differs_names_both_lines(tmp_path: Path) -> None:
    rail = RAIL.replace("    width: 4\n", "    width: 4\n    length: 30\n")
    text = HEAD + rail + "      R: {x: FL.right to FR.left, y: 0, z: 0}\n"
    _, problems = read(tmp_path, text)
    said = text[: text.index("length: 30")].count("\n") + 1
    words = f"length of 36 in from its place, 30 in from line {said}"
    assert any(words in problem for problem in problems), problems


def test_pieces_that_overlap_without_a_joint(tmp_path: Path) -> None:
    _, problems = read(tmp_path, HEAD + RAIL + "      R: {x: FL.left to FR.left, y: 1/2, z: to FL.top}\n")
    # The rail runs 2 in into the leg, 1 in thick, 4 in wide.
    assert any("'FL' and 'R' overlap by 2 in x 1 in x 4 in" in problem for problem in problems), problems


def test_a_joint_of_pieces_that_do_not_touch_says_how_far_apart_they_are(tmp_path: Path) -> None:
    text = (
        HEAD
        + RAIL
        + "      R: {x: FL.right + 1/2 to FR.left, y: 1/2, z: to FL.top}\n"
        + "joints: {j: {kind: mortise and tenon, pieces: [R into FL], thickness: 3/8, length: 1}}\n"
    )
    _, problems = read(tmp_path, text)
    assert any("R and FL are 1/2 in apart" in problem for problem in problems), problems


def test_a_gap_of_a_64th_is_a_near_miss(tmp_path: Path) -> None:
    _, problems = read(tmp_path, HEAD + RAIL + "      R: {x: FL.right + 1/64 to FR.left, y: 1/2, z: to FL.top}\n")
    assert any("'FL' and 'R' miss each other by 1/64 in" in problem for problem in problems), problems


def test_cut_lengths_of_the_bench_by_hand() -> None:
    """Width 44, overhang 1, leg 1-3/4, depth 15, height 18, top 7/8.

    Long rail: 44 - 2 * 1 - 2 * 1-3/4 = 38-1/2 between shoulders; two tenons of 1-1/4 make 41; 1 in for milling 42.
    Short rail: 15 - 2 - 3-1/2 = 9-1/2; two tenons of 11/16 make 10-7/8; rough 11-7/8.
    The short rails stand 1/4 in from the outside of the legs and are 7/8 thick: the left one ends at
    1 + 1/4 + 7/8 = 2-1/8, the right one begins at 44 - 2-1/8 = 41-7/8. Stretcher: 39-3/4 between them; let in 1/4 at
    each end 40-1/4; rough 41-1/4. Leg: 18 - 7/8 = 17-1/8, no tenon, rough 18-1/8. Top: 44, rough 45.
    """
    from shopdocs.work.cut_list import cut_groups
    from shopdocs.work.scene.in_space import space_of
    from shopdocs.work.space.drilled import drilled

    build, shop, problems = check_build(str(SAMPLES / "threshold_bench" / "build.yaml"))
    assert build is not None and not problems
    rows = {
        row.part.name: row
        for group in cut_groups(build, shop, space_of(build, drilled(build, shop)))
        for row in group.rows
    }
    by_hand = {
        "leg": ("17.125", "17.125", "18.125"),
        "long rail": ("38.5", "41", "42"),
        "short rail": ("9.5", "10.875", "11.875"),
        "stretcher": ("39.75", "40.25", "41.25"),
        "top": ("44", "44", "45"),
    }
    for name, lengths in by_hand.items():
        row = rows[name]
        found = tuple(size.length for size in (row.finished, row.joinery, row.rough))
        assert found == tuple(Length.inches(length) for length in lengths), name


def test_order_of_a_long_chain_is_no_deep_recursion() -> None:
    needs = {str(i): [str(i + 1)] for i in range(50_000)} | {"50000": []}
    ordered, circles = in_order(needs)
    assert not circles
    assert ordered == [str(i) for i in range(50_000, -1, -1)]


def test_what_hangs_on_a_circle_is_in_no_order_and_the_circle_is_told_once() -> None:
    ordered, circles = in_order({"a": ["b"], "b": ["a"], "c": ["a"], "d": []})
    assert ordered == ["d"]
    assert circles == [["a", "b"]]


def test_a_joint_of_pieces_far_apart_says_it_along_every_axis(tmp_path: Path) -> None:
    """The legs are 2 square, FL from 0 and BR from 38 and 14: 36 and 12 between them. R at 60, far from all of them, is
    60 - 40 = 20 from those at the right, and 30 - 20 = 10 above them."""
    away = "      R: {x: 60 to 70, y: 0, z: 30}\n"
    text = HEAD + RAIL + away + "joints:\n  j: {kind: housing, pieces: [FL into BR], depth: 1/4}\n"
    _, problems = read(tmp_path, text + "  k: {kind: housing, from: rail, into: leg, depth: 1/4}\n")
    assert any("FL and BR are 36 in apart left to right, 12 in front to rear; let" in problem for problem in problems)
    nearest = "the nearest, 'R' and 'FR', are 20 in apart left to right, 10 in bottom to top; check"
    assert any(nearest in problem for problem in problems), problems


def test_every_meeting_that_cannot_be_is_told_by_itself(tmp_path: Path) -> None:
    pieces = "      R: {x: FL.right + 1 to FR.left - 1, y: 1/2, z: to FL.top}\n"
    joints = "joints:\n  j:\n    kind: housing\n    depth: 1/4\n    pieces:\n      - R into FL\n      - R into FR\n"
    _, problems = read(tmp_path, HEAD + RAIL + pieces + joints)
    assert sum("in apart left to right; let their faces touch" in problem for problem in problems) == 2


@pytest.mark.thorough
def test_one_line_of_joinery_over_hundreds_of_places_tells_its_doubt_once(tmp_path: Path) -> None:
    """300 slats stand on one rail, each with a tenon too thick for it."""
    text = (
        "build: {title: Trial, mark: T, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 60}}\nparts:\n"
        "  rail: {material: oak, size: 30 x 60 x 4000, runs: {length: x, width: y}, pieces: {R: {x: 0, y: 0, z: 0}}}\n"
        "  slat: {material: oak, size: 10 x 10 x 300, runs: {length: z, width: x},\n"
        "         pieces: {S1..S300: {x: evenly from R.left to R.right, y: centred on 30, z: R.top}}}\n"
        "joints: {j: {kind: mortise and tenon, from: slat, into: rail, thickness: 12, length: 15}}\n"
    )
    build, problems = read(tmp_path, text)
    assert build is not None
    assert len(build.joints[0].meetings) == 300
    assert len([problem for problem in problems if "S1 only 10 mm; a third of it is common: 3 mm" in problem]) == 1
    assert len(problems) <= 3, problems


def test_many_parts_with_one_initial_get_marks_of_their_own(tmp_path: Path) -> None:
    parts = "".join(f"  k{n}: {{material: ash 12/4, size: 1 x 2 x 9, count: 2}}\n" for n in range(120))
    build, problems = read(tmp_path, HEAD + parts)
    assert not any("mark" in problem for problem in problems), problems
    marks = [piece.mark.casefold() for _, piece in build.pieces()]
    assert len(marks) == len(set(marks)) == 4 + 240


def test_what_a_joint_adds_and_that_runs_into_a_third_piece_is_told_in_words(tmp_path: Path) -> None:
    rails = "      R: {x: FL.right to FR.left, y: 1/2, z: to FL.top}\n      Q: {x: to FL.left, y: 1/2, z: to FL.top}\n"
    joints = "joints: {j: {kind: through tenon, pieces: [R into FL], thickness: 3/8, width: 2, proud: 3}}\n"
    _, problems = read(tmp_path, HEAD + RAIL + rails + joints)
    assert any("'R' and 'Q' overlap by what a joint adds to one of them" in problem for problem in problems), problems


def test_the_centre_of_a_piece_stands_for_half_of_both_its_faces(tmp_path: Path) -> None:
    """By hand: between plumb legs 0 to 2 and 38 to 40 the middle of the left one is 1, so that a rail 1 thick in the
    middle of its depth begins at 0.5. A leg that leans 1 in 4 outward from 3 under a seat 20 high stands, 8 above the
    floor, 12 / 4 = 3 farther out: its middle is 0 there. A size has no direction to take a centre along."""
    rail = "      R: {x: FL.right to FR.left, y: centred on FL.centre, z: 3}\n"
    build, problems = read(tmp_path, HEAD + RAIL + rail)
    assert [text for text in problems if "warning" not in text] == []
    corner = next(piece.place.corner for _, piece in build.pieces() if piece.mark == "R" and piece.place)
    assert corner == (Length.inches(2), Length.inches("0.5"), Length.inches(3))
    leaning = HEAD.replace("size: leg x leg x 20", "thickness: 2\n    width: 2").replace(
        "FL: {x: 0, y: 0, z: 0}", "FL: {x: centred on 3, y: centred on 3, z: 0 to 20, lean: {splay: 1 in 4}}"
    )
    rail = RAIL.replace("length: x", "length: y")
    rail += "      R: {x: centred on FL.center, y: FL.back to BL.front, z: centred on 8}\n"
    build, problems = read(tmp_path, leaning + rail)
    assert [text for text in problems if "warning" not in text] == []
    corner = next(piece.place.corner for _, piece in build.pieces() if piece.mark == "R" and piece.place)
    assert corner[0] == Length.inches("-0.5")
    _, problems = read(tmp_path, HEAD + RAIL.replace("width: 4", "width: FL.centre") + rail.splitlines()[-1] + "\n")
    assert any("'FL' has no face called 'centre'" in text for text in problems)
