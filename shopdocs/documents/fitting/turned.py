"""The wrong ways a piece goes into its own place, and how you see at the bench that it lies right.

What is named is a face that lies elsewhere in the wrong way, the one that the mistake is called by: up and down for a
piece that is upside down, an end for one that is end for end. Beside it stands what is cut there and not on the face
that would lie there instead, if there is such a thing: it shows even where the pencil marks are planed away.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.documents.fitting.alike import TOWARD, Alike
from shopdocs.model.joining import FACE_NAMES, Face
from shopdocs.model.joint_names import Trait, plural
from shopdocs.work.space.placed import Bore, Cuboid, Feature, FeatureKind, PlacedPiece, face_of, side_of
from shopdocs.work.space.wrong_ways import WrongWay

GAUGED_FROM = (Face.A, Face.FACE, Face.EDGE)
_ONE = {kind.value for kind in FeatureKind if Trait.RUNS in kind.traits}  # one, though two joints made it
_WHERE = re.compile(r" (?=at the |on the |on top|underneath|nearer )")
MOST_SEEN = 2  # kinds of cuts that are named; nobody reads more
_AT = {
    "to the left": "on the left",
    "to the right": "on the right",
    "to the front": "at the front",
    "to the rear": "at the rear",
    "down": "underneath",
    "up": "on top",
}


class TurnedWay(Struct, frozen=True):
    """How it goes in and is wrong, how it lies when it is right, and what shows that ("" where nothing but the marks
    on its faces does); at which stage it goes in, and which later one finds it (0: what is put on after all glue; None:
    none)."""

    wrong: str
    right: str
    seen: str
    stage: int = 0
    found: int | None = None
    changes: tuple[tuple[Face, Face], ...] = ()  # of the first of these ways
    out: tuple[tuple[str, int, Length], ...] = ()  # of these wrong ways, by their short words: how far it sits where

    @property
    def whole(self) -> str:
        """How it lies when it is right, with what shows that where something does."""
        return f"{self.right}; {self.seen}" if self.seen else self.right

    @property
    def shorts(self) -> tuple[str, ...]:
        """The wrong ways by their first word alone: what is end for end is back to front too, and one sees it."""
        return tuple(dict.fromkeys(way.partition(",")[0] for way in self.wrong.split("; ")))


def turned_by(turns: Collection[str]) -> str:
    """How pieces lie when they are wrong: "turned end for end or upside down, or given a quarter turn"."""
    given = [turn for turn in turns if turn.endswith(" turn")]
    whole = [turn for turn in turns if turn not in given]
    parts = [f"turned {' or '.join(whole)}"] if whole else []
    return ", or ".join([*parts, *([f"given {' or '.join(given)}"] if given else [])])


def ways_of(alike: Alike, mark: str) -> tuple[TurnedWay, ...]:
    """The wrong ways of a piece; those that one look tells from the right one stand together."""
    answers: dict[tuple[str, str, int, int | None, tuple[int, Length] | None], list[WrongWay]] = {}
    mistakes, piece = alike.mistakes(mark), alike.space.pieces.get(mark)
    if piece is None or not mistakes:
        return ()
    on = _cut_in(piece)
    for mistake in mistakes:
        seen = _seen(piece, mistake.way, on) or _nearer(piece, mistake.way)
        told = (right_way(alike, mark, mistake.way), seen, mistake.stage, mistake.found, mistake.way.out)
        answers.setdefault(told, []).append(mistake.way)
    return tuple(_turned_way(ways, *told[:4]) for told, ways in answers.items())


def _turned_way(ways: list[WrongWay], right: str, seen: str, stage: int, found: int | None) -> TurnedWay:
    words = _plainest([way.words for way in ways])
    drawn = next(way for way in ways if way.words == words[0])
    out = ((words[0].partition(",")[0], *drawn.out),) if drawn.out is not None else ()
    return TurnedWay("; ".join(words), right, seen, stage, found, drawn.changes, out)


def told_of(alike: Alike, mark: str) -> tuple[TurnedWay, ...]:
    """The wrong ways of a piece for a line of words: those that are made at one stage and found at one, together."""
    made: dict[tuple[int, int | None], list[TurnedWay]] = {}
    for way in ways_of(alike, mark):
        made.setdefault((way.stage, way.found), []).append(way)
    return tuple(_together(ways) for ways in made.values())


def _together(ways: list[TurnedWay]) -> TurnedWay:
    first = ways[0]
    if len(ways) == 1:
        return first
    wrong = dict.fromkeys(words for way in ways for words in way.wrong.split("; "))
    right = ", ".join(dict.fromkeys(way.right for way in ways))
    seen = _seen_together([way.seen for way in ways if way.seen])
    out = tuple(dict.fromkeys(each for way in ways for each in way.out))
    return replace(first, wrong="; ".join(wrong), right=right, seen=seen, out=out)


def _seen_together(told: list[str]) -> str:
    """ "groove at the rear, nearer the top": what is cut, once where it follows itself."""
    words: list[str] = []
    before = ""
    for one in dict.fromkeys(told):
        what = _WHERE.split(one, maxsplit=1)[0]
        words.append(one.removeprefix(what).strip() if what == before else one)
        before = what
    return ", ".join(words)


def _plainest(ways: list[str]) -> list[str]:
    """Without those that say another one and more."""
    parts = {way: frozenset(way.split(", ")) for way in ways}
    return [way for way in parts if not any(parts[other] < parts[way] for other in parts)]


def right_way(alike: Alike, mark: str, way: WrongWay) -> str:
    """How the piece lies when it is right, told by a face one gauges from that the wrong way moves."""
    face = _told_by(alike.space.pieces[mark], way)
    return f"{FACE_NAMES[face]} {_toward(alike.space.pieces[mark], face)}"


def _told_by(piece: PlacedPiece, way: WrongWay) -> Face:
    moved = {face for face, _ in way.changes}
    gauged = [face for face in GAUGED_FROM if face in moved]
    upright = [face for face in gauged if piece.pose.look_of(face)[0] == 2]
    return (upright if "upside down" in way.words and upright else gauged)[0]


def _toward(piece: PlacedPiece, face: Face) -> str:
    return TOWARD[piece.pose.look_of(face)]


def _seen(piece: PlacedPiece, way: WrongWay, on: Mapping[Face, Counter[str]]) -> str:
    """What is cut in one face and not in the one that takes its place, on the faces told by first; `on` is what is cut
    in each."""
    comes = {lands: face for face, lands in way.changes}
    first = side_of(_told_by(piece, way))
    for face in sorted(comes, key=lambda face: (side_of(face)[0] != first[0], side_of(face) != first)):
        more = on[face] - on[comes[face]]
        if more and not on[comes[face]].keys() & more.keys():
            words = [kind if count == 1 or kind in _ONE else plural(kind) for kind, count in more.items()]
            if len(words) <= MOST_SEEN:
                return f"{' and '.join(words)} {_AT[_toward(piece, face)]}"
    return ""


def _nearer(piece: PlacedPiece, way: WrongWay) -> str:
    """Where both faces have the same cuts, but not at the same place: to which side of the piece they lie nearer, on an
    axis that the wrong way turns round."""
    comes = {lands: face for face, lands in way.changes}
    turned = [axis for axis in range(3) if comes.get(face_of(axis, False)) is face_of(axis, True)]
    kinds: dict[str, list[Feature]] = {}
    for feature in piece.features:
        if feature.kind is not FeatureKind.END_LEFT_ON:
            kinds.setdefault(feature.kind.value, []).append(feature)
    for kind, features in kinds.items():
        for axis in turned:
            spans = [_span(feature, axis) for feature in features]
            low = min(span[0] for span in spans)
            high = piece.size[axis] - max(span[1] for span in spans)
            if low != high:
                words = kind if len(features) == 1 else plural(kind)
                return f"{words} nearer {_SIDE[piece.pose.look_of(face_of(axis, low > high))]}"
    return ""


_SIDE = {
    (0, False): "the left",
    (0, True): "the right",
    (1, False): "the front",
    (1, True): "the rear",
    (2, False): "the bottom",
    (2, True): "the top",
}


def _span(feature: Feature, axis: int) -> tuple[Length, Length]:
    if isinstance(feature, Cuboid):
        return feature.lo[axis], feature.hi[axis]
    return feature.centre[axis], feature.centre[axis]


def _cut_in(piece: PlacedPiece) -> dict[Face, Counter[str]]:
    """What opens on each face or stands out of it, where one would look for it."""
    on: dict[Face, Counter[str]] = {face: Counter() for face in Face}
    for feature in piece.features:
        if isinstance(feature, Bore) and feature.head is not None:
            on[feature.face]["countersink"] += 1
        if feature.kind is not FeatureKind.END_LEFT_ON:
            for face in _shows_on(piece, feature):
                on[face][feature.kind.value] += 1
    return on


def _shows_on(piece: PlacedPiece, feature: Feature) -> set[Face]:
    if not isinstance(feature, Cuboid):
        axis, high = side_of(feature.face)
        deep = feature.depth is None or feature.depth >= piece.size[axis]
        return {feature.face, face_of(axis, not high)} if deep else {feature.face}
    if feature.kind is FeatureKind.TAPER and feature.flare is not None:  # open at the face that slopes
        axis, high = side_of(feature.flare.at)
        return {face_of(axis, not high)}
    found = set()
    for face in Face:
        axis, high = side_of(face)
        low, top = feature.lo[axis], feature.hi[axis] - piece.size[axis]
        if (top > ZERO if high else low < ZERO) or (not feature.adds and not (top if high else low)):
            found.add(face)
    return found
