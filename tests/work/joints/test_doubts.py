"""What is told of joints that can hardly be made, each held against a rule by hand, from both sides.

Rules of the trade, common practice, no source: 6 mm of wood beside a cut, or below it; a tenon a third of its wood and
no thicker than half; a dowel a third to half; no chisel under 3 mm."""

from __future__ import annotations

import pytest

from shopdocs.core.length import Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import JointKind
from shopdocs.model.parts import Direction
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import cuts_that_meet, joined_pieces, work_out
from shopdocs.work.space.placed import PlacedPiece, Pose, Toward
from tests.work.scenes import spot

X, Y, Z = (Toward(direction) for direction in Direction)
ERROR, WARNING = Severity.ERROR, Severity.WARNING


def post(deep: int = 40) -> PlacedPiece:
    """40 wide (x), as deep as said (y), 400 high."""
    return PlacedPiece("P", "post", spot(0, 0, 0), Length(400), Length(40), Length(deep), Pose(Z, X, Y))


def rail(y: int | str = 8, z: int | str = 170, thick: int = 24, wide: int = 60, mark: str = "R") -> PlacedPiece:
    """On the right side of the post, `y` from its front and `z` from its foot."""
    return PlacedPiece(mark, "rail", spot(40, y, z), Length(300), Length(wide), Length(thick), Pose(X, Z, Y))


def tenon(thick: int | None, shoulder: int | str = 8) -> JointSizes:
    sizes = None if thick is None else Length(thick)
    return JointSizes(JointKind.MORTISE_AND_TENON, sizes, length=Length(20), shoulder=Length(shoulder), step=Length(1))


def dowels(thick: int, count: int = 2) -> JointSizes:
    return JointSizes(JointKind.DOWELS, Length(thick), length=Length(40), count=count)


def loose(wide: int) -> JointSizes:
    return JointSizes(JointKind.LOOSE_TENON, Length(8), width=Length(wide), length=Length(40), count=2)


def tails(wide: int | str, long: int | None = None) -> JointSizes:
    length = None if long is None else Length(long)
    return JointSizes(JointKind.DOVETAIL, width=Length(wide), length=length, count=2)


LAP, BRIDLE = JointSizes(JointKind.HALF_LAP), JointSizes(JointKind.BRIDLE, Length(8))
GROOVED = JointSizes(JointKind.TONGUE_AND_GROOVE, Length(8), length=Length(8))

DOUBTED = [
    # The rail is flush with the post's top: the shoulder is what is left over the mortise.
    (rail(z=340), tenon(8, 5), "thin-end", WARNING, "near the end of P leaves 5 mm of wood"),
    (rail(z=340), tenon(8, 6), "", None, ""),
    (rail(), tenon(8, 30), "no-tenon-left", ERROR, "leave no tenon"),  # 60 - 2 x 30
    (rail(), tenon(13), "tenon-thick", WARNING, "13 mm of the 24 mm of R"),
    (rail(), tenon(12), "", None, ""),
    (rail(y=17, thick=7), tenon(None), "thin-tenon", WARNING, "only 2 mm thick"),  # a third of 7 is 2.3
    (rail(y=16, thick=8), tenon(None), "", None, ""),  # of 8 it is 2.7, made 3
    (rail(y=17), tenon(8), "hangs-over", ERROR, "R stands 1 mm past P"),  # 17 + 24 - 40
    (rail(y=16), tenon(8), "", None, ""),
    (rail(y=40), tenon(8), "not-face-to-face", ERROR, "R and P do not meet face to face"),  # they share an edge
    (rail(), LAP, "lap-inside", ERROR, "inside P"),  # from 8 to 20 of 40
    (rail(y=0), LAP, "", None, ""),
    (rail(), dowels(7), "dowel-size", WARNING, "7 mm in wood 24 mm thick"),  # a third of 24 is 8, half is 12
    (rail(), dowels(8), "", None, ""),
    (rail(), dowels(12), "", None, ""),
    (rail(), dowels(13), "dowel-size", WARNING, "13 mm in wood 24 mm thick"),
    # Four of 8 with as much wood between them take 64 of 60, three take 48.
    (rail(), dowels(8, 4), "no-room", ERROR, "4 dowels of 8 mm do not fit well in 60 mm"),
    (rail(), dowels(8, 3), "", None, ""),
    (rail(), loose(30), "no-room", ERROR, "2 loose tenons 30 mm wide do not fit in 60 mm"),
    (rail(), loose(29), "", None, ""),
    # Two tails on 60 have 30 each. Over 40 at 1 in 8 a tail is 5 narrower on either side, so it must be wider than 10.
    (rail(y=0), tails(30), "tails-do-not-fit", ERROR, "2 tails 30 mm wide in 60 mm"),
    (rail(y=0), tails(29), "", None, ""),
    (rail(y=0), tails(10), "tails-do-not-fit", ERROR, "2 tails 10 mm wide"),
    (rail(y=0), tails(11), "", None, ""),
    (rail(y=0), tails(20, 38), "thin-lap", WARNING, "the lap before the tails is 2 mm"),
    (rail(y=0), tails(20, 37), "", None, ""),  # 3 is enough
    (rail(), tails(20), "dovetail-not-at-the-end", ERROR, "R does not meet P at its end"),
    (rail(), BRIDLE, "bridle-not-at-the-end", ERROR, "R does not meet P at its end"),
    (rail(z=340), BRIDLE, "", None, ""),
    (rail(), JointSizes(JointKind.DOWELS, count=0), "no-count", ERROR, "a joint of none"),
    (rail(y=16), GROOVED, "", None, ""),
]


@pytest.mark.parametrize(("piece", "sizes", "code", "severity", "words"), DOUBTED)
def test_one_joint(piece: PlacedPiece, sizes: JointSizes, code: str, severity: Severity | None, words: str) -> None:
    found = work_out(piece, post(), sizes).doubts
    assert [(doubt.code, doubt.severity) for doubt in found] == ([(code, severity)] if code else [])
    assert all(words in doubt.wrong for doubt in found)


@pytest.mark.parametrize(("shoulder", "told"), [("1.4", True), ("1.5", False), ("0", True)])
def test_two_mortises_side_by_side(shoulder: str, told: bool) -> None:
    """Two rails one over the other: between their mortises are two shoulders, and 3 mm is the least that stands; at
    nothing they touch."""
    names = [(rail(z=100, mark="R"), "1"), (rail(z=160, mark="S"), "2")]
    sizes = [
        JointSizes(JointKind.MORTISE_AND_TENON, Length(8), length=Length(20), shoulder=Length(shoulder), name=n)
        for _, n in names
    ]
    joints = [(piece.mark, "P", each) for (piece, _), each in zip(names, sizes, strict=True)]
    pieces, _ = joined_pieces([post(), *(piece for piece, _ in names)], joints)
    doubts = cuts_that_meet(next(piece for piece in pieces if piece.mark == "P"))
    assert [doubt.code for doubt in doubts] == (["joints-close-inside"] if told else [])


@pytest.mark.parametrize(("depth", "told"), [(14, []), (15, ["thin-lap"])])
def test_a_cross_lap_leaves_wood_in_both(depth: int, told: list[str]) -> None:
    """Bars 20 thick that cross: 14 cut out of one leaves 6 in it, and 15 only 5."""
    one = PlacedPiece("A", "bar", spot(0, 130, 0), Length(300), Length(40), Length(20), Pose(X, Y, Z))
    two = PlacedPiece("B", "bar", spot(130, 0, 0), Length(300), Length(40), Length(20), Pose(Y, X, Z))
    doubts = work_out(one, two, JointSizes(JointKind.HALF_LAP, depth=Length(depth))).doubts
    assert [doubt.code for doubt in doubts] == told
