"""Holes for screws: clearance, pilot, head and countersink, and the drill bit that is nearest.

A screw is given by its size: a gauge number (int, inch wood and machine screws) or its diameter (`Length`, metric
screws and inch bolts). Every answer is a small frozen value with its source and a note that says what was assumed.
Lookups return None where no rule covers the size; a gauge that does not exist raises ValueError.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Literal

from msgspec import Struct

from shopdocs.core.display import Units, round_half_up
from shopdocs.core.length import INCH, Length
from shopdocs.facts import screw_tables as tables
from shopdocs.facts.source import Confidence, Source

Size = int | Length
WoodGroup = Literal["hardwood", "softwood"]

# Printed diameters are rounded to 0.001 in: 9/32 stands as 0.281. A bit this little under the figure is that bit.
PRINT_SLACK = Length.inches("0.0005")


class HoleSize(Struct, frozen=True):
    """A hole's diameter before a real bit is chosen for it."""

    diameter: Length
    source: Source
    note: str = ""


def shank_diameter(gauge: int) -> Length:
    """Shank of an inch wood screw, 0.060 in + 0.013 in times the gauge (`GAUGE_RULE`). ValueError outside 0 to 24."""
    if not 0 <= gauge <= 24:
        raise ValueError(f"there is no wood screw of gauge {gauge}: 0 to 24 are made")
    return Length.inches(Fraction("0.060") + Fraction("0.013") * gauge)


def thread_diameter(size: Size) -> Length:
    """Outer diameter of a screw given by gauge or by diameter. ValueError for a size that does not exist."""
    if isinstance(size, int):
        return shank_diameter(size)
    if size.mm <= 0:
        raise ValueError("a screw has a diameter of more than zero")
    return size


def is_inch_size(size: Size) -> bool:
    """Gauges and diameters in binary fractions of an inch are inch screws; everything else is metric."""
    return isinstance(size, int) or size.inch.denominator in (1, 2, 4, 8, 16, 32, 64)


# --- clearance --------------------------------------------------------------------------------------------------------


def clearance_hole(size: Size, fit: str = "normal") -> HoleSize | None:
    """The hole a bolt or machine screw passes through freely; for wood screws see `shank_hole`.

    `fit` is close, normal or loose (ISO 273 fine, medium, coarse). Inch sizes follow ASME B18.2.8, metric ones ISO 273.
    Sizes between the rows take the steps of their neighbours, and say so. None beyond the largest row. ValueError for
    an unknown fit.
    """
    _known_fit(fit)
    thread = thread_diameter(size)
    return _inch_clearance(thread, fit) if is_inch_size(size) else _metric_clearance(thread, fit)


def _known_fit(fit: str) -> None:
    if fit not in ("close", "normal", "loose"):
        raise ValueError(f"a clearance hole is close, normal or loose, not {fit}")


# What a clearance hole leaves around a wood screw: common practice, no source. Bits come in steps, so most holes come a
# little larger still.
INCH_ROOM = {"close": Fraction(0), "normal": Fraction(1, 128), "loose": Fraction(1, 32)}
METRIC_ROOM = {"close": Fraction(1, 5), "normal": Fraction(1, 2), "loose": Fraction(1)}


def shank_hole(size: Size, fit: str = "normal") -> HoleSize:
    """The hole a wood screw slides through, so that it draws the pieces together.

    Gauges: the shank at its upper limit (ASME B18.6.1), which the threads of reduced-body screws keep to as well, and
    room by `fit`; metric screws: the outer diameter of the thread and room. The lead holes of the NDS for the shank, no
    larger than the shank, are for loaded structures and hold it. ValueError for an unknown fit.
    """
    _known_fit(fit)
    if is_inch_size(size):
        room = INCH_ROOM[fit]
        hole = thread_diameter(size) + INCH * (tables.SHANK_OVER + room)
        source = tables.SHANK_ROOM if room else tables.SHANK_LIMIT
        return HoleSize(hole, source, f"{fit} fit: the largest shank" + (f" and {room} in" if room else ""))
    room = METRIC_ROOM[fit]
    return HoleSize(thread_diameter(size) + Length(room), tables.CLEARANCE_STEPS, f"{fit} fit: thread and {room} mm")


def _inch_clearance(thread: Length, fit: str) -> HoleSize | None:
    row = next((row for row in tables.B18_2_8 if row.diameter == thread.inch), None)
    if row is not None:
        return HoleSize(Length.inches(row.hole(fit)), row.source, f"{fit} fit for {row.size}")
    for largest, close, normal, loose in tables.INCH_STEPS:
        if thread.inch <= largest:
            step = {"close": close, "normal": normal, "loose": loose}[fit]
            note = f"{fit} fit: thread and {step} in, as the sizes beside it in ASME B18.2.8 (from memory)"
            return HoleSize(thread + INCH * step, tables.CLEARANCE_STEPS, note)
    return None


def _metric_clearance(thread: Length, fit: str) -> HoleSize | None:
    row = next((row for row in tables.ISO_273 if row.diameter >= thread.mm), None)
    if row is None:
        return None
    if row.diameter == thread.mm:
        return HoleSize(Length(row.hole(fit)), row.source, f"{fit} fit for {row.size}")
    hole = thread + Length(row.hole(fit) - row.diameter)
    return HoleSize(hole, tables.CLEARANCE_STEPS, f"{fit} fit: as much room as {row.size} has in ISO 273")


GAUGES_SOLD = (4, 6, 8, 10, 12, 14)  # the usual ones (common practice, no source)


def screw_for(hole: Length) -> Size | None:
    """The largest usual wood screw that passes through a clearance hole, in a close fit: a gauge
    for a hole of an inch size, a diameter of DIN 7998 for a metric one. None where there is none."""
    sizes: list[Size] = list(GAUGES_SOLD) if is_inch_size(hole) else [Length(row.diameter) for row in tables.DIN_7998]
    passing = [size for size in sizes if shank_hole(size, "close").diameter <= hole]
    return passing[-1] if passing else None


# --- pilot ------------------------------------------------------------------------------------------------------------

HARDWOOD_PILOT = Source("", Confidence.PRACTICE, table="pilot about the root diameter in hardwood")
SOFTWOOD_PILOT = Source(
    "NDS",
    Confidence.SECONDARY,
    table="lead hole seven eighths of the root",
    page="Wood Screws (building design handbook page)",
)
NO_LEAD_HOLE = Fraction(
    "0.5"
)  # specific gravity up to which the NDS asks for none in withdrawal (NDS Commentary, Part XI)


class Root(Struct, frozen=True):
    """Diameter at the bottom of the thread."""

    diameter: Length
    source: Source


def root_diameter(size: Size) -> Root:
    """Bottom of a wood screw's thread.

    Gauges follow NDS Table L3 (from memory); those it skips take the proportion of root to shank of the nearest listed
    gauge. Metric screws follow DIN 7998. Everything else is two thirds of the diameter (Wood Handbook).
    """
    thread = thread_diameter(size)
    if isinstance(size, int):
        return _gauge_root(size, thread)
    core = next((core for core in tables.DIN_7998 if core.diameter == thread.mm), None)
    if core is not None:
        return Root(Length(core.core), core.source)
    return Root(thread * Fraction(2, 3), tables.ROOT_TWO_THIRDS)


def _gauge_root(gauge: int, shank: Length) -> Root:
    listed = [(row.gauge, row.root) for row in tables.WOOD_SCREWS if row.root is not None]
    nearest, root = min(listed, key=lambda row: (abs(row[0] - gauge), row[0]))
    if nearest == gauge:
        return Root(Length.inches(root), tables.ROOT_NDS)
    share = Length.inches(root) / shank_diameter(nearest)
    return Root(shank * share, tables.ROOT_NDS)


class PilotHole(Struct, frozen=True):
    """The hole a wood screw's thread bites in."""

    diameter: Length
    source: Source
    note: str


def pilot_hole(size: Size, wood: WoodGroup) -> PilotHole:
    """Pilot for a wood screw: the root diameter in hardwood (furniture practice), seven eighths of it in softwood.

    Larger than the structural minimum of the NDS (90 % of the root in dense woods, 70 % in lighter ones), because
    furniture splits before it pulls apart. Meant for screws with a full-bodied shank; reduced-body screws vary by make,
    so a trial in scrap is part of the note. ValueError for any other wood.
    """
    root = root_diameter(size)
    trial = "try it in scrap of the same wood"
    if wood == "hardwood":
        return PilotHole(root.diameter, HARDWOOD_PILOT, f"root diameter; {trial}")
    if wood == "softwood":
        return PilotHole(root.diameter * Fraction(7, 8), SOFTWOOD_PILOT, f"seven eighths of the root; {trial}")
    raise ValueError(f"a pilot hole is for hardwood or softwood, not {wood}")


def needs_pilot(wood: WoodGroup, specific_gravity: Fraction | None) -> bool:
    """Whether a screw wants a pilot at all: always in hardwood and in sheets, which split (common practice, no source);
    in softwood only above a specific gravity of 0.5, up to which the NDS asks for no lead hole. A softwood whose
    weight is not known counts as a dense one."""
    return wood == "hardwood" or specific_gravity is None or specific_gravity > NO_LEAD_HOLE


# --- heads ------------------------------------------------------------------------------------------------------------


def head_diameter(size: Size) -> HoleSize | None:
    """Largest flat head: by table for gauges, twice the diameter for metric wood screws; None for inch bolts."""
    if isinstance(size, int):
        row = next((row for row in tables.WOOD_SCREWS if row.gauge == size), None)
        return None if row is None else HoleSize(Length.inches(row.head), row.head_source)
    if is_inch_size(size):
        return None
    return HoleSize(size * 2, tables.HEAD_METRIC, "twice the diameter; measure the screw in hand")


class CountersinkAngle(Struct, frozen=True):
    """Included angle of a screw's flat head, and where the figure comes from."""

    degrees: int
    source: Source


def countersink_angle(size: Size) -> CountersinkAngle:
    """Included angle of a flat head: 82 degrees for inch screws, 90 for metric ones."""
    if is_inch_size(size):
        return CountersinkAngle(82, tables.ANGLE_INCH)
    return CountersinkAngle(90, tables.ANGLE_METRIC)


# --- bits -------------------------------------------------------------------------------------------------------------

BIT_STEPS: dict[Units, Length] = {"in": Length.inches("1/64"), "mm": Length("0.1")}


class BitChoice(Struct, frozen=True):
    """A bit that can be picked up. `difference` is bit less wanted diameter: above zero where the hole comes larger.

    `note` is empty where the difference does not matter at the bench.
    """

    bit: Length
    wanted: Length
    note: str

    @property
    def difference(self) -> Length:
        """Bit less wanted diameter: above zero where the hole comes out larger."""
        return self.bit - self.wanted


@lru_cache(maxsize=512)
def nearest_bit(
    wanted: Length,
    units: Units,
    bits: tuple[Length, ...] | None = None,
    use: str = "clearance",
) -> BitChoice | None:
    """The bit for a wanted diameter: clearance and recess holes take the next larger one, pilots the next smaller one,
    plain holes the nearest (of two equally near the smaller).

    `bits` is the shop's own list; without it bits come in steps of 1/64 in or 0.1 mm. A bit that differs
    by no more than the rounding of a printed figure counts as equal. None where the list has no bit on the right side.
    ValueError for a wanted diameter of zero or less, or an unknown use.
    """
    if use not in ("clearance", "pilot", "plain", "recess"):
        raise ValueError(f"a hole is a clearance, pilot, plain or recess one, not {use}")
    if wanted.mm <= 0:
        raise ValueError("a hole has a diameter of more than zero")
    own = sorted(set(bits)) if bits is not None else []
    if not own:
        own = _bits_around(wanted, BIT_STEPS[units])
    if use in ("clearance", "recess"):
        fitting = [bit for bit in own if bit >= wanted - PRINT_SLACK][:1]
    elif use == "pilot":
        fitting = [bit for bit in own if bit <= wanted + PRINT_SLACK][-1:]
    else:
        fitting = sorted(own, key=lambda bit: (abs(bit - wanted), bit))[:1]
    if not fitting or abs(fitting[0] - wanted) > max(wanted * FARTHEST_BIT, LEAST_BIT_ROOM):
        return None
    return BitChoice(fitting[0], wanted, _difference_note(fitting[0], wanted, use))


# A bit farther off than this is no use: looser than the loosest fit of the tables, or a thread that does not hold.
# Common practice, no source.
FARTHEST_BIT = Fraction(1, 4)
LEAST_BIT_ROOM = Length("0.4")


def _bits_around(wanted: Length, step: Length) -> list[Length]:
    middle = round_half_up(wanted / step)
    return [step * count for count in range(max(1, middle - 1), middle + 2)]


# A larger difference is worth a word: more than a full inch set would leave; a pilot under nine tenths, which is
# where the NDS draws its line for dense woods.
WORTH_TELLING = Length.inches("1/64")
SMALLEST_PILOT = Fraction(9, 10)


def _difference_note(bit: Length, wanted: Length, use: str) -> str:
    if use == "pilot":
        return "smaller than wanted: enlarge it if the screw turns hard" if bit < wanted * SMALLEST_PILOT else ""
    if abs(bit - wanted) <= WORTH_TELLING:
        return ""
    return "larger than wanted" if bit > wanted else "smaller than wanted"
