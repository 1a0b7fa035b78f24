"""Breadboard ends by hand: the tongue, the groove, and room for the panel to move past its pins."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.core.problems import Severity
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import make_job
from shopdocs.documents.shopping import shopping_list
from shopdocs.model.joining import Face, Joint, JointKind
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.kinds.kind import Stated
from shopdocs.model.parts import Direction, Part, Piece
from shopdocs.pipeline import check_build
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import joined_pieces, work_out
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Bore, Cuboid, PlacedPiece, Pose, Scene, Spot, Toward
from shopdocs.work.space.wrong_ways import wrong_ways

X, Y, Z = (Toward(direction) for direction in Direction)


def inches(*values: str | int) -> Spot:
    a, b, c = (Length.inches(value) for value in values)
    return (a, b, c)


def board(cross: PlacedPiece | None = None) -> tuple[PlacedPiece, PlacedPiece]:
    """A panel 24 x 15 x 7/8 and a cross piece 2-1/2 wide on its end B."""
    panel = PlacedPiece("P", "panel", inches(0, 0, 0), *inches(24, 15, "7/8"), Pose(X, Y, Z))
    return panel, cross or PlacedPiece("E", "end", inches(24, 0, 0), *inches(15, "5/2", "7/8"), Pose(Y, X, Z))


def sizes(**more: object) -> JointSizes:
    values = {"thickness": "5/16", "length": "5/4", "width": "1/4", "room": "1/16"}
    lengths = {key: Length.inches(text) for key, text in values.items() if key not in more}
    return JointSizes(JointKind.BREADBOARD_END, name="1", **lengths, **more)  # type: ignore[arg-type]


def test_a_breadboard_end_by_hand() -> None:
    """Tongue 5/16 in the middle of 7/8: 9/32 to 19/32 deep; 1-1/4 long, in a groove of 1-5/16.

    Three pins over 15: at 2-1/2, 7-1/2, 12-1/2, half way along the tongue, so 24-5/8 from end A of the panel and 5/8
    from the inner edge of the cross piece. 5 in from the middle the panel moves 5/96 in, which is less than 1/16: a
    slot of 1/4 + 2 x 1/16 = 3/8. Glue: two cheeks, 1-1/4 x 15/5 = 3-3/4 each, 7-1/2 square inches."""
    panel, cross = board()
    joinery = work_out(panel, cross, sizes(count=3))
    tongue, *holes = joinery.entering
    assert isinstance(tongue, Cuboid)
    assert (tongue.lo, tongue.hi) == (inches(24, 0, "9/32"), inches("101/4", 15, "19/32"))
    groove, *bores = joinery.receiving
    assert isinstance(groove, Cuboid)
    assert (groove.lo, groove.hi) == (inches(0, 0, "9/32"), inches(15, "21/16", "19/32"))
    slots = [(hole.centre, hole.slot, hole.diameter.inch) for hole in holes if isinstance(hole, Bore)]
    assert slots == [
        (inches("197/8", "5/2", "9/32"), Length.inches("3/8"), Fraction(1, 4)),
        (inches("197/8", "15/2", "9/32"), None, Fraction(1, 4)),
        (inches("197/8", "25/2", "9/32"), Length.inches("3/8"), Fraction(1, 4)),
    ]
    drilled = [(bore.centre, bore.face, bore.depth) for bore in bores if isinstance(bore, Bore)]
    assert drilled == [(inches(across, "5/8", 0), Face.FACE, None) for across in ("5/2", "15/2", "25/2")]
    assert joinery.glue_area / Fraction(254, 10) ** 2 == Fraction(15, 2)
    assert (joinery.added.inch, joinery.room.inch, joinery.doubts) == (Fraction(5, 4), Fraction(1, 16), ())
    parts = [
        Part(name, "maple", Length.inches("7/8"), Length.inches(wide), Length.inches(24), (Piece(name, name),))
        for name, wide in (("P", 15), ("E", "5/2"))
    ]
    joint = Joint("ends", JointKind.BREADBOARD_END, (), length=Length.inches("5/4"))
    assert KINDS[joint.kind].glue_area(Stated(joint, joint.length, None, Length(0)), *parts) == joinery.glue_area


@pytest.mark.parametrize("count", [3, 5, 7])
def test_the_panel_can_move_past_every_pin(count: int) -> None:
    """1/8 in for every foot from the middle (common practice, no source), half of a slot's play each way; and no slot
    is longer than that by more than the step of 1/16 in either way."""
    panel, cross = board()
    for hole in work_out(panel, cross, sizes(count=count)).entering:
        if isinstance(hole, Bore):
            far = abs(hole.centre[1].inch - Fraction(15, 2))
            play = (hole.slot.inch - hole.diameter.inch) / 2 if hole.slot else Fraction(0)
            assert far / 96 <= play < far / 96 + Fraction(1, 16)


def test_the_wood_of_a_breadboard_end_fits() -> None:
    """The tongue lies in its groove and nowhere else: no wood twice, and all that touches is the tongue's two cheeks
    (1-1/4 x 15 each) and the two shoulders (7/8 less 5/16 is 9/16, x 15)."""
    pieces, _ = joined_pieces(board(), [("P", "E", sizes(count=3))])
    contacts = find_contacts(Scene.of(pieces))
    pair = contacts.between("P", "E")
    assert pair is not None
    assert pair.overlap == 0
    assert contacts.area(pair) / Fraction(254, 10) ** 2 == 2 * Fraction(5, 4) * 15 + Fraction(9, 16) * 15


def test_a_panel_that_is_the_same_upside_down_goes_in_no_wrong_way() -> None:
    """Its tongue lies in the middle of its thickness and its slots go through, alike from both sides."""
    panel, right = board()
    left = PlacedPiece(
        "L", "end", inches("-5/2", 0, 0), *inches(15, "5/2", "7/8"), Pose(Y, Toward(Direction.X, False), Z)
    )
    joints = [("P", "E", sizes(count=3)), ("P", "L", sizes(count=3))]
    pieces, _ = joined_pieces([panel, right, left], joints)
    assert wrong_ways(find_contacts(Scene.of(pieces)), "P") == ()


def test_what_is_wrong_with_a_breadboard_end_is_told() -> None:
    panel, cross = board()

    def told(mate: PlacedPiece = cross, **more: object) -> set[str]:
        return {doubt.code for doubt in work_out(panel, mate, sizes(**{"count": 3, **more})).doubts}

    assert told(count=4) == {"pins-uneven"}
    assert told(thickness=Length.inches("7/8")) == {"tongue-too-thick", "thin-wall"}
    assert told(length=Length.inches("5/2")) == {"thin-floor"}  # 2-9/16 of 2-1/2: nothing is left
    assert told(width=Length.inches("3/4")) == {"pin-near-the-shoulder"}  # 1/4 beside it, less than 3/8
    short = PlacedPiece("E", "end", inches(24, 1, 0), *inches(13, "5/2", "7/8"), Pose(Y, X, Z))
    assert told(short) == {"shorter-than-the-panel"}
    along = PlacedPiece("E", "end", inches(0, 15, 0), *inches(24, "5/2", "7/8"), Pose(X, Y, Z))
    assert told(along) == {"not-across-the-end"}


UNPLACED = """
build: {title: Board, mark: B, units: mm}
materials: {maple: {kind: hardwood, rough: 30}}
parts:
  panel: {material: maple, size: 22 x 380 x 600, pieces: [P]}
  end: {material: maple, size: 22 x 60 x 380, pieces: [EL, ER]}
joints:
  ends: {kind: breadboard end, pieces: [P into EL, P into ER], thickness: 7, length: 30, width: 8}
gluing: {adhesive: slow PVA, stages: [{title: Ends, pieces: [P, EL, ER]}]}
"""


def test_a_board_without_places_is_sawn_with_its_tongues_and_pinned(tmp_path: Path) -> None:
    """600 and two tongues of 30 make 660. Three pins in either end, for three are usual: six. What stays dry is said
    where the first of them is glued, and once."""
    (tmp_path / "build.yaml").write_text(UNPLACED, "utf-8")
    build, shop, problems = check_build(str(tmp_path / "build.yaml"))
    assert build is not None
    assert not [problem for problem in problems if problem.severity is Severity.ERROR]
    job = make_job(build, shop, build.display, "", "A21")
    assert job.rows["P"].joinery.length == Length(660)
    lists = [block for block in walk(shopping_list(job).blocks) if isinstance(block, Checklist)]
    assert "6 × pin Ø 8 mm" in [plain(step.text) for block in lists for step in block.steps]
    steps = [step for block in walk(glue_up(job).blocks) if isinstance(block, Checklist) for step in block.steps]
    said = [plain(step.detail) for step in steps if "Glue only the middle fifth" in plain(step.detail)]
    assert len(said) == 1


@pytest.mark.parametrize(
    ("pin", "severity", "words"),
    [
        ("5/8", None, ""),  # (1-1/4 - 5/8) / 2 is 5/16, half of a pin
        ("3/4", Severity.WARNING, "1/4 in"),  # a quarter is less than 3/8
        ("5/4", Severity.ERROR, "no wood"),  # as thick as the tongue is long
        ("11/8", Severity.ERROR, "no wood"),
    ],
)
def test_wood_beside_a_pin(pin: str, severity: Severity | None, words: str) -> None:
    """Half a pin of wood on either side of it in the tongue is common practice, no source; the tongue is 1-1/4 long."""
    doubts = work_out(*board(), sizes(count=3, width=Length.inches(pin))).doubts
    found = [doubt for doubt in doubts if doubt.code == "pin-near-the-shoulder"]
    assert [doubt.severity for doubt in found] == ([] if severity is None else [severity])
    assert all(words in doubt.wrong for doubt in found)
