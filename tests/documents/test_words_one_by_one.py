"""Words that few builds come to, tried one by one: each sentence written down by hand beside what it is said of."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from shopdocs.blocks.drawing import Stroke
from shopdocs.blocks.text import Figure, plain
from shopdocs.core.length import Length
from shopdocs.documents import patterns, tally
from shopdocs.documents.drawn import sizing
from shopdocs.documents.drawn.edge_shape import ShapedBox
from shopdocs.documents.drawn.edge_view import PaperStroke
from shopdocs.documents.fitting.glue_words import _full, _plain, mixing_ratio
from shopdocs.documents.own_cuts import _which_corners
from shopdocs.documents.revised.state import CutState
from shopdocs.documents.revised.told import cut_words
from shopdocs.documents.seasons import _words
from shopdocs.documents.tally import _missing
from shopdocs.documents.templates import _bit_note
from shopdocs.facts.adhesives import Adhesive, adhesive
from shopdocs.facts.source import COMMON_PRACTICE
from shopdocs.model.cutting import CutKind
from shopdocs.model.joining import Face, Gluing, Ratio
from shopdocs.work.boards.idle import Idle
from shopdocs.work.seasons.tie import Beside, Sort, Tie
from tests.sample_jobs import BY_NAME, sample_job
from tests.values import replace

MM = sample_job(BY_NAME["seed_tote"], "mm").display
IN_MM: Any = SimpleNamespace(display=MM, build=SimpleNamespace(display=MM))  # a job that is asked for no more


@pytest.mark.parametrize(
    ("named", "told"),
    [
        (["A edge", "A far edge", "B edge", "B far edge"], "all four corners"),
        (["A edge", "A far edge"], "both corners at end A"),
        (["A far edge", "B far edge"], "both corners at the far edge"),
        (["A edge", "B far edge"], "corners of end A and face edge, end B and far edge"),  # across from each other
        (["B edge"], "corner of end B and face edge"),
        (["A edge", "A far edge", "B edge"], "corners of end A and face edge, end A and far edge, end B and face edge"),
    ],
)
def test_corners_are_named_together_where_they_share_a_face(named: list[str], told: str) -> None:
    pairs = [(Face(end), Face(edge)) for end, _, edge in (name.partition(" ") for name in named)]
    assert _which_corners(pairs) == told


def glue(**fields: Any) -> Adhesive:
    four = (Fraction(5), Fraction(5))
    return Adhesive("trial", "trial", four, four, COMMON_PRACTICE, COMMON_PRACTICE, **fields)


@pytest.mark.parametrize(
    ("hours", "told"),
    [
        (None, "see the data sheet"),
        ((24, 24), "for 24 h"),
        ((24, 72), "for 24 h; cured in 3 days"),
    ],
)
def test_how_long_a_joint_is_not_used_hard(hours: tuple[int, int] | None, told: str) -> None:
    full = None if hours is None else (Fraction(hours[0]), Fraction(hours[1]))
    assert plain(_full(glue(full_hours=full))) == told


def test_glue_is_mixed_as_its_label_says_else_as_is_usual() -> None:
    """Urea resin is stirred 100 to 45 of water by many labels: its own ratio wins over that of its kind."""
    usual, own = glue(by_weight=(100, 45)), Ratio(Fraction(2), Fraction(1), "volume")
    assert mixing_ratio(Gluing("trial", ratio=own), usual) == own == mixing_ratio(Gluing("trial", ratio=own), None)
    assert mixing_ratio(Gluing("trial"), usual) == Ratio(Fraction(100), Fraction(45), "weight")
    assert mixing_ratio(Gluing("trial"), glue()) is None
    assert mixing_ratio(Gluing("trial"), None) is None
    assert mixing_ratio(Gluing("yellow PVA"), adhesive("yellow PVA")) is None  # nothing is mixed
    assert [_plain(Fraction(number)) for number in ("2", "0.83", "5/2")] == ["2", "0.83", "2.5"]


def gap(needs: int, *beside: tuple[str, int], gives: int) -> Tie:
    near = tuple(Beside(mark, Length(gap), "beside") for mark, gap in beside)
    return Tie(Sort.GAP, "S", "slat", ("L", "R"), "", Length(100), Length(needs), Length(gives), Length(0), beside=near)


@pytest.mark.parametrize(
    ("tie", "by", "told"),
    [
        (gap(3, ("L", 6), ("R", 6), gives=12), "LR", "leave gaps of 6 mm now; 3 mm is the least, both sides together"),
        (
            gap(3, ("L", 6), ("R", 6), gives=12),
            "LRMN",
            "leave gaps of 6 mm now; 3 mm is the least, both sides together",
        ),
        (
            gap(3, ("L", 6), ("R", 4), gives=10),
            "LR",
            "leave gaps of 6 mm to L and 4 mm to R now; 3 mm is the least, both sides together",
        ),
        # of several pieces told at once with unlike neighbours, none can be named
        (gap(3, ("L", 6), ("R", 4), gives=10), "LRM", "leave a gap of at least 3 mm now, both sides together"),
        (gap(3, ("L", 0), ("R", 4), gives=4), "LR", "leave a gap of 4 mm to R now; 3 mm is the least"),
        (gap(3, ("L", 4), ("R", 0), gives=4), "LRM", "leave a gap of 4 mm now; 3 mm is the least"),
        (gap(3, ("L", 1), ("R", 1), gives=2), "LR", "leave a gap of at least 3 mm now, between L and R"),
    ],
)
def test_the_gaps_to_leave(tie: Tie, by: str, told: str) -> None:
    assert plain(_words(IN_MM, tie, tuple(by))) == told


def test_a_panel_has_half_of_its_room_on_each_side_and_none_where_it_is_glued() -> None:
    """7 in all: 3.5 on each side."""
    panel = Tie(Sort.PANEL, "P", "panel", ("L", "R"), "g", Length(300), Length(7), Length(8), Length(2))
    job = IN_MM
    held = replace(panel, sort=Sort.HELD, gives=Length(7))
    where = "on each side now, between the tongue and the floor of its groove"
    assert plain(_words(job, panel, ("L",))) == f"leave at least 3.5 mm {where}"
    assert _words(job, replace(panel, glued=True), ("L",)) == ()
    assert plain(_words(job, held, ("L",))) == "leave 7 mm of play each way now, at each g"
    more = replace(held, gives=Length(9))
    assert plain(_words(job, more, ("L",))) == "leave 9 mm of play each way now, at each g; 7 mm is the least"
    for less in (Length(5), None):
        assert (
            plain(_words(job, replace(held, gives=less), ("L",)))
            == "leave at least 7 mm of play each way now, at each g"
        )


def test_each_edge_of_what_slides_goes_out_and_back_by_half() -> None:
    """A top 400 wide that grows by 2 % and shrinks by 1 %: 8 and 4 mm in all."""
    top = Tie(Sort.SLIDING, "T", "top", (), "", Length(400), Length(4), None, Length(4), on="base")
    part = SimpleNamespace(width=Length(400))
    job: Any = SimpleNamespace(
        display=MM,
        moves={"top": SimpleNamespace(grows=Fraction(2, 100), shrinks=Fraction(1, 100))},
        build=SimpleNamespace(display=MM, part=lambda name: part),
    )
    told = plain(_words(job, top, ()))
    assert told.startswith("flush with its base on the day you make it; each edge will stand out ")
    assert told.endswith(" by up to 4 and back by up to 2 mm over the year")


@pytest.mark.parametrize(
    ("marks", "told"),
    [
        (("B3",), "B3 stays whole, oak: it is 40 mm wide, the narrowest piece 60 mm."),
        (("B3", "B4"), "B3  B4 stay whole, oak: it is 40 mm wide, the narrowest piece 60 mm."),
    ],
)
def test_a_board_that_is_no_use_is_told_with_the_reason(marks: tuple[str, ...], told: str) -> None:
    why = Idle(SimpleNamespace(at=None), "it is {} wide, the narrowest piece {}", (Length(40), Length(60)))  # type: ignore[arg-type]
    plan = SimpleNamespace(left_out=(), material=SimpleNamespace(name="oak"))
    refit = SimpleNamespace(plan=plan, near=(), cure=None, useless=((marks, why),))
    (found,) = _missing(SimpleNamespace(refits=[refit], display=MM))  # type: ignore[arg-type]
    assert plain(found) == told


def test_what_is_missing_is_told_before_what_nearly_fits_and_what_would_cure_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(tally, "reason_text", lambda display, left: ("no board is ", "long enough"))
    monkeypatch.setattr(tally, "near_text", lambda display, near: (f"{near} is 2 mm short",))
    monkeypatch.setattr(tally, "_cure_text", lambda job, refit: (f"With {refit.cure} {job.name}",))

    def left(name: str, strips: int, count: int, *marks: str) -> Any:
        return SimpleNamespace(
            row=SimpleNamespace(part=SimpleNamespace(name=name, strips=strips, at=None)), count=count, marks=marks
        )

    out = (left("leg", 1, 2, "L1", "L2"), left("top", 5, 1, "T"), left("top", 2, 3, "T"))
    plan = SimpleNamespace(left_out=out, material=SimpleNamespace(name="oak"))
    refit = SimpleNamespace(plan=plan, near=("L1", "T"), cure="one more", useless=())
    found = _missing(SimpleNamespace(refits=[refit], display=MM, name="board"))  # type: ignore[arg-type]
    assert [plain(each) for each in found] == [
        "leg, 2 missing (L1  L2): no board is long enough.",
        "top, 1 strip missing (T): no board is long enough.",
        "top, 3 strips missing (T): no board is long enough.",
        "Nearly fits, decide at the bench: L1 is 2 mm short; T is 2 mm short.",
        "With one more board",
    ]
    assert [figure.name for each in found for figure in each if isinstance(figure, Figure)] == [
        "leg · missing",
        "top · missing",
        "top · missing",
    ]


@pytest.mark.parametrize(
    ("bit", "note", "told"),
    [
        (None, "", "Knob: the shop has no bit for the pilot hole of Ø 5 mm."),
        (Length(6), "a little loose", "Knob: Ø 6 mm stands for Ø 5 mm, a little loose."),
        (Length(5), "", ""),
    ],
)
def test_a_bit_that_stands_for_another_is_named(bit: Length | None, note: str, told: str) -> None:
    choice = SimpleNamespace(note=note) if bit is not None else None
    bore = SimpleNamespace(choice=choice, use=SimpleNamespace(value="pilot"), wanted=Length(5), bit=bit)
    hole = SimpleNamespace(bore=bore, hardware="knob")
    assert _bit_note(SimpleNamespace(display=MM), hole) == told  # type: ignore[arg-type]


@pytest.mark.parametrize(("strips", "pieces"), [(1, 0), (2, 40), (4, 120)])
def test_a_seam_is_drawn_where_there_is_wood(strips: int, pieces: int) -> None:
    """A piece 60 long and 30 wide on paper, notched from 20 to 40 along it to 12 or 5 from its near edge: the
    seam of two strips, at 15, runs through 20 and 20 of it, and so do those of four, at 7.5, 15 and 22.5."""
    deep = 12.0 if strips == 2 else 5.0
    box: Any = object.__new__(ShapedBox)
    box.size, box.top = (Length(60).mm, Length(30).mm, Length(4).mm), Face.BACK
    box._flat = lambda spot, high: (*spot, high)
    box.loop = [(0.0, 0.0), (60.0, 0.0), (60.0, 30.0)]
    box.loop += [(40.0, 30.0), (40.0, deep), (20.0, deep), (20.0, 30.0), (0.0, 30.0)]
    found: list[PaperStroke] = list(box.seams(strips))
    assert len(found) == pieces  # 60 steps of 1 mm a seam, less 20 in the notch
    assert {stroke.stroke for stroke in found} <= {Stroke.THIN}
    for stroke in found:
        (x, y, high), (end, same, _) = stroke.start, stroke.end  # type: ignore[misc]
        assert end == pytest.approx(x + 1) and y == same and y in [30 * k / strips for k in range(1, strips)]
        assert high == 4 and not 20 < (x + end) / 2 < 40
    box.top = Face.FACE
    assert {stroke.start[2] for stroke in box.seams(2)} <= {0.0}  # type: ignore[misc]


@pytest.mark.parametrize(
    ("spared", "readable", "taken"),
    [([3.0, 9.0], True, True), ([2.9, 9.0], True, False), ([9.0, 2.9], True, False), ([9.0, 9.0], False, False)],
)
def test_a_smaller_drawing_is_kept_where_all_spare_a_few_millimetres(
    monkeypatch: pytest.MonkeyPatch, spared: list[float], readable: bool, taken: bool
) -> None:
    """All alike become lower by 3 mm at least, and can be read."""
    scale, below = sizing.SCALES[2:4]
    tall = [SimpleNamespace(scale=scale, box=(0.0, 5.0, 90.0, 65.0)) for _ in spared]
    asked = []

    def at(one: int, each: Fraction, heights: object) -> object:
        asked.append(each)
        return SimpleNamespace(readable=readable, box=(0.0, 1.0, 40.0, 61.0 - spared[one]))

    monkeypatch.setattr(sizing, "_at", at)
    monkeypatch.setattr(sizing, "_heights", lambda one: ())
    found = sizing._smaller([0, 1], tall)  # type: ignore[list-item, arg-type]
    assert len(found) == (2 if taken else 0)
    assert asked == [below, below]


def test_what_shapes_a_pattern_is_said_once_for_each_line(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a pattern of the face side: a taper once for each end that it runs from, an end cut that is not tilted, an
    arch; not what lies on another piece, nor an end cut across the thickness."""
    said: list[tuple[str, list[Any], bool]] = []

    def noted(job: Any, cut: Any, places: list[Any], part: Any, brief: bool = False) -> str:
        said.append((cut.name, places, brief))
        return str(cut.name)

    monkeypatch.setattr(patterns, "said_of", noted)

    def place(piece: str, face: Face, second: Face | None = None) -> Any:
        return SimpleNamespace(piece=piece, face=face, second=second)

    def cut(name: str, kind: CutKind, *on: Any, tilt: object = None) -> Any:
        return SimpleNamespace(name=name, kind=kind, tilt=tilt, on=on)

    edge, far, back = (place("L", face, Face.B) for face in (Face.EDGE, Face.FAR_EDGE, Face.BACK))
    other_end, elsewhere = place("L", Face.EDGE, Face.A), place("M", Face.EDGE, Face.B)
    slope, thick = place("L", Face.B, Face.EDGE), place("L", Face.B, Face.FACE)
    cuts = [
        cut("taper", CutKind.TAPER, edge, far, back, other_end, elsewhere),
        cut("slope", CutKind.END_CUT, slope, thick, place("M", Face.B, Face.EDGE), place("L", Face.B)),
        cut("tilted", CutKind.END_CUT, slope, tilt=Fraction(5)),
        cut("arch", CutKind.ARCH, edge, elsewhere),
        cut("groove", CutKind.GROOVE, edge),
    ]
    job: Any = SimpleNamespace(build=SimpleNamespace(cuts=cuts))
    group: Any = SimpleNamespace(marks=("L", "M"), faces=(Face.FACE,), part=None)
    names = list(patterns._cut_words(job, group))
    assert said == [
        ("taper", [edge, far], False),
        ("taper", [other_end], False),
        ("slope", [slope], False),
        ("arch", [edge], True),
    ]
    assert names == ["taper", "taper", "slope", "arch"]


@pytest.mark.parametrize(
    ("width", "depth", "told"),
    [
        ("", "6", "cut-out in the back face, 6 mm deep, along 0 to 300, across 10 to 16"),
        ("", "", "cut-out in the back face, right through, along 0 to 300, across 10 to 16"),
        ("15", "6", "cut-out in the back face, 6 mm deep, corners of radius 15 mm, along 0 to 300, across 10 to 16"),
    ],
)
def test_a_cut_of_another_revision_is_told_by_its_sizes(width: str, depth: str, told: str) -> None:
    state: Any = SimpleNamespace(display=MM)
    cut = CutState("hand hole", "cut-out", "back face", ("0", "300"), ("10", "16"), depth, width)
    assert cut_words(state, cut) == told
