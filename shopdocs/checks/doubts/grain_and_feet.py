"""Wood as wood: grain that runs the short way, pieces under the floor, feet that do not stand on one plane."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from shopdocs.core.display import exact_text
from shopdocs.core.length import INCH, ZERO, Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Face, HolePlace, HoleUse, the_face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind
from shopdocs.work.computed import Computed
from shopdocs.work.space.features import side_of

if TYPE_CHECKING:
    from shopdocs.work.space.placed import PlacedPiece

# Common practice, no source.
SHORT_GRAIN = Fraction(4, 5)  # length along the grain over width; less runs across a piece that is longer the other way
NEAR_FLOOR = Length(30)  # what ends so near above it was meant to stand on it
SPUR = Length("4.5")  # what the point and the spurs of a flat-bottomed bit stand before its edges, and some wood
FITTING = INCH / 2  # a plate or a wooden button under the head of a screw
HANGERS = ("keyhole", "hanger", "hanging plate", "french cleat")
FRONT_TO_BACK, UP = 1, 2


def grain_the_short_way(build: Build, shop: Shop) -> Iterator[Problem]:
    """A piece of solid wood that is wider than long: width and length are swapped, or it breaks along its grain."""
    for part in build.parts:
        if build.material(part.material).kind is MaterialKind.SHEET or part.strips > 1:
            continue
        if part.length < part.width * SHORT_GRAIN:
            size = f"{exact_text(part.length)} long along the grain and {exact_text(part.width)} wide"
            right = "are width and length swapped? grain along the longer side is usual (common practice)"
            at = part.places.get("length") or part.places.get("size") or part.places.get("width") or part.at
            yield warning(at, "short-grain", f"'{part.name}' is {size}", right)


def tenons_across(build: Build, shop: Shop) -> Iterator[Problem]:
    """A tenon cut on a long edge: its grain runs across, and it snaps off."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    leaning = {piece.mark for _, piece in build.pieces() if piece.place and (piece.place.lean or piece.place.tilt)}
    for joint in build.joints:
        if not KINDS[joint.kind].tenoned:
            continue
        for meeting in joint.meetings:
            part = parts[meeting.entering]
            askew = KINDS[joint.kind].lapped and leaning & {meeting.entering, meeting.receiving}
            if (
                meeting.end is None
                and not askew
                and build.material(part.material).kind is not MaterialKind.SHEET
                and part.runs
            ):
                wrong = (
                    f"'{meeting.entering}' goes into '{meeting.receiving}' by an edge: its tenon's grain runs across"
                )
                yield warning(meeting.at, "short-grain", wrong, "tenons on ends are usual; along an edge take a tongue")
                break


def below_the_floor(work: Computed) -> Iterator[Problem]:
    """Pieces under the floor, and pieces that end just above it, of what stands by itself."""
    build, space = work.build, work.space
    if space is None or not build.free_standing or len(space.scene.pieces) < 2:
        return
    at = {piece.mark: piece.at for _, piece in build.pieces()}
    lows = {piece.mark: piece.at[UP] for piece in space.scene.pieces}
    for mark, low in lows.items():
        if low < ZERO:
            wrong = f"'{mark}' reaches {exact_text(-low)} below the floor"
            yield warning(
                at[mark], "below-floor", wrong, "the floor is z: 0; check the sizes and places that lead here"
            )
    if any(low < ZERO for low in lows.values()):
        return
    floor = min(lows.values())
    parts = {piece.mark: part.name for part, piece in build.pieces()}
    standing = {parts[mark] for mark, low in lows.items() if low == floor}
    for mark, low in lows.items():
        if parts[mark] in standing and floor < low <= floor + NEAR_FLOOR:
            wrong = f"'{mark}' ends {exact_text(low - floor)} above the floor, as no other '{parts[mark]}' does"
            yield warning(at[mark], "uneven-feet", wrong, "let them all stand on one level")
    if floor > ZERO:
        mark = min(lows, key=lambda one: lows[one])
        wrong = f"the lowest piece, '{mark}', hangs {exact_text(floor)} above the floor"
        yield warning(at[mark], "above-floor", wrong, "let it stand at z: 0, or write free standing: no")


def pilots_on_top(work: Computed) -> Iterator[Problem]:
    """A pilot drilled into the uppermost surface, where nothing covers it: the other face was meant."""
    space = work.space
    if space is None:
        return
    top = max(piece.far[UP] for piece in space.scene.pieces)
    told: set[tuple[str, str]] = set()
    for hole in work.holes:
        piece: PlacedPiece | None = space.pieces.get(hole.piece)
        if hole.bore.use is not HoleUse.PILOT or piece is None or piece.far[UP] != top or hole.hole.through:
            continue
        if piece.pose.look_of(hole.face) == (UP, True) and (hole.hardware, hole.piece) not in told:
            told.add((hole.hardware, hole.piece))
            wrong = f"the pilot of '{hole.hardware}' opens in the top of '{hole.piece}', which nothing covers"
            yield warning(hole.place.at, "pilot-on-show", wrong, "drill it from the side that does not show")


def recesses_deep(work: Computed) -> Iterator[Problem]:
    """A flat-bottomed recess that leaves so little wood that the point of its bit comes out at the far side."""
    parts = {piece.mark: part for part, piece in work.build.pieces()}
    told: set[tuple[str, str]] = set()
    for hole in work.holes:
        depth, part = hole.bore.depth, parts[hole.piece]
        whole = part.thickness if hole.face in (Face.FACE, Face.BACK) else part.width
        if hole.bore.use is not HoleUse.RECESS or depth is None or hole.face in (Face.A, Face.B) or depth >= whole:
            continue
        if whole - depth < SPUR and (hole.hardware, part.name) not in told:
            told.add((hole.hardware, part.name))
            wrong = f"the recess of '{hole.hardware}' leaves {exact_text(whole - depth)} of '{hole.piece}' under it"
            right = f"the point of a flat-bottomed bit wants {exact_text(SPUR)} more (common practice)"
            yield warning(hole.place.at, "recess-floor", wrong, right)


def screws_right_through(work: Computed) -> Iterator[Problem]:
    """A screw that holds a fitting on an open face and is longer than the piece is thick there."""
    space, fastening = work.space, work.fastening
    if space is None or fastening is None:
        return
    into_others = {(mouth.line.name, mouth.line.mark) for mouth in fastening.mouths if not mouth.off}
    told: set[tuple[str, str]] = set()
    for hole in work.holes:
        screw, piece = hole.hole.screw, space.pieces.get(hole.piece)
        if hole.bore.use is not HoleUse.PILOT or screw is None or not screw.length or piece is None:
            continue
        thick = piece.size[side_of(hole.face)[0]]
        if screw.length > thick + FITTING and (hole.hardware, hole.piece) not in into_others | told:
            told.add((hole.hardware, hole.piece))
            wrong = f"a {screw.text} screw of '{hole.hardware}' is longer than '{hole.piece}' is thick there"
            yield warning(hole.place.at, "screw-through", wrong, f"the wood is {exact_text(thick)}; take a shorter one")


def hung_from_the_front(work: Computed) -> Iterator[Problem]:
    """What a piece hangs by on its wall, let into a face that looks away from the wall."""
    space = work.space
    if space is None or work.build.free_standing is not False:
        return
    for item in work.build.hardware:
        if not any(word in item.name.casefold() for word in HANGERS):
            continue
        for place in item.on:
            piece = space.pieces.get(place.piece)
            if piece is not None and piece.pose.look_of(place.face) == (FRONT_TO_BACK, False):
                wrong = f"'{item.name}' is let into {the_face(place.face)} of '{place.piece}', which looks to the front"
                yield warning(place.at, "hung-in-front", wrong, "what hangs on a wall is let in from behind")
                break


def rows_out_of_true(build: Build, shop: Shop) -> Iterator[Problem]:
    """Two rows of one kind of hole that mirror each other along their piece, but lie unevenly across it."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    for item in build.hardware:
        faces: dict[tuple[str, Face], dict[Length, list[HolePlace]]] = {}
        for place in item.on:
            if place.piece in parts:
                faces.setdefault((place.piece, place.face), {}).setdefault(place.across, []).append(place)
        for (mark, face), rows in faces.items():
            part = parts[mark]
            alike: dict[frozenset[Length], list[Length]] = {}
            for across, places in rows.items():
                if len(places) > 1 and _even(places, part.length):
                    alike.setdefault(frozenset(place.along for place in places), []).append(across)
            for near, far in (sorted(two) for two in alike.values() if len(two) == 2):
                if face not in (Face.FACE, Face.BACK) or near == part.width - far:
                    continue
                wrong = (
                    f"the rows of '{item.name}' on '{mark}' lie {exact_text(near)} and {exact_text(part.width - far)} "
                    "from its edges"
                )
                yield warning(rows[near][0].at, "uneven-rows", wrong, "rows that mirror each other are usual")


def _even(places: list[HolePlace], length: Length) -> bool:
    alongs = {place.along for place in places}
    return alongs == {length - along for along in alongs}


CHECKS = (rows_out_of_true, grain_the_short_way, tenons_across)
CHECKS_OF_WORK = (below_the_floor, pilots_on_top, recesses_deep, screws_right_through, hung_from_the_front)
