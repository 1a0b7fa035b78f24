"""In words where a rectangle lies that is hidden in a joint, so that no other place of the joint is meant by them.

A face of the body is told by what stands or is cut there and the face beyond: *shoulder A, by the face side*; *between
RL's mortise and face edge*. What lies on a tenon or in a cut is told by its side: *tenon at end A, cheek by the back*;
*floor of S1's housing*. A cut is called by the mark of the piece that goes into it, for a post has many mortises; those
in a row are counted from the faces one gauges from.
"""

from __future__ import annotations

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import FACE_NAMES, OPPOSITE, Face
from shopdocs.model.joint_names import Trait
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Spot, face_of, side_of

NARROW = Length(10)  # nobody writes a number between walls as close as that (common practice, no source)
WITHIN_REACH = 2  # times the width of a cut: how deep into it a pencil's point gets (common practice, no source)
LIGHTLY = "lightly"  # pencilled where it shows, to be rubbed out
_LEVEL = (Face.FACE, Face.BACK)
_ENDS = (Face.A, Face.B)


class Joined(Struct, frozen=True):
    """One joint as one of its pieces shows it: its `cuboids` there, the `face` of the piece that goes in or takes the
    other in (None where they cross), whether it `enters`, and the mark of the `other` piece."""

    piece: PlacedPiece
    cuboids: tuple[Cuboid, ...]
    face: Face | None
    enters: bool
    other: str


def on_body(joined: Joined, face: Face, low: Spot, high: Spot) -> str:
    """A rectangle `low` to `high`, in piece coordinates, on a `face` of the body."""
    cuboids = [c for c in joined.cuboids if c.kind is not FeatureKind.END_LEFT_ON]
    across = [axis for axis in range(3) if axis != side_of(face)[0]]
    if not cuboids:
        whole = all(low[k] <= ZERO and high[k] >= joined.piece.size[k] for k in across)
        return FACE_NAMES[face] if whole else f"{FACE_NAMES[face]}, where {joined.other} meets it"
    shoulder = joined.enters and face in _ENDS and face is joined.face and any(c.adds for c in cuboids)
    own = "" if joined.enters else f"{joined.other}'s "
    for axis in across:
        before = [c for c in cuboids if c.hi[axis] <= low[axis]]
        behind = [c for c in cuboids if c.lo[axis] >= high[axis]]
        for near, beyond in ((before, True), (behind, False)):
            if len(near) == len(cuboids):
                side = FACE_NAMES[face_of(axis, beyond)]
                if shoulder:
                    return f"shoulder {face.value}, by {_the(face_of(axis, beyond))}"
                last = (max if beyond else min)(near, key=lambda c: c.lo[axis])
                where = "" if _opens_once(joined.piece, last) else f"{FACE_NAMES[face]}, "
                return f"{where}between {own}{last.kind} and {side}"
        if before and behind and len(before) + len(behind) == len(cuboids):
            where = "" if _opens_once(joined.piece, before[0]) else f"{FACE_NAMES[face]}, "
            return f"{where}between {own}{before[0].kind.plural} {len(before)} and {len(before) + 1}"
    return f"{FACE_NAMES[face]}, where {joined.other} meets it"


def _opens_once(piece: PlacedPiece, cut: Cuboid) -> bool:
    """Whether a cut opens on one face alone, so that what lies beside it lies on that."""
    sides = [(cut.lo[k] <= ZERO, cut.hi[k] >= piece.size[k]) for k in range(3)]
    return not cut.adds and sum(map(sum, sides)) == 1


def in_joint(joined: Joined, face: Face, low: Spot, high: Spot) -> str:
    """The same for a rectangle on a tenon or the like, or inside a cut."""
    part = max(joined.cuboids, key=lambda c: _shared(c, low, high), default=None)
    if part is None or _shared(part, low, high) < 0:
        return f"{FACE_NAMES[face]}, where {joined.other} meets it"
    if Trait.SHOULDERED in part.kind.traits:
        return _on_cheek(joined, part, face)
    name = _name(joined, part)
    if part.adds and joined.face is not None:
        return _on_tenon(part.kind, name, face, joined.face)
    axis, far = side_of(face)
    opens = part.hi[axis] >= joined.piece.size[axis] if far else part.lo[axis] <= ZERO
    if face is joined.face or (joined.face is None and opens):
        return f"floor of {joined.other}'s {name}"
    return f"wall of {joined.other}'s {name}, by {_the(OPPOSITE[face])}"


def beside_mortise(joined: Joined, low: Spot, high: Spot) -> str:
    """What is said instead of a rectangle inside a mortise or the like that no pencil's point reaches; "" elsewhere. It
    reaches no wall with another across from it, and a floor where that is wide enough for its width."""
    part = max(joined.cuboids, key=lambda c: _shared(c, low, high), default=None)
    if part is None or part.adds or joined.face is None or _shared(part, low, high) < 0:
        return ""
    down = side_of(joined.face)[0]
    wide = min(part.size[k] for k in range(3) if k != down)
    on_floor = low[down] == high[down]
    if Trait.HOLLOW not in part.kind.traits or (on_floor and wide >= NARROW and part.size[down] <= wide * WITHIN_REACH):
        return ""
    return f"beside {joined.other}'s {_name(joined, part)}, {LIGHTLY}"


def in_narrow_groove(joined: Joined, low: Spot, high: Spot) -> bool:
    """Whether a rectangle inside a cut lies in a groove that is too narrow to write in."""
    part = max(joined.cuboids, key=lambda c: _shared(c, low, high), default=None)
    if part is None or part.adds or Trait.RUNS not in part.kind.traits or _shared(part, low, high) < 0:
        return False
    return sorted(part.size)[0] < NARROW or sorted(part.size)[1] < NARROW


def _the(face: Face) -> str:
    return FACE_NAMES[face] if face in _ENDS else f"the {FACE_NAMES[face]}"


def _name(joined: Joined, part: Cuboid) -> str:
    """ "mortise", or which of several, counted from the face one gauges from: "tail 2"."""
    row = [c for c in joined.cuboids if c.kind is part.kind]
    if len(row) == 1:
        return part.kind.value
    axis = max(range(3), key=lambda k: (max(c.lo[k] for c in row) - min(c.lo[k] for c in row)).mm)
    return f"{part.kind} {sum(1 for c in row if c.lo[axis] <= part.lo[axis])}"


def _on_cheek(joined: Joined, cut: Cuboid, face: Face) -> str:
    """Beside the tenon of a bridle at an angle, which its piece is not sawn to stand out with."""
    axis = next(k for k in (2, 1) if (cut.lo[k] <= ZERO) != (cut.hi[k] >= joined.piece.size[k]))
    if side_of(face)[0] == axis:
        return f"tenon in {joined.other}, cheek by {_the(face)}"
    return f"shoulder at {joined.other}"


def _on_tenon(kind: FeatureKind, name: str, face: Face, stands: Face) -> str:
    if Trait.HOUSED in kind.traits:
        housed = f"housed {FACE_NAMES[stands]}"
        return housed if face is stands else f"{housed}, its {FACE_NAMES[face]}"
    at = f"{name} at {FACE_NAMES[stands]}"
    if face is stands:
        return f"{at}, outer edge" if Trait.TONGUE in kind.traits else f"{at}, its end"
    if Trait.CHEEKS in kind.traits and face in _LEVEL:
        return f"{at}, cheek by {_the(face)}"
    return f"{at}, side by {_the(face)}"


def _shared(cuboid: Cuboid, low: Spot, high: Spot) -> float:
    """How much of a rectangle lies on a block, in square millimetres; less than nothing where it does not."""
    sides = [min(cuboid.hi[k], high[k]).mm - max(cuboid.lo[k], low[k]).mm for k in range(3)]
    flat = [side for k, side in enumerate(sides) if low[k] != high[k]]
    return float(flat[0] * flat[1]) if min(sides) >= 0 and min(flat) > 0 else -1.0
