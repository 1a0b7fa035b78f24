"""Joints, hardware, gluing and finish: how pieces become one thing."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from msgspec import Struct, field

from shopdocs.core.compared import Compared
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.model.joint_names import JointKind as JointKind
from shopdocs.model.parts import Places


class End(StrEnum):
    """An end of a piece: A is the lower, left or front one unless the build says otherwise."""

    A = "A"
    B = "B"


class Meeting(Struct, frozen=True):
    """One place where one piece goes into another. `number` counts all meetings of the build from 1, in reading order;
    it is what is pencilled inside the joint. `end` is the end of the entering piece, where it has one."""

    number: int
    joint: str
    entering: str
    receiving: str
    end: End | None = None
    at: Position = NOWHERE


class Joint(Compared, frozen=True):
    """One line of joinery: a kind, its sizes, and the meetings it stands for.

    `thickness`, `width`, `length` are the tenon's or tongue's (or the dowel's diameter in `thickness`); `depth` that of
    a housing, groove or rabbet; `proud` what stands past the far face until it is trimmed; `shoulder` stands above and
    below a tenon; `haunch` is a haunch's length; `room` how much deeper a mortise is than its tenon is long, where
    the build says it; `slope` n a dovetail of 1 in n; `count` dowels, loose tenons or tails a meeting;
    `flat` that a round is planed flat for the shoulder.
    """

    name: str
    kind: JointKind
    meetings: tuple[Meeting, ...]
    mark: str = ""
    thickness: Length | None = None
    width: Length | None = None
    length: Length | None = None
    depth: Length | None = None
    proud: Length = ZERO
    shoulder: Length | None = None
    haunch: Length | None = None
    room: Length | None = None
    slope: int | None = None
    count: int = 1
    glued: bool = True
    flat: bool = False
    note: str = ""
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)

    def width_on(self, whole: Length) -> Length | None:
        """The width of a tenon on a piece that is `whole` wide: as written, or what the shoulders above and below it
        leave; None where neither is written."""
        return whole - self.shoulder * 2 if self.width is None and self.shoulder is not None else self.width


class Face(StrEnum):
    """The six faces of a piece, as they are written in a build; their names at the bench are `FACE_NAMES`."""

    FACE = "face"
    BACK = "back"
    EDGE = "edge"
    FAR_EDGE = "far edge"
    A = "A"
    B = "B"


# The one table of their names: sheets, records, labels and messages all take them from here.
FACE_NAMES = {
    Face.FACE: "face side",
    Face.BACK: "back face",
    Face.EDGE: "face edge",
    Face.FAR_EDGE: "far edge",
    Face.A: "end A",
    Face.B: "end B",
}

COUNTED_FROM = (Face.A, Face.EDGE, Face.FACE)  # where measures along, across and into a piece begin
OPPOSITE = {
    Face.FACE: Face.BACK,
    Face.BACK: Face.FACE,
    Face.EDGE: Face.FAR_EDGE,
    Face.FAR_EDGE: Face.EDGE,
    Face.A: Face.B,
    Face.B: Face.A,
}


def the_face(face: Face) -> str:
    """A face in a sentence: "the face side", "end A"."""
    return FACE_NAMES[face] if face in (Face.A, Face.B) else f"the {FACE_NAMES[face]}"


class HoleUse(StrEnum):
    """What a hole is for: the shank passes, the thread bites, a plain hole, a flat-bottomed recess."""

    CLEARANCE = "clearance"
    PILOT = "pilot"
    PLAIN = "plain"
    RECESS = "recess"


class Fit(StrEnum):
    """How much room a clearance hole leaves (ISO 273: fine, medium, coarse)."""

    CLOSE = "close"
    NORMAL = "normal"
    LOOSE = "loose"


class Screw(Struct, frozen=True):
    """A fastener by trade size: `gauge` of a wood screw (#8), or `metric` nominal diameter; `bolt` for machine threads.

    `length` is None where only the diameter matters.
    """

    text: str
    gauge: int | None = None
    diameter: Length | None = None
    length: Length | None = None
    bolt: bool = False


class Hole(Struct, frozen=True):
    """One hole of a pattern: offset of its centre from the pattern's origin along and across the face, and either a
    screw with a use (the bit follows from tables) or the bit itself. `depth` None bores through. `slot` is the
    length of a slotted hole along the face, None for a round one; `open` may reach past an edge."""

    along: Length
    across: Length
    use: HoleUse
    screw: Screw | None = None
    bit: Length | None = None
    depth: Length | None = None
    through: bool = False
    countersunk: bool = False
    slot: Length | None = None
    fit: Fit = Fit.NORMAL
    at: Position = NOWHERE
    open: bool = False


class PatternCut(Struct, frozen=True):
    """A recess that belongs to a pattern: from and to along and across the face, from the pattern's origin."""

    along: tuple[Length, Length]
    across: tuple[Length, Length]
    depth: Length


class JointLine(Struct, frozen=True):
    """A measure by the centre line of a joint: `base`, and `times` what that line measures from there on."""

    joint: str
    base: Length
    times: Fraction


class HolePlace(Struct, frozen=True):
    """Where a pattern sits: on one face of one piece, its origin `along` from end A (on an end: from the face edge) and
    `across` from the face edge (on an edge or an end: from the face side). `turned` swaps the pattern's axes; `meets`
    is the piece that it fastens to as well, "" where none is named. `by_joint` stands in place of along and across
    until it is known where joints lie."""

    piece: str
    face: Face
    along: Length
    across: Length
    turned: bool = False
    at: Position = NOWHERE
    meets: str = ""
    by_joint: tuple[JointLine | None, JointLine | None] = (None, None)


class Hardware(Compared, frozen=True):
    """`holds` are the pieces that it keeps in place though no hole shows it: what buttons, hinges and pins hold.
    `crosses` are the hardware and the joints, by name, into whose holes or cuts its own are meant to run; `offset` how
    much nearer to the shoulder the hole in a tenon lies that it crosses (None: on one line);
    `play` how far what it holds can move either way (None: nobody said).
    `cuts` are the recesses of its pattern; `mate_holes` and `mate_cuts` what that makes of a piece it meets (None: what
    follows from its holes), `beside` it where the two do not face each other. What it holds with `rides` in a groove
    that is cut for it."""

    name: str
    holes: tuple[Hole, ...]
    on: tuple[HolePlace, ...]
    count: int
    buy: str = ""
    note: str = ""
    stage: str = ""
    holds: tuple[str, ...] = ()
    crosses: tuple[str, ...] = ()
    play: Length | None = None
    mate_holes: tuple[Hole, ...] | None = None
    cuts: tuple[PatternCut, ...] = ()
    mate_cuts: tuple[PatternCut, ...] = ()
    beside: bool = False
    rides: bool = False
    offset: Length | None = None
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)


class ClampNeed(Struct, frozen=True):
    """So many clamps of one kind, by the name the shop file uses."""

    count: int
    kind: str
    at: Position = NOWHERE


class Stage(Compared, frozen=True):
    """One glue-up, as the maker wrote it: what to do `first`, once it is together for the `dry_fit`, `after` the
    clamps are on, and `when_set`. `minutes` is the maker's own estimate of the work with wet glue; where it is missing
    an estimate is computed. `wait_hours` is the time in clamps. `uses` are earlier stages by title."""

    title: str
    pieces: tuple[str, ...]
    uses: tuple[str, ...] = ()
    first: tuple[str, ...] = ()
    dry_fit: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    when_set: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    clamps: tuple[ClampNeed, ...] = ()
    hardware: tuple[str, ...] = ()
    minutes: Fraction | None = None
    wait_hours: Fraction | None = None
    note: str = ""
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)


class Ratio(Struct, frozen=True):
    """`first` of resin to `second` of hardener, `by` "weight" or "volume"."""

    first: Fraction
    second: Fraction
    by: str


class Gluing(Compared, frozen=True):
    """`adhesive` is a generic kind known to the facts; times from the label win over the table's.

    `open_minutes` are counted until the clamps are tight, `pot_minutes` in the cup, both at `label_celsius`; `ratio` is
    resin to hardener with the measure it goes by. `shop_celsius` is the temperature of the shop. All exact.
    """

    adhesive: str
    open_minutes: Fraction | None = None
    pot_minutes: Fraction | None = None
    label_celsius: Fraction | None = None
    ratio: Ratio | None = None
    clamp_hours: Fraction | None = None
    shop_celsius: Fraction | None = None
    stages: tuple[Stage, ...] = ()
    note: str = ""
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)


class Finish(Compared, frozen=True):
    """`kind` is a generic kind known to the facts; `coverage` in square metres per litre wins over the table's."""

    kind: str
    coats: int
    coverage: Fraction | None = None
    steps: tuple[str, ...] = ()
    grits: tuple[int, ...] = ()
    note: str = ""
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)
