"""Doubts that slips in the plate rack brought up, each by its code; the rack as it is raises none of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.pipeline import check_build
from tests.checks.test_slips import told
from tests.sample_jobs import BY_NAME

SLATS = "from: upper slat\n    into: [front rail, rear rail]"
GROOVED = "{piece: [long rail, short rail], face: back, across: 1/2"
ALL_BUT_ONE = ", ".join(f"U{n} into {rail}" for n in range(1, 7) for rail in ("FU", "BU") if (n, rail) != (6, "BU"))


@pytest.mark.parametrize(
    ("old", "new", "code", "said"),
    [
        # Six slats lie against the rear rail with the whole of their far ends.
        (SLATS, "from: upper slat\n    into: front rail", "bare-end", "of each of U1 U2 U3 U4 U5 U6 lies against BU"),
        # of one slat alone
        (
            SLATS,
            f"pieces: [{ALL_BUT_ONE}]",
            "bare-end",
            "end B of U6 lies against BU",
        ),
        # The panel's long edges lie against both rear rails.
        ("into: [post, rear rail]\n", "into: post\n", "bare-end", "edge of BK lies against B"),
        # 1-1/2 in of screw, less half an inch of strip at the most, in a rail of 3/4 in.
        ("'#6 x 1/2', as: pilot, depth: 1/2}\n", "'#6 x 1-1/2', as: pilot, depth: 1/2}\n", "screw-through", "'FU'"),
        # 3/4 - 5/8 = 1/8 in, 3.2 mm, for the point of the bit.
        ("recess, depth: 5/16", "recess, depth: 5/8", "recess-floor", "leaves 1/8 in of 'BU'"),
        ("{piece: BU, face: back, along", "{piece: BU, face: face, along", "hung-in-front", "the face side of 'BU'"),
        # FU's strip of hooks holds it to nothing.
        ("y: 3/8, z: BU.bottom", "y: 3, z: BU.bottom", "left-out", "'FU' of 'front rail'"),
    ],
)
def test_a_slip_raises_its_doubt(tmp_path: Path, old: str, new: str, code: str, said: str) -> None:
    problems = told("rack", {"old": old, "new": new}, tmp_path)
    assert any(one.code == code and said in one.wrong for one in problems), problems


def test_one_wood_at_two_prices(tmp_path: Path) -> None:
    """94.0 is 8 times 11.80; three times is more than any step from 4/4 to 8/4 costs (common practice, no source)."""
    slip = {"shop": True, "old": "maple 4/4: 9.40", "new": "maple 4/4: 94.0"}
    assert [one.code for one in told("rack", slip, tmp_path)] == ["price-apart"]
    assert told("rack", {**slip, "new": "maple 4/4: 4.40"}, tmp_path) == ()


def test_a_stage_said_to_be_glued_in_a_few_minutes(tmp_path: Path) -> None:
    """By hand, at the pace that the README names: an end of the potting table has two joints, or three with what is
    between them, and clamps to turn: no less than a minute for each. Two minutes are a slip for twelve or twenty; five
    are quick, not impossible."""
    slip = {"old": "minutes: 18", "new": "minutes: 2"}
    (doubt,) = told("table", slip, tmp_path)
    assert (doubt.code, "'Left end' is to take 2 min" in doubt.wrong) == ("hurried", True)
    assert told("table", {**slip, "new": "minutes: 5"}, tmp_path) == ()


def test_a_number_in_the_name_of_a_wood(tmp_path: Path) -> None:
    """No row of the Wood Handbook's tables of shrinkage has a figure in its name, so '4/4' beside a wood is a size."""
    slip = {"old": "species: white oak", "new": "species: white oak 8/4"}
    (doubt,) = told("table", slip, tmp_path)
    assert (doubt.code, "'white oak 8/4' has a number in it" in doubt.wrong) == ("species", True)


def test_a_button_right_over_a_stretcher(tmp_path: Path) -> None:
    """By hand: the stretcher of the bench lies in the middle of its depth, 1-1/2 in under the top; a button of 3/4 in
    leaves 3/4 in for a screw of 1-1/4 in and whatever turns it. Those along the rails stand over the floor."""
    text = (BY_NAME["threshold_bench"] / "build.yaml").read_text("utf-8")
    row = "      - {piece: T, face: back, along: [6, length / 2, length - 6], across: 2-3/4}\n"
    assert row in text
    build = tmp_path / "build.yaml"
    ends = "      - {piece: T, face: back, along: [2-3/4, length - 2-3/4], across: width / 2}\n"
    text = text.replace("count: 6\n", "count: 8\n").replace("{piece: long rail, face: back, across: 1/2", GROOVED)
    (tmp_path / "shop.yaml").write_bytes((BY_NAME["threshold_bench"] / "shop.yaml").read_bytes())
    for more, said in (("", []), (ends, ["no-driver-room"])):
        build.write_text(text.replace(row, row + more).replace("count: 8", "count: 8" if more else "count: 6"), "utf-8")
        assert [one.code for one in check_build(str(build))[2]] == said


def test_a_screw_in_words_that_is_one_over_nothing_long(tmp_path: Path) -> None:
    """No length stands there, so none is compared."""
    text = (BY_NAME["threshold_bench"] / "build.yaml").read_text("utf-8")
    assert "with a #8 x 1-1/4 in" in text
    (tmp_path / "build.yaml").write_text(text.replace("with a #8 x 1-1/4 in", "with a #8 x 1/0 in"), "utf-8")
    (tmp_path / "shop.yaml").write_bytes((BY_NAME["threshold_bench"] / "shop.yaml").read_bytes())
    assert check_build(str(tmp_path / "build.yaml"))[2] == ()
