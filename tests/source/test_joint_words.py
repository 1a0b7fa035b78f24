"""Kinds of joints: their names and those of the trade, and the sizes that each of them takes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.core.display import Display
from shopdocs.core.length import Length
from shopdocs.core.problems import NOWHERE
from shopdocs.model.build import Build
from shopdocs.model.joining import End, Joint, JointKind, Meeting
from shopdocs.model.joint_kinds import KINDS, SIZES, kind_lines
from shopdocs.model.parts import Direction
from shopdocs.pipeline import names_text
from shopdocs.source.joint_words import joint_kind
from shopdocs.source.nodes import Scalar
from shopdocs.source.values import Values
from shopdocs.work.cut_list import added_by
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import work_out
from shopdocs.work.joints.room import room_of
from shopdocs.work.space.placed import PlacedPiece, Pose, Toward
from tests.values import replace

X, Y, Z = (Toward(direction) for direction in Direction)
BUILD = Build("Stool", "ST", Display.of("mm"))


def _mm(*values: int) -> tuple[Length, Length, Length]:
    a, b, c = (Length(value) for value in values)
    return (a, b, c)


def _sizes(joint: Joint) -> JointSizes:
    return JointSizes.of(joint, room_of(joint, BUILD))


def _changed(joint: Joint, key: str) -> bool:
    """Whether a size changes anything at a rail on a post, at two pieces that cross or run through one corner, or in
    the cut list."""
    value = 5 if key in ("slope", "count") else Length(11)
    other = replace(joint, **{key: value})
    rail = PlacedPiece("R", "rail", _mm(40, 0, 240), *_mm(300, 60, 24), Pose(X, Z, Y))
    post = PlacedPiece("P", "post", _mm(0, 0, 0), *_mm(300, 40, 24), Pose(Z, X, Y))
    across = PlacedPiece("C", "cross", _mm(100, -100, 240), *_mm(300, 60, 24), Pose(Y, Z, X))
    level = PlacedPiece("F", "stile", _mm(40, 0, 240), *_mm(300, 60, 24), Pose(Z, X, Y))
    corner = PlacedPiece("E", "end", _mm(40, 0, 240), *_mm(300, 60, 24), Pose(Y, Z, X))
    meeting = Meeting(1, "j", "R", "P", End.A)
    if added_by(BUILD, joint, meeting) != added_by(BUILD, other, meeting):
        return True
    mates = (post, across, corner, level)
    return any(work_out(rail, mate, _sizes(joint)) != work_out(rail, mate, _sizes(other)) for mate in mates)


@pytest.mark.parametrize("kind", JointKind)
def test_the_sizes_of_a_kind_are_those_that_change_something(kind: JointKind) -> None:
    """Found by trying every size on every kind; with a length, with a depth, and with neither, for one may stand for
    the other; screws in holes of a given width, for without one there are none."""
    bare = Joint("j", kind, ())
    screws = replace(bare, thickness=Length(4), width=Length(3), length=Length(60))
    long, deep = replace(bare, length=Length(20)), replace(bare, depth=Length(9))
    tries = [bare, long, deep, screws] if kind is JointKind.SCREWED_BUTT else [bare, long, deep]
    found = {key for key in SIZES if any(_changed(joint, key) for joint in tries)}
    assert found == set(KINDS[kind].sizes)


def _said(word: str) -> tuple[JointKind | None, str]:
    values = Values("in")
    kind = joint_kind(Scalar(NOWHERE, word, False), values)
    return kind, " ".join(f"{problem.wrong}; {problem.right}" for problem in values.problems)


@pytest.mark.parametrize("kind", JointKind)
def test_a_kind_is_known_by_its_name_and_listed(kind: JointKind) -> None:
    assert _said(kind.value.upper().replace(" ", "  ")) == (kind, "")
    assert any(line.startswith(kind.value) and all(key in line for key in KINDS[kind].sizes) for line in kind_lines())


# Trade words as they stand in any book on joinery; which is which is common practice, no source.
@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("dado", "housing"),
        ("Stopped dado", "housing"),
        ("trench", "housing"),
        ("rebate", "rabbet"),
        ("mortice and tenon", "mortise and tenon"),
        ("mortise & tenon", "mortise and tenon"),
        ("open mortise", "bridle"),
        ("open mortice", "bridle"),
        ("slip joint", "bridle"),
        ("halving", "half lap"),
        ("cross-lap", "half lap"),
        ("floating tenon", "loose tenon"),
        ("half-blind dovetail", "dovetail"),
        ("Half blind dovetail", "dovetail"),
        ("dowel", "dowels"),
        ("edge-glued", "edge joint"),
        ("screws", "screwed butt"),
        ("box joint", "finger joint"),
        ("comb joint", "finger joint"),
        ("breadboard", "breadboard end"),
        ("splined miter", "splined mitre"),
        ("dovetailed housing", "sliding dovetail"),
        ("spline", "splined edge joint"),
        ("loose tongue", "splined edge joint"),
        ("dovetail dado", "sliding dovetail"),
        ("keyed miter", "keyed mitre"),
        ("through mortise", "through tenon"),
        ("plough", "tongue and groove"),
    ],
)
def test_another_name_of_the_trade_leads_to_ours(word: str, kind: str) -> None:
    found, said = _said(word)
    assert found is None
    assert said == f"no kind of joint is called '{word}'; here it is called '{kind}'"


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("dovetial", "dovetail"),
        ("mortise and tennon", "mortise and tenon"),
        ("rebbate", "rabbet"),
        ("tounge and groove", "tongue and groove"),
        ("hausing", "housing"),
        ("half_lap", None),
        ("dadoo", "housing"),
        ("haf lap", "half lap"),
        ("bridel", "bridle"),
        ("loose tennon", "loose tenon"),
        ("screwed but", "screwed butt"),
        ("through tenons", "through tenon"),
    ],
)
def test_a_misspelt_word_is_guessed(word: str, kind: str | None) -> None:
    found, said = _said(word)
    if kind is None:
        assert (found, said) == (JointKind.HALF_LAP, "")
    else:
        assert said == f"no kind of joint is called '{word}'; did you mean '{kind}'?"


@pytest.mark.parametrize(
    "word",
    ["mitre", "miter", "Miter joint", "mittre", "butt joint", "tapered dovetail", "pocket screws", "biscuits", "scarf"],
)
def test_what_is_not_offered_is_said_with_a_way_out(word: str) -> None:
    found, said = _said(word)
    assert found is None
    assert said.startswith(f"the joint '{word}' is not offered; ")
    assert any(way in said for way in ("take a", "an 'edge joint'", "write two parts"))


def test_holes_that_are_meant_to_cross_are_listed() -> None:
    """By what the trade calls them (common practice, no source), with the key that says it."""
    listed = names_text()
    for word in ("drawbore pin", "peg", "cross dowel", "barrel nut"):
        assert any(word in line and "crosses" in line for line in listed.splitlines())


def test_nonsense_names_all_kinds() -> None:
    assert _said("qqqq")[1].endswith("known: " + ", ".join(kind.value for kind in JointKind))


def test_a_rabbet_adds_its_depth_and_a_bridle_what_stands_proud() -> None:
    """A rabbet 3/8 deep takes 3/8 of the end that goes in. A bridle 2 long, 1/16 proud: 2-1/16."""
    meeting = Meeting(1, "j", "R", "P", End.A)
    rabbet = Joint("j", JointKind.RABBET, (), depth=Length.inches("3/8"))
    assert added_by(BUILD, rabbet, meeting)[0].inch == Fraction(3, 8)
    bridle = Joint("j", JointKind.BRIDLE, (), length=Length.inches(2), proud=Length.inches("1/16"))
    assert added_by(BUILD, bridle, meeting)[0].inch == Fraction(33, 16)
