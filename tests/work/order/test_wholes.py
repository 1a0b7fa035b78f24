"""Sub-assemblies turned or swapped at a later stage: by hand, and against all rotations of another library's meshes."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.blocks.text import Table, plain
from shopdocs.documents.drawn.mistaken import turned_whole
from shopdocs.documents.fitting.whole_ways import ways_text, whole_ways
from shopdocs.documents.job import Job
from shopdocs.documents.look_alikes import look_alikes, whole_warnings
from shopdocs.work.order.wholes import WholeMistake
from shopdocs.work.space.wrong_ways import Fitting
from tests.leaning_stools import Stool
from tests.meshes import block
from tests.sample_jobs import BY_NAME, PLACED, job_of
from tests.work.order.brute_force import ROTATIONS, holes, slanting, turned, wood

# Two ends of posts and rungs, a rail between the upper rungs, which stand half way up; the lower rungs stand at 40 and
# at 80. A bracket is let into the front post of the left end, in a stage of its own.
ENDS = """
build: {title: Trestle, mark: TR, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 60}}
parts:
  post:
    material: oak
    size: 40 x 40 x 400
    runs: {length: z, width: x}
    pieces:
      LF: {x: 0, y: 0, z: 0}
      LB: {x: 0, y: 300, z: 0}
      RF: {x: 600, y: 0, z: 0}
      RB: {x: 600, y: 300, z: 0}
  rung:
    material: oak
    size: 24 x 30 x 260
    runs: {length: y, width: z}
    pieces:
      LU: {x: 8, y: 40, z: 185}
      RU: {x: 608, y: 40, z: 185}
      LD: {x: 8, y: 40, z: 40}
      RD: {x: 608, y: 40, z: 80}
  rail: {material: oak, size: 20 x 20 x 576, runs: {length: x, width: z}, pieces: {M: {x: 32, y: 160, z: 190}}}
  bracket: {material: oak, size: 20 x 30 x 90, runs: {length: y, width: z}, pieces: {K: {x: 10, y: -90, z: 300}}}
joints:
  rungs: {kind: mortise and tenon, from: rung, into: post, thickness: 8, length: 20}
  spine: {kind: mortise and tenon, from: rail, into: rung, thickness: 6, length: 12}
  arm: {kind: mortise and tenon, from: bracket, into: post, thickness: 6, length: 20}
gluing:
  adhesive: yellow PVA
  stages:
    - {title: Left end, pieces: [LF, LB, LU, LD]}
    - {title: Right end, pieces: [RF, RB, RU, RD]}
    - {title: Trestle, pieces: [M], uses: [Left end, Right end]}
    - {title: Arm, pieces: [K], uses: [Trestle]}
"""


@pytest.fixture(scope="module")
def trestle(tmp_path_factory: pytest.TempPathFactory) -> Job:
    path = tmp_path_factory.mktemp("trestle") / "trestle.yaml"
    path.write_text(ENDS, "utf-8")
    return job_of(path)


def found(job: Job) -> list[WholeMistake]:
    assert job.alike is not None
    return list(job.alike.wholes)


def test_ends_of_a_trestle(trestle: Job) -> None:
    """By hand. Each upper rung has the rail's mortise in its inner face: an end that is turned half round, or tipped
    over from left to right, shows the rail a whole face, and that stops it. Tipped over from front to rear it goes in:
    the left one until the bracket, stage 4, meets a post without a mortise; of the right one, whose lower rung is on
    top then, nothing more is joined. Swapped, each half round: nothing ever meets the bracket's mortise at the right.
    On the whole trestle the bracket's tenon finds its mortise one way alone."""
    told = [(m.thing, m.place, m.stage, m.found) for m in found(trestle)]
    assert told == [
        ("Left end", "Left end", 3, 4),
        ("Right end", "Right end", 3, None),
        ("Left end", "Right end", 3, None),
    ]


def test_what_the_sheet_says_of_them(trestle: Job) -> None:
    """What is named lies where the build says: the lower rungs low, the bracket's post at the front."""
    assert [plain(words) for words in whole_warnings(trestle, 3)] == [
        "Left end: LD underneath. Also fits the wrong way, flipped over front to rear: found only at stage 4, Arm, "
        "after 60 min in the clamps.",
        "Right end: RD underneath. Also fits the wrong way, flipped over front to rear, and nothing stops it.",
        "Left end, Right end: Left end at the left, Right end at the right. Also fit the wrong way, swapped, "
        "and nothing stops it.",
    ]
    assert not whole_warnings(trestle, 4)


def test_the_drawer_frame_of_the_potting_table() -> None:
    """It is set between the ends by tenons that lie alike above and below: with its runners on top it goes in too."""
    ways = whole_ways(alike) if (alike := job_of(BY_NAME["potting_table"] / "build.yaml").alike) is not None else ()
    assert [(way.things, way.wrong, way.found) for way in ways] == [("Drawer frame", "flipped over sideways", None)]


def test_what_shows_at_once_that_it_lies_wrong() -> None:
    """By hand: the runners and the middle runner lie level with the lower rail; above them the frame is open between
    the upper rail and the back apron, so that turned over they are what lies on top. Both pictures show it: of the
    frame as it belongs, and turned over."""
    job = job_of(BY_NAME["potting_table"] / "build.yaml")
    assert job.alike is not None
    assert [(way.right, way.seen) for way in whole_ways(job.alike)] == [
        ("RU1, RU2 and RC underneath", "turn it if they are on top")
    ]
    (table,) = (block for block in look_alikes(job).blocks if isinstance(block, Table))
    (row,) = (row for group in table.groups for row in group.rows if plain(row.cells[0].text) == "Drawer frame")
    right, wrong = (cell.drawing for cell in row.cells[5:])
    assert right is not None and wrong is not None
    assert right.shapes != wrong.shapes


def test_a_whole_is_turned_as_one() -> None:
    """By hand: the frame reaches from x 100 to 1100 and from z 690 to 850. Flipped sideways, what lies from 690 to 720
    comes to lie from 820 to 850, what lies from x 100 to 130 from 1070 to 1100; what runs to the rear stays there."""
    job = job_of(BY_NAME["potting_table"] / "build.yaml")
    assert job.alike is not None and job.space is not None
    (mistake,) = job.alike.wholes
    pieces = tuple(job.space.pieces[mark] for mark in mistake.marks)
    lies = {p.mark: [(a.float_mm(), b.float_mm()) for a, b in zip(p.at, p.far, strict=True)] for p in pieces}
    turned = {
        p.mark: [(a.float_mm(), b.float_mm()) for a, b in zip(p.at, p.far, strict=True)]
        for p in turned_whole(pieces, mistake.turn, pieces)
    }
    assert lies["RU1"] == [(100, 130), (90, 535), (690, 720)]
    assert turned["RU1"] == [(1070, 1100), (90, 535), (820, 850)]
    assert turned["FU"] == lies["FD"]
    assert turned["AB"] == lies["AB"]


# By hand: two ends of legs that splay, the rail of the right one 20 higher. Turned half round each leans as the other.
ENDS_OF_A_STOOL = Stool(
    400, 300, 440, 40, (40, 40), (80, 80), 8, 0, 25, None, (20, 30), (140, 160), 14, 20, middle=None, staged=1
)


@pytest.fixture(scope="module")
def stool(tmp_path_factory: pytest.TempPathFactory) -> Job:
    path = tmp_path_factory.mktemp("stool") / "stool.yaml"
    path.write_text(ENDS_OF_A_STOOL.text(), "utf-8")
    return job_of(path)


def test_ends_of_a_stool_that_lean(stool: Job) -> None:
    """Turned half round in its own place an end leans inward, past its mortises in the seat; upside down its tenons
    stand on the floor. In the place of the other, each turned half round, it goes in as if it belonged there, and
    nothing meets its rail any more."""
    told = [(m.thing, m.place, m.stage, m.found, set(m.telling)) for m in found(stool)]
    assert told == [("Left", "Right", 3, None, {"SR", "FR", "BR"})]


@pytest.mark.parametrize("name", ["trestle", "stool", *(folder.name for folder in PLACED)])
def test_by_brute_force(name: str, trestle: Job, stool: Job) -> None:
    """For every thing that a stage takes up and every rotation that brings the box round its pieces into its own place
    or that of another: it is a mistake exactly where it shares no more wood with what is there than what belongs there
    (6 mm³), and yet is other wood. Holes count in what it is, not in what stops it."""
    made = {"trestle": trestle, "stool": stool}
    job = made[name] if name in made else job_of(Path(BY_NAME[name] / "build.yaml"))
    assert job.space is not None
    assert job.alike is not None
    fitting = job.alike.fitting
    scale = float(fitting.ticks.per_mm)
    mesh = {mark: wood(job, mark) for mark in job.space.pieces}
    expected: list[tuple[str, str, int, int | None]] = []
    for work in job.stages:
        things = {title: marks for title, marks in work.ready.items() if len(marks) > 1}
        if not work.meetings or len(work.ready) < 2:
            continue
        tried = [(one, one) for one in things]
        pairs = [((one, two), (two, one)) for one, two in combinations(things, 2)]
        for one, two in tried:
            stops = every_way(job, mesh, things[one], things[two], work.number, scale)
            expected += [(one, two, work.number, stop) for stop in stops]
        for both in pairs:
            stops = [s for one, two in both for s in every_way(job, mesh, things[one], things[two], work.number, scale)]
            if stops:
                far = max(stops, key=lambda s: (s is None, s == 0, s or 0))
                expected.append((*both[0], work.number, far))
    told = [(m.thing, m.place, m.stage, m.found) for m in found(job)]
    assert sorted(map(str, told)) == sorted(str((*sort_pair(one, two, told), n, f)) for one, two, n, f in expected)


def sort_pair(one: str, two: str, told: list[tuple[str, str, int, int | None]]) -> tuple[str, str]:
    """A swap is told from either side."""
    return (two, one) if one != two and any((t, p) == (two, one) for t, p, *_ in told) else (one, two)


def every_way(
    job: Job,
    mesh: dict[str, manifold3d.Manifold],
    marks: tuple[str, ...],
    there: tuple[str, ...],
    at: int,
    scale: float,
) -> list[int | None]:
    """Which stage stops each rotation that is wrong and goes in; None for none."""
    assert job.space is not None
    assert job.alike is not None
    fitting = job.alike.fitting
    mine, target = (whole_box(job, some, scale) for some in (marks, there))
    every = {m: bored(job, mesh, m) for m in (*marks, *there)}
    taken = {*marks, *there}
    groups: list[tuple[int, set[str]]] = []
    met = set(taken)
    for work in job.stages[at - 1 :]:
        if taken & work.members and not work.panels and work.members - met:
            groups.append((work.number, set(work.members) - met))
            met |= work.members
    if fitting.index.keys() - met:
        groups.append((0, set(fitting.index) - met))
    found: list[int | None] = []
    stock = {m: box_of(fitting, m, scale) for m in {*marks, *there, *fitting.index}}
    slants = {m: slanting(job.space.pieces[m]) for m in stock}

    def misses(matrix: np.ndarray, centre: np.ndarray, shift: list[float], group: set[str]) -> bool:
        """Whether the joints with slanting tenons between these and one of a group are less than half filled."""
        for o in group:
            if not any(slants[m] & slants[o] for m in there):
                continue
            right = sum((mesh[m] ^ stock[o]).volume() + (mesh[o] ^ stock[m]).volume() for m in there)
            lying = [[turned(w[m], matrix, centre).translate(shift) for m in marks] for w in (mesh, stock)]
            now = sum((w ^ stock[o]).volume() for w in lying[0]) + sum((mesh[o] ^ s).volume() for s in lying[1])
            if now < right / 2:
                return True
        return False

    for matrix in ROTATIONS:
        if not np.allclose(abs(matrix) @ (mine[1] - mine[0]), target[1] - target[0]):
            continue
        centre, by = (mine[0] + mine[1]) / 2, (target[0] + target[1] - mine[0] - mine[1]) / 2
        shift = [float(v) for v in by]
        same = all(
            any(alike(turned(every[m], matrix, centre).translate(shift), every[o]) for m in marks) for o in there
        )
        if same:
            continue
        stops: int | None = None
        for number, group in groups:
            now = sum(
                (turned(mesh[m], matrix, centre).translate(shift) ^ mesh[o]).volume() for m in marks for o in group
            )
            if now - sum((mesh[m] ^ mesh[o]).volume() for m in there for o in group) > 6:
                stops = number
                break
            if misses(matrix, centre, shift, group):
                stops = number
                break
        if not groups or stops != groups[0][0]:
            found.append(stops)
    return found


def box_of(fitting: Fitting, mark: str, scale: float) -> manifold3d.Manifold:
    """The upright box round the body of a piece."""
    body = fitting.solids[fitting.index[mark]].body
    return block(body, scale)


def alike(one: manifold3d.Manifold, two: manifold3d.Manifold) -> bool:
    """But for a skin of 3/1000 mm, as places are rounded where something leans."""
    skin = 1 + 0.003 * one.surface_area()
    return (one - two).volume() < skin and (two - one).volume() < skin


def bored(job: Job, mesh: dict[str, manifold3d.Manifold], mark: str) -> manifold3d.Manifold:
    assert job.space is not None
    tubes = list(holes(job.space.pieces[mark]))
    return mesh[mark] - manifold3d.Manifold.batch_boolean(tubes, manifold3d.OpType.Add) if tubes else mesh[mark]


def whole_box(job: Job, marks: tuple[str, ...], scale: float) -> np.ndarray:
    """Low and high corner of the bodies of some pieces, without their tenons."""
    assert job.alike is not None
    fitting = job.alike.fitting
    leans = [frame is not None for frame in fitting.frames]
    numbers = [fitting.index[mark] for mark in marks]
    bodies = [(fitting.solids if leans[i] else fitting.shapes)[i].body for i in numbers]
    return np.array(
        [np.min([body.lo for body in bodies], axis=0) / scale, np.max([body.hi for body in bodies], axis=0) / scale]
    )


@pytest.mark.parametrize(
    ("ways", "told"),
    [
        (["half a turn"], "half a turn"),
        (["flipped over front to rear"], "flipped over front to rear"),
        (["flipped over front to rear", "flipped over sideways"], "flipped over front to rear or sideways"),
        (
            ["flipped over front to rear", "half a turn", "flipped over front to rear"],
            "half a turn or flipped over front to rear",
        ),
    ],
)
def test_how_two_ways_begin_is_said_once(ways: list[str], told: str) -> None:
    assert ways_text(ways) == told
