"""Materials, parts and pieces: what is sawn.

A *part* is a kind of member ("leg"); a *piece* is one copy of it with a mark of its own ("FL"). Every object knows the
place in the source it came from (`at`), and `places` maps its keys to theirs.

Axes of a piece: *length* along the grain, *width*, *thickness*. Its faces are named as at the bench: the *face side*
(`face`), the side opposite it (`back`), the *face edge* (`edge`), the edge opposite it (`far edge`), and the ends `A`
and `B`. All marking out starts from the face side, the face edge and end A.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum
from fractions import Fraction
from typing import ClassVar, NamedTuple

from msgspec import Struct, field

from shopdocs.core.compared import Compared
from shopdocs.core.length import Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.core.turn import Turn, near

Places = Mapping[str, Position]


class MaterialKind(StrEnum):
    """The kinds of wood that the yard sells, each with sizes and measures of its own."""

    HARDWOOD = "hardwood"  # rough sawn, by quarters of an inch or by metric thickness
    SOFTWOOD = "softwood"  # dressed, by nominal size
    SHEET = "sheet"

    @property
    def trade(self) -> str:
        """What the yard calls it, in a sentence."""
        return "sheet goods" if self is MaterialKind.SHEET else self.value


class Cut(StrEnum):
    """How the growth rings lie in a board: along its width (flat-sawn), or across its thickness (quarter-sawn)."""

    FLAT = "flat"
    QUARTER = "quarter"


class PriceUnit(StrEnum):
    """What a price is asked for: by volume, by area, by length, or for each sheet or piece."""

    BOARD_FOOT = "bf"
    CUBIC_METRE = "m3"
    SQUARE_METRE = "m2"
    FOOT = "ft"
    METRE = "m"
    SHEET = "sheet"
    PIECE = "piece"


class Price(Struct, frozen=True):
    """Money for one unit of measure; exact, currency named once in the shop file."""

    amount: Fraction
    per: PriceUnit


class TradeSize(NamedTuple):
    """What softwood is sold by, in inches: a name, not a measure."""

    thickness: Fraction
    width: Fraction


class FlatSize(NamedTuple):
    """Width and length of a sheet or an offcut."""

    width: Length
    length: Length


class Material(Compared, frozen=True):
    """What the yard sells. `rough` is the sawn thickness (hardwood), `nominal` what softwood is called. `cut` is how
    its boards lie in the log, None where nobody said; `moves` the maker's own figure for it: the share by which its
    width changes for every percent of moisture."""

    name: str
    kind: MaterialKind
    species: str = ""
    rough: Length | None = None
    quarters: int | None = None
    nominal: TradeSize | None = None
    thickness: Length | None = None
    sheet: FlatSize | None = None
    price: Price | None = None
    note: str = ""
    cut: Cut | None = None
    moves: Fraction | None = None
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)


class Axis(StrEnum):
    """The three measures of a piece: length along the grain, width across it, thickness."""

    LENGTH = "length"
    WIDTH = "width"
    THICKNESS = "thickness"


class Direction(StrEnum):
    """Directions of the assembled build: x left to right, y front to rear, z floor to top."""

    X = "x"
    Y = "y"
    Z = "z"


class Runs(Struct, frozen=True):
    """How a piece lies in the assembled build: which direction each of its axes follows."""

    length: Direction
    width: Direction
    thickness: Direction


Slopes = tuple[float, float]


class Lean(Struct, frozen=True):
    """How a piece leans from plumb: its foot lies `right` to the right of its top for a height of 1 (below zero: to the
    left), and `rear` to the rear (below zero: to the front). It turns about `top`, the middle of its level top end;
    `foot` is the height at which its level foot stands. `at` is where that is written. Where its foot or its top is
    sawn to the side of another piece, top and foot are the middles of these ends, and `ends` has their slopes."""

    right: Fraction
    rear: Fraction
    top: tuple[Length, Length, Length]
    foot: Length
    at: Position = NOWHERE
    ends: tuple[Slopes | None, Slopes | None] = (None, None)

    @property
    def height(self) -> Length:
        """From foot to top, plumb."""
        return self.top[2] - self.foot

    @property
    def turn(self) -> Turn:
        """Where its directions point."""
        return Turn.leaning(self.right, self.rear)

    @property
    def level(self) -> bool:
        """Whether both ends are sawn level."""
        return self.ends == (None, None)

    def slopes(self, top: bool) -> Slopes:
        """How an end slopes on the piece: what it rises along the piece for a step of 1 along x and along y, plumb."""
        return self.ends[top] or self.turn.level


class Tilt(Compared, frozen=True):
    """How a piece is tipped about the direction `axis` of the build (0 x, 1 y), by an angle of the tangent `slope`:
    above zero what looks up goes to the front about x, to the right about y. It turns about a line through `about`: the
    middle of its own body, or of that of the piece that it is tipped with. `at` is where that is written."""

    apart: ClassVar[frozenset[str]] = frozenset({"at"})

    axis: int
    slope: Fraction
    about: tuple[Length, Length, Length]
    at: Position = NOWHERE

    @property
    def turn(self) -> Turn:
        """Where its directions point."""
        return Turn.tipping(self.axis, self.slope)

    def box(self, low: Sequence[Length], far: Sequence[Length]) -> tuple[list[Length], list[Length]]:
        """The upright box round the body that lies so before it is tipped: exact along the axis, else to 1/1000 mm."""
        half = [((b - a) / 2).float_mm() for a, b in zip(low, far, strict=True)]
        away = [((a + b) / 2 - c).float_mm() for a, b, c in zip(low, far, self.about, strict=True)]
        middle, reach = self.turn.of(away), self.turn.reach(half)
        lows, highs = list(low), list(far)
        for k in (k for k in range(3) if k != self.axis):
            at = self.about[k].float_mm() + middle[k]
            lows[k], highs[k] = near(at - reach[k]), near(at + reach[k])
        return lows, highs


class Place(Struct, frozen=True):
    """Where a piece lies in the assembled build: its corner with the smallest x, y and z, and whether end A, the face
    edge and the face side lie at the low side (left, front, bottom) of the direction they look along. The corner of a
    piece that leans is where it would lie if it stood plumb under its top, that of one that is tipped where it would
    lie before it is."""

    corner: tuple[Length, Length, Length]
    end_a_low: bool = True
    face_edge_low: bool = True
    face_side_low: bool = True
    lean: Lean | None = None
    tilt: Tilt | None = None


class Piece(Struct, frozen=True):
    """One copy of a part. `mark` is unique in the build; `place` is None where the build does not say it."""

    mark: str
    part: str
    note: str = ""
    at: Position = NOWHERE
    place: Place | None = None


class Part(Compared, frozen=True):
    """A kind of member. Sizes are those that show: a tenon or tongue is added by its joint, never written here.

    `length` runs from shoulder to shoulder. `turns` allows the layout to turn the piece across the grain. `chamfer` and
    `leave_square` are edges the maker decided on, each by the names of the two faces that meet there.

    `strips` are glued edge to edge to make one piece; each has its piece's mark and a letter. `one_board` names the
    pieces that must come from one board: empty for none, "=" for the strips of each piece, else the name of a group.
    """

    name: str
    material: str
    thickness: Length
    width: Length
    length: Length
    pieces: tuple[Piece, ...]
    runs: Runs | None = None
    turns: bool = False
    strips: int = 1
    one_board: str = ""
    chamfer: tuple[tuple[str, str], ...] = ()
    leave_square: tuple[tuple[str, str], ...] = ()
    cut: Cut | None = None
    note: str = ""
    private: str = ""
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)

    def along(self, axis: Axis) -> Length:
        """The size that shows along an axis."""
        return {Axis.LENGTH: self.length, Axis.WIDTH: self.width, Axis.THICKNESS: self.thickness}[axis]

    def place(self, key: str) -> Position:
        """Where a key of the part is written; where the part begins if the key is not."""
        return self.places.get(key, self.at)

    def strip_marks(self, mark: str) -> tuple[str, ...]:
        """The marks of the strips that the piece of this mark is glued up from, in the order in which they lie side by
        side; none where it is one board."""
        return tuple(strip_mark(mark, number) for number in range(1, self.strips + 1)) if self.strips > 1 else ()


class MeantGap(Struct, frozen=True):
    """A gap or clearance that the maker wants, between any of the first pieces and any of the second."""

    name: str
    between: tuple[tuple[str, ...], tuple[str, ...]]
    size: Length
    at: Position = NOWHERE


def strip_mark(mark: str, number: int) -> str:
    """What is chalked on a strip, `number` from 1: Wa, Wb … Wz, Waa, Wab …"""
    round_, letter = divmod(number - 1, 26)
    return f"{mark}{chr(ord('a') + round_ - 1) if round_ else ''}{chr(ord('a') + letter)}"
