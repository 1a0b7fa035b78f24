"""Orders of assembly, held against simulation: every printed move is made again in small steps, wood against wood, and
where no order is found none exists among all ways of taking a few solids apart."""

from __future__ import annotations

import random
import re
from collections.abc import Iterable, Sequence
from functools import cache
from itertools import combinations, product
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest

from shopdocs.blocks.sheets import Together
from shopdocs.blocks.text import Checklist, Gauge, Heading, Stop, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.box import Box, Corner
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import Job, make_job
from shopdocs.model.joining import JointKind
from shopdocs.pipeline import check_build
from shopdocs.pipeline.checking import checked
from shopdocs.work.order.closing import MOST_THINGS, Outcome, order_of
from shopdocs.work.order.stages import StageWork
from shopdocs.work.order.straight import WAYS, Link, Way, straight_order
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import FeatureKind
from tests.sample_jobs import job_of
from tests.work.order.replay import faults
from tests.work.scenes import apart, random_solid

SAMPLES = Path(__file__).parents[3] / "sample_builds"
PLACED = ("threshold_bench", "spice_cabinet", "potting_table")


@cache
def sample(name: str, *changes: tuple[str, str]) -> Job:
    """A sample, with some words of its file changed."""
    path = SAMPLES / name / "build.yaml"
    if changes:
        words = path.read_text("utf-8")
        for old, new in changes:
            assert words.count(old) == 1
            words = words.replace(old, new)
        with TemporaryDirectory() as folder:
            path = Path(folder) / "build.yaml"
            path.write_text(words, "utf-8")
            build, shop, problems = check_build(str(path))
    else:
        return job_of(path)
    assert build is not None, problems
    return make_job(build, shop, build.display, "", "letter-30")


def corners(solids: Iterable[Solid]) -> tuple[np.ndarray, np.ndarray]:
    cells = [cell for solid in solids for cell in solid.cells]
    return np.array([cell.lo for cell in cells]), np.array([cell.hi for cell in cells])


def runs_free(moving: Sequence[Solid], standing: Sequence[Solid], toward: Way, step: int) -> bool:
    """Whether solids come from far away toward their place in small steps without ever sharing wood with others."""
    axis, high = toward
    everything = Box.around(solid.bounds for solid in (*moving, *standing))
    far = 2 * everything.size[axis]
    (mine_lo, mine_hi), (lo, hi) = corners(moving), corners(standing)
    back = np.arange(0, far + step, step) * (-1 if high else 1)
    for a, b in zip(mine_lo, mine_hi, strict=True):
        beside = np.ones(len(lo), dtype=bool)
        for k in range(3):
            if k != axis:
                beside &= (a[k] < hi[:, k]) & (lo[:, k] < b[k])
        if ((a[axis] + back[:, None] < hi[beside, axis]) & (lo[beside, axis] < b[axis] + back[:, None])).any():
            return False
    return True


@pytest.mark.parametrize("name", PLACED)
def test_every_printed_order_replayed_with_swept_wood(name: str) -> None:
    """The same by another geometry library, slopes included; every glued joint closes in exactly one move."""
    work = checked(str(SAMPLES / name / "build.yaml"), None).work
    assert work is not None
    assert list(faults(work)) == []


@pytest.mark.parametrize("name", PLACED)
def test_every_printed_order_can_be_put_together(name: str) -> None:
    """The pieces of each stage are laid down and moved as printed, in steps of half a millimetre; each joint of the
    stage closes once, in the move that brings its second piece."""
    job = sample(name)
    assert job.space is not None
    solids = dict(zip(job.space.pieces, job.space.scene.solids, strict=True))
    step = max(1, job.space.scene.ticks.per_mm // 2)
    for work in job.stages:
        assert work.order.outcome is Outcome.FOUND
        lying: set[str] = set()
        closed: list[int] = []
        ready = {old.stage.title: old.things.get(old.stage.title, ()) for old in job.stages[: work.number - 1]}
        for closing in (*work.order.closings, *work.order.later):
            moving = set(closing.marks)
            if closing.onto:
                standing = [mark for thing in closing.onto for mark in ready.get(thing, (thing,))]
                assert set(standing) <= lying
                others = [solids[mark] for mark in lying - moving if mark in clump(standing, work, lying)]
                assert runs_free([solids[mark] for mark in moving], others, closing.toward, step), closing
                closes = [
                    m.number
                    for _, m in work.meetings
                    if {m.entering, m.receiving} <= lying | moving and (m.entering in moving) != (m.receiving in moving)
                ]
                assert sorted(m.number for _, m in closing.joints) == sorted(closes)
                closed += closes
            lying |= moving
        assert sorted(closed) == sorted(meeting.number for _, meeting in work.meetings)


def clump(standing: Sequence[str], work: StageWork, lying: set[str]) -> set[str]:
    """What hangs together with those that are moved onto; two drawers of one stage lie apart."""
    tied = [{m.entering, m.receiving} for _, m in work.meetings] + [set(marks) for marks in work.things.values()]
    if work.stage.uses:
        return lying
    reached = set(standing)
    while more := {mark for pair in tied if pair & reached for mark in pair & lying} - reached:
        reached |= more
    return reached


def closings(job: Job, title: str) -> list[tuple[tuple[str, ...], set[int]]]:
    work = next(work for work in job.stages if work.stage.title == title)
    return [(c.what, {m.number for _, m in c.joints}) for c in (*work.order.closings, *work.order.later) if c.onto]


def test_a_panel_goes_in_before_the_last_stile_and_the_stile_closes_over_all() -> None:
    """A panel in grooves of both stiles and both rails is caught as soon as the second stile is on, and the tenons of
    the rails let a stile come only along them: so rails, panel, stile, the stile over both rails and the panel."""
    steps = closings(sample("spice_cabinet"), "Door")
    marks = [what for what, _ in steps]
    assert marks.index(("DP",)) < len(marks) - 1
    assert marks[-1] == ("DR",) and steps[-1][1] == {20, 22, 24}
    assert steps[marks.index(("DP",))][1] == {23, 25, 26}


def test_housed_shelves_stand_before_the_second_side() -> None:
    """Shelves housed in both sides go into the first before the second is on; that closes over top, bottom, the rail
    and the four shelves at once."""
    steps = closings(sample("spice_cabinet"), "Shelves and right side")
    assert [what for what, _ in steps] == [("S1",), ("S2",), ("S3",), ("S4",), ("R",)]
    assert steps[-1][1] == {2, 4, 6, 8, 10, 12, 18}


def test_the_apron_closes_over_all_runners_and_the_far_end_over_all_rails() -> None:
    """Runners have tenons at both ends: the second of the two pieces they go into comes last, over all three. The same
    holds for a table between two glued ends."""
    job = sample("potting_table")
    frame = closings(job, "Drawer frame")
    assert frame[-1] == (("AB",), {14, 16, 18})
    whole = closings(job, "Whole frame")
    assert whole[-1] == (("Right end",), {6, 8, 10, 24, 26})
    assert {what for what, _ in whole[:-1]} == {("LS1",), ("LS2",), ("Drawer frame",)}


def test_dovetails_are_not_drawn_along_their_tails() -> None:
    """A tail is wider at its end than at its root, so that nothing goes in or comes out along its length."""
    job = sample("potting_table")
    assert job.space is not None
    moves = 0
    for closing in job.stages[-1].order.closings:
        for joint, meeting in closing.joints:
            assert joint.kind is JointKind.DOVETAIL
            piece = job.space.pieces[meeting.entering]
            tail = next(c for c in piece.cuboids if c.kind is FeatureKind.TAIL and c.joint == str(meeting.number))
            assert tail.flare is not None
            assert piece.pose.look_of(tail.flare.at)[0] != closing.toward[0]
            moves += 1
    assert moves == 8


def test_bottoms_that_stay_dry_have_a_place_of_their_own() -> None:
    """A bottom in grooves of both sides and the front slides in under the back when all the rest is together."""
    job = sample("potting_table")
    lists = {b.title: [plain(s.text) for s in b.steps] for b in walk(glue_up(job).blocks) if isinstance(b, Checklist)}
    every = [b for b in walk(glue_up(job).blocks) if isinstance(b, Checklist) and b.title == "With wet glue"]
    wet = [plain(step.text) for block in every for step in block.steps]
    later = lists["When the glue has set: no glue from here"]
    assert [found for words in later if (found := re.findall(r"DM\d", words))] == [["DM1", "DM2"]]
    assert not any("DM1" in words or "DM2" in words for words in wet)


def test_pieces_that_no_stage_glues_are_listed_with_what_holds_them() -> None:
    listed = {}
    for name in PLACED:
        for block in walk(glue_up(sample(name)).blocks):
            if isinstance(block, Checklist) and block.title.startswith("Without glue"):
                listed[name] = {plain(s.text): plain(s.detail) for s in block.steps}
    assert any("top button" in told for told in listed["threshold_bench"].values())
    back = next(told for words, told in listed["spice_cabinet"].items() if words.startswith("BK"))
    assert all(f"{n}\u00a0" in back for n in (13, 14, 15, 16)) and "hanging screw" not in back
    assert any("2 × hanging screw on HR" in words for words in listed["spice_cabinet"] if words.startswith("Fix it"))
    table = listed["potting_table"]
    assert any(words.startswith("Screw on TS1–TS6") and "top screw" in told for words, told in table.items())
    assert any(words.startswith("Screw on SH1–SH12") and "shelf screw" in told for words, told in table.items())
    # their heads are on the face side, which lies on top
    assert "Screw on SH1–SH12, brought in from the front; drive the screws from above" in table


def test_a_stage_without_an_order_says_so() -> None:
    """A door glued without its panel: the panel has tongues on all four sides and cannot get in."""
    late = (
        "      pieces: [DL, DR, DT, DB, DP]",
        "      pieces: [DL, DR, DT, DB]",
    )
    after = (
        "      note: No glue in the groove.",
        "    - title: Panel\n      pieces: [DP]\n      uses: [Door]\n      clamps: {bar clamp 60: 1}",
    )
    job = sample("spice_cabinet", late, after)
    (work,) = (work for work in job.stages if work.stage.title == "Panel")
    assert work.order.outcome is Outcome.LOCKED and set(work.order.locked) == {"Door", "DP"}
    assert not work.order.closings
    left = [meeting.number for _, meeting in work.order.rest]
    assert left and left == [meeting.number for _, meeting in work.meetings]
    sheet = glue_up(job)
    told = [block for block in walk(sheet.blocks) if isinstance(block, Stop)]
    assert any("No straight order was found" in block.title and "Door" in block.text for block in told)
    # nothing that could be taken for an order, and no clamps: the stage has no boxes to tick
    (page,) = [b for b in sheet.blocks if isinstance(b, Together) and any("Panel" in t for t in titles(b))]
    assert not [block for block in walk(page.blocks) if isinstance(block, Checklist | Gauge)]
    (dry,) = [b for b in walk(sheet.blocks) if isinstance(b, Checklist) and b.title.endswith("Panel")]
    assert not any("bar clamp" in plain(step.text) for step in dry.steps)


def titles(page: Together) -> list[str]:
    return [block.text for block in page.blocks if isinstance(block, Heading)]


def test_dowels_let_nothing_slide_across_them() -> None:
    """Two boards end to end: bare cuboids come together from any side, dowelled ones along the dowels only."""
    boards = [[Solid(Box((0, 0, 0), (10, 4, 2)))], [Solid(Box((10, 0, 0), (20, 4, 2)))]]
    found = straight_order(boards, [Link(1, 0, 1, bars=(1, 2), along=0)])
    assert [move.toward[0] for move in found.chains[0] if move.onto] == [0]
    free = straight_order(boards, [Link(1, 0, 1, along=1)])
    assert [move.toward[0] for move in free.chains[0] if move.onto] == [1]


@pytest.mark.parametrize(("most", "whole"), [(None, False), (2, False), (1, True)])
def test_no_more_joints_close_at_once_than_need_be(most: int | None, whole: bool) -> None:
    """Four blocks end to end, two joints at the ends and one in the middle. One by one an end closes two joints as the
    last move; where one at once is enough for two hands, the halves are made first and close the one between them."""
    blocks = [[Solid(Box((10 * k, 0, 0), (10 * k + 10, 4, 4)))] for k in range(4)]
    pairs = [(0, 1), (0, 1), (1, 2), (2, 3), (2, 3)]
    links = [Link(number, *pair, bars=(1, 2), along=0) for number, pair in enumerate(pairs, 1)]
    (chain,) = straight_order(blocks, links, most=most).chains
    last = chain[-1]
    assert (len(last.what) == 2) == whole
    assert set(last.numbers) in ([{3}] if whole else [{1, 2}, {4, 5}])
    # Dry joints keep nobody from others: the halves need not be made first.
    dry = [Link(number, *pair, dry=True, bars=(1, 2), along=0) for number, pair in enumerate(pairs, 1)]
    (chain,) = straight_order(blocks, dry, most=most).chains
    assert len(chain[-1].what) == 1


def can_be_parted(solids: Sequence[Solid]) -> bool:
    """Whether solids can be taken apart wholly, each time a group of them drawn off another: all groups, all ways."""

    @cache
    def parted(group: frozenset[int]) -> bool:
        if len(group) < 2:
            return True
        for size in range(1, len(group)):
            for part in combinations(sorted(group), size):
                rest = group - set(part)
                for axis, high in WAYS:
                    moving, standing = [solids[i] for i in part], [solids[i] for i in sorted(rest)]
                    if runs_free(moving, standing, (axis, high), 1) and parted(frozenset(part)) and parted(rest):
                        return True
        return False

    return parted(frozenset(range(len(solids))))


def hooked(rnd: random.Random, many: int = 3) -> list[Solid]:
    """Solids that often hold each other: a lump of cells shared out at random."""
    owner = {}
    for x in range(3):
        for y in range(3):
            for z in range(3):
                owner[x, y, z] = rnd.randrange(many)
    found = []
    for who in range(many):
        cells = [Box((x, y, z), (x + 1, y + 1, z + 1)) for (x, y, z), mine in owner.items() if mine == who]
        if cells:
            found.append(Solid(cells[0], tuple(cells[1:])))
    return found


def leaves_round_a_corner(moving: Sequence[Solid], others: Sequence[Solid]) -> bool:
    """Whether solids leave others off one way by so many steps, then out another way: all distances, all ways."""
    (lo, hi), (theirs_lo, theirs_hi) = corners(moving), corners(others)
    for axis, high in WAYS:
        for far in range(1, 40):
            step = np.zeros(3, dtype=int)
            step[axis] = far if high else -far
            inside = ((lo + step)[:, None] < theirs_hi) & (theirs_lo < (hi + step)[:, None])
            if inside.all(axis=2).any():
                break
            shifted = [solid.shifted((int(step[0]), int(step[1]), int(step[2]))) for solid in moving]
            if any(runs_free(shifted, others, (out, not up), 1) for out, up in WAYS if out != axis):
                return True
    return False


BOTH_AT_ONCE = [(one, two) for one, two in product(WAYS, repeat=2) if one[0] < two[0]]


def leaves_on_a_slant(
    moving: Sequence[Solid], others: Sequence[Solid], ways: Iterable[Iterable[Way]] = BOTH_AT_ONCE
) -> bool:
    """Whether solids leave others equally far along two axes at once, one of these two ways. Corners lie on whole
    steps, so that wood is met on the way where it is met half way between two of them."""
    (lo, hi), (theirs_lo, theirs_hi) = corners(moving), corners(others)
    for way in map(tuple, ways):
        for step in np.arange(0.5, 40):
            by = np.zeros(3)
            for axis, high in way:
                by[axis] = step if high else -step
            inside = ((lo + by)[:, None] < theirs_hi) & (theirs_lo < (hi + by)[:, None])
            if inside.all(axis=2).any():
                break
        else:
            return True
    return False


def comes_apart(solids: Sequence[Solid], group: frozenset[int]) -> bool:
    """Whether a group can be taken apart by parts drawn off straight, on a slant or round one corner."""
    if len(group) < 2:
        return True
    for size in range(1, len(group)):
        for part in map(frozenset, combinations(sorted(group), size)):
            moving, standing = [solids[i] for i in sorted(part)], [solids[i] for i in sorted(group - part)]
            if (
                any(runs_free(moving, standing, way, 1) for way in WAYS)
                or leaves_on_a_slant(moving, standing)
                or leaves_round_a_corner(moving, standing)
            ):
                return comes_apart(solids, part) and comes_apart(solids, group - part)
    return False


def test_what_is_locked_is_named_without_one_thing_too_many() -> None:
    """Tried by all groups and all ways: what is named does not come apart, and does with any one of it left out. Loose
    solids round about are not named."""
    rnd = random.Random(11)
    locked = 0
    for _ in range(40):
        solids = apart([*hooked(rnd, 4), *(random_solid(rnd, 12, 5) for _ in range(2))])
        links = [Link(n, i, j) for n, (i, j) in enumerate(combinations(range(len(solids)), 2))]
        found = frozenset(straight_order([[solid] for solid in solids], links).locked)
        assert bool(found) != comes_apart(solids, frozenset(range(len(solids))))
        if found:
            locked += 1
            assert not comes_apart(solids, found)
            assert all(comes_apart(solids, found - {one}) for one in found)
    assert locked >= 10


def hook() -> list[Solid]:
    """A slot that runs along x, open above only over its first third, and a tongue with a head that fills the slot: the
    tongue is put in from above where the slot is open, and slid along under the lips."""
    block = Solid(
        Box((0, 0, 0), (30, 12, 8)),
        (),
        (Box((0, 2, 2), (28, 10, 6)), Box((0, 4, 6), (28, 8, 8)), Box((2, 2, 6), (10, 10, 8))),
    )
    tongue = Solid(Box((20, 2, 2), (27, 10, 6)), (Box((20, 4, 6), (27, 8, 12)),))
    gate = Solid(Box((-4, 0, 0), (0, 12, 20)))
    return [block, tongue, gate]


def test_a_tongue_slid_under_lips_comes_in_from_above_first() -> None:
    """The gate stands before the open end of the slot, glued on: no straight way is left to the tongue, and round the
    corner it needs 17 or more, from its place at 20 to 27 back to where the slot is open from 2 to 10, and no farther
    than 18."""
    block, tongue, gate = hook()
    found = straight_order([[block, gate], [tongue]], [Link(1, 0, 1)])
    (_, move) = found.chains[0]
    assert (move.what, move.first, move.toward) == ((1,), (2, False), (0, True))
    assert 17 <= move.short <= 18
    # something over the open place leaves no way at all
    lid = Solid(Box((2, 0, 13), (10, 12, 14)))
    shut = straight_order([[block, gate, lid], [tongue]], [Link(1, 0, 1)])
    assert shut.locked == (0, 1)


@pytest.mark.parametrize("up", [True, False])
def test_what_lies_between_two_stairs_leaves_along_them(up: bool) -> None:
    """Of a block 2 x 2 that goes equally far right and up, a square of the grid is met where its place from the left is
    less than 2 more or less than that from below. Stairs of squares that are just not met lie on both sides, floor and
    wall behind it, plates before and behind: straight, and round a corner, it soon stands at a stair. The way back down
    is shut. And the same upside down."""
    turned = 1 if up else -1

    def block(low: Corner, high: Corner) -> Solid:
        ends = low[2] * turned, high[2] * turned
        return Solid(Box((low[0], low[1], min(ends)), (high[0], high[1], max(ends))))

    stairs = [(k + 3, k) for k in range(20)] + [(k, k + 3) for k in range(20)]
    case = [block((x, 0, z), (x + 1, 1, z + 1)) for x, z in stairs]
    case += [block((-1, 0, -1), (4, 1, 0)), block((-1, 0, 0), (0, 1, 4))]
    case += [block((-1, y, -1), (24, y + 1, 24)) for y in (-1, 1)]
    thing = block((0, 0, 0), (2, 1, 2))
    assert leaves_on_a_slant([thing], case, [((0, True), (2, up))])
    assert not leaves_on_a_slant([thing], case, [way for way in BOTH_AT_ONCE if way != ((0, True), (2, up))])
    found = straight_order([case, [thing]], [Link(1, 0, 1)])
    (_, move) = found.chains[0]
    assert (move.what, {move.toward, move.also}) == ((1,), {(0, False), (2, not up)})  # as it comes


@pytest.mark.thorough
def test_where_no_order_is_found_none_exists() -> None:
    rnd = random.Random(7)
    seen = {True: 0, False: 0}
    for number in range(60):
        solids = hooked(rnd) if number % 2 else apart([random_solid(rnd, 10, 8) for _ in range(4)])
        links = [Link(n, i, j) for n, (i, j) in enumerate(combinations(range(len(solids)), 2))]
        found = straight_order([[solid] for solid in solids], links)
        possible = comes_apart(solids, frozenset(range(len(solids))))
        assert bool(found.locked) != possible
        seen[possible] += 1
        for chain in found.chains:
            lying: list[int] = []
            for move in chain:
                if move.onto:
                    mine = [solids[i] for i in move.what]
                    rest = [solids[i] for i in lying if i not in move.what]
                    if move.also is not None:
                        assert leaves_on_a_slant(
                            mine, rest, [((axis, not high) for axis, high in (move.toward, move.also))]
                        )
                    elif move.first is not None:
                        assert leaves_round_a_corner(mine, rest)
                    else:
                        assert runs_free(mine, rest, move.toward, 1)
                lying += [i for i in move.what if i not in lying]
            assert sorted(lying) == list(range(len(solids)))
    assert min(seen.values()) >= 10, "both answers are tried"


def test_a_stage_of_too_many_pieces_keeps_its_list() -> None:
    job = sample("spice_cabinet")
    marks = {f"X{i}": ("S1",) for i in range(MOST_THINGS + 1)}
    joints = tuple(job.build.meetings())
    found = order_of(marks, joints, job.space)
    assert found.outcome is Outcome.TOO_MANY and found.rest == joints and not found.closings
