"""The build and the shop: the two things a maker describes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import ClassVar

from msgspec import Struct, field

from shopdocs.core.compared import Compared
from shopdocs.core.display import Display, Units
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.model.cutting import OwnCut
from shopdocs.model.joining import Finish, Gluing, Hardware, Joint, Meeting
from shopdocs.model.parts import FlatSize, Material, MeantGap, Part, Piece, Places, Price
from shopdocs.model.stock import RackBoard, YardBoard

CHAMFER = Length("1.5")
END_TRIM = Length.inches(1)
KEEP = FlatSize(Length.inches(2), Length.inches(12))


class Dimension(Struct, frozen=True):
    """A named length, with the text the maker wrote for it."""

    name: str
    text: str
    value: Length
    at: Position = NOWHERE


class Overall(Struct, frozen=True):
    """Size of the finished build: x left to right, y front to rear, z floor to top."""

    width: Length
    depth: Length
    height: Length


class Build(Compared, frozen=True):
    """One piece of furniture as it is described in one file. What is empty or None the maker did not write; `copies`
    are built at once, all alike; `encloses` is what its drawers and doors enclose, in cubic feet."""

    apart: ClassVar[frozenset[str]] = frozenset({"places", "content"})

    title: str
    mark: str
    display: Display
    revision: str = ""
    maker: str = ""
    date: str = ""
    intro: str = ""
    licence: str = ""
    records: str = ""
    overall: Overall | None = None
    chamfer: Length = CHAMFER
    copies: int = 1
    free_standing: bool = True
    encloses: Fraction | None = None
    dimensions: tuple[Dimension, ...] = ()
    materials: tuple[Material, ...] = ()
    parts: tuple[Part, ...] = ()
    joints: tuple[Joint, ...] = ()
    hardware: tuple[Hardware, ...] = ()
    cuts: tuple[OwnCut, ...] = ()
    gaps: tuple[MeantGap, ...] = ()
    gluing: Gluing | None = None
    finish: Finish | None = None
    buy: tuple[str, ...] = ()
    meant: tuple[tuple[str, Position], ...] = ()  # doubts that are answered, each with its place
    content: str = ""  # fingerprint of the file it was read from
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)

    @property
    def units(self) -> Units:
        """The units of the build: 'in' or 'mm'."""
        return self.display.units

    def material(self, name: str) -> Material:
        """The material of this name; StopIteration where the build has none."""
        return next(m for m in self.materials if m.name == name)

    def part(self, name: str) -> Part:
        """The part of this name; StopIteration where the build has none."""
        return next(p for p in self.parts if p.name == name)

    def pieces(self) -> Iterator[tuple[Part, Piece]]:
        """Every piece with its part, in reading order."""
        for part in self.parts:
            for piece in part.pieces:
                yield part, piece

    def meetings(self) -> Iterator[tuple[Joint, Meeting]]:
        """Every place where two pieces are joined, in reading order."""
        for joint in self.joints:
            for meeting in joint.meetings:
                yield joint, meeting

    def full_mark(self, mark: str) -> str:
        """The build's mark before the piece's: HB-FL."""
        return f"{self.mark}-{mark}"


class Allowances(Struct, frozen=True):
    """What is added to a finished size to get the rough size: to the thickness, to the width (both edges together),
    to the length (both ends together), and the share of waste added to what is bought (Fraction, 1/5 is 20 %)."""

    thickness: Length
    width: Length
    length: Length
    waste: Fraction


class PrinterCorrection(Struct, frozen=True):
    """Measured over nominal length of the printer check's bars; 1 is a true printer."""

    across: Fraction = Fraction(1)
    up: Fraction = Fraction(1)


class Pace(Struct, frozen=True):
    """Minutes of one pair of hands at a glue-up: to `spread` the glue of a small joint, to spread and close it
    (`joint`), to wet a square foot or 0.1 m² of a large one (`area`), to `mix` a batch while others are open, to set a
    `clamp`, to check a stage for `square` and wind. The defaults are common practice, no source."""

    spread: Fraction = Fraction(1)
    joint: Fraction = Fraction(3, 2)
    clamp: Fraction = Fraction(3, 4)
    square: Fraction = Fraction(3)
    area: Fraction = Fraction(2)
    mix: Fraction = Fraction(2)

    def spreading(self, area: Fraction) -> Fraction:
        """Minutes to spread the glue of a joint of so many square metres."""
        return max(self.spread, area * 10 * self.area)


class Climate(Struct, frozen=True):
    """What the finished piece lives in over a year, each as lowest and highest: relative humidity and moisture of the
    wood in percent, temperature in °C. `moisture`, where it is written, wins over the other two. `worked` is the
    moisture of the wood in percent when it is cut to size, None where nobody measured it.

    What is not written is an ordinary heated house: 30 to 65 % at 21 °C (common practice, no source; such air dries
    wood to about 6 % and lets it rise to about 12 %)."""

    humidity: tuple[Fraction, Fraction] = (Fraction(30), Fraction(65))
    celsius: tuple[Fraction, Fraction] = (Fraction(21), Fraction(21))
    moisture: tuple[Fraction, Fraction] | None = None
    worked: Fraction | None = None
    at: Position = NOWHERE


class Shop(Compared, frozen=True):
    """The bench's own file. `defaults` names the settings that were not written and fell back to cautious defaults.

    `end_trim` is lost at both ends of a board, `sheet_trim` at all edges of a sheet; `keep` is the
    smallest offcut worth keeping, `prices` what the yard asks for a material, by its name, with the line it is
    written on.
    """

    apart: ClassVar[frozenset[str]] = frozenset({"places", "content"})
    unhashed: ClassVar[frozenset[str]] = frozenset({"prices", "clamps"})

    name: str
    allowances: Allowances
    kerf: Length
    end_trim: Length = END_TRIM
    sheet_trim: Length = ZERO
    keep: FlatSize = KEEP
    yard: tuple[YardBoard, ...] = ()
    rack: tuple[RackBoard, ...] = ()
    tally: str = "exact"  # or "surface measure"
    currency: str = ""
    prices: Mapping[str, tuple[Price, Position]] = field(default_factory=dict)
    paper: str = ""
    labels: str = ""
    labels_used: int = 0
    records: str = ""
    clamps: Mapping[str, int] = field(default_factory=dict)
    bits: tuple[Length, ...] = ()
    printer: PrinterCorrection = PrinterCorrection()
    batch_grams: Fraction = Fraction(100)
    pace: Pace = Pace()
    climate: Climate = Climate()
    defaults: tuple[str, ...] = ()
    file: str = ""
    content: str = ""  # fingerprint of the file it was read from
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)
