"""Wrong ways and wrong pieces, stage by stage, against rotated meshes of another geometry library."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.documents.fitting.turned import told_of, ways_of
from shopdocs.documents.job import Job
from shopdocs.documents.look_alikes import look_alikes, way_words
from shopdocs.pipeline import propose_stages
from tests.leaning_stools import Stool
from tests.sample_jobs import PLACED, job_of
from tests.values import replace
from tests.work.order.brute_force import Brute, exchanged, gets, named_pairs, told, told_exchanged
from tests.work.order.random_builds import assembled

SAMPLES = Path(__file__).parents[3] / "sample_builds"
JOBS: dict[str, Job] = {}


def job(name: str) -> Job:
    if name not in JOBS:
        JOBS[name] = job_of(SAMPLES / name / "build.yaml")
    return JOBS[name]


def ways(name: str, mark: str) -> list[tuple[str, int, int | None]]:
    alike = job(name).alike
    assert alike is not None
    return [(one.way.words, one.stage, one.found) for one in alike.mistakes(mark)]


@pytest.mark.parametrize(("mark", "stage"), [("RL", 1), ("RR", 2)])
def test_the_end_rails_of_the_bench(mark: str, stage: int) -> None:
    """Worked out on the real rail: two equal tenons, so it goes into its legs four ways. Its housing for the stretcher
    must face inside and down; three ways put it outside or on top, and only the stretcher, at stage 3, would tell."""
    assert len(ways("threshold_bench", mark)) == 3
    assert {(one, found) for _, one, found in ways("threshold_bench", mark)} == {(stage, 3)}


def test_top_bottom_and_side_of_the_cabinet() -> None:
    """Top and bottom have one rabbet, at the rear and inside: of four ways three are wrong, and only the back, which is
    put on after the glue, would tell. The left side upside down has its housings elsewhere: the shelves tell, stage
    3."""
    for mark in ("TP", "BT"):
        assert [(stage, found) for _, stage, found in ways("spice_cabinet", mark)] == [(2, 0)] * 3
    assert ways("spice_cabinet", "L") == [("upside down", 2, 3)]


def test_the_back_of_the_cabinet_is_told_by_its_slots() -> None:
    """Two slots right through, as far from the left as from the right: half a turn about the upright is harmless."""
    alike = job("spice_cabinet").alike
    assert alike is not None
    assert all("upside down" in words for words, _, _ in ways("spice_cabinet", "BK"))
    assert [way.seen for way in ways_of(alike, "BK")] == ["screw holes nearer the top"]


def test_drawers_of_the_potting_table() -> None:
    """The pins of a drawer's back slope: end for end their cheeks would clash with the tails. Its bottom is a plain
    rectangle of plywood: it goes in every way, and every way is right."""
    for mark in ("DB1", "DB2", "DM1", "DM2", "DF1", "SL1", "SR1"):
        assert ways("potting_table", mark) == []


def test_handed_drawer_sides_do_not_go_in_for_each_other() -> None:
    """Lapped tails at the front, through ones at the rear, and the groove inside: a left side does not go in right."""
    alike = job("potting_table").alike
    assert alike is not None
    assert alike.swap("SL1", "SR1") is None
    assert alike.swap("SR1", "SL1") is None


def test_a_swapped_leg_is_found_when_the_frame_goes_on() -> None:
    """Rear legs of the bench are mirror images; each goes into its end rail's tenon, and the long rail finds it."""
    alike = job("threshold_bench").alike
    assert alike is not None
    swap = alike.swap("BL", "BR")
    assert swap is not None
    assert (swap.stage, swap.found) == (2, 3)


def told_swap(name: str, one: str, two: str) -> tuple[int, int | None] | None:
    """The stage of a swap that is told, and the one that finds it."""
    alike = job(name).alike
    assert alike is not None
    (swap,) = [other.swap for other in alike.others(one) if two in other.marks] or [None]
    return None if swap is None else (swap.stage, swap.found)


def test_who_swaps_two_pieces_finds_the_other_left_over() -> None:
    """By hand. The front rails of the potting table lie one above the other: FU has one mortise, for the muntin; FD has
    that and three more, for the runners. FD goes in above, but the runners of the same stage find no mortise in FU.
    The rails of the plate rack's two frames, glued up one after the other: BD is grooved for the back in its face edge,
    BU in its far edge, FU and FD not at all. All go in for each other, and the back does not slide into what has no
    groove at stage 5; the front rails miss nothing but the pilots of the hooks."""
    assert told_swap("potting_table", "FU", "FD") is None
    assert told_swap("potting_table", "FD", "FU") is None
    for one, two in (("BU", "FU"), ("BD", "BU"), ("BU", "FD"), ("FU", "BD")):
        assert told_swap("plate_rack", one, two) == (3, 5)
    assert told_swap("plate_rack", "BD", "FD") == (4, 5)  # both of the frame that is glued up after the other
    assert told_swap("plate_rack", "FU", "FD") == (3, None)


def test_a_leg_of_the_bench_on_the_wrong_mortise() -> None:
    """By hand. Both mortises of a leg begin at its top and are as long; their middles lie 1/4 + 7/16 = 11/16 in from
    its outside. Turned a quarter round, the one for the long rail faces the short one, its middle 11/16 in from the
    inside of the leg; the tenon is in it, 11/16 in from the outside, and so the leg stands 1-3/4 - 2 * 11/16 = 3/8 in
    too far out. The frame tells, stage 3."""
    for mark, out in (("FL", "-3/8"), ("BL", "-3/8"), ("FR", "3/8"), ("BR", "3/8")):
        alike = job("threshold_bench").alike
        assert alike is not None
        (one,) = alike.mistakes(mark)
        assert (one.way.words, one.way.out, one.found) == ("a quarter turn", (0, inches(out)), 3)


def test_a_tapered_leg_on_the_wrong_mortise() -> None:
    """By hand, as above: middles 8 + 24/2 = 20 mm from the outside of a leg of 48, which stands 48 - 2 * 20 = 8 mm too
    far out. Upside down its taper, 28 of 48 left, has no wood where the tenon would be."""
    alike = job("sorting_table").alike
    assert alike is not None
    told = [(one.way.words, one.way.out, one.found) for one in alike.mistakes("FL")]
    assert told == [("a quarter turn", (0, -Length(8)), 3)]


def test_posts_and_rails_of_the_plate_rack_upside_down() -> None:
    """By hand. End rails begin 5 and 18-1/4 in up a post of 24 and are 1-1/2 wide: from its top it is 4-1/4 and 17-1/2
    to them, so that upside down the post sits 3/4 in too high. Slats begin 7/8 in over the lower edge of a rail of 2
    and are 1/2 thick, 5/8 under the upper one: upside down it sits 1/4 in too high. Stage 5 tells."""
    for mark, stage, out in (("LF", 1, "3/4"), ("RB", 2, "3/4"), ("FU", 3, "1/4"), ("FD", 4, "1/4")):
        alike = job("plate_rack").alike
        assert alike is not None
        told = {(m.stage, m.found) for m in alike.mistakes(mark) if m.way.out == (2, inches(out))}
        assert told == {(stage, 5)}
        assert all("upside down" in m.way.words for m in alike.mistakes(mark) if m.way.out is not None)


def test_what_the_sheet_says_of_a_piece_out_of_line() -> None:
    lines = told_of(job("plate_rack").alike, "FU")  # type: ignore[arg-type]
    assert [way_words(job("plate_rack"), way) for way in lines] == [
        "face edge up; mortises nearer the top. Also fits the wrong way, upside down (¹⁄₄ in too high): found only at "
        "stage 5, Final glue-up, after 30 h in the clamps."
    ]


def inches(words: str) -> Length:
    return Length.inches(words) if words[0] != "-" else -Length.inches(words[1:])


TEES = """
build: {title: Two tees, mark: TT, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 60}}
parts:
  post:
    material: oak
    size: 40 x 40 x 300
    runs: {length: z, width: x}
    pieces: {A: {x: 0, y: 0, z: 0}, B: {x: 0, y: 300, z: 0}}
  arm:
    material: oak
    size: 20 x 30 x 200
    runs: {length: x, width: z}
    pieces: {C: {x: 40, y: 10, z: 100}, D: {x: 40, y: 310, z: 108}}
joints: {arms: {kind: mortise and tenon, pieces: [C into A, D into B], thickness: 8, length: 20}}
gluing: {adhesive: yellow PVA, stages: [{title: One, pieces: [A, C]}, {title: Other, pieces: [B, D]}]}
"""


def test_a_post_in_the_place_of_another(tmp_path: Path) -> None:
    """By hand. Arms at 100 and at 108 up two posts alike: each post takes the other's arm, and its foot is 8 off the
    other's then. Nothing stops either of them; told is what is glued first, B in the place of A, whose mortise is 8
    lower."""
    path = tmp_path / "build.yaml"
    path.write_text(TEES, "utf-8")
    work = job_of(path)
    assert work.alike is not None
    (swap,) = [other.swap for other in work.alike.others("A") if other.swap is not None]
    assert (swap.mark, swap.place, swap.found, swap.out) == ("B", "A", None, (2, -Length(8)))
    other = work.alike.swap("A", "B")
    assert other is not None and (other.found, other.out) == (None, (2, Length(8)))
    tables = [block for block in walk(look_alikes(work).blocks) if isinstance(block, Table)]
    rows = [row for table in tables for group in table.groups for row in group.rows]
    told = [[plain(cell.text) for cell in row.cells] for row in rows]
    way = "swapped: different joints (B for A sits 8 mm too low)"
    assert [cells[1] for cells in told if cells[0] == "A, B"] == [way]


# By brute force, with meshes of another library.

SQUARE = [folder.name for folder in PLACED if folder.name != "loft_stool"]


@pytest.mark.thorough
@pytest.mark.parametrize("name", SQUARE)
def test_mistakes_by_brute_force(name: str) -> None:
    """For every piece and every rotation that brings its stock back into its place with the grain along: it is a
    mistake of its stage exactly where it goes in, and yet is another piece of wood then."""
    work = job(name)
    assert work.space is not None and work.alike is not None
    brute = Brute(work)
    tried: set[object] = set()
    for mark, piece in work.space.pieces.items():
        meets = work.alike.meets(mark)
        key = (piece.part, meets.numbers, len(meets.groups[0]), frozenset(f.joint for f in piece.features))
        if key not in tried:
            assert told(work, mark) == sorted(map(str, brute.mistakes(mark))), mark
            tried.add(key)
    assert len(tried) > 5


@pytest.mark.thorough
@pytest.mark.parametrize("name", SQUARE)
def test_swaps_by_brute_force(name: str) -> None:
    """Look-alikes are all pieces of one stock and size that no rotation makes the same; of some of them, how far one
    gets in the place of the other. All of them are tried in `tests/bench/wrong_ways.py`."""
    brute = Brute(job(name))
    pairs = list(brute.alike_pairs())
    assert {frozenset(pair) for pair in pairs} == named_pairs(brute.alike)
    both = [way for pair in pairs for way in (pair, pair[::-1])]
    for mark, place in random.Random(name).sample(both, min(4, len(both))):
        assert gets(brute.alike, mark, place) == brute.swap(mark, place), (mark, place)
    assert both


@pytest.mark.thorough
@pytest.mark.parametrize("seed", [13, 15])
def test_random_builds_by_brute_force(seed: int, tmp_path: Path) -> None:
    """Posts, rails and panels put together at random, in the stages that are proposed for them. More of them are tried
    in `tests/bench/wrong_ways.py`."""
    path = tmp_path / "build.yaml"
    text = assembled(seed).text()
    path.write_text(text, "utf-8")
    path.write_text(text + propose_stages(str(path))[1], "utf-8")
    work = job_of(path)
    assert work.alike is not None
    brute = Brute(work)
    for mark in brute.space.pieces:
        assert told(work, mark) == sorted(map(str, brute.mistakes(mark))), mark
    pairs = list(brute.alike_pairs())
    for one, two in pairs:
        assert gets(work.alike, one, two) == brute.swap(one, two), (one, two)
    for kinds, found in exchanged(brute, pairs).items():
        assert told_exchanged(work.alike, kinds) == found, kinds


# What leans, and what has round tenons.


def test_no_leg_of_the_stool_goes_in_wrong() -> None:
    """By hand. A leg is sawn level at its top 10° and 6° off square; turned a quarter or half about its tenon, or in
    the place of a neighbour, which leans the other way, its shoulder stands 12 to 23° off the seat. Upside down it has
    no tenon there. A side stretcher turned half round shows the middle one its whole side, and all go in at one stage;
    the middle one is the same all round and from end to end."""
    alike = job("loft_stool").alike
    assert alike is not None
    assert [mark for mark in alike.kind_of if alike.mistakes(mark)] == []
    assert [other for mark in alike.kind_of for other in alike.others(mark) if other.swap is not None] == []
    words = repr(look_alikes(job("loft_stool")).blocks)
    assert "No piece can be taken for another" in words and "not tried" not in words


RUNG = """
build: {title: Raked ends, mark: RE, units: mm}
materials: {ash: {kind: hardwood, species: white ash, rough: 60}}
parts:
  post:
    material: ash
    thickness: 40
    width: 40
    runs: {length: z, width: x}
    pieces:
      L: {x: centred on 60, y: centred on 300, z: 0 to 400, lean: {rake: 1 in 10 front}}
      R: {mirror: L across x at 300}
  rung: {material: ash, thickness: 20, width: 30, runs: {length: x, width: z},
    pieces: {A: {x: L.right to R.left, y: centred on 281, z: centred on 210}}}
joints: {rungs: {kind: round tenon, from: rung, into: post, thickness: 14, length: 20, room: 2}}
gluing: {adhesive: slow epoxy, stages: [{title: One, pieces: [L, R, A]}]}
"""


@pytest.mark.thorough
def test_a_raked_post_upside_down(tmp_path: Path) -> None:
    """By hand. Along a post that rakes 1 in 10 the rung, 210 up, is 210 * sqrt(1.01) = 211.05 from the foot and 190.95
    from the top. Turned about the left-right line its ends are level again and its mortise looks the same way: it sits
    20.1 too far up its own length, and nothing stops it."""
    path = tmp_path / "build.yaml"
    path.write_text(RUNG, "utf-8")
    work = job_of(path)
    assert work.alike is not None
    for mark in "LR":
        ((way, found),) = [(one.way, one.found) for one in work.alike.mistakes(mark)]
        assert found is None and way.words == "upside down, back to front" and way.out is not None
        assert way.out[0] == 2 and way.out[1].float_mm() == pytest.approx(20 * 1.01**0.5, abs=0.003)
        assert told(work, mark) == sorted(map(str, Brute(work).mistakes(mark)))


UNEVEN = Stool(
    wide=440, deep=310, high=380, seat=36, leg=(42, 42), inset=(82, 82), splay=8, rake=0, top=20, blind=None,
    rail=(18, 26), level=(140, 148), tenon=14, long=18, middle=None, staged=2,
)  # fmt: skip


def test_a_splayed_leg_on_the_rail_of_the_other_side(tmp_path: Path) -> None:
    """By hand. Side rails at 140 and 148, the rails first and then the seat, on legs that splay 1 in 8. In the place of
    FR the hole of FL lies 8 too low, 8 * sqrt(1 + 1/64) = 8.062 along the leg, so the leg stands that much too high:
    the seat does not come down. FR in the place of FL stands as much too low, and nothing stops it. Whoever swaps them
    finds it with the seat."""
    path = tmp_path / "build.yaml"
    path.write_text(UNEVEN.text(), "utf-8")
    work = job_of(path)
    assert work.alike is not None
    for mark, place, out, found in (("FL", "FR", 8, 2), ("FR", "FL", -8, None)):
        swap = work.alike.swap(mark, place)
        assert swap is not None and swap.out is not None
        assert (swap.stage, swap.found, swap.out[0]) == (1, found, 2)
        assert swap.out[1].float_mm() == pytest.approx(out * (1 + 1 / 64) ** 0.5, abs=0.003)
    (told_of,) = [other.swap for other in work.alike.others("FL") if "FR" in other.marks]
    assert told_of is not None and (told_of.stage, told_of.found) == (1, 2)


# A stool whose legs stand plumb: the holes through its seat are the same from below.
PLUMB = replace(UNEVEN, splay=0, level=(140, 140), staged=0)


def test_a_seat_bored_square_through_is_right_upside_down(tmp_path: Path) -> None:
    """Bored from below and not through it does not go on upside down at all: neither is a mistake."""
    path = tmp_path / "build.yaml"
    for blind in (None, 22):
        path.write_text(replace(PLUMB, blind=blind).text(), "utf-8")
        work = job_of(path)
        assert work.alike is not None
        assert work.alike.mistakes("S") == ()
        assert ("upside down" in work.alike.fitting.same_ways("S")[0]) == (blind is None)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", [3])
def test_random_stools_by_brute_force(seed: int, tmp_path: Path) -> None:
    """Legs that lean, rails with round tenons or at a shoulder off square, glued up in one, two or three stages. More
    of them are tried in `tests/bench/wrong_ways.py`."""
    path = tmp_path / "build.yaml"
    path.write_text(Stool.at_random(seed).text(), "utf-8")
    work = job_of(path)
    assert work.alike is not None
    brute = Brute(work)
    for mark in ("FL", "SL"):
        assert told(work, mark) == sorted(map(str, brute.mistakes(mark))), mark
    pairs = list(brute.alike_pairs())
    assert {frozenset(pair) for pair in pairs} == named_pairs(brute.alike)
    for one, two in random.Random(seed).sample(pairs, min(1, len(pairs))):
        assert gets(work.alike, one, two) == brute.swap(one, two), (one, two)
