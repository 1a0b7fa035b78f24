"""What a joint is worked out from: its sizes, the frame of two touching pieces, the rules of thumb, the result."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct

from shopdocs.core.box import touch
from shopdocs.core.display import exact_text, rounded
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import Face, Joint, JointKind
from shopdocs.model.parts import Axis
from shopdocs.work.space.placed import (
    PIECE_AXES,
    Bore,
    Cuboid,
    Feature,
    FeatureKind,
    Flare,
    PlacedPiece,
    Scene,
    side_of,
)
from shopdocs.work.space.slanting import Sides

# Rules of thumb, all of them common practice, no source.
THINNEST_WALL = Length(6)  # wood left beside or below a mortise, groove or socket
NARROWEST_CUT = Length(3)  # the narrowest mortise chisel and iron of a plough plane, 1/8 in or 3 mm
THINNEST_TEXT = "6 mm or 1/4 in"  # as it is told; 6 mm in inches is about 15/64 in, which nobody measures
TENON_SHARE = Fraction(1, 3)  # thickness of a tenon or tongue to that of its piece
THICKEST_TENON_SHARE = Fraction(1, 2)  # beyond this the shoulders are weak
TENON_DEPTH_SHARE = Fraction(2, 3)  # depth of a stopped mortise to the piece it goes into
SHOULDER_SHARE = Fraction(1, 8)  # shoulder above and below a tenon to the width of its piece
HAUNCH_SHARE = Fraction(1, 3)  # width of a haunch to that of its tenon
HOUSING_SHARE = Fraction(1, 3)  # depth of a housing to the piece it is cut in
DOWEL_SHARES = (Fraction(1, 3), Fraction(1, 2))  # diameter of a dowel to the thickness of the thinner piece
HARDWOOD_SLOPE = 8  # a dovetail's slope, 1 in 8
SIXTEENTH = Length.inches("1/16")
STEPS = {"in": SIXTEENTH, "mm": Length(1)}  # to which a size that follows is rounded, by the build's units


class JointSizes(Struct, frozen=True):
    """The sizes of a joint, as in `model.joining.Joint`; what is None follows from common practice, rounded to `step`.

    `shoulder` stands above and below a tenon; `haunch` is the length of a haunch; `room` is how much deeper a mortise
    is than its tenon is long; `slope` n means a dovetail of 1 in n; `moves` is by how much of its width the
    entering piece moves over a year, None where that is not known; `sheet` whether it is of sheet goods, `flat`
    whether a round is planed flat for its shoulder.
    """

    kind: JointKind
    thickness: Length | None = None
    width: Length | None = None
    length: Length | None = None
    depth: Length | None = None
    proud: Length = ZERO
    count: int = 1
    shoulder: Length | None = None
    haunch: Length | None = None
    room: Length = ZERO
    slope: int = HARDWOOD_SLOPE
    glued: bool = True
    name: str = ""
    step: Length = SIXTEENTH
    moves: Fraction | None = None
    sheet: bool = False
    flat: bool = False

    @staticmethod
    def of(
        joint: Joint,
        room: Length,
        name: str = "",
        step: Length = SIXTEENTH,
        moves: Fraction | None = None,
        sheet: bool = False,
    ) -> JointSizes:
        """The sizes the maker wrote, and the room that is left; `name` is what the features of this meeting are called
        (its number), `moves` by how much of its width the entering piece moves over a year, `sheet` whether it is of
        sheet goods."""
        return JointSizes(
            joint.kind,
            joint.thickness,
            joint.width,
            joint.length,
            joint.depth,
            joint.proud,
            joint.count,
            shoulder=joint.shoulder,
            haunch=joint.haunch,
            room=room,
            slope=joint.slope or HARDWOOD_SLOPE,
            glued=joint.glued,
            name=name or joint.name,
            step=step,
            moves=moves,
            sheet=sheet,
            flat=joint.flat,
        )

    def about(self, length: Length) -> Length:
        """`length` to the nearest step, but never nothing."""
        return max(rounded(length, self.step), self.step)


class Doubt(Struct, frozen=True):
    """A problem without a place: what is wrong, what would be right. The caller knows the line it belongs to."""

    code: str
    wrong: str
    right: str
    severity: Severity = Severity.ERROR


class Joinery(Struct, frozen=True):
    """What one joint makes of two pieces.

    `enters` is the face of the entering piece that meets `meets`, the face of the receiving one (None where the pieces
    cross each other). `added` is what the entering piece is longer than its body on that side, `room` how much deeper
    the cut for it is. `centres` are points in
    the build on the meeting plane, for dowels, loose tenons and screws. Areas are square millimetres: `glue_area` all
    that takes glue, `long_grain` the part of it where long grain meets long grain. `stops` are the
    ways of the build (axis, to its high side) in which the entering piece cannot be drawn off, though no cuboid stands
    in its way, `frees` the one nearest to the length of the receiving piece where it can be drawn off along that alone.
    """

    kind: JointKind
    enters: Face | None
    meets: Face | None
    entering: tuple[Feature, ...] = ()
    receiving: tuple[Feature, ...] = ()
    added: Length = ZERO
    room: Length = ZERO
    centres: tuple[tuple[Length, Length, Length], ...] = ()
    glue_area: Fraction = Fraction(0)
    long_grain: Fraction = Fraction(0)
    doubts: tuple[Doubt, ...] = ()
    stops: tuple[tuple[int, bool], ...] = ()
    frees: tuple[tuple[int, bool], ...] = ()


Range = tuple[Length, Length]


class Frame(Struct, frozen=True, dict=True):
    """Two pieces whose bodies touch. `n` is the build axis square to the meeting plane, `high` whether the receiving
    piece lies on its high side; `u` follows the entering piece's thickness (its width, should it lie face to face), `v`
    the remaining axis. `shared` are the ranges of the touching rectangle along u and v."""

    entering: PlacedPiece
    receiving: PlacedPiece
    n: int
    high: bool
    u: int
    v: int
    shared_u: Range
    shared_v: Range

    @property
    def enters(self) -> Face:
        """The face of the entering piece that lies against the other."""
        return self.entering.pose.face_toward(self.n, self.high)

    @property
    def meets(self) -> Face:
        """The face of the receiving piece that it lies against."""
        return self.receiving.pose.face_toward(self.n, not self.high)

    @property
    def depth(self) -> Length:
        """The receiving piece along n."""
        return self.receiving.extent[self.n]

    def extent(self, piece: PlacedPiece, axis: int) -> Range:
        """Where a piece's body begins and ends along a build axis (0, 1 or 2)."""
        return piece.at[axis], piece.far[axis]

    def stopped(self, width: Length | None) -> Range:
        """What goes in along v: all of the touching rectangle, or so much of it, short of the entering piece's face
        edge."""
        low, high = self.shared_v
        if width is None:
            return low, high
        axis, far = self.entering.pose.look_of(Face.EDGE)
        return (low, low + width) if axis == self.v and far else (high - width, high)

    def corners(self, n: Range, u: Range, v: Range) -> tuple[list[Length], list[Length]]:
        """Low and high corner in the build of a block; `n` is measured from the meeting plane into the receiving piece
        (negative into the entering one)."""
        plane = self.entering.far[self.n] if self.high else self.entering.at[self.n]
        lo, hi = [ZERO] * 3, [ZERO] * 3
        lo[self.n], hi[self.n] = (plane + n[0], plane + n[1]) if self.high else (plane - n[1], plane - n[0])
        (lo[self.u], hi[self.u]), (lo[self.v], hi[self.v]) = u, v
        return lo, hi

    def cuboid(
        self,
        piece: PlacedPiece,
        kind: FeatureKind,
        n: Range,
        u: Range,
        v: Range,
        joint: str,
        adds: bool = False,
        flare: Flare | None = None,
    ) -> Cuboid:
        """A block, its ranges as for `corners`, in the piece's own axes: a cut in `piece`, or wood that it `adds`.
        `flare` is the slope of its sides, `joint` the name of the joint it belongs to."""
        lo, hi = piece.range_in_piece(*self.corners(n, u, v))
        return Cuboid(kind, lo, hi, adds, joint, flare)

    def centre(self, u: Length, v: Length) -> tuple[Length, Length, Length]:
        """The point of the meeting plane at `u` and `v`, in the build."""
        lo, _ = self.corners((ZERO, ZERO), (u, u), (v, v))
        return lo[0], lo[1], lo[2]

    def bore(
        self,
        piece: PlacedPiece,
        kind: FeatureKind,
        at: tuple[Length, Length, Length],
        face: Face,
        diameter: Length,
        depth: Length | None,
        joint: str,
    ) -> Bore:
        """A hole through the point `at` of the build, from `face`."""
        centre = list(piece.spot_in_piece(at))
        axis, far = side_of(face)
        centre[axis] = piece.size[axis] if far else ZERO
        return Bore(kind, face, (centre[0], centre[1], centre[2]), diameter, depth, joint)

    def spread(self, count: int) -> list[Length]:
        """`count` places along v, evenly: half a space at the ends."""
        low, high = self.shared_v
        return [low + (high - low) * Fraction(2 * i + 1, 2 * count) for i in range(count)]


class Geometry(Struct, frozen=True):
    """How a kind of joint is worked out: `touching` for two pieces whose bodies touch, `crossing` for two that take the
    same space (None where they do not); without it they may not. `askew` is for two of which one leans or is tipped, by
    their sides as they are sawn; kinds with a tenon or what stands for it have a way of their own (`off_square`)."""

    touching: Callable[[Frame, JointSizes], Joinery]
    crossing: Callable[[PlacedPiece, PlacedPiece, JointSizes], Joinery | None] | None = None
    askew: Callable[[PlacedPiece, PlacedPiece, JointSizes, Sides], Joinery] | None = None


def frame_of(entering: PlacedPiece, receiving: PlacedPiece) -> Frame | None:
    """The frame of two pieces whose bodies touch face to face; None when they do not."""
    scene = Scene.of([body_alone(entering), body_alone(receiving)])
    found = touch(scene.solids[0].body, scene.solids[1].body)
    if found is None:
        return None
    pose = entering.pose
    axes = [pose.build_axis(k) for k in (2, 1, 0)]  # thickness, width, length
    axes.remove(found.axis)
    u, v = axes

    def shared(axis: int) -> Range:
        return scene.ticks.length(found.where.lo[axis]), scene.ticks.length(found.where.hi[axis])

    return Frame(entering, receiving, found.axis, found.high, u, v, shared(u), shared(v))


def gaps_between(entering: PlacedPiece, receiving: PlacedPiece) -> list[Length]:
    """How far apart two bodies are along x, y and z."""
    return [max(receiving.at[k] - entering.far[k], entering.at[k] - receiving.far[k], ZERO) for k in range(3)]


def body_alone(piece: PlacedPiece) -> PlacedPiece:
    """The piece without what joints and holes make of it."""
    return PlacedPiece(piece.mark, piece.part, piece.at, piece.length, piece.width, piece.thickness, piece.pose)


def axis_name(piece: PlacedPiece, axis: int) -> Axis:
    """The axis of the piece that follows an axis of the build."""
    return PIECE_AXES[piece.pose.piece_axis(axis)]


def area(*sides: Length) -> Fraction:
    """The area of a rectangle with these two sides, in square millimetres."""
    return sides[0].mm * sides[1].mm


def middle(span: Range) -> Length:
    """The point halfway along a range."""
    return (span[0] + span[1]) / 2


def about_middle(span: Range, size: Length) -> Range:
    """A range of this size with the same middle."""
    centre = middle(span)
    return centre - size / 2, centre + size / 2


def thin(code: str, what: str, left: Length, right: str, least: Length = THINNEST_WALL) -> list[Doubt]:
    """The doubt, if any, about wood that is left beside or below a cut: less than `least`."""
    if left >= least:
        return []
    if left <= ZERO:
        past = f" and comes out by {exact_text(-left)}" if left < ZERO else ""
        return [Doubt(code, f"{what} leaves no wood{past}", right)]
    usual = THINNEST_TEXT if least == THINNEST_WALL else exact_text(least)
    wrong = f"{what} leaves {exact_text(left)} of wood"
    return [Doubt(code, wrong, f"{right}; common practice leaves at least {usual}", Severity.WARNING)]


_ENDS = (Face.A, Face.B)


def overhang(frame: Frame) -> list[Doubt]:
    """A piece that is wider than what it goes into. Where its side lies against the other's end, the joint was most
    likely written the wrong way round."""
    doubts = []
    mark, mate = frame.entering.mark, frame.receiving.mark
    covers = all(frame.entering.extent[axis] >= frame.receiving.extent[axis] for axis in (frame.u, frame.v))
    if covers and frame.enters not in _ENDS and frame.meets in _ENDS:
        wrong = f"the end of {mate} lies against {mark}, so it is {mate} that goes in"
        return [Doubt("wider-than-its-mate", wrong, f"swap the two: {mate} into {mark}")]
    for axis in (frame.u, frame.v):
        mine, theirs = frame.entering.extent[axis], frame.receiving.extent[axis]
        hangs = max(
            frame.receiving.at[axis] - frame.entering.at[axis], frame.entering.far[axis] - frame.receiving.far[axis]
        )
        if mine > theirs:
            doubts.append(
                Doubt(
                    "wider-than-its-mate",
                    f"{frame.entering.mark} is {exact_text(mine)} wide, "
                    f"{frame.receiving.mark} only {exact_text(theirs)}",
                    f"make {frame.entering.mark} at most {exact_text(theirs)} wide",
                )
            )
        elif hangs > ZERO:
            doubts.append(
                Doubt(
                    "hangs-over",
                    f"{frame.entering.mark} stands {exact_text(hangs)} past {frame.receiving.mark}",
                    f"move it so that all of it meets {frame.receiving.mark}",
                )
            )
    return doubts
