"""What a placed piece is made of: faces and axes, how it stands, what is cut away, added and bored."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.box import Box, Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Side
from shopdocs.core.turn import Vector, cross, dot, unit
from shopdocs.model.joining import Face
from shopdocs.model.joint_names import FeatureKind as FeatureKind
from shopdocs.model.parts import Axis, Direction, Part, Piece, Runs
from shopdocs.work.shapes.profiled import Profile, profile_of
from shopdocs.work.shapes.slopes import Slope

Spot = tuple[Length, Length, Length]
PIECE_AXES = (Axis.LENGTH, Axis.WIDTH, Axis.THICKNESS)
BUILD_AXES = (Direction.X, Direction.Y, Direction.Z)
_FACES: tuple[tuple[Face, Face], ...] = ((Face.A, Face.B), (Face.EDGE, Face.FAR_EDGE), (Face.FACE, Face.BACK))


def face_of(axis: int, high: bool) -> Face:
    """The name of the face at the low or high end of a piece axis (0 length, 1 width, 2 thickness)."""
    return _FACES[axis][high]


def side_of(face: Face) -> tuple[int, bool]:
    """The piece axis a face stands square to, and whether it lies at its high end. ValueError for what is no face."""
    for axis, pair in enumerate(_FACES):
        if face in pair:
            return axis, face is pair[1]
    raise ValueError(f"no face of a piece: {face}")


class Toward(Struct, frozen=True):
    """A direction of the build, with its sense: `forward` to the right, to the back, or up."""

    direction: Direction
    forward: bool = True

    @property
    def index(self) -> int:
        """The axis of the build as a number: 0, 1, 2 for x, y, z."""
        return BUILD_AXES.index(self.direction)


class Pose(Struct, frozen=True):
    """Which way each piece axis points: length from end A to end B, width away from the face edge, thickness away from
    the face side. Raises ValueError when two of them follow the same direction."""

    length: Toward
    width: Toward
    thickness: Toward

    def __post_init__(self) -> None:
        if len({toward.direction for toward in self.axes}) != 3:
            raise ValueError("length, width and thickness must follow three different directions")

    @staticmethod
    def of(runs: Runs, end_a: bool = True, face_edge: bool = True, face_side: bool = True) -> Pose:
        """The pose of a piece that runs so, with end A, the face edge and the face side at the low (left, front,
        bottom) side of the build, or at the high side where the argument is False."""
        return Pose(Toward(runs.length, end_a), Toward(runs.width, face_edge), Toward(runs.thickness, face_side))

    @property
    def axes(self) -> tuple[Toward, Toward, Toward]:
        """Where length, width and thickness lead, in this order."""
        return (self.length, self.width, self.thickness)

    @property
    def right_handed(self) -> bool:
        """Whether along, across, deep follow the right-hand rule. A handed pair differs in this."""
        order = tuple(toward.index for toward in self.axes)
        even = order in ((0, 1, 2), (1, 2, 0), (2, 0, 1))
        backward = sum(not toward.forward for toward in self.axes)
        return even == (backward % 2 == 0)

    def build_axis(self, axis: int) -> int:
        """The build axis (0 x, 1 y, 2 z) that a piece axis follows."""
        return self.axes[axis].index

    def piece_axis(self, axis: int) -> int:
        """The piece axis that follows a build axis."""
        return next(k for k in range(3) if self.axes[k].index == axis)

    def face_toward(self, axis: int, high: bool) -> Face:
        """The face of the piece that looks to the low or high side of a build axis."""
        mine = self.piece_axis(axis)
        return face_of(mine, high == self.axes[mine].forward)

    def look_of(self, face: Face) -> tuple[int, bool]:
        """The build axis a face looks along, and whether to its high side."""
        axis, high = side_of(face)
        toward = self.axes[axis]
        return toward.index, high == toward.forward


OWN_POSE = Pose(Toward(Direction.X), Toward(Direction.Y), Toward(Direction.Z))  # of a piece in its own coordinates


def pose_of(part: Part, piece: Piece) -> Pose | None:
    """How a piece is turned: as its place says, else as a part that runs so is usually marked out (an upright end B, an
    upper face edge, an upper face side). None where the build does not say how the part lies."""
    runs, place = part.runs, piece.place
    if runs is None:
        return None
    if place is not None:
        return Pose.of(runs, place.end_a_low, place.face_edge_low, place.face_side_low)
    return Pose.of(runs, True, runs.width is not Direction.Z, runs.thickness is not Direction.Z)


class Flare(Struct, frozen=True):
    """A dovetail's slope: the cuboid is narrower by `by` on each side of `axis` where it meets the face `at`; a mitre's
    on one side alone, the one towards the face `only`. It draws in from the other end on, or `after` so much from
    there. An `arc` draws in to nothing there by a circle over the cuboid's length along `axis`, with `only` by a
    quarter of one. A compound cut takes `skew` of its length towards the face `skew_to`, besides what it takes along
    `axis`. A `waste` is the closed outline of what is cut away of the cuboid, in piece coordinates along `axis` and the
    axis that `at` stands square to; it goes right through the cuboid along the third."""

    axis: Axis
    at: Face
    by: Length
    only: Face | None = None
    after: Length = ZERO
    arc: bool = False
    skew: Length = ZERO
    skew_to: Face | None = None
    waste: tuple[Side, ...] = ()


class Slant(Struct, frozen=True):
    """A tenon at a shoulder off square, or the mortise for one that goes in at an angle. Of a mortise: `centre` is the
    middle of its mouth on `face`, `way` the direction it goes in, `across` that of its thickness, both one long, all in
    piece coordinates; `thick` and `wide` are its section (`wide` None: round, `thick` its diameter), `deep` how deep it
    goes along `way`, None through. Of a tenon `way` leads out of its piece, and its cuboid is its section; `flush` is
    the face it is sawn off flush with when it is in, by a point of it and the direction it looks, in millimetres. A cut
    in an end off square has its mouth there: that looks `out`. `struck` is the side that a cut with an outline is
    marked out by, where its outline alone does not tell it: both its ends, along the two axes of the face."""

    face: Face
    centre: Spot
    way: Vector
    across: Vector
    thick: Length
    wide: Length | None = None
    deep: Length | None = None
    flush: tuple[Vector, Vector] | None = None
    out: Vector | None = None
    struck: tuple[tuple[Length, Length], tuple[Length, Length]] | None = None

    def mouth(self, level: Length | None = None, steps: int | None = None) -> tuple[Vector, ...]:
        """Its rim on the face, going round, in piece coordinates: four corners, or points of an ellipse; on the
        opposite face where that lies at `level` along the axis that both stand square to. An ellipse has as many
        points as the piece's solid has, or `steps` where it is drawn finer."""
        axis = side_of(self.face)[0]
        up = cross(self.way, self.across)
        half = self.thick.float_mm() / 2
        if self.wide is None:
            turns = [math.tau * k / (steps or ROUND) for k in range(steps or ROUND)]
            section = [(half * math.cos(turn), half * math.sin(turn)) for turn in turns]
        else:
            high = self.wide.float_mm() / 2
            section = [(half, high), (-half, high), (-half, -high), (half, -high)]
        plane = (self.centre[axis] if level is None else level).float_mm()
        square = [0.0, 0.0, 0.0]
        square[axis] = 1.0
        out = self.out if self.out is not None and level is None else square
        found = []
        for a, b in section:
            spot = [self.centre[k].float_mm() + a * self.across[k] + b * up[k] for k in range(3)]
            from_mouth = [spot[k] - (plane if k == axis else self.centre[k].float_mm()) for k in range(3)]
            back = dot(from_mouth, out) / dot(self.way, out)
            x, y, z = (spot[k] - back * self.way[k] for k in range(3))
            found.append((x, y, z))
        return tuple(found)


ROUND = 24  # straight pieces that stand for a circle, 1/117 of its radius beside it at most: 0.14 mm of a 32 mm one
FINE = 96  # the same at full size on paper, where each of 24 is seen: 1/1868 of the radius, 0.02 mm of a 64 mm one
STRIPS = 48  # flat strips that stand for the side of a turned piece, 1/460 of its radius beside it at most
OWN = "cut:"  # begins the `joint` of features that no joint makes; those of joints are numbers


class Cuboid(Struct, frozen=True):
    """A box in piece coordinates that is cut away, or added to the piece (`adds`). It may reach past the body."""

    kind: FeatureKind
    lo: Spot
    hi: Spot
    adds: bool = False
    joint: str = ""
    flare: Flare | None = None
    slant: Slant | None = None

    @property
    def own(self) -> bool:
        """Whether it is a cut of the maker's own, and no joint's."""
        return self.joint.startswith(OWN)

    @property
    def askew(self) -> bool:
        """Whether it runs at an angle to its face. What lies askew on a face and goes in square has an outline, and is
        cut to that."""
        return self.slant is not None and self.flare is None

    @property
    def size(self) -> Spot:
        """Along the length, the width and the thickness of its piece."""
        return (self.hi[0] - self.lo[0], self.hi[1] - self.lo[1], self.hi[2] - self.lo[2])


class Slanting(Struct, frozen=True):
    """How a hole runs that is not square to the face it is named by: `way` is the direction it is bored in, `out` that
    in which the surface looks that it enters, both one long, in piece coordinates. That surface is the face, or an end
    as it is sawn, which lies `behind` the long point there. `leaves` is the face that it comes out of, at `exit`, or
    would if it were deep enough."""

    way: Vector
    out: Vector
    behind: Length
    leaves: Face
    exit: Spot

    @property
    def off(self) -> float:
        """How far it runs off square to the surface that it enters, in degrees."""
        across = cross(self.way, self.out)
        return math.degrees(math.atan2(math.hypot(*across), -dot(self.way, self.out)))


class Bore(Struct, frozen=True):
    """A round hole square to `face`: `centre` lies on that face, in piece coordinates; `depth` None goes through. One
    that is `slanting` has its centre where it enters, and its depth along its own line."""

    kind: FeatureKind
    face: Face
    centre: Spot
    diameter: Length
    depth: Length | None = None
    joint: str = ""
    head: Length | None = None  # diameter of a countersink at the surface
    slot: Length | None = None  # whole length of a slotted hole, along `slot_axis` of the piece
    slot_axis: int = 0
    against: Spot | None = None  # the middle of the hole in the other piece that it is meant not to meet, of a drawbore
    note: str = ""  # said of it on the drawing, in place of its depth
    marked: bool = False  # through the hole of the other piece, and measured nowhere
    slanting: Slanting | None = None

    @property
    def slant(self) -> Slant | None:
        """One that is slanting as a cut at an angle to its face; None of one that is square to it."""
        if self.slanting is None:
            return None
        axis = side_of(self.face)[0]
        aside = [0.0, 0.0, 0.0]
        aside[(axis + 1) % 3] = 1.0
        across = unit(cross(self.slanting.way, aside))
        out = self.slanting.out if self.slanting.behind else None
        return Slant(self.face, self.centre, self.slanting.way, across, self.diameter, None, self.depth, out=out)


Feature = Cuboid | Bore


def squared(features: Iterable[Feature]) -> tuple[Feature, ...]:
    """Features of which none is at an angle."""
    return tuple(
        replace(feature, slant=None) if isinstance(feature, Cuboid) and feature.slant is not None else feature
        for feature in features
    )


def slope_of(
    cuboid: Cuboid,
    flare: Flare,
    box: Callable[[Spot, Spot], Box],
    axis_of: Callable[[int], int],
    look_of: Callable[[Face], tuple[int, bool]],
    ticks: Ticks,
) -> Slope:
    """What a flare makes of a cuboid, in ticks."""
    return Slope(
        box(cuboid.lo, cuboid.hi),
        axis_of(PIECE_AXES.index(flare.axis)),
        *look_of(flare.at),
        round(flare.by.mm * ticks.per_mm),
        cuboid.adds,
        look_of(flare.only)[1] if flare.only is not None else None,
        round(flare.after.mm * ticks.per_mm),
        flare.arc,
        round(flare.skew.mm * ticks.per_mm),
        flare.skew_to is not None and look_of(flare.skew_to)[1],
        _profile(cuboid, flare, box, axis_of, look_of, ticks) if flare.waste else None,
    )


def _profile(
    cuboid: Cuboid,
    flare: Flare,
    box: Callable[[Spot, Spot], Box],
    axis_of: Callable[[int], int],
    look_of: Callable[[Face], tuple[int, bool]],
    ticks: Ticks,
) -> Profile:
    """The waste of a cuboid in ticks, from its low corner."""
    first, second = PIECE_AXES.index(flare.axis), side_of(flare.at)[0]
    axis, stands = axis_of(first), look_of(flare.at)[0]
    whole, start = box(cuboid.lo, cuboid.hi), box(cuboid.lo, cuboid.lo).lo
    low = [cuboid.lo[k].float_mm() for k in (first, second)]

    def flat(spot: tuple[float, float]) -> tuple[int, int]:
        found = []
        for at, base, k in zip(spot, low, (axis, stands), strict=True):
            ticks_in = round((at - base) * ticks.per_mm)
            found.append(ticks_in if start[k] == whole.lo[k] else whole.size[k] - ticks_in)
        return found[0], found[1]

    return profile_of(flare.waste, flat)
