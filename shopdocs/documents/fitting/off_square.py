"""Tenons at a shoulder off square, and mortises that go in at an angle, in words."""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct

from shopdocs.core.display import Display, trimmed
from shopdocs.core.length import Length
from shopdocs.core.turn import Vector, dot
from shopdocs.documents.job import Job
from shopdocs.model.joining import Face, the_face
from shopdocs.model.joint_names import Trait
from shopdocs.work.space.let_in import axes_of, is_let_in, marked_side, off_square
from shopdocs.work.space.placed import Bore as PlacedBore
from shopdocs.work.space.placed import Cuboid, Feature, FeatureKind, PlacedPiece, Slant, Slanting, face_of, side_of
from shopdocs.work.space.slanting import SQUARE

SEEN = 0.05  # degrees: less is not set, and not told
_STRUCK = {Trait.MOUTH: "floor", Trait.SHOULDERED: "shoulder"}  # what is struck of a bridle at an angle
MOST_ACROSS = 45  # degrees off a line squared across: what lies farther off runs along the face


class Bored(Struct, frozen=True):
    """How a mortise goes in at its face, in degrees: `off` square to the face; `sight` the direction of the plane that
    it leans in, on the face, from the line along the piece (on an end: from the line along its width); `toward` the
    faces that its floor lies nearer to; `turned` how far the mortise itself lies askew to that line, 0 of a round one.
    """

    off: float
    sight: float
    toward: tuple[Face, ...]
    turned: float


def bored(slant: Slant, out: Vector | None = None) -> Bored:
    """The angles of a mortise by its direction, in piece coordinates; of one that goes into an end off square by the
    way `out` that this looks."""
    axis, high = side_of(slant.face)
    first, second = (k for k in range(3) if k != axis)
    square = [0.0, 0.0, 0.0]
    square[axis] = 1.0 if high else -1.0
    out = out or slant.out or (square[0], square[1], square[2])
    straight = -dot(slant.way, out)
    flat = [a + straight * b for a, b in zip(slant.way, out, strict=True)]
    off = math.degrees(math.acos(min(1.0, abs(straight))))
    sight = math.degrees(math.atan2(abs(flat[second]), abs(flat[first]))) if off > SEEN else 0.0
    toward = tuple(
        face_of(k, flat[k] > 0)
        for k in sorted((first, second), key=lambda k: -abs(flat[k]))
        if math.degrees(math.asin(min(1.0, abs(flat[k])))) > SEEN
    )
    return Bored(off, sight, toward, 0.0 if slant.wide is None else _turned(slant, first, second))


def _turned(slant: Slant, first: int, second: int) -> float:
    """How far the long side of the mouth lies off the line along the face, at most 45 degrees."""
    one, two, three = slant.mouth()[:3]
    ways = [(two[k] - one[k], three[k] - two[k]) for k in (first, second)]
    turns = [math.degrees(math.atan2(ways[1][i], ways[0][i])) % 90 for i in range(2)]
    found = min((turn if turn <= 45 else turn - 90 for turn in turns), key=abs)
    return 0.0 if abs(found) < SEEN else abs(found)


def degrees(value: float) -> str:
    """An angle as it is printed, to 1/100 degree."""
    return f"{trimmed(Fraction(value), 2)}°"


def across_words(slant: Slant, display: Display) -> str:
    """How wide a tenon or a mortise at an angle is; a round one by the bit that bores it, as every other hole."""
    if slant.wide is None:
        return f"Ø {display.drill(slant.thick)}"
    return display.bare_size(slant.thick, slant.wide)


def slanted_words(job: Job, cuboid: Cuboid, piece: PlacedPiece) -> str:
    """Sizes and angles of a tenon or a mortise at an angle."""
    slant = cuboid.slant
    assert slant is not None
    display = job.display
    size = across_words(slant, display)
    if cuboid.adds:
        long = _long(cuboid, slant)
        flush = ", sawn flush when it is in" if slant.flush is not None else ""
        sawn = any(other.kind is FeatureKind.END_CUT for other in piece.cuboids)
        return f"{size}, {display.bare(long)} long{' from the middle of its shoulder' if sawn else ''}{flush}"
    if is_open_mortise(cuboid):
        return open_mortise_words(cuboid, display)
    found = bored(slant)
    deep = "through" if slant.deep is None else f"{display.bare(slant.deep)} deep"
    if found.off <= SEEN:
        return f"{size}, {deep}"
    if slant.out is not None and abs(slant.way[0]) > 1 - SQUARE:
        return f"{size}, {deep} along the piece"
    return f"{size}, {deep}{'' if slant.deep is None else ' along its own line'}, {degrees(found.off)} off square"


def is_open_mortise(cuboid: Cuboid) -> bool:
    """Whether it is the open mortise of a bridle at an angle, in the middle of its piece."""
    return Trait.MOUTH in cuboid.kind.traits and is_let_in(cuboid)


def open_mortise_words(cuboid: Cuboid, display: Display) -> str:
    """How an open mortise is gauged: "12 wide, 14 from the face side"."""
    assert cuboid.slant is not None
    axis = side_of(cuboid.slant.face)[0]
    wide, face = cuboid.hi[axis] - cuboid.lo[axis], the_face(face_of(axis, False))
    return f"{display.bare(wide)} wide, {display.bare(cuboid.lo[axis])} from {face}"


def _long(cuboid: Cuboid, slant: Slant) -> Length:
    return cuboid.hi[0] - slant.centre[0] if slant.way[0] > 0 else slant.centre[0] - cuboid.lo[0]


def slanting_note(bore: PlacedBore) -> str:
    """How a hole at an angle goes in, in few words: "9.9° off square", "square to the sawn end"."""
    if bore.slanting is None:
        return ""
    off = bore.slanting.off
    if runs_along(bore.slanting):
        return "along the piece"
    return f"{degrees(off)} off square" if off > SEEN else "square to the sawn end"


def runs_along(slanting: Slanting) -> bool:
    """Whether a hole runs along its piece, and only the end that it is bored in is off square."""
    return abs(slanting.way[0]) > 1 - SQUARE


def slanting_words(bore: PlacedBore, display: Display) -> str:
    """How a hole at an angle is bored, and where it comes out; "" of one that is square to its face: "9.9° off square,
    toward end A, out at 123 along, 20 across the back"."""
    slanting, slant = bore.slanting, bore.slant
    if slanting is None or slant is None:
        return ""
    surface = "the sawn end" if slanting.behind else the_face(bore.face)
    found = bored(slant, slanting.out)
    if found.off <= SEEN:
        words = f"square to {surface}"
    elif runs_along(slanting):
        words = f"along the piece, {degrees(found.off)} off {surface}"
    else:
        words = f"{degrees(found.off)} off square, toward {' and '.join(the_face(face) for face in found.toward)}"
        if len(found.toward) > 1:
            words += f", sight line {degrees(found.sight)} off the {along_word(bore.face)}"
    if bore.depth is None:
        axis = side_of(slanting.leaves)[0]
        along, across = (display.bare(slanting.exit[k]) for k in range(3) if k != axis)
        words += f", out at {along} along, {across} across {the_face(slanting.leaves)}"
    return words


def slanted_line(job: Job, cuboid: Cuboid) -> str:
    """How a mortise goes in at an angle, or lies askew on its face; "" of one that does not."""
    slant = cuboid.slant
    if slant is None or cuboid.adds:
        return ""
    if is_let_in(cuboid):
        return let_in_words(job, cuboid)
    found = bored(slant)
    return angle_words(found, slant) if found.off > SEEN or found.turned else ""


def askew_words(feature: Feature, slant: Slant) -> str:
    """The angle of a cut or a hole that goes in or lies off square; "" where it does not."""
    if isinstance(feature, Cuboid) and is_let_in(feature):
        return f"{degrees(off_square(feature))} off square"
    found = bored(slant)
    return angle_words(found, slant) if found.off > SEEN or found.turned else ""


def angle_words(found: Bored, slant: Slant) -> str:
    """How a mortise goes in: "9.9° off square, going in toward end A, 58° off the length"."""
    way = "bored" if slant.wide is None else "chopped"
    if slant.out is not None and abs(slant.way[0]) > 1 - SQUARE:
        return f"{way} along the piece, {degrees(found.off)} off the sawn end, its depth from the middle there"
    if found.off <= SEEN:
        words = f"{way} square to {the_face(slant.face)}"
    else:
        toward = " and ".join(the_face(face) for face in found.toward)
        words = f"{way} {degrees(found.off)} off square, going in toward {toward}"
        if len(found.toward) > 1:
            words += f", sight line {degrees(found.sight)} off the {along_word(slant.face)}"
    if found.turned:
        words += f", lying {degrees(found.turned)} off the {along_word(slant.face)}"
    return words


def let_in_words(job: Job, cuboid: Cuboid) -> str:
    """Where a cut that lies askew is marked out: "side nearer end A from 208.2 along, 62 across to 177.1 along, 178
    across, 15° off square"."""
    assert cuboid.slant is not None
    bare, axes = job.display.bare, axes_of(cuboid.slant)
    ways = ("along", "across", "deep")
    spots = [", ".join(f"{bare(v)} {ways[k]}" for v, k in zip(spot, axes, strict=True)) for spot in marked_side(cuboid)]
    off = off_square(cuboid)
    angle = (
        f"{degrees(off)} off square"
        if off <= MOST_ACROSS
        else f"{degrees(90 - off)} off the {along_word(cuboid.slant.face)}"
    )
    told = (word for trait, word in _STRUCK.items() if trait in cuboid.kind.traits)
    side = next(told, f"side nearer {_marked_from(cuboid)}" if _is_nearer(cuboid) else "shoulder")
    return f"{side} from {spots[0]} to {spots[1]}, {angle}"


def _is_nearer(cuboid: Cuboid) -> bool:
    """Whether the marked side lies nearer to the end or the edge than the rest of its cut: of a lap that runs out at
    end A it is the other one, the only one that is struck."""
    assert cuboid.slant is not None
    place = 0 if off_square(cuboid) <= MOST_ACROSS else 1
    axis = axes_of(cuboid.slant)[place]
    one, two = (spot[place] for spot in marked_side(cuboid))
    return one + two <= cuboid.lo[axis] + cuboid.hi[axis]


def _marked_from(cuboid: Cuboid) -> str:
    """The end or the edge that the marked side lies nearer to."""
    assert cuboid.slant is not None
    first, second = axes_of(cuboid.slant)
    return the_face(face_of(first if off_square(cuboid) <= MOST_ACROSS else second, False))


def along_word(face: Face) -> str:
    """The line of a face that angles on it are counted from."""
    return "width" if face in (Face.A, Face.B) else "length"
