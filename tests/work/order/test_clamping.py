"""Clamps of a stage: lines, counts and openings worked out by hand in the comments.

The 45 degree rule and the dealer's example are those of `tests/facts/test_clamps.py`; pads of 3/4 in or 20 mm, heads of
1-1/4 in are common practice, no source. Forces as in the tables of `facts.clamps`.
"""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.box import Box
from shopdocs.core.length import Length
from shopdocs.documents.fitting.clamp_words import clamp_steps
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import make_job
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.order.clamping import Clamping, ClampLine, _common, _serves, opening_of
from tests.sample_jobs import SAMPLES, sample_job

BY_NAME = {folder.name: folder for folder in SAMPLES}

# Two posts 60 x 60 x 600, 400 apart, and a rail between them; a panel of four strips.
FRAME = """
build: {title: Gate, mark: G, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 80}}
parts:
  post: {material: oak, size: 60 x 60 x 600, runs: {length: z, width: x}, pieces: {P1: {x: 0, y: 0, z: 0}, P2: {x: 460, y: 0, z: 0}}}
  rail: {material: oak, size: 25 x WIDE x 400, runs: {length: x, width: z}, pieces: {R: {x: 60, y: 20, z: 100}}}
joints: {corners: {kind: mortise and tenon, from: rail, into: post, thickness: 8, length: 30, proud: PROUD}}
gluing: {adhesive: yellow PVA, stages: [{title: Gate, pieces: [P1, R, P2] CLAMPS}]}
"""  # noqa: E501
PANEL = """
build: {title: Board, mark: B, units: in}
materials: {oak: {kind: hardwood, species: white oak, rough: 4/4}}
parts:
  board: {material: oak, size: 3/4 x 16 x 40, strips: 4, runs: {length: x, width: y}, pieces: {T: {x: 0, y: 0, z: 0}}}
gluing: {adhesive: GLUE, stages: [{title: Panel, pieces: [T]}]}
"""
SHOP = "shop: {units: UNITS, clamps: {WALL}}\n"


def clamped(tmp_path: Path, words: str, wall: str = "", units: str = "mm") -> tuple[Computed, list[str]]:
    (tmp_path / "build.yaml").write_text(words, "utf-8")
    shop = tmp_path / "shop.yaml"
    if wall:
        shop.write_text(SHOP.replace("UNITS", units).replace("WALL", wall), "utf-8")
    build, found, problems = check_build(str(tmp_path / "build.yaml"), str(shop) if wall else None)
    assert build is not None, problems
    assert found is not None
    return Computed(build, found), [f"{p.code} {p.wrong}; {p.right}" for p in problems]


def frame(tmp_path: Path, wide: int = 100, clamps: str = "", wall: str = "") -> tuple[Clamping, list[str]]:
    words = FRAME.replace("WIDE", str(wide)).replace("CLAMPS", clamps).replace(", proud: PROUD", "")
    work, problems = clamped(tmp_path, words, wall)
    return work.clampings[0], problems


def test_a_rail_between_two_posts_is_one_line(tmp_path: Path) -> None:
    """From outside to outside 460 + 60 = 520; the glue begins 60 behind the jaw; 2 · (60 + 20) + 31.75 = 191.75 is
    covered by one clamp: a rail 100 wide takes one, one of 200 two. The tenons' cheeks want no force."""
    found, _ = frame(tmp_path, wall="bar clamp 60: 4")
    (line,) = (each.line for each in found.sets)
    assert (line.joints, line.axis, line.opening, line.to_glue) == ((1, 2), 0, Length(520), Length(60))
    assert line.pressed == 0
    assert found.count == 1
    assert frame(tmp_path, wide=200, wall="bar clamp 60: 4")[0].count == 2


def test_a_jaw_stands_off_by_a_tenon_that_is_not_let_in_yet(tmp_path: Path) -> None:
    """One post and the rail, to be let into the other post later: 60 and 400, and 30 of tenon beyond its shoulder."""
    words = FRAME.replace("WIDE", "100").replace(", proud: PROUD", "").replace("[P1, R, P2] CLAMPS", "[P1, R]")
    work, _ = clamped(tmp_path, words, "bar clamp 60: 4")
    assert [each.line.opening for each in work.clampings[0].sets] == [Length(60 + 400 + 30)]


@pytest.mark.parametrize(("long", "told"), [(60, True), (30, False)])
def test_pads_keep_clear_of_ends_that_come_through(tmp_path: Path, long: int, told: bool) -> None:
    """The posts are 60 thick: a tenon of 60 ends level with their far sides, under the jaws, one of 30 does not."""
    kind = "through tenon" if long == 60 else "mortise and tenon"
    words = FRAME.replace("mortise and tenon", kind).replace("length: 30, proud: PROUD", f"length: {long}")
    words = words.replace("WIDE", "100").replace("CLAMPS", "").replace(", length: 60", "")
    (tmp_path / "build.yaml").write_text(words, "utf-8")
    (tmp_path / "shop.yaml").write_text(SHOP.replace("UNITS", "mm").replace("WALL", "bar clamp 60: 4"), "utf-8")
    build, shop, problems = check_build(str(tmp_path / "build.yaml"), str(tmp_path / "shop.yaml"))
    assert build is not None and shop is not None, problems
    job = make_job(build, shop, build.display, "", "cut")
    (step,) = clamp_steps(job, job.stages[0])
    assert ("Keep pads clear of the ends of R that come through." in plain(step.detail)) is told


def test_a_clamp_must_open_over_work_and_pads(tmp_path: Path) -> None:
    """520 and two pads of 20 are 560, and 20 more go over joints that stand open: 57 cm is too short, 60 cm serves, and
    the longer ones stay on the wall."""
    found, problems = frame(tmp_path, wall="bar clamp 57: 4, bar clamp 100: 4, bar clamp 60: 4")
    assert [each.kind for each in found.sets] == ["bar clamp 60"]
    assert not [told for told in problems if told.startswith("clamps")]
    short, problems = frame(tmp_path, wall="bar clamp 57: 4")
    assert not short.sets
    assert sum(each.count for each in short.lacking) == 1
    (told,) = (told for told in problems if told.startswith("clamps"))
    assert "P1 R P2" in told
    for way_out in ("split the stage", "caul", "wedges", "band"):
        assert way_out in told


def test_the_makers_own_clamps_are_held_against_the_count(tmp_path: Path) -> None:
    _, problems = frame(tmp_path, wide=200, clamps=", clamps: {bar clamp 60: 1}", wall="bar clamp 60: 6")
    assert not [told for told in problems if told.startswith("clamps")]  # a caul makes up for it: see below
    found, _ = frame(tmp_path, wide=200, clamps=", clamps: {bar clamp 60: 1}", wall="bar clamp 60: 6")
    (only,) = found.sets
    # one clamp reaches 200 where 2 · (60 + caul) + 31.75 = 200: a caul of 24.125
    assert (only.count, only.caul, only.depth) == (1, True, Length("24.125"))


def test_the_cauls_of_a_stage_are_as_thick_as_its_widest_rail_asks(tmp_path: Path) -> None:
    """A rail of 100 and one of 200 between the posts, two clamps: the narrow one is closed through pads of 20, the wide
    one through a caul of 24.125, as above. Cauls are found in steps of 5, and one thickness serves for all four jaws:
    25. The wider clamp opens over 520, twice that, and 20 for joints that are not home yet: 590; the other, over its
    pads, is set alike."""
    words = FRAME.replace("WIDE", "100").replace("CLAMPS", ", clamps: {bar clamp 60: 2}").replace(", proud: PROUD", "")
    runs = "runs: {length: x, width: z}, pieces: {W: {x: 60, y: 20, z: 300}}"
    wide = f"  wide rail: {{material: oak, size: 25 x 200 x 400, {runs}}}"
    words = words.replace("joints:", f"{wide}\njoints:").replace("from: rail", "from: [rail, wide rail]")
    work, _ = clamped(tmp_path, words.replace("[P1, R, P2]", "[P1, R, W, P2]"), "bar clamp 60: 6")
    assert sorted((each.count, each.depth) for each in work.clampings[0].sets) == [
        (1, Length(20)),
        (1, Length("24.125")),
    ]
    job = make_job(work.build, work.shop, work.build.display, "", "cut", work=work)
    steps = [
        plain(step.text) for each in walk(glue_up(job).blocks) if isinstance(each, Checklist) for step in each.steps
    ]
    assert "4 cauls 25 mm thick" in steps
    assert any(step.startswith("2 × bar clamp 60, opened to 590 mm") for step in steps)


def steps_of(work: Computed) -> list[str]:
    """The glue-up in words, each step with what is told below it."""
    job = make_job(work.build, work.shop, work.build.display, "", "cut", work=work)
    lists = (each for each in walk(glue_up(job).blocks) if isinstance(each, Checklist))
    return [f"{plain(step.text)} | {plain(step.detail)}" for each in lists for step in each.steps]


def test_clamps_are_set_in_the_steps_of_the_units_that_are_printed(tmp_path: Path) -> None:
    """By hand: 520 mm are 20.47 in; with two pads of 3/4 in and 3/4 in for open joints 22.72: 23 in. Nobody finds a pad
    of 25/32 in, nor sets a clamp to 1/32."""
    words = FRAME.replace("WIDE", "100").replace("CLAMPS", "").replace(", proud: PROUD", "")
    work, _ = clamped(tmp_path, words, "bar clamp 60: 6")
    job = make_job(work.build, work.shop, work.build.display.turned(), "", "cut", work=work)
    (step,) = clamp_steps(job, job.stages[0])
    assert plain(step.text) == "1 × bar clamp 60, opened to 23 in, 2 pads ³⁄₄ in thick"


def test_clamps_of_one_stage_that_differ_much_are_set_apart() -> None:
    """A stool of 430 mm: its seat is drawn down over the feet, 430 + 2 × 20 + 20 = 490; the rungs between the legs are
    much shorter. One width for all seven would set three of them wrong."""
    job = sample_job(BY_NAME["loft_stool"], "mm")
    (step,) = clamp_steps(job, job.stages[-1])
    assert plain(step.text) == "7 × bar clamp 80 cm, 14 pads 20 mm thick"
    told, _, shaped = plain(step.detail).partition(" Saw the pads of ")
    assert shaped.startswith("C6 and C7 ")  # of the legs, which lean; C1 to C4 stand on feet that are sawn level
    widths = {int(wide): names for wide, names in re.findall(r"[Tt]o (\d+) mm: (.*?)\.(?= To |$)", told)}
    assert "C4" in widths[490] and "C5" not in widths[490]
    assert len(widths) > 1 and max(set(widths) - {490}) < 430
    named = re.findall(r"C\d", " ".join(widths.values()))
    assert named == [f"C{n}" for n in range(1, 8)]


def test_a_clamp_across_legs_that_lean_is_opened_for_where_it_stands() -> None:
    """The legs rake by 6 degrees from 82 off the edge of a seat 300 deep: y = 82 - (390 - z) tan 6 / cos of the splay
    beside it, to the front by 0.1051 a millimetre of height. At the lower arris of the stretcher, 140 - 13 = 127 high,
    82 - 263 x 0.1051 = 54.4 from the front; the two middles are 300 - 2 x 54.4 = 191.3 apart, and each leg is
    40 / cos 6 = 40.2 thick there: 231.5. At the floor they stand 300 - 2 x 20.9 = 258 apart over all, and clamps set to
    that, two pads of 20 and 20 for open joints, would have nearly 50 to spare."""
    clamping = sample_job(BY_NAME["loft_stool"], "mm").clampings[2]
    across = [each.line for each in clamping.sets if each.line.over in ("SL", "SR")]
    assert len(across) == 2
    for line in across:
        assert line.opening.float_mm() == pytest.approx(231.5, abs=0.3)


def test_the_sheet_says_where_clamps_lack(tmp_path: Path) -> None:
    """Rails of 100 and of 200 between the posts want one clamp and, through a caul, one. Of one clamp none is left for
    the second; of none long enough none for both, which want 520 between the posts' outsides, twice a pad of 20 or the
    caul of 25, and 20 for joints that are not home yet."""
    words = FRAME.replace("WIDE", "100").replace(", proud: PROUD", "").replace("CLAMPS", "")
    runs = "runs: {length: x, width: z}, pieces: {W: {x: 60, y: 20, z: 300}}"
    wide = f"  wide rail: {{material: oak, size: 25 x 200 x 400, {runs}}}"
    words = words.replace("joints:", f"{wide}\njoints:").replace("from: rail", "from: [rail, wide rail]")
    words = words.replace("[P1, R, P2]", "[P1, R, W, P2]")
    for wall, told in (
        ("bar clamp 60: 1", ["1 clamp short: none left for P1, W and P2"]),
        (
            "bar clamp 55: 6",
            ["2 clamps short: none opens to 580 mm for P1, R and P2; none opens to 590 mm for P1, W and P2"],
        ),
        ("bar clamp 60: 2", []),
    ):
        work, _ = clamped(tmp_path, words, wall)
        assert [step.partition(" | ")[0] for step in steps_of(work) if " short: " in step] == told
    # Of five pipe clamps that a seam of the panel below wants three are there. What lacks is reckoned in bar clamps,
    # of 370 lbf each: 5250 want 15 (14.2), and two fifths of those are 6.
    work, _ = clamped(tmp_path, PANEL.replace("GLUE", "yellow PVA"), "pipe clamp 24 in: 3", "in")
    assert [step.partition(" | ")[0] for step in steps_of(work) if " short: " in step] == [
        "6 clamps short: too few for T"
    ]


def test_how_hard_a_seam_is_pressed_is_told_in_the_units_of_the_build(tmp_path: Path) -> None:
    """Each seam of the panel below wants 5250 pounds-force, 23.35 kN; told to 50 pounds and to half a kilonewton."""
    told = []
    for units, size, wall in (("in", "3/4 x 16 x 40", "24 in"), ("mm", "19.05 x 406.4 x 1016", "60")):
        words = PANEL.replace("GLUE", "yellow PVA").replace("units: in", f"units: {units}")
        words = words.replace("3/4 x 16 x 40", size).replace(
            "rough: 4/4", "rough: 4/4" if units == "in" else "rough: 27"
        )
        work, _ = clamped(tmp_path, words, f"pipe clamp {wall}: 20", units)
        told += [step.split("Firm: ")[1].split(".  ")[0] for step in steps_of(work) if "Firm: " in step]
    assert [words.split(" Check")[0] for words in told] == [
        "about 5250 lbf from C1–C5 together.",
        "about 23.5 kN from C1–C5 together.",
    ]


def test_a_panel_takes_the_larger_of_force_and_spacing(tmp_path: Path) -> None:
    """A seam 3/4 in by 40 in is 30 in²; PVA on dense hardwood (white oak, 0.68) wants 175 lbf/in²: 5250 lbf. Pipe
    clamps of 1050 lbf: 5; parallel ones of 370: 15 (14.2). By spacing alone a strip of 4 in and a pad of 3/4 cover
    2 · 4-3/4 + 1-1/4 = 10-3/4 in: 4 clamps. Epoxy wants contact: 4. Four strips of 4 in that were sawn 1/4 in wider
    are 17 in wide."""
    for glue, kind, count in (
        ("yellow PVA", "pipe clamp 24 in", 5),
        ("yellow PVA", "parallel clamp 24 in", 15),
        ("slow epoxy", "pipe clamp 24 in", 4),
    ):
        work, _ = clamped(tmp_path, PANEL.replace("GLUE", glue), f"{kind}: 20", "in")
        (each,) = work.clampings[0].sets
        assert (each.kind, each.count) == (kind, count)
        assert each.line.opening == Length.inches(17)


def test_a_seam_between_boards_of_their_own_wants_the_same_force(tmp_path: Path) -> None:
    """The seam above, but between two boards of 8 in with marks of their own: 30 in² at 175 lbf/in², 5 pipe clamps. By
    spacing alone 2 · 8-3/4 + 1-1/4 = 18-3/4 in would be covered: 3."""
    words = PANEL.replace("GLUE", "yellow PVA").replace("3/4 x 16 x 40, strips: 4", "3/4 x 8 x 40")
    words = words.replace("{T: {x: 0, y: 0, z: 0}}", "{T: {x: 0, y: 0, z: 0}, U: {x: 0, y: T.back, z: 0}}")
    words = words.replace("gluing:", "joints: {seam: {kind: edge joint, from: board, into: board}}\ngluing:")
    work, _ = clamped(tmp_path, words.replace("pieces: [T]", "pieces: [T, U]"), "pipe clamp 24 in: 20", "in")
    (each,) = work.clampings[0].sets
    assert (each.count, each.line.to_glue, each.line.opening) == (5, Length.inches(8), Length.inches(16))


def test_a_lap_wants_a_clamp_across_its_faces_and_no_press(tmp_path: Path) -> None:
    """Two bars 60 x 25 cross: the faces of the lap are 60 x 60. A head of 31.75 and pads of 20 on the wood over the
    lap, 12.5, reach 2 (12.5 + 20) + 31.75 = 96.75 mm: one clamp closes the joint (common practice). By the pressure of
    a seam, 5.6 in² at 175 lbf/in² from clamps of 420, it would be three. Bars of 140 want two clamps by spacing."""
    words = """
build: {title: Cross, mark: X, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 34}}
parts:
  bar: {material: oak, size: 25 x WIDE x 600, runs: {length: x, width: y}, pieces: {A: {x: 0, y: 0, z: 0}}}
  arm: {material: oak, size: 25 x WIDE x 600, runs: {length: y, width: x}, pieces: {B: {x: 200, y: -200, z: 0}}}
joints: {middle: {kind: half lap, from: arm, into: bar}}
gluing: {adhesive: yellow PVA, stages: [{title: Cross, pieces: [A, B]}]}
"""
    for wide, count in ((60, 1), (140, 2)):
        work, _ = clamped(tmp_path, words.replace("WIDE", str(wide)), "bar clamp 60: 20")
        assert [each.count for each in work.clampings[0].sets] == [count]


def test_a_stage_without_clamps_gets_those_that_were_counted(tmp_path: Path) -> None:
    """They stand on the sheet, and each takes its minutes: 3/4 of one by default, rounded up for all."""
    work, _ = clamped(tmp_path, PANEL.replace("GLUE", "yellow PVA"), "pipe clamp 24 in: 20", "in")
    (stage,) = work.stages
    assert stage.clamps == (("pipe clamp 24 in", 5, 20),)
    # 3 seams at 1-1/2, squaring 3: 7-1/2, rounded up to 8; 5 clamps at 3/4: 3-3/4, rounded up to 4
    assert stage.minutes == 12


@pytest.mark.parametrize(
    ("kind", "across_mitres", "along_a_bar", "on_thin_work"),
    [
        ("band clamp 4 m", True, False, False),
        ("bar clamp 600", False, True, True),  # 500 of work between two pads of 20
        ("bar clamp 500", False, False, True),
        ("spring clamp", False, False, True),
        ("handscrew", False, True, True),  # nobody says how far it opens
    ],
)
def test_what_each_clamp_is_good_for(kind: str, across_mitres: bool, along_a_bar: bool, on_thin_work: bool) -> None:
    """A band draws mitres together and presses nothing flat, a bar spans, a spring holds what is thin."""
    ends = ((0, 0, 0), (1, 0, 0))
    bar = ClampLine(0, ("L", "R"), (1,), Length(500), Length(50), 1, Length(20), Fraction(2500), Fraction(100), ends)
    thin = ClampLine(0, ("L", "R"), (1,), Length(15), Length(50), 1, Length(20), Fraction(0), None, ends)
    mitred = ClampLine(0, ("L", "R"), (1,), Length(500), Length(50), 1, Length(20), Fraction(0), None, ends, round=True)
    served = [_serves(line, kind, Length(20), "mm") for line in (mitred, bar, thin)]
    assert served == [across_mitres, along_a_bar, on_thin_work]


@pytest.mark.parametrize(
    ("kind", "units", "opening"),
    [
        ("bar clamp 24 in", "mm", Length.inches(24)),
        ("bar clamp 80", "mm", Length(800)),  # centimetres, as they are sold
        ("bar clamp 600", "mm", Length(600)),
        ("bar clamp 48", "in", Length.inches(48)),
        ("1.2 m sash", "in", Length(1200)),
        ("handscrew", "in", None),
        ("band clamp 4 m", "mm", None),
    ],
)
def test_how_far_a_clamp_opens(kind: str, units: str, opening: Length | None) -> None:
    assert opening_of(kind, units) == opening


def test_the_samples_close_in_the_lines_a_maker_would_clamp() -> None:
    """By hand: the bench's ends one rail each, its frame two rails and the stretcher; the cabinet's door two rails; the
    table's ends an apron and a stretcher, its drawer frame three runners and the divider, its whole frame an apron, two
    front rails and two stretchers, its drawers a front and a back each."""
    wanted = {"threshold_bench": [1, 1, 3, 1], "spice_cabinet": [2, 2, 6], "potting_table": [2, 2, 4, 5, 4]}
    for name, lines in wanted.items():
        build, shop, _ = check_build(str(BY_NAME[name] / "build.yaml"))
        assert build is not None
        assert shop is not None
        work = Computed(build, shop)
        assert [len({each.line for each in one.sets}) for one in work.clampings] == lines
        assert not [one for one in work.clampings if one.lacking]


def test_a_proud_tenon_asks_for_a_hole_in_the_caul() -> None:
    build, shop, _ = check_build(str(BY_NAME["potting_table"] / "build.yaml"))
    assert build is not None
    assert shop is not None
    frame_of_table = Computed(build, shop).clampings[3]
    assert {each.line.over for each in frame_of_table.sets if each.line.proud} == {"LS1", "LS2"}


@pytest.mark.parametrize(
    ("low", "wanted"),
    [
        (60, (60, 100)),  # both lie from 60 to 100
        (100, (100, 101)),  # they meet in a line: a tick of it, for a clamp stands somewhere
        (130, (100, 130)),  # they pass by each other: the clamp stands between
    ],
)
def test_where_a_clamp_bears_on_two_pieces(low: int, wanted: tuple[int, int]) -> None:
    """Seen from above, along z: one board from 0 to 100, the other from `low` on, one over the other."""
    one, two = Box((0, 0, 0), (100, 50, 20)), Box((low, 0, 20), (low + 100, 50, 40))
    found = _common(one, two, 2)
    assert (found.lo[0], found.hi[0]) == wanted
    assert (found.lo[1:], found.hi[1:]) == ((0, 0), (50, 40))
