"""What changed between two revisions: what an edit does is named, and nothing else."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

from shopdocs.blocks.text import Bullets, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import Job
from shopdocs.documents.revised.compare import Changes, Step, compare, next_revision
from shopdocs.documents.revised.sheet import change_lines, changes_sheet
from shopdocs.documents.revised.state import BuildState, NoState, state_from, state_of
from tests.sample_jobs import SAMPLES, documents_of, job_of, records_of, sample_job

BENCH = next(folder for folder in SAMPLES if folder.name == "threshold_bench")
TEXT = (BENCH / "build.yaml").read_text(encoding="utf-8")


ALL: tuple[str, ...] = ()
PRINTED_ANEW = ("labels",)  # the sheet that edits of single pieces are judged by, quick to make


@cache
def bench(sheets: tuple[str, ...] = ALL) -> BuildState:
    return _state(sample_job(BENCH, "in"), sheets)


def _state(job: Job, sheets: tuple[str, ...]) -> BuildState:
    return state_of(job, make_documents(job, sheets) if sheets else documents_of(job), records_of(job))


def _edited(folder: Path, *edits: tuple[str, str], sheets: tuple[str, ...] = PRINTED_ANEW) -> Changes:
    """What differs after the edits, by the pieces, their records and these sheets."""
    text = TEXT
    for old, new in edits:
        assert old in text, old
        text = text.replace(old, new, 1)
    (folder / "build.yaml").write_text(text, encoding="utf-8")
    (folder / "shop.yaml").write_bytes((BENCH / "shop.yaml").read_bytes())
    return compare(bench(sheets), _state(job_of(folder / "build.yaml"), sheets))


def _marks(changes: Changes, what: str) -> set[str]:
    return {piece.mark for piece in changes.pieces for change in piece.changes if change.what == what}


def test_two_readings_of_one_build_differ_in_nothing(tmp_path: Path) -> None:
    changes = _edited(tmp_path, sheets=ALL)
    assert not changes.any
    assert changes.proposed == ""
    assert change_lines(changes)[1:] == ("nothing that is printed changed",)


def test_a_comment_moves_all_lines_and_changes_no_sheet(tmp_path: Path) -> None:
    changes = _edited(tmp_path, ("build:\n", "# a line more\nbuild:\n"), sheets=ALL)
    assert not changes.any
    assert changes.old.check_word != changes.new.check_word  # the text is another, so the word is another


# Each edit with the marks whose finished size it changes, worked out from the build by hand: the rails' lengths follow
# from the legs' places, the stretcher's from the short rails', the top spans the whole bench.
EDITS: tuple[tuple[tuple[tuple[str, str], ...], set[str]], ...] = (
    (
        (("  width: 44", "  width: 45"), ("overall: 44 x", "overall: 45 x")),
        {"RF", "RB", "ST", "T"},
    ),
    (
        (("  depth: 15", "  depth: 16"), ("x 15 x 18", "x 16 x 18")),
        {"RL", "RR", "T"},
    ),
    (
        (("  height: 18", "  height: 17"), ("x 15 x 18", "x 15 x 17")),
        {"FL", "FR", "BL", "BR"},
    ),
    ((("    thickness: 3/4\n    width: 2\n", "    thickness: 3/4\n    width: 2-1/4\n"),), {"ST"}),
    ((("  rail: 3-1/2", "  rail: 3-5/8"),), {"RF", "RB", "RL", "RR"}),
)


@pytest.mark.parametrize("seed", range(len(EDITS)))
def test_an_edit_names_the_pieces_it_changes_and_no_others(tmp_path: Path, seed: int) -> None:
    edits, finished = EDITS[seed]
    changes = _edited(tmp_path, *edits)
    assert _marks(changes, "finished") == finished
    # a label tells the finished size: those at least are printed anew; a strip tells its rough size
    assert finished <= set(changes.labels)
    assert finished <= set(changes.records)


def test_edits_taken_together_change_what_each_of_them_changes(tmp_path: Path) -> None:
    some = EDITS[:1] + EDITS[3:]  # the others change words that these change too
    changes = _edited(tmp_path, *(edit for edits, _ in some for edit in edits))
    assert _marks(changes, "finished") == set.union(*(marks for _, marks in some))


def test_what_is_in_hand_is_judged_by_what_is_missing_and_what_is_over(tmp_path: Path) -> None:
    """Width 44 to 43 and tenons 1-1/4 to 1-3/8: a long rail spans leg to leg, so it loses 1 in, and its two tenons win
    1/8 in each: from 41 in to 40-1/4 in with joinery, so 3/4 in comes off, sawn or planed. The tenons that are cut are
    1/8 in too short for the mortises, but a mortise can be cut deeper."""
    edits = (("  width: 44", "  width: 43"), ("overall: 44 x", "overall: 43 x"), ("  tenon: 1-1/4", "  tenon: 1-3/8"))
    changes = _edited(tmp_path, *edits)
    by_mark = {piece.mark: {verdict.step: verdict for verdict in piece.verdicts} for piece in changes.pieces}
    rail, leg, top = by_mark["RF"], by_mark["FL"], by_mark["T"]
    assert rail[Step.SAWN].good and rail[Step.SAWN].words == "enough wood: take ³⁄₄ in off the length"
    assert rail[Step.PLANED].good and rail[Step.PLANED].words == "enough wood: take ³⁄₄ in off the length"
    assert not rail[Step.JOINTED].good
    assert leg[Step.JOINTED].good and leg[Step.JOINTED].words == "cut it larger for RF"
    assert Step.SAWN not in leg
    assert top[Step.PLANED].words == "enough wood: take 1 in off the length"
    assert not top[Step.DRILLED].good  # the middle row of buttons stands at half the length


def test_a_shorter_tenon_is_cut_down_and_its_mortise_stays(tmp_path: Path) -> None:
    changes = _edited(tmp_path, ("  tenon: 1-1/4", "  tenon: 1-1/8"))
    by_mark = {piece.mark: piece for piece in changes.pieces}
    said = [verdict.words for verdict in by_mark["FL"].verdicts]
    assert said == ["deeper than it need be for RF: leave it"]
    assert {v.words for v in by_mark["RF"].verdicts if v.step is Step.JOINTED} == {
        "cut what goes into FL down to its new size; cut what goes into FR down to its new size"
    }


def test_pieces_that_come_and_go_are_told_with_their_paper(tmp_path: Path) -> None:
    one, other = (
        f"      {mark}: {{x: RL.right to RR.left, y: {y}, z: RL.bottom}}\n" for mark, y in (("ST", 5), ("SU", 10))
    )
    first = "      ST: {x: RL.right to RR.left, y: centred on depth / 2, z: RL.bottom}\n"
    changes = _edited(tmp_path, (first, one + other), ("pieces: [RF, RB, ST]", "pieces: [RF, RB, ST, SU]"))
    assert [piece.mark for piece in changes.pieces if piece.old is None] == ["SU"]
    assert "SU" in changes.labels and "SU" in changes.records
    back = compare(changes.new, changes.old)
    assert [piece.mark for piece in back.pieces if piece.new is None] == ["SU"]
    assert back.void_labels == ("SU",) and back.void_records == ("SU",)
    assert "SU" in back.glued


def test_a_state_comes_back_from_its_json_as_it_was() -> None:
    kept = json.loads(json.dumps({"state": bench().as_json()}))
    assert state_from(kept) == bench()


@pytest.mark.parametrize(
    ("figures", "said"),
    [
        ([], "no state of a build"),
        ({"build": {}}, "no state of a build"),
        ({"state": {"format": 99}}, "format 99"),
        ({"state": {"format": 1, "title": 3}}, "damaged"),
        (
            {
                "state": {
                    "format": 1,
                    "title": "x",
                    "mark": "x",
                    "revision": "",
                    "check_word": "",
                    "units": "in",
                    "step": "1/0",
                }
            },
            "damaged",
        ),
    ],
)
def test_what_is_no_state_says_so(figures: object, said: str) -> None:
    with pytest.raises(NoState, match=said):
        state_from(figures)


@pytest.mark.parametrize(
    ("before", "after"),
    # letters in the order of the alphabet, as revisions of drawings go (common practice, no source)
    [
        ("", "A"),
        ("A", "B"),
        ("Z", "AA"),
        ("AZ", "BA"),
        ("ZZ", "AAA"),
        ("c", "d"),
        ("3", "4"),
        ("R09", "R10"),
        ("second", ""),
        ("draft two", ""),
    ],
)
def test_the_next_revision(before: str, after: str) -> None:
    assert next_revision(before) == after


def test_a_blank_with_less_to_mill_off_still_serves(tmp_path: Path) -> None:
    """The shop saws 1 in over in length. Legs 1/2 in taller leave 1/2 in of it, legs 1 in taller nothing; legs 1-1/2 in
    taller are 1/2 in short of the new length, and so 1-1/2 in short of a blank as one would saw it."""
    for taller, good, words in (
        ("18-1/2", True, "enough wood, with only ¹⁄₂ in of length to mill off"),
        ("19", False, "1 in short in length: saw a new piece"),  # not a shaving to take off
        ("19-1/2", False, "1¹⁄₂ in short in length: saw a new piece"),
    ):
        edits = ("  height: 18", f"  height: {taller}"), ("x 15 x 18", f"x 15 x {taller}")
        (leg,) = [piece for piece in _edited(tmp_path, *edits).pieces if piece.mark == "FL"]
        (sawn,) = [verdict for verdict in leg.verdicts if verdict.step is Step.SAWN]
        assert (sawn.good, sawn.words) == (good, words)


@pytest.mark.parametrize(
    ("cut", "old", "new"),
    [
        ("{kind: cut-out, radius: %s, on: [{piece: S, face: face side, along: 100 to 200, across: 20 to 60}]}", 15, 12),
        ("{kind: rounding, width: %s, on: [{piece: S, corners: B}]}", 30, 25),
        (
            "{kind: notch, depth: through, radius: %s, on: [{piece: S, face: back, along: 0 to 50, across: 0 to 40}]}",
            9,
            8,
        ),
    ],
)
def test_another_radius_is_named(tmp_path: Path, cut: str, old: int, new: int) -> None:
    text = (
        "build: {title: Trial, mark: T, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 34}}\n"
        "parts: {slab: {material: oak, size: 20 x 100 x 400, pieces: [S]}}\ncuts:\n  one: "
    )
    states = []
    for number, radius in enumerate((old, new)):
        path = tmp_path / f"{number}.yaml"
        path.write_text(text + cut % radius + "\n", "utf-8")
        states.append(_state(job_of(path), PRINTED_ANEW))
    (piece,) = compare(*states).pieces
    (change,) = [change for change in piece.changes if change.what == "cut one"]
    assert f"{old} mm" in change.old and f"{new} mm" in change.new


HAND = "on: [{piece: S, face: face side, along: 100 to 200, across: 30 to 60}]"
LONG = "groove, depth: 5, on: [{piece: S, face: back, across: 10 to 16}]"
SHORT = "groove, depth: 5, on: [{piece: S, face: back, along: 20 to 80, across: 10 to 16}]"
BEVEL = "bevel, width: 6, depth: 4, on: [{piece: S, edge: face and edge}]"
CORNER = "rounding, width: 20, on: [{piece: S, corners: A}]"


@pytest.mark.parametrize(
    ("cut", "edit", "good"),
    [
        (LONG, ("depth: 5", "depth: 6"), True),
        (LONG, ("10 to 16", "10 to 17"), True),
        (LONG, ("10 to 16", "9 to 16"), True),
        (LONG, ("depth: 5", "depth: 4"), False),
        (LONG, ("10 to 16", "11 to 17"), False),
        (LONG, ("10 to 16", "9 to 15"), False),
        (LONG, ("face: back", "face: face side"), False),
        (SHORT, ("20 to 80", "20 to 90"), True),
        (SHORT, ("20 to 80", "25 to 90"), False),
        (SHORT, ("20 to 80", "10 to 75"), False),
        (f"cut-out, radius: 12, {HAND}", ("radius: 12", "radius: 10"), True),
        (f"cut-out, radius: 12, {HAND}", ("radius: 12", "radius: 14"), False),
        (f"recess, depth: 6, {HAND}", ("recess, depth: 6", "cut-out"), False),
        (BEVEL, ("width: 6", "width: 8"), True),
        (BEVEL, ("depth: 4", "depth: 6"), True),
        (BEVEL, ("width: 6, depth: 4", "width: 4, depth: 6"), False),
        (CORNER, ("width: 20", "width: 24"), True),
        (CORNER, ("width: 20", "width: 18"), False),
    ],
)  # fmt: skip
def test_a_cut_that_takes_more_off_is_cut_larger(tmp_path: Path, cut: str, edit: tuple[str, str], good: bool) -> None:
    """By hand: what was taken off may stay only where the new cut takes it off as well; corners of a smaller radius,
    cut in wood, take more, roundings of a larger one."""
    text = (
        "build: {title: Trial, mark: T, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 34}}\n"
        "parts: {slab: {material: oak, size: 20 x 100 x 400, pieces: [S]}}\ncuts:\n"
    )
    states = []
    for number, one in enumerate((cut, cut.replace(*edit))):
        path = tmp_path / f"{number}.yaml"
        path.write_text(f"{text}  one: {{kind: {one}}}\n", "utf-8")
        states.append(_state(job_of(path), PRINTED_ANEW))
    (piece,) = compare(*states).pieces
    (verdict,) = [verdict for verdict in piece.verdicts if verdict.step is Step.JOINTED]
    assert verdict.good == good
    if good:
        assert verdict.words == "cut the one to its new size"
    else:
        assert verdict.words == "a cut that is made is no longer there: fill it, or make a new piece"


def test_another_outline_is_told_by_its_points(tmp_path: Path) -> None:
    """Only the radius of one arc is other: nothing of its box is, and it is told all the same, with what to do."""
    text = (
        "build: {title: Trial, mark: T, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 34}}\n"
        "parts: {slab: {material: oak, size: 20 x 100 x 400, pieces: [S]}}\ncuts:\n"
        "  one: {kind: outline, on: [{piece: S, face: face side}], mirrored half: ['200, 0', '0, 0', '0, 60', "
        "'hollow to 50, 100, radius %s', '200, 100']}\n"
    )
    states = []
    for number, radius in enumerate((90, 80)):
        path = tmp_path / f"{number}.yaml"
        path.write_text(text % radius, "utf-8")
        states.append(_state(job_of(path), PRINTED_ANEW))
    (piece,) = compare(*states).pieces
    (change,) = [change for change in piece.changes if change.what == "cut one"]
    assert change.old.endswith("200 × 0, 0 × 0, 0 × 60, hollow 50 × 100 radius 90, 200 × 100")
    assert "radius 80" in change.new
    (verdict,) = [verdict for verdict in piece.verdicts if verdict.step is Step.JOINTED]
    assert verdict.words.startswith("it is sawn to another outline") and not verdict.good


def test_a_piece_that_lies_another_way_is_taken_out_again(tmp_path: Path) -> None:
    """A square post turned a quarter about its length fills the same box at the same place, but its face edge looks
    another way: where it is glued in it has to come out."""
    text = (
        "build: {title: Trial, mark: T, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 52}}\n"
        "parts: {post: {material: oak, size: 40 x 40 x 400, runs: {length: z, width: %s}, "
        "pieces: {P: {x: 0, y: 0, z: 0}, Q: {x: 100, y: 0, z: 0}}}}\n"
    )
    states = []
    for width in "xy":
        path = tmp_path / f"{width}.yaml"
        path.write_text(text % width, "utf-8")
        states.append(_state(job_of(path), PRINTED_ANEW))
    changes = compare(*states)
    assert [[change.what for change in piece.changes] for piece in changes.pieces] == [["lies"], ["lies"]]
    assert changes.glued == ("P", "Q")
    assert compare(states[0], states[0]).glued == ()


def test_what_need_no_longer_be_bought_stands_before_the_arrow(tmp_path: Path) -> None:
    """Cork in place of wax: one line is no more on the list, one is there for the first time, and no other."""
    changes = _edited(tmp_path, ("buy: [paste wax,", "buy: [cork,"), sheets=("shopping",))
    assert [(one.what, one.old, one.new) for one in changes.bought] == [
        ("shopping list", "paste wax", ""),
        ("shopping list", "", "cork"),
    ]


@pytest.mark.parametrize(("count", "more"), [(4, ""), (5, " and 1 more"), (7, " and 3 more")])
def test_of_many_holes_the_first_four_are_told(tmp_path: Path, count: int, more: str) -> None:
    """Pegs of 8 instead of 6: the old holes and the new ones are told with their centres, four of each."""

    def state(bit: int) -> BuildState:
        spots = ", ".join(f"{{piece: A, face: face, along: {50 * k}, across: 40}}" for k in range(1, count + 1))
        path = tmp_path / "build.yaml"
        path.write_text(
            "build: {title: Pegs, mark: P, units: mm}\n"
            "materials: {oak: {kind: hardwood, rough: 27}}\n"
            "parts: {board: {material: oak, size: 20 x 80 x 600, pieces: [A]}}\n"
            f"hardware: {{peg: {{holes: [{{bit: {bit}, depth: 12}}], on: [{spots}]}}}}\n",
            "utf-8",
        )
        return _state(job_of(path), PRINTED_ANEW)

    ((change,),) = (piece.changes for piece in compare(state(6), state(8)).pieces)
    for told, bit in ((change.old, 6), (change.new, 8)):
        assert told.count(f"Ø {bit} mm") == 4
        assert told.endswith(f"at 200 × 40{more}")


def _words(table: Table) -> list[list[str]]:
    return [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]


def test_the_sheet_of_changes_tells_the_build_its_pieces_and_what_is_bought(tmp_path: Path) -> None:
    """Another title, a stretcher more and cork in place of wax; told the other way round, all of it goes."""
    one, other = (
        f"      {mark}: {{x: RL.right to RR.left, y: {y}, z: RL.bottom}}\n" for mark, y in (("ST", 5), ("SU", 10))
    )
    first = "      ST: {x: RL.right to RR.left, y: centred on depth / 2, z: RL.bottom}\n"
    changes = _edited(
        tmp_path,
        ("title: Threshold bench", "title: Hall bench"),
        (first, one + other),
        ("pieces: [RF, RB, ST]", "pieces: [RF, RB, ST, SU]"),
        ("buy: [paste wax,", "buy: [cork,"),
        sheets=("shopping",),
    )
    for told, titles, pieces, bought in (
        (
            changes,
            ["Threshold bench", "Hall bench"],
            ["New: stretcher SU"],
            ["no longer: paste wax", "new: cork"],
        ),
        (
            compare(changes.new, changes.old),
            ["Hall bench", "Threshold bench"],
            ["No longer in the build: stretcher SU"],
            ["no longer: cork", "new: paste wax"],
        ),
    ):
        blocks = list(walk(changes_sheet(told).blocks))
        (build,) = (block for block in blocks if isinstance(block, Table) and block.name == "changed-build")
        assert [[column.title for column in build.columns], *_words(build)] == [
            ["Build", "Before", "Now"],
            ["title", *titles],
        ]
        come_and_gone, listed, *_ = (block for block in blocks if isinstance(block, Bullets))
        assert [plain(item) for item in come_and_gone.items] == pieces
        assert {*bought} <= {plain(item) for item in listed.items}  # and more or less glue


def test_the_sheet_of_no_changes_says_so(tmp_path: Path) -> None:
    blocks = changes_sheet(compare(bench(), bench())).blocks
    assert plain(blocks[-1].text) == "Nothing printed has changed."  # type: ignore[union-attr]
