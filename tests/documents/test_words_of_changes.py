"""How sizes, places, joints, cuts and holes read where two revisions are compared, written out by hand."""

from __future__ import annotations

import pytest

from shopdocs.documents.revised.state import BuildState, CutState, HoleState, JointState
from shopdocs.documents.revised.told import (
    cut_words,
    holes_words,
    joint_at,
    joint_words,
    place_words,
    size_words,
)

MM = BuildState("Bench", "B", "A", "nomadu", "mm", "1/2")
INCH = BuildState("Bench", "B", "A", "nomadu", "in", "127/80")


@pytest.mark.parametrize(
    ("cut", "words"),
    [
        (
            CutState("slot", "groove", "back face", ("20", "280"), ("10", "16"), "5", ""),
            "groove in the back face, 5 mm deep, along 20 to 280, across 10 to 16",
        ),
        (
            CutState("hand", "cut-out", "face side", ("100", "200"), ("48", "72"), "", "12"),
            "cut-out in the face side, right through, corners of radius 12 mm, along 100 to 200, across 48 to 72",
        ),
        (
            CutState("edge", "bevel", "face side and face edge", ("0", "560"), (), "4", "6"),
            "bevel where face side and face edge meet, 6 mm × 4 mm, along 0 to 560",
        ),
        (
            CutState("edge", "rounding", "end A and face edge", ("0", "12"), (), "", "20"),
            "rounding where end A and face edge meet, 20 mm, along 0 to 12",
        ),
        (
            CutState("foot", "end cut", "end B and far edge", ("380", "400"), (), "20", ""),
            "end B sawn off square, shorter at the far edge by 20 mm",
        ),
        (
            CutState("foot", "end cut", "end B and far edge", ("380", "400"), (), "", ""),
            "end B sawn off square, shorter at the far edge",
        ),
        (
            CutState("turned", "round", "", ("0", "400"), (), "", "", ("0 16", "170 24", "180 to 220", "400 31/2")),
            "round, Ø 16 at 0, Ø 24 at 170, Ø 15.5 at 400, pommel from 180 to 220",
        ),
        (
            CutState("lip", "outline", "face side", ("0", "300"), ("0", "120"), "", "", ("0 60", "0 10 rounded 4")),
            "outline of the face side by the points 0 × 60, 0 × 10 rounded 4",
        ),
        (
            CutState("lip", "outline", "face side", ("0", "300"), ("0", "120"), "", "", ("hollow 260 -1/2 rise 5",)),
            "outline of the face side by the points hollow 260 × −0.5 rise 5",
        ),
        (
            CutState(
                "lip", "outline", "face side", ("0", "300"), ("0", "120"), "", "", ("bulge across rise 8", "0 60")
            ),
            "outline of the face side by the points bulge across rise 8, 0 × 60",
        ),
    ],
)
def test_a_cut_is_told_as_a_maker_would_set_it_out(cut: CutState, words: str) -> None:
    assert cut_words(MM, cut) == words


def test_lengths_are_told_in_the_units_of_their_revision() -> None:
    """By hand: 19.05 mm are 3/4 in, 6.35 mm 1/4 in, 304.8 mm a foot."""
    cut = CutState("slot", "groove", "back face", ("0", "1524/5"), ("127/20", "381/20"), "127/20", "")
    assert cut_words(INCH, cut) == "groove in the back face, ¹⁄₄ in deep, along 0 to 12, across ¹⁄₄ to ³⁄₄"
    assert size_words(INCH, ("381/20", "254/5", "1524/5")) == "³⁄₄ × 2 × 12 in"


def test_sizes_and_places_that_nobody_wrote_are_said_to_be_missing() -> None:
    assert size_words(MM, ("20", "60", "400")) == "20 × 60 × 400 mm"
    assert size_words(MM, ()) == "not stated"
    assert place_words(MM, ("5", "10", "15", "20", "60", "400")) == "5 / 10 / 15 mm from the left, the front, the floor"
    assert place_words(MM, ()) == "no place"


def test_a_joint_is_told_with_its_sizes_and_where_it_is_cut() -> None:
    joint = JointState(
        3, "L1", "mortise and tenon", "into the face side", {"thick": "8", "long": "30"}, True, True, ("240", "100")
    )
    assert joint_words(MM, joint) == "mortise and tenon, into the face side; thick 8 mm, long 30 mm"
    assert joint_at(MM, joint) == "its middle 240 along, 100 across"
    dry = JointState(3, "L1", "housing", "into the back", {}, False, False, (), "15° off square")
    assert joint_words(MM, dry) == "housing, into the back, dry"
    assert joint_at(MM, dry) == "15° off square"
    assert joint_at(MM, JointState(3, "L1", "housing", "into", {}, True, False)) == ""
    both = JointState(3, "L1", "housing", "into", {}, True, False, ("1", "2"), "15° off square")
    assert joint_at(MM, both) == "its middle 1 along, 2 across, 15° off square"


def test_of_many_holes_the_first_are_told() -> None:
    """Four with their centres, and how many more there are."""
    holes = [HoleState("knob", "back", str(10 * k), "20", "4", "12", "pilot") for k in range(1, 7)]
    one = "Ø 4 mm 12 mm deep at 10 × 20"
    assert holes_words(MM, holes[:1]) == one
    assert holes_words(MM, holes[:4]).count("Ø") == 4 and "more" not in holes_words(MM, holes[:4])
    told = holes_words(MM, holes)
    assert told.startswith(f"{one}; Ø 4 mm 12 mm deep at 20 × 20; ") and told.endswith("at 40 × 20 and 2 more")
    through = HoleState("bolt", "back", "5", "6", "8", "", "clearance", "5.71° off square")
    assert holes_words(MM, [through]) == "Ø 8 mm through at 5 × 6, 5.71° off square"
    assert holes_words(MM, []) == ""
