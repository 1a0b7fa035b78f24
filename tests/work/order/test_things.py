"""What there is in the shop after a stage: by hand."""

from __future__ import annotations

from shopdocs.model.joining import Joint, JointKind, Meeting
from shopdocs.work.order.closing import JoinedPair, after_stage


def pair(number: int, entering: str, receiving: str) -> JoinedPair:
    meeting = Meeting(number, "corner", entering, receiving)
    return Joint("corner", next(iter(JointKind)), (meeting,)), meeting


def test_what_joints_tie_is_one_thing() -> None:
    """A to B and C to D, and nothing between the two pairs: two things, each told by its first mark. E, which no joint
    ties to anything, is with the first; F waits for a later stage."""
    things = {mark: (mark,) for mark in "ABCDEF"}
    ready = {mark: (mark,) for mark in "ABCDE"}
    left = after_stage(things, ready, "Frames", [pair(1, "A", "B"), pair(2, "D", "C")])
    assert left == {"F": ("F",), "Frame A": ("A", "B", "E"), "Frame C": ("C", "D")}
    whole = after_stage(things, ready, "Frame", [pair(1, "A", "B"), pair(2, "D", "C"), pair(3, "B", "C")])
    assert whole == {"F": ("F",), "Frame": ("A", "B", "C", "D", "E")}


def test_a_stage_called_like_a_piece_leaves_the_piece() -> None:
    """The stage is called "C", and so is a piece that lies ready for a later one: both are there afterwards."""
    things = {mark: (mark,) for mark in "ABC"}
    left = after_stage(things, {mark: (mark,) for mark in "AB"}, "C", [pair(1, "A", "B")])
    assert left == {"C": ("C",), "C glued": ("A", "B")}
