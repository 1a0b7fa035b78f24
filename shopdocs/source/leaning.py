"""Pieces that lean: what is written about it, and what follows for their places and lengths.

A leg is placed as if it stood plumb: x and y say where the middle of its top end lies, z from where to where it
reaches. Then it turns about that middle, so that its foot goes outward. Its ends are sawn level.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from shopdocs.core.angle import Angle
from shopdocs.core.length import ZERO, Length
from shopdocs.core.turn import near
from shopdocs.model.parts import Axis, Direction, Lean, Piece, Runs
from shopdocs.source.drafts import LeanDraft, PieceDraft
from shopdocs.source.groups import AT, HIDDEN, KEYS
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.values import Values, suggestion

MOST_DEGREES = 60  # common practice, no source: nearer to level it is no leg and no brace, and its level end a feather
_RIGHT = "write degrees from plumb, or a slope: splay: 8, or splay: 1 in 7"
_SLOPE = r"(?:1\s*(?:in|:)\s*(\d+(?:\.\d+)?)|(\d+(?:\.\d+)?)\s*(?:°|deg|degrees)?)(?:\s+([a-z]+))?"
_WAYS = {"splay": ("outward", "left", "right"), "rake": ("outward", "front", "rear")}
Spans = Mapping[Direction, tuple[Length, Length]]


def slope_in(text: str) -> re.Match[str] | None:
    """A slope as it is written: what one rises in, degrees, and the way it leans; None where it reads otherwise. Few
    builds have one, so that what reads it is not made before."""
    return re.fullmatch(_SLOPE, text, re.I)


def read_lean(item: dict[str, Any], values: Values) -> LeanDraft | None:
    """The lean of a piece; None where it has none, or after a problem."""
    given = item.get("lean")
    if given is None:
        return None
    at = item[KEYS].get("lean", item[AT])
    if not isinstance(given, dict):
        right = "write lean: {splay: 8, rake: 5}, each in degrees from plumb or as a slope"
        values.note(at, "lean", "a lean has its splay, its rake or both", right)
        return None
    found: dict[str, tuple[Fraction, str]] = {}
    for key, node in given.items():
        if key in HIDDEN:
            continue
        place = given[KEYS].get(key, at)
        if key not in _WAYS:
            values.note(place, "unknown-key", f"there is no key '{shorten(key)}' here", suggestion(key, _WAYS, "key"))
        elif not isinstance(node, Scalar):
            values.note(place, "shape", f"a list or group stands under '{key}'", _RIGHT)
        else:
            one = _tangent(key, node, values)
            if one is not None:
                found[key] = one
    splay, sideways = found.get("splay", (Fraction(0), ""))
    rake, lengthways = found.get("rake", (Fraction(0), ""))
    if not splay and not rake:
        if not values.noted_within(at):
            values.note(at, "lean", "this lean is zero", "give it a splay or a rake, or leave it out")
        return None
    return LeanDraft(splay, rake, sideways, lengthways, at)


def _tangent(key: str, node: Scalar, values: Values) -> tuple[Fraction, str] | None:
    text = values.line(node)
    match = slope_in(text)
    if match is None:
        values.note(node.at, "lean", f"'{shorten(text)}' is no {key}", _RIGHT)
        return None
    way = (match[3] or "").lower()
    if way and way not in _WAYS[key]:
        ways = " or ".join(_WAYS[key])
        values.note(node.at, "lean", f"a {key} does not go {shorten(way)}", f"its foot goes {ways}")
        return None
    number = Fraction(match[1] or match[2])
    if not number and match[1]:
        values.note(node.at, "lean", f"'{shorten(text)}' lies level, and is no {key}", _RIGHT)
        return None
    if not number:
        return Fraction(0), way
    angle = Angle.of_slope(number) if match[1] else Angle.of_degrees(number) if number < 90 else None
    if angle is None or angle.tangent > Angle.of_degrees(MOST_DEGREES).tangent:
        shown = f"{angle.degrees:.3g}" if angle is not None else str(number)
        wrong = f"a {key} of {shown}° leans too far"
        values.note(
            node.at, "lean", wrong, f"count from plumb, not from level; at most {MOST_DEGREES}° can be made here"
        )
        return None
    return angle.tangent, "" if way == "outward" else way


def middle_of(spans: Sequence[Spans]) -> tuple[Length | None, Length | None]:
    """The middle of several pieces from left to right and from front to rear; None where they lie in one line."""
    found: list[Length | None] = []
    for direction in (Direction.X, Direction.Y):
        known = [span[direction] for span in spans if direction in span]
        low, high = min((a for a, _ in known), default=ZERO), max((b for _, b in known), default=ZERO)
        lone = all(span == known[0] for span in known)
        found.append(None if lone else (low + high) / 2)
    return found[0], found[1]


def middle_of_top(spans: Spans) -> tuple[Length, Length, Length]:
    """The middle of the top end of a piece that stands plumb."""
    x, y, z = (spans[direction] for direction in Direction)
    return (x[0] + x[1]) / 2, (y[0] + y[1]) / 2, z[1]


def lean_of(
    piece: PieceDraft,
    runs: Runs | None,
    spans: Spans,
    middle: tuple[Length | None, Length | None],
    values: Values,
) -> Lean | None:
    """The lean of a piece in its place; None after a problem."""
    draft = piece.lean
    assert draft is not None
    if runs is None or runs.length is not Direction.Z:
        wrong = f"'{piece.mark}' leans, and its length does not run upright"
        values.note(draft.at, "lean", wrong, "only what stands can lean: runs: {length: z, width: x}")
        return None
    top = middle_of_top(spans)
    signs: list[int] = []
    for k, (way, tangent, word) in enumerate(
        ((draft.sideways, draft.splay, "splay"), (draft.lengthways, draft.rake, "rake"))
    ):
        centre, named = middle[k], _WAYS[word][1:]
        if not tangent:
            signs.append(0)
        elif way:
            signs.append(1 if way == named[1] else -1)
        elif centre is None or centre == top[k]:
            wrong = f"'{piece.mark}' stands in the middle, where its {word} has no outward way"
            ways = " or ".join(f"{word}: {_degrees(tangent)} {name}" for name in named)
            values.note(draft.at, "lean", wrong, f"say where its foot goes: {ways}")
            return None
        else:
            signs.append(1 if top[k] > centre else -1)
    return Lean(signs[0] * draft.splay, signs[1] * draft.rake, top, spans[Direction.Z][0], draft.at)


def _degrees(tangent: Fraction) -> str:
    return f"{math.degrees(math.atan(tangent)):.4g}"


def face_at(lean: Lean, direction: Direction, half: Length, high: bool, level: Length) -> Length:
    """Where a side of a leaning piece, `half` of its plumb size from its middle, stands at the height `level`: beside
    its axis there, along x or y. To 1/1000 mm."""
    k = 0 if direction is Direction.X else 1
    drop = lean.top[2] - level
    foot = (lean.right, lean.rear)[k]
    normal = (lean.turn.x, lean.turn.y)[k][k]
    out = half.float_mm() / normal
    return near((lean.top[k] + drop * foot).float_mm() + (out if high else -out))


def one_lean(name: str, pieces: Iterable[Piece], sizes: Mapping[Axis, Scalar], values: Values) -> Lean | None:
    """The lean that all pieces of a part have, but for its sense; None where none leans, or after a problem."""
    leans = [(piece, piece.place.lean) for piece in pieces if piece.place is not None]
    some = [lean for _, lean in leans if lean is not None]
    if not some:
        return None
    if Axis.LENGTH in sizes:
        wrong = f"'{name}' leans, and its length is written"
        values.note(sizes[Axis.LENGTH].at, "lean", wrong, "leave it out: it follows from z, such as z: 0 to S.bottom")
        return None
    first = some[0]
    for piece, lean in leans:
        if lean is None or _shape(lean) != _shape(first):
            wrong = f"'{piece.mark}' leans differently from the other pieces of '{name}', and comes out another length"
            values.note(lean.at if lean else piece.at, "lean", wrong, "make it a part of its own")
            return None
    return first


def _shape(lean: Lean) -> tuple[Fraction, Fraction, Length]:
    return abs(lean.right), abs(lean.rear), lean.height


def sawn_length(lean: Lean, runs: Runs, sizes: Mapping[Axis, Length]) -> Length:
    """The length of a leaning piece with level ends, from the long point at its foot to the long point at its top."""
    return near(axis_length(lean) + 2 * end_reach(lean, runs, sizes))


def axis_length(lean: Lean) -> float:
    """Along its axis from foot to top, in millimetres."""
    return lean.height.float_mm() / lean.turn.z[2]


def end_reach(lean: Lean, runs: Runs, sizes: Mapping[Axis, Length]) -> float:
    """How far the long point of a level end lies past the middle of that end, in millimetres."""
    found = 0.0
    for slope, direction in zip(lean.turn.level, (Direction.X, Direction.Y), strict=True):
        axis = Axis.WIDTH if runs.width is direction else Axis.THICKNESS
        found += abs(slope) * sizes[axis].float_mm() / 2
    return found
