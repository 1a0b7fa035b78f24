"""Boards that are tipped about a level line: sloped shelves, seats, angled backs, and what is tipped with them.

A board is placed as if it lay level or stood plumb, and turns from there about the middle line of its own length. What
is tipped `with` it is placed beside it as if nothing was tipped, and turns along.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from shopdocs.core.angle import Angle
from shopdocs.core.length import Length
from shopdocs.model.parts import Direction, Runs, Tilt
from shopdocs.source.drafts import PieceDraft, TiltDraft
from shopdocs.source.groups import AT, KEYS
from shopdocs.source.leaning import slope_in
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.values import Values, suggestion

MOST_DEGREES = 45  # tipped farther it is a level board that stands, or a standing one that lies
_RIGHT = "write degrees or a slope, and the way it tips: tilt: 15 front, or tilt: 1 in 4 rear"
_WAYS = {Direction.X: ("front", "rear"), Direction.Y: ("right", "left")}  # about them the first counts above zero
Spans = Mapping[Direction, tuple[Length, Length]]


def read_tilt(item: dict[str, Any], values: Values) -> TiltDraft | None:
    """The tilt of a piece; None where it has none, or after a problem."""
    node = item.get("tilt")
    if node is None:
        return None
    at = item[KEYS].get("tilt", item[AT])
    if not isinstance(node, Scalar):
        values.note(at, "tilt", "a list or group stands under 'tilt'", _RIGHT)
        return None
    if item.get("mirror") is not None:
        values.note(at, "tilt", "a mirror image is tipped as the piece that it mirrors", "leave out its tilt")
        return None
    if item.get("lean") is not None:
        wrong = "a piece cannot both lean and be tipped"
        values.note(at, "tilt", wrong, "lean is for what stands on its end, tilt for what lies between two others")
        return None
    text = values.line(node)
    if text.lower().startswith("with "):
        return TiltDraft(Fraction(0), "", " ".join(text.split()[1:]), node.at)
    match = slope_in(text)
    if match is None:
        values.note(node.at, "tilt", f"'{shorten(text)}' is no tilt", _RIGHT)
        return None
    number = Fraction(match[1] or match[2])
    if not number:
        values.note(node.at, "tilt", "this tilt is zero", "give it degrees or a slope, or leave it out")
        return None
    angle = Angle.of_slope(number) if match[1] else Angle.of_degrees(number) if number < 90 else None
    if angle is None or angle.degrees > MOST_DEGREES:
        degrees = float(number) if angle is None else angle.degrees
        wrong = f"a tilt of {degrees:.3g}° is more than {MOST_DEGREES}°"
        right = "let the part run the other way (runs:), and tip it by what is left to 90°"
        values.note(node.at, "tilt", wrong, right)
        return None
    return TiltDraft(angle.tangent, (match[3] or "").lower(), "", node.at)


def tilt_of(piece: PieceDraft, runs: Runs | None, spans: Spans, values: Values) -> Tilt | None:
    """The tilt of a piece with one of its own, in its place; None after a problem."""
    draft = piece.tilt
    assert draft is not None
    if runs is None or runs.length is Direction.Z:
        wrong = f"'{piece.mark}' is tipped, and its length runs upright"
        values.note(draft.at, "tilt", wrong, "only what lies level along its length is; what stands can lean: lean:")
        return None
    ways = _WAYS[runs.length]
    if draft.way not in ways:
        shown = f"tilt: {Angle(draft.slope).degrees:.4g}"
        said = f"cannot tip to the {draft.way}" if draft.way else "does not say which way it tips"
        wrong = f"'{piece.mark}' {said}: its length runs along {runs.length.value}"
        values.note(draft.at, "tilt", wrong, f"write {shown} {ways[0]} or {shown} {ways[1]}")
        return None
    about = tuple((spans[direction][0] + spans[direction][1]) / 2 for direction in Direction)
    slope = draft.slope if draft.way == ways[0] else -draft.slope
    return Tilt(0 if runs.length is Direction.X else 1, slope, (about[0], about[1], about[2]), draft.at)


def mirrored(tilt: Tilt, across: Direction, middle: Length) -> Tilt:
    """The tilt of the mirror image across a plane of the build."""
    k = tuple(Direction).index(across)
    about = list(tilt.about)
    about[k] = middle * 2 - about[k]
    return replace(tilt, slope=tilt.slope if k == tilt.axis else -tilt.slope, about=(about[0], about[1], about[2]))


def known_companions(pieces: Mapping[str, PieceDraft], values: Values) -> None:
    """Takes out, with a problem, what is tipped with a piece that is not there, is not tipped, or is tipped with
    another."""
    for piece in pieces.values():
        draft = piece.tilt
        if draft is None or not draft.along:
            continue
        other = pieces.get(draft.along)
        if other is None:
            if not values.is_forgiven(draft.along):
                wrong = f"no piece is marked '{shorten(draft.along)}'"
                values.note(draft.at, "unknown-piece", wrong, suggestion(draft.along, pieces, "piece"))
            piece.tilt = None
        elif other.tilt is None and other.mirror is None:
            wrong = f"'{piece.mark}' is tipped with '{other.mark}', which is not tipped"
            values.note(
                draft.at, "tilt", wrong, f"give '{other.mark}' a tilt: 15 front, or give '{piece.mark}' its own"
            )
            piece.tilt = None
    for piece in pieces.values():
        other = pieces.get(piece.tilt.along) if piece.tilt is not None and piece.tilt.along else None
        if other is not None and other.tilt is not None and other.tilt.along:
            assert piece.tilt is not None
            wrong = f"'{piece.mark}' is tipped with '{other.mark}', which is itself tipped with another"
            values.note(piece.tilt.at, "tilt", wrong, f"name that one: tilt: with {other.tilt.along}")
            piece.tilt = None


def told_of_image(piece: PieceDraft, leader: PieceDraft, values: Values) -> None:
    """The same of a piece that is tipped with a mirror image, where the `leader`, as which that is tipped, is not
    tipped, or is the piece itself."""
    draft = piece.tilt
    assert draft is not None
    if leader is piece:
        wrong = f"'{piece.mark}' is tipped with '{draft.along}', which is tipped as '{piece.mark}' is"
        values.note(draft.at, "tilt", wrong, f"give '{piece.mark}' a tilt of its own: 15 front")
        piece.tilt = None
    elif leader.tilt is None:
        wrong = f"'{piece.mark}' is tipped with '{draft.along}', a mirror image of '{leader.mark}', which is not tipped"
        values.note(draft.at, "tilt", wrong, f"give '{leader.mark}' a tilt: 15 front, or give '{piece.mark}' its own")
        piece.tilt = None
